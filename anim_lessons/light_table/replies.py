"""What Python replies to a pose: verdict, guide, correction, each with the revision of that pose."""

from dataclasses import dataclass, field
from datetime import datetime

from ..judging.brief import DEFAULT, Brief
from ..model.action import Action
from . import desk
from .answer import Answer
from .guided import guided, mended


@dataclass
class Replies:
    """The replies of one table. Fields are not set once it is made: `dataclasses.replace` makes another.

    Attributes
    ----------
    brief : Brief
    start : Action or None
        The drawings as given.
    withheld : str
        A sentence in place of every reply; empty: nothing is held back.
    """

    brief: Brief = DEFAULT
    start: Action | None = None
    withheld: str = ""
    _last: Answer | None = field(default=None, init=False, repr=False)

    def verdict(self, action, revision, settings):
        at = f"{datetime.now():%H:%M}"
        if self.withheld:
            return {"revision": revision, "passed": None, "at": at, "next": self.withheld, "rules": {},
                    "findings": [], "advice": [], "bends": [],
                    "charts": [desk.timing(action, limb, limb.joints[-1]) for limb in action.limbs]}
        return desk.judged(self.answer(action, settings), revision, at, settings.chart)

    def guide(self, action, revision, number, settings):
        """Where the joint that the page asks about may go on the drawing under work."""
        if self.withheld or settings.guide is None:
            return {}
        return guided(self.answer(action, settings), revision, number, settings.guide._asdict(), settings.guess)

    def correction(self, action, revision, finding, settings):
        """Steps that mend one finding of the verdict, by its place in the list, or all of them (None)."""
        if not self.brief.mend and not self.withheld:
            return {"revision": revision, "steps": [], "says": "This is to be mended by hand.", "passes": False}
        return {} if self.withheld else mended(self.answer(action, settings), revision, finding)

    def answer(self, action, settings):
        """What is worked out of the drawings, once for each action and way."""
        last = self._last
        if last is None or last.action is not action or (last.way, last.stays) != (settings.way, settings.stays):
            self._last = last = Answer(action, self.brief, self.start, settings.way, settings.stays)
        return last
