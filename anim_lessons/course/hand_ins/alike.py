"""The same drawings from two learners. It is said only where somebody asks, and it is no proof of anything.

Drawings are compared by the angles of their parts, so that place, size and a turned sheet make no difference; begun at any
drawing, mirrored, and from the back. What the light table draws by itself is left out first: the drawings given, their
corrections, and the dot of the guide followed exactly; for two learners who follow it have the same drawings, and nothing was
handed on. Where fewer than LEAST own drawings are left, nothing can be said. The numbers below were chosen by trial on invented
classes (`test_alike`).
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np

from ...assist.guide import guide, placed
from ...assist.mend import mend
from ...assist.passes import Progress
from ...geometry.limb import angles
from ...judging.judge import check
from ...model.action import ActionError

LEAST = 6           # own drawings, below which nothing is said
SAME = 0.05         # degrees: a drawing nearer than this in every part is the same one
SHARE = 0.3         # of the own drawings that are the same
NEAR = 0.7          # degrees of the part that differs most, median over the own drawings: so near no two hands come
BESIDE = 3.0        # degrees: who follows the dot by hand is so near to it, and so to all others who do
MOST_ASKED = 400    # times that the guide is asked while its dot is followed


@dataclass(frozen=True)
class _Stack:
    """One learner's drawings: angles of all parts, degrees, (drawings, parts); which drawings are their own, and which of them
    are not even beside what the light table draws."""

    who: str
    angles: np.ndarray
    own: np.ndarray
    far: np.ndarray


def same_drawings(results, drawings, assignment):
    """Where two learners handed in the same drawings.

    Parameters
    ----------
    results : Results
    drawings : dict of str to Action
        Of each who what counts.
    assignment : Assignment

    Returns
    -------
    tuple of str
        A sentence a pair, then one that says of how many nothing can be said.
    """
    names = {one.who: one.name for one in results.results}
    made = _made_by_the_table(assignment)
    stacks, few = [], 0
    for who, action in drawings.items():
        drawn = _angles(action)
        table = [one for one in made if one.shape[1] == drawn.shape[1]]
        own, far = ~_among(drawn, table, SAME), ~_among(drawn, table, BESIDE)
        if own.sum() < LEAST or drawn.shape[1] < 2:     # one part alone swings alike for everybody
            few += 1
        else:
            stacks.append(_Stack(who, drawn, own, far))
    said = []
    for one, other in combinations(stacks, 2):
        how = _alike(one, other)
        if how is not None:
            said.append(f"{names[one.who]}: the same drawings as {names[other.who]}{how}.")
    if few:
        said.append(f"Of {few} hand-in{'s' if few > 1 else ''} nothing can be said: fewer than {LEAST} of the drawings are not as the light table "
                    "gives them.")
    return tuple(said) or ("No two learners have the same drawings.",)


def _angles(action):
    """Angles of all parts of all limbs, by the limbs' names, (drawings, parts), degrees."""
    return np.concatenate([angles(limb.drawings) for limb in sorted(action.limbs, key=lambda limb: limb.name)], axis=1)


# ---- what the light table draws ------------------------------------------------------


def _made_by_the_table(assignment):
    """Angles of what the light table gives and draws for everybody alike, a list of (drawings, parts)."""
    start, brief = assignment.start, assignment.brief
    if start is None:
        return []
    made = [start]
    verdict = check(start, brief)
    made += [finding.correction.laid_in(start) for finding in verdict.causes if finding.correction is not None]
    try:
        made.append(mend(start, brief).action)
    except ActionError:
        pass    # nothing is mended where nothing is drawn
    made.append(_by_the_dot(start, brief))
    return [_angles(action) for action in made + [action.mirrored() for action in made]]


def _by_the_dot(start, brief):
    """The start drawn on by the guide's dot alone, as far as it leads."""
    action = start
    for _ in range(MOST_ASKED):
        place = Progress(action, start).next_place(brief.way)
        if place is None:
            break
        limb, joint, number, _ = place
        try:
            found = guide(Progress(action, start).layer(limb, joint, apart=number), limb, joint, number, brief)
            if found.asked is None:
                break
            action = placed(action, limb, joint, number, found.asked)
        except ActionError:
            break
    return action


def _among(drawn, made, within):
    """True where a drawing is one of those to so many degrees, whatever its number, (drawings,)."""
    if not made or not drawn.shape[1]:
        return np.zeros(len(drawn), bool)
    made = np.concatenate(made)
    return (np.abs(_wrapped(drawn[:, None] - made[None])).max(axis=-1) < within).any(axis=1)


# ---- one learner's beside another's --------------------------------------------------


def _alike(one, other):
    """How the drawings of one are those of the other, in words; None where they are not."""
    if one.angles.shape != other.angles.shape:
        return None
    best = None
    count = len(one.angles)
    begins = (np.arange(count)[:, None] + np.arange(count)) % count     # of each drawing of theirs to begin with
    for mirrored in (False, True):
        for back in (False, True):
            theirs, own, far = (180.0 - other.angles if mirrored else other.angles), other.own, other.far
            if back:
                theirs, own, far = theirs[::-1], own[::-1], far[::-1]
            both, beyond = one.own & own[begins], one.far & far[begins]
            apart = _wrapped(one.angles - theirs[begins])
            same = np.where(both.sum(axis=1) >= LEAST, _same(apart, both), 0.0)
            near = np.where(beyond.sum(axis=1) >= LEAST, _near(apart, beyond), np.inf)
            for first in np.flatnonzero((same >= SHARE) | (near < NEAR)):
                if best is None or (-same[first], near[first]) < best[0]:
                    best = (-same[first], near[first]), _told(mirrored, back, int(first), count)
    return None if best is None else best[1]


def _same(apart, both):
    """Share of the own drawings that differ by one turn of the sheet alone, of each begin, (begins,)."""
    turns = np.where(both & (np.ptp(apart, axis=-1) < 2 * SAME), np.median(apart, axis=-1), np.inf)
    turns.sort(axis=1)
    most = [max(np.searchsorted(row, row + 2 * SAME, "right") - np.arange(len(row))) if len(row) else 0
            for row in (row[np.isfinite(row)] for row in turns)]
    return np.array(most) / np.maximum(both.sum(axis=1), 1)


def _near(apart, both):
    """How far an own drawing lies from theirs where it lies farthest, the median over the drawings, of each begin, degrees."""
    weight = both[..., None]
    mean = (np.exp(1j * np.deg2rad(apart)) * weight).sum(axis=(1, 2))
    apart = _wrapped(apart - np.rad2deg(np.angle(mean))[:, None, None])
    parts = np.broadcast_to(weight, apart.shape).reshape(len(apart), -1)
    apart = apart - _median(apart.reshape(len(apart), -1), parts)[:, None, None]    # a turned sheet turns all parts alike
    return _median(np.abs(apart).max(axis=-1), both)


def _median(values, mask):
    """The lower median of what the mask lets through, row by row; infinity where it lets nothing."""
    ordered = np.sort(np.where(mask, values, np.inf), axis=1)
    return ordered[np.arange(len(values)), np.maximum(mask.sum(axis=1) - 1, 0) // 2]


def _told(mirrored, back, first, count):
    how = ["mirrored"] * mirrored + ["from the back"] * back
    number = count - first if back else first + 1
    how += [f"from {number}"] * (number != (count if back else 1))
    return f" ({', '.join(how)})" if how else ""


def _wrapped(degrees):
    return (degrees + 180.0) % 360.0 - 180.0
