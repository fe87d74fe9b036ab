"""Where may it go, with Python's own answers, in a notebook; the page's own part is in `test_guide_in_the_page`.

Reference: axe-core.
"""
import numpy as np
import pytest
from readers import violations


@pytest.fixture
def guided(desk):
    """The clean wave with drawing 6 under work and the guide on for its wrist."""
    desk.go(6)
    desk.handle("wrist").click()
    desk.press("where may it go")
    guide_of(desk)
    yield desk
    if desk.attribute("done"):
        desk.press("back to the drawings")  # what was asked for made the loop whole
    desk.press("where may it go")


def guide_of(desk, state="fresh"):
    desk.comes_to(f"[data-guide='{state}']")
    return desk


def test_python_answers_for_the_joint_and_the_drawing_under_work(guided):
    where = "print(table.guide['joint'], table.guide['drawing'], table.guide['revision'] == table.pose['revision'])"
    assert "wrist 6 True" == guided.run(where)
    guided.press("next drawing")
    guide_of(guided)
    assert "wrist 7 True" == guided.run(where)
    guided.handle("elbow").focus()
    guided.comes_to("[data-guide-joint='elbow']")
    guide_of(guided)
    assert "elbow 7 True" == guided.run(where)


def test_the_place_asked_for_breaks_no_rule(guided):
    guided.drag("wrist", 60, 40)
    guided.ready()
    assert guided.findings()
    guide_of(guided)
    guided.press("to the dot")
    guided.ready()
    assert [] == guided.findings()


def test_steps_that_are_accepted_mend_the_loop_and_are_taken_back_one_by_one(desk):
    desk.lay("elbow-locks")
    desk.go(13)
    before = desk.action()
    desk.table.locator(".other summary").click()
    desk.press("correct it a little")
    desk.comes_to("[data-step]")
    assert np.array_equal(before.limbs[0].drawings, desk.action().limbs[0].drawings), "nothing is drawn unasked"
    taken = 0
    while desk.attribute("step"):
        desk.page.keyboard.press("Enter")
        taken += 1
    desk.state("clean")
    assert [] == desk.findings()
    after = desk.action().limbs[0].drawings
    assert taken == (after != before.limbs[0].drawings).any(axis=(1, 2)).sum()
    for _ in range(taken):
        desk.page.keyboard.press("Control+z")
    desk.ready()
    assert np.array_equal(before.limbs[0].drawings, desk.action().limbs[0].drawings)


def test_with_the_guide_on_a_laptop_shows_the_table_whole(guided):
    """1280 x 720, under the notebook's own bars and with the side bar folded away."""
    guided.lay("elbow-locks")
    guided.go(13)
    guided.handle("wrist").click()
    guide_of(guided)
    guided.table.evaluate("table => table.scrollIntoView({block: 'end'})")
    frame = guided.page.locator(".jp-WindowedPanel-outer").first.bounding_box()
    assert guided.table.bounding_box()["height"] <= frame["height"]


def test_axe_finds_nothing_with_the_guide_on_and_a_layer_chosen(guided):
    guided.lay("elbow-locks")
    guided.more()
    guided.table.get_by_label("work on").select_option("wrist")
    guided.more(False)
    guided.table.locator(".shut-list summary").click()
    assert [] == violations(guided.page, ".anim-light-table")
    guided.more()
    guided.table.get_by_label("work on").select_option("all joints")
    guided.more(False)


# ---- guess first ----------------------------------------------------------------------------------

TRACED = ("from anim_lessons import lessons; from anim_lessons.ferry import starts",
          "table = lessons.light_table('arm.json', start=starts.STARTS['05_elbow'](), guide='all')", "table")


def test_with_guess_first_the_circle_comes_when_the_joint_is_placed_and_not_before(new_desk):
    desk = new_desk(cells=TRACED)
    desk.go(9)
    desk.handle("wrist").click()
    desk.page.keyboard.press("w")
    fresh = desk.table.locator("xpath=self::*[@data-guide='fresh']")
    fresh.wait_for()
    desk.press("guess first")
    kept = desk.table.locator("xpath=self::*[@data-guide='kept back']")
    kept.wait_for()
    assert not desk.table.locator("[data-allowed]").count() and not desk.table.locator(".asked-dot").is_visible()
    assert "Guess first." in desk.voice()
    assert not desk.table.locator(".primary").is_visible()      # nor can it be had by Enter
    x, y = desk.centre(desk.handle("wrist"))
    desk.page.mouse.move(x, y)
    desk.page.mouse.down()
    desk.page.mouse.move(x - 30, y - 20, steps=6)
    assert "kept back" == desk.attribute("guide")
    desk.page.mouse.up()
    fresh.wait_for()
    assert desk.table.locator("[data-allowed]").count() and desk.table.locator(".asked-dot").is_visible()
    desk.go(10)
    kept.wait_for()                     # the next one is guessed too
    desk.go(9)
    fresh.wait_for()                    # and what is drawn is shown
