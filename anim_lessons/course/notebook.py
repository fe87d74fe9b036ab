"""What the notebooks call: the light table, panels to see and to break, and the check cell."""

from collections.abc import Mapping
from dataclasses import replace
from html import escape
from pathlib import Path

from ..judging.brief import DEFAULT, GUIDES, Brief, read_brief
from ..judging.flags import measure
from ..model import action_file
from ..model.action import Action, ActionError
from ..model.words import the
from ..rules import opposition, overlap
from .glossary import glossary  # noqa: F401
from .hanging_panels import hanging, hanging_map, stop_and_settle  # noqa: F401
from .panels import (  # noqa: F401  (notebooks call them by this name)
    opening_arm,
    seam,
    slider_panel,
    timing,
    two_arms,
)
from .progress import note, progress  # noqa: F401  (notebooks call progress by this name)
from .report import DONE, NOT_STARTED, report


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
        brief = replace(_asked(brief), guide=guide)
    return open_table(file, exercise or Path(file).stem, brief, start, None if under is None else _start(under))


def _asked(brief):
    return brief if isinstance(brief, Brief) else DEFAULT if brief is None else read_brief(brief)


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


def follow(file, mine=None, start=None, brief=None):
    """In class: a recorded lecture, followed step by step on a light table of one's own.

    The lecture's file is read and never written. What is drawn goes into a file of its own; a drawing that the learner
    has changed stays as it is, and the lecture's lies under it.

    Parameters
    ----------
    file : str or Path
        In which the lecture is.
    mine : str or Path, optional
        The learner's own file; `my_` and the lecture's name, beside it, unless given.
    start : Action, str or Path, optional
        What the class begins with, as for `light_table`; the drawings in the lecture's file unless given.
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
    from ..assist.lecture import fits
    from ..light_table.follower import Follower
    from ..light_table.lecture_strip import lecture_panel

    told = action_file.read(file)
    if not told.lecture:
        raise ActionError(f"{file}: no lecture is recorded in it; ask for the file of the lecture")
    own = Path(file).with_name(f"my_{Path(file).name}") if mine is None else Path(mine)
    if own.absolute() == Path(file).absolute():
        raise ActionError(f"{own}: is the lecture itself; give another name to your own drawings, so that it stays whole")
    begin = (told if start is None else _start(start)).replace(lecture=())
    if not fits(begin, told):
        raise ActionError(f"{file}: the start has other limbs or another number of drawings than the lecture")
    if own.exists() and not fits(action_file.read(own), told):
        raise ActionError(f"{own}: has other limbs or another number of drawings than the lecture; "
                          "give another name to the drawings you follow it with")
    return lecture_panel(Follower(light_table(own, begin, brief), told.lecture, begin))


# ---- check it ----------------------------------------------------------------------------


def verdict(file, brief=None, start=None):
    """The check cell: reads the file, prints one line a rule, and raises unless all of them pass.

    It looks at the file and never at the table, and a line that passes holds nothing that could
    differ between two right answers.

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
        Unless every line is a pass. Also where the file cannot be read.
    """
    _save_tables(file)
    try:
        said = report(action_file.read(file), _asked(brief), None if start is None else _start(start))
    except ActionError as error:
        if Path(file).exists():
            print(f"NOT READ  {error}")
        else:
            print(f"NOT STARTED  there is no {file} yet. Run the cell with the light table, then draw.")
        raise RulesBroken("there are no drawings to check yet; the line above says what to do.") from None
    for line in said.lines:
        print(line)
    note(file, brief, said)
    if said.step != DONE:
        raise RulesBroken(f"not yet: {', '.join(said.broken) or NOT_STARTED}. "
                          "Mend what the lines above name, then run this cell again.")


def plan_verdict(file, brief=None):
    """A check cell for the plan: holds the file's drawings against the paths and charts planned in it.

    Prints one line a planned joint where it is kept, one a drawing where it is left, and raises unless all are kept.

    Raises
    ------
    RulesBroken
    """
    from ..assist.plan import against

    _save_tables(file)
    try:
        action = action_file.read(file)
        found = against(action, _asked(brief))
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
    if found.off:
        raise RulesBroken("not yet as planned. Mend what the lines above name, or plan it otherwise; then run this cell again.")


def verdict_lines(action, brief=None, start=None):
    """The lines of `verdict` for an Action, as texts; the last one says which step is reached."""
    return [str(line) for line in report(action, _asked(brief), None if start is None else _start(start)).lines]


def _save_tables(file):
    """Drawings that are on a table of this kernel and not saved yet belong to the file."""
    import sys

    table = sys.modules.get("anim_lessons.light_table")
    if table is not None:
        table.save_open(file)


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


# ---- see it, break it -----------------------------------------------------------------------

MODEL = (  # of actions.wave: name, words beside the slider, least, most, step, unit
    ("drawings", "drawings in the loop", 8, 32, 1, ""),
    ("swing", "swing of the upper arm, either way", 10, 60, 1, "°"),
    ("elbow", "how far the elbow opens and closes, either way", 5, 50, 1, "°"),
    ("elbow_lag", "elbow lags by, in 24ths of the loop", 0, 6, 0.1, ""),
    ("drag", "how far the hand drags", 0, 45, 1, "°"),
    ("hand_lag", "hand lags by, in 24ths of the loop", 0, 4, 0.1, ""),
    ("hover", "slow in at the outer turn", 0, 0.6, 0.05, ""),
    ("exposure", "frames a drawing is held", 1, 4, 1, ""),
)


def model_loop():
    """See it: a model loop that follows its sliders. Nothing of it is saved.

    Returns
    -------
    Widget
        `.table` is its light table, `.sliders` the sliders.
    """
    from ..ferry.actions import wave

    return slider_panel(MODEL, wave, "model loop")


LOOK = "play it, then roll through it. Which drawing is wrong, and what is wrong with it?"


def fault_gallery(names=None):
    """Break it: loops with one fault each. The learner looks first; a button shows the finding.

    Parameters
    ----------
    names : sequence of str, or dict of str to function, optional
        Of `actions.FAULTS`; all of them unless given. Or loops of a lesson's own, each by a function that makes it.

    Returns
    -------
    Widget
        `.table` is its light table, `.next` and `.show` the buttons.
    """
    from ..ferry.actions import DEMOS, FAULTS

    loops = dict(names) if isinstance(names, Mapping) else {name: DEMOS.get(name) for name in names or FAULTS}
    for name in () if isinstance(names, Mapping) else loops:
        if name not in FAULTS:
            raise ActionError(f'there is no fault "{name}"; there is {", ".join(FAULTS)}')
    return _looked_at_first(loops, "fault gallery")


def flip_pile(files, brief=None):
    """Mark a class: hand-ins on one table, one after the other, to be flipped first; a button shows the findings.

    Parameters
    ----------
    files : str, Path, or sequence of them
        As for `marking.class_table`; a file that cannot be read is left out, and that table says why.
    brief : Brief, str or Path, optional

    Returns
    -------
    Widget
        As of `fault_gallery`. What is drawn there is saved nowhere.
    """
    from .marking import readable

    loops = {name: lambda action=action: action for name, action in readable(files).items()}
    return _looked_at_first(loops, "pile", _asked(brief), named=True)


def _looked_at_first(loops, exercise, brief=None, named=False):
    """Loops on one table, with their findings held back until they are asked for."""
    from ipywidgets import HTML, Button, HBox, Layout

    from ..light_table import LightTable
    from ..light_table.still import Panel

    names = tuple(loops)
    table = LightTable(loops[names[0]](), exercise=exercise, brief=brief, withheld=LOOK)
    wide = Layout(width="auto")
    following = Button(description="next loop", tooltip="Lay the next loop on the light table", layout=wide)
    show = Button(description="show what is wrong", tooltip="Show the finding on the light table", layout=wide)
    place = HTML()
    at = 0

    def told():
        return f"loop {at + 1} of {len(names)}" + (f": {escape(names[at])}" if named else "")

    def lay(step):
        nonlocal at
        at = (at + step) % len(names)
        with table.hold_trait_notifications():
            table.withheld = LOOK
            table.action = loops[names[at]]()
            table.number = 1  # where the last fault was is no help here
        place.value = told()

    def reveal(_):
        table.withheld = ""
        cause = next((finding for finding in table.verdict["findings"] if finding["drawings"]), None)
        if cause:
            table.number = cause["drawings"][0]

    following.on_click(lambda _: lay(1))
    show.on_click(reveal)
    place.value = told()
    panel = Panel([HBox([following, show, place]), table], table)
    panel.next, panel.show = following, show
    return panel
