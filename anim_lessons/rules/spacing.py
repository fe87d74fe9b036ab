"""Spacing: the gaps of a joint along its path widen and close up smoothly, and are not all alike.

Two measures: how far a joint lies along its path from where its neighbours
put it, against the local spacing, where its gaps are out of order too (in a
chart by halves they are in order, and no cubic goes through them); and over the whole action the widest gaps
of the end joint against its closest, for even spacing looks mechanical. How
a whole swing is paced stands in `pace`.
Source: common practice, no source. Tolerances chosen by trial.
"""

import numpy as np

from ..measures.loops import extremes
from ..model.words import capital, part, shown, the, told_apart, verb
from . import pace
from .arc import allowed_of, beyond
from .finding import WHOLE, Finding
from .rule import Rule, Tolerance, once

NAME = "spacing"
FAR = 0.8       # local spacings
STILL = 1.5     # mm: what goes less far in all does not move,
STEP = 1.0      # mm: nor what takes no such step
SHY = 2.0       # mm: of closer gaps nobody tells whether they are alike
FINER = 0.45  # of the tolerance, where one drawing stands clear of a quiet loop


def judged(m):
    """Why the rule cannot judge a limb, or an empty text where it can."""
    return "" if m.enough else f"{m.count} drawings are too few to tell spacing from"


def measure(m):
    """How far ahead on its path a joint is (behind: negative), mm, (..., drawings, joints)."""
    return m.path_residual.real


def allowed(m, brief):
    """What is allowed, mm, (..., drawings, joints)."""
    return allowed_of(m, brief.tolerance(NAME), FINER)


def broken(m, brief):
    """True where a joint hangs back or runs ahead, (..., drawings, joints)."""
    flags = _out_of_place(m, brief)
    stalls = pace.stalls(m)
    if stalls.any():
        flags = flags & ~stalls[..., None]
        flags[..., -1] |= stalls
    return flags


@once
def _out_of_place(m, brief):
    off = np.abs(measure(m))
    flags = beyond(m, off, brief.tolerance(NAME), FINER)
    # Gaps in order are no fault, whatever a cubic expects; but a joint further off than its gaps are wide is in no chart.
    return flags & (m.out_of_order | (off > FAR * m.spacing)) if flags.any() else flags


def evenness(m):
    """The end joint's 85 % quantile of gaps over its 15 % quantile, (...); 1 where all are alike.
    Gaps are taken round the arc, for a chord cuts a turn short; and a gap or two at a turn do not count."""
    first = 0 if m.loop else 1
    tip = m.z[..., -1]
    half = tip @ m.stack.half_way.T
    gaps = np.abs(half - tip) + np.abs(half - m.stack.earlier(tip, -1))
    gaps = np.sort(gaps[..., first:] / m.stack.frames[m.stack.before[first:]], axis=-1)
    last = gaps.shape[-1] - 1

    def quantile(q):
        low = int(q * last)
        return gaps[..., low] + (q * last - low) * (gaps[..., min(low + 1, last)] - gaps[..., low])

    return quantile(0.85) / np.maximum(quantile(0.15), 1e-9)


@once
def still(m):
    """True where nothing moves: no joint takes a step worth the name, seen from the root where the
    limb has parts, for a pose that moves with its root is the same pose traced, (...)."""
    return (_widest(m) < STEP) & (_extent(m) < STILL)


def _extent(m):
    """How far the joint goes that goes furthest, seen from the root, mm, (...)."""
    z = m.z[..., 1:] - m.z[..., :1] if m.segments else m.z
    return np.abs(z - z[..., :1, :]).max(axis=(-2, -1))


def _widest(m):
    step = m.step[..., 1:] - m.step[..., :1] if m.segments else m.step
    return np.abs(step).max(axis=(-2, -1))


@once
def even(m, brief):
    """True where the end joint's gaps are all alike, also where there are none, (...)."""
    alike = (evenness(m) < brief.tolerance("even")) & (m.distance[..., -1].max(axis=-1) > SHY)
    alike = alike & ~m.goes_round if np.any(alike) else alike      # what never turns back may keep its pace
    return alike | still(m)


def way(m):
    """True where a joint runs ahead, False where it hangs back, (..., drawings, joints)."""
    return measure(m) > 0


def findings(limb, m, brief):
    found = []
    if still(m):
        found.append(_still(limb, m))
    elif even(m, brief):
        found.append(_mechanical(limb, m, brief))
    elif pace.lingers(m, brief):
        found.append(pace.lingering(limb, m, brief, NAME, _round_turns(m)))
    if pace.held(m, brief):
        found += pace.holdings(limb, m, brief, NAME)
    stalls = pace.stalls(m)
    found += pace.stallings(limb, m, NAME, stalls)
    flags = _out_of_place(m, brief) & ~stalls[:, None]
    if flags.any():
        off, limit = measure(m), allowed(m, brief)
        found += [_finding(limb, m, off[d, j], limit[d, j], d, j) for d, j in np.argwhere(flags)]
    return found


def _finding(limb, m, off, limit, d, j):
    joint = limb.joints[j]
    after = m.stack.after[d]
    into, out = m.distance[d, j], abs(m.z[after, j] - m.z[d, j])
    behind = off < 0
    its = verb(joint, "its", "their")
    drawn, most = told_apart(abs(off), limit, 1)
    same = {"rule": NAME, "limb": limb.name, "joint": joint, "drawings": (int(d) + 1,), "measured": abs(float(off)),
            "allowed": float(limit), "unit": "mm", "cells": ((int(d), int(j)),), "moves": (int(d) + 1,), "looked_for": f"at most {most} mm"}
    if turn := _at_its_turn(m, d, j):
        where = f"{drawn} mm {'past' if turn > 0 else 'short of'} the turn"
        return Finding(head=f"{d + 1} {'goes too far' if turn > 0 else 'stops short'}.",
                       amount=f"{capital(the(joint))} {verb(joint, 'is', 'are')} {where}.", shows=where, short=f"{shown(joint)} {where}", **same)
    # Where a path turns sharply the two steps need not show it.
    if (out - into if behind else into - out) > 1.0:
        seen = f"{capital(the(joint))} {verb(joint, 'goes', 'go')} {into:.0f} mm, then {out:.0f} mm."
    else:
        seen = f"{capital(the(joint))} {verb(joint, 'is', 'are')} {drawn} mm {'short of' if behind else 'past'} {its} place."
    return Finding(
        head=f"{d + 1} {'hangs back' if behind else 'runs ahead'}.", amount=seen,
        shows=f"{drawn} mm {'behind' if behind else 'ahead of'} {its} place",
        short=f"{shown(joint)} {drawn} mm {'short of' if behind else 'past'} {its} place", **same)


def _at_its_turn(m, d, j):
    """1 where a joint that turns back there goes farther out than its place, -1 where it does not come as far out; 0 where it
    does not turn: only there it is ahead or behind."""
    z, before, after = m.z[:, j], m.stack.before[d], m.stack.after[d]
    place = z[d] - m.residual[d, j]
    into, out = z[before] - z[m.stack.before[before]], z[m.stack.after[after]] - z[after]
    if (into * out.conjugate()).real >= 0.0:
        return 0
    outward = place - (z[before] + z[after]) / 2.0
    far = [(one * outward.conjugate()).real for one in (place, z[d], z[before], z[after])]
    if max(far[:2]) <= max(far[2:]):
        return 0
    return 1 if far[1] > far[0] else -1


def _still(limb, m):
    widest = float(_widest(m))
    drawn, least = told_apart(widest, STEP, 1)
    begin = f"Begin with drawing 2: swing the {part(limb, 0)} first, then what hangs on it." if m.segments else \
        f"Begin with drawing 2: move {the(limb.joints[0])} along its path."
    return Finding(
        rule=NAME, limb=limb.name, joint=limb.joints[-1], drawings=(),
        measured=widest, allowed=STEP, unit="mm",
        head="Nothing moves yet.",
        amount=f"All {m.count} drawings of the {limb.name} hold the same pose: no joint takes a step of "
               f"{STEP:.0f} mm{f' seen from {the(limb.joints[0])}' if m.segments else ''}.",
        begin=begin, cells=((WHOLE, 0),),
        shows=f"widest gap {drawn} mm", looked_for=f"{least} mm or more",
        short=f"the {limb.name} does not move",
    )


def _round_turns(m):
    turn, far = extremes(np.stack([m.z[:, -1].real, m.z[:, -1].imag], axis=-1))
    return f"round the turns, at {turn} and {far}" if m.loop else f"at 1 and {m.count}"


def _mechanical(limb, m, brief):
    joint = limb.joints[-1]
    ratio, limit = float(evenness(m)), brief.tolerance("even")
    shown, least = told_apart(ratio, limit, 2)
    return Finding(
        rule=NAME, limb=limb.name, joint=joint, drawings=(),
        measured=ratio, allowed=limit, unit="",
        head="Nearly all gaps are alike.",
        amount=f"The widest gaps of {the(joint)} are {shown} times the closest; {least} times or more are looked for.",
        then=f"Close the drawings up {_round_turns(m)}, and open them between.", cells=((WHOLE, 0),),
        shows=f"{shown} times", looked_for=f"{least} times or more",
        short=f"gaps of {the(joint)} nearly all alike",
    )


def broken_whole(m, brief):
    """Of the action as a whole: gaps alike, lingering in mid-swing, a drawing held in full swing, (..., 3)."""
    flags = np.empty((*m.z.shape[:-2], 3), bool)
    flags[..., 0] = alike = even(m, brief)
    flags[..., 1] = pace.lingers(m, brief) & ~alike
    flags[..., 2] = pace.held(m, brief)
    return flags


def excess(m, brief):
    """Times what is allowed, (..., drawings, joints)."""
    return np.abs(measure(m)) / allowed(m, brief)


def explains(cause, other):
    """Gaps all alike leave no room to slow into a turn: a jump there follows."""
    return cause.cells[:1] == ((WHOLE, 0),) and other.rule in (NAME, "arc", "opening", "link-up")


RULE = Rule(
    name=NAME, order=3, flip=2, lessons=("01_buoy",),
    asks="gaps widen and close up smoothly, and are not all alike",
    why="the eye sees a gap out of order before it sees any line", why_whole="gaps all alike tick like a clock",
    kept="gaps widen and close up smoothly",
    tolerances=(Tolerance(NAME, 0.40, "local spacing, along the path; never less than 1.5 mm", 0.60, 0.27),
                Tolerance("even", 1.35, "widest gaps over closest of the end joint", 1.23, 1.5),
                pace.LINGERING, pace.HELD, pace.STROBING),
    about="place", rank=5, tried_alone="place", cure="close up", judged=judged, broken=broken, broken_whole=broken_whole,
    findings=findings, excess=excess, way=way, explains=explains,
    advice=pace.strobes, advises_few=True,
)
