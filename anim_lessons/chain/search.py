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
from .solver import FIRST, NEAR, ROWS, SO_SO, Motion, loop_from, loop_near, newton
from .steps import NoStep, once_round

THICK = (32.0, 12.0, 5.0, 2.5, 1.5)  # times the damping, thinned out in turn
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
    best = None
    for attempt in _attempts(problem, turns, deadline, near):
        if attempt is not None and attempt.remains < STEADY:
            return Found(attempt, None, False)
        best = best or attempt
        if perf_counter() > deadline:
            return Found(best, None, True)
    return _run(problem, turns, deadline, best)


def _attempts(problem, turns, deadline, near):
    if near is not None and near.turns.shape == turns.shape:
        yield loop_near(problem, near, deadline)
    pose = problem.still()
    guess, matrix = newton(problem, np.tile(pose, (FIRST, 1)), turns, SO_SO, deadline)
    yield loop_from(problem, guess, turns, deadline) if matrix else None
    guess, matrix = newton(problem, np.tile(pose, (ROWS[0], 1)), turns, NEAR, deadline, most=40, furthest=0.3)
    yield loop_from(problem, guess, turns, deadline) if matrix else None
    yield _thinned(problem, np.tile(pose, (ROWS[0], 1)), turns, deadline)


def _thinned(problem, guess, turns, deadline):
    for times in THICK:
        guess, matrix = newton(problem.damped(times), guess, turns, NEAR, deadline)
        if matrix is None:
            return None
    return loop_from(problem, guess, turns, deadline)


# ---- run by itself --------------------------------------------------------------------


def _run(problem, turns, deadline, best):
    """Let the chain go, loop after loop, and see what it falls into."""
    few, many = RUN_STEPS
    if best is None:
        angle, speed = problem.still(), turns + 0.0
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
            motion = _closed(problem, runs[-1:], deadline)
            if motion is not None and motion.remains < STEADY:
                return Found(motion, None, False)
            best = best or motion
        if apart[1] < 0.05 < apart[0] and loop > 3:
            double = _closed(problem.loops(2), runs[-2:], deadline)
            if double is not None and double.remains < STEADY:
                return Found(best, double, False)
    return Found(best, None, False)


def _one(problem, steps, angle, speed):
    return once_round(problem.chain, problem.force(("stages", steps)), steps, angle, speed)


def _apart(end, start):
    """How far two ends of loops are apart, whole turns left out, radians and radians a radian."""
    turned = np.angle(np.exp(1j * (end[0] - start[0])))
    return max(np.abs(turned).max(), np.abs(end[1] - start[1]).max())


def _closed(problem, runs, deadline):
    """The loop near one or more that were run."""
    angles = np.concatenate([runs[0], *(r[1:] for r in runs[1:])])
    share = np.linspace(0.0, 1.0, len(angles))[:, None]
    turned = angles[-1] - angles[0]
    turns = np.round(turned / (2.0 * np.pi))
    swing = (angles - share * turned)[:-1]
    return loop_from(problem, swing, turns, deadline)
