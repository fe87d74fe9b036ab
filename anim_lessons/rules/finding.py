"""What a rule says: a finding, and the verdict on a whole action."""

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property

WHOLE = -1      # in place of a drawing: the action as a whole is meant


@dataclass(frozen=True)
class Finding:
    """One fault, in the words of an instructor.

    Attributes
    ----------
    rule, limb, joint : str
    drawings : tuple of int
        Numbers as written on the drawings, from 1; empty where the whole
        action is meant.
    measured, allowed : float
        Both in `unit`.
    unit : str
        "mm", "deg", "%", "drawings", "frames", "turns", or "" for a ratio.
    head : str
        The fault in half a line: "The elbow locks at 3."
    called : str
        The same in at most 30 letters or so, for a narrow margin; the head where it is empty.
    amount : str
        By how much.
    then : str
        What comes after the correction: what to look at, or in which order to work.
    shows, looked_for : str
        The two numbers in words, for the desk.
    short : str
        Half a sentence, for where it only follows from another fault.
    follows : int or None
        Place in the verdict's list of the finding this one follows from.
    cells : tuple of (int, int)
        The flags of the rule that it is about: drawing from 0, or WHOLE, and column.
    moves : tuple of int
        The drawings, from 1, that are to be moved first.
    rank : int or None
        Place among causes, where it is not its rule's.
    begin : str
        What to do first, where no pose is drawn that could be corrected.
    of_exposure : bool
        True where how long a drawing is held is at fault: no pose mends it, and `begin` says what does.
    one_run : bool
        True where its drawings are one fault, even where fewer of them would explain what is broken.
    corrector : function or None
        Of the finding: its Correction, or None where no correction passes the rules. Asked once, when it is needed. What
        `named` it did not try stands in its `untried`.
    """

    rule: str
    limb: str
    joint: str
    drawings: tuple
    measured: float
    allowed: float
    unit: str
    head: str
    amount: str
    then: str = ""
    begin: str = ""
    called: str = ""
    of_exposure: bool = False
    one_run: bool = False
    shows: str = ""
    looked_for: str = ""
    short: str = ""
    follows: int | None = None
    cells: tuple = field(default=(), compare=False, repr=False)
    moves: tuple = field(default=(), compare=False, repr=False)
    rank: int | None = field(default=None, compare=False, repr=False)
    corrector: Callable | None = field(default=None, compare=False, repr=False)

    def but(self, **changes):
        """The same finding with some fields changed, before anybody has asked for its correction; `dataclasses.replace`, quickly."""
        other = object.__new__(Finding)
        other.__dict__.update(self.__dict__, **changes)
        return other

    @cached_property
    def correction(self):
        """What would mend it, tried by the rules: a `judging.correction.Correction`, or None where none is known."""
        if self.corrector is None or self.follows is not None or self.of_exposure:
            return None
        return self.corrector(self)

    @cached_property
    def least(self):
        """The least that passes, a second choice beside `correction`: it goes only to the border of what is allowed, and
        leaves the rest of the fault. None where none is known, or it is no smaller."""
        return None if self.correction is None or not self.moves or self.one_run else self.corrector.least(self)

    @property
    def advice(self):
        """What to try: the correction in words, and what to look at."""
        if self.follows is not None or self.corrector is None:
            return ""
        if self.correction is None:
            if not self.of_exposure and self.named in getattr(self.corrector, "untried", ()):
                return "Mend what comes before it first, then check again."
            return self.begin or "No small correction is known that the rules pass."
        says = self.correction.says
        return f"{says} {self.then}".strip() if self.drawings else f"{self.then} {says}".strip()

    @property
    def text(self):
        """By how much, and what to try."""
        return f"{self.amount} {self.advice}".strip()

    @property
    def says(self):
        """The whole sentence."""
        return f"{self.head} {self.text}".strip()

    @property
    def named(self):
        """What makes a fault the same fault before and after a correction."""
        return self.rule, self.limb, self.joint, frozenset(self.drawings)

    def __str__(self):
        return self.says


@dataclass(frozen=True)
class RuleVerdict:
    """Whether one rule is kept; `judged` is False where there was too little to go by, and `says` why."""

    passed: bool
    judged: bool = True
    says: str = ""


@dataclass(frozen=True)
class Verdict:
    """What all rules say of an action.

    Attributes
    ----------
    findings : tuple of Finding
        In reading order: a cause, then what follows from it, then the next cause.
    rules : dict of str to RuleVerdict
        In teaching order.
    advice : tuple of str
        Worth knowing, never a fault.
    unmet : tuple of str
        What the brief asks and does not get: so many drawings, a rule that could be judged.
    """

    findings: tuple
    rules: dict
    advice: tuple = ()
    unmet: tuple = ()

    @property
    def passed(self):
        return not self.unmet and all(rule.passed for rule in self.rules.values())

    @property
    def causes(self):
        """The findings to mend; the others follow from them."""
        return tuple(finding for finding in self.findings if finding.follows is None)

    def cause_of(self, finding):
        """The finding itself, or the one it follows from."""
        return finding if finding.follows is None else self.findings[finding.follows]
