"""The homework: passes where the drawings keep the rules, fails at the rule's line where they do not.

Every answer is marked by the cells of its notebook, run here one after the other; one right and one wrong answer of each
homework also by nbval itself, as an instructor does it (`kernels.py`). The answers are made from the scenario (answers.py)
and are nowhere in the workbook.
"""

import re

import homework
import pytest
from answers import HOMEWORK
from kernels import NBVAL, SET

from anim_lessons import RULES, check, lessons
from anim_lessons.assist import lesson_list
from anim_lessons.assist.hand_in import hand_in
from anim_lessons.course import progress
from anim_lessons.course.notebook import RulesBroken
from anim_lessons.ferry import actions
from anim_lessons.ferry.actions import DEMOS
from anim_lessons.model import action_file
from anim_lessons.model.action import ActionError

RIGHT = [(name, label) for name, answers in HOMEWORK.items() for label in answers.right]
WRONG = [(name, label) for name, answers in HOMEWORK.items() for label in answers.wrong]
ELSE = [(name, label) for name, answers in HOMEWORK.items() for label in answers.other]
MODEL = action_file.dumps(actions.wave())
# What is no answer at all; alike for every homework, so told of one.
OTHER = {
    "as given": (homework.start(homework.NAME).read_bytes(), "NOT STARTED  the drawings are as given."),
    "no file": (None, "NOT STARTED  the drawings are as given."),  # the light table lays the start drawings out
    "not a number": (re.sub(rb'("drawings": \[\s*\[\[)[\d.]+', rb"\1NaN", MODEL, count=1), "NOT READ"),
    "cut short": (MODEL[: len(MODEL) // 2], "NOT READ"),
}
SHIPPED = sorted(path.stem for path in homework.HOMEWORK.glob("*.ipynb"))


@pytest.fixture
def marked(tmp_path, monkeypatch, capsys):
    """Run the cells of a homework's notebook beside these drawings: what its check cell printed and what it raised."""
    def run(name, drawings):
        folder = homework.lay_out(tmp_path / "hand-in", drawings, name)
        monkeypatch.chdir(folder)
        scope = {}
        for cell in homework.cells(folder / homework.notebook(name)):
            capsys.readouterr()
            broken = None
            try:
                exec(cell.source, scope)
            except (RulesBroken, ActionError) as error:  # a notebook shows it, and its next cell can be run
                broken = error
            if "check" in cell.metadata.get("tags", ()):
                return capsys.readouterr().out, broken

    return run


def names_the_fault(printed, name, label):
    """Whether the lines of FAIL name the rule that a wrong answer breaks, as a cause and in its words."""
    make, rule = HOMEWORK[name].wrong[label]
    lines = [line for line in printed.splitlines() if line.startswith(f"FAIL  {rule} —")]
    assert [line for line in lines if "it only follows" not in line]
    if rule in RULES:   # else the brief itself asks for it: so many drawings, so long
        verdict = hand_in(make(), homework.brief(name), action_file.read(homework.start(name))).verdict
        (cause, *_) = [finding for finding in verdict.causes if finding.rule == rule]
        assert any(cause.says in line for line in lines)
    return True


@pytest.mark.parametrize("name, label", RIGHT)
def test_right_drawings_pass(marked, name, label):
    printed, broken = marked(name, HOMEWORK[name].right[label]())

    assert broken is None
    # What nbval compares it with.
    assert homework.check_cell(homework.cells(homework.HOMEWORK / homework.notebook(name))).outputs[0].text == printed


@pytest.mark.parametrize("name, label", WRONG)
def test_a_fault_fails_at_its_rules_line(marked, name, label):
    printed, broken = marked(name, HOMEWORK[name].wrong[label][0]())

    assert isinstance(broken, RulesBroken)
    assert names_the_fault(printed, name, label)


@pytest.mark.parametrize("name, label", ELSE)
def test_drawings_of_another_figure_are_other_work(marked, name, label):
    printed, broken = marked(name, HOMEWORK[name].other[label]())

    assert isinstance(broken, RulesBroken) and "not yet: other work" in str(broken)
    assert printed.startswith("OTHER WORK  these are drawings of ") and 1 == len(printed.splitlines())


@pytest.mark.parametrize("name", HOMEWORK)
def test_a_stored_verdict_holds_no_number(name):
    """So a brief may be changed, and the notebook still passes what keeps the new one."""
    (stored,) = homework.check_cell(homework.cells(homework.HOMEWORK / homework.notebook(name))).outputs
    assert not re.search(r"\d", stored.text)


def test_a_brief_may_be_changed_and_the_notebook_stays(tmp_path, monkeypatch, capsys):
    """Other numbers asked: the stored verdict is that of what keeps the new brief, and not of what kept the old one."""
    folder = homework.lay_out(tmp_path / "class", actions.wave(20, exposure=1))
    brief = folder / f"{homework.NAME}.toml"
    text = brief.read_text("utf-8")
    changed = text.replace("drawings = [12, 32]", "drawings = [20, 24]").replace("exposure = 2", "exposure = 1")
    assert changed.count("[20, 24]") == changed.count("exposure = 1") == 1
    brief.write_text(changed, "utf-8")
    monkeypatch.chdir(folder)
    cells = homework.cells(folder / homework.NOTEBOOK)
    stored = homework.check_cell(cells).outputs[0].text
    scope = {}
    exec(cells[0].source, scope)
    exec(homework.check_cell(cells).source, scope)
    assert stored == capsys.readouterr().out
    (folder / homework.FILE).write_bytes(action_file.dumps(actions.wave()))
    with pytest.raises(RulesBroken, match="not yet: drawings, exposure"):
        exec(homework.check_cell(cells).source, scope)


@pytest.mark.parametrize("name", OTHER)
def test_what_is_no_answer_fails_and_says_why(marked, name):
    drawings, line = OTHER[name]
    assert MODEL != drawings
    printed, broken = marked(homework.NAME, drawings)

    assert isinstance(broken, RulesBroken)
    assert line in printed


# ---- by nbval itself ------------------------------------------------------------------------


@pytest.mark.parametrize("name, label", [*NBVAL["right"], (homework.NAME, "awkward")])
def test_under_nbval_right_drawings_pass(nbval_run, name, label):
    folder = f"hand-ins/{label if label == 'awkward' else f'{name}/{label}'}"
    notebook = homework.notebook(name).removesuffix(".ipynb")

    assert folder not in nbval_run.failed, nbval_run.failed.get(folder)
    assert f"{folder}/{notebook}::ipynb::Cell {homework.check_number(name)} PASSED" in nbval_run.printed


@pytest.mark.parametrize("name, label", NBVAL["wrong"])
def test_under_nbval_a_fault_fails_at_its_rules_line(nbval_run, name, label):
    cell, said = nbval_run.failed[f"hand-ins/{name}/{label}"]

    assert f"Cell {homework.check_number(name)}" == cell  # the check, not a cell before it
    assert names_the_fault(said.split("what the cell said")[1], name, label)


@pytest.mark.parametrize("name", SET)
def test_under_nbval_what_the_form_wrote_passes_and_fails_as_the_brief_has_it_now(nbval_run, name):
    """The notebook is the one that was written first, whatever was changed in its brief since."""
    folder = f"hand-ins/set/{name}/wave"
    if name.endswith("right"):
        assert folder not in nbval_run.failed, nbval_run.failed.get(folder)
        assert f"{folder}/wave::ipynb::Cell 2 PASSED" in nbval_run.printed
    else:
        cell, said = nbval_run.failed[folder]
        assert "Cell 2" == cell
        assert ("FAIL  drawings" if "changed" in name else "FAIL  opening — The elbow locks") in said


def test_the_exit_code_tells_of_failures(nbval_run):
    assert 1 == nbval_run.code


def test_a_verdict_of_fail_saved_into_the_notebook_does_not_pass_in_silence(nbval_run):
    """nbval alone would find the same FAIL again and be content; the cell raises."""
    cell, said = nbval_run.failed["hand-ins/saved with FAIL"]

    assert "Cell 2" == cell
    assert "RulesBroken" in said


def test_a_forged_check_cell_passes_only_where_the_learners_notebook_is_used(nbval_run):
    """Why marking takes the drawings alone and a pristine notebook: the same file, marked so, fails."""
    assert "hand-ins/forged" not in nbval_run.failed
    assert f"hand-ins/{homework.NAME}/elbow-locks" in nbval_run.failed


def test_under_nbval_nothing_is_noted_in_the_record(nbval_run):
    assert [] == list(nbval_run.top.rglob(progress.NAME))


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
