"""A class marked: a folder of hand-ins in, a folder of results out. Nothing else is written, and nothing leaves the machine."""

import gc
import hashlib
import re
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path

from ...assist.hand_in import Assignment
from ...assist.lesson_list import LESSONS
from ...judging.brief import read_brief
from ...model import action_file
from ...model.action import ActionError
from ...model.printable import shown
from ...storage.disk import same_file, write_whole
from .. import workbook_copy
from ..assignment.files import assignments, paths
from .class_page import class_page
from .collecting import how_many, some_entry
from .judged import context_of, log_in
from .own_marks import begin_own, read_own
from .pages import write_pages
from .results import Results, mark_class, that_count
from .roster import read_due, read_roster
from .workers import workers
from .written import as_json, as_sheet

MOST_PAGES = 1_000      # that are written unasked: each has 0.2 MB


@dataclass(frozen=True)
class Given:
    """What was given out: an Assignment, and the names of the files it stands in."""

    assignment: Assignment
    title: str
    brief: str
    start: str


@dataclass(frozen=True)
class Marked:
    """A class that was marked; printed it says what needs the instructor, and where the page of the class is.

    Attributes
    ----------
    results : Results
    same : tuple of str
        Sentences on the same drawings.
    out : Path
        The folder with the results.
    pages : dict of str to str
        Who -> path of their page from `out` on.
    besides : str
        What was left out.
    """

    results: Results
    same: tuple
    out: Path
    pages: dict = field(default_factory=dict)
    besides: str = ""

    @property
    def lines(self):
        """What is said of it, a tuple of str."""
        needs = [f"{one.who}: {one.state}: {one.row.says}" for one in self.results.results if one.needs_you]
        states = ", ".join(f"{count} {state}" for state, count in self.results.states.items())
        page = (self.out / "class.html").as_posix()
        besides = [f"{self.besides}."] if self.besides else []
        return (*needs, *self.same, *besides, f"{len(self.results.results)} in the class: {states}. Look at {page}")

    def __str__(self):
        return "\n".join(shown(line) for line in self.lines)

    __repr__ = __str__


def given(homework=None, brief=None, start=None):
    """A homework of the workbook, or one's own; a brief and a start drawing that are named go before its own.

    Parameters
    ----------
    homework : str, optional
        "06_looping_arm", or "6"; or the folder into which the form of `assignment` has written one.
    brief, start : str or Path, optional

    Returns
    -------
    Given

    Raises
    ------
    ActionError
        Where there is no such homework, or a file cannot be read.
    """
    of_homework = _files(homework)
    if of_homework is None and (brief is None or start is None):
        names = ", ".join(name for name, one in LESSONS.items() if one.file)
        what = "no homework is named" if homework is None else f'there is no homework "{homework}"'
        raise ActionError(f"{what}; there is {names}", "or give the folder of one of your own, or brief and start")
    brief, start = (Path(one or own) for one, own in zip((brief, start), of_homework or (None, None)))
    asked = read_brief(brief)
    return Given(Assignment(asked, action_file.read(start)), asked.title or brief.stem, brief.name, start.name)


def _files(homework):
    """Brief and start drawings of a homework of the workbook, or of one's own by its folder; None where there is none."""
    if homework is None:
        return None
    for lesson in LESSONS.values():
        if lesson.file and (homework == lesson.name or homework.isdecimal() and lesson.number == int(homework)):
            folder = workbook_copy.source() / "homework"
            return folder / f"{lesson.name}.toml", folder / "start" / lesson.file
    own = Path(homework)
    if own.name in assignments(own.parent):
        return tuple(own / file for file in paths(own.name)[:2])
    return None


def mark(folder, out, given_out, roster=None, due=None, alike=False, pseudonyms=False, pages=None, processes=None, cluster=None,
         watch=None):
    """Mark the hand-ins in a folder, and write the results into another.

    Parameters
    ----------
    folder, out : str or Path
        `out` is made where it is not there. In it are written results.json, results.csv, class.html and a page a learner in pages/;
        judged.jsonl, with what is judged already; and once marks.json, the instructor's own, which is then left as it is.
    given_out : Given
    roster : str or Path, optional
    due : str, optional
        The brief's own unless given.
    alike : bool
        Whether the same drawings from two learners are looked for.
    pseudonyms : bool
        Whether the pages go without names; the sheet then tells who is who.
    pages : bool, optional
        Whether there is a page a learner; unless given, in a class of at most MOST_PAGES.
    processes : int, optional
        As many as there are processors, from some thousand learners on; unless given.
    cluster : str, optional
        Address of a Dask scheduler whose workers do it.
    watch : function, optional
        Called with what is done ("judged" or "pages"), how many of it, and of how many.

    Returns
    -------
    Marked

    Raises
    ------
    ActionError
        Where there is nothing to mark, or a file that was named cannot be read; then nothing is written.
    """
    folder, out = Path(folder), Path(out)
    if same_file(folder, out):
        raise ActionError("is the folder of the hand-ins itself", "give the results a folder of their own", file=str(out))
    if out.exists() and not out.is_dir():
        raise ActionError("is no folder, so no results can be put there", "give another name", file=str(out))
    learners = None if roster is None else read_roster(roster)
    due = due or given_out.assignment.brief.due
    due = read_due(due) if due else None
    own = read_own(out)
    assignment, title = given_out.assignment, given_out.title
    context, count = context_of(assignment), how_many(folder)
    some_entry(folder, out)
    with workers(context, count, processes, cluster) as who, _left_alone():
        out.mkdir(parents=True, exist_ok=True)
        _sweep(out)
        with log_in(out, context) as log:
            results = mark_class(folder, assignment, learners, due, own, out, who, log, _of(watch, "judged", count))
        same = ()
        if alike:
            from .alike import same_drawings

            same = same_drawings(results, _drawings(folder, results, out), assignment)
        called = _called(results) if pseudonyms else None
        begin_own(out, {one.unknown for one in results.results if one.unknown})
        write_whole(out / "results.json", as_json(results, given_out.brief, given_out.start))
        write_whole(out / "results.csv", as_sheet(results, called))
        handed_in = sum(bool(one.file) for one in results.results)
        if pages is None:
            pages = handed_in <= MOST_PAGES
        links = write_pages(out, folder, results, context, title, who, called, _of(watch, "pages", handed_in)) if pages else {}
    write_whole(out / "class.html", class_page(results, title, called, () if called else same, links))
    return Marked(results, same, out, links, "" if pages else f"{handed_in} pages were not written; ask for them with --pages")


@contextmanager
def _left_alone():
    """What is there before the first hand-in is not looked through for garbage as often as rows are added to it."""
    gc.freeze()
    try:
        yield
    finally:
        gc.collect()    # of what came since, or the next class would leave its garbage alone as well
        gc.unfreeze()


def _of(watch, what, count):
    return None if watch is None else lambda done: watch(what, done, count)


def _drawings(folder, results, out):
    """Of each who the Action that counts."""
    found = {}
    for one, entry in that_count(folder, results, out):
        with suppress(ActionError):
            found[one.who] = action_file.loads(entry.data)
    return found


def _sweep(out):
    """Take away what a run that was killed left half written."""
    for left in out.glob("new-*"):
        if re.fullmatch(r"new-[0-9a-f]{16}", left.name) and left.is_file():
            left.unlink()


def _called(results):
    """Who -> "learner 3", in an order that tells nothing of names."""
    order = sorted((one.who for one in results.results), key=lambda who: hashlib.sha256(who.encode("utf-8", "replace")).digest())
    return {who: f"learner {number}" for number, who in enumerate(order, start=1)}
