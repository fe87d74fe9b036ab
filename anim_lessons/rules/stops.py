"""Stops: no joint is broken past its stops, but where its parent turns a loose one may be.

An arm that is loose breaks past straight for a drawing or two where the joint that
carries it reverses; a natural one does not. That is a convention of drawing, which real
elbows do not keep. The brief says which is asked; all other rules ask the same of both.
Source: common practice, no source. Tolerance chosen by trial. The stops are
those of a drawn model sheet; real joints differ from person to person, and
nobody should force one: ask a health professional about real joints.
"""

import numpy as np

from ..geometry.angles import wrapped
from ..model.words import amount, capital, part, run, runs, shown, the, told_apart, verb
from .finding import Finding
from .rule import SEEN, Rule, Tolerance

NAME = "stops"


def judged(m):
    """Why the rule cannot judge a limb, or an empty text where it can."""
    return "" if m.segments else "a single joint has no stops"


def past(m):
    """How far past its nearer stop each bend is, degrees; 0 between the stops, (..., drawings, segments)."""
    low, high = m.stops.T
    middle, half = (low + high) / 2.0, (high - low) / 2.0
    # The same bend a whole turn round is the same bend.
    return np.maximum(np.abs(wrapped(m.bend - middle)) - half, 0.0)


def may_break(m):
    """True where a segment may break: within one drawing of the turn of the joint that carries it,
    (..., drawings, segments). The first segment has no parent that could turn."""
    free = np.zeros(m.bend.shape, bool)
    if m.stack is not None:
        turn = m.reverses[..., 1:-1]
        free[..., 1:] = turn | m.stack.earlier(turn) | m.stack.later(turn)
    return free


def broken(m, brief):
    """True where a bend is past a stop where it may not be, (..., drawings, segments)."""
    over = past(m)
    flags = over > brief.tolerance(NAME) + SEEN
    if m.stack and flags.any():
        flags &= over > 5.0 * m.unsteady_bend + SEEN
    return flags & ~may_break(m) if brief.may_break and flags.any() else flags


def way(m):
    """True where a bend is nearer to its upper stop, (..., drawings, segments)."""
    middle = m.stops.mean(axis=-1)
    return wrapped(m.bend - middle) > 0


def findings(limb, m, brief):
    flags = broken(m, brief)
    if not flags.any():
        return []
    over = past(m)
    return [_finding(limb, m, brief, over, k, group)
            for k in range(m.segments) for group in runs(flags[:, k] & m.drawn, m.loop)]


def _finding(limb, m, brief, over, k, group):
    worst = max(group, key=lambda d: round(over[d, k], 6))  # alike but for rounding: the first
    numbers = (worst + 1, *(d + 1 for d in group if d != worst))
    where = run(tuple(d + 1 for d in group))
    joint, allowed = limb.joints[k], brief.tolerance(NAME)
    low, high = m.stops[k]
    bend = wrapped(m.bend[worst, k], (low + high) / 2.0)
    stop = low if bend < low else high
    past_it, most = told_apart(over[worst, k], allowed, 0)
    called = f"{capital(the(joint))} {verb(joint, 'folds', 'fold')} at {where}."
    its, up_to, then = verb(joint, "its", "their"), "up to " if len(group) > 1 else "", ""
    # The stop nearer to straight is the one past which a joint is broken backwards.
    if k and abs(stop) == min(abs(low), abs(high)) and abs(stop) < 30:
        head = f"{capital(the(joint))} {verb(joint, 'is', 'are')} broken backwards at {where}."
        called = f"{capital(the(joint))} {verb(joint, 'breaks', 'break')} at {where}."
        turn = np.flatnonzero(m.reverses[:, k]) if brief.may_break and m.stack is not None else []
        at = turn[np.argmin(np.abs(m.bend[turn, k] - stop))] + 1 if len(turn) else 0    # where it is open, not where it is bent
        text = f"{verb(joint, 'It is', 'They are')} {up_to}{past_it}° past {its} stop{', in full swing' if at else ''}."
        then = f"Or keep the break for the turn at {at}." if at else ""
    elif k:
        head = f"{capital(the(joint))} {verb(joint, 'folds', 'fold')} too far at {where}."
        text = f"{verb(joint, 'It is', 'They are')} at {amount(bend)}°, and {its} stop at {amount(stop)}°."
    else:
        head = f"The {part(limb, 0)} swings past its stop at {where}."
        called = f"Past its stop at {where}."
        text = f"It is at {amount(bend)}°, and its stop at {amount(stop)}°."
    return Finding(
        rule=NAME, limb=limb.name, joint=joint, drawings=numbers,
        measured=float(over[worst, k]), allowed=float(allowed), unit="deg", head=head, called=called, amount=text, then=then,
        cells=tuple((d, k) for d in group), moves=tuple(d + 1 for d in group),
        shows=f"{past_it}° past {its} stop", looked_for=f"{amount(low)}° to {amount(high)}°, {most}° over at most",
        short=f"{shown(joint)} {past_it}° past {its} stop",
    )


def within(m, brief, drawings, angles):
    """The same angles, each part brought back to its stop where it is past it; what hangs from it comes along."""
    angles = angles.copy()
    for k, (low, high) in enumerate(m.stops):
        bend = wrapped(np.degrees(angles[:, k] - (angles[:, k - 1] if k else 0.0)), (low + high) / 2.0)
        angles[:, k:] += np.radians(np.clip(bend, low, high) - bend)[:, None]
    return angles


RULE = Rule(
    name=NAME, order=5, flip=9, lessons=("05_elbow",),
    asks="no joint is broken past its stops; a loose one may be where its parent turns",
    why="past its stop a joint looks broken, however well it moves", kept="no joint past its stops",
    tolerances=(Tolerance(NAME, 3.0, "degrees past a stop", 4.5, 2.0),),
    about="bend", rank=1, felt=0, recurs=True, tried_alone="bend", judged=judged, broken=broken, findings=findings,
    way=way, within=within,
)
