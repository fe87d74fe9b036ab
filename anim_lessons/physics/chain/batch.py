"""Periodic motions of many settings of a chain in one pass.

The steps are those of `solver`, taken for many settings at once. Settings for which they do not lead
to a stable motion get None, and are left to `search`.
"""

import numpy as np

from .collocation import collocation_matrix, fourier_matrix
from .search import STABLE
from .solver import COARSE_GRIDS, EXACT, FIRST_GRID, FURTHEST, MOST_UNKNOWNS, ROUGH, Factored, Motion, refine

TOGETHER = 32  # settings at once, so that their matrices fit into the processor's cache


def batch(problem, turns):
    """A list with a Motion or None for each setting on the axis in front."""
    out = []
    for start in range(0, len(turns), TOGETHER):
        which = slice(start, start + TOGETHER)
        out += _some(problem.chosen(which), turns[which])
    return out


def _some(problem, turns):
    out = [None] * len(turns)
    guess = np.repeat(problem.static_pose()[:, None, :], FIRST_GRID, axis=1)
    places, problem, turns, guess, _ = _newton(np.arange(len(turns)), problem, turns, guess, ROUGH, 10)
    for coarse in COARSE_GRIDS:
        if not len(places) or coarse * turns.shape[-1] > MOST_UNKNOWNS:
            break
        guess = fourier_matrix(guess.shape[1], coarse) @ guess
        places, problem, turns, guess, matrices = _newton(places, problem, turns, guess, EXACT, 8)
        if not len(places):
            break
        with np.errstate(all="ignore"):  # a diverging setting gets an infinite error and is dropped below
            periodic, error = refine(problem, guess, turns, coarse, _solver(matrices))
        good = np.flatnonzero(error < problem.within)
        if len(good):
            for i, multipliers in zip(good, problem.chosen(good).multipliers(periodic[good], turns[good])):
                motion = Motion(periodic[i], turns[i], float(error[i]), multipliers, (coarse, matrices[i]))
                out[places[i]] = motion if motion.remains < STABLE else None
        left = np.flatnonzero(~(error < problem.within))
        places, problem, turns, guess = places[left], problem.chosen(left), turns[left], guess[left]
    return out


def _solver(matrices):
    return lambda r: np.stack([matrix.solve(one) for matrix, one in zip(matrices, r)])


def _newton(places, problem, turns, periodic, within, most):
    """Newton's method; returns only the settings for which it converges, and their factored matrices."""
    times = periodic.shape[1]
    periodic, matrices, left = periodic.copy(), [None] * len(turns), np.arange(len(turns))
    done = np.full(len(turns), False)
    for _ in range(most):
        if not len(left):
            break
        part = problem if len(left) == len(turns) else problem.chosen(left)
        r, jacobian = part.at(periodic[left], turns[left], times, jacobian=True)
        for place, matrix, one in zip(left, collocation_matrix(jacobian, times), r):
            matrices[place] = Factored(matrix)
            change = matrices[place].solve(one)
            size = np.abs(change).max()
            periodic[place] -= change * min(1.0, FURTHEST / size)
            done[place] = size < within
        left = np.flatnonzero(~done & np.isfinite(periodic).all((1, 2)))
    rest = np.flatnonzero(done)
    return places[rest], problem.chosen(rest), turns[rest], periodic[rest], [matrices[i] for i in rest]
