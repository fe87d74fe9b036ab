"""The periodic motion of a chain: Newton's method on a coarse collocation grid, corrected on a finer one.

A guess is solved on a coarse grid of times (Fourier collocation). On a grid about twice as fine its
residual is cut in two: the coarse matrix corrects the harmonics of the coarse grid, and the mass alone
corrects the higher ones, in which springs and dampers hardly count. The error that is told is the size
of the same correction on a grid finer again. A motion whose error is too great is corrected by GMRES
(`krylov`), solved anew on a finer coarse grid, or given up.
"""

from dataclasses import dataclass
from functools import cached_property
from time import perf_counter

import numpy as np
from scipy.linalg.lapack import dgetrf, dgetrs

from .collocation import collocation_matrix, even_times, fourier_matrix, motion_matrix, stage_times
from .equations import forces, residual, static_pose
from .krylov import krylov_correction
from .radau import monodromy_matrix

FIRST_GRID = 17  # times: grid of the first guess
COARSE_GRIDS = (33, 65, 129, 257)  # times: coarse grids, tried in turn
MOST_UNKNOWNS = 1600  # rods times times of a coarse grid
KRYLOV_UNKNOWNS = 190  # of a coarse grid: from so many on a motion is also corrected by GMRES
FINEST_KRYLOV_GRID = 513  # times
MONODROMY_STEPS, FINE_MONODROMY_STEPS = 16, 64  # of a loop; the fine ones where a multiplier is above 0.5
SHARP_GRID = 129  # times: a motion that needs a finer grid has four times as many monodromy steps
ROUGH = 0.2  # radians: last step of Newton's method for a first guess
CLOSE = 0.05  # radians: last step of Newton's method before simplified Newton goes on with the same matrix
EXACT = 1e-3  # radians: last step of Newton's method where simplified Newton did not converge
FURTHEST = 0.8  # radians by which a step of Newton's method may turn a rod


@dataclass(frozen=True, eq=False)
class Motion:
    """A periodic motion: angle = periodic + turns * time, time from 0 to 2 pi."""

    periodic: np.ndarray     # (samples, rods), radians, on a collocation grid
    turns: np.ndarray        # (rods,), whole numbers
    error: float             # radians, estimated on a finer grid than it was solved on
    multipliers: np.ndarray  # (2 * rods,), complex: the Floquet multipliers
    matrix: tuple            # times of the coarse grid, and its Factored matrix

    @cached_property
    def remains(self):
        """Share of a small disturbance that is left after one loop: the largest multiplier's size."""
        return float(np.abs(self.multipliers).max())

    def angles(self, samples):
        """(samples, rods), radians, on a collocation grid."""
        periodic = fourier_matrix(len(self.periodic), samples) @ self.periodic
        return periodic + self.turns * even_times(samples)[:, None]


class Problem:
    """One chain on one path. The forces on each grid are worked out once and kept."""

    def __init__(self, chain, path, within):
        self.chain, self.path = chain, path
        self.within = within  # radians: greatest error of a motion that is called found
        self._forces = {}

    def force(self, times):
        if times not in self._forces:
            self._forces[times] = forces(self.chain, self.path.drive(times))
        return self._forces[times]

    def damped(self, times):
        return Problem(self.chain.damped(times), self.path, self.within)

    def static_pose(self):
        force = self.force(FIRST_GRID)
        return static_pose(self.chain, (force[0].mean(-2, keepdims=True), force[1].mean(-2, keepdims=True)))

    def at(self, periodic, turns, times, jacobian=False):
        """The residual, (..., times, rods), on a grid of so many times, which need not be that of
        `periodic`."""
        return self._at(periodic, turns, times, even_times(times), jacobian)

    def _at(self, periodic, turns, times, at, jacobian):
        moved, count = motion_matrix(periodic.shape[-2], times) @ periodic, len(at)
        angle, speed = moved[..., :count, :], moved[..., count:2 * count, :]
        if turns.any():
            angle, speed = angle + turns[..., None, :] * at[:, None], speed + turns[..., None, :]
        return residual(self.chain, self.force(times), angle, speed, moved[..., 2 * count:, :], jacobian)

    def multipliers(self, periodic, turns):
        """The Floquet multipliers of a motion, (..., 2 * rods), complex."""
        finer = 4 if periodic.shape[-2] > SHARP_GRID else 1
        multipliers = self._multipliers(periodic, turns, finer * MONODROMY_STEPS)
        if (np.abs(multipliers) > 0.5).any():
            multipliers = self._multipliers(periodic, turns, finer * FINE_MONODROMY_STEPS)
        return multipliers

    def _multipliers(self, periodic, turns, steps):
        _, jacobian = self._at(periodic, turns, ("stages", steps), stage_times(steps), True)
        return np.linalg.eigvals(monodromy_matrix(jacobian, steps))

    def chosen(self, which):
        """The settings at these places of the one axis in front."""
        return Problem(self.chain.chosen(which), self.path.chosen(which), self.within)

    def loops(self, count):
        """The same chain, with `count` loops taken for one."""
        return Problem(self.chain.slower(count), self.path.loops(count), self.within)


class Factored:
    """LU factors of a `jacobian_matrix`, which is overwritten."""

    def __init__(self, matrix):
        # The transpose is factored, for LAPACK wants columns.
        self.lu, self.pivots, _ = dgetrf(matrix.T, overwrite_a=True)

    def solve(self, r):
        """Solution (times, rods) for the right-hand side r (times, rods)."""
        return dgetrs(self.lu, self.pivots, r.T.ravel(), trans=1)[0].reshape(r.shape[::-1]).T


def on_grid(periodic, times):
    """The same function on another grid; harmonics that the grid cannot hold are left out."""
    return fourier_matrix(len(periodic), times, 0, None if len(periodic) <= times else times // 2) @ periodic


def newton(problem, periodic, turns, within, deadline, most=20, furthest=FURTHEST):
    """Newton's method on the grid of `periodic`, until a step is below `within`.

    Returns
    -------
    periodic, Factored; or periodic, None where it does not converge
    """
    times = len(periodic)
    for _ in range(most):
        r, jacobian = problem.at(periodic, turns, times, jacobian=True)
        matrix = Factored(collocation_matrix(jacobian, times))
        change = matrix.solve(r)
        size = np.abs(change).max()
        if not size < 1e6:
            break
        periodic = periodic - change * min(1.0, furthest / size)
        if size < within:
            return periodic, matrix
        if perf_counter() > deadline:
            break
    return periodic, None


def simplified_newton(problem, guess, turns, matrix):
    """Newton's method with one matrix throughout; True where it converged to within what the problem asks
    for."""
    last = 1.0
    for _ in range(6):
        change = matrix.solve(problem.at(guess, turns, len(guess)))
        size = np.abs(change).max()
        if not size < last:
            return guess, False
        guess, last = guess - change, 0.35 * size
        if size < problem.within:
            return guess, True
    return guess, False


def correction(problem, periodic, turns, times, coarse, solve):
    """An approximate step of Newton's method on a grid of `times`: coarse matrix, and mass for the higher
    harmonics."""
    keep = coarse // 2
    samples = periodic.shape[-2]
    r = problem.at(periodic, turns, times)
    low = fourier_matrix(times, coarse, 0, keep) @ r
    up = fourier_matrix(coarse, times)
    high = r - up @ low
    angle = fourier_matrix(samples, times) @ periodic + turns[..., None, :] * even_times(times)[:, None]
    z = np.exp(1j * angle)
    mass = (problem.chain.mass * (z.conj()[..., :, None] * z[..., None, :]).real
            + problem.chain.inertia[..., None] * np.eye(angle.shape[-1]))
    acceleration = np.linalg.solve(mass, high[..., None])[..., 0]
    return -(up @ solve(low)) - fourier_matrix(times, times, -2, keep) @ acceleration


def refine(problem, guess, turns, coarse, solve, most=8):
    """Correct a solution on the coarse grid (..., coarse, rods) on a finer one, and estimate its error.

    Returns
    -------
    periodic, error (...)
        The error, radians, is the size of a further correction on a grid twice as fine, or of the only one
        where that was small enough.
    """
    times, within = 2 * coarse - 1, problem.within
    periodic = fourier_matrix(coarse, times) @ guess
    change = correction(problem, periodic, turns, times, coarse, solve)
    periodic, last = periodic + change, np.abs(change).max((-2, -1))
    if (last < within).all():
        return periodic, last
    return _corrected(problem, periodic, turns, coarse, solve, last, most)


def _corrected(problem, periodic, turns, coarse, solve, last, most):
    """Correct a motion again on its own grid; as `refine`.

    `last` is the size of the correction before; the next one must be well below it.
    """
    times, within = periodic.shape[-2], problem.within
    finer = 2 * times - 1
    error = np.full_like(last, np.inf)
    for _ in range(most):
        change = correction(problem, periodic, turns, times, coarse, solve)
        size = np.abs(change).max((-2, -1))
        periodic = periodic + change
        shrinks = size < 0.7 * last
        going = shrinks & (size > 3.0 * within)
        if not going.any():
            if not shrinks.any():
                break
            # The error left is below this last correction, and may already be within the limit.
            change = correction(problem, periodic, turns, finer, coarse, solve)
            error = np.abs(change).max((-2, -1))
            if not (shrinks & (error < size) & (error > within)).any():
                break
            periodic = periodic + fourier_matrix(finer, times, 0, times // 2) @ change
        last = size
    return periodic, np.where(np.isfinite(error), error, np.inf)


def refine_by_krylov(problem, guess, turns, coarse, solve, deadline):
    """As `refine`, by GMRES, for one setting and on grids as fine as it takes; error infinite where it
    fails."""
    times, last = 2 * coarse - 1, np.inf
    periodic = on_grid(guess, times)
    while perf_counter() < deadline:
        change = krylov_correction(problem, periodic, turns, times, coarse, solve)
        size = np.abs(change).max()
        if not size < min(0.5 * last, ROUGH):
            break
        periodic, last = periodic + change, size
        if size > problem.within:
            continue
        times = 2 * times - 1
        change = krylov_correction(problem, periodic, turns, times, coarse, solve)
        error = np.abs(change).max()
        if error < problem.within:
            return periodic, error
        if times > FINEST_KRYLOV_GRID or not error < ROUGH:
            break
        periodic, last = on_grid(periodic, times) + change, error
    return periodic, np.inf


def loop_from(problem, guess, turns, deadline, first=0, near=False):
    """The Motion to which a guess (times, rods) leads, right to within what the problem asks for, or None.

    Coarse grids of fewer than `first` times are not tried. A guess that is `near` is tried on a finer grid
    where Newton's method does not converge.
    """
    for coarse in COARSE_GRIDS:
        if coarse < first:
            continue
        if coarse * len(turns) > MOST_UNKNOWNS:
            break
        start = guess
        guess, matrix = newton(problem, on_grid(guess, coarse), turns, CLOSE, deadline,
                               most=8 if near else 20)
        if matrix is None:
            if not near or perf_counter() > deadline:
                return None
            guess = start
            continue
        guess, converged = simplified_newton(problem, guess, turns, matrix)
        if not converged:
            guess, matrix = newton(problem, guess, turns, EXACT, deadline)
            if matrix is None:
                return None
        periodic, error = refine(problem, guess, turns, coarse, matrix.solve)
        if not error < problem.within and coarse * len(turns) >= KRYLOV_UNKNOWNS:
            periodic, error = refine_by_krylov(problem, guess, turns, coarse, matrix.solve, deadline)
        if error < problem.within:
            return _motion(problem, periodic, turns, error, coarse, matrix)
    return None


def loop_near(problem, motion, deadline):
    """The Motion near one that was found for a slightly different setting, or None."""
    coarse, matrix = motion.matrix
    turns = motion.turns
    guess, converged = simplified_newton(problem, on_grid(motion.periodic, coarse), turns, matrix)
    if converged:
        periodic, error = refine(problem, guess, turns, coarse, matrix.solve)
        if error < problem.within:
            return _motion(problem, periodic, turns, error, coarse, matrix)
    return loop_from(problem, guess, turns, deadline, coarse)


def _motion(problem, periodic, turns, error, coarse, matrix):
    return Motion(periodic, turns, float(error), problem.multipliers(periodic, turns), (coarse, matrix))
