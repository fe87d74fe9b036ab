"""Glossary and progress in a real JupyterLab: read without running, at rest for who asks for less motion, links that lead on."""

import secrets

import pytest
from conftest import ARGUMENTS, CHROMIUM, notebook

from anim_lessons.course import glossary, workbook_copy
from anim_lessons.ferry.actions import scooped, wave
from anim_lessons.model import action_file

NO_TEST_RUN = "import os; [os.environ.pop(name, None) for name in ('PYTEST_CURRENT_TEST', 'PYTEST_VERSION')]"


@pytest.fixture
def workbook(lab):
    """A learner's copy of the workbook, on the server."""
    folder = lab.root / f"course-{secrets.token_hex(3)}"
    workbook_copy.copy(workbook_copy.source(), folder)
    return folder


def pictures_seen(page, picture):
    """What a moving picture shows in a second and a half, a drawing lasting a quarter: no clock but the page's own."""
    begun = page.evaluate("document.timeline.currentTime")
    seen = set()
    for after in range(0, 1600, 300):
        page.wait_for_function("time => document.timeline.currentTime >= time", arg=begun + after)
        seen.add(picture.screenshot())
    return len(seen)


def test_the_glossary_is_read_and_moves_before_anything_is_run(opened, workbook):
    """As it comes from the workbook: JupyterLab does not trust it yet, and takes out of it what could run."""
    desk = opened(f"{workbook.name}/glossary.ipynb")
    picture = desk.page.locator("img[alt='drag, moving']")
    picture.scroll_into_view_if_needed()

    assert 0 < picture.evaluate("picture => picture.decode().then(() => picture.naturalWidth)")
    # JupyterLab lays a row out when it comes into view.
    desk.page.locator("tr", has=picture).get_by_text("What hangs from a joint comes behind it").wait_for()
    assert 2 <= pictures_seen(desk.page, picture)


def test_who_asks_for_less_motion_sees_pictures_that_stand_still(browser):
    """The wish of the whole system, which is what reaches a picture; it is not the one a page may be told to pretend."""
    shown = glossary.Shown(glossary.TERMS[name] for name in ("drag", "flutter", "half stack"))
    for wish, moves in (["--force-prefers-reduced-motion"], False), ([], True):
        calm = browser.browser_type.launch(executable_path=CHROMIUM, args=[*ARGUMENTS, *wish])
        page = calm.new_page()
        page.set_content(shown._repr_html_())
        page.evaluate("() => Promise.all([...document.images].map(picture => picture.decode()))")
        seen = pictures_seen(page, page)
        calm.close()

        assert moves == (seen > 1)


def test_a_check_is_noted_in_plain_sight_and_the_table_leads_to_what_comes_next(opened, workbook):
    (workbook / "homework" / "wave_the_boat_in.json").write_bytes(action_file.dumps(scooped(wave())))
    notebook(workbook / "homework" / "mine.ipynb", NO_TEST_RUN, "from anim_lessons import lessons; from anim_lessons.course.notebook import RulesBroken",
             "try: lessons.verdict('wave_the_boat_in.json', '06_looping_arm.toml', 'start/wave_the_boat_in.json')\n"
             "except RulesBroken: pass", "lessons.progress()")

    desk = opened(f"{workbook.name}/homework/mine.ipynb", own_kernel=True).run_all()
    row = desk.page.locator("tr", has=desk.page.get_by_role("link", name="6 The looping arm"))

    assert "ALMOST  one thing is left: the drag at" in desk.page.locator(".jp-OutputArea").all_inner_texts()[2]
    assert ["almost", "drag"] == [row.locator("td").nth(n).inner_text() for n in (1, 3)]
    assert "  06_looping_arm  almost  drag\n" in (desk.folder.parent / "my_progress.txt").read_text("utf-8")

    row.get_by_role("link").click()
    desk.page.wait_for_function("jupyterapp.shell.currentWidget?.context?.path?.endsWith('homework/06_looping_arm.ipynb')")
