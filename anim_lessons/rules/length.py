"""Lengths kept: no part of a limb grows or shrinks between drawings.

A part that changes length reads as rubber; shift-and-trace keeps it.
Source: common practice, no source. Tolerance chosen by trial.
"""

import numpy as np

from ..model.words import part, run, runs
from .finding import Finding
from .rule import Rule, Tolerance

NAME = "length"
UNSTEADY = 5.0  # times what an unsteady pencil does to a length: less is put down to it
LEAST = 0.8  # mm: less cannot be told from the width of a pencil line


def judged(m):
    """Why the rule cannot judge a limb, or an empty text where it can."""
    return "" if m.segments else "a single joint has no length"


def measure(m):
    """Length of each segment against the model sheet, 0 where it is kept, (..., drawings, segments)."""
    return m.length / m.lengths - 1.0


def broken(m, brief):
    """True where a segment is too long or too short, (..., drawings, segments)."""
    least = np.maximum(LEAST, UNSTEADY * m.unsteady_length)
    return np.abs(measure(m)) * m.lengths > np.maximum(brief.tolerance(NAME) * m.lengths, least)


def findings(limb, m, brief):
    flags = broken(m, brief)
    if not flags.any():
        return []
    change = measure(m)
    found = []
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
        amount=f"{drawn:.1f} mm{at}, and {model:.1f} mm on the model sheet.",
        cells=tuple((d, k) for d in group), moves=tuple(d + 1 for d in group),
        shows=f"{drawn:.1f} mm", looked_for=f"{model:.1f} mm, {either_way} either way",
        short=f"{name} {abs(drawn - model):.1f} mm {'longer' if drawn > model else 'shorter'} than on the model sheet",
    )


RULE = Rule(
    name=NAME, order=1, flip=8, lessons=("02_lantern", "07_hand"),
    asks="no part grows or shrinks", why="a part that grows or shrinks looks like rubber", kept="lengths kept",
    tolerances=(Tolerance(NAME, 0.03, "length on the model sheet; never less than 1 mm"),),
    about="length", rank=0, felt=0, judged=judged, broken=broken, findings=findings,
)
