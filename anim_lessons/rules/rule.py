"""What a rule is: all that is known of it, in the one file that bears its name."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import wraps

import numpy as np

SEEN = 0.5      # mm and degrees: no eye tells less. A limit that is passed by so little looks kept, and is
USUAL, LOOSE, STRICT = STRICTNESSES = ("usual", "loose", "strict")
DRAWING, LOOP, LIMBS = "a drawing", "the whole action", "two limbs"     # what a rule looks at


@dataclass(frozen=True)
class Tolerance:
    """How much a rule allows unless a brief says otherwise; all of them were chosen by trial, none is published.

    Attributes
    ----------
    name : str
        As in a brief: "arc".
    value : float
    of : str
        What it is measured in: "local spacing, across the path".
    loose, strict : float or None
        The value where a brief is to be looser or stricter on the whole; None where it stays. More is looser under some
        rules and stricter under others, and nothing here is so strict that a right movement could not pass.
    """

    name: str
    value: float
    of: str
    loose: float | None = None
    strict: float | None = None

    def at(self, strictness):
        """The value at "usual", "loose" or "strict"."""
        other = None if strictness == USUAL else getattr(self, strictness)
        return self.value if other is None else other


def once(asked):
    """A function of Measures, or of Measures and Brief, that is worked out once: what it says of many loops is known of each of them,
    and the sentences about a loop need not work out again what the flags did. Nobody may write in its answer."""
    @wraps(asked)
    def answer(m, brief=None):
        said = m.said.get(asked)
        if said is None or said[0] is not brief:
            of_all = m.of_all(asked)
            if of_all is not None and of_all[0] is brief:
                said = brief, of_all[1][m.place]
            else:
                said = brief, asked(m) if brief is None else asked(m, brief)
                if isinstance(said[1], np.ndarray):
                    said[1].flags.writeable = False
            m.said[asked] = said
        return said[1]

    return answer


def nothing(*_):
    """What a rule finds that never looks at this."""
    return False


@dataclass(frozen=True)
class Rule:
    """One rule of the trade.

    Attributes
    ----------
    name : str
        One or two plain words; a brief, a finding and a column of marks use it.
    order : int
        Place in teaching order, which is that of lessons, tests and reports.
    flip : int or None
        Place in the order in which an instructor flips through a hand-in: what the eye sees at once comes first, what
        only a ruler tells comes last (common practice, no source). None where it is never marked.
    lessons : tuple of str
        Names of the lessons that teach it; the first one is where a finding sends a learner.
    asks : str
        What it asks, in half a sentence.
    why, why_whole : str
        What the eye makes of a fault; of one of the whole action, where that differs.
    kept : str
        Words for a pass. They hold nothing that could differ between two right answers.
    source : str
    tolerances : tuple of Tolerance
    scope : str
        DRAWING, LOOP or LIMBS.
    about : str
        What is out of place where it is broken: "length", "bend", "place", "seam" or "timing".
    rank : int
        Where several rules are broken at one drawing, the lowest is nearest to the cause: the most exact thing to say.
    felt : int
        Drawings from a fault of another rule at which this one may be broken by it.
    recurs : bool
        True where each run of drawings is a fault of its own, and never follows from another under this rule.
    of_last_part : bool
        True where it is about the last part alone, and so cannot be judged before that is drawn.
    trails : bool
        True where its last column is how the last of three or more parts trails: that part is placed after what carries it.
    tried_alone : str
        "bend" or "place" where one drawing can be tried at many places (`measures.one_drawing`); else empty.
    judged : function
        Of Measures: why it cannot judge, or an empty text. With LIMBS, of all limbs' Measures.
    unsure : function or None
        Of Limb and Measures that it can judge, where it finds nothing: why it cannot tell of some part, or an empty text. The rule
        is then not judged.
    broken : function or None
        Of Measures and Brief: where it is broken, bool (..., drawings, columns); a column is a joint, a segment, or the
        only one. With LIMBS, of two Measures and Brief: bool (...).
    broken_whole : function or None
        The same for the action as a whole, (..., columns).
    findings : function
        Of Limb, Measures and Brief: a list of Finding. With LIMBS, of all limbs and their Measures.
    excess : function or None
        How many times what is allowed is measured, (..., drawings, columns).
    way : function or None
        Which of its two sides is broken, bool (..., drawings, columns).
    within : function or None
        Of Measures, Brief, drawings from 0 and angles of their parts on the paper (radians, (drawings, segments)): the
        nearest angles that keep this rule.
    cure : str
        How an action is mended that breaks it as a whole, of `judging.cures.CURES`; empty where nothing is known.
    explains : function
        Of a finding of the whole action under this rule and another finding: True where the other follows from it.
    pairs : function or None
        With LIMBS: which limbs belong together, of all limbs' Measures.
    advises_few : bool
        True where its advice is also of so few drawings that the rule itself cannot be judged.
    advice : function or None
        Of Limb, Measures, Brief and the drawings at fault: sentences that are worth knowing. None of them fails an action.
    """

    name: str
    order: int
    flip: int | None
    lessons: tuple
    asks: str
    why: str
    kept: str
    judged: Callable
    tolerances: tuple
    about: str
    scope: str = DRAWING
    why_whole: str = ""
    rank: int = 9
    felt: int = 2
    recurs: bool = False
    of_last_part: bool = False
    trails: bool = False
    tried_alone: str = ""
    unsure: Callable | None = None
    broken: Callable | None = None
    broken_whole: Callable | None = None
    findings: Callable | None = None
    excess: Callable | None = None
    way: Callable | None = None
    within: Callable | None = None
    cure: str = ""
    explains: Callable = nothing
    pairs: Callable | None = None
    advises_few: bool = False
    advice: Callable | None = None
    source: str = "common practice, no source"

    @property
    def advises(self):
        """True where it only gives advice."""
        return self.findings is None

    @property
    def lesson(self):
        """The name of the lesson that teaches it first."""
        return self.lessons[0]

    def why_of(self, finding):
        """What the eye makes of a fault."""
        return self.why_whole if self.why_whole and not finding.drawings else self.why
