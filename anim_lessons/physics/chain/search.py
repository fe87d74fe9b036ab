"""First guesses for the periodic motion of a chain, in the order in which they are tried.

1. The static pose, by Newton's method.
2. The same with shorter steps.
3. Damping continuation: the motion of a chain with much damping, followed while the damping goes down.
4. The motion into which the chain settles when it is run loop after loop.

An unstable motion is kept only if no stable one is found. The search ends at a deadline.
"""

from dataclasses import dataclass
from time import perf_counter

import numpy as np

from .collocation import fourier_matrix
from .radau import NoStep, integrate
from .solver import (
    CLOSE,
    COARSE_GRIDS,
    FIRST_GRID,
    MOST_UNKNOWNS,
    ROUGH,
    Motion,
    loop_from,
    loop_near,
    newton,
    on_grid,
)

CAREFUL = 0.3  # radians by which a short step of Newton's method may turn a rod
MOST_DAMPING = 32.0  # times the damping of the chain, where the continuation begins
STRIDE, LEAST_STRIDE = 1.0, 0.03  # of the logarithm of the damping: the first stride, and the least
FINE_STRIDE = 0.2  # of the same: the first on a finer grid
CONTINUATION_SHARE = 0.6  # of the time that is left
FEW_UNKNOWNS = 200  # with more, short steps of Newton's method cost much and are given up sooner
RUN_STEPS = (24, 96)  # of each loop that the chain is run; the second where the first does not converge
MOST_LOOPS = 40  # that the chain is run
CLOSED = 0.05  # radians, and radians a radian: ends of loops so near to one another are a first guess
STABLE = 1.0 - 1e-6  # share of a disturbance that is left after one loop: at this and above it never fades


@dataclass(frozen=True, eq=False)
class Found:
    """The result of a search."""

    motion: Motion  # or None
    double: Motion  # a stable motion with twice the period, or None; its times are those of two loops
    late: bool      # True: the time ran out


def search(problem, turns, deadline, near=None):
    """Find the periodic motion.

    Parameters
    ----------
    problem : Problem
    turns : ndarray, shape (rods,)
        Whole turns in a loop of the first guess.
    deadline : float
        Reading of `perf_counter` at which to stop.
    near : Motion or None
        Of a slightly different setting.

    Returns
    -------
    Found
    """
    best = start = None
    for attempt, start in _attempts(problem, turns, deadline, near):
        if attempt is not None and attempt.remains < STABLE:
            return Found(attempt, None, False)
        best = best or attempt
        if perf_counter() > deadline:
            return Found(best, None, True)
    return _run(problem, turns, deadline, best, start)


def _attempts(problem, turns, deadline, near):
    """Pairs of a motion or None, and where the damping continuation ended, (times, rods), or None."""
    if near is not None and near.turns.shape == turns.shape:
        yield loop_near(problem, near, deadline), None
    pose = problem.static_pose()
    guess, matrix = newton(problem, np.tile(pose, (FIRST_GRID, 1)), turns, ROUGH, deadline)
    yield loop_from(problem, guess, turns, deadline) if matrix else None, None
    pose = np.tile(pose, (COARSE_GRIDS[0], 1))
    most = 40 if pose.size <= FEW_UNKNOWNS else 15
    guess, matrix = newton(problem, pose, turns, CLOSE, deadline, most=most, furthest=CAREFUL)
    yield loop_from(problem, guess, turns, deadline) if matrix else None, None
    yield _damping_continuation(problem, pose, turns, deadline)


def _damping_continuation(problem, guess, turns, deadline):
    """Follow the motion from much damping to the chain's own, by strides as long as Newton's method
    converges."""
    until = perf_counter() + CONTINUATION_SHARE * (deadline - perf_counter())
    log_damping, stride, tangent = np.log(MOST_DAMPING), STRIDE, 0.0
    guess, matrix = newton(problem.damped(MOST_DAMPING), guess, turns, CLOSE, until)
    if matrix is None:
        return None, None
    while log_damping > 0.0:
        less = max(log_damping - stride, 0.0)
        predicted = guess + tangent * (log_damping - less)
        found, matrix = newton(problem.damped(np.exp(less)), predicted, turns, CLOSE, until, most=8)
        if matrix is not None:
            tangent = (found - guess) / (log_damping - less)
            guess, log_damping, stride = found, less, 1.5 * stride
            continue
        stride *= 0.4
        if perf_counter() > until:
            return None, guess
        if stride < LEAST_STRIDE:
            if len(guess) > COARSE_GRIDS[0] or COARSE_GRIDS[1] * len(turns) > MOST_UNKNOWNS:
                return None, guess
            # The grid may be too coarse for so sharp a motion.
            guess, stride, tangent = on_grid(guess, COARSE_GRIDS[1]), FINE_STRIDE, 0.0
    return loop_from(problem, guess, turns, deadline, near=True), guess


def _run(problem, turns, deadline, best, start):
    """Run the chain loop after loop, and solve from where it settles."""
    few, many = RUN_STEPS
    if best is None and start is None:
        angle, speed = problem.static_pose(), turns + 0.0
    elif best is None:
        angle, speed = start[0], _first_speed(start) + turns
    else:  # beside the unstable motion
        angle, speed = best.periodic[0] + 0.02, _first_speed(best.periodic) + best.turns
    runs, ends = [], [(angle, speed)]
    while len(runs) < MOST_LOOPS:
        if perf_counter() > deadline:
            return Found(best, None, True)
        try:
            angles, speed = integrate(problem.chain, problem.force(("stages", few)), few, angle, speed)
        except NoStep:
            if few == many:
                return Found(best, None, False)
            few = many
            continue
        angle = angles[-1]
        runs.append(angles)
        ends.append((angle, speed))
        loop = len(runs)
        apart = [_apart(ends[-1], ends[-1 - back]) if loop >= back else np.inf for back in (1, 2)]
        if apart[0] < CLOSED or loop in (6, 12, 24):
            motion = _solved_from(problem, runs[-1:], deadline, apart[0] < CLOSED)
            if motion is not None and motion.remains < STABLE:
                return Found(motion, None, False)
            best = best or motion
        if apart[1] < CLOSED < apart[0] and loop > 3:
            double = _solved_from(problem.loops(2), runs[-2:], deadline, True)
            if double is not None and double.remains < STABLE:
                return Found(best, double, False)
    return Found(best, None, False)


def _first_speed(periodic):
    return (fourier_matrix(len(periodic), len(periodic), 1) @ periodic)[0]


def _apart(end, start):
    """How far two ends of loops are apart, whole turns left out, radians and radians a radian."""
    turned = np.angle(np.exp(1j * (end[0] - start[0])))
    return max(np.abs(turned).max(), np.abs(end[1] - start[1]).max())


def _solved_from(problem, runs, deadline, near):
    """The periodic motion near one loop, or near two in a row, that were run."""
    angles = np.concatenate([runs[0], *(r[1:] for r in runs[1:])])
    share = np.linspace(0.0, 1.0, len(angles))[:, None]
    turned = angles[-1] - angles[0]
    turns = np.round(turned / (2.0 * np.pi))
    return loop_from(problem, (angles - share * turned)[:-1], turns, deadline, near=near)
