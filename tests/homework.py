"""Hand-ins for the tests: the homework as it ships, each copy with other drawings beside it."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
HOMEWORK = ROOT / "notebooks" / "homework"
NOTEBOOK, FILE = "06_looping_arm.ipynb", "wave_the_boat_in.json"
HEADING = re.compile(r"^_+ (?P<folder>.+)/[^/]+\.ipynb::(?P<cell>Cell \d+) _+$", re.MULTILINE)


def lay_out(folder, drawings=None):
    """A pristine copy of the homework, with a learner's file of these bytes beside it."""
    shutil.copytree(HOMEWORK, folder, ignore=shutil.ignore_patterns("__pycache__", ".*"))
    (folder / FILE).unlink(missing_ok=True)  # somebody's own, drawn in the checkout
    if drawings is not None:
        (folder / FILE).write_bytes(drawings)
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
            "PYTHONPATH": os.pathsep.join(filter(None, [str(ROOT), env.get("PYTHONPATH")]))}
    command = [sys.executable, "-m", "pytest", *(options or ["--nbval"]), "-q", "-vv", "--color=no",
               "-p", "no:cacheprovider", "--rootdir", str(folder), str(folder)]
    done = subprocess.run(command, cwd=folder, env=env, capture_output=True, text=True, timeout=600)
    return done.returncode, done.stdout + done.stderr


def failures(printed):
    """What was printed about each failing notebook: folder -> (cell, text)."""
    parts = HEADING.split(printed.split("short test summary info")[0])
    return {folder: (cell, text) for folder, cell, text in zip(parts[1::3], parts[2::3], parts[3::3])}
