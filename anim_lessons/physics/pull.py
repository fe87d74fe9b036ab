"""Drag and follow-through: the pull with a return.

A loose part is pulled along by the joint it hangs on and returns to its rest. A segment of
length l, whose root moves with velocity v and whose parent is drawn at an angle, turns by

    turning = Im(conj(z) q),    z = exp(i angle),
    q = exp(i (parent + rest)) / returns - drags v / l

`drags` = 1 is a pure pull: the end goes where the root tugs it, never sideways (a
tractrix). `returns` is the time it takes to come back to its rest. In numbers of the loop:
0.1 is a cuff, 0.25 a pennant; without a return (infinity) most loops never link up.

Whether a looping motion exists, and which it is, is told exactly (`looping`). This model
has no weight in it.
"""

from dataclasses import dataclass

import numpy as np

from ..geometry.limb import pose
from ..model.action import ActionError
from .moebius import looping, step_maps

MOST = 100  # segments of a rope
LOOP = 24  # drawings: lags are told for a loop of so many
STILL = 2.0  # degrees: a part that swings by less has no lag to speak of


@dataclass(frozen=True, eq=False)
class Following:
    """What a chain of loose parts does on a loop.

    Attributes
    ----------
    found : bool
        True: there is a looping motion, and it links up.
    points : ndarray, shape (drawings, segments + 1, 2), or None
        Root and joints in each drawing, mm.
    angles : ndarray, shape (drawings, segments), or None
        On the paper, degrees, without jumps from drawing to drawing.
    turns : tuple of float
        Turns that each segment makes in a loop: a whole number where it links up. Where it does
        not the last of them says by how much, or is None if every beginning comes back.
    remains : float
        Share of a wrong beginning that is left after one loop, of the segment that keeps it
        longest. 1 where it never fades.
    says : str
        One sentence on what was found.
    """

    found: bool
    points: np.ndarray
    angles: np.ndarray
    turns: tuple
    remains: float
    says: str


def follow(root, parent, lengths, rest=0.0, returns=0.15, drags=1.0, exposure=1):
    """The looping motion of loose parts that hang on a drawn loop.

    Parameters
    ----------
    root : array-like, shape (drawings, 2)
        Place of the joint that carries the chain in each drawing of the loop, mm; 4 or more.
    parent : array-like, shape (drawings,) or float
        Angle on the paper of the segment that carries it, degrees.
    lengths : array-like, shape (segments,), or float
        Of the loose segments, mm, from the root to the tip; at most 100.
    rest : float or array-like, shape (segments,)
        Bend of each against the one before to which it returns, degrees.
    returns : float or array-like, shape (segments,)
        Time in which it returns, as a share of the loop, 0.01 or more; infinity: never.
    drags : float or array-like, shape (segments,)
        How much of the pull it follows, 0 or more; 1 all of it.
    exposure : int, or sequence of int, one a drawing
        Frames.

    Returns
    -------
    Following
        Its `found` is False where no looping motion exists.

    Raises
    ------
    ActionError
        If what is asked for cannot be drawn.

    Notes
    -----
    Between drawings the root runs smoothly, on a periodic spline of degree 5. The Möbius map of
    each short step is the exponential of the equation's matrix, exact to fourth order (Magnus).

    Examples
    --------
    A root that circles at twice the segment's length: the end runs round a smaller circle inside
    it, and the segment stands at 120 degrees to the radius.

    >>> turn = np.arange(24) * 15.0
    >>> circle = 20 * np.column_stack([np.cos(np.radians(turn)), np.sin(np.radians(turn))])
    >>> pulled = follow(circle, 0, 10, returns=np.inf)
    >>> pulled.found, float(round(pulled.angles[0, 0], 3))
    (True, -120.0)
    """
    root, parent, lengths, rest, returns, drags, frames = _asked(root, parent, lengths, rest, returns, drags, exposure)
    at = np.concatenate([[0.0], np.cumsum(frames)]) / frames.sum()
    looks = _looks(root, lengths, returns, drags, len(frames))
    time, steps, on_drawing = _grid(at, looks)
    velocity, above = _between_drawings(at, root, parent, time)

    angles, turns, remains = [], [], 0.0
    for k, length in enumerate(lengths):
        q = above * np.exp(1j * np.radians(rest[k])) / returns[k] - drags[k] * velocity / length
        loop = looping(*step_maps(q, steps))
        turns.append(loop.turns)
        if loop.motion is None:
            return Following(False, None, None, tuple(turns), 1.0, _none_says(k, loop))
        remains = max(remains, loop.remains)
        z = loop.motion
        fine = np.empty(len(time), complex)
        fine[::2], fine[1::2] = z, _halfway(z, (z.conj() * q[::2]).imag * 1j * z, steps)
        angles.append(np.degrees(np.unwrap(np.angle(z)))[on_drawing])
        velocity = velocity + length * (fine.conj() * q).imag * 1j * fine
        above = fine
    angles = np.column_stack(angles)
    left = "next to nothing" if remains < 0.0005 else f"{remains:.1%}" if remains < 0.9995 else "nearly all"
    says = f"It links up; after one loop {left} of a wrong beginning is left."
    return Following(True, pose(root, lengths, angles), angles, tuple(turns), remains, says)


def _none_says(k, loop):
    which = f"segment {k + 1}"
    if loop.turns is None:
        return (f"No one looping motion exists: {which} comes back to wherever it began, so one beginning is as good as "
                "another and a slip never fades. Give it a return.")
    return (f"No looping motion exists: {which} is {abs(loop.turns) * 360:.4g} degrees farther round after each loop, "
            f"{'counter-clockwise' if loop.turns > 0 else 'clockwise'}. Give it a quicker return.")


# ---- what is asked ------------------------------------------------------------------


def _asked(root, parent, lengths, rest, returns, drags, exposure):
    root = np.asarray(root, float)
    if root.ndim != 2 or root.shape[-1] != 2 or len(root) < 4:
        raise ActionError(f"the root's places have the shape {root.shape}; give (drawings, 2), 4 drawings or more")
    drawings = len(root)
    lengths = np.atleast_1d(np.asarray(lengths, float))
    if lengths.ndim != 1 or not 1 <= len(lengths) <= MOST:
        raise ActionError(f"{lengths.size} segments; give one row of 1 to {MOST} lengths")
    try:
        parent = np.broadcast_to(np.asarray(parent, float), (drawings,))
        frames = np.broadcast_to(np.asarray(exposure, float), (drawings,))
    except ValueError:
        raise ActionError(f"{drawings} drawings of the root, but {np.size(parent)} angles of the parent and "
                          f"{np.size(exposure)} exposures; give one a drawing") from None
    each = []
    for name, value, least, most in (("length", lengths, 1e-6, np.inf), ("rest", rest, -np.inf, np.inf),
                                     ("returns", returns, 0.01, None), ("drags", drags, 0.0, np.inf)):
        try:
            value = np.broadcast_to(np.asarray(value, float), lengths.shape)
        except ValueError:
            raise ActionError(f"{name}: {np.size(value)} numbers for {len(lengths)} segments; give one a segment") from None
        for number, v in enumerate(value, start=1):
            if not v >= least or (most is not None and v == most) or v == -np.inf:
                raise ActionError(f"segment {number}: {name} is {v:g}; give " + (
                    f"{least:g} or more" if least > -np.inf else "a number of degrees"))
        each.append(value)
    for number, (place, angle, held) in enumerate(zip(root, parent, frames), start=1):
        if not (np.isfinite(place).all() and np.isfinite(angle)):
            raise ActionError(f"drawing {number}: the root's place or the parent's angle is not a number; give both")
        if not held >= 1 or held != int(held):
            raise ActionError(f"drawing {number} is exposed for {held:g} frames; give it a whole number, at least 1")
    return root, parent, *each, frames


# ---- between drawings ----------------------------------------------------------------


def _looks(root, lengths, returns, drags, drawings):
    """Steps from each drawing to the next, so short that no step turns a segment far."""
    way = np.hypot(*np.diff(root, axis=0, append=root[:1]).T).sum()
    pull = way * (drags / lengths).max() + (1.0 / returns).max()
    return int(np.clip(np.ceil(4.0 * pull / drawings), max(4, np.ceil(192 / drawings)), np.ceil(2400 / drawings) + 4))


def _grid(at, looks):
    """Times of all looks and of the middles between them; lengths of the steps; looks that are drawings."""
    share = np.arange(2 * looks) / (2 * looks)
    time = np.append((at[:-1, None] + np.diff(at)[:, None] * share).ravel(), 1.0)
    return time, np.diff(time[::2]), np.arange(len(at) - 1) * looks


def _between_drawings(at, root, parent, time):
    """Velocity of the root, mm a loop, and direction of the parent, at all times."""
    from scipy.interpolate import make_interp_spline

    place = np.append(root, root[:1], axis=0) @ [1.0, 1.0j]
    angle = np.unwrap(np.radians(np.append(parent, parent[0])))
    net = angle[-1] - angle[0]  # whole turns of the parent in a loop
    swing = angle - net * at
    swing[-1] = swing[0]
    degree = 5 if len(root) >= 6 else 3
    z, turn = (make_interp_spline(at, value, k=degree, bc_type="periodic")
               for value in (np.column_stack([place.real, place.imag]), swing))
    velocity = z.derivative()(time) @ [1.0, 1.0j]
    return velocity, np.exp(1j * (turn(time) + net * time))


def _halfway(z, velocity, steps):
    """Values in the middle of each step, from values and velocities at its ends (Hermite)."""
    middle = 0.5 * (z[:-1] + z[1:]) + steps / 8.0 * (velocity[:-1] - velocity[1:])
    return middle / np.abs(middle)


# ---- lag ---------------------------------------------------------------------------------


def lag(angles):
    """How much later each segment swings than the one that carries it.

    Parameters
    ----------
    angles : array-like, shape (..., drawings, segments)
        On the paper, degrees, one loop, drawings evenly in time; 3 or more.

    Returns
    -------
    ndarray, shape (..., segments - 1)
        Drawings of a loop of 24, -12 to 12: above 0 later (drag), below 0 earlier. Told by the
        first harmonic, once whole turns are taken out; not a number where one of the two
        swings by less than 2 degrees, for then there is nothing to tell by.

    Examples
    --------
    >>> time = np.arange(24) * 15.0
    >>> arm, hand = 30 * np.sin(np.radians(time)), 20 * np.sin(np.radians(time - 45))
    >>> lag(np.column_stack([arm, hand])).round(6)
    array([3.])
    """
    angles = np.asarray(angles, float)
    if angles.ndim < 2 or angles.shape[-2] < 3:
        raise ActionError(f"angles have the shape {angles.shape}; give (drawings, segments), 3 drawings or more")
    drawings = angles.shape[-2]
    closed = np.unwrap(np.concatenate([angles, angles[..., :1, :]], axis=-2), period=360.0, axis=-2)
    net = closed[..., -1:, :] - closed[..., :1, :]
    time = np.arange(drawings) / drawings
    swing = closed[..., :-1, :] - net * time[:, None]
    wave = (np.exp(-2j * np.pi * time) @ swing) * (2.0 / drawings)
    late = np.angle(wave[..., :-1] * wave[..., 1:].conj()) * (LOOP / (2 * np.pi))
    tells = np.abs(wave) >= STILL
    return np.where(tells[..., :-1] & tells[..., 1:], late, np.nan)


# ---- settling --------------------------------------------------------------------------------


def settling(swing, keeps, swings):
    """Extremes of a part that settles: each overshoots the rest by the same share of the one before.

    Parameters
    ----------
    swing : float
        The first extreme, degrees from the rest.
    keeps : float
        Share that is left from one extreme to the next on the other side, 0 to below 1.
    swings : int
        How many extremes, 1 or more.

    Returns
    -------
    ndarray, shape (swings,)
        Degrees from the rest, one side and the other in turn.

    Examples
    --------
    >>> settling(40, 0.5, 4)
    array([ 40., -20.,  10.,  -5.])
    """
    if not 0.0 <= keeps < 1.0:
        raise ActionError(f"settling keeps {keeps:g} of each swing; give 0 to below 1, or it never settles")
    if swings != int(swings) or swings < 1:
        raise ActionError(f"{swings} swings; give a whole number, 1 or more")
    return swing * (-float(keeps)) ** np.arange(int(swings))


def log_decrement(extremes):
    """How fast a swing dies away: the logarithm of one swing over the next to the same side.

    Parameters
    ----------
    extremes : array-like, shape (..., swings)
        Degrees from the rest, one side and the other in turn, 2 or more.

    Returns
    -------
    ndarray, shape (...)
        No unit. The straight line that fits the logarithms best, so all extremes count. The
        share kept from side to side is ``exp(-d / 2)``, the damping ratio ``d / sqrt(4 pi^2 + d^2)``.

    Raises
    ------
    ActionError
        If the extremes are not on both sides in turn.

    Examples
    --------
    >>> float(np.exp(-log_decrement([40, -20, 10, -5]) / 2).round(6))
    0.5
    """
    extremes = np.asarray(extremes, float)
    if extremes.ndim == 0 or extremes.shape[-1] < 2:
        raise ActionError("settling is told by 2 extremes or more; give them in order")
    if not (extremes[..., 1:] * extremes[..., :-1] < 0).all():
        raise ActionError("the extremes do not lie on both sides of the rest in turn; measure them from the rest")
    number = np.arange(extremes.shape[-1]) - 0.5 * (extremes.shape[-1] - 1)
    return -2.0 * (np.log(np.abs(extremes)) @ number) / (number @ number)
