"""The workbook in a real JupyterLab: a lesson run from top to bottom, drawn on, and handed in."""

import shutil
from pathlib import Path

import homework
import pytest
from conftest import LAPTOP, Desk

from anim_lessons.course import workbook_copy
from anim_lessons.ferry.actions import traced_twice, wave
from anim_lessons.model import action_file

LESSON, HOMEWORK = "06_looping_arm.ipynb", "homework/06_looping_arm.ipynb"


@pytest.fixture
def workbook(browser, lab):
    """Open a notebook of a fresh copy of the workbook, as `anim-lessons open` makes it."""
    folder = lab.root / "workbook"
    opened = []

    def open_notebook(name, drawings=None):
        if not folder.exists():
            workbook_copy.copy(workbook_copy.source(), folder)
        if drawings is not None:
            (folder / "homework" / homework.FILE).write_bytes(action_file.dumps(drawings))
        page = browser.new_context(viewport=LAPTOP).new_page()
        opened.append(Desk(lab, page, f"workbook/{name}").run_all())
        return opened[-1]

    yield open_notebook
    for desk in opened:
        desk.page.context.close()
    lab.end_sessions()
    shutil.rmtree(folder, ignore_errors=True)
    for desk in opened:
        desk.check_errors()


def table_of(desk, cell):
    """The light table in the output of the cell that begins so, scrolled to."""
    desk.page.evaluate("""start => {
        const notebook = jupyterapp.shell.currentWidget.content;
        notebook.activeCellIndex = notebook.widgets.findIndex(w => w.model.sharedModel.getSource().startsWith(start));
        return notebook.scrollToCell(notebook.activeCell);
    }""", cell)
    table = desk.page.locator(".jp-mod-active .anim-light-table")
    table.wait_for()
    table.scroll_into_view_if_needed()
    desk.ready(table)
    return table


def test_the_lesson_run_from_top_to_bottom_shows_loops_of_twelve_drawings_or_more(workbook):
    desk = workbook(LESSON)

    for cell in ("lessons.model_loop", "lessons.fault_gallery", "LOOP, BRIEF"):
        table = table_of(desk, cell)
        assert 12 <= int(desk.attribute("drawings", table)), cell
        assert "1" == desk.attribute("drawing", table), cell


def test_a_drag_in_the_lesson_is_in_the_homeworks_file(workbook):
    desk = workbook(LESSON)
    table = table_of(desk, "LOOP, BRIEF")
    before = action_file.read(homework.HOMEWORK / "start" / homework.FILE)

    handle = desk.handle("elbow", table=table)
    handle.focus()
    for _ in range(3):
        desk.page.keyboard.press("ArrowLeft")
    desk.ready(table)
    table.locator("xpath=self::*[@data-state!='dragging']//*[contains(@class,'saved')][starts-with(., 'saved')]").wait_for()

    now = action_file.read(Path(desk.folder) / "homework" / homework.FILE)
    moved = abs(now.limbs[0].drawings - before.limbs[0].drawings).max(axis=-1) > 0.5
    assert [False, True, True, True] == moved[0].tolist()  # what hangs below the elbow comes along
    assert not moved[1:].any()


@pytest.mark.parametrize("drawings, line", [(wave(), "PASS  all rules kept"),
                                            (traced_twice(wave()), "FAIL  opening — The elbow locks")])
def test_the_check_cell_says_in_the_page_what_nbval_goes_by(workbook, drawings, line):
    desk = workbook(HOMEWORK, drawings)
    said = desk.page.locator(".jp-Cell", has_text="lessons.verdict(").locator(".jp-OutputArea-output").first

    assert line in said.inner_text()
