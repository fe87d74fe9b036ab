"""How a light table is looked at and worked on: every setting that the page and Python share, its type and its default.

On the wire it is a dict with all keys present. The page sets most of them; Python sets those of a lecture.
"""

from dataclasses import dataclass, fields, replace
from typing import NamedTuple

from ..judging.brief import WAYS

MOST_ONION = 3   # neighbours each side
MOST_STAYS = 2000   # places that are left as they lie
FIRST_ONION = 2


class Place(NamedTuple):
    """A joint of a limb, by their names."""

    limb: str
    joint: str


@dataclass(frozen=True)
class Settings:
    """The settings of one table.

    Attributes
    ----------
    onion : int
        Neighbours each side that show through, 0 to MOST_ONION.
    keep_lengths : bool
        A joint swings on its parent; False: it goes where the hand goes.
    paths : bool
        The path of action of every joint is shown.
    under : bool
        What lies under the drawings is shown.
    lecture : bool
        Lecture size, for the back of the class.
    asking : bool
        The class is asked where a joint may go: planned paths, their dots and the timing chart are not shown.
    guess : bool
        The guide waits until the joint is placed by eye.
    guide : Place or None
        The joint of which the guide is asked; None: the guide is off.
    layer : Place or None
        The joint that is worked on through the stack; None: all joints.
    chart : str or None
        The joint whose timing chart is drawn; None: the end joint of each limb.
    way : str
        Of brief.WAYS, in which order a layer is drawn.
    stays : tuple of (str, str, int)
        Limb, joint and drawing, from 1, of what was looked at and left as it lies: it counts as drawn.
    """

    onion: int = FIRST_ONION
    keep_lengths: bool = True
    paths: bool = True
    under: bool = True
    lecture: bool = False
    asking: bool = False
    guess: bool = False
    guide: Place | None = None
    layer: Place | None = None
    chart: str | None = None
    way: str = WAYS[0]
    stays: tuple = ()

    @classmethod
    def from_page(cls, sent, before=None):
        """Settings from a dict of the page. What is missing or does not fit stays as in `before` (the defaults unless
        given), what is not known is left out; nothing raises."""
        before = before or cls()
        if not isinstance(sent, dict):
            return before
        read = {field.name: READ[field.name](sent[field.name]) for field in fields(cls) if field.name in sent}
        return replace(before, **{name: value for name, value in read.items() if value is not UNFIT})

    def to_page(self):
        """The dict that the page reads, every key present."""
        values = {field.name: getattr(self, field.name) for field in fields(self)}
        values["stays"] = [list(one) for one in self.stays]
        return {name: value._asdict() if isinstance(value, Place) else value for name, value in values.items()}


UNFIT = object()  # what a reader gives back for a value that does not fit


def _onion(value):
    fits = isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= MOST_ONION
    return value if fits else UNFIT


def _switch(value):
    return value if isinstance(value, bool) else UNFIT


def _place(value):
    if value is None:
        return None
    if not isinstance(value, dict):
        return UNFIT
    place = Place(value.get("limb"), value.get("joint"))
    return place if all(isinstance(name, str) for name in place) else UNFIT


def _joint(value):
    return value if value is None or isinstance(value, str) else UNFIT


def _way(value):
    return value if isinstance(value, str) and value in WAYS else UNFIT


def _stays(value):
    if not isinstance(value, list) or len(value) > MOST_STAYS:
        return UNFIT
    fits = all(isinstance(one, list) and [type(part) for part in one] == [str, str, int] for one in value)
    return tuple(tuple(one) for one in value) if fits else UNFIT


READ = {  # each setting's reader
    "onion": _onion, "keep_lengths": _switch, "paths": _switch, "under": _switch, "lecture": _switch, "asking": _switch, "guess": _switch,
    "guide": _place, "layer": _place, "chart": _joint, "way": _way, "stays": _stays,
}
