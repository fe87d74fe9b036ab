"""Answers to the homework, right and wrong: made from the scenario, and nowhere in the workbook.

Each wrong answer has one fault, under the rule beside it; `test_homework` marks them all. A new homework is one entry
here: at least one right answer, better two that differ, and three wrong ones.
"""

from collections.abc import Callable
from dataclasses import dataclass

from anim_lessons import Action, scenario
from anim_lessons.scenario import DEMOS, FAULTS


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


HOMEWORK = {
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
}
