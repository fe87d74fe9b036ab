"""What a plan expects of a part that is not drawn yet: slow in and slow out between two extremes, later than the part
that carries it; the last of three parts trails behind the swing.

What is drawn bends the plan: near a drawing the plan goes through it, far from it the plan only keeps its middle and its
swing.
"""

from functools import lru_cache

import numpy as np

from ..geometry.angles import as_complex, wrapped
from ..rules.drag import BOTH_WAYS
from .plan import dots

SWING = 30.0        # degrees either side of its middle, for the first part
PULLED = 0.9        # of the swing of the part that carries it, for the parts between
LATER = 4.0 / 24.0  # of the loop, behind the part that carries it
TRAILS = 22.0       # degrees, for the last of three or more parts, at full swing
CLEAR = 6.0         # degrees that a plan stays away from the stops
MIDDLE, SWAY, HERE = 25.0, 15.0, 6.0   # degrees by which a drawing may shift the plan's middle, its swing, the plan near it
NEAR = 0.6          # how far `HERE` reaches, as a part of the loop's radius
PENCIL = 0.3        # degrees, by which a drawing need not be met
ASTRAY = 3.0        # standard deviations from where the others would have it


def expected(limb, k, turns, points, known):
    """How part k would turn, absolute degrees, (drawings,): its plan, bent to the drawings that are known.

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
    """
    return bent(plan_of(limb, k, turns, points), turns[:, k], known)


def plan_of(limb, k, turns, points):
    """How part k would turn, absolute degrees, (drawings,), told by what is nearer the root."""
    own_path = limb.planned(limb.joints[k + 1])
    if own_path is not None:        # the path of action and the chart decide
        way = dots(own_path, True) - points[:, k]
        return np.unwrap(np.degrees(np.arctan2(way[:, 1], way[:, 0])), period=360.0)
    at = 2 * np.pi * np.arange(len(turns)) / len(turns)
    low, high = limb.stops[k]
    own = turns[0, k] - (turns[0, k - 1] if k else 0.0)
    room = max((high - low) / 2.0 - CLEAR, 0.0)
    if k == 0:
        own += 360.0 * np.round(((low + high) / 2.0 - own) / 360.0)
        swing = min(SWING, room)
        return _between(own, low + CLEAR + swing, high - CLEAR - swing) + swing * np.sin(at)
    if k == len(limb.joints) - 2 and (k >= 2 or low <= -BOTH_WAYS and high >= BOTH_WAYS):
        swing = min(TRAILS, room)
        return turns[:, k - 1] - swing * _across(points, k)
    parent = turns[:, k - 1] - turns[:, k - 1].mean()
    swing = min(PULLED * np.abs(parent).max(), room)
    late = _later(parent, LATER)
    own = wrapped(own)
    return turns[:, k - 1] + _between(own, low + CLEAR + swing, high - CLEAR - swing) + swing * late / max(np.abs(late).max(), 1e-9)


def _between(value, low, high):
    """The nearest value within limits; `np.clip` of a single number takes far longer."""
    return min(max(value, low), high)


def _across(points, k):
    """How fast the joint that carries part k moves across the part before it, -1 to 1; a part is lazy, so smooth and a little late."""
    z = as_complex(points)
    speed = np.roll(z[:, k], -1) - np.roll(z[:, k], 1)
    across = _later(((z[:, k] - z[:, k - 1]).conj() * speed).imag, 1.0 / 24.0, 2)
    return across / max(np.abs(across).max(), 1e-9)


def _later(values, turns, harmonics=None):
    """A periodic course so many turns of the loop later."""
    wave = np.fft.rfft(values)
    if harmonics is not None:
        wave[harmonics + 1:] = 0.0
    return np.fft.irfft(wave * np.exp(-2j * np.pi * turns * np.arange(len(wave))), len(values))


def bent(plan, turns, known):
    """The plan bent to the drawings that are known: the smoothest way there, as Gaussian-process regression
    finds it (Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, equation 2.25). One that
    is out of place among the others does not bend it (equations 5.10 to 5.12, each left out in turn)."""
    if not known.any():
        return plan
    off, alike = wrapped(turns - plan), _alike(len(plan))
    use = np.flatnonzero(known)
    while True:
        inverse, sure = _inverse(len(plan), tuple(use.tolist()))
        weights = inverse @ off[use]
        astray = np.abs(weights) / sure
        if len(use) < 3 or astray.max() < ASTRAY:
            return plan + alike[:, use] @ weights
        use = np.delete(use, np.argmax(astray))


@lru_cache(maxsize=32)
def _alike(count):
    """How much a drawing says of another, covariance, degrees squared, (drawings, drawings)."""
    at = 2 * np.pi * np.arange(count) / count
    apart = at[:, None] - at
    return MIDDLE**2 + SWAY**2 * np.cos(apart) + HERE**2 * np.exp(-2.0 * np.sin(apart / 2.0) ** 2 / NEAR**2)


@lru_cache(maxsize=64)
def _inverse(count, use):
    """Inverse of the covariance of some drawings, pencil included, and the roots of its diagonal."""
    inverse = np.linalg.inv(_alike(count)[np.ix_(use, use)] + PENCIL**2 * np.eye(len(use)))
    return inverse, np.sqrt(np.diag(inverse))
