"""Opposition: two arms swing half a turn apart.

The measure is the phase between the end joints of two limbs, in turns of the
loop. A limb of the other side, whose stops are mirrored, is mirrored first.
Source: common practice, no source. Tolerance chosen by trial.
"""

import numpy as np

from ..geometry.angles import wrapped
from ..model.words import amount, capital, told_apart
from .finding import WHOLE, Finding
from .rule import LIMBS, Rule, Tolerance

NAME = "opposition"
MAKE = 0.2  # of a part's share of the limb: limbs that differ by more are not of one make,
SIZES = 0.5, 2.0  # times as large, so far apart as two limbs of one make may be in perspective,
ONE_SIDED = 20.0  # degrees: a joint that bends less to one side does not bend to that side
TURNED = 90.0  # degrees: nor are those whose first parts swing about directions further apart
SHY = 2.0  # mm: a smaller sway has no phase to speak of


def pairs(measures):
    """Which limbs oppose which: those of the same make, each with the next."""
    makes = []
    for index, m in enumerate(measures):
        for make in makes:
            if _alike(measures[make[0]], m):
                make.append(index)
                break
        else:
            makes.append([index])
    return [pair for make in makes for pair in zip(make, make[1:])]


def _alike(one, other):
    """True for limbs of as many parts in about the same proportions, whatever their joints are called (left wrist, right
    wrist) and also where one is drawn smaller, whose joints bend the same way or as in a mirror; of single joints, those of
    one name."""
    if one.joints != other.joints or not one.segments:
        return one.names == other.names
    ratio = one.lengths / other.lengths
    scale = one.lengths.sum() / other.lengths.sum()
    mirrored = -other.stops[:, ::-1]
    mirrored[0] += 180.0    # the first part is told from level
    return bool(SIZES[0] <= scale <= SIZES[1] and (np.abs(ratio / scale - 1.0) < MAKE).all()
                and (_bend_alike(one.stops, other.stops) or _bend_alike(one.stops, mirrored)))


def _bend_alike(one, other):
    """True where first parts swing about much the same direction, and each further joint bends to the same sides."""
    if abs(wrapped(one[0].mean() - other[0].mean())) > TURNED:
        return False
    sides = [np.stack([stops[1:, 1] > ONE_SIDED, stops[1:, 0] < -ONE_SIDED]) for stops in (one, other)]
    return bool((sides[0] == sides[1]).all())


def judged(measures):
    """Why the rule cannot judge an action, or an empty text where it can."""
    if not pairs(measures):
        return "there is only one limb, so nothing to oppose it" if len(measures) == 1 else \
            "no two limbs are of the same make, so nothing is opposed"
    if not measures[0].loop:
        return "phase is told from a loop, and this action does not loop"
    if not measures[0].enough:
        return f"{measures[0].count} drawings are too few to tell a phase from"
    return ""


def apart(a, b):
    """How far limb b is behind limb a, turns of the loop from 0 to 1, (...)."""
    one, other = a.place_harmonic[..., -1, :], b.place_harmonic[..., -1, :]
    if a.segments and _mirrored(a.stops, b.stops):
        other = other * [-1.0, 1.0]
    # The direction in which both sway most; for one phase needs one direction.
    both = one.real**2 + one.imag**2, other.real**2 + other.imag**2
    xx, yy = (both[0] + both[1])[..., 0], (both[0] + both[1])[..., 1]
    xy = ((one.conj() * one[..., ::-1]).real + (other.conj() * other[..., ::-1]).real)[..., 0]
    tilt = np.arctan2(2.0 * xy, xx - yy) / 2.0
    axis = np.stack([np.cos(tilt), np.sin(tilt)], axis=-1)
    first, second = (one * axis).sum(axis=-1), (other * axis).sum(axis=-1)
    turns = np.round(np.angle(first * second.conj()) / (2.0 * np.pi), 12) % 1.0     # never a hair below a whole turn
    return np.where((np.abs(first) > SHY) & (np.abs(second) > SHY), turns, 0.5)


def _mirrored(one, other):
    return np.abs(other[1:] + one[1:, ::-1]).sum() < np.abs(other[1:] - one[1:]).sum()


def broken(a, b, brief):
    """True where two limbs are not in opposition, (...)."""
    return np.abs(apart(a, b) - 0.5) > brief.tolerance(NAME)


def findings(limbs, measures, brief):
    found = []
    for one, other in pairs(measures):
        a, b = measures[one], measures[other]
        if not broken(a, b, brief):
            continue
        turns = float(apart(a, b))
        off = min(turns, 1.0 - turns)
        names = limbs[one].name, limbs[other].name
        allowed = brief.tolerance(NAME)
        shown, least = told_apart(off, 0.5 - allowed, 2)
        wanted = f"half, {least} to {amount(0.5 + allowed, len(least) - 2)}"
        if off < 0.15:
            head = f"{capital(names[0])} and {names[1]} swing together."
        else:
            head = f"{capital(names[1])} is not opposite to {names[0]}."
        found.append(Finding(
            rule=NAME, limb=names[1], joint=limbs[other].joints[-1], drawings=(),
            measured=0.5 - off, allowed=allowed, unit="turns", head=head, called="The arms are not opposed." if off >= 0.15 else "They swing together.",
            amount=f"They are {shown} of a turn apart, and opposition wants {wanted}.", cells=((WHOLE, 0),),
            shows=f"{shown} of a turn apart", looked_for=f"{wanted.replace('half', 'half a turn')}",
            short=f"{names[0]} and {names[1]} {shown} of a turn apart",
        ))
    return found


RULE = Rule(
    name=NAME, order=10, flip=7, lessons=("09_two_arms",), scope=LIMBS,
    asks="two limbs of one make swing half a turn apart", why="limbs that swing alike look tied together",
    kept="the limbs swing in opposition",
    tolerances=(Tolerance(NAME, 0.1, "turns either side of half a turn", 0.15, 0.067),),
    about="timing", cure="oppose", judged=judged, broken=broken, findings=findings, pairs=pairs,
)
