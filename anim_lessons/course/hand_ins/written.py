"""Results as JSON for programs and as a sheet for spreadsheets. The same results give the same bytes."""

import csv
import io
import json

from ...assist.hand_in import DONE
from ...pictures.export import text_cell
from ..marking import MISSING, NOT_READ


def as_json(results, brief, start):
    """`results.json`, bytes.

    Parameters
    ----------
    results : Results
    brief, start : str
        Names of their files.
    """
    rows, aside = [], []
    for one in results.results:
        rows.append(_line({
            "who": one.who, "file": one.file, "state": one.state, "passed": _passed(one.state),
            "share": None if one.row.share is None else round(one.row.share, 4),
            "rules": {rule: {"passed": passed, "judged": judged} for rule, (passed, judged) in one.row.rules.items()},
            "says": told(one),
        }))
        aside += [_line({"who": one.who, "file": file, "says": says}) for file, says in one.aside]
    lists = [f'"{key}": [{",".join(found)}\n]' for key, found in (("rows", rows), ("aside", aside))]
    return (f'{{"brief": {json.dumps(brief)}, "start": {json.dumps(start)},\n' + ",\n".join(lists) + "}\n").encode("ascii")


def _line(row):
    """A row as text at once, for of a long list the rows themselves would need much more memory."""
    return "\n" + json.dumps(row, allow_nan=False)


def _passed(state):
    return None if state in (NOT_READ, MISSING) else state == DONE


def told(one):
    """What a Result says, with its notes."""
    return "; ".join((one.row.says, *one.notes))


def as_sheet(results, called=None):
    """`results.csv`, bytes: UTF-8 with a mark before it, a row a learner.

    Parameters
    ----------
    results : Results
    called : dict of str to str, optional
        Who -> a name for the page of the class, where that tells none.
    """
    sheet = io.StringIO(newline="")
    write = csv.writer(sheet, lineterminator="\r\n")
    own = ["called"] if called else []
    write.writerow([text_cell(head) for head in
                    ("who", "name", *own, "file", "state", "holds, %", "your mark", *results.columns, "begin with", "notes", "your comment",
                     "handed in", "also there")])
    for one in results.results:
        share = "" if one.row.share is None else round(100 * one.row.share)
        write.writerow([
            text_cell(one.who), text_cell(one.name), *([called[one.who]] if called else []), text_cell(one.file), one.state, share, text_cell(one.own_mark),
            *(text_cell(one.row.marks.get(name, "")) for name in results.columns), text_cell(one.row.says),
            text_cell("; ".join(one.notes)), text_cell(one.comment), "" if one.when is None else f"{one.when:%Y-%m-%d %H:%M}",
            text_cell("; ".join(file for file, _ in one.aside)),
        ])
    return ("\ufeff" + sheet.getvalue()).encode("utf-8")
