"""A Newton correction on a fine collocation grid, by GMRES with a preconditioner.

In a chain of many short parts springs and dampers act on the quick bendings of neighbours, so the
higher harmonics are not inertia alone and the correction of `solver` is not close enough. Here the
linear equations of the fine grid are solved. The preconditioner is the coarse matrix for the
harmonics of the coarse grid; for each higher harmonic it is mass, dampers and springs averaged
over the loop.
"""

import numpy as np
from scipy.sparse.linalg import LinearOperator, gmres

from .collocation import fourier_matrix

MOST_ITERATIONS = 40  # of GMRES
TOLERANCE = 0.03  # of the preconditioned right-hand side: residual at which GMRES stops


def krylov_correction(problem, periodic, turns, times, coarse, solve):
    """The step of Newton's method on a grid of so many times, (times, rods); `times` is odd.

    `periodic` (samples, rods) may be given on another grid; `solve` solves with the matrix of the coarse
    grid.
    """
    r, (by_acceleration, by_speed, by_angle) = problem.at(periodic, turns, times, jacobian=True)
    second, first = fourier_matrix(times, times, 2), fourier_matrix(times, times, 1)
    precondition = _preconditioner(by_acceleration, by_speed, by_angle, times, coarse, solve)

    def product(v):
        v = v.reshape(r.shape)
        r_change = (by_acceleration @ (second @ v)[..., None] + by_speed @ (first @ v)[..., None]
                    + by_angle @ v[..., None])
        return precondition(r_change[..., 0]).ravel()

    matrix = LinearOperator((r.size, r.size), product, dtype=float)
    step, _ = gmres(matrix, precondition(r).ravel(), rtol=TOLERANCE, restart=MOST_ITERATIONS, maxiter=1)
    return -step.reshape(r.shape)


def _preconditioner(by_acceleration, by_speed, by_angle, times, coarse, solve):
    keep = coarse // 2
    down, up = fourier_matrix(times, coarse, 0, keep), fourier_matrix(coarse, times)
    wave = np.arange(keep + 1, times // 2 + 1)[:, None, None]
    inverse = np.linalg.inv(
        by_angle.mean(0) + 1j * wave * by_speed.mean(0) - wave**2 * by_acceleration.mean(0))

    def precondition(r):
        waves = np.fft.rfft(r, axis=0)
        waves[:keep + 1] = 0.0
        waves[keep + 1:] = (inverse @ waves[keep + 1:, :, None])[..., 0]
        return up @ solve(down @ r) + np.fft.irfft(waves, times, axis=0)

    return precondition
