"""An assignment on the disk: a folder handed out whole, with notebook, brief, start drawings and the homework's guard.

Nothing that somebody changed by hand is overwritten. What was written is kept as digests in a manifest, as a workbook's
files are (`workbook_copy`); a notebook counts as changed where its cells differ, not where it was only run.
"""

import io
import json
import zipfile
from dataclasses import dataclass, field
from pathlib import Path

from ...judging.brief import read_brief
from ...judging.brief_text import brief_text
from ...model import action_file
from ...model.action import ActionError
from ...storage.disk import names_beside, plainly, write_whole
from .. import workbook_copy
from ..workbook_copy import MANIFEST, digests
from .draft import Assigned
from .notebook import notebook, with_verdict

GUARD = "conftest.py"
STAMP = (2020, 1, 1, 0, 0, 0)  # of all files in a zip: the same files give the same bytes
MOST_KEPT = 40  # versions of a file that the manifest knows
SAYS = "What this homework asks. A line may be changed here; then open it in the form and write it again: so the zip has it too."


@dataclass
class Opened:
    """An assignment as it was opened from its folder, and the digests of its files then; none of one of the workbook's."""

    one: Assigned
    seen: dict = field(default_factory=dict)


def paths(name):
    """The files of an assignment, from its folder: brief, start drawings, notebook."""
    return f"{name}.toml", f"start/{name}.json", f"{name}.ipynb"


def assignments(folder):
    """Names of the assignments in a folder, in order."""
    folder = Path(folder)
    try:
        return sorted(
            path.name for path in folder.iterdir() if all((path / file).is_file() for file in paths(path.name)[:2])
        )
    except FileNotFoundError:
        return []
    except OSError as error:
        raise ActionError(
            f"the folder cannot be opened ({error.strerror})", "check that it is yours to read", file=str(folder)
        ) from None


def opened(folder, name, start=None, brief=None):
    """An assignment from its folder, or from the two files that are named.

    Raises
    ------
    ActionError
        Where one of its files cannot be read; it says which, where, and what to do.
    """
    here = Path(folder) / name
    where = {file: here / file for file in paths(name)}
    of_brief, of_start = (Path(given) if given else path for given, path in zip((brief, start), where.values()))
    one = Assigned(name, read_brief(of_brief), action_file.read(of_start))
    return (
        Opened(one) if brief else Opened(one, {file: _digest(path) for file, path in where.items() if path.is_file()})
    )


def _digest(path):
    with plainly(path, "read"):
        return digests(path, path.read_bytes())["bytes"]


# ---- writing ------------------------------------------------------------------------------


def written(one, folder, begun=None):
    """Write an assignment, or bring one that is there up to date.

    Parameters
    ----------
    one : Assigned
    folder : Path
        In it the assignment gets a folder of its name, and a zip of it to hand out.
    begun : Opened, optional
        The assignment of the same name, as it was opened.

    Returns
    -------
    Opened
        As it is now.
    list of str
        A sentence for each file that was kept.

    Raises
    ------
    ActionError
        Where another assignment has the name, or a file was changed since it was opened; then nothing is written.
    """
    here = Path(folder) / one.name
    seen = begun.seen if begun is not None and begun.one.name == one.name else {}
    if here.exists() and not seen:
        raise ActionError(
            f'there is something named "{one.name}" in {Path(folder).name} already',
            "begin with it, to change it, or give this one another name; nothing was written",
        )
    new, known, says = _files(one), _manifest(here), []
    by_hand = _by_hand(here, new, known, seen)
    for file in by_hand:
        path = here / file
        if file.endswith(".ipynb"):
            new[file], told = with_verdict(path, one)
            says.append(told)
        elif file == GUARD or _means(path, one):
            del new[file]
    for file in by_hand:
        if file in new and file.endswith((".toml", ".json")):
            beside = next(name for name in names_beside(here / file) if not name.exists())
            workbook_copy.write(beside, (here / file).read_bytes())
            says.append(f"{file}: you changed it by hand; what you wrote is kept as {beside.name}.")
    for file, data in new.items():
        before, digest = known.get(file, []), digests(Path(file), data)
        known[file] = [*[one for one in before if one != digest], digest][-MOST_KEPT:]
    # The manifest comes first: of what is cut short between two files, all is known as ours.
    workbook_copy.write(
        here / MANIFEST, (json.dumps({"written": known}, indent=1, sort_keys=True) + "\n").encode("utf-8")
    )
    for file, data in new.items():
        if not (here / file).is_file() or (here / file).read_bytes() != data:
            workbook_copy.write(here / file, data)
    write_whole(Path(folder) / f"{one.name}.zip", _zipped(here, one.name))
    return opened(folder, one.name), says


def _by_hand(here, new, known, seen):
    """The files that somebody changed by hand, as they were when they were opened.

    Raises
    ------
    ActionError
        Where one was changed by hand since.
    """
    found = []
    for file, data in new.items():
        path = here / file
        if not path.is_file():
            continue
        now = digests(path, path.read_bytes())
        ours = [*known.get(file, []), digests(path, data)]
        if any(
            now["bytes"] == one["bytes"] or now["cells"] is not None and now["cells"] == one["cells"] for one in ours
        ):
            continue
        if file in seen and seen[file] != now["bytes"]:
            raise ActionError(
                f"{file} was changed since it was opened here", "open it once more, then change it; nothing was written"
            )
        found.append(file)
    return found


def _means(path, one):
    """True where a brief, or start drawings, changed by hand say what is to be written: its words stay then."""
    if path.suffix == ".toml":
        return read_brief(path) == one.brief
    return action_file.dumps(action_file.read(path)) == action_file.dumps(one.start)


def _manifest(here):
    """Of each file the digests of what was written under its name; none where the manifest cannot be read."""
    try:
        found = json.loads((here / MANIFEST).read_bytes())["written"]
        return {
            str(file): [{"bytes": str(one["bytes"]), "cells": one["cells"]} for one in versions]
            for file, versions in found.items()
        }
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return {}  # then every file that differs counts as changed by hand


def _files(one):
    """The bytes of each file, by its place in the folder."""
    brief, start, book = paths(one.name)
    return {
        brief: brief_text(one.brief, SAYS).encode("utf-8"),
        start: action_file.dumps(one.start),
        book: notebook(one),
        GUARD: (workbook_copy.source() / "homework" / GUARD).read_bytes(),
    }


def _zipped(here, name):
    """The folder as a zip, without anybody's drawings."""
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w", zipfile.ZIP_DEFLATED) as packed:
        for file in (*paths(name), GUARD):
            info = zipfile.ZipInfo(f"{name}/{file}", STAMP)
            info.external_attr = 0o644 << 16
            packed.writestr(info, (here / file).read_bytes(), zipfile.ZIP_DEFLATED)
    return data.getvalue()
