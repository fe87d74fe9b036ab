"""The course: its lessons in their order. Which rule a lesson teaches, the rule itself says.

A rule may come back in later lessons; a finding points to the first that teaches it, for
that is the one a learner has been through.
"""

from dataclasses import dataclass

from ..rules import RULES


@dataclass(frozen=True)
class Lesson:
    """One lesson.

    Attributes
    ----------
    name : str
        Of its notebook, without the ending: "02_lantern". Homework, brief and lesson share it.
    title : str
        The notebook's heading.
    about : str
        What it teaches, in half a line.
    file : str
        The action file that is handed in; empty where the learner chooses, or nothing is handed in.
    """

    name: str
    title: str
    about: str
    file: str = ""

    @property
    def rules(self):
        """Names of the rules it teaches, in teaching order."""
        return tuple(name for name, rule in RULES.items() if self.name in rule.lessons)

    @property
    def number(self):
        return int(self.name.split("_")[0])

    @property
    def notebook(self):
        """Its path in the workbook."""
        return f"{self.name}.ipynb"

    @property
    def homework(self):
        """The path of its homework in the workbook; empty where there is none."""
        return f"homework/{self.notebook}" if self.file else ""

    def __str__(self):
        return f"lesson {self.number}, {self.title}"


LESSONS = {lesson.name: lesson for lesson in (
    Lesson("00_start_here", "Start here", "the light table in five minutes"),
    Lesson("01_buoy", "The buoy", "timing and spacing", "ride_the_swell.json"),
    Lesson("02_lantern", "The lantern", "what hangs goes on an arc, and keeps its length", "swing_the_lantern.json"),
    Lesson("03_pennant", "The pennant", "drag and follow-through", "fly_the_pennant.json"),
    Lesson("04_mooring_rope", "The mooring rope", "successive joints", "swing_the_rope.json"),
    Lesson("05_elbow", "The elbow", "an elbow that opens keeps opening, up to its stop", "open_the_arm.json"),
    Lesson("06_looping_arm", "The looping arm", "overlapping action, and what moves on in a hold", "wave_the_boat_in.json"),
    Lesson("07_hand", "The hand and its fingers", "the hand drags, relaxes at the turn, and stays as long as it is", "drag_the_hand.json"),
    Lesson("08_link_up", "The link-up", "the last drawing runs into the first, and how a loop is mended", "mend_the_wave.json"),
    Lesson("09_two_arms", "Two arms", "opposition", "wave_with_both_arms.json"),
    Lesson("10_your_own", "Your own drawings", "a loop of your own"),
    Lesson("11_on_paper", "On paper", "twelve drawings in pencil, on sheets", "wave_on_paper.json"),
)}


def lesson_for(finding):
    """The Lesson to read again where a Finding was made."""
    return LESSONS[RULES[finding.rule].lesson]


def after(name):
    """The Lesson that comes after the one of this name; None after the last.

    Examples
    --------
    >>> after("06_looping_arm").title
    'The hand and its fingers'
    """
    names = list(LESSONS)
    at = names.index(name) + 1
    return LESSONS[names[at]] if at < len(names) else None
