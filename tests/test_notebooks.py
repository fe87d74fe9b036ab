"""Lessons and demonstrations run from top to bottom under nbval, and keep the manners of a lesson.

One idea at a time: a sentence before every cell, tiny cells, no more than a
person reads in one sitting.
"""

import json
import re

import homework
import nbformat
import pytest
from answers import HOMEWORK

WORKBOOK = homework.ROOT / "notebooks"
ALL = [path for folder in ("", "homework/", "instructor/") for path in sorted(WORKBOOK.glob(f"{folder}*.ipynb"))]


def read(path):
    return nbformat.read(path, 4)


def named(path):
    return path.relative_to(WORKBOOK).as_posix()


RUN = [f"{folder}{path.name}" for folder in ("", "instructor/") for path in sorted(WORKBOOK.glob(f"{folder}*.ipynb"))]


@pytest.mark.parametrize("name", RUN)
def test_a_notebook_runs_from_top_to_bottom_and_says_what_its_text_says(nbval_run, name):
    cells = sum(cell.cell_type == "code" for cell in read(WORKBOOK / name).cells)

    assert cells == nbval_run.cells_passed(name), nbval_run.printed


@pytest.mark.parametrize("name", HOMEWORK)
def test_running_the_lesson_lays_out_the_learners_file_with_the_start_drawings(nbval_run, name):
    file, folder = HOMEWORK[name].file, nbval_run.top / "workbook" / "homework"
    if f"homework/{file}" in (WORKBOOK / homework.notebook(name)).read_text("utf-8"):
        assert (folder / "start" / file).read_bytes() == (folder / file).read_bytes()
    else:   # drawn in the homework's notebook alone
        assert not (folder / file).exists()


@pytest.mark.parametrize("path", ALL, ids=named)
def test_a_notebook_says_something_before_each_cell_of_code(path):
    cells = read(path).cells
    bare = [cell.id for before, cell in zip([None, *cells], cells)
            if cell.cell_type == "code" and (before is None or before.cell_type != "markdown")]

    assert [] == bare


@pytest.mark.parametrize("path", ALL, ids=named)
def test_a_notebook_is_no_longer_than_a_sitting(path):
    cells = read(path).cells
    folds = re.compile(r"</?details>|<summary>.*?</summary>")
    words = sum(len(folds.sub("", cell.source).split()) for cell in cells if cell.cell_type == "markdown")
    code = [cell.source.splitlines() for cell in cells if cell.cell_type == "code"]

    assert len(cells) <= 30
    assert words <= 1000
    assert sum(map(len, code)) <= 60
    assert max(map(len, code)) <= 4
    assert path.stat().st_size < 100_000


@pytest.mark.parametrize("path", ALL, ids=named)
def test_a_notebook_keeps_nothing_of_the_machine_it_was_written_on(path):
    notebook = read(path)
    metadata = [cell.metadata.keys() - {"tags"} for cell in notebook.cells]

    assert {"kernelspec", "language_info"} == set(notebook.metadata)
    assert not any(metadata)
    assert len({cell.id for cell in notebook.cells}) == len(notebook.cells)
    assert not re.search(r"/(?:home|root|tmp|Users)/|0x[0-9a-f]{6}|https?://", path.read_text("utf-8"))


@pytest.mark.parametrize("path", ALL, ids=named)
def test_a_cell_that_draws_is_not_compared_and_one_that_tells_is(path):
    """nbval compares a cell only if it has an execution count; text of a widget holds an address."""
    for cell in read(path).cells:
        if cell.cell_type == "code" and re.search(r"\blessons\.(light_table|model_loop|fault_gallery|flip_pile|hanging|plan_sheet|record|follow|timing|opening_arm|seam|two_arms|mark_a_class)|(?m:^pictures\.)", cell.source):
            assert "nbval-ignore-output" in cell.metadata.get("tags", ()), cell.id
            assert cell.execution_count is None and not cell.outputs, cell.id
        elif cell.cell_type == "code" and "print(" in cell.source and not cell.metadata.get("tags"):
            assert cell.execution_count and cell.outputs, cell.id


@pytest.mark.parametrize("path", ALL, ids=named)
def test_links_and_files_that_a_notebook_names_are_there(path):
    text = "\n".join(cell.source for cell in read(path).cells)
    links = re.findall(r"\]\(([^)]+)\)", text)
    files = [name for name in re.findall(r'"([^"\s]+\.(?:toml|json))"', text) if "start/" in name or name.endswith("toml")]

    assert [] == [name for name in links + files if not (path.parent / name).exists()]


@pytest.mark.parametrize("path", ALL, ids=named)
def test_labels_that_a_notebook_names_are_on_the_table(path):
    text = "\n".join(cell.source for cell in read(path).cells if cell.cell_type == "markdown")
    package = homework.ROOT / "anim_lessons"
    page = sorted((package / "light_table" / "page").rglob("*.mjs"))
    said_in = [*page, *(package / name for name in ("assist/plan/__init__.py", "course/notebook.py", "course/hanging_panels.py", "course/panels.py", "paper/sheets.py"))]
    labels = "".join(path.read_text("utf-8") for path in said_in)

    assert [] == [label for label in re.findall(r"(?<!\*)\*([a-z][^*\n]*)\*(?!\*)", text) if f'"{label}' not in labels and f"`{label}$" not in labels]


def test_the_lesson_of_the_looping_arm_shows_a_loop_of_twelve_drawings_or_more():
    start = json.loads((WORKBOOK / "homework" / "start" / homework.FILE).read_text("utf-8"))

    assert any("lessons.light_table(" in cell.source for cell in read(WORKBOOK / "06_looping_arm.ipynb").cells)
    assert start["loop"]
    assert 12 <= len(start["limbs"][0]["drawings"])
