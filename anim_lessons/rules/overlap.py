"""Overlap: not everything moves at once; each part turns later than the one that carries it.

The measure is the lag of the first harmonic of each segment's angle on the
paper behind its parent's, in drawings of a 24-drawing loop.
Source: common practice, no source. A convention of loose, driven action, as when
a body swings an arm, and not a law of bodies: in a recorded walk the shank comes
after the thigh, but a hand that is led by what it holds comes first, and a chain
that is swung slowly hangs in one line. Tolerance chosen by trial.
"""

import numpy as np

from ..measures.loops import median
from ..model.words import amount, capital, part, told_apart
from .finding import WHOLE, Finding
from .rule import LOOP, Rule, Tolerance, once

NAME = "overlap"
SURELY = 2.0  # times the share up to which the whole range of a bend is looked at
UNSURE = 2.5  # times what an unsteady pencil does to a lag: so much earlier it must be, to be told
SHY = 2.0  # degrees of swing, below which a part has no phase to speak of
HARDLY = 0.1  # of the widest swing that carries it: what swings by less keeps its direction
CHANCE = 3.0  # times what the unsteadiness of its own directions does to its swing: what swings by less may do so by chance


def judged(m):
    """Why the rule cannot judge a limb, or an empty text where it can."""
    if m.segments < 2:
        return "there is only one part, which cannot overlap with another"
    if not m.loop:
        return "lag is told from a loop, and this action does not loop"
    if not m.enough:
        return f"{m.count} drawings are too few to tell a lag from"
    if not swings(m).any():
        return "no two parts next to each other swing enough to tell a lag from"
    return ""


@once
def swings(m):
    """True where a segment and its parent both swing enough to be judged, (..., segments - 1)."""
    size = np.abs(m.angle_harmonic)
    return (size[..., 1:] >= SHY) & (size[..., :-1] >= SHY)


def unsure(limb, m):
    """Why nothing can be told of a part, or an empty text: it hardly swings on what swings. A cloth whose outer parts keep
    their direction does not follow through; a hand may well keep its own, so it is not called wrong."""
    still = keeps_direction(m)
    if not still.any():
        return ""
    k = int(np.argmax(still))
    return f"the {part(limb, k + 1)} nearly keeps its direction while what carries it swings {amount(2.0 * _carried(m)[k])}°"


def _carried(m):
    """The widest swing that carries each part but the first, degrees either side, (..., segments - 1)."""
    return np.maximum.accumulate(np.abs(m.angle_harmonic), axis=-1)[..., :-1]


@once
def keeps_direction(m):
    """True where a part hardly swings on what swings, (..., segments - 1)."""
    swing, carried = np.abs(m.angle_harmonic), _carried(m)
    least = np.maximum(SHY, HARDLY * carried)
    hardly = swing[..., 1:] < least
    if m.by_hand:
        out = median(np.abs(m.stack.outlier @ m.angle).swapaxes(-1, -2)) / m.stack.unsteady_gain
        # The median of a normal deviate is 0.674 standard deviations; a sine in n drawings, each off by s, is off by s sqrt(2 / n).
        hardly |= swing[..., 1:] < CHANCE * (out[..., 1:] / 0.674) * np.sqrt(2.0 / m.count)
    round_it_goes = np.abs(m.angle[..., -1, 1:] - m.angle[..., 0, 1:]) > 180.0     # keeps no direction, though it may not swing
    return (carried >= SHY) & hardly & ~round_it_goes


def lag(m):
    """Lag of each segment behind its parent, drawings of a 24-drawing loop, (..., segments - 1)."""
    return np.angle(m.angle_harmonic[..., :-1] * m.angle_harmonic[..., 1:].conj()) * (12.0 / np.pi)


def broken_whole(m, brief):
    """True where a part turns with its parent or before it, (..., segments - 1)."""
    flags = swings(m) & ~keeps_direction(m) & (lag(m) < brief.tolerance(NAME))
    if not m.by_hand:
        return flags
    return flags & (lag(m) + UNSURE * unsteady(m) < brief.tolerance(NAME)) if flags.any() else flags


def unsteady(m):
    """What an unsteady pencil does to `lag`, one standard deviation at most, drawings of a 24-drawing loop,
    (..., segments - 1): the phase of a sine of size A in n drawings that are each off by s is off by s sqrt(2 / n) / A."""
    off = np.degrees(np.sqrt(2.0) * m.unsteady[..., 0] / m.lengths) * np.linalg.norm(m.stack.wave) / np.sqrt(2.0)
    phase = off / np.maximum(np.abs(m.angle_harmonic), 1e-9)
    return (phase[..., 1:] + phase[..., :-1]) * (12.0 / np.pi)


def findings(limb, m, brief):
    flags = broken_whole(m, brief)
    late = lag(m)
    return [_finding(limb, m, brief, float(late[k]), k + 1) for k in np.flatnonzero(flags)]


def _finding(limb, m, brief, late, k):
    """In drawings of the loop as it is drawn, for those are seen."""
    allowed = brief.tolerance(NAME)
    child, parent = part(limb, k), part(limb, k - 1)
    shown, least = told_apart(late * (own := m.count / 24.0), allowed * own, 1)
    if late * own > -0.05:
        head = f"{capital(parent)} and {child} turn together."
        called = f"The {child} turns too soon."
        text = f"The {child} is {shown} drawings behind; {least} are looked for."
        then = f"Hold the {child} back until the {parent} has turned."
        shows, of = f"{shown} drawings behind", ""
    else:
        head = f"The {child} turns before the {parent}."
        called = f"The {child} turns too soon."
        shows, of = f"{amount(-late * own, 1)} drawings ahead", " of"
        text = f"It is {amount(-late * own, 1)} drawings ahead, where {least} behind are looked for."
        then = f"Draw the {parent} first, then the {child}."
    return Finding(
        rule=NAME, limb=limb.name, joint=limb.joints[k + 1], drawings=(),
        measured=late, allowed=allowed, unit="drawings", head=head, called=called, amount=text, then=then,
        cells=((WHOLE, k - 1),),
        shows=shows, looked_for=f"{least} drawings behind or more",
        short=f"{child} {shows}{of} the {parent}",
    )


def explains(cause, other):
    """A part that turns with its parent, or before it, also leads it: where it scoops in a row, that follows."""
    return other.rule == "drag" and len(other.drawings) > 1


def advice(limb, m, brief, at_fault=()):
    """Advice where a limb of several parts swings like a stick: its joints bend by next to nothing of what carries them."""
    most = brief.tolerance("stick")
    first, *_ = wave = m.angle_harmonic
    # A range is told from the whole loop; where the first harmonic bends by far more, there is nothing to look for.
    if abs(wave[1] - first) > SURELY * most * abs(first) or broken_whole(m, brief).any() or not swings(m).all():
        return []
    carried = np.ptp(m.angle[:, :-1], axis=0)
    if (np.ptp(m.bend[:, 1:], axis=0) >= most * carried).any():
        return []
    return [f"The {limb.name} swings like a stick: nothing in it bends by more than {100 * most:.0f} % of what carries it. "
            f"Hold the {part(limb, 1)} back until the {part(limb, 0)} is half way."]


RULE = Rule(
    name=NAME, order=7, flip=6, lessons=("03_pennant", "04_mooring_rope"), scope=LOOP,
    asks="each part turns later than the one that carries it", why="parts that turn together are one stiff part",
    kept="each part turns after the one that carries it",
    tolerances=(Tolerance(NAME, 0.4, "drawings of a 24-drawing loop", 0.27, 0.5),
                Tolerance("stick", 0.2, "swing of the part that carries it: less bend is advised against")),
    about="timing", cure="wait", judged=judged, unsure=unsure, broken_whole=broken_whole, findings=findings, explains=explains,
    advice=advice,
)
