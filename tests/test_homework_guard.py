"""The guard beside the homework: a check cell that could not fail is refused before it runs."""

import importlib.util
from types import SimpleNamespace

import homework
import nbformat
import pytest

from anim_lessons.ferry.actions import DEMOS


@pytest.fixture(scope="module")
def guard():
    spec = importlib.util.spec_from_file_location("homework_guard", homework.HOMEWORK / "conftest.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


SHIPPED = sorted(homework.HOMEWORK.glob("*.ipynb"))


def cells(path=homework.HOMEWORK / homework.NOTEBOOK):
    return nbformat.read(path, 4).cells


@pytest.mark.parametrize("path", SHIPPED, ids=lambda path: path.stem)
def test_the_homework_as_it_ships_is_let_through(guard, path):
    assert "" == guard.refused(cells(path))


def cleared(cell):
    cell.outputs, cell.execution_count = [], None


def not_counted(cell):
    cell.execution_count = None  # nbval then compares nothing


def failing(cell):
    cell.outputs[0].text = cell.outputs[0].text.replace("PASS  arc", "FAIL  arc")


def not_started(cell):
    cell.outputs[0].text = "NOT STARTED  the drawings are as given.\n"


def empty(cell):
    cell.outputs[0].text = "\n"


def warned(cell):
    cell.outputs.append(nbformat.v4.new_output("stream", name="stderr", text="a warning from somewhere\n"))


def raised(cell):
    cell.outputs.append(nbformat.v4.new_output("error", ename="RulesBroken", evalue="", traceback=[]))


def allowed_to_raise(cell):
    cell.metadata.tags.append("raises-exception")


def skipped(cell):
    cell.metadata.tags.append("nbval-skip")


def ignored_by_comment(cell):
    cell.source = "# NBVAL_IGNORE_OUTPUT\n" + cell.source


def allowed_to_raise_by_comment(cell):
    cell.source = "# NBVAL_RAISES_EXCEPTION\n" + cell.source


def untagged(cell):
    cell.metadata.tags.clear()


def made_text(cell):
    cell.cell_type = "markdown"


SPOILED = [cleared, not_counted, failing, not_started, empty, warned, raised, allowed_to_raise, skipped,
           ignored_by_comment, allowed_to_raise_by_comment, untagged, made_text]


@pytest.mark.parametrize("spoil", SPOILED, ids=lambda spoil: spoil.__name__)
def test_a_check_cell_that_could_not_fail_is_refused(guard, spoil):
    these = cells()
    spoil(homework.check_cell(these))

    assert "check cell" in guard.refused(these)


def test_a_list_of_rules_that_was_changed_is_told_in_a_sentence(guard, tmp_path):
    folder = homework.lay_out(tmp_path / "changed")
    brief, path = folder / "06_looping_arm.toml", folder / homework.NOTEBOOK
    text = brief.read_text("utf-8")
    assert "" == guard.other_rules(path, cells(path))
    brief.write_text(text.replace("drawings = [12, 32]", "drawings = 12").replace("exposure = 2", "exposure = 1"), "utf-8")
    assert "" == guard.other_rules(path, cells(path))       # other numbers do not matter
    brief.write_text(text.replace('"drag", ', "").replace("exposure = 2", ""), "utf-8")
    told = guard.other_rules(path, cells(path))
    assert told.startswith("its brief, 06_looping_arm.toml, asks for other things than the verdict stored in the notebook: "
                           "no longer exposure, drag. So no drawings could pass.")
    assert "set_homework.ipynb" in told
    brief.write_text(text.replace('"drag", ', '"drag", "opposition", '), "utf-8")
    assert "now also opposition" in guard.other_rules(path, cells(path))


def test_a_brief_that_cannot_be_read_is_told_before_anything_runs(guard, tmp_path):
    folder = homework.lay_out(tmp_path / "bad")
    (folder / "06_looping_arm.toml").write_text("rules = ['arcs']", "utf-8")
    path = folder / homework.NOTEBOOK
    assert '06_looping_arm.toml: there is no rule "arcs"; there is length, arc' in guard.other_rules(path, cells(path))


@pytest.mark.parametrize("source, name", [
    ('BRIEF = "a.toml"', "a.toml"), ('FILE, BRIEF = "b.json", "b.toml"', "b.toml"), ("BRIEF = FILE", None), ("BRIEF, X = both", None), ("if", None),
])
def test_the_brief_is_the_one_that_the_notebook_names(guard, source, name):
    assert name == guard._brief_named([nbformat.v4.new_markdown_cell("BRIEF = 'x'"), nbformat.v4.new_code_cell(source)])


def test_cleared_outputs_end_with_exit_code_4_and_a_sentence(tmp_path):
    folder = homework.lay_out(tmp_path / "cleared", DEMOS["elbow-locks"]())
    notebook = nbformat.read(folder / homework.NOTEBOOK, 4)
    cleared(homework.check_cell(notebook.cells))
    nbformat.write(notebook, folder / homework.NOTEBOOK)

    code, printed = homework.nbval(folder)

    assert 4 == code
    assert "06_looping_arm.ipynb: the check cell has no stored verdict" in printed
    assert "Traceback" not in printed


@pytest.mark.parametrize("dist, fine", [("load", False), ("worksteal", False), ("loadfile", True), ("no", True)])
def test_cells_of_one_notebook_are_never_spread_over_processes(guard, dist, fine):
    config = SimpleNamespace(option=SimpleNamespace(numprocesses=2, dist=dist))

    if fine:
        guard.pytest_configure(config)
    else:
        with pytest.raises(pytest.UsageError, match="--dist loadfile"):
            guard.pytest_configure(config)
