"""Limbs: lengths and angles, joints placed by angles, reaching, stops.

Points have the shape (..., joints, 2), mm, from the joint that carries the limb out to its
tip; whatever stands in front (drawings, loops) is carried along. Angles are in degrees,
counter-clockwise: an angle is measured against the x axis of the sheet, a bend against the
segment before; the first segment's bend is its angle.

Stops are those of a drawn figure. Real joints differ from one person to the next: whoever
asks how far a real one may go asks a health professional, not a drawing.
"""

import numpy as np

from ..model.action import ActionError
from .angles import wrapped

# ---- points -> lengths and angles ------------------------------------------------


def lengths(points):
    """Length of each segment, mm, shape (..., segments).

    Examples
    --------
    >>> lengths([[0, 0], [3, 4], [3, 16]])
    array([ 5., 12.])
    """
    segment = np.diff(_points(points), axis=-2)
    return np.hypot(segment[..., 0], segment[..., 1])


def angles(points):
    """Angle of each segment on the paper, -180 to 180 degrees, shape (..., segments).

    Examples
    --------
    >>> angles([[0, 0], [5, 0], [5, 3], [4, 3]])
    array([  0.,  90., 180.])
    """
    points = _points(points)
    segment = points[..., 1:, :] - points[..., :-1, :]
    return np.degrees(np.arctan2(segment[..., 1], segment[..., 0]))


def bends(points):
    """Bend of each segment against the one before it, -180 to 180 degrees, shape (..., segments).

    Examples
    --------
    >>> bends([[0, 0], [0, 5], [3, 5], [3, 4]])
    array([ 90., -90., -90.])
    """
    return _folded(np.diff(angles(points), axis=-1, prepend=0.0))


# ---- lengths and angles -> points (forward kinematics) ----------------------------


def pose(root, lengths, angles):
    """Place the joints of a limb from its root, its lengths and its angles on the paper.

    Parameters
    ----------
    root : array-like, shape (..., 2)
        The joint that carries the limb, mm.
    lengths : array-like, shape (..., segments)
        mm.
    angles : array-like, shape (..., segments)
        Degrees against the x axis.

    Returns
    -------
    ndarray, shape (..., segments + 1, 2)

    Examples
    --------
    >>> pose([10, 0], [5, 2], [90, 0]).round(6)
    array([[10.,  0.],
           [10.,  5.],
           [12.,  5.]])
    """
    turn = np.radians(np.asarray(angles, float))
    step = np.asarray(lengths, float)[..., None] * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    root = np.asarray(root, float)
    front = np.broadcast_shapes(root.shape[:-1], step.shape[:-2])
    root = np.broadcast_to(root[..., None, :], front + (1, 2))
    step = np.broadcast_to(step, front + step.shape[-2:])
    return np.concatenate([root, root + np.cumsum(step, axis=-2)], axis=-2)


def pose_from_bends(root, lengths, bends):
    """Place the joints from bends: each segment is turned against the one before it.

    Examples
    --------
    >>> pose_from_bends([0, 0], [5, 2], [90, -90]).round(6)
    array([[0., 0.],
           [0., 5.],
           [2., 5.]])
    """
    return pose(root, lengths, np.cumsum(np.asarray(bends, float), axis=-1))


# ---- reaching (inverse kinematics) -------------------------------------------------


def reach(root, lengths, target):
    """The two bends with which an arm of two segments puts its end on a target.

    Parameters
    ----------
    root, target : array-like, shape (..., 2)
        mm.
    lengths : array-like, shape (2,)
        Upper arm and forearm, mm.

    Returns
    -------
    ndarray, shape (2, ..., 2)
        Bends in degrees, for `pose_from_bends`: first the elbow that bends counter-clockwise
        (0 to 180), then the one that bends clockwise. Stretched out they are the same.

    Raises
    ------
    ActionError
        If the target is out of reach: says by how much, and in which drawing.

    Notes
    -----
    The law of cosines, written for half the elbow's bend: it stays exact where the arm is
    nearly straight. Where the target lies on the root every direction will do; one is given.

    Examples
    --------
    >>> reach([0, 0], [3, 4], [0, 5]).round(3)
    array([[ 36.87,  90.  ],
           [143.13, -90.  ]])
    """
    upper, fore = _two(lengths)
    across = np.asarray(target, float) - np.asarray(root, float)
    x, y = across[..., 0], across[..., 1]
    distance = np.hypot(x, y)
    _check_reach(distance, upper, fore)
    far = np.maximum((upper + fore - distance) * (upper + fore + distance), 0.0)
    near = np.maximum((distance - upper + fore) * (distance + upper - fore), 0.0)
    elbow = 2.0 * np.arctan2(np.sqrt(far), np.sqrt(near))
    elbow = np.stack([elbow, -elbow])
    first = np.arctan2(y, x) - np.arctan2(fore * np.sin(elbow), upper + fore * np.cos(elbow))
    return np.stack([_folded(np.degrees(first)), np.degrees(elbow)], axis=-1)


def _check_reach(distance, upper, fore):
    slack = 1e-9 * (upper + fore)  # a target on the rim may round to either side of it
    out = np.argwhere((distance > upper + fore + slack) | (distance < abs(upper - fore) - slack)
                      | ~np.isfinite(distance))
    if not len(out):
        return
    first = tuple(out[0])
    d = distance[first]
    where = f"drawing {first[-1] + 1}: " if first else ""
    if not np.isfinite(d):
        raise ActionError(f"{where}the target is not a number; give x and y in mm")
    if d > upper + fore:
        raise ActionError(
            f"{where}the target is {d - upper - fore:.3g} mm out of reach: it lies {d:.4g} mm from the root, "
            f"and stretched out the limb is {upper + fore:.4g} mm; bring it nearer or let the root follow")
    raise ActionError(
        f"{where}the target is {abs(upper - fore) - d:.3g} mm too near: it lies {d:.4g} mm from the root, "
        f"and folded up the limb still spans {abs(upper - fore):.4g} mm; take it farther off or let the root "
        f"give way")


def _two(lengths):
    lengths = np.asarray(lengths, float)
    if lengths.shape != (2,) or not (lengths > 0).all() or not np.isfinite(lengths).all():
        raise ActionError(f"reaching needs two lengths above 0 mm, not {lengths.tolist()}; give upper arm "
                          f"and forearm")
    return lengths


# ---- stops -------------------------------------------------------------------------


def beyond_stops(points, stops):
    """How far each bend is past its stop, degrees, shape (..., segments).

    Parameters
    ----------
    points : array-like, shape (..., joints, 2)
    stops : array-like, shape (segments, 2)
        Least and greatest bend, degrees; the first segment's against the x axis.

    Returns
    -------
    ndarray
        0 within the stops, above 0 past the greatest bend, below 0 past the least. A bend is
        taken on the turn that lies nearest to the middle of its stops.

    Examples
    --------
    >>> beyond_stops([[0, 0], [5, 0], [5, -3]], [[-180, 180], [0, 150]])
    array([  0., -90.])
    """
    bend, stops = _bends_near_stops(points, stops)
    return bend - np.clip(bend, stops[:, 0], stops[:, 1])


def within_stops(points, stops, by=0.0):
    """True where a bend keeps its stops, or passes them by no more than `by` degrees.

    Examples
    --------
    >>> within_stops([[0, 0], [5, 0], [5, 3]], [[-180, 180], [0, 85]], by=3)
    array([ True, False])
    """
    return np.abs(beyond_stops(points, stops)) <= by


def clamped(points, stops):
    """The same limb with every bend brought back to its stop; root and lengths are kept.

    What hangs below a joint that was brought back turns with it.

    Examples
    --------
    >>> clamped([[0, 0], [5, 0], [5, -3]], [[-180, 180], [0, 150]]).round(6)
    array([[0., 0.],
           [5., 0.],
           [8., 0.]])
    """
    points = _points(points)
    bend, stops = _bends_near_stops(points, stops)
    return pose_from_bends(points[..., 0, :], lengths(points), np.clip(bend, stops[:, 0], stops[:, 1]))


def _bends_near_stops(points, stops):
    stops = np.asarray(stops, float).reshape(-1, 2)
    bend = bends(points)
    if len(stops) != bend.shape[-1]:
        raise ActionError(f"{bend.shape[-1]} segments but {len(stops)} pairs of stops; give one pair a "
                          f"segment")
    for number, (least, greatest) in enumerate(stops, start=1):
        if not least <= greatest:
            raise ActionError(f"segment {number}: stops {least:g} and {greatest:g} degrees are the wrong way "
                              f"round; give the least bend first")
    return _folded(bend, stops.mean(axis=1)), stops


def _folded(degrees, middle=0.0):
    """As `wrapped`, but a segment folded back on the one before it is at 180 degrees and not at -180."""
    return -wrapped(-degrees, -middle)


def _points(points):
    points = np.asarray(points, float)
    if points.ndim < 2 or points.shape[-1] != 2:
        raise ActionError(f"points have the shape {points.shape}; give x and y of each joint, (..., joints, "
                          f"2)")
    return points
