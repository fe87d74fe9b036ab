"""A newcomer who goes where the guide is open draws a loop that keeps every rule; one who does not is told why, at each drawing.

Both have the shoulder's path, the first its elbows too, and what is left of one arm traced through all drawings; and nothing
but a mouse and Page Down.
"""
import math

import numpy as np
import pytest

from anim_lessons import check
from anim_lessons.ferry import actions
from anim_lessons.geometry.limb import angles, pose
from anim_lessons.model.action_file import dumps

CELLS = ("from anim_lessons import lessons", 'table = lessons.light_table("wave.json", start="start/wave.json")', "table")
LAYERS = (("elbow", "wrist"), ("wrist", "fingertips"))


def given(drawings, elbows):
    model = actions.wave(drawings)
    limb = model.limbs[0]
    traced = np.tile([72.0, 112.0, 112.0], (drawings, 1))
    if elbows:
        traced[:, 0] = angles(limb.drawings)[:, 0]
    return model.redrawn(pose(limb.drawings[:, 0], limb.lengths, traced).round(3))


@pytest.fixture
def newcomer(new_desk):
    def comes(drawings, elbows=False):
        def put(folder):
            (folder / "start").mkdir()
            (folder / "start" / "wave.json").write_bytes(dumps(given(drawings, elbows)))

        return new_desk(cells=CELLS, prepare=put).go(1)  # it opens on 2, for 1 may stay

    return comes


def guide_on(desk, joint):
    desk.handle(joint).focus()
    if desk.attribute("guide") == "off":
        desk.page.keyboard.press("w")


def told(desk, joint):
    """Wait until the guide answers for that joint on the drawing under work."""
    desk.comes_to(f"[data-guide='fresh'][data-guide-joint='{joint}']")
    return desk.table.evaluate("table => [...table.querySelectorAll('[data-allowed]')].map(arc => arc.dataset.allowed.split(' ').map(Number))")


def widest(allowed):
    """Middle of the widest open part; the two pieces of one that runs over 0 degrees are one."""
    parts = sorted(allowed)
    if len(parts) > 1 and parts[0][0] == 0 and parts[-1][1] == 360:
        parts = [*parts[1:-1], (parts[-1][0] - 360, parts[0][1])]
    start, end = max(parts, key=lambda part: part[1] - part[0])
    return (start + end) / 2


def drag_to(desk, parent, joint, angle):
    """Drag the joint round its parent to an angle, with the mouse."""
    (x, y), (px, py) = desk.table.evaluate("""(table, joints) => joints.map(joint => {
        const box = table.querySelector(`[data-joint="${joint}"] .knob`).getBoundingClientRect();
        return [box.x + box.width / 2, box.y + box.height / 2];
    })""", [joint, parent])
    far, turn = math.hypot(x - px, y - py), math.radians(angle)
    desk.page.mouse.move(x, y)
    desk.page.mouse.down()
    desk.page.mouse.move(px + far * math.cos(turn), py - far * math.sin(turn), steps=2)
    desk.page.mouse.up()
    desk.ready()


def next_drawing(desk, number, drawings):
    if desk.attribute("done"):  # it was the last one, and the loop plays
        return
    desk.page.keyboard.press("PageDown")
    desk.comes_to(f"[data-drawing='{number % drawings + 1}']")


def test_who_goes_where_it_is_open_draws_a_loop_that_keeps_every_rule(newcomer):
    desk = newcomer(8, elbows=True)  # the elbows are gone through below, all layers of every start in `test_passes`
    for parent, joint in LAYERS:
        for number in range(1, 9):
            guide_on(desk, joint)
            drag_to(desk, parent, joint, widest(told(desk, joint)))
            next_drawing(desk, number, 8)
    desk.state("clean")
    assert [] == desk.findings()
    assert check(desk.saved()).passed


def test_who_goes_elsewhere_is_told_why_at_each_wrong_drawing(newcomer):
    desk = newcomer(12)
    guide_on(desk, "elbow")
    for number in range(1, 9):
        angle = widest(told(desk, "elbow"))
        drag_to(desk, "shoulder", "elbow", angle)
        if number in (4, 5, 6):
            drag_to(desk, "shoulder", "elbow", angle + (22 if number != 6 else -22))
            assert str(number) in {drawings for _, drawings in desk.findings()}
            shut = desk.table.locator("[data-excluded][data-rule]")
            assert shut.count()
            note = desk.table.locator(f".note[data-rule][data-drawings='{number}']").first
            assert str(number) in note.text_content() and "elbow" in note.text_content()
            told(desk, "elbow")
            drag_to(desk, "shoulder", "elbow", angle)
            assert str(number) not in {drawings for _, drawings in desk.findings()}
        next_drawing(desk, number, 12)
        guide_on(desk, "elbow")
