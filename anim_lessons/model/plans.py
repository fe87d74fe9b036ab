"""What goes with drawings: the way planned for a joint, and the steps of a lecture."""

from dataclasses import dataclass

import numpy as np

from .errors import ActionError

LARGEST = 10_000.0  # mm: no sheet is larger, and squares stay far from overflow
SMALLEST = 0.1  # mm: no part is shorter than a pencil line is wide, and no quotient overflows
# Far above what a class draws, and low enough that any action is checked and guided in three seconds.
MOST_DRAWINGS = 240  # ten seconds on ones; a loop in class has 8 to 64
MOST_JOINTS = 120  # of one limb; an arm has 4, a long tail 11, the longest rope of the course 101
MOST_LIMBS = 12  # a figure with its tail, coat and hat has 8
MOST_PLACED = 3_000  # joints on all drawings together: 64 drawings of a figure of 26 joints have 1,664
MOST_PLACES = 2_000  # places on a planned path
MOST_STEPS = 500  # steps of a lecture
MOST_LETTERS = 2_000  # letters of what is said at a step


@dataclass(frozen=True, eq=False)
class Plan:
    """The way planned for one joint, before anything is drawn: its path of action and its timing chart.

    Attributes
    ----------
    joint : str
    path : ndarray, shape (places, 2)
        mm, in the order they are passed. In an action that loops the path closes from the last to the first.
    chart : ndarray, shape (drawings,)
        Share of the path gone at each drawing, 0 to 1; it never falls, a hold repeats a share.
    """

    joint: str
    path: np.ndarray
    chart: np.ndarray

    def __post_init__(self):
        path, chart = np.array(self.path, float), np.array(self.chart, float)
        if path.ndim != 2 or path.shape[1] != 2 or not 2 <= len(path) <= MOST_PLACES:
            shape = " by ".join(map(str, path.shape)) or "one number"
            raise ActionError(
                f"a path goes through 2 to {MOST_PLACES} places, x and y each, but here is {shape}",
                "draw it anew",
                plan=self.joint,
            )
        off = off_paper(path)
        if off:
            raise ActionError(
                f"{path[off[0], 0]:g}, {path[off[0], 1]:g} is not on the paper",
                f"keep x and y within {LARGEST:g} mm",
                plan=self.joint,
                spot=off[0] + 1,
            )
        path = path.round(3)    # as a file holds it: what goes nowhere there must not seem to go somewhere here
        if (path == path[0]).all():
            raise ActionError(
                "its path stays in one place", "draw a line that goes somewhere", plan=self.joint
            )
        shares = (chart >= 0) & (chart <= 1)
        if chart.ndim != 1 or not shares.all():
            number = int(np.argmin(shares)) + 1 if chart.ndim == 1 else 1
            raise ActionError(
                "its chart has no share of the path there",
                "give a share of the path from 0 to 1",
                plan=self.joint,
                drawing=number,
            )
        falls = np.flatnonzero(chart[1:] < chart[:-1])
        if len(falls):
            number = int(falls[0]) + 2
            raise ActionError(
                f"{chart[number - 1]:g} of the path after {chart[number - 2]:g}",
                "a chart never falls, so give at least what the drawing before has",
                plan=self.joint,
                drawing=number,
            )
        for name, value in (("path", path), ("chart", chart)):
            value.setflags(write=False)
            object.__setattr__(self, name, value)


@dataclass(frozen=True, eq=False)
class Step:
    """One step of a lecture: a limb as it was on one drawing, the joint it is about, and what was said.

    Attributes
    ----------
    drawing : int
        From 1.
    limb, joint : str
    points : ndarray, shape (joints, 2)
        mm, of that limb on that drawing.
    says : str
    """

    drawing: int
    limb: str
    joint: str
    points: np.ndarray
    says: str = ""

    def __post_init__(self):
        if len(self.says) > MOST_LETTERS:
            raise ActionError(
                f"what is said has {len(self.says)} letters",
                f"keep it to {MOST_LETTERS}, or make two steps of it",
            )
        if not is_whole(self.says):
            raise ActionError("what is said holds half a character (a lone surrogate)", "type it again")
        points = np.array(self.points, float)
        points.setflags(write=False)
        object.__setattr__(self, "points", points)


def off_paper(array):
    """Index of the first entry of an array that is no number of mm on a sheet, or an empty tuple."""
    good = np.abs(array) <= LARGEST  # false for NaN too
    return () if good.all() else tuple(int(i) for i in np.argwhere(~good)[0])


def is_whole(text):
    """Whether a text can be written as UTF-8: it holds no lone surrogate."""
    if text.isascii():
        return True
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True
