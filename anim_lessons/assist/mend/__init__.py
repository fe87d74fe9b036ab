"""Correct it for me, a little: the smallest change of the fewest drawings that keeps every rule.

Nothing here judges. The rules are asked, about many loops in one pass, which change they would pass; the smallest
one is taken. Drawings that need not change stay as they are, to the last bit; those that do have the lengths of the
model sheet. What cannot be mended is said, and left.
"""

from dataclasses import dataclass

import numpy as np

from ...judging.brief import DEFAULT
from ...judging.judge import check
from ...rules.finding import Finding
from .says import done, redrawn
from .work import Work, named


@dataclass(frozen=True, eq=False)
class Move:
    """One drawing of one limb, as it is to be.

    Attributes
    ----------
    limb : str
    drawing : int
        From 1.
    points : ndarray, shape (joints, 2)
        mm.
    says : str
        "swing the forearm 9° on"
    mm : float
        How far the joint goes that goes furthest.
    """

    limb: str
    drawing: int
    points: np.ndarray
    says: str
    mm: float


@dataclass(frozen=True, eq=False)
class Mended:
    """An action after it was mended.

    Attributes
    ----------
    action : Action
    moves : tuple of Move
        In drawing order, limb by limb; empty where nothing was moved.
    passes : bool
        Whether it keeps every rule, and what else the brief asks.
    says : str
        What was done, and what is left and why.
    """

    action: object
    moves: tuple
    passes: bool
    says: str


def mend(action, brief=DEFAULT, finding=None):
    """The smallest change of the fewest drawings with which an action keeps every rule.

    Parameters
    ----------
    action : Action
        It is not changed.
    brief : Brief, optional
    finding : Finding or int, optional
        Only this one, or the one at this place among the findings of `check(action, brief)`; with one that
        follows from another, the other. A Finding that these drawings do not have is taken for mended.
        All of them unless given.

    Returns
    -------
    Mended

    Raises
    ------
    IndexError
        Where there is no finding at that place.
    """
    before = check(action, brief)
    chosen = _cause(before, finding) if finding is not None else None
    work = Work(action, brief, before)
    if finding is None:
        work.everything()
    elif chosen is not None:
        work.one(before, chosen)
    after = work.verdict
    if len(after.causes) > len(before.causes):      # one thing mended must not have spoilt two
        work, after = Work(action, brief, before), before
    moves = tuple(_moves(action, work))
    return Mended(work.action, moves, after.passed, _says(before, after, finding is not None, chosen, moves, work.later))


def _cause(verdict, finding):
    """The cause that is to be mended, as this verdict has it; None where it is there no more."""
    if isinstance(finding, Finding):
        finding = next((i for i, other in enumerate(verdict.findings) if named(other) == named(finding)), None)
        if finding is None:
            return None
    found = verdict.findings[finding]
    return found if found.follows is None else verdict.findings[found.follows]


def _moves(action, work):
    for old, new in zip(action.limbs, work.action.limbs):
        later = work.later.get(old.name)
        for d in np.flatnonzero((old.drawings != new.drawings).any(axis=(1, 2))):
            mm = float(np.hypot(*(new.drawings[d] - old.drawings[d]).T).max())
            # A limb that begins so many drawings later is not drawn anew: its drawings change places.
            says = redrawn(old, action.loop, d, new.drawings[d]) if later is None or later % 1 else \
                f"put the {old.name} of drawing {int(d - later) % action.count + 1} here"
            yield Move(old.name, int(d) + 1, new.drawings[d], says, mm)


def _says(before, after, asked, chosen, moves, later):
    left = [f"This stays: {cause.says}" for cause in after.causes]
    if asked and (chosen is None or named(chosen) not in map(named, after.causes)):
        left = [f"{len(left)} more to mend."] if left else []
    left += [f"The brief: {says}" for says in after.unmet]
    if not left:
        judged = any(rule.judged for rule in after.rules.values())
        left = [f"Every rule is kept{' now' if moves else ''}." if judged else "No rule could judge it."]
    first = done(moves, later) if before.causes else "Nothing to mend, and no drawing was moved."
    return " ".join([first, *left])
