"""The looping motion of a chain: Newton's method on a coarse row of times, corrected on a fine one.

A guess is brought to a loop on `coarse` times (Fourier collocation). On about twice as many
its residual is cut in two: the harmonics that the coarse row knows are corrected by the
coarse matrix, the higher ones by the mass alone (they are all inertia). What the same
correction would still be on a row finer again is the error told. A loop whose error is too
great is corrected more thoroughly (`thorough`), solved anew on a finer row, or not called a
loop.
"""

from dataclasses import dataclass
from functools import cached_property
from time import perf_counter

import numpy as np
from scipy.linalg.lapack import dgetrf, dgetrs

from .equations import forces, residual, still
from .grid import even, motion, slopes_matrix, stage_times, trig
from .steps import after_a_loop
from .thorough import thorough_correction

FIRST, ROWS = 17, (33, 65, 129, 257)  # times: of the first guess, and of the coarse rows tried in turn
LARGEST = 1600  # unknowns of a coarse row
MANY, FINEST = 190, 513  # unknowns of a coarse row from which it is corrected thoroughly, and times of the finest for that
STEPS, CLOSE_STEPS = 16, 64  # of a loop, in which a nudge is followed; the more where much of it is left
WHIPS = 129  # times of a swing so sharp that a nudge is followed in four times as many
SO_SO = 0.2  # radians: steps of Newton's method after which the first row has told enough
NEAR = 0.05  # radians: steps of Newton's method that are followed up with the same matrix
FURTHEST = 0.8  # radians that Newton's method may turn a rod in one go


@dataclass(frozen=True, eq=False)
class Motion:
    """A looping motion: angle = swing + turns * time, time from 0 to 2 pi."""

    swing: np.ndarray  # (fine, rods), periodic
    turns: np.ndarray  # (rods,), whole numbers
    error: float       # radians, estimated on a finer row than it was solved on
    after: np.ndarray  # what becomes of a nudge in a loop: the factors, complex
    matrix: tuple      # coarse row, and its factored matrix

    @cached_property
    def remains(self):
        """Share of a nudge that is left after one loop; above 1 it grows."""
        return float(np.abs(self.after).max())

    def angles(self, samples):
        """(samples, rods), radians, at an even row of times."""
        return trig(len(self.swing), samples) @ self.swing + self.turns * even(samples)[:, None]


class Problem:
    """One chain on one path; what is worked out once for a row of times is kept."""

    def __init__(self, chain, path, within):
        self.chain, self.path = chain, path
        self.within = within  # radians: greatest error of what is called a loop
        self._forces = {}

    def force(self, times):
        if times not in self._forces:
            self._forces[times] = forces(self.chain, self.path.drive(times))
        return self._forces[times]

    def damped(self, times):
        return Problem(self.chain.damped(times), self.path, self.within)

    def still(self):
        force = self.force(FIRST)
        return still(self.chain, (force[0].mean(-2, keepdims=True), force[1].mean(-2, keepdims=True)))

    def at(self, swing, turns, times, slopes=False):
        """The residual at other times than those of the swing, (..., times, rods)."""
        return self._at(swing, turns, times, even(times), slopes)

    def _at(self, swing, turns, times, at, slopes):
        moved, count = motion(swing.shape[-2], times) @ swing, len(at)
        angle, speed = moved[..., :count, :], moved[..., count:2 * count, :]
        if turns.any():
            angle, speed = angle + turns[..., None, :] * at[:, None], speed + turns[..., None, :]
        return residual(self.chain, self.force(times), angle, speed, moved[..., 2 * count:, :], slopes)

    def after(self, swing, turns):
        """Factors by which a nudge grows in one loop, (..., 2 * rods), complex."""
        finer = 4 if swing.shape[-2] > WHIPS else 1
        factors = self._after(swing, turns, finer * STEPS)
        if (np.abs(factors) > 0.5).any():
            factors = self._after(swing, turns, finer * CLOSE_STEPS)
        return factors

    def _after(self, swing, turns, steps):
        slopes = self._at(swing, turns, ("stages", steps), stage_times(steps), True)[1]
        return np.linalg.eigvals(after_a_loop(slopes, steps))

    def chosen(self, which):
        """The settings at these places of the one axis in front."""
        return Problem(self.chain.chosen(which), self.path.chosen(which), self.within)

    def loops(self, count):
        """The same chain, with `count` loops taken for one."""
        return Problem(self.chain.slower(count), self.path.loops(count), self.within)


class Factored:
    """A `slopes_matrix` ready to solve with; it is used up."""

    def __init__(self, matrix):
        self.lu, self.swaps, _ = dgetrf(matrix.T, overwrite_a=True)

    def solve(self, r):
        """What gives r (times, rods)."""
        # The transpose was factored, for it is laid out by columns: solve with it turned back.
        return dgetrs(self.lu, self.swaps, r.T.ravel(), trans=1)[0].reshape(r.shape[::-1]).T


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


def refine(problem, guess, turns, coarse, solve, most=8):
    """Correct what was solved on the coarse row (..., coarse, rods) on a finer one, and tell its error.

    Returns
    -------
    swing, error (...): the error is what a correction on a row finer than that of the swing's
    harmonics would still change, or did change
    """
    times, within = 2 * coarse - 1, problem.within
    swing = trig(coarse, times) @ guess
    change = correction(problem, swing, turns, times, coarse, solve)
    swing, last = swing + change, np.abs(change).max((-2, -1))
    if (last < within).all():
        return swing, last
    return corrected(problem, swing, turns, coarse, solve, last, most)


def corrected(problem, swing, turns, coarse, solve, last=np.inf, most=8):
    """Correct a swing on its own row of times, and tell its error on a finer one; as `refine`.

    `last` is the size of the correction before; a next one must be a good deal smaller.
    """
    times, within = swing.shape[-2], problem.within
    finer = 2 * times - 1
    error = np.full_like(last, np.inf)
    for _ in range(most):
        change = correction(problem, swing, turns, times, coarse, solve)
        size = np.abs(change).max((-2, -1))
        swing = swing + change
        shrinks = size < 0.7 * last
        going = shrinks & (size > 3.0 * within)
        if not going.any():
            if not shrinks.any():
                break
            # What is left is smaller again than this last correction: it may well be within.
            change = correction(problem, swing, turns, finer, coarse, solve)
            error = np.abs(change).max((-2, -1))
            if not (shrinks & (error < size) & (error > within)).any():
                break
            swing = swing + trig(finer, times, 0, times // 2) @ change
        last = size
    return swing, np.where(np.isfinite(error), error, np.inf)


def climb(problem, guess, turns, coarse, solve, deadline):
    """As `refine`, more thoroughly, for one setting and on as fine a row as it takes; error infinite where it fails."""
    times, last = 2 * coarse - 1, np.inf
    swing = on_row(guess, times)
    while perf_counter() < deadline:
        change = thorough_correction(problem, swing, turns, times, coarse, solve)
        size = np.abs(change).max()
        if not size < min(0.5 * last, SO_SO):
            break
        swing, last = swing + change, size
        if size > problem.within:
            continue
        times = 2 * times - 1
        change = thorough_correction(problem, swing, turns, times, coarse, solve)
        error = np.abs(change).max()
        if error < problem.within:
            return swing, error
        if times > FINEST or not error < SO_SO:
            break
        swing, last = on_row(swing, times) + change, error
    return swing, np.inf


def loop_from(problem, guess, turns, deadline, first=0, near=False):
    """The loop that a guess (times, rods) leads to, right to within what the problem asks for, or None.

    Rows of fewer than `first` times are not tried. A guess that is `near` is tried on a finer row where Newton's
    method does not come to rest.
    """
    for coarse in ROWS:
        if coarse < first:
            continue
        if coarse * len(turns) > LARGEST:
            break
        start = guess
        guess, matrix = newton(problem, on_row(guess, coarse), turns, NEAR, deadline, most=8 if near else 20)
        if matrix is None:
            if not near or perf_counter() > deadline:
                return None
            guess = start
            continue
        guess, right = chord(problem, guess, turns, matrix)
        if not right:
            guess, matrix = newton(problem, guess, turns, 1e-3, deadline)
            if matrix is None:
                return None
        swing, error = refine(problem, guess, turns, coarse, matrix.solve)
        if not error < problem.within and coarse * len(turns) >= MANY:
            swing, error = climb(problem, guess, turns, coarse, matrix.solve, deadline)
        if error < problem.within:
            return _motion(problem, swing, turns, error, coarse, matrix)
    return None


def chord(problem, guess, turns, matrix):
    """Corrections on the guess's own row with a matrix of somewhere near; True where that was good enough."""
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


def loop_near(problem, motion, deadline):
    """The loop near one that was found for a slightly different setting, or None."""
    coarse, matrix = motion.matrix
    turns = motion.turns
    guess, right = chord(problem, on_row(motion.swing, coarse), turns, matrix)
    if right:
        swing, error = refine(problem, guess, turns, coarse, matrix.solve)
        if error < problem.within:
            return _motion(problem, swing, turns, error, coarse, matrix)
    return loop_from(problem, guess, turns, deadline, coarse)


def on_row(swing, times):
    """The same swing on another row; the harmonics that the row does not know are left out."""
    return trig(len(swing), times, 0, None if len(swing) <= times else times // 2) @ swing


def _motion(problem, swing, turns, error, coarse, matrix):
    return Motion(swing, turns, float(error), problem.after(swing, turns), (coarse, matrix))
