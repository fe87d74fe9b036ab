"""The lecture's strip beside a light table: steps are recorded on it (`recorder`), or followed (`follower`).

Here is what both kinds have.
"""

import anywidget
import traitlets

from ..model.action import MOST_LETTERS, ActionError
from . import page_files
from .revisions import Answering
from .settings import Place
from .still import Panel, Stays


class Strip(Answering, Stays, anywidget.AnyWidget):
    """What both kinds have: the steps, the one at hand, a sentence about what was done last.

    Attributes
    ----------
    kind : str
        "record" or "follow".
    steps : list of dict
        "drawing", "limb", "joint", "says" of each.
    at : int
        The step at hand, from 0; -1 before the first.
    asking : int
        The step that is asked for and not shown yet, from 0: its drawing lies on the table as it was before; else -1.
    place : dict
        "drawing", "limb", "joint": what would be recorded now.
    says : str
    """

    _esm = page_files.module("lecture_strip")
    _css = page_files.style("lecture_strip")

    kind = traitlets.Unicode().tag(sync=True)
    title = traitlets.Unicode().tag(sync=True)
    most = traitlets.Int(MOST_LETTERS).tag(sync=True)
    steps = traitlets.List().tag(sync=True)
    at = traitlets.Int(-1).tag(sync=True)
    asking = traitlets.Int(-1).tag(sync=True)
    asks_first = traitlets.Bool(True).tag(sync=True)  # of a follower: each step is asked before it is shown
    place = traitlets.Dict().tag(sync=True)
    joints = traitlets.List().tag(sync=True)
    says = traitlets.Unicode().tag(sync=True)
    can = traitlets.Dict().tag(sync=True)  # "undo", "redo", "lay": what the buttons may do
    from_page = ("asks_first",)

    def __init__(self, table, **traits):
        self.table = table
        super().__init__(title=table.action.title, **traits)
        table.choose(lecture=True)
        self.on_msg(self._sent)

    def __repr__(self):
        return type(self).__name__

    def on_paper(self):
        return self.table.on_paper()

    def asks(self):
        return {"go": self.go}

    def refused(self, why):
        self.says = f"Not done: {why}."

    def go(self, at):
        """Bring the step at this place, from 0, on the table."""
        raise NotImplementedError

    def _listed(self, steps):
        return [{"drawing": int(step.drawing), "limb": step.limb, "joint": step.joint, "says": step.says} for step in steps]

    def _show_place(self, step, whole=False, asking=False):
        """Bring the drawing of a step on the table and work on its joint alone, unless the whole is there. The guide is away:
        the step's sentence is the one voice, and whoever asks the guide hears it."""
        table = self.table
        table.number = int(step.drawing)
        root = table.action.limb(step.limb).joints[0]
        place = None if whole or step.joint == root else Place(step.limb, step.joint)  # a root is no layer
        table.choose(guide=None, layer=place, chart=step.joint, asking=asking)


def place_of_step(value):
    """A place in the list of steps as the page sends it, or ActionError."""
    if isinstance(value, bool) or not isinstance(value, int):
        raise ActionError("that is no step; choose one of the list")
    return value


def note(value):
    """A typed note as the page sends it, or ActionError."""
    if value is None:
        return ""
    if not isinstance(value, str):
        raise ActionError("a note is a text; type it again")
    return value


def lecture_panel(strip):
    """A strip beside its light table: `.strip` and `.table`. It can fill the page, for a projector."""
    panel = Panel([strip, strip.table], strip.table)
    panel.add_class("anim-lecture-panel")
    panel.strip = strip
    return panel
