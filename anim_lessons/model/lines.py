"""The pencil line of a drawing: strokes of the hand, drawn over the construction.

A line is what a drawing looks like. It is never judged: the rules look at the joints.
"""

from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from .errors import ActionError
from .plans import LARGEST

# Far above what a hand draws in a lesson, and low enough that a file stays under its 4 MB and a table fast.
MOST_STROKES = 400  # of one drawing: half an hour of a stroke every five seconds has 360
MOST_POINTS = 1_000  # of one stroke: a spiral of twenty turns over all of the sheet has 981 once it is simplified
MOST_IN_ALL = 60_000  # points on all drawings: 1.4 MB; 16 drawings of 40 strokes have some 15,000
PLAIN = 0.5  # pressure where none is told, as of a mouse (W3C Pointer Events Level 3, "pressure"; from memory)
FINE = 2  # decimals of mm and of the pressure: a hundredth of a mm is a fiftieth of the thinnest line
LEVELS = 10  # widths from the lightest to the heaviest
DOT = 0.01  # mm: how long a dot is, so that every painter paints it
LEAST, PRESSED = 0.3, 1.0  # mm: how wide a line is without pressure, and how much wider with all of it; chosen by eye


@dataclass(frozen=True, eq=False)
class Line:
    """The pencil line of one drawing.

    Attributes
    ----------
    drawing : int
        From 1.
    strokes : tuple of ndarray, shape (points, 3)
        One a stroke, in the order they were drawn: x and y, mm with y up, and the pressure, 0 to 1. Where a stroke is given with
        x and y alone, its pressure is PLAIN. All is rounded to FINE decimals.
    points : int
        Of all strokes.

    Raises
    ------
    ActionError
        Where a stroke cannot be drawn; it names drawing and stroke.
    """

    drawing: int
    strokes: tuple
    points: int = field(init=False)

    def __post_init__(self):
        put = object.__setattr__  # the dataclass is frozen
        strokes = tuple(self.strokes)
        if not strokes:
            raise ActionError("it has a line without strokes", "take the line out", drawing=self.drawing)
        if len(strokes) > MOST_STROKES:
            raise ActionError(f"its line has {len(strokes)} strokes", f"keep it to {MOST_STROKES}", drawing=self.drawing)
        made = []
        for number, stroke in enumerate(strokes, start=1):
            try:
                made.append(_stroke(stroke))
            except ActionError as error:
                raise error.at(drawing=self.drawing, stroke=number)
        put(self, "strokes", tuple(made))
        put(self, "points", sum(map(len, made)))

    def told(self):
        """The strokes as lists, as a file and a page have them: [x, y] a point where all of a stroke has the pressure PLAIN, else
        [x, y, pressure]."""
        return [stroke[:, :2].tolist() if (stroke[:, 2] == PLAIN).all() else stroke.tolist() for stroke in self.strokes]

    def mapped(self, places):
        """The line with its places, shape (points, 2), put through a function, such as a mirror."""
        return Line(self.drawing, tuple(np.column_stack([places(stroke[:, :2]), stroke[:, 2]]) for stroke in self.strokes))


def pieces(stroke):
    """A stroke as lines of one width each, as it is painted everywhere: [(width in mm, ndarray (points, 2))]. From point to point the
    pressure grows evenly, in tenths; a width holds as long as it is the same. A stroke of one point is a dot."""
    if len(stroke) == 1:
        stroke = np.concatenate([stroke, stroke + [DOT, 0, 0]])
    parts = np.ceil(LEVELS * np.abs(np.diff(stroke[:, 2])) - 1e-9).clip(1).astype(int)
    if parts.max() > 1:
        at = np.concatenate([*(i + np.arange(many) / many for i, many in enumerate(parts.tolist())), [len(parts)]])
        stroke = np.column_stack([np.interp(at, np.arange(len(stroke)), values) for values in stroke.T])
    # Halves are rounded up, as the page does it.
    level = np.floor(LEVELS * (stroke[1:, 2] + stroke[:-1, 2]) / 2 + 0.5 + 1e-9)
    cuts = [0, *(np.flatnonzero(np.diff(level)) + 1).tolist(), len(level)]
    return [(LEAST + PRESSED * level[a] / LEVELS, stroke[a : b + 1, :2]) for a, b in pairwise(cuts)]


def fitting(lines, count):
    """The lines of an action of so many drawings, in the order of the drawings, a tuple; or an error that names the drawing."""
    lines = tuple(sorted(lines, key=lambda line: line.drawing))
    for line, after in zip(lines, (*lines[1:], None)):
        if not 1 <= line.drawing <= count:
            raise ActionError(f"there is a line on drawing {line.drawing}, and there are {count} drawings",
                              "take it out, or name a drawing that is there")
        if after is not None and after.drawing == line.drawing:
            raise ActionError("it has two lines", "keep one, or lay the strokes together", drawing=line.drawing)
    points = sum(line.points for line in lines)
    if points > MOST_IN_ALL:
        raise ActionError(f"the lines have {points} points in all", f"keep them to {MOST_IN_ALL}, or make two files of it")
    return lines


def _stroke(stroke):
    try:
        array = np.array(stroke, float)
    except (ValueError, TypeError):  # its points are not of one length
        array = None
    if array is None or array.ndim != 2 or array.shape[1] not in (2, 3) or not len(array):
        raise ActionError("it is no list of points of one form", "give each point x and y, or each x, y and a pressure")
    if len(array) > MOST_POINTS:
        raise ActionError(f"it has {len(array)} points", f"keep it to {MOST_POINTS}, or make two strokes of it")
    good = np.abs(array[:, :2]) <= LARGEST  # false for NaN too
    if not good.all():
        point = int(np.argmin(good.all(axis=1)))
        x, y = array[point, :2]
        raise ActionError(f"{x:g}, {y:g} is not a place on the paper", f"keep x and y within {LARGEST:g} mm", point=point + 1)
    if array.shape[1] == 2:
        array = np.column_stack([array, np.full(len(array), PLAIN)])
    else:
        pressed = (array[:, 2] >= 0) & (array[:, 2] <= 1)
        if not pressed.all():
            point = int(np.argmin(pressed))
            raise ActionError(f"its pressure is {array[point, 2]:g}", "give a pressure from 0 to 1", point=point + 1)
    array = array.round(FINE) + 0.0  # there is one nought
    array.setflags(write=False)
    return array
