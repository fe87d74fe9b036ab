"""How each kind of limb is built on its joints: arm, pennant, mooring rope, lantern, buoy, and a tube for the
rest.

The names of a limb's joints tell its kind, and a new kind is a function in KINDS. Every length is a share
of the limb, so a part that grows is seen. Numbers come from light_table/page/figure.mjs; the page has the
same functions in kinds.mjs, for it follows the hand, and a test holds the shapes of the two together.
Places are complex numbers, mm, y up.
"""

import numpy as np

from . import pen
from .arm import arm, mitten
from .frames import Layer, frame, laid, layer_of, places
from .pen import cross, dot, numbers, unit

# ---- what a limb is ----------------------------------------------------------------


def skin(limb, points, before=None, after=None, torso=None):
    """The layers of a limb, from the back to the front.

    Parameters
    ----------
    limb : Limb
    points : ndarray of complex, shape (joints,)
        mm; `before` and `after`, the same on the drawings beside it.
    torso : ndarray of complex, optional
        Of the body that it hangs on.

    Returns
    -------
    list of Layer
    """
    if before is None:
        before = after = points
    return KINDS[kind(limb.joints)](limb, points, torso, before, after)


def kind(joints):
    """What a limb is, told by the names of its joints: a name of KINDS."""
    if len(joints) == 1:
        return "buoy"
    if joints[0] == "shoulder" and 2 < len(joints) < 6:
        return "arm"
    if len(joints) > 2 and tuple(joints[:2]) == ("hand", "top"):
        return "pennant"
    if joints[0] == "staff":
        return "cloth"
    if joints[0] == "post":
        return "rope"
    if joints[0] == "hook" and len(joints) == 2:
        return "lantern"
    return "tube"


# ---- limbs -------------------------------------------------------------------------


def _held(centre, along, long):
    """A fist on what it holds, with its cuff and its sleeve: sleeve, back of the hand, cuff, fist."""
    made = numbers()["held"]
    u = unit(complex(*made["from"]))
    n = 1j * along * (-1 if dot(1j * along, u) < 0 else 1)
    wrist = centre + along * made["wrist"][0] * long + n * made["wrist"][1] * long
    frames = [frame(centre, along, n, long), frame(wrist, u, 1j * u, long)]
    fist = layer_of(numbers()["fist"], [frame(centre, along, 1j * along, long)])
    return [*(layer_of(part, frames) for part in made["layers"]), fist]


class _Cloth:
    """Head and foot of a cloth: its joints are its head, the foot hangs from it."""

    def __init__(self, points, staff):
        made = numbers()["pennant"]
        steps = pen.clamp(int(np.floor(96 / (len(points) - 1) + 0.5)), 2, made["steps"])
        self.long = pen.reach(points)
        self.head = pen.curve(points, steps)
        self.ways = pen.sees(self.head)
        self.count = len(self.head) - 1
        i = np.arange(self.count + 1)
        s = i / self.count
        late = self.ways[np.maximum(0, i - int(np.floor(self.count * made["late"] + 0.5)))]
        square = 1j * late * np.where(dot(1j * late, staff) > 0, -1, 1)
        share = pen.soft(s * made["square"])
        down = -staff + (square + late * made["way"] + staff) * share
        size = np.abs(down)
        self.down = np.where(size > pen.LEAST, down / np.maximum(size, pen.LEAST), -staff)
        deep = made["hoist"] * self.long * ((1 - s) * (1 - made["fly"]) + made["fly"])
        self.foot = self.head + self.down * deep
        self.shape = np.concatenate([self.head, self.foot[::-1]])

    def at(self, s, share):
        i = self._index(s)
        return self.head[i] + (self.foot[i] - self.head[i]) * share

    def turn(self, s, near):
        i = int(np.floor(s * self.count + 0.5))
        low, high = (self.ways[pen.clamp(i + k, 0, self.count)] for k in (-near, near))
        return float(cross(low, high))

    def _index(self, s):
        return pen.clamp(int(np.floor(s * self.count + 0.5)), 0, self.count)


def _pennant(limb, points, *_, hand=None):
    """With `hand` the staff is none of the limb's parts."""
    made = numbers()["pennant"]
    hand, cloth = (points[0], points[1:]) if hand is None else (hand, points)
    pole, staff = abs(cloth[0] - hand), unit(cloth[0] - hand, 1j)
    hung = _Cloth(cloth, staff)
    first, last, hem = made["hems"]
    cut = slice(int(np.floor(hung.count * first + 0.5)), int(np.floor(hung.count * last + 0.5)) + 1)
    off = hung.down * made["hem"] * hung.long
    band, shares, heavy = made["band"]
    lines = [((hung.head + off)[cut], hem, 0.0), ((hung.foot - off)[cut], hem, 0.0),
             (np.array([hung.at(band, share) for share in shares]), heavy, 0.0)]
    # Folds lie at fixed places, each as heavy as the cloth bends there: none comes or goes from drawing to drawing.
    folds = made["folds"]
    near = max(1, int(np.floor(hung.count * folds["bend"] + 0.5)))
    pull = abs(hung.turn(0.3, near)) + abs(hung.turn(0.6, near))
    lines += [(pen.curve([hung.at(*place) for place in places], 6), weight + pull, 0.5)
              for *places, weight in made["pulls"]]
    for s in folds["at"]:
        bend = hung.turn(s, near)
        rows = folds["under" if bend < 0 else "over"]
        lines.append((pen.curve([hung.at(s + x, y) for x, y in rows], 6),
                      min(folds["most"], folds["weight"] * abs(bend)), folds["blunt"]))
    across, ties = 1j * staff, made["ties"]
    corners = [(x * ties["half"], y * ties["thick"]) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))]
    hoist = hung.foot[0] - hung.head[0]
    tied = [places(corners, [frame(hung.head[0] + s * hoist, across, staff, pole)]) for s in ties["at"]]
    return [Layer([hung.shape], lines), *(layer_of(part, [frame(hand, staff, across, pole)]) for part in made["pole"]),
            Layer(tied), *_held(hand, staff, made["grip"] * pole)]


def _grip(points):
    """Where the staff of a cloth that has none among its joints is held: right below it."""
    return points[0] - 1j * numbers()["pennant"]["staff"] * pen.reach(points)


def _cloth(limb, points, *_):
    return _pennant(limb, points, hand=_grip(points))


class _Way:
    """Places along a rope: its middle line by arc length."""

    def __init__(self, points):
        self.mid = pen.curve(points, pen.clamp(int(np.floor(96 / (len(points) - 1) + 0.5)), 2, 16))
        self.ways = pen.sees(self.mid)
        self.along = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(self.mid)))])
        self.long = float(self.along[-1])

    def step(self, s):
        s = np.asarray(s, float)
        low = np.clip(np.searchsorted(self.along, s, side="right") - 1, 0, len(self.mid) - 2)
        part = self.along[low + 1] - self.along[low]
        t = np.clip((s - self.along[low]) / np.where(part == 0, 1.0, part), 0.0, 1.0)
        way = self.ways[low] + (self.ways[low + 1] - self.ways[low]) * t
        size = np.abs(way)
        way = np.where(size > pen.LEAST, way / np.maximum(size, pen.LEAST), self.ways[low])
        return self.mid[low] + (self.mid[low + 1] - self.mid[low]) * t, way

    def place(self, s, y):
        middle, way = self.step(s)
        return middle + 1j * way * y


def _rope(limb, points, *_):
    made, way = numbers()["rope"], _Way(points)
    long = pen.reach(points)
    w, lay, (thin, bulge) = made["half"] * long, made["lay"] * way.long, made["edge"]
    s = way.long * np.arange(made["steps"] + 1) / made["steps"]

    def edge(side):
        swell = np.abs(np.sin(np.pi * ((s / lay if lay else 0.0) + (0.0 if side > 0 else 0.5))))
        return way.place(s, side * w * (thin + bulge * swell))

    strands = int(1 / made["lay"] - 1.4) + 1  # the last runs under the whipping
    lines = [(pen.curve([way.place((k + x) * lay, y * w) for x, y in made["strand"]], 3), made["weight"], 0.0)
             for k in range(strands)]
    whip, ends = made["whipping"], made["ends"]
    a, b, q = way.long - whip["from"] * lay, way.long - whip["to"] * lay, whip["half"] * w
    bands = [(np.array([way.place(a + (b - a) * t, y * whip["band"] * w) for y in (1, 0, -1)]), whip["weight"], 0.0)
             for t in whip["bands"]]
    tip, u = (complex(part) for part in way.step(way.long))
    loose = []
    for i, turn in enumerate(ends["turns"]):
        v, far = u * np.exp(1j * turn), ends["long"][i % 2] * w
        rows = [tip + u * w * (ends["root"] * (-1 + 1j * np.sin(turn))), tip + v * far * 0.7,
                tip + v * far * 1.2 + 1j * u * ends["aside"] * w * np.sign(turn)]
        loose.append((pen.curve(rows, 5), 1.0, ends["blunt"]))
    first = unit(way.mid[min(6, len(way.mid) - 1)] - way.mid[0])
    sleeve, back, cuff, fist = _held(points[0], first, made["fist"] * long)
    band = np.array([way.place(a, q), way.place(b, q), way.place(b, -q), way.place(a, -q)])
    return [sleeve, back, cuff, Layer([], loose), Layer([np.concatenate([edge(1), edge(-1)[::-1]])], lines),
            Layer([band], bands), fist]


def _lantern(limb, points, *_):
    made = numbers()["lantern"]
    long, u = abs(points[1] - points[0]), unit(points[1] - points[0], -1j)
    return [*(layer_of(part, [frame(points[0], 1.0, 1j, long)]) for part in made["beam"]),
            *(layer_of(part, [frame(points[1], u, 1j * u, long)]) for part in made["layers"])]


def _afloat(points, before, after):
    """It leans with its way: from the place before to the place after."""
    made = numbers()["buoy"]
    half, most = made["half"], made["most"]
    lean = pen.clamp(made["lean"] * (after[0] - before[0]).real / half, -most, most)
    u = complex(np.sin(lean), np.cos(lean))
    return [frame(points[0], u, 1j * u, half), frame(points[0], 1 - 1j * np.tan(lean) / 2, 1j, half)]


def _buoy(limb, points, torso, before, after):
    return [layer_of(part, _afloat(points, before, after)) for part in numbers()["buoy"]["layers"]]


def _tapering(points):
    """Half widths of a limb of no kind."""
    made = numbers()["tube"]
    along = np.linspace(0.0, 1.0, len(points))
    return np.maximum(made["least"], pen.reach(points) * (made["root"] + (made["tip"] - made["root"]) * along))


def _steps(points):
    return pen.clamp(int(np.floor(48 / len(points) + 0.5)), 1, numbers()["tube"]["steps"])


def _tube(limb, points, *_):
    return [Layer([pen.Tube(points, _tapering(points), steps=_steps(points)).shape])]


KINDS = {"arm": arm, "pennant": _pennant, "cloth": _cloth, "rope": _rope, "lantern": _lantern, "buoy": _buoy, "tube": _tube}


# ---- a drawing seen through the paper ----------------------------------------------


def trace(limb, points, before=None, after=None):
    """The outline of a limb as it shows through the paper: a list of lines."""
    if before is None:
        before = after = points
    what = kind(limb.joints)
    if what == "arm":
        return [pen.Tube(*mitten(limb, points), root=False).open()]
    if what == "buoy":
        return _traced(numbers()["buoy"]["trace"], _afloat(points, before, after))
    if what == "lantern":
        u = unit(points[1] - points[0], -1j)
        return _traced(numbers()["lantern"]["trace"], [frame(points[1], u, 1j * u, abs(points[1] - points[0]))])
    if what in ("pennant", "cloth"):
        hand, cloth = (_grip(points), points) if what == "cloth" else (points[0], points[1:])
        shape = _Cloth(cloth, unit(cloth[0] - hand, 1j)).shape
        return [np.append(shape, shape[0]), np.array([hand, cloth[0]])]
    if what == "rope":
        way, w = _Way(points), numbers()["rope"]["half"] * pen.reach(points)
        s = way.long * np.arange(41) / 40
        return [np.concatenate([way.place(s, w), way.place(s, -w)[::-1]])]
    return [pen.Tube(points, _tapering(points), steps=_steps(points), root=False).open()]


def _traced(parts, frames):
    lines = [laid(part, frames, closed=not part.get("open")) for part in parts]
    return [line if part.get("open") else np.append(line, line[0]) for line, part in zip(lines, parts)]
