"""One picture in mm: itself, its bytes, and what is put on it."""

import io
from unicodedata import category

import numpy as np
from matplotlib import rc_context
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.font_manager import FontProperties, findfont, get_font
from matplotlib.lines import Line2D
from matplotlib.patches import PathPatch
from matplotlib.path import Path
from matplotlib.textpath import text_to_path
from matplotlib.transforms import Bbox

from ..model.action import ActionError
from ..model.printable import STAND_IN, cut, visible
from . import palette
from .palette import INK, PAPER
from .skin import Fill, drawn

POINT = 72 / 25.4  # points in a mm
MOST_PIXELS = 2_000  # along the longer side of a bitmap
IN_A_PAGE = 900    # along the longer side in a notebook, and at most so many a mm:
IN_A_MM = 4        # a small picture with its words must fit on a screen
IN_A_WINDOW = 480  # high, of a part of a sheet: it is read as a whole in a low window
LEAST = 1.0        # mm of the longer side: what is smaller has no letter that can be put into a bitmap
THINNEST = 1 / 3   # of its true size: a drawing shown smaller keeps the lines it has then
MOST = 34          # letters of a name beside a dot, or of who drew it
LONGEST = 200      # letters in one line of any picture
GROWS = 1.06       # times its width is what a line of type may take in a picture of few points


class Picture(Figure):
    """A matplotlib Figure of one sheet, in mm, that a notebook shows without any set-up.

    `shown` is the part of the sheet that a notebook shows, (left, bottom, right, top) in mm; what is saved is
    the whole.
    """

    def __init__(self, width, height, says, ground=PAPER):
        super().__init__(figsize=(width / 25.4, height / 25.4), facecolor=ground)
        FigureCanvasAgg(self)
        self.says = visible(says)
        self.width, self.height = width, height
        self.shown = (0.0, 0.0, width, height)

    def __repr__(self):
        return self.says

    __str__ = __repr__

    def _repr_png_(self):
        left, bottom, right, top = self.shown
        a_mm = min(IN_A_MM, IN_A_PAGE / max(right - left, top - bottom))
        if self.shown != (0.0, 0.0, self.width, self.height):
            a_mm = min(a_mm, IN_A_WINDOW / (top - bottom))
        return _bytes(self, "png", {"Software": None}, dpi=a_mm * 25.4,
                      bbox_inches=Bbox(np.array([[left, bottom], [right, top]]) / 25.4))


# ---- saving ----------------------------------------------------------------------


def png(picture, pixels=MOST_PIXELS):
    """Bytes of a PNG, `pixels` along the longer side."""
    return _bytes(picture, "png", {"Software": None}, dpi=pixels * 25.4 / max(picture.width, picture.height))


def svg(picture):
    """Bytes of an SVG, its letters as outlines, so that it looks the same everywhere."""
    return _bytes(picture, "svg", {"Date": None, "Creator": "anim_lessons", "Title": picture.says})


def pdf(pictures):
    """Bytes of a PDF, a page a picture, each of the picture's own size; `pictures` may be any iterable."""
    from matplotlib.backends.backend_pdf import PdfPages

    data = io.BytesIO()
    told = {"Creator": "anim_lessons", "Producer": "anim_lessons", "CreationDate": None}
    with rc_context({"pdf.fonttype": 42}), PdfPages(data, metadata=told) as pages:
        for picture in pictures:
            pages.savefig(picture, facecolor=picture.get_facecolor())
    return data.getvalue()


def _bytes(picture, form, told, **options):
    if form == "png" and max(picture.width, picture.height) < LEAST:
        raise ActionError(f"the paper is {picture.width:g} x {picture.height:g} mm, too small for a picture of "
                          f"points; give it {LEAST:g} mm or more, or choose .svg")
    data = io.BytesIO()
    with rc_context({"svg.hashsalt": "anim_lessons"}):
        picture.savefig(data, format=form, metadata=told, facecolor=picture.get_facecolor(), **options)
    return data.getvalue()


# ---- parts -----------------------------------------------------------------------


def sheet(picture):
    """Axes over the whole picture, in mm."""
    axes = picture.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, picture.width)
    axes.set_ylim(0, picture.height)
    axes.axis("off")
    return axes


def text(axes, x, y, says, size, color=INK, room=None, **more):
    """One line of type, `size` points high; cut where it is longer than `room` mm."""
    says = fitting(says, size, room, more.get("weight", "normal"))
    return axes.text(x, y, says, fontsize=size, color=color, parse_math=False, **more)


def fitting(says, size, room=None, weight="normal"):
    """A text as it may be put into a picture: nothing unseen in it, in letters that the font has, within `room` mm."""
    says = cut(_drawable(visible(says), weight), LONGEST)
    if room is None or wide(says, size, weight) <= room:
        return says
    room /= GROWS
    few, many = 0, len(says)  # letters that fit, and that do not
    while many - few > 1:
        middle = (few + many) // 2
        few, many = (middle, many) if wide(cut(says, middle), size, weight) <= room else (few, middle)
    return cut(says, few) if few else ""


def wide(says, size, weight="normal"):
    """How wide a line of type is, mm."""
    return text_to_path.get_text_width_height_descent(says, FontProperties(weight=weight, size=size), False)[0] / POINT


def _drawable(says, weight):
    """What the font has no letter for becomes a stand-in; of what is not seen anyway nothing is left."""
    if says.isascii():
        return says
    font = get_font(findfont(FontProperties(weight=weight)))
    return "".join(c if font.get_char_index(ord(c)) else "" if category(c) == "Cf" or "\ufe00" <= c <= "\ufe0f"
                   else STAND_IN for c in says)


def named(name):
    """A name beside a dot."""
    return cut(visible(name), MOST)


def put(axes, layers, place, ground, scale=1.0, clip=None):
    """Paint what the recipe gives; `place` takes its mm to the sheet, `scale` is how large they then are.

    Lines lie above all shapes: neighbouring drawings are lines, and are seen through the drawing on top.
    """
    order = 1
    for layer in layers:
        colour = ground if layer.tone == "paper" else getattr(palette, layer.tone.upper())
        if isinstance(layer, Fill):
            parts = [Path(np.vstack([shape, shape[:1]]), closed=True) for shape in layer.shapes]
            art = PathPatch(Path.make_compound_path(*parts), facecolor=colour, edgecolor="none",
                            transform=place, zorder=order)
        else:
            order = 2  # of lines: what follows lies on top of them
            dashes = (0, tuple(part / layer.width for part in layer.dash)) if layer.dash else "-"
            art = Line2D(*layer.points.T, color=colour, linewidth=layer.width * scale * POINT,
                         linestyle=dashes, dash_capstyle="round" if layer.dots else "butt",
                         solid_joinstyle="round", solid_capstyle="round" if layer.round else "projecting", transform=place)
        axes.add_artist(art)    # the axes keep their limits: `add_patch` would look for those of every curve
        if clip is not None:
            art.set_clip_path(clip)


def put_drawing(axes, action, number, place, ground, scale=1.0, clip=None, construction=False):
    """A drawing as it lies on top; its lines shrink with it, down to a third."""
    pencil = max(1.0, THINNEST / scale)
    put(axes, drawn(action, number - 1, pencil, construction), place, ground, scale, clip)


class Labels:
    """Puts numbers beside their dots, outward where there is room; one that finds none is left out.

    What was told to `keep` stays clear of them: dots, each of which has its own number nearest, and lines as long as there is room.
    """

    def __init__(self, axes, unit, width, height):
        self.axes, self.unit, self.width, self.height = axes, unit, width, height
        self.taken = []
        self.dots, self.lines = np.empty((0, 2)), np.empty((0, 2))

    def keep(self, dots, line):
        """Dots, and places close together along a line, (n, 2) mm each."""
        self.dots, self.lines = np.concatenate([self.dots, dots]), np.concatenate([self.lines, line])

    def put(self, says, point, away, size=9, bold=False, ring=True, clear=0.0):
        """`away` is the way outward; `clear` mm about the point are kept free."""
        says = str(says)
        high = 0.36 * size * self.unit  # mm of a line of type
        wide = 0.62 * high * len(says) + 0.4 * high
        start = np.arctan2(away[1], away[0])
        turns = (0, 0.5, -0.5, 1.0, -1.0, *((1.6, -1.6, 2.4, -2.4, np.pi) if len(self.dots) else ()))
        places = [point + (clear + far * high + wide / 2 - high / 2) * np.array([np.cos(start + turn), np.sin(start + turn)])
                  for far in self._far(says) for turn in turns]
        free = [place for place in places if self._is_free(says, place, wide, high, point)]
        off_lines = (place for place in free if not self._lies_on(self.lines, place, wide, high))
        place = next(off_lines, free[0] if free else None)
        if place is None:
            return
        x, y = place
        self.taken.append((x, wide, y))
        box = {"boxstyle": "round,pad=0.25,rounding_size=0.6", "edgecolor": INK,
               "facecolor": INK if bold else PAPER, "linewidth": 0.3 * POINT} if ring else None
        text(self.axes, x, y, says, size * self.unit, color=PAPER if bold else INK, ha="center",
             va="center_baseline", bbox=box, zorder=5)

    def _far(self, says):
        """How far from its point a label may stand, heights: a number beside other dots not far, a name farther."""
        if not len(self.dots):
            return 1.5, 2.4, 3.4
        return (1.1, 1.5, 2.4) if says.isdigit() else (1.1, 1.5, 2.4, 3.4, 4.6, 6.0)

    def _is_free(self, says, place, wide, high, point):
        x, y = place
        inside = wide < x < self.width - wide and high < y < self.height - high
        if not inside or any(abs(x - a) <= (wide + b) / 2 + 0.3 * high and abs(y - c) <= high * 1.25 for a, b, c in self.taken):
            return False
        own = np.hypot(*(point - place))
        nearest = not says.isdigit() or (np.hypot(*(self.dots - place).T) > own - 1e-6).all()
        return nearest and not self._lies_on(self.dots, place, wide + 2.4 * self.unit, high + 2.4 * self.unit)

    @staticmethod
    def _lies_on(points, place, wide, high):
        """Whether a label there lies on one of the points."""
        return bool(len(points)) and bool((np.abs(points - place) < [0.5 * wide, 0.5 * high]).all(axis=1).any())


def called(action):
    return action.title or "an untitled action"
