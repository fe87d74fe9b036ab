"""Drawings from paper in JupyterLab: joints confirmed by a real pointer, and the pencil drawing on the light table."""

import os
import shutil
from pathlib import Path

import numpy as np
import paper_pages as pages
import pytest
from axe_playwright_python.sync_playwright import Axe

from anim_lessons.ferry.actions import wave
from anim_lessons.model import action_file
from anim_lessons.paper.layout import layout_for
from anim_lessons.paper.printing import print_sheets

COUNT = 4
CELLS = (
    "from anim_lessons import lessons",
    'panel = lessons.on_paper("mine.json", "sheets.pdf", start="printed.json"); table, strip = panel.table, panel.strip',
    "panel",
)


@pytest.fixture(scope="module")
def drawn(tmp_path_factory):
    """A file of four drawings, and its sheets drawn on and scanned as one PDF."""
    folder = tmp_path_factory.mktemp("paper")
    action = wave(drawings=COUNT)
    (folder / "printed.json").write_bytes(action_file.dumps(action))
    print_sheets(action, folder / "print.pdf")
    rng, field = np.random.default_rng(3), layout_for(action).fields(action.paper)[0]
    sheets = list(pages.rendered(folder / "print.pdf", 6.0))[1:]
    made = [
        pages.Image.fromarray(pages.drawn_on(sheet, field.to_page(pose), rng, fine=6.0))
        for sheet, pose in zip(sheets, action.limbs[0].drawings)
    ]
    made[0].save(folder / "sheets.pdf", save_all=True, append_images=made[1:], resolution=6 * 25.4)
    return folder


def picture(desk, name):
    if "ANIM_LESSONS_PICTURES" in os.environ:
        desk.page.locator(".on-paper").scroll_into_view_if_needed()
        desk.page.screenshot(path=Path(os.environ["ANIM_LESSONS_PICTURES"]) / f"paper_{name}.png")
        desk.table.scroll_into_view_if_needed()
        desk.page.screenshot(path=Path(os.environ["ANIM_LESSONS_PICTURES"]) / f"paper_{name}_table.png")


def to_mouse(desk, place):
    """Where on the screen a place of the sheet is, mm."""
    return desk.page.evaluate(
        """([x, y]) => {
        const sheet = document.querySelector(".on-paper .paper");
        const p = new DOMPoint(x, 210 - y).matrixTransform(sheet.getScreenCTM());
        return [p.x, p.y];
    }""",
        [float(x) for x in place],
    )


def press(desk, place):
    desk.page.locator(".on-paper .paper").scroll_into_view_if_needed()
    desk.page.mouse.click(*to_mouse(desk, place))


def asked(desk, drawing, joint=None):
    which = f"[data-joint='{joint}']" if joint else ":not([data-joint])"
    desk.page.locator(f".on-paper[data-state='fresh'][data-drawing='{drawing}']{which}").wait_for()


def test_a_wave_on_paper_is_confirmed_press_by_press_and_lies_on_the_table(new_desk, drawn):
    action = wave(drawings=COUNT)
    joints = action.limbs[0].joints

    def prepare(folder):
        for name in ("printed.json", "sheets.pdf"):
            shutil.copy(drawn / name, folder / name)

    desk = new_desk(cells=CELLS, prepare=prepare)
    asked(desk, 1, "shoulder")
    assert "Drawing 1: press the shoulder." == desk.page.locator(".on-paper .asked").inner_text()
    before = desk.action()
    # a millimetre beside the dot: the dot is meant
    for joint, place in zip(joints, action.limbs[0].drawings[0]):
        asked(desk, 1, joint)
        if joint == "fingertips":
            assert desk.action().drawn_as(before), "a drawing counted before all of it was confirmed"
        press(desk, place + (0.7, -0.7))
        if joint == "elbow":
            asked(desk, 1, "wrist")
            picture(desk, "asked")
    for number in range(2, COUNT + 1):
        for joint, place in zip(joints, action.limbs[0].drawings[number - 1]):
            asked(desk, number, joint)
            if joint == "elbow":  # by keyboard: the dot itself
                dots = desk.page.locator(".on-paper .dot")
                at = dots.evaluate_all(
                    "all => all.map(one => [Number(one.getAttribute('cx')), 210 - Number(one.getAttribute('cy'))])"
                )
                near = int(np.argmin(np.hypot(*(np.array(at) - place).T)))
                dots.nth(near).focus()
                desk.page.keyboard.press("Enter")
            else:
                press(desk, place)
    picture(desk, "confirmed")
    asked(desk, COUNT)
    assert "All drawings are confirmed" in desk.page.locator(".on-paper .asked").inner_text()
    desk.ready()
    off = np.abs(desk.action().limbs[0].drawings - action.limbs[0].drawings).max()
    assert off < 0.3, off
    # the pencil is the picture on the table
    desk.comes_to(f"[data-pencil='{COUNT}']")
    assert desk.table.locator("image.pencil").get_attribute("href").startswith("data:image/png")
    assert not desk.table.locator(".flesh").first.is_visible()
    # a joint is dragged off, and is where it was put; by key it goes on by a quarter of a mm
    mark = desk.page.locator(".on-paper .mark[data-joint='wrist']")
    place = action.limbs[0].drawings[COUNT - 1][2]
    desk.page.locator(".on-paper .paper").scroll_into_view_if_needed()
    desk.page.mouse.move(*to_mouse(desk, place))
    desk.page.mouse.down()
    desk.page.mouse.move(*to_mouse(desk, place + (6, 4)), steps=4)
    desk.page.mouse.up()
    asked(desk, COUNT)
    desk.ready()
    moved = desk.action().limbs[0].drawings[COUNT - 1][2]
    assert np.abs(moved - place - (6, 4)).max() < 0.6
    mark.focus()
    desk.page.keyboard.press("ArrowUp")
    desk.page.wait_for_function(
        "y => Math.abs(document.querySelector(\".on-paper .mark[data-joint='wrist']\").getAttribute('cy') - y) < 0.002",
        arg=210 - float(moved[1]) - 0.25,
    )
    # once more from the beginning: it lies as it was given
    desk.page.locator(".on-paper").get_by_role("button", name="again").click()
    asked(desk, COUNT, "shoulder")
    desk.ready()
    assert np.abs(desk.action().limbs[0].drawings[COUNT - 1] - before.limbs[0].drawings[COUNT - 1]).max() < 1e-6
    found = Axe().run(desk.page, context={"include": [[".on-paper"]]}).response
    assert found["passes"]
    assert [] == [(rule["id"], node["html"][:120]) for rule in found["violations"] for node in rule["nodes"]]
