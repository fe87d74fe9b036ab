"""A pile of hand-ins as one table: files by rules, in the order in which an instructor flips through them."""

from dataclasses import dataclass, field, replace
from html import escape
from pathlib import Path
from tempfile import mkdtemp

from ..judging.brief import DEFAULT, brief_of
from ..judging.files import judged, names
from ..judging.judge import check
from ..model import action_file
from ..model.action import Action, ActionError
from ..model.words import capital, run
from ..rules import RULES
from ..storage.disk import write_whole
from .from_file import on_files

KEPT, FOLLOWS, NOT_JUDGED = "kept", "follows", "not judged"


@dataclass(frozen=True)
class HandIn:
    """One file of the pile.

    Attributes
    ----------
    name : str
        The file's, without its ending.
    marks : dict of str to str
        A word a rule: KEPT; FOLLOWS where all that breaks it follows from a cause under another rule; NOT_JUDGED; or
        "mend at 13". Empty where nothing was judged.
    share : float or None
        Weight of the rules that hold, of all that are asked, 0 to 1; None where nothing was judged.
    says : str
        What to begin with; or why nothing was judged.
    """

    name: str
    marks: dict = field(default_factory=dict)
    share: float | None = None
    says: str = ""


def hand_in(name, action, brief=DEFAULT, start=None):
    """One action as a row of the table.

    Parameters
    ----------
    name : str
    action : Action
    brief : Brief, optional
    start : Action, optional
        What was given: the same drawings are no answer.

    Returns
    -------
    HandIn

    Notes
    -----
    A rule under which everything only follows counts as holding, so that one slip costs once. A rule that could not be
    judged counts as not holding where the brief names its rules, and not at all where it does not.
    """
    return _row(name, action, check(action, brief), brief, start)


def _row(name, action, found, brief, start):
    if start is not None and action.drawn_as(start):
        return HandIn(name, says="as given; nothing is drawn yet")
    marks = {rule: _mark(rule, found) for rule in _asked(brief)}
    named = brief.names_rules
    weights = {rule: brief.weights.get(rule, 1.0) for rule, mark in marks.items() if named or mark != NOT_JUDGED}
    holds = sum(weight for rule, weight in weights.items() if marks[rule] in (KEPT, FOLLOWS))
    whole = sum(weights.values())
    left = [cause.head for cause in found.causes] + list(found.unmet)
    return HandIn(name, marks, holds / whole if whole else None, left[0] if left else "every rule kept")


def class_table(files, brief=None, start=None):
    """The pile as a table; a notebook shows it, `print` prints it.

    Parameters
    ----------
    files : str, Path, or sequence of them
        A folder, of which every .json is taken, or the files.
    brief, start : as for `lessons.verdict`, optional

    Returns
    -------
    ClassTable

    Raises
    ------
    ActionError
        Where there is no file, or brief or start cannot be read. A hand-in that cannot be read is a row that says why.
    """
    brief = brief_of(brief)
    start = start if start is None or isinstance(start, Action) else action_file.read(start)
    rows = []
    paths, apart = _paths(files), {}

    def read(paths):
        for path, found, apart[path] in on_files(paths):
            yield path, found

    for name, one in zip(names(paths), judged(paths, brief, read)):
        row, error = one.told(lambda file: _row(name, file.action, file.verdict, brief, start))
        if error is not None:
            row = HandIn(name, says=f"not read: {error.says}" if one.action is None else error.says)
        rows.append(replace(row, says=f"{capital(apart[one.path])} {row.says}") if apart[one.path] else row)
    return ClassTable(_asked(brief), tuple(rows))


def pile(folder, invented):
    """The folder of the hand-ins; as long as there is none, or nothing in it, a temporary one with invented hand-ins.

    Parameters
    ----------
    folder : str or Path
    invented : dict of str to Action

    Returns
    -------
    Path
    """
    folder = Path(folder)
    if folder.is_dir() and _action_files(folder):
        return folder
    other = Path(mkdtemp())
    for name, action in invented.items():
        write_whole(other / f"{name}.json", action_file.dumps(action))
    return other


def readable(files):
    """Name -> Action of the hand-ins that can be read; `files` as for `class_table`.

    Raises
    ------
    ActionError
        Where there is none.
    """
    paths = _paths(files)
    found = {name + (" (not as on its light table)" if apart else ""): action
             for name, (_, action, apart) in zip(names(paths), on_files(paths)) if not isinstance(action, ActionError)}
    if not found:
        raise ActionError("none of the hand-ins can be read; the class table says why")
    return found


def _paths(files):
    if not isinstance(files, str | Path):
        return [Path(path) for path in files]
    folder = Path(files)
    if not folder.is_dir():
        raise ActionError(f"{folder}: is no folder; name the folder of the hand-ins, or give a list of files")
    paths = _action_files(folder)
    if not paths:
        raise ActionError(f"{folder}: holds no action file; a hand-in ends in .json")
    return paths


def _action_files(folder):
    """Whatever in a folder ends in .json or .JSON: also what is no file has a row that says so."""
    try:
        return sorted(path for path in folder.iterdir() if path.name.lower().endswith(".json"))
    except OSError as error:
        raise ActionError(f"{folder}: cannot be opened ({error.strerror}); check that it is yours to read") from None


@dataclass(frozen=True)
class ClassTable:
    """Rules in the order in which an instructor flips, and one HandIn a file."""

    rules: tuple
    rows: tuple

    @property
    def to_mend(self):
        """Rule -> how many have a cause under it: what to show again."""
        return {rule: sum(row.marks.get(rule, "").startswith("mend") for row in self.rows) for rule in self.rules}

    def _lines(self):
        yield "hand-in", *self.rules, "holds", "begin with"
        for row in self.rows:
            share = "" if row.share is None else f"{row.share:.0%}"
            yield row.name, *(row.marks.get(rule, "") for rule in self.rules), share, row.says
        yield "to mend", *(str(count) for count in self.to_mend.values()), "", ""

    def __str__(self):
        lines = [[_shown(cell) for cell in line] for line in self._lines()]
        wide = [max(map(len, column)) for column in zip(*lines)]
        return "\n".join("  ".join(f"{cell:{width}}" for cell, width in zip(line, wide)).rstrip() for line in lines)

    __repr__ = __str__

    def _repr_html_(self):
        head, *rows, last = ([escape(_shown(cell)) for cell in line] for line in self._lines())

        def row(cells, kind, rest):
            first, *others = cells
            cells = "".join(f'<{rest} align="left">{cell}</{rest.split()[0]}>' for cell in others)  # words, not numbers
            return f'<tr><th scope="{kind}" align="left">{first}</th>{cells}</tr>'

        return (f"<table><thead>{row(head, 'col', 'th scope=col')}</thead>"
                f"<tbody>{''.join(row(cells, 'row', 'td') for cells in rows)}</tbody>"
                f"<tfoot>{row(last, 'row', 'td')}</tfoot></table>")


def _asked(brief):
    """The rules of a brief in the order in which an instructor flips."""
    marked = [name for name in brief.rules if RULES[name].flip is not None]
    return tuple(sorted(marked, key=lambda name: RULES[name].flip))


def _mark(rule, found):
    if not found.rules[rule].judged:
        return NOT_JUDGED
    if found.rules[rule].passed:
        return KEPT
    causes = [cause for cause in found.causes if cause.rule == rule]
    if not causes:
        return FOLLOWS
    at = f" at {run(causes[0].drawings)}" if causes[0].drawings else ""
    return f"mend{at}{' …' if len(causes) > 1 else ''}"


def _shown(text):
    """A file may be called anything: what would move the cursor is left out."""
    return "".join(letter if letter.isprintable() else "?" for letter in str(text))
