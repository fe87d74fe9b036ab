"""A joint that carries something on a drawn loop: checked, and smooth between its drawings."""

from dataclasses import dataclass

import numpy as np

from ..model.action import ActionError

FEWEST = 4  # drawings of a loop


def checked_loop(root, parent, exposure):
    """Root (drawings, 2), mm, parent's angle (drawings,), degrees, and frames (drawings,), as arrays.

    Parameters
    ----------
    root : array-like, shape (drawings, 2)
        4 drawings or more.
    parent : array-like, shape (drawings,), or float
    exposure : int, or sequence of int, one a drawing

    Raises
    ------
    ActionError
        If the shapes do not fit, or a number cannot be drawn.
    """
    root = np.asarray(root, float)
    if root.ndim != 2 or root.shape[-1] != 2 or len(root) < FEWEST:
        raise ActionError(f"the root's places have the shape {root.shape}; give (drawings, 2), {FEWEST} "
                          f"drawings or more")
    try:
        parent = np.broadcast_to(np.asarray(parent, float), (len(root),))
        frames = np.broadcast_to(np.asarray(exposure, float), (len(root),))
    except ValueError:
        raise ActionError(f"{len(root)} drawings of the root, but {np.size(parent)} angles of the parent and "
                          f"{np.size(exposure)} exposures; give one a drawing") from None
    for number, (place, angle, held) in enumerate(zip(root, parent, frames), start=1):
        if not (np.isfinite(place).all() and np.isfinite(angle)):
            raise ActionError(f"drawing {number}: the root's place or the parent's angle is not a number; "
                              f"give both")
        if not held >= 1 or held != int(held):
            raise ActionError(f"drawing {number} is exposed for {held:g} frames; give it a whole number, at "
                              f"least 1")
    return root, parent, frames


@dataclass(frozen=True, eq=False)
class SmoothLoop:
    """Root and parent between the drawings, on periodic splines of degree 5; `smooth_loop` makes one. Times
    are shares of the loop."""

    spline: object  # x, y, mm, and the parent's angle, degrees, without its whole turns
    turns: float    # whole turns of the parent in a loop

    def place(self, time):
        """mm, shape (..., 2)."""
        return self.spline(time)[..., :2]

    def velocity(self, time):
        """mm a loop, shape (..., 2)."""
        return self.spline(time, 1)[..., :2]

    def angle(self, time):
        """Of the parent, degrees, shape (...)."""
        return self.spline(time)[..., 2] + 360.0 * self.turns * time


def smooth_loop(frames, root, parent):
    """The SmoothLoop through drawings as `checked_loop` gives them; of degree 3 for fewer than 6 drawings."""
    from scipy.interpolate import make_interp_spline

    time = np.concatenate([[0.0], np.cumsum(frames)]) / frames.sum()
    angle = np.unwrap(np.append(parent, parent[0]), period=360.0)
    turns = (angle[-1] - angle[0]) / 360.0
    values = np.column_stack([np.append(root, root[:1], axis=0), angle - 360.0 * turns * time])
    values[-1] = values[0]
    return SmoothLoop(make_interp_spline(time, values, k=5 if len(root) >= 6 else 3, bc_type="periodic"),
                      turns)
