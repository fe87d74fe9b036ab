"""An action: numbered drawings of one or more limbs, and how long each is exposed.

Everything a person meets counts drawings from 1, measures lengths in mm on
the sheet with x to the right and y up, and angles in degrees
counter-clockwise. Arrays count from 0.
"""

from dataclasses import dataclass, field, replace

import numpy as np

LARGEST = 10_000.0  # mm: no sheet is larger, and squares stay far from overflow
MOST_PLACES = 2_000  # on a planned path
MOST_STEPS = 500     # of a lecture
MOST_LETTERS = 2_000  # of what is said at a step


class ActionError(ValueError):
    """An action that cannot be drawn: says where, what is wrong, what to do."""


@dataclass(frozen=True, eq=False)
class Plan:
    """The way planned for one joint, before anything is drawn: its path of action and its timing chart.

    Attributes
    ----------
    joint : str
    path : ndarray, shape (places, 2)
        mm, in the order they are passed. In an action that loops the path closes from the last to the first.
    chart : ndarray, shape (drawings,)
        Share of the path gone at each drawing, 0 to 1; it never falls, a hold repeats a share.
    """

    joint: str
    path: np.ndarray
    chart: np.ndarray

    def __post_init__(self):
        where = f'plan of "{self.joint}"'
        path, chart = np.array(self.path, float), np.array(self.chart, float)
        if path.ndim != 2 or path.shape[1] != 2 or not 2 <= len(path) <= MOST_PLACES:
            raise ActionError(f"{where}: a path goes through 2 to {MOST_PLACES} places, x and y each, but here is "
                              f"{' by '.join(map(str, path.shape)) or 'one number'}; draw it anew")
        bad = np.argwhere(~(np.abs(path) <= LARGEST))
        if len(bad):
            number = bad[0, 0]
            raise ActionError(f"{where}, place {number + 1} of its path: {path[number, 0]:g}, {path[number, 1]:g} "
                              f"is not on the paper; keep x and y within {LARGEST:g} mm")
        if (path == path[0]).all():
            raise ActionError(f"{where}: its path stays in one place; draw a line that goes somewhere")
        if chart.ndim != 1 or not ((chart >= 0) & (chart <= 1)).all():
            number = int(np.argmin((chart >= 0) & (chart <= 1))) + 1 if chart.ndim == 1 else 1
            raise ActionError(f"{where}, chart, drawing {number}: give a share of the path from 0 to 1")
        falls = np.flatnonzero(np.diff(chart) < 0)
        if len(falls):
            number = int(falls[0]) + 2
            raise ActionError(f"{where}, chart, drawing {number}: {chart[number - 1]:g} of the path after "
                              f"{chart[number - 2]:g}; a chart never falls, so give at least what the drawing before has")
        for name, value in (("path", path), ("chart", chart)):
            value.setflags(write=False)
            object.__setattr__(self, name, value)


@dataclass(frozen=True, eq=False)
class Step:
    """One step of a lecture: a limb as it was on one drawing, the joint it is about, and what was said.

    Attributes
    ----------
    drawing : int
        From 1.
    limb, joint : str
    points : ndarray, shape (joints, 2)
        mm, of that limb on that drawing.
    says : str
    """

    drawing: int
    limb: str
    joint: str
    points: np.ndarray
    says: str = ""

    def __post_init__(self):
        if len(self.says) > MOST_LETTERS:
            raise ActionError(f"what is said has {len(self.says)} letters; keep it to {MOST_LETTERS}, or make two steps of it")
        if any("\ud800" <= letter <= "\udfff" for letter in self.says):
            raise ActionError("what is said holds half a character (a lone surrogate); type it again")
        points = np.array(self.points, float)
        points.setflags(write=False)
        object.__setattr__(self, "points", points)


@dataclass(frozen=True, eq=False)
class Limb:
    """One chain of joints, drawn once a drawing.

    Attributes
    ----------
    name : str
    joints : tuple of str
        From the joint that carries the limb out to its tip; one or more.
    lengths : ndarray, shape (segments,)
        Length of each segment on the model sheet, mm.
    stops : ndarray, shape (segments, 2)
        Least and greatest bend of each segment against the one before it,
        degrees; for the first segment against the x axis.
    drawings : ndarray, shape (drawings, joints, 2)
        Joint positions, mm.
    plans : tuple of Plan
        At most one a joint.
    """

    name: str
    joints: tuple
    lengths: np.ndarray
    stops: np.ndarray
    drawings: np.ndarray
    plans: tuple = ()

    def __post_init__(self):
        where = f'limb "{self.name}"'
        joints = tuple(self.joints)
        segments = len(joints) - 1
        if not joints:
            raise ActionError(f"{where} has no joints; name at least one")
        if len(set(joints)) != len(joints):
            twice = next(name for name in joints if joints.count(name) > 1)
            raise ActionError(f'{where} has two joints named "{twice}"; give each joint its own name')
        lengths = np.asarray(self.lengths, float)
        stops = np.asarray(self.stops, float).reshape(-1, 2)
        if lengths.shape != (segments,):
            raise ActionError(
                f"{where} has {len(joints)} joints, so {segments} segments, but {lengths.size} lengths; "
                "give one length a segment"
            )
        if stops.shape != (segments, 2):
            raise ActionError(
                f"{where} has {segments} segments but {len(stops)} pairs of stops; give one pair a segment"
            )
        for k in range(segments):
            part = f'{where}, segment {k + 1} ("{joints[k]}" to "{joints[k + 1]}")'
            if not 0 < lengths[k] <= LARGEST:
                raise ActionError(f"{part}: its length is {lengths[k]:g} mm; it must be above 0 "
                                  f"and at most {LARGEST:g}")
            lo, hi = stops[k]
            if not (-360 <= lo <= 360 and -360 <= hi <= 360):
                raise ActionError(f"{part}: stops {lo:g} and {hi:g} degrees; keep them between -360 and 360")
            if lo > hi:
                raise ActionError(f"{part}: the stops are the wrong way round, {lo:g} above {hi:g} degrees; "
                                  "write the lower one first")
        drawings = _drawings(self.drawings, joints, where)
        plans = _plans(tuple(self.plans), joints, len(drawings), where)
        object.__setattr__(self, "joints", joints)
        object.__setattr__(self, "plans", plans)
        for name, value in (("lengths", lengths), ("stops", stops), ("drawings", drawings)):
            value = value.copy()
            value.setflags(write=False)
            object.__setattr__(self, name, value)


    def planned(self, joint):
        """The plan of a joint, or None."""
        return next((plan for plan in self.plans if plan.joint == joint), None)


def _plans(plans, joints, count, where):
    """The plans, or an error that names the joint."""
    seen = set()
    for plan in plans:
        if plan.joint not in joints:
            raise ActionError(f'{where}: there is no joint "{plan.joint}" to plan; there is {", ".join(joints)}')
        if plan.joint in seen:
            raise ActionError(f'{where} has two plans of "{plan.joint}"; keep one')
        if len(plan.chart) != count:
            raise ActionError(f'{where}, plan of "{plan.joint}": its chart is for {len(plan.chart)} drawings and there are '
                              f"{count}; give one share a drawing, or plan anew")
        seen.add(plan.joint)
    # The same action has one form only: plans from the body out, in whatever order they were made.
    return tuple(sorted(plans, key=lambda plan: joints.index(plan.joint)))


def _drawings(drawings, joints, where):
    """The drawings as one array, or an error that names drawing and joint."""
    if isinstance(drawings, np.ndarray) and drawings.shape[1:] == (len(joints), 2):
        array = drawings.astype(float)
    else:
        for number, drawing in enumerate(drawings, start=1):
            if len(drawing) != len(joints):
                raise ActionError(
                    f"{where}, drawing {number} has {len(drawing)} points but {len(joints)} joints are named "
                    f"({', '.join(joints)}); give one point a joint"
                )
            for name, point in zip(joints, drawing):
                if len(point) != 2:
                    raise ActionError(f'{where}, drawing {number}, joint "{name}" has {len(point)} numbers; '
                                      "a point has two, x and y")
        array = np.array(drawings, float).reshape(-1, len(joints), 2)
    if len(array) < 2:
        raise ActionError(f"{where} has {len(array)} drawings; a movement needs at least 2")
    bad = np.argwhere(~(np.abs(array) <= LARGEST))  # also true for NaN
    if len(bad):
        d, j, _ = bad[0]
        raise ActionError(f'{where}, drawing {d + 1}, joint "{joints[j]}": {array[d, j, 0]:g}, {array[d, j, 1]:g} '
                          f"is not a place on the paper; keep x and y within {LARGEST:g} mm")
    return array


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
    """

    limbs: tuple
    title: str = ""
    by: str = ""
    rate: int = 24
    loop: bool = True
    paper: tuple = field(default=(297.0, 210.0))
    exposure: object = 2
    lecture: tuple = ()

    def __post_init__(self):
        limbs = tuple(self.limbs)
        object.__setattr__(self, "limbs", limbs)
        object.__setattr__(self, "paper", tuple(float(side) for side in self.paper))
        if not limbs:
            raise ActionError("the action has no limbs; add at least one")
        names = [limb.name for limb in limbs]
        if len(set(names)) != len(names):
            twice = next(name for name in names if names.count(name) > 1)
            raise ActionError(f'two limbs are named "{twice}"; give each limb its own name')
        for limb in limbs[1:]:
            if len(limb.drawings) != self.count:
                raise ActionError(
                    f'limb "{limb.name}" has {len(limb.drawings)} drawings but "{limbs[0].name}" has {self.count}; '
                    "every limb needs one in every drawing"
                )
        if not 1 <= self.rate <= 240:
            raise ActionError(f"rate is {self.rate} frames a second; give 1 to 240 (film has 24)")
        if not all(0 < side <= LARGEST for side in self.paper):
            raise ActionError("paper needs a width and a height above 0 mm")
        exposure = self.exposure
        if not isinstance(exposure, (int, np.integer)):
            exposure = tuple(int(frames) for frames in exposure)
            if len(exposure) != self.count:
                raise ActionError(f"exposure lists {len(exposure)} numbers for {self.count} drawings; "
                                  "give one number for all or one a drawing")
            if len(set(exposure)) == 1:  # the same action has one form only
                exposure = exposure[0]
        for number, frames in enumerate(np.atleast_1d(exposure), start=1):
            if not 1 <= frames <= 10_000:
                which = f"drawing {number} is" if np.ndim(exposure) else "every drawing is"
                raise ActionError(f"{which} exposed for {frames} frames; give it at least 1, "
                                  "or take the drawing out of the stack")
        object.__setattr__(self, "exposure", exposure)
        object.__setattr__(self, "lecture", _lecture(tuple(self.lecture), self))

    @property
    def count(self):
        """Number of drawings."""
        return len(self.limbs[0].drawings)

    @property
    def exposures(self):
        """Frames each drawing is held, shape (drawings,)."""
        return np.broadcast_to(np.asarray(self.exposure, int), (self.count,))

    @property
    def frames(self):
        """Frames of the whole action, once through."""
        return int(self.exposures.sum())

    def limb(self, name):
        """The limb of that name, or an error that lists the names there are."""
        for limb in self.limbs:
            if limb.name == name:
                return limb
        raise ActionError(f'there is no limb "{name}"; there is {", ".join(limb.name for limb in self.limbs)}')

    def replace(self, **changes):
        """A copy with some fields changed. A lecture is told of limbs of one make: where others take their place
        it stays behind, unless one that fits them is given."""
        if "limbs" in changes and "lecture" not in changes and _make(changes["limbs"]) != _make(self.limbs):
            changes["lecture"] = ()
        return replace(self, **changes)

    def drawn_as(self, other):
        """True where another action has the same joints in the same places in every drawing."""
        return ([limb.joints for limb in self.limbs] == [limb.joints for limb in other.limbs]
                and all(np.array_equal(a.drawings, b.drawings) for a, b in zip(self.limbs, other.limbs)))

    def redrawn(self, *drawings):
        """A copy with new drawings, one array (drawings, joints, 2) a limb."""
        return replace(self, limbs=tuple(replace(limb, drawings=new) for limb, new in zip(self.limbs, drawings)))


def _make(limbs):
    return [(limb.name, limb.joints) for limb in limbs]


def _lecture(steps, action):
    """The steps of a lecture, or an error that says which of them does not fit these drawings."""
    if len(steps) > MOST_STEPS:
        raise ActionError(f"the lecture has {len(steps)} steps; keep it to {MOST_STEPS}, or make two files of it")
    for number, step in enumerate(steps, start=1):
        where = f"lecture, step {number}"
        limb = next((limb for limb in action.limbs if limb.name == step.limb), None)
        if limb is None:
            raise ActionError(f'{where}: there is no limb "{step.limb}"; '
                              f"there is {', '.join(limb.name for limb in action.limbs)}")
        if step.joint not in limb.joints:
            raise ActionError(f'{where}, limb "{step.limb}": there is no joint "{step.joint}"; '
                              f"there is {', '.join(limb.joints)}")
        if not 1 <= step.drawing <= action.count:
            raise ActionError(f"{where}: it is of drawing {step.drawing}, and there are {action.count}; "
                              "take the step out, or name a drawing that is there")
        if step.points.shape != (len(limb.joints), 2):
            raise ActionError(f'{where}, limb "{step.limb}", drawing {step.drawing}: it has {len(step.points)} points but '
                              f"{len(limb.joints)} joints are named ({', '.join(limb.joints)}); give one point a joint")
        bad = np.argwhere(~(np.abs(step.points) <= LARGEST))
        if len(bad):
            x, y = step.points[bad[0, 0]]
            raise ActionError(f'{where}, limb "{step.limb}", drawing {step.drawing}, joint "{limb.joints[bad[0, 0]]}": '
                              f"{x:g}, {y:g} is not a place on the paper; keep x and y within {LARGEST:g} mm")
    return steps
