"""Timing chart, spacing graph and bend graph."""

import numpy as np
from matplotlib.patches import Circle

from ..geometry.timing import timing_chart as chart_ticks
from ..measures.loops import Measures, extremes
from ..model.action import ActionError
from ..model.words import the
from .palette import INK, LIGHT, MID, PAPER
from .picture import POINT, Picture, called, fitting, sheet, text


def timing_chart(action, limb=None, joint=None, ground=PAPER):
    """Timing chart of one joint: asked for by slow in and slow out left of the line, drawn right of it.

    Parameters
    ----------
    action : Action
    limb, joint : str, optional
        The first limb and its last joint but one (the wrist of an arm) unless given.

    Returns
    -------
    Picture
    """
    limb, j = _joint(action, limb, joint)
    name = limb.joints[j]
    picture = Picture(110, 150, f"timing chart of the {name} in {called(action)}", ground)
    axes = sheet(picture)
    text(axes, 55, 141, f"timing chart, {name}", 11, weight="bold", ha="center", room=104)
    ways = halves(limb.drawings[:, j], action.loop)
    if not ways:
        text(axes, 55, 75, "it rests: there is no way to divide", 9, color=MID, ha="center")
    for x, (way, numbers, along) in zip((38, 82), ways):
        text(axes, x, 133, way, 9, color=MID, ha="center")
        top, bottom = 118.0, 24.0
        axes.plot([x, x], [bottom, top], color=INK, linewidth=0.5 * POINT)
        for asked in chart_ticks(len(numbers) - 2):
            y = top + (bottom - top) * asked
            axes.plot([x - 5, x], [y, y], color=LIGHT, linewidth=0.45 * POINT)
        last = None
        for n, share in zip(numbers, along):
            y = top + (bottom - top) * share
            axes.plot([x, x + 5], [y, y], color=INK, linewidth=0.65 * POINT)
            if n in (numbers[0], numbers[-1]):
                at = x, y + (6.5 if n == numbers[0] else -6.5)
                axes.add_patch(Circle(at, 3.6, facecolor=ground, edgecolor=INK, linewidth=0.4 * POINT))
                text(axes, *at, str(n), 9, ha="center", va="center_baseline")
            elif last is None or last - y > 3.2:  # ticks that stand too close share one number's room
                text(axes, x + 6.5, y, str(n), 9, va="center_baseline")
                last = y
    text(axes, 55, 5, "left of the line: asked by slow in and slow out; right: drawn", 8, color=MID,
         ha="center")
    return picture


def halves(points, loop):
    """The ways between the extremes, and how far along each drawing stands.

    Parameters
    ----------
    points : ndarray, shape (drawings, 2)
        Of one joint, mm.
    loop : bool
        True: out from the first extreme to the second, and back; False: out only.

    Returns
    -------
    list of (name, drawings, along)
        Name "out" or "back", numbers of the drawings from extreme to extreme, and
        their shares of the way, 0 to 1, measured from drawing to drawing. Empty where
        the joint rests.
    """
    first, second = extremes(points)
    count = len(points)
    ways = [("out", range(first, second + 1))]
    if loop:
        ways.append(("back", [(n - 1) % count + 1 for n in range(second, first + count + 1)]))
    found = []
    for name, numbers in ways:
        numbers = list(numbers)
        there = points[np.array(numbers) - 1]
        gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(there, axis=0).T))])
        if first != second and gone[-1] > 0:
            found.append((name, numbers, gone / gone[-1]))
    return found


def spacing_graph(action, limb=None, joint=None, ground=PAPER):
    """How far a joint goes into each drawing, mm."""
    limb, j = _joint(action, limb, joint)
    points = limb.drawings[:, j]
    steps = np.hypot(*(points - np.roll(points, 1, axis=0)).T)
    if not action.loop:
        steps[0] = 0.0
    picture, axes = _graph(f"spacing of {the(limb.joints[j])}, mm from the drawing before", action, ground)
    numbers = np.arange(1, action.count + 1)
    axes.bar(numbers, steps, width=0.62, color=LIGHT)
    if action.count <= 32:
        for n, step in zip(numbers, steps):
            axes.annotate(f"{step:.0f}", (n, step), (0, 3), textcoords="offset points", ha="center",
                          fontsize=8, color=INK)
    axes.set_ylim(0, max(steps.max() * 1.15, 1.0))
    return picture


def bend_graph(action, limb=None, joint=None, ground=PAPER):
    """Bend of one joint in each drawing, degrees, with its stops as heavy lines.

    `joint` is where the two parts meet; the second joint of the limb (the elbow of an
    arm) unless given. The first joint's bend is told against the x axis.
    """
    limb = action.limb(limb) if limb else action.limbs[0]
    if len(limb.joints) < 2:
        raise ActionError(f'limb "{limb.name}" has one joint alone and does not bend; choose another')
    k = _index(limb, joint) if joint else min(1, len(limb.joints) - 2)
    if k == len(limb.joints) - 1:
        raise ActionError(f'nothing follows "{limb.joints[k]}", so it has no bend; choose a joint before it')
    bend = Measures(limb.drawings, limb.lengths, limb.stops).bend[:, k]
    picture, axes = _graph(f"bend of {the(limb.joints[k])}, degrees, and its stops", action, ground)
    for stop in limb.stops[k]:
        axes.axhline(stop, color=INK, linewidth=2.0)
        if not stop:
            axes.annotate("straight", (1.0, stop), (-4, 4), xycoords=("axes fraction", "data"),
                          textcoords="offset points", ha="right", fontsize=9, color=INK)
        axes.annotate(f"{stop:g}°", (1.0, stop), (4, 0), xycoords=("axes fraction", "data"),
                      textcoords="offset points", va="center", fontsize=9, color=INK)
    axes.plot(np.arange(1, action.count + 1), bend, color=INK, linewidth=1.2, marker="o", markersize=3.6)
    axes.set_ylabel("degrees")
    axes.margins(y=0.12)
    return picture


def _graph(says, action, ground):
    picture = Picture(200, 90, f"{says}; {called(action)}", ground)
    axes = picture.add_axes((0.08, 0.16, 0.85, 0.68), facecolor=ground)
    axes.set_title(fitting(says, 11, 0.85 * picture.width, "bold"), loc="left", fontsize=11, fontweight="bold",
                   color=INK, parse_math=False)
    axes.set_xlabel("drawing", color=MID)
    axes.set_xlim(0.4, action.count + 0.6)
    every = max(1, -(-action.count // 32))
    axes.set_xticks(np.arange(1, action.count + 1, every))
    axes.tick_params(colors=MID, labelsize=9)
    axes.yaxis.label.set_color(MID)
    for side, spine in axes.spines.items():
        spine.set_visible(side in ("left", "bottom"))
        spine.set_color(LIGHT)
    return picture, axes


def _joint(action, limb, joint):
    limb = action.limb(limb) if limb else action.limbs[0]
    return limb, _index(limb, joint) if joint else max(len(limb.joints) - 2, 0)


def _index(limb, joint):
    if joint not in limb.joints:
        raise ActionError(f'limb "{limb.name}" has no joint "{joint}"; it has {", ".join(limb.joints)}')
    return limb.joints.index(joint)
