"""Answers to the homework, right and wrong: made from the scenario, and nowhere in the workbook.

Each wrong answer has one fault, under the rule beside it; `test_homework` marks them all. A new homework is one entry
here: at least one right answer, better two that differ, and three wrong ones.
"""

from collections.abc import Callable
from dataclasses import dataclass

from anim_lessons import Action, beginnings, scenario
from anim_lessons.beginnings import BUOY_FAULTS, arm, carried, drifting, swell
from anim_lessons.mend import mend
from anim_lessons.scenario import DEMOS, FAULTS, lantern


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


def _straight():
    """The slip that everybody makes once: half way on the straight line between the extremes, not on the arc."""
    points = lantern().limbs[0].drawings.copy()
    points[4] = (points[0] + points[8]) / 2
    return lantern().redrawn(points)


def _loose_arm():
    """Past straight by some degrees, where the elbow joint turns back."""
    return beginnings.opening(straightest=-8.0, opens=68.0, late=1.2)


HOMEWORK = {
    "01_buoy": Homework(
        "ride_the_swell.json",
        right={"model": swell, "twenty, heavier": lambda: swell(1.4, 20)},
        wrong={
            "ticks": (lambda: swell(0.1), "spacing"),
            "hangs back": (BUOY_FAULTS["one hangs back"], "spacing"),
            "no link-up": (BUOY_FAULTS["no link-up"], "link-up"),
            "on ones": (lambda: swell(exposure=1), "exposure"),
        }),
    "02_lantern": Homework(
        "swing_the_lantern.json",
        right={"model": lantern, "wide, twenty-four": lambda: lantern(24, 60.0)},
        wrong={
            "half way on the line": (_straight, "length"),
            "off its hook": (lambda: carried(lantern(), 5, y=14.0), "arc"),
            "hangs back": (lambda: scenario.hanging_back(lantern()), "spacing"),
            "drifts": (lambda: drifting(lantern()), "link-up"),
        }),
    "05_elbow": Homework(
        "open_the_arm.json",
        right={"model": arm, "the other side, twenty-four": lambda: arm(24, other_side=True, elbow=26.0)},
        wrong={
            "locks": (lambda: scenario.traced_twice(arm()), "opening"),
            "goes back": (lambda: scenario.traced_twice(arm(), 1.5), "opening"),
            "breaks in full swing": (lambda: scenario.broken_backwards(arm()), "stops"),
            "loose": (_loose_arm, "stops"),
            "turns with the upper arm": (lambda: arm(elbow_lag=0.0), "overlap"),
        }),
    "05_elbow, loose": Homework(    # the same drawings, and the other brief
        "open_the_arm.json",
        right={"loose": _loose_arm, "natural": arm},
        wrong={
            "breaks in full swing": (lambda: scenario.broken_backwards(arm()), "stops"),
            "loose all through": (lambda: beginnings.opening(straightest=-12.0), "stops"),
            "locks": (lambda: scenario.traced_twice(_loose_arm()), "opening"),
        },
        notebook="05_elbow", brief="loose/05_elbow.toml"),
    "06_looping_arm": Homework(
        "wave_the_boat_in.json",
        right={
            "model": scenario.wave,
            "the other side": lambda: scenario.wave(other_side=True),
            "loose": scenario.loose_wave,
            "twenty-four": lambda: scenario.wave(24, size=0.8, exposure=2),
        },
        # One arm has nothing to oppose, so the brief does not ask for opposition.
        wrong={name: (DEMOS[name], rule) for name, rule in FAULTS.items() if rule != "opposition"} | {
            "a buoy": (DEMOS["buoy"], "hand"),
            "on ones": (lambda: scenario.wave(exposure=1), "exposure"),
        }),
    "08_link_up": Homework(
        "mend_the_wave.json",
        right={"model": scenario.wave, "mended, a little": lambda: mend(beginnings.to_mend()).action},
        wrong={
            "hand still grows": (lambda: scenario.longer(scenario.wave(), by=0.2, drawing=5), "length"),
            "elbow still locks": (lambda: scenario.traced_twice(scenario.wave(), drawing=12), "opening"),
            "still no link-up": (lambda: drifting(scenario.wave()), "link-up"),
            "flutters": (lambda: beginnings.fluttering(scenario.wave()), "spacing"),
        }),
}
