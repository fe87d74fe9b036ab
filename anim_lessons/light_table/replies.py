"""What Python answers to a pose: verdict, guide, correction, each with the revision of that pose."""

from dataclasses import dataclass
from datetime import datetime

from ..judging.brief import DEFAULT, Brief
from ..model.action import Action
from . import desk
from .guided import guided, mended


@dataclass(frozen=True)
class Answers:
    """By what a table is judged.

    Attributes
    ----------
    brief : Brief
    start : Action or None
        The drawings as given.
    withheld : str
        A sentence in place of every answer; empty: nothing is held back.
    """

    brief: Brief = DEFAULT
    start: Action | None = None
    withheld: str = ""

    def verdict(self, action, revision, settings):
        at = f"{datetime.now():%H:%M}"
        if self.withheld:
            return {"revision": revision, "passed": None, "at": at, "next": self.withheld, "rules": {},
                    "findings": [], "advice": [], "bends": [],
                    "charts": [desk.timing(action, limb, limb.joints[-1]) for limb in action.limbs]}
        return desk.judged(action, revision, self.brief, at, settings.chart, self.start, settings.way)

    def guide(self, action, revision, number, settings):
        """Where the joint that the page asks about may go on the drawing under work."""
        if self.withheld or settings.guide is None:
            return {}
        return guided(action, revision, number, settings.guide._asdict(), self.brief, self.start)

    def correction(self, action, revision, finding):
        """Steps that mend one finding of the verdict, by its place in the list, or all of them (None)."""
        return {} if self.withheld else mended(action, revision, finding, self.brief, self.start)
