"""Angles without jumps, and positions as complex numbers."""

import numpy as np


def wrapped(degrees):
    """An angle, or a difference of angles, between -180 and 180 degrees."""
    return (degrees + 180.0) % 360.0 - 180.0


def unwrapped(degrees, axis=-2):
    """Angles without jumps of a whole turn along the drawings."""
    steps = np.diff(degrees, axis=axis)
    if np.abs(steps).max(initial=0.0) <= 180.0:
        return degrees
    return np.unwrap(degrees, period=360.0, axis=axis)


def as_complex(points):
    """Pairs as complex numbers x + iy, shape (..., 2) to (...)."""
    return np.ascontiguousarray(points, float).view(complex)[..., 0]


def as_points(z):
    """Complex numbers as pairs, shape (...) to (..., 2)."""
    z = np.ascontiguousarray(z, complex)
    return z.view(float).reshape(*z.shape, 2)
