"""A limb: one chain of joints, drawn once a drawing."""

from dataclasses import dataclass

import numpy as np

from .errors import ActionError
from .plans import LARGEST, MOST_DRAWINGS, MOST_JOINTS, SMALLEST, is_whole, off_paper


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
        put = object.__setattr__  # the dataclass is frozen
        put(self, "joints", tuple(self.joints))
        # Copies of their own: whoever handed the arrays over may go on writing in them.
        put(self, "lengths", np.array(self.lengths, float))
        put(self, "stops", np.array(self.stops, float).reshape(-1, 2))
        try:
            _named(self)
            _built(self)
            put(self, "drawings", _drawn(self.drawings, self.joints))
            put(self, "plans", _planned(tuple(self.plans), self.joints, len(self.drawings)))
        except ActionError as error:
            raise error.at(limb=self.name)
        for array in (self.lengths, self.stops, self.drawings):
            array.setflags(write=False)

    def planned(self, joint):
        """The plan of a joint, or None."""
        return next((plan for plan in self.plans if plan.joint == joint), None)


def _named(limb):
    """Refuse joints without names, or with one name for two, and names that cannot be written."""
    joints = limb.joints
    if not joints:
        raise ActionError("it has no joints", "name at least one")
    if len(joints) > MOST_JOINTS:
        raise ActionError(f"it has {len(joints)} joints", f"keep it to {MOST_JOINTS}, or make two limbs of it")
    if len(set(joints)) != len(joints):
        raise ActionError(f'it has two joints named "{repeated(joints)}"', "give each joint its own name")
    for name in (limb.name, *joints):
        if not isinstance(name, str):
            raise ActionError(f"the name {name!r} is no text", "give limbs and joints names in letters")
        if not is_whole(name):
            raise ActionError(f'the name "{name}" holds half a character (a lone surrogate)', "type it again")


def _built(limb):
    """Refuse lengths and stops that do not make the segments between the joints."""
    joints, lengths, stops = limb.joints, limb.lengths, limb.stops
    segments = len(joints) - 1
    if lengths.shape != (segments,):
        raise ActionError(
            f"it has {len(joints)} joints, so {segments} segments, but {lengths.size} lengths",
            "give one length a segment",
        )
    if len(stops) != segments:
        raise ActionError(
            f"it has {segments} segments but {len(stops)} pairs of stops", "give one pair a segment"
        )
    good = [SMALLEST <= length <= LARGEST and -360 <= lo <= hi <= 360 for length, (lo, hi) in zip(lengths.tolist(), stops.tolist())]
    if all(good):
        return
    k = good.index(False)
    segment = k + 1, joints[k], joints[k + 1]
    length, (lo, hi) = lengths[k], stops[k]
    if not SMALLEST <= length <= LARGEST:
        raise ActionError(
            f"its length is {length:g} mm", f"it must be at least {SMALLEST:g} and at most {LARGEST:g}", segment=segment
        )
    if -360 <= lo <= 360 and -360 <= hi <= 360:
        raise ActionError(
            f"the stops are the wrong way round, {lo:g} above {hi:g} degrees",
            "write the lower one first",
            segment=segment,
        )
    raise ActionError(f"stops {lo:g} and {hi:g} degrees", "keep them between -360 and 360", segment=segment)


def _drawn(drawings, joints):
    """The drawings as one new array, or an error that names drawing and joint."""
    try:
        array = np.array(drawings, float)
    except ValueError:  # the lists are not of one length
        array = None
    if array is None or array.shape[1:] != (len(joints), 2):
        _fits(drawings, joints)
        array = np.array(drawings, float).reshape(-1, len(joints), 2)
    if len(array) < 2:
        raise ActionError(f"it has {len(array)} drawings", "a movement needs at least 2")
    if len(array) > MOST_DRAWINGS:
        raise ActionError(f"it has {len(array)} drawings", f"keep it to {MOST_DRAWINGS}, or make two files of it")
    off = off_paper(array)
    if off:
        x, y = array[off[:2]]
        raise ActionError(
            f"{x:g}, {y:g} is not a place on the paper",
            f"keep x and y within {LARGEST:g} mm",
            drawing=off[0] + 1,
            joint=joints[off[1]],
        )
    return array


def _fits(drawings, joints):
    """Refuse the first drawing that has not one point of two numbers for each joint."""
    for number, drawing in enumerate(drawings, start=1):
        if len(drawing) != len(joints):
            raise ActionError(
                f"it has {len(drawing)} points but {len(joints)} joints are named ({', '.join(joints)})",
                "give one point a joint",
                drawing=number,
            )
        for name, point in zip(joints, drawing):
            if len(point) != 2:
                raise ActionError(
                    f"it has {len(point)} numbers", "a point has two, x and y", drawing=number, joint=name
                )


def _planned(plans, joints, count):
    """The plans, or an error that names the joint."""
    seen = set()
    for plan in plans:
        if plan.joint not in joints:
            raise ActionError(f'there is no joint "{plan.joint}" to plan; there is {", ".join(joints)}')
        if plan.joint in seen:
            raise ActionError(f'it has two plans of "{plan.joint}"', "keep one")
        if len(plan.chart) != count:
            raise ActionError(
                f"its chart is for {len(plan.chart)} drawings and there are {count}",
                "give one share a drawing, or plan anew",
                plan=plan.joint,
            )
        seen.add(plan.joint)
    # The same action has one form only: plans from the body out, in whatever order they were made.
    return tuple(sorted(plans, key=lambda plan: joints.index(plan.joint)))


def repeated(names):
    """The first name that has come before, or None; in linear time."""
    seen = set()
    for name in names:
        if name in seen:
            return name
        seen.add(name)
    return None
