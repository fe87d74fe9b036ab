"""A line drawn over the construction in JupyterLab, with a pen that presses: CDP's Input domain sends its events.

References
----------
W3C Pointer Events Level 3, "pressure": 0 to 1, and 0.5 where a button is down and nothing is told, as of a mouse. From memory;
that Chromium sends it so is seen here.
"""

import os
from itertools import pairwise
from pathlib import Path

import numpy as np
from click.testing import CliRunner
from PIL import Image

from anim_lessons.commands import main
from anim_lessons.model import action_file
from anim_lessons.pictures import film

ARM = (-5.0, 5.0)  # mm beside the bones: the two edges of the arm


def picture(desk, name):
    if "ANIM_LESSONS_PICTURES" in os.environ:
        desk.page.screenshot(path=Path(os.environ["ANIM_LESSONS_PICTURES"]) / f"line_{name}.png")


class Pen:
    """A pen, or a mouse, over the sheet of a desk; places in mm."""

    def __init__(self, desk, kind="pen"):
        self.desk, self.kind = desk, kind
        self.cdp = desk.page.context.new_cdp_session(desk.page)

    def on_screen(self, place):
        return self.desk.table.locator(".drawing").evaluate(
            "(sheet, [x, y]) => { const p = new DOMPoint(2 * x, 2 * (210 - y)).matrixTransform(sheet.getScreenCTM()); return [p.x, p.y]; }",
            [float(v) for v in place],
        )

    def send(self, kind, place, pressure, held):
        x, y = self.on_screen(place)
        self.cdp.send("Input.dispatchMouseEvent", {
            "type": kind, "x": x, "y": y, "button": "none" if kind == "mouseMoved" and not held else "left",
            "buttons": int(held), "clickCount": 1, "pointerType": self.kind, "force": pressure})

    def stroke(self, places, pressures):
        self.send("mouseMoved", places[0], 0, False)
        self.send("mousePressed", places[0], pressures[0], True)
        for place, pressure in zip(places[1:], pressures[1:]):
            self.send("mouseMoved", place, pressure, True)
        self.send("mouseReleased", places[-1], 0, False)


def edges(points):
    """Two strokes beside the bones of an arm, and how hard each is pressed."""
    for side in ARM:
        places, pressures = [], []
        for a, b in pairwise(points):
            along = (b - a) / np.hypot(*(b - a))
            beside = side * np.array([-along[1], along[0]])
            places += [a + share * (b - a) + beside for share in (0.15, 0.85)]
        pressures = np.sin(np.linspace(0.3, np.pi - 0.3, len(places)))
        yield places, pressures.tolist()


def lined(desk, number, strokes):
    """Wait until Python has so many strokes on a drawing."""
    desk.until(f"print(len(table.action.line({number})))", str(strokes))


def test_the_deckhands_arm_is_drawn_erased_undone_played_and_exported(new_desk):
    desk = new_desk("wave")
    before = desk.action()
    arm = before.limbs[0].drawings
    desk.go(1).more()
    desk.table.get_by_role("button", name="pencil", exact=True).click()
    desk.comes_to("[data-tool='pencil']")
    assert not desk.table.locator(".more").is_visible()
    picture(desk, "begun")
    pen = Pen(desk)
    for number in (1, 2, 3):
        for places, pressures in edges(arm[number - 1]):
            pen.stroke(places, pressures)
        lined(desk, number, 2)
        if number < 3:
            desk.page.keyboard.press("ArrowRight")
            desk.comes_to(f"[data-drawing='{number + 1}']")
    picture(desk, "drawn")
    desk.ready()
    drawn = desk.action()
    # what is judged is what it was
    assert drawn.drawn_as(before)
    stroke = drawn.line(3)[0]
    assert 0.2 < stroke[0, 2] < 0.45
    assert stroke[:, 2].max() > 0.9
    asked = np.array(next(places for places, _ in edges(arm[2])))
    assert max(np.hypot(*(stroke[:, :2] - place).T).min() for place in asked[[0, -1]]) < 0.4  # half of a pixel
    # an eraser takes a whole stroke, which is one step back
    desk.press("eraser")
    pen.stroke([asked[1], asked[1] + 0.5], [0.5, 0.5])
    lined(desk, 3, 1)
    picture(desk, "erased")
    desk.press("undo")
    lined(desk, 3, 2)
    # by key
    desk.table.locator(".stroke-hit").last.focus()
    desk.page.keyboard.press("Enter")
    lined(desk, 3, 1)
    desk.page.keyboard.press("Control+z")
    lined(desk, 3, 2)
    desk.press("pencil")
    Pen(desk, "mouse").stroke([(150, 20), (160, 22), (170, 20)], [0, 0, 0])
    lined(desk, 3, 3)
    assert (desk.action().line(3)[2][:, 2] == 0.5).all()
    desk.press("undo")
    lined(desk, 3, 2)
    # it is flipped and played in the place of the figure
    desk.press("joints")
    assert desk.attribute("tool") is None
    picture(desk, "joints")
    desk.drag("wrist", 12, 0)
    desk.ready()
    assert np.array_equal(desk.action().line(3)[0], stroke)  # the line stays where it was drawn
    desk.press("undo")
    desk.page.keyboard.down("f")
    desk.comes_to("[data-showing='2'][data-lined='2']")
    picture(desk, "flipped")
    desk.page.keyboard.up("f")
    desk.page.keyboard.press("p")
    desk.comes_to("[data-clean][data-lined='2']")
    assert not desk.table.locator(".arms").is_visible()
    desk.page.keyboard.press("p")
    # it is in the file, and comes back with it
    desk.until("table.save(); print(table.saved['state'])", "saved")
    saved = action_file.read(desk.folder / "wave.json")
    assert [1, 2, 3] == [line.drawing for line in saved.lines]
    desk.run("table.close()")
    desk.run_all()
    desk.comes_to("[data-lines='true']")
    to = desk.folder / "wave.gif"
    done = CliRunner().invoke(main, ["export", str(desk.folder / "wave.json"), "--pencil", "--to", str(to)])
    assert done.exit_code == 0, done.output
    with Image.open(to) as moving:
        assert moving.n_frames == before.count
        moving.seek(2)
        left, _, right, top = film.view(saved)
        scale = moving.width / (right - left)
        x, y = int((asked[1][0] - left) * scale), int((top - asked[1][1]) * scale)
        assert np.asarray(moving.convert("L"))[y - 9 : y + 10, x - 9 : x + 10].min() < 80


def test_a_stroke_is_dropped_rubbed_out_and_seen_from_the_back(harness):
    desk = harness("state=clean&number=6")
    drawn = "JSON.stringify(model.get('lines')?.drawings ?? {})"
    desk.more()
    desk.table.get_by_role("button", name="pencil", exact=True).click()
    pen, places = Pen(desk), [(100, 50), (120, 60), (140, 50)]
    # Escape lets a stroke go first, and then the pencil
    pen.send("mousePressed", places[0], 0.5, True)
    pen.send("mouseMoved", places[1], 0.5, True)
    desk.page.keyboard.press("Escape")
    pen.send("mouseReleased", places[1], 0, False)
    assert desk.attribute("tool") == "pencil" and desk.page.evaluate(drawn) == "{}"
    # seen from the back it is drawn from the back
    desk.press("from the back")
    pen.stroke(places, [0.2, 0.8, 0.3])
    stroke = np.array(desk.page.evaluate("model.get('lines').drawings[6][0]"))
    assert np.abs(stroke[[0, -1], :2] - [[197, 50], [157, 50]]).max() < 0.3
    # what is taken back is seen
    desk.page.keyboard.press("ArrowRight")
    desk.press("undo")
    assert desk.attribute("drawing") == "6" and desk.page.evaluate(drawn) == "{}"
    # the other end of a pen rubs, whatever is in the hand; that needs a button that CDP does not know
    pen.stroke(places, [0.2, 0.8, 0.3])
    desk.page.evaluate(
        """([x, y]) => {
            const sheet = document.querySelector(".drawing");
            sheet.setPointerCapture = () => {};
            for (const [type, buttons] of [["pointerdown", 32], ["pointerup", 0]])
              sheet.dispatchEvent(new PointerEvent(type, { bubbles: true, cancelable: true, pointerId: 77, pointerType: "pen",
                isPrimary: true, button: 5, buttons, pressure: 0.5, clientX: x, clientY: y }));
        }""",
        pen.on_screen(places[1]),
    )
    assert desk.page.evaluate(drawn) == "{}"
    desk.page.keyboard.press("Escape")
    assert desk.attribute("tool") is None
