"""The workbook in a real JupyterLab: a lesson run from top to bottom, drawn on, and handed in."""

import secrets
from pathlib import Path

import homework
import pytest
from playwright.sync_api import expect

from anim_lessons.course import workbook_copy
from anim_lessons.ferry.actions import traced_twice, wave
from anim_lessons.model import action_file

LESSON, HOMEWORK = "06_looping_arm.ipynb", "homework/06_looping_arm.ipynb"


@pytest.fixture(scope="module")
def workbook(lab):
    """Lay out a fresh copy of the workbook, as `anim-lessons open` does; its folder on the server."""
    def laid_out(drawings=None):
        folder = lab.root / f"workbook-{secrets.token_hex(3)}"
        workbook_copy.copy(workbook_copy.source(), folder)
        if drawings is not None:
            (folder / "homework" / homework.FILE).write_bytes(action_file.dumps(drawings))
        return folder.name

    return laid_out


@pytest.fixture(scope="module")
def lesson(pages, workbook):
    """The lesson, run from top to bottom in a kernel of its own."""
    desk = pages.lend(f"{workbook()}/{LESSON}", own_kernel=True).run_all()
    yield desk
    pages.take_back(desk)
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


def test_the_lesson_run_from_top_to_bottom_shows_loops_of_twelve_drawings_or_more(lesson):
    desk = lesson
    for cell in ("lessons.model_loop", "lessons.fault_gallery", "LOOP, BRIEF"):
        table = table_of(desk, cell)
        assert 12 <= int(desk.attribute("drawings", table)), cell
        # one's own begins with the first drawing that is to be drawn: 1 may stay
        assert ("2" if cell.startswith("LOOP") else "1") == desk.attribute("drawing", table), cell


def test_a_drag_in_the_lesson_is_in_the_homeworks_file(lesson):
    desk = lesson
    table = table_of(desk, "LOOP, BRIEF")
    before = action_file.read(homework.HOMEWORK / "start" / homework.FILE)

    handle = desk.handle("elbow", table=table)
    handle.focus()
    for _ in range(3):
        desk.page.keyboard.press("ArrowDown")
    desk.ready(table)
    table.locator("xpath=self::*[@data-state!='dragging']//*[contains(@class,'saved')][starts-with(., 'saved')]").wait_for()

    now = action_file.read(Path(desk.folder) / "homework" / homework.FILE)
    moved = abs(now.limbs[0].drawings - before.limbs[0].drawings).max(axis=-1) > 0.5
    assert [False, True, True, True] == moved[1].tolist()  # what hangs below the elbow comes along
    assert not moved[0].any() and not moved[2:].any()


def test_in_a_low_window_words_fade_where_they_go_on_and_a_step_is_told_to_its_end(lesson):
    desk, size = lesson, lesson.page.viewport_size
    desk.page.set_viewport_size({"width": 1024, "height": 625})
    table = table_of(desk, "LOOP, BRIEF")
    sound = """box => box.clientHeight > 0 && (box.scrollHeight - box.scrollTop - box.clientHeight > 4) === ('more' in box.dataset)"""
    until = f"([table, name]) => ({sound})(table.querySelector(name))"
    table.locator("details.asked summary").click()
    assert 120 <= table.locator("details.asked").bounding_box()["height"]  # opened by hand it keeps some lines, however long the step is
    for name in (".voice", "details.asked"):
        desk.page.wait_for_function(until, arg=[table.element_handle(), name])
    asked = table.locator("details.asked")
    assert asked.evaluate("box => !('more' in box.dataset)")    # it has the chart's room, and is whole
    asked.evaluate("box => Object.assign(box.style, { minHeight: 0, maxHeight: '60px' })")
    desk.page.wait_for_function("table => 'more' in table.querySelector('details.asked').dataset", arg=table.element_handle())
    assert asked.evaluate("box => 'more' in box.dataset && getComputedStyle(box).maskImage.startsWith('linear-gradient')")
    asked.evaluate("box => box.scrollTo(0, box.scrollHeight)")
    desk.page.wait_for_function("table => !('more' in table.querySelector('details.asked').dataset)", arg=table.element_handle())
    asked.evaluate("box => box.removeAttribute('style')")
    step = table.locator(".lesson .says")
    assert "To the left until 5" in step.inner_text()
    assert step.evaluate("words => words.scrollHeight <= words.clientHeight")
    desk.page.set_viewport_size(size)


@pytest.mark.parametrize("drawings, line", [(wave(), "PASS  all rules kept"),
                                            (traced_twice(wave()), "FAIL  opening — The elbow locks")])
def test_the_check_cell_says_in_the_page_what_nbval_goes_by(opened, workbook, drawings, line):
    desk = opened(f"{workbook(drawings)}/{HOMEWORK}").run_all()
    said = desk.page.locator(".jp-Cell", has_text="lessons.verdict(").locator(".jp-OutputArea-output").first
    expect(said).to_contain_text(line, timeout=30_000)  # a kernel may be idle before the page has painted, once or anew, what it said
