"""Arcs: every joint travels on its arc; no drawing jumps off it.

The measure is how far a joint lies across its path from where its neighbours
put it, against the local spacing. One drawing that stands clear of a quiet loop
is judged more finely, for the eye rests on it; a loop that stands out all along,
and drawings exposed unlike, less finely; what comes twice in a loop, half of it
apart, is the shape of its path. In an action that does not loop the first
and the last drawing are what it starts from and leads to, and are not judged.
Source: common practice, no source. Tolerance chosen by trial.
"""

import numpy as np

from ..model.words import capital, shown, the, told_apart, verb
from .finding import Finding
from .rule import SEEN, Rule, Tolerance, once

NAME = "arc"
LEAST = 1.5  # mm, for pencils have a width
LEAST_CLEAR = 1.0  # mm, where one drawing stands clear of a quiet loop
FINER = 0.38  # of the tolerance, there
UNLIKE = 1.6  # times as much where exposures differ: a drawing held long is a stop, and the way round it no cubic
COARSER = 1.7  # times as much in a loop that stands out all along
ONE_SIDED = 3.0  # times as much where nothing loops, at the drawing after the first and at the one before the last
UNSTEADY = 7.0  # times what an unsteady pencil adds: less is put down to it
APART = 2.0  # times what stands out where the loop is quiet: less is the manner of the whole loop
SURE = 0.75  # share of what is left over that must stand out: less is a path that turns sharply


def judged(m):
    """Why the rule cannot judge a limb, or an empty text where it can."""
    return "" if m.enough else f"{m.count} drawings are too few to tell an arc from"


def measure(m):
    """Distance off the arc, to its left positive, mm, (..., drawings, joints)."""
    return m.path_residual.imag


def allowed(m, brief):
    """What is allowed, mm, (..., drawings, joints)."""
    return allowed_of(m, brief.tolerance(NAME), FINER)


def allowed_of(m, tolerance, finer):
    """What is allowed by a tolerance, mm, (..., drawings, joints): of a drawing that stands clear of a quiet loop `finer` of it."""
    usual = np.maximum(tolerance * m.spacing, LEAST)
    if not m.stack.alike.all():
        usual = usual * np.where(m.stack.alike, 1.0, UNLIKE)[:, None]
    if m.rough.any():
        usual = usual * np.where(m.rough, COARSER, 1.0)[..., None]
    if m.one_sided:
        usual[..., [1, -2], :] *= ONE_SIDED
    if not m.clear.any():
        return usual
    fine = np.maximum(np.maximum(finer * tolerance * m.spacing, LEAST_CLEAR), UNSTEADY * m.unsteady)
    return np.where(m.clear, np.minimum(usual, fine), usual)


@once
def broken(m, brief):
    """True where a joint is off its arc, (..., drawings, joints)."""
    return beyond(m, np.abs(measure(m)), brief.tolerance(NAME), FINER)


def beyond(m, off, tolerance, finer):
    """True where one drawing is out of place by more than is allowed, not merely a path that turns sharply: `outlier`
    confirms most of `residual`, stands apart from the rest of the loop, and does not come twice in it."""
    flags = m.peak & (off > np.maximum(finer * tolerance * m.spacing, LEAST_CLEAR) + SEEN)     # the least that is ever found
    if not flags.any():
        return flags
    flags &= (np.abs(m.outlier) > SURE * np.abs(m.residual)) & (m.stands_out > APART * m.quiet)
    flags &= off > allowed_of(m, tolerance, finer) + SEEN
    return flags & ~m.has_twin if flags.any() else flags


def way(m):
    """True where a joint is off its path to the left, False to the right, (..., drawings, joints)."""
    return measure(m) > 0


def findings(limb, m, brief):
    flags = broken(m, brief)
    if not flags.any():
        return []
    off, limit = measure(m), allowed(m, brief)
    return [_finding(limb, m, off[d, j], limit[d, j], d, j) for d, j in np.argwhere(flags)]


def _finding(limb, m, off, limit, d, j):
    joint = limb.joints[j]
    # Inside is where the path turns to: the second difference of the parabola through the neighbours.
    around = m.stack.around[:, d]
    apart = (around - d + m.count // 2) % m.count - m.count // 2 if m.loop else around - d
    inside = (np.polyfit(apart, m.z[around, j], 2)[0] * m.along[d, j].conj()).imag
    side = "inside" if off * inside > 0 else "outside"
    drawn, most = told_apart(abs(off), limit, 1)
    arc = verb(joint, "its", "their") + " arc"
    return Finding(
        rule=NAME, limb=limb.name, joint=joint, drawings=(int(d) + 1,),
        measured=abs(float(off)), allowed=float(limit), unit="mm",
        head=f"{capital(the(joint))} {verb(joint, 'jumps', 'jump')} off {arc} at {d + 1}.",
        called=f"{capital(the(joint))} {verb(joint, 'jumps', 'jump')} at {d + 1}.",
        amount=f"{verb(joint, 'It lies', 'They lie')} {drawn} mm {side} {arc}, where {most} mm are allowed.", cells=((int(d), int(j)),), moves=(int(d) + 1,),
        shows=f"{drawn} mm {side}", looked_for=f"at most {most} mm",
        short=f"{shown(joint)} {drawn} mm off {arc}",
    )


def excess(m, brief):
    """Times what is allowed, (..., drawings, joints)."""
    return np.abs(measure(m)) / allowed(m, brief)


RULE = Rule(
    name=NAME, order=2, flip=3, lessons=("02_lantern",),
    asks="every joint travels on its arc", why="a joint beside its arc is seen as a twitch", kept="every joint on its arc",
    tolerances=(Tolerance(NAME, 0.35, "local spacing, across the path; never less than 1.5 mm", 0.52, 0.23),),
    about="place", rank=5, tried_alone="place", judged=judged, broken=broken, findings=findings, excess=excess, way=way,
)
