"""The looping motion of a direction that is pulled, by the Möbius map of its loop.

A direction z on the unit circle turns by z' = (q - z z conj(q)) / 2, with q given round a
loop. Over any time this moves z by a Möbius map (a z + b) / (conj(b) z + conj(a)) with
|a|^2 - |b|^2 = 1 (a matrix of SU(1,1)), and the maps of short steps multiply to the map of
the loop. Where |Re a| > 1 the map is hyperbolic and has two fixed points on the circle: the
attracting one is the looping motion. Where |Re a| < 1 it is elliptic, conjugate to a
rotation, and no motion links up.
"""

from dataclasses import dataclass

import numpy as np

_LARGE = 1e100  # entries of a map above this are scaled down
_PARABOLIC = 1e-6  # |Re a| this near to 1 cannot be told from 1: the error of the steps is as large


@dataclass(frozen=True, eq=False)
class Loop:
    """The looping motion of a map, or the report that there is none.

    Attributes
    ----------
    motion : ndarray of complex, shape (steps + 1,), or None
        z at the start of each step and at the end; None: there is no looping motion.
    turns : float or None
        Turns of z in a loop, on average over many loops (rotation number); None: |Re a| cannot be
        told from 1, so that every start comes back to itself or drifts very slowly.
    remains : float
        Share of a disturbance that is left after one loop.
    """

    motion: np.ndarray
    turns: float
    remains: float


def step_maps(q, steps):
    """The map over each step: the exponential of the equation's matrix, right to fourth order (Magnus).

    Parameters
    ----------
    q : ndarray of complex, shape (2 * steps + 1,)
        At the start, the middle and the end of each step, one step after the other.
    steps : ndarray, shape (steps,)
        Their lengths.

    Returns
    -------
    a, b : ndarrays of complex, shape (steps,)
    """
    first, middle, last = q[:-2:2], q[1:-1:2], q[2::2]
    off = steps / 12.0 * (first + 4.0 * middle + last)  # Simpson's mean of q / 2
    # The commutator of the ends, which is a turn: the matrix is [[i spin, off], [conj off, -i spin]].
    spin = steps**2 / 24.0 * (last * first.conj()).imag
    root = np.sqrt(np.abs(off) ** 2 - spin**2 + 0j)
    sinhc = np.where(np.abs(root) < 1e-8, 1.0, np.sinh(root) / np.where(root == 0, 1.0, root)).real
    return np.cosh(root).real + 1j * spin * sinhc, off * sinhc


def looping(a, b):
    """The looping motion of the maps (a, b) of all steps of a loop.

    Parameters
    ----------
    a, b : ndarrays of complex, shape (steps,)
        As `step_maps` gives them.

    Returns
    -------
    Loop
    """
    every_a, every_b, grown = _products(a, b)
    whole_a, whole_b = every_a[-1], every_b[-1]
    one = np.exp(-grown[-1])  # 1 in the scale of the product
    real = whole_a.real
    if abs(real) > one * (1.0 + _PARABOLIC):
        root = np.sqrt((abs(real) - one) * (abs(real) + one))
        start = (1j * whole_a.imag + np.copysign(root, real)) / whole_b.conjugate()
        motion = _moved(start / abs(start), every_a, every_b)
        return Loop(motion, float(np.round(_turned(motion))) + 0.0, float((one / (abs(real) + root)) ** 2))
    if abs(real) >= one * (1.0 - _PARABOLIC):
        return Loop(None, None, 1.0)
    # The trace gives the angle of the rotation without whole turns; those are counted along the motion from
    # any start.
    turn = np.arccos(real / one) / np.pi
    fraction = turn if whole_a.imag > 0 else 1.0 - turn
    return Loop(None, float(np.floor(_turned(_moved(1.0 + 0j, every_a, every_b))) + fraction), 1.0)


def _products(a, b):
    """The products of the maps up to each step, times exp(-grown), by a parallel prefix scan: each pass joins
    every run of steps to the run before it, which doubles its length."""
    grown = np.zeros(len(a))
    length = 1
    while length < len(a):
        later_a, later_b, before_a, before_b = a[length:], b[length:], a[:-length], b[:-length]
        a, b = (np.concatenate([a[:length], later_a * before_a + later_b * before_b.conj()]),
                np.concatenate([b[:length], later_a * before_b + later_b * before_a.conj()]))
        grown[length:] += grown[:-length].copy()
        size = np.abs(a)
        if size.max() > _LARGE:
            a, b, grown = a / size, b / size, grown + np.log(size)
        length *= 2
    return a, b, grown


def _moved(z, a, b):
    """z at the start of the first step and after each, from the products of the maps."""
    motion = np.empty(len(a) + 1, complex)
    motion[0] = z
    after = (a * z + b) / (b.conj() * z + a.conj())
    motion[1:] = after / np.abs(after)
    return motion


def _turned(motion):
    return np.angle(motion[1:] * motion[:-1].conj()).sum() / (2.0 * np.pi)
