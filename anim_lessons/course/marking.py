"""A pile of hand-ins as one table: files by rules, in the order in which an instructor flips through them."""

from dataclasses import dataclass, field, replace
from html import escape
from itertools import islice
from pathlib import Path
from tempfile import mkdtemp

from ..assist.hand_in import STATES, UNMET, Assignment, asked
from ..judging.brief import brief_of
from ..judging.files import names, not_judged
from ..model import action_file
from ..model.action import Action, ActionError
from ..model.words import capital
from ..storage.disk import digest, write_whole
from .from_file import on_files

NOT_READ, MISSING = "not read", "missing"       # beside the states of a hand-in
ALL_STATES = (*STATES, NOT_READ, MISSING)
TOGETHER = 256      # hand-ins that are judged in one pass, so that a long row of them needs little memory


@dataclass(frozen=True, slots=True)     # of a large class many are held
class Row:
    """One hand-in as it stands in a table.

    Attributes
    ----------
    name : str
        The file's, without its ending, or the learner's.
    state : str
        Of ALL_STATES.
    marks, share, says, notes
        As in `assist.hand_in.HandIn`; of what could not be read `says` tells why.
    rules : dict of str to (bool, bool)
        Of each rule asked, whether it is kept and whether it could be judged.
    faults : tuple of (str, tuple of int)
        Rule and drawings of each cause.
    count : int
        Number of drawings.
    drawn : str
        `digest` of the drawings.
    part : float
        Share of the parts to be drawn that are drawn.
    """

    name: str
    state: str
    marks: dict[str, str] = field(default_factory=dict)
    share: float | None = None
    says: str = ""
    notes: tuple[str, ...] = ()
    rules: dict[str, tuple[bool, bool]] = field(default_factory=dict)
    faults: tuple[tuple[str, tuple[int, ...]], ...] = ()
    count: int = 0
    drawn: str = ""
    part: float = 1.0


def rows(named, assignment):
    """What was read of hand-ins as Rows, in their order. Nothing that is wrong with one comes up as an error.

    Parameters
    ----------
    named : iterable of (str, Action or ActionError)
        Names, and what was read.
    assignment : Assignment

    Yields
    ------
    Row
    """
    named = iter(named)
    while chunk := list(islice(named, TOGETHER)):
        actions = [found for _, found in chunk if not isinstance(found, ActionError)]
        try:
            judged = iter(assignment.hand_ins(actions, advice=False))
        except Exception:  # noqa: BLE001 - one of them cannot be judged: each by itself tells which
            judged = None
        for name, found in chunk:
            if isinstance(found, ActionError):
                yield Row(name, NOT_READ, says=found.says)
            else:
                yield _alone(name, found, assignment) if judged is None else _row(name, found, next(judged), assignment)


def _alone(name, action, assignment):
    try:
        return _row(name, action, assignment.hand_in(action), assignment)
    except Exception as error:  # noqa: BLE001 - one hand-in must not keep the others of a class from being judged
        return Row(name, NOT_READ, says=not_judged(name, error).says)


def _row(name, action, one, assignment):
    rules, faults = {}, ()
    if one.verdict is not None:
        judged = ((rule, one.verdict.rules[rule]) for rule in assignment.brief.rules)
        rules = {rule: (said.passed, said.judged) for rule, said in judged}
        faults = tuple((cause.rule, tuple(int(number) for number in cause.drawings)) for cause in one.verdict.causes)
    return Row(name, one.state, one.marks, one.share, one.says, one.notes, rules, faults,
               action.count, drawn_digest(action), one.drawn)


def drawn_digest(action):
    """SHA-256 of what is drawn, in hex: joints, exposure, loop and places to 0.001 mm; whatever it is called and saved by, it
    stays the same."""
    told = [(limb.joints, limb.drawings.shape) for limb in action.limbs]
    places = b"".join((limb.drawings.round(3) + 0.0).tobytes() for limb in action.limbs)    # + 0.0: there is one nought
    return digest(repr((told, action.exposures.tolist(), bool(action.loop))).encode("utf-8") + places)


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
    assignment = Assignment(brief_of(brief), start if start is None or isinstance(start, Action) else action_file.read(start))
    paths, apart = _paths(files), {}

    def read():
        for name, (_, found, apart[name]) in zip(names(paths), on_files(paths)):
            yield name, found

    told = (replace(one, says=f"{capital(apart[one.name])} {one.says}") if apart[one.name] else one for one in rows(read(), assignment))
    return ClassTable(columns(assignment.brief), tuple(told))


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
    """What is marked, as `columns` has it, and one Row a hand-in."""

    columns: tuple
    rows: tuple

    @property
    def to_mend(self):
        """Rule, or what the brief asks -> how many have something to mend under it: what to show again."""
        return {name: sum(one.marks.get(name, "").startswith(("mend", UNMET)) for one in self.rows) for name in self.columns}

    def _lines(self):
        yield "hand-in", "state", *self.columns, "holds", "begin with"
        for one in self.rows:
            share = "" if one.share is None else f"{one.share:.0%}"
            yield one.name, one.state, *(one.marks.get(name, "") for name in self.columns), share, one.says
        yield "to mend", "", *(str(count) for count in self.to_mend.values()), "", ""

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


def columns(brief):
    """What is marked: the rules of a brief in the order in which an instructor flips, then what it asks of the stack."""
    return (*asked(brief), *brief.asked_of_stack)


def _shown(text):
    """A file may be called anything: what would move the cursor is left out."""
    return "".join(letter if letter.isprintable() else "?" for letter in str(text))
