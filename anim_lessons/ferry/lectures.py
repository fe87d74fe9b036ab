"""The ferry landing: recorded lectures for single lessons, made from their model loops.

Each begins with what the homework of its lesson gives, and leads to a whole loop. Every number that is said is measured on
the drawings. The lecture of the looping arm is `looping_arm.looping_arm`.
"""

import numpy as np

from ..assist.plan import planned
from ..geometry.limb import angles, pose
from ..geometry.paths import path_of_action
from ..model.action import Plan, Step
from ..model.words import amount
from .actions import buoy, even_gaps, not_linked, scooped, traced_twice, two_arms, wave
from .starts import BUOY_FAULTS, STARTS, arm, drifting, flown, opening, other_arm_first, paddle

HALVING = (1, 7, 4, 10, 3, 5, 9, 11, 2, 6, 8, 12)  # of twelve drawings: extremes, breakdowns, halves, what is left


def _half(degrees):
    """The same angle above -180 and up to 180 degrees."""
    return 180.0 - (180.0 - np.asarray(degrees)) % 360.0


def _swing(of, by, last):
    if abs(by) < 0.5:
        return f"Leave the {of} at the angle it has on {last + 1}."
    return f"Swing the {of} {amount(abs(by))}° {'counter-clockwise' if by > 0 else 'clockwise'} from that of {last + 1}."


# ---- the buoy: pose to pose -----------------------------------------------------------------


def the_buoy():
    """The buoy, pose to pose: extremes, breakdowns, then half of what is left, twice."""
    whole = buoy()
    start = STARTS["01_buoy"]()
    places, given = whole.limbs[0].drawings[:, 0], start.limbs[0].drawings[:, 0]
    path = path_of_action(places)
    way = 2 * path.places / path.length         # of the way from 1 to 7, and on to 2 where it is 1 again
    steps = []
    for number in HALVING:
        at, was = places[number - 1], given[number - 1]
        share = 100 * (1 - abs(1 - way[number - 1]))
        says = f"{_BUOY.get(number, '')} {_buoy_said(number, share, np.hypot(*(at - was)))}".strip()
        steps.append(Step(number, "buoy", "buoy", [at], says))
    return start.replace(title="ride the swell, step by step", lecture=tuple(steps))


_BUOY = {
    1: "An extreme, at the bottom. What does the buoy do here? It turns.",
    7: "The other extreme, at the top.",
    4: "The breakdown: half way in time, half way in space.",
    10: "The other breakdown, on the way down.",
    3: "Now half of the half.",
    2: "What is left lies next to an extreme: not at half of the gap, but at about a quarter of it.",
    12: "The last one. Start the stack in its middle and flip 11, 12, 1, 2.",
}


def _buoy_said(number, share, moved):
    lies = f"{number} lies at {amount(share)}% of the way from 1 to 7"
    if moved < 0.5:
        return f"It stays: {lies}."
    other = 1 if share < 50 else 7
    return f"Take it {amount(moved)} mm towards {other}: {lies}, and the gap to {other} closes up."


# ---- the elbow: forearms, straight ahead -------------------------------------------------------


def the_elbow():
    """The arm that opens, forearm by forearm, straight ahead; the upper arm is given."""
    whole, start = arm(), STARTS["05_elbow"]()
    limb = whole.limbs[0]
    final = angles(limb.drawings)
    bend = np.abs(_half(final[:, 1] - final[:, 0]))
    step = bend - np.roll(bend, 1)
    steps = []
    for d, points in enumerate(limb.drawings):
        says = " ".join(_elbow_said(d, final[:, 1], bend, step))
        steps.append(Step(d + 1, limb.name, "wrist", points, says))
    start = planned(start, limb.name, _plan("wrist", limb.drawings[:, 2]))
    return start.replace(title="open the arm, step by step", lecture=tuple(steps))


def _elbow_said(d, fore, bend, step):
    last, after = (d - 1) % len(bend), (d + 1) % len(bend)
    if d == 0:
        yield "Forearms only, once round; the upper arm is given. Ask at each one: does the elbow open or close?"
        yield f"At 1 the forearm stays as it is: the elbow is bent by {amount(bend[0])}°."
    else:
        yield _swing("forearm", _half(fore[d] - fore[last]), last)
        yield f"The elbow {'opens' if step[d] < 0 else 'closes'} {amount(abs(step[d]))}°."
    if step[d] == step.min():
        yield "The widest step of its opening."
    if step[d] > 0 > step[after]:
        yield "As bent as it gets. From here it opens, and it keeps opening until it is done."
    if step[d] < 0 < step[after]:
        yield f"As open as it gets: {amount(bend[d])}° short of straight. It has paused nowhere."


# ---- the pennant: part after part --------------------------------------------------------------

CLOTH = ("first part of the cloth", "second part of the cloth", "last part of the cloth")
_ROUND = ("The staff is given. Round once for the first part of the cloth: the staff pulls, the cloth comes after.",
          "Round again from 1, for the second part. It follows the first, and later.",
          "The last time round, for the tip.")


def the_pennant():
    """The pennant, part of the cloth by part, straight ahead; the staff is given."""
    whole, start = flown(), STARTS["03_pennant"]()
    limb = whole.limbs[0]
    final = angles(limb.drawings)
    drawn = angles(start.limbs[0].drawings).copy()
    steps = []
    for layer in range(1, final.shape[1]):
        for d in range(whole.count):
            drawn[d, layer] = final[d, layer]
            points = pose(limb.drawings[d:d + 1, 0], limb.lengths, drawn[d:d + 1])[0].round(3)
            steps.append(Step(d + 1, limb.name, limb.joints[layer + 1], points, " ".join(_cloth_said(layer, d, final))))
    for joint, places in zip(limb.joints[2:], limb.drawings.swapaxes(0, 1)[2:]):
        start = planned(start, limb.name, _plan(joint, places))
    return start.replace(title="fly the pennant, step by step", lecture=tuple(steps))


def _cloth_said(layer, d, final):
    of, last, after = CLOTH[layer - 1], (d - 1) % len(final), (d + 1) % len(final)
    carrier = "staff" if layer == 1 else CLOTH[layer - 2]
    turn = _half(final - np.roll(final, 1, axis=0))
    if d == 0:
        yield _ROUND[layer - 1]
        yield f"At 1 it lies {amount(abs(_half(final[0, layer] - final[0, layer - 1])))}° off the line of the {carrier}."
    else:
        yield _swing(of, turn[d, layer], last)
    if abs(turn[d, layer]) == np.abs(turn[:, layer]).max():
        yield "The widest swing of its round."
    if turn[d, layer - 1] * turn[after, layer - 1] < 0:
        on = turn[after, layer] * turn[d, layer - 1] > 0
        yield f"Here the {carrier} turns back{', and this part still goes on' if on else ''}."


# ---- two arms: one traced from the other -------------------------------------------------------


def the_other_arm():
    """The far arm, traced from the near one: the sheet turned over, half a turn of the loop later."""
    whole, start = two_arms(12), STARTS["09_two_arms"]()
    near, far = (whole.limb(name) for name in ("near arm", "far arm"))
    count = whole.count
    high, low = (int(pick(near.drawings[:, -1, 1])) for pick in (np.argmax, np.argmin))
    steps = []
    for d, points in enumerate(far.drawings):
        says = [f"Near arm of {(d + count // 2) % count + 1}, turned over: the far arm of {d + 1}."]
        if d == 0:
            says = ["The near arm is given. The far arm does the same, turned over, half the loop later.",
                    f"At 1 it lies there already: it is the near arm of {count // 2 + 1}, the sheet turned over sideways."]
        if d == high:
            says.append("Here the near hand is at its highest. Where is the far one?")
        if d == low:
            says.append("Here the near hand is at its lowest.")
        # On 1 the arm lies as it was given: who asks there is told of the joint that comes first.
        steps.append(Step(d + 1, far.name, far.joints[1 if d == 0 else -1], points, " ".join(says)))
    for joint, places in zip(far.joints[1:], far.drawings.swapaxes(0, 1)[1:]):
        start = planned(start, far.name, _plan(joint, places))
    return start.replace(title="wave with both arms, step by step", lecture=tuple(steps))


# ---- what is shown with them ---------------------------------------------------------------------


def _plan(joint, places):
    path = path_of_action(places)
    return Plan(joint, places, (path.places / path.length).round(5))


LECTURES = {  # by the lesson; its name is that of the file in the instructor's folder too
    "01_buoy": the_buoy,
    "03_pennant": the_pennant,
    "05_elbow": the_elbow,
    "09_two_arms": the_other_arm,
}
FAULTS = {  # by the lesson: loops with one fault each, to be shown
    "01_buoy": BUOY_FAULTS,
    "03_pennant": {
        "a board": lambda: paddle(flown()),
        "a stiff end": lambda: paddle(flown(), 3),
        "no link-up": lambda: drifting(flown()),
    },
    "05_elbow": {
        "it locks": lambda: traced_twice(arm()),
        "it goes back": lambda: traced_twice(arm(), 1.5),
        "it breaks backwards": lambda: opening(straightest=-20.0),
    },
    "06_looping_arm": {  # as many drawings as its lecture has
        "first": lambda: traced_twice(wave(12)),
        "second": lambda: scooped(wave(12)),
        "third": lambda: even_gaps(wave(12)),
        "fourth": lambda: not_linked(wave(12)),
    },
    "09_two_arms": {
        "together": lambda: two_arms(12, late=0.0),
        "a quarter behind": lambda: two_arms(12, late=0.25),
        "far elbow locks": lambda: other_arm_first(traced_twice(other_arm_first(two_arms(12)))),
    },
}
