"""The instructor's own file beside the results, `marks.json`: what they say of a hand-in, and whose an entry is.

A run makes it once, with nothing said, and never writes it again; the marking panel only adds to it, and of two things said of
the same the later counts. What is said of drawings holds for these drawings of this learner alone: after they were handed in anew
it is shown as said of an earlier one, and changes no mark.
"""

import json
from collections import defaultdict
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property

import msgspec

from ...model.action import ActionError
from ...model.printable import path_text
from ...model.whole_file import read_whole
from ...storage.disk import write_whole

NAME = "marks.json"
FORMAT, VERSION = "anim-lessons/marks", 1
MOST_BYTES = 50_000_000


class Mark(msgspec.Struct, frozen=True):
    """What the instructor says of one hand-in: of a rule a mark in place of the rule's, a mark of their own, or a comment.

    Attributes
    ----------
    who : str
        Id of the learner.
    drawn : str
        `marking.drawn_digest` of the drawings that are meant; empty where the learner is.
    rule : str
        Or what the brief asks of the stack; empty for the hand-in as a whole.
    mark : str
        Of a rule "kept" or "to mend"; of the whole whatever the instructor gives. Empty takes back what was said before.
    comment : str
        The learner reads it on their page.
    by, at : str
        Who said it, and when.
    """

    who: str
    drawn: str = ""
    rule: str = ""
    mark: str = ""
    comment: str = ""
    by: str = ""
    at: str = ""


class _File(msgspec.Struct):
    format: str
    version: int
    marks: list[Mark] = []
    whose: dict[str, str] = {}


@dataclass(frozen=True)
class OwnMarks:
    """The file's content: `marks`, and `whose`: the first part of an entry's path -> id of a learner."""

    marks: tuple = ()
    whose: dict = field(default_factory=dict)

    @cached_property
    def _by_who(self):
        found = defaultdict(dict)
        for mark in self.marks:     # the later one counts, and takes the place of the earlier
            found[mark.who].pop((mark.drawn, mark.rule), None)
            found[mark.who][mark.drawn, mark.rule] = mark
        return found

    def of(self, who, drawn):
        """(said of these drawings or of the learner, said of earlier ones) of a learner, each a list of Mark."""
        mine = [mark for mark in self._by_who.get(who, {}).values() if mark.mark or mark.comment]
        return [mark for mark in mine if mark.drawn in ("", drawn)], [mark for mark in mine if mark.drawn not in ("", drawn)]


def read_own(folder):
    """The OwnMarks in a folder; nothing where there is no such file yet.

    Raises
    ------
    ActionError
        Where the file is there and cannot be read: it is the instructor's work, so nothing is done without it.
    """
    found = _read(folder / NAME)
    if found is None:
        return OwnMarks()
    return OwnMarks(tuple(found.marks), {part: who for part, who in found.whose.items() if who})


def _read(path):
    try:
        file = msgspec.json.decode(read_whole(path, MOST_BYTES)[0], type=_File)
    except FileNotFoundError:
        return None
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError, OSError) as error:
        said = getattr(error, "strerror", None) or str(error)
        raise ActionError(f"your marks cannot be read ({said})", "mend the file, or move it away to begin anew",
                          file=path_text(path)) from None
    if (file.format, file.version) != (FORMAT, VERSION):
        raise ActionError("is no file of marks that is known here", "move it away to begin anew", file=path_text(path))
    return file


def begin_own(folder, unknown):
    """Make the file where there is none, with a line to fill in for each entry of which nobody knows whose it is."""
    path = folder / NAME
    if not path.exists() and not path.is_symlink():
        _write(path, {"format": FORMAT, "version": VERSION, "marks": [], "whose": dict.fromkeys(sorted(unknown), "")})


def say(folder, who, drawn="", rule="", mark="", comment="", by=""):
    """Add one Mark to the file; it is made where there is none. What else stands in it stays as it is.

    Raises
    ------
    ActionError
        As `read_own`; then nothing is written.
    OSError
        Where it cannot be written.
    """
    at = datetime.now().isoformat(timespec="seconds")
    told = msgspec.to_builtins(Mark(who, drawn, rule, mark, comment, by, at))
    _changed(folder, lambda whole: whole.setdefault("marks", []).append(told))


def answer_whose(folder, part, who):
    """Write down whose the entries are that begin with `part`; an empty `who` takes it back. As `say` otherwise."""
    _changed(folder, lambda whole: whole.setdefault("whose", {}).update({part: who}))


def _changed(folder, change):
    begin_own(folder, ())
    path = folder / NAME
    _read(path)
    whole = json.loads(read_whole(path, MOST_BYTES)[0])     # with what is not ours
    change(whole)
    _write(path, whole)


def _write(path, whole):
    write_whole(path, (json.dumps(whole, ensure_ascii=False, indent=2) + "\n").encode("utf-8", "replace"))
