"""Looping motions of many settings of a chain in one pass.

The same steps as for one (`solver`), taken for a handful of settings at once. Those
that do not come to a steady loop in this way are left to the search for one.
"""

import numpy as np

from .grid import slopes_matrix, trig
from .search import STEADY
from .solver import FIRST, FURTHEST, LARGEST, ROWS, SO_SO, Factored, Motion, refine

TOGETHER = 32  # settings at once: their matrices still fit where a processor reads fast


def many(problem, turns):
    """Looping motions, a list with a Motion or None for each setting on the axis in front."""
    out = []
    for start in range(0, len(turns), TOGETHER):
        which = slice(start, start + TOGETHER)
        out += _some(problem.chosen(which), turns[which])
    return out


def _some(problem, turns):
    out = [None] * len(turns)
    guess = np.repeat(problem.still()[:, None, :], FIRST, axis=1)
    places, problem, turns, guess, _ = _newton(np.arange(len(turns)), problem, turns, guess, SO_SO, 10)
    for coarse in ROWS:
        if not len(places) or coarse * turns.shape[-1] > LARGEST:
            break
        guess = trig(guess.shape[1], coarse) @ guess
        places, problem, turns, guess, matrices = _newton(places, problem, turns, guess, 1e-3, 8)
        if not len(places):
            break
        with np.errstate(all="ignore"):  # one that runs away is told by its error
            swing, error = refine(problem, guess, turns, coarse, _solver(matrices))
        good = np.flatnonzero(error < problem.within)
        if len(good):
            after = problem.chosen(good).after(swing[good], turns[good])
            for i, factors in zip(good, after):
                motion = Motion(swing[i], turns[i], float(error[i]), factors, (coarse, matrices[i]))
                out[places[i]] = motion if motion.remains < STEADY else None
        left = np.flatnonzero(~(error < problem.within))
        places, problem, turns, guess = places[left], problem.chosen(left), turns[left], guess[left]
    return out


def _solver(matrices):
    return lambda r: np.stack([matrix.solve(one) for matrix, one in zip(matrices, r)])


def _newton(places, problem, turns, swing, within, most):
    """Newton's method; returns only those settings that come to rest, and their factored matrices."""
    times = swing.shape[1]
    swing, matrices, left = swing.copy(), [None] * len(turns), np.arange(len(turns))
    done = np.full(len(turns), False)
    for _ in range(most):
        if not len(left):
            break
        part = problem if len(left) == len(turns) else problem.chosen(left)
        r, slopes = part.at(swing[left], turns[left], times, slopes=True)
        whole = slopes_matrix(slopes, trig(times, times, 2), trig(times, times, 1), None)
        for place, matrix, one in zip(left, whole, r):
            matrices[place] = Factored(matrix)
            change = matrices[place].solve(one)
            size = np.abs(change).max()
            swing[place] -= change * min(1.0, FURTHEST / size)
            done[place] = size < within
        left = np.flatnonzero(~done & np.isfinite(swing).all((1, 2)))
    rest = np.flatnonzero(done)
    return places[rest], problem.chosen(rest), turns[rest], swing[rest], [matrices[i] for i in rest]
