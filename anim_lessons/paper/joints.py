"""Joints confirmed by the learner: which joint a dot is, nobody else says.

A limb is laid into the action once all its joints on a drawing are confirmed, and not before: so a drawing that is half
confirmed is still as it was given.
"""

import numpy as np

from ..model.action import ActionError
from .dots import meant
from .folder import Folder

FINE = 3  # digits after the point, mm


def waiting(drawn, action):
    """Limb and joint of each that is not confirmed on a drawing yet, in the order in which they are asked for."""
    return [
        (limb.name, joint)
        for limb in action.limbs
        for joint in limb.joints
        if joint not in drawn.confirmed.get(limb.name, {})
    ]


def next_drawing(folder, action, after=0):
    """The number of the first drawing after this one, round the stack, that has joints to confirm; None where none
    has.
    """
    left = [n for n in sorted(folder.drawings) if waiting(folder.drawings[n], action)]
    return next((n for n in left if n > after), left[0] if left else None)


def confirm(folder: Folder, action, number, limb, joint, place, exact=False):
    """Confirm where a joint is on a drawing.

    Parameters
    ----------
    folder : Folder
        Changed, and not saved.
    action : Action
    number : int
        Of the drawing, from 1.
    limb, joint : str
    place : (float, float)
        mm of the drawing. A lone dot within 2.5 mm of the page is what is meant.
    exact : bool
        The place itself is meant.

    Returns
    -------
    Action
        With the limb on that drawing, once all its joints there are confirmed; else the action as it is.

    Raises
    ------
    ActionError
        Where the drawing was not read from paper, there is no such joint, or the place is not on the sheet.
    """
    drawn = folder.drawings.get(number)
    if drawn is None:
        raise ActionError(f"drawing {number} was not read from paper", "scan its sheet first")
    whole = action.limb(limb)
    if joint not in whole.joints:
        raise ActionError(f'there is no joint "{joint}"; there is {", ".join(whole.joints)}', limb=limb)
    place = np.asarray(place, float)
    left, bottom, wide, high = drawn.box
    if place.shape != (2,) or not (
        left - 1 <= place[0] <= left + wide + 1 and bottom - 1 <= place[1] <= bottom + high + 1
    ):
        raise ActionError("that is not a place on the sheet", "press on the drawing", drawing=number, joint=joint)
    if not exact:
        place = meant(place * drawn.scale, np.array(drawn.dots).reshape(-1, 2) * drawn.scale) / drawn.scale
    drawn.confirmed = {
        **drawn.confirmed,
        limb: {**drawn.confirmed.get(limb, {}), joint: tuple(round(float(x), FINE) for x in place)},
    }
    return _laid(drawn, action, whole)


def _laid(drawn, action, limb):
    """The action with a limb on a drawing as it was confirmed, where all of its joints were."""
    joints = drawn.confirmed[limb.name]
    if len(joints) < len(limb.joints):
        return action
    if limb.name not in drawn.before:
        pose = [tuple(float(x) for x in place) for place in limb.drawings[drawn.number - 1]]
        drawn.before = {**drawn.before, limb.name: pose}
    return _with(action, drawn.number, {limb.name: [joints[joint] for joint in limb.joints]})


def again(folder, action, number):
    """Take back what was confirmed on a drawing: it lies again as it was before.

    Returns
    -------
    Action
    """
    drawn = folder.drawings.get(number)
    if drawn is None:
        raise ActionError(f"drawing {number} was not read from paper", "scan its sheet first")
    before, drawn.before, drawn.confirmed = drawn.before, {}, {}
    return _with(action, number, before)


def _with(action, number, poses):
    made = []
    for limb in action.limbs:
        drawings = limb.drawings.copy()
        if limb.name in poses:
            drawings[number - 1] = poses[limb.name]
        made.append(drawings)
    return action.redrawn(*made)
