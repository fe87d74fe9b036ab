"""Work in layers, as the trade does it: first the elbow through the whole loop, for it pulls; then the
forearm, then the hand. What is not drawn yet goes on as a plan would have it.

The plan of a part is slow in and slow out between two extremes, later than the part that carries it;
the last of three parts trails behind the swing. What is drawn bends the plan: near a drawing the plan
goes through it, far from it the plan only keeps its middle and its swing.
"""

import numpy as np

from ..geometry.limb import angles, pose
from ..judging.brief import WAYS
from ..model.action import Limb
from ..rules.drag import BOTH_WAYS
from .plan import dots

SWING = 30.0        # degrees either side of its middle, for the first part
PULLED = 0.9        # of the swing of the part that carries it, for the parts between
LATER = 4.0 / 24.0  # of the loop, behind the part that carries it
TRAILS = 22.0       # degrees, for the last of three or more parts, at full swing
CLEAR = 6.0         # degrees that a plan stays away from the stops
MIDDLE, SWAY, HERE = 25.0, 15.0, 6.0   # degrees by which a drawing may shift the plan's middle, its swing, the plan near it
NEAR = 0.6          # how far `HERE` reaches, as a part of the loop's radius
PENCIL = 0.3        # degrees, by which a drawing need not be met
ASTRAY = 3.0        # standard deviations from where the others would have it
SAME = 0.02         # mm: a part nearer to the start than this is as it was given
STAYS = 2.0         # degrees from the plan, at which a part as given may stay,
STAYS_OF_A_STEP = 0.3   # or so much of the step that the plan takes there, where it hurries
UNTOUCHED = 0.25    # of the drawings: with more of a part as given it was not drawn through
STEADY = 1.0        # degrees: a part that turns by less in the drawings given is traced through all of them


def missing(limb, start, loop=True):
    """What is not drawn yet, (drawings, segments): parts that are still as the start has them, where it traces them
    through all drawings. One that was passed by and is just where the plan would have it may stay: it is drawn.

    Parameters
    ----------
    limb : Limb
    start : Limb or None
        The same limb in the drawings as given; None where nothing is known of them.
    """
    count, segments = len(limb.drawings), len(limb.joints) - 1
    if start is None or start.drawings.shape != limb.drawings.shape or not segments or not loop:
        return np.zeros((count, segments), bool)
    turn = np.ptp(np.unwrap(angles(start.drawings), period=360.0, axis=0), axis=0)
    alike = np.abs(np.diff(limb.drawings, axis=1) - np.diff(start.drawings, axis=1)).max(axis=-1) < SAME
    gone = alike & (turn < STEADY)
    for k in np.flatnonzero(gone.any(axis=0) & ~gone.all(axis=0)):
        before, after = ~np.roll(gone[:, k], 1), ~np.roll(gone[:, k], -1)
        before[0] = True        # nothing is drawn before the first
        passed = gone[:, k] & before & after
        if passed.any():
            turns, planned = _gone_on(limb, gone, k)
            gone[passed & _right(turns, planned), k] = False
    return gone


def not_drawn(action, limb, start):
    """`missing` of one limb of an action, by its name, (drawings, segments); `start` is an Action, or None."""
    given = None if start is None else next((other for other in start.limbs if other.name == limb), None)
    return missing(action.limb(limb), given, action.loop)


def layer(action, limb, joint, start=None, apart=None):
    """One limb as far as one joint, with what is not drawn yet as the plan would have it.

    Parameters
    ----------
    action : Action
    limb, joint : str
    start : Action, optional
        The drawings as given.
    apart : int, optional
        A drawing, from 1, that stays as it is and by which the plan shall not be bent.

    Returns
    -------
    Action
    """
    drawn = action.limb(limb)
    last = drawn.joints.index(joint)
    gone = not_drawn(action, limb, start)[:, :last]
    points = _completed(drawn, gone, last, apart, angles(start.limb(limb).drawings[0])) if gone.any() else drawn.drawings[:, :last + 1]
    joints = drawn.joints[:last + 1]
    cut = Limb(drawn.name, joints, drawn.lengths[:last], drawn.stops[:last], points,
               tuple(plan for plan in drawn.plans if plan.joint in joints))
    return action.replace(limbs=(cut,))


def _completed(limb, gone, last, apart=None, given=None):
    """Places of the first joints with missing parts put in, (drawings, last + 1, 2)."""
    points = limb.drawings[:, :last + 1]
    parts = np.hypot(*np.moveaxis(np.diff(points, axis=1), -1, 0))
    turns = np.unwrap(angles(points), period=360.0, axis=0)
    stays = np.zeros(len(points), bool)
    stays[[] if apart is None else apart - 1] = True
    for k in np.flatnonzero(gone[:, :last].any(axis=0)):
        told = turns.copy()
        if stays[0]:
            told[0, k] = given[k]       # or the plan would move with the first drawing while that is placed
        planned = _bent(_plan(limb, k, told, points), turns[:, k], ~gone[:, k] & ~stays)
        turns[:, k] = np.where(gone[:, k] & ~stays, planned, turns[:, k])
        points = pose(points[:, 0], parts, turns)
    return points


def _gone_on(limb, gone, k, without=False):
    """Part k as drawn and as the plan would have it, absolute degrees, two of (drawings,); some drawings left out of account."""
    points = _completed(limb, gone, k) if gone[:, :k].any() else limb.drawings[:, :k + 1]
    points = np.concatenate([points, points[:, -1:] + limb.drawings[:, k + 1:k + 2] - limb.drawings[:, k:k + 1]], axis=1)
    turns = np.unwrap(angles(points), period=360.0, axis=0)
    return turns[:, k], _bent(_plan(limb, k, turns, points), turns[:, k], ~gone[:, k] & ~np.asarray(without))


def _right(turns, planned):
    """True where a part lies as the plan would have it, (drawings,)."""
    step = np.abs(np.roll(planned, -1) - np.roll(planned, 1)) / 2.0
    step[[0, -1]] = step[[1, -2]]   # beyond the ends a turn may be counted once more
    return np.abs(planned - turns) < np.maximum(STAYS, STAYS_OF_A_STEP * step)


def begun(action, start):
    """Where some parts are drawn and others are still as given: each limb as far as the outermost part begun.

    Returns
    -------
    Action or None
        With what is not drawn yet as the plan would have it. None where nothing is drawn yet, or everything.
    dict of str to ndarray of bool, shape (drawings,)
        Of each limb in it, the drawings whose outermost part is drawn.
    """
    gone = {limb.name: not_drawn(action, limb.name, start) for limb in action.limbs}
    if not any(parts.any() for parts in gone.values()) or all(parts.all() for parts in gone.values()):
        return None, {}
    cut, known = [], {}
    for limb in action.limbs:
        drawn = np.flatnonzero(~gone[limb.name].all(axis=0))
        if len(drawn):
            cut.append(layer(action, limb.name, limb.joints[drawn[-1] + 1], start).limbs[0])
            known[limb.name] = ~gone[limb.name][:, drawn[-1]]
    return action.replace(limbs=tuple(cut)), known


def untouched(action, start):
    """The first joint of which more than a quarter is still as given: (limb, joint, drawn), or None. Rules alone may
    pass a part that was never drawn, for one that stands still breaks few of them."""
    for limb in action.limbs:
        gone = not_drawn(action, limb.name, start)
        for k in np.flatnonzero(gone.sum(axis=0) > UNTOUCHED * action.count):
            return limb.name, limb.joints[k + 1], int(action.count - gone[:, k].sum())
    return None


def next_place(action, start, way=WAYS[0]):
    """What to draw next: the innermost joint not drawn through, and on which drawing.

    Parameters
    ----------
    action, start : Action
    way : str
        Of brief.WAYS: one drawing after the other, or first the extremes, then the breakdowns half way between
        them, then the inbetweens.

    Returns
    -------
    tuple of (str, str, int, str) or None
        Limb, joint, drawing, and what it is: "extreme", "breakdown", "inbetween", or "" straight ahead.
        None where all is drawn.
    """
    for limb in action.limbs:
        gone = not_drawn(action, limb.name, start)
        for k in np.flatnonzero(gone.any(axis=0)):
            turns, planned = _gone_on(limb, gone, k)
            # Where the plan would leave a part as given there is nothing to draw, unless nothing else is left.
            ask = gone[:, k] & ~(_right(turns, planned) if way == WAYS[0] else np.abs(planned - turns) < STAYS)
            ask = ask if ask.any() else gone[:, k]
            if way == WAYS[0]:
                return limb.name, limb.joints[k + 1], int(np.argmax(ask)) + 1, ""
            # The plan before any drawing bent it, so that an extreme once drawn stays one.
            course = _gone_on(limb, gone, k, np.ones(len(gone), bool))[1]
            low, high = limb.stops[k]
            if k and not low <= -BOTH_WAYS < BOTH_WAYS <= high:     # an elbow: most bent and most open, wherever it points
                drawn, plan = _gone_on(limb, gone, k - 1)
                course = course - np.where(gone[:, k - 1], plan, drawn)
            extremes, breakdowns = _poses(course)
            for name, places in (("extreme", extremes), ("breakdown", breakdowns), ("inbetween", range(len(gone)))):
                left = [d for d in places if ask[d]]
                if left:
                    return limb.name, limb.joints[k + 1], left[0] + 1, name
    return None


def may_stay(action, start, place):
    """The drawings right before one of `next_place`, straight ahead, that are as given and lie where the plan would have
    them, from 1."""
    limb, joint, number, pose = place
    if pose:
        return []
    drawn = action.limb(limb)
    gone, k = not_drawn(action, limb, start), drawn.joints.index(joint) - 1
    turns, planned = _gone_on(drawn, gone, k)
    passed = np.flatnonzero(~(gone[:, k] & _right(turns, planned))[:number - 1])
    return list(range((passed[-1] + 2) if len(passed) else 1, number))


def _poses(turns):
    """The two extremes of a planned swing or bend and the breakdowns half way between them, from 0, in the order of the loop."""
    count = len(turns)
    one, two = sorted((int(np.argmax(turns)), int(np.argmin(turns))))
    return (one, two), ((one + two) // 2, (two + (count - two + one) // 2) % count)


def _plan(limb, k, turns, points):
    """How part k would turn, absolute degrees, (drawings,), told by what is nearer the root."""
    own_path = limb.planned(limb.joints[k + 1])
    if own_path is not None:        # the path of action and the chart decide
        way = dots(own_path, True) - points[:, k]
        return np.unwrap(np.degrees(np.arctan2(way[:, 1], way[:, 0])), period=360.0)
    at = 2 * np.pi * np.arange(len(turns)) / len(turns)
    low, high = limb.stops[k]
    own = turns[0, k] - (turns[0, k - 1] if k else 0.0)
    room = max((high - low) / 2.0 - CLEAR, 0.0)
    if k == 0:
        own += 360.0 * np.round(((low + high) / 2.0 - own) / 360.0)
        swing = min(SWING, room)
        return np.clip(own, low + CLEAR + swing, high - CLEAR - swing) + swing * np.sin(at)
    if k == len(limb.joints) - 2 and (k >= 2 or low <= -BOTH_WAYS and high >= BOTH_WAYS):
        swing = min(TRAILS, room)
        return turns[:, k - 1] - swing * _across(points, k)
    parent = turns[:, k - 1] - turns[:, k - 1].mean()
    swing = min(PULLED * np.abs(parent).max(), room)
    late = _later(parent, LATER)
    own = (own + 180.0) % 360.0 - 180.0
    return turns[:, k - 1] + np.clip(own, low + CLEAR + swing, high - CLEAR - swing) + swing * late / max(np.abs(late).max(), 1e-9)


def _across(points, k):
    """How fast the joint that carries part k moves across the part before it, -1 to 1; a part is lazy, so smooth and a little late."""
    z = points[..., 0] + 1j * points[..., 1]
    speed = np.roll(z[:, k], -1) - np.roll(z[:, k], 1)
    across = _later(((z[:, k] - z[:, k - 1]).conj() * speed).imag, 1.0 / 24.0, 2)
    return across / max(np.abs(across).max(), 1e-9)


def _later(values, turns, harmonics=None):
    """A periodic course so many turns of the loop later."""
    wave = np.fft.rfft(values)
    if harmonics is not None:
        wave[harmonics + 1:] = 0.0
    return np.fft.irfft(wave * np.exp(-2j * np.pi * turns * np.arange(len(wave))), len(values))


def _bent(plan, turns, known):
    """The plan bent to the drawings that are known: the smoothest way there, as Gaussian-process regression
    finds it (Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, equation 2.25). One that
    is out of place among the others does not bend it (equations 5.10 to 5.12, each left out in turn)."""
    if not known.any():
        return plan
    at = 2 * np.pi * np.arange(len(plan)) / len(plan)
    apart = at[:, None] - at
    alike = MIDDLE**2 + SWAY**2 * np.cos(apart) + HERE**2 * np.exp(-2.0 * np.sin(apart / 2.0) ** 2 / NEAR**2)
    off = (turns - plan + 180.0) % 360.0 - 180.0
    use = np.flatnonzero(known)
    while True:
        inverse = np.linalg.inv(alike[np.ix_(use, use)] + PENCIL**2 * np.eye(len(use)))
        weights = inverse @ off[use]
        astray = np.abs(weights) / np.sqrt(np.diag(inverse))
        if len(use) < 3 or astray.max() < ASTRAY:
            return plan + alike[:, use] @ weights
        use = np.delete(use, np.argmax(astray))
