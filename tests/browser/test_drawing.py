"""Drawing on the light table: a real mouse and real keys on a real table in JupyterLab."""
import numpy as np
import pytest

from anim_lessons.ferry.actions import DEMOS, wave
from anim_lessons.geometry import limb


def turned(action, number):
    """Angle of each segment of a drawing against the clean wave's, degrees."""
    now, before = (limb.angles(a.limbs[0].drawings[number - 1]) for a in (action, wave()))
    return (now - before + 180) % 360 - 180


def test_dragging_the_wrist_swings_it_on_the_elbow_and_keeps_all_lengths(desk):
    desk.go(5)
    desk.drag("wrist", 40, 25)
    desk.ready()

    action = desk.action()
    assert limb.lengths(action.limbs[0].drawings) == pytest.approx(limb.lengths(wave().limbs[0].drawings), abs=0.01)
    upper, fore, hand = turned(action, 5)
    assert 0 == pytest.approx(upper, abs=0.01)
    assert abs(fore) > 5
    # Shift and trace: the hand hangs on the wrist at the angle it had on the paper.
    assert 0 == pytest.approx(hand, abs=0.05)
    rest = [i for i in range(16) if i != 4]
    assert np.array_equal(action.limbs[0].drawings[rest], wave().limbs[0].drawings[rest])


def test_the_wrist_lies_where_the_mouse_let_go_of_it(desk):
    desk.go(5)
    x, y = desk.centre(desk.handle("wrist"))
    ex, ey = desk.centre(desk.handle("elbow"))
    # A point on the circle round the elbow, 25 degrees on: what the arm's length allows.
    turn = np.exp(1j * np.radians(25)) * complex(x - ex, y - ey)
    desk.drag("wrist", ex + turn.real - x, ey + turn.imag - y)
    desk.ready()
    now = desk.centre(desk.handle("wrist"))
    assert (ex + turn.real, ey + turn.imag) == pytest.approx(now, abs=2)


def test_a_length_can_be_let_go(desk):
    desk.press("lengths kept")
    desk.go(5)
    desk.drag("wrist", 60, 60)
    desk.ready()
    change = limb.lengths(desk.action().limbs[0].drawings[4]) / wave().limbs[0].lengths
    assert abs(change[1] - 1) > 0.05
    assert ("length", "5") in desk.findings()
    desk.press("lengths kept")


def test_the_verdict_waits_while_the_hand_moves_and_is_fresh_with_the_same_revision_after(desk):
    desk.drag("wrist", 30, 10, release=False)
    assert "dragging" == desk.attribute("state")
    assert "waiting" == desk.attribute("verdict")
    desk.page.mouse.up()
    desk.ready()
    pose, verdict = desk.revisions()
    assert pose == verdict


def test_no_move_of_the_hand_is_lost(desk):
    """All along a drag the joint is where the mouse is, and in the end Python has what the screen has."""
    desk.go(5)
    x, y = desk.centre(desk.handle("fingertips"))
    desk.page.mouse.move(x, y)
    desk.page.mouse.down()
    for step in range(60):
        desk.page.mouse.move(x + step, y - step / 3)
    desk.page.mouse.up()
    desk.ready()
    seen = desk.places()["fingertips"]
    assert desk.action().limbs[0].drawings[4, 3].tolist() == pytest.approx(seen, abs=0.06)


def test_a_fault_is_named_at_its_drawing_and_dragging_onto_its_ghost_mends_it(desk):
    desk.lay("elbow-locks")
    assert ("opening", "13") == desk.findings()[0]
    desk.press("to drawing 13")
    desk.comes_to("[data-drawing='13']")
    assert "The elbow locks at 13." == desk.table.locator(".next").inner_text()
    assert "Swing the forearm 14° on, to the ghost." == desk.table.locator(".voice .says").first.inner_text()
    assert "forearm 14° on" == desk.table.locator(".measure text").text_content()  # one amount and one way
    land = desk.centre(desk.table.locator(".land"))
    x, y = desk.centre(desk.handle("wrist"))
    desk.drag("wrist", land[0] - x, land[1] - y)
    desk.ready()
    assert "The elbow locks at 13." not in desk.table.locator(".notes").text_content()


@pytest.mark.parametrize("demo", ["elbow-locks", "hand-grows", "hand-scoops", "drawing-hangs-back"])
def test_laying_a_drawing_on_its_ghost_removes_the_finding(desk, demo):
    desk.lay(demo)
    rule, drawings = desk.findings()[0]
    desk.press(f"to drawing {drawings}")
    desk.press("lay it on the ghost")
    desk.ready()
    assert (rule, drawings) not in desk.findings()
    desk.state("clean")
    desk.press("back to the drawings")
    desk.press("undo")
    desk.ready()
    assert (rule, drawings) == desk.findings()[0]


def test_a_fault_made_by_hand_is_found_where_it_was_made(desk):
    desk.go(4)
    desk.handle("fingertips").focus()
    for _ in range(60):
        desk.page.keyboard.press("ArrowDown")
    desk.ready()
    assert "4" in {drawings for _, drawings in desk.findings()}
    desk.state("findings")


def test_a_clean_loop_says_that_there_is_nothing_to_mend(desk):
    desk.lay("wave-loose")
    desk.state("clean")
    assert [] == desk.findings()
    assert "Every rule is kept. Play it on twos and watch the link-up, 16 into 1. play it" in desk.voice()


# ---- keys -------------------------------------------------------------------------------------


def test_everything_can_be_done_by_keys(desk):
    """A joint is reached by Tab, swung by arrows, let go by Escape; drawings are turned, traced, undone."""
    page = desk.page
    desk.table.focus()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("PageDown")
    assert "3" == desk.attribute("drawing")
    for _ in range(12):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.dataset.joint") == "wrist":
            break
    assert "wrist" == page.evaluate("document.activeElement.dataset.joint")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("Shift+ArrowUp")
    desk.ready()
    assert [0, 2.2, 0] == pytest.approx(turned(desk.action(), 3).tolist(), abs=0.02)
    page.keyboard.press("Control+z")
    desk.ready()
    assert [0, 0, 0] == pytest.approx(turned(desk.action(), 3).tolist(), abs=0.001)
    page.keyboard.press("Control+y")
    desk.ready()
    assert [0, 2.2, 0] == pytest.approx(turned(desk.action(), 3).tolist(), abs=0.02)


def test_a_drawing_is_put_wrong_and_mended_with_the_keyboard_alone(desk):
    keys, before = desk.page.keyboard, desk.action()
    desk.table.focus()
    for _ in range(12):
        keys.press("ArrowRight")
    while desk.page.evaluate("document.activeElement.dataset.joint") != "wrist":
        keys.press("Tab")
        assert desk.table.evaluate("table => table.contains(document.activeElement)")
    for _ in range(14):
        keys.press("ArrowDown")
    desk.ready()
    assert "13" in dict(desk.findings()).values() and not before.drawn_as(desk.action())
    keys.press("Enter")  # what the margin asks for: on the ghost with it
    desk.state("clean")
    apart = abs(desk.action().limbs[0].drawings - before.limbs[0].drawings).max()
    assert [] == desk.findings() and apart < 1.6  # mm: a correction is in whole degrees, forearm and hand are 87 mm


def test_left_and_right_turn_the_drawings_and_with_alt_move_a_root(desk):
    before = desk.action().limbs[0].drawings
    desk.handle("shoulder").focus()
    desk.page.keyboard.press("ArrowRight")
    assert "2" == desk.attribute("drawing")
    for key in ("Alt+ArrowRight", "Alt+ArrowRight", "Alt+ArrowUp"):
        desk.page.keyboard.press(key)
    desk.ready()
    assert [[2.0, 1.0]] * 4 == pytest.approx((desk.action().limbs[0].drawings[1] - before[1]), abs=0.01)


def test_keys_are_told_and_are_ten(desk):
    desk.table.focus()
    desk.page.keyboard.press("?")
    assert 10 == desk.table.locator(".keys kbd:visible").count()
    desk.page.keyboard.press("Escape")
    assert not desk.table.locator(".more").is_visible()


@pytest.mark.parametrize("leaves", ["x", "Escape"])
def test_after_a_press_on_correct_it_a_little_enter_and_x_are_heard(desk, leaves):
    desk.lay("elbow-locks")
    desk.go(13)
    before = desk.action()
    for key, same in ((leaves, True), ("Enter", False)):
        desk.table.locator(".other summary").click()
        desk.press("correct it a little")
        desk.comes_to("[data-step='1 of 1']")
        desk.page.keyboard.press(key)
        desk.comes_to(":not([data-step])")
        desk.ready()
        assert same == desk.action().drawn_as(before), key
        if same:
            desk.table.locator("[data-row='13']").first.click()  # the mark speaks again


@pytest.mark.parametrize("keys", [["b", "a", "x", "d", "d"], ["Enter"], ["ArrowUp", "ArrowDown"], ["Delete", "z", "c", "v"]])
def test_keys_pressed_at_the_table_do_nothing_to_the_notebook(desk, keys):
    cells = "jupyterapp.shell.currentWidget.content.model.cells.length"
    before = desk.page.evaluate(cells)
    desk.handle("wrist").focus()
    for key in keys:
        desk.page.keyboard.press(key)
    assert before == desk.page.evaluate(cells)
    assert desk.page.evaluate("document.activeElement.closest('.anim-light-table') !== null")


def test_each_handle_is_named_for_those_who_hear_the_page(desk):
    for joint in ("shoulder", "elbow", "wrist", "fingertips"):
        assert f"{joint} of drawing 1" == desk.handle(joint).get_attribute("aria-label")
        assert "0" == desk.handle(joint).get_attribute("tabindex")


def test_every_drag_has_a_way_without_dragging(desk):
    """WCAG 2.2, 2.5.7: a joint is chosen by a press and moved by the buttons that then appear."""
    desk.go(5)
    desk.handle("wrist").click()
    desk.more()
    desk.table.locator(".nudge button:visible").last.click()
    desk.more(False)
    desk.ready()
    assert 1 == pytest.approx(abs(turned(desk.action(), 5)[1]), abs=0.05)


# ---- the stack ----------------------------------------------------------------------------------


def test_undo_and_redo_go_all_the_way(desk):
    places = [desk.places()]
    for joint, dx in (("elbow", 20), ("wrist", -25), ("fingertips", 30), ("shoulder", 15)):
        desk.drag(joint, dx, 10)
        desk.ready()
        places.append(desk.places())
    for expected in places[-2::-1]:
        desk.press("undo")
        assert expected == desk.places()
    for expected in places[1:]:
        desk.press("redo")
        assert expected == desk.places()
    desk.ready()
    assert desk.action().limbs[0].drawings[0, 3].tolist() == pytest.approx(places[-1]["fingertips"], abs=0.06)


def test_a_change_by_python_can_be_undone_in_the_page(desk):
    before = desk.places()
    desk.lay("wave-loose")
    assert before != desk.places()
    desk.press("undo")
    desk.ready()
    assert before == desk.places()
    assert np.array_equal(wave().limbs[0].drawings, desk.action().limbs[0].drawings)


def test_trace_previous_lays_the_drawing_before_on_this_one(desk):
    desk.go(1)
    desk.press("trace previous")
    desk.ready()
    drawings = desk.action().limbs[0].drawings
    assert np.array_equal(drawings[15], drawings[0])  # in a loop, 16 comes before 1


def test_going_through_the_stack(desk):
    seen = []
    for _ in range(17):
        seen.append(desk.attribute("drawing"))
        desk.press("next drawing")
    assert [str(n) for n in (*range(1, 17), 1)] == seen
    desk.press("previous drawing")
    assert "1" == desk.attribute("drawing")
    desk.until("print(table.number)", "1")
    desk.table.get_by_role("group", name="exposure sheet").get_by_role("button").nth(6).click()
    assert "7" == desk.attribute("drawing")


def test_the_drawing_before_is_held_up_while_the_key_is_down(desk):
    desk.go(5)
    desk.handle("wrist").focus()
    desk.page.keyboard.down("f")
    assert "4" == desk.attribute("showing")
    desk.page.keyboard.up("f")
    assert desk.attribute("showing") is None


PLAYED = """async frames => {
    const table = document.querySelector('.anim-light-table');
    const seen = [];
    await new Promise(done => {
        // The time of the frame in which a picture was put up, from the page's own timeline.
        const watch = new MutationObserver(() => {
            const now = document.timeline.currentTime;
            if (table.dataset.showing) seen.push([now, Number(table.dataset.showing)]);
            if (seen.length && now - seen[0][0] > frames * 1000 / 24) { watch.disconnect(); done(); }
        });
        watch.observe(table, {attributes: true, attributeFilter: ['data-showing']});
        [...table.querySelectorAll('button')].find(button => button.textContent === 'play').click();
    });
    [...table.querySelectorAll('button')].find(button => button.textContent === 'stop').click();
    return seen;
}"""


@pytest.mark.parametrize("exposure", [1, 2, (1, 3, 2, 1, 1, 4, 1, 1, 2, 1, 1, 1, 1, 1, 1, 1)])
def test_it_plays_at_its_exposure_24_frames_a_second(desk, exposure):
    """Every picture is put up in the frame in which its turn comes by the page's own clock: on a slow
    machine some are left out, none comes early. 24 frames a second: the rate of the file."""
    desk.run(f"table.action = table.action.replace(exposure={exposure})")
    desk.ready()
    seen = desk.page.evaluate(PLAYED, 2 * (sum(exposure) if isinstance(exposure, tuple) else 16 * exposure))
    turns = [n for n, frames in enumerate(desk.action().exposures, 1) for _ in range(frames)]
    began = seen[0][0]
    assert 1 == seen[0][1]
    assert len({number for _, number in seen}) >= 4
    for now, number in seen:
        # A frame's time is rounded by the browser, so a picture on the very edge may count to either side.
        frame = (now - began) * 24 / 1000
        assert number in {turns[int(frame + edge) % len(turns)] for edge in (-0.01, 0.01)}


def test_starting_in_the_middle_shows_the_link_up(desk):
    desk.press("from the middle")
    seen = desk.page.evaluate(PLAYED, 8)
    assert 9 == seen[0][1]
    desk.press("from the middle")


def test_exposure_is_set_for_all_and_for_one(desk):
    desk.press("on ones")
    desk.ready()
    assert 1 == desk.action().exposure
    desk.go(3)
    desk.more()
    desk.table.get_by_role("button", name="sheet in full").click()
    desk.table.get_by_role("button", name="hold drawing 3 one frame more").click()
    desk.table.get_by_role("button", name="back", exact=True).click()
    desk.more(False)
    desk.ready()
    assert (1, 1, 2) + (1,) * 13 == desk.action().exposure
    desk.press("on twos")
    desk.ready()
    assert 2 == desk.action().exposure


def test_two_arms_are_drawn_and_each_can_be_dragged(desk):
    desk.lay("two-arms")
    assert 8 == desk.table.locator("[data-limb][data-joint]").count()
    x, y = desk.centre(desk.handle("wrist", "far arm"))
    desk.page.mouse.move(x, y)
    desk.page.mouse.down()
    desk.page.mouse.move(x - 30, y + 20, steps=5)
    desk.page.mouse.up()
    desk.ready()
    near, far = desk.action().limbs
    assert np.array_equal(DEMOS["two-arms"]().limbs[0].drawings, near.drawings)
    assert not np.array_equal(DEMOS["two-arms"]().limbs[1].drawings[0], far.drawings[0])


@pytest.mark.parametrize("demo", ["buoy", "lantern"])
def test_short_limbs_can_be_drawn_too(desk, demo):
    desk.lay(demo)
    joint = DEMOS[demo]().limbs[0].joints[-1]
    desk.drag(joint, 12, -15)
    desk.ready()
    drawn, given = desk.action().limbs[0].drawings[0], DEMOS[demo]().limbs[0].drawings[0]
    assert not np.array_equal(drawn, given)
    assert limb.lengths(drawn) == pytest.approx(limb.lengths(given), abs=0.01)


# ---- saving ------------------------------------------------------------------------------------------


def test_what_is_drawn_is_saved_by_itself(desk):
    desk.drag("wrist", 35, 0)
    desk.ready()
    saved = desk.saved()
    assert np.array_equal(desk.action().limbs[0].drawings, saved.limbs[0].drawings)
    assert turned(saved, 1)[1] != pytest.approx(0, abs=1)


def test_a_pose_that_is_no_drawing_is_refused_in_words(desk):
    before = desk.places()
    desk.page.evaluate("""async () => {
        const panel = jupyterapp.shell.currentWidget;
        const id = await (async () => {
            for (const cell of panel.content.model.cells) {
                for (const output of cell.outputs?.toJSON?.() ?? []) {
                    const view = output.data?.['application/vnd.jupyter.widget-view+json'];
                    if (view) return view.model_id;
                }
            }
        })();
        const kernel = panel.sessionContext.session.kernel;
        const comm = [...kernel._comms.values()].find(comm => comm.commId === id);
        comm.send({method: 'update', state: {pose: {revision: 999, exposure: 2, drawings: [[[['a', 1]]]]}}, buffer_paths: []});
    }""")
    desk.says("It was not taken")
    desk.ready()
    assert before == desk.places()
    pose, verdict = desk.revisions()
    assert pose == verdict
    assert int(pose) > 999
