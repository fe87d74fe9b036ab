"""Hand-ins for the tests: the homework as it ships, each copy with other drawings beside it."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import nbformat
from answers import HOMEWORK as ANSWERS

from anim_lessons import read_brief
from anim_lessons.model import action_file

ROOT = Path(__file__).resolve().parents[1]
HOMEWORK = ROOT / "notebooks" / "homework"
NAME = "06_looping_arm"
NOTEBOOK, FILE = f"{NAME}.ipynb", ANSWERS[NAME].file
HEADING = re.compile(r"^_+ (?P<folder>.+)/[^/]+\.ipynb::(?P<cell>Cell \d+) _+$", re.MULTILINE)


def notebook(name):
    """The notebook of a homework, without its folder."""
    return f"{ANSWERS[name].notebook or name}.ipynb"


def brief(name):
    """The Brief by which a homework is marked."""
    return read_brief(HOMEWORK / (ANSWERS[name].brief or notebook(name).replace(".ipynb", ".toml")))


def start(name):
    """The path of the drawings that are given."""
    return HOMEWORK / "start" / ANSWERS[name].file


def cells(path):
    """The cells of code of a notebook."""
    return [cell for cell in nbformat.read(path, 4).cells if cell.cell_type == "code"]


def check_cell(cells):
    """The cell that judges."""
    return next(cell for cell in cells if "check" in cell.metadata.get("tags", ()))


def check_number(name):
    """Which cell of code that is, from 0, as nbval counts them."""
    return next(i for i, cell in enumerate(cells(HOMEWORK / notebook(name))) if "check" in cell.metadata.get("tags", ()))


def lay_out(folder, drawings=None, name=NAME):
    """A pristine copy of one homework, with a learner's file of these bytes, or of this Action, beside it."""
    answers = ANSWERS[name]
    others = [path.name for path in HOMEWORK.glob("*.ipynb") if path.name != notebook(name)]
    shutil.copytree(HOMEWORK, folder, ignore=shutil.ignore_patterns("__pycache__", ".*", *others))
    for one in ANSWERS.values():
        (folder / one.file).unlink(missing_ok=True)  # somebody's own, drawn in the checkout
    if answers.brief:
        path = folder / notebook(name)
        own = notebook(name).replace(".ipynb", ".toml")
        text = path.read_text("utf-8")
        assert own in text, f"{path.name} names no {own}"
        path.write_text(text.replace(own, answers.brief), "utf-8")
    if drawings is not None:
        (folder / answers.file).write_bytes(drawings if isinstance(drawings, bytes) else action_file.dumps(drawings))
    return folder


def nbval(folder, *options):
    """`pytest --nbval` in a process of its own, as a learner or an instructor runs it.

    Returns
    -------
    int, str
        Its exit code, and all it printed.
    """
    # Warnings shown: what goes to standard error must not end up in a check cell's output.
    env = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST")}
    env |= {"PYTHONWARNINGS": "default", "PYTHONDONTWRITEBYTECODE": "1",
            "PYTHONPATH": os.pathsep.join(filter(None, [str(ROOT), str(ROOT / "tests"), env.get("PYTHONPATH")]))}
    # Plugins that only these tests here bring along take seconds to load.
    without = [word for plugin in ("cacheprovider", "hypothesispytest", "xdist", "anyio") for word in ("-p", f"no:{plugin}")]
    command = [sys.executable, "-m", "pytest", *(options or ["--nbval"]), "-q", "-vv", "--color=no", *without,
               "--rootdir", str(folder), str(folder)]
    done = subprocess.run(command, cwd=folder, env=env, capture_output=True, text=True, timeout=1800)
    return done.returncode, done.stdout + done.stderr


def failures(printed):
    """What was printed about each failing notebook: folder -> (cell, text)."""
    parts = HEADING.split(printed.split("short test summary info")[0])
    return {folder: (cell, text) for folder, cell, text in zip(parts[1::3], parts[2::3], parts[3::3])}
