"""Shapes laid out in numbers, in frames that the joints of a limb give.

A frame is its origin, its two ways (complex, mm) and its size. Numbers come from figure.mjs, which says
what is in them; the page has the same functions in frames.mjs. Places are complex numbers, mm, y up.
"""

from dataclasses import dataclass, field

import numpy as np

from . import pen


@dataclass(frozen=True)
class Layer:
    """Closed shapes that are joined, and lines in them (points, weight, blunt); see figure.mjs. What is `endless` may
    run off a picture."""

    fills: list
    lines: list = field(default_factory=list)
    dots: list = field(default_factory=list)
    masks: list = field(default_factory=list)
    pen: float = 1.0
    solid: bool = False
    endless: bool = False


def frame(origin, along, across, size, wide=None):
    """A frame at a place, its ways `size` mm long; across it may be `wide`."""
    wide = size if wide is None else wide
    return origin, along * size, across * wide, wide


def places(rows, frames):
    """Rows [along, across] or [along, across, frame] as places, shape (rows,)."""
    return np.array([frames[f][0] + x * frames[f][1] + y * frames[f][2]
                     for x, y, f in ((*row, 0)[:3] for row in rows)])


def laid(part, frames, closed=False):
    """The line of a part of figure.mjs."""
    rows = part["rows"]
    if part.get("both"):
        rows = rows + [[row[0], -row[1], *row[2:]] for row in reversed(rows)]
    ring, line = part.get("ring", False), places(rows, frames)
    if "smooth" in part:
        line = pen.curve(line, part["smooth"], closed or ring)
    return np.append(line, line[0]) if ring else line


def _filled(part, frames):
    rows = part["rows"]
    if "rod" in part:
        size = frames[(*rows[0], 0)[2]][3]
        a, b = places(rows, frames)
        return pen.rod(a, b, *(half * size for half in part["rod"]), flat=part.get("flat", False))
    if "disc" not in part:
        return laid(part, frames, closed=True)
    x, y, f = (*rows[0], 0)[:3]
    turn, i = np.pi / 10 * np.arange(20), np.arange(20)
    far = part["disc"] + part.get("wool", 0.0) * (i % 2)
    return places([(x + a, y + b, f) for a, b in zip(far * np.cos(turn), far * np.sin(turn))], frames)


def layer_of(part, frames):
    """The Layer of a part of figure.mjs."""
    return Layer([_filled(shape, frames) for shape in part["fills"]],
                 [(laid(line, frames), line["weight"], line.get("blunt", 0.0)) for line in part["lines"]],
                 [laid(dot, frames, closed=True) for dot in part.get("dots", ())],
                 pen=part.get("pen", 1.0), solid=any(shape.get("ink") for shape in part["fills"]),
                 endless=part.get("endless", False))
