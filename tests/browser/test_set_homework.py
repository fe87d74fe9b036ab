"""Homework set with a mouse: the form filled in, written, opened by its link, drawn on, and checked.

With ANIM_LESSONS_PICTURES=FOLDER it leaves a picture of each state.
"""

import os
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from conftest import Desk, lay_out
from playwright.sync_api import expect

FORM = ("from anim_lessons import lessons", "panel = lessons.set_homework(); form = panel.form", "panel")
TALL = {"width": 1280, "height": 900}


@pytest.fixture
def picture(request):
    def take(page, name):
        if folder := os.environ.get("ANIM_LESSONS_PICTURES"):
            page.screenshot(path=Path(folder) / f"set_homework_{name}.png")

    return take


@pytest.fixture
def form_desk(opened, lab):
    """A notebook with the form."""
    desk = opened(lay_out(lab, cells=FORM), viewport=TALL).run_all()
    desk.form = desk.page.locator(".anim-form")
    desk.form.wait_for()
    return desk


def judged(desk, wrong):
    """Wait until so many fields are said to be wrong in what is filled in now."""
    desk.page.wait_for_function(
        """wrong => {
        const form = document.querySelector('.anim-form');
        return form.dataset.wrong === String(wrong);
    }""",
        arg=wrong,
    )


def fault(desk, field):
    return desk.form.locator(f"[data-field='{field}'] .fault:visible").inner_text()


def test_homework_is_filled_in_written_opened_drawn_and_checked(form_desk, lab, picture):
    desk, page = form_desk, form_desk.page
    field = desk.form.get_by_label
    desk.form.scroll_into_view_if_needed()
    picture(page, "1_new")
    assert not desk.form.locator(".fault:visible").count()  # nothing is typed yet, so nothing is wrong
    field("title", exact=True).fill(" ")
    judged(desk, 1)
    assert "Give it a title" in fault(desk, "title")
    field("title", exact=True).fill("Swing the lamp")
    field("text for the class").fill("The lamp “swings” by 0,6.\n\nSlow at both turns.")
    field("due").fill("2026-12-04")
    judged(desk, 0)

    # What the limb gives nothing to judge goes with it, and is refused where somebody wants it all the same.
    field("limb", exact=True).select_option("lantern")
    desk.page.wait_for_function("() => !document.querySelector(\"[data-field='rule opening'] input\").checked")
    desk.form.locator("[data-field='rule opening'] input[type=checkbox]").check()
    judged(desk, 1)
    assert "Opening cannot be asked of the lantern: there is no joint that opens." in fault(desk, "rule opening")
    picture(page, "2_refused")
    desk.form.get_by_role("button", name="write the homework").click()
    desk.form.get_by_text("Nothing is written yet").wait_for()
    assert [".not_written.json"] == [path.name for path in (desk.folder / "my_homework").iterdir()]
    desk.form.locator("[data-field='rule opening'] input[type=checkbox]").uncheck()
    desk.form.get_by_label("how strict: arc").select_option("strict")
    field("it may correct a drawing by itself").uncheck()
    judged(desk, 0)
    assert [] == [
        (rule["id"], node["html"][:120])
        for rule in Axe().run(page, context={"include": [[".anim-form"]]}).response["violations"]
        for node in rule["nodes"]
    ]
    desk.form.get_by_role("button", name="write the homework").click()
    desk.form.get_by_text("Written: my_homework/swing_the_lamp.").wait_for()
    picture(page, "3_written")
    assert {"swing_the_lamp", "swing_the_lamp.zip"} == {path.name for path in (desk.folder / "my_homework").iterdir()}

    # By its link into the homework itself.
    page.get_by_role("link", name="swing_the_lamp.ipynb").click()
    path = f"{desk.folder.name}/my_homework/swing_the_lamp/swing_the_lamp.ipynb"
    page.wait_for_function("path => jupyterapp.shell.currentWidget?.context?.path === path", arg=path)
    page.wait_for_function("() => jupyterapp.shell.currentWidget.sessionContext.session?.kernel")
    other = Homework(desk, path)
    try:
        other.walk(picture)
    finally:
        kernel = page.evaluate("jupyterapp.shell.currentWidget.sessionContext.session.kernel.id")
        page.evaluate("jupyterapp.shell.currentWidget.dispose()")
        page.wait_for_function("path => jupyterapp.shell.currentWidget?.context?.path === path", arg=desk.path)
        lab.end_kernel(kernel)


class Homework(Desk):
    """The written homework in the same page, in a kernel of its own."""

    def __init__(self, desk, path):
        self.lab, self.page, self.path, self.errors = desk.lab, desk.page, path, desk.errors
        self.folder = (desk.lab.root / path).parent

    @property
    def table(self):
        return self.page.locator(".jp-NotebookPanel:not(.lm-mod-hidden) .anim-light-table").first

    def walk(self, picture):
        self.idle()
        self.run_all()
        self.table.wait_for()
        self.table.scroll_into_view_if_needed()
        self.ready()
        asked = self.table.locator(".asked")
        assert "what is asked, due 4 December 2026" == asked.locator("summary").inner_text()
        assert asked.get_by_text("The lamp “swings” by 0,6.").is_visible()
        assert asked.get_by_text("12 to 32 drawings, on twos.").is_visible()
        picture(self.page, "4_homework")
        check = self.page.locator(".jp-NotebookPanel:not(.lm-mod-hidden) .jp-OutputArea").last
        check.get_by_text("NOT STARTED").first.wait_for()

        # The lamp drawn, but for the drawing on the table, which the hand puts right; the table does not.
        self.run(
            "from anim_lessons.light_table.table import alive; (table,) = alive\n"
            "from anim_lessons.ferry.actions import lantern; from anim_lessons.ferry.starts import redrawn, poses\n"
            "root, parts, angle = poses(lantern()); angle = angle.copy(); angle[3] += 9\n"
            "table.action = redrawn(table.action, root, parts, angle)"
        )
        self.ready().go(4)
        self.says("to the ghost")
        assert not asked.get_by_text("The lamp “swings”").is_visible()
        for words in ("lay it on the ghost", "correct it a little", "correct all"):
            assert not self.table.get_by_role("button", name=words).count()
        picture(self.page, "5_by_hand")
        x, y = self.centre(self.handle("lantern"))
        ghost = self.table.locator(".ghosts circle").last.bounding_box()
        self.page.mouse.move(x, y)
        self.page.mouse.down()
        self.page.mouse.move(ghost["x"] + ghost["width"] / 2, ghost["y"] + ghost["height"] / 2, steps=8)
        self.page.mouse.up()
        self.ready()
        self.table.locator("xpath=self::*[@data-done]").wait_for()
        self.until("table.save(); print(table.saved['state'])", "saved")
        self.command("notebook:run-all-cells")
        self.idle()
        check.get_by_text("PASS  all rules kept").wait_for()
        check.scroll_into_view_if_needed()
        picture(self.page, "6_checked")


def test_what_was_written_is_changed_and_what_was_typed_meanwhile_stays(form_desk):
    desk = form_desk
    desk.run("form.fill_in({**form.values, 'title': 'One'}); form._asked(0, {'ask': 'write'}, 0)")
    begin = desk.form.get_by_label("which one")
    begin.select_option("new")
    judged(desk, 1)
    desk.form.get_by_label("title", exact=True).fill("Half typed")
    judged(desk, 0)
    begin.select_option("own one")
    desk.form.locator("input[type=text]").first.wait_for()
    desk.until("print(form.values['title'], form.begun)", "One own one")
    desk.form.get_by_label("drawings, from").fill("20")
    judged(desk, 0)
    desk.form.get_by_role("button", name="write the homework").click()
    desk.form.get_by_text("Written: my_homework/one.").wait_for()
    assert "drawings = [20, 32]" in (desk.folder / "my_homework" / "one" / "one.toml").read_text("utf-8")
    begin.select_option("new")
    desk.until("print(form.values['title'])", "Half typed")
    expect(desk.form.get_by_label("title", exact=True)).to_have_value("Half typed")    # a moment after the kernel has it


def test_a_limb_of_ones_own_gets_its_parts(form_desk):
    desk = form_desk
    desk.form.get_by_label("title", exact=True).fill("A tail")
    desk.form.get_by_label("limb", exact=True).select_option("one of your own")
    judged(desk, 0)
    desk.form.get_by_role("button", name="one part more").click()
    desk.form.get_by_label("joint 4, its name").fill("tuft")
    desk.form.get_by_label("joint 4, length of the part ending in it, mm").fill("20")
    judged(desk, 0)
    desk.form.get_by_role("button", name="write the homework").click()
    desk.form.get_by_text("Written: my_homework/a_tail.").wait_for()
    assert '"tuft"' in (desk.folder / "my_homework" / "a_tail" / "start" / "a_tail.json").read_text("utf-8")
