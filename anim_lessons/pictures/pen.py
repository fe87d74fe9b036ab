"""The pen: smooth curves, tubes round bent limbs, outlines grown by ink.

Places are complex numbers, mm, y up; a line is a complex array, shape (n,). The page has the same in
light_table/page/pen.mjs, for it follows the hand; a test holds the two together. Numbers come from figure.mjs.
"""

import json
from functools import cache, lru_cache
from pathlib import Path

import numpy as np

LEAST = 1e-9  # mm: what is shorter has no direction
STRAIGHT = 0.02  # radians: two parts that bend less are one line
_FIGURE = Path(__file__).resolve().parents[1] / "light_table" / "page" / "figure.mjs"


@cache
def numbers():
    """What figure.mjs holds: how figures are built on their joints."""
    text = _FIGURE.read_text("utf-8")
    return json.loads(text.partition("\nexport default ")[2].strip().removesuffix(";"))


# ---- lines -------------------------------------------------------------------------


def unit(way, otherwise=1.0 + 0.0j):
    """The direction of a complex number, or `otherwise` where it has none."""
    long = abs(way)
    return way / long if long > LEAST else otherwise


def dot(a, b):
    return a.real * b.real + a.imag * b.imag


def cross(a, b):
    return a.real * b.imag - a.imag * b.real


def clamp(x, low, high):
    return max(low, min(high, x))


def soft(t):
    t = np.clip(t, 0.0, 1.0)
    return t * t * (3 - 2 * t)


def reach(points):
    """Length of a line through points, mm."""
    return float(np.abs(np.diff(points)).sum())


def sees(points, closed=False):
    """Direction of a line at each of its points, from the point before to the point after."""
    way = np.empty(len(points), complex)
    way[1:-1] = points[2:] - points[:-2]
    if closed and len(points) > 1:
        way[0], way[-1] = points[1] - points[-1], points[0] - points[-2]
    else:
        way[:1], way[-1:] = points[1:2] - points[:1], points[-1:] - points[-2:-1]
    return directed(way)


def directed(ways):
    """Directions of complex numbers; one that has none goes as the one before it."""
    long = np.abs(ways)
    good = long > LEAST
    if good.all():
        return ways / long
    made = np.ones(len(ways) + 1, complex)
    made[1:][good] = ways[good] / long[good]
    last = np.maximum.accumulate(np.where(good, np.arange(1, len(ways) + 1), 0))
    return made[last]


def curve(points, steps, closed=False):
    """A smooth line through points, `steps` pieces between two: Catmull and Rom's spline with centripetal knots.

    References
    ----------
    Yuksel, Schaefer and Keyser 2011, Parameterization and applications of Catmull-Rom curves (from memory).
    """
    points = np.asarray(points, complex)
    if len(points) < 2:
        return points.copy()
    if closed:
        p = np.concatenate([points[-1:], points, points[:2]])
    else:
        p = np.concatenate([2 * points[:1] - points[1:2], points, 2 * points[-1:] - points[-2:-1]])
    step, across = p[1:] - p[:-1], p[2:] - p[:-2]
    knot = np.maximum(1e-6, np.sqrt(np.abs(step)))
    pace, wide = step / knot, knot[:-1] + knot[1:]
    ends = np.empty((len(p) - 3, 4), complex)   # of each piece: its start, the way there, its end, the way there
    ends[:, 0], ends[:, 2] = p[1:-2], p[2:-1]
    ends[:, 1] = (pace[:-2] - across[:-1] / wide[:-1] + pace[1:-1]) * knot[1:-1]
    ends[:, 3] = (pace[1:-1] - across[1:] / wide[1:] + pace[2:]) * knot[1:-1]
    made = (ends @ _hermite(steps)).ravel()
    return made if closed else np.concatenate([made, points[-1:]])


@lru_cache(64)
def _hermite(steps):
    t = np.arange(steps) / steps
    return np.stack([2 * t**3 - 3 * t**2 + 1, t**3 - 2 * t**2 + t, 3 * t**2 - 2 * t**3, t**3 - t**2]).astype(complex)


def area(shape):
    """Twice the area of a closed shape, below 0 where it runs clockwise."""
    after = np.empty_like(shape)
    after[:-1], after[-1:] = shape[1:], shape[:1]
    return float(cross(shape, after).sum())


def round_(shape):
    """A shape counter-clockwise, so that shapes of one layer join."""
    return shape[::-1] if area(shape) < 0 else shape


# ---- ink ---------------------------------------------------------------------------


def grown(shape, w, mask=None):
    """A shape grown outward by ink: thin where its edge looks at the light, heavy where it looks away.

    Parameters
    ----------
    shape : ndarray, shape (n,)
    w : float
        Width of the pen, mm.
    mask : ndarray, shape (n,), optional
        Share of the width at each place; at 0 the ink goes under the paper, so that no edge is seen.
    """
    pen = numbers()["pen"]
    out = sees(shape, closed=True) * (1j if area(shape) < 0 else -1j)
    away = complex(*pen["away"])
    far = w * (pen["least"] + pen["more"] * (0.5 + 0.5 * dot(out, away)))
    if mask is not None:
        far = np.where(mask > 0, far * mask, -w * pen["under"])
    return shape + out * far


def stroke(points, w, blunt=0.0):
    """An inner line as a filled sliver, pointed at its ends; `blunt` 0.5 begins full and runs out."""
    across = 1j * sees(points) * (w / 2) * _belly(len(points), blunt)
    return np.concatenate([points + across, (points - across)[::-1]])


@lru_cache(256)
def _belly(count, blunt):
    """How wide a sliver is at each of so many places, as a share."""
    pen = numbers()["pen"]
    s = np.linspace(0.0, 1.0, count) if count > 1 else np.zeros(count)
    return np.maximum(pen["end"], np.maximum(0.0, np.sin(np.pi * (blunt + (1 - blunt) * s))) ** pen["belly"])


def inked(layer, w):
    """A layer as what is filled, each a list of shapes that are filled as one (non-zero rule).

    Returns
    -------
    ink, paper, lines : list of ndarray
        In the order in which they are painted.
    """
    masks = [*layer.masks, *[None] * len(layer.fills)]
    ink = [round_(grown(shape, w * layer.pen, mask)) for shape, mask in zip(layer.fills, masks)]
    paper = [] if layer.solid else [round_(shape) for shape in layer.fills]
    lines = [round_(stroke(points, weight * w * layer.pen, blunt)) for points, weight, blunt in layer.lines]
    return ink, paper, lines + [round_(shape) for shape in layer.dots]


# ---- tubes -------------------------------------------------------------------------

_CAP = np.exp(-1j * np.pi * np.arange(1, 10) / 10)


def _cap(c, way, r):
    """Half a turn about a place, from its left side round to its right, the ends left out."""
    return c + r * 1j * way * _CAP


def rod(a, b, ra, rb, flat=False):
    """A straight piece between two places with its half widths there, round at both ends, or flat."""
    u = unit(b - a)
    sides, others = [a + 1j * u * ra, b + 1j * u * rb], [b - 1j * u * rb, a - 1j * u * ra]
    if flat:
        return np.array(sides + others)
    return np.concatenate([sides, _cap(b, u, rb), others, _cap(a, -u, ra)])


class Tube:
    """The outline of a bent limb.

    Attributes
    ----------
    left, right : ndarray
        Its edges, from the root to the tip.
    end, shape : ndarray
        The cap at the tip; all of it, closed.
    corner : dict
        By side (1 is left of the way out, else -1) where the inside of the last bend is cut.
    ways : list of complex
        Direction of each part.
    """

    def __init__(self, points, half, swell=None, steps=None, root=True, tip=True):
        self.points, self.half = np.asarray(points, complex), np.asarray(half, float)
        self.swell, self.steps = swell, steps or numbers()["tube"]["steps"]
        self.ways, self.corner = directed(np.diff(self.points)).tolist(), {}
        self.left, self.right = self._edge(1), self._edge(-1)
        self.end = _cap(self.points[-1], self.ways[-1], self.half[-1]) if tip else np.empty(0, complex)
        start = _cap(self.points[0], -self.ways[0], self.half[0]) if root else np.empty(0, complex)
        self.shape = np.concatenate([self.left, self.end, self.right[::-1], start])

    def open(self):
        """Its outline without the root."""
        return np.concatenate([self.left, self.end, self.right[::-1]])

    def _edge(self, side):
        bone = numbers()["tube"]
        t = np.arange(self.steps + 1) / self.steps
        points, r, u = self.points, self.half, self.ways
        out = None
        for i, way in enumerate(u):
            wide = r[i] + (r[i + 1] - r[i]) * t + (self.swell(i, t, side) if self.swell else 0.0)
            line = points[i] + (points[i + 1] - points[i]) * t + side * 1j * way * wide
            if out is None:
                out = line
                continue
            turn = float(np.angle(u[i - 1].conjugate() * way))
            if abs(turn) <= STRAIGHT:
                out = np.concatenate([out, line[1:]])
                continue
            if turn * side < 0:  # outside of the bend: round it, and the bone pushes it out
                k = max(3, int(np.floor(abs(turn) * 8 + 0.5)))
                f = np.arange(1, k) / k
                push = bone["bone"] * min(1.0, abs(turn) / bone["round"])
                arc = points[i] + r[i] * (1 + push * np.sin(np.pi * f)) * side * 1j * u[i - 1] * np.exp(1j * turn * f)
                near = self.steps // 2
                first, last = max(1, len(out) - near), len(out) + len(arc) + near    # little may be left of a cut edge
                out = np.concatenate([out, arc, line])
                for _ in range(3):
                    out[first:last] = out[first:last] / 2 + (out[first - 1:last - 1] + out[first + 1:last + 1]) / 4
                continue
            cut = _meet(out, line, self.steps + 2)
            if cut is None:
                out = np.concatenate([out, line])
            else:
                self.corner[side] = cut[2]
                out = np.concatenate([out[:cut[0] + 1], [cut[2]], line[cut[1] + 1:]])
        return out


def _meet(a, b, far):
    """Where a line first leaves another that it goes on from: index in a, index in b, place; or None. Only the last
    `far` pieces of a are looked at, from its end."""
    first = max(0, len(a) - 1 - far)
    p, r = a[first:-1, None], np.diff(a[first:])[:, None]
    s = np.diff(b)[None]
    wide = cross(r, s)
    gap = b[None, :-1] - p
    good = np.abs(wide) >= 1e-12
    wide = np.where(good, wide, 1.0)
    t, w = cross(gap, s) / wide, cross(gap, r) / wide
    found = np.argwhere(good & (t >= 0) & (t <= 1) & (w >= 0) & (w <= 1))
    if not len(found):
        return None
    last = found[:, 0].max()
    i, j = found[found[:, 0] == last][0]
    return first + i, j, complex(p[i, 0] + t[i, j] * r[i, 0])


def inside(places, shape):
    """Whether places lie in a shape, by the even-odd rule."""
    x, y = np.real(places)[:, None], np.imag(places)[:, None]
    a, b = shape, np.concatenate([shape[-1:], shape[:-1]])
    over = (a.imag > y) != (b.imag > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        meets = x < a.real + (b.real - a.real) * (y - a.imag) / (b.imag - a.imag)
    return (over & meets).sum(axis=1) % 2 == 1
