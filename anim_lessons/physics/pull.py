"""Drag and follow-through: the pull with a return.

A loose part is pulled along by the joint it hangs on and returns to its rest. A segment of
length l, whose root moves with velocity v and whose parent has an angle, turns with the speed

    Im(conj(z) q),    z = exp(i angle),
    q = exp(i (parent + rest)) / returns - drags v / l

`drags` = 1 is a pure pull: the end moves towards the root, never sideways (a tractrix).
`returns` is the time constant of the return, as a share of the loop: 0.1 is a cuff, 0.25 a
pennant. Without a return (infinity) most loops never link up.

Whether a looping motion exists, and which it is, follows from a Möbius map (`moebius`). The model
has no weight.
"""

from dataclasses import dataclass

import numpy as np

from ..geometry.angles import as_complex
from ..geometry.limb import pose
from ..model.action import ActionError
from .carrier_loop import checked_loop, smooth_loop
from .moebius import looping, step_maps

MOST_SEGMENTS = 100
LAG_LOOP = 24  # drawings: lags are told as drawings of a loop of so many
LEAST_AMPLITUDE = 2.0  # degrees: of a smaller first harmonic no lag is told


@dataclass(frozen=True, eq=False)
class Following:
    """The looping motion of a chain of loose parts, or the report that there is none.

    Attributes
    ----------
    found : bool
        True: there is a looping motion, and it links up.
    points : ndarray, shape (drawings, segments + 1, 2), or None
        Root and joints in each drawing, mm.
    angles : ndarray, shape (drawings, segments), or None
        On the paper, degrees, without jumps from drawing to drawing.
    turns : tuple of float
        Turns that each segment makes in a loop: whole numbers where it links up. Where it does not,
        the last number is that of the segment which fails; None if every start comes back to itself.
    remains : float
        Share of a disturbance that is left after one loop, the largest of all segments; 1: it never
        fades.
    fault : str
        Why there is none, in a sentence; empty where there is one.
    advice : str
        What to change then.
    """

    found: bool
    points: np.ndarray
    angles: np.ndarray
    turns: tuple
    remains: float
    fault: str = ""
    advice: str = ""

    @property
    def says(self):
        """What was found, in a sentence or two."""
        if not self.found:
            return f"{self.fault} {self.advice}"
        left = "next to nothing" if self.remains < 0.0005 else f"{self.remains:.1%}" if self.remains < 0.9995 else "nearly all"
        return f"It links up; after one loop {left} of a nudge is left."


def follow(root, parent, lengths, rest=0.0, returns=0.15, drags=1.0, exposure=1, part="segment"):
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
        Time constant of the return, as a share of the loop, 0.01 or more; infinity: none.
    drags : float or array-like, shape (segments,)
        How much of the pull it follows, 0 or more; 1 all of it.
    exposure : int, or sequence of int, one a drawing
        Frames.
    part : str
        What a segment is called where one is named.

    Returns
    -------
    Following
        Its `found` is False where no looping motion exists.

    Raises
    ------
    ActionError
        If a number is not one that can be drawn.

    Notes
    -----
    Between drawings the root moves on a periodic spline of degree 5. The Möbius map of each short
    step is the exponential of the equation's matrix, exact to fourth order (Magnus).

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
    root, parent, frames = checked_loop(root, parent, exposure)
    lengths, rest, returns, drags = _checked_segments(lengths, rest, returns, drags)
    time, steps, on_drawing = _grid(frames, _substeps(root, lengths, returns, drags))
    smooth = smooth_loop(frames, root, parent)
    velocity, above = as_complex(smooth.velocity(time)), np.exp(1j * np.radians(smooth.angle(time)))

    angles, turns, remains = [], [], 0.0
    for k, length in enumerate(lengths):
        q = above * np.exp(1j * np.radians(rest[k])) / returns[k] - drags[k] * velocity / length
        loop = looping(*step_maps(q, steps))
        turns.append(loop.turns)
        if loop.motion is None:
            return Following(False, None, None, tuple(turns), 1.0, *_none(k, loop, part))
        remains = max(remains, loop.remains)
        z = loop.motion
        fine = np.empty(len(time), complex)
        fine[::2], fine[1::2] = z, _midpoints(z, (z.conj() * q[::2]).imag * 1j * z, steps)
        angles.append(np.degrees(np.unwrap(np.angle(z)))[on_drawing])
        velocity = velocity + length * (fine.conj() * q).imag * 1j * fine
        above = fine
    angles = np.column_stack(angles)
    return Following(True, pose(root, lengths, angles), angles, tuple(turns), remains)


def _none(k, loop, part):
    """Why segment k has no looping motion, and what to change."""
    if loop.turns is None:
        return (f"No single looping motion exists: {part} {k + 1} comes back to wherever it starts, and a nudge never fades.",
                "Give it a return.")
    return (f"No looping motion exists: {part} {k + 1} is {abs(loop.turns) * 360:.4g} degrees farther round after each loop, "
            f"{'counter-clockwise' if loop.turns > 0 else 'clockwise'}.", "Give it a quicker return.")


# ---- checks ------------------------------------------------------------------------


def _checked_segments(lengths, rest, returns, drags):
    """All four as arrays (segments,)."""
    lengths = np.atleast_1d(np.asarray(lengths, float))
    if lengths.ndim != 1 or not 1 <= len(lengths) <= MOST_SEGMENTS:
        raise ActionError(f"{lengths.size} segments; give one row of 1 to {MOST_SEGMENTS} lengths")
    each = []
    for name, value, least, below in (("length", lengths, 1e-6, np.inf), ("rest", rest, -np.inf, np.inf),
                                      ("returns", returns, 0.01, None), ("drags", drags, 0.0, np.inf)):
        try:
            value = np.broadcast_to(np.asarray(value, float), lengths.shape)
        except ValueError:
            raise ActionError(f"{name}: {np.size(value)} numbers for {len(lengths)} segments; give one a "
                              f"segment") from None
        for number, v in enumerate(value, start=1):
            if not v >= least or (below is not None and v == below) or v == -np.inf:
                raise ActionError(f"segment {number}: {name} is {v:g}; give " + (
                    f"{least:g} or more" if least > -np.inf else "a number of degrees"))
        each.append(value)
    return each


# ---- between drawings ----------------------------------------------------------------


def _substeps(root, lengths, returns, drags):
    """Steps from each drawing to the next, so short that no step turns a segment far."""
    drawings = len(root)
    way = np.hypot(*np.diff(root, axis=0, append=root[:1]).T).sum()
    pull = way * (drags / lengths).max() + (1.0 / returns).max()
    return int(np.clip(np.ceil(4.0 * pull / drawings), max(4, np.ceil(192 / drawings)),
                       np.ceil(2400 / drawings) + 4))


def _grid(frames, substeps):
    """Times of the ends and the middles of all steps; lengths of the steps; numbers of the steps that begin
    on a drawing."""
    at = np.concatenate([[0.0], np.cumsum(frames)]) / frames.sum()
    share = np.arange(2 * substeps) / (2 * substeps)
    time = np.append((at[:-1, None] + np.diff(at)[:, None] * share).ravel(), 1.0)
    return time, np.diff(time[::2]), np.arange(len(frames)) * substeps


def _midpoints(z, velocity, steps):
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
        Drawings of a loop of 24, -12 to 12: above 0 later (drag), below 0 earlier. The phase
        difference of the first harmonics, whole turns taken out; not a number where the first
        harmonic of one of the two is below 2 degrees.

    Examples
    --------
    >>> time = np.arange(24) * 15.0
    >>> arm, hand = 30 * np.sin(np.radians(time)), 20 * np.sin(np.radians(time - 45))
    >>> lag(np.column_stack([arm, hand])).round(6)
    array([3.])
    """
    angles = np.asarray(angles, float)
    if angles.ndim < 2 or angles.shape[-2] < 3:
        raise ActionError(f"angles have the shape {angles.shape}; give (drawings, segments), 3 drawings or "
                          f"more")
    drawings = angles.shape[-2]
    closed = np.unwrap(np.concatenate([angles, angles[..., :1, :]], axis=-2), period=360.0, axis=-2)
    turned = closed[..., -1:, :] - closed[..., :1, :]
    time = np.arange(drawings) / drawings
    level = closed[..., :-1, :] - turned * time[:, None]
    harmonic = (np.exp(-2j * np.pi * time) @ level) * (2.0 / drawings)
    late = np.angle(harmonic[..., :-1] * harmonic[..., 1:].conj()) * (LAG_LOOP / (2 * np.pi))
    swings = np.abs(harmonic) >= LEAST_AMPLITUDE
    return np.where(swings[..., :-1] & swings[..., 1:], late, np.nan)
