"""The page of a class and the pages of its learners in a real browser: they need nothing beside them, and fit a laptop and a phone."""

import invented_class
import pytest

from anim_lessons.course.hand_ins.mark import given, mark


@pytest.fixture(scope="module")
def class_page(tmp_path_factory):
    """Where the page of a class of sixty is, with hostile entries in the folder."""
    top = tmp_path_factory.mktemp("class")
    folder, roster, _ = invented_class.lay_out(top)
    invented_class.hostile(folder)
    mark(folder, top / "marks", given("6"), roster, "2026-11-29")
    return (top / "marks" / "class.html").as_uri()


@pytest.mark.parametrize("width, height", [(1280, 720), (390, 800)])
def test_it_is_read_as_it_is(browser, class_page, width, height):
    page = browser.new_page(viewport={"width": width, "height": height})
    said, asked = [], []
    page.on("console", lambda message: said.append(message.text))
    page.on("dialog", lambda dialog: (said.append(dialog.message), dialog.dismiss()))
    page.on("request", lambda request: asked.append(request.url))
    page.goto(class_page)

    assert ([], [class_page]) == (said, asked)
    assert width == page.evaluate("document.documentElement.scrollWidth")      # what is wider scrolls in its own frame
    states = page.locator("td.state").all_inner_texts()
    assert 110 < len(states) and "not read" == states[0] and "done" == states[-1]
    assert 26 == states.count("done")
    assert ["What to show again", "Where the faults lie", "Also there"] == page.locator("h2").all_inner_texts()
    page.close()


def test_a_name_leads_to_a_page_with_drawings_correction_and_words(browser, class_page):
    context = browser.new_context(viewport={"width": 1280, "height": 720}, offline=True)
    page, said = context.new_page(), []
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else None)
    page.goto(class_page)
    row = page.locator("tr", has_text="The elbow locks at 13.").first
    name = row.locator("th").inner_text()
    row.locator("th a").click()
    table = page.locator(".anim-light-table[data-verdict=fresh][data-drawing='13']")
    table.wait_for()
    assert f"Wave the boat in {name}" == " ".join(page.locator("h1").inner_text().split())
    assert ["What went well", "One thing to try"] == page.locator("h2").all_inner_texts()
    assert table.locator(".ghost").first.is_visible() and "The elbow locks at 13." in table.locator(".voice").inner_text()
    page.keyboard.press("ArrowRight")
    page.locator(".anim-light-table[data-drawing='14']").wait_for()
    page.go_back()
    page.locator("tr", has_text="these are drawings of buoy").first.locator("th a").click()     # a page of words
    assert "Other work: these are drawings of buoy" in page.locator("main, body").first.inner_text()
    assert [] == said
    context.close()


@pytest.mark.parametrize("width", [390, 720])
def test_on_a_phone_and_on_paper_each_sentence_is_seen(browser, class_page, width):
    page = browser.new_page(viewport={"width": width, "height": 800})
    if width == 720:
        page.emulate_media(media="print")
    page.goto(class_page)
    page.locator("td.says").first.wait_for()
    right = page.evaluate("Math.max(...[...document.querySelectorAll('td.says')].map(cell => cell.getBoundingClientRect().right))")
    assert right <= width
    page.close()


def test_names_and_sentences_are_dark_enough(browser, class_page):
    """WCAG 2.2, 1.4.3: 4.5 to 1 for words; the formula for relative luminance from memory."""
    page = browser.new_page()
    page.goto(class_page)
    colours = page.evaluate("""() => {
      const found = new Set();
      for (const cell of document.querySelectorAll("th, td, small, p, li, h1, h2")) {
        let under = cell;
        while (under && getComputedStyle(under).backgroundColor === "rgba(0, 0, 0, 0)") under = under.parentElement;
        found.add(getComputedStyle(cell).color + "|" + getComputedStyle(under ?? document.body).backgroundColor);
      }
      return [...found];
    }""")

    def luminance(colour):
        parts = [int(part) / 255 for part in colour[4:-1].split(",")]
        r, g, b = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
        return 0.2126 * r + 0.7152 * g + 0.0722 * b

    assert 2 <= len(colours)
    for pair in colours:
        dark, light = sorted(map(luminance, pair.split("|")))
        assert 4.5 <= (light + 0.05) / (dark + 0.05), pair
    page.close()
