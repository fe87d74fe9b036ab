"""Sheets of drawings: contact sheet, one drawing in its true size, onion skin, path of action."""

import numpy as np
from matplotlib.patches import Circle, PathPatch, Rectangle
from matplotlib.path import Path
from matplotlib.transforms import Affine2D

from ..geometry.beziers import path_pieces
from ..measures.loops import extremes
from ..model.action import ActionError
from .palette import INK, LIGHT, MID, PAPER, RULE
from .picture import POINT, Labels, Picture, called, fitting, named, put, put_drawing, sheet, text, wide
from .skin import RECIPE, neighbour, page_of, window


def contact_sheet(action, findings=(), ground=PAPER, construction=False):
    """All drawings side by side on one sheet of the action's paper, numbered, in clean line.

    Each cell shows the same window, in which every drawing has room.

    Parameters
    ----------
    action : Action
    findings : sequence of Finding, optional
        Drawings they name are marked: filled for a cause, hollow where it only follows.
    ground : colour
    construction : bool
        With bones and joints.

    Returns
    -------
    Picture
        The two extremes of the first limb's tip have their numbers ringed.
    """
    width, height = page_of(action.paper)
    unit = min(width, height) / 210
    picture = Picture(width, height, f"contact sheet of {called(action)}: {action.count} drawings, "
                                     f"{_exposed(action)}", ground)
    axes = sheet(picture)
    margin, head = 9 * unit, 19 * unit
    line = width - 2 * margin
    facts = fitting(_facts(action), 9 * unit, 0.6 * line)
    text(axes, width - margin, height - 12 * unit, facts, 9 * unit, color=MID, ha="right")
    text(axes, margin, height - 12 * unit, action.title or "untitled", 13 * unit, weight="bold",
         room=line - wide(facts, 9 * unit) - 4 * unit)
    shown_left, shown_bottom, shown_right, shown_top = window(action)
    shown = shown_right - shown_left, shown_top - shown_bottom  # mm of the drawings
    columns, cell = _grid(action.count, shown, width - 2 * margin, height - head - margin)
    rows = -(-action.count // columns)
    across = (width - 2 * margin) / columns
    down = (height - head - margin) / rows
    ringed = set(extremes(action.limbs[0].drawings[:, -1])) if action.count > 2 else set()
    causes = {n for finding in findings if finding.follows is None for n in finding.drawings}
    follows = {n for finding in findings for n in finding.drawings} - causes
    small = min(1.0, 4 / columns) * unit
    for d in range(action.count):
        row, column = divmod(d, columns)
        left = margin + column * across + (across - cell * shown[0]) / 2
        bottom = height - head - (row + 1) * down + (down - cell * shown[1]) / 2
        place = Affine2D().translate(-shown_left, -shown_bottom).scale(cell).translate(left, bottom) + axes.transData
        frame = Rectangle((left, bottom), cell * shown[0], cell * shown[1], facecolor="none",
                          edgecolor=RULE, linewidth=0.3 * POINT * unit)
        axes.add_patch(frame)
        put_drawing(axes, action, d + 1, place, ground, cell, clip=frame, construction=construction)
        at = left + 4.5 * small, bottom + cell * shown[1] - 4.5 * small
        if d + 1 in ringed:
            axes.add_patch(Circle(at, 3.2 * small, facecolor="none", edgecolor=INK,
                                  linewidth=0.35 * POINT * small, label="extreme"))
        text(axes, *at, str(d + 1), 9 * small, ha="center", va="center_baseline")
        if d + 1 in causes | follows:
            x, y = left + cell * shown[0] - 4.5 * small, at[1]
            flag = np.array([(1.6, 0), (-1.6, 1.9), (-1.6, -1.9)]) * small + (x, y)
            axes.add_patch(PathPatch(Path(np.vstack([flag, flag[:1]]), closed=True), edgecolor=INK,
                                     facecolor=INK if d + 1 in causes else ground,
                                     linewidth=0.4 * POINT * small, label="mark"))
    return picture


def drawing(action, number, ground=PAPER, construction=False):
    """One drawing in its true size on its sheet, with its number: to print, stack and flip. In clean line, or with
    bones and joints."""
    _numbered(action, number)
    width, height = action.paper
    unit = min(width, height) / 210
    picture = Picture(width, height, f"drawing {number} of {called(action)}", ground)
    axes = sheet(picture)
    put_drawing(axes, action, number, axes.transData, ground, construction=construction)
    _corner(axes, action, number, width, height, unit)
    return picture


def onion_skin(action, number=1, reach=3, ground=PAPER):
    """One drawing with its neighbours seen through the paper: dashes before, dots after.

    Parameters
    ----------
    action : Action
    number : int
        The drawing on top, from 1.
    reach : int
        Neighbours each side, 0 to 3.

    Returns
    -------
    Picture
    """
    _numbered(action, number)
    width, height = action.paper
    unit = min(width, height) / 210
    picture = Picture(width, height, f"drawing {number} of {called(action)} with up to {reach} drawings "
                                     "before it, dashed, and after it, dotted", ground)
    axes = sheet(picture)
    shown = []  # farthest first, so that the nearer lie on top
    for away in range(min(reach, 3, (action.count - 1) // 2 if action.loop else action.count), 0, -1):
        for other, side in ((number - away, "before"), (number + away, "after")):
            if action.loop:
                other = (other - 1) % action.count + 1
            if 1 <= other <= action.count:
                shown.append(other)
                put(axes, neighbour(action, other - 1, side, away), axes.transData, ground)
    put_drawing(axes, action, number, axes.transData, ground, construction=True)
    labels = Labels(axes, unit, width, height)
    words = min(1.9 * (len(action.title) + 8) * unit, width - 18 * unit)  # mm, of the line in the corner
    labels.taken.append((9 * unit + words / 2, words, height - 22 * unit))
    for limb in action.limbs:
        for n in [number, *reversed(shown)]:
            points = limb.drawings[n - 1]
            away = points[-1] - (points[-2] if len(points) > 1 else limb.drawings[:, 0].mean(axis=0))
            top = n == number
            clear = 3 * RECIPE["ring"] if top else 0.0
            labels.put(n, points[-1], away, bold=top, clear=clear)
    _corner(axes, action, number, width, height, unit)
    if shown:
        text(axes, width - 9 * unit, 9 * unit, "before: dashes, after: dots", 9 * unit, color=MID, ha="right")
    return picture


def path_of_action(action, joints=None, ground=PAPER):
    """The path of each joint through all drawings, a numbered dot where each drawing has it.

    Parameters
    ----------
    action : Action
    joints : sequence of str, optional
        Names of the joints; all of them unless given.

    Returns
    -------
    Picture
    """
    width, height = action.paper
    unit = min(width, height) / 210
    picture = Picture(width, height, f"path of action of {called(action)}, with spacing dots", ground)
    axes = sheet(picture)
    labels = Labels(axes, unit, width, height)
    asked = [(limb, j) for limb in action.limbs for j, name in enumerate(limb.joints)
             if joints is None or name in joints]
    if not asked:
        names = ", ".join(name for limb in action.limbs for name in limb.joints)
        raise ActionError(f"there is no joint {', '.join(joints)}; there is {names}")
    for limb, j in asked:
        pieces = path_pieces(limb.drawings[:, j], action.loop)
        along = np.linspace(0.0, 1.0, 24)[:, None, None, None]
        weights = np.concatenate([(1 - along)**3, 3 * along * (1 - along)**2, 3 * along**2 * (1 - along), along**3], axis=2)
        labels.keep(limb.drawings[:, j], (weights * pieces).sum(axis=2).reshape(-1, 2))
    for limb, j in reversed(asked):
        points = limb.drawings[:, j]
        if np.ptp(points, axis=0).max() < 0.5:  # mm: a joint that stays is one dot with its name
            axes.add_patch(Circle(points[0], 1.6 * unit, facecolor=ground, edgecolor=INK,
                                  linewidth=0.5 * POINT))
            labels.put(named(limb.joints[j]), points[0], np.array([0.0, -1.0]), ring=False)
            continue
        pieces = path_pieces(points, action.loop)
        curve = Path(np.concatenate([pieces[:1, 0], pieces[:, 1:].reshape(-1, 2)]),
                     [Path.MOVETO] + [Path.CURVE4] * (3 * len(pieces)))
        axes.add_patch(PathPatch(curve, facecolor="none", edgecolor=LIGHT, linewidth=RECIPE["path"] * POINT,
                                 label="path"))
        middle = points.mean(axis=0)
        for point in points:
            axes.add_patch(Circle(point, 1.1 * unit, facecolor=ground, edgecolor=INK, linewidth=0.45 * POINT))
        if np.ptp(points, axis=0).max() > 15:  # mm: less leaves the numbers no room
            for n, point in enumerate(points, start=1):
                labels.put(n, point, point - middle, size=9.5, ring=False)
        far = int(np.argmax(points[:, 1]))
        labels.put(named(limb.joints[j]), points[far], np.array([0.0, 1.0]), ring=False)
    dots = np.concatenate([limb.drawings[:, j] for limb, j in asked])
    picture.shown = _round(dots, labels, unit, width, height)
    return picture


def _round(points, labels, unit, width, height):
    """The part of a sheet round some points and their labels: left, bottom, right, top, mm."""
    x, wide, y = np.array(labels.taken or [(points[0, 0], 0.0, points[0, 1])]).T
    room = 8 * unit
    low = np.minimum(points.min(axis=0), [(x - wide / 2).min(), y.min()]) - room
    high = np.maximum(points.max(axis=0), [(x + wide / 2).max(), y.max()]) + room
    return (*np.maximum(low, 0.0), *np.minimum(high, [width, height]))


def _corner(axes, action, number, width, height, unit):
    text(axes, 9 * unit, height - 16 * unit, str(number), 22 * unit, weight="bold")
    text(axes, 9 * unit, height - 23 * unit, f"of {action.count}  {action.title}", 9 * unit, color=MID,
         room=width - 18 * unit)


def _grid(count, paper, width, height):
    """Columns, and scale of a cell, that show the drawings largest."""
    room = 0.96  # of a cell; the rest is the gap to the next
    best = (0.0, 1)
    for columns in range(1, count + 1):
        rows = -(-count // columns)
        best = max(best, (room * min(width / columns / paper[0], height / rows / paper[1]), -columns))
    return abs(best[1]), best[0]


def _numbered(action, number):
    if not 1 <= number <= action.count:
        raise ActionError(f"there is no drawing {number}; the stack has 1 to {action.count}")


def _exposed(action):
    frames = action.exposures
    if (frames != frames[0]).any():
        return "exposures as listed"
    on = {1: "on ones", 2: "on twos", 3: "on threes", 4: "on fours"}
    return on.get(int(frames[0]), f"{frames[0]} frames each")


def _facts(action):
    by = f"{named(action.by)}, " if action.by else ""
    return f"{by}{action.count} drawings, {_exposed(action)}, {action.frames / action.rate:.2f} s"
