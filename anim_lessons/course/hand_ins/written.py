"""Results as JSON for programs and as a sheet for spreadsheets. The same results give the same bytes, which come in pieces: the whole
of a long list would need much more memory."""

import csv
import io
import json
from itertools import chain

from ...assist.hand_in import DONE
from ...pictures.export import text_cell
from ..marking import MISSING, NOT_READ

PIECE = 65_536      # letters that are written at a time
_line = json.JSONEncoder(allow_nan=False).encode


def as_json(results, brief, start):
    """`results.json`, pieces of bytes.

    Parameters
    ----------
    results : Results
    brief, start : str
        Names of their files.
    """
    rows = ({
        "who": one.who, "file": one.file, "state": one.state, "passed": _passed(one.state),
        "share": None if one.row.share is None else round(one.row.share, 4),
        "rules": {rule: {"passed": passed, "judged": judged} for rule, (passed, judged) in one.row.rules.items()},
        "says": told(one),
    } for one in results.results)
    aside = ({"who": one.who, "file": file, "says": says} for one in results.results for file, says in one.aside)
    return in_pieces(chain([f'{{"brief": {json.dumps(brief)}, "start": {json.dumps(start)},\n"rows": ['], _lines(rows),
                           ['\n],\n"aside": ['], _lines(aside), ["\n]}\n"]), "ascii")


def _lines(rows):
    for number, row in enumerate(rows):
        yield f"{',' if number else ''}\n{_line(row)}"


def in_pieces(texts, encoding="utf-8"):
    """Texts one after the other, as pieces of bytes of which each is worth writing."""
    held, size = [], 0
    for text in texts:
        held.append(text)
        size += len(text)
        if size > PIECE:
            yield "".join(held).encode(encoding)
            held, size = [], 0
    yield "".join(held).encode(encoding)


def _passed(state):
    return None if state in (NOT_READ, MISSING) else state == DONE


def told(one):
    """What a Result says, with its notes."""
    return "; ".join((one.row.says, *one.notes))


def as_sheet(results, called=None):
    """`results.csv`, pieces of bytes: UTF-8 with a mark before it, a row a learner.

    Parameters
    ----------
    results : Results
    called : dict of str to str, optional
        Who -> a name for the page of the class, where that tells none.
    """
    return in_pieces(_sheet(results, called))


def _sheet(results, called):
    sheet = io.StringIO("\ufeff", newline="")
    sheet.seek(0, io.SEEK_END)
    write = csv.writer(sheet, lineterminator="\r\n")
    own = ["called"] if called else []
    write.writerow([text_cell(head) for head in
                    ("who", "name", *own, "file", "state", "holds, %", "your mark", *results.columns, "begin with", "notes", "your comment",
                     "handed in", "also there")])
    for one in results.results:
        yield sheet.getvalue()
        sheet.seek(0)
        sheet.truncate()
        share = "" if one.row.share is None else round(100 * one.row.share)
        write.writerow([
            text_cell(one.who), text_cell(one.name), *([called[one.who]] if called else []), text_cell(one.file), one.state, share, text_cell(one.own_mark),
            *(text_cell(one.row.marks.get(name, "")) for name in results.columns), text_cell(one.row.says),
            text_cell("; ".join(one.notes)), text_cell(one.comment), "" if one.when is None else f"{one.when:%Y-%m-%d %H:%M}",
            text_cell("; ".join(file for file, _ in one.aside)),
        ])
    yield sheet.getvalue()
