"""What a plan expects of a part that is not drawn yet: slow in and slow out between two extremes, later than the part
that carries it; the last of three parts trails behind the swing.

What is drawn bends the plan: near a drawing the plan goes through it, far from it the plan only keeps its middle and its
swing. When it turns stays: where the brief asks for it, and behind the part that carries it, a hand that is a little early
or late all along does not lead the rest away with it. The swing stays, too, where it would sink below `LEAST`: drawings that
hardly move do not lead the rest into standing still.
"""

from functools import lru_cache

import numpy as np

from ..geometry.angles import as_complex, wrapped
from ..rules.drag import BOTH_WAYS
from .plan import dots

SWING = 30.0        # degrees either side of its middle, for the first part
PULLED = 0.9        # of the swing of the part that carries it, for the parts between
LATER = 4.0 / 24.0  # of the loop, behind the part that carries it
LAZY = 1.0 / 24.0   # of the loop, behind the swing: so late the last part trails
EITHER_WAY = -1.0 / 24.0, 3.0 / 24.0    # of the loop: by so much sooner or later a part bends where the brief asks when it turns
TRAILS = 22.0       # degrees, for the last of three or more parts, at full swing
CLEAR = 6.0         # degrees that a plan stays away from the stops
MIDDLE, SWAY, HERE = 25.0, 15.0, 6.0   # degrees by which a drawing may shift the plan's middle, its swing, the plan near it
NEAR = 0.6          # how far `HERE` reaches, as a part of the loop's radius
SHIFT = 3.0         # degrees across the swing: by so much a drawing may shift when the plan turns, where that is to stay
PENCIL = 1.0        # degrees, by which a drawing need not be met: no hand is steadier
LEAST = 0.6         # of its swing before any drawing bent it: a plan swings no less
SWINGS = 3.0        # degrees either side: what a plan swings by less is no swing that could be kept
ASTRAY = 3.0        # standard deviations from where the others would have it


def expected(limb, k, turns, points, known, asked=None):
    """How part k would turn, absolute degrees, (drawings,): its plan, bent to the drawings that are known; and True where these
    would have led it to swing less than `LEAST`.

    Parameters
    ----------
    limb : Limb
    k : int
        The part, from 0.
    turns : ndarray, shape (drawings, k + 1)
        Angles of the parts as far as this one, degrees without jumps.
    points : ndarray, shape (drawings, k + 2, 2)
        mm.
    known : ndarray of bool, shape (drawings,)
    asked : tuple of int, optional
        The two drawings, from 1, at which the brief has it turn: farthest counter-clockwise first.
    """
    return bent(plan_of(limb, k, turns, points, asked), turns[:, k], known, keeps(k, asked))


def plan_of(limb, k, turns, points, asked=None):
    """How part k would turn, absolute degrees, (drawings,), told by what is nearer the root and by when it is asked to turn."""
    own_path = limb.planned(limb.joints[k + 1])
    if own_path is not None:        # the path of action and the chart decide
        way = dots(own_path, True) - points[:, k]
        return np.unwrap(np.degrees(np.arctan2(way[:, 1], way[:, 0])), period=360.0)
    low, high = limb.stops[k]
    own = turns[0, k] - (turns[0, k - 1] if k else 0.0)
    room = max((high - low) / 2.0 - CLEAR, 0.0)
    if k == 0:
        own += 360.0 * np.round(((low + high) / 2.0 - own) / 360.0)
        swing = min(SWING, room)
        return _between(own, low + CLEAR + swing, high - CLEAR - swing) + swing * _swing(len(turns), asked)
    parent = turns[:, k - 1]
    if k == len(limb.joints) - 2 and (k >= 2 or low <= -BOTH_WAYS and high >= BOTH_WAYS):
        swing, across = min(TRAILS, room), _across(points, k)

        def plan(late):
            return parent - swing * _full(_later(across, late, 2))

        return plan(_later_by(plan, LAZY, asked, limb, k, points))
    swing = min(PULLED * np.abs(parent - parent.mean()).max(), room)
    own = _between(wrapped(own), low + CLEAR + swing, high - CLEAR - swing)

    def plan(late):
        return parent + own + swing * _full(_later(parent - parent.mean(), late))

    return plan(_later_by(plan, LATER, asked, limb, k, points))


def _between(value, low, high):
    """The nearest value within limits; `np.clip` of a single number takes far longer."""
    return min(max(value, low), high)


def _swing(count, asked):
    """A swing that slows at both ends, -1 to 1, (drawings,): from its middle on drawing 1, or between the drawings at which it is
    asked to turn."""
    at = np.arange(count)
    if asked is None:
        return np.sin(2 * np.pi * at / count)
    out, back = (number - 1 for number in asked)
    there = (back - out) % count
    gone = (at - out) % count
    return np.where(gone <= there, np.cos(np.pi * gone / there), -np.cos(np.pi * (gone - there) / (count - there)))


def _later_by(plan, usual, asked, limb, k, points):
    """How much later a part bends than what carries it, of the loop: so much that its joint turns where it is asked to."""
    if asked is None:
        return usual
    count = len(points)
    late = usual + np.linspace(*EITHER_WAY, 33)
    place = as_complex(points)[:, k] + limb.lengths[k] * np.exp(1j * np.radians(plan(late)))
    turn = np.array(asked) - 1
    along = place[:, turn[:1]] - place[:, turn[1:]]
    # Where it turns, it stands as far out on the drawing before as on the one after.
    lean = (place[:, (turn + 1) % count] - place[:, (turn - 1) % count]) * along.conj() / np.maximum(np.abs(along), 1e-9)
    return late[int(np.argmin((lean.real ** 2).sum(axis=1)))]


def _across(points, k):
    """How fast the joint that carries part k moves across the part before it, mm a drawing."""
    z = as_complex(points)
    return ((z[:, k] - z[:, k - 1]).conj() * (np.roll(z[:, k], -1) - np.roll(z[:, k], 1))).imag


def _full(course):
    """Courses to their full swing, -1 to 1, (..., drawings)."""
    return course / np.maximum(np.abs(course).max(axis=-1, keepdims=True), 1e-9)


def _later(values, turns, harmonics=None):
    """A periodic course so many turns of the loop later, (..., drawings) of turns (...)."""
    wave = np.fft.rfft(values)
    if harmonics is not None:
        wave[harmonics + 1:] = 0.0
    return np.fft.irfft(wave * np.exp(-2j * np.pi * np.asarray(turns)[..., None] * np.arange(len(wave))), len(values))


def keeps(k, asked):
    """Whether what is drawn of part k leaves alone when its plan turns."""
    return k > 0 or asked is not None


def bent(plan, turns, known, keeps):
    """The plan bent to the drawings that are known, and True where it keeps `LEAST` against them.

    The smoothest way there, as Gaussian-process regression finds it (Rasmussen and Williams, Gaussian Processes for Machine
    Learning, 2006, equation 2.25). A drawing that is out of place among the others does not bend it (equations 5.10 to 5.12, each
    left out in turn).
    """
    if not known.any():
        return plan, False
    use = np.flatnonzero(known)
    way = plan + _shift(plan, turns, use, _phase(plan) if keeps else None)
    left = _first(way) / _first(plan) if swings(plan) else 1.0
    if abs(left) >= LEAST:
        return way, False
    # As much more of its own swing as there is too little. What is near does not bend it: it would lead on as it lies.
    more = np.sqrt(LEAST**2 - left.imag**2) - left.real
    wave = np.fft.rfft(plan)
    wave[1] *= left + more
    way = np.fft.irfft(wave, len(plan))
    return way + np.median(wrapped(turns - way)[use]), True


def _shift(plan, turns, use, phase):
    """By how much the drawings that are used shift a plan, degrees, (drawings,)."""
    alike, off = _alike(len(plan), phase), wrapped(turns - plan)
    while True:
        inverse, sure = _inverse(len(plan), phase, tuple(use.tolist()))
        weights = inverse @ off[use]
        astray = np.abs(weights) / sure
        if len(use) < 3 or astray.max() < ASTRAY:
            return alike[:, use] @ weights
        use = np.delete(use, np.argmax(astray))


def _first(course):
    """The first harmonic of a course: how far it swings either side, degrees, and when, complex."""
    return np.fft.rfft(course)[1] * 2.0 / len(course)


def swings(plan):
    """True of a plan that swings enough to be kept to."""
    return abs(_first(plan)) >= SWINGS


def swing_left(course, plan):
    """How much of the swing of a plan a course has, either way; 1 of a plan that hardly swings."""
    return abs(_first(course) / _first(plan)) if swings(plan) else 1.0


def _phase(plan):
    """When a plan is at its extreme, in 360ths of the loop."""
    return int(np.round(np.degrees(-np.angle(np.fft.rfft(plan)[1])))) % 360


@lru_cache(maxsize=32)
def _alike(count, phase=None):
    """How much a drawing says of another, covariance, degrees squared, (drawings, drawings); with a phase, when the plan turns is not
    told by what is drawn."""
    at = 2 * np.pi * np.arange(count) / count
    apart = at[:, None] - at
    swing = SWAY**2 * np.cos(apart)
    if phase is not None:
        at = at - np.radians(phase)
        swing = SWAY**2 * np.outer(np.cos(at), np.cos(at)) + SHIFT**2 * np.outer(np.sin(at), np.sin(at))
    return MIDDLE**2 + swing + HERE**2 * np.exp(-2.0 * np.sin(apart / 2.0) ** 2 / NEAR**2)


@lru_cache(maxsize=64)
def _inverse(count, phase, use):
    """Inverse of the covariance of some drawings, pencil included, and the roots of its diagonal."""
    inverse = np.linalg.inv(_alike(count, phase)[np.ix_(use, use)] + PENCIL**2 * np.eye(len(use)))
    return inverse, np.sqrt(np.diag(inverse))
