"""Passes, as the trade draws a limb: first the elbow through the whole loop, for it pulls; then the forearm, then the hand.

`Progress` tells what is drawn and what is expected of the rest; it is worked out once for each answer.
"""

from functools import cached_property
from typing import NamedTuple

import numpy as np

from ..geometry.angles import as_complex, unwrapped
from ..geometry.limb import angles, pose
from ..judging.brief import WAYS
from ..model.action import LARGEST, Limb
from ..model.words import capital, layer_name
from ..rules.drag import BOTH_WAYS
from .expected import expected

SAME = 0.02         # mm: a part nearer to the start than this is as it was given
STAYS = 2.0         # degrees from the plan, at which a part as given may stay,
STAYS_OF_A_STEP = 0.3   # or so much of the step that the plan takes there, where it hurries
UNTOUCHED = 0.25    # of the drawings: with more of a part as given it was not drawn through
FEW = 2             # drawings in a row that may stay as given between drawn ones
STEADY = 1.0        # degrees: a part that turns by less in the drawings given is traced through all of them
HARDLY = 5.0        # degrees: a part that turns by less in all when it is handed in was not drawn; a rule tells nothing of so little


class Layer(NamedTuple):
    """One joint through the drawings: what the goal line shows.

    Attributes
    ----------
    limb, joint, name, says : str
        `name` as the goal line calls it, `says` what the brief asks of it.
    drawings : tuple of int
        That are asked for, from 1.
    drawn : tuple of int
        Those of them that are drawn, or may stay as they are.
    begun : bool
        True where one of them was drawn by hand.
    """

    limb: str
    joint: str
    name: str
    says: str
    drawings: tuple
    drawn: tuple
    begun: bool

    @property
    def done(self):
        return len(self.drawn) == len(self.drawings)


class Progress:
    """What is drawn of an action, and what is expected of the rest.

    Parameters
    ----------
    action : Action
    start : Action or None
        The drawings as given; where nothing is known of them, everything counts as drawn.
    handed_in : bool
        True where nobody draws on: what was traced and hardly turns is then not drawn, at whatever angle it lies.
    """

    def __init__(self, action, start=None, handed_in=False):
        self.action, self.start = action, start
        given = {} if start is None else {limb.name: limb for limb in start.limbs}
        self.limbs = {limb.name: LimbProgress(limb, given.get(limb.name), action.loop, handed_in) for limb in action.limbs}

    @cached_property
    def as_given(self):
        """True where nothing has been drawn yet."""
        return self.start is not None and self.action.drawn_as(self.start)

    @cached_property
    def untouched(self):
        """The first joint of which more than a quarter is still as given: (limb, joint, drawn), or None. Rules alone may
        pass a part that was never drawn, for one that stands still breaks few of them."""
        for limb in self.limbs.values():
            for k in np.flatnonzero(limb.missing.sum(axis=0) > UNTOUCHED * self.action.count):
                return limb.name, limb.joints[k + 1], int(self.action.count - limb.missing[:, k].sum())
        return None

    @cached_property
    def undrawn(self):
        """The joints that are not drawn through yet, [[limb, joint], ...] in the order of the passes."""
        return [[limb.name, limb.joints[k + 1]] for limb in self.limbs.values() for k in np.flatnonzero(limb.missing.any(axis=0))]

    def drawn_of(self, limb, joint):
        """How many drawings of a joint are drawn."""
        of = self.limbs[limb]
        return int(self.action.count - of.missing[:, of.joints.index(joint) - 1].sum())

    def begun(self):
        """Where some parts are drawn and others are still as given: each limb as far as the outermost part begun.

        Returns
        -------
        Action or None
            With what is not drawn yet as expected. None where nothing is drawn yet, or everything.
        dict of str to ndarray of bool, shape (drawings,)
            Of each limb in it, the drawings whose outermost part is drawn.
        """
        missing = [limb.missing for limb in self.limbs.values()]
        if not any(parts.any() for parts in missing) or all(parts.all() for parts in missing):
            return None, {}
        cut, known = [], {}
        for limb in self.limbs.values():
            drawn = np.flatnonzero(~limb.missing.all(axis=0))
            if len(drawn):
                cut.append(limb.cut(drawn[-1] + 1))
                known[limb.name] = ~limb.missing[:, drawn[-1]]
        return self.action.replace(limbs=tuple(cut)), known

    def layer(self, limb, joint, apart=None):
        """One limb as far as one joint, with what is not drawn yet as expected.

        Parameters
        ----------
        limb, joint : str
        apart : int, optional
            A drawing, from 1, that stays as it is and by which the plan shall not be bent.

        Returns
        -------
        Action
        """
        of = self.limbs[limb]
        return self.action.replace(limbs=(of.cut(of.joints.index(joint), apart),))

    def layers(self, brief, way=None):
        """The joints to be drawn, each through the drawings, in the order of the passes.

        Parameters
        ----------
        brief : Brief
            Its `passes`, where it has any.
        way : str, optional
            Of brief.WAYS; the brief's unless given.

        Returns
        -------
        list of Layer
        """
        asked = [(one.limb or self._limb_with(one.joint), one) for one in brief.passes]
        asked = [(limb, one) for limb, one in asked if limb in self.limbs and one.joint in self.limbs[limb].joints]
        traced = [(limb.name, limb.joints[k + 1]) for limb in self.limbs.values() for k in np.flatnonzero(limb.traced)]
        told = {(limb, one.joint): one for limb, one in asked}
        place = self.next_place(way or brief.way)
        many = len({limb for limb, _ in traced}) > 1
        layers = []
        for limb, joint in [*dict.fromkeys([*told, *traced])]:
            one = told.get((limb, joint))
            drawings = tuple(n for n in (one.drawings if one else ()) if n <= self.action.count)
            if not drawings and (limb, joint) not in traced:
                continue
            name = one.name if one and one.name else layer_name(joint)
            name = f"{capital(limb)}: {name[:1].lower()}{name[1:]}" if many and not (one and one.name) else name
            moved = self._moved(limb, joint) if drawings else ~self.limbs[limb].missing[:, self.limbs[limb].joints.index(joint) - 1]
            drawings = drawings or tuple(range(1, self.action.count + 1))
            stay = self.may_stay(place) if place and place[:2] == (limb, joint) else ()
            drawn = tuple(n for n in drawings if moved[n - 1] or n in stay)
            layers.append(Layer(limb, joint, name, one.says if one else "", drawings, drawn, any(moved[n - 1] for n in drawings)))
        return layers

    def _limb_with(self, joint):
        return next((limb.name for limb in self.limbs.values() if joint in limb.joints), "")

    def _moved(self, limb, joint):
        """True for each drawing in which a joint lies elsewhere than as given."""
        of = self.limbs[limb]
        if of.start is None or of.start.drawings.shape != of.limb.drawings.shape:
            return np.ones(self.action.count, bool)
        j = of.joints.index(joint)
        return np.hypot(*(of.limb.drawings[:, j] - of.start.drawings[:, j]).T) > SAME

    def next_place(self, way=WAYS[0]):
        """What to draw next: the innermost joint not drawn through, and on which drawing.

        Parameters
        ----------
        way : str
            Of brief.WAYS: one drawing after the other, or first the extremes, then the breakdowns half way between
            them, then the inbetweens.

        Returns
        -------
        tuple of (str, str, int, str) or None
            Limb, joint, drawing, and what it is: "extreme", "breakdown", "inbetween", or "" straight ahead.
            None where all is drawn.
        """
        for limb in self.limbs.values():
            for k in np.flatnonzero(limb.missing.any(axis=0)):
                number, name = limb.next_of(k, way)
                return limb.name, limb.joints[k + 1], number, name
        return None

    def may_stay(self, place):
        """The drawings right before one of `next_place`, straight ahead, that are as given and lie where expected, from 1."""
        limb, joint, number, pose_name = place
        if pose_name:
            return []
        of = self.limbs[limb]
        k = of.joints.index(joint) - 1
        passed = np.flatnonzero(~(of.missing[:, k] & _lies_right(*of.course(k)))[:number - 1])
        return list(range((passed[-1] + 2) if len(passed) else 1, number))


class LimbProgress:
    """What is drawn of one limb, worked out from its root outward.

    Attributes
    ----------
    traced : ndarray of bool, shape (segments,)
        Parts that the start traces through all drawings: they are to be drawn.
    missing : ndarray of bool, shape (drawings, segments)
        Parts that are still as the start has them, where it traces them through all drawings. A part that lies where it
        is expected, between drawn ones, is drawn.
    """

    def __init__(self, limb, start, loop, handed_in=False):
        self.limb, self.start = limb, start
        self.name, self.joints = limb.name, limb.joints
        count, segments = len(limb.drawings), len(limb.joints) - 1
        self._courses = {}
        self._passed_by = {}    # part -> runs of drawings, from 0, that were passed by and lie right
        if start is None or start.drawings.shape[1:] != limb.drawings.shape[1:] or not segments or not loop:
            self.missing = np.zeros((count, segments), bool)
            self.traced = np.zeros(segments, bool)
            return
        turn = np.ptp(unwrapped(angles(start.drawings)), axis=0)
        given = np.diff(start.drawings, axis=1)
        if len(given) != count:
            given = given[:1]   # a part that was traced is the same on every drawing
        alike = np.abs(np.diff(limb.drawings, axis=1) - given).max(axis=-1) < SAME
        if handed_in:
            alike |= np.ptp(unwrapped(angles(limb.drawings)), axis=0) < HARDLY
        self.traced = turn < STEADY
        self.missing = alike & self.traced
        for k in np.flatnonzero(self.missing.any(axis=0) & ~self.missing.all(axis=0)):
            runs = _passed_by(self.missing[:, k])
            if runs:
                right = _lies_right(*self.course(k))
                self._passed_by[k] = [run for run in runs if right[run].all()]
                for run in self._passed_by[k]:      # so the course is the same with it
                    self.missing[run, k] = False

    def course(self, k):
        """Part k as drawn and as expected, absolute degrees, two of (drawings,)."""
        if k not in self._courses:
            self._courses[k] = self._course(k, ~self.missing[:, k])
        return self._courses[k]

    def _course(self, k, known):
        points, drawn = self._completed(k), self.limb.drawings
        points = np.concatenate([points, points[:, -1:] + drawn[:, k + 1:k + 2] - drawn[:, k:k + 1]], axis=1)
        turns = unwrapped(angles(points))
        return turns[:, k], expected(self.limb, k, turns, points, known)

    def cut(self, last, apart=None):
        """The limb as far as joint `last`, with what is not drawn yet as expected, as a Limb."""
        limb, joints = self.limb, self.limb.joints[:last + 1]
        return Limb(limb.name, joints, limb.lengths[:last], limb.stops[:last], self._completed(last, apart),
                    tuple(plan for plan in limb.plans if plan.joint in joints))

    def _completed(self, last, apart=None):
        """Places of the first joints with missing parts put in, (drawings, last + 1, 2)."""
        points = self.limb.drawings[:, :last + 1]
        missing = self.missing[:, :last] if apart is None else self._missing_beside(apart)[:, :last]
        if not missing.any():
            return points
        lengths = np.abs(np.diff(as_complex(points), axis=1))
        turns = unwrapped(angles(points))
        stays = np.zeros(len(points), bool)
        stays[[] if apart is None else apart - 1] = True
        for k in np.flatnonzero(missing.any(axis=0)):
            if apart is None:
                planned = self.course(k)[1]
            else:
                told = turns.copy()
                if stays[0]:    # or the plan would move with the first drawing while that is placed
                    told[0, k] = angles(self.start.drawings[0])[k]
                planned = expected(self.limb, k, told, points, ~missing[:, k] & ~stays)
            turns[:, k] = np.where(missing[:, k] & ~stays, planned, turns[:, k])
            points = pose(points[:, 0], lengths, turns)
        return np.clip(points, -LARGEST, LARGEST)   # what is only expected may lead off the paper

    def _missing_beside(self, number):
        """`missing` while a drawing, from 1, is placed: of several passed by right beside it, those before the first drawing of
        the stack have no say there, but lie where they are expected, (drawings, segments)."""
        missing, beside = self.missing.copy(), {(number - 2) % len(self.missing), number % len(self.missing)}
        for k, runs in self._passed_by.items():
            for run in runs:
                if run[1:] and not beside.isdisjoint(run):
                    missing[run[:run.index(0)] if 0 in run else run, k] = True
        return missing

    def next_of(self, k, way):
        """The drawing of part k to draw next, from 1, and what it is."""
        missing = self.missing[:, k]
        turns, planned = self.course(k)
        # Where the plan would leave a part as given there is nothing to draw, unless nothing else is left.
        ask = missing & ~(_lies_right(turns, planned) if way == WAYS[0] else np.abs(planned - turns) < STAYS)
        ask = ask if ask.any() else missing
        if way == WAYS[0]:
            return int(np.argmax(ask)) + 1, ""
        # The plan before any drawing bent it, so that an extreme once drawn stays one.
        course = self._course(k, np.zeros(len(missing), bool))[1]
        low, high = self.limb.stops[k]
        if k and not low <= -BOTH_WAYS < BOTH_WAYS <= high:     # an elbow: most bent and most open, wherever it points
            drawn, plan = self.course(k - 1)
            course = course - np.where(self.missing[:, k - 1], plan, drawn)
        extremes, breakdowns = _poses(course)
        for name, places in (("extreme", extremes), ("breakdown", breakdowns), ("inbetween", range(len(missing)))):
            left = [d for d in places if ask[d]]
            if left:
                return left[0] + 1, name
        return int(np.argmax(ask)) + 1, "inbetween"


def _passed_by(missing):
    """Runs of missing drawings, from 0, that drawn ones bound on both sides, none of them long; nothing is drawn before the
    first, and the last is followed by it."""
    count = len(missing)
    first = int(np.argmin(missing))     # a drawn one: no run goes over it
    found, run = [], []
    for d in [*range(first + 1, count), *range(first + 1)]:
        if missing[d]:
            run.append(d)
            continue
        # In a pass that goes straight ahead only the first drawings of it are passed by; what comes after is still to be drawn.
        if 0 in run and len(run) > FEW:
            run = run[run.index(0):]
        if len(run) <= FEW:
            found.append(run)
        run = []
    return [run for run in found if run]


def _lies_right(turns, planned):
    """True where a part lies as it is expected, (drawings,)."""
    step = np.empty_like(planned)
    step[1:-1] = np.abs(planned[2:] - planned[:-2]) / 2.0
    step[[0, -1]] = step[[1, -2]]   # beyond the ends a turn may be counted once more
    return np.abs(planned - turns) < np.maximum(STAYS, STAYS_OF_A_STEP * step)


def _poses(turns):
    """The two extremes of a planned swing or bend and the breakdowns half way between them, from 0, in the order of the loop."""
    count = len(turns)
    one, two = sorted((int(np.argmax(turns)), int(np.argmin(turns))))
    return (one, two), ((one + two) // 2, (two + (count - two + one) // 2) % count)
