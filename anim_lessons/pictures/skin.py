"""How a figure is put on paper: one recipe for the page, the pictures and the film.

From the joints of a drawing `drawn` gives what is painted, as plain data in mm, the lowest first: ink,
paper over it, the lines inside; whoever paints them brings the tools. `kinds` builds the limbs, `deckhand`
the body they hang on, `pen` draws.

Its numbers stand in light_table/page/figure.mjs, which the page reads too. The page has the same functions
in modules of the same names, for it follows the hand; a test holds the shapes of the two together.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from ..model.lines import pieces
from . import pen
from .deckhand import as_complex, beside, figure
from .kinds import trace
from .pen import numbers

RECIPE = {  # lines, mm
    "contour": 1.2,    # the pen where it is heaviest
    "bone": 0.5,
    "path": 0.5,
    "ring": 1.8,       # radius of the ring round a joint
    # neighbours through the paper, 1, 2 and 3 drawings away: line and dashes
    "before": [[0.7, [5, 1.8]], [0.5, [2.7, 2]], [0.4, [1.6, 2.2]]],
    "after": [[0.9, [0.05, 2.05]], [0.7, [0.05, 2.75]], [0.6, [0.05, 3.5]]],  # round dots
    "under": [0.7, [1.5, 1.2]],  # what lies beneath, to be traced
}


@dataclass(frozen=True, eq=False)
class Fill:
    """Shapes filled as one by the non-zero rule, each (n, 2) in mm; `tone` is a name of the palette in small letters."""

    tone: str
    shapes: list


@dataclass(frozen=True)
class Stroke:
    """A line through points, shape (n, 2). Width and dashes in mm; `dots`: its dashes have round ends; `round`: so has the line."""

    tone: str
    points: np.ndarray
    width: float
    dash: tuple = ()
    dots: bool = False
    round: bool = False


# ---- a drawing as it is painted ----------------------------------------------------


def drawn(action, d, pencil=1.0, construction=False):
    """A drawing in clean line: the figure alone, or in its place the pencil line, where the drawing has one. Where any drawing has
    one, the body is scenery and lighter, in all of them alike.

    Parameters
    ----------
    action : Action
    d : int
        Index of the drawing, from 0.
    pencil : float
        Times the width of every line: for another size of paper, or a small picture.
    construction : bool
        Bones and joints as well; what is not drawn by the learner is lighter.

    Returns
    -------
    list of Fill and Stroke
    """
    body, skins = figure(action, d)
    width = numbers()["pen"]["width"] * pencil
    shapes, line = [], pencil_line(action, d, pencil)
    if body:
        light = construction or bool(action.lines)
        shapes += _scenery(body, width * (numbers()["pen"]["scenery"] if light else 1.0), "faint" if light else "ink")
    for layers in skins if construction or not line else []:
        for layer in layers:
            shapes += _painted(layer, width, "faint" if line else "ink")
    return shapes + (bones(action, d, pencil) if construction else []) + line


def pencil_line(action, d, pencil=1.0):
    """The pencil line of a drawing as a list of Stroke, in its true width, or wider where `pencil` asks for it; empty where there is
    none."""
    wider = max(pencil, min(page_of(action.paper)) / 210)  # the page shows every paper as wide
    return [Stroke("ink", points, width * wider, round=True) for stroke in action.line(d + 1) for width, points in pieces(stroke)]


@lru_cache(maxsize=32)
def _scenery(body, width, tone):
    return [shape for layer in body.layers for shape in _painted(layer, width, tone)]


def _painted(layer, width, tone):
    ink, paper, lines = pen.inked(layer, width)
    return [Fill(of, [_xy(shape) for shape in shapes])
            for of, shapes in ((tone, ink), ("paper", paper), (tone, lines)) if shapes]


def bones(action, d, pencil=1.0):
    """The construction of a drawing: its bones, and a ring at each joint."""
    bone = RECIPE["bone"] * pencil
    turn = np.exp(2j * np.pi * np.arange(32) / 32)
    made = []
    for limb in action.limbs:
        points = limb.drawings[d]
        if len(points) > 1:
            made.append(Stroke("ink", points, bone))
        for tone, radius in (("ink", RECIPE["ring"] * pencil + bone / 2), ("paper", RECIPE["ring"] * pencil - bone / 2)):
            made.append(Fill(tone, [_xy(centre + radius * turn) for centre in as_complex(points)]))
    return made


def neighbour(action, d, side, far, pencil=1.0):
    """A drawing seen through the paper, its pencil line or else its outlines alone: `side` "before" or "after", 1 to 3 drawings
    away.

    Returns
    -------
    list of Stroke
    """
    width, dash = RECIPE[side][far - 1]
    dash = tuple(part * pencil for part in dash)
    lines = [stroke[:, :2] for stroke in action.line(d + 1) if len(stroke) > 1] or [
        _xy(line) for limb in action.limbs for line in trace(limb, *beside(action, limb, d))]
    return [Stroke("mid", line, width * pencil, dash, side == "after") for line in lines]


def window(action):
    """What a picture of all drawings has to show: the box round every shape and line of every drawing, 6 % wider and higher.

    Only the body may run off its lower edge, and the sleeve of a hand that holds something.

    Returns
    -------
    left, bottom, right, top : float
        mm.
    """
    low, high = [], []
    width = RECIPE["contour"]
    for d in range(action.count):
        body, skins = figure(action, d)
        for layers, bottom in [(layers, -np.inf) for layers in skins] + ([(body.layers, body.low)] if body else []):
            for layer in layers:
                if layer.endless:
                    continue
                for line in (*layer.fills, *(points for points, *_ in layer.lines)):
                    low.append((line.real.min(), max(line.imag.min(), bottom)))
                    high.append((line.real.max(), line.imag.max()))
    for line in action.lines:  # what runs off the sheet makes no picture smaller
        places = np.clip(np.concatenate(line.strokes)[:, :2], 0.0, action.paper)
        low.append(places.min(axis=0))
        high.append(places.max(axis=0))
    low, high = np.min(low, axis=0) - width, np.max(high, axis=0) + width
    room = 0.03 * (high - low)
    return (*(low - room).tolist(), *(high + room).tolist())


def page_of(paper):
    """The size of the page on which a paper (width, height) is shown: of paper more than four times as long as
    wide, that of a page that holds words."""
    width, height = paper
    return max(width, height / 4), max(height, width / 4)


def _xy(line):
    return np.ascontiguousarray(line).view(float).reshape(-1, 2)

