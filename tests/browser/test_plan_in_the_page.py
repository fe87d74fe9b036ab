"""A path of action drawn on the plan sheet in JupyterLab: by mouse, by finger, by keyboard; timed, taken back, kept."""
import numpy as np
import pytest
from readers import faint, violations

from anim_lessons.model import action_file

CELLS = ("from anim_lessons import lessons",
         "panel = lessons.plan_sheet('wave.json', start='wave', joint='wrist'); table, sheet = panel.table, panel.sheet", "panel")
CENTRE, WIDE, HIGH = (150, 110), 60, 30   # mm: an ellipse of our own


def place(desk, at):
    """Where a place on the paper, mm, is in the window."""
    box = desk.page.locator(".anim-plan svg.sheet").bounding_box()
    return box["x"] + at[0] / 297 * box["width"], box["y"] + (1 - at[1] / 210) * box["height"]


def ellipse(steps=60):
    turn = np.linspace(0, 2 * np.pi, steps)
    return [(CENTRE[0] + WIDE * np.cos(t), CENTRE[1] + HIGH * np.sin(t)) for t in turn]


def is_planned(desk):
    desk.page.locator(".anim-plan[data-plan='planned'][data-state='fresh']").wait_for()


def draw(desk):
    desk.page.locator(".anim-plan").scroll_into_view_if_needed()
    along = np.array(ellipse(40))
    (x, y), (right, top) = place(desk, (0, 0)), place(desk, (297, 210))
    first, *rest = zip(x + along[:, 0] / 297 * (right - x), y + along[:, 1] / 210 * (top - y))
    desk.page.mouse.move(*first)
    desk.page.mouse.down()
    for at in rest:
        desk.page.mouse.move(*at)
    desk.page.mouse.up()
    is_planned(desk)


def plans(desk):
    return desk.action().limbs[0].plans


@pytest.fixture
def planner(new_desk):
    return new_desk(cells=CELLS)


def test_a_path_drawn_with_the_mouse_is_smoothed_shown_and_saved(planner):
    desk = planner
    assert "Draw the path of action of the wrist" in desk.page.locator(".anim-plan .next").inner_text()
    chart = desk.page.locator(".anim-plan .chart")
    assert not chart.is_visible()   # nothing is timed yet
    draw(desk)
    assert chart.is_visible()

    (made,) = plans(desk)
    away = ((made.path - CENTRE) / (WIDE, HIGH)) ** 2
    assert "wrist" == made.joint
    assert [1.0] * len(away) == pytest.approx(away.sum(axis=1), abs=0.06)
    assert 16 == desk.page.locator(".anim-plan [data-dot]").count()
    assert "round. Smoothed by up to" in desk.page.locator(".anim-plan .next").inner_text()
    assert ["wrist"] == [one["joint"] for one in eval(desk.run("print(table.under['plans'])"))]
    desk.run("table.save()")
    assert ["wrist"] == [one.joint for one in action_file.read(desk.folder / "wave.json").limbs[0].plans]


def test_plan_and_drawings_are_layers_of_one_sheet(planner):
    """A tab changes what is seen on it, and neither its place nor its size."""
    desk = planner
    seen = []
    for tab, sheet, other in (("plan", ".anim-plan svg.sheet", ".drawing"), ("drawings", ".drawing", ".anim-plan svg.sheet")):
        desk.press(tab)
        assert not desk.page.locator(other).is_visible()
        seen.append(desk.page.locator(sheet).bounding_box())
    for side in ("x", "y", "width", "height"):
        assert seen[0][side] == pytest.approx(seen[1][side], abs=1)


def test_drawings_that_left_the_plan_are_told_and_led_to(planner):
    desk = planner
    draw(desk)
    row = desk.page.locator("[data-off='5'] button")
    assert "The wrist at 5" in row.inner_text()
    row.click()
    desk.comes_to("[data-drawing='5']")


def test_a_drawing_that_moves_on_the_table_is_held_against_the_plan_anew(planner):
    desk = planner
    desk.run("""
import numpy as np
from anim_lessons.assist import plan
from anim_lessons.model.action import Plan
wrist = table.action.limbs[0].drawings[:, 2]
path = plan.path_of_action(wrist)
table.action = plan.planned(table.action, "arm", Plan("wrist", wrist, path.places / path.length))
""")
    desk.page.get_by_text("The wrist keeps to its plan in every drawing.").wait_for()
    desk.press("drawings")
    desk.go(4)
    desk.handle("wrist").focus()
    for _ in range(20):
        desk.page.keyboard.press("ArrowUp")  # 20 degrees
    desk.ready()
    assert desk.table.locator("circle.planned").count()  # the plan lies under the drawings
    desk.press("plan")
    desk.page.locator("[data-off='4']").wait_for()
    assert ["4"] == [row.get_attribute("data-off") for row in desk.page.locator("[data-off]").all()]


def test_the_pen_goes_by_keyboard_alone(planner):
    desk = planner
    keys = desk.page.keyboard
    desk.page.locator(".anim-plan .pen").focus()
    for way in ("ArrowRight", "ArrowUp", "ArrowLeft"):
        for _ in range(8):
            keys.press(way)
        keys.press("Enter")
    assert "3 places set" in desk.page.locator(".anim-plan .pen").get_attribute("aria-valuetext")
    keys.press("Backspace")
    assert "2 places set" in desk.page.locator(".anim-plan .pen").get_attribute("aria-valuetext")
    keys.press("Enter")
    keys.press("Enter")
    is_planned(desk)

    first = desk.action().limbs[0].drawings[0, 2]   # the pen begins at the joint
    for place_ in ([40, 0], [40, 40], [0, 40]):
        assert np.hypot(*(plans(desk)[0].path - first - place_).T).min() < 3
    desk.page.locator(".anim-plan .pen").focus()
    keys.press("Enter")
    keys.press("Escape")
    assert "0" == desk.page.locator(".anim-plan").get_attribute("data-places")


def test_a_tick_of_the_chart_is_dragged_and_pushed(planner):
    desk = planner
    draw(desk)
    before = plans(desk)[0].chart
    tick = desk.page.locator("[data-tick='5']")
    x, y = desk.centre(tick.locator(".rung"))
    desk.page.mouse.move(x, y)
    desk.page.mouse.down()
    desk.page.mouse.move(x, y + 20, steps=4)
    desk.page.mouse.up()
    is_planned(desk)
    dragged = plans(desk)[0].chart
    assert before[4] < dragged[4] <= before[5]
    assert np.delete(before, 4) == pytest.approx(np.delete(dragged, 4), abs=1e-4)

    desk.page.locator("[data-tick='3']").focus()
    for _ in range(3):
        desk.page.keyboard.press("ArrowUp")
    is_planned(desk)
    pushed = plans(desk)[0].chart
    assert -0.03 == pytest.approx((pushed[2] - before[2]) / before[8], abs=1e-3)


def test_a_chart_is_chosen_and_taken_back_and_the_plan_goes_as_it_came(planner):
    desk = planner
    draw(desk)
    slow = plans(desk)[0].chart
    desk.page.get_by_role("button", name="even", exact=True).click()
    is_planned(desk)
    gaps = np.diff(plans(desk)[0].chart)
    assert gaps[:8] == pytest.approx([gaps[0]] * 8, abs=1e-3)
    desk.page.locator(".anim-plan").get_by_role("button", name="undo", exact=True).click()
    is_planned(desk)
    assert slow == pytest.approx(plans(desk)[0].chart)
    desk.page.get_by_role("button", name="take the plan away").click()
    desk.page.locator(".anim-plan[data-plan='none'][data-state='fresh']").wait_for()
    assert () == plans(desk)
    assert "{}" == desk.run("print(table.under)")


def test_a_slip_of_the_pen_sets_a_place_and_a_short_line_is_refused_in_words(planner):
    desk = planner
    desk.page.locator(".anim-plan").scroll_into_view_if_needed()
    x, y = place(desk, (150, 60))
    desk.page.mouse.click(x, y)
    assert "1 place set" in desk.page.locator(".anim-plan .next").inner_text()
    desk.page.mouse.down()
    desk.page.mouse.move(x + 8, y)
    desk.page.mouse.up()
    desk.page.get_by_text("Not taken: the line is").wait_for()
    assert () == plans(desk)


def test_a_finger_draws_and_the_page_stays(new_desk):
    desk = new_desk(cells=CELLS, touch=True)
    desk.page.locator(".anim-plan").scroll_into_view_if_needed()
    before = desk.page.locator(".anim-plan").bounding_box()
    touch = desk.page.context.new_cdp_session(desk.page)
    places = [place(desk, at) for at in ellipse(40)]
    for kind, at in [("touchStart", places[0]), *(("touchMove", at) for at in places[1:]), ("touchEnd", None)]:
        points = [] if at is None else [{"x": at[0], "y": at[1]}]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    is_planned(desk)
    assert before == desk.page.locator(".anim-plan").bounding_box()
    assert 1 == len(plans(desk))


def test_a_line_that_nobody_answers_stays_on_the_sheet(planner):
    desk = planner
    desk.page.evaluate("jupyterapp.shell.currentWidget.sessionContext.session.kernel.shutdown()")
    desk.state("kernel-gone")
    desk.page.locator(".anim-plan").scroll_into_view_if_needed()
    desk.page.mouse.move(*place(desk, (100, 60)))
    desk.page.mouse.down()
    desk.page.mouse.move(*place(desk, (180, 60)), steps=6)
    desk.page.mouse.up()
    desk.page.get_by_text("Nobody answers").wait_for()
    assert desk.page.locator(".anim-plan .stroke").get_attribute("d").startswith("M")


def test_nothing_of_the_sheet_is_hidden_from_readers(planner):
    desk = planner
    draw(desk)
    assert [] == violations(desk.page, ".anim-plan")
    desk.page.emulate_media(forced_colors="active", color_scheme="dark")
    try:
        assert set() == faint(desk.page, ".anim-plan")
        assert [] == violations(desk.page, ".anim-plan")
    finally:
        desk.page.emulate_media(forced_colors="none", color_scheme="light")


CELLS_NOW = "[jupyterapp.shell.currentWidget.content.activeCellIndex, jupyterapp.shell.currentWidget.content.widgets.length]"


def test_from_the_plan_the_notebook_goes_on_and_no_letter_changes_it(planner):
    desk = planner
    draw(desk)
    desk.page.locator(".anim-plan select").focus()
    at, cells = desk.page.evaluate(CELLS_NOW)
    for key in "xddba":
        desk.page.keyboard.press(key)
    assert [at, cells] == desk.page.evaluate(CELLS_NOW)
    desk.page.locator(".anim-plan [data-tick]").first.focus()
    for key in "xddba":
        desk.page.keyboard.press(key)
    assert [at, cells] == desk.page.evaluate(CELLS_NOW)
    desk.page.keyboard.press("Shift+Enter")
    desk.page.wait_for_function(f"([at, cells]) => {{ const [now, all] = {CELLS_NOW}; return now !== at || all !== cells; }}", arg=[at, cells])
