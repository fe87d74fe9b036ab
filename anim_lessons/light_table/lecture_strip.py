"""The lecture's strip beside a light table: steps are recorded on it, or followed.

`Recorder` writes into the lecture of the action that lies on its table, and so into its file. `Follower` lays a
recorded lecture on a learner's own table, step by step; it reads the lecture's file and never writes to it.
"""

from contextlib import suppress

import anywidget
import numpy as np
import traitlets

from ..assist import lecture
from ..model.action import MOST_LETTERS, ActionError
from . import page_files

MOST_BACK = 200


class Strip(anywidget.AnyWidget):
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
    can = traitlets.Dict().tag(sync=True)       # "undo", "redo", "lay": what the buttons may do
    answered = traitlets.Int(0).tag(sync=True)  # how many messages of the page had their answer

    def __init__(self, table, **traits):
        self.table = table
        super().__init__(title=table.action.title, **traits)
        table.settings = {**table.settings, "lecture": True}
        self.on_msg(self._sent)

    def __repr__(self):
        return type(self).__name__

    def _sent(self, _, content, buffers):
        asks = self._asks()
        if not isinstance(content, dict) or content.get("ask") not in asks:
            return
        try:
            asks[content["ask"]](content.get("what"))
        except ActionError as error:
            self.says = f"Not done: {str(error).rstrip('.')}."
        finally:
            self.answered += 1  # whatever went wrong, the page waits no longer

    def _asks(self):
        """What the page may ask for, by name."""
        return {"go": self.go}

    def _listed(self, steps):
        return [{"drawing": int(step.drawing), "limb": step.limb, "joint": step.joint, "says": step.says} for step in steps]

    def _show_place(self, step, whole=False, guide=True):
        """Bring the drawing of a step on the table, work on its joint alone unless the whole is there, ask the guide for it."""
        table = self.table
        table.number = int(step.drawing)
        root = table.action.limb(step.limb).joints[0]
        place = None if step.joint == root else {"limb": step.limb, "joint": step.joint}  # nothing leads to a root
        table.settings = {**table.settings, "guide": place if guide else None, "layer": None if whole else place, "chart": step.joint}


class Recorder(Strip):
    """Records steps: the pose of the drawing under work, the joint last moved, and a typed note."""

    def __init__(self, table):
        self._past, self._future = [], []
        self._last = table.action
        super().__init__(table, kind="record", steps=self._listed(table.action.lecture),
                         joints=[[limb.name, joint] for limb in table.action.limbs for joint in limb.joints])
        self._place = self._at_first()
        table.observe(self._moved, "pose")
        table.observe(self._turned, "number")
        table.observe(self._chosen, "settings")
        self._tell("")

    def close(self):
        for act, name in ((self._moved, "pose"), (self._turned, "number"), (self._chosen, "settings")):
            with suppress(ValueError):  # a widget may be closed twice
                self.table.unobserve(act, name)
        super().close()

    def _asks(self):
        return {**super()._asks(), "record": self.record, "replace": self.replace, "note": self.rewrite, "move": self.move,
                "take out": lambda _: self.take_out(), "undo": lambda _: self.undo(), "redo": lambda _: self.redo(),
                "joint": self.choose, "lay": lambda _: self.lay()}

    # ---- what the page asks for ----------------------------------------------------------

    def record(self, says=""):
        """Put in a step after the one at hand: drawing and pose as they lie on the table, and what is said."""
        with self.table._guard:
            step = self._step(says)
            at = self.at + 1 if 0 <= self.at < len(self.steps) else len(self.steps)
            self._write(lecture.with_step(self.table.action, step, at), at, f"Recorded as step {at + 1}: {self._named(step)}.")

    def replace(self, says=""):
        """Put what lies on the table now in the place of the step at hand."""
        with self.table._guard:
            step = self._step(says)
            self._write(lecture.replaced(self.table.action, self.at, step), self.at,
                        f"Step {self.at + 1} replaced: {self._named(step)}.")
            self.table.lay_under(None)  # what lay there is replaced

    def rewrite(self, what):
        """Change only what is said at a step: {"at": from 0, "says"}."""
        at, says = _whole(what.get("at")), _text(what.get("says"))
        with self.table._guard:
            if not 0 <= at < len(self.steps):
                raise ActionError(f"there is no step {at + 1}")
            old = self.table.action.lecture[at]
            if old.says != says:
                new = lecture.Step(old.drawing, old.limb, old.joint, old.points, says)
                self._write(lecture.replaced(self.table.action, at, new), self.at, f"Note of step {at + 1} rewritten.")

    def move(self, by):
        """Take the step at hand to another place: -1 earlier, 1 later."""
        by = _whole(by)
        with self.table._guard:
            to = min(max(self.at + by, 0), len(self.steps) - 1)
            self._write(lecture.moved(self.table.action, self.at, by), to, f"It is step {to + 1} now.")

    def take_out(self):
        with self.table._guard:
            self._write(lecture.without(self.table.action, self.at), min(self.at, len(self.steps) - 2),
                        f"Step {self.at + 1} is out. Undo brings it back.")

    def undo(self):
        self._back(self._past, self._future, "Taken back.")

    def redo(self):
        self._back(self._future, self._past, "Made again.")

    def go(self, at):
        """Bring a step's drawing on the table; where it was recorded otherwise, its pose lies under."""
        at = _whole(at)
        steps = self.table.action.lecture
        if not 0 <= at < len(steps):
            raise ActionError(f"there is no step {at + 1}; there are {len(steps)}")
        self.at, step = at, steps[at]
        self._show_place(step)
        self._place = (step.limb, step.joint)
        now = self.table.action.limb(step.limb).drawings[step.drawing - 1]
        if np.abs(now - step.points).max() < lecture.SAME:
            self.table.lay_under(None)
            self._tell("")
        else:
            self.table.lay_under(lecture.as_of(self.table.action, (step,), 0))
            self._tell(f"Drawing {step.drawing} on the table is another one; as recorded it lies under it.", lay=True)

    def lay(self):
        """Lay the step at hand on the table, as it was recorded; undo on the table takes it back."""
        if not 0 <= self.at < len(self.steps):
            raise ActionError("no step is at hand yet")
        with self.table._guard:
            self.table.action = lecture.as_of(self.table.action, self.table.action.lecture[self.at:self.at + 1], 0)
            self.table.lay_under(None)
            self._tell("It lies on the table as it was recorded.")

    def choose(self, what):
        """The joint that the next step is about: [limb, joint]."""
        if list(what or ()) not in self.joints:
            raise ActionError("that joint is not on the table")
        self._place = tuple(what)
        self._tell(self.says)

    # ---- in the action --------------------------------------------------------------------

    def _step(self, says):
        return lecture.step_of(self.table.action, self._number(), *self._place, _text(says).strip())

    def _number(self):
        return min(max(self.table.number, 1), self.table.action.count)

    def _named(self, step):
        limb = f", {step.limb}" if len(self.table.action.limbs) > 1 else ""
        return f"drawing {step.drawing}, {step.joint}{limb}"

    def _write(self, action, at, says):
        self._past = [*self._past[1 - MOST_BACK:], (self.table.action.lecture, self.at)]
        self._future = []
        self.table.action = action
        self.at = at
        self._tell(says)

    def _back(self, here, there, says):
        if not here:
            return
        with self.table._guard:
            there.append((self.table.action.lecture, self.at))
            steps, at = here.pop()
            self.table.action = self.table.action.replace(lecture=steps)
            self.at = min(at, len(steps) - 1)
            self._tell(says)

    # ---- what happens on the table -----------------------------------------------------------

    def _at_first(self):
        limb = self.table.action.limbs[0]
        return limb.name, limb.joints[-1]

    def _moved(self, change):
        """The joint that the hand moved is what the next step is about."""
        before, self._last = self._last, self.table.action
        here = self._number() - 1
        if lecture.fits(before, self._last):
            for one, other in zip(before.limbs, self._last.limbs):
                off = np.abs(one.drawings[here] - other.drawings[here]).max(axis=1)
                if off.max() > 0.0:
                    self._place = other.name, other.joints[int(np.argmax(off > 0.0))]
                    return self._tell(self.says)
        else:
            self.joints = [[limb.name, joint] for limb in self._last.limbs for joint in limb.joints]
            self._place = self._at_first()
        self._tell(self.says)

    def _turned(self, change):
        self._tell(self.says)

    def _chosen(self, change):
        """A joint taken in hand, or asked about with the guide."""
        new, old = change["new"], change["old"]
        asked = new.get("guide") or {}
        if asked != (old.get("guide") or {}) and [asked.get("limb"), asked.get("joint")] in self.joints:
            self._place = asked["limb"], asked["joint"]
        elif new.get("chart") != old.get("chart"):
            mine = next((place for place in self.joints if place[1] == new.get("chart")), None)
            if mine and self._place[1] != mine[1]:
                self._place = tuple(mine)
        self._tell(self.says, self.can["lay"])

    def _tell(self, says, lay=False):
        steps = self.table.action.lecture
        with self.hold_sync():
            self.steps = self._listed(steps)
            self.at = min(self.at, len(steps) - 1)
            self.place = {"drawing": self._number(), "limb": self._place[0], "joint": self._place[1]}
            self.can = {"undo": bool(self._past), "redo": bool(self._future), "lay": lay}
            self.says = says


class Follower(Strip):
    """Lays a recorded lecture on a learner's own table, step by step.

    Parameters
    ----------
    table : LightTable
        With the learner's own file.
    lecture : sequence of Step
    start : Action
        What the class began with.
    """

    def __init__(self, table, steps, start):
        self.lecture, self.start = tuple(steps), start
        super().__init__(table, kind="follow", steps=self._listed(steps), can={"undo": False, "redo": False, "lay": False},
                         says="Your drawings are your own file; the lecture's stays as it is.")

    def _asks(self):
        return {**super()._asks(), "lay": lambda _: self.lay(), "question": self.question}

    def question(self, at):
        """Bring a step's drawing as it is before the step, its joint in hand and the guide away: where may it go, and why?"""
        step, _ = self._lay_up_to(at, _whole(at) - 1)
        self.table.lay_under(None)
        self._show_place(step, guide=False)
        with self.hold_sync():
            self.at, self.asking = at, at
            self.can = {"undo": False, "redo": False, "lay": False}
            self.says = ""

    def _lay_up_to(self, at, last):
        """The step at a place, and which drawings stay the learner's own, with the steps up to the last laid on the table."""
        at = _whole(at)
        if not 0 <= at < len(self.lecture):
            raise ActionError(f"there is no step {at + 1}; there are {len(self.lecture)}")
        table = self.table
        with table._guard:
            if not lecture.fits(table.action, self.start):
                raise ActionError("there are other limbs or another number of drawings on your table than in the lecture")
            action, own = lecture.followed(table.action, self.start, self.lecture, last)
            if not action.drawn_as(table.action):
                table.action = action
        return self.lecture[at], own

    def go(self, at):
        """Lay the steps up to this one on the table; what the learner drew is left as it is."""
        step, own = self._lay_up_to(at, at)
        mine = (step.limb, step.drawing) in own
        self.table.lay_under(lecture.as_of(self.start, self.lecture, at) if mine else None)
        last = at == len(self.lecture) - 1
        self._show_place(step, whole=last)
        with self.hold_sync():
            self.at, self.asking = at, -1
            self.can = {"undo": False, "redo": False, "lay": mine}
            self.says = (f"Drawing {step.drawing} is your own and stays; the lecture's lies under it. \"lay it over mine\" takes it." if mine else
                         "The last step: now the rules look at the whole." if last else "")

    def lay(self):
        """Lay the step's pose over the learner's own drawing; undo on the table takes it back."""
        if not 0 <= self.at < len(self.lecture):
            raise ActionError("no step is at hand yet")
        step, table = self.lecture[self.at], self.table
        with table._guard:
            limb = table.action.limb(step.limb)
            drawings = limb.drawings.copy()
            drawings[step.drawing - 1] = step.points
            table.action = table.action.redrawn(*(drawings if one is limb else one.drawings for one in table.action.limbs))
        self.table.lay_under(None)
        with self.hold_sync():
            self.can = {"undo": False, "redo": False, "lay": False}
            self.says = f"Laid over yours. Undo below drawing {step.drawing} brings yours back."


def _whole(value):
    if isinstance(value, bool) or not isinstance(value, int):
        raise ActionError("that is no step; choose one of the list")
    return value


def _text(value):
    if value is None:
        return ""
    if not isinstance(value, str):
        raise ActionError("a note is a text; type it again")
    return value


def lecture_panel(strip):
    """A strip beside its light table: `.strip` and `.table`. It can fill the page, for a projector."""
    from ipywidgets import VBox

    panel = VBox([strip, strip.table])
    panel.add_class("anim-lecture-panel")
    panel.strip, panel.table = strip, strip.table
    return panel
