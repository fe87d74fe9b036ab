"""Where marks and drawings lie on a page: mm from its lower left corner, y up."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from ..model.action import ActionError
from .stamp import LAYOUTS

# ISO 216 (A4, A3); letter as of ISO/IEC and ANSI practice, 8.5 by 11 inches. From memory. Upright, mm.
PAGES = {"a4": (210.0, 297.0), "a3": (297.0, 420.0), "letter": (215.9, 279.4)}
ARRANGED = (
    "true",
    "fitted",
    "2",
    "4",
    "6",
    "9",
)  # drawings on a page; one in its true size, one made to fit, or several
MARK = 10.0  # mm, side of a mark
EDGE = 6.0  # mm from a mark to the edge: no printer prints up to it
BAND = 18.0  # mm from the edge that marks and words take
GRID = 20.0  # mm between the pale dots by which a curled page is made flat
GAP = 4.0  # mm between drawings
TITLE = 6.0  # mm over each of several drawings, for its number
LYING = (
    (0.0, 0.2, 0.8, 1.0),
    (1 / 3, 2 / 3),
)  # where marks stand along the upper side and between the corners of the right one:
UPRIGHT = (0.0, 1.0), (0.2, 0.4, 0.6, 0.8)  # number and bar have room in the middle


@dataclass(frozen=True)
class Field:
    """Where the sheet of a drawing lies on the page: its lower left corner, mm, and its scale."""

    left: float
    bottom: float
    scale: float

    def to_page(self, points):
        """Places of a drawing, mm, as places of the page, shape (..., 2)."""
        return np.asarray(points, float) * self.scale + (self.left, self.bottom)

    def to_drawing(self, points):
        return (np.asarray(points, float) - (self.left, self.bottom)) / self.scale


@dataclass(frozen=True)
class Layout:
    """A page of a certain size, and how drawings are arranged on it.

    Attributes
    ----------
    page : str
        Of PAGES.
    wide : bool
        Lying, not upright.
    arranged : str
        Of ARRANGED.
    """

    page: str
    wide: bool
    arranged: str

    @property
    def code(self):
        """Its number in a stamp."""
        return (list(PAGES).index(self.page) * 2 + self.wide) * 8 + ARRANGED.index(self.arranged)

    @cached_property
    def size(self):
        width, height = PAGES[self.page]
        return (height, width) if self.wide else (width, height)

    @property
    def each(self):
        """Drawings on a page."""
        return 1 if self.arranged in ("true", "fitted") else int(self.arranged)

    @cached_property
    def centres(self):
        """Centres of the marks, shape (MARKS, 2): clockwise from the upper left."""
        width, height = self.size
        inset = EDGE + MARK / 2
        left, bottom, right, top = inset, inset, width - inset, height - inset
        along, down = LYING if self.wide else UPRIGHT
        x = [left + (right - left) * share for share in along]
        y = [top + (bottom - top) * share for share in down]
        return np.array(
            [(a, top) for a in x]
            + [(right, b) for b in y]
            + [(a, bottom) for a in x[::-1]]
            + [(left, b) for b in y[::-1]]
        )

    @cached_property
    def corners(self):
        """Corners of the marks, shape (MARKS, 4, 2): clockwise from the upper left of each."""
        half = MARK / 2
        return self.centres[:, None] + np.array([(-half, half), (half, half), (half, -half), (-half, -half)])

    @cached_property
    def inside(self):
        """What is free of marks and words: left, bottom, right, top."""
        width, height = self.size
        return BAND, BAND, width - BAND, height - BAND

    @cached_property
    def grid(self):
        """Centres of the pale dots, shape (dots, 2)."""
        left, bottom, right, top = self.inside
        x, y = (
            low + ((high - low) % GRID) / 2 + GRID * np.arange(int((high - low) // GRID) + 1)
            for low, high in ((left, right), (bottom, top))
        )
        return np.stack(np.meshgrid(x, y), axis=-1).reshape(-1, 2)

    def fields(self, paper):
        """The Field of each drawing on the page, first to last, for drawings on such a paper (width, height)."""
        width, height = self.size
        if self.arranged == "true":
            return [Field((width - paper[0]) / 2, (height - paper[1]) / 2, 1.0)]
        left, bottom, right, top = self.inside
        across, down = right - left, top - bottom
        columns, rows = _grid(self.each, across, down, paper)
        gap, title = (0.0, 0.0) if self.each == 1 else (GAP, TITLE)
        cell = (across - gap * (columns - 1)) / columns, (down - gap * (rows - 1)) / rows
        scale = min(cell[0] / paper[0], (cell[1] - title) / paper[1])
        made = []
        for n in range(self.each):
            row, column = divmod(n, columns)
            x = left + column * (cell[0] + gap) + (cell[0] - scale * paper[0]) / 2
            y = top - row * (cell[1] + gap) - title - (cell[1] - title + scale * paper[1]) / 2
            made.append(Field(x, y, scale))
        return made


def _grid(each, across, down, paper):
    """Columns and rows that show drawings largest."""
    shapes = [(columns, -(-each // columns)) for columns in range(1, each + 1)]
    return max(shapes, key=lambda shape: min(across / shape[0] / paper[0], (down / shape[1] - TITLE) / paper[1]))


def layout_for(action, page="a4", each=1):
    """How an action's drawings are laid on pages: one in its true size where it has room between the marks, else
    fitted.

    Raises
    ------
    ActionError
        Where there is no such page, or so many drawings are not laid on one.
    """
    if page not in PAGES:
        raise ActionError(f'there is no page "{page}"; there is {", ".join(PAGES)}')
    severals = [int(name) for name in ARRANGED[2:]]
    if each != 1 and each not in severals:
        raise ActionError(f"{each} drawings are not laid on one page; choose 1, {', '.join(map(str, severals))}")
    wide = action.paper[0] >= action.paper[1]
    if each == 2:
        wide = not wide
    if each > 1:
        return Layout(page, wide, str(each))
    true = Layout(page, wide, "true")
    if any(have > room + 0.5 for have, room in zip(action.paper, true.size)):
        return Layout(page, wide, "fitted")
    left, bottom, right, top = true.inside
    field = true.fields(action.paper)[0]
    on = np.concatenate([field.to_page(limb.drawings).reshape(-1, 2) for limb in action.limbs])
    free = (on >= (left, bottom)).all() and (on <= (right, top)).all()
    return true if free else Layout(page, wide, "fitted")


def layout_of(code):
    """The Layout of a number in a stamp, or None."""
    if not 0 <= code < LAYOUTS or code % 8 >= len(ARRANGED):
        return None
    page, wide = divmod(code // 8, 2)
    return Layout(list(PAGES)[page], bool(wide), ARRANGED[code % 8])
