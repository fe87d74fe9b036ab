"""One limb under work: which of its parts are drawn, on which drawings, and what is expected of the rest."""

from functools import cached_property, lru_cache
from typing import NamedTuple

import numpy as np

from ..geometry.angles import as_complex, unwrapped, wrapped
from ..geometry.limb import angles, pose
from ..judging.brief import WAYS
from ..model.action import LARGEST, Limb
from ..model.words import way_of
from ..rules.drag import BOTH_WAYS
from .expected import bent, expected, keeps, plan_of, swing_left

SAME = 0.02         # mm: a part nearer to the start than this is as it was given
STAYS = 2.0         # degrees from the plan, at which a part as given may stay,
STAYS_OF_A_STEP = 0.3   # or so much of the step that the plan takes there, where it hurries
FEW = 2             # drawings in a row that may stay as given between drawn ones
STEADY = 1.0        # degrees: a part that turns by less in the drawings given is traced through all of them
HARDLY = 5.0        # degrees: a part that turns by less in all when it is handed in was not drawn; a rule tells nothing of so little
SHORT = 0.5         # of the swing of its plan: a part that is drawn through and swings less has not got where the plan leads
SHORT_OF = 4.0      # degrees from its plan, at which a part has got to where it turns
STILL, HEAP = 0.75, 0.25    # so many of its drawings within so much of what its plan turns: they stand in a heap


class Short(NamedTuple):
    """A part that is drawn through and swings too little.

    `drawing`, from 1, is the one of the two at which it turns that is farther from its plan; where both lie well, of all. `way` is
    where its plan has it from where it lies: "to the right". `heap`: most of its drawings stand nearly still.
    """

    limb: str
    joint: str
    drawing: int
    way: str
    heap: bool

    def says(self, who):
        """Where it should lie, in a sentence about `who`."""
        return f"On {self.drawing} {who} should lie farther {self.way}."


class LimbProgress:
    """What is drawn of one limb, worked out from its root outward.

    Attributes
    ----------
    traced : ndarray of bool, shape (segments,)
        Parts that the start traces through all drawings: they are to be drawn.
    missing : ndarray of bool, shape (drawings, segments)
        Parts that are still as the start has them, where it traces them through all drawings. A part that lies where it
        is expected, between drawn ones, is drawn.
    turns : dict, optional
        The two drawings, from 1, at which the brief has a joint turn, by joint: `Pass.turns`.
    stays : iterable of (str, int)
        Joint and drawing, from 1, that were looked at and left as they lie: they are drawn.
    """

    def __init__(self, limb, start, loop, handed_in=False, turns=None, stays=()):
        self.limb, self.start, self._turns = limb, start, turns or {}
        self.name, self.joints = limb.name, limb.joints
        count, segments = len(limb.drawings), len(limb.joints) - 1
        self._courses, self._plain, self._plans = {}, {}, {}
        self.by_hand = np.ones((count, segments), bool)
        self._held = np.zeros((count, segments), bool)  # as given, and known
        self._passed_by = {}    # part -> runs of drawings, from 0, that were passed by and lie right
        if start is None or start.drawings.shape[1:] != limb.drawings.shape[1:] or not segments or not loop:
            self.missing = np.zeros((count, segments), bool)
            self.traced = np.zeros(segments, bool)
            return
        self.traced, given = _given(start)
        if len(given) != count:
            given = given[:1]   # a part that was traced is the same on every drawing
        alike = np.abs(limb.drawings[:, 1:] - limb.drawings[:, :-1] - given).max(axis=-1) < SAME
        if handed_in:
            alike |= self.turned < HARDLY
        self.missing = alike & self.traced
        for joint, number in stays:     # looked at, and left as they lie
            if joint in self.joints[1:] and 1 <= number <= count:
                self.missing[number - 1, self.joints.index(joint) - 1] = False
        self.by_hand = ~self.missing
        if not self.missing.any():
            return
        for k in np.flatnonzero(self.missing.any(axis=0) & ~self.missing.all(axis=0)):
            if not handed_in or self.missing[1:, k].any():      # of the first drawing alone there is no rest
                first = self._first_that_stay(k)
                if not handed_in or (self.missing[:, k] & ~first).any():
                    self._held[:, k] = first    # the rest is expected to go through what may stay; nobody has to draw it
                    self.missing[first, k] = False
            runs = _passed_by(self.missing[:, k] | self._held[:, k])
            if runs:
                right = lies_right(*self.course(k))
                self._passed_by[k] = [run for run in runs if right[run].all()]
                for run in self._passed_by[k]:      # so the course is the same with it
                    self.missing[run, k] = False

    def course(self, k):
        """Part k as drawn and as expected, absolute degrees, two of (drawings,)."""
        if k not in self._courses:
            self._courses[k] = self._course(k, ~self.missing[:, k])
        return self._courses[k]

    def asked_turns(self, k):
        """The two drawings, from 1, at which the brief has the joint at the end of part k turn; None where it says nothing."""
        turns = self._turns.get(self.joints[k + 1])
        return turns if turns and max(turns) <= len(self.missing) else None

    def _unbent(self, k):
        """The same before any drawing bent the plan of this part."""
        if k not in self._plain:
            self._plain[k] = self._course(k, np.zeros(len(self.missing), bool))
        return self._plain[k]

    def _course(self, k, known):
        if k not in self._plans:
            points, drawn = self._completed(k), self.limb.drawings
            points = np.concatenate([points, points[:, -1:] + drawn[:, k + 1:k + 2] - drawn[:, k:k + 1]], axis=1)
            turns = unwrapped(angles(points))
            self._plans[k] = turns[:, k], plan_of(self.limb, k, turns, points, self.asked_turns(k))
        turns, plan = self._plans[k]
        return turns, bent(plan, turns, known, keeps(k, self.asked_turns(k)))[0]

    @cached_property
    def turned(self):
        """How far each part turns in all, degrees, (segments,)."""
        return np.ptp(unwrapped(angles(self.limb.drawings)), axis=0)

    def cut(self, last, apart=None):
        """The limb as far as joint `last`, with what is not drawn yet as expected, as a Limb."""
        limb, joints = self.limb, self.limb.joints[:last + 1]
        return Limb(limb.name, joints, limb.lengths[:last], limb.stops[:last], self._completed(last, apart),
                    tuple(plan for plan in limb.plans if plan.joint in joints))

    def planned(self, last):
        """Places of joint `last` by the plan of all traced parts before any drawing bent it, (drawings, 2), mm."""
        lengths = np.abs(np.diff(as_complex(self.limb.drawings[:, :last + 1]), axis=1))
        start = self.limb if self.start is None else self.start
        turns = np.resize(unwrapped(angles(start.drawings)), (len(self.missing), self.missing.shape[1]))
        points = self.limb.drawings[:, :1]
        for k in range(last):
            points = pose(points[:, 0], lengths[:, :k + 1], turns[:, :k + 1])
            if self.traced[k]:
                turns[:, k] = plan_of(self.limb, k, turns[:, :k + 1], points, self.asked_turns(k))
        return pose(points[:, 0], lengths, turns[:, :last])[:, last]

    def _completed(self, last, apart=None):
        """Places of the first joints with missing parts put in, (drawings, last + 1, 2)."""
        points = self.limb.drawings[:, :last + 1]
        missing = self.missing[:, :last] if apart is None else self._missing_beside(apart)[:, :last]
        open_parts = missing.any(axis=0)
        if apart is not None and last and self.short(last - 1):
            open_parts[last - 1] = True
        if not open_parts.any():
            return points
        lengths = np.abs(np.diff(as_complex(points), axis=1))
        turns = unwrapped(angles(points))
        stays = np.zeros(len(points), bool)
        stays[[] if apart is None else apart - 1] = True
        for k in np.flatnonzero(open_parts):
            laid = missing[:, k]
            if apart is None:
                planned = self.course(k)[1]
            else:
                told = turns.copy()
                if stays[0]:    # or the plan would move with the first drawing while that is placed
                    told[0, k] = angles(self.start.drawings[0])[k]
                planned, sank = expected(self.limb, k, told, points, ~laid & (~stays | self._held[:, k]), self.asked_turns(k))
                laid = laid | sank      # beside drawings that hardly move, a place would be asked for among them
            turns[:, k] = np.where(laid & ~stays, planned, turns[:, k])
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

    def asked(self, k, way):
        """Which drawings of part k a person has to draw, and which of them are drawn, two of bool, (drawings,).

        What may stay in the beginning is told by the plan before any drawing bent it, so that the count does not change
        under the hand; nobody is asked for it, in the end neither.
        """
        missing, by_hand = self.missing[:, k], self.by_hand[:, k]
        if not missing.any() and not by_hand.any():
            return ~by_hand, by_hand
        asked = np.ones(len(missing), bool)
        if not missing.any() or way == WAYS[0] and not self.missing[:, :k].any():   # before what carries it is drawn, nobody knows
            stays = self._first_that_stay(k)
            asked = ~stays | stays.all()
        return asked, by_hand | ~missing & ~self._held[:, k]    # what was passed by and lies right is drawn

    def _first_that_stay(self, k):
        """True for the first drawings of the stack in which part k is as given and lies where its plan has it before any drawing
        bent it, (drawings,)."""
        if self.by_hand[0, k]:
            return np.zeros(len(self.by_hand), bool)
        turns, planned = self._unbent(k)
        stays = lies_right(turns, planned) & ~self.by_hand[:, k]
        stays[len(stays) if stays.all() else int(np.argmin(stays)):] = False
        return stays

    def goes(self, k, short=None):
        """How far part k has still to turn on each drawing, degrees, (drawings,): 0 where it is drawn or lies where it is expected;
        of one that is drawn through and has a Short also where it is drawn. Nothing is known, and all 0, before what carries it
        is drawn."""
        asked = self.missing[:, k] | (short is not None)
        if self.missing[:, :k].any() or not asked.any():
            return np.zeros(len(self.missing))
        turns, planned = self.course(k)
        return np.where(asked & ~lies_right(turns, planned), planned - turns, 0.0)

    def lies_right(self, k):
        """True where part k is not drawn and lies where it is expected, (drawings,)."""
        missing = self.missing[:, k]
        return missing & lies_right(*self.course(k)) & ~self.missing[:, :k].any() if missing.any() else missing

    def short(self, k):
        """The Short of part k, where it and what carries it are drawn through; else None. What was given is never short."""
        if not self.traced[k] or self.missing[:, :k + 1].any():
            return None
        turns, planned = self.course(k)
        plan = self._plans[k][1]
        if swing_left(turns, plan) >= SHORT:
            return None
        there = [number - 1 for number in self.asked_turns(k) or ()] or _poses(plan)[0]
        off = np.abs(wrapped(planned - turns))
        at = max(there, key=lambda d: off[d])
        at = int(at if off[at] >= SHORT_OF else np.argmax(off))
        goes = self.limb.lengths[k] * (np.exp(1j * np.radians(planned[at])) - np.exp(1j * np.radians(turns[at])))
        order, most = np.sort(turns), int(STILL * len(turns))
        heap = (order[most - 1:] - order[:len(order) - most + 1]).min() < HEAP * np.ptp(plan)
        return Short(self.name, self.joints[k + 1], at + 1, way_of((goes.real, goes.imag)), bool(heap))

    def next_of(self, k, way):
        """The drawing of part k to draw next, from 1, and what it is."""
        missing = self.missing[:, k]
        turns, planned = self.course(k)
        # Where the plan would leave a part as given there is nothing to draw, unless nothing else is left.
        ask = missing & ~(lies_right(turns, planned) if way == WAYS[0] else np.abs(planned - turns) < STAYS)
        ask = ask if ask.any() else missing
        if way == WAYS[0]:
            return int(np.argmax(ask)) + 1, ""
        # The plan before any drawing bent it, so that an extreme once drawn stays one.
        course = self._unbent(k)[1]
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


@lru_cache(maxsize=16)
def _given(start):
    """Which parts a limb as given traces through all its drawings, bool (segments,), and its parts, mm, (drawings, segments, 2):
    alike for all who were given it."""
    return np.ptp(unwrapped(angles(start.drawings)), axis=0) < STEADY, np.diff(start.drawings, axis=1)


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


def lies_right(turns, planned):
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
