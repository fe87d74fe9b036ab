"""Implicit time steps of a chain: three-stage Radau IIA, of order 5, which damps stiff parts.

The unknowns of a step are the accelerations at its three stages; angles and speeds follow from
them. Used for action that does not loop, and for the monodromy matrix of a loop.
"""

import numpy as np

from .collocation import STAGES, WEIGHTS, jacobian_matrix
from .equations import residual

_TWICE = WEIGHTS @ WEIGHTS  # accelerations -> angles
_SAME = np.eye(3)
MOST_ITERATIONS = 12  # of Newton's method, in a step


class NoStep(ArithmeticError):
    """Newton's method did not converge in a step."""


def forces_at(force, which):
    """The same forces at some of their times only."""
    pull, springs, flow, parent, parent_speed = force
    return (pull[..., which, :], springs[..., which, :], flow if flow is None else flow[..., which, :],
            parent[..., which], parent_speed[..., which])


def step(chain, force, h, angle, speed, guess, within=1e-8):
    """One step of length h, radians of the loop.

    `force` is of the three stages; angle, speed (..., rods); guess, the accelerations, (..., 3, rods).

    Returns
    -------
    angle and speed at the end, accelerations at the three stages
    """
    start = angle[..., None, :] + h * STAGES[:, None] * speed[..., None, :]
    for _ in range(MOST_ITERATIONS):
        at, running = start + h * h * (_TWICE @ guess), speed[..., None, :] + h * (WEIGHTS @ guess)
        r, jacobian = residual(chain, force, at, running, guess, jacobian=True)
        matrix = jacobian_matrix(jacobian, _SAME, h * WEIGHTS, h * h * _TWICE)
        try:
            rows = r.swapaxes(-1, -2)
            change = np.linalg.solve(matrix, rows.reshape(*r.shape[:-2], -1, 1))
            change = change.reshape(rows.shape).swapaxes(-1, -2)
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


def integrate(chain, force, steps, angle, speed, within=1e-7):
    """From time 0 to 2 pi in so many steps; `force` is at `collocation.stage_times`.

    Returns
    -------
    angles (..., steps + 1, rods); the last speed (..., rods)
    """
    h = 2.0 * np.pi / steps
    guess = np.zeros(angle.shape[:-1] + (3, angle.shape[-1]))
    angles = [angle]
    for k in range(steps):
        angle, speed, guess = step(chain, forces_at(force, slice(3 * k, 3 * k + 3)), h, angle, speed, guess,
                                   within)
        guess = np.repeat(guess[..., 2:, :], 3, axis=-2)
        angles.append(angle)
    return np.stack(angles, axis=-2), speed


def monodromy_matrix(jacobian, steps):
    """The linear map of a small disturbance (angles, speeds) of a periodic motion over one loop.

    Parameters
    ----------
    jacobian : M, G, K, each (..., 3 * steps, rods, rods)
        At the stages of all steps, on the motion itself. `steps` is a power of 2.

    Returns
    -------
    ndarray, shape (..., 2 * rods, 2 * rods)
        Its eigenvalues are the Floquet multipliers.
    """
    rods = jacobian[0].shape[-1]
    h = 2.0 * np.pi / steps
    mass, damp, stiff = (part.reshape(*part.shape[:-3], steps, 3, rods, rods) for part in jacobian)
    matrix = jacobian_matrix((mass, damp, stiff), _SAME, h * WEIGHTS, h * h * _TWICE)
    right = np.concatenate([stiff, damp + stiff * (h * STAGES[:, None, None])], axis=-1)
    right = right.swapaxes(-3, -2).reshape(*matrix.shape[:-1], 2 * rods)
    acceleration = np.linalg.solve(matrix, right).reshape(*matrix.shape[:-2], rods, 3, 2 * rods)
    maps = np.empty(matrix.shape[:-2] + (2 * rods, 2 * rods))  # of each step
    maps[..., :rods, :] = (-h * h * _TWICE[2]) @ acceleration
    maps[..., rods:, :] = (-h * WEIGHTS[2]) @ acceleration
    maps += np.eye(2 * rods)
    maps[..., :rods, rods:] += h * np.eye(rods)
    while maps.shape[-3] > 1:
        maps = maps[..., 1::2, :, :] @ maps[..., ::2, :, :]
    return maps[..., 0, :, :]
