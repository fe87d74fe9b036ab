"""What is worked out once for each pose of the table: what is drawn, what is expected of the rest, and the verdict."""

from functools import cached_property

from ..assist.hand_in import on_given_sheet
from ..assist.passes import Progress
from ..assist.so_far import judged_so_far
from ..judging.brief import DEFAULT


class Answer:
    """One action under work, with all that the page is told of it.

    Parameters
    ----------
    action : Action
    brief : Brief, optional
    start : Action, optional
        The drawings as given: what is still like them is not drawn yet. Lengths, stops, rate and loop are theirs.
    way : str, optional
        Of brief.WAYS, in which order what is not drawn yet is asked for; the brief's unless given.
    stays : iterable of (str, str, int)
        Limb, joint and drawing, from 1, that were looked at and left as they lie.
    """

    def __init__(self, action, brief=DEFAULT, start=None, way=None, stays=()):
        # What passes here passes in the check cell: both judge on the sheet that was given.
        self.action, self.start = on_given_sheet(action, start)
        self.brief, self.way, self.stays = brief, way, stays

    @cached_property
    def progress(self):
        """What is drawn and what is expected of the rest, a `passes.Progress`."""
        return Progress(self.action, self.start, brief=self.brief, stays=self.stays)

    @cached_property
    def so_far(self):
        """The verdict on what is drawn, a `so_far.SoFar`."""
        return judged_so_far(self.progress, self.brief, self.way)

    @cached_property
    def as_expected(self):
        """The action with what is not drawn yet where the rules expected it: by its neighbours there a part swings on or back."""
        known = self.so_far.known
        if not known:
            return self.action
        judged = {limb.name: limb.drawings for limb in self.so_far.action.limbs}
        drawings = [limb.drawings.copy() for limb in self.action.limbs]
        for limb, of in zip(self.action.limbs, drawings):
            if limb.name in known:
                begun, missing = judged[limb.name], ~known[limb.name]
                of[missing, :begun.shape[1]] = begun[missing]
        return self.action.redrawn(*drawings)

    @cached_property
    def layers(self):
        """The joints to be drawn, as `Progress.layers` has them."""
        return self.progress.layers(self.brief, self.way)

    @property
    def begin_with(self):
        """The drawing, from 1, that is to be drawn next; 1 where nothing is missing."""
        for one in self.layers:
            left = [number for number in one.drawings if number not in one.drawn]
            if left and not one.all_through:
                return left[0]
        place = self.progress.next_place(self.way or self.brief.way)
        return place[2] if place else 1

    @property
    def verdict(self):
        """The Verdict that the page shows."""
        return self.so_far.verdict
