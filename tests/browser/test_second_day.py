"""A notebook opened again with its outputs and without its kernel: a still picture and a line stand where each widget stood.

What JupyterLab says of a widget it does not find ("Error displaying widget: model not found") and the classes its outputs
carry were seen in JupyterLab 4.6 with jupyterlab-widgets 3.0.
"""
import json

import pytest
from conftest import lay_out, ran

CELLS = ("from anim_lessons import lessons", 'table = lessons.light_table("wave.json", start="wave")', "table",
         'lessons.plan_sheet("plan.json", start="wave")', "lessons.timing()", 'lessons.record("lecture.json", start="wave")')
WIDGETS = 4  # cells of these whose last line is a widget
NOT_FOUND = "model not found"


@pytest.fixture(scope="module")
def left(lab, pages):
    """A notebook that was run and saved, in a folder with its drawings; it is closed, and its kernel gone."""
    desk = ran(pages.lend(lay_out(lab, cells=CELLS), own_kernel=True))
    assert WIDGETS == desk.page.locator(".anim-still").count()
    assert [False] * WIDGETS == [one.is_visible() for one in desk.page.locator(".anim-still").all()]
    desk.drag("wrist", 40, 10)
    desk.ready()
    desk.saved()
    desk.command("docmanager:save")
    desk.page.wait_for_function("!jupyterapp.shell.currentWidget.context.model.dirty")
    desk.check_errors()
    pages.take_back(desk)
    return desk


def every_widget_is_given_up(page):
    """Scroll through the notebook until JupyterLab has looked for each widget in vain."""
    page.wait_for_function("""many => {
        const outputs = [...document.querySelectorAll('.jp-OutputArea-output')];
        const gone = outputs.filter((one) => one.textContent.includes('model not found'));
        (outputs.find((one) => one.textContent.startsWith('Loading')) ?? outputs.at(-1))?.scrollIntoView();
        return gone.length === many;
    }""", arg=WIDGETS)


def test_on_the_second_day_a_still_picture_says_how_to_go_on(left, opened):
    again = opened(left.path, own_kernel=True)
    page = again.page
    every_widget_is_given_up(page)
    stills = page.locator(".anim-still")
    assert WIDGETS == stills.count()
    for still in stills.all():
        still.scroll_into_view_if_needed()
        assert still.get_by_text("Run from the top.").is_visible()
        wide, high = still.get_by_role("img").evaluate("async image => { await image.decode(); return [image.width, image.naturalWidth]; }")
        assert wide > 300 and high > 300
    assert "Your drawings are in wave.json." in stills.first.inner_text()
    assert not any(one.is_visible() for one in page.get_by_text(NOT_FOUND).all())

    assert again.errors and all(NOT_FOUND in error for error in again.errors)  # JupyterLab's own line on the console
    again.errors.clear()
    ran(again)
    for still in stills.all():
        still.wait_for(state="hidden")


def test_a_notebook_that_is_not_trusted_shows_the_picture_and_the_line_too(left, opened):
    """One that came from elsewhere: JupyterLab leaves out style sheets and scripts of its outputs."""
    came = json.loads((left.folder / "lesson.ipynb").read_text("utf-8"))
    came["metadata"]["came"] = "from elsewhere"  # so that its signature is another one
    came["cells"] = came["cells"][:3]
    (left.folder / "came.ipynb").write_text(json.dumps(came), "utf-8")

    again = opened(f"{left.folder.name}/came.ipynb", own_kernel=True)
    still = again.page.locator(".anim-still")
    still.wait_for(state="visible")
    assert still.get_by_role("img").evaluate("async image => { await image.decode(); return image.width; }") > 300
    again.errors.clear()
    ran(again)
    still.wait_for(state="hidden")


def test_while_the_table_is_there_no_reader_finds_the_picture_twice(new_desk):
    desk = new_desk()
    assert 0 == desk.page.get_by_role("img", name="Light table, wave the boat in").count()
    output = desk.page.locator(".jp-OutputArea").filter(has=desk.page.locator(".anim-still")).first
    table, area = desk.table.bounding_box(), output.bounding_box()
    assert abs(area["y"] - table["y"]) < 10  # px: nothing but the padding of an output stands above it
