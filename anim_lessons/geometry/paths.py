"""Path of action: a smooth line through drawn places, its length, its curvature, distances along it.

A path is measured in mm along itself from the first place it was drawn through. Places are
arrays (..., 2), x to the right and y up; distances along it are arrays of any shape.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..model.action import ActionError
from .angles import as_complex, as_points
from .roots import bracketed_newton

# Gauss's eight points: exact for polynomials up to degree 15.
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(8)
_CLOSE = 1e-12  # of the whole length: a piece is split until its halves agree with it to this
HOLD = 1e-6  # mm: a place nearer than this to the one before is a hold of it
_SAMPLES = 64  # on each piece: among them the nearest place is bracketed before it is solved for


def path_of_action(points, loop=True):
    """The smooth path through a joint's places in all drawings.

    Parameters
    ----------
    points : array-like, shape (drawings, 2)
        mm, in the order of the drawings, at least one. A place that is repeated at once (a
        hold) is passed once.
    loop : bool
        True: the path closes smoothly from the last drawing to the first.

    Returns
    -------
    Path

    Notes
    -----
    A cubic spline without a break in its bending; its parameter runs with the square root of
    the distance between places (centripetal), which keeps it calm where short steps follow
    long ones (Yuksel, Schaefer and Keyser 2011, Computer-Aided Design 43:747, from memory).

    Examples
    --------
    >>> turn = np.radians(np.arange(0, 360, 30))
    >>> path = path_of_action(np.column_stack([100 * np.cos(turn), 100 * np.sin(turn)]))
    >>> round(float(path.length / (2 * np.pi)), 1)
    100.0

    Five drawings along a path, by a timing chart:

    >>> from anim_lessons.geometry.timing import timing_chart
    >>> line = path_of_action([[0, 0], [100, 0]], loop=False)
    >>> line.point(line.length * timing_chart(3))[:, 0].round(1)
    array([  0. ,  14.6,  50. ,  85.4, 100. ])
    """
    from scipy.interpolate import CubicSpline, PPoly

    points = np.asarray(points, float)
    if points.ndim != 2 or points.shape[-1] != 2 or not len(points):
        raise ActionError(f"a path goes through places (drawings, 2), but these have the shape "
                          f"{points.shape}; give x and y of one joint, a row a drawing")
    if not np.isfinite(points).all():
        number = int(np.argwhere(~np.isfinite(points))[0, 0]) + 1
        raise ActionError(f"drawing {number}: a place on the path is not a number; give x and y in mm")
    z = as_complex(points)
    ends = np.append(z, z[0]) if loop else z
    gap = np.sqrt(np.abs(np.diff(ends)))
    at = np.concatenate([[0.0], np.cumsum(gap)])
    new = np.concatenate([[True], gap > np.sqrt(HOLD)])  # the places that are not a hold of the one before
    if new.sum() == 1:
        curve = PPoly(np.array([[z[0]]]), np.array([0.0, 1.0]))
    else:
        ends = ends[new]
        if loop:
            ends[-1] = ends[0]
        curve = CubicSpline(at[new], ends, bc_type="periodic" if loop else "not-a-knot")
    return Path(curve, at[: len(z)], loop)


@dataclass(frozen=True, eq=False)
class Path:
    """A path of action; `path_of_action` makes one.

    Attributes
    ----------
    curve : scipy.interpolate.PPoly
        Place, x + iy in mm, as a piecewise cubic of its own parameter.
    at : ndarray, shape (drawings,)
        Parameter at which the path passes each drawing.
    loop : bool
        True: it closes.
    """

    curve: object
    at: np.ndarray
    loop: bool

    # ---- length --------------------------------------------------------------------

    @cached_property
    def length(self):
        """Of the whole path, once round if it loops, mm."""
        return float(self._arc_length_table[1][-1])

    @cached_property
    def places(self):
        """How far along the path each drawing stands, mm, shape (drawings,)."""
        return self._arc_length(self.at)

    @cached_property
    def _derivative(self):
        return self.curve.derivative()

    def _length_between(self, start, end):
        """Length from parameter start to parameter end, mm, within one piece of the curve."""
        half = 0.5 * (end - start)
        u = (0.5 * (start + end))[..., None] + half[..., None] * _NODES
        return half * (np.abs(self._derivative(u)) @ _WEIGHTS)

    @cached_property
    def _arc_length_table(self):
        """Parameters, and the length of the path up to each of them, mm."""
        knots = self.curve.x
        length = self._length_between(knots[:-1], knots[1:])
        for _ in range(40):
            middle = 0.5 * (knots[:-1] + knots[1:])
            halves = self._length_between(knots[:-1], middle), self._length_between(middle, knots[1:])
            rough = np.abs(halves[0] + halves[1] - length) > _CLOSE * max(length.sum(), 1e-300)
            if not rough.any():
                break
            after = np.flatnonzero(rough) + 1
            length = np.insert(np.where(rough, halves[0], length), after, halves[1][rough])
            knots = np.insert(knots, after, middle[rough])
        return knots, np.concatenate([[0.0], np.cumsum(length)])

    def _arc_length(self, parameter):
        knots, total = self._arc_length_table
        k = np.clip(np.searchsorted(knots, parameter, side="right") - 1, 0, len(knots) - 2)
        return total[k] + self._length_between(knots[k], np.asarray(parameter, float))

    def _parameter(self, along):
        """The parameter at a distance along the path."""
        along = np.asarray(along, float)
        if self.loop:
            along = np.mod(along, self.length) if self.length else np.zeros_like(along)
        slack = 1e-9 * self.length
        if not ((along >= -slack) & (along <= self.length + slack)).all():
            raise ActionError(f"the path is {self.length:.4g} mm long; give distances from 0 to that, or "
                              f"close the path")
        knots, total = self._arc_length_table
        k = np.clip(np.searchsorted(total, along, side="right") - 1, 0, len(knots) - 2)
        low, high, length = knots[k], knots[k + 1], total[k + 1] - total[k]
        start = low + (high - low) * np.clip((along - total[k]) / np.where(length > 0, length, 1.0), 0.0, 1.0)

        def excess(u):
            return total[k] + self._length_between(knots[k], u) - along, np.abs(self._derivative(u))

        return bracketed_newton(excess, low, start, high, scale=knots[-1])

    # ---- at a distance along the path ------------------------------------------------

    def point(self, along):
        """Places on the path, mm, shape (..., 2), at distances along it, mm, shape (...).

        Along a loop distances may run on: a whole length is once round.
        """
        return as_points(self.curve(self._parameter(along)))

    def heading(self, along):
        """Direction of the path, degrees against the x axis; not a number where it stands still."""
        v = self._derivative(self._parameter(along))
        return np.where(v == 0.0, np.nan, np.degrees(np.angle(v)))

    def curvature(self, along):
        """How sharply the path turns, 1/mm: 1 over the radius, above 0 where it turns left
        (counter-clockwise); not a number where it stands still."""
        u = self._parameter(along)
        v, a = self._derivative(u), self._derivative.derivative()(u)
        with np.errstate(divide="ignore", invalid="ignore"):
            return (v.conj() * a).imag / np.abs(v) ** 3

    # ---- from a place to the path ----------------------------------------------------

    def along(self, points):
        """How far along the path the place nearest to each point lies, mm, shape (...).

        Where a path crosses itself the nearest of its branches counts.
        """
        along = self._arc_length(self._projection(as_complex(points)))
        if self.loop:  # just short of the seam is rounding: it is the beginning
            along = np.where(along >= self.length * (1.0 - 1e-12), 0.0, along)
        return along

    def across(self, points):
        """Distance of each point from the path, mm, shape (...): above 0 to the left of it, as it
        travels, below 0 to the right."""
        z = as_complex(points)
        nearest = self._projection(z)
        off = z - self.curve(nearest)
        return np.copysign(np.abs(off), (self._derivative(nearest).conj() * off).imag)

    def _projection(self, places):
        """Parameter of the place nearest to each of `places`, complex.

        Wherever a sample of the path is nearer than the samples beside it, a place that is nearest locally is
        solved for; the nearest of those is taken.
        """
        knots, z = self.curve.x, places.ravel()
        samples = (knots[:-1, None] + np.diff(knots)[:, None] * np.arange(_SAMPLES) / _SAMPLES).ravel()
        away = np.abs(self.curve(samples) - z[:, None])
        end = knots[-1]
        if self.loop:
            before, after = away[:, [-1]], away[:, [0]]
            ends = samples[-1] - end, end
        else:
            samples = np.append(samples, end)
            away = np.append(away, np.abs(self.curve(end) - z)[:, None], axis=1)
            before = after = np.full((len(z), 1), np.inf)
            ends = samples[0], end
        around = np.concatenate([before, away, after], axis=1)
        which, k = np.nonzero((away <= around[:, :-2]) & (away <= around[:, 2:]))
        samples = np.concatenate([ends[:1], samples, ends[1:]])

        def receding(u):
            """Half the derivative of the squared distance, and the slope of that."""
            off, v = self.curve(u) - z[which], self._derivative(u)
            curving = (off.conj() * self._derivative.derivative()(u)).real
            return (off.conj() * v).real, np.abs(v) ** 2 + curving

        u = bracketed_newton(receding, samples[k], samples[k + 1], samples[k + 2], scale=end)
        best = np.lexsort((np.abs(self.curve(u) - z[which]), which))
        nearest = u[best[np.searchsorted(which[best], np.arange(len(z)))]]
        return (np.mod(nearest, end) if self.loop else nearest).reshape(places.shape)
