"""Who stands next to whom in a stack, and the weights that follow from it.

Neighbours decide where a drawing is looked for: the cubic through the two
drawings before and the two after it, (-p₋₂ + 4p₋₁ + 4p₊₁ - p₊₂)/6 where all
are exposed alike (Lagrange's interpolation).
"""

from functools import lru_cache

import numpy as np

FEWEST = 8  # drawings: below, four neighbours a drawing say nothing about it


class Order:
    """Which drawing comes before each, and which after it.

    Attributes
    ----------
    before, after : ndarrays of int, shape (drawings,)
        The drawing before and after each; itself at the ends of an action that does not loop.
    """

    def __init__(self, before, after):
        self.before, self.after = before, after

    # `take` needs a third of the time of an index in brackets.
    def earlier(self, values, axis=-2):
        """For each drawing along an axis, the value of the drawing before it; the same shape."""
        return values.take(self.before, axis)

    def later(self, values, axis=-2):
        """The same of the drawing after it."""
        return values.take(self.after, axis)


class Neighbours(Order):
    """Who stands next to whom in a stack, and the weights that follow from it.

    Attributes
    ----------
    around : ndarray of int, shape (4, drawings)
        The two before and the two after each drawing; near the ends of an
        action that does not loop, the four nearest.
    residual : ndarray, shape (drawings, drawings)
        Times positions: how far each drawing lies from where its neighbours put it. Where nothing loops,
        the first and the last are given: beyond the neighbours a cubic runs wild.
    outlier : ndarray, shape (drawings, drawings)
        Times positions: the displacement of that one drawing which best explains what
        is left over at it and around it. A smooth movement gives next to nothing here,
        even where it turns sharply; one drawing out of place gives its displacement.
    half_way : ndarray, shape (drawings, drawings)
        Times positions: the path half way into each drawing from the one before it.
    spread : ndarray, shape (drawings, drawings)
        Times the steps into each drawing: the mean of the four steps around it.
    certainty : ndarray, shape (drawings,)
        Times `outlier`: largest at the drawing that is out of place, whatever its neighbours' exposures.
    wave : ndarray, shape (2, drawings)
        Times values: their first harmonic over a turn of the loop, its real and its imaginary part.
    alike : ndarray of bool, shape (drawings,)
        The drawing and the four round it are exposed alike.
    opposite : ndarray of int, shape (2, drawings)
        The two drawings nearest to half a loop later; twice the same where one lies there.
    pace : ndarray, shape (drawings,)
        Times the way from the drawing before to the one after: the way in the time of a mean exposure.
    frames, time : ndarrays, shape (drawings,)
        Frames each drawing is held (a long hold counts as twice the usual), and when it is
        first seen, in turns of the loop.
    exposures, held : ndarrays, shape (drawings,)
        Frames each drawing is held, and that over the usual, which is their median; `longest` is the most of it.
    """

    def __init__(self, exposures, loop):
        n = len(exposures)
        frames = np.asarray(exposures, float)
        gap = np.minimum(frames, 2 * np.median(frames))  # a long hold is a stop, not a slow move
        when = np.concatenate([[0.0], np.cumsum(gap)])
        self.loop = loop
        self.exposures, self.held = frames, frames / np.median(frames)
        self.longest = float(self.held.max())
        self.frames = gap
        self.time = when[:-1] / when[-1]
        self.around = np.empty((4, n), int)
        predict = np.zeros((n, n))
        spread = np.zeros((n, n))
        for i in range(n):
            if loop:
                offsets = np.array([-2, -1, 1, 2])
            else:
                first = min(max(i - 2, 0), n - 5)
                offsets = np.array([j - i for j in range(first, first + 5) if j != i])
            at = (i + offsets) % n
            self.around[:, i] = at
            knots = when[at] - when[i]
            if loop:
                knots[(offsets < 0) & (at > i)] -= when[-1]
                knots[(offsets > 0) & (at < i)] += when[-1]
            for a, j in enumerate(at):
                others = np.delete(knots, a)
                predict[i, j] += np.prod(-others / (knots[a] - others))
            steps = [(i + s) % n for s in (-1, 0, 1, 2)] if loop else \
                [s for s in range(i - 1, i + 3) if 0 < s < n]
            spread[i, steps] = 1.0 / len(steps)
        self.residual = np.eye(n) - predict
        if not loop:
            self.residual[[0, -1]] = 0.0
        weight = (self.residual**2).sum(axis=0)
        self.outlier = (self.residual.T @ self.residual) / weight[:, None]
        if not loop:
            self.outlier[[0, -1]] = 0.0
        self.certainty = np.sqrt(weight)
        # What an unsteady pencil of 1 mm adds to `outlier`, root mean square.
        self.unsteady_gain = float(np.sqrt((self.outlier**2).sum(axis=1)).mean())
        self.spread = spread
        self.wave = _wave(self.time)
        self.alike = np.all([frames == frames[at] for at in self.around], axis=0)
        later = (self.time + 0.5) % 1.0
        apart = np.abs(later[:, None] - self.time)
        apart = np.minimum(apart, 1.0 - apart)
        one, two = np.argsort(apart, axis=1, kind="stable")[:, :2].T
        self.opposite = np.stack([one, np.where(apart.min(axis=1) < 0.25 / n, one, two)])
        # Half way to the drawing before, by the cubic through the four around.
        self.half_way = np.zeros((n, n))
        for i in range(n):
            four = (i + np.array([-2, -1, 0, 1])) % n if loop else np.clip(i - 2, 0, n - 4) + np.arange(4)
            knots = when[four].copy()
            if loop:
                knots[:2][four[:2] > i] -= when[-1]
                knots[3:][four[3:] < i] += when[-1]
            middle = (when[i] + (when[i - 1] if i else when[-2] - when[-1])) / 2.0
            for a, j in enumerate(four):
                others = np.delete(knots, a)
                self.half_way[i, j] += np.prod((middle - others) / (knots[a] - others))
        before, after = np.arange(n) - 1, np.arange(n) + 1
        # Where nothing loops, the first and the last drawing have only themselves to go by.
        super().__init__(*((before % n, after % n) if loop else (before.clip(0), after.clip(max=n - 1))))
        took = gap[self.before] + gap     # frames from the drawing before to the drawing after
        if not loop:
            took[0], took[-1] = gap[0], gap[-2]
        self.pace = gap.mean() / took


def _wave(time):
    """Times values: their first harmonic, (2, drawings), real and imaginary part. Fitted by least squares at the true times together with the mean
    and the second harmonic, each drawing weighed by the time to both its neighbours; so exposure does not turn the phase
    (the periodogram with a floating mean at one known frequency: Zechmeister and Kuerster 2009, Astronomy and Astrophysics
    496:577, from memory)."""
    gap = np.diff(np.append(time, 1.0))
    weight = np.sqrt((np.roll(gap, 1) + gap) / 2.0)
    turn = 2.0 * np.pi * time
    waves = np.stack([np.ones_like(time), np.cos(turn), np.sin(turn), np.cos(2.0 * turn), np.sin(2.0 * turn)], axis=-1)
    fit = np.linalg.pinv(weight[:, None] * waves) * weight
    return np.stack([fit[1], -fit[2]])


@lru_cache(maxsize=64)
def neighbours(exposures, loop):
    """The Neighbours of a stack; `exposures` is a tuple, frames a drawing."""
    return Neighbours(exposures, loop)
