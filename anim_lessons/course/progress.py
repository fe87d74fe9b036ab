"""The learner's own record: what passed when, in a file of the learner's own.

Each check is noted in `my_progress.txt`, in the learner's folder: a line a check, to be read by anybody, edited, or deleted. It is sent
nowhere. Lines that are not ours stay as they are; a file that is no text at all is kept beside and a new one begun.
"""

import os
import re
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from html import escape
from pathlib import Path

from filelock import FileLock

from ..assist.lesson_list import LESSONS
from ..storage import disk
from .report import NOT_STARTED, OTHER_WORK

NAME = "my_progress.txt"
HEAD = ("My progress. The check cells write here, a line a check; nobody else reads it.\n"
        "Write between the lines what you like; delete the file to begin afresh.\n\n")
MOST_BYTES = 1_000_000
MOST_LINES = 2_000   # older ones go, where they are not a pass or the learner's own words
TEST_RUN = {"PYTEST_CURRENT_TEST", "PYTEST_VERSION"}  # set in pytest's process and in the kernels of nbval
WAITS = 2.0          # seconds, while another notebook writes


# ---- the learner's own record --------------------------------------------------------


@dataclass(frozen=True)
class Check:
    """One line of the record: `at` is "2026-11-25 20:31", `step` "keep going", "almost" or "done"."""

    at: str
    exercise: str
    step: str
    broken: tuple = ()

    def __str__(self):
        return "  ".join(filter(None, (self.at, self.exercise, self.step, ", ".join(self.broken))))


LINE = re.compile(r"(\d{4}-\d\d-\d\d \d\d:\d\d)  (\S(?:.*?\S)?)  (keep going|almost|done)(?:  (\S.*))?")


def folder_of(here):
    """The learner's folder of a notebook's: of homework the one above, so that there is one record."""
    here = Path(here).absolute()
    return here.parent if here.name == "homework" else here


def note(file, brief, said):
    """Note what a check cell said. An error of the disk does not stop the check.

    Nothing is written under pytest or nbval: an instructor who marks is no learner who checks.

    Parameters
    ----------
    file : str or Path
        The action file that was checked.
    brief : Brief, str, Path or None
        The exercise bears the name of the brief's file, or else of the action file.
    said : Report
    """
    if said.step in (NOT_STARTED, OTHER_WORK) or TEST_RUN & os.environ.keys():
        return
    exercise = Path(brief).stem if isinstance(brief, str | os.PathLike) else Path(file).stem
    line = Check(datetime.now().strftime("%Y-%m-%d %H:%M"), " ".join(exercise.split()), said.step, said.failed)
    with suppress(OSError):  # a folder that is read-only or full keeps nobody from the verdict
        _write(folder_of(Path(file).absolute().parent) / NAME, line)


def _write(path, said):
    locks = path.parent / ".kept" / NAME  # where a file's hidden companions are
    locks.mkdir(parents=True, exist_ok=True)
    with FileLock(locks / "lock", timeout=WAITS):
        text = _text(path)
        if text is None:
            _aside(path)
        lines = (text if text and text.strip() else HEAD).rstrip("\n").split("\n")
        last = _ours(lines[-1])
        if last and last.groups("")[1:] == (said.exercise, said.step, ", ".join(said.broken)):
            lines.pop()  # the same answer again: it is enough to say it once, with the later time
        elif not last:
            lines.append("")
        lines.append(str(said))
        old = [i for i, line in enumerate(lines[:-MOST_LINES]) if (ours := _ours(line)) and ours[3] != "done"]
        for i in reversed(old):
            del lines[i]
        disk.write_whole(path, ("\n".join(lines) + "\n").encode("utf-8", "replace"))


def _ours(line):
    return LINE.fullmatch(line.rstrip("\r"))  # some editors end a line so


def _text(path):
    """The record's text, empty where there is none yet, or None where the file is no text of ours."""
    try:
        data, _ = disk.read_whole(path, MOST_BYTES)
        text = data.decode("utf-8-sig")
        return None if "\0" in text else text
    except FileNotFoundError:
        return ""
    except UnicodeDecodeError:
        return None
    except OSError:
        if path.is_file() and not path.is_symlink() and os.access(path, os.R_OK):
            return None  # too large
        raise  # a folder, a link, a device, or not ours to read: left alone


def _aside(path):
    for free in disk.names_beside(path):
        if disk.place(path, free):
            path.unlink(missing_ok=True)  # `place` leaves the old name where it could link
            return


def checks(folder="."):
    """The checks noted in a learner's folder, oldest first, as a tuple of Check; none where nothing can be read."""
    try:
        text = _text(folder_of(folder) / NAME)
    except OSError:
        return ()
    found = map(_ours, (text or "").split("\n"))
    return tuple(Check(at, name, step, tuple(broken.split(", ")) if broken else ())
                 for at, name, step, broken in (line.groups("") for line in found if line))


# ---- shown ---------------------------------------------------------------------------


@dataclass(frozen=True)
class Row:
    """One exercise: `step` is "not started" until it is noted; `stood` what failed before, each rule once."""

    name: str
    title: str
    step: str
    at: str
    now: tuple
    stood: tuple


class Record:
    """What is done and what comes next; a notebook shows it as a table.

    Attributes
    ----------
    rows : tuple of Row
        The homework in its order, and after it what else was checked.
    next : Lesson or None
        The first lesson whose homework has not passed; after the last the one of drawings of one's own, which has none.
    """

    def __init__(self, folder="."):
        self._here = Path(folder).absolute()
        noted = {}
        for one in checks(folder):
            noted.setdefault(one.exercise, []).append(one)
        asked = [lesson for lesson in LESSONS.values() if lesson.file]
        rows = [_row(lesson.name, f"{lesson.number} {lesson.title}", noted.pop(lesson.name, [])) for lesson in asked]
        self.rows = (*rows, *(_row(name, name, said) for name, said in noted.items()))
        left = [lesson for lesson, row in zip(asked, rows) if row.step != "done"]
        own = next(lesson for lesson in LESSONS.values() if lesson.number and not lesson.file)
        self.next = left[0] if left else own

    def __str__(self):
        wide = max(len(row.title) for row in self.rows)
        lines = [f"{row.title:{wide}}  {_says(row)}" for row in self.rows]
        return "\n".join([*lines, f"Next: {self.next}." if self.next else "Nothing is left."])

    __repr__ = __str__

    def _repr_html_(self):
        cells = ((self._link(row), *map(escape, (row.step, row.at, ", ".join(row.now), ", ".join(row.stood)))) for row in self.rows)
        body = "".join(f"<tr>{''.join(map(_cell, row))}</tr>" for row in cells)
        heads = "".join(f'<th scope="col" align="left">{name}</th>' for name in ("homework", "step", "last checked", "to mend", "failed before"))
        following = ""
        if self.next:
            following = (f"<p>Next: {self._to(self.next.notebook, self.next.title)}, {escape(self.next.about)}.</p>")
        return (f"<table><thead><tr>{heads}</tr></thead><tbody>{body}</tbody></table>{following}"
                f"<p>From <code>{NAME}</code> in your folder. It is yours: nobody is sent it, and you may delete it.</p>")

    def _link(self, row):
        lesson = LESSONS.get(row.name)
        return self._to(lesson.homework, row.title) if lesson else escape(row.title)

    def _to(self, path, text):
        """A link from the notebook that shows the table, where the other one is there."""
        target = folder_of(self._here) / path
        if not path or not target.exists():
            return escape(text)
        return f'<a href="{escape(Path(os.path.relpath(target, self._here)).as_posix())}">{escape(text)}</a>'


def _cell(html):
    return f'<td align="left">{html}</td>'


def _row(name, title, said):
    if not said:
        return Row(name, title, "not started", "", (), ())
    last = said[-1]
    stood = dict.fromkeys(rule for one in said[:-1] for rule in one.broken if rule not in last.broken)
    return Row(name, title, last.step, last.at, last.broken, tuple(stood))


def _says(row):
    now = f": {', '.join(row.now)}" if row.now else ""
    return f"{row.step}{now}" + (f" ({row.at})" if row.at else "") + (
        f"; failed before: {', '.join(row.stood)}" if row.stood else "")


def progress(folder="."):
    """What is done and what comes next, from the record in the learner's folder.

    Returns
    -------
    Record
    """
    return Record(folder)
