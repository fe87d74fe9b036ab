"""A brief: what an assignment asks for, which rules it checks and how strictly."""

import errno
import os
import tomllib
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import NamedTuple

from ..model.action import ActionError
from ..model.whole_file import TooLarge, read_whole
from ..rules import RULES, TOLERANCES

WAYS = ("straight ahead", "pose to pose")  # in which order a layer is drawn
MOST_BYTES = 1_000_000
MOST_SHOWN = 100    # letters of a value in a sentence
KINDS = {str: "a text in quotes", list: "a list in brackets", dict: "a table of names and numbers", int: "a whole number",
         (int, list): "a whole number or a list of two", bool: "true or false",
         (str, date): "a date such as 2026-11-29, or 2026-11-29T18:00:00,"}
MONTHS = ("January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December")
MOST_PASSES = 12    # of one brief
MOST_SAYS = 200     # letters of what a pass asks for
MET = {             # what is said of what a brief asks of the stack, where it is met: alike for all briefs and all right answers
    "drawings": "as many drawings as the brief asks",
    "exposure": "each drawing held as long as the brief asks",
    "hand": "the limb has a hand that can drag",
}
GUIDES = ("nothing", "circle", "sector", "all")  # how much the guide shows: a hint need not be the answer


class Pass(NamedTuple):
    """One joint through the drawings, as an exercise goes: what the light table names as the goal, and does not speak against.

    Attributes
    ----------
    joint : str
    says : str
        What is to be done, at most MOST_SAYS letters.
    name : str
        As the goal line calls it, "Elbows"; made of the joint's name where it is empty.
    limb : str
        Its limb; the first that has the joint where it is empty.
    drawings : tuple of int
        The drawings that are to be moved, from 1; where it is empty, all of a joint that was only traced.
    turns : tuple of int
        The two drawings at which the joint turns back, from 1, where its part stands farthest counter-clockwise first; dot and
        timing chart keep them. Where it is empty, they are told by what carries it.
    """

    joint: str
    says: str = ""
    name: str = ""
    limb: str = ""
    drawings: tuple = ()
    turns: tuple = ()


@dataclass(frozen=True)
class Brief:
    """An assignment.

    Attributes
    ----------
    title, text : str
    rules : tuple of str
        The rules that are checked; all that apply unless some are named.
    names_rules : bool
        True where rules were named, be it all of them: what is named must be judged, or it is not kept.
    tolerances : dict of str to float
        Only those that differ from the rules' own.
    weights : dict of str to float
        What each rule counts for in a mark; 1 unless given.
    drawings : tuple of int or None
        Least and greatest number of drawings asked for.
    exposure : int or None
        Frames a drawing asked for.
    may_break : bool
        True where a loose joint may break past its stop at the drawing where its
        parent turns back; False where a natural arm is asked for.
    hand : bool
        True where the limb must have a part that drags.
    guide : str
        Of GUIDES, how much the light table tells of where a joint may go: nothing; the circle with what
        would lock it; also the sector that is allowed; all, with the rule against each other place.
    way : str
        Of WAYS, in which order the light table asks for drawings: one after the other, or first the extremes, then
        the breakdowns, then the inbetweens. The learner may choose the other.
    passes : tuple of Pass
        The passes in their order; empty: one for each joint that was only traced.
    given : tuple of str
        Joints that are given: they are not to be drawn, and no correction moves them.
    mend : bool
        True where the light table may correct a drawing by itself; False where the hand does it all.
    due : str
        By when it is handed in, "2026-11-29" or "2026-11-29T18:00", in the class's own time; may be empty.
    """

    title: str = ""
    text: str = ""
    rules: tuple | None = None
    tolerances: dict = field(default_factory=dict)
    weights: dict = field(default_factory=dict)
    drawings: tuple | None = None
    exposure: int | None = None
    may_break: bool = True
    hand: bool = False
    guide: str = "all"
    way: str = WAYS[0]
    passes: tuple = ()
    given: tuple = ()
    mend: bool = True
    due: str = ""
    names_rules: bool | None = None

    def __post_init__(self):
        if self.names_rules is None:
            object.__setattr__(self, "names_rules", self.rules is not None)
        if self.rules is None:
            object.__setattr__(self, "rules", tuple(RULES))

    def tolerance(self, name):
        """How strict a rule is, in the unit of `rules.TOLERANCES`."""
        given = self.tolerances.get(name)
        return TOLERANCES[name].value if given is None else given

    @property
    def stack_says(self):
        """What is asked of the stack, in words: "12 to 24 drawings, on twos"; an empty text where nothing is."""
        number = [self._number_says] if self.drawings else []
        held = {None: [], 1: ["on ones"], 2: ["on twos"]}.get(self.exposure, [f"each held for {self.exposure} frames"])
        return ", ".join(number + held)

    @property
    def _number_says(self):
        least, most = self.drawings
        return f"{least} drawings" if least == most else f"{least} to {most} drawings"

    @property
    def due_says(self):
        """By when it is handed in, in words: "29 November 2026, 18:00"; an empty text where nothing is said."""
        if not self.due:
            return ""
        when = datetime.fromisoformat(self.due)
        return f"{when.day} {MONTHS[when.month - 1]} {when.year}" + (f", {when:%H:%M}" if "T" in self.due else "")

    @property
    def asked_of_stack(self):
        """Names of what the brief asks of the stack itself."""
        asked = ("drawings", self.drawings is not None), ("exposure", self.exposure is not None), ("hand", self.hand)
        return tuple(name for name, here in asked if here)

    def asks(self, action):
        """What the brief asks of the stack itself: number of drawings, exposure, a hand.

        Returns
        -------
        list of (str, bool, str)
            Name, whether it is met, and a sentence; one that is met holds nothing that could
            differ between two right answers, nor between two briefs.
        """
        asked = []
        if self.drawings is not None:
            least, most = self.drawings
            met = least <= action.count <= most
            asked.append(("drawings", met, MET["drawings"] if met else
                          f"there are {action.count}; the brief asks for {self._number_says}."))
        if self.exposure is not None:
            met = bool(action.exposure == self.exposure)     # a number, where it is the same for all
            asked.append(("exposure", met, MET["exposure"] if met else
                          f"the brief asks for {self.exposure} frame{'s' if self.exposure > 1 else ''} a drawing. Set it below the sheet, on "
                          "the light table."))
        if self.hand:
            met = any(len(limb.joints) >= 4 for limb in action.limbs)
            asked.append(("hand", met, MET["hand"] if met else
                          "the brief asks for a limb with a hand: shoulder, elbow, wrist, fingertips."))
        return asked


DEFAULT = Brief()


def read_brief(path):
    """Read a brief from a TOML file.

    Raises
    ------
    ActionError
        Where the file is no TOML, or holds a key, a rule or a value that is not known here.
    """
    where = os.fspath(path)
    try:
        data, _ = read_whole(path, MOST_BYTES, links=True)
        table = tomllib.loads(data.decode("utf-8-sig"))   # some editors put a mark before the text
    except TooLarge:
        raise ActionError("is too large for a brief", "name the brief itself, a short text in TOML", file=where) from None
    except OSError as error:
        no_file = error.errno in (errno.EISDIR, errno.ENXIO)
        what = "is no brief but a folder or a device" if no_file else f"the brief cannot be opened ({error.strerror})"
        raise ActionError(what, "check the name and the folder", file=where) from None
    except (ValueError, RecursionError) as error:   # also a NUL in the name, or a number of thousands of digits
        raise ActionError(f"is not a brief in TOML ({error})", "mend it there, or take the one that came with the homework",
                          file=where) from None
    try:
        return _brief(table)
    except ActionError as error:
        raise error.at(file=where)


def brief_of(given):
    """The Brief that is meant by a Brief, the path of its TOML file, or None: every rule that applies."""
    return given if isinstance(given, Brief) else DEFAULT if given is None else read_brief(given)


def _cut(text):
    """A text for a sentence; of a long one the beginning."""
    text = str(text)
    return text if len(text) <= MOST_SHOWN else f"{text[:MOST_SHOWN]} …"


def _brief(table):
    known = {
        "title": str, "text": str, "rules": list, "tolerances": dict, "weights": dict,
        "drawings": (int, list), "exposure": int, "may_break": bool, "hand": bool, "guide": str, "way": str,
        "passes": list, "given": list, "mend": bool, "due": (str, date),
    }
    for key, value in table.items():
        if key not in known:
            raise ActionError(f'unknown key "{_cut(key)}"; a brief has {", ".join(known)}')
        if not isinstance(value, known[key]) or (isinstance(value, bool) and known[key] is not bool):
            raise ActionError(f'key "{key}": {KINDS[known[key]]} belongs here, and there is {_cut(repr(value))}', "mend that line of the brief")
    for rule in table.get("rules", ()):
        if not isinstance(rule, str) or rule not in RULES:
            raise ActionError(f'there is no rule "{_cut(rule)}"; there is {", ".join(RULES)}')
    if "rules" in table and not table["rules"]:
        raise ActionError("rules: the list is empty; name at least one rule, or leave the key out for all")
    for key, names in (("tolerances", TOLERANCES), ("weights", RULES)):
        for name, value in table.get(key, {}).items():
            if name not in names:
                raise ActionError(f'{key}: "{_cut(name)}" is not one of {", ".join(names)}')
            if isinstance(value, bool) or not isinstance(value, (int, float)) or not 0 <= value < 1e6:
                raise ActionError(f"{key}: {name} is {_cut(repr(value))}; give a number, 0 or more")
    changes = dict(table)
    if "rules" in table:
        changes["rules"] = tuple(name for name in RULES if name in table["rules"])
    if "drawings" in table:
        asked = table["drawings"]
        asked = [asked, asked] if isinstance(asked, int) else asked
        if len(asked) != 2 or not all(isinstance(n, int) and n >= 2 for n in asked) or asked[0] > asked[1]:
            raise ActionError("drawings: give one number, or the least and the greatest, 2 or more")
        changes["drawings"] = tuple(asked)
    for key, names in (("guide", GUIDES), ("way", WAYS)):
        if table.get(key, names[0]) not in names:
            raise ActionError(f'{key}: "{_cut(table[key])}" is not one of {", ".join(names)}')
    if not all(isinstance(name, str) for name in table.get("given", ())):
        raise ActionError("given: this is a list of joints, each in quotes")
    changes |= {key: tuple(table[key]) for key in ("given",) if key in table}
    changes |= {"due": due_text(table["due"])} if "due" in table else {}
    changes |= {"passes": _passes(table["passes"])} if "passes" in table else {}
    if table.get("exposure", 1) < 1:
        raise ActionError("exposure: give 1 (on ones), 2 (on twos) or more")
    return Brief(**changes)


def due_text(asked):
    """A date, or a time of a day, as the text that a Brief keeps; a text is read as such a date.

    Raises
    ------
    ActionError
    """
    try:
        when = datetime.fromisoformat(asked.strip()) if isinstance(asked, str) else asked
    except ValueError:
        raise ActionError(f'due: "{_cut(asked)}" is no date; write 2026-11-29, or 2026-11-29T18:00:00') from None
    if isinstance(asked, str) and len(asked.strip()) <= len("2026-11-29"):
        when = when.date()
    if not isinstance(when, datetime):
        return when.isoformat()
    if when.tzinfo is not None:
        raise ActionError("due: a zone stands behind the time; leave it out, for it is the time where the class is")
    return when.isoformat(timespec="minutes")


def _passes(listed):
    """The passes of a brief, from a list of tables: joint, says, name, limb, drawings, turns."""
    if len(listed) > MOST_PASSES:
        raise ActionError(f"passes: at most {MOST_PASSES} of them, and there are {len(listed)}")
    passes = []
    for i, one in enumerate(listed, 1):
        if not isinstance(one, dict) or not set(one) <= set(Pass._fields) or not isinstance(one.get("joint"), str):
            raise ActionError(f"passes, {i}: a pass has a joint, and may have {', '.join(Pass._fields[1:])}")
        texts = [one.get(key, "") for key in ("says", "name", "limb")]
        if not all(isinstance(text, str) and len(text) <= MOST_SAYS for text in texts):
            raise ActionError(f"passes, {i}: says, name and limb are texts of at most {MOST_SAYS} letters")
        drawings, turns = one.get("drawings", []), one.get("turns", [])
        for key, numbers in (("drawings", drawings), ("turns", turns)):
            if not isinstance(numbers, list) or not all(isinstance(n, int) and not isinstance(n, bool) and n > 0 for n in numbers):
                raise ActionError(f"passes, {i}: {key} is a list of numbers from 1")
        if turns and (len(turns) != 2 or turns[0] == turns[1]):
            raise ActionError(f"passes, {i}: turns are two drawings, at which the joint turns back")
        passes.append(Pass(**{**one, "drawings": tuple(dict.fromkeys(drawings)), "turns": tuple(turns)}))
    return tuple(passes)
