"""Courses of a swing in time, for the trial of the rules: what is right by the trade, as functions of time alone.

A wave runs between -1 and 1. One that loops has the period 1. What is said of it: how many drawings it needs at least, how
many it must have (a chart is made for its drawings), and whether its drawings fall on whole numbers.
"""

from dataclasses import dataclass

import numpy as np
from scipy.interpolate import PchipInterpolator

LONGEST = 64    # drawings of a loop in class


@dataclass
class Wave:
    """A course in time.

    Attributes
    ----------
    at : function
        Of times in turns, any shape.
    drawings : int
        How many it is drawn with.
    whole : bool
        True where its drawings, and the lag of each part, fall on whole drawings.
    """

    at: object
    drawings: int
    whole: bool = False


def min_jerk(s):
    """From 0 to 1 while s does: 10 s^3 - 15 s^4 + 6 s^5 (Flash and Hogan 1985, from memory)."""
    s = np.clip(s, 0.0, 1.0)
    return s**3 * (10 - 15 * s + 6 * s**2)


def number(rng, least=8, most=LONGEST):
    """A number of drawings, small ones as often as large ones."""
    return int(np.exp(rng.uniform(np.log(least), np.log(most + 1))))


def _there_and_back(there, back, share):
    """A wave of two half swings: from -1 to 1 in `share` of the loop, and back in the rest; each a function of 0..1."""
    def at(t):
        t = np.mod(t, 1.0)
        return np.where(t < share, 2 * there(t / share) - 1, 1 - 2 * back((t - share) / (1 - share)))
    return at


def _through(knots, values):
    """A periodic monotone cubic through values at knots in 0..1, the last a turn after the first."""
    knots = np.concatenate([knots[:-1] - 1, knots[:-1], knots + 1])
    values = np.concatenate([values[:-1], values[:-1], values])
    curve = PchipInterpolator(knots, values)
    return lambda t: curve(np.mod(t, 1.0))


def cosine(rng):
    return Wave(lambda t: -np.cos(2 * np.pi * t), number(rng))


def _chart(rng, left):
    """Each inbetween halfway (or two thirds of the way) from the one before it to the extreme: common practice, no source.

    `left` is the share of what is left after each; the last gap is all that is left.
    """
    quarters = rng.integers(3, 6 if left < 0.5 else 7, 4)   # drawings from breakdown to extreme
    if rng.random() < 0.5:
        quarters[:] = quarters[0]
    swing = []
    for i, gaps in enumerate(quarters):
        # From the breakdown, at 0, to the extreme, at 1.
        out = np.array([1 - left**g for g in range(gaps)] + [1.0])
        sign = (-1, -1, 1, 1)[i]
        # to -1, from -1, to 1, from 1
        swing += list(sign * (out[:-1] if i % 2 == 0 else out[:0:-1]))
    n = len(swing)
    return Wave(_through(np.arange(n + 1) / n, np.array([*swing, swing[0]])), n, whole=True)


def halves(rng):
    return _chart(rng, 1 / 2)


def thirds(rng):
    return _chart(rng, 1 / 3)


def cushions(rng):
    """Slow-ins of another width at each end."""
    wide, narrow = rng.uniform(0.45, 0.7), rng.uniform(0.2, 0.35)
    if rng.random() < 0.5:
        wide, narrow = narrow, wide
    t = np.linspace(0, 1, 2001)

    def half(first, last):
        speed = np.minimum(np.where(t < first, (1 - np.cos(np.pi * t / first)) / 2, 1.0),
                           np.where(1 - t < last, (1 - np.cos(np.pi * (1 - t) / last)) / 2, 1.0))
        place = np.concatenate([[0], np.cumsum((speed[1:] + speed[:-1]) / 2)])
        return lambda s: np.interp(s, t, place / place[-1])

    return Wave(_there_and_back(half(wide, narrow), half(narrow, wide), 0.5), number(rng, 12))


def snap(rng):
    """Slowly back, quickly forward; the quick way has three drawings at least."""
    quick = rng.uniform(0.22, 0.38)
    eased = lambda s: (1 - np.cos(np.pi * s)) / 2  # noqa: E731
    return Wave(_there_and_back(eased, eased, quick), number(rng, int(np.ceil(4 / quick))))


def tanh(rng):
    k = rng.uniform(0.6, 1.6)
    return Wave(lambda t: -np.tanh(k * np.cos(2 * np.pi * t)) / np.tanh(k), number(rng, 12))


def arcsine(rng):
    c = rng.uniform(0.5, 0.93)
    return Wave(lambda t: -np.arcsin(c * np.cos(2 * np.pi * t)) / np.arcsin(c), number(rng, 10))


def jerk(rng):
    return Wave(_there_and_back(min_jerk, min_jerk, 0.5), number(rng, 10))


def hover(rng):
    """Slow for a while round both extremes, in motion all the time."""
    k = rng.uniform(0.35, 0.8)

    def at(t):
        x = 2 * np.pi * np.asarray(t) - np.pi / 2
        return np.sin(x + k / 2 * np.sin(2 * x))
    return Wave(at, number(rng, 14))


def rest(rng, lag, drift=0.0, both=None):
    """Half swings with a rest at one extreme or both, so long that parts which come `lag` drawings later rest together for 2
    to 4 drawings. With `drift` they do not rest but go on by so much."""
    there, back = rng.integers(5, 13, 2)
    held = int(lag + rng.integers(2, 5) - 1)
    low = held if (rng.random() < 0.4 if both is None else both) else 0
    n = int(there + held + back + low)

    def at(t):
        d = np.mod(t, 1.0) * n
        out = np.where(d < there, -1 + (2 - drift) * min_jerk(d / there), 0.0)
        up = (d >= there) & (d < there + held)
        out = np.where(up, 1 - drift + drift * min_jerk((d - there) / held), out)
        down = (d >= there + held) & (d < there + held + back)
        end = -1 + (drift if low else 0.0)
        out = np.where(down, 1 - (1 - end) * min_jerk((d - there - held) / back), out)
        if low:
            out = np.where(d >= there + held + back, end - drift * min_jerk((d - there - held - back) / low), out)
        return out
    return Wave(at, n, whole=True)


LOOPING = {"cosine": cosine, "chart by halves": halves, "chart by thirds": thirds, "cushions": cushions,
           "slow back, snap forward": snap, "tanh": tanh, "arcsine": arcsine, "minimum jerk": jerk}


def smooth(rng):
    """A plain course, for movements that are about something else than their timing."""
    return (cosine, jerk, hover)[rng.integers(3)](rng)
