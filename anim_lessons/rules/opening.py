"""Opening: a joint that began to open, or to close, goes on to its extreme.

The bend of each segment against its parent is looked at between its extremes,
in the inner part of its range. The step of the bend into a drawing is held
against the step that the neighbours let expect: a small part of it is a lock
(the same angle traced twice), a step the other way is a close. The last of three
or more parts only trails; of it one drawing is told that lies beside where it
trails before and after.
Source: common practice, no source. Tolerance chosen by trial.
"""

from functools import lru_cache

import numpy as np

from ..model.words import amount, capital, part, shown, the, told_apart, verb
from .finding import Finding
from .rule import Rule, Tolerance, once

NAME = "opening"
INNER = 0.2     # of the range, left out at each end: round an extreme a joint may rest
LEAST = 2.5     # degrees: a smaller step is too small to lock
STILL = 0.4     # degrees: a step below it is the same angle traced
BACK = 0.1      # of the step looked for: further the other way it goes back, and does not merely lock
BREAKS = 7.0    # degrees: the last of three or more parts stands out by less only because it trails
OF_STEP = 0.5   # of its own steps round there, the same
COARSE = 1.6    # times as much where nothing loops, and in a rough loop
QUIET = 2.0     # times what stands out where the loop is quiet, the same
LAST = 4        # rank of such a fault among causes: where the part leads, drag is the more exact thing to say
SHY = 8.0       # degrees: a joint that bends less than this in all is held, not opening


def judged(m):
    """Why the rule cannot judge a limb, or an empty text where it can."""
    if m.segments < 2:
        return "there is no joint that opens"
    return "" if m.enough else f"{m.count} drawings are too few to tell what a step should be"


def steps(m):
    """The step of each bend into each drawing, and the step looked for, degrees.

    Returns
    -------
    drawn, looked_for, out : ndarrays, shape (..., drawings, segments)
        `out` is how far the bend stands out at each drawing.
    """
    drawn = m.detrended_bend - m.stack.earlier(m.detrended_bend)
    looked_for = drawn - m.bend_residual
    if not m.loop:
        drawn[..., 0, :] = looked_for[..., 0, :] = 0.0
    return drawn, looked_for, m.bend_outlier


@once
def broken(m, brief):
    """True where a bend locks or goes the wrong way, (..., drawings, segments); never at the first segment,
    nor at the last of three or more."""
    flags = np.zeros(m.bend.shape, bool)
    # The last of three or more parts only follows: how it trails is the question of drag.
    asked = slice(1, m.segments - 1 if m.segments > 2 else None)
    drawn, looked_for, out, bend, low, high = (array[..., asked] for array in (*steps(m), m.bend, *m.bend_range))
    size, missing = np.abs(looked_for), np.abs(looked_for - drawn)
    short = drawn * np.sign(looked_for) < brief.tolerance(NAME) * size     # too small a part, or the other way
    short &= (size >= LEAST) & (missing > 1.0)
    still = traced(m, drawn)
    if short.any():
        short &= (missing > 6.0 * m.unsteady_bend[..., asked]) & _is_outlier(m, out, missing)
    if short.any() or still.any():
        flags[..., asked] = _on_its_way(m, asked, short, still, drawn, looked_for, bend, low, high)
    if m.segments > 2:
        flags[..., -1] = breaks_out(m)
    return flags if m.sure is True else flags & m.sure[:, None, None]


def _on_its_way(m, asked, short, still, drawn, looked_for, bend, low, high):
    """Which of the bends that are `short` of their step, or stand `still`, do so between their extremes, and not because the
    whole limb is held, the same shape."""
    size = np.abs(looked_for)
    to = bend - drawn + looked_for          # where the step should lead, and half way there
    middle = to - looked_for / 2.0
    inner = INNER * (high - low)
    low, high, shy = low + inner, high - inner, high - low < SHY
    between = (to > low) & (to < high) | (middle > low) & (middle < high)
    # Nor is it at its extreme where the step before leads there and the next one on, by more than was looked for here.
    on = [beside(drawn) * np.sign(looked_for) for beside in (m.stack.earlier, m.stack.later)]
    between |= (drawn * np.sign(looked_for) > -STILL) & (on[0] > STILL) & (on[1] > size)
    between &= ~shy
    if m.one_sided:
        between[..., [1, -2, -1], :] = False    # it may begin from rest and come to rest
    stands = between & short
    if stands.any():
        # Two parts whose turns are each in order keep to their charts, whatever the bend between them does.
        wrong = m.turns_out_of_order[..., asked]
        stands &= wrong | m.stack.earlier(wrong)
        # The same half a loop later is the shape of the movement.
        twin = m.bend_has_twin[..., asked]
        stands &= ~(twin | m.stack.earlier(twin))
    stands |= between & still
    return stands & ~m.rests[..., None] if stands.any() else stands     # the whole limb may be held


def breaks_out(m):
    """True where the last of three or more parts is not where it trails before and after, (..., drawings)."""
    out, left = np.abs(m.bend_outlier[..., -1]), np.abs(m.bend_residual[..., -1])
    peak = (out >= m.stack.earlier(out, -1)) & (out >= m.stack.later(out, -1)) & (out > BREAKS)
    if not peak.any():
        return peak
    least = np.maximum(np.maximum(OF_STEP * m.last_bend_step, BREAKS), np.maximum(7.5 * m.unsteady_bend[..., -1], QUIET * m.quiet_bend))
    found = peak & (out > 0.75 * left) & (out > least)
    if not found.any():
        return found
    # What does not loop may start and settle sharply, and in a rough loop much stands out.
    return found & (out > np.where(m.rough | m.one_sided, COARSE, 1.0) * least) & ~m.bend_has_twin[..., -1]


def traced(m, drawn):
    """True where a bend is traced twice or more on its way, (..., drawings, segments): several drawings
    locked one after the other deceive their neighbours, but stand still among five steps that do not."""
    stands = np.abs(drawn) < STILL
    if not m.loop:
        stands[..., 0, :] = False    # nothing comes before the first drawing
    stands &= m.stack.earlier(stands) | m.stack.later(stands)
    return stands & (np.abs(usual(m, drawn)) > 2 * LEAST) if stands.any() else stands


def usual(m, drawn):
    """The mean of the five steps round each, degrees, (..., drawings, segments)."""
    return _five(m.count, m.loop) @ drawn


@lru_cache(maxsize=64)
def _five(count, loop):
    """Times steps: the mean of five, shape (drawings, drawings)."""
    at = np.arange(count) if loop else np.clip(np.arange(count), 3, count - 3)
    mean = np.zeros((count, count))
    for s in range(-2, 3):
        mean[np.arange(count), (at + s) % count] += 0.2
    return mean


def _is_outlier(m, out, missing):
    """True where this drawing's bend, or that of the one before, is what is out of place there; a short
    step beside a drawing out of place is only felt from it."""
    size = np.abs(out)
    peak = (size >= m.stack.earlier(size)) & (size >= m.stack.later(size))
    size = np.where(peak, size, 0.0)
    return np.maximum(size, m.stack.earlier(size)) > 0.5 * missing


def way(m):
    """True where a bend goes back, False where it locks, (..., drawings, segments)."""
    drawn, looked_for, _ = steps(m)
    return drawn * np.sign(looked_for) < -BACK * np.abs(looked_for)


def findings(limb, m, brief):
    flags = broken(m, brief)
    if not flags.any():
        return []
    drawn, looked_for, out = steps(m)
    # Where the drawing before went too far, that one is out of place and this one only waits for it.
    early = np.abs(out[m.stack.before]) > 1.05 * np.abs(out)
    # The mean of the steps there is not deceived by a drawing too far on, nor by several locked in a row.
    mean = usual(m, drawn)
    deceived = traced(m, drawn) | early & (np.abs(mean) > np.abs(looked_for)) & (mean * looked_for > 0)
    looked_for = np.where(deceived, mean, looked_for)
    found = []
    for d, k in np.argwhere(flags):
        if k > 1 and k == m.segments - 1:
            found.append(_last(limb, m, int(d)))
            continue
        found.append(_finding(limb, m, brief, drawn[d, k], looked_for[d, k], int(d), int(k), early[d, k]))
    return found


def _finding(limb, m, brief, drawn, looked_for, d, k, early):
    joint, before = limb.joints[k], m.stack.before[d] + 1
    start = m.bend[d, k] - drawn
    opens = abs(start + looked_for) < abs(start)  # towards straight
    way, does = ("open", "opening") if opens else ("close", "closing")
    onward = drawn * np.sign(looked_for)
    least = brief.tolerance(NAME) * abs(looked_for)
    numbers = moves = (d + 1,)
    other = "close" if opens else "open"
    it = verb(joint, "it", "they")
    size, most = told_apart(onward, least, 1)
    shows = f"{verb(joint, f'{way}s', way)} {size}°" if onward > -0.05 else \
        f"{verb(joint, f'{other}s', other)} {amount(-onward, 1)}°"
    back = onward < -BACK * abs(looked_for)
    if back:
        head = f"{capital(the(joint))} {verb(joint, f'{other}s', other)} at {d + 1} in the middle of {does}."
    else:
        head = f"{capital(the(joint))} {verb(joint, 'locks', 'lock')} at {d + 1}."
    called = f"{capital(the(joint))} {verb(joint, f'{other}s', other)} at {d + 1}." if back else ""
    if early:
        called = ""
        numbers = moves = (int(before),)
        head = f"{capital(the(joint))} {verb(joint, f'{way}s', way)} too far at {before}."
        text = f"So {d + 1} {'comes back' if back else 'waits'}: there {it} {shows} where about {abs(looked_for):.0f}° are looked for."
    elif back:
        text = f"{it.capitalize()} {shows}, where {it} should {way} by about {abs(looked_for):.0f}°."
    else:
        text = f"{it.capitalize()} should {way} by about {abs(looked_for):.0f}° from {before} and {shows}."
    return Finding(
        rule=NAME, limb=limb.name, joint=joint, drawings=numbers,
        measured=float(onward), allowed=float(least), unit="deg", head=head, called=called, amount=text,
        cells=((d, k),), moves=moves,
        shows=shows, looked_for=f"{abs(looked_for):.1f}°, at least {most}°",
        short=f"{shown(joint)} {shows}; about {abs(looked_for):.0f}° looked for",
    )


def _last(limb, m, d):
    """Of the last of three or more parts."""
    k, out = m.segments - 1, float(m.bend_outlier[d, -1])
    name, joint = part(limb, k), limb.joints[k]
    drawn = told_apart(abs(out), BREAKS, 0)[0]
    return Finding(
        rule=NAME, limb=limb.name, joint=joint, drawings=(d + 1,), measured=abs(out), allowed=BREAKS, unit="deg",
        head=f"The {name} breaks out at {d + 1}.",
        amount=f"It lies {drawn}° beside where it trails before and after.", cells=((d, k),), moves=(d + 1,), rank=LAST,
        shows=f"{drawn}° beside its place", looked_for="where it trails before and after",
        short=f"{name} {drawn}° beside its place",
    )


RULE = Rule(
    name=NAME, order=4, flip=4, lessons=("05_elbow",),
    asks="a joint that began to open or to close goes on to its extreme",
    why="a joint that stops on its way stops all that hangs from it", kept="no joint locks or turns back on the way",
    tolerances=(Tolerance(NAME, 0.25, "step that the neighbours let expect", 0.17, 0.38),),
    about="bend", rank=2, trails=True, tried_alone="bend", judged=judged, broken=broken, findings=findings, way=way,
)
