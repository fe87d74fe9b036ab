"""Where to look for the looping motion of a chain, and in which order.

Newton's method from the pose in which the chain hangs still; more carefully; from a chain
whose joints are thick with damping, thinned out again; from the motion that the chain falls
into by itself when it is run loop after loop. A loop that a nudge would throw out is kept
only if no steady one turns up. All of it within a time given.
"""

from dataclasses import dataclass
from time import perf_counter

import numpy as np

from .grid import trig
from .solver import FIRST, LARGEST, NEAR, ROWS, SO_SO, Motion, loop_from, loop_near, newton, on_row
from .steps import NoStep, once_round

THICK = 32.0  # times the damping, from where it is thinned out
STRIDE, LEAST = 1.0, 0.03  # of its logarithm: by which it is thinned out at first, and at least
SHARE = 0.6  # of the time that is left may go into that
SMALL = 200  # unknowns; with more, careful steps are dear and are given up sooner
RUN_STEPS = (24, 96)  # of each loop that the chain is run; the more where the fewer are too long to take
LOOPS = 40  # that it is run at most
STEADY = 1.0 - 1e-6  # a nudge of which more is left after a loop never fades


@dataclass(frozen=True, eq=False)
class Found:
    """What a search came to."""

    motion: Motion  # or None
    double: Motion  # a steady motion that comes back every second loop, or None; times are of both loops
    late: bool      # the time ran out


def search(problem, turns, deadline, near=None):
    """Find the looping motion.

    Parameters
    ----------
    problem : Problem
    turns : ndarray, shape (rods,)
        Whole turns in a loop with which to begin.
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
        if attempt is not None and attempt.remains < STEADY:
            return Found(attempt, None, False)
        best = best or attempt
        if perf_counter() > deadline:
            return Found(best, None, True)
    return _run(problem, turns, deadline, best, start)


def _attempts(problem, turns, deadline, near):
    """Pairs of a loop or None, and the swing of a chain a little too thick with damping or None."""
    if near is not None and near.turns.shape == turns.shape:
        yield loop_near(problem, near, deadline), None
    pose = problem.still()
    guess, matrix = newton(problem, np.tile(pose, (FIRST, 1)), turns, SO_SO, deadline)
    yield loop_from(problem, guess, turns, deadline) if matrix else None, None
    pose = np.tile(pose, (ROWS[0], 1))
    most = 40 if pose.size <= SMALL else 15
    guess, matrix = newton(problem, pose, turns, NEAR, deadline, most=most, furthest=0.3)
    yield loop_from(problem, guess, turns, deadline) if matrix else None, None
    yield _thinned(problem, pose, turns, deadline)


def _thinned(problem, guess, turns, deadline):
    """From a chain thick with damping to the one asked for, in strides as long as Newton's method follows."""
    until = perf_counter() + SHARE * (deadline - perf_counter())
    thick, stride, drift = np.log(THICK), STRIDE, 0.0
    guess, matrix = newton(problem.damped(THICK), guess, turns, NEAR, until)
    if matrix is None:
        return None, None
    while thick > 0.0:
        next_one = max(thick - stride, 0.0)
        ahead = guess + drift * (thick - next_one)
        found, matrix = newton(problem.damped(np.exp(next_one)), ahead, turns, NEAR, until, most=8)
        if matrix is not None:
            drift = (found - guess) / (thick - next_one)
            guess, thick, stride = found, next_one, 1.5 * stride
            continue
        stride *= 0.4
        if perf_counter() > until:
            return None, guess
        if stride < LEAST:
            if len(guess) > ROWS[0] or ROWS[1] * len(turns) > LARGEST:
                return None, guess
            # The row may be too coarse for so sharp a swing.
            guess, stride, drift = on_row(guess, ROWS[1]), 0.2, 0.0
    return loop_from(problem, guess, turns, deadline, near=True), guess


# ---- run by itself --------------------------------------------------------------------


def _run(problem, turns, deadline, best, start):
    """Let the chain go, loop after loop, and see what it falls into."""
    few, many = RUN_STEPS
    if best is None and start is None:
        angle, speed = problem.still(), turns + 0.0
    elif best is None:
        angle, speed = start[0], (trig(len(start), len(start), 1) @ start)[0] + turns
    else:
        at = best.swing
        angle, speed = at[0] + 0.02, (trig(len(at), len(at), 1) @ at)[0] + best.turns
    runs, ends = [], [(angle, speed)]
    while len(runs) < LOOPS:
        if perf_counter() > deadline:
            return Found(best, None, True)
        try:
            angles, speed = _one(problem, few, angle, speed)
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
        if apart[0] < 0.05 or loop in (6, 12, 24):
            motion = _closed(problem, runs[-1:], deadline, apart[0] < 0.05)
            if motion is not None and motion.remains < STEADY:
                return Found(motion, None, False)
            best = best or motion
        if apart[1] < 0.05 < apart[0] and loop > 3:
            double = _closed(problem.loops(2), runs[-2:], deadline, True)
            if double is not None and double.remains < STEADY:
                return Found(best, double, False)
    return Found(best, None, False)


def _one(problem, steps, angle, speed):
    return once_round(problem.chain, problem.force(("stages", steps)), steps, angle, speed)


def _apart(end, start):
    """How far two ends of loops are apart, whole turns left out, radians and radians a radian."""
    turned = np.angle(np.exp(1j * (end[0] - start[0])))
    return max(np.abs(turned).max(), np.abs(end[1] - start[1]).max())


def _closed(problem, runs, deadline, near):
    """The loop near one or more that were run."""
    angles = np.concatenate([runs[0], *(r[1:] for r in runs[1:])])
    share = np.linspace(0.0, 1.0, len(angles))[:, None]
    turned = angles[-1] - angles[0]
    turns = np.round(turned / (2.0 * np.pi))
    swing = (angles - share * turned)[:-1]
    return loop_from(problem, swing, turns, deadline, near=near)
