"""The lecture that ships: the deckhand's looping arm, elbows once round, then forearms, then hands."""

import numpy as np

from ..assist.lecture import traced
from ..assist.plan import planned
from ..geometry.limb import angles, pose
from ..geometry.paths import path_of_action
from ..model.action import Plan, Step
from ..model.words import amount, capital, part, the, verb
from .actions import ARM, wave

FINER = 16     # times as many drawings, to find the extreme between them
HOVERS = 0.15  # `hover` of `actions.wave`, a ratio: the arm hovers at its high extreme, and slows into the other one too

SAID = (  # at drawing 1 of each time round
    "We draw elbows only, once round. Forearm and hand come along as they were traced; they wait for us.",
    "Round again from 1, forearms only. The elbow pulls and the forearm follows.",
    "The last time round: the hand. It does nothing by itself. In mid-swing it trails.",
)


def looping_arm(drawings=12):
    """The deckhand's looping arm as a lecture: elbows once round, then forearms, then hands.

    Made from `actions.wave`, with drawing 1 where the upper arm is highest; every number that is said is measured on
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
