"""The light table by finger and pen, narrow, dark, in the reader's own colours and heard: in every state.

How a wide, light table is heard is in test_desk, with the keyboard alone in test_drawing; lecture, plan and sliders in a
notebook stand beside what else is tested of them. References: axe-core; WCAG 2.2, 1.4.10 reflow, 1.4.11 contrast of what
is no text (from memory); Chromium's accessibility tree and its touch and pen events.
"""
import pytest
from readers import faint, tree, violations

from anim_lessons.ferry.actions import traced_twice, wave
from anim_lessons.ferry.lectures import LECTURES
from anim_lessons.light_table import Words, given_page

TABLE = ".anim-light-table"
def lay(desk, query):
    """Another state in the same page."""
    address = desk.page.url.split("?")
    theme = "dark" if "theme=dark" in address[1] else "light"
    desk.page.goto(f"{address[0]}?{query}&theme={theme}")
    desk.page.wait_for_function("window.ready")
    return desk


def states(desk):
    """Bring one after the other on the table of somebody who wants less motion, so that no colour is on its way."""
    lay(desk, "state=untouched&number=2")
    yield "fresh"
    lay(desk, "state=findings&number=6&guide=wrist").guide()
    yield "where may it go"
    lay(desk, "state=findings&number=3")
    yield "a finding"
    desk.table.locator(".more-b").click()
    yield "more"
    desk.table.get_by_role("button", name="sheet in full").click()
    yield "sheet in full"
    desk.page.keyboard.press("Escape")
    desk.table.press("?")
    yield "keys"
    lay(desk, "state=clean&number=3").table.press("p")
    assert "Press play again if that is well with you." in desk.voice() and desk.attribute("showing") is None
    desk.table.press("p")
    desk.comes_to("[data-showing]")
    yield "playing"
    desk.page.keyboard.press("Escape")
    desk.press("play it")
    desk.comes_to("[data-done]")
    yield "done"


def wide(page, width, height):
    page.set_viewport_size({"width": width, "height": height})
    return page.evaluate("innerWidth < document.documentElement.scrollWidth ? ['to be scrolled sideways'] : []")


def test_axe_finds_nothing_on_a_phone_on_a_narrow_page_and_in_the_dark(harness):
    """On a phone in each state; otherwise in those that are laid out or coloured in a manner of their own."""
    desk = harness("state=clean", reduced_motion="reduce")
    page, wrong, count = desk.page, {}, 0
    for state in states(desk):
        wrong[state, 320] = wide(page, 320, 640) + violations(page, TABLE)
        if state in ("a finding", "more", "done"):
            wrong[state, 800] = wide(page, 800, 900) + violations(page, TABLE)
        if state in ("sheet in full", "playing", "done"):
            page.evaluate("document.querySelector('[data-jp-theme-light]').dataset.jpThemeLight = 'false'")
            wrong[state, "dark"] = wide(page, 1280, 720) + violations(page, TABLE)
            page.evaluate("document.querySelector('[data-jp-theme-light]').dataset.jpThemeLight = 'true'")
        count += 1
    assert {} == {state: found for state, found in wrong.items() if found} and 8 == count


def test_in_the_readers_own_colours_every_line_is_seen(harness):
    desk = harness("state=clean", forced_colors="active", reduced_motion="reduce", own=True)
    wrong, drawn = {}, 0
    for state in states(desk):
        for scheme in ("light", "dark"):
            desk.page.emulate_media(color_scheme=scheme)
            wrong[state, scheme] = faint(desk.page, TABLE)
        if state in ("more", "done"):
            wrong[state] = violations(desk.page, TABLE)
        drawn += 1
    assert {} == {state: kinds for state, kinds in wrong.items() if kinds} and 8 == drawn


# ---- by finger and by pen ---------------------------------------------------------------------------------


def touch(page, *places):
    """A finger that is laid down, moved and lifted."""
    cdp = page.context.new_cdp_session(page)
    for kind, at in [("touchStart", places[0]), *(("touchMove", at) for at in places[1:]), ("touchEnd", None)]:
        cdp.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": at[0], "y": at[1]}] if at else []})


def pen(page, *places):
    cdp = page.context.new_cdp_session(page)
    moves = [("mousePressed", places[0]), *(("mouseMoved", at) for at in places[1:]), ("mouseReleased", places[-1])]
    for kind, (x, y) in moves:
        cdp.send("Input.dispatchMouseEvent", {"type": kind, "x": x, "y": y, "pointerType": "pen", "clickCount": 1,
                                              "button": "left", "buttons": int(kind != "mouseReleased")})


@pytest.mark.parametrize("by", [touch, pen])
def test_on_the_full_page_a_joint_is_dragged_and_buttons_are_pressed(harness, by):
    desk = harness("state=pass&number=6", has_touch=True)
    kinds = desk.page.evaluate_handle("""() => {
        const kinds = new Set();
        addEventListener('pointerdown', event => kinds.add(event.pointerType), true);
        return kinds;
    }""")
    desk.table.focus()
    desk.page.keyboard.press("F9")
    desk.page.locator(".fills-the-page").wait_for()
    x, y = desk.centre(desk.handle("elbow").locator(".knob"))
    before = desk.places()
    by(desk.page, *((x - 4 * step, y + 3 * step) for step in range(9)))
    assert before["elbow"] != desk.places()["elbow"] and before["shoulder"] == desk.places()["shoulder"]
    undo = desk.table.get_by_role("button", name="undo")
    by(desk.page, desk.centre(undo))
    assert before == desk.places()
    by(desk.page, desk.centre(desk.table.locator(".next-b")))
    assert "7" == desk.attribute("drawing")
    by(desk.page, desk.centre(desk.table.locator(".more-b")))
    desk.table.get_by_role("region", name="more").wait_for()
    assert [by.__name__] == kinds.evaluate("kinds => [...kinds]")


# ---- a page that is given away ------------------------------------------------------------------------------


@pytest.fixture
def given(browser, tmp_path):
    """Of a page of its own, for its media are changed."""
    pages = []

    def opened(text):
        path = tmp_path / f"{len(pages)}.html"
        path.write_text(text, "utf-8")
        pages.append(browser.new_context(viewport={"width": 1280, "height": 720}, offline=True).new_page())
        pages[-1].goto(path.as_uri())
        pages[-1].locator(f"{TABLE}[data-verdict='fresh']").wait_for()
        return pages[-1]

    yield opened
    for page in pages:
        page.context.close()


@pytest.fixture(scope="module")
def texts():
    """An answer to a hand-in, and a lecture, as files."""
    words = Words("Ada", "Lively.", "Flip.", "Besides.")
    answer = given_page(traced_twice(wave(drawings=16), drawing=12), words=words, guide=True)
    return {"answer": answer, "lecture": given_page(LECTURES["05_elbow"]())}


BUTTONS = ["previous drawing", "next drawing", "flip", "roll", "play", "where may it go", "more"]


def test_a_page_that_is_given_away_is_heard_in_order(given, texts):
    heard = tree(given(texts["answer"]))
    assert [("heading", "wave the boat in"), ("region", "what is said of it"), ("heading", "For"),
            ("heading", "What went well"), ("heading", "One thing to try"), ("heading", "Besides"),
            ("region", "light table")] == [one[:2] for one in heard[:7]]
    joints = [name.removesuffix(" of drawing 12") for role, name, _ in heard if role == "slider"]
    assert ["shoulder", "elbow", "wrist", "fingertips"] == joints
    assert all(value for role, _, value in heard if role == "slider")
    named = [name for role, name, _ in heard if role == "button"]
    assert "drawing 12, on twos, something was found" == named[11] and ["play it large", *BUTTONS] == named[16:]
    heard = tree(given(texts["lecture"]))
    assert [("heading", "open the arm, step by step"), ("group", "lecture"), ("button", "step before"),
            ("button", "next step"), ("combobox", "step of the lecture"),
            ("region", "light table")] == [one[:2] for one in heard[:6]]
    assert "1 \u00b7 Drawing 1, wrist" == heard[4][2] and all(name for role, name, _ in heard if role == "button")


@pytest.mark.parametrize("what", ["answer", "lecture"])
def test_axe_finds_nothing_on_a_page_that_is_given_away_however_it_is_seen(given, texts, what):
    page = given(texts[what])
    wrong = {"phone": wide(page, 320, 640) + violations(page)}
    page.locator(".more-b").click()
    wrong["phone, more"] = wide(page, 320, 640) + violations(page)
    page.keyboard.press("Escape")
    wrong["narrow"] = wide(page, 800, 900) + violations(page)
    page.keyboard.press("p")
    page.locator(f"{TABLE}[data-showing]").wait_for()
    wrong["playing"] = wide(page, 1280, 720) + violations(page)
    page.keyboard.press("Escape")
    page.emulate_media(forced_colors="active", color_scheme="dark")
    wrong["own colours"] = [*violations(page), *faint(page, TABLE)]
    assert {} == {look: found for look, found in wrong.items() if found}


def test_the_key_of_the_full_page_does_nothing_on_a_page_that_is_one(given, texts):
    page = given(texts["lecture"])
    before = page.locator(".chart").bounding_box()
    page.keyboard.press("F9")
    assert before == page.locator(".chart").bounding_box() and 0 == page.locator(".fills-the-page").count()
