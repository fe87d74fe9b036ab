"""Who is in the class, and whose an entry of a folder is.

A roster is a small table, as a spreadsheet writes it: a head with `id`, `name` and `due`, in any order, of which one of the first
two must be there; commas, semicolons or tabs between. `due` is a learner's own date, where it is another than the class's.
"""

import csv
import io
import re
import unicodedata
from dataclasses import dataclass
from datetime import datetime, time

from ...model.action import ActionError
from ...model.printable import cut, path_text, visible
from ...model.whole_file import TooLarge, read_whole

MOST_BYTES = 5_000_000
MOST_WORDS = 8      # of a name
# Letters that no accent can be taken from.
_PLAIN = str.maketrans({"ł": "l", "ø": "o", "đ": "d", "ħ": "h", "ı": "i", "æ": "ae", "œ": "oe", "þ": "th", "ð": "d"})
_HEADS = ("id", "name", "due")


@dataclass(frozen=True)
class Learner:
    """One of the class; `id` is what results name, the name where there is no other."""

    id: str
    name: str = ""
    due: datetime | None = None


class Roster:
    """The learners of a class, by what an entry may call them.

    Parameters
    ----------
    learners : sequence of Learner
    """

    def __init__(self, learners):
        self.learners = {learner.id: learner for learner in learners}
        self._by_id, self._by_name = {}, {}
        for learner in learners:
            self._by_id.setdefault("".join(_words(learner.id)), set()).add(learner.id)
            words = _words(learner.name)
            for k in range(len(words)):     # family name first or last
                self._by_name.setdefault("".join(words[k:] + words[:k]), set()).add(learner.id)
        self._by_id.pop("", None)
        self._by_name.pop("", None)

    def whose(self, parts):
        """The Learner whom the outermost part of a path names, as an id or as a whole name; None where none or several are."""
        for part in parts:
            found = self._named(part)
            if found:
                return self.learners[found.pop()] if len(found) == 1 else None
        return None

    def _named(self, part):
        """The ids that are words of this part; else of the whole names in it."""
        words = _words(part)
        for known in (self._by_id, self._by_name):
            found = {}
            for first in range(len(words)):
                for last in range(first + 1, min(first + MOST_WORDS, len(words)) + 1):
                    for one in known.get("".join(words[first:last]), ()):
                        found.setdefault((first, last), set()).add(one)
            # An id or a name within a longer one is no other learner's.
            spans = [span for span in found if not any(a <= span[0] and span[1] <= b and (a, b) != span for a, b in found)]
            if spans:
                return set().union(*(found[span] for span in spans))
        return set()


def _words(text):
    """Words of a text without accents, capitals and apostrophes; whatever is neither letter nor digit parts them."""
    text = unicodedata.normalize("NFKD", text.casefold().translate(_PLAIN))
    text = "".join(c for c in text if not unicodedata.combining(c) and c not in "'’ʼ`")
    return re.findall(r"[^\W_]+", text)


def read_roster(path):
    """The Roster in a file.

    Raises
    ------
    ActionError
        Where it cannot be read, or two learners have one id; it says the line.
    """
    where = path_text(path)
    try:
        data, _ = read_whole(path, MOST_BYTES, links=True)
        text = data.decode("utf-8-sig")
    except TooLarge:
        raise ActionError("is too large for a roster", "name the table of the class, saved as CSV", file=where) from None
    except UnicodeDecodeError:
        raise ActionError("is no CSV in UTF-8", "save it so: your spreadsheet has a choice of that name", file=where) from None
    except OSError as error:
        raise ActionError(f"the roster cannot be opened ({error.strerror})", "check the name and the folder", file=where) from None
    except ValueError:
        raise ActionError("no file has a NUL in its name", "check the name", file=where) from None
    try:
        return Roster(_learners(text))
    except ActionError as error:
        raise error.at(file=where)
    except csv.Error as error:
        raise ActionError(f"is no table ({error})", "save it as CSV", file=where) from None


def _learners(text):
    head = text.split("\n", 1)[0]
    between = max(",;\t", key=head.count)
    rows = csv.reader(io.StringIO(text, newline=""), delimiter=between)
    names = [cell.strip().lower() for cell in next(rows, [])]
    if not {"id", "name"} & set(names):
        raise ActionError(f'the head is "{cut(visible(head), 60)}"', "let its first line name the columns: id, name, due")
    for name in _HEADS:
        if names.count(name) > 1:
            raise ActionError(f'the column "{name}" is there twice', "keep one")
    learners, lines = [], {}
    for row in rows:
        cells = dict(zip(names, (cell.strip() for cell in row)))
        name, own = cells.get("name", ""), cells.get("id", "")
        own = own or name
        if not own:
            continue    # an empty line
        if own in lines:
            raise ActionError(f'line {rows.line_num}: "{cut(visible(own), 60)}" is in line {lines[own]} too',
                              "give each learner an id of their own")
        lines[own] = rows.line_num
        try:
            due = read_due(cells["due"]) if cells.get("due") else None
        except ActionError as error:
            raise ActionError(f"line {rows.line_num}: {error.what}", error.do) from None
        learners.append(Learner(own, name, due))
    if not learners:
        raise ActionError("names no learner", "let each have a line, below the line that names the columns")
    return learners


def read_due(text):
    """A date by which something is due, as a datetime of local time: "2026-11-29T18:00", or "2026-11-29" for the end of that day.

    Raises
    ------
    ActionError
    """
    try:
        due = datetime.fromisoformat(text.strip())
    except ValueError:
        raise ActionError(f'"{cut(visible(text), 40)}" is no date', "write it as 2026-11-29 or 2026-11-29T18:00") from None
    if due.tzinfo is not None:
        return due.astimezone().replace(tzinfo=None)
    return datetime.combine(due.date(), time(23, 59, 59)) if re.fullmatch(r"\s*[\d-]+\s*", text) else due
