"""Sheets to draw on: one drawing or several a page, over pale blue neighbours, path of action, spacing dots and
timing chart.
"""

import numpy as np
from matplotlib.patches import Circle, PathPatch
from matplotlib.path import Path

from ..assist import plan
from ..geometry.beziers import path_pieces
from ..pictures.charts import halves
from ..pictures.picture import POINT, called, put, text
from ..pictures.skin import RECIPE, Stroke, neighbour
from .border import BLUE, frame, page, put_bar, put_grid, put_marks, put_number
from .layout import layout_for
from .stamp import Stamp, stack_of

PARTS = ("marks", "grid", "bar", "number", "neighbours", "path", "spacing", "chart")  # of a sheet; each may be left out
RESTS = 0.5  # mm: a joint that moves less has no path
FROM_END = 9.0  # mm past the end of a neighbour: its number
HEAD = 16.0  # mm at the top of a drawing, where the sheet's own number stands


def sheet_of(action, layout, numbers, without=()):
    """One page with the drawings of these numbers to be drawn on it; no number makes a planning sheet.

    Parameters
    ----------
    action : Action
    layout : Layout
    numbers : sequence of int
        From 1, one after the other; as many as the layout has room for.
    without : collection of str
        Of PARTS.

    Returns
    -------
    Picture
    """
    numbers = list(numbers)
    said = (
        f"drawing {numbers[0]}"
        if len(numbers) == 1
        else f"drawings {numbers[0]} to {numbers[-1]}"
        if numbers
        else "planning sheet"
    )
    picture, axes = page(layout, f"sheet for {said} of {called(action)}")
    if "grid" not in without:
        put_grid(axes, layout)
    fields = layout.fields(action.paper)
    for n, field in zip(numbers or [0], fields):
        if layout.arranged != "true":
            frame(axes, field, action.paper)
        if n and len(fields) > 1 and "number" not in without:
            text(
                axes,
                field.left,
                field.bottom + field.scale * action.paper[1] + 1.5,
                str(n),
                11,
                weight="bold",
                color=BLUE,
            )
        _put_under(axes, action, n, field, without)
    if "marks" not in without:
        put_marks(axes, layout, Stamp(numbers[0] if numbers else 0, layout.code, stack_of(action)))
    if "bar" not in without:
        put_bar(axes, layout)
    if "number" not in without:
        scale = fields[0].scale
        size = "" if scale == 1 else f", at {100 * scale:.0f} % of its size"
        if numbers:
            told = str(numbers[0]) if len(numbers) == 1 else f"{numbers[0]}–{numbers[-1]}"
            put_number(axes, layout, told, f"of {action.count}  {action.title}{size}. A dot of 3 mm at each joint.")
        else:
            put_number(axes, layout, "", f"planning sheet for {called(action)}: path of action, extremes, timing chart")
    return picture


def _put_under(axes, action, n, field, without):
    """What is drawn over: all of it in blue."""
    if n and "neighbours" not in without:
        for other, side in ((n - 1, "before"), (n + 1, "after")):
            other = (other - 1) % action.count + 1 if action.loop else other
            if 1 <= other <= action.count and other != n:
                lines = [
                    Stroke("mid", field.to_page(line.points), line.width, line.dash, line.dots)
                    for line in neighbour(action, other - 1, side, 1)
                ]
                _in_blue(axes, lines)
                _put_name(axes, action, other, field)
    for limb in action.limbs:
        moves = np.ptp(limb.drawings, axis=0).max(axis=-1) > RESTS
        tip = len(limb.joints) - 1
        # The joint that carries the limb stays where it is: it is drawn from there.
        if not moves[0]:
            axes.add_artist(
                Circle(
                    field.to_page(limb.drawings[0, 0]),
                    RECIPE["ring"] * field.scale,
                    facecolor="none",
                    edgecolor=BLUE,
                    linewidth=0.35 * POINT,
                    label="root",
                )
            )
        planned = limb.planned(limb.joints[tip])
        if planned is None and not (n and moves[tip]):  # a planning sheet is blank, but for what is planned
            continue
        path, dots = (
            (limb.drawings[:, tip],) * 2 if planned is None else (planned.path, plan.dots(planned, action.loop))
        )
        if "path" not in without:
            pieces = path_pieces(field.to_page(path), action.loop)
            curve = Path(
                np.concatenate([pieces[:1, 0], pieces[:, 1:].reshape(-1, 2)]),
                [Path.MOVETO] + [Path.CURVE4] * (3 * len(pieces)),
            )
            axes.add_artist(PathPatch(curve, facecolor="none", edgecolor=BLUE, linewidth=0.35 * POINT, label="path"))
        if "spacing" not in without:
            for k, place in enumerate(field.to_page(dots), start=1):
                axes.add_artist(
                    Circle(
                        place,
                        1.6 if k == n else 0.9,
                        facecolor="none" if k == n else BLUE,
                        edgecolor=BLUE,
                        linewidth=0.35 * POINT,
                        label="spacing",
                    )
                )
    if n and "chart" not in without and field.scale > 0.6:
        _put_chart(axes, action, n, field)


def _put_name(axes, action, number, field):
    """The number of a neighbour, past the end of its first limb."""
    ends = field.to_page(action.limbs[0].drawings[number - 1, -2:])
    along = ends[-1] - ends[0] if len(ends) > 1 else np.array([0.0, 1.0])
    out = FROM_END * along / max(np.hypot(*along), 1e-9)
    beside = np.array([-out[1], out[0]])
    top = field.bottom + field.scale * action.paper[1] - HEAD
    x, y = next((place for place in (ends[-1] + out, ends[-1] + beside, ends[-1] - beside) if place[1] < top), ends[-1] - out)
    text(axes, x, y, str(number), 9, color=BLUE, ha="center", va="center_baseline", label="neighbour's number")


def _put_chart(axes, action, n, field):
    """The timing chart of the first limb's end joint, in the lower right corner; the drawing's own tick is longer."""
    limb = action.limbs[0]
    ways = halves(limb.drawings[:, -1], action.loop)
    right = field.left + field.scale * action.paper[0] - 32
    for x, (way, numbers, along) in zip((right - 18, right), ways):
        top, bottom = field.bottom + 78, field.bottom + 28
        axes.plot([x, x], [bottom, top], color=BLUE, linewidth=0.35 * POINT, label="chart")
        last = None
        for number, share in zip(numbers, along):
            y = top + (bottom - top) * share
            axes.plot(
                [x, x + (6 if number == n else 3.5)],
                [y, y],
                color=BLUE,
                linewidth=(0.8 if number == n else 0.35) * POINT,
            )
            if last is None or last - y > 2.8 or number == numbers[-1]:
                text(axes, x + 7, y, str(number), 7, color=BLUE, va="center_baseline")
                last = y


def _in_blue(axes, lines):
    before = len(axes.lines)
    put(axes, lines, axes.transData, "white")
    for line in axes.lines[before:]:
        line.set_color(BLUE)


def one_sheet(action, number, page="a4", without=()):
    """The sheet for one drawing, from 1, as a Picture.

    Parameters
    ----------
    action : Action
    number : int
    page : str
        "a4", "a3" or "letter".
    without : collection of str
        Of PARTS.
    """
    return sheet_of(action, layout_for(action, page), [number], without)
