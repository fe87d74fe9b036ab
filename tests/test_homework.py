"""The homework under nbval: passes where the drawings keep the rules, fails at the rule's line where they do not.

All hand-ins are laid out side by side and marked in one run. The model answers
are made from the scenario and are nowhere in the workbook.
"""

import json
import re

import homework
import nbformat
import pytest

from anim_lessons import action_file, check, lessons, read_brief, scenario
from anim_lessons.scenario import DEMOS, FAULTS

RIGHT = {
    "model": scenario.wave,
    "the other side": lambda: scenario.wave(other_side=True),
    "loose": scenario.loose_wave,
    "twenty-four": lambda: scenario.wave(24, size=0.8, exposure=2),
}
# One arm has nothing to oppose, so the brief does not ask for opposition.
WRONG = {name: rule for name, rule in FAULTS.items() if rule != "opposition"}
OTHER = {
    "as given": "NOT STARTED  the drawings are as given.",
    "no file": "NOT STARTED  the drawings are as given.",  # the light table lays the start drawings out
    "not a number": "NOT READ",
    "cut short": "NOT READ",
    "a buoy": "FAIL  hand —",
    "on ones": "FAIL  exposure —",
}
FORGED = 'import pathlib; print(pathlib.Path("forged.txt").read_text("utf-8"), end="")'


def bytes_of(action):
    return action_file.dumps(action)


@pytest.fixture(scope="module")
def run(tmp_path_factory):
    """Every hand-in below marked in one run of nbval: exit code, what was printed, failures by folder."""
    # A folder of a learner's own may well have a blank and an accent in its name.
    top = tmp_path_factory.mktemp("käte und ole")
    for name, make in RIGHT.items():
        homework.lay_out(top / name, bytes_of(make()))
    for name in WRONG:
        homework.lay_out(top / name, bytes_of(DEMOS[name]()))
    model = bytes_of(scenario.wave())
    homework.lay_out(top / "as given", (homework.HOMEWORK / "start" / homework.FILE).read_bytes())
    homework.lay_out(top / "no file")
    spoiled, once = re.subn(rb'("drawings": \[\s*\[\[)[\d.]+', rb"\1NaN", model, count=1)
    assert once
    homework.lay_out(top / "not a number", spoiled)
    homework.lay_out(top / "cut short", model[: len(model) // 2])
    homework.lay_out(top / "a buoy", bytes_of(DEMOS["buoy"]()))
    homework.lay_out(top / "on ones", bytes_of(scenario.wave(exposure=1)))
    _awkward(homework.lay_out(top / "awkward", model.replace(b"\n", b"\r\n")))
    _forged(homework.lay_out(top / "forged", bytes_of(DEMOS["elbow-locks"]())))
    _saved_with_fail(homework.lay_out(top / "saved with FAIL", bytes_of(DEMOS["elbow-locks"]())))
    code, printed = homework.nbval(top)
    return code, printed, homework.failures(printed)


def _awkward(folder):
    """A notebook that some editor saved with CRLF, for a kernel of a name that is not there."""
    path = folder / homework.NOTEBOOK
    notebook = json.loads(path.read_text("utf-8"))
    notebook["metadata"]["kernelspec"]["name"] = "landing-stage"
    path.write_bytes(json.dumps(notebook, indent=1).replace("\n", "\r\n").encode())


def _check_cell(notebook):
    return next(cell for cell in notebook.cells if "check" in cell.metadata.get("tags", ()))


def _forged(folder):
    """A check cell edited to print what is stored."""
    path = folder / homework.NOTEBOOK
    notebook = nbformat.read(path, 4)
    cell = _check_cell(notebook)
    (folder / "forged.txt").write_text(cell.outputs[0].text, "utf-8")
    cell.source = FORGED
    nbformat.write(notebook, path)


def _saved_with_fail(folder):
    """The learner ran the notebook and saved it, FAIL and all; and the guard is gone."""
    (folder / "conftest.py").unlink()
    path = folder / homework.NOTEBOOK
    notebook = nbformat.read(path, 4)
    lines = lessons.verdict_lines(DEMOS["elbow-locks"](), read_brief(folder / "06_looping_arm.toml"))
    _check_cell(notebook).outputs[0].text = "\n".join(lines) + "\n"
    nbformat.write(notebook, path)


@pytest.mark.parametrize("name", [*RIGHT, "awkward"])
def test_right_drawings_pass(run, name):
    _, printed, failed = run

    assert name not in failed, failed.get(name)
    assert f"{name}/06_looping_arm::ipynb::Cell 2 PASSED" in printed


@pytest.mark.parametrize("name, rule", WRONG.items())
def test_a_fault_fails_at_its_rules_line(run, name, rule):
    cell, said = run[2][name]

    assert "Cell 2" == cell  # the check, not a cell before it
    lines = [line for line in said.split("what the cell said")[1].splitlines() if line.startswith(f"FAIL  {rule} —")]
    (cause, *_) = [finding for finding in check(DEMOS[name]()).causes if finding.rule == rule]
    assert [line for line in lines if "it only follows" not in line]
    assert any(cause.says in line for line in lines)


def test_the_exit_code_tells_of_failures(run):
    assert 1 == run[0]


@pytest.mark.parametrize("name, line", OTHER.items())
def test_what_is_no_answer_fails_and_says_why(run, name, line):
    _, said = run[2][name]

    assert line in said


def test_a_verdict_of_fail_saved_into_the_notebook_does_not_pass_in_silence(run):
    """nbval alone would find the same FAIL again and be content; the cell raises."""
    cell, said = run[2]["saved with FAIL"]

    assert "Cell 2" == cell
    assert "RulesBroken" in said


def test_a_forged_check_cell_passes_only_where_the_learners_notebook_is_used(run):
    """Why marking takes the drawings alone and a pristine notebook: the same file, marked so, fails."""
    failed = run[2]

    assert "forged" not in failed
    assert "elbow-locks" in failed


def test_nbval_lax_does_not_let_a_fault_through(tmp_path):
    """It compares no unmarked cell; the cell raises all the same."""
    homework.lay_out(tmp_path / "locks", bytes_of(DEMOS["elbow-locks"]()))

    code, printed = homework.nbval(tmp_path / "locks", "--nbval-lax")

    assert 1 == code
    assert "FAIL  opening — The elbow locks" in printed


def test_the_brief_asks_for_every_rule_one_arm_can_be_judged_by():
    verdict = check(scenario.wave(), read_brief(homework.HOMEWORK / "06_looping_arm.toml"))

    assert verdict.passed
    assert ["opposition"] == [name for name, rule in verdict.rules.items() if not rule.judged]


def test_the_start_has_a_good_shoulder_and_an_arm_that_was_only_traced():
    (limb,) = action_file.read(homework.HOMEWORK / "start" / homework.FILE).limbs
    arm = limb.drawings - limb.drawings[:, :1]

    assert 12 <= len(limb.drawings)
    assert scenario.wave().limbs[0].drawings[:, 0].tolist() == limb.drawings[:, 0].tolist()
    assert abs(arm - arm[0]).max() < 0.002  # mm; the file keeps three places


def test_no_model_answer_is_in_the_workbook():
    start = homework.HOMEWORK / "start" / homework.FILE
    kept = [path for path in homework.ROOT.joinpath("notebooks").rglob("*.json") if path != start
            and not any(part.startswith(".") for part in path.parts)]

    assert [] == kept
