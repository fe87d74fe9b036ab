"""Mend an action: the corrections of its faults laid in, one after the other, until the rules pass it.

The corrections are those that note and ghost tell. Drawings that need not change stay as they are, to the last bit;
those that do have the lengths of the model sheet. What cannot be mended is said, and left.
"""

from dataclasses import dataclass

import numpy as np

from ..judging.brief import DEFAULT
from ..judging.correction import Corrector
from ..judging.judge import check
from ..judging.least import A_PASS, Patience
from ..judging.wording import done, redrawn
from ..rules.finding import Finding

ROUNDS = 6      # times that the rules are asked anew what is left to mend
CHECKED = 400_000   # joints checked anew while all is mended, counted as Patience counts: 1 s about


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


def mend(action, brief=DEFAULT, finding=None, drawn=None, least=False):
    """An action with its corrections laid in.

    Parameters
    ----------
    action : Action
        It is not changed.
    brief : Brief, optional
    finding : Finding or int, optional
        Only this one, or the one at this place among the findings of `check(action, brief)`; with one that
        follows from another, the other. A Finding that these drawings do not have is taken for mended.
        All of them unless given.
    drawn : dict of str to ndarray of bool, shape (drawings,), optional
        As for `check`.
    least : bool
        By the least that passes, in place of all the way to where the neighbours have a drawing.

    Returns
    -------
    Mended

    Raises
    ------
    IndexError
        Where there is no finding at that place.
    """
    before = check(action, brief, drawn)
    chosen = _cause(before, finding) if finding is not None else None
    work = _Work(action, brief, before, drawn, least)
    if finding is None:
        work.everything()
    elif chosen is not None:
        work.lay_in([chosen])
    after = work.verdict
    if finding is None and len(after.causes) > len(before.causes):      # one thing mended must not have spoilt two
        work, after = _Work(action, brief, before, drawn, least), before
    moves = tuple(_moves(action, work))
    return Mended(work.action, moves, after.passed, _says(before, after, finding is not None, chosen, moves, work.later, drawn is not None))


def _cause(verdict, finding):
    """The cause that is to be mended, as this verdict has it; None where it is there no more."""
    if isinstance(finding, Finding):
        found = next((other for other in verdict.findings if other.named == finding.named), None)
        return None if found is None else verdict.cause_of(found)
    return verdict.cause_of(verdict.findings[finding])


class _Work:
    """An action on its way from as it was to as it will be; `later` are limbs that begin so many drawings later."""

    def __init__(self, action, brief, verdict, drawn, least):
        self.action, self.brief, self.verdict, self.drawn, self.least = action, brief, verdict, drawn, least
        self.later = {}
        self.patience = Patience()      # for all that is tried once the first corrections are laid in
        self.left = CHECKED

    def everything(self):
        """Mend what can be mended."""
        for _ in range(ROUNDS):
            if not self.verdict.causes:
                return
            apart = _apart(self.verdict.causes)
            if len(apart) > 1 and self.lay_in(apart):
                continue
            # A cause at a time, the first that helps; then all drawings out of place in a limb together.
            if not any(self.lay_in([cause]) for cause in self.verdict.causes) and not self._together():
                return

    def lay_in(self, causes):
        """Lay the corrections of these causes in; True where less is left to mend."""
        corrections = [(cause.least if self.least else None) or cause.correction for cause in causes]
        corrections = [correction for correction in corrections if correction is not None]
        if not corrections or self.left < 0:
            return False
        action = self.action
        for correction in corrections:
            action = correction.laid_in(action)
        if not self._take(action):
            return False
        for correction in corrections:
            if correction.later:
                self.later[correction.limb] = self.later.get(correction.limb, 0.0) + correction.later
        return True

    def _together(self):
        """The drawings at fault in one limb moved together by the least that passes."""
        for limb in self.action.limbs if self.left >= 0 else ():
            causes = [cause for cause in self.verdict.causes if cause.limb == limb.name and cause.drawings and not cause.of_exposure]
            if causes:
                found = Corrector(self.action, self.brief, patience=self.patience).together(self.verdict, causes)
                if found is not None and self._take(found.laid_in(self.action)):
                    return True
        return False

    def _take(self, action):
        verdict = check(action, self.brief, self.drawn, self.patience)
        # A finding costs as much as a pass over the rules: it is put in order among the others, and worded.
        self.left -= sum(limb.drawings[..., 0].size for limb in action.limbs)
        self.left -= A_PASS * (len(action.limbs) + len(verdict.findings))
        if len(verdict.causes) >= len(self.verdict.causes) and not verdict.passed:
            return False
        self.action, self.verdict = action, verdict
        return True


def _apart(causes):
    """Causes whose corrections do not touch the same limb as a whole, or the same drawing of it."""
    taken, found = {}, []
    for cause in causes:
        correction = cause.correction
        if correction is None:
            continue
        numbers = taken.setdefault(correction.limb, set())
        if cause.moves and not numbers & set(correction.poses):
            numbers |= set(correction.poses)
            found.append(cause)
    return found


def _moves(action, work):
    for old, new in zip(action.limbs, work.action.limbs):
        later = work.later.get(old.name)
        for d in np.flatnonzero((old.drawings != new.drawings).any(axis=(1, 2))):
            mm = float(np.hypot(*(new.drawings[d] - old.drawings[d]).T).max())
            # A limb that begins so many drawings later is not drawn anew: its drawings change places.
            says = redrawn(old, action.loop, d, new.drawings[d]) if later is None or later % 1 else \
                f"put the {old.name} of drawing {int(d - later) % action.count + 1} here"
            yield Move(old.name, int(d) + 1, new.drawings[d], says, mm)


def _says(before, after, asked, chosen, moves, later, begun):
    left = [f"This stays: {cause.says}" for cause in after.causes]
    if asked and (chosen is None or chosen.named not in {cause.named for cause in after.causes}):
        left = [f"{len(left)} more to mend."] if left else []
    left += [f"The brief: {says}" for says in after.unmet if not begun]    # of a beginning it asks later
    if not left:
        judged = any(rule.judged for rule in after.rules.values())
        left = [f"Every rule is kept{' so far' if begun else ' now' if moves else ''}." if judged else "No rule could judge it."]
    first = done(moves, later) if before.causes else "Nothing to mend, and no drawing was moved."
    return " ".join([first, *left])
