"""A lecture: what an instructor shows drawing by drawing, step by step, in the action file itself.

A step is a limb as it was on one drawing, the joint it is about, and what was said. Steps are put in, replaced,
moved and taken out; whoever follows gets them laid on drawings of their own, and what they drew themselves is
left as it is.
"""

from dataclasses import replace

import numpy as np

from ..geometry.limb import angles, pose
from ..model.action import ActionError, Step

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
    told, stays = as_of(start, lecture, at), own(mine, start, lecture)
    places = {limb.name: limb.drawings.copy() for limb in told.limbs}
    for name, number in stays:
        places[name][number - 1] = mine.limb(name).drawings[number - 1]
    return mine.redrawn(*places.values()), stays


def own(mine, start, lecture):
    """Limb and number of each drawing that neither the start nor a step has left there, a set of (str, int)."""
    known = {(limb.name, number): [points] for limb in start.limbs for number, points in enumerate(limb.drawings, start=1)}
    for step in lecture:
        known[step.limb, step.drawing].append(step.points)
    return {(limb.name, number) for limb in mine.limbs for number, points in enumerate(limb.drawings, start=1)
            if not any(np.abs(points - pose).max() < SAME for pose in known[limb.name, number])}


def begun(action):
    """What a class begins with: the drawings of a lecture's file, without the lecture.

    Where the lecture was drawn in the file itself, its drawings are those of the last steps, and would tell the class
    everything at once. There the drawings that steps lay are traced from the first one; a root that steps are about stays
    where it is on the first.
    """
    steps = action.lecture
    bare_of_it = action.replace(lecture=())
    if not all(np.abs(one.drawings - other.drawings).max() < SAME
               for one, other in zip(action.limbs, as_of(action, steps, len(steps)).limbs)):
        return bare_of_it
    fresh = traced(bare_of_it)
    places = []
    for limb, first in zip(bare_of_it.limbs, fresh.limbs):
        laid = sorted({step.drawing - 1 for step in steps if step.limb == limb.name})
        drawings, moves = limb.drawings.copy(), any(step.limb == limb.name and step.joint == limb.joints[0] for step in steps)
        drawings[laid] = limb.drawings[0] if moves else first.drawings[laid]
        places.append(drawings)
    return bare_of_it.redrawn(*places)


def traced(action):
    """The action with every drawing after the first only traced: what a class begins with. The root keeps its path."""
    return action.redrawn(*(pose(limb.drawings[:, 0], limb.lengths, np.repeat(angles(limb.drawings[:1]), action.count, 0)).round(3)
                            for limb in action.limbs))
