"""The instructor's word before the rules': a row with their marks in it, and how far they and the rules agree.

A mark of these very drawings takes the place of the rule's; one of earlier drawings, or of no drawings in particular, changes nothing.
"""

from dataclasses import dataclass, replace

from ...assist.hand_in import DONE, FOLLOWS, KEPT, NOT_JUDGED, TO_MEND, UNMET
from ...model.words import run
from ..marking import Row


def overruled(one, own, assignment):
    """A Result with what the instructor says of it; where that is a mark of a rule, with another row.

    Parameters
    ----------
    one : Result
    own : OwnMarks
    assignment : Assignment

    Returns
    -------
    Result
    """
    said, earlier = own.of(one.who, one.row.drawn)
    if not said and not earlier:
        return one
    words = {mark.rule: mark.mark for mark in said if counts(mark, one.row)}
    row = _with(one.row, words, assignment) if words else one.row
    other = "; ".join(f"{name} {row.marks[name]}, measured {one.row.marks[name]}" for name in words if row.marks[name] != one.row.marks[name])
    notes = (*one.notes, f"by your word: {other}") if other else one.notes
    return replace(one, row=row, notes=notes, said=tuple(said), earlier=tuple(earlier), measured=one.row if words else None)


def counts(mark, row):
    """Whether a Mark takes the place of a rule's in a Row: it is of a rule in it and of its drawings, and says one of two things."""
    return bool(mark.rule in row.marks and mark.drawn and mark.drawn == row.drawn and _meant(mark.mark))


def _meant(word):
    """KEPT, UNMET, or an empty text for any other word."""
    word = word.strip().lower()
    return KEPT if word == KEPT else UNMET if word.startswith(("to mend", "mend")) else ""


def to_mend(mark):
    """Whether a mark of a Row says that something is to be mended."""
    return mark.startswith(("mend", UNMET))


def _with(row, words, assignment):
    marks, rules = dict(row.marks), dict(row.rules)
    for name, word in words.items():
        meant = _meant(word)
        if meant == KEPT or not to_mend(marks[name]):      # "mend at 13" says more than "to mend"
            marks[name] = meant
        if name in rules:
            rules[name] = (meant == KEPT, True)
    left = [name for name, mark in marks.items() if to_mend(mark)]
    if not left:    # what only follows does so from nothing now
        marks = {name: KEPT if mark == FOLLOWS else mark for name, mark in marks.items()}
        rules = {name: (True, judged) if marks.get(name) == KEPT else (passed, judged) for name, (passed, judged) in rules.items()}
    state = row.state
    if state in (DONE, TO_MEND):
        unknown = assignment.brief.names_rules and NOT_JUDGED in marks.values()
        state = TO_MEND if left or unknown else DONE
    faults = tuple((rule, drawings) for rule, drawings in row.faults if rule in left)
    faults += tuple((rule, ()) for rule in left if rule in rules and rule not in dict(faults))
    return replace(row, state=state, marks=marks, rules=rules, faults=faults, share=assignment.share(state, marks, row.part),
                   says=_begin_with(row, left, faults, state))


def _begin_with(row, left, faults, state):
    """What to begin with: what the rules say, as long as it is about something that is still to be mended."""
    if state == DONE:
        return "every rule kept"
    first = row.faults[0][0] if row.faults else None
    if first in left or not left or state not in (DONE, TO_MEND):
        return row.says
    rule, drawings = faults[0] if faults else (left[0], ())
    return f"{rule}{f' at {run(drawings)}' if drawings else ''}"


# ---- agreement -----------------------------------------------------------------------


@dataclass(frozen=True)
class Agreement:
    """How far the instructor's marks of one rule and the rule's own agree.

    Attributes
    ----------
    rule : str
    table : tuple
        ((both kept, the instructor to mend), (the rule to mend, both to mend)): a row is what the rule says.
    """

    rule: str
    table: tuple

    @property
    def count(self):
        return sum(map(sum, self.table))

    @property
    def kappa(self):
        """Cohen's kappa, or None where there is nothing to agree on."""
        return cohen_kappa(self.table)

    def __str__(self):
        both = self.table[0][0] + self.table[1][1]
        told = "nothing to agree on, for all are alike" if self.kappa is None else f"kappa {self.kappa:.2f}"
        return f"{self.rule}: the same mark for {both} of {self.count}; {told}"


def agreements(results):
    """An Agreement of each rule of which the instructor marked drawings, in the order of the columns.

    A mark that only follows, and one that could not be judged, are left out: neither says anything of the rule.

    Parameters
    ----------
    results : Results

    Returns
    -------
    tuple of Agreement
    """
    tables = {}
    for one in results.results:
        row = one.measured if isinstance(one.measured, Row) else one.row
        for mark in one.said:
            if counts(mark, row) and row.marks[mark.rule] not in (FOLLOWS, NOT_JUDGED):
                table = tables.setdefault(mark.rule, [[0, 0], [0, 0]])
                table[to_mend(row.marks[mark.rule])][_meant(mark.mark) == UNMET] += 1
    return tuple(Agreement(rule, tuple(map(tuple, tables[rule]))) for rule in results.columns if rule in tables)


def cohen_kappa(table):
    """Agreement of two who mark the same things, beyond what chance would give: 1 is all, 0 is what chance gives.

    Parameters
    ----------
    table : sequence of sequences of int, shape (n, n)
        How often the one said i and the other j.

    Returns
    -------
    float or None
        None where both say the same one thing of all, or nothing was marked: there is nothing to agree on.

    Notes
    -----
    ``(po - pe) / (1 - pe)``, po the share marked alike, pe the share that would be by chance.

    References
    ----------
    Cohen 1960, A coefficient of agreement for nominal scales (from memory).

    Examples
    --------
    >>> round(cohen_kappa([[12, 2], [4, 2]]), 2)
    0.21
    """
    whole = sum(map(sum, table))
    if not whole:
        return None
    alike = sum(table[k][k] for k in range(len(table))) * whole
    chance = sum(sum(table[k]) * sum(row[k] for row in table) for k in range(len(table)))
    return None if chance == whole * whole else (alike - chance) / (whole * whole - chance)
