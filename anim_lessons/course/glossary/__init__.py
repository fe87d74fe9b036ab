"""Terms of the trade, each in one plain sentence and with a small moving picture.

What the trade calls a thing and means by it is common practice, no source; a word that is ours says so.
"""

import re
from dataclasses import dataclass
from difflib import get_close_matches
from html import escape

from ...assist.lesson_list import LESSONS
from ...model.action import ActionError

COMMON, OURS = "common practice, no source", "our own word"


@dataclass(frozen=True)
class Term:
    """One term.

    Attributes
    ----------
    name, says : str
    part : str
        Of PARTS, the chapter in which it stands.
    whose : str
        COMMON or OURS.
    lesson : str
        Name of the lesson that speaks of it first; empty where many do.
    """

    name: str
    says: str
    part: str
    whose: str = COMMON
    lesson: str = ""

    @property
    def picture(self):
        """Its sheet.Picture."""
        from . import motion_pictures, stack_pictures  # a check cell must not wait for what draws them

        name = {"loop": "loop_"}.get(self.name) or re.sub("[ -]", "_", self.name)
        return getattr(stack_pictures if hasattr(stack_pictures, name) else motion_pictures, name)()


def _chapter(part, *rows):
    return [Term(name, says, part, *more) for name, says, *more in rows]


TERMS = {term.name: term for term in (
    *_chapter(
        "the stack",
        ("drawing", "One sheet with one pose on it, and a number of its own."),
        ("stack", "All drawings of an action, one on top of the other, in the order of their numbers."),
        ("extreme", "A drawing in which the movement turns: it goes no farther that way."),
        ("breakdown",
         "The drawing between two extremes that decides by which way the movement goes from "
         "one to the other."),
        ("inbetween",
         "A drawing placed between two that are there already, where the timing chart asks "
         "for it."),
        ("straight ahead",
         "Drawing from the first to the last in their order, each made from the one before "
         "it.", COMMON, "06_looping_arm"),
        ("pose to pose",
         "Drawing the extremes first, then the breakdowns, then the inbetweens.", COMMON, "06_looping_arm"),
        ("loop", "Drawings that begin again with the first after the last, as often as you like."),
        ("link-up",
         "The last drawing of a loop runs into the first, as if that were simply the next "
         "one.", COMMON, "08_link_up"),
        ("half stack",
         "The stack begun in its middle, so that its last drawing and its first lie in the "
         "hand as neighbours.", OURS, "08_link_up"),
    ),
    *_chapter(
        "timing and spacing",
        ("timing",
         "How many drawings a movement takes, and for how long each of them is seen.", COMMON, "01_buoy"),
        ("spacing",
         "How far a thing goes from one drawing to the next: close is slow, wide is fast.",
         COMMON, "01_buoy"),
        ("timing chart",
         "A line with a tick for each drawing from one extreme to the next; the gaps between"
         " its ticks are the gaps asked for.", COMMON, "01_buoy"),
        ("slow in", "The gaps close up as a movement comes to its extreme.", COMMON, "01_buoy"),
        ("slow out", "The gaps widen as a movement leaves its extreme.", COMMON, "01_buoy"),
        ("on ones",
         "Each drawing is seen for one frame, so a second of 24 frames takes 24 drawings.",
         COMMON, "01_buoy"),
        ("on twos",
         "Each drawing is seen for two frames, so a second of 24 frames takes 12 drawings.",
         COMMON, "01_buoy"),
        ("exposure sheet", "The list, frame by frame, of the drawing that is seen.", COMMON, "01_buoy"),
        ("hold", "A pose that is seen for longer than the drawings round it.", COMMON, "06_looping_arm"),
        ("moving hold",
         "A hold in which most of the figure rests and something still goes on a little.",
         COMMON, "06_looping_arm"),
    ),
    *_chapter(
        "paths, and what follows",
        ("path of action",
         "The line along which a joint travels through all the drawings.", COMMON, "02_lantern"),
        ("arc",
         "The curve on which a thing goes that hangs from a joint or turns on one; half way "
         "along it is not half way on the straight line.", COMMON, "02_lantern"),
        ("drag",
         "What hangs from a joint comes behind it, leaning back to where it came from.",
         COMMON, "03_pennant"),
        ("follow-through",
         "What hangs goes on after the thing that carries it has stopped.", COMMON, "03_pennant"),
        ("overlap",
         "Not everything starts, turns and stops at once: each part a little after the one "
         "that carries it.", COMMON, "06_looping_arm"),
        ("successive joints",
         "One joint bends after the other, from the root to the tip, as a wave runs along a "
         "rope.", COMMON, "04_mooring_rope"),
        ("opposition",
         "One arm goes out while the other comes back: they swing half a loop apart.", COMMON, "09_two_arms"),
        ("weightless turn",
         "The drawings round an extreme in which nothing pulls at the hand, and it relaxes.",
         OURS, "07_hand"),
        ("model sheet",
         "The sheet that says how long each part of a figure is, for all who draw it.", COMMON, "07_hand"),
        ("stop", "How far a joint may turn against the part that carries it.", OURS, "05_elbow"),
    ),
    *_chapter(
        "at the table",
        ("light table",
         "A pane lit from below, on which you see through the top drawing to those beneath "
         "it.", COMMON, "00_start_here"),
        ("onion skin",
         "The neighbouring drawings shown faintly beneath the one you work on.", COMMON, "00_start_here"),
        ("flip",
         "To let two neighbouring drawings change places under your eyes, so that you see "
         "what moves.", COMMON, "00_start_here"),
        ("roll",
         "To go through a few neighbouring drawings in turn, forth and back.", COMMON, "00_start_here"),
        ("pencil test",
         "The pencil drawings played at their speed, to judge the movement before anything "
         "is finished."),
        ("shift-and-trace",
         "To shift the sheet until a joint lies on its new place, and trace the part from "
         "the drawing before: it keeps its length.", COMMON, "06_looping_arm"),
        ("under-drawing",
         "A loop that lies beneath your own in fine dashes, to be traced and then left.", OURS, "02_lantern"),
        ("ghost", "The limb in dashes where its neighbours would have it.", OURS, "06_looping_arm"),
    ),
    *_chapter(
        "what goes wrong",
        ("lock",
         "A joint that was opening stands still for a drawing, as the same angle was traced "
         "twice.", OURS, "05_elbow"),
        ("scoop", "The hand goes ahead of the arm in mid-swing, where it should trail.", OURS, "07_hand"),
        ("flutter",
         "A part shakes from drawing to drawing, as each was placed by itself and none "
         "against its neighbours.", OURS, "08_link_up"),
    ),
)}
PARTS = tuple(dict.fromkeys(term.part for term in TERMS.values()))


class Shown:
    """Terms as a notebook shows them: each with its picture; as text where there are no pictures."""

    def __init__(self, terms):
        self.terms = tuple(terms)

    def __str__(self):
        return "\n".join(f"{term.name}: {term.says} ({term.whose})" for term in self.terms)

    __repr__ = __str__

    def _repr_html_(self):
        return f'<table role="presentation">{"".join(map(_row, self.terms))}</table>'


def _row(term):
    lesson = f"; {LESSONS[term.lesson]}" if term.lesson else ""
    return (f'<tr><td><img src="{term.picture.address()}" width="240" height="150" '
            f'alt="{escape(term.name)}, moving"></td>'
            f'<td align="left"><strong>{escape(term.name)}</strong><br>{escape(term.says)}'
            f"<br><small>{escape(term.whose + lesson)}</small></td></tr>")


def glossary(*names):
    """Terms of the trade, each with its sentence and a small moving picture.

    Parameters
    ----------
    names : str
        Terms, "drag", or whole chapters of PARTS, "at the table"; all of them unless given.

    Returns
    -------
    Shown

    Raises
    ------
    ActionError
        Where there is no such term; it says which are like it.

    Examples
    --------
    >>> print(glossary("slow in"))
    slow in: The gaps close up as a movement comes to its extreme. (common practice, no source)
    """
    return Shown(dict.fromkeys(term for name in names or PARTS for term in _named(name)))


def _named(name):
    asked = " ".join(str(name).lower().split())
    if asked in PARTS:
        return [term for term in TERMS.values() if term.part == asked]
    for form in (asked, asked.removesuffix("s"), asked.replace(" ", "-"), asked.replace("-", " "),
                 asked.removeprefix("the ")):
        if form in TERMS:
            return [TERMS[form]]
    like = get_close_matches(asked, TERMS, 3) or list(TERMS)
    raise ActionError(f'there is no term "{name}" here; there is {", ".join(like)}')
