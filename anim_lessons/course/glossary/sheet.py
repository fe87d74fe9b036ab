"""A small moving picture: drawings on one sheet, shown one after the other, as SVG.

Each drawing is a group that the style shows in its turn. A browser that is asked for less motion shows one
of them, and so does whatever plays no styles. At most four drawings follow each other in a second, so that no
place on the sheet can go dark and light again more than twice in a second: WCAG 2.2, success criterion 2.3.1,
allows three.
"""

import re
from dataclasses import dataclass
from urllib.parse import quote

import numpy as np

from ...geometry.beziers import path_pieces
from ...pictures.palette import INK, LIGHT, MID, PAPER
from ...pictures.skin import RECIPE

WIDE, HIGH, MARGIN = 480, 300, 30  # steps, the picture's own unit: half a pixel where it is shown
PENCIL = 4  # steps to a mm of the pencil's lines on a sheet
HELD = 0.25  # seconds, the least that a drawing is shown
# Neighbouring drawings look like those two drawings away on a sheet: there is little room.
(_plain, _before), (_dot, _after), (_, _under) = RECIPE["before"][1], RECIPE["after"][1], RECIPE["under"]


def _dashed(dash):
    return "stroke-dasharray:" + " ".join(f"{PENCIL * part:g}" for part in dash)


# Class, colour and width of a line, steps.
WEIGHTS = {
    "faint": ("a", LIGHT, PENCIL * RECIPE["path"]),
    "plain": ("b", MID, PENCIL * _plain),
    "heavy": ("c", INK, PENCIL * RECIPE["contour"]),
}
BEFORE, AFTER, UNDER = "before", "after", "under"  # neighbours in dashes and dots; fine dashes to be traced
# Class of a dash, and its style.
DASHES = {
    BEFORE: ("u", f"stroke-linecap:butt;{_dashed(_before)}"),
    AFTER: ("v", f"stroke-width:{PENCIL * _dot:g};{_dashed(_after)}"),
    UNDER: ("w", f"stroke-linecap:butt;{_dashed(_under)}"),
}


@dataclass(frozen=True)
class Mark:
    """One pencil mark: `points` in mm, y up, shape (n, 2).

    `kind` is "line", "limb" (a line with its joints), "path" (a path of action), "loop" (one that closes),
    "leaf" (a closed line that hides what lies below), "dots", "rings" or "word"; `weight` is one of WEIGHTS,
    `dash` of DASHES or empty.
    """

    kind: str
    points: object
    weight: str = "plain"
    dash: str = ""
    text: str = ""


def line(*points, weight="plain", dash=""):
    return Mark("line", np.array(points, float), weight, dash)


def limb(points, weight="heavy", dash=""):
    return Mark("limb", np.asarray(points, float), weight, dash)


def path(points, weight="plain"):
    return Mark("path", np.asarray(points, float), weight)


def loop(points, weight="faint"):
    return Mark("loop", np.asarray(points, float), weight)


def leaf(left, bottom, wide, high, lean=0.0, weight="faint"):
    """A sheet of paper, or a pane; `lean` shifts its upper edge aside."""
    right, top = left + wide, bottom + high
    corners = [(left, bottom), (right, bottom), (right + lean, top), (left + lean, top)]
    return Mark("leaf", np.array(corners, float), weight)


def dots(points, weight="plain"):
    return Mark("dots", np.atleast_2d(np.asarray(points, float)), weight)


def rings(points, weight="heavy"):
    return Mark("rings", np.atleast_2d(np.asarray(points, float)), weight)


def word(x, y, text):
    return Mark("word", np.array([[x, y]], float), text=str(text))


@dataclass(frozen=True)
class Frame:
    """What is shown for so many times HELD; what `stays` is shown until the picture begins again, and may
    take no time itself."""

    marks: tuple
    held: int = 1
    stays: bool = False


@dataclass(frozen=True)
class Picture:
    """`under` lies still, below; of the frames the one at `still`, from 0, is shown where nothing moves."""

    frames: tuple
    under: tuple = ()
    still: int = 0

    def spans(self):
        """When each frame is shown: pairs of begin and end, in times HELD."""
        ends = np.cumsum([frame.held for frame in self.frames]).tolist()
        return [(end - frame.held, ends[-1] if frame.stays else end) for frame, end in zip(self.frames, ends)]

    def svg(self):
        """The picture as the text of an SVG file."""
        place, spans = self._placing(), self.spans()
        seen = spans[self.still][0]
        moving = []
        for frame, (begin, end) in zip(self.frames, spans):
            names = f"f k{end - begin}" + (" s" if begin <= seen < end else "")
            later = f" style='--d:{begin}'" if begin else ""
            moving.append(f"<g class='{names}'{later}>{_drawn(frame.marks, place)}</g>")
        drawn = f"<path class='p' d='M0 0H{WIDE}V{HIGH}H0z'/>{_drawn(self.under, place)}{''.join(moving)}"
        rules = "".join(text for text in _pencils()
                        if text[0] != "." or re.search(rf"class='[^']*\b{text[1]}\b", drawn))
        return (f"<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 {WIDE} {HIGH}'>"
                f"<style>{rules}{_played(spans)}</style>{_joints(drawn)}{drawn}</svg>")

    def address(self):
        """The picture within its own address, for a page that fetches nothing."""
        return "data:image/svg+xml," + quote(self.svg(), safe=" <>=/'();,{}@!*+.-_")

    def _placing(self):
        """What takes mm to the picture's steps: all marks in its middle, as large as it allows."""
        shown = (self.under, *(frame.marks for frame in self.frames))
        points = np.concatenate([mark.points for marks in shown for mark in marks])
        low, high = points.min(axis=0), points.max(axis=0)
        room = np.array([WIDE, HIGH]) - 2 * MARGIN
        scale = float((room / np.maximum(high - low, 1e-9)).min())
        corner = np.array([WIDE, HIGH]) / 2 - scale * np.array([1, -1]) * (low + high) / 2
        return lambda points: points * [scale, -scale] + corner


def _pencils():
    """The style of each class, and first of what is in every picture."""
    yield "path{fill:none;stroke-linecap:round;stroke-linejoin:round}"
    yield f"text{{font:22px sans-serif;text-anchor:middle;fill:{INK}}}"
    for name, grey, wide in WEIGHTS.values():
        yield (f".{name}{{stroke:{grey};stroke-width:{wide:g}}}.{name}.d{{stroke-width:{wide + 6:g}}}"
               f".{name}.l{{marker:url(#{name})}}")
    for name, style in DASHES.values():
        yield f".{name}{{{style}}}"
    yield f".o{{stroke:{PAPER};stroke-width:6}}"
    yield f".p{{fill:{PAPER}}}"


def _played(spans):
    """The style that shows each frame in its turn: each is seen from 0 % of its own course, begun later."""
    total = spans[-1][1]
    keys = "".join(f".k{held}{{animation-name:k{held}}}"
                   f"@keyframes k{held}{{0%{{opacity:1}}{_share(held, total)}%{{opacity:0}}}}"
                   for held in sorted({end - begin for begin, end in spans}))
    return (".f{opacity:0}.s{opacity:1}@media(prefers-reduced-motion:no-preference){"
            f".f{{opacity:0;animation:{HELD * total:g}s step-end calc(var(--d,0)*{HELD:g}s) infinite}}"
            f"{keys}}}")


def _share(held, total):
    return f"{100 * held / total:.2f}".rstrip("0").rstrip(".")


def _joints(drawn):
    """How the joints of a limb are drawn, for each weight in which there is one."""
    return "".join(f"<marker id='{name}' overflow='visible' markerUnits='userSpaceOnUse'>"
                   f"<circle r='{2 + wide:g}' fill='{PAPER}' stroke='{grey}' "
                   f"stroke-width='{max(2, wide - 1):g}'/></marker>"
                   for name, grey, wide in WEIGHTS.values() if f"'{name} l" in drawn)


def _drawn(marks, place):
    return "".join(_mark(mark, place) for mark in marks)


def _mark(mark, place):
    name, *_ = WEIGHTS[mark.weight]
    if mark.kind in ("path", "loop"):
        return _curve(name, place(path_pieces(mark.points, mark.kind == "loop")))
    points = np.rint(place(mark.points)).astype(int).tolist()
    if mark.kind == "word":
        (x, y), = points
        return f"<text x='{x}' y='{y + 8}'>{mark.text}</text>"
    if mark.kind in ("dots", "rings"):
        # A dot is a line of no length with round ends.
        at = "".join(f"M{x} {y}h0" for x, y in points)
        hollow = f"<path class='o' d='{at}'/>" if mark.kind == "rings" else ""
        return f"<path class='{name} d' d='{at}'/>{hollow}"
    (x, y), *rest = points
    steps = [f"{b[0] - a[0]} {b[1] - a[1]}" for a, b in zip(points, rest)]
    kind = {"limb": " l", "leaf": " p"}.get(mark.kind, "") + (f" {DASHES[mark.dash][0]}" if mark.dash else "")
    end = "z" if mark.kind == "leaf" else ""
    return f"<path class='{name}{kind}' d='M{x} {y}l{' '.join(steps).replace(' -', '-')}{end}'/>"


def _curve(name, pieces):
    """A tenth of a step is kept: the curve lies within 0.1 mm of the path of action."""
    points = np.concatenate([pieces[:1, 0], pieces[:, 1:].reshape(-1, 2)])
    first, *rest = (f"{x:.1f} {y:.1f}".replace(".0", "") for x, y in points)
    return f"<path class='{name}' d='M{first}C{' '.join(rest)}'/>"
