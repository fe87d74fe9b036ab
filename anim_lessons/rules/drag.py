"""Drag: in mid-swing the last part trails behind; it never scoops ahead.

The swing is the speed of the joint that carries the part, across the segment
before it. Where it is over half of its largest, the part must not lean the
way of the swing, as long as the joint that carries it keeps its speed or gains:
where that slows, a loose part runs on by itself, which is follow-through, and at
the weightless turn it is free to relax. A part that cannot be straight, such as a
foot, is measured from where it rests.
Source: common practice, no source. Like overlap a convention of loose, driven
action: a hand that pushes or points may lead. Tolerance chosen by trial.
"""

import numpy as np

from ..geometry.angles import wrapped
from ..model.words import part, run, runs, told_apart
from .finding import Finding
from .opening import breaks_out
from .rule import SEEN, Rule, Tolerance

NAME = "drag"
SWINGS = 0.5    # of the largest speed across: above it the part is in mid-swing
SLOW = 2.5      # mm a drawing: a slower joint swings nothing
KEEPS = 0.9     # of the speed before, after: a joint that keeps it or speeds up pulls its part along
TURNS = 0.25    # of its fastest turn: so much the carrying part itself must turn that way
HELD_BENT = 8.0  # degrees by which a part that can be straight may be held bent all through the loop
ANKLE = 8.0     # degrees more that a part may lead which never is straight
LAGS = 0.15     # radians of the loop, 0.6 drawings of 24
BOTH_WAYS = 15.0  # degrees: a joint whose stops let it bend this far both ways can drag


def judged(m):
    """Why the rule cannot judge a limb, or an empty text where it can."""
    if m.segments < 2:
        return "there is no part that could drag"
    low, high = m.stops[-1]
    if m.segments == 2 and not (low <= -BOTH_WAYS and high >= BOTH_WAYS):
        return "the last joint bends one way only, so its part cannot drag"
    if m.one_sided and _never_straight(m):
        return "the last part is never straight, and where it rests is told from a loop"
    return "" if m.stack is not None else f"{m.count} drawings are too few to see a swing"


def lead(m):
    """How far the last part leans ahead of the swing, degrees (trailing: negative), (..., drawings); minus infinity where it
    may: outside mid-swing, and where the joint that carries it slows, for there a loose part runs on by itself."""
    across, (before, after) = m.across, m.across_beside
    way = np.sign(across)
    strong = np.abs(across) > np.maximum(SWINGS * m.fastest_across, SLOW)
    turn, most = m.carrier_turn
    pulls = (way * after >= KEEPS * way * before) & (way * turn > TURNS * most)
    bend = wrapped(m.bend[..., -1])     # a whole turn more is no lead
    ahead = way * bend
    if not _never_straight(m) and not (strong & (ahead > 0.0)).any():
        return np.where(strong & pulls, ahead, -np.inf)
    rest = wrapped(m.rest_bend)
    from_rest = way * wrapped(bend - rest) if _never_straight(m) else \
        np.minimum(ahead, way * (bend - np.clip(rest, -HELD_BENT, HELD_BENT)))
    found = np.where(strong & pulls, from_rest, -np.inf)
    at_once = m.last_lag <= LAGS
    if at_once.any() and not m.one_sided:
        # A part that turns with its carrier, and leads on both strokes alike, is the matter of overlap.
        found = np.where(at_once & (_on_the_other_stroke(m, found) > 0.0), -np.inf, found)
    if m.segments > 2 and m.enough:
        out = strong & breaks_out(m)    # one drawing that jumps ahead does not run on
        found = np.where(out, np.maximum(ahead, found), found) if out.any() else found
    return found


def _on_the_other_stroke(m, found):
    """The most that it leads at the two drawings nearest to half a loop later, degrees, (..., drawings)."""
    if m.stack.opposite is None:    # of one drawing tried the others are those of the loop
        one, two = m.whole.stack.opposite[:, m.rows]
        found = lead(m.whole)
    else:
        one, two = m.stack.opposite
    return np.maximum(found.take(one, -1), found.take(two, -1))


def _never_straight(m):
    """True of a joint such as an ankle, whose stops hold it bent."""
    low, high = m.stops[-1]
    return low > -BOTH_WAYS or high < BOTH_WAYS


def allowed(m, brief):
    """How far it may lead, degrees."""
    return np.maximum(_usual(m, brief), 5.0 * m.unsteady_bend[..., -1])


def _usual(m, brief):
    return brief.tolerance(NAME) + (ANKLE if _never_straight(m) else 0.0)


def broken(m, brief):
    """True where the last part scoops, (..., drawings, 1)."""
    ahead = lead(m)
    flags = ahead > _usual(m, brief) + SEEN
    return (flags & (ahead > allowed(m, brief) + SEEN) if flags.any() else flags)[..., None]


def way(m):
    """The way of the swing, True counter-clockwise, (..., drawings)."""
    return m.across > 0


def findings(limb, m, brief):
    flags = broken(m, brief)
    if not flags.any():
        return []
    ahead = lead(m)
    return [_finding(limb, brief, ahead, group, m) for group in runs(flags[:, 0] & m.drawn, m.loop)]


def _finding(limb, brief, ahead, group, m):
    worst = max(group, key=lambda d: round(ahead[d], 6))  # alike but for rounding: the first
    numbers = (worst + 1, *(d + 1 for d in group if d != worst))
    amount, most_ahead = float(ahead[worst]), _usual(m, brief)
    if not _never_straight(m):      # told as it is seen, against a straight part
        rests = float(np.sign(m.across[worst]) * wrapped(m.bend[worst, -1])) - amount
        amount, most_ahead = amount + rests, most_ahead + rests
    shown, most = told_apart(amount, most_ahead, 1)
    up_to = "up to " if len(group) > 1 else ""
    last, before = part(limb, m.segments - 1), part(limb, m.segments - 2)
    return Finding(
        rule=NAME, limb=limb.name, joint=limb.joints[-2], drawings=numbers,
        measured=amount, allowed=most_ahead, unit="deg",
        head=f"The {last} scoops at {run(tuple(d + 1 for d in group))}.",
        amount=f"It leads the {before} by {up_to}{shown}° in mid-swing; {most}° are allowed.",
        cells=tuple((d, 0) for d in group), moves=tuple(d + 1 for d in group),
        shows=f"leads by {shown}°", looked_for=f"at most {most}° ahead",
        short=f"{last} leads by {shown}°; {most}° allowed",
    )


def within(m, brief, drawings, angles):
    """The same angles with the last part trailing where it leads; it may lean by half of what is allowed."""
    if judged(m):
        return angles
    swing = np.sign(m.across[drawings])
    bend = np.angle(np.exp(1j * (angles[:, -1] - angles[:, -2])))
    lean = np.minimum(swing * bend, np.radians(brief.tolerance(NAME) / 2.0)) * swing
    angles = angles.copy()
    angles[:, -1] += np.where(swing == 0, 0.0, lean - bend)
    return angles


RULE = Rule(
    name=NAME, order=6, flip=5, lessons=("03_pennant", "07_hand"),
    asks="in mid-swing the last part trails; it never scoops ahead",
    why="what scoops ahead moves by itself, and no longer hangs from anything", kept="the last part trails in mid-swing",
    tolerances=(Tolerance(NAME, 6.0, "degrees the last part may lean ahead in mid-swing", 9.0, 4.0),),
    about="bend", rank=3, recurs=True, of_last_part=True, tried_alone="bend", judged=judged, broken=broken, findings=findings, way=way,
    within=within,
)
