"""A class marked with a mouse: an invented one laid out, its table, one learner's page, a comment, a mark, and whose an entry is.

With ANIM_LESSONS_PICTURES=FOLDER it leaves a picture of each state.
"""

import json
import os
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from conftest import lay_out

PANEL = ("from anim_lessons import lessons", "panel = lessons.mark_a_class()", "panel")
TALL = {"width": 1280, "height": 1000}


@pytest.fixture
def picture():
    def take(page, name):
        if folder := os.environ.get("ANIM_LESSONS_PICTURES"):
            page.screenshot(path=Path(folder) / f"marking_{name}.png")
    return take


def test_a_class_is_marked_by_somebody_who_never_programs(opened, lab, picture):
    desk = opened(lay_out(lab, cells=PANEL), viewport=TALL).run_all()
    page, panel = desk.page, desk.page.locator(".anim-class")
    panel.wait_for()
    panel.scroll_into_view_if_needed()
    picture(page, "1_new")

    # A folder that is not there is said, and nothing is lost.
    panel.get_by_label("folder or zip with the hand-ins").fill("nowhere")
    panel.get_by_role("button", name="mark the class").click()
    panel.get_by_text("nowhere: is no folder").wait_for()
    panel.get_by_role("button", name="try it with an invented class").click()
    panel.get_by_text("61 in the class: ").wait_for()
    assert "my_invented_class/hand-ins" == panel.get_by_label("folder or zip with the hand-ins").input_value()
    picture(page, "2_marked")
    assert [] == [(rule["id"], node["html"][:120]) for rule in Axe().run(page, context={"include": [[".anim-class"]]}).response["violations"]
                  for node in rule["nodes"] if "iframe" not in node["html"]]

    # Whose? The answer is kept, and the entry is theirs.
    panel.get_by_label("whose is from a stick").select_option("10406")
    panel.locator(".whose").wait_for(state="hidden")
    marks = desk.folder / "my_invented_marks" / "marks.json"
    assert {"from a stick": "10406"} == json.loads(marks.read_text("utf-8"))["whose"]
    assert "done" == panel.locator("tr[data-who='10406'] .state").inner_text()

    # One of them, with page, comment and mark.
    panel.get_by_label("look at").select_option("to mend: opening")
    assert 7 == panel.locator(".frame tbody tr").count()
    panel.locator(".frame tbody .name").first.click()
    panel.locator("xpath=self::*[@data-chosen='10182']").wait_for()
    learner = page.frame_locator("iframe[title='the page of this learner']")
    learner.locator(".anim-light-table[data-verdict=fresh][data-drawing='13']").wait_for()
    panel.locator(".one").scroll_into_view_if_needed()
    picture(page, "3_one")
    learner.locator(".next-b").click()
    learner.locator(".anim-light-table[data-drawing='14']").wait_for()
    comment = panel.get_by_label("your comment, which the learner reads")
    comment.fill("Come and see me <on Monday>.")
    panel.get_by_label("your word on opening").select_option("kept")     # the comment's field is left by it
    learner.get_by_text("Come and see me <on Monday>.").first.wait_for()
    learner.locator(".voice").get_by_text("Every rule is kept.").wait_for()
    panel.get_by_text("kept in my_invented_marks/marks.json").wait_for()
    comment.scroll_into_view_if_needed()
    picture(page, "4_said")
    told = [(mark["who"], mark["rule"], mark["mark"], mark["comment"]) for mark in json.loads(marks.read_text("utf-8"))["marks"]]
    assert [("10182", "", "", "Come and see me <on Monday>."), ("10182", "opening", "kept", "")] == sorted(told)

    # From one to the next by the keyboard; the class's own page, a name in which leads here.
    panel.get_by_label("look at").select_option("state: done")
    panel.locator(".frame").focus()
    page.keyboard.press("ArrowDown")
    first = panel.locator(".frame tbody tr").nth(0).get_attribute("data-who")
    page.keyboard.press("ArrowDown")
    panel.locator(f"xpath=self::*[@data-chosen and @data-chosen!='{first}']").wait_for()
    panel.get_by_text("what to show again, and where the faults lie").click()
    overview = page.frame_locator("iframe[title='the page of the class']")
    overview.get_by_role("link", name="Gannet Breakwater").click()
    panel.locator("xpath=self::*[@data-chosen='10378']").wait_for()
    panel.locator(".whole").scroll_into_view_if_needed()
    picture(page, "5_class")

    # In tabs of their own, by the server.
    for name, words in (("the page of the class in a tab of its own", "is no mark: the mark is yours"), ("this page in a tab of its own", "Other work")):
        with page.context.expect_page() as other:
            panel.get_by_role("link", name=name).click()
        other.value.get_by_text(words).first.wait_for()
        other.value.close()
