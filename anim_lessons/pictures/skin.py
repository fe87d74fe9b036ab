"""How a limb is put on paper: one recipe for the page, the pictures, the film and the glossary.

From a limb's joints `skin` gives the drawing on top and `neighbour` a drawing seen through the paper, as
plain data in mm, the lowest first; whoever paints them brings the tools. The names of its joints tell what
kind of limb it is, and a new kind is a function in SHAPES.

The page (light_table/page) draws by its own code; a test holds its numbers to those of RECIPE.
"""

from dataclasses import dataclass

import numpy as np

RECIPE = {
    # half widths of the contour
    "single": 6.0,     # mm, radius of a limb that is one joint alone
    "root": 0.052,     # of the limb's length, at its first joint
    "taper": 0.0355,   # of the limb's length, by which it is narrower at its last joint
    "fall": 0.8,       # exponent of the way from the first joint to the last by which it narrows
    "stout": 0.35,     # of the shorter part at a joint; no joint is wider
    "hand": {"along": [0.34, 0.66],  # of the way from wrist to fingertips: where it is
             "wide": [1.32, 1.2],    # so wide, of the wrist's width
             "tip": 1.15},           # of the limb's width at the fingertips
    "thumb": {"root": 0.2, "long": 0.46,  # of the hand's length: where it begins, how long it is
              "turn": 0.62,               # radians off the hand
              "wide": [0.62, 0.46]},      # of the wrist's width: at its root and its tip
    # lines, mm
    "contour": 1.2,    # half of it inside
    "bone": 0.55,
    "path": 0.5,
    "ring": 1.8,       # radius of the ring round a joint; half the limb's least half width where that is less
    # neighbours through the paper, 1, 2 and 3 drawings away: line and dashes, mm
    "before": [[0.95, [8, 1.5]], [0.7, [4.5, 2]], [0.5, [2.5, 2.5]]],
    "after": [[1.15, [0.05, 2.3]], [0.95, [0.05, 3.1]], [0.8, [0.05, 4.25]]],  # round dots
    "under": [0.7, [1.5, 1.2]],  # what lies beneath, to be traced
}


@dataclass(frozen=True)
class Fill:
    """Filled shapes that overlap: discs (x, y, radius); `tone` is a name of the palette in small letters."""

    tone: str
    discs: list
    polygons: list = ()


@dataclass(frozen=True)
class Stroke:
    """A line through points, shape (n, 2). Width and dashes in mm; `dots`: its dashes have round ends."""

    tone: str
    points: np.ndarray
    width: float
    dash: tuple = ()
    dots: bool = False


def skin(limb, points, pencil=1.0):
    """A limb as it lies on top: contour, bone and joints.

    Parameters
    ----------
    limb : Limb
    points : ndarray, shape (joints, 2)
        mm.
    pencil : float
        Times the width of every line: for another size of paper, or a small picture.

    Returns
    -------
    list of Fill and Stroke
    """
    half, bone = RECIPE["contour"] * pencil / 2, RECIPE["bone"] * pencil
    layers = []
    for centres, wide in SHAPES[kind(limb.joints)](points, radii(limb.lengths)):
        layers += [Fill("ink", *shapes(centres, wide, half)), Fill("paper", *shapes(centres, wide, -half))]
    if len(points) > 1:
        layers.append(Stroke("ink", points, bone))
    ring = min(RECIPE["ring"] * pencil, 0.5 * float(radii(limb.lengths).min()))
    rings = ("ink", ring + bone / 2), ("paper", ring - bone / 2)  # where parts are tiny, ink alone
    return layers + [Fill(tone, [(x, y, r) for x, y in points.tolist()]) for tone, r in rings if r > 0]


def neighbour(points, side, far, pencil=1.0):
    """A drawing seen through the paper, a Stroke: `side` "before" or "after", 1 to 3 drawings away."""
    width, dash = RECIPE[side][far - 1]
    if len(points) == 1:
        turn = np.linspace(0.0, 2 * np.pi, 49)
        points = points + RECIPE["single"] * np.column_stack([np.cos(turn), np.sin(turn)])
    return Stroke("mid", points, width * pencil, tuple(part * pencil for part in dash), side == "after")


def page_of(paper):
    """The size of the page on which a paper (width, height) is shown: of paper more than four times as long as
    wide, that of a page that holds words."""
    width, height = paper
    return max(width, height / 4), max(height, width / 4)


# ---- shapes ------------------------------------------------------------------------


def kind(joints):
    """What a limb is, told by the names of its joints: a name of SHAPES."""
    if len(joints) == 1:
        return "single"
    return "arm" if joints[-1] == "fingertips" else "limb"


def radii(lengths):
    """Half the width of a limb at each of its joints, mm, shape (joints,), from its parts' lengths, mm."""
    lengths = np.asarray(lengths, float)
    if not len(lengths):
        return np.array([RECIPE["single"]])
    along = np.linspace(0.0, 1.0, len(lengths) + 1)
    tapered = lengths.sum() * (RECIPE["root"] - RECIPE["taper"] * along ** RECIPE["fall"])
    shorter = np.minimum(np.append(lengths[:1], lengths), np.append(lengths, lengths[-1:]))
    return np.minimum(tapered, RECIPE["stout"] * shorter)


def _limb(points, wide):
    return [(points, wide)]


def _arm(points, wide):
    """An arm swells past the wrist, and has a thumb on the clockwise side, which lies below."""
    hand, thumb = RECIPE["hand"], RECIPE["thumb"]
    wrist, tips = points[-2:]
    reach = tips - wrist
    along = [wrist + share * reach for share in hand["along"]]
    swollen = np.concatenate([wide[:-1], wide[-2] * np.array(hand["wide"]), wide[-1:] * hand["tip"]])
    cos, sin = np.cos(thumb["turn"]), np.sin(thumb["turn"])
    root = wrist + thumb["root"] * reach
    tip = root + thumb["long"] * np.array([reach[0] * cos + reach[1] * sin, reach[1] * cos - reach[0] * sin])
    return [(np.array([root, tip]), wide[-2] * np.array(thumb["wide"])),
            (np.array([*points[:-1], *along, tips]), swollen)]


# A kind: from joints and half widths the pieces it is made of, (centres, half widths), the lowest first.
SHAPES = {"single": _limb, "arm": _arm, "limb": _limb}


def shapes(points, radii, grow=0.0):
    """A tapering line as shapes that overlap: a disc at each point, a piece between two.

    Filled with ink grown by half a line, then with paper grown by minus half a
    line, they leave the contour of the whole.

    Parameters
    ----------
    points : ndarray, shape (n, 2)
        mm.
    radii : ndarray, shape (n,)
        mm.
    grow : float
        Added to every radius, mm.

    Returns
    -------
    discs : list of (x, y, radius)
    pieces : list of ndarray, shape (4, 2)
        Corners counter-clockwise. Fewer than segments where one disc holds the next.
    """
    grown = np.maximum(radii + grow, 0.0)
    discs = [(x, y, r) for (x, y), r in zip(points.tolist(), grown.tolist()) if r > 0]
    pieces = []
    for a, b, ra, rb in zip(points[:-1], points[1:], grown[:-1], grown[1:]):
        along = b - a
        length = float(np.hypot(*along))
        if length <= abs(ra - rb):
            continue
        along = along / length
        across = np.array([-along[1], along[0]])
        # The lines that touch both discs meet them where the normal leans by this sine.
        lean = (ra - rb) / length
        left = along * lean + across * np.sqrt(1 - lean * lean)
        right = along * lean - across * np.sqrt(1 - lean * lean)
        pieces.append(np.array([a + ra * right, b + rb * right, b + rb * left, a + ra * left]))
    return discs, pieces
