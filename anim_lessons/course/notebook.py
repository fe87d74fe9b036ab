"""The light table, plan sheet and lecture of a notebook, its check cells, and what it measures."""

from contextlib import suppress
from dataclasses import replace
from pathlib import Path

from ..judging.brief import GUIDES, brief_of
from ..judging.flags import measure
from ..model import action_file
from ..model.action import Action, ActionError
from ..model.words import the
from ..rules import opposition, overlap
from ..storage.disk import same_file
from .from_file import on_file
from .progress import note
from .report import DONE, report


class RulesBroken(Exception):
    """Raised by a check cell that did not pass; a notebook shows it as one line."""

    def _render_traceback_(self):
        return [f"RulesBroken: {self}"]


# ---- do it ---------------------------------------------------------------------------


def light_table(file, start=None, brief=None, exercise=None, under=None, guide=None):
    """The light table with the learner's action file on it.

    Parameters
    ----------
    file : str or Path
        From the notebook's folder. It is saved by itself a moment after each change.
    start : Action, str or Path, optional
        What to begin with where there is no file yet: an Action, a start file, or one of
        `demos.DEMOS` by name. It is copied; a file that is there is never overwritten.
    brief : Brief, str or Path, optional
        The assignment; without one every rule that applies.
    under : Action, str or Path, optional
        Lies under the drawings, to be traced, such as a loop by weight and springs. As `start`; the same joints, as many drawings.
    exercise : str, optional
        Name under which the page keeps drawings while the kernel is away; the file's name unless given.
    guide : str, optional
        How much the table tells of where a joint may go, of `brief.GUIDES`; what the brief says unless given.

    Returns
    -------
    LightTable

    Raises
    ------
    ActionError
        Where the file, the start or the brief cannot be read; it says what to do.
    """
    from ..light_table import open_table  # Jupyter is loaded only where a table is shown

    there = Path(file).exists()
    try:
        start = None if start is None else _start(start)
    except ActionError:
        if not there:
            raise
        start = None  # the learner's own file is what matters
    if guide is not None:
        if guide not in GUIDES:
            raise ActionError(f'guide: "{guide}" is not one of {", ".join(GUIDES)}')
        brief = replace(brief_of(brief), guide=guide)
    return open_table(file, exercise or Path(file).stem, brief, start, None if under is None else _start(under))


def _start(start):
    if isinstance(start, Action):
        return start
    if isinstance(start, str) and not start.endswith(".json"):
        from ..ferry.demos import DEMOS  # a start file must not wait for them

        if start in DEMOS:
            return DEMOS[start]()
    return action_file.read(start)


def plan_sheet(file, start=None, joint=None, brief=None):
    """Plan it: a sheet on which a path of action is drawn freehand and timed by a chart, over the file's light table.

    Parameters
    ----------
    file, start, brief
        As for `light_table`. The plan is saved in the file and lies under its drawings.
    joint : str, optional
        The joint that is planned first; the end joint unless given.

    Returns
    -------
    Widget
        `.sheet` is the plan sheet, `.table` the light table.
    """
    from ..light_table.plan_sheet import plan_panel

    return plan_panel(light_table(file, start, brief), joint)


def on_paper(file, images=None, start=None, brief=None):
    """On paper: sheets that were drawn on are read, joint by joint confirmed, and lie on the file's light table.

    Parameters
    ----------
    file : str or Path
        The action file, from the notebook's folder.
    images : str or sequence of str, optional
        Photographs or scans; a name may hold `*`, such as "photos/*.jpg". What is read is added to what was read before. An
        image that was read already need not be named again.
    start : Action, str or Path, optional
        What the sheets were printed from, as for `light_table`. Where there is no file yet it is made from it, every drawing
        still the first one traced.
    brief : Brief, str or Path, optional

    Returns
    -------
    Widget
        `.strip` asks for the joints, `.table` is the light table. What was read is printed, and what is wrong with the rest.
    """
    from ..light_table.paper_strip import paper_panel
    from ..paper.folder import Folder
    from ..paper.scanning import scan, sentences, undrawn

    table = light_table(file, None if start is None else undrawn(_start(start)), brief)
    if images:
        done = scan(_named(images), table.action, file)
        for sentence in [*sentences(done, table.action), *done.notes, *done.wrong]:
            print(sentence)
    return paper_panel(table, Folder.open(file, table.action))


def print_sheets(action, to, **options):
    """Write sheets to be printed, as `anim-lessons print` does.

    Parameters
    ----------
    action : Action, str or Path
        As `start` of `light_table`.
    to : str or Path
        The PDF.
    **options
        Of `paper.printing.print_sheets`: kind, page, each, drawings, without.
    """
    from ..paper.printing import print_sheets as write

    for sentence in write(_start(action), to, **options):
        print(sentence)


def printer(action, to="my_sheets.pdf"):
    """Sheets printed from a panel: what kind, on what paper, a look at one of them, and one button.

    Parameters
    ----------
    action : Action, str or Path
        As `start` of `light_table`.
    to : str or Path
        The PDF.

    Returns
    -------
    Widget
    """
    from .sheet_panel import SheetPanel

    return SheetPanel(_start(action), to)


def _named(images):
    """Names of images, each with a star in it as the files it stands for."""
    from glob import glob

    names = [images] if isinstance(images, (str, Path)) else list(images)
    found = []
    for name in names:
        several = sorted(glob(str(name))) if "*" in str(name) else [str(name)]
        if not several:
            print(f"{name}: there is no such file; check the name and the folder")
        found += several
    return found


# ---- in lecture ---------------------------------------------------------------------------


def record(file, start=None, brief=None):
    """In lecture: the file's light table with a strip on which steps are recorded, drawing by drawing, with typed notes.

    Parameters
    ----------
    file, start, brief
        As for `light_table`. The steps are saved in the file, with its drawings.

    Returns
    -------
    Widget
        `.strip` is the strip, `.table` the light table.
    """
    from ..light_table.lecture_strip import lecture_panel
    from ..light_table.recorder import Recorder

    return lecture_panel(Recorder(light_table(file, start, brief)))


def follow(file=None, mine=None, start=None, brief=None):
    """In class: a recorded lecture, followed step by step on a light table of one's own.

    The lecture's file is read and never written. What is drawn goes into a file of its own; a drawing that the learner
    has changed stays as it is, and the lecture's lies under it.

    Parameters
    ----------
    file : str or Path, optional
        In which the lecture is; unless given, the newest beside the notebook. Where there is none, a line says so and nothing
        is shown.
    mine : str or Path, optional
        The learner's own file; `my_` and the lecture's name, beside it, unless given.
    start : Action, str or Path, optional
        What the class begins with, as for `light_table`; unless given the drawings in the lecture's file, traced only where
        the lecture was drawn in it.
    brief : Brief, str or Path, optional

    Returns
    -------
    Widget
        `.strip` is the strip, `.table` the light table.

    Raises
    ------
    ActionError
        Where no lecture is in the file, or the own file holds other limbs or another number of drawings.
    """
    from ..assist.lecture import begun, fits
    from ..light_table.follower import Follower
    from ..light_table.lecture_strip import lecture_panel

    if file is None and (file := _newest_lecture(Path())) is None:
        return print("No lecture lies beside this notebook yet. Put the file from your instructor here, then run this cell again.")
    told = action_file.read(file)
    if not told.lecture:
        raise ActionError(f"{file}: no lecture is recorded in it; ask for the file of the lecture")
    own = Path(file).with_name(f"my_{Path(file).name}") if mine is None else Path(mine)
    if same_file(own, file):
        raise ActionError(f"{own}: is the lecture itself; give another name to your own drawings, so that it stays whole")
    begin = begun(told) if start is None else _start(start).replace(lecture=())
    if not fits(begin, told):
        raise ActionError(f"{file}: the start has other limbs or another number of drawings than the lecture")
    if own.exists() and not fits(action_file.read(own), told):
        raise ActionError(f"{own}: has other limbs or another number of drawings than the lecture; "
                          "give another name to the drawings you follow it with")
    return lecture_panel(Follower(light_table(own, begin, brief), told.lecture, begin))


def _newest_lecture(folder):
    """The file in a folder that was saved last of those with a lecture, or None."""
    found = []
    for path in folder.glob("*.json"):
        with suppress(ActionError, OSError):
            if action_file.read(path).lecture:
                found.append(path)
    return max(found, key=lambda path: path.stat().st_mtime, default=None)


# ---- check it ----------------------------------------------------------------------------


def verdict(file, brief=None, start=None):
    """The check cell: reads the file, prints one line a rule, and raises unless all of them pass.

    It judges the file and never the table, and a line that passes holds nothing that could
    differ between two right answers. What an open table has not saved yet is saved first; where the table holds
    other drawings than the file all the same, the first line says why, and nothing passes.

    Parameters
    ----------
    file : str or Path
        The learner's action file.
    brief : Brief, str or Path, optional
        Every rule that applies if left out. Rules that it names must also have been able to judge.
    start : Action, str or Path, optional
        What the learner began with: the same drawings are not an answer.

    Raises
    ------
    RulesBroken
        Unless every line is a pass. Also where the file cannot be read, or is not what lies on the table.
    """
    try:
        action, apart = _drawings(file)
        said = report(action, brief_of(brief), None if start is None else _start(start))
    except ActionError as error:
        if Path(file).exists():
            print(f"NOT READ  {error}")
        else:
            print(f"NOT STARTED  there is no {file} yet. Run the cell with the light table, then draw.")
        raise RulesBroken("there are no drawings to check yet; the line above says what to do.") from None
    if apart:
        # The last line says that the exercise is done, or how to go on with the table: neither holds for these drawings.
        for line in said.lines[:-1]:
            print(line)
        raise RulesBroken(APART)
    for line in said.lines:
        print(line)
    note(file, brief, said)
    if said.step != DONE:
        raise RulesBroken(f"not yet: {', '.join(said.broken) or said.step}. "
                          "Mend what the lines above name, then run this cell again.")


def plan_verdict(file, brief=None):
    """A check cell for the plan: holds the file's drawings against the paths and charts planned in it.

    Prints one line a planned joint where it is kept, one a drawing where it is left, and raises unless all are kept.

    Raises
    ------
    RulesBroken
    """
    from ..assist.plan import against

    try:
        action, apart = _drawings(file)
        found = against(action, brief_of(brief))
    except ActionError as error:
        print(f"NOT READ  {error}")
        raise RulesBroken("there is nothing to hold against a plan; the line above says what to do.") from None
    if not found.planned:
        print(f"NOT PLANNED  {found.says}")
        raise RulesBroken("there is no plan yet.")
    for limb, joint in found.planned:
        off = [one for one in found.off if (one.limb, one.joint) == (limb, joint)]
        name = f"plan of {the(joint)}" + (f", {limb}" if len(action.limbs) > 1 else "")
        for line in [f"FAIL  {name} — {one.says}" for one in off] or [f"PASS  {name} — every drawing on its path and by its chart"]:
            print(line)
    if apart:
        raise RulesBroken(APART)
    if found.off:
        raise RulesBroken("not yet as planned. Mend what the lines above name, or plan it otherwise; then run this cell again.")


APART = "what lies on the light table is not in the file; the first line says what to do. Then run this cell again."


def verdict_lines(action, brief=None, start=None):
    """The lines of `verdict` for an Action, as texts; the last one says which step is reached."""
    return [str(line) for line in report(action, brief_of(brief), None if start is None else _start(start)).lines]


def _drawings(file):
    """The action to judge, and whether it is another one than lies on an open table; if so, a line says it first."""
    action, apart, unread = on_file(file)
    if apart:
        print(f"NOT IN THE FILE  {apart}")
    if unread:
        print(f"NOT READ  {unread}")
    if action is None:
        raise RulesBroken("there are no drawings to check; the first line says what to do.")
    return action, bool(apart)


# ---- show it -----------------------------------------------------------------------------


def moving_picture(file, to, start=None):
    """Export the drawings of a file, as `anim-lessons export` does, and show a GIF under the cell; while they are as given, a line
    says so and nothing is made.

    Parameters
    ----------
    file : str or Path
        The learner's action file. What an open table has not saved yet is saved first.
    to : str or Path
        Ends as `pictures.export.KINDS` has it, such as ".gif".
    start : Action, str or Path, optional
        What the learner began with.

    Raises
    ------
    ActionError
        Where a file cannot be read, or the ending is not known.
    """
    from ..pictures.export import export
    from .moving import show

    action, _ = _drawings(file)
    if start is not None and action.drawn_as(_start(start)):
        return print(f"Nothing is drawn in {file} yet, so no moving picture is made. Draw, then run this cell again.")
    print(*export(action, to, file), sep="\n")
    show(to)


# ---- mark it -----------------------------------------------------------------------------


def mark_class(folder, homework=None, roster=None, due=None, to="my_marks", brief=None, start=None, alike=False, pseudonyms=False):
    """Mark the hand-ins of a class, as `anim-lessons mark` does: a page of the class, a sheet and the rest go into a folder.

    Parameters
    ----------
    folder : str or Path
        Of the hand-ins, or a zip of them.
    homework : str, optional
        Name or number of one of the workbook's.
    roster : str or Path, optional
        The class: a table saved as CSV, with the columns id, name, due.
    due : str, optional
        "2026-11-29", or "2026-11-29T18:00".
    to : str or Path
        The folder for the results; made where it is not there.
    brief, start : str or Path, optional
        Of an assignment of one's own.
    alike : bool
        Whether to say where two learners have the same drawings.
    pseudonyms : bool
        A page of the class without names.

    Returns
    -------
    Marked
        It prints what needs the instructor, and where the page is.

    Raises
    ------
    ActionError
        Where there is nothing to mark, or a file that was named cannot be read.
    """
    from .hand_ins.mark import given, mark

    return mark(folder, to, given(homework, brief, start), roster, due, alike, pseudonyms)


# ---- measure it --------------------------------------------------------------------------


def measured(action, limb=0):
    """What is measured on one limb of an action, as `measures.loops.Measures`; the first limb unless counted on from 0."""
    return measure(action)[limb]


def lags(action, limb=0):
    """How much later each part turns than the one that carries it, drawings of a 24-drawing loop, shape (segments - 1,)."""
    return overlap.lag(measured(action, limb))


def apart(action):
    """How far the second limb is behind the first, turns of the loop, 0 to 1; half a turn is opposition."""
    first, second, *_ = measure(action)
    return float(opposition.apart(first, second))
