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

from functools import cache

import numpy as np

from ..geometry.angles import as_complex, times, unwrapped, wrapped
from .measure import measure
from .neighbours import FEWEST, neighbours

PENCIL = 0.35  # mm, the most that is put down to an unsteady pencil
CLEAR = 3.0  # times the quietest part of its loop: a drawing that stands out so far is seen by itself
ROUGH = 0.04  # of the spacing: what stands out even where a loop is quietest
REST = 0.1  # of a joint's widest step
HAIR = 1e-6  # mm: a root that never goes further stands still throughout
ROUND = 0.53  # width of a path over its length
GENTLE = 75.0  # degrees from one step to the next
TWIN = 0.8  # of what a drawing stands out
ZIGZAG = 0.05  # of the mean gap: so far a drawing must lie from where its gaps would be in order
UNLIKE = 2.3  # times the gap beside it: a chart by halves has twice
STEADY = 0.3  # of the widest of the four steps round it: a drawing with a smaller step beside it begins or ends a hold
ASTRAY = 8.0  # degrees by which one drawing may stand out before it would spoil the phase of the whole loop

# What loops measured together have in common.
ALIKE = {"lengths", "stops", "exposures", "loop", "one_sided", "count", "joints", "segments", "names", "enough", "stack", "drawn", "by_hand"}


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


def _quiet(size, axis):
    """What is below the largest of some sizes along an axis, as many as one drawing and its neighbours spoil and a few more."""
    count = size.shape[axis]
    at = max(count - 6 - max(1, count // 6), 0)
    return np.take(np.partition(size, at, axis=axis), [at], axis=axis)


def median(values):
    """The middle of values along the last axis, (..., n) to (...): the same as np.median, which takes ten times longer of a few."""
    n, rising = values.shape[-1], np.sort(values, axis=-1)
    return (rising[..., (n - 1) // 2] + rising[..., n // 2]) / 2.0


@cache
def _one_of(kind):
    """The class of Measures of one of several loops: each measure is taken from those of all of them where it is known there, as soon
    as it is asked for."""
    lazy = {name: value.func for base in reversed(kind.__mro__) for name, value in vars(base).items() if isinstance(value, measure)}

    def taken(name, func):
        def one(self):
            of_all = self._of.__dict__.get(name)
            if of_all is None or name == "said":
                return func(self)
            return tuple(array[self.place] for array in of_all) if isinstance(of_all, tuple) else of_all[self.place]

        found = measure(one)
        found.__set_name__(None, name)
        return found

    return type(f"One{kind.__name__}", (kind,), {"lazy": lazy.keys(), **{name: taken(name, func) for name, func in lazy.items()}})


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
    by_hand = True  # False where places are tried, which no pencil makes unsteady: a lag is then taken at its word
    sure = True   # where every bend is known without a doubt of whole turns; one tried at many places knows it of each

    def __init__(self, points, lengths, stops, exposures=None, loop=True, names=None):
        self.z = as_complex(points)
        self.lengths = np.asarray(lengths, float)
        self.stops = np.asarray(stops, float).reshape(-1, 2)
        self.loop = loop
        self.count, self.joints = self.z.shape[-2:]
        self.segments = self.joints - 1
        self.names = tuple(names) if names is not None else (None,) * self.joints
        self.exposures = exposures = (1,) * self.count if exposures is None else tuple(int(frames) for frames in exposures)
        self.enough = self.count >= FEWEST
        self.stack = neighbours(exposures, loop) if self.count >= 5 else None
        self.one_sided = not loop   # the drawings beside the ends have one neighbour on their one side

    def one(self, i):
        """Measures of one of several loops; what is measured of all of them is not measured again."""
        kind = _one_of(type(self))
        one = object.__new__(kind)
        one.__dict__.update({name: value if name in ALIKE else value[i] for name, value in self.__dict__.items() if name not in kind.lazy},
                            _of=self, place=i)
        return one

    @measure
    def said(self):
        """What was asked about these loops already: of a function what it was asked by, and its answer (`rules.rule.once`)."""
        return {}

    def of_all(self, asked):
        """The same of the loops of which this is one, at `place`; None where they were not asked."""
        return self._of.said.get(asked) if "_of" in self.__dict__ else None

    # ---- segments ----------------------------------------------------------------

    @measure
    def segment(self):
        """Each segment as a vector, complex mm, (..., drawings, segments)."""
        return self.z[..., 1:] - self.z[..., :-1]

    @measure
    def length(self):
        """mm, (..., drawings, segments)."""
        return np.abs(self.segment)

    @measure
    def angle(self):
        """Angle of each segment on the paper, degrees without jumps, (..., drawings, segments)."""
        return unwrapped(np.degrees(np.angle(self.segment)))

    @measure
    def bend(self):
        """Bend of each segment against the one before it, degrees without jumps along the drawings,
        (..., drawings, segments); of the first against the x axis, nearest to its stops."""
        first = self.angle[..., :1]
        if self.segments == 0:
            return first
        middle = (self.stops[0, 0] + self.stops[0, 1]) / 2.0
        first = first - 360.0 * np.round((first[..., :1, :] - middle) / 360.0)
        turned = self.segment[..., 1:] * self.segment[..., :-1].conj()
        return np.concatenate([first, unwrapped(np.degrees(np.angle(turned)))], axis=-1)

    @measure
    def detrended_bend(self):
        """`bend` freed of what it gains in a whole loop, so that the last drawing runs on into the first,
        degrees, (..., drawings, segments)."""
        bend = self.bend
        if not self.loop:
            return bend
        net = bend[..., -1:, :] + wrapped(bend[..., :1, :] - bend[..., -1:, :]) - bend[..., :1, :]
        return bend - net * self.stack.time[:, None] if net.any() else bend

    @measure
    def bend_residual(self):
        """How far each bend is from what its neighbours let expect, degrees, (..., drawings, segments)."""
        return self.stack.residual @ self.detrended_bend

    @measure
    def bend_outlier(self):
        """The same, freed of what any smooth movement leaves over, degrees, (..., drawings, segments)."""
        return self.stack.outlier @ self.detrended_bend

    @measure
    def bend_range(self):
        """The least and the greatest of each bend, degrees, two of (..., 1, segments)."""
        return self.bend.min(axis=-2, keepdims=True), self.bend.max(axis=-2, keepdims=True)

    # ---- steps and neighbours ----------------------------------------------------

    @measure
    def step(self):
        """The step into each drawing from the one before it, complex mm, (..., drawings, joints).
        In an action that does not loop the first has none and holds 0."""
        return self.z - self.stack.earlier(self.z)

    @measure
    def distance(self):
        """Length of the step into each drawing, mm, (..., drawings, joints)."""
        return np.abs(self.step)

    @measure
    def widest(self):
        """Each joint's widest step, mm, (..., 1, joints)."""
        return self.distance.max(axis=-2, keepdims=True)

    @measure
    def spacing(self):
        """Local spacing: mean of the four steps around each drawing, mm, (..., drawings, joints)."""
        return self.stack.spread @ self.distance

    @measure
    def residual(self):
        """How far each joint lies from where its neighbours put it, complex mm, (..., drawings, joints)."""
        return times(self.stack.residual, self.z)

    @measure
    def outlier(self):
        """The same, freed of what any smooth movement leaves over, complex mm, (..., drawings, joints)."""
        return times(self.stack.outlier, self.z)

    @measure
    def unsteady(self):
        """How unsteady the pencil is in each loop, mm, (..., 1, 1): the typical `outlier`,
        which one or two drawings out of place do not touch."""
        size = np.abs(self.outlier)
        size = size.reshape(*size.shape[:-2], -1)
        middle = size.shape[-1] // 2
        typical = np.partition(size, middle, axis=-1)[..., middle, None, None]
        # Median of the length of a vector of two normal components: 1.177 standard deviations.
        return np.minimum(typical / (1.177 * self.stack.unsteady_gain), PENCIL)

    @measure
    def unsteady_length(self):
        """How unsteady lengths are, mm, (..., 1, 1): from the distance from the middle one that seven of ten keep to, as a
        standard deviation."""
        apart = np.abs(self.length - median(self.length.swapaxes(-1, -2))[..., None, :])
        if not self.segments:
            return np.zeros((*self.z.shape[:-2], 1, 1))
        apart = apart.reshape(*apart.shape[:-2], -1)
        # Of normal deviates, seven of ten lie within 1.036 standard deviations, and half within 0.674.
        share, within = (0.7, 1.036) if self.enough else (0.5, 0.674)
        most = int(share * apart.shape[-1])
        return np.minimum(np.partition(apart, most, axis=-1)[..., most, None, None] / within, 1.41 * PENCIL)

    @measure
    def unsteady_bend(self):
        """What that does to a bend, degrees, (..., 1, segments)."""
        near = 1.0 / self.lengths
        before = np.concatenate([[0.0], near[:-1]])
        return np.degrees(self.unsteady * np.hypot(np.hypot(near, before), near + before))

    @measure
    def along(self):
        """Direction of each joint's path at each drawing, told by its neighbours alone, a complex
        number of length 1, (..., drawings, joints)."""
        b, c = self.stack.earlier(self.z), self.stack.later(self.z)
        a, d = self.stack.earlier(b), self.stack.later(c)
        across_gap = c - b
        # Squares of steps add up where a path turns back on itself; steps themselves would cancel.
        axis = np.sqrt((b - a) ** 2 + 4.0 * across_gap**2 + (d - c) ** 2)
        axis += np.abs(axis) < 1e-9      # where nothing moves, along the x axis
        axis /= np.abs(axis)
        return np.where((axis * across_gap.conj()).real < 0, -axis, axis)

    @measure
    def path_residual(self):
        """`residual` seen along the path: real part on along it, imaginary part to its left, mm."""
        return self.residual * self.along.conj()

    @measure
    def peak(self):
        """True where a joint stands out most of its drawing and the two beside it,
        for one drawing out of place leaks two thirds of itself to its neighbours."""
        size = np.abs(self.outlier) * self.stack.certainty[:, None]
        return (size >= self.stack.earlier(size)) & (size >= self.stack.later(size))

    @measure
    def stands_out(self):
        """How far each joint stands out, of its spacing, (..., drawings, joints)."""
        return np.abs(self.outlier) / np.maximum(self.spacing, 2.0)

    @measure
    def quiet(self):
        """`stands_out` where the loop is quiet, (..., 1, joints): what is below the few drawings that stand out most."""
        return _quiet(self.stands_out, -2)

    @measure
    def rough(self):
        """True of a loop in which the end joint stands out all along: an unsteady hand, or a chart by halves or thirds, through
        which no cubic goes. It is judged less finely, (..., 1)."""
        if not self.segments:   # of a single joint the gaps tell it already
            return np.zeros((*self.z.shape[:-2], 1), bool)
        least = self.count // 6     # a sixth of the drawings may stand out less
        return np.partition(self.stands_out[..., -1], least, axis=-1)[..., least, None] > ROUGH

    @measure
    def rests(self):
        """True where no joint takes a step into a drawing that is worth the name: a hold, (..., drawings)."""
        rest = self.distance < REST * self.widest
        rest[..., 0] |= self.widest[..., 0] < HAIR
        return rest.all(axis=-1)

    @measure
    def has_twin(self):
        """True where a joint stands out as far half a loop later: what comes twice in a loop is the shape of its path,
        (..., drawings, joints)."""
        return self._comes_twice(self.stands_out)

    def _comes_twice(self, out):
        """True where some size is reached half a loop later too, the same shape (..., drawings, columns)."""
        if not self.loop:
            return np.zeros(out.shape, bool)
        one, two = self.stack.opposite
        return np.maximum(out.take(one, -2), out.take(two, -2)) > TWIN * out

    @measure
    def steady(self):
        """True where neither step beside a drawing is that of a hold, with it where its neighbours have it,
        (..., drawings, joints)."""
        earlier, later, place = self.stack.earlier, self.stack.later, self.z - self.residual
        into, out = np.abs(place - earlier(self.z)), np.abs(later(self.z) - place)
        wider = np.maximum(earlier(self.distance), later(later(self.distance)))
        return np.minimum(into, out) >= STEADY * np.maximum(np.maximum(into, out), wider)

    @measure
    def clear(self):
        """True where a joint stands clear of an otherwise quiet loop, so that the eye rests on it; not where it turns back, for
        there every path leaves something over, (..., drawings, joints)."""
        alike = self.stack.alike[:, None] & (not self.one_sided)
        return (self.stands_out > CLEAR * self.quiet) & self.steady & ~self.reverses & alike

    @measure
    def out_of_order(self):
        """True where the two gaps before a drawing and the two after it do not widen and then close up: they change twice
        between growing and shrinking, or one is far wider than the one beside it, (..., drawings, joints). Gaps that are
        halved from one to the next, as in a chart by halves, are in order, though no cubic goes through them."""
        return self._out_of_order(self.distance)

    @measure
    def turns_out_of_order(self):
        """The same of the steps by which each segment turns on the paper, (..., drawings, segments)."""
        turn = self.angle - self.stack.earlier(self.angle)
        return self._out_of_order(np.abs(wrapped(turn) if self.loop else turn))

    def _out_of_order(self, into):
        """`into` are the steps into each drawing, mm or degrees, (..., drawings, columns)."""
        into = into / self.stack.frames[self.stack.before][:, None]       # a frame
        one, two, three = self.stack.earlier(into), into, self.stack.later(into)
        four = self.stack.later(three)
        first, middle, last = two - one, three - two, four - three
        zigzag = (first * middle < 0.0) & (middle * last < 0.0)
        by = np.minimum(np.minimum(np.abs(first), np.abs(last)), np.abs(middle) / 2.0)
        return zigzag & (by > ZIGZAG * (two + three) / 2.0) | (np.maximum(two, three) > UNLIKE * np.minimum(two, three))

    @measure
    def last_bend_step(self):
        """Mean of the four steps of the last part's bend round each drawing, degrees, (..., drawings)."""
        bend = self.detrended_bend[..., -1]
        return np.abs(bend - self.stack.earlier(bend, -1)) @ self.stack.spread.T

    @measure
    def quiet_bend(self):
        """How far the last part's bend stands out where the loop is quiet, degrees, (..., 1)."""
        return _quiet(np.abs(self.bend_outlier[..., -1]), -1)

    @measure
    def bend_has_twin(self):
        """True where a bend stands out as far half a loop later, (..., drawings, segments)."""
        return self._comes_twice(np.abs(self.bend_outlier))

    @measure
    def across(self):
        """Speed of the joint that carries the last part, across the segment before it, mm a drawing of the mean exposure,
        counter-clockwise positive, (..., drawings)."""
        z = self.z[..., -2]
        speed = (self.stack.later(z, -1) - self.stack.earlier(z, -1)) * self.stack.pace
        before = self.segment[..., -2]
        return (before.conj() * speed).imag / np.maximum(np.abs(before), 1e-9)

    @measure
    def across_beside(self):
        """The same at the drawing before and at the one after, two of (..., drawings)."""
        return self.stack.earlier(self.across, -1), self.stack.later(self.across, -1)

    @measure
    def carrier_turn(self):
        """How far the part before the last turns from the drawing before to the drawing after, degrees, (..., drawings), and
        the most of it in the whole loop, (..., 1)."""
        angle = self.angle[..., -2]
        turn = self.stack.later(angle, -1) - self.stack.earlier(angle, -1)
        turn = wrapped(turn) if self.loop else turn
        return turn, np.abs(turn).max(axis=-1, keepdims=True)

    @measure
    def rest_bend(self):
        """Bend about which the last part swings, degrees, (..., 1): the middle one, which a few drawings do not move."""
        return median(self.detrended_bend[..., -1])[..., None]

    @measure
    def fastest_across(self):
        """The largest speed across in the whole loop, mm a drawing, (..., 1)."""
        return np.abs(self.across).max(axis=-1, keepdims=True)

    # ---- the whole loop -----------------------------------------------------------

    def harmonic(self, values):
        """First harmonic of what is measured at each drawing, (..., drawings, columns) to complex (..., columns)."""
        real, imaginary = np.moveaxis(self.stack.wave @ values, -2, 0)
        return real + 1j * imaginary

    @measure
    def angle_harmonic(self):
        """First harmonic of each segment's angle, complex degrees, (..., segments), once a net turn
        of the whole loop is taken out and single drawings out of place are put back."""
        angle = self.angle
        closing = angle[..., -1:, :] + wrapped(angle[..., :1, :] - angle[..., -1:, :])
        angle = angle - (closing - angle[..., :1, :]) * self.stack.time[:, None]
        out = np.abs(self.stack.outlier @ angle)
        if (out > ASTRAY).any():
            peak = (out >= self.stack.earlier(out)) & (out >= self.stack.later(out))
            angle = angle - np.where(peak & (out > ASTRAY), self.stack.residual @ angle, 0.0)
        return self.harmonic(angle)

    @measure
    def last_lag(self):
        """How much later the last part turns than the one that carries it, radians of the loop, (..., 1); 0 where nothing loops."""
        if not self.loop:
            return np.zeros((*self.z.shape[:-2], 1))
        first = self.angle_harmonic
        return np.angle(first[..., -2:-1] * first[..., -1:].conj())

    @measure
    def goes_round(self):
        """True where the end joint's path never turns back: it is about as wide as it is long, as a circle; or it turns
        gently everywhere and as much one way as the other, as a figure of eight, (...)."""
        if not self.loop:
            return np.zeros(self.z.shape[:-2], bool)
        tip = self.z[..., -1] - self.z[..., -1].mean(axis=-1, keepdims=True)
        sway, size = np.abs((tip**2).sum(axis=-1)), (np.abs(tip) ** 2).sum(axis=-1)
        wide = np.sqrt(np.maximum(size - sway, 0.0) / np.maximum(size + sway, 1e-12))
        step = self.step[..., -1]
        turn = np.degrees(np.angle(self.stack.later(step, -1) * step.conj()))
        gentle = (np.abs(turn).max(axis=-1) < GENTLE) & (np.abs(turn.sum(axis=-1)) < 180.0)
        return (wide > ROUND) | gentle

    @measure
    def place_harmonic(self):
        """First harmonic of each joint's place, complex pair (x, y), (..., joints, 2), mm."""
        return np.stack([self.harmonic(self.z.real), self.harmonic(self.z.imag)], axis=-1)

    @measure
    def longest(self):
        """The longest direction of each joint's path, a complex number, (..., 1, joints)."""
        return np.sqrt((self.step**2).sum(axis=-2, keepdims=True))

    @measure
    def reverses(self):
        """True where a joint turns back: its step along its path's longest direction changes sign
        from the step into a drawing to the step out of it, (..., drawings, joints)."""
        on = (self.step * self.longest.conj()).real
        out = self.stack.later(on)
        turn = (on * out <= 0) & ((on != 0) | (out != 0))
        if not self.loop:
            turn[..., [0, -1], :] = False
        return turn
