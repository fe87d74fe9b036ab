"""What hangs and follows, in JupyterLab: sliders that move the drawings, and a loop that lies under them to be traced."""
import json
import time

from conftest import PATIENCE
from readers import faint, violations

PENNANT = ("from anim_lessons import lessons", "panel = lessons.hanging('pennant'); table = panel.table", "panel")
HAND = ("from anim_lessons import lessons", "panel = lessons.hanging('hand'); table = panel.table", "panel")
TRACED = ("from anim_lessons import lessons",
          'table = lessons.light_table("wave.json", start="elbow-locks", under="wave"); table')


def follows(desk, before, joint):
    """Wait until that joint is drawn elsewhere, and a verdict on it is there."""
    desk.page.wait_for_function(
        "([joint, before]) => document.querySelector(`[data-joint='${joint}']`).getAttribute('transform') !== before",
        arg=[joint, before])
    desk.ready()
    return desk.handle(joint).get_attribute("transform")


def heard(desk):
    """Wait until Python has what the sliders show: two moves may reach it one after the other. The numbers it has."""
    shown = desk.page.evaluate("""() => Object.fromEntries([...document.querySelectorAll('.anim-sliders [data-slider]')].map(
        (row) => [row.dataset.slider, row.querySelector('input').valueAsNumber]))""")
    until = time.monotonic() + PATIENCE / 1000
    while (numbers := json.loads(desk.run("import json; print(json.dumps(panel.sliders.numbers))"))) != shown:
        assert time.monotonic() < until, (numbers, shown)
    desk.ready()
    return numbers


def test_the_pennant_follows_its_sliders_by_key_and_by_mouse(new_desk):
    desk = new_desk(cells=PENNANT)
    at_first = desk.handle("tip").get_attribute("transform")
    slider = desk.page.get_by_role("slider", name="how soon it settles")
    slider.focus()
    before = heard(desk)["settles"]
    desk.page.keyboard.press("ArrowLeft")
    desk.page.keyboard.press("ArrowLeft")
    assert abs(before - 0.1 - heard(desk)["settles"]) < 1e-9
    by_key = follows(desk, at_first, "tip")
    desk.page.locator(".anim-sliders summary").click()
    slider = desk.page.get_by_role("slider", name="or by weight")
    x, y = desk.centre(slider)
    desk.page.mouse.click(x, y)  # half way on the dial
    assert 0.5 == heard(desk)["dial"]
    follows(desk, by_key, "tip")
    assert 1 == len(set(desk.revisions()))
    desk.page.get_by_text("It links up").first.wait_for()


def test_what_moves_is_seen_while_a_slider_moves_and_play_goes_on(new_desk):
    desk = new_desk(cells=PENNANT)
    desk.table.evaluate("table => table.scrollIntoView({ block: 'end' })")
    seen = desk.page.viewport_size
    for part in (".drawing", ".bar", ".anim-sliders [data-slider='parts']", ".anim-sliders summary"):
        box = desk.table.locator(part).bounding_box()
        assert 0 <= box["y"] and box["y"] + box["height"] <= seen["height"] and box["x"] + box["width"] <= seen["width"], part
    desk.press("play")
    desk.comes_to("[data-showing]")
    slider = desk.page.get_by_role("slider", name="how soon it settles")
    before = desk.handle("tip").get_attribute("transform")
    slider.focus()
    desk.page.keyboard.press("Home")
    follows(desk, before, "tip")
    assert desk.attribute("showing") is not None and desk.table.get_by_role("button", name="stop", exact=True).is_visible()


def test_the_hand_follows_its_sliders_and_nothing_there_is_hidden_from_readers(new_desk):
    desk = new_desk(cells=HAND)
    before = desk.handle("fingertip").get_attribute("transform")
    desk.page.get_by_role("slider", name="how much air it meets").focus()
    desk.page.keyboard.press("Home")
    follows(desk, before, "fingertip")
    assert [] == violations(desk.page, ".anim-sliders")


def test_a_loop_lies_under_the_drawings_and_is_put_away_by_a_button(new_desk):
    desk = new_desk(cells=TRACED)
    desk.go(13)  # the drawing at which the elbow locks lies beside the model's
    line = desk.table.locator(".unders path[d]")
    assert 1 == line.count()
    assert "under-drawing at x" in desk.handle("wrist").get_attribute("aria-valuetext")
    desk.more()
    button = desk.table.get_by_role("button", name="under-drawing")
    button.click()
    line.wait_for(state="detached")
    assert "false" == button.get_attribute("aria-pressed")
    assert "under-drawing" not in desk.handle("wrist").get_attribute("aria-valuetext")
    button.click()
    line.wait_for(state="attached")
    desk.run("table.lay_under(None)")
    line.wait_for(state="detached")
    assert not button.is_visible()


def test_map_sliders_and_drawings_go_together(new_desk):
    desk = new_desk(cells=("from anim_lessons import lessons", "panel = lessons.hanging_map('pennant'); table = panel.table", "panel"))
    chart, page = desk.page.locator(".anim-lag-map"), desk.page
    circle, slider = chart.locator("circle.mine"), page.get_by_role("slider", name="swings so often a second")
    tip, at_first = desk.handle("tip").get_attribute("transform"), circle.get_attribute("cy")
    slider.focus()
    page.keyboard.press("ArrowRight")       # the slider moves the mark, by less than a cell
    page.wait_for_function("before => document.querySelector('circle.mine').getAttribute('cy') !== before", arg=at_first)
    assert 0 < float(at_first) - float(circle.get_attribute("cy")) < 14
    tip = follows(desk, tip, "tip")
    box = chart.locator("rect[data-row='15'][data-column='0']").bounding_box()
    page.mouse.click(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)     # the map moves the sliders
    chart.locator("xpath=self::*[@data-row='15' and @data-column='0']").wait_for()
    page.wait_for_function("slider => slider.value === '4'", arg=slider.element_handle())
    follows(desk, tip, "tip")
    chart.locator("svg").focus()
    page.keyboard.press("ArrowDown")
    page.wait_for_function("slider => Number(slider.value) < 4", arg=slider.element_handle())
    cells = chart.evaluate("map => [...map.querySelectorAll('rect[data-row]')].map(cell => cell.className.baseVal).join()")
    page.locator(".anim-sliders summary").click()
    page.get_by_role("slider", name="pulled along (0)").fill("0")      # another slider makes another map
    page.wait_for_function("""before => [...document.querySelectorAll('.anim-lag-map rect[data-row]')]
        .map(cell => cell.className.baseVal).join() !== before""", arg=cells)
    chart.locator("xpath=self::*[not(contains(@class, 'old'))]").wait_for()
    assert [] == violations(page, ".anim-lag-map", ".anim-sliders")
    page.emulate_media(forced_colors="active", color_scheme="dark")
    try:
        assert {"none", "shade0", "shade1", "shade2"} >= faint(page, ".anim-lag-map")  # light is what is early
        assert [] == violations(page, ".anim-lag-map", ".anim-sliders")
    finally:
        page.emulate_media(forced_colors="none", color_scheme="light")
