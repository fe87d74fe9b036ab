"""Answers to the homework, right and wrong: made from the scenario, and nowhere in the workbook.

Each wrong answer has one fault, under the rule beside it; `test_homework` marks them all. A new homework is one entry
here: at least one right answer, better two that differ, and three wrong ones.
"""

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np

from anim_lessons import Action
from anim_lessons.assist.mend import mend
from anim_lessons.ferry import actions, starts
from anim_lessons.ferry.actions import DEMOS, FAULTS, buoy, lantern, poses, redrawn, two_arms
from anim_lessons.ferry.hanging import waving_hand
from anim_lessons.ferry.starts import (
    BUOY_FAULTS,
    arm,
    carried,
    drifting,
    flown,
    other_arm_first,
    paddle,
    shaken,
)


@dataclass(frozen=True)
class Homework:
    """What is handed in for one homework.

    Attributes
    ----------
    file : str
        The action file.
    right : dict of str to function
    wrong : dict of str to (function, str)
        The function makes it; the word is the rule it breaks, or what else of the brief it does not meet.
    other : dict of str to function
        Drawings of another figure than was given.
    notebook : str
        Without the ending, where it is not the key in HOMEWORK.
    brief : str
        From the homework's folder, where it is not the notebook's own.
    """

    file: str
    right: dict[str, Callable[[], Action]]
    wrong: dict[str, tuple[Callable[[], Action], str]]
    notebook: str = ""
    brief: str = ""
    other: dict[str, Callable[[], Action]] = field(default_factory=dict)


def _straight():
    """The slip that everybody makes once: half way on the straight line between the extremes, not on the arc."""
    points = lantern().limbs[0].drawings.copy()
    points[4] = (points[0] + points[8]) / 2
    return lantern().redrawn(points)


def _loose_arm():
    """Past straight by some degrees, where the elbow joint turns back."""
    return starts.opening(straightest=-8.0, opens=68.0, late=1.2)


def _hand():
    return waving_hand().action


def _turning(action, change):
    """The first limb with its parts at other angles: `change` gets them, (drawings, parts), degrees, and puts them right there."""
    root, parts, angle = poses(action)
    angle = angle.copy()
    change(angle)
    return redrawn(action, root, parts, angle)


def _scooping(action, drawing, by):
    """The last part ahead of the one that carries it, in mid-swing."""
    def ahead(angle):
        angle[drawing - 1, -1] = angle[drawing - 1, -2] + by
    return _turning(action, ahead)


def _soon(action, part, drawings):
    """What begins with this part turns so many drawings sooner: the end goes first, as if it pulled."""
    def sooner(angle):
        angle[:, part:] = np.roll(angle[:, part:], -drawings, axis=0)
    return _turning(action, sooner)


def _board(action, first):
    """What begins with this part turns with the one before it, bent as it is on the whole."""
    def alike(angle):
        angle[:, first:] = angle[:, first - 1:first] + (angle[:, first:] - angle[:, first - 1:first]).mean(axis=0)
    return _turning(action, alike)


def _folded(action, drawing, by):
    """The wrist bent further in one drawing, and what hangs on it."""
    def further(angle):
        angle[drawing - 1, 2:] += by
    return _turning(action, further)


def _unsteady(action):
    """As it comes back from paper: each joint off by 0.2 mm, one standard deviation of each coordinate."""
    rng = np.random.default_rng(11)
    return action.redrawn(*((limb.drawings + rng.normal(0, 0.2, limb.drawings.shape)).round(3) for limb in action.limbs))


def _far_arm(fault):
    """Two arms, the far one with a fault."""
    return other_arm_first(fault(other_arm_first(two_arms(12))))


def _near_arm(action):
    """Two arms of which only the near one is left."""
    return action.replace(limbs=action.limbs[:1])


HOMEWORK = {
    "01_buoy": Homework(
        "ride_the_swell.json",
        right={"model": buoy, "twenty, heavier": lambda: buoy(20, slow=1.4)},
        wrong={
            "ticks": (lambda: buoy(slow=0.1), "spacing"),
            "hangs back": (BUOY_FAULTS["one hangs back"], "spacing"),
            "no link-up": (BUOY_FAULTS["no link-up"], "link-up"),
            "on ones": (lambda: buoy(exposure=1), "exposure"),
        }),
    "02_lantern": Homework(
        "swing_the_lantern.json",
        right={"model": lantern, "wide, twenty-four": lambda: lantern(24, 60.0)},
        wrong={
            "half way on the line": (_straight, "length"),
            "off its hook": (lambda: carried(lantern(), 5, y=14.0), "arc"),
            "hangs back": (lambda: actions.hanging_back(lantern()), "spacing"),
            "drifts": (lambda: drifting(lantern()), "link-up"),
        }),
    "03_pennant": Homework(
        "fly_the_pennant.json",
        right={"model": flown, "stiffer, sixteen": lambda: flown(16, 4.0), "softer, twenty-four": lambda: flown(24, 2.0)},
        wrong={
            "a board": (lambda: _board(flown(), 1), "overlap"),
            "the tip turns first": (lambda: _soon(flown(), 3, 3), "overlap"),
            "the tip scoops": (lambda: _scooping(flown(), 8, -24.0), "drag"),
            "stretched": (lambda: actions.longer(flown(), 2, 0.25, 5), "length"),
            "off its arc": (lambda: actions.off_arc(flown(), 0.8, 4, 6), "arc"),
            "drifts": (lambda: drifting(flown()), "link-up"),
        }),
    "04_mooring_rope": Homework(
        "swing_the_rope.json",
        right={
            "model": shaken, "looser, sixteen": lambda: shaken(16, 2.5), "twenty-four": lambda: shaken(24),
            # As the homework tells it: each joint does what the one before it did, one drawing later.
            "by hand": lambda: _turning(shaken(), lambda angle: [
                np.copyto(angle[:, k], np.roll(angle[:, k - 1], 1)) for k in range(1, 4)]),
        },
        wrong={
            "a stick": (lambda: paddle(shaken(), 1), "overlap"),
            "the end goes first": (lambda: _soon(shaken(), 2, 3), "overlap"),
            "stretched": (lambda: actions.longer(shaken(), 2, 0.2, 5), "length"),
            "off its arc": (lambda: actions.off_arc(shaken(), 1.0, 3, 6), "arc"),
            "drifts": (lambda: drifting(shaken()), "link-up"),
        },
        # The rope that was given has four parts, and the light table gives it no other.
        other={"five parts": lambda: shaken(24, parts=5)}),
    "05_elbow": Homework(
        "open_the_arm.json",
        right={"model": arm, "the other side, twenty-four": lambda: arm(24, other_side=True, elbow=26.0)},
        wrong={
            "locks": (lambda: actions.traced_twice(arm()), "opening"),
            "goes back": (lambda: actions.traced_twice(arm(), 1.5), "opening"),
            "breaks in full swing": (lambda: actions.broken_backwards(arm()), "stops"),
            "loose": (_loose_arm, "stops"),
            "turns with the upper arm": (lambda: arm(elbow_lag=0.0), "overlap"),
        }),
    "05_elbow, loose": Homework(    # the same drawings, and the other brief
        "open_the_arm.json",
        right={"loose": _loose_arm, "natural": arm},
        wrong={
            "breaks in full swing": (lambda: actions.broken_backwards(arm()), "stops"),
            "loose all through": (lambda: starts.opening(straightest=-12.0), "stops"),
            "locks": (lambda: actions.traced_twice(_loose_arm()), "opening"),
        },
        notebook="05_elbow", brief="loose/05_elbow.toml"),
    "06_looping_arm": Homework(
        "wave_the_boat_in.json",
        right={
            "model": actions.wave,
            "the other side": lambda: actions.wave(other_side=True),
            "loose": actions.loose_wave,
            "twenty-four": lambda: actions.wave(24),
        },
        # One arm has nothing to oppose, so the brief does not ask for opposition.
        wrong={name: (DEMOS[name], rule) for name, rule in FAULTS.items() if rule != "opposition"} | {
            "on ones": (lambda: actions.wave(exposure=1), "exposure"),
            # Lengths are those of the model sheet that was given, and not what the file says of itself.
            "smaller": (lambda: actions.wave(24, size=0.8), "length"),
        },
        other={"a buoy": DEMOS["buoy"], "two arms": lambda: two_arms()}),
    "11_on_paper": Homework(
        "wave_on_paper.json",
        right={
            "model": lambda: actions.wave(12),
            "the other side": lambda: actions.wave(12, other_side=True),
            "by an unsteady hand": lambda: _unsteady(actions.wave(12)),
        },
        wrong={
            "locks": (lambda: actions.traced_twice(_unsteady(actions.wave(12)), drawing=10), "opening"),
            "a sheet shifted": (lambda: carried(actions.wave(12), 4, y=9.0), "arc"),
            "a part too long": (lambda: actions.longer(_unsteady(actions.wave(12)), 1, 0.15, 5), "length"),
            "fourteen": (lambda: actions.wave(14), "drawings"),
        },
        other={"a buoy": DEMOS["buoy"]}),
    "07_hand": Homework(
        "drag_the_hand.json",
        right={
            "model": _hand, "quick, twenty-four": lambda: waving_hand(24, swings=5.0).action,
            "airy, twelve": lambda: waving_hand(12, air=10.0).action,
        },
        wrong={
            "a paddle": (lambda: paddle(_hand()), "overlap"),
            "palm still grown": (lambda: actions.longer(_hand(), 2, 0.3, 6), "length"),
            "finger still grown": (lambda: actions.longer(_hand(), 3, 0.3, 11), "length"),
            "scoops": (lambda: _scooping(_hand(), 2, 25.0), "drag"),
            "folds too far": (lambda: _folded(_hand(), 3, -70.0), "stops"),
        }),
    "08_link_up": Homework(
        "mend_the_wave.json",
        right={"model": actions.wave, "mended, a little": lambda: mend(starts.to_mend()).action},
        wrong={
            "hand still grows": (lambda: actions.longer(actions.wave(), by=0.2, drawing=5), "length"),
            "elbow still locks": (lambda: actions.traced_twice(actions.wave(), drawing=12), "opening"),
            "still no link-up": (lambda: drifting(actions.wave()), "link-up"),
            "flutters": (lambda: starts.fluttering(actions.wave()), "arc"),
        }),
    "09_two_arms": Homework(
        "wave_with_both_arms.json",
        right={
            "model": lambda: two_arms(12), "sixteen": two_arms,
            "a drawing of twenty-four short of half": lambda: two_arms(24, 11 / 24),
        },
        wrong={
            "together": (lambda: two_arms(12, 0.0), "opposition"),
            "a quarter apart": (lambda: two_arms(12, 0.25), "opposition"),
            # That it loops was given, whatever the file says.
            "in step, and said not to loop": (lambda: two_arms(12, 0.0).replace(loop=False), "opposition"),
            "the far elbow locks": (lambda: _far_arm(actions.traced_twice), "opening"),
            "the far hand scoops": (lambda: _far_arm(actions.scooped), "drag"),
            "the far hand grows": (lambda: _far_arm(actions.longer), "length"),
        },
        other={"one arm alone": lambda: _near_arm(two_arms(12))}),
}
