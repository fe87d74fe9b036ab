"""How the light table looks and who can use it: sizes, themes, contrast, targets, assistive technology.

References: WCAG 2.2 (W3C), success criteria 1.4.3 contrast of text, 1.4.11 contrast of what is not text,
2.5.8 target size; the formula of relative luminance from its glossary. axe-core for the rest.
"""
import re

import pytest
import readers
from readers import contrast, luminance

TABLE = ".anim-light-table"


@pytest.fixture
def faulty(desk):
    desk.lay("elbow-locks")
    desk.go(13)
    return desk


@pytest.fixture
def dark(desk):
    theme = "theme => jupyterapp.commands.execute('apputils:change-theme', {theme})"
    desk.page.evaluate(theme, "JupyterLab Dark")
    desk.page.locator("[data-jp-theme-light='false']").first.wait_for(state="attached")
    yield desk
    desk.page.evaluate(theme, "JupyterLab Light")
    desk.page.locator("[data-jp-theme-light='true']").first.wait_for(state="attached")


def size(desk, width, height):
    """Give the page another size, and wait until the table has taken it up."""
    desk.page.set_viewport_size({"width": width, "height": height})
    # On a busy machine the notebook takes a few frames to give the table its place.
    desk.table.evaluate("""table => new Promise(done => {
        let alike = 0, before = -1;
        const look = () => {
            const { width, height } = table.getBoundingClientRect(), now = width + height;
            alike = now === before ? alike + 1 : 0;
            before = now;
            if (alike < 10) requestAnimationFrame(look); else done();
        };
        look();
    })""")
    desk.table.scroll_into_view_if_needed()


# ---- sizes --------------------------------------------------------------------------------------


def test_on_a_laptop_the_table_is_seen_whole(faulty):
    """1280 x 720, under the notebook's own bars and with the side bar folded away."""
    faulty.handle("wrist").click()  # with the buttons of the chosen joint, which need the most room
    faulty.table.evaluate("table => table.scrollIntoView({block: 'end'})")
    box = faulty.table.bounding_box()
    frame = faulty.page.locator(".jp-WindowedPanel-outer").first.bounding_box()
    assert frame["x"] <= box["x"]
    assert box["x"] + box["width"] <= frame["x"] + frame["width"]
    assert box["height"] <= frame["height"]
    for part in (".drawing", ".expo", ".voice", ".chart", ".bar", ".more-b"):
        inside = faulty.table.locator(part).bounding_box()
        assert box["x"] <= inside["x"]
        assert inside["x"] + inside["width"] <= box["x"] + box["width"] + 1


def test_on_a_low_laptop_the_sentence_the_sheet_and_all_buttons_are_seen_together(faulty):
    """A screen of 1366 x 768, of which a browser's own bars leave 625."""
    size(faulty, 1366, 625)
    box = faulty.table.bounding_box()
    assert box["height"] <= faulty.page.locator(".jp-WindowedPanel-outer").first.bounding_box()["height"]
    smallest = faulty.table.evaluate("""table => Math.min(...[...table.querySelectorAll("button, select")].filter(b => b.offsetParent)
        .map(b => Math.min(b.offsetWidth, b.offsetHeight)))""")
    assert smallest >= 24       # WCAG 2.2, 2.5.8


def test_the_head_of_the_sheet_in_full_keeps_its_buttons_inside(faulty):
    faulty.more()
    faulty.table.get_by_role("button", name="sheet in full").click()
    sheet, last = (faulty.table.locator(part).first.bounding_box() for part in (".more", ".full .expohead button:last-child"))
    assert last["x"] + last["width"] <= sheet["x"] + sheet["width"]
    faulty.table.get_by_role("button", name="back", exact=True).click()
    faulty.more(False)


@pytest.mark.parametrize("width", [320, 800, 1024, 1280, 1920])
def test_nothing_is_wider_than_the_page(faulty, width):
    """320 px is 1280 px at 400 %: WCAG 2.2, 1.4.10 Reflow (from memory)."""
    size(faulty, width, 900)
    faulty.handle("wrist").focus()  # with the buttons that move it
    assert faulty.table.evaluate("table => table.scrollWidth <= table.clientWidth + 1")
    right = faulty.table.evaluate("table => table.getBoundingClientRect().right")
    for button in faulty.table.locator("button:visible").all():
        box = button.bounding_box()
        assert box["x"] + box["width"] <= right + 1, button.inner_text()


def test_at_800_px_a_joint_can_be_dragged_and_a_note_read(faulty):
    size(faulty, 800, 900)
    assert faulty.table.locator(".drawing").bounding_box()["width"] > 480
    assert "The elbow locks at 13." == faulty.table.locator(".next").inner_text()
    before = faulty.places()
    faulty.drag("wrist", 20, 10)
    faulty.ready()
    assert before["wrist"] != faulty.places()["wrist"]


def test_for_the_back_of_the_class_all_is_larger(faulty):
    size(faulty, 1920, 1080)
    type_size = "table => parseFloat(getComputedStyle(table.querySelector('.next')).fontSize)"
    before, sheet = faulty.table.evaluate(type_size), faulty.table.locator(".drawing").bounding_box()["width"]
    faulty.press("larger")
    faulty.comes_to("[data-lecture]")
    assert faulty.table.evaluate(type_size) > 1.3 * before
    assert faulty.table.locator(".drawing").bounding_box()["width"] > 0.95 * sheet
    assert faulty.table.evaluate("table => table.scrollWidth <= table.clientWidth + 1")
    faulty.press("larger")


def test_more_drawings_than_rows_scroll_and_keep_their_targets(desk):
    desk.run("from anim_lessons.ferry.actions import wave; table.action = wave(48)")
    desk.ready()
    rows = desk.table.get_by_role("group", name="exposure sheet", exact=True).get_by_role("button")
    assert 48 == rows.count()
    assert rows.first.bounding_box()["height"] >= 24
    desk.go(40)
    box, seen = rows.nth(39).bounding_box(), desk.table.locator(".expo .rows").bounding_box()
    assert seen["y"] - 1 <= box["y"]
    assert box["y"] + box["height"] <= seen["y"] + seen["height"] + 1


def test_labels_on_the_sheet_do_not_lie_on_one_another(faulty):
    """Numbers, tabs, names: no two texts of the sheet cover each other."""
    overlaps = faulty.table.evaluate("""table => {
        const texts = [...table.querySelectorAll('.drawing text')].filter(text => text.textContent.trim()
            && text.getClientRects().length && text.checkVisibility({visibilityProperty: true}));
        const boxes = texts.map(text => [text.textContent, text.getBoundingClientRect()]);
        const found = [];
        boxes.forEach(([a, p], i) => boxes.slice(i + 1).forEach(([b, q]) => {
            const wide = Math.min(p.right, q.right) - Math.max(p.left, q.left);
            const deep = Math.min(p.bottom, q.bottom) - Math.max(p.top, q.top);
            // A line box is taller than its digits: a third of it is air.
            if (wide > 2 && deep > 0.4 * Math.min(p.height, q.height)) found.push([a, b]);
        }));
        return found;
    }""")
    assert [] == overlaps


# ---- targets and contrast --------------------------------------------------------------------------


@pytest.mark.parametrize("width", [800, 1280, 1920])
def test_every_target_is_24_px_or_more(faulty, width):
    """WCAG 2.2, 2.5.8 Target Size (Minimum)."""
    size(faulty, width, 900)
    faulty.handle("wrist").click()
    small = faulty.table.evaluate("""table => [...table.querySelectorAll('button, [role=button], [role=slider], a[href]')]
        .filter(target => target.checkVisibility({visibilityProperty: true}))
        .map(target => [target.textContent || target.getAttribute('aria-label'), target.getBoundingClientRect()])
        .filter(([, box]) => Math.min(box.width, box.height) < 23.99)
        .map(([name, box]) => [name, box.width, box.height])""")
    assert [] == small


def test_the_formula_gives_known_ratios():
    """Black on white is 21 by definition; #767676 on white is the well-known grey that just passes 4.5."""
    assert 21 == pytest.approx(contrast((0, 0, 0), (255, 255, 255)))
    assert 4.5422 == pytest.approx(contrast((0x76,) * 3, (255,) * 3), abs=1e-4)


PAIRS = [("ink", "paper", 4.5), ("ink", "desk", 4.5), ("mid", "paper", 4.5), ("mid", "desk", 4.5),
         ("accent", "paper", 4.5), ("accent", "desk", 3), ("light", "paper", 3), ("light", "desk", 3)]


def colours(desk):
    """The palette as the browser computes it, by name."""
    found = desk.table.evaluate("""table => {
        const probe = document.createElement('i');
        table.append(probe);
        const found = {};
        for (const name of ['ink', 'mid', 'light', 'paper', 'desk', 'accent']) {
            probe.style.color = `var(--${name})`;
            found[name] = getComputedStyle(probe).color;
        }
        probe.remove();
        return found;
    }""")
    return {name: tuple(map(int, re.findall(r"\d+", value)[:3])) for name, value in found.items()}


def test_contrast_of_the_palette_in_light_and_dark(desk, request):
    """WCAG 2.2, 1.4.3 (text, 4.5) and 1.4.11 (lines that mean something, 3)."""
    light = colours(desk)
    dark = colours(request.getfixturevalue("dark"))
    assert luminance(light["paper"]) > 0.9
    assert luminance(dark["paper"]) < 0.1  # a white sheet would glare in a darkened room
    for theme in (light, dark):
        for one, other, least in PAIRS:
            assert contrast(theme[one], theme[other]) >= least, (one, other)


# ---- axe-core ------------------------------------------------------------------------------------------


def violations(desk, where=TABLE):
    return readers.violations(desk.page, where)


def test_axe_finds_nothing_on_a_clean_table(desk):
    assert [] == violations(desk)


def test_axe_finds_nothing_with_a_note_open_a_joint_chosen_and_the_keys_told(faulty):
    faulty.handle("wrist").click()
    assert [] == violations(faulty)
    faulty.more()
    assert [] == violations(faulty)
    faulty.table.get_by_role("button", name="sheet in full").click()
    assert [] == violations(faulty)
    faulty.table.get_by_role("button", name="back", exact=True).click()
    faulty.table.get_by_role("button", name="keys and care").click()
    assert [] == violations(faulty)
    faulty.more(False)


def test_axe_finds_nothing_in_the_dark(dark):
    dark.lay("hand-scoops")
    assert [] == violations(dark)


def test_legend_and_chart_stand_beside_the_sheet(faulty):
    sheet = faulty.table.locator(".drawing").bounding_box()
    for part in (".legend", ".chart"):
        box = faulty.table.locator(part).bounding_box()
        assert box["x"] > sheet["x"] + sheet["width"], part


def test_the_usual_caution_is_on_the_table(desk):
    desk.table.press("?")
    words = desk.table.locator(".care").inner_text()
    assert "seizure" in words
    assert "doctor" in words
    desk.more(False)
