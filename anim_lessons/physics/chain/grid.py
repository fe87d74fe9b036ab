"""One loop at a row of times: smooth periodic functions from their samples, and their slopes.

Time runs once round from 0 to 2 pi. A periodic function is held by its values at an even row
of times and is the trigonometric polynomial through them, so its slopes are exact (Fourier
collocation).
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


def _kept(array):
    """Of a cache, so not to be written to."""
    array.flags.writeable = False
    return array


@lru_cache(maxsize=256)
def even(count):
    """An even row of times round the loop, not to be written to."""
    return _kept(2.0 * np.pi * np.arange(count) / count)


@lru_cache(maxsize=16)
def stage_times(steps):
    """Times of the three stages of each of so many steps round the loop, (3 * steps,), not to be written to."""
    return _kept((2.0 * np.pi / steps * (np.arange(steps)[:, None] + STAGES)).ravel())


@lru_cache(maxsize=256)
def trig(samples, times, slope=0, keep=None):
    """Matrix from values at `samples` even times to the function, or a slope of it, at other times.

    Parameters
    ----------
    samples : int
    times : int, or tuple ("stages", steps)
        An even row of so many times, or those of `stage_times`.
    slope : int
        How often to differentiate; -2 integrates twice what has no harmonics up to `keep`.
    keep : int or None
        Harmonics kept (or, with -2, left out); None keeps all.

    Returns
    -------
    ndarray, shape (times, samples), not to be written to
    """
    at = even(times) if isinstance(times, int) else stage_times(times[1])
    top = samples // 2
    wave = np.arange(top + 1)
    weight = np.where(wave == 0, 1.0, 2.0) / samples
    if samples % 2 == 0:
        weight[-1] = 1.0 / samples  # the last harmonic is seen at its crests only
    if slope == -2:
        weight = np.where(wave <= keep, 0.0, weight / -np.maximum(wave, 1.0) ** 2)
        slope = 0
    elif keep is not None:
        weight = np.where(wave <= keep, weight, 0.0)
    turn = wave * at[:, None]
    factor = weight * wave.astype(float) ** slope if slope else weight
    # Slopes of cos(k (t - s)): a quarter turn further each.
    outer = np.cos(turn + 0.5 * np.pi * slope) * factor, np.sin(turn + 0.5 * np.pi * slope) * factor
    inner = np.outer(wave, even(samples))
    return _kept(outer[0] @ np.cos(inner) + outer[1] @ np.sin(inner))


@lru_cache(maxsize=256)
def motion(samples, times):
    """Matrix from values at `samples` even times to the function and its first two slopes at other times, in one.

    Returns
    -------
    ndarray, shape (3 * times, samples), not to be written to
        Function, slope and second slope one above the other.
    """
    return _kept(np.concatenate([trig(samples, times, slope) for slope in range(3)]))


@lru_cache(maxsize=64)
def _driving(samples, times, harmonics):
    """As `motion`, of so many harmonics, turned on its side."""
    return _kept(np.concatenate([trig(samples, times, slope, harmonics) for slope in range(3)]).T.copy())


@dataclass(frozen=True, eq=False)
class Path:
    """A joint on a closed path, and the angle of the segment that carries it, at an even row of times.

    drawn (..., 3, samples): x and y, m, and the angle, radians, without the `turns` (...) whole
    turns that the parent makes in a loop.
    """

    drawn: np.ndarray
    turns: np.ndarray
    harmonics: int = None  # kept of all three; None keeps all

    def drive(self, times):
        """The `Drive` at an even row of so many times, or at those of the stages of steps."""
        at = even(times) if isinstance(times, int) else stage_times(times[1])
        moved, count = self.drawn @ _driving(self.drawn.shape[-1], times, self.harmonics), len(at)
        place = moved[..., 0, count:] + 1j * moved[..., 1, count:]
        turns = self.turns[..., None]
        return Drive(place[..., :count], place[..., count:], moved[..., 2, :count] + turns * at,
                     moved[..., 2, count:2 * count] + turns)

    def chosen(self, which):
        return Path(self.drawn[which], self.turns[which], self.harmonics)

    def loops(self, count):
        """The same path, with `count` loops taken for one."""
        return Path(np.tile(self.drawn, count), self.turns * count, self.harmonics and self.harmonics * count)


def slopes_matrix(slopes, second, first, none):
    """The slopes of every value at every time, as one matrix.

    slopes (M, G, K), each (..., points, rods, rods); `second`, `first`, `none` (points, points) take values
    at all times to accelerations, speeds and angles; None stands for the values themselves.

    Returns
    -------
    ndarray, shape (..., rods * points, rods * points)
        Of all times of the first rod, of all of the second, ...: numbers side by side in memory are of a
        row of times, which is long.
    """
    by_acceleration, by_speed, by_angle = (s.swapaxes(-3, -2)[..., None] for s in slopes)
    rods, points = by_angle.shape[-4:-2]
    out = by_acceleration * second[:, None, :]
    out += by_speed * first[:, None, :]
    if none is None:
        np.einsum("...itjt->...itj", out)[...] += by_angle[..., 0]
    else:
        out += by_angle * none[:, None, :]
    return out.reshape(*out.shape[:-4], rods * points, rods * points)
