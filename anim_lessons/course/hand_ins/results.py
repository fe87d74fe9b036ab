"""Each learner's newest hand-in judged: what is late, what is missing, and what only the instructor can tell.

Of several hand-ins of one learner the newest counts, and the others are listed. Newest is told by the date in a path, for what
is fetched from a server carries the day on which it was fetched; then by the number of the try in it; then by the file's own
date, then by its name. The outermost part of a path that tells a date or a try is believed: what lies further in was named by the
learner.
"""

import re
from collections import Counter
from dataclasses import dataclass, replace
from datetime import datetime
from functools import cached_property
from unicodedata import normalize

from ...assist.hand_in import BEGUN, DONE, NOTHING, OTHER, TO_MEND
from ..marking import MISSING, NOT_READ, Row, columns
from .collecting import BESIDE, DRAWINGS, entries, lone, some_entry
from .judged import context_of, judged
from .last_word import overruled, to_mend
from .own_marks import OwnMarks
from .workers import Here

# The state that needs the instructor first, first.
BY_STATE = (NOT_READ, OTHER, NOTHING, MISSING, BEGUN, TO_MEND, DONE)
WHOSE = "whose? "       # before an entry of which nobody knows who drew it
_DATE = re.compile(r"(?<!\d)(20\d\d)([-._])(\d\d)\2(\d\d)(?:[T _-]+(\d\d)[-.:_h]?(\d\d)(?:[-.:_]?(\d\d))?)?(?!\d)"
                   r"|(?<!\d)(20\d\d)(\d\d)(\d\d)[T_-](\d\d)(\d\d)(\d\d)?(?!\d)")
_TRY = re.compile(r"(?:resubmission|submission|attempt|version|try|take)[ _.#-]*(\d{1,3})(?!\d)|\((\d{1,3})\)", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
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
    said, earlier : tuple of Mark
        What the instructor says of these drawings, and what they said of earlier ones.
    measured : Row or None
        The row as the rules have it, where the instructor has marks of their own in it.
    """

    who: str
    name: str
    file: str
    row: Row
    notes: tuple = ()
    when: datetime | None = None
    aside: tuple = ()
    unknown: str = ""
    said: tuple = ()
    earlier: tuple = ()
    measured: Row | None = None

    @property
    def own_mark(self):
        """The instructor's mark of the whole; empty where there is none."""
        return next((mark.mark for mark in self.said if not mark.rule), "")

    @property
    def comment(self):
        """The instructor's comments on these drawings, one a line."""
        return "\n".join(mark.comment for mark in self.said if mark.comment)

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

    @cached_property
    def states(self):
        """State -> how many, in the order of BY_STATE."""
        found = Counter(one.state for one in self.results)
        return {state: found[state] for state in BY_STATE if found[state]}

    @property
    def needs_you(self):
        return any(one.needs_you for one in self.results)

    @cached_property
    def to_mend(self):
        """Rule, or what the brief asks -> how many learners have something to mend under it, most first."""
        found = Counter(name for one in self.results for name in self.columns if to_mend(one.row.marks.get(name, "")))
        return dict(sorted(found.items(), key=lambda item: (-item[1], self.columns.index(item[0]))))


@dataclass(frozen=True, slots=True)
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


def mark_class(folder, assignment, roster=None, due=None, own=None, leave_out=None, who=None, log=None, watch=None):
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
        Whose an entry is; and marks that take the place of the rules'.
    leave_out : Path, optional
        A folder that is not looked into.
    who : workers.Here, optional
        Who does the work; this process unless given.
    log : judged.Log, optional
        Of what was judged before.
    watch : function, optional
        Called with how many of `collecting.how_many` are judged.

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
    learners, strays, seen = {}, [], set()
    for entry, row in judged(entries(folder, leave_out), who or Here(context_of(assignment)), log):
        parts = entry.parts[1:] if top is not None and entry.parts[0] == top and len(entry.parts) > 1 else entry.parts
        found = _sorted_by(entry, row)
        if watch is not None and parts[0] not in seen:
            seen.add(parts[0])
            watch(len(seen))
        learner = _who(parts, roster, own)
        if learner is None:
            strays.append((parts[0], found))
        else:
            learners.setdefault(learner, []).append(found)
    if not learners and not strays:
        some_entry(folder, leave_out)
    if roster is None:
        results = [_result(who, who, learners.pop(who), due) for who in sorted(learners)]
    else:
        results = [_result(one.id, one.name or one.id, learners.pop(one.id, []), one.due or due) for one in roster.learners.values()]
    nobodys = [_nobodys(first, found, due) for first, found in sorted(strays, key=lambda one: one[1].path)]
    return Results(columns(assignment.brief), tuple(overruled(one, own, assignment) for one in (*results, *nobodys)))


def that_count(folder, results, leave_out=None):
    """The hand-ins that count, read once more, for what needs their drawings: (Result, Entry) of each."""
    wanted = {}
    for one in results.results:
        if one.file:
            wanted.setdefault(one.file, []).append(one)
    for entry in entries(folder, leave_out):
        if entry.kind == DRAWINGS:
            for one in wanted.pop(entry.path, ()):
                yield one, entry


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
