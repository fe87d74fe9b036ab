"""The workbook copied to a learner's folder, and kept up to date without touching the learner's work.

Three things are compared: what was given out last time (kept as digests in a
manifest), what stands in the folder now, and what this version of the workbook
holds. A notebook counts as changed where its cells differ, not where it was
only run. Lessons are given out with their answers not yet printed.
"""

import hashlib
import json
import os
from pathlib import Path

from ..model.action import ActionError
from ..storage.disk import plainly, write_whole

MANIFEST = ".workbook.json"
INSTRUCTOR = "instructor"  # folder: plan of the term, demonstrations, marking guide
NOT_FOR_LEARNERS = (INSTRUCTOR, "model_answers")  # folders
_HERE = Path(__file__).parents[1]


def source():
    """The folder that holds the workbook: inside an installed package, beside it in a checkout."""
    for folder in (_HERE / "workbook", _HERE.parent / "notebooks"):
        if folder.is_dir():
            return folder
    raise ActionError("the workbook is missing from this installation; install anim-lessons again")


def contents(workbook, instructor=False):
    """Paths of the workbook's files for learners, or for an instructor as well, relative to it, in order."""
    kept_back = set(NOT_FOR_LEARNERS) - ({INSTRUCTOR} if instructor else set())
    found = []
    for folder, folders, files in os.walk(workbook):
        here = Path(folder).relative_to(workbook)
        folders[:] = sorted(name for name in folders
                            if name not in kept_back and name[0] not in "._")
        found += [here / name for name in sorted(files) if name[0] != "." and not name.endswith(".pyc")]
    return sorted(path for path in found if not _somebodys(path))


def _somebodys(path):
    """True for what was drawn or recorded in the workbook itself: somebody's own, not a part of it."""
    return any(part.startswith("my_") for part in path.parts) or path.suffix == ".json" and "start" not in path.parts


def copy(workbook, folder, instructor=False):
    """Bring a learner's folder, or an instructor's, up to date.

    Parameters
    ----------
    workbook, folder : Path
        `folder` is made where it is missing; where it is the workbook itself nothing is copied.
    instructor : bool
        With what is for instructors.

    Returns
    -------
    list of str
        A sentence for each file that was not simply copied or left as it is, and a last
        one that counts the rest.
    """
    workbook, folder = Path(workbook), Path(folder)
    if folder.exists() and not folder.is_dir():
        raise ActionError(f"{folder}: is a file; name a folder for the workbook, new or your own")
    if folder.is_dir() and folder.samefile(workbook):
        return [f"{folder}: is the workbook itself; nothing was copied."]
    with plainly(folder, "made"):
        folder.mkdir(parents=True, exist_ok=True)
    before = _manifest(folder)
    given = dict(before)
    says, counts = [], {"new": 0, "updated": 0, "as they were": 0}
    for path in contents(workbook, instructor):
        name, new = path.as_posix(), _unanswered(path, (workbook / path).read_bytes())
        done, sentence = _one(folder, path, new, given.get(name))
        given[name] = digests(path, new)
        counts[done] = counts.get(done, 0) + 1
        if sentence:
            says.append(sentence)
    text = json.dumps({"given out": given}, indent=1, sort_keys=True) + "\n"
    if given != before:
        write(folder / MANIFEST, text.encode("utf-8"))
    told = ", ".join(f"{counts[kind]} {kind}" for kind in ("new", "updated", "as they were") if counts[kind])
    return [*says, f"{folder}: the workbook is there; files: {told or 'none to copy'}."]


def _one(folder, path, new, given):
    """Copy one file, or leave it; what was done, and a sentence where a learner should know."""
    target = folder / path
    if not os.path.lexists(target):
        if given is not None:
            return "left out", f"{path}: you took it away, so it stays away; open a new folder to have it again."
        write(target, new)
        return "new", ""
    if target.is_symlink() or not target.is_file():
        return "kept", f"{path}: something of yours has this name and was left alone."
    with plainly(target, "read"):
        now = target.read_bytes()
    if _plain(path, now) == _plain(path, new):
        return "as they were", ""
    mine = digests(path, now)
    touched = given is None or (mine["bytes"] != given["bytes"] and (
        mine["cells"] != given["cells"] or mine["cells"] is None))
    if not touched:
        if given == digests(path, new):  # run, but neither edited nor out of date
            return "as they were", ""
        write(target, new)
        return "updated", ""
    if given is not None and given["bytes"] == digests(path, new)["bytes"]:
        return "as they were", ""
    beside = target.with_name(f"{path.stem}.new-{digests(path, new)['bytes'][:8]}{path.suffix}")
    if beside.exists():
        return "as they were", ""
    write(beside, new)
    return "kept", f"{path}: you changed it, so it was kept; the new one is beside it, {beside.name}."


def _unanswered(path, data):
    """A lesson asks before it answers, so it goes out as if nobody had run it. What is only read (glossary, plan, marking
    guide) keeps what it shows. Homework keeps the verdict that nbval holds the learner's against, folded away until the
    cell is run: JupyterLab then shows what is new."""
    if path.suffix != ".ipynb" or not path.name[:1].isdigit():
        return data
    notebook = json.loads(data)
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code" and path.parts[0] == "homework" and cell["outputs"]:
            cell["metadata"] = {**cell["metadata"], "jupyter": {"outputs_hidden": True}}
        elif cell["cell_type"] == "code":
            cell.update(outputs=[], execution_count=None)
    return (json.dumps(notebook, indent=1, ensure_ascii=False) + "\n").encode("utf-8")


def digests(path, data):
    """SHA-256 of a file, and of its cells where it is a notebook."""
    cells = cells_of(data) if path.suffix == ".ipynb" else None
    return {
        "bytes": hashlib.sha256(_plain(path, data)).hexdigest(),
        "cells": None if cells is None else hashlib.sha256(cells).hexdigest(),
    }


def _plain(path, data):
    """The file without its line endings, which some editors and systems change on the way."""
    return data if path.suffix in (".png", ".svg", ".pdf") else data.replace(b"\r\n", b"\n")


def cells_of(data):
    """What a learner writes in a notebook, or None where it cannot be read as one."""
    try:
        cells = json.loads(data)["cells"]
        written = [(cell["cell_type"], "".join(cell["source"]), cell.get("attachments")) for cell in cells]
        return json.dumps(written, sort_keys=True).encode("utf-8")
    except (ValueError, KeyError, TypeError, RecursionError):
        return None


def _manifest(folder):
    """Digests of what was given out last time; none where there is no manifest that can be read."""
    try:
        given = json.loads((folder / MANIFEST).read_bytes())["given out"]
        return {str(name): {"bytes": str(entry["bytes"]), "cells": entry["cells"]} for name, entry in given.items()}
    except FileNotFoundError:
        return {}
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return {}  # then every file that differs counts as the learner's own


def write(path, data):
    with plainly(path.parent, "made"):
        path.parent.mkdir(parents=True, exist_ok=True)
    write_whole(path, data)
