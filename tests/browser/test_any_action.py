"""The page holds up with whatever an action file may hold: names, places, papers, very many joints.

Each widget is laid out by Python and shown in a page without a notebook, several in one page. References: SVG 1.1 (no
attribute is NaN; Chromium says on the console what it cannot read); WCAG 2.2 (W3C), 1.4.10 Reflow at 320 px, which is 400 %
of 1280, and 2.5.8 Target Size (both from memory).
"""

import functools
import http.server
import threading
from pathlib import Path

import numpy as np
import pytest
from conftest import LAPTOP
from hostile import LONG, action, named, shapes, swinging

from anim_lessons.ferry.actions import DEMOS
from anim_lessons.light_table import LightTable
from anim_lessons.light_table.follower import Follower
from anim_lessons.light_table.plan_sheet import PlanSheet
from anim_lessons.light_table.settings import Place
from anim_lessons.light_table.sliders import Sliders

ROOT = Path(__file__).parents[2]
STYLES = "".join(f'<link rel="stylesheet" href="/anim_lessons/light_table/page/{name}.css">'
                 for name in ("light_table", "plan_sheet", "lecture_strip", "sliders"))
BLANK = f"""<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
{STYLES}<style>body {{ margin: 0; }}</style><body data-jp-theme-light="true"><main></main>"""
SHOW = """async ([name, state]) => {
    const { default: widget } = await import(`/anim_lessons/light_table/page/${name}.mjs`);
    const heard = [];
    window.leave?.();
    window.model = { get: name => state[name], save_changes() {}, send() {}, off() {}, on(name, act) { heard.push([name, act]); },
        set(name, value) { state[name] = value; heard.filter(([n]) => n === `change:${name}`).forEach(([, act]) => act()); } };
    window.leave = widget.render({ model, el: document.querySelector('main') });
}"""
PAINTED = "() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))"
LOOK = """() => [...document.querySelectorAll('main *')].flatMap(node => [...node.attributes]
    .filter(({ name, value }) => !/^(data-|aria-label|title|value)/.test(name) && /NaN|Infinity|undefined/.test(value))
    .map(({ name, value }) => [node.outerHTML.slice(0, 80), name, value.slice(0, 60)])).slice(0, 5)"""
USE = """() => {
    const table = document.querySelector('.anim-light-table'), press = (node, key) =>
        node.dispatchEvent(new KeyboardEvent('keydown', { key, bubbles: true }));
    const handles = [...table.querySelectorAll('.handle')];
    for (const handle of [handles[0], handles.at(-1)]) { handle.dispatchEvent(new FocusEvent('focus')); press(handle, 'ArrowUp'); }
    for (const key of ['w', '?', '?', 'ArrowRight', 'ArrowLeft']) press(table, key);
    table.querySelector('.more-b').click();
    for (const button of [...table.querySelectorAll('.more-panel button, .choices button')].slice(0, 14)) button.click();
    table.querySelector('.more-b').click();
    [...table.querySelectorAll('.notehead')].slice(0, 3).forEach(head => head.click());
}"""


@pytest.fixture(scope="module")
def served():
    class Quiet(http.server.SimpleHTTPRequestHandler):
        def log_message(self, *_):
            pass

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), functools.partial(Quiet, directory=ROOT))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_address[1]}"
    server.shutdown()


@pytest.fixture
def blank(browser, served):
    """A page into which a widget is put as Python has laid it out; `errors` is what its console says."""
    page = browser.new_context(viewport=LAPTOP).new_page()
    page.errors = []
    page.on("console", lambda said: said.type == "error" and "favicon" not in said.location.get("url", "")
            and page.errors.append(said.text))
    page.on("pageerror", lambda error: page.errors.append(error.stack or str(error)))
    page.route("**/blank.html", lambda route: route.fulfill(body=BLANK, content_type="text/html"))
    page.goto(f"{served}/blank.html")

    def put(name, widget):
        own = {name: value for name, value in widget.get_state().items() if not name.startswith("_") and name != "layout"}
        page.evaluate(SHOW, [name, own])
        page.evaluate(PAINTED)
        widget.close()

    page.put = put
    yield page
    page.context.close()
    assert [] == page.errors


def table(made, number=1, **more):
    desk = LightTable(made, **more)
    limb = made.limbs[0]
    if len(limb.joints) > 1:
        desk.choose(guide=Place(limb.name, limb.joints[-1]), chart=limb.joints[-1])
    desk.number = number
    return desk


def sideways(page):
    return page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")


# ---- names ------------------------------------------------------------------------------------


def long_named():
    """An arm of four joints with long names, and an elbow that turns back at 6, so that a ghost is shown."""
    drawn = swinging(12, 4, 40.0)
    drawn[5, 2] += 9.0, -7.0
    return action(drawn, length=40.0, names=[LONG * 4, "elbow\u202e\x07" + "e" * 200, "אבגד " * 20, "W" * 300], limbs=[LONG * 5],
                  title="\u202ewave <script>document.title = 'x'</script>" + "T" * 300)


def test_a_sheet_with_long_names_is_painted_whole(blank):
    blank.put("light_table", table(long_named(), 6))
    blank.locator(".handle").nth(2).focus()
    blank.keyboard.press("w")   # the circle away, which would be seen in place of a ghost
    blank.locator("[data-row='6']").click()
    assert blank.locator(".ghosts .ghost").get_attribute("d")
    assert blank.locator(".num:visible").count() > 1     # what is painted after the ghost
    assert "6" == blank.locator(".sheetno").text_content()
    blank.locator(".more-b").click()
    nudge, panel = blank.locator(".nudge").bounding_box(), blank.locator(".more").bounding_box()
    assert panel["x"] <= nudge["x"] and nudge["width"] <= panel["width"]
    blank.locator(".more-b").click()
    outside = blank.evaluate("""() => { const sheet = document.querySelector('.paper').getBoundingClientRect();
        return [...document.querySelectorAll('.drawing text')].filter(text => text.checkVisibility({ visibilityProperty: true }))
            .filter(text => { const box = text.getBoundingClientRect(); return box.left < sheet.left - 1 || box.right > sheet.right + 1; })
            .map(text => text.textContent); }""")
    assert [] == outside
    assert sideways(blank) <= 0


def test_names_are_cut_and_the_whole_is_told_on_asking(blank):
    made = long_named()
    blank.put("light_table", table(made, 6))
    blank.locator(".handle").nth(2).focus()
    blank.locator("[data-row='6']").click()
    blank.locator(".handle").nth(3).focus()
    blank.locator(".more-b").click()
    nudge = blank.locator(".nudge span")
    assert len(nudge.inner_text()) < 40 and "…" in nudge.inner_text()
    assert "W" * 300 in nudge.get_attribute("title")
    assert "T" * 300 in blank.locator(".corner title").text_content()
    assert max(map(len, blank.locator(".choice option").all_inner_texts())) < 40
    head = blank.locator(".next")
    assert head.evaluate("head => head.getClientRects().length === 1 && head.offsetHeight < 30")  # one line


def test_no_character_of_a_file_turns_the_page_round_or_is_hidden(blank):
    """Unicode Standard Annex 9 (from memory): U+202A to U+202E and U+2066 to U+2069 turn what follows."""
    made = named()
    desk = LightTable(made)
    widgets = {"light_table": table(made, 6), "plan_sheet": PlanSheet(desk), "lecture_strip": Follower(desk, made.lecture, made),
               "sliders": Sliders.of([("a", "\u202e" + LONG * 9, 0, 1, 0.1, "\0")], {"a": 0.5}, "\x07" + "W" * 300)}
    widgets["lecture_strip"].go(0)
    for name, widget in widgets.items():
        blank.put(name, widget)
        if name == "light_table":
            blank.evaluate(USE)
        left = blank.evaluate("""() => [...document.querySelectorAll('main *')].flatMap(node =>
                [node.getAttribute('title'), node.getAttribute('aria-label'), node.getAttribute('aria-valuetext'),
                 ...[...node.childNodes].filter(inner => inner.nodeType === 3).map(inner => inner.data)])
            .filter(text => /[\\0-\\x08\\x0b-\\x1f\\x7f-\\x9f\\u2028-\\u202e\\u2066-\\u2069]/.test(text ?? ''))""")
        assert [] == left, name
        assert sideways(blank) <= 0, name
    assert 0 == blank.locator("main script").count()


# ---- places, papers, numbers ------------------------------------------------------------------


def test_shapes_of_every_kind_are_painted_without_an_error(blank):
    for name, made in shapes():
        if name.endswith("False") and not name.startswith("two"):
            continue  # a page knows no other place or paper for it
        blank.put("light_table", table(made, 2, under=made))
        blank.evaluate(USE)
        blank.evaluate(PAINTED)
        assert [] == blank.evaluate(LOOK), name
        sheet = blank.locator(".drawing").bounding_box()
        assert 0.24 < sheet["height"] / sheet["width"] < 4.1, name
        blank.put("plan_sheet", PlanSheet(LightTable(made)))
        assert [] == blank.evaluate(LOOK), name
        assert [] == blank.errors, name


def test_a_joint_stays_under_the_hand_on_a_strip_of_paper(blank):
    blank.put("light_table", table(action(swinging(8, 4, 20.0, (30.0, 880.0)), paper=(100.0, 1000.0)), 2))
    handle = blank.locator(".handle").nth(3)
    before = handle.locator(".knob").bounding_box()
    blank.mouse.move(before["x"] + before["width"] / 2, before["y"] + before["height"] / 2)
    blank.mouse.down()
    blank.mouse.move(before["x"] + before["width"] / 2 + 6, before["y"] + before["height"] / 2 - 12, steps=4)
    blank.evaluate(PAINTED)
    blank.mouse.up()
    after = handle.locator(".knob").bounding_box()
    parent = blank.locator(".handle").nth(2).locator(".knob").bounding_box()
    hand = np.array([before["x"] + 6 - parent["x"], before["y"] - 12 - parent["y"]])
    gone = np.array([after["x"] - parent["x"], after["y"] - parent["y"]])
    assert abs(np.degrees(np.angle(complex(*hand) / complex(*gone)))) < 2  # it swings to where the hand is


def test_very_many_joints_are_painted(blank):
    """As many as a file may hold in one limb; in all limbs; in all drawings."""
    for made in (action(swinging(3, 120, 2.0), length=2.0), action(*[swinging(10, 24, 5.0) + k for k in range(12)], length=5.0),
                 action(swinging(240, 12, 5.0), length=5.0)):
        blank.put("light_table", LightTable(made))
        assert len(made.limbs) * len(made.limbs[0].joints) == blank.locator(".handle").count()
        assert [] == blank.evaluate(LOOK)


def test_a_part_that_cannot_be_painted_does_not_stop_the_rest(blank):
    desk = table(DEMOS["elbow-locks"](), 13)
    blank.put("light_table", desk)
    blank.evaluate("""() => model.set('verdict', { ...model.get('verdict'),
        charts: model.get('verdict').charts.map(chart => ({ ...chart, halves: [null] })) })""")
    blank.evaluate("model.set('number', 4)")
    blank.evaluate(PAINTED)
    assert "4" == blank.locator(".anim-light-table").get_attribute("data-drawing")
    assert "4" == blank.locator(".rn.here").text_content()
    assert blank.errors and all("TypeError" in error for error in blank.errors)  # and it is told of
    blank.errors.clear()


# ---- a narrow page ----------------------------------------------------------------------------


@pytest.mark.parametrize("width, height", [(320, 720), (320, 180)])
def test_at_320_px_the_buttons_that_move_a_joint_can_be_had(blank, width, height):
    """320 px is 1280 px at 400 %; the second as high as 720 px are then."""
    blank.set_viewport_size({"width": width, "height": height})
    blank.put("light_table", table(DEMOS["elbow-locks"](), 13))
    blank.locator(".more-b").click()
    for joint, ways in (("shoulder", ["left", "down", "up", "right"]), ("fingertips", ["swing back", "swing on"])):
        blank.locator(f"[data-joint='{joint}']").focus()
        blank.evaluate(PAINTED)
        buttons = blank.locator(".nudge button:visible").all()
        assert ways == [button.inner_text().rstrip("↺↻ ") for button in buttons]
        boxes = [button.bounding_box() for button in buttons]
        for box in boxes:
            assert min(box["width"], box["height"]) >= 24
            assert 0 <= box["x"] and box["x"] + box["width"] <= width
        for i, one in enumerate(boxes):
            for other in boxes[i + 1:]:
                assert (one["x"] + one["width"] <= other["x"] + 0.5 or other["x"] + other["width"] <= one["x"] + 0.5
                        or one["y"] + one["height"] <= other["y"] + 0.5 or other["y"] + other["height"] <= one["y"] + 0.5)
        assert sideways(blank) <= 0
    under = blank.locator(".bar").bounding_box()["y"]
    blank.keyboard.press("Escape")
    blank.evaluate(PAINTED)
    assert under == pytest.approx(blank.locator(".bar").bounding_box()["y"], abs=1)  # nothing hops when a joint is let go
