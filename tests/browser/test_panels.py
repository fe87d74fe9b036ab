"""The panels to see and to break, in JupyterLab."""
from readers import violations

from anim_lessons.ferry import starts

SEE = ("from anim_lessons import lessons", "panel = lessons.model_loop(); table = panel.table", "panel")
BREAK = ("from anim_lessons import lessons", "panel = lessons.fault_gallery(['hand-scoops', 'elbow-locks']); table = panel.table", "panel")
HOMEWORK = ("from anim_lessons import lessons", 'table = lessons.light_table("wave.json", start="elbow-locks"); table',
            'lessons.verdict("wave.json")')


def test_the_model_follows_its_sliders_by_mouse_and_by_key(new_desk):
    desk = new_desk(cells=SEE)
    assert "16" == desk.attribute("drawings")
    slider = desk.page.get_by_role("slider", name="drawings in the loop")
    slider.focus()
    desk.page.keyboard.press("ArrowRight")
    desk.page.keyboard.press("ArrowRight")
    desk.comes_to("[data-drawings='18']")
    desk.ready()
    desk.page.get_by_role("slider", name="elbow lags by").fill("0")
    desk.table.locator("[data-rule='overlap']").first.wait_for(state="attached")
    desk.ready()
    assert [] == violations(desk.page, ".anim-sliders")
    assert [] == list(desk.folder.glob("*.json"))  # a model saves nothing


def test_the_gallery_shows_the_finding_once_it_is_asked_for(new_desk):
    desk = new_desk(cells=BREAK)
    assert [] == desk.findings()
    assert "Which drawing is wrong" in desk.table.inner_text()
    assert "nothing to mend" not in desk.table.inner_text()
    desk.page.get_by_role("button", name="show what is wrong").click()
    desk.table.locator("[data-rule='drag']").first.wait_for(state="attached")
    desk.page.get_by_role("button", name="next loop").click()
    desk.table.locator("[data-rule]").first.wait_for(state="detached")
    assert desk.table.locator("button.undo").is_disabled()     # the last loop does not come back
    desk.page.get_by_role("button", name="show what is wrong").click()
    desk.table.locator("[data-rule='opening']").first.wait_for(state="attached")
    assert [] == violations(desk.page, ".anim-light-table")


def test_a_check_cell_fails_in_one_line_and_passes_once_the_drawing_is_mended(new_desk):
    desk = new_desk(cells=HOMEWORK)
    output = desk.page.locator(".jp-OutputArea").last
    output.get_by_text("FAIL  opening — The elbow locks at 13.").wait_for()
    output.get_by_text("RulesBroken: not yet: spacing, opening.").wait_for()
    assert "Traceback" not in output.inner_text()
    desk.drag("wrist", 1, 4)  # it is touched, so the note comes with its ghost
    desk.ready()
    while desk.findings():
        desk.table.press("Enter")   # to the drawing, or the ghost laid on
        desk.ready()
    desk.command("notebook:run-all-cells")
    desk.idle()
    output.get_by_text("PASS  all rules kept").wait_for()


def test_a_place_on_the_map_is_chosen_by_pointer_and_by_key_and_the_drawings_follow(new_desk):
    desk = new_desk(cells=("from anim_lessons import lessons",
                           "panel = lessons.hanging_map('pennant', side=6); table = panel.table", "panel"))
    chart = desk.page.locator(".anim-lag-map")
    before = desk.table.locator("[data-joint='tip']").get_attribute("transform")
    chart.locator("rect[data-row='5'][data-column='0']").click()
    desk.page.locator(".anim-lag-map[data-row='5'][data-column='0']").wait_for()
    desk.page.wait_for_function("before => document.querySelector('[data-joint=tip]').getAttribute('transform') !== before",
                                arg=before)
    desk.ready()
    chart.locator("svg").focus()
    desk.page.keyboard.press("ArrowRight")
    desk.page.locator(".anim-lag-map[data-row='5'][data-column='1']").wait_for()
    assert "swings 4.0 a second" in chart.inner_text()
    assert [] == violations(desk.page, ".anim-lag-map")


GIVEN = ("from anim_lessons import lessons", "table = lessons.light_table('mine.json', start='elbow-locks')", "table")


def test_drawings_given_with_a_fault_are_looked_at_before_anything_is_said(new_desk):
    desk = new_desk(cells=GIVEN)
    desk.says("Look first.")
    assert "untouched" == desk.attribute("state") and "elbow locks" not in desk.voice()
    assert 0 == desk.table.locator(".rows .mark.cause:visible").count()
    desk.press("show what is wrong")
    desk.state("findings")
    assert desk.voice().startswith("The elbow locks at 13.")


def test_who_begins_to_draw_is_told_at_once(new_desk):
    desk = new_desk(cells=GIVEN)
    desk.says("Look first.")
    desk.handle("wrist").focus()
    desk.page.keyboard.press("ArrowUp")
    desk.ready()
    assert "Look first." not in desk.voice() and desk.table.locator(".rows .mark.cause:visible").count()


HALF = ("from anim_lessons import lessons; from anim_lessons.ferry import starts",
        "table = lessons.light_table('mine.json', start=starts.STARTS['09_two_arms']())", "table")


def test_the_goal_is_the_arm_that_is_not_drawn(new_desk):
    """The near arm is good and stays: the first step of the goal line is the far arm's elbow."""
    desk = new_desk(cells=HALF)
    steps = desk.table.locator(".goal .step")
    assert 3 == steps.count() and "Elbows" in steps.first.inner_text()
    steps.first.click()
    desk.comes_to("[data-layer='elbow']")
    assert "far arm" == desk.table.locator(".handle.chosen").get_attribute("data-limb")
    before = desk.action()
    desk.page.keyboard.press("w")
    desk.comes_to("[data-guide='fresh'][data-guide-joint='elbow']")
    assert desk.action().drawn_as(before)
    for i, joint in ((1, "wrist"), (2, "fingertips")):
        steps.nth(i).click()
        desk.comes_to(f"[data-layer='{joint}']")


def test_a_move_too_short_to_count_is_said_where_something_is_to_be_drawn(new_desk):
    """Two pixels are a press that trembled. Who meant them as a drawing would wait for it in vain."""
    desk = new_desk(cells=("from anim_lessons import lessons; from anim_lessons.ferry import starts",
                           "table = lessons.light_table('mine.json', start=starts.STARTS['05_elbow']())", "table"))
    said = desk.table.locator(".voice")
    for joint, by, told in (("elbow", 2, False), ("wrist", 0, False), ("wrist", 2, True)):
        desk.drag(joint, 0, by)
        assert told == ("too short to count: carry the wrist farther" in said.inner_text()), (joint, by)
    assert desk.action().drawn_as(starts.STARTS["05_elbow"]())
    desk.drag("wrist", 0, 12)
    desk.ready()
    assert "too short" not in said.inner_text()


def test_between_two_shoulders_lies_the_body(new_desk):
    """Its neck stands between the two, whichever way the arms point."""
    desk = new_desk("two-arms")
    near, far = (desk.centre(desk.handle("shoulder", limb).locator(".knob"))[0] for limb in ("near arm", "far arm"))
    neck = desk.table.locator(".body path").nth(2).bounding_box()
    assert far < neck["x"] + neck["width"] / 2 < near
    assert neck["width"] < 0.5 * (near - far)


def test_what_a_cell_puts_out_opens_below_it_and_is_seen(new_desk):
    """A browser that held on to what lies under the cell would push the picture off the screen."""
    desk = new_desk(cells=("from anim_lessons import lessons, pictures; from anim_lessons.ferry import actions", "table = lessons.light_table('wave.json', start='wave')",
                           "table", "pictures.path_of_action(actions.wave())", "1", "2", "3"))
    desk.page.evaluate("""async () => {
        await jupyterapp.commands.execute('notebook:clear-all-cell-outputs');
        for (const [place, run] of [[2, 'notebook:run-cell-and-select-next'], [3, 'notebook:run-cell-and-select-next']]) {
            jupyterapp.shell.currentWidget.content.activeCellIndex = place;
            await jupyterapp.commands.execute(run);
        }
    }""")
    picture = desk.page.locator(".jp-OutputArea img:not(.anim-still *)").first  # the table's still one is hidden
    picture.wait_for()
    frame, box = (part.bounding_box() for part in (desk.page.locator(".jp-WindowedPanel-outer").first, picture))
    assert box["y"] >= frame["y"]
