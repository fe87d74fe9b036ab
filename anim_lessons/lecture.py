"""A lecture: what an instructor shows drawing by drawing, step by step, in the action file itself.

A step is a limb as it was on one drawing, the joint it is about, and what was said. Steps are put in, replaced,
moved and taken out; whoever follows gets them laid on drawings of their own, and what they drew themselves is
left as it is.
"""

from dataclasses import replace

import numpy as np

from .action import ActionError, Plan, Step
from .arcs import path_of_action
from .limb import angles, pose
from .plan import planned
from .scenario import ARM, wave
from .words import amount, capital, part, the, verb

FINER = 16   # times as many drawings, to find the extreme of our own lecture between them
HOVERS = 0.15  # of `scenario.wave`: the arm hovers at its high extreme, and slows into the other one too
SAME = 2e-3  # mm: drawings are kept to a thousandth


def step_of(action, drawing, limb, joint, says=""):
    """The Step that shows a limb as it is on a drawing, numbered from 1."""
    if not 1 <= drawing <= action.count:
        raise ActionError(f"there is no drawing {drawing}; there are {action.count}")
    return Step(drawing, limb, joint, action.limb(limb).drawings[drawing - 1], says)


def with_step(action, step, at=None):
    """A copy with the step put in before place `at`, from 0; at the end unless given."""
    steps = list(action.lecture)
    steps.insert(len(steps) if at is None else at, step)
    return action.replace(lecture=tuple(steps))


def replaced(action, at, step):
    """A copy with another step in that place."""
    steps = _steps(action, at)
    steps[at] = step
    return action.replace(lecture=tuple(steps))


def moved(action, at, by):
    """A copy with the step `by` places later, or earlier below 0; it goes no further than the ends."""
    steps = _steps(action, at)
    step = steps.pop(at)
    steps.insert(min(max(at + by, 0), len(steps)), step)
    return action.replace(lecture=tuple(steps))


def without(action, at):
    """A copy without the step in that place."""
    steps = _steps(action, at)
    del steps[at]
    return action.replace(lecture=tuple(steps))


def _steps(action, at):
    if not 0 <= at < len(action.lecture):
        raise ActionError(f"there is no step {at + 1}; there are {len(action.lecture)}")
    return list(action.lecture)


# ---- following ---------------------------------------------------------------------------


def fits(action, other):
    """True where two actions have the same limbs, joints and number of drawings."""
    return action.count == other.count and [(limb.name, limb.joints) for limb in action.limbs] == [
        (limb.name, limb.joints) for limb in other.limbs]


def as_of(start, lecture, at):
    """The drawings of `start` as they are once the steps up to place `at` have been laid on them, from 0."""
    places = {limb.name: limb.drawings.copy() for limb in start.limbs}
    for step in lecture[:at + 1]:
        places[step.limb][step.drawing - 1] = step.points
    return start.redrawn(*places.values())


def bare(action):
    """The drawings as the class gets them, without plan and steps."""
    return action.replace(limbs=tuple(replace(limb, plans=()) for limb in action.limbs), lecture=())


def whole(action):
    """The drawings as they are after the last step of the action's own lecture, without the lecture."""
    return as_of(action, action.lecture, len(action.lecture)).replace(lecture=())


def followed(mine, start, lecture, at):
    """A learner's drawings with the lecture laid on them up to a step, and which of them are the learner's own.

    Parameters
    ----------
    mine, start : Action
        The learner's, and what the class began with.
    lecture : sequence of Step
    at : int
        Place of the step, from 0; below 0 none is laid yet.

    Returns
    -------
    Action, set of (str, int)
        Limb and number of each drawing that neither the start nor a step has left there: nothing is laid on it.
    """
    known = {}
    for limb in start.limbs:
        for number, points in enumerate(limb.drawings, start=1):
            known[limb.name, number] = [points]
    for step in lecture:
        known[step.limb, step.drawing].append(step.points)
    told = as_of(start, lecture, at)
    own, places = set(), []
    for limb, taught in zip(mine.limbs, told.limbs):
        drawings = taught.drawings.copy()
        for number, points in enumerate(limb.drawings, start=1):
            if not any(np.abs(points - pose).max() < SAME for pose in known[limb.name, number]):
                own.add((limb.name, number))
                drawings[number - 1] = points
        places.append(drawings)
    return mine.redrawn(*places), own


# ---- a lecture of our own ------------------------------------------------------------------


def traced(action):
    """The action with every drawing after the first only traced: what a class begins with. The root keeps its path."""
    return action.redrawn(*(pose(limb.drawings[:, 0], limb.lengths, np.repeat(angles(limb.drawings[:1]), action.count, 0)).round(3)
                            for limb in action.limbs))


SAID = (  # at drawing 1 of each time round
    "We draw elbows only, once round. Forearm and hand come along as they were traced; they wait for us.",
    "Round again from 1, forearms only. The elbow pulls and the forearm follows.",
    "The last time round: the hand. It does nothing by itself. In mid-swing it trails.",
)


def looping_arm(drawings=12):
    """The deckhand's looping arm as a lecture: elbows once round, then forearms, then hands.

    Made from `scenario.wave`, with drawing 1 where the upper arm is highest; every number that is said is measured on
    the drawings.

    Returns
    -------
    Action
        Its drawings are the start, as the class gets them; its lecture leads to the whole wave. Each joint that
        is drawn is planned, path and chart, so that there is something to draw by.
    """
    fine = wave(drawings=FINER * drawings, hover=HOVERS)
    extreme = int(np.argmax(angles(fine.limbs[0].drawings)[:, 0]))
    whole = fine.redrawn(np.roll(fine.limbs[0].drawings, -extreme, axis=0)[::FINER])
    limb = whole.limbs[0]
    final = angles(limb.drawings)
    start = traced(whole)
    drawn = angles(start.limbs[0].drawings).copy()
    steps = []
    for layer in (1, 2, 3):
        for d in range(drawings):
            drawn[d, layer - 1] = final[d, layer - 1]  # what hangs below comes along at the angle it has
            points = pose(limb.drawings[d:d + 1, 0], limb.lengths, drawn[d:d + 1])[0].round(3)
            steps.append(Step(d + 1, limb.name, ARM[layer], points, " ".join(_said(limb, layer, d, final))))
    for joint, places in zip(ARM[1:], limb.drawings.swapaxes(0, 1)[1:]):
        path = path_of_action(places)
        start = planned(start, limb.name, Plan(joint, places, (path.places / path.length).round(5)))
    return start.replace(title="wave the boat in, step by step", lecture=tuple(steps))


def _said(limb, layer, d, final):
    """What is said at a step, sentence by sentence: what the eye looks for, why, and then the number."""
    name, joint, last, after = part(limb, layer - 1), ARM[layer], (d - 1) % len(final), (d + 1) % len(final)
    if d == 0:
        yield SAID[layer - 1]
        yield f"At 1 the {name} stays as it is."
        return
    if layer == 2:
        yield _elbow_said(np.abs(_half(final[[last, d, after], 1] - final[[last, d, after], 0])))
    if layer == 3:
        lean = _half(final[d, 2] - final[d, 1])
        turn = _half(final[after, 1] - final[last, 1])
        if abs(lean) >= 5 and abs(turn) >= 10 and lean * turn < 0:
            yield f"The hand trails the forearm by {amount(abs(lean))}°."
        elif abs(turn) < 10:
            yield f"The forearm turns back, and the hand falls over by {amount(abs(_half(lean - _half(final[last, 2] - final[last, 1]))))}°."
    steps = limb.drawings[:, layer] - np.roll(limb.drawings[:, layer], 1, axis=0)
    gaps = np.hypot(*steps.T)
    swung = _half(final[d, layer - 1] - final[last, layer - 1])
    yield f"{_pace(joint, steps, gaps, d)}, {amount(gaps[d])} mm on from {last + 1}."
    yield f"Swing the {name} {amount(abs(swung))}° {'counter-clockwise' if swung > 0 else 'clockwise'}."


def _elbow_said(bends):
    """What the elbow does, from how far it is bent on the drawing before, on this one, and on the next."""
    before, here, next_ = bends
    if (here - before) * (next_ - here) < 0:
        return f"Here the elbow is most {'bent' if here > before else 'open'}."
    if abs(here - before) < 0.5:
        return "The elbow rests."
    return f"The elbow keeps {'closing' if here > before else 'opening'}, by {amount(abs(here - before))}°."


def _pace(joint, steps, gaps, d):
    """Where a joint is on its way, and how the gap into a drawing compares with the one before it."""
    who = capital(the(joint))
    if gaps[d] == gaps.max():
        return "Fastest: the widest gap of all"
    if steps[d] @ steps[(d + 1) % len(steps)] < 0:
        return f"{who} {verb(joint, 'turns', 'turn')} back here: close up and do not stop"
    if gaps[d] == gaps.min():
        return f"{who} {verb(joint, 'hovers', 'hover')}: the closest gap of all"
    if steps[d - 1] @ steps[d] < 0:
        return f"{who} {verb(joint, 'has', 'have')} turned: slow out"
    return "Slow out: a wider gap" if gaps[d] > gaps[d - 1] else "Slow in: a closer gap"


def _half(degrees):
    """The same angle above -180 and up to 180 degrees."""
    return 180.0 - (180.0 - degrees) % 360.0
