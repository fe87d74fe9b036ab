"""Recording a lecture: its steps are written into the action that lies on the table, and so into its file."""

from contextlib import suppress

import numpy as np

from ..assist import lecture
from ..model.action import ActionError
from .lecture_strip import Strip, note, place_of_step

MOST_BACK = 200  # changes of steps that can be taken back


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

    def asks(self):
        return {**super().asks(), "record": self.record, "replace": self.replace, "note": self.rewrite, "move": self.move,
                "take out": lambda _: self.take_out(), "empty": lambda _: self.empty(), "undo": lambda _: self.undo(), "redo": lambda _: self.redo(),
                "joint": self.choose, "lay": lambda _: self.lay()}

    # ---- what the page asks for ----------------------------------------------------------

    def record(self, says=""):
        """Put in a step after the one at hand: drawing and pose as they lie on the table, and what is said."""
        with self.table.holding():
            step = self._step(says)
            at = self.at + 1 if 0 <= self.at < len(self.steps) else len(self.steps)
            self._write(lecture.with_step(self.table.action, step, at), at, f"Recorded as step {at + 1}: {self._named(step)}.")

    def replace(self, says=""):
        """Put what lies on the table now in the place of the step at hand."""
        with self.table.holding():
            step = self._step(says)
            self._write(lecture.replaced(self.table.action, self.at, step), self.at,
                        f"Step {self.at + 1} replaced: {self._named(step)}.")
            self.table.lay_under(None)  # the step as it was recorded before lay there

    def rewrite(self, what):
        """Change only what is said at a step: {"at": from 0, "says"}."""
        if not isinstance(what, dict):
            raise ActionError("a note belongs to a step; choose one of the list")
        at, says = place_of_step(what.get("at")), note(what.get("says"))
        with self.table.holding():
            if not 0 <= at < len(self.steps):
                raise ActionError(f"there is no step {at + 1}")
            old = self.table.action.lecture[at]
            if old.says != says:
                new = lecture.Step(old.drawing, old.limb, old.joint, old.points, says)
                self._write(lecture.replaced(self.table.action, at, new), self.at, f"Note of step {at + 1} rewritten.")

    def move(self, by):
        """Take the step at hand to another place: -1 earlier, 1 later."""
        by = place_of_step(by)
        with self.table.holding():
            to = min(max(self.at + by, 0), len(self.steps) - 1)
            self._write(lecture.moved(self.table.action, self.at, by), to, f"It is step {to + 1} now.")

    def take_out(self):
        with self.table.holding():
            self._write(lecture.without(self.table.action, self.at), min(self.at, len(self.steps) - 2),
                        f"Step {self.at + 1} is out. Undo brings it back.")

    def empty(self):
        """Begin a lecture of one's own: all steps out, the drawings as they are."""
        with self.table.holding():
            many = len(self.table.action.lecture)
            self._write(self.table.action.replace(lecture=()), -1,
                        f"The strip is empty. Undo brings the {many} steps back." if many else "The strip is empty.")
            self.table.lay_under(None)

    def undo(self):
        self._back(self._past, self._future, "Taken back.")

    def redo(self):
        self._back(self._future, self._past, "Made again.")

    def go(self, at):
        """Bring a step's drawing on the table; where it was recorded otherwise, its pose lies under."""
        at = place_of_step(at)
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
        with self.table.holding():
            self.table.action = lecture.as_of(self.table.action, self.table.action.lecture[self.at:self.at + 1], 0)
            self.table.lay_under(None)
            self._tell("It lies on the table as it was recorded.")

    def choose(self, what):
        """The joint that the next step is about: [limb, joint]."""
        if not isinstance(what, (list, tuple)) or list(what) not in self.joints:
            raise ActionError("that joint is not on the table")
        self._place = tuple(what)
        self._tell(self.says)

    # ---- in the action --------------------------------------------------------------------

    def _step(self, says):
        return lecture.step_of(self.table.action, self._number(), *self._place, note(says).strip())

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
        with self.table.holding():
            there.append((self.table.action.lecture, self.at))
            steps, at = here.pop()
            self.table.action = self.table.action.replace(lecture=steps)
            self.at = min(at, len(steps) - 1)
            self._tell(says)

    # ---- what happens on the table -----------------------------------------------------------

    def _at_first(self):
        """The joint that the table asks for; where all is drawn, the end of the first limb."""
        limb = self.table.action.limbs[0]
        asked = ((one["limb"], one["joint"]) for one in self.table.verdict.get("layers", ()) if not one["done"])
        return next(asked, (limb.name, limb.joints[-1]))

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
