"""A limb looks the same on the page, on a sheet, in a film and in the still picture: one recipe, one palette.

The page draws by its own code. So its modules are run in node and its style sheets are read, and what they
hold is compared with Python's recipe; the contour that the page draws is read by svgpathtools. How wide a
limb is and how its neighbours are dashed is house style, not published.
"""

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
import svgpathtools
from matplotlib.path import Path as Outline

import anim_lessons
from anim_lessons import pictures
from anim_lessons.ferry.actions import DEMOS, buoy, lantern, two_arms, wave
from anim_lessons.light_table import picture
from anim_lessons.pictures import film, palette, skin
from anim_lessons.pictures.skin import RECIPE, Fill, Stroke

PAGE = Path(anim_lessons.__file__).parent / "light_table" / "page"
UNITS = 2    # of the page's sheet to a mm of A4
FINE = 100   # the same, where rounding must not count
NO_NODE = "NO NODE FOUND, so the page's modules are not run; install the package nodejs"
needs_node = pytest.mark.skipif(shutil.which("node") is None, reason=NO_NODE)
STYLE = "\n".join(file.read_text("utf-8") for file in sorted(PAGE.rglob("*.css")))
LIMBS = [(1,), (90,), (58.4, 53.1, 34.1), (50, 4, 50), (30, 30, 30, 30, 30, 30), (10, 20, 40, 5)]


def by_node(script):
    """What an expression over the page's lines.mjs gives."""
    code = f'import * as lines from "{(PAGE / "lines.mjs").as_uri()}"; console.log(JSON.stringify({script}));'
    done = subprocess.run(["node", "--input-type=module"], input=code, check=True, capture_output=True,
                          text=True)
    return json.loads(done.stdout)


def styled(selector):
    """Declarations of the page's rule for one selector."""
    found = re.findall(rf"^\.anim-light-table {re.escape(selector)} \{{([^}}]*)\}}", STYLE, re.MULTILINE)
    assert 1 == len(found), f"the page has {len(found)} rules for {selector}"
    return dict(part.strip().split(": ", 1) for part in found[0].split(";") if part.strip())


def numbers(text):
    return [float(number) for number in text.split()]


# ---- the page ------------------------------------------------------------------------


@needs_node
def test_the_page_has_the_recipe_s_half_widths():
    widths = by_node(f"[[], ...{json.dumps(LIMBS)}].map((lengths) => lines.widths(lengths, 1))")

    for lengths, wide in zip([(), *LIMBS], widths, strict=True):
        assert skin.radii(lengths) == pytest.approx(wide, rel=1e-9)


@needs_node
def test_the_page_has_the_recipe_s_hand_and_thumb():
    """On the page y runs down: the joints are turned over, and the thumb is on the clockwise side in both."""
    arm = wave().limbs[0]
    down = (arm.drawings * [1, -1]).tolist()
    wide = skin.radii(arm.lengths)
    hand_of = f"lines.hand_of({json.dumps(arm.joints)}, p, {wide.tolist()})"
    hands = by_node(f"{json.dumps(down)}.map((p) => [lines.thumb_of(p), ...{hand_of}])")
    texts = "\n".join(file.read_text("utf-8") for file in PAGE.rglob("*.mjs"))

    for points, (root_and_tip, along, swollen) in zip(arm.drawings, hands, strict=True):
        (thumb, _), (hand, radii) = skin.SHAPES["arm"](points, wide)
        assert np.abs(thumb * [1, -1] - root_and_tip).max() < 1e-9
        assert np.abs(hand * [1, -1] - along).max() < 1e-9
        assert radii == pytest.approx(swollen)
    assert [tuple(map(str, RECIPE["thumb"]["wide"]))] == re.findall(
        r"\[r\.at\(-2\) \* ([\d.]+), r\.at\(-2\) \* ([\d.]+)\]", texts)


@needs_node
@pytest.mark.parametrize("make", [wave, lantern])
def test_the_page_s_contour_is_the_pictures_contour(make):
    """Each point of it lies outside the recipe's shapes 0.1 mm thinner, and inside those 0.1 mm thicker.

    Drawn fifty times as large, so that the page's rounding to a tenth of a unit does not count.
    """
    limb = make().limbs[0]
    down = (FINE * limb.drawings * [1, -1]).tolist()
    hand_of = f"lines.hand_of({json.dumps(limb.joints)}, p, lines.widths({limb.lengths.tolist()}, {FINE}))"
    drawn = by_node(f"{json.dumps(down)}.map((p) => lines.outline(...{hand_of}))")

    for points, d in zip(limb.drawings, drawn, strict=True):
        contour = svgpathtools.parse_path(d)
        at = np.array([piece.point(t) for piece in contour for t in np.linspace(0, 1, 9)])
        at = np.column_stack([at.real, -at.imag]) / FINE
        centres, radii = skin.SHAPES[skin.kind(limb.joints)](points, skin.radii(limb.lengths))[-1]
        assert not within(at, *skin.shapes(centres, radii, -0.1)).any()
        assert within(at, *skin.shapes(centres, radii, 0.1)).all()


def within(at, discs, polygons):
    inside = [np.hypot(*(at - (x, y)).T) < r for x, y, r in discs]
    return np.any(inside + [Outline(corners).contains_points(at) for corners in polygons], axis=0)


@pytest.mark.parametrize("selector, name", [(".arm", "contour"), (".bone", "bone"), (".path.strong", "path")])
def test_the_page_has_the_recipe_s_lines(selector, name):
    assert UNITS * RECIPE[name] == pytest.approx(float(styled(selector)["stroke-width"]))


@pytest.mark.parametrize("side, prefix", [("before", ".skin"), ("after", ".skin.after")])
def test_the_page_has_the_recipe_s_onion_skin(side, prefix):
    for far, (width, dash) in enumerate(RECIPE[side], start=1):
        rule = styled(f"{prefix}.d{far}")
        assert UNITS * width == pytest.approx(float(rule["stroke-width"]))
        assert [UNITS * part for part in dash] == pytest.approx(numbers(rule["stroke-dasharray"]))


def test_the_page_has_the_recipe_s_under_drawing():
    rule = styled(":is(.unders path:not(.planned), .under-line)")
    width, dash = RECIPE["under"]
    assert UNITS * width == pytest.approx(float(rule["stroke-width"]))
    assert [UNITS * part for part in dash] == pytest.approx(numbers(rule["stroke-dasharray"]))


def test_the_palette_is_the_page_s_in_its_light_theme():
    page = (PAGE / "paper.css").read_text("utf-8")
    light = dict(re.findall(r"--([a-z]+): light-dark\((#[0-9a-f]{6}),", page))
    ours = {name.lower(): colour for name, colour in vars(palette).items() if name.isupper()}

    assert {"paper", "ink", "mid", "light", "rule"} == set(ours)
    assert ours == {name: light[name] for name in ours}


# ---- the pictures --------------------------------------------------------------------


def test_the_kind_of_a_limb_is_told_by_its_joints():
    kinds = {name: skin.kind(DEMOS[name]().limbs[0].joints) for name in ("wave", "buoy", "lantern")}

    assert {"wave": "arm", "buoy": "single", "lantern": "limb"} == kinds
    assert set(kinds.values()) == set(skin.SHAPES)


@pytest.mark.parametrize("make", [wave, lantern, buoy, two_arms])
def test_a_sheet_and_the_still_picture_draw_what_the_recipe_gives(make):
    action = make()
    layers = [layer for limb in action.limbs for layer in skin.skin(limb, limb.drawings[1])]
    fills = [layer for layer in layers if isinstance(layer, Fill)]
    bones = [layer for layer in layers if isinstance(layer, Stroke)]
    axes, = pictures.drawing(action, 2).axes
    svg = ElementTree.fromstring(picture.svg(action, 2))
    nodes = list(svg.iter("{http://www.w3.org/2000/svg}g"))[1:]

    assert len(fills) == len(axes.patches) == len(nodes)
    for layer, patch, node in zip(fills, axes.patches, nodes, strict=True):
        low, high = extent(layer)
        box = patch.get_path().get_extents()
        assert np.concatenate([low, high]) == pytest.approx([*box.min, *box.max], abs=1e-3)
        circles = [disc for disc in node if disc.tag.endswith("circle")]
        circles = [[float(disc.get(key)) for key in ("cx", "cy", "r")] for disc in circles]
        assert np.array(circles) == pytest.approx(np.array(layer.discs), abs=0.01)
        assert node.get("fill") == getattr(palette, layer.tone.upper())
    assert [layer.points.tolist() for layer in bones] == [line.get_xydata().tolist() for line in axes.lines]


def extent(layer):
    """Lower left and upper right corner of a Fill."""
    discs = np.array(layer.discs)
    corners = [discs[:, :2] - discs[:, 2:], discs[:, :2] + discs[:, 2:], *layer.polygons]
    return np.concatenate(corners).min(axis=0), np.concatenate(corners).max(axis=0)


@pytest.mark.parametrize("make", [wave, lantern, buoy])
def test_a_film_paints_what_the_recipe_gives(make):
    """Its contour is dark, but for points that a pixel's edge decides; farther out is paper."""
    action = make()
    limb, points = action.limbs[0], action.limbs[0].drawings[1]
    frame = np.asarray(list(film.frames(action))[1])
    scale = frame.shape[0] / action.paper[1]
    thumb = 2 * (skin.kind(limb.joints) == "arm")  # layers that lie below
    contour, ground = skin.skin(limb, points)[thumb:thumb + 2]
    x, y = np.meshgrid(np.arange(2.0, 295.0, 0.5), np.arange(2.0, 190.0, 0.5))  # mm, below the number
    at = np.column_stack([x.ravel(), y.ravel()])
    row, column = ((action.paper[1] - at[:, 1]) * scale).astype(int), (at[:, 0] * scale).astype(int)
    dark = frame[row, column] < 128

    edge = within(at, contour.discs, contour.polygons) & ~within(at, ground.discs, ground.polygons)
    assert edge.any() and dark[edge].mean() > 0.9
    assert not dark[~everywhere(at, limb, points)].any()


def everywhere(at, limb, points):
    """True within 0.5 mm of the limb and its hand."""
    found = np.zeros(len(at), bool)
    for centres, radii in skin.SHAPES[skin.kind(limb.joints)](points, skin.radii(limb.lengths)):
        found |= within(at, *skin.shapes(centres, radii, RECIPE["contour"] / 2 + 0.5))
    return found


def test_a_neighbour_of_one_joint_is_a_circle_of_its_size():
    stroke = skin.neighbour(np.array([[40.0, 30.0]]), "before", 1)

    assert np.hypot(*(stroke.points - [40, 30]).T) == pytest.approx(RECIPE["single"])
    assert stroke.points[0] == pytest.approx(stroke.points[-1])


def test_importing_the_recipe_loads_no_matplotlib():
    """The light table draws its still picture by it, and must not wait."""
    code = ("import sys, anim_lessons.light_table.picture\n"
            "print(sorted({'matplotlib', 'scipy', 'PIL'} & set(sys.modules)))")
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True,
                          env={**os.environ, "PYTHONPATH": str(Path(anim_lessons.__file__).parents[1])})
    assert "[]" == done.stdout.strip()
