"""The homework under nbval: passes where the drawings keep the rules, fails at the rule's line where they do not.

All hand-ins of all lessons are laid out side by side and marked in one run. The answers
are made from the scenario (answers.py) and are nowhere in the workbook.
"""

import json
import re

import homework
import nbformat
import pytest
from answers import HOMEWORK

from anim_lessons import RULES, check
from anim_lessons.assist import lesson_list
from anim_lessons.course import notebook as lessons
from anim_lessons.ferry import actions
from anim_lessons.ferry.actions import DEMOS
from anim_lessons.model import action_file

RIGHT = [(name, label) for name, answers in HOMEWORK.items() for label in answers.right]
WRONG = [(name, label) for name, answers in HOMEWORK.items() for label in answers.wrong]
# What is no answer at all; alike for every homework, so told of one.
OTHER = {
    "as given": "NOT STARTED  the drawings are as given.",
    "no file": "NOT STARTED  the drawings are as given.",  # the light table lays the start drawings out
    "not a number": "NOT READ",
    "cut short": "NOT READ",
}
SHIPPED = sorted(path.stem for path in homework.HOMEWORK.glob("*.ipynb"))
FORGED = 'import pathlib; print(pathlib.Path("forged.txt").read_text("utf-8"), end="")'


@pytest.fixture(scope="module")
def run(tmp_path_factory):
    """Every hand-in below marked in one run of nbval: exit code, what was printed, failures by folder."""
    # A folder of a learner's own may well have a blank and an accent in its name.
    top = tmp_path_factory.mktemp("käte und ole")
    for name, answers in HOMEWORK.items():
        made = answers.right | {label: make for label, (make, _) in answers.wrong.items()}
        for label, make in made.items():
            homework.lay_out(top / name / label, make(), name)
    model = action_file.dumps(actions.wave())
    homework.lay_out(top / "as given", homework.start(homework.NAME).read_bytes())
    homework.lay_out(top / "no file")
    spoiled, once = re.subn(rb'("drawings": \[\s*\[\[)[\d.]+', rb"\1NaN", model, count=1)
    assert once
    homework.lay_out(top / "not a number", spoiled)
    homework.lay_out(top / "cut short", model[: len(model) // 2])
    _awkward(homework.lay_out(top / "awkward", model.replace(b"\n", b"\r\n")))
    _forged(homework.lay_out(top / "forged", DEMOS["elbow-locks"]()))
    _saved_with_fail(homework.lay_out(top / "saved with FAIL", DEMOS["elbow-locks"]()))
    code, printed = homework.nbval(top)
    return code, printed, homework.failures(printed)


def _awkward(folder):
    """A notebook that some editor saved with CRLF, for a kernel of a name that is not there."""
    path = folder / homework.NOTEBOOK
    notebook = json.loads(path.read_text("utf-8"))
    notebook["metadata"]["kernelspec"]["name"] = "landing-stage"
    path.write_bytes(json.dumps(notebook, indent=1).replace("\n", "\r\n").encode())


def _forged(folder):
    """A check cell edited to print what is stored."""
    path = folder / homework.NOTEBOOK
    notebook = nbformat.read(path, 4)
    cell = homework.check_cell(notebook.cells)
    (folder / "forged.txt").write_text(cell.outputs[0].text, "utf-8")
    cell.source = FORGED
    nbformat.write(notebook, path)


def _saved_with_fail(folder):
    """The learner ran the notebook and saved it, FAIL and all; and the guard is gone."""
    (folder / "conftest.py").unlink()
    path = folder / homework.NOTEBOOK
    notebook = nbformat.read(path, 4)
    lines = lessons.verdict_lines(DEMOS["elbow-locks"](), homework.brief(homework.NAME))
    homework.check_cell(notebook.cells).outputs[0].text = "\n".join(lines) + "\n"
    nbformat.write(notebook, path)


@pytest.mark.parametrize("name, label", [*RIGHT, (homework.NAME, "awkward")])
def test_right_drawings_pass(run, name, label):
    _, printed, failed = run
    folder = label if label == "awkward" else f"{name}/{label}"
    notebook = homework.notebook(name).removesuffix(".ipynb")

    assert folder not in failed, failed.get(folder)
    assert f"{folder}/{notebook}::ipynb::Cell {homework.check_number(name)} PASSED" in printed


@pytest.mark.parametrize("name, label", WRONG)
def test_a_fault_fails_at_its_rules_line(run, name, label):
    make, rule = HOMEWORK[name].wrong[label]
    cell, said = run[2][f"{name}/{label}"]

    assert f"Cell {homework.check_number(name)}" == cell  # the check, not a cell before it
    lines = [line for line in said.split("what the cell said")[1].splitlines() if line.startswith(f"FAIL  {rule} —")]
    assert [line for line in lines if "it only follows" not in line]
    if rule in RULES:   # else the brief itself asks for it: so many drawings, so long
        verdict = check(make(), homework.brief(name))
        (cause, *_) = [finding for finding in verdict.causes if finding.rule == rule]
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
    assert f"{homework.NAME}/elbow-locks" in failed


def test_nbval_lax_does_not_let_a_fault_through(tmp_path):
    """It compares no unmarked cell; the cell raises all the same."""
    homework.lay_out(tmp_path / "locks", DEMOS["elbow-locks"]())

    code, printed = homework.nbval(tmp_path / "locks", "--nbval-lax")

    assert 1 == code
    assert "FAIL  opening — The elbow locks" in printed


# ---- homework, brief, start and answers belong together ----------------------------------


def test_every_homework_that_ships_has_its_answers():
    assert SHIPPED == sorted({answers.notebook or name for name, answers in HOMEWORK.items()})


@pytest.mark.parametrize("name", HOMEWORK)
def test_a_homework_has_right_answers_and_wrong_ones(name):
    answers = HOMEWORK[name]

    assert answers.right
    assert 3 <= len(answers.wrong)
    assert 2 <= len({rule for _, rule in answers.wrong.values() if rule in RULES})


@pytest.mark.parametrize("name", HOMEWORK)
def test_a_brief_asks_for_what_its_lesson_teaches_and_can_judge_it(name):
    brief = homework.brief(name)

    assert set(lesson_list.LESSONS[homework.notebook(name).removesuffix(".ipynb")].rules) <= set(brief.rules)
    for label, make in HOMEWORK[name].right.items():
        verdict = check(make(), brief)
        assert verdict.passed, label
        assert set(brief.rules) == {rule for rule, said in verdict.rules.items() if said.judged}


@pytest.mark.parametrize("name", HOMEWORK)
def test_the_drawings_given_are_no_answer_yet(name):
    brief, start = homework.brief(name), homework.start(name)
    action = action_file.read(start)

    assert not check(action, brief).passed
    assert [line for _, met, line in brief.asks(action) if not met] == []   # what the learner cannot change
    assert lessons.verdict_lines(action, brief, start)[0].startswith("NOT STARTED")


def test_every_rule_is_asked_for_and_broken_by_some_answer():
    """But hold, which gives advice and never fails."""
    assert {name for name, lesson in lesson_list.LESSONS.items() if lesson.file} == {name.split(",")[0] for name in HOMEWORK}
    assert set(RULES) <= {rule for name in HOMEWORK for rule in homework.brief(name).rules}
    assert set(RULES) - {"hold"} <= {rule for one in HOMEWORK.values() for _, rule in one.wrong.values()}


def test_the_brief_of_the_looping_arm_asks_for_every_rule_one_arm_can_be_judged_by():
    assert set(RULES) - {"opposition"} == set(homework.brief(homework.NAME).rules)


def test_the_looping_arm_starts_with_a_good_shoulder_and_an_arm_that_was_only_traced():
    (limb,) = action_file.read(homework.start(homework.NAME)).limbs
    arm = limb.drawings - limb.drawings[:, :1]

    assert 12 <= len(limb.drawings)
    assert actions.wave().limbs[0].drawings[:, 0].tolist() == limb.drawings[:, 0].tolist()
    assert abs(arm - arm[0]).max() < 0.002  # mm; the file keeps three places


def test_no_model_answer_is_in_the_workbook():
    starts = {homework.start(name) for name in HOMEWORK}
    kept = [path for path in homework.ROOT.joinpath("notebooks").rglob("*.json") if path not in starts
            and not path.name.startswith("my_")      # drawn in a lesson, by whoever works in the checkout
            and "instructor" not in path.parts and not any(part.startswith(".") for part in path.parts)]

    assert [] == kept
