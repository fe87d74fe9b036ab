"""Where may it go, and why: the places of one joint that every rule allows.

A joint hangs on its parent by a part of fixed length, so where it may go is a circle. Every
half degree of it is tried, and the rules themselves say which of them they would break: first
about the drawing tried alone, for that leaves a small sector of the circle, then about the whole loop
for what is left. Trying is shift-and-trace: what hangs below comes along at its angles on the paper.
"""

from dataclasses import dataclass

import numpy as np

from ..geometry.angles import wrapped
from ..judging.brief import DEFAULT
from ..model.action import ActionError
from ..model.words import amount, capital, the, verb
from ..rules import stops
from ..rules.rule import SEEN
from .guide_circle import FINE, Circle
from .guide_trial import Trial, angle_of
from .guide_trial import placed as placed_at
from .plan import dots

CANDIDATES = 720
CLOSER = 4          # times as many where the borders are asked for exactly
MOST_TRIED = 800_000    # joints in all loops tried; of a stack above some thousand joints fewer angles are tried
NEAR = 45.0         # degrees to a stop: farther from it nobody thinks of going past
MOVES = 0.5         # degrees: a correction that turns a part by less leaves it
INSET = 1.0         # degrees: so far inside an open part a joint is put that is wanted outside of it


@dataclass(frozen=True)
class Excluded:
    """A part of the circle, from `start` counter-clockwise to `end`, degrees, and the rule that excludes it."""

    start: float
    end: float
    rule: str
    says: str


@dataclass(frozen=True)
class Guide:
    """Where one joint may go on one drawing.

    Attributes
    ----------
    limb, joint : str
    drawing : int
        From 1.
    centre : tuple of float
        Where the joint hangs from, mm.
    radius : float
        Length of the part that ends in the joint, as on the model sheet, mm.
    drawn : float
        Angle of that part as it is drawn, degrees from 0 to 360.
    traced : float or None
        Its angle in the drawing before, where it would be locked; None where there is none.
    asked : float or None
        The angle at which its plan, or else its neighbours' path and spacing, want it, or what is nearest to
        that among the allowed; None with too few drawings.
    allowed : tuple of (float, float)
        Parts of the circle that every rule allows, degrees from 0 to 360, `from` below `to`.
    excluded : tuple of Excluded
        The rest of the circle.
    remains : str
        What is broken elsewhere, whatever is done here; an empty text where nothing is.
    planned : bool
        True where `asked` is of a plan: a path of action with its timing chart.
    traced_part : str
        The last part, where it would break out if it were only shifted and traced along to `asked`.
    begun : bool
        True where neighbours are not drawn yet, and a swing is supposed for them.
    turns : str
        The joint it hangs from, where that turns back here, a stop is near and the brief lets a loose limb break at its turn.
    """

    limb: str
    joint: str
    drawing: int
    centre: tuple
    radius: float
    drawn: float
    traced: float | None
    asked: float | None
    allowed: tuple
    excluded: tuple
    remains: str = ""
    planned: bool = False
    turns: str = ""
    begun: bool = False
    traced_part: str = ""

    def rule_at(self, angle):
        """The Excluded part an angle lies in, or None where it is allowed, or lies no farther from there than an eye tells."""
        angle = angle % 360.0
        inside = [part for part in self.excluded if part.start <= angle <= part.end]
        # A border is known to half a degree, and no eye tells less.
        open_there = any(start - SEEN <= near <= end + SEEN for start, end in self.allowed for near in (angle - 360.0, angle, angle + 360.0))
        return None if not inside or open_there else inside[0]

    @property
    def says(self):
        """Where it may go, where it is wanted, and what stands against where it is."""
        against = self.rule_at(self.drawn) if self.allowed else None
        return f"{self.where} Now: {against.says}" if against else self.where

    @property
    def where(self):
        """Where it may go and where it is wanted."""
        if not self.allowed:
            there = f"On {self.drawing} there is no place for {the(self.joint)} that keeps every rule."
            return f"{there} First mend what is broken beside it." if not self.remains else f"{there} {self.remains}"
        spans = [(amount(start), amount(end)) for start, end in _seen(self.allowed)]
        wide = [span for span in spans if span[0] != span[1]]   # no place of one angle is named beside a part with room
        parts = " or ".join(f"from {start}° to {end}°" for start, end in wide) or " or ".join(f"to {start}°" for start, _ in spans)
        if len(self.allowed) == 1 and self.allowed[0] == (0.0, 360.0):
            parts = "anywhere"
        who = verb(self.joint, "its plan asks for it", "their plan asks for them") if self.planned else \
            f"a swing that slows at both ends has {verb(self.joint, 'it', 'them')}" if self.begun else \
            verb(self.joint, "its neighbours look for it", "their neighbours look for them")
        wanted = f"; {who} at {amount(self.asked)}°" if self.asked is not None else ""
        remains = f" {self.remains}" if self.remains else ""
        loose = f" {capital(the(self.turns))} {verb(self.turns, 'turns', 'turn')} here, so a loose one may break past its stop." if self.turns else ""
        last = f" Then place the {self.traced_part} too: shifted and traced along, it would break out." if self.traced_part else ""
        return f"On {self.drawing} {the(self.joint)} may go {parts}{wanted}.{last}{loose}{remains}"


def guide(action, limb, joint, number, brief=DEFAULT, exact=False, verdict=None):
    """Where a joint may go on a drawing.

    An angle is allowed where it breaks no rule that the best angle would keep: in a loop without other
    faults, where the whole loop then passes. A fault elsewhere stays what it is, and `remains` tells of it.

    Parameters
    ----------
    action : Action
    limb, joint : str
    number : int
        The drawing, from 1.
    brief : Brief, optional
    exact : bool
        Look for the borders to 0.001 degrees, on a circle of hundreds of parts to 0.01; else they are known to half a degree.
    verdict : Verdict, optional
        On the action: where a drawing is at fault, the joint is wanted where its correction has it. Without one the
        neighbours decide.

    Returns
    -------
    Guide

    Raises
    ------
    ActionError
        Where there is no such limb, joint or drawing, or the joint is the root and hangs from nothing.
    """
    drawn, j, d = _place(action, limb, joint, number)
    trial = Trial(action, drawn, j, d, brief)
    count = min(CANDIDATES * (CLOSER if exact else 1), MOST_TRIED // (action.count * len(drawn.joints)))
    angles = (np.arange(count) + 0.5) * (360.0 / count)
    codes = trial.codes(angles) if exact else trial.round_circle(angles)
    circle = Circle(trial)
    allowed, excluded = circle.parts(circle.runs(angles, codes, FINE if exact else 0), exact)
    excluded = tuple(Excluded(*part) for part in excluded)
    m = trial.whole
    plan = drawn.planned(joint)
    wanted = _wanted(action, drawn, j, d, m, plan, trial.parent, verdict)
    asked = None if wanted is None else _inside(wanted, allowed)
    before = m.stack.before[d] if m.stack else d - 1
    there = m.stack is not None and before != d
    return Guide(
        limb=drawn.name, joint=joint, drawing=number, centre=(float(trial.parent.real), float(trial.parent.imag)),
        radius=trial.length, drawn=angle_of(m.segment[d, j - 1]),
        traced=angle_of(m.segment[before, j - 1]) if there else None,
        asked=asked, allowed=allowed, excluded=excluded, remains=circle.remains(), planned=plan is not None,
        traced_part=trial.breaks_out(asked) if asked is not None else "",
        turns=drawn.joints[j - 1] if brief.may_break and stops.NAME in brief.rules and stops.may_break(m)[d, j - 1]
        and np.abs(m.bend[d, j - 1] - m.stops[j - 1]).min() < NEAR else "",
    )


def _wanted(action, drawn, j, d, m, plan, parent, verdict):
    """The angle at which a joint is wanted, degrees: by its plan; where the drawing is at fault, by the correction that
    note and ghost tell; else by its neighbours. None with too few drawings."""
    if plan is not None:
        return angle_of(complex(*dots(plan, action.loop)[d]) - parent)
    for cause in verdict.causes if verdict else ():
        if cause.limb == drawn.name and d + 1 in cause.moves and cause.correction is not None:
            pose = cause.correction.poses.get(d + 1, drawn.drawings[d])
            if len(pose) <= j:  # of a beginning, in which this joint is not drawn yet
                continue
            angle = angle_of(complex(*(pose[j] - pose[j - 1])))
            if abs(wrapped(angle - angle_of(m.segment[d, j - 1]))) > MOVES:
                return angle
    return angle_of(m.z[d, j] - m.residual[d, j] - parent) if m.enough else None


def placed(action, limb, joint, number, angle):
    """The action with the joint put at that angle: model length, what hangs below shifted and traced along."""
    drawn, j, d = _place(action, limb, joint, number)
    points = placed_at(drawn, j, d, angle)
    return action.redrawn(*(points if other is drawn else other.drawings for other in action.limbs))


def _place(action, limb, joint, number):
    drawn = action.limb(limb)
    if joint not in drawn.joints:
        raise ActionError(f'limb "{limb}" has no joint "{joint}"; it has {", ".join(drawn.joints)}')
    j = drawn.joints.index(joint)
    if j == 0:
        raise ActionError(f'"{joint}" is the root of limb "{limb}": it hangs from nothing and goes along its own path. '
                          + (f"Ask about {', '.join(drawn.joints[1:])}" if len(drawn.joints) > 1 else "No part ends in it"))
    if not 1 <= number <= action.count:
        raise ActionError(f"there is no drawing {number}; they are numbered from 1 to {action.count}")
    return drawn, j, number - 1


def _inside(angle, allowed):
    """The angle, or one a little inside the nearest allowed part where it is allowed nowhere."""
    near = []
    for start, end in _joined(allowed):
        end += 360.0 * (end < start)
        inset = min(INSET, (end - start) / 4.0)
        if (angle - start) % 360.0 <= end - start:
            return angle
        near += [start + inset, end - inset]
    return min(near, key=lambda other: abs(wrapped(other - angle))) % 360.0 if near else angle


def _joined(parts):
    """Parts that meet at 0 degrees put together again."""
    parts = list(parts)
    if len(parts) > 1 and parts[0][0] == 0.0 and parts[-1][1] == 360.0:
        return [*parts[1:-1], (parts[-1][0], parts[0][1])]
    return parts


def _seen(parts):
    """The same for a sentence, without gaps that no eye tells on either side."""
    found = []
    for start, end in _joined(parts):
        if found and 0.0 <= start - found[-1][1] <= 2.0 * SEEN:
            found[-1] = (found[-1][0], end)
        else:
            found.append((start, end))
    return found
