"""Arcs: every joint travels on its arc; no drawing jumps off it.

The measure is how far a joint lies across its path from where its neighbours
put it, against the local spacing.
Source: common practice, no source. Tolerance chosen by trial.
"""

import numpy as np

from ..finding import Finding
from ..words import verb

NAME = "arc"
LEAST = 2.0  # mm, for pencils have a width


def judged(m):
    """Why the rule cannot judge a limb, or an empty text where it can."""
    return "" if m.enough else f"{m.count} drawings are too few to tell an arc from"


def measure(m):
    """Distance off the arc, to its left positive, mm, (..., drawings, joints)."""
    return m.off.imag


def allowed(m, brief):
    """What is allowed, mm, (..., drawings, joints)."""
    return np.maximum(brief.tolerance(NAME) * m.spacing, LEAST)


def broken(m, brief):
    """True where a joint is off its arc, (..., drawings, joints)."""
    return isolated(m) & (np.abs(measure(m)) > allowed(m, brief))


def isolated(m):
    """True where one drawing is out of place, not merely a path that turns sharply:
    `stands_out` confirms most of `left_over`."""
    return m.peak & (np.abs(m.stands_out) > 0.75 * np.abs(m.left_over))


def findings(limb, m, brief):
    flags = broken(m, brief)
    if not flags.any():
        return []
    off, limit = measure(m), allowed(m, brief)
    return [_finding(limb, m, off[d, j], limit[d, j], d, j) for d, j in np.argwhere(flags)]


def _finding(limb, m, off, limit, d, j):
    joint = limb.joints[j]
    # Inside is where the path turns to: the side on which its neighbours' chord passes.
    before, after = m.z[m.stack.before[d], j], m.z[m.stack.after[d], j]
    wide_a, wide_b = m.z[m.stack.around[0][d], j], m.z[m.stack.around[3][d], j]
    inside = ((wide_a + wide_b - before - after) * m.along[d, j].conj()).imag
    side = "inside" if off * inside > 0 else "outside"
    left, right = m.stack.before[d] + 1, m.stack.after[d] + 1
    return Finding(
        rule=NAME, limb=limb.name, joint=joint, drawings=(int(d) + 1,),
        measured=abs(float(off)), allowed=float(limit), unit="mm",
        head=f"The {joint} {verb(joint, 'jumps', 'jump')} off {verb(joint, 'its', 'their')} arc at {d + 1}.",
        text=f"{abs(off):.1f} mm {side} it, where {limit:.1f} mm are allowed. "
             f"Lay {left} and {right} under {d + 1} and put the {joint} between them, on the curve.",
        shows=f"{abs(off):.1f} mm {side}", looked_for=f"at most {limit:.1f} mm",
        short=f"{joint} {abs(off):.1f} mm off {verb(joint, 'its', 'their')} arc",
    )
