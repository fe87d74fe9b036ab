"""What a rule says: a finding, and the verdict on a whole action."""

from dataclasses import dataclass, field


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
        "mm", "deg", "%", "drawings", "turns", or "" for a ratio.
    head : str
        The fault in half a line: "The elbow locks at 3."
    text : str
        By how much, and what to try.
    shows, looked_for : str
        The two numbers in words, for the desk.
    short : str
        Half a sentence, for where it only follows from another fault.
    follows : int or None
        Place in the verdict's list of the finding this one follows from.
    turn : float or None
        How far the rule itself would swing the part at the first of `drawings`, degrees; None leaves it to the neighbours.
    ghost : ndarray, shape (joints, 2), or None
        Where the limb would be in the first of `drawings` if its neighbours decided.
    """

    rule: str
    limb: str
    joint: str
    drawings: tuple
    measured: float
    allowed: float
    unit: str
    head: str
    text: str
    shows: str = ""
    looked_for: str = ""
    short: str = ""
    follows: int | None = None
    turn: float | None = field(default=None, compare=False, repr=False)
    ghost: object = field(default=None, compare=False, repr=False)

    @property
    def says(self):
        """The whole sentence."""
        return f"{self.head} {self.text}".strip()

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
