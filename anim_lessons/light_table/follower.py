"""Following a recorded lecture: its steps are laid on a learner's own table; the lecture's file is never written to."""

from contextlib import suppress

from ..assist import lecture
from ..model.action import ActionError
from .lecture_strip import Strip, place_of_step


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

        table.observe(self._drawn, "pose")

    def close(self):
        with suppress(ValueError):  # a widget may be closed twice
            self.table.unobserve(self._drawn, "pose")
        super().close()

    def asks(self):
        return {**super().asks(), "lay": lambda _: self.lay(), "question": self.question}

    def question(self, at):
        """Bring a step's drawing as it is before the step, its joint in hand and the guide away: where may it go, and why?"""
        step, _ = self._lay_up_to(at, place_of_step(at) - 1)
        self.table.lay_under(None)
        self._show_place(step, asking=True)
        with self.hold_sync():
            self.at, self.asking = at, at
            self.can = {"undo": False, "redo": False, "lay": False}
            self.says = ""

    def _lay_up_to(self, at, last):
        """The step at a place, and which drawings stay the learner's own, with the steps up to the last laid on the table."""
        at = place_of_step(at)
        if not 0 <= at < len(self.lecture):
            raise ActionError(f"there is no step {at + 1}; there are {len(self.lecture)}")
        table = self.table
        with table.holding():
            if not lecture.fits(table.action, self.start):
                raise ActionError("there are other limbs or another number of drawings on your table than in the lecture")
            action, own = lecture.followed(table.action, self.start, self.lecture, last)
            if not action.drawn_as(table.action):
                table.action = action
        return self.lecture[at], own

    def go(self, at):
        """Lay the steps up to this one on the table; what the learner drew is left as it is."""
        step, own = self._lay_up_to(at, at)
        self._show_place(step, whole=at == len(self.lecture) - 1)
        with self.hold_sync():
            self.at, self.asking = at, -1
            self._tell((step.limb, step.drawing) in own)

    def _tell(self, mine):
        """Whether the drawing at hand is the learner's own; the lecture's then lies under it."""
        step, last = self.lecture[self.at], self.at == len(self.lecture) - 1
        self.table.lay_under(lecture.as_of(self.start, self.lecture, self.at) if mine else None)
        self.can = {"undo": False, "redo": False, "lay": mine}
        self.says = (f"Drawing {step.drawing} is your own and stays; the lecture's lies under it." if mine else
                     "The last step: now the rules look at the whole." if last else "")

    def _drawn(self, change):
        """A step that is shown, and changed by hand, can be laid again at once."""
        if not 0 <= self.at < len(self.lecture) or self.asking >= 0 or not lecture.fits(self.table.action, self.start):
            return
        step = self.lecture[self.at]
        mine = (step.limb, step.drawing) in lecture.own(self.table.action, self.start, self.lecture)
        if mine != self.can["lay"]:
            with self.hold_sync():
                self._tell(mine)

    def lay(self):
        """Lay the step's pose over the learner's own drawing; undo on the table takes it back."""
        if not 0 <= self.at < len(self.lecture):
            raise ActionError("no step is at hand yet")
        step, table = self.lecture[self.at], self.table
        with table.holding():
            limb = table.action.limb(step.limb)
            drawings = limb.drawings.copy()
            drawings[step.drawing - 1] = step.points
            table.action = table.action.redrawn(*(drawings if one is limb else one.drawings for one in table.action.limbs))
        self.table.lay_under(None)
        with self.hold_sync():
            self.can = {"undo": False, "redo": False, "lay": False}
            self.says = f"Laid over yours. Undo below drawing {step.drawing} brings yours back."
