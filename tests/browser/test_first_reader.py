"""What somebody stumbled over who drew an arm for the first time, in a low window beside a list of files.

The page's own part is driven in `tests/view/harness.html`; `model` there stands for Python. A target is 24 px (WCAG 2.2, 2.5.8,
from memory).
"""
import pytest

from conftest import NOBODY, lay_out

from anim_lessons.light_table import still

# A usual laptop, its browser's bars taken off, and the px that JupyterLab leaves a cell there beside its list of files (seen);
# and a smaller one.
LOW, BESIDE_A_LIST = {"width": 1366, "height": 625}, 934
SMALLER = {"width": 1280, "height": 720}, 848


@pytest.fixture
def low(harness):
    """The table in such a window; `goes` are the degrees that a drawing of the elbows has to go, by its number."""
    def opened(query="state=pass&number=7", goes=None, window=(LOW, BESIDE_A_LIST), **layer):
        size, wide = window
        desk = harness(query, **size)
        desk.page.evaluate("px => Object.assign(document.querySelector('main').style, { width: `${px}px`, margin: 0 })", wide)
        desk.page.wait_for_function("px => document.querySelector('.anim-light-table').clientWidth === px", arg=wide)
        if goes or layer:
            desk.page.evaluate("""([goes, more]) => {
                const told = model.get('verdict');
                const [elbows, ...rest] = told.layers;
                const layer = { ...elbows, beside: 2.5, ...more, goes: elbows.drawings.map((n) => goes[n] ?? 0) };
                model.set('verdict', { ...told, layers: [layer, ...rest] });
            }""", [goes or {}, layer])
        return desk
    return opened


def box_of(part):
    box = part.bounding_box()
    return box["x"], box["y"], box["x"] + box["width"], box["y"] + box["height"]


def far_from(box, x, y):
    """The point of a box that is farthest from x, y: how far it is."""
    return max(abs(box[0] - x), abs(box[2] - x), abs(box[1] - y), abs(box[3] - y))


@pytest.mark.parametrize("degrees", [3, 6, 9, 12, 16, 20, 40])
@pytest.mark.parametrize("way", [1, -1])
def test_arrow_and_bar_are_seen_beside_the_joint_s_ring_however_little_is_to_go(low, degrees, way):
    desk = low(goes={7: way * degrees})
    joint = desk.handle("elbow")
    ring, (x, y) = box_of(joint.locator(".ring")), desk.centre(joint.locator(".knob"))
    reach = (ring[2] - ring[0]) / 2
    arrow, bar = (box_of(mark) for mark in desk.table.locator(".beginning path[d]").all())
    assert min(far_from(arrow, x, y), far_from(bar, x, y)) > 1.5 * reach
    assert max(arrow[2] - arrow[0], arrow[3] - arrow[1]) > 1.2 * reach     # a shaft, not barbs alone
    points = [tuple(map(float, place.split(","))) for place in
              desk.table.locator(".beginning path[d]").first.get_attribute("d").replace("M", " ").replace("L", " ").split()]
    shaft = sum(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5 for a, b in zip(points[:12], points[1:13]))
    barb = ((points[13][0] - points[14][0]) ** 2 + (points[13][1] - points[14][1]) ** 2) ** 0.5
    assert shaft > 1.8 * barb


def test_between_which_bars_it_goes_is_seen_also_where_it_nearly_lies_there(low):
    """A brief that shows where it may go tells about how far: eight degrees on either side."""
    desk = low(goes={7: 6}, beside=8, about=True)
    assert 3 == desk.table.locator(".beginning path[d]").count()    # the arrow and both bars
    assert "About 5° to go." in desk.voice() and "along the arrow between the bars." in desk.voice()


def test_how_far_it_goes_is_told_once_and_the_end_of_the_arrow_has_one_name(low):
    desk = low(goes={7: 28})
    assert "28° to go." in desk.voice() and "Drag it along the arrow to the bar." in desk.voice()
    assert "a little on" not in desk.voice()


def test_where_the_arrow_points_back_it_is_said_which_way_it_goes_from_the_drawing_before(low):
    """The start is traced: on drawing 7 the elbow lies far on, so that its arrow points back, to a place that is on from 6."""
    desk = low()
    turn = desk.page.evaluate("""() => { const [before, here] = [6, 7].map((n) => {
        const [a, b] = model.get('pose').drawings[0][n - 1];
        return Math.atan2(b[1] - a[1], b[0] - a[0]) * 180 / Math.PI; });
        return here - before; }""")
    assert abs(turn) > 3
    on = low(goes={7: -turn * 0.5})     # half of the way back: on from 6 all the same
    side = "right" if turn < 0 else "left"
    assert f"to the bar. There it lies {side} of 6." in on.voice()
    beyond = low(goes={7: turn * 0.5})
    assert "as given" not in beyond.voice()


WINDOWS = pytest.mark.parametrize("window", [(LOW, BESIDE_A_LIST), SMALLER], ids=["1366", "1280"])


@WINDOWS
def test_the_button_of_a_step_stays_at_one_place_and_the_text_of_the_step_is_whole(low, window):
    says = "The wrist turns at 6 and 14, a drawing after the elbow. From 9 to 16 the elbow opens, in every drawing."
    places = []
    for layer in ({}, {"right": [6]}):
        desk = low("state=pass&number=6", says=says, window=window, **layer)
        places.append(desk.table.locator(".voice .primary").bounding_box()["y"])
        assert desk.attribute("more", desk.table.locator(".voice")) is None
        assert desk.table.locator(".voice").evaluate("voice => voice.scrollHeight <= voice.clientHeight + 4")
        assert says in desk.voice()
    assert places[0] == places[1]


@WINDOWS
def test_sixteen_rows_are_whole_in_a_low_window_and_each_is_a_target(low, window):
    desk = low(window=window)
    rows = desk.table.locator(".expo .rows")
    assert rows.evaluate("rows => rows.scrollHeight <= rows.clientHeight")
    assert desk.table.locator("[data-row='16'] .rowhit").bounding_box()["height"] >= 24 - 0.01
    more = low("state=pass&number=6&drawings=24")     # they are scrolled, and the head stays
    assert more.table.locator(".striphead").is_visible()


def test_no_leader_runs_through_the_arrow(low):
    crossed = """table => {
        const boxes = [...table.querySelectorAll('.beginning path[d]')].map((path) => path.getBoundingClientRect());
        return [...table.querySelectorAll(':is(.names, .nums, .tabs) .lead[d]')].filter((lead) => {
            const [from, m] = [lead.getScreenCTM(), lead.getTotalLength()];
            return Array.from({ length: 41 }, (_, i) => lead.getPointAtLength(m * i / 40).matrixTransform(from))
                .some(({ x, y }) => boxes.some((b) => x > b.left && x < b.right && y > b.top && y < b.bottom));
        }).length; }"""
    desk = low()
    for number in range(7, 17):
        for degrees in (-40, -20, 20, 40):
            desk.page.evaluate("""([n, degrees]) => {
                const told = model.get('verdict');
                const layers = told.layers.map((one, i) => i ? one : { ...one, beside: 2.5, goes: one.drawings.map(() => degrees) });
                model.set('verdict', { ...told, layers });
                model.set('number', n);
            }""", [number, degrees])
            desk.table.locator(f"xpath=self::*[@data-drawing='{number}']").wait_for()
            assert 0 == desk.table.evaluate(crossed), (number, degrees)


def test_a_pass_that_is_drawn_through_has_its_tick_also_where_it_was_worked_on_last(low):
    desk = low("state=layer&number=6")
    desk.table.locator(".goal .step").first.click()
    assert "Elbows 16 of 16 ✓" == desk.table.locator(".goal .step").first.inner_text().replace("\n", "")


def test_what_plays_large_has_the_number_of_its_drawing_small_in_the_corner(low):
    desk = low("state=findings&number=3")
    usual = desk.table.locator(".sheetno").bounding_box()["height"]
    desk.page.evaluate("model.kind = 'clean'")
    desk.drag("wrist", 8, 5)
    desk.table.locator("xpath=self::*[@data-done]").wait_for()
    seen = desk.table.locator(".sheetno")
    assert seen.is_visible() and seen.bounding_box()["height"] < 0.7 * usual
    desk.page.wait_for_function("() => document.querySelector('.sheetno').textContent === '16'")
    left = seen.bounding_box()["x"]
    desk.page.wait_for_function("() => document.querySelector('.sheetno').textContent === '4'")
    assert abs(left - seen.bounding_box()["x"]) < 1
    assert not desk.table.locator(".corner .k").first.is_visible()


def test_what_plays_large_is_no_deeper_than_the_table_was(low):
    desk = low("state=findings&number=3", window=(LOW, 1196))    # without the list of files
    deep = desk.table.bounding_box()["height"]
    desk.page.evaluate("model.kind = 'clean'")
    desk.drag("wrist", 8, 5)
    desk.table.locator("xpath=self::*[@data-done]").wait_for()
    assert 0.9 * deep < desk.table.bounding_box()["height"] <= deep


def test_from_the_middle_puts_the_list_away_and_says_what_to_look_at(low):
    desk = low("state=clean&number=6").more()
    desk.table.get_by_role("button", name="from the middle").click()
    assert not desk.table.locator(".more").is_visible()
    assert "16 and 1 lie one below the other now." in desk.voice()
    rows = [int(row.get_attribute("data-row")) for row in desk.table.locator("[data-row]").all()]
    assert rows.index(1) == rows.index(16) + 1
    desk.press("from the middle")
    assert "one below the other" not in desk.voice()


def test_all_that_is_on_demand_is_in_sight_in_a_low_window(low):
    desk = low("state=clean&number=6")
    desk.handle("wrist").click()
    desk.more()
    more = desk.table.locator(".more")
    assert more.evaluate("more => more.scrollHeight <= more.clientHeight") and box_of(more)[1] >= box_of(desk.table)[1]
    assert desk.table.locator(".nudge").is_visible()
    desk.press("sheet in full")
    assert more.bounding_box()["width"] < 400     # its rows are as deep as they are wide


LONG = "Each arm swings from the shoulder, and the forearm follows it. " * 4


@pytest.mark.parametrize("window", [(LOW, BESIDE_A_LIST), SMALLER])
@pytest.mark.parametrize(("text", "fits"), [("All elbows first.", True), (LONG, False)])
def test_before_anything_is_drawn_what_is_asked_is_read_whole_and_the_chart_gives_it_room(low, window, text, fits):
    desk = low("state=untouched", window=window)
    desk.page.evaluate("model.set('verdict', { ...model.get('verdict'), given: true })")
    desk.page.evaluate("text => model.set('asked', { text, stack: '12 to 32 drawings, on twos' })", text)
    asked = desk.table.locator("details.asked")
    asked.locator("p").last.wait_for()
    desk.page.wait_for_function("box => box.open && box.scrollHeight <= box.clientHeight + 4", arg=asked.element_handle())
    assert desk.table.locator(".chartbox").is_visible() == fits


def test_when_drawing_has_begun_what_is_asked_gives_way_to_the_chart(low):
    desk = low("state=untouched")
    desk.page.evaluate("text => model.set('asked', { text, stack: '12 to 32 drawings, on twos' })", LONG)
    asked = desk.table.locator("details.asked")
    desk.page.wait_for_function("box => !box.open", arg=asked.element_handle())
    assert desk.table.locator(".chartbox").is_visible()
    asked.locator("summary").click()
    desk.page.wait_for_function("box => box.open && box.scrollHeight <= box.clientHeight + 4", arg=asked.element_handle())


@pytest.mark.parametrize("state", ["clean", "pass"])
def test_what_is_asked_is_read_whole_beside_the_button_of_the_step(low, state):
    text = ("The deckhand on the ferry landing waves the boat in: a looping arm of shoulder, elbow, wrist and fingertips. The shoulder's"
            " path is given. Draw straight ahead: all elbows first, then all forearms, then all hands. A loose arm may break a little"
            " past straight where the upper arm turns back.")
    desk = low(f"state={state}&number=6")
    desk.page.evaluate("text => model.set('asked', { text, stack: '12 to 32 drawings, on twos' })", text)
    asked = desk.table.locator("details.asked")
    if asked.get_attribute("open") is not None:
        asked.locator("summary").click()
    asked.locator("summary").click()
    desk.page.wait_for_function("box => box.open && box.scrollHeight <= box.clientHeight + 4", arg=asked.element_handle())
    button, voice = (box_of(desk.table.locator(part)) for part in (".voice .primary", ".voice"))
    assert button[3] <= voice[3] + 1
    asked.locator("summary").click()
    assert desk.table.locator(".chart").is_visible()


def test_what_is_printed_in_a_notebook_with_a_table_breaks_between_words(browser):
    """JupyterLab breaks printed text anywhere: `word-break: break-all` in `.jp-OutputArea-output pre` (seen: JupyterLab 4.6)."""
    page = browser.new_page(viewport=LOW)
    printed = '<div class="jp-OutputArea-output jp-RenderedText"><pre style="">Swing the forearm on, then flip.</pre></div>'
    page.set_content("<style>.jp-OutputArea-output pre { word-break: break-all; white-space: pre-wrap; }</style>"
                     f'<div class="jp-Notebook" style="width: 150px; font: 16px monospace">{still.still()}{printed}</div>'
                     f'<div id="other" style="width: 150px; font: 16px monospace">{printed}</div>')
    lines = """box => {
        const text = box.querySelector('.jp-RenderedText pre').firstChild, range = document.createRange(), lines = {};
        [...text.data].forEach((letter, i) => {
            range.setStart(text, i);
            range.setEnd(text, i + 1);
            const top = Math.round(range.getBoundingClientRect().top);
            lines[top] = (lines[top] ?? '') + letter;
        });
        return Object.values(lines);
    }"""
    whole = set("Swing the forearm on, then flip.".split())
    assert whole == {word for line in page.locator(".jp-Notebook").evaluate(lines) for word in line.split()}
    assert whole != {word for line in page.locator("#other").evaluate(lines) for word in line.split()}
    page.close()


# ---- in the notebook ----------------------------------------------------------------------------

ABOVE = ("print('\\n' * 6)", "from anim_lessons import lessons", 'table = lessons.light_table("wave.json", start="wave"); table', "1")
IN_VIEW = """table => {
    const view = table.closest('.jp-WindowedPanel-outer').getBoundingClientRect(), all = table.getBoundingClientRect();
    return [Math.round(all.top - view.top), Math.round(view.bottom - all.bottom)];
}"""


@pytest.mark.parametrize("by_hand", [True, False])
def test_the_table_of_a_cell_that_somebody_runs_comes_wholly_into_view_and_cells_that_run_by_themselves_move_nothing(
        opened, lab, by_hand):
    desk = opened(lay_out(lab, cells=ABOVE))
    desk.page.set_viewport_size(LOW)
    if by_hand:
        desk.page.evaluate("delete navigator.userActivation")   # as a page has it that nobody tests
        desk.page.locator(".jp-Notebook .jp-Cell .jp-InputPrompt").first.click()
        for _ in ABOVE[:3]:
            desk.page.keyboard.press("Shift+Enter")
            desk.idle()
    else:
        desk.run_all()
    desk.ready()
    desk.page.evaluate("() => new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))")
    above, below = desk.table.evaluate(IN_VIEW)
    assert above > 0
    assert (below >= 0) == by_hand
    desk.page.evaluate(f"Object.defineProperty(navigator, 'userActivation', {NOBODY})")
