"""Each learner's newest hand-in judged: what is late, what is missing, and what only the instructor can tell.

Of several hand-ins of one learner the newest counts, and the others are listed. Newest is told by the date in a path, for what
is fetched from a server carries the day on which it was fetched; then by the number of the try in it; then by the file's own
date, then by its name. The outermost part of a path that tells a date or a try is believed: what lies further in was named by the
learner.
"""

import re
from collections import Counter
from dataclasses import dataclass, field, replace
from datetime import datetime
from unicodedata import normalize

from ...assist.hand_in import BEGUN, DONE, NOTHING, OTHER, TO_MEND
from ...model import action_file
from ...model.action import ActionError
from ..marking import MISSING, NOT_READ, Row, columns, rows
from .collecting import BESIDE, DRAWINGS, entries, lone
from .own_marks import OwnMarks

# The state that needs the instructor first, first.
BY_STATE = (NOT_READ, OTHER, NOTHING, MISSING, BEGUN, TO_MEND, DONE)
WHOSE = "whose? "       # before an entry of which nobody knows who drew it
_DATE = re.compile(r"(?<!\d)(20\d\d)([-._])(\d\d)\2(\d\d)(?:[T _-]+(\d\d)[-.:_h]?(\d\d)(?:[-.:_]?(\d\d))?)?(?!\d)"
                   r"|(?<!\d)(20\d\d)(\d\d)(\d\d)[T_-](\d\d)(\d\d)(\d\d)?(?!\d)")
_TRY = re.compile(r"(?:resubmission|submission|attempt|version|try|take)[ _.#-]*(\d{1,3})(?!\d)|\((\d{1,3})\)", re.IGNORECASE)


@dataclass(frozen=True)
class Result:
    """What is known of one learner, or of one entry that is nobody's.

    Attributes
    ----------
    who : str
        Id or name; WHOSE and the entry's first part where nobody knows.
    name : str
        As the roster has it, else as `who`.
    file : str
        Path of the hand-in that counts, from the folder down; empty where there is none.
    row : Row
    notes : tuple of str
        What the row says besides, and what is late or lies beside it.
    when : datetime or None
    aside : tuple of (str, str)
        Path of every other entry of this learner, and what is said of it.
    unknown : str
        The first part of the path, where nobody knows whose it is.
    """

    who: str
    name: str
    file: str
    row: Row
    notes: tuple = ()
    when: datetime | None = None
    aside: tuple = ()
    unknown: str = ""

    @property
    def state(self):
        return self.row.state

    @property
    def needs_you(self):
        """True where only the instructor can go on."""
        return bool(self.unknown) or self.state == NOT_READ


@dataclass(frozen=True)
class Results:
    """A class: `columns` as `marking.columns`, and a Result each learner, those of nobody last."""

    columns: tuple
    results: tuple
    drawings: dict = field(default_factory=dict)    # of each who the Action that counts, where it was asked for

    @property
    def states(self):
        """State -> how many, in the order of BY_STATE."""
        found = Counter(one.state for one in self.results)
        return {state: found[state] for state in BY_STATE if found[state]}

    @property
    def needs_you(self):
        return any(one.needs_you for one in self.results)

    @property
    def to_mend(self):
        """Rule, or what the brief asks -> how many learners have something to mend under it, most first."""
        found = Counter(name for one in self.results for name in self.columns
                        if one.row.marks.get(name, "").startswith("mend") or one.row.marks.get(name) == "to mend")
        return dict(sorted(found.items(), key=lambda item: (-item[1], self.columns.index(item[0]))))


@dataclass(frozen=True)
class _Found:
    """One entry judged, with what sorts it among a learner's others."""

    parts: tuple
    kind: str
    row: Row
    when: datetime | None
    by: str
    order: tuple

    @property
    def path(self):
        return "/".join(self.parts)


def mark_class(folder, assignment, roster=None, due=None, own=None, leave_out=None, keep=False):
    """Judge what lies in a folder.

    Parameters
    ----------
    folder : str or Path
        Or a zip.
    assignment : Assignment
    roster : Roster, optional
        Without one each first part of a path is a learner.
    due : datetime, optional
        Local time; a learner's own in the roster goes before it.
    own : OwnMarks, optional
    leave_out : Path, optional
        A folder that is not looked into.
    keep : bool
        Whether the drawings that count are kept, for what compares them.

    Returns
    -------
    Results

    Raises
    ------
    ActionError
        Where the folder cannot be opened, or holds nothing.
    """
    own = own or OwnMarks()
    top = lone(folder)
    learners, strays, kept = {}, [], {}
    for entry, found, action in _judged(entries(folder, leave_out), assignment):
        parts = entry.parts[1:] if top is not None and entry.parts[0] == top and len(entry.parts) > 1 else entry.parts
        who = _who(parts, roster, own)
        if who is None:
            strays.append((parts[0], found))
            continue
        learners.setdefault(who, []).append(found)
        if keep and action is not None and found.order == max(one.order for one in learners[who] if one.kind == found.kind):
            kept[who] = action
    if not learners and not strays:
        raise ActionError("holds nothing to mark", "put the hand-ins there; an action file ends in .json", file=str(folder))
    if roster is None:
        results = [_result(who, who, found, due) for who, found in sorted(learners.items())]
    else:
        results = [_result(one.id, one.name or one.id, learners.get(one.id, []), one.due or due) for one in roster.learners.values()]
    nobodys = [_nobodys(first, found, due) for first, found in sorted(strays, key=lambda one: one[1].path)]
    return Results(columns(assignment.brief), (*results, *nobodys), kept)


def _who(parts, roster, own):
    """The id of a learner, or None where nobody knows."""
    if roster is None:
        first = normalize("NFC", parts[0])
        return re.sub(r"\.(json|zip)$", "", first, flags=re.IGNORECASE) or first
    told = own.whose.get(parts[0])
    if told in roster.learners:
        return told
    found = roster.whose(parts)
    return None if found is None else found.id


def _judged(found, assignment):
    """Each entry, with it as _Found, and its Action or None."""
    waiting = []

    def read():
        for entry in found:
            action = None
            if entry.kind == DRAWINGS:
                try:
                    action = what = action_file.loads(entry.data, where=entry.path)
                except ActionError as error:
                    what = error.with_traceback(None)
                    what.__context__ = None     # it holds the bytes of the file
            else:
                what = ActionError(entry.why)
            waiting.append((replace(entry, data=b""), action))
            yield entry.path, what

    for one in rows(read(), assignment):
        entry, action = waiting.pop(0)
        yield entry, _sorted_by(entry, one), action


def _sorted_by(entry, one):
    dated = next(filter(None, map(_dated, entry.parts)), None)
    tried = next(filter(None, map(_TRY.findall, entry.parts)), None)
    order = (dated or datetime.min, max(int(a or b) for a, b in tried) if tried else 0, entry.when or datetime.min, entry.path)
    return _Found(entry.parts, entry.kind, one, dated or entry.when, "by its name" if dated else "by the file's own date", order)


def _dated(part):
    """The last date in a part of a path, a datetime, or None."""
    for match in reversed(list(_DATE.finditer(part))):
        year, _, *rest = match.groups()
        numbers = (year, *rest[:5]) if year else rest[5:]
        try:
            return datetime(*(int(number) for number in numbers if number is not None))
        except ValueError:
            continue
    return None


def _result(who, name, found, due):
    """A learner's newest hand-in, and what else there is of theirs."""
    # What is no hand-in by its name counts only where there is no other.
    found = sorted(found, key=lambda one: (one.kind != BESIDE, one.order))
    if not found:
        return Result(who, name, "", Row(name, MISSING, says="nothing is handed in"))
    newest, aside = found[-1], [(one.path, _aside(one)) for one in reversed(found[:-1])]
    notes = [*newest.row.notes, *_late(newest, due)]
    others = sum(one.kind != BESIDE for one in found[:-1])
    if others:
        notes.append(f"the newest of {others + 1} hand-ins")
    return Result(who, name, newest.path, replace(newest.row, name=name), tuple(notes), newest.when, tuple(aside))


def _nobodys(first, found, due):
    who = f"{WHOSE}{first}"
    notes = (*found.row.notes, *_late(found, due), "nobody in the roster is named in its path, or several are")
    return Result(who, who, found.path, replace(found.row, name=who), notes, found.when, unknown=first)


def _late(found, due):
    if due is None or found.when is None or found.when <= due:
        return ()
    return (f"late: {found.when:%Y-%m-%d %H:%M} {found.by}, due {due:%Y-%m-%d %H:%M}",)


def _aside(found):
    share = "" if found.row.share is None else f", {found.row.share:.0%}"
    return found.row.says if found.row.state == NOT_READ else f"an earlier one: {found.row.state}{share}"
