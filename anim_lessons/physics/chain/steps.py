"""A chain in steps of time: for action that does not loop, and to tell what becomes of a nudge.

Three-stage Radau IIA: order 5, and what is stiff dies away. Unknown in a step are the
accelerations at its three stages; angles and speeds follow from them.
"""

import numpy as np

from .equations import residual
from .grid import STAGES, WEIGHTS, slopes_matrix

_TWICE = WEIGHTS @ WEIGHTS  # accelerations -> angles
_SAME = np.eye(3)
ITERATIONS = 12  # of Newton's method, in a step


class NoStep(ArithmeticError):
    """A step that Newton's method could not take."""


def part(force, which):
    """The same forces at some of their times only."""
    pull, springs, flow, parent, parent_speed = force
    return (pull[..., which, :], springs[..., which, :], flow if flow is None else flow[..., which, :],
            parent[..., which], parent_speed[..., which])


def step(chain, force, h, angle, speed, guess, within=1e-8):
    """One step of length h, radians of the loop.

    `force` is of the three stages; angle, speed (..., rods); guess, the accelerations, (..., 3, rods).

    Returns
    -------
    angle, speed, accelerations at the end; the angles at the three stages are not needed
    """
    start = angle[..., None, :] + h * STAGES[:, None] * speed[..., None, :]
    for _ in range(ITERATIONS):
        at, running = start + h * h * (_TWICE @ guess), speed[..., None, :] + h * (WEIGHTS @ guess)
        r, slopes = residual(chain, force, at, running, guess, slopes=True)
        matrix = slopes_matrix(slopes, _SAME, h * WEIGHTS, h * h * _TWICE)
        try:
            rows = r.swapaxes(-1, -2)
            change = np.linalg.solve(matrix, rows.reshape(*r.shape[:-2], -1, 1)).reshape(rows.shape).swapaxes(-1, -2)
        except np.linalg.LinAlgError:
            raise NoStep from None
        guess = guess - change
        size = h * h * np.abs(change).max()
        if size < within:
            break
        if not size < 1e6:
            raise NoStep
    else:
        raise NoStep
    return (angle + h * speed + h * h * (_TWICE[2] @ guess), speed + h * (WEIGHTS[2] @ guess), guess)


def once_round(chain, force, steps, angle, speed, within=1e-7):
    """From the beginning of a loop to its end; `force` is of all its stages."""
    h = 2.0 * np.pi / steps
    guess = np.zeros(angle.shape[:-1] + (3, angle.shape[-1]))
    angles = [angle]
    for k in range(steps):
        angle, speed, guess = step(chain, part(force, slice(3 * k, 3 * k + 3)), h, angle, speed, guess, within)
        guess = np.repeat(guess[..., 2:, :], 3, axis=-2)
        angles.append(angle)
    return np.stack(angles, axis=-2), speed


def after_a_loop(slopes, steps):
    """What one loop makes of a small nudge: matrix from (angles, speeds) to the same a loop later.

    Parameters
    ----------
    slopes : M, G, K, each (..., 3 * steps, rods, rods)
        At the stages of all steps, on the loop itself. `steps` is a power of 2.

    Returns
    -------
    ndarray, shape (..., 2 * rods, 2 * rods)
    """
    rods = slopes[0].shape[-1]
    h = 2.0 * np.pi / steps
    mass, damp, stiff = (s.reshape(*s.shape[:-3], steps, 3, rods, rods) for s in slopes)
    matrix = slopes_matrix((mass, damp, stiff), _SAME, h * WEIGHTS, h * h * _TWICE)
    right = np.concatenate([stiff, damp + stiff * (h * STAGES[:, None, None])], axis=-1)
    right = right.swapaxes(-3, -2).reshape(*matrix.shape[:-1], 2 * rods)
    acceleration = np.linalg.solve(matrix, right).reshape(*matrix.shape[:-2], rods, 3, 2 * rods)
    one = np.empty(matrix.shape[:-2] + (2 * rods, 2 * rods))
    one[..., :rods, :] = (-h * h * _TWICE[2]) @ acceleration
    one[..., rods:, :] = (-h * WEIGHTS[2]) @ acceleration
    one += np.eye(2 * rods)
    one[..., :rods, rods:] += h * np.eye(rods)
    while one.shape[-3] > 1:
        one = one[..., 1::2, :, :] @ one[..., ::2, :, :]
    return one[..., 0, :, :]
