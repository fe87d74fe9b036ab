"""The instructor's own file beside the results, `marks.json`: what they say of a hand-in, and whose an entry is.

It is made once, with nothing said, and never written again by a run. What is said of drawings holds for these drawings of this
learner alone: after they were handed in anew it is shown as said of an earlier one.
"""

import json
from dataclasses import dataclass, field

import msgspec

from ...model.action import ActionError
from ...model.printable import path_text
from ...model.whole_file import read_whole
from ...storage.disk import write_whole

NAME = "marks.json"
FORMAT, VERSION = "anim-lessons/marks", 1
MOST_BYTES = 50_000_000


class Mark(msgspec.Struct, frozen=True):
    """What the instructor says of one hand-in: of a rule a mark in place of the rule's, or a comment."""

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

    def of(self, who, drawn):
        """(said of these drawings, said of earlier ones) of a learner, each a list of Mark."""
        mine = [mark for mark in self.marks if mark.who == who]
        return [mark for mark in mine if mark.drawn in ("", drawn)], [mark for mark in mine if mark.drawn not in ("", drawn)]


def read_own(folder):
    """The OwnMarks in a folder; nothing where there is no such file yet.

    Raises
    ------
    ActionError
        Where the file is there and cannot be read: it is the instructor's work, so nothing is done without it.
    """
    path = folder / NAME
    try:
        file = msgspec.json.decode(read_whole(path, MOST_BYTES)[0], type=_File)
    except FileNotFoundError:
        return OwnMarks()
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError, OSError) as error:
        said = getattr(error, "strerror", None) or str(error)
        raise ActionError(f"your marks cannot be read ({said})", "mend the file, or move it away to begin anew",
                          file=path_text(path)) from None
    if (file.format, file.version) != (FORMAT, VERSION):
        raise ActionError("is no file of marks that is known here", "move it away to begin anew", file=path_text(path))
    return OwnMarks(tuple(file.marks), {part: who for part, who in file.whose.items() if who})


def begin_own(folder, unknown):
    """Make the file where there is none, with a line to fill in for each entry of which nobody knows whose it is."""
    path = folder / NAME
    if not path.exists() and not path.is_symlink():
        whole = {"format": FORMAT, "version": VERSION, "marks": [], "whose": dict.fromkeys(sorted(unknown), "")}
        write_whole(path, (json.dumps(whole, ensure_ascii=False, indent=2) + "\n").encode("utf-8"))
