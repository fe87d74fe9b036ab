"""A still picture of the light table, for where no kernel and no browser draws it.

A page made of a notebook shows this in place of the table. Same action, same picture.
"""

from functools import lru_cache
from xml.sax.saxutils import escape

import numpy as np

from ..geometry.beziers import path_pieces
from ..model.printable import cut, visible
from ..pictures import palette
from ..pictures.palette import INK, LIGHT, MID, PAPER
from ..pictures.skin import RECIPE, Stroke, drawn, neighbour, page_of
from .desk import EXPOSED

WIDE = 594    # units across the picture: half a millimetre each on A4
MOST = 80     # letters of a title that find room across it
DOT = 1.3     # mm, radius of a dot on the path of action
REACH = 2     # neighbours on each side
FINE = 10     # steps to a mm in which shapes are written


def svg(action, number=1, neighbours=REACH):
    """The drawing under work, neighbours each side, and the path of each limb's end joint.

    Parameters
    ----------
    action : Action
    number : int
        Of the drawing under work, from 1.
    neighbours : int
        How many show through on each side; with none the figure is in clean line.

    Returns
    -------
    str
        SVG 1.1, every paper as wide. Paper more than four times as long as wide lies in the corner of a sheet
        that holds words.
    """
    page = page_of(action.paper)
    scale = WIDE / page[0]
    width, height = (scale * side for side in page)
    paper = [scale * side for side in action.paper]
    number = min(max(number, 1), action.count)
    title, exposed = _titled(action)
    lines = [
        (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:g} {height:g}" width="{width:g}" '
            f'role="img" aria-label="{_attribute(label(action, number))}" '
            'font-family="sans-serif" fill="none" stroke-linecap="round" stroke-linejoin="round">'
        ),
        f'<rect width="{paper[0]:g}" height="{paper[1]:g}" fill="{PAPER}" stroke="{LIGHT}"/>',
    ]
    lines.append(f'<g transform="translate(0 {paper[1]:g}) scale({scale:g} -{scale:g})">')
    pencil = min(page) / 210  # the page shows every paper as wide
    figure = drawn(action, number - 1, pencil, construction=neighbours > 0)
    bones = next((i for i, layer in enumerate(figure) if isinstance(layer, Stroke)), len(figure))
    lines += map(_painted, figure[:bones])
    for limb in action.limbs:
        ends = limb.drawings[:, -1]
        lines.append(_path(ends, action.loop, pencil))
        look = f'r="{DOT * pencil:.3g}" fill="{PAPER}" stroke="{INK}" stroke-width="{0.5 * pencil:.3g}"'
        lines += [f'<circle cx="{x:.6g}" cy="{y:.6g}" {look}/>' for x, y in ends.tolist()]
    for far in range(neighbours, 0, -1):
        for side, d in (("before", number - 1 - far), ("after", number - 1 + far)):
            if action.loop or 0 <= d < action.count:
                lines += map(_painted, neighbour(action, d % action.count, side, far, pencil))
    lines += map(_painted, figure[bones:])
    lines.append("</g>")
    lines += [
        (
            f'<text x="18" y="36" font-size="27" font-weight="bold" fill="{INK}">{number}'
            f'<tspan font-size="12" font-weight="normal" fill="{MID}"> of {action.count}</tspan></text>'
        ),
        f'<text x="18" y="56" font-size="12" fill="{MID}">{escape(title)}, {exposed}</text>',
        "</svg>",
    ]
    return "\n".join(lines) + "\n"


def label(action, number=1):
    """The picture in words."""
    title, exposed = _titled(action)
    return f"Light table, {title}: drawing {min(max(number, 1), action.count)} of {action.count}, {exposed}"


def _titled(action):
    return cut(visible(action.title), MOST) or "an action", EXPOSED.get(action.exposure, "at its exposure")


def _path(places, loop, pencil):
    pieces = path_pieces(places, loop)
    if not len(pieces):
        return ""
    (x, y), *_ = pieces[0].tolist()
    d = f"M{x:.6g},{y:.6g}" + "".join("C" + _pairs(handles) for _, *handles in pieces.tolist())
    return f'<path d="{d}" stroke="{LIGHT}" stroke-width="{RECIPE["path"] * pencil:.3g}"/>'


def _painted(layer):
    """What the recipe gives, as SVG, in steps of which FINE are a mm."""
    colour = getattr(palette, layer.tone.upper())
    if isinstance(layer, Stroke):
        dash = f' stroke-dasharray="{" ".join(f"{FINE * part:.3g}" for part in layer.dash)}"' if layer.dash else ""
        ends = ' stroke-linecap="butt"' if layer.dash and not layer.dots else ""
        (d,), look = _outlines([layer.points]), f'stroke="{colour}" stroke-width="{FINE * layer.width:.3g}"{dash}{ends}'
    else:
        d, look = _filled(layer), f'fill="{colour}"'
    return f'<path d="{d}" {look} transform="scale({1 / FINE:g})"/>'


@lru_cache(maxsize=128)     # the body is the same in many pictures
def _filled(layer):
    return "".join(outline + "z" for outline in _outlines(layer.shapes))


class _Steps(dict):
    """Steps as a path has them one after the other: a sign parts them as well as a blank."""

    def __missing__(self, step):
        return f" {step}" if step >= 0 else str(step)


_STEPS = _Steps((step, _Steps()[step]) for step in range(-500, 501))    # hardly one is longer


def _outlines(lines):
    """Lines from place to place in whole steps: a page keeps many of them."""
    places = np.rint(np.concatenate(lines) * FINE).astype(int)
    steps = places[1:] - places[:-1]
    moves = steps.any(axis=1)
    end = 0
    for line in lines:
        begin, end = end, end + len(line)
        x, y = places[begin].tolist()
        some = slice(begin, end - 1)
        told = steps[some][moves[some]].ravel().tolist() or (0, 0)
        yield f"M{x} {y}l" + "".join(map(_STEPS.__getitem__, told)).lstrip()


def _pairs(points):
    return " ".join(f"{x:.5g},{y:.5g}" for x, y in points)


def _attribute(text):
    return escape(text, {'"': "&quot;"})
