"""An action: numbered drawings of one or more limbs, and how long each is exposed.

Everything a person meets counts drawings from 1, measures lengths in mm on
the sheet with x to the right and y up, and angles in degrees
counter-clockwise. Arrays count from 0.
"""

from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from .errors import ActionError
from .limb import Limb, repeated
from .lines import Line, fitting
from .plans import (
    LARGEST,
    MOST_LETTERS,
    MOST_LIMBS,
    MOST_PLACED,
    MOST_PLACES,
    MOST_STEPS,
    SMALLEST,
    Plan,
    Step,
    is_whole,
    off_paper,
)

__all__ = [
    "LARGEST",
    "MOST_LETTERS",
    "MOST_PLACES",
    "MOST_STEPS",
    "Action",
    "ActionError",
    "Limb",
    "Line",
    "Plan",
    "Step",
    "off_paper",
]

HIGHEST_RATE = 240  # frames a second
LONGEST_HOLD = 10_000  # frames for which one drawing is exposed


@dataclass(frozen=True, eq=False)
class Action:
    """Numbered drawings of limbs that move together.

    Attributes
    ----------
    limbs : tuple of Limb
        One or more, all with the same number of drawings.
    title, by : str
    rate : int
        Frames a second.
    loop : bool
        True where the last drawing links up with the first.
    paper : tuple of float
        Width and height of the sheet, mm.
    exposure : int or tuple of int
        Frames for which each drawing is held: 1 is on ones, 2 on twos; or one
        whole number a drawing.
    lecture : tuple of Step
        What an instructor recorded, in the order it is told.
    lines : tuple of Line
        The pencil lines, one of each drawing that has one, in the order of the drawings. They are what a drawing looks like, and
        no rule reads them.
    """

    limbs: tuple
    title: str = ""
    by: str = ""
    rate: int = 24
    loop: bool = True
    paper: tuple = (297.0, 210.0)
    exposure: object = 2
    lecture: tuple = ()
    lines: tuple = ()

    def __post_init__(self):
        put = object.__setattr__  # the dataclass is frozen
        put(self, "limbs", tuple(self.limbs))
        put(self, "paper", tuple(float(side) for side in self.paper))
        _fit_together(self.limbs)
        if not 1 <= self.rate <= HIGHEST_RATE:
            raise ActionError(
                f"rate is {self.rate} frames a second", f"give 1 to {HIGHEST_RATE} (film has 24)"
            )
        if not all(SMALLEST <= side <= LARGEST for side in self.paper):
            raise ActionError(f"paper needs a width and a height of {SMALLEST:g} to {LARGEST:g} mm")
        for text in (self.title, self.by):
            if not is_whole(text):
                raise ActionError(
                    f'the text "{text}" holds half a character (a lone surrogate)', "type it again"
                )
        put(self, "exposure", _exposed(self.exposure, self.count))
        put(self, "lecture", tuple(self.lecture))
        _told(self)
        put(self, "lines", fitting(self.lines, self.count) if self.lines else ())

    @property
    def count(self):
        """Number of drawings."""
        return len(self.limbs[0].drawings)

    @cached_property
    def exposures(self):
        """Frames each drawing is held, shape (drawings,)."""
        frames = np.full(self.count, self.exposure, int)
        frames.setflags(write=False)
        return frames

    @property
    def frames(self):
        """Frames of the whole action, once through."""
        return int(self.exposures.sum())

    def limb(self, name):
        """The limb of that name, or an error that lists the names there are."""
        for limb in self.limbs:
            if limb.name == name:
                return limb
        raise ActionError(
            f'there is no limb "{name}"; there is {", ".join(limb.name for limb in self.limbs)}'
        )

    def line(self, number):
        """The strokes of a drawing's pencil line, the drawing from 1: a tuple of ndarray (points, 3) as in Line; empty where it has
        none."""
        return next((line.strokes for line in self.lines if line.drawing == number), ())

    def with_line(self, number, strokes):
        """A copy in which a drawing, from 1, has these strokes for its pencil line; with none, no line."""
        others = tuple(line for line in self.lines if line.drawing != number)
        return self.replace(lines=(*others, Line(number, strokes)) if len(strokes) else others)

    def replace(self, **changes):
        """A copy with some fields changed. A lecture is told of limbs of one make: where others take their place
        it stays behind, unless one that fits them is given. So do lines where the number of drawings is another:
        `stacked` takes them along."""
        if "limbs" in changes and "lines" not in changes and len(changes["limbs"][0].drawings) != self.count:
            changes["lines"] = ()
        if "limbs" in changes and "lecture" not in changes and _make(changes["limbs"]) != _make(self.limbs):
            changes["lecture"] = ()
        return replace(self, **changes)

    def drawn_as(self, other):
        """True where another action has the same joints in the same places in every drawing."""
        return [limb.joints for limb in self.limbs] == [limb.joints for limb in other.limbs] and all(
            np.array_equal(a.drawings, b.drawings) for a, b in zip(self.limbs, other.limbs)
        )

    def mirrored(self):
        """The action as in a mirror in the middle of the sheet, or at its edge where that would lead off the paper; with its
        stops, plans and pencil lines, and without its lecture."""
        places = [limb.drawings for limb in self.limbs] + [plan.path for limb in self.limbs for plan in limb.plans]
        places += [stroke for line in self.lines for stroke in line.strokes]
        middle = min(float(array[..., 0].min()) for array in places) >= self.paper[0] - LARGEST

        def over(places):
            return (places * [-1, 1] + [self.paper[0] if middle else 0.0, 0.0]).round(3)

        limbs = []
        for limb in self.limbs:
            stops = -limb.stops[:, ::-1]
            stops[:1] += 180.0      # the first part is told from level
            stops[:1] -= 360.0 * (stops[:1, 1:] > 360.0)
            stops[:1] = stops[:1].clip(-360.0, 360.0)    # wider than a whole turn holds nothing back
            plans = tuple(Plan(plan.joint, over(plan.path), plan.chart) for plan in limb.plans)
            limbs.append(replace(limb, stops=stops, drawings=over(limb.drawings), plans=plans))
        lines = tuple(line.mapped(over) for line in self.lines)
        return self.replace(limbs=tuple(limbs), lecture=(), lines=lines)

    def stacked(self, numbers):
        """A copy of these drawings in this order, by their numbers, from 1; one may come more than once. Exposure and pencil line
        go with their drawing; plans and lecture, told of the old numbers, stay behind."""
        at = [number - 1 for number in numbers]
        if not all(0 <= d < self.count for d in at):
            raise ActionError(f"there are drawings 1 to {self.count}", "name only these")
        limbs = tuple(replace(limb, drawings=limb.drawings[at], plans=()) for limb in self.limbs)
        lines = tuple(Line(to, self.line(number)) for to, number in enumerate(numbers, start=1) if self.line(number))
        return self.replace(limbs=limbs, exposure=tuple(self.exposures[at].tolist()), lines=lines, lecture=())

    def redrawn(self, *drawings):
        """A copy with new drawings, one array (drawings, joints, 2) a limb."""
        return replace(
            self, limbs=tuple(replace(limb, drawings=new) for limb, new in zip(self.limbs, drawings))
        )


def _make(limbs):
    return [(limb.name, limb.joints) for limb in limbs]


def _fit_together(limbs):
    """Refuse limbs of one name, or of different numbers of drawings."""
    if not limbs:
        raise ActionError("the action has no limbs", "add at least one")
    if len(limbs) > MOST_LIMBS:
        raise ActionError(f"the action has {len(limbs)} limbs", f"keep it to {MOST_LIMBS}, or make two files of it")
    twice = repeated(limb.name for limb in limbs)
    if twice is not None:
        raise ActionError(f'two limbs are named "{twice}"', "give each limb its own name")
    count = len(limbs[0].drawings)
    for limb in limbs[1:]:
        if len(limb.drawings) != count:
            raise ActionError(
                f'it has {len(limb.drawings)} drawings but "{limbs[0].name}" has {count}',
                "every limb needs one in every drawing",
                limb=limb.name,
            )
    joints = sum(len(limb.joints) for limb in limbs)
    if count * joints > MOST_PLACED:
        raise ActionError(
            f"{count} drawings of {joints} joints are {count * joints} places in all",
            f"keep it to {MOST_PLACED}, or make two files of it",
        )


def _exposed(exposure, count):
    """The exposure in its one form, a number where it is the same for all; or an error."""
    if isinstance(exposure, (int, np.integer)):
        if not 1 <= exposure <= LONGEST_HOLD:
            raise ActionError(
                f"every drawing is exposed for {exposure} frames",
                f"give each 1 to {LONGEST_HOLD}; one that is not to be seen is taken out of the stack",
            )
        return exposure
    exposure = tuple(int(frames) for frames in exposure)
    if len(exposure) != count:
        raise ActionError(
            f"exposure lists {len(exposure)} numbers for {count} drawings",
            "give one number for all or one a drawing",
        )
    for number, frames in enumerate(exposure, start=1):
        if not 1 <= frames <= LONGEST_HOLD:
            raise ActionError(
                f"it is exposed for {frames} frames",
                f"give it 1 to {LONGEST_HOLD}, or take the drawing out of the stack",
                drawing=number,
            )
    return exposure[0] if len(set(exposure)) == 1 else exposure


def _told(action):
    """Refuse a lecture with a step that does not fit these drawings."""
    steps = action.lecture
    if len(steps) > MOST_STEPS:
        raise ActionError(
            f"the lecture has {len(steps)} steps", f"keep it to {MOST_STEPS}, or make two files of it"
        )
    for number, step in enumerate(steps, start=1):
        try:
            _fits(step, action)
        except ActionError as error:
            raise error.at(step=number)


def _fits(step, action):
    """Refuse a step whose limb, joint, drawing or points are not those of the action."""
    limb = action.limb(step.limb)
    if step.joint not in limb.joints:
        raise ActionError(
            f'there is no joint "{step.joint}"; there is {", ".join(limb.joints)}', limb=limb.name
        )
    if not 1 <= step.drawing <= action.count:
        raise ActionError(
            f"it is of drawing {step.drawing}, and there are {action.count}",
            "take the step out, or name a drawing that is there",
        )
    if step.points.shape != (len(limb.joints), 2):
        raise ActionError(
            f"it has {len(step.points)} points but {len(limb.joints)} joints are named ({', '.join(limb.joints)})",
            "give one point a joint",
            limb=limb.name,
            drawing=step.drawing,
        )
    off = off_paper(step.points)
    if off:
        x, y = step.points[off[0]]
        raise ActionError(
            f"{x:g}, {y:g} is not a place on the paper",
            f"keep x and y within {LARGEST:g} mm",
            limb=limb.name,
            drawing=step.drawing,
            joint=limb.joints[off[0]],
        )
