"""Path of action: a smooth line through drawn places, its length, its bending, spacing along it.

A path is measured in mm along itself from the first place it was drawn through. Places are
arrays (..., 2), x to the right and y up; distances along it are arrays of any shape.
"""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..model.action import ActionError
from .timing import slow_in_out

# Gauss's eight points: exact for polynomials up to degree 15.
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(8)
_CLOSE = 1e-12  # of the whole length: a piece is split until its halves agree with it to this
_LOOKS = 16  # on each piece, for the nearest place, before it is sought exactly


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
    """
    from scipy.interpolate import CubicSpline, PPoly

    points = np.asarray(points, float)
    if points.ndim != 2 or points.shape[-1] != 2 or not len(points):
        raise ActionError(f"a path goes through places (drawings, 2), but these have the shape {points.shape}; "
                          "give x and y of one joint, a row a drawing")
    if not np.isfinite(points).all():
        number = int(np.argwhere(~np.isfinite(points))[0, 0]) + 1
        raise ActionError(f"drawing {number}: a place on the path is not a number; give x and y in mm")
    z = points @ [1.0, 1.0j]
    ends = np.append(z, z[0]) if loop else z
    gap = np.sqrt(np.abs(np.diff(ends)))
    at = np.concatenate([[0.0], np.cumsum(gap)])
    new = np.concatenate([[True], gap > 0.0])  # the places that are not a hold of the one before
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
        return float(self._ruler[1][-1])

    @cached_property
    def places(self):
        """How far along the path each drawing stands, mm, shape (drawings,)."""
        return self._measured(self.at)

    @cached_property
    def _speed(self):
        return self.curve.derivative()

    def _between(self, start, end):
        """Length from parameter start to parameter end, within one piece of the curve."""
        half = 0.5 * (end - start)
        u = (0.5 * (start + end))[..., None] + half[..., None] * _NODES
        return half * (np.abs(self._speed(u)) @ _WEIGHTS)

    @cached_property
    def _ruler(self):
        """Marks on the path: their parameters, and their distances from its beginning."""
        marks = self.curve.x
        length = self._between(marks[:-1], marks[1:])
        for _ in range(40):
            middle = 0.5 * (marks[:-1] + marks[1:])
            halves = self._between(marks[:-1], middle), self._between(middle, marks[1:])
            rough = np.abs(halves[0] + halves[1] - length) > _CLOSE * max(length.sum(), 1e-300)
            if not rough.any():
                break
            after = np.flatnonzero(rough) + 1
            length = np.insert(np.where(rough, halves[0], length), after, halves[1][rough])
            marks = np.insert(marks, after, middle[rough])
        return marks, np.concatenate([[0.0], np.cumsum(length)])

    def _measured(self, parameter):
        marks, total = self._ruler
        k = np.clip(np.searchsorted(marks, parameter, side="right") - 1, 0, len(marks) - 2)
        return total[k] + self._between(marks[k], np.asarray(parameter, float))

    def _parameter(self, along):
        """The parameter at a distance along the path: Newton's steps in a closing bracket."""
        along = np.asarray(along, float)
        if self.loop:
            along = np.mod(along, self.length) if self.length else np.zeros_like(along)
        slack = 1e-9 * self.length
        if not ((along >= -slack) & (along <= self.length + slack)).all():
            raise ActionError(f"the path is {self.length:.4g} mm long; give distances from 0 to that, or close the path")
        marks, total = self._ruler
        k = np.clip(np.searchsorted(total, along, side="right") - 1, 0, len(marks) - 2)
        start, low, high = marks[k], marks[k], marks[k + 1]
        step = total[k + 1] - total[k]
        u = low + (high - low) * np.clip((along - total[k]) / np.where(step > 0, step, 1.0), 0.0, 1.0)
        for _ in range(60):
            miss = total[k] + self._between(start, u) - along
            low, high = np.where(miss <= 0.0, u, low), np.where(miss >= 0.0, u, high)
            with np.errstate(divide="ignore", invalid="ignore"):
                newton = u - miss / np.abs(self._speed(u))
            after = np.where((low <= newton) & (newton <= high), newton, 0.5 * (low + high))
            done = np.abs(after - u) <= 4e-16 * marks[-1]
            u = after
            if done.all():
                break
        return u

    # ---- at a distance along the path ------------------------------------------------

    def point(self, along):
        """Places on the path, mm, shape (..., 2), at distances along it, mm, shape (...).

        Along a loop distances may run on: a whole length is once round.
        """
        return _pairs(self.curve(self._parameter(along)))

    def heading(self, along):
        """Direction of the path, degrees against the x axis; not a number where it stands still."""
        v = self._speed(self._parameter(along))
        return np.where(v == 0.0, np.nan, np.degrees(np.angle(v)))

    def curvature(self, along):
        """How sharply the path turns, 1/mm: 1 over the radius, above 0 where it turns left
        (counter-clockwise); not a number where it stands still."""
        u = self._parameter(along)
        v, a = self._speed(u), self._speed.derivative()(u)
        with np.errstate(divide="ignore", invalid="ignore"):
            return (v.conj() * a).imag / np.abs(v) ** 3

    # ---- from a place to the path ----------------------------------------------------

    def along(self, points):
        """How far along the path the place nearest to each point lies, mm, shape (...).

        Where a path crosses itself the nearest of its branches counts.
        """
        along = self._measured(self._foot(_complex(points)))
        if self.loop:  # just short of the seam is rounding: it is the beginning
            along = np.where(along >= self.length * (1.0 - 1e-12), 0.0, along)
        return along

    def across(self, points):
        """Distance of each point from the path, mm, shape (...): above 0 to the left of it, as it
        travels, below 0 to the right."""
        z = _complex(points)
        foot = self._foot(z)
        off = z - self.curve(foot)
        return np.copysign(np.abs(off), (self._speed(foot).conj() * off).imag)

    def _foot(self, places):
        """Parameter of the nearest place: looked for along the whole path, sought exactly wherever
        one look is nearer than the looks beside it, and the best of those taken."""
        marks, z = self.curve.x, places.ravel()
        looks = (marks[:-1, None] + np.diff(marks)[:, None] * np.arange(_LOOKS) / _LOOKS).ravel()
        away = np.abs(self.curve(looks) - z[:, None])
        end = marks[-1]
        if self.loop:
            wall, beside = away[:, [-1]], away[:, [0]]
            ends = looks[-1] - end, end
        else:
            looks = np.append(looks, end)
            away = np.append(away, np.abs(self.curve(end) - z)[:, None], axis=1)
            wall = beside = np.full((len(z), 1), np.inf)
            ends = looks[0], end
        around = np.concatenate([wall, away, beside], axis=1)
        which, look = np.nonzero((away <= around[:, :-2]) & (away <= around[:, 2:]))
        looks = np.concatenate([ends[:1], looks, ends[1:]])
        u = self._sought(z[which], looks[look], looks[look + 1], looks[look + 2])
        best = np.lexsort((np.abs(self.curve(u) - z[which]), which))
        first = np.searchsorted(which[best], np.arange(len(z)))
        return self._round(u[best[first]]).reshape(places.shape)

    def _sought(self, z, low, u, high):
        """Where the path stops coming nearer to z, by Newton's steps in a closing bracket."""
        for _ in range(60):
            off, v = self.curve(u) - z, self._speed(u)
            away = (off.conj() * v).real  # above 0: getting farther
            low, high = np.where(away <= 0.0, u, low), np.where(away > 0.0, u, high)
            gain = np.abs(v) ** 2 + (off.conj() * self._speed.derivative()(u)).real
            with np.errstate(divide="ignore", invalid="ignore"):
                newton = u - away / gain
            # Where the path turns on the spot it may stand at its farthest: no gain, so go on halving.
            nearer = (low <= newton) & (newton <= high) & (gain > 0.0)
            after = np.where(nearer, newton, 0.5 * (low + high))
            if (np.abs(after - u) <= 4e-16 * self.curve.x[-1]).all():
                break
            u = after
        return u

    def _round(self, u):
        return np.mod(u, self.curve.x[-1]) if self.loop else u

    # ---- for drawing it ----------------------------------------------------------------

    def beziers(self):
        """The same path as cubic Bézier pieces, mm, shape (pieces, 4, 2): end, two handles, end."""
        x, v = self.curve.x, self._speed
        width = np.diff(x)
        ends = self.curve(x)
        slope = v(x)
        return _pairs(np.stack([ends[:-1], ends[:-1] + slope[:-1] * width / 3.0,
                                ends[1:] - slope[1:] * width / 3.0, ends[1:]], axis=-1))


# ---- spacing -------------------------------------------------------------------------


def equal_spacing(path, drawings):
    """Places for a number of drawings at equal steps along the path.

    Parameters
    ----------
    path : Path
    drawings : int
        On a loop each is followed by a step, the last by the step back to the first. On a
        path that does not loop the first and the last stand at its ends.

    Returns
    -------
    ndarray, shape (drawings, 2)

    Examples
    --------
    >>> equal_spacing(path_of_action([[0, 0], [30, 0], [90, 0]], loop=False), 4).round(6)
    array([[ 0.,  0.],
           [30.,  0.],
           [60.,  0.],
           [90.,  0.]])
    """
    _count(drawings, 1 if path.loop else 2)
    return path.point(path.length * np.arange(drawings) / (drawings if path.loop else drawings - 1))


def eased_spacing(path, drawings, easing=slow_in_out, extremes=None):
    """Places for a number of drawings along the path, eased from each extreme to the next.

    Parameters
    ----------
    path : Path
    drawings : int
    easing : function
        From time to way, as in `easing`.
    extremes : sequence of float, optional
        Where the extremes lie, mm along the path, rising. The way from each to the next gets
        the same time. On a loop the last is followed by the first again; left out, they are
        its beginning and half way round. Otherwise they are the two ends.

    Returns
    -------
    ndarray, shape (drawings, 2)
        The first drawing stands at the first extreme.

    Examples
    --------
    >>> eased_spacing(path_of_action([[0, 0], [100, 0]], loop=False), 5)[:, 0].round(1)
    array([  0. ,  14.6,  50. ,  85.4, 100. ])
    """
    _count(drawings, 1 if path.loop else 2)
    if extremes is None:
        extremes = [0.0, 0.5 * path.length if path.loop else path.length]
    stations = np.asarray(extremes, float)
    if path.loop:
        stations = np.append(stations, stations[0] + path.length)
    rising = path.length == 0.0 or (np.diff(stations) > 0.0).all()
    if stations.ndim != 1 or len(stations) < 2 or not rising:
        raise ActionError(f"the extremes lie at {', '.join(f'{s:g}' for s in np.ravel(extremes))} mm along a path of "
                          f"{path.length:.4g} mm; give them rising, within once round or from end to end")
    time = np.arange(drawings) * (len(stations) - 1) / (drawings if path.loop else drawings - 1)
    section = np.minimum(time.astype(int), len(stations) - 2)
    way = easing(time - section)
    return path.point(stations[section] + way * np.diff(stations)[section])


def _count(drawings, least):
    if drawings != int(drawings) or drawings < least:
        raise ActionError(f"{drawings} drawings along a path; give a whole number, {least} or more")


def _pairs(z):
    return np.stack([z.real, z.imag], axis=-1)


def _complex(points):
    points = np.asarray(points, float)
    if points.shape[-1:] != (2,):
        raise ActionError(f"places have the shape {points.shape}; give x and y of each, (..., 2)")
    return points @ np.array([1.0, 1.0j])
