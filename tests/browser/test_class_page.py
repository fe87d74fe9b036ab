"""The page of a class in a real browser: it needs nothing beside it, runs nothing, and fits a laptop and a phone."""

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
