"""A figure looks the same on the page, on a sheet, in a film and in the still picture: one recipe, one palette.

The page draws by its own code. So its modules are run in node, and the shapes of every kind of limb that they give are
held against Python's; its style sheets are read. How wide a limb is and how its neighbours are dashed is house style, not
published.

References
----------
Barry and Goldman 1988, A recursive evaluation algorithm for a class of Catmull-Rom splines: the pyramid, from memory.
matplotlib's test of places in outlines, for what a film paints.
"""

import json
import os
import re
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest
from hostile import action as made_of
from hostile import shapes as hostile_shapes
from hostile import swinging
from matplotlib.path import Path as Outline

import anim_lessons
from anim_lessons import pictures
from anim_lessons.ferry import actions
from anim_lessons.ferry.actions import DEMOS, buoy, lantern, two_arms, wave
from anim_lessons.ferry.hanging import SCENES, scene_loop
from anim_lessons.ferry.starts import STARTS, box_hand, flown, own, shaken
from anim_lessons.light_table import picture
from anim_lessons.pictures import deckhand, film, kinds, palette, pen, skin
from anim_lessons.pictures.deckhand import as_complex
from anim_lessons.pictures.skin import RECIPE, Fill, Stroke

PAGE = Path(anim_lessons.__file__).parent / "light_table" / "page"
UNITS = 2    # of the page's sheet to a mm of A4
NO_NODE = "NO NODE FOUND, so the page's modules are not run; install the package nodejs"
needs_node = pytest.mark.skipif(shutil.which("node") is None, reason=NO_NODE)
STYLE = "\n".join(file.read_text("utf-8") for file in sorted(PAGE.rglob("*.css")))
TAIL = own(["rump", "middle", "tip"], [45, 40], [(30, 150), (-70, 70)], [(150, 60)])


def hung(name, parts):
    return scene_loop(SCENES[name], 12, parts).action


def poses():
    """Loops of every kind of limb, in many poses."""
    for name in ("wave", "wave-other-side", "wave-loose", "two-arms", "hand-grows", "forearm-shrinks", "elbow-breaks-backwards",
                 "wrist-folds-too-far", "buoy", "lantern"):
        yield name, DEMOS[name]()
    for name in ("03_pennant", "04_mooring_rope", "05_elbow", "07_hand", "09_two_arms"):
        yield name, STARTS[name]()
    yield "pennant", flown()
    yield "rope", shaken()
    yield "cloth alone", hung("pennant", 4)
    yield "tail", TAIL
    rng = np.random.default_rng(5)
    arm = wave().limbs[0]
    for limb in (arm, box_hand().limbs[0], flown().limbs[0], shaken().limbs[0], TAIL.limbs[0]):
        anywhere = rng.uniform(20, 200, (16, len(limb.joints), 2))
        yield f"{limb.name} anywhere", wave().replace(limbs=(replace(limb, drawings=anywhere),))
    for first in ("shoulder", "hand", "staff", "post", "hook", "a tail"):
        names = [first, "top", *(f"joint {j}" for j in range(118))]
        yield f"{first} of 120 joints", made_of(swinging(3, 120, 3.0), length=3.0, names=names)
    yield from hostile_shapes()


def styled(selector):
    """Declarations of the page's rule for one selector."""
    found = re.findall(rf"^\.anim-light-table {re.escape(selector)} \{{([^}}]*)\}}", STYLE, re.MULTILINE)
    assert 1 == len(found), f"the page has {len(found)} rules for {selector}"
    return dict(part.strip().split(": ", 1) for part in found[0].split(";") if part.strip())


def numbers(text):
    return [float(number) for number in text.split()]


# ---- the page ------------------------------------------------------------------------

BY_NODE = """
import { beside, figure } from "PAGE/deckhand.mjs";
import { kind, trace } from "PAGE/kinds.mjs";
import { inked } from "PAGE/pen.mjs";
import fs from "node:fs";
const made = JSON.parse(fs.readFileSync(0)).map(({ limbs, loop, drawings }) => drawings.map((d) => {
  const all = limbs.map((limb) => limb.drawings);
  const { body, skins } = figure(limbs, all, d, loop);
  return {
    kinds: limbs.map((limb) => kind(limb.joints)),
    body: body && { face: body.face, facing: body.facing },
    layers: [...(body?.layers ?? []), ...skins.flat()].map((one) => Object.values(inked(one, 0.84))),
    traces: limbs.map((limb, l) => trace(limb, all[l][d], beside(all[l], d, loop))),
  };
}));
fs.writeFileSync(1, JSON.stringify(made));
""".replace("PAGE", PAGE.as_uri())


@needs_node
def test_the_page_draws_the_shapes_that_pictures_draw():
    """To 0.001 mm, far below what a pencil or a screen shows; asked of every limb on every third drawing."""
    cases = list(poses())
    asked = [{"limbs": [{"joints": limb.joints, "lengths": limb.lengths.tolist(), "stops": limb.stops.tolist(),
                         "drawings": limb.drawings.tolist()} for limb in action.limbs],
              "loop": bool(action.loop), "drawings": list(range(0, action.count, 3))} for _, action in cases]
    done = subprocess.run(["node", "--input-type=module", "-e", BY_NODE], input=json.dumps(asked), check=True,
                          capture_output=True, text=True)
    seen = set()
    for (name, action), drawn in zip(cases, json.loads(done.stdout), strict=True):
        for d, page in zip(range(0, action.count, 3), drawn, strict=True):
            body, skins = deckhand.figure(action, d)
            seen |= set(page["kinds"])
            assert [kinds.kind(limb.joints) for limb in action.limbs] == page["kinds"]
            assert (body is None) == (page["body"] is None), name
            if body:
                assert body.face == pytest.approx(page["body"]["face"])
            layers = [*(body.layers if body else ()), *(layer for limb in skins for layer in limb)]
            for layer, on_page in zip(layers, page["layers"], strict=True):
                for shapes, there in zip(pen.inked(layer, 0.84), on_page, strict=True):
                    for shape, other in zip(shapes, there, strict=True):
                        alike(shape, other, name, d)
            for limb, there in zip(action.limbs, page["traces"], strict=True):
                lines = kinds.trace(limb, *deckhand.beside(action, limb, d))
                for line, other in zip(lines, there, strict=True):
                    alike(line, other, name, d)
    assert set(kinds.KINDS) == seen


def alike(line, other, name, d):
    off = np.abs(line - as_complex(np.array(other))).max()
    assert off < 1e-3, f"{name}, drawing {d + 1}: {off:g} mm"


@pytest.mark.parametrize("selector, name", [(".bone", "bone"), (".path.strong", "path")])
def test_the_page_has_the_recipe_s_lines(selector, name):
    assert UNITS * RECIPE[name] == pytest.approx(float(styled(selector)["stroke-width"]))


def test_the_pen_is_as_wide_as_the_recipe_says_where_it_is_heaviest():
    made = pen.numbers()["pen"]
    assert made["width"] * (made["least"] + made["more"]) == pytest.approx(RECIPE["contour"], abs=0.05)


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

    assert {"paper", "ink", "mid", "light", "rule", "faint"} == set(ours)
    assert ours == {name: light[name] for name in ours}


# ---- the recipe ----------------------------------------------------------------------


def by_the_pyramid(p, t):
    """Barry and Goldman's pyramid over four places, its knots apart by the root of the distance; t runs from 0 at the
    second place to 1 at the third."""
    k = np.concatenate([[0.0], np.cumsum(np.sqrt(np.abs(np.diff(p))))])
    x = k[1] + t * (k[2] - k[1])

    def between(a, b, i, j):
        return ((k[j] - x) * a + (x - k[i]) * b) / (k[j] - k[i])

    first = [between(p[i], p[i + 1], i, i + 1) for i in range(3)]
    second = [between(first[i], first[i + 1], i, i + 2) for i in range(2)]
    return between(*second, 1, 2)


@pytest.mark.parametrize("closed", [False, True])
def test_the_smooth_curve_is_catmull_and_rom_s(closed):
    points = np.random.default_rng(2).uniform(0, 100, 7) + 1j * np.random.default_rng(3).uniform(0, 100, 7)
    made = pen.curve(points, 8, closed)
    ends = [points[-1]], points[:2]
    if not closed:
        ends = [2 * points[0] - points[1]], [2 * points[-1] - points[-2]]
    around = np.concatenate([ends[0], points, ends[1]])
    expected = [by_the_pyramid(around[i:i + 4], s / 8) for i in range(len(around) - 3) for s in range(8)]

    assert made[:len(expected)] == pytest.approx(np.array(expected), abs=1e-9)
    assert len(made) == len(expected) + (not closed)


def test_the_kind_of_a_limb_is_told_by_its_joints():
    of = {kinds.kind(action.limbs[0].joints) for action in (
        wave(), buoy(), lantern(), flown(), hung("pennant", 3), shaken(), TAIL)}

    assert set(kinds.KINDS) == of
    assert "tube" == kinds.kind(("shoulder", "elbow"))  # there is nothing that bends


def test_a_straight_tube_is_as_wide_as_it_is_told():
    made = pen.Tube([0, 60, 100], [6, 4, 2])

    assert made.shape.imag.max() == pytest.approx(6) and made.shape.imag.min() == pytest.approx(-6)
    assert made.shape.real.min() == pytest.approx(-6, abs=0.1) and made.shape.real.max() == pytest.approx(102, abs=0.1)
    assert np.interp(60, made.left.real, made.left.imag) == pytest.approx(4)


def test_ink_is_heavy_where_an_edge_looks_away_from_the_light():
    """The light comes from above on the left: of a disc the lower right edge has most, the upper left least."""
    disc = 10 * np.exp(2j * np.pi * np.arange(64) / 64)
    wide = np.abs(pen.grown(disc, 1.0)) - 10

    made = pen.numbers()["pen"]
    assert [made["least"], made["least"] + made["more"]] == pytest.approx([wide.min(), wide.max()], abs=0.01)
    assert disc[wide.argmax()].real > 0 > disc[wide.argmax()].imag
    assert wide == pytest.approx(np.abs(pen.grown(disc[::-1], 1.0))[::-1] - 10)  # whichever way round it is drawn
    assert (np.abs(pen.grown(disc, 1.0, np.zeros(64))) < 10).all()  # masked: under the paper


def extent(layers):
    return np.concatenate([shape for layer in layers for shape in layer.fills])


def test_a_hand_that_grows_is_seen():
    """Three tenths longer, it is three tenths wider, and nothing else changes."""
    good, grown = wave(), actions.longer(wave(), by=0.3, drawing=5)
    hands, others = [], []
    for action in (good, grown):
        limb = action.limbs[0]
        hand, *rest = kinds.skin(limb, as_complex(limb.drawings[4]))
        wrist, tips = as_complex(limb.drawings[4])[2:]
        hands.append((extent([hand]) - wrist) / ((tips - wrist) / abs(tips - wrist)))
        others.append(extent(rest))
    assert hands[1] == pytest.approx(1.3 * hands[0], abs=0.01)  # mm: drawings are rounded
    assert others[0] == pytest.approx(others[1])


def test_a_forearm_that_shrinks_is_seen():
    """The cuff stands nearer to the elbow, by as much."""
    limb, shrunk = wave().limbs[0], actions.longer(wave(), 1, -0.12, 6).limbs[0]
    far = []
    for one in (limb, shrunk):
        points = as_complex(one.drawings[5])
        far.append(abs(extent(kinds.skin(one, points)[-1:]).mean() - points[1]))
    assert far[0] - far[1] == pytest.approx(0.12 * limb.lengths[1], abs=0.5)


@pytest.mark.parametrize("make", [two_arms, lambda: two_arms(12), STARTS["09_two_arms"], DEMOS["arms-together"]])
def test_of_two_arms_none_lies_over_the_face(make):
    """Not a place of the face's outline lies within an arm; the cap may."""
    action = make()
    for d in range(action.count):
        body, skins = deckhand.figure(action, d)
        face = next(layer for layer in body.layers if layer.dots)
        for layers in skins:
            for layer in layers:
                for shape in layer.fills:
                    assert not Outline(np.stack([shape.real, shape.imag], -1)).contains_points(
                        np.stack([face.fills[0].real, face.fills[0].imag], -1)).any(), d + 1


def test_the_face_is_where_its_box_says():
    for action in (wave(), wave(other_side=True), two_arms()):
        body = deckhand.deckhand(action, 3)
        head = extent(body.layers[3:])  # above the collar
        left, bottom, right, top = body.face
        assert left - 1 < head.real.min() and head.real.max() < right + 1
        assert bottom - 2 < head.imag.min() and head.imag.max() < top + 1


def test_no_fold_of_the_pennant_comes_or_goes():
    """From drawing to drawing it has as many lines."""
    limb = flown().limbs[0]
    assert 1 == len({tuple(len(layer.lines) for layer in kinds.skin(limb, as_complex(points))) for points in limb.drawings})


# ---- the pictures --------------------------------------------------------------------


@pytest.mark.parametrize("make", [wave, lantern, buoy, two_arms, flown, shaken])
@pytest.mark.parametrize("construction", [False, True])
def test_a_sheet_draws_what_the_recipe_gives(make, construction):
    action = make()
    layers = skin.drawn(action, 1, construction=construction)
    fills = [layer for layer in layers if isinstance(layer, Fill)]
    bones = [layer for layer in layers if isinstance(layer, Stroke)]
    axes, = pictures.drawing(action, 2, construction=construction).axes

    assert len(fills) == len(axes.patches)
    for layer, patch in zip(fills, axes.patches, strict=True):
        corners, box = np.concatenate(layer.shapes), patch.get_path().get_extents()
        assert [*corners.min(axis=0), *corners.max(axis=0)] == pytest.approx([*box.min, *box.max], abs=1e-9)
    assert [layer.points.tolist() for layer in bones] == [line.get_xydata().tolist() for line in axes.lines]
    assert construction * sum(len(limb.joints) > 1 for limb in action.limbs) == len(bones)


@pytest.mark.parametrize("make", [wave, lantern, buoy, two_arms, flown])
def test_the_still_picture_draws_what_the_recipe_gives(make):
    """To half a step, a twentieth of a mm."""
    action = make()
    fills = [layer for layer in skin.drawn(action, 1, construction=True) if isinstance(layer, Fill)]
    svg = ElementTree.fromstring(picture.svg(action, 2))
    nodes = [node for node in svg.iter("{http://www.w3.org/2000/svg}path") if node.get("fill")]

    assert [getattr(palette, layer.tone.upper()) for layer in fills] == [node.get("fill") for node in nodes]
    for layer, node in zip(fills, nodes, strict=True):
        places = np.concatenate([walked(part) for part in node.get("d").split("z")[:-1]]) / picture.FINE
        corners = np.concatenate(layer.shapes)
        assert places.min(axis=0) == pytest.approx(corners.min(axis=0), abs=0.051)
        assert places.max(axis=0) == pytest.approx(corners.max(axis=0), abs=0.051)


def walked(d):
    """Places of one closed line, M and l."""
    steps = np.array([int(number) for number in re.findall(r"-?\d+", d)]).reshape(-1, 2)
    return steps.cumsum(axis=0)


@pytest.mark.parametrize("make", [wave, lantern, two_arms, flown, shaken])
def test_a_film_paints_what_the_recipe_gives(make):
    """At a thousand places each is as dark as the uppermost shape that it lies in, but for those at a pixel's edge."""
    action = make()
    frame = np.asarray(list(film.frames(action))[1])
    left, bottom, right, top = film.view(action)
    scale = frame.shape[1] / (right - left)
    layers = skin.drawn(action, 1, 3.6 / scale / pen.numbers()["pen"]["width"])
    corners = np.concatenate([shape for layer in layers for shape in layer.shapes])
    rng = np.random.default_rng(4)
    near = corners[rng.integers(0, len(corners), 4000)] + rng.normal(0, 1.5, (4000, 2))
    near = near[(near > [left + 1, bottom + 1]).all(axis=1) & (near < [right - 1, top - 1]).all(axis=1)]
    expected = np.ones(len(near), bool)  # paper
    for layer in layers:
        within = np.any([Outline(shape).contains_points(near) for shape in layer.shapes], axis=0)
        expected[within] = layer.tone == "paper"
    row, column = ((top - near[:, 1]) * scale).astype(int), ((near[:, 0] - left) * scale).astype(int)

    assert (~expected).sum() > 100
    assert (expected == (frame[row, column] > 128)).mean() > 0.96


def neighbours():
    for _, action in (("arm", wave()), ("buoy", buoy()), ("pennant", flown()), ("rope", shaken()), ("tail", TAIL)):
        yield action


def test_a_neighbour_is_the_outline_alone_dashed_or_dotted():
    for action in neighbours():
        before, after = (skin.neighbour(action, 2, side, 1) for side in ("before", "after"))
        assert [line.points.tolist() for line in before] == [line.points.tolist() for line in after]
        assert all(line.dash and line.tone == "mid" for line in before + after)
        assert not any(line.dots for line in before) and all(line.dots for line in after)


def test_importing_the_recipe_loads_no_matplotlib():
    """The light table draws its still picture by it, and must not wait."""
    code = ("import sys, anim_lessons.light_table.picture\n"
            "print(sorted({'matplotlib', 'scipy', 'PIL'} & set(sys.modules)))")
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True,
                          env={**os.environ, "PYTHONPATH": str(Path(anim_lessons.__file__).parents[1])})
    assert "[]" == done.stdout.strip()


def test_an_edge_that_is_cut_short_before_a_bend_is_drawn():
    """A part that folds back onto the one before it leaves little of the inner edge, and the next bend begins at once."""
    points = np.array([-3161.93 + 4817.91j, 5891.45 + 7477.12j, -1636.64 + 2320.73j, -10000 - 9949.36j])
    assert np.isfinite(pen.Tube(points, np.array([1670.49, 1314.12, 957.75, 601.38]), steps=12).shape).all()
