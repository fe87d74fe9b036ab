"""One action as a page that stands alone, opened from its file in Chromium that has no network.

References
----------
W3C Content Security Policy Level 3 and Trusted Types, as Chromium enforces them: seen, on its console and in what did not run.
WCAG 2.2, 1.4.10 (reflow: 320 to 390 css px without scrolling sideways), from memory; axe-core.
"""

import json
import re

import numpy as np
import pytest
from hostile import named
from readers import violations

from anim_lessons import check
from anim_lessons.assist.lecture import as_of
from anim_lessons.ferry.actions import traced_twice, wave
from anim_lessons.ferry.lectures import LECTURES
from anim_lessons.light_table import Words, given_page, words_on
from anim_lessons.model import action_file

NASTY = ('</script><script>window.ran = 1</script><img src=x onerror="window.ran = 1"><!--<script>\u2028\u2029\u202e\0'
         '<a href="javascript:window.ran = 1">press</a>')
LARGEST = 1440  # css px: a window in which all of a table is seen


class Given:
    """A page from its file; what it complains of, and what it asks for besides itself."""

    def __init__(self, page, path, text):
        path.write_text(text, "utf-8")
        self.page, self.errors, self.asked = page, [], []
        self.heard = {"console": lambda message: self.errors.append(message.text) if message.type == "error" else None,
                      "pageerror": lambda error: self.errors.append(error.stack or str(error)),
                      "request": lambda request: self.asked.append(request.url)}
        for what, hear in self.heard.items():
            page.on(what, hear)
        page.goto(path.as_uri())
        self.table = page.locator(".anim-light-table")

    def deaf(self):
        for what, hear in self.heard.items():
            self.page.remove_listener(what, hear)
        return self.page

    def ready(self):
        self.table.locator("xpath=self::*[@data-verdict='fresh']").wait_for()
        return self

    def at(self, **data):
        """Wait until the table says so."""
        wanted = " and ".join(f"@data-{name.replace('_', '-')}='{value}'" for name, value in data.items())
        self.table.locator(f"xpath=self::*[{wanted}]").wait_for()
        return self

    def places(self):
        """Where the joints lie, mm, as they are seen."""
        return np.array(self.table.evaluate("""table => [...table.querySelectorAll('.handle')].map(handle =>
            handle.getAttribute('transform').match(/[-\\d.]+/g).map(Number)).map(([x, y]) => [x / 2, 210 - y / 2])"""))

    def press(self, name):
        named = self.page.get_by_role("button", name=name, exact=True)
        (self.page.locator(".more-b") if name == "more" else named).click()
        return self

    def voice(self):
        return " ".join(self.table.locator(".voice").inner_text().split())


@pytest.fixture
def given(browser, bare_pages, tmp_path, request):
    """Open a page from its file; `own` where the test changes what stays with a page, like its media."""
    made, failed = [], request.session.testsfailed

    def opened(text, width=1280, height=720, own=False, **context):
        viewport, context = {"width": width, "height": height}, {"offline": True} | context
        page = browser.new_context(viewport=viewport, **context).new_page() if own else bare_pages.lend(viewport, **context)
        made.append((Given(page, tmp_path / f"page {len(made)}.html", text), own))
        return made[-1][0]

    yield opened
    for one, own in made:
        if own or one.errors or request.session.testsfailed != failed:
            one.page.context.close()
        else:
            bare_pages.take_back(one.deaf())
        assert [] == one.errors
        assert all(url.startswith(("file:", "blob:")) for url in one.asked)


def faulty():
    return traced_twice(wave(drawings=16), drawing=12)


# ---- looked at ----------------------------------------------------------------------


def test_drawings_are_turned_flipped_rolled_and_played(given):
    action = wave(drawings=16)
    one = given(given_page(action)).ready().at(drawing=1)
    assert np.allclose(action.limbs[0].drawings[0], one.places(), atol=0.06)
    one.page.keyboard.press("ArrowRight")
    one.at(drawing=2)
    assert np.allclose(action.limbs[0].drawings[1], one.places(), atol=0.06)
    one.page.keyboard.down("f")
    one.at(showing=1)
    one.page.keyboard.up("f")
    one.table.locator("xpath=self::*[not(@data-showing)]").wait_for()
    one.press("roll").at(showing=3).press("roll")
    one.press("play").at(showing=9).press("stop")
    assert len(one.asked) == 1


def test_onion_skin_paths_names_and_sheet_are_on_demand(given):
    one = given(given_page(wave(drawings=16))).ready()
    skins = one.table.locator(".skins path")
    assert 4 == skins.count()
    one.press("more").press("3 + 3")
    assert 6 == skins.count()
    one.press("none")
    assert 0 == skins.count()
    one.press("paths")
    assert 0 == one.table.locator(".paths path").count()
    one.press("sheet in full")
    one.page.get_by_role("group", name="exposure sheet in full").wait_for()
    assert 0 == one.page.get_by_role("button", name=re.compile("^(on ones|−|[+]|undo|trace)")).count()


def test_the_chart_is_that_of_the_chosen_joint(given):
    one = given(given_page(wave(drawings=16))).ready()
    for joint in ("wrist", "elbow", "fingertips"):
        one.table.locator(f'.handle[data-joint="{joint}"]').focus()
        one.page.get_by_role("img", name=f"timing chart of {joint}").wait_for()


def test_nothing_is_changed_and_nothing_is_kept(given):
    one = given(given_page(faulty())).ready()
    before = one.places()
    box = one.table.locator('.handle[data-joint="wrist"]').bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    one.page.mouse.move(x, y)
    one.page.mouse.down()
    one.page.mouse.move(x + 60, y + 40, steps=4)
    one.page.mouse.up()
    for key in ("ArrowUp", "ArrowDown", "Alt+ArrowUp", "Shift+ArrowDown", "Control+z", "Control+y", "x", "t", "1", "w"):
        one.page.keyboard.press(key)
    assert np.allclose(before, one.places())
    assert 0 == one.page.evaluate("localStorage.length + sessionStorage.length + document.cookie.length")


def test_a_copy_can_be_drawn_on(given, tmp_path):
    action = faulty().replace(title='wave "the boat" in/../<b>', by="\u202eAda")
    one = given(given_page(action)).ready().press("more")
    with one.page.expect_download() as download:
        one.press("keep a copy")
    assert re.fullmatch(r"[\w.]+\.json", download.value.suggested_filename)
    download.value.save_as(tmp_path / "copy.json")
    assert action_file.dumps(action) == action_file.dumps(action_file.read(tmp_path / "copy.json"))


# ---- what the rules found --------------------------------------------------------------


def test_a_fault_is_told_of_on_its_drawing_with_its_correction(given):
    action = faulty()
    cause = check(action).causes[0]
    words = words_on(action, check(action), comment="Come and see me.")
    one = given(given_page(action, words=words, guide=True)).ready().at(drawing=12)
    assert one.voice().startswith(cause.called or cause.head)
    assert one.table.locator(".ghosts .ghost").is_visible()
    heads = one.page.locator(".words h2").all_inner_texts()
    assert ["What went well", "One thing to try", "Besides"] == heads
    one.page.keyboard.press("w")
    one.at(guide="fresh", guide_joint="wrist")
    one.table.locator(".allowed").first.wait_for()
    one.page.keyboard.press("w")
    one.press("next drawing").press("to drawing 12").at(drawing=12)


def test_it_plays_large_on_asking(given):
    one = given(given_page(wave(drawings=16))).ready()
    assert "Every rule is kept." in one.voice()
    one.page.keyboard.press("Enter")
    one.at(done="true", showing=5)
    for name in ("save the moving picture", "how to hand it in"):
        assert 0 == one.page.get_by_role("button", name=name).count()
    one.page.keyboard.press("Escape")  # it stops
    one.page.keyboard.press("Escape")
    one.table.locator("xpath=self::*[not(@data-done)]").wait_for()


def test_a_lecture_is_gone_through_step_by_step_and_back(given):
    told = LECTURES["05_elbow"]()
    begin = told.replace(lecture=())
    one = given(given_page(told)).ready()
    on, back = range(len(told.lecture)), range(len(told.lecture) - 2, -1, -1)
    for way, key in ((on, "PageDown"), (back, "PageUp")):
        for at in way:
            if way is back or at:
                one.page.keyboard.press(key)
            step = told.lecture[at]
            one.at(drawing=step.drawing, verdict="fresh")
            one.table.get_by_text(f"step {at + 1} of {len(told.lecture)}").wait_for()
            after = np.concatenate([limb.drawings[step.drawing - 1] for limb in as_of(begin, told.lecture, at).limbs])
            assert np.allclose(after, one.places(), atol=0.06), at
    one.page.get_by_label("step of the lecture").select_option(index=len(told.lecture) - 1)
    one.table.get_by_text(f"step {len(told.lecture)} of").wait_for()
    assert ("Every rule is kept." in one.voice()) == check(as_of(begin, told.lecture, len(told.lecture) - 1)).passed
    one.page.keyboard.press("w")
    one.at(guide="fresh")


# ---- nothing else runs ------------------------------------------------------------------


def ran(page):
    return page.evaluate("() => window.ran ?? null")


def test_whatever_a_file_holds_is_shown_as_text(given):
    action = faulty().replace(title=NASTY, by=NASTY)
    one = given(given_page(action, words=Words(NASTY, NASTY, NASTY, NASTY))).ready()
    assert ran(one.page) is None and 1 == len(one.asked)
    assert 0 == one.page.locator("img, a").count() and 2 == one.page.locator("script").count()
    seen = one.page.inner_text("body")
    assert 4 <= seen.count('<img src=x onerror="window.ran = 1">') and not re.search("[\0\u2028\u2029\u202e]", seen)


def test_names_and_notes_of_every_kind_are_shown(given):
    action = named()
    for text in (given_page(action.replace(lecture=())), given_page(action)):
        one = given(text).ready()
        one.table.locator(".handle").first.focus()
        assert ran(one.page) is None and 1 == len(one.asked)
        assert one.page.evaluate("document.documentElement.scrollWidth <= innerWidth")


TRIES = {  # what an intruder would try, in the page itself: each is refused, or does nothing
    "script": "document.body.append(Object.assign(document.createElement('script'), {text: 'window.ran = 1'}))",
    "innerHTML": "document.body.innerHTML = '<img src=x onerror=\"window.ran = 1\">'",
    "image": "new Promise(done => { const i = new Image(); i.onerror = i.onload = done; i.src = 'https://ferry.example/x.png'; })",
    "fetch": "fetch('https://ferry.example/x').catch(() => {})",
    "handler": "document.body.setAttribute('onclick', 'window.ran = 1'), document.body.click()",
    "style": "document.body.setAttribute('style', 'display: none')",
    "link": "Object.assign(document.body.appendChild(document.createElement('a')), {href: 'javascript:window.ran = 1'}).click()",
}


@pytest.mark.parametrize("way", TRIES)
def test_what_is_put_in_is_refused(given, way):
    one = given(given_page(wave(drawings=16))).ready()
    one.page.evaluate(f"async () => {{ try {{ await ({TRIES[way]}); }} catch {{ }} }}")
    one.page.evaluate("() => new Promise(requestAnimationFrame)")
    assert ran(one.page) is None
    assert one.table.is_visible()
    assert one.errors, "the browser said nothing of it"
    assert all(re.search("Content Security Policy|TrustedHTML|TrustedScript|Trusted Type", error) for error in one.errors), one.errors
    one.errors.clear()
    one.asked[:] = [url for url in one.asked if "ferry.example" not in url]  # playwright tells of those that were stopped too


def test_a_script_that_was_changed_does_not_run_and_picture_and_words_remain(given):
    text = given_page(faulty(), words=Words(comment="Come and see me."))
    changed = text.replace('"use strict";', '"use strict"; window.ran = 1;', 1)
    assert changed != text
    one = given(changed)
    assert ran(one.page) is None and 0 == one.table.count()
    assert one.page.locator("#still svg").is_visible()
    seen = one.page.inner_text("body")
    assert "locks at 12" in seen and "Come and see me." in seen
    assert ["Content Security Policy" in error for error in one.errors] == [True]
    one.errors.clear()


# ---- for everybody --------------------------------------------------------------------


def test_without_a_script_there_are_picture_and_words(given):
    one = given(given_page(LECTURES["05_elbow"]()), java_script_enabled=False)
    assert one.page.locator("#still svg").is_visible()
    assert len(LECTURES["05_elbow"]().lecture) == one.page.locator("#still li").count()


def test_on_paper_there_are_picture_and_words(given):
    one = given(given_page(faulty()), own=True).ready()
    assert one.page.locator("#still").is_hidden()
    one.page.emulate_media(media="print")
    assert one.page.locator("#still svg").is_visible() and one.table.is_hidden()
    assert "locks at 12" in one.page.locator("#still").inner_text()


def test_with_less_motion_nothing_plays_unasked(given):
    one = given(given_page(wave(drawings=16)), reduced_motion="reduce").ready()
    one.page.keyboard.press("Enter")
    one.at(done="true")
    assert one.table.get_attribute("data-showing") is None
    one.press("play").at(showing=5)


@pytest.mark.parametrize("what", ["fault", "lecture"])
def test_a_phone_has_it_one_under_another(given, what):
    text = given_page(LECTURES["05_elbow"]() if what == "lecture" else faulty(), words=Words(well="Lively."))
    one = given(text, width=390, height=844, has_touch=True).ready()
    assert 390 == one.page.evaluate("document.documentElement.scrollWidth")
    one.page.locator(".more-b").tap()
    one.page.get_by_role("region", name="more").wait_for()
    assert 390 == one.page.evaluate("document.documentElement.scrollWidth")


@pytest.mark.parametrize("width, height", [(1280, 720), (1366, 625), (LARGEST, 900), (1920, 1080)])
def test_sheet_and_buttons_are_seen_without_scrolling(given, width, height):
    for text in (given_page(wave(drawings=16)), given_page(LECTURES["05_elbow"]())):
        one = given(text, width=width, height=height).ready()
        box = one.page.get_by_role("button", name="play", exact=True).bounding_box()
        assert box["y"] + box["height"] <= height
        assert width == one.page.evaluate("document.documentElement.scrollWidth")


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("what", ["clean", "fault", "lecture"])
def test_axe_finds_nothing(given, what, theme):
    made = {"clean": wave, "fault": faulty, "lecture": LECTURES["05_elbow"]}[what]()
    one = given(given_page(made, words=Words("Ada", "Lively.", "Flip.", "Besides."), guide=True), color_scheme=theme).ready()
    for more in ("", "w", "?") if theme == "light" else ("",):  # what is on demand has the same colours in both
        if more:
            one.page.keyboard.press(more)
        assert [] == violations(one.page)


def test_data_and_page_say_the_same(given):
    """The page's own data, read by Python's parser and by the browser's."""
    text = given_page(faulty())
    one = given(text).ready()
    seen = one.page.evaluate("() => document.getElementById('given').textContent")
    assert json.loads(seen)["pose"]["drawings"][0] == faulty().limbs[0].drawings.tolist()
