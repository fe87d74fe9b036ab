"""The desk of the light table: what stands where, what is said when, where labels lie, and that everybody can use it.

The page's own part is driven in `tests/view/harness.html`. References: WCAG 2.2 (W3C), 2.5.7 dragging, 2.5.8 target size,
1.4.10 reflow (from memory); axe-core; the accessibility tree as Chromium computes it.
"""
import re

import pytest
from readers import violations

TABLE = ".anim-light-table"
SEVEN = ["previous drawing", "next drawing", "flip", "play", "where may it go", "undo", "more"]


def boxes_of(desk, numbers):
    """For each of these drawings: words on the sheet that are seen, each with its box, kind, and the box of the face; px in the window."""
    return desk.table.evaluate("""(table, numbers) => numbers.map(number => {
        if (number) model.set('number', number);
        const seen = node => node.textContent.trim() && node.checkVisibility({ visibilityProperty: true }) && node.getClientRects().length;
        const box = node => { const b = node.getBoundingClientRect(); return [b.left, b.top, b.right, b.bottom]; };
        const kind = node => node.closest('.nums') ? 'number' : node.closest('.tabs') ? 'ring' : node.closest('.names') ? 'name'
            : node.closest('.reasons') ? 'reason' : node.closest('.measure') ? 'ghost' : 'corner';
        const texts = [...table.querySelectorAll('.drawing text')].filter(seen).map(node => [node.textContent, kind(node), box(node)]);
        const land = table.querySelector('.ghosts').getAttribute('display') === 'none' ? null : box(table.querySelector('.land'));
        const paper = table.querySelector('.drawing').getBoundingClientRect(), k = paper.width / 594;
        const face = table.querySelector('.body').dataset.face?.split(' ').map((v, i) => v * k + (i % 2 ? paper.top : paper.left));
        return { texts, land, face, knobs: [...table.querySelectorAll('.knob')].map(box), sheet: box(table.querySelector('.paper')),
            dots: [...table.querySelectorAll('.dots .strong:not(.here)')].map(box) };
    })""", list(numbers))


def overlap(one, other):
    """Shares of the smaller box's width and height that two boxes have in common; a third of a line box is air."""
    wide, deep = min(one[2], other[2]) - max(one[0], other[0]), min(one[3], other[3]) - max(one[1], other[1])
    return wide > 2 and deep > 0.38 * min(one[3] - one[1], other[3] - other[1])


def middle(box):
    return (box[0] + box[2]) / 2, (box[1] + box[3]) / 2


def far_from(box, point):
    dx, dy = (max(low - p, 0, p - high) for p, low, high in zip(point, box[:2], box[2:]))
    return (dx * dx + dy * dy) ** 0.5


# ---- first glance -----------------------------------------------------------------------------


@pytest.mark.parametrize("width, height", [(1280, 720), (1366, 625), (800, 900), (640, 360)])
def test_seven_buttons_are_in_sight_and_each_has_its_name(harness, width, height):
    """640 x 360 is 1280 x 720 at 200 %."""
    desk = harness("state=pass&number=6", width=width, height=height)
    names = [button.get_attribute("aria-label") or button.inner_text() for button in desk.table.locator(".bar button, .more-b").all()]
    assert SEVEN == [re.sub(r"\W+$", "", name) for name in names]
    assert 7 + 3 + 1 == desk.table.locator("button:visible").count()  # and the three steps of the goal line, and what the voice offers
    assert desk.table.evaluate("table => table.scrollWidth <= table.clientWidth + 1")


def test_words_come_and_go_and_the_sheet_stays(harness):
    desk = harness("state=pass&number=6")
    sheet = desk.table.locator(".paper").bounding_box()
    bar = desk.table.locator(".bar").bounding_box()
    for act in (lambda: desk.table.locator("[data-row='3']").click(), lambda: desk.table.locator(".other summary").click(),
                lambda: desk.table.press("Escape"), lambda: desk.table.press("w"), lambda: desk.table.locator(".more-b").click(),
                lambda: desk.table.press("?"), lambda: desk.table.press("ArrowRight"), lambda: desk.drag("elbow", 20, 10)):
        act()
        assert (sheet, bar) == (desk.table.locator(".paper").bounding_box(), desk.table.locator(".bar").bounding_box())


@pytest.mark.parametrize("state", ["findings", "pass", "layer", "begin", "untouched", "not-saved", "kernel-gone", "offer", "clean"])
def test_the_head_is_one_line_and_whole_and_what_is_under_it_four(harness, state):
    """At the narrowest margin, 240 px."""
    desk = harness(f"state={state}&number=3", width=1160, height=720)
    head = desk.table.locator(".next").first
    if head.is_visible():
        assert head.evaluate("head => head.scrollWidth <= head.clientWidth && head.offsetHeight < 30"), head.inner_text()
    says = desk.table.locator(".voice .says").first
    if says.is_visible():
        assert says.evaluate("says => says.clientHeight / parseFloat(getComputedStyle(says).lineHeight)") < 4.2


def test_after_a_press_the_focus_is_on_the_table(harness):
    desk = harness("state=findings&number=3")
    for words in ("next drawing", "play", "stop", "where may it go", "next drawing"):
        desk.press(words)
        assert desk.page.evaluate("document.activeElement.matches('.anim-light-table')"), words


# ---- done ---------------------------------------------------------------------------------------


def made_whole(desk):
    desk.page.evaluate("model.kind = 'clean'")
    desk.drag("wrist", 8, 5)
    desk.comes_to("[data-done]")
    return desk


def test_when_every_rule_is_kept_the_loop_plays_at_once_and_large(harness):
    desk = harness("state=findings&number=3")
    before = desk.table.locator(".paper").bounding_box()
    made_whole(desk)
    desk.comes_to("[data-showing]")
    after = desk.table.locator(".paper").bounding_box()
    assert after["width"] * after["height"] > 1.25 * before["width"] * before["height"]
    shown = [b.inner_text() for b in desk.table.locator("button:visible").all()]
    assert ["stop", "on twos", "on ones", "save the moving picture", "how to hand it in", "back to the drawings"] == shown
    exposure = desk.page.evaluate("model.get('pose').exposure")
    desk.press("on ones")
    assert "16 drawings, 16 frames, 0.67 s" in desk.table.locator(".done").inner_text()
    assert exposure == desk.page.evaluate("model.get('pose').exposure")  # it is looked at, not changed
    desk.press("save the moving picture")
    assert {"ask": "film", "paper": True} == desk.page.evaluate("model.sent.at(-1)")
    desk.press("how to hand it in")
    assert "wave_the_boat_in.json" in desk.table.locator(".done").inner_text()
    desk.press("stop")
    assert desk.attribute("showing") is None
    desk.page.keyboard.press("Escape")
    assert desk.attribute("done") is None and desk.table.locator(".bar").is_visible()


def test_who_wants_no_motion_sees_it_stand_and_may_play_it(harness):
    desk = harness("state=findings&number=3", reduced_motion="reduce")
    made_whole(desk)
    assert desk.attribute("showing") is None and "1" == desk.attribute("drawing")
    desk.press("play")
    desk.comes_to("[data-showing]")


def test_a_table_that_opens_whole_does_not_play_unasked(harness):
    desk = harness("state=clean&number=3")
    assert desk.attribute("done") is None
    desk.press("play it")
    assert "true" == desk.attribute("done")


# ---- labels -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("query, width", [("state=clean", 1280), ("state=clean", 700), ("state=clean&limbs=2", 1280), ("state=findings", 1280),
                                          ("state=findings", 620), ("state=clean&drawings=24", 1366), ("state=pass", 1280)])
def test_labels_lie_clear_of_each_other_of_joints_and_of_the_face(harness, query, width):
    """A sweep: every drawing, three joints, several sizes. What finds no room is left out, and that is counted too."""
    desk = harness(f"{query}&number=1", width=width, height=800)
    count = int(desk.attribute("drawings"))
    worked, sheets = 0, 0
    for joint in ("elbow", "wrist", "fingertips"):
        desk.handle(joint).focus()
        for number, found in enumerate(boxes_of(desk, range(1, count + 1)), 1):
            texts, sheets = found["texts"], sheets + 1
            for i, (words, kind, box) in enumerate(texts):
                assert found["sheet"][0] - 1 <= box[0] and box[2] <= found["sheet"][2] + 1, (joint, number, words)
                for other, what, beside in texts[i + 1:]:
                    assert not overlap(box, beside), (joint, number, words, other)
                if kind != "corner":
                    assert not (found["face"] and overlap(box, found["face"])), (joint, number, words, "on the face")
                    assert not any(overlap(box, knob) for knob in found["knobs"]), (joint, number, words)
                if kind == "ghost":
                    assert far_from(box, middle(found["land"])) <= 84, (joint, number, words)
            worked += joint in [words for words, kind, _ in texts if kind == "name"]
    assert worked >= 0.97 * sheets  # the joint at work has its name


@pytest.mark.parametrize("query", ["state=clean", "state=clean&drawings=24"])
def test_a_number_stands_nearer_to_its_own_dot_than_to_any_other(harness, query):
    desk = harness(f"{query}&number=1")
    said, dots = 0, 0
    for joint in ("elbow", "wrist", "fingertips"):
        desk.handle(joint).focus()
        numbers = range(1, int(desk.attribute("drawings")) + 1, 3)
        for number, found in zip(numbers, boxes_of(desk, numbers)):
            at = desk.page.evaluate("""joint => { const table = document.querySelector('.anim-light-table'), paper = table.querySelector('.paper').getBoundingClientRect();
                const k = paper.width / 297, j = ['shoulder', 'elbow', 'wrist', 'fingertips'].indexOf(joint);
                return model.get('pose').drawings[0].map(d => [paper.left + d[j][0] * k, paper.top + (210 - d[j][1]) * k]); }""", joint)
            for words, kind, box in found["texts"]:
                if kind != "number":
                    continue
                own = [int(n) - 1 for n in re.split("\u2013", words)]
                own = range(own[0], own[-1] + 1)
                x, y = middle(box)
                far = [((x - a) ** 2 + (y - b) ** 2) ** 0.5 for a, b in at]
                assert min(far[i] for i in own) <= min(far) + 1.5, (joint, number, words)
                said += len(own)
            dots += len(at) - 5     # that under work and four in rings
    assert said >= 0.8 * dots


# ---- for everybody --------------------------------------------------------------------------------------


def tree(desk):
    """Roles and names of what assistive technology finds, in its order."""
    cdp = desk.page.context.new_cdp_session(desk.page)
    nodes = cdp.send("Accessibility.getFullAXTree")["nodes"]
    by_id, found = {node["nodeId"]: node for node in nodes}, []

    def walk(node):
        role, name = node.get("role", {}).get("value"), node.get("name", {}).get("value", "")
        if not node.get("ignored") and role in ("button", "slider", "region", "group", "status", "DisclosureTriangle") and (name or role != "status"):
            found.append((role, re.sub(r"\s+", " ", name)))
        for child in node.get("childIds", []):
            walk(by_id[child])

    walk(nodes[0])
    return found


def test_names_come_in_order_in_the_accessibility_tree(harness):
    desk = harness("state=pass&number=6")
    found = tree(desk)
    named = [name for role, name in found if role == "button"]
    sliders = [name for role, name in found if role == "slider"]
    assert ["Elbows, 6 of 16 drawn", "Wrists, 0 of 16 drawn", "Hands, 0 of 16 drawn"] == named[:3]
    assert ["shoulder of drawing 6", "elbow of drawing 6", "wrist of drawing 6", "fingertips of drawing 6"] == sliders
    rows = [name for name in named if name.startswith("drawing ")]
    assert 16 == len(rows) and "drawing 7, on twos, not drawn yet" == rows[6] and "drawing 3, on twos, something was found" == rows[2]
    _, _, _, voice, *rest = [name for name in named if name not in rows]
    assert voice.startswith("next drawing") and SEVEN == [re.sub(r"\W+$", "", name) for name in rest]    # the voice's has its key
    assert all(name for name in named + sliders)


@pytest.mark.parametrize("query", ["state=pass&number=6", "state=begin&number=2", "state=layer&number=16", "state=findings&number=3",
                                   "state=findings&number=6&guide=wrist", "state=kernel-gone", "state=offer", "state=not-saved",
                                   "state=findings&number=3&theme=dark"])
def test_axe_finds_nothing_in_any_state(harness, query):
    desk = harness(query)
    for act in (lambda: None, lambda: desk.table.locator(".more-b").click(), lambda: desk.table.press("?")):
        act()
        assert [] == violations(desk.page, TABLE)
        if "findings" not in query:     # what is on demand is the same in every state
            break


def test_axe_finds_nothing_when_it_is_done(harness):
    desk = made_whole(harness("state=findings&number=3", reduced_motion="reduce"))
    assert [] == violations(desk.page, TABLE)


def test_in_the_readers_own_colours_all_that_is_needed_is_seen(harness):
    desk = harness("state=findings&number=3", forced_colors="active")
    colours = desk.table.evaluate("""table => ['.paper', '.goal, .title', '.voice .next', '.bar button', '.rn'].map(one => {
        const style = getComputedStyle(table.querySelector(one)); return [style.color, style.fill]; })""")
    assert all(any(colour for colour in pair) for pair in colours)
    edge = desk.table.locator(".voice .primary").evaluate("b => getComputedStyle(b).borderTopWidth")
    assert "3px" == edge  # what is told by a shadow elsewhere is told by an edge


@pytest.mark.parametrize("pointer", ["touch", "pen"])
def test_touch_and_pen_drag_a_joint_and_the_page_does_not_scroll(harness, pointer):
    desk = harness("state=pass&number=6", width=700, height=900, has_touch=True)
    x, y = desk.centre(desk.handle("elbow").locator(".knob"))
    before, scrolled = desk.places(), desk.page.evaluate("scrollY")
    cdp = desk.page.context.new_cdp_session(desk.page)
    if pointer == "touch":
        for kind, at in (("touchStart", 0), *(("touchMove", step) for step in range(1, 9)), ("touchEnd", None)):
            points = [] if at is None else [{"x": x - 4 * at, "y": y + 3 * at}]
            cdp.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
    else:
        for kind, step in (("mousePressed", 0), *(("mouseMoved", step) for step in range(1, 9)), ("mouseReleased", 8)):
            cdp.send("Input.dispatchMouseEvent", {"type": kind, "x": x - 4 * step, "y": y + 3 * step, "button": "left", "buttons": 1,
                                                  "clickCount": 1, "pointerType": "pen"})
    assert before["elbow"] != desk.places()["elbow"] and scrolled == desk.page.evaluate("scrollY")


def test_a_button_is_pressed_and_a_mark_asked_by_finger(harness):
    desk = harness("state=pass&number=6", has_touch=True)
    desk.table.locator(".next-b").tap()
    assert "7" == desk.attribute("drawing")
    desk.table.locator("[data-row='3']").tap()
    assert "The elbow locks at 3." == desk.table.locator(".next").first.inner_text()


def test_a_whole_layer_can_be_drawn_with_the_keyboard_alone(harness):
    desk = harness("state=begin&number=2")
    desk.table.focus()
    keys = desk.page.keyboard
    for number in range(2, 17):
        for _ in range(3):
            keys.press("ArrowUp")  # the joint that is worked on, with no joint in focus
        keys.press("ArrowRight")
    drawn = desk.page.evaluate("model.get('pose').drawings[0].map(d => d[1])")
    given = harness("state=begin&number=2").page.evaluate("model.get('pose').drawings[0].map(d => d[1])")
    assert [False] + [True] * 15 == [abs(a[0] - b[0]) + abs(a[1] - b[1]) > 0.5 for a, b in zip(drawn, given)]


def test_numbers_do_not_collide_while_it_plays(stopped):
    """The number of the drawing grows from one digit to two, and how many there are stays clear of it."""
    desk, clock = stopped("state=clean&number=6")
    desk.table.press("p")
    seen = set()
    for _ in range(40):     # of a loop of 16 on twos, each drawing of which stands for 83 ms
        clock.run_for(40)
        (found,) = boxes_of(desk, [0])  # as it stands
        texts = found["texts"]
        corner = [(words, box) for words, kind, box in texts if kind == "corner"]
        assert not any(overlap(a, b) for i, (_, a) in enumerate(corner) for _, b in corner[i + 1:]), corner
        assert {"corner"} >= {kind for _, kind, _ in texts}
        seen.add(corner[0][0])
    assert len(seen) >= 15
