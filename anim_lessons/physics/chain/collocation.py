"""Fourier collocation: a periodic function by its values on a collocation grid.

Time runs once round from 0 to 2 pi. A collocation grid is a number of even times. A periodic
function is the trigonometric polynomial through its values there, so its derivatives are exact.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from .equations import Drive

# Three-stage Radau IIA (order 5; stiff parts die away): Hairer and Wanner 1996, table IV.5.6, from memory,
# checked by the tests against the conditions of its order.
_R6 = np.sqrt(6.0)
STAGES = np.array([(4 - _R6) / 10, (4 + _R6) / 10, 1.0])
WEIGHTS = np.array([
    [(88 - 7 * _R6) / 360, (296 - 169 * _R6) / 1800, (-2 + 3 * _R6) / 225],
    [(296 + 169 * _R6) / 1800, (88 + 7 * _R6) / 360, (-2 - 3 * _R6) / 225],
    [(16 - _R6) / 36, (16 + _R6) / 36, 1 / 9],
])


def _read_only(array):
    """The same array, which a cache hands out many times, protected from being written to."""
    array.flags.writeable = False
    return array


@lru_cache(maxsize=256)
def even_times(count):
    """The collocation grid of so many even times from 0 to 2 pi, read-only."""
    return _read_only(2.0 * np.pi * np.arange(count) / count)


@lru_cache(maxsize=16)
def stage_times(steps):
    """Times of the three stages of each of so many steps round the loop, (3 * steps,), read-only."""
    return _read_only((2.0 * np.pi / steps * (np.arange(steps)[:, None] + STAGES)).ravel())


@lru_cache(maxsize=256)
def fourier_matrix(samples, times, derivative=0, harmonics=None):
    """Matrix from values on a collocation grid to the function, or a derivative of it, at other times.

    Parameters
    ----------
    samples : int
        Times of the collocation grid.
    times : int, or tuple ("stages", steps)
        A collocation grid of so many times, or the times of `stage_times`.
    derivative : int
        Order; -2 integrates twice a function that has no harmonics up to `harmonics`.
    harmonics : int or None
        Harmonics kept (or, with -2, left out); None keeps all.

    Returns
    -------
    ndarray, shape (times, samples), read-only
    """
    at = even_times(times) if isinstance(times, int) else stage_times(times[1])
    wave = np.arange(samples // 2 + 1)
    weight = np.where(wave == 0, 1.0, 2.0) / samples
    if samples % 2 == 0:
        weight[-1] = 1.0 / samples  # the grid holds only the cosine of its last harmonic
    if derivative == -2:
        weight = np.where(wave <= harmonics, 0.0, weight / -np.maximum(wave, 1.0) ** 2)
        derivative = 0
    elif harmonics is not None:
        weight = np.where(wave <= harmonics, weight, 0.0)
    # Each derivative of a cosine is a quarter turn ahead.
    phase = wave * at[:, None] + 0.5 * np.pi * derivative
    factor = weight * wave.astype(float) ** derivative if derivative else weight
    inner = np.outer(wave, even_times(samples))
    return _read_only((np.cos(phase) * factor) @ np.cos(inner) + (np.sin(phase) * factor) @ np.sin(inner))


@lru_cache(maxsize=256)
def motion_matrix(samples, times):
    """Matrix from values on a collocation grid to the function and its first two derivatives at other times.

    Returns
    -------
    ndarray, shape (3 * times, samples), read-only
        Function, first and second derivative one above the other.
    """
    return _read_only(np.concatenate([fourier_matrix(samples, times, order) for order in range(3)]))


@lru_cache(maxsize=64)
def _path_matrix(samples, times, harmonics):
    """As `motion_matrix`, of so many harmonics, transposed."""
    orders = [fourier_matrix(samples, times, order, harmonics) for order in range(3)]
    return _read_only(np.concatenate(orders).T.copy())


@dataclass(frozen=True, eq=False)
class Path:
    """A joint on a closed path, and the angle of the segment that carries it, on a collocation grid.

    drawn (..., 3, samples): x and y, m, and the angle, radians, without the `turns` (...) whole
    turns that the parent makes in a loop.
    """

    drawn: np.ndarray
    turns: np.ndarray
    harmonics: int = None  # kept of all three; None keeps all

    def drive(self, times):
        """The `Drive` on a collocation grid of so many times, or at `stage_times`."""
        at = even_times(times) if isinstance(times, int) else stage_times(times[1])
        moved, count = self.drawn @ _path_matrix(self.drawn.shape[-1], times, self.harmonics), len(at)
        place = moved[..., 0, count:] + 1j * moved[..., 1, count:]
        turns = self.turns[..., None]
        return Drive(place[..., :count], place[..., count:], moved[..., 2, :count] + turns * at,
                     moved[..., 2, count:2 * count] + turns)

    def chosen(self, which):
        return Path(self.drawn[which], self.turns[which], self.harmonics)

    def loops(self, count):
        """The same path, with `count` loops taken for one."""
        return Path(np.tile(self.drawn, count), self.turns * count, self.harmonics and self.harmonics * count)


def jacobian_matrix(jacobian, second, first, zeroth):
    """The derivatives of every residual by every unknown, as one matrix.

    Parameters
    ----------
    jacobian : M, G, K, each (..., points, rods, rods)
        As `equations.residual` gives them.
    second, first, zeroth : ndarrays, shape (points, points)
        Differentiation matrices from the unknowns to accelerations, speeds and angles; None for the identity.

    Returns
    -------
    ndarray, shape (..., rods * points, rods * points)
        All times of the first rod, then all of the second, ...: so the long axis lies together in memory.
    """
    by_acceleration, by_speed, by_angle = (part.swapaxes(-3, -2)[..., None] for part in jacobian)
    rods, points = by_angle.shape[-4:-2]
    out = by_acceleration * second[:, None, :]
    out += by_speed * first[:, None, :]
    if zeroth is None:
        np.einsum("...itjt->...itj", out)[...] += by_angle[..., 0]
    else:
        out += by_angle * zeroth[:, None, :]
    return out.reshape(*out.shape[:-4], rods * points, rods * points)


def collocation_matrix(jacobian, times):
    """`jacobian_matrix` where the unknowns are the angles on a collocation grid of so many times."""
    return jacobian_matrix(jacobian, fourier_matrix(times, times, 2), fourier_matrix(times, times, 1), None)
