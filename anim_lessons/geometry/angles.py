"""Angles by whole turns, and points as complex numbers. Angles are in degrees, points in mm."""

import numpy as np

from ..model.action import ActionError


def wrapped(degrees, middle=0.0):
    """The same angles, by whole turns, from middle - 180 up to below middle + 180 degrees.

    Examples
    --------
    >>> wrapped(np.array([190.0, -180.0, 180.0]))
    array([-170., -180., -180.])
    """
    return degrees - 360.0 * np.floor((degrees + (180.0 - middle)) / 360.0)


def unwrapped(degrees, axis=-2):
    """Angles without jumps of a whole turn along the drawings."""
    # The same as np.diff, which takes longer than the subtraction.
    steps = degrees[..., 1:, :] - degrees[..., :-1, :] if axis == -2 else np.diff(degrees, axis=axis)
    if np.abs(steps).max(initial=0.0) <= 180.0:
        return degrees
    return np.unwrap(degrees, period=360.0, axis=axis)


def as_complex(points):
    """Points (..., 2) as complex numbers x + iy, shape (...); a view of `points` where that is possible.

    Examples
    --------
    >>> as_complex([[3, 4], [0, 1]])
    array([3.+4.j, 0.+1.j])
    """
    points = np.asarray(points, float)
    if points.shape[-1:] != (2,):
        raise ActionError(f"places have the shape {points.shape}; give x and y of each, (..., 2)")
    return np.ascontiguousarray(points).view(complex)[..., 0]


def times(matrix, z):
    """A real matrix (rows, n) times complex numbers (..., n, columns) that lie side by side: (..., rows, columns). The same as `@`, which
    makes the matrix complex first and takes four times longer.

    Examples
    --------
    >>> times(np.array([[1.0, 2.0]]), np.array([[1j], [3 + 0j]]))
    array([[6.+1.j]])
    """
    return (matrix @ z.view(float)).view(complex)


def as_points(z):
    """Complex numbers x + iy, shape (...), as points (..., 2).

    Examples
    --------
    >>> as_points([3 + 4j, 1j])
    array([[3., 4.],
           [0., 1.]])
    """
    z = np.asarray(z, complex)
    return np.ascontiguousarray(z).view(float).reshape(*z.shape, 2)
