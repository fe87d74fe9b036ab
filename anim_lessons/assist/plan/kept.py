"""Drawings held against the plan of a joint: how far beside its path, how far off its dot."""

from dataclasses import dataclass

import numpy as np

from ...geometry.paths import path_of_action
from ...judging.brief import DEFAULT
from ...model.words import capital, the, told_apart, verb

POINTS_AT = 2.0  # degrees: a part that close to the direction of its dot points at it
LEAST = 2.0        # mm: a pencil has a width
_STRETCH = 3.0     # spacings either side of its dot: there a drawing is looked for on the path
_FINE = 256        # places round a path, to tell its inside


@dataclass(frozen=True)
class Off:
    """A joint that left its plan in one drawing; mm. `ahead` is above 0 past its dot, below 0 short of it."""

    limb: str
    joint: str
    drawing: int
    across: float
    ahead: float
    may_across: float
    may_along: float
    says: str


@dataclass(frozen=True)
class Against:
    """How the drawings keep to what was planned.

    Attributes
    ----------
    planned : tuple of (str, str)
        Limb and joint.
    off : tuple of Off
        In the order of limbs, joints, drawings.
    """

    planned: tuple
    off: tuple

    @property
    def kept(self):
        return bool(self.planned) and not self.off

    @property
    def says(self):
        if not self.planned:
            return "Nothing is planned yet. Draw a path of action, then hold the drawings against it."
        if not self.off:
            return f"Every drawing keeps to the plan of the {' and the '.join(joint for _, joint in self.planned)}."
        return self.off[0].says


def against(action, brief=DEFAULT):
    """Hold the drawings against the plans of their joints.

    Parameters
    ----------
    action : Action
    brief : Brief
        Its tolerances of arc and spacing, as parts of the planned spacing there, never less than LEAST.

    Returns
    -------
    Against

    Notes
    -----
    The nearest place is sought on the stretch of path around the drawing's dot, not where the path happens to
    come by again.
    """
    off = []
    for limb in action.limbs:
        for plan in limb.plans:
            path = path_of_action(plan.path, action.loop)
            drawn = limb.drawings[:, limb.joints.index(plan.joint)]
            across, ahead, spacing = _measured(path, plan.chart, drawn)
            line = None     # of the path, where something lies off it
            may = [np.maximum(brief.tolerance(name) * spacing, LEAST) for name in ("arc", "spacing")]
            for d in np.flatnonzero((across > may[0]) | (np.abs(ahead) > may[1])):
                amounts = [float(value[d]) for value in (across, ahead, *may)]
                line = _line(path) if line is None else line
                side = _side(path, line, drawn[d])
                says = _out_of_reach(limb, plan, path, int(d)) or _says(plan, side, int(d) + 1, *amounts)
                off.append(Off(limb.name, plan.joint, int(d) + 1, *amounts, says))
    return Against(tuple((limb.name, plan.joint) for limb in action.limbs for plan in limb.plans), tuple(off))


def _measured(path, chart, drawn):
    """Distance from the path, way past the dot, and the planned spacing there: mm, each of shape (drawings,)."""
    at = chart * path.length
    if path.loop:
        gaps = np.diff(np.append(at, at[0] + path.length))
        before, after = np.roll(gaps, 1), gaps
    else:
        gaps = np.diff(at)
        before, after = np.append(gaps[:1], gaps), np.append(gaps, gaps[-1:])
    spacing = 0.5 * (before + after)
    reach = np.maximum(_STRETCH * spacing, LEAST)
    low, high = at - reach, at + reach
    if not path.loop:
        low, high = np.maximum(low, 0.0), np.minimum(high, path.length)
    way = low[:, None] + (high - low)[:, None] * np.linspace(0.0, 1.0, 65)
    line, z = path.point(way) @ [1.0, 1.0j], drawn @ [1.0, 1.0j]
    part = np.diff(line, axis=1)
    long = np.maximum(np.abs(part) ** 2, 1e-300)
    share = np.clip(((z[:, None] - line[:, :-1]) * part.conj()).real / long, 0.0, 1.0)
    away = np.abs(z[:, None] - line[:, :-1] - share * part)
    best = away.argmin(axis=1)
    row = np.arange(len(z))
    reached = way[row, best] + share[row, best] * (way[row, best + 1] - way[row, best])
    return away[row, best], reached - at, spacing


def _out_of_reach(limb, plan, path, d):
    """A sentence where the part points at its dot and only its length keeps the joint from it, else an empty text: then not
    the drawing is to be mended but the plan."""
    j = limb.joints.index(plan.joint)
    if not j:
        return ""
    parent, drawn = limb.drawings[d, j - 1:j + 1] @ [1.0, 1.0j]
    to_dot, to_joint = path.point(plan.chart[d] * path.length) @ [1.0, 1.0j] - parent, drawn - parent
    if abs(to_joint) < 1e-9 or abs(to_dot) < 1e-9 or abs(np.degrees(np.angle(to_joint / to_dot))) > POINTS_AT:
        return ""
    above = the(limb.joints[j - 1])
    return (f"{capital(the(plan.joint))} at {d + 1} {verb(plan.joint, 'points', 'point')} at {verb(plan.joint, 'its', 'their')} dot, but the dot lies "
            f"{abs(to_dot):.0f} mm from {above} and the part is {limb.lengths[j - 1]:.0f} mm: nothing reaches it. Draw the path again, about "
            f"{limb.lengths[j - 1]:.0f} mm from {above}.")


def _says(plan, side, number, across, ahead, may_across, may_along):
    who = f"{capital(the(plan.joint))} at {number} {verb(plan.joint, 'is', 'are')}"
    its, it = verb(plan.joint, "its", "their"), verb(plan.joint, "it", "them")
    far, may = told_apart(abs(ahead), may_along, 0)
    along = f"{far} mm {'past' if ahead > 0 else 'short of'} {its} dot"
    if across <= may_across:
        return (f"{who} on {its} planned path but {along}; {may} mm would pass. "
                f"Move {it} {'back' if ahead > 0 else 'on'} along the line.")
    far, may = told_apart(across, may_across, 0)
    text = f"{who} {far} mm {side} {its} planned path" + (f" and {along}" if abs(ahead) > may_along else "")
    way = {"inside": "out", "outside": "in"}.get(side, "over")
    return f"{text}; {may} mm would pass. Bring {it} {way}, onto the line."


def _line(path):
    """The path as many places, complex, mm."""
    return path.point(path.length * np.arange(_FINE) / _FINE) @ [1.0, 1.0j]


def _side(path, line, place):
    """inside, outside; or beside, where a path encloses next to nothing."""
    area = 0.5 * (line.conj() * np.roll(line, -1)).imag.sum()
    if not path.loop or abs(area) < 0.01 * path.length ** 2:
        return "beside"
    seen = line - complex(*place)
    turns = np.angle(np.roll(seen, -1) * seen.conj()).sum() / (2 * np.pi)
    return "outside" if abs(turns) < 0.5 else "inside"
