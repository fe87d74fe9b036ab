"""A thorough correction on a fine row of times, where the coarse matrix alone does not tell enough.

In a chain of many short parts springs and dampers hold the quick bendings of neighbours, so that the
higher harmonics are not all inertia. Here the equations of the fine row themselves are solved, by
GMRES (Saad and Schultz 1986, from memory). It is led by the coarse matrix for the harmonics that
the coarse row knows and by mass, dampers and springs as they are on average for each of
the higher ones.
"""

import numpy as np

from .grid import trig

MOST = 40  # directions that are tried
ENOUGH = 0.03  # of what was to be corrected may be left


def thorough_correction(problem, swing, turns, times, coarse, solve):
    """What Newton's method would still change on a row of `times`, (times, rods); times is odd.

    The swing (samples, rods) may be of another row; `solve` is that of the coarse row's matrix.
    """
    r, (by_acceleration, by_speed, by_angle) = problem.at(swing, turns, times, slopes=True)
    second, first = trig(times, times, 2), trig(times, times, 1)

    def change(v):
        return (by_acceleration @ (second @ v)[..., None] + by_speed @ (first @ v)[..., None] + by_angle @ v[..., None])[..., 0]

    return -gmres(change, _leader(by_acceleration, by_speed, by_angle, times, coarse, solve), r)


def _leader(by_acceleration, by_speed, by_angle, times, coarse, solve):
    keep = coarse // 2
    down, up = trig(times, coarse, 0, keep), trig(coarse, times)
    wave = np.arange(keep + 1, times // 2 + 1)[:, None, None]
    each = np.linalg.inv(by_angle.mean(0) + 1j * wave * by_speed.mean(0) - wave**2 * by_acceleration.mean(0))

    def lead(r):
        low = down @ r
        waves = np.fft.rfft(r, axis=0)
        waves[:keep + 1] = 0.0
        waves[keep + 1:] = (each @ waves[keep + 1:, :, None])[..., 0]
        return up @ solve(low) + np.fft.irfft(waves, times, axis=0)

    return lead


def gmres(change, lead, right, most=MOST, enough=ENOUGH):
    """Arrays x with change(x) near right; lead(change(x)) is near x."""
    start = lead(right)
    size = np.linalg.norm(start)
    if not 0.0 < size < np.inf:
        return start
    directions, table = [start / size], np.zeros((most + 1, most))
    for k in range(most):
        next_one = lead(change(directions[k]))
        for _ in range(2):  # twice is enough
            shares = np.array([np.vdot(d, next_one) for d in directions])
            next_one = next_one - np.tensordot(shares, directions, 1)
            table[:k + 1, k] += shares
        table[k + 1, k] = np.linalg.norm(next_one)
        wanted = np.zeros(k + 2)
        wanted[0] = size
        weights, *_ = np.linalg.lstsq(table[:k + 2, :k + 1], wanted, rcond=None)
        left = np.linalg.norm(table[:k + 2, :k + 1] @ weights - wanted)
        if left < enough * size or table[k + 1, k] < 1e-14 * size:
            break
        directions.append(next_one / table[k + 1, k])
    return np.tensordot(weights, directions[:len(weights)], 1)
