"""The light table's pure helpers, tested in node: joints, frames, lines and labels (tests/view)."""

import re
import shutil
import subprocess
from pathlib import Path

import pytest

VIEW = Path(__file__).parent / "view"
NODE = shutil.which("node")


@pytest.mark.skipif(NODE is None, reason="NO NODE FOUND, so the view's own helpers are not tested; install the package nodejs")
@pytest.mark.parametrize("file", sorted(path.name for path in VIEW.glob("*.test.mjs")))
def test_in_node(file):
    done = subprocess.run([NODE, "--test", "--test-reporter=tap", VIEW / file], capture_output=True, text=True)
    passed = re.search(r"^# pass (\d+)$", done.stdout, re.MULTILINE)
    assert 0 == done.returncode, done.stdout + done.stderr
    assert passed and int(passed[1]) >= 2, done.stdout
