"""What is printed round the drawings of a page: marks, number, bar of 100 mm; and the pale dots under them."""

import numpy as np
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path

from ..pictures.palette import INK, MID
from ..pictures.picture import POINT, Picture, sheet, text
from . import extra, stamp
from .layout import BAND, MARK

BLUE = "#94d4f2"  # seen by red light, gone by blue
WHITE = "#ffffff"
BAR = 100.0  # mm
DOT = 0.7  # mm, radius of a pale dot
HAIR = 0.01  # mm


def page(layout, says):
    """An empty page, and its axes in mm."""
    picture = Picture(*layout.size, says, WHITE)
    return picture, sheet(picture)


def put_marks(axes, layout, told):
    """The twelve marks of a stamp."""
    cv2 = extra.load("cv2")
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    side, shapes = MARK / 8, []
    for mark, (x, y) in zip(stamp.ids(told), layout.centres):
        dark = cv2.aruco.generateImageMarker(dictionary, mark, 8) == 0  # 6 by 6 squares and a border of one
        for row in range(8):
            # Squares side by side are one, and rows overlap by a hair: a seam between two would be seen.
            edges = np.flatnonzero(np.diff(np.concatenate([[0], dark[row], [0]]).astype(int)))
            high = y + MARK / 2 - row * side
            low = high - side - (HAIR if row < 7 else 0.0)
            for a, b in edges.reshape(-1, 2):
                shapes.append(_box(x - MARK / 2 + a * side, low, x - MARK / 2 + b * side, high))
    axes.add_artist(
        PathPatch(Path.make_compound_path(*shapes), facecolor="black", edgecolor="none", snap=False, label="marks")
    )


def _box(left, bottom, right, top):
    return Path([(left, bottom), (right, bottom), (right, top), (left, top), (left, bottom)], closed=True)


def put_grid(axes, layout):
    dots = [Path.circle(centre, DOT) for centre in layout.grid]
    axes.add_artist(PathPatch(Path.make_compound_path(*dots), facecolor=BLUE, edgecolor="none", label="grid"))


def put_bar(axes, layout):
    """A bar of 100 mm in the lower border, to be measured."""
    middle, y = layout.size[0] / 2, BAND - 8.5
    left = middle - BAR / 2
    for k in range(11):
        high = 2.4 if k % 5 == 0 else 1.4
        axes.plot(
            [left + 10 * k] * 2, [y, y + high], color=INK, linewidth=0.3 * POINT, solid_capstyle="butt", label="tick"
        )
    axes.plot([left, left + BAR], [y, y], color=INK, linewidth=0.3 * POINT, solid_capstyle="butt", label="bar")
    text(
        axes,
        middle,
        y - 3.6,
        "100 mm. Measure it. If it is shorter, print again at 100 %, not fitted to the page.",
        6.5,
        color=MID,
        ha="center",
    )


def put_number(axes, layout, number, says):
    """The number of a drawing in the upper border, and what it belongs to."""
    width, height = layout.size
    left = layout.centres[1][0] + MARK if layout.wide else BAND + 4
    room = (layout.centres[2][0] if layout.wide else width - BAND) - MARK - left
    y = height - BAND + 4.5
    if number:
        text(axes, left, y, number, 22, weight="bold")
        left, room = left + 6 + 5 * len(number), room - 6 - 5 * len(number)
    text(axes, left, y, says, 9, color=MID, room=room)


def frame(axes, field, paper):
    """The edge of a drawing that lies smaller on the page."""
    axes.add_artist(
        Rectangle(
            (field.left, field.bottom),
            field.scale * paper[0],
            field.scale * paper[1],
            facecolor="none",
            edgecolor=BLUE,
            linewidth=0.35 * POINT,
            label="frame",
        )
    )
