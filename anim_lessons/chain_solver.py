"""The looping motion of a chain: Newton's method on a coarse row of times, corrected on a fine one.

A guess is brought to a loop on `coarse` times (Fourier collocation). On about twice as many
its residual is cut in two: the harmonics that the coarse row knows are corrected by the
coarse matrix, the higher ones by the mass alone (they are all inertia). What the same
correction would still be on a row finer again is the error told, and a loop whose error is
too great is solved anew on finer rows or not called a loop.
"""

from dataclasses import dataclass, replace
from time import perf_counter

import numpy as np
from scipy.linalg.lapack import dgetrf, dgetrs

from .chain_equations import forces, residual, still
from .chain_grid import even, slopes_matrix, stage_times, trig
from .chain_steps import after_a_loop

FIRST, ROWS = 17, (33, 65, 129, 257)  # times: of the first guess, and of the coarse rows tried in turn
LARGEST = 1600  # unknowns of a coarse row
STEPS, CLOSE_STEPS = 16, 64  # of a loop, in which a nudge is followed; the more where much of it is left
FURTHEST = 0.8  # radians that Newton's method may turn a rod in one go
ERROR = 1e-5  # radians: greatest error of what is called a loop


@dataclass(frozen=True, eq=False)
class Motion:
    """A looping motion: angle = swing + turns * time, time from 0 to 2 pi."""

    swing: np.ndarray  # (fine, rods), periodic
    turns: np.ndarray  # (rods,), whole numbers
    error: float       # radians, estimated on a finer row than it was solved on
    after: np.ndarray  # what becomes of a nudge in a loop: the factors, complex
    matrix: tuple      # coarse row, and its factored matrix

    @property
    def remains(self):
        """Share of a nudge that is left after one loop; above 1 it grows."""
        return float(np.abs(self.after).max())

    def angles(self, samples):
        """(samples, rods), radians, at an even row of times."""
        return trig(len(self.swing), samples) @ self.swing + self.turns * even(samples)[:, None]


class Problem:
    """One chain on one path; what is worked out once for a row of times is kept."""

    def __init__(self, chain, path):
        self.chain, self.path = chain, path
        self._forces = {}

    def force(self, times):
        if times not in self._forces:
            self._forces[times] = forces(self.chain, self.path.drive(times))
        return self._forces[times]

    def damped(self, times):
        return Problem(self.chain.damped(times), self.path)

    def still(self):
        force = self.force(FIRST)
        return still(self.chain, (force[0].mean(-2, keepdims=True), force[1].mean(-2, keepdims=True)))

    def at(self, swing, turns, times, slopes=False):
        """The residual at other times than those of the swing, (..., times, rods)."""
        samples = swing.shape[-2]
        at = even(times)[:, None]
        angle = swing if samples == times else trig(samples, times) @ swing
        return residual(self.chain, self.force(times), angle + turns[..., None, :] * at,
                        trig(samples, times, 1) @ swing + turns[..., None, :], trig(samples, times, 2) @ swing, slopes)

    def after(self, swing, turns):
        """Factors by which a nudge grows in one loop, (..., 2 * rods), complex."""
        factors = self._after(swing, turns, STEPS)
        if (np.abs(factors) > 0.5).any():
            factors = self._after(swing, turns, CLOSE_STEPS)
        return factors

    def _after(self, swing, turns, steps):
        samples, times = swing.shape[-2], ("stages", steps)
        angle = trig(samples, times) @ swing + turns[..., None, :] * stage_times(steps)[:, None]
        speed = trig(samples, times, 1) @ swing + turns[..., None, :]
        slopes = residual(self.chain, self.force(times), angle, speed, trig(samples, times, 2) @ swing, True)[1]
        return np.linalg.eigvals(after_a_loop(slopes, steps))

    def chosen(self, which):
        """The settings at these places of the one axis in front."""
        return Problem(self.chain.chosen(which), self.path.chosen(which))

    def loops(self, count):
        """The same chain, with `count` loops taken for one."""
        path = self.path
        return Problem(self.chain.slower(count), replace(
            path, place=np.tile(path.place, count), swing=np.tile(path.swing, count), turns=path.turns * count))


class Factored:
    """A matrix ready to solve with."""

    def __init__(self, matrix):
        self.lu, self.swaps, _ = dgetrf(matrix.T)

    def solve(self, r):
        # The transpose was factored, for it is laid out by columns: solve with it turned back.
        return dgetrs(self.lu, self.swaps, r.ravel(), trans=1)[0].reshape(r.shape)


def newton(problem, swing, turns, within, deadline, most=20, furthest=FURTHEST):
    """Newton's method on the row of times of the swing.

    Returns
    -------
    swing, Factored or (swing, None) where it does not come to rest
    """
    times = len(swing)
    for _ in range(most):
        r, slopes = problem.at(swing, turns, times, slopes=True)
        matrix = Factored(slopes_matrix(slopes, trig(times, times, 2), trig(times, times, 1), None))
        change = matrix.solve(r)
        size = np.abs(change).max()
        if not size < 1e6:
            break
        swing = swing - change * min(1.0, furthest / size)
        if size < within:
            return swing, matrix
        if perf_counter() > deadline:
            break
    return swing, None


def correction(problem, swing, turns, times, coarse, solve):
    """What Newton's method would still change on a row of `times`, from the matrix of the coarse row."""
    keep = coarse // 2
    samples = swing.shape[-2]
    r = problem.at(swing, turns, times)
    low = trig(times, coarse, 0, keep) @ r
    up = trig(coarse, times)
    high = r - up @ low
    angle = trig(samples, times) @ swing + turns[..., None, :] * even(times)[:, None]
    z = np.exp(1j * angle)
    mass = (problem.chain.mass * (z.conj()[..., :, None] * z[..., None, :]).real
            + problem.chain.inertia[..., None] * np.eye(angle.shape[-1]))
    inertial = np.linalg.solve(mass, high[..., None])[..., 0]
    return -(up @ solve(low)) - trig(times, times, -2, keep) @ inertial


def refine(problem, swing, turns, coarse, solve, most=8, within=3e-6):
    """Correct a swing on its own row of times, then tell its error on a finer one.

    Returns
    -------
    swing, error (...); the error is infinite where the corrections do not shrink
    """
    times = swing.shape[-2]
    last = np.inf
    for _ in range(most):
        change = correction(problem, swing, turns, times, coarse, solve)
        size = np.abs(change).max((-2, -1))
        swing = swing + change
        if not (size > within).any() or not (size < 0.7 * last).any():
            break
        last = size
    change = correction(problem, swing, turns, 2 * times - 1, coarse, solve)
    error = np.abs(change).max((-2, -1))
    return swing, np.where(np.isfinite(error), error, np.inf)


def loop_from(problem, guess, turns, deadline):
    """The loop that a guess (times, rods) leads to, or None."""
    for coarse in ROWS:
        if coarse * len(turns) > LARGEST:
            break
        if len(guess) < coarse:
            guess = trig(len(guess), coarse) @ guess
        elif len(guess) > coarse:
            guess = trig(len(guess), coarse, 0, coarse // 2) @ guess
        guess, matrix = newton(problem, guess, turns, 1e-3, deadline)
        if matrix is None:
            return None
        times = 2 * coarse - 1
        swing, error = refine(problem, trig(coarse, times) @ guess, turns, coarse, matrix.solve)
        if error < ERROR:
            return _motion(problem, swing, turns, error, coarse, matrix)
    return None


def loop_near(problem, motion, deadline):
    """The loop near one that was found for a slightly different setting, or None."""
    coarse, matrix = motion.matrix
    swing, error = refine(problem, motion.swing, motion.turns, coarse, matrix.solve, most=5)
    if error < ERROR:
        return _motion(problem, swing, motion.turns, error, coarse, matrix)
    if not np.abs(swing - motion.swing).max() < 1.0:
        swing = motion.swing
    return loop_from(problem, swing, motion.turns, deadline)


def _motion(problem, swing, turns, error, coarse, matrix):
    return Motion(swing, turns, float(error), problem.after(swing, turns), (coarse, matrix))
