"""Lengths kept: no part of a limb grows or shrinks between drawings.

A part that changes length reads as rubber; shift-and-trace keeps it. Two
measures: the length of each drawing against the model sheet, and how far it
breathes over a whole loop, too little in each drawing for that.
Source: common practice, no source. Tolerances chosen by trial.
"""

import numpy as np

from ..measures.loops import median
from ..model.words import part, run, runs, told_apart
from .finding import WHOLE, Finding
from .rule import Rule, Tolerance, once

NAME = "length"
UNSTEADY = 5.0  # times what an unsteady pencil does to a length: less is put down to it
LEAST = 0.75  # mm: less cannot be told from the width of a pencil line
JUST = 0.999  # of what is allowed: what is just so much is told, whatever rounding makes of it
LEAST_BREATH = 0.5  # mm either way: less is not seen
MOST_BREATH = 0.05  # of the length: what changes by more in one drawing is no breathing
SURE = 9.0   # times what an unsteady pencil puts into the first harmonic of a length


def judged(m):
    """Why the rule cannot judge a limb, or an empty text where it can."""
    return "" if m.segments else "a single joint has no length"


def measure(m):
    """Length of each segment against the model sheet, 0 where it is kept, (..., drawings, segments)."""
    return m.length / m.lengths - 1.0


def breath(m, brief):
    """How far each segment grows and shrinks in a loop, either way: the first harmonic of `measure`, in which a drawing
    that is a fault by itself has no say, (..., segments); 0 of one that does not do both."""
    flags = broken(m, brief)
    by_itself = flags & ~m.stack.earlier(flags) & ~m.stack.later(flags)
    change = np.clip(np.where(by_itself, 0.0, measure(m)), -MOST_BREATH, MOST_BREATH)
    level = change - median(change.swapaxes(-1, -2))[..., None, :]
    both = np.minimum(level.max(axis=-2), -level.min(axis=-2)) > 0.5 * brief.tolerance("breathing")
    return np.where(both, np.abs(m.harmonic(change)), 0.0)


@once
def broken_whole(m, brief):
    """True where a segment breathes, (..., segments)."""
    if not (m.loop and m.enough):
        return np.zeros((*m.z.shape[:-2], m.segments), bool)
    change = m.length - m.lengths
    if np.abs(change).max() < LEAST_BREATH:
        return np.zeros((*m.z.shape[:-2], m.segments), bool)
    # Nor does what is put right of single drawings make it twice as much.
    flags = np.abs(m.harmonic(change)) > 0.5 * np.maximum(brief.tolerance("breathing") * m.lengths, LEAST_BREATH)
    flags &= np.abs(change).max(axis=-2) > LEAST_BREATH
    if not flags.any():
        return flags
    unsteady = np.maximum(LEAST_BREATH, SURE * m.unsteady[..., 0] / np.sqrt(m.count))
    return breath(m, brief) * m.lengths > np.maximum(brief.tolerance("breathing") * m.lengths, unsteady)


def explains(cause, other):
    """Of a part that breathes, the drawings where it is longest and shortest follow."""
    return (other.rule, other.joint) == (NAME, cause.joint)


@once
def broken(m, brief):
    """True where a segment is too long or too short, (..., drawings, segments)."""
    change = np.abs(measure(m)) * m.lengths
    flags = change >= JUST * np.maximum(brief.tolerance(NAME) * m.lengths, LEAST)
    return flags & (change > UNSTEADY * m.unsteady_length) if flags.any() else flags


def findings(limb, m, brief):
    flags, breathes = broken(m, brief), broken_whole(m, brief)
    change = measure(m)
    found = [_breathing(limb, m, brief, change[:, k], k) for k in np.flatnonzero(breathes)]
    for k in range(m.segments):
        for group in runs(flags[:, k] & m.drawn, m.loop):
            found.append(_finding(limb, m, brief, change, k, group))
    return found


def _finding(limb, m, brief, change, k, group):
    worst = max(group, key=lambda d: round(abs(change[d, k]), 6))  # alike but for rounding: the first
    numbers = tuple(d + 1 for d in group)
    name = part(limb, k)
    drawn, model = m.length[worst, k], m.lengths[k]
    tolerance = brief.tolerance(NAME)
    allowed = max(tolerance, LEAST / model)
    either_way = f"{100 * tolerance:g} %" if tolerance >= LEAST / model else f"{LEAST:g} mm"
    verb = "grows" if change[worst, k] > 0 else "shrinks"
    if len(group) == m.count:
        numbers, where = (), "in every drawing"
    else:
        where = f"at {run(numbers)}"
    at = f" at {worst + 1}" if len(group) > 1 else ""
    return Finding(
        rule=NAME, limb=limb.name, joint=limb.joints[k + 1], drawings=numbers,
        measured=100.0 * abs(float(change[worst, k])), allowed=100.0 * allowed, unit="%",
        head=f"The {name} {verb} {where}.",
        amount=f"It is {drawn:.1f} mm{at}; the model sheet says {model:.1f} mm.",
        cells=tuple((d, k) for d in group), moves=tuple(d + 1 for d in group),
        shows=f"{drawn:.1f} mm", looked_for=f"{model:.1f} mm, {either_way} either way",
        short=f"{name} {abs(drawn - model):.1f} mm {'longer' if drawn > model else 'shorter'} than on the model sheet",
    )


def _breathing(limb, m, brief, change, k):
    name, model = part(limb, k), m.lengths[k]
    grown, shrunk = int(np.argmax(change)), int(np.argmin(change))
    by, allowed = 100.0 * float(breath(m, brief)[k]), 100.0 * brief.tolerance("breathing")
    shown, most = told_apart(by, allowed, 1)
    return Finding(
        rule=NAME, limb=limb.name, joint=limb.joints[k + 1], drawings=(), measured=by, allowed=allowed, unit="%",
        head=f"The {name} breathes: it is longest at {grown + 1} and shortest at {shrunk + 1}.",
        called=f"The {name} breathes.",
        amount=f"It is {m.length[grown, k]:.1f} mm at {grown + 1} and {m.length[shrunk, k]:.1f} mm at {shrunk + 1}; the model sheet "
               f"says {model:.1f} mm.",
        then=f"Lay {grown + 1} over {shrunk + 1}.", cells=((WHOLE, k),),
        shows=f"grows and shrinks by {shown} %", looked_for=f"at most {most} %",
        short=f"{name} grows and shrinks by {shown} % over the loop",
    )


RULE = Rule(
    name=NAME, order=1, flip=8, lessons=("02_lantern", "07_hand"),
    asks="no part grows or shrinks", why="a part that grows or shrinks looks like rubber", kept="lengths kept",
    tolerances=(Tolerance(NAME, 0.03, "length on the model sheet; never less than 0.75 mm", 0.045, 0.02),
                Tolerance("breathing", 0.018, "length on the model sheet, either way over a loop; never less than 0.5 mm", 0.027, 0.012)),
    about="length", rank=0, felt=0, cure="trace", judged=judged, broken=broken, broken_whole=broken_whole,
    findings=findings, explains=explains,
)
