"""`anim-lessons mend` from outside: what it prints, what it writes, its exit code.

Reference: `anim-lessons check` on what was written, and the description of the command.
"""
import re

import click.testing
import numpy as np
import pytest

from anim_lessons import commands
from anim_lessons.ferry.actions import DEMOS, wave
from anim_lessons.geometry.limb import lengths
from anim_lessons.model import action_file


@pytest.fixture
def run(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)

    def command(*words):
        return click.testing.CliRunner().invoke(commands.main, list(words), prog_name="anim-lessons")

    return command


def written(path, action):
    path.write_bytes(action_file.dumps(action))


@pytest.mark.parametrize("name, moves", [("elbow-locks", 1), ("two-arms", 0), ("arms-together", 16)])
def test_what_it_writes_passes_the_check(name, moves, run, tmp_path):
    run("demo", name, "--to", "wave.json")
    done = run("mend", "wave.json", "--to", "mended.json")
    assert (0, "") == (done.exit_code, done.stderr)
    *lines, last = done.stdout.splitlines()
    assert moves == len(lines) and last.startswith("mended.json: ") and "Every rule is kept" in last
    assert 0 == run("check", "mended.json").exit_code
    assert action_file.dumps(DEMOS[name]()) == (tmp_path / "wave.json").read_bytes()


def test_it_says_which_drawing_moved_and_by_how_much(run, tmp_path):
    run("demo", "elbow-locks", "--to", "wave.json")
    line = run("mend", "wave.json", "--to", "mended.json").stdout.splitlines()[0]
    number, turned, mm = re.fullmatch(r"drawing (\d+): swing the forearm.* (\d+)° .*\(([\d.]+) mm\)", line).groups()
    old, new = (action_file.read(tmp_path / name).limbs[0].drawings for name in ("wave.json", "mended.json"))
    assert [int(number) - 1] == np.flatnonzero((old != new).any(axis=(1, 2))).tolist()
    assert float(mm) == pytest.approx(np.linalg.norm(old - new, axis=-1).max(), abs=0.05)
    assert int(turned) > 0
    np.testing.assert_allclose(lengths(new[int(number) - 1]), wave().limbs[0].lengths, atol=0.002)     # a file keeps a thousandth of a mm


def test_of_two_limbs_it_names_the_one(run):
    run("demo", "arms-together", "--to", "arms.json")
    assert "drawing 1, far arm: put the far arm of drawing 9 here" in run("mend", "arms.json", "--to", "mended.json").stdout


def test_what_cannot_be_mended_is_said_and_written_as_it_is(run, tmp_path):
    still = wave().redrawn(np.repeat(wave().limbs[0].drawings[:1], 16, axis=0))
    written(tmp_path / "still.json", still)
    done = run("mend", "still.json", "--to", "mended.json")
    assert 1 == done.exit_code and "Nothing moves yet." in done.stdout
    assert (tmp_path / "still.json").read_bytes() == (tmp_path / "mended.json").read_bytes()


def test_the_brief_decides(run, tmp_path):
    (tmp_path / "brief.toml").write_text('rules = ["length"]')
    run("demo", "elbow-locks", "--to", "wave.json")
    done = run("mend", "wave.json", "--to", "mended.json", "--brief", "brief.toml")
    assert 0 == done.exit_code and "no drawing was moved" in done.stdout


def test_no_file_is_written_over_unless_that_is_asked_for(run, tmp_path):
    run("demo", "elbow-locks", "--to", "wave.json")
    before = (tmp_path / "wave.json").read_bytes()
    done = run("mend", "wave.json", "--to", "wave.json")
    assert (2, "") == (done.exit_code, done.stdout) and "--replace" in done.stderr
    assert before == (tmp_path / "wave.json").read_bytes()
    assert 0 == run("mend", "wave.json", "--to", "wave.json", "--replace").exit_code
    assert 0 == run("check", "wave.json").exit_code


@pytest.mark.parametrize("words", [
    ["mend"], ["mend", "wave.json"], ["mend", "nope.json", "--to", "x.json"], ["mend", "bad.json", "--to", "x.json"],
    ["mend", "wave.json", "--to", "no/such/x.json"], ["mend", "wave.json", "--to", "x.json", "--brief", "bad.json"]])
def test_errors_are_a_line_or_two_with_exit_code_2_and_nothing_is_written(words, run, tmp_path):
    written(tmp_path / "wave.json", wave())
    (tmp_path / "bad.json").write_text("{")
    done = run(*words)
    assert (2, "") == (done.exit_code, done.stdout)
    assert 1 <= len(done.stderr.splitlines()) <= 2 and "Traceback" not in done.stderr
    assert not (tmp_path / "x.json").exists()


def test_help_has_an_example(run):
    assert "Example:\n    anim-lessons mend" in run("mend", "--help").stdout
