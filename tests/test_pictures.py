"""Pictures: what is on them is taken back off them and held against the drawings.

References: matplotlib's own reading of a curve (Path.interpolated) for the path of
action; the timing chart of simple harmonic motion, worked out in the head. The
weights and dashes of the onion skin are house style, not published.
"""

import io
import re
import subprocess
import sys
from xml.etree import ElementTree

import numpy as np
import pytest
from matplotlib.patches import PathPatch, Rectangle
from PIL import Image

from anim_lessons import Action, ActionError, Limb, check, pictures
from anim_lessons.ferry.actions import DEMOS, lantern, two_arms, wave
from anim_lessons.measures.loops import extremes
from anim_lessons.pictures import charts, skin

PICTURES = {
    "contact sheet": pictures.contact_sheet,
    "drawing": lambda action: pictures.drawing(action, 2),
    "onion skin": lambda action: pictures.onion_skin(action, 2),
    "path of action": pictures.path_of_action,
    "timing chart": pictures.timing_chart,
    "spacing graph": pictures.spacing_graph,
    "bend graph": pictures.bend_graph,
}


def words(picture):
    return [text.get_text() for axes in picture.axes for text in axes.texts]


@pytest.mark.parametrize("name", PICTURES)
def test_the_same_action_gives_the_same_picture(name):
    one, other = PICTURES[name](wave(drawings=8)), PICTURES[name](wave(drawings=8))
    assert pictures.png(one, 600) == pictures.png(other, 600)
    assert pictures.svg(one) == pictures.svg(other)
    sheet = pictures.pdf([one])
    assert sheet == pictures.pdf([other])
    assert b"Date" not in sheet


@pytest.mark.parametrize("name", PICTURES)
@pytest.mark.parametrize("demo", ["two-arms", "lantern", "buoy", "wave"])
def test_every_picture_of_every_kind_of_limb_has_ink_on_paper(name, demo):
    action = DEMOS[demo]()
    if name == "bend graph" and demo == "buoy":
        with pytest.raises(ActionError, match="one joint alone"):
            pictures.bend_graph(action)
        return
    picture = PICTURES[name](action)
    grey = np.asarray(Image.open(io.BytesIO(pictures.png(picture, 800))).convert("L"))
    assert grey[-1, -1] == 252  # the paper's #fdfcf7
    assert grey.min() < 60
    assert 0.001 < (grey < 200).mean() < 0.25
    assert action.title in picture.says


def test_no_window_and_no_state_are_used():
    code = ("import sys; sys.path[:0] = sys.argv[1:]\n"
            "from anim_lessons import pictures; from anim_lessons.ferry import actions\n"
            "pictures.png(pictures.contact_sheet(actions.wave()))\n"
            "print('matplotlib.pyplot' in sys.modules)")
    done = subprocess.run([sys.executable, "-c", code, *filter(None, sys.path)], check=True, capture_output=True,
                          text=True)
    assert "False" == done.stdout.strip()


def test_contact_sheet_numbers_all_drawings_and_rings_the_extremes():
    swing = np.cos(2 * np.pi * np.arange(12) / 12)  # farthest right at 1, farthest left at 7
    lamp = Limb("lamp", ("lamp",), [], [], np.stack([100 + 50 * swing, 0 * swing + 100], axis=-1)[:, None])

    picture = pictures.contact_sheet(Action((lamp,), title="$10 & <b>"))

    numbers = [said for said in words(picture) if said.isdigit()]
    assert [str(n) for n in range(1, 13)] == numbers
    assert (1, 7) == extremes(lamp.drawings[:, 0])
    rings = [patch for patch in picture.axes[0].patches if patch.get_label() == "extreme"]
    assert 2 == len(rings)
    assert "$10 & <b>" in words(picture)  # a title is no formula


def test_findings_are_marked_cause_filled_and_the_rest_hollow():
    action = DEMOS["no-link-up"]()
    findings = check(action).findings
    marks = [patch for patch in pictures.contact_sheet(action, findings).axes[0].patches if patch.get_label() == "mark"]
    marked = sorted({n for finding in findings for n in finding.drawings})
    causes = {n for finding in findings if finding.follows is None for n in finding.drawings}
    filled = [mark.get_facecolor() == mark.get_edgecolor() for mark in marks]
    assert [n in causes for n in marked] == filled
    assert [] == [patch for patch in pictures.contact_sheet(action).axes[0].patches if patch.get_label() == "mark"]


@pytest.mark.parametrize("number, loop, before, after", [
    (5, True, [4, 3, 2], [6, 7, 8]), (1, True, [16, 15, 14], [2, 3, 4]), (1, False, [], [2, 3, 4]),
    (16, False, [15, 14, 13], [])])
def test_onion_skin_shows_the_neighbours(number, loop, before, after):
    action = wave().replace(loop=loop)
    picture = pictures.onion_skin(action, number)

    lines = [line for line in picture.axes[0].lines if line.get_linestyle() != "-"]
    wrists, tips = np.moveaxis(action.limbs[0].drawings[:, 2:], 1, 0)
    # The outline of a drawing passes the end of its hand, 0.1 of its length beyond the fingertips.
    ends = tips + 0.1 * (tips - wrists)
    far = [np.hypot(*(ends[:, None] - line.get_xydata()).T).min(axis=0) for line in lines]
    shown = {int(one.argmin()) + 1: line for one, line in zip(far, lines)}

    assert {*before, *after} == set(shown) and len(shown) == len(lines)
    widths = [shown[n].get_linewidth() for n in before]
    assert widths == sorted(widths, reverse=True)  # the farther, the thinner
    assert {"butt"} >= {shown[n].get_dash_capstyle() for n in before}
    assert {"round"} >= {shown[n].get_dash_capstyle() for n in after}
    assert str(number) in words(picture)


def test_onion_skin_of_a_short_loop_shows_no_drawing_twice():
    action = wave(drawings=8)
    action = action.redrawn(action.limbs[0].drawings[:4])
    assert 2 == sum(line.get_linestyle() != "-" for line in pictures.onion_skin(action, 1).axes[0].lines)


@pytest.mark.parametrize("action", [wave(16), wave(24), lantern(), two_arms()], ids=["16", "24", "lantern", "two arms"])
def test_a_number_on_a_path_lies_clear_of_all_dots_and_nearest_to_its_own(action):
    picture = pictures.path_of_action(action)
    draws = picture.canvas.get_renderer()
    axes = picture.axes[0]
    dots = np.concatenate([limb.drawings.reshape(-1, 2) for limb in action.limbs])
    numbers = np.concatenate([np.repeat(np.arange(action.count) + 1, len(limb.joints)) for limb in action.limbs])
    said = [word for word in axes.texts if word.get_text().isdigit()]
    assert len(said) > 0.5 * action.count
    for word in said:
        box = word.get_window_extent(draws).transformed(axes.transData.inverted())
        beside = np.abs(dots - [(box.x0 + box.x1) / 2, (box.y0 + box.y1) / 2])
        assert (beside > [box.width / 2 + 0.6, box.height / 2 - 0.2]).any(axis=1).all(), word.get_text()
        far = np.hypot(*(dots - word.get_position()).T)
        assert int(word.get_text()) in numbers[far < far.min() + 0.2]


def test_a_path_of_action_is_seen_whole_in_a_low_window():
    """505 px are left of a window 625 px high (seen in JupyterLab)."""
    assert Image.open(io.BytesIO(pictures.path_of_action(wave(16))._repr_png_())).height <= 485


@pytest.mark.parametrize("loop", [True, False])
def test_the_path_passes_through_every_drawing(loop):
    action = wave().replace(loop=loop)
    picture = pictures.path_of_action(action, ["fingertips"])

    curve, = (patch.get_path() for patch in picture.axes[0].patches
              if isinstance(patch, PathPatch) and patch.get_label() == "path")

    fine = curve.interpolated(64).vertices if curve.codes is None else curve.to_polygons(closed_only=False)[0]
    for point in action.limbs[0].drawings[:, -1]:
        assert np.hypot(*(fine - point).T).min() < 1e-6
    assert loop == np.allclose(curve.vertices[0], curve.vertices[-1])


def test_timing_chart_of_a_pendulum_is_slow_out_and_slow_in():
    """Simple harmonic motion: (1 - cos) / 2 of the way at equal times."""
    swing = np.cos(2 * np.pi * np.arange(8) / 8)
    points = np.stack([100 + 50 * swing, 0 * swing + 100], axis=-1)

    (out, numbers, along), (back, there, again) = charts.halves(points, loop=True)

    assert ("out", [1, 2, 3, 4, 5]) == (out, numbers)
    assert ("back", [5, 6, 7, 8, 1]) == (back, there)
    assert [0, 0.146447, 0.5, 0.853553, 1] == pytest.approx(along.tolist(), abs=1e-6)
    assert along == pytest.approx(again)
    assert ["out"] == [name for name, _, _ in charts.halves(points, loop=False)]


def test_a_joint_that_rests_has_no_chart():
    assert [] == charts.halves(np.ones((8, 2)), loop=True)
    post = Limb("post", ("post",), [], [], np.full((8, 1, 2), 50.0))
    assert "it rests: there is no way to divide" in words(pictures.timing_chart(Action((post,))))


def test_spacing_graph_has_a_bar_a_drawing_as_high_as_its_step():
    action = wave()
    bars = pictures.spacing_graph(action, "arm", "fingertips").axes[0].patches
    tips = action.limbs[0].drawings[:, -1]
    assert [np.linalg.norm(tips[n] - tips[n - 1]) for n in range(16)] == pytest.approx(
        [bar.get_height() for bar in bars])


def test_bend_graph_has_the_bend_of_a_right_angle():
    corner = np.array([[0, 0], [30, 0], [30, 40]])
    arm = Limb("arm", ("shoulder", "elbow", "wrist"), [30, 40], [[-90, 90], [0, 140]], np.repeat(corner[None], 8, 0))
    bend, *_ = (line for line in pictures.bend_graph(Action((arm,))).axes[0].lines if len(line.get_ydata()) == 8)
    assert [90.0] * 8 == pytest.approx(bend.get_ydata().tolist())
    assert {"0°", "straight", "140°"} <= set(words(pictures.bend_graph(Action((arm,)))))


@pytest.mark.parametrize("ask, says", [
    (lambda a: pictures.onion_skin(a, 17), "there is no drawing 17; the stack has 1 to 16"),
    (lambda a: pictures.drawing(a, 0), "there is no drawing 0"),
    (lambda a: pictures.path_of_action(a, ["knee"]), "there is no joint knee; there is shoulder"),
    (lambda a: pictures.timing_chart(a, joint="knee"), 'no joint "knee"; it has shoulder'),
    (lambda a: pictures.spacing_graph(a, limb="leg"), 'no limb "leg"; there is arm'),
    (lambda a: pictures.bend_graph(a, joint="fingertips"), 'nothing follows "fingertips"'),
])
def test_what_is_not_there_is_named(ask, says):
    with pytest.raises(ActionError, match=re.escape(says)):
        ask(wave())


def test_a_picture_shows_itself_in_a_notebook_and_says_what_it_is():
    picture = pictures.contact_sheet(wave())
    assert b"\x89PNG" == picture._repr_png_()[:4]
    assert "contact sheet of wave the boat in: 16 drawings, on twos" == repr(picture)


def test_svg_is_well_formed_and_of_the_paper_s_size():
    """The root element by ElementTree; 297 mm are 841.89 points (1 in = 25.4 mm = 72 pt)."""
    root = ElementTree.fromstring(pictures.svg(pictures.contact_sheet(wave())))
    assert "{http://www.w3.org/2000/svg}svg" == root.tag
    assert 841.89 == pytest.approx(float(root.get("width").removesuffix("pt")), abs=0.01)


@pytest.mark.parametrize("name", ["wave", "two-arms", "buoy", "lantern", "off-the-sheet", "gaps-too-wide"])
def test_no_drawing_of_a_contact_sheet_is_cropped(name):
    """Every limb lies within the frame of its cell, and all cells show the same window."""
    action = DEMOS[name]()
    axes, = pictures.contact_sheet(action).axes
    frames = [patch for patch in axes.patches if isinstance(patch, Rectangle)]
    left, bottom, right, top = skin.window(action)
    for frame, d in zip(frames, range(action.count), strict=True):
        assert frame.get_width() / frame.get_height() == pytest.approx((right - left) / (top - bottom))
        points = np.concatenate([limb.drawings[d] for limb in action.limbs])
        assert (points > [left, bottom]).all() and (points < [right, top]).all()
    inked = [patch for patch in axes.patches if isinstance(patch, PathPatch)]
    assert len(inked) > 4 * action.count
    for patch in inked:
        box = patch.get_window_extent()
        cell = next(f.get_window_extent() for f in frames if f.get_window_extent().padded(1).contains(
            (box.x0 + box.x1) / 2, min(max((box.y0 + box.y1) / 2, f.get_window_extent().y0), f.get_window_extent().y1)))
        assert cell.x0 - 1 <= box.x0 and box.x1 <= cell.x1 + 1 and box.y1 <= cell.y1 + 1  # only the body runs off below


def test_letters_that_the_font_has_not_are_no_error():
    picture = pictures.contact_sheet(wave().replace(title="波 " + "x" * 300))
    assert pictures.png(picture, 400)[:4] == b"\x89PNG"


def test_a_notebook_shows_of_a_path_of_action_what_is_drawn_and_a_file_holds_the_whole_sheet():
    picture = pictures.path_of_action(lantern())
    left, bottom, right, top = picture.shown
    hanging = lantern().limbs[0].drawings.reshape(-1, 2)

    assert (hanging > [left, bottom]).all() and (hanging < [right, top]).all()
    assert (right - left) * (top - bottom) < 0.6 * picture.width * picture.height
    shown, whole = (Image.open(io.BytesIO(data)) for data in (picture._repr_png_(), pictures.png(picture)))
    assert shown.width / shown.height == pytest.approx((right - left) / (top - bottom), rel=0.02)
    assert whole.width / whole.height == pytest.approx(picture.width / picture.height, rel=0.01)
