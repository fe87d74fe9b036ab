"""A lecture recorded and followed in JupyterLab, by keyboard alone, and over the whole page of a small projector."""
import pytest
from readers import violations

from anim_lessons.assist import lecture
from anim_lessons.ferry.looping_arm import looping_arm
from anim_lessons.model import action_file

RECORD = ("from anim_lessons import lessons",
          "panel = lessons.record('lecture.json', start='wave'); table, strip = panel.table, panel.strip", "panel")
FOLLOW = ("from anim_lessons import lessons",
          "panel = lessons.follow('lecture.json'); table, strip = panel.table, panel.strip", "panel")


def given(folder):
    (folder / "lecture.json").write_bytes(action_file.dumps(looping_arm()))


def strip(desk, **data):
    """Wait until the strip is fresh and says this of itself."""
    wanted = "".join(f"[data-{name}='{value}']" for name, value in data.items())
    found = desk.page.locator(f".anim-strip[data-state='fresh']{wanted}")
    found.wait_for()
    return found


def take(desk, what):
    """Put the focus there for good: a notebook that has just run moves it once more when it is done."""
    desk.page.wait_for_function("""what => {
        const node = document.querySelector(what);
        node.held = document.activeElement === node ? (node.held ?? 0) + 1 : 0;
        node.focus();
        return node.held > 20;
    }""", arg=what, polling="raf")


def told(desk):
    return [(step.drawing, step.joint, step.says) for step in desk.action().lecture]


@pytest.fixture
def recorder(new_desk):
    return new_desk(cells=RECORD)


@pytest.fixture
def follower(new_desk):
    return new_desk(cells=FOLLOW, prepare=given)


def test_a_lecture_is_recorded_by_keyboard_alone(recorder):
    desk, keys = recorder, recorder.page.keyboard
    take(desk, ".anim-strip textarea")
    keys.type("The elbow leads.")
    keys.press("F8")                                   # to the table
    keys.press("ArrowRight")
    desk.comes_to("[data-drawing='2']")
    for _ in range(3):
        keys.press("ArrowUp")                          # the fingertips of 2 swing 3 degrees
    keys.press("F8")                                   # and back to the note
    keys.press("Control+Enter")
    strip(desk, steps=1)
    keys.type("And the hand trails.")
    keys.press("Control+Enter")
    strip(desk, steps=2)

    assert [(2, "fingertips", "The elbow leads."), (2, "fingertips", "And the hand trails.")] == told(desk)
    assert desk.action().limbs[0].drawings[1].tolist() == desk.action().lecture[0].points.tolist()
    desk.run("table.save()")
    assert 2 == len(action_file.read(desk.folder / "lecture.json").lecture)


def test_steps_are_gone_to_rewritten_moved_taken_out_and_undone(recorder):
    desk, keys = recorder, recorder.page.keyboard
    field = desk.page.locator(".anim-strip textarea")
    take(desk, ".anim-strip textarea")
    for count, text in enumerate(("a", "b", "c"), start=1):
        field.focus()
        keys.type(text)
        keys.press("Control+Enter")
        strip(desk, steps=count)
    keys.type("a draft")
    keys.press("Alt+PageUp")
    strip(desk, editing=2)
    assert "b" == field.input_value()
    keys.press("End")
    keys.type("etter")
    keys.press("Alt+PageUp")
    strip(desk, editing=1)
    assert ["a", "better", "c"] == [says for *_, says in told(desk)]
    button = desk.page.locator(".anim-strip").get_by_role
    button("button", name="later", exact=True).click()
    strip(desk, editing=2)
    assert ["better", "a", "c"] == [says for *_, says in told(desk)]
    button("button", name="take out").click()
    strip(desk, steps=2)
    for _ in range(2):
        button("button", name="undo", exact=True).click()
    strip(desk, steps=3)
    assert ["a", "better", "c"] == [says for *_, says in told(desk)]
    button("button", name="new note").click()
    strip(desk)
    assert "a draft" == field.input_value()


def test_the_tables_letters_and_the_notes_do_not_meet(recorder):
    """A note full of letters that are keys of the table, typed in the field, turns nothing there."""
    desk, keys = recorder, recorder.page.keyboard
    before = desk.action()
    take(desk, ".anim-strip textarea")
    keys.type("tmrp12laoug?fwenb xdd")
    keys.press("Control+Enter")
    strip(desk, steps=1)
    assert before.drawn_as(desk.action()) and before.exposure == desk.action().exposure  # and no cell was cut or added:
    assert 3 == desk.page.evaluate("jupyterapp.shell.currentWidget.content.widgets.length")


def test_a_note_that_nobody_takes_comes_back_into_the_field(recorder):
    desk, keys = recorder, recorder.page.keyboard
    desk.page.evaluate("jupyterapp.shell.currentWidget.sessionContext.session.kernel.shutdown()")
    desk.state("kernel-gone")
    take(desk, ".anim-strip textarea")
    keys.type("It must not be lost.")
    keys.press("Control+Enter")
    desk.page.get_by_text("Nobody answers").wait_for()
    assert "It must not be lost." == desk.page.locator(".anim-strip textarea").input_value()


def listed(desk):
    """Open the list of steps, from its slim bar."""
    bar = desk.page.locator(".anim-strip .list-b")
    if bar.get_attribute("aria-expanded") == "false":
        bar.click()
    return desk.page.locator(".anim-strip .steps")


def test_the_number_of_the_next_step_is_that_under_which_it_is_recorded(new_desk):
    """Of a file with 36 steps it said "step 1", and recorded step 37."""
    desk = new_desk(cells=(RECORD[0], RECORD[1].replace(", start='wave'", ""), RECORD[2]), prepare=given)
    where, keys = desk.page.locator(".anim-strip .where"), desk.page.keyboard
    assert where.inner_text().startswith("Next: step 37,")
    take(desk, ".anim-strip textarea")
    keys.press("Control+Enter")
    strip(desk, steps=37, step=37)
    desk.page.get_by_text("Recorded as step 37").wait_for()
    assert where.inner_text().startswith("Next: step 38,")
    listed(desk).locator("[data-step='5']").click()
    strip(desk, step=5, editing=5)
    desk.page.get_by_role("button", name="new note").click()
    strip(desk, step=5)
    assert where.inner_text().startswith("Next: step 6,")     # after the one at hand
    desk.page.locator(".anim-strip").get_by_role("button", name="record").click()
    desk.page.get_by_text("Recorded as step 6:").wait_for()

    desk.page.get_by_role("button", name="empty strip").click()
    strip(desk, steps=0)
    assert where.inner_text().startswith("Next: step 1,") and [] == told(desk)
    assert "textarea" == desk.page.evaluate("document.activeElement.localName")
    desk.page.locator(".anim-strip").get_by_role("button", name="undo").click()
    strip(desk, steps=38)


def test_a_clicker_steps_whatever_has_the_focus(follower):
    """It sends Page Up and Page Down, and knows of no focus."""
    desk, keys = follower, follower.page.keyboard
    take(desk, ".anim-strip .read")
    keys.press("F9")
    desk.page.locator(".fills-the-page").wait_for()
    for place in ("document.activeElement.blur()", "document.querySelector('.anim-light-table').focus()",
                  "document.querySelector('.anim-light-table .play').focus()", "document.querySelector('.handle').focus()"):
        at = int(desk.page.locator(".anim-strip").get_attribute("data-step"))
        desk.page.evaluate(place)
        keys.press("PageDown")
        strip(desk, step=at + 1, asking="true")
        keys.press("PageDown")
        strip(desk, step=at + 1, asking="false")
    keys.press("PageUp")
    strip(desk, step=3, asking="false")


def test_while_the_class_is_asked_plan_dots_and_chart_are_not_shown(follower):
    desk, keys = follower, follower.page.keyboard
    take(desk, ".anim-strip .read")
    seen = ("[...document.querySelectorAll('.anim-light-table :is(.planned[d], circle.planned, .chart text, .asked-dot[data-asked])')]"
            ".filter(one => one.checkVisibility()).length")
    spoken = "[...document.querySelectorAll('.handle')].filter(one => /planned/.test(one.getAttribute('aria-valuetext'))).length"
    keys.press("PageDown")
    strip(desk, step=1, asking="true")
    desk.ready()
    assert (0, 0) == (desk.page.evaluate(seen), desk.page.evaluate(spoken))
    desk.page.wait_for_function("document.activeElement.dataset.joint === 'elbow'")
    keys.press("w")
    desk.page.locator("[data-allowed]").first.wait_for()
    assert 0 == desk.page.evaluate(seen)
    keys.press("PageDown")
    strip(desk, step=1, asking="false")
    desk.ready()
    desk.table.locator("circle.planned").first.wait_for()
    assert desk.page.evaluate(seen) > 12 and desk.page.evaluate(spoken) == 1  # of the joint at work alone


def test_the_class_steps_through_it_and_hears_what_is_said(follower):
    desk, keys = follower, follower.page.keyboard
    said = desk.page.locator(".anim-strip .read")
    take(desk, ".anim-strip .read")
    for number in range(1, 6):
        keys.press("PageDown")
        strip(desk, step=number, asking="true")
        assert f"Where may the elbow go on {number}, and why?" in said.inner_text()
        if number == 5:         # nothing of the answer is on the table
            assert desk.action().drawn_as(lecture.as_of(looping_arm(), looping_arm().lecture, 3))
            desk.comes_to("[data-drawing='5']")
            desk.page.wait_for_function("document.activeElement.dataset.joint === 'elbow'")
            keys.press("w")     # the joint is in hand, so the table's keys are heard
            desk.page.locator("[data-allowed]").first.wait_for()
        keys.press("PageDown" if number % 2 else "Alt+PageDown")
        strip(desk, step=number, asking="false")
    assert "5" == desk.attribute("drawing")
    assert desk.action().drawn_as(lecture.as_of(looping_arm(), looping_arm().lecture, 4))
    assert "the widest gap of all, 18\u00a0mm on from 4" in said.inner_text()
    assert "None" == desk.run("print(table.settings['guide'])")     # the circle is away: the step's sentence is the one voice
    keys.press("F8")
    assert desk.page.evaluate("document.activeElement.matches('.anim-strip .read')")
    keys.press("F8")
    assert "elbow" == desk.page.evaluate("document.activeElement.dataset.joint")
    keys.press("Alt+PageUp")
    strip(desk, step=4, asking="false")


def test_without_asking_each_step_is_shown_at_once_and_the_joint_follows(follower):
    desk, keys = follower, follower.page.keyboard
    desk.page.get_by_role("button", name="ask first").click()
    take(desk, ".anim-strip .read")
    for _ in range(5):
        keys.press("Alt+PageDown")
    strip(desk, step=5)
    desk.handle("elbow").focus()
    keys.press("ArrowUp")       # a hand at work on the elbow
    desk.ready()
    keys.press("Control+z")
    desk.ready()
    listed(desk).locator("[data-step='18']").click()
    strip(desk, step=18)
    desk.comes_to("[data-layer='wrist']")
    desk.page.wait_for_function("document.querySelector('.handle.chosen')?.dataset.joint === 'wrist'")
    assert "wrist" in desk.table.locator(".chart").text_content()


def test_the_sheet_does_not_move_under_the_hand(follower):
    """While a joint is dragged the words above change from two lines to one: the joint must end where the hand lets it go."""
    desk, page = follower, follower.page
    desk.page.get_by_role("button", name="ask first").click()
    take(desk, ".anim-strip .read")
    page.keyboard.press("F9")
    page.keyboard.press("Alt+PageDown")
    page.keyboard.press("Alt+PageDown")
    strip(desk, step=2)
    desk.ready()
    paper = desk.table.locator(".paper")
    x, y = desk.centre(desk.handle("elbow").locator(".knob"))
    lies = paper.bounding_box()
    page.mouse.move(x, y)
    page.mouse.down()
    for k in range(1, 9):
        page.mouse.move(x + 6 * k, y + 5 * k)
        page.wait_for_function("n => document.querySelector('.anim-light-table').dataset.state === 'dragging'", arg=k)
        assert lies == paper.bounding_box()
    page.mouse.up()


def test_f9_needs_no_click_first(follower):
    """The cell was run with the keyboard, and the focus is in the notebook."""
    desk, page = follower, follower.page
    take(desk, ".anim-strip .read")     # the notebook has done with the focus
    page.evaluate("document.activeElement.blur()")
    desk.page.locator(".anim-lecture-panel").evaluate("panel => panel.scrollIntoView()")
    page.keyboard.press("F9")
    page.locator(".anim-lecture-panel.fills-the-page").wait_for()
    page.keyboard.press("Alt+PageDown")
    strip(desk, step=1, asking="true")


def test_steps_pressed_faster_than_they_are_answered_are_all_taken(follower):
    desk, keys = follower, follower.page.keyboard
    take(desk, ".anim-strip .read")
    for _ in range(40):         # each is asked, then shown
        keys.press("Alt+PageDown")
    strip(desk, step=20, asking="false")


def test_what_a_learner_draws_meanwhile_stays(follower):
    desk, keys = follower, follower.page.keyboard
    before = (desk.folder / "lecture.json").read_bytes()
    listed(desk).locator("[data-step='5']").click()
    strip(desk, step=5)
    desk.handle("wrist").focus()
    for _ in range(4):
        keys.press("ArrowUp")
    desk.ready()
    mine = desk.action().limbs[0].drawings[4]
    listed(desk).locator("[data-step='6']").click()
    strip(desk, step=6)
    listed(desk).locator("[data-step='5']").click()
    strip(desk, step=5)
    assert mine.tolist() == desk.action().limbs[0].drawings[4].tolist()
    desk.page.get_by_text("Drawing 5 is your own and stays").wait_for()
    desk.table.locator(".unders path[d]").first.wait_for()
    desk.page.get_by_role("button", name="lay it over mine").click()
    strip(desk)
    desk.page.wait_for_function("document.activeElement.dataset.joint === 'elbow'")     # back at the table
    assert desk.action().limbs[0].drawings[4].tolist() == looping_arm().lecture[4].points.tolist()
    desk.press("undo")
    desk.ready()
    assert mine.tolist() == desk.action().limbs[0].drawings[4].tolist()
    desk.run("table.save()")
    assert before == (desk.folder / "lecture.json").read_bytes()
    assert (desk.folder / "my_lecture.json").exists()


@pytest.mark.parametrize("cells, prepare", [(RECORD, None), (FOLLOW, given)], ids=["recording", "following"])
def test_it_fills_the_page_of_a_projector_without_scrolling(new_desk, cells, prepare):
    """1280 by 720: sheet, buttons, steps, note and the strip's buttons lie in the window, in large type."""
    desk = new_desk(cells=cells, prepare=prepare)
    take(desk, ".anim-strip .note > *")
    desk.page.keyboard.press("F9")
    desk.page.locator(".anim-lecture-panel.fills-the-page").wait_for()
    desk.page.keyboard.press("Alt+PageDown")
    strip(desk)
    seen = (".anim-strip .where", ".anim-strip .note", ".anim-strip .list-b", ".anim-strip .row button:visible >> nth=-1",
            ".anim-light-table .sheet", ".anim-light-table .bar", ".anim-light-table .more-b")
    for what in seen:
        box = desk.page.locator(what).bounding_box()
        assert 0 <= box["x"] and box["x"] + box["width"] <= 1280, what
        assert 0 <= box["y"] and box["y"] + box["height"] <= 720, what
    assert "true" == desk.attribute("lecture")
    size = "node => parseFloat(getComputedStyle(node).fontSize)"
    assert desk.page.locator(".anim-strip .note > *").evaluate(size) >= 20
    assert desk.page.locator(".anim-strip").evaluate("node => node.scrollHeight <= node.clientHeight")
    desk.page.keyboard.press("F9")
    desk.page.locator(".anim-lecture-panel:not(.fills-the-page)").wait_for()


@pytest.mark.parametrize("cells, prepare", [(RECORD, None), (FOLLOW, given)], ids=["recording", "following"])
def test_nothing_of_the_strip_is_hidden_from_readers(new_desk, cells, prepare):
    desk = new_desk(cells=cells, prepare=prepare)
    take(desk, ".anim-strip .note > *")
    desk.page.keyboard.press("Control+Enter" if prepare is None else "Alt+PageDown")
    strip(desk, step=1)
    assert [] == violations(desk.page, ".anim-strip")


def test_the_body_stays_on_its_side_from_the_first_step_to_the_last(follower):
    """It went by where the arm was drawn, and changed sides in the middle of the lecture."""
    desk = follower
    where = "document.querySelector('.anim-light-table .body').dataset.facing"
    sides = []
    for step in (1, 18, 30, 36):
        listed(desk).locator(f"[data-step='{step}']").click()
        strip(desk, step=step)
        desk.ready()
        sides.append(desk.page.evaluate(where))
    assert ["1"] * 4 == sides
