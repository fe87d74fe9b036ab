"""Entries of a folder judged, one after the other: what was judged before by the same brief, start and rules is taken from the log."""

from contextlib import contextmanager
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import msgspec
import numpy as np

from ...assist.hand_in import Assignment
from ...model import action_file
from ...model.action import ActionError
from ...storage.disk import digest
from ..marking import NOT_READ, TOGETHER, Row, rows
from .collecting import DRAWINGS, Entry

LOG = "judged.jsonl"
MOST_BYTES = 4_000_000      # of hand-ins that are judged together
ROOMS = ("model", "geometry", "measures", "rules", "judging", "assist", "course")    # what a row depends on
ENDED = "ends the program that judges it; ask for it anew"


@dataclass(frozen=True)
class Context:
    """What hand-ins are judged by, for whoever does the work: brief, bytes of the start drawings, digest of the rules; and of all
    that, `by`."""

    brief: object
    start: bytes
    rules: str
    by: str


def context_of(assignment):
    """The Context of an Assignment."""
    start = b"" if assignment.start is None else action_file.dumps(assignment.start)
    rules = rules_digest()
    return Context(assignment.brief, start, rules, digest(repr((assignment.brief, start, rules)).encode()))


_known = {}     # the last Context.by of this process, and its Assignment


def assignment_in(context):
    """The Assignment of a Context.

    Raises
    ------
    ActionError
        Where the rules here are others than those of the process that asks.
    """
    if context.by not in _known:
        if context.rules != rules_digest():
            raise ActionError("the workers have another version of anim-lessons than this one", "install the same on all of them")
        _known.clear()
        _known[context.by] = Assignment(context.brief, action_file.loads(context.start) if context.start else None)
    return _known[context.by]


@cache
def rules_digest():
    """Of all modules that have a say in a row: after a change of any of them everything is judged anew."""
    top = Path(__file__).resolve().parents[2]
    modules = sorted(path for room in ROOMS for path in (top / room).rglob("*.py"))
    return digest(b"\0".join([np.__version__.encode(), *(path.read_bytes() for path in modules)]))


def judge(context, hand_ins):
    """The Row of each hand-in, bytes of an action file; nothing that is wrong with one comes up as an error."""
    def read():
        for data in hand_ins:
            try:
                yield "", action_file.loads(data)
            except ActionError as error:
                error.__context__ = None    # it holds the bytes of the file
                yield "", error.with_traceback(None)

    return list(rows(read(), assignment_in(context)))


class Log:
    """Rows by the digest of their hand-in, a line each, in a file that only grows: whatever stops a run, the next goes on.

    Its first line says for which brief, start and rules it holds; with others it begins anew. A line that was cut short is one row lost.

    Parameters
    ----------
    path : Path
    by : str
        Digest of the context.
    """

    def __init__(self, path, by):
        head = b'{"by":"' + by.encode() + b'"}\n'
        self._file = open(path, "a+b")      # noqa: SIM115 - closed by `close`
        self._file.seek(0)
        if self._file.readline() != head:
            self._file.truncate(0)
            self._file.write(head)
        self._lines, at, line = {}, len(head), b"\n"
        for line in self._file:
            if line.startswith(b'{"of":"') and line.endswith(b"}\n"):
                self._lines[line[7:71]] = at
            at += len(line)
        if not line.endswith(b"\n"):
            self._file.write(b"\n")
            self._file.flush()

    def row(self, of):
        """The Row of a digest, or None."""
        at = self._lines.get(of.encode())
        if at is None:
            return None
        self._file.seek(at)
        try:
            return msgspec.json.decode(self._file.readline(), type=_Line).row
        except msgspec.MsgspecError:
            return None

    def add(self, found):
        """Write down (digest, Row) pairs."""
        self._file.write(b"".join(msgspec.json.encode(_Line(of, row)) + b"\n" for of, row in found))
        self._file.flush()

    def close(self):
        self._file.close()


class _Line(msgspec.Struct):
    of: str
    row: Row


@contextmanager
def log_in(folder, context):
    """The Log in a folder, for what `context` asks."""
    log = Log(Path(folder) / LOG, context.by)
    try:
        yield log
    finally:
        log.close()


@dataclass
class _Task:
    """Entries that go together; of each its row, or the digest by which it is judged."""

    entries: list
    known: list
    of: list


def judged(found, who, log=None):
    """Entries with their Rows.

    Parameters
    ----------
    found : iterable of Entry
    who : workers.Here
        Does the work.
    log : Log, optional

    Yields
    ------
    (Entry, Row)
        In their order; the entry without its data, the row without a name.
    """
    alike = {}
    for task, answers in who.in_order(judge, _tasks(found, log)):
        answers = iter(answers)
        new = []
        for entry, row, of in zip(task.entries, task.known, task.of):
            if of:
                row = next(answers) or Row("", NOT_READ, says=ENDED)
                new.append((of, row))
            yield entry, _shared(row, alike)
        if log is not None and new:
            log.add(new)


def _tasks(found, log):
    task, items, size = _Task([], [], []), [], 0
    for entry in found:
        row, of = Row("", NOT_READ, says=entry.why), ""
        if entry.kind == DRAWINGS:
            of = digest(entry.data)
            row = None if log is None else log.row(of)
            if row is None:
                items.append(entry.data)
                size += len(entry.data)
        task.entries.append(Entry(entry.parts, entry.kind, b"", entry.why, entry.when))
        task.known.append(row)
        task.of.append(of if row is None else "")
        if len(task.entries) >= TOGETHER or size > MOST_BYTES:
            yield task, items
            task, items, size = _Task([], [], []), [], 0
    if task.entries:
        yield task, items


def _shared(row, alike):
    """The row, with what many rows have alike held once."""
    def one(value, key):
        return alike.setdefault(key, value) if len(alike) < 100_000 else value

    rules = {name: one(said, said) for name, said in row.rules.items()}
    return replace(row, rules=one(rules, ("rules", *rules.items())), marks=one(row.marks, ("marks", *row.marks.items())),
                   notes=one(row.notes, row.notes))
