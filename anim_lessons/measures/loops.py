"""What is measured on drawings: for one loop, for a thousand at once.

Positions are held as complex numbers, x + iy in mm, so that a turn is a
product. Every measure broadcasts over leading axes: points of shape
(..., drawings, joints, 2) give one value a drawing and joint, or a drawing and
segment, for each of the loops in front.

Neighbours decide where a drawing is looked for: the cubic through the two
drawings before and the two after it, (-p₋₂ + 4p₋₁ + 4p₊₁ - p₊₂)/6 where all
are exposed alike (Lagrange's interpolation). What is left is how far the
drawing lies from where they put it.
"""

from functools import cached_property

import numpy as np

from ..geometry.angles import as_complex, unwrapped, wrapped
from .neighbours import FEWEST, neighbours

PENCIL = 0.35  # mm, the most that is put down to an unsteady pencil
ASTRAY = 8.0  # degrees by which one drawing may stand out before it would spoil the phase of the whole loop

# What loops measured together have in common.
ALIKE = {"lengths", "stops", "loop", "count", "joints", "segments", "names", "enough", "stack", "drawn", "wave"}


def extremes(points):
    """The two drawings between which a joint swings: the farthest along its path's longest direction.

    Parameters
    ----------
    points : ndarray, shape (drawings, 2)
        mm.

    Returns
    -------
    tuple of int
        Numbers of the drawings, from 1, the earlier first; equal where the joint rests.
    """
    centred = points - points.mean(axis=0)
    _, directions = np.linalg.eigh(centred.T @ centred)
    on = centred @ directions[:, -1]
    first, second = sorted((int(np.argmin(on)), int(np.argmax(on))))
    return first + 1, second + 1


class Measures:
    """Measures of one limb, or of many limbs of the same make.

    Parameters
    ----------
    points : ndarray, shape (..., drawings, joints, 2)
        mm.
    lengths, stops : ndarrays, shapes (segments,), (segments, 2)
        mm and degrees, as on the model sheet.
    exposures : sequence of int, optional
        Frames a drawing; all alike if left out.
    loop : bool
    names : tuple of str, optional
        Names of the joints.
    """

    drawn = True  # where faults of drawings in a row are told, (drawings,): those of a plan are nobody's
    sure = True   # where every bend is known without a doubt of whole turns; one tried at many places knows it of each

    def __init__(self, points, lengths, stops, exposures=None, loop=True, names=None):
        self.z = as_complex(points)
        self.lengths = np.asarray(lengths, float)
        self.stops = np.asarray(stops, float).reshape(-1, 2)
        self.loop = loop
        self.count, self.joints = self.z.shape[-2:]
        self.segments = self.joints - 1
        self.names = tuple(names) if names is not None else (None,) * self.joints
        exposures = (1,) * self.count if exposures is None else tuple(int(frames) for frames in exposures)
        self.enough = self.count >= FEWEST
        self.stack = neighbours(exposures, loop) if self.count >= 5 else None

    def one(self, i):
        """Measures of one of several loops; what is measured of all of them is not measured again."""
        one = object.__new__(type(self))
        for name, value in self.__dict__.items():
            if name in ALIKE:
                one.__dict__[name] = value
            else:
                one.__dict__[name] = tuple(array[i] for array in value) if isinstance(value, tuple) else value[i]
        return one

    # ---- segments ----------------------------------------------------------------

    @cached_property
    def segment(self):
        """Each segment as a vector, complex mm, (..., drawings, segments)."""
        return self.z[..., 1:] - self.z[..., :-1]

    @cached_property
    def length(self):
        """mm, (..., drawings, segments)."""
        return np.abs(self.segment)

    @cached_property
    def angle(self):
        """Angle of each segment on the paper, degrees without jumps, (..., drawings, segments)."""
        return unwrapped(np.degrees(np.angle(self.segment)))

    @cached_property
    def bend(self):
        """Bend of each segment against the one before it, degrees without jumps along the drawings,
        (..., drawings, segments); of the first against the x axis, nearest to its stops."""
        first = self.angle[..., :1]
        if self.segments == 0:
            return first
        middle = self.stops[0].mean()
        first = first - 360.0 * np.round((first[..., :1, :] - middle) / 360.0)
        turned = self.segment[..., 1:] * self.segment[..., :-1].conj()
        return np.concatenate([first, unwrapped(np.degrees(np.angle(turned)))], axis=-1)

    @cached_property
    def detrended_bend(self):
        """`bend` freed of what it gains in a whole loop, so that the last drawing runs on into the first,
        degrees, (..., drawings, segments)."""
        bend = self.bend
        if not self.loop:
            return bend
        net = bend[..., -1:, :] + wrapped(bend[..., :1, :] - bend[..., -1:, :]) - bend[..., :1, :]
        return bend - net * self.stack.time[:, None] if net.any() else bend

    @cached_property
    def bend_residual(self):
        """How far each bend is from what its neighbours let expect, degrees, (..., drawings, segments)."""
        return self.stack.residual @ self.detrended_bend

    @cached_property
    def bend_outlier(self):
        """The same, freed of what any smooth movement leaves over, degrees, (..., drawings, segments)."""
        return self.stack.outlier @ self.detrended_bend

    @cached_property
    def bend_range(self):
        """The least and the greatest of each bend, degrees, two of (..., 1, segments)."""
        return self.bend.min(axis=-2, keepdims=True), self.bend.max(axis=-2, keepdims=True)

    # ---- steps and neighbours ----------------------------------------------------

    @cached_property
    def step(self):
        """The step into each drawing from the one before it, complex mm, (..., drawings, joints).
        In an action that does not loop the first has none and holds 0."""
        return self.z - self.z[..., self.stack.before, :]

    @cached_property
    def distance(self):
        """Length of the step into each drawing, mm, (..., drawings, joints)."""
        return np.abs(self.step)

    @cached_property
    def spacing(self):
        """Local spacing: mean of the four steps around each drawing, mm, (..., drawings, joints)."""
        return self.stack.spread @ self.distance

    @cached_property
    def residual(self):
        """How far each joint lies from where its neighbours put it, complex mm, (..., drawings, joints)."""
        return self.stack.residual @ self.z

    @cached_property
    def outlier(self):
        """The same, freed of what any smooth movement leaves over, complex mm, (..., drawings, joints)."""
        return self.stack.outlier @ self.z

    @cached_property
    def unsteady(self):
        """How unsteady the pencil is in each loop, mm, (..., 1, 1): the typical `outlier`,
        which one or two drawings out of place do not touch."""
        size = np.abs(self.outlier)
        size = size.reshape(*size.shape[:-2], -1)
        middle = size.shape[-1] // 2
        typical = np.partition(size, middle, axis=-1)[..., middle, None, None]
        # Median of the length of a vector of two normal components: 1.177 standard deviations.
        return np.minimum(typical / (1.177 * self.stack.unsteady_gain), PENCIL)

    @cached_property
    def unsteady_bend(self):
        """What that does to a bend, degrees, (..., 1, segments)."""
        near = 1.0 / self.lengths
        before = np.concatenate([[0.0], near[:-1]])
        return np.degrees(self.unsteady * np.hypot(np.hypot(near, before), near + before))

    @cached_property
    def along(self):
        """Direction of each joint's path at each drawing, told by its neighbours alone, a complex
        number of length 1, (..., drawings, joints)."""
        before, after = self.stack.before, self.stack.after
        a, b, c, d = (self.z[..., index, :] for index in (before[before], before, after, after[after]))
        across_gap = c - b
        # Squares of steps add up where a path turns back on itself; steps themselves would cancel.
        axis = np.sqrt((b - a) ** 2 + 4.0 * across_gap**2 + (d - c) ** 2)
        axis += np.abs(axis) < 1e-9      # where nothing moves, along the x axis
        axis /= np.abs(axis)
        return np.where((axis * across_gap.conj()).real < 0, -axis, axis)

    @cached_property
    def path_residual(self):
        """`residual` seen along the path: real part on along it, imaginary part to its left, mm."""
        return self.residual * self.along.conj()

    @cached_property
    def peak(self):
        """True where a joint stands out most of its drawing and the two beside it,
        for one drawing out of place leaks two thirds of itself to its neighbours."""
        size = np.abs(self.outlier) * self.stack.certainty[:, None]
        return (size >= size[..., self.stack.before, :]) & (size >= size[..., self.stack.after, :])

    @cached_property
    def across(self):
        """Speed of the joint that carries the last part, across the segment before it, mm a drawing,
        counter-clockwise positive, (..., drawings)."""
        z = self.z[..., -2]
        speed = (z[..., self.stack.after] - z[..., self.stack.before]) / 2.0
        if not self.loop:
            speed[..., 0], speed[..., -1] = z[..., 1] - z[..., 0], z[..., -1] - z[..., -2]
        before = self.segment[..., -2]
        return (before.conj() * speed).imag / np.maximum(np.abs(before), 1e-9)

    @cached_property
    def fastest_across(self):
        """The largest speed across in the whole loop, mm a drawing, (..., 1)."""
        return np.abs(self.across).max(axis=-1, keepdims=True)

    # ---- the whole loop -----------------------------------------------------------

    @cached_property
    def wave(self):
        """Times what is measured at each drawing: its first harmonic, (drawings,)."""
        weight = np.exp(-2j * np.pi * self.stack.time)
        return weight * (2.0 / self.count)

    @cached_property
    def angle_harmonic(self):
        """First harmonic of each segment's angle, complex degrees, (..., segments), once a net turn
        of the whole loop is taken out and single drawings out of place are put back."""
        angle = self.angle
        closing = angle[..., -1:, :] + wrapped(angle[..., :1, :] - angle[..., -1:, :])
        angle = angle - (closing - angle[..., :1, :]) * self.stack.time[:, None]
        out = np.abs(self.stack.outlier @ angle)
        if (out > ASTRAY).any():
            peak = (out >= out[..., self.stack.before, :]) & (out >= out[..., self.stack.after, :])
            angle = angle - np.where(peak & (out > ASTRAY), self.stack.residual @ angle, 0.0)
        return self.wave @ angle

    @cached_property
    def place_harmonic(self):
        """First harmonic of each joint's place, complex pair (x, y), (..., joints, 2), mm."""
        return np.stack([self.wave @ self.z.real, self.wave @ self.z.imag], axis=-1)

    @cached_property
    def longest(self):
        """The longest direction of each joint's path, a complex number, (..., 1, joints)."""
        return np.sqrt((self.step**2).sum(axis=-2, keepdims=True))

    @cached_property
    def reverses(self):
        """True where a joint turns back: its step along its path's longest direction changes sign
        from the step into a drawing to the step out of it, (..., drawings, joints)."""
        on = (self.step * self.longest.conj()).real
        out = on[..., self.stack.after, :]
        turn = (on * out <= 0) & ((on != 0) | (out != 0))
        if not self.loop:
            turn[..., [0, -1], :] = False
        return turn
