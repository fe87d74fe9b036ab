"""Pencil lines: in the file, in operations on an action, in pictures, and between page and Python.

References
----------
W3C Pointer Events Level 3, "pressure": from 0 to 1, and 0.5 of hardware that tells none while a button is down. From memory.
Ramer 1972; Douglas and Peucker 1973: a line simplified, as OpenCV's `approxPolyDP` does it. Seen.
"""

import json
import shutil
import subprocess
from pathlib import Path
from types import SimpleNamespace

import cv2
import numpy as np
import pytest
from click.testing import CliRunner
from hourglass import Hourglass

from anim_lessons import check
from anim_lessons.assist.hand_in import hand_in
from anim_lessons.assist.mend import mend
from anim_lessons.commands import main
from anim_lessons.course.marking import drawn_digest
from anim_lessons.ferry.actions import traced_twice, wave
from anim_lessons.light_table import LightTable, desk, given_page
from anim_lessons.model import action_file, lines
from anim_lessons.model.action import Action, ActionError, Limb, Line
from anim_lessons.paper import on_film
from anim_lessons.pictures import film, skin
from anim_lessons.storage.store import Store

PAGE = Path(lines.__file__).parents[1] / "light_table" / "page"
needs_node = pytest.mark.skipif(shutil.which("node") is None, reason="NO NODE FOUND, so the page's strokes are not drawn; install nodejs")
DASH = [(100.0, 100.0), (130.0, 104.0)]
PRESSED = [(100.0, 90.0, 0.1), (115.0, 95.0, 0.9), (130.0, 90.0, 0.4)]


def by_node(script, *given):
    names = "{ pieces } from './strokes.mjs'", "{ kept, simplified } from './hand_strokes.mjs'"
    imports = "".join(f"import {name};\n".replace("./", f"{PAGE.as_uri()}/") for name in names)
    text = f"{imports}const given = {json.dumps(given)};\nconsole.log(JSON.stringify({script}));"
    done = subprocess.run(["node", "--input-type=module"], input=text, capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


@pytest.fixture
def lined():
    return wave(drawings=12).with_line(3, [DASH, PRESSED]).with_line(1, [[(5, 5)]])


# ---- the file ----------------------------------------------------------------------------------


def test_a_line_is_written_in_one_form_and_read_back(lined):
    data = action_file.dumps(lined)
    assert b"""  ],
  "lines": [
    {"drawing": 1, "strokes": [[[5, 5]]]},
    {"drawing": 3, "strokes": [[[100, 100], [130, 104]], [[100, 90, 0.1], [115, 95, 0.9], [130, 90, 0.4]]]}
  ]
}
""" in data
    assert action_file.dumps(action_file.loads(data)) == data
    assert [[0.5, 0.5], [0.1, 0.9, 0.4]] == [stroke[:, 2].tolist() for stroke in action_file.loads(data).line(3)]


def test_a_file_without_lines_has_the_bytes_it_had_and_no_key():
    bare = wave(drawings=12)
    assert b"lines" not in action_file.dumps(bare)
    assert action_file.dumps(bare.with_line(2, [DASH]).with_line(2, [])) == action_file.dumps(bare)


def test_what_is_finer_than_a_hundredth_is_rounded_and_there_is_one_nought():
    (stroke,) = Line(1, [[(1.23456, -0.001, 0.333), (2, 2, 0.5)]]).strokes
    assert [[1.23, 0.0, 0.33], [2.0, 2.0, 0.5]] == stroke.tolist()
    assert "-" not in str(stroke[0, 1])


WRONG = {
    "a text for a place": ([[DASH[0], ["x", 1]]], 'drawing 3, stroke 1, point 2, x: a number belongs here'),
    "a point of one number": ([DASH, [[1]]], "drawing 3, stroke 2, point 1: the list is too short"),
    "a point of four": ([[[1, 1, 0.5, 0]]], "drawing 3, stroke 1, point 1: the list is too long"),
    "some with a pressure": ([[[1, 1, 0.5], [2, 2]]], "drawing 3, stroke 1: it is no list of points of one form; give"),
    "too hard": ([DASH, [[1, 1, 0.5], [2, 2, 1.01]]], "drawing 3, stroke 2, point 2: its pressure is 1.01; give a pressure from 0 to 1"),
    "less than nothing": ([[[1, 1, -0.01]]], "drawing 3, stroke 1, point 1: its pressure is -0.01; give"),
    "off the paper": ([[[1, 10_001]]], "drawing 3, stroke 1, point 1, y: the number is too large; at most 10000"),
    "an empty stroke": ([[]], "drawing 3, stroke 1: the list is too short"),
    "no strokes": ([], "drawing 3: the list is too short; it needs at least 1"),
    "too many strokes": ([DASH] * 401, "drawing 3: the list is too long; it may have at most 400"),
    "too many points": ([[[1, 1]] * 1001], "drawing 3, stroke 1: the list is too long; it may have at most 1000"),
}


@pytest.mark.parametrize("strokes, says", WRONG.values(), ids=WRONG)
def test_a_stroke_that_cannot_be_drawn_is_refused_where_it_is(lined, strokes, says):
    document = action_file.document(lined)
    document["lines"][1]["strokes"] = strokes
    for read in (action_file.from_document, lambda whole: action_file.loads(json.dumps(whole).encode())):
        with pytest.raises(ActionError) as refused:
            read(document)
        assert says in str(refused.value)


ODD = {
    "drawing 13": ({"drawing": 13, "strokes": [DASH]}, "there is a line on drawing 13, and there are 12 drawings; take it out"),
    "drawing 3 again": ({"drawing": 3, "strokes": [DASH]}, "drawing 3: it has two lines; keep one"),
    "another key": ({"drawing": 4, "strokes": [DASH], "colour": "red"}, 'drawing 4: unknown key "colour"; take it out'),
    "no drawing": ({"strokes": [DASH]}, 'key "lines", number 3: missing key "drawing"'),
    "no object": (5, 'key "lines", number 3: an object in braces belongs here'),
}


@pytest.mark.parametrize("line, says", ODD.values(), ids=ODD)
def test_a_line_that_belongs_to_no_drawing_is_refused(lined, line, says):
    document = action_file.document(lined)
    document["lines"].append(line)
    with pytest.raises(ActionError) as refused:
        action_file.loads(json.dumps(document).encode())
    assert says in str(refused.value)


def test_a_key_twice_in_a_line_is_refused(lined):
    data = action_file.dumps(lined).replace(b'{"drawing": 1, ', b'{"drawing": 1, "drawing": 1, ')
    with pytest.raises(ActionError, match='key "drawing" stands twice'):
        action_file.loads(data)


def test_points_are_counted_on_all_drawings():
    buoy = Action((Limb("buoy", ("buoy",), (), (), [[(1, 1)]] * 240),))
    full = tuple(Line(n, [[(1, 1)] * 250]) for n in range(1, 241))
    assert lines.MOST_IN_ALL == sum(line.points for line in buoy.replace(lines=full).lines)
    with pytest.raises(ActionError, match="the lines have 60001 points in all; keep them to 60000"):
        buoy.replace(lines=(Line(1, [[(1, 1)] * 251]), *full[1:]))


def test_the_largest_lines_are_a_file():
    """All points that there may be, written as long as they can be."""
    far = np.column_stack([np.full(1000, -1234.56), np.full(1000, -1234.56), np.full(1000, 0.33)])
    action = wave(drawings=60).replace(lines=tuple(Line(n, [far]) for n in range(1, 61)))
    data = action_file.dumps(action)
    assert len(data) < 2_000_000
    assert action_file.dumps(action_file.loads(data)) == data


# ---- lines follow their drawings ----------------------------------------------------------------


def test_lines_go_with_their_drawings(lined):
    stack = lined.replace(exposure=tuple(range(1, 13))).stacked([3, 3, 12, 1])  # doubled, moved, taken out
    assert [2, 2, 0, 1] == [len(stack.line(n)) for n in range(1, 5)]
    assert (3, 3, 12, 1) == stack.exposure
    assert np.array_equal(stack.limbs[0].drawings, lined.limbs[0].drawings[[2, 2, 11, 0]])
    with pytest.raises(ActionError, match="drawings 1 to 12; name only these"):
        lined.stacked([0, 1])


def test_a_mirror_turns_lines_over(lined):
    stroke = lined.mirrored().line(3)[1]
    assert [[197.0, 90.0, 0.1], [182.0, 95.0, 0.9], [167.0, 90.0, 0.4]] == stroke.tolist()
    assert [line.told() for line in lined.mirrored().mirrored().lines] == [line.told() for line in lined.lines]


def test_copies_keep_lines_as_long_as_they_have_as_many_drawings(lined):
    moved = lined.redrawn(lined.limbs[0].drawings + 3.0)
    assert lined.lines == moved.lines == lined.replace(title="other").lines
    assert () == lined.replace(limbs=wave(drawings=8).limbs).lines


def test_lines_are_not_judged(lined):
    for bare in (wave(drawings=12), traced_twice(wave(drawings=16), drawing=12)):
        action = bare.with_line(3, [DASH, PRESSED])
        assert [str(one) for one in check(bare).findings] == [str(one) for one in check(action).findings]
        assert hand_in(bare).marks == hand_in(action).marks
        assert drawn_digest(bare) == drawn_digest(action)
        assert bare.drawn_as(action)
        mended = mend(action).action
        assert mended.lines == action.lines
        traced = bare.redrawn(np.repeat(bare.limbs[0].drawings[:1], bare.count, axis=0))
        assert "nothing drawn" == hand_in(traced.with_line(3, [DASH]), start=traced).state  # a line is no drawing of joints


# ---- pictures ---------------------------------------------------------------------------------


def test_a_line_takes_the_figures_place_and_the_body_is_pale_throughout(lined):
    bare = wave(drawings=12)
    tones = [[layer.tone for layer in skin.drawn(action, d)] for action, d in ((bare, 2), (lined, 2), (lined, 4))]
    assert "faint" not in tones[0] and "faint" in tones[1] and "faint" in tones[2]
    strokes = [layer for layer in skin.drawn(lined, 2) if isinstance(layer, skin.Stroke)]
    assert strokes and all(layer.round for layer in strokes)
    assert not any(isinstance(layer, skin.Stroke) for layer in skin.drawn(lined, 4))
    assert any("ink" == layer.tone for layer in skin.drawn(lined, 4))
    with_bones = skin.drawn(lined, 2, construction=True)
    assert len(strokes) + 1 == sum(isinstance(layer, skin.Stroke) for layer in with_bones)  # and the bones


def test_neighbours_show_their_lines_by_dashes_and_dots(lined):
    before, after = (skin.neighbour(lined, 2, side, 1) for side in ("before", "after"))
    assert [2, 3] == [len(stroke.points) for stroke in before]
    assert (False, True) == (before[0].dots, after[0].dots) and before[0].dash != after[0].dash


def test_a_film_shows_the_line_as_wide_as_it_was_pressed():
    """30 mm along y = 60, where nothing else is drawn; a line is 0.3 mm and 1 mm more at full pressure."""
    bare = wave(drawings=12)
    action = bare.with_line(2, [[(220.0, 60.0, 1.0), (250.0, 60.0, 1.0)], [(220.0, 50.0, 0.0), (250.0, 50.0, 0.0)]])
    frames = list(film.frames(action))
    left, _, right, top = film.view(action)
    scale = frames[0].width / (right - left)

    def ink(frame, y):
        column = np.asarray(frame)[:, int((235 - left) * scale)].astype(float)
        rows = slice(int((top - y - 3) * scale), int((top - y + 3) * scale))
        return (255 - column[rows]).sum() / 255 / scale

    assert abs(ink(frames[1], 60) - 1.3) < 0.05 and abs(ink(frames[1], 50) - 0.3) < 0.05
    assert ink(frames[0], 60) == 0
    assert max(film.view(action)) < 400  # and a stroke that runs far off the sheet makes nothing smaller
    off = action.with_line(5, [[(100, 100), (9_000, 100)]])
    assert film.view(off)[2] < 500


@needs_node
def test_page_and_pictures_draw_a_stroke_in_the_same_widths():
    rng = np.random.default_rng(4)
    strokes = [np.column_stack([rng.uniform(0, 200, (n, 2)), rng.uniform(0, 1, n)]).round(2) for n in (1, 2, 3, 40, 200)]
    strokes.append(np.array([[0, 0, 0.1], [1, 0, 0.2], [2, 0, 0.3], [3, 0, 0.4]]))  # halves between two widths
    asked = [*map(np.ndarray.tolist, strokes), [[1, 2], [3, 4]]]
    for stroke, page in zip([*strokes, Line(1, [[(1, 2), (3, 4)]]).strokes[0]], by_node("given.map(pieces)", *asked), strict=True):
        for (wide, points), one in zip(lines.pieces(stroke), page, strict=True):
            assert abs(wide - one["wide"]) < 1e-9
            assert np.allclose(points, [point[:2] for point in one["points"]])


@needs_node
def test_a_stroke_is_simplified_as_douglas_and_peucker_do_it():
    """OpenCV's own code, on curves of a hand that never turns back on itself."""
    rng, curves, t = np.random.default_rng(5), [], np.linspace(0, 1, 300)
    for _ in range(12):
        waves = rng.normal(0, 1, (6, 2)) * (30 / np.arange(1, 7))[:, None]
        curves.append(np.float32(100 + np.sin(np.pi * np.outer(t, np.arange(1, 7))) @ waves + np.outer(t, rng.uniform(-60, 60, 2))))
    found = by_node("given.map((curve) => simplified(curve, 0.1))", *(curve.tolist() for curve in curves))
    for curve, less in zip(curves, found, strict=True):
        assert np.allclose(less, cv2.approxPolyDP(curve[:, None], 0.1, False)[:, 0])
        assert len(less) < 120


def test_a_line_lies_over_a_drawing_from_paper(lined):
    """A sheet of grey, as if all of it were shaded: the line is darker, and the paper is seen beside it."""
    picture = np.full((420, 594), 128, np.uint8)
    folder = SimpleNamespace(drawings={3: SimpleNamespace(box=(0.0, 0.0, 297.0, 210.0))}, picture=lambda number: picture)
    frame = np.asarray(list(on_film.frames(folder)(lined))[2])
    left, _, right, top = film.view(lined)
    scale = frame.shape[1] / (right - left)
    at = [(int((top - y) * scale), int((x - left) * scale)) for x, y in ((115, 102), (115, 110))]
    assert frame[at[0]] < 20
    assert abs(int(frame[at[1]]) - 128) <= 1


# ---- commands and pages ---------------------------------------------------------------------------


def test_a_pencil_test_is_exported_of_lines_alone(tmp_path, lined):
    (tmp_path / "bare.json").write_bytes(action_file.dumps(wave(drawings=12)))
    (tmp_path / "wave.json").write_bytes(action_file.dumps(lined))

    def export(name, to):
        return CliRunner().invoke(main, ["export", str(tmp_path / name), "--pencil", "--to", str(tmp_path / to)])

    refused = export("bare.json", "bare.gif")
    assert 0 != refused.exit_code and "nothing was drawn with a pencil" in refused.output + str(refused.exception)
    assert 0 == export("wave.json", "wave.gif").exit_code
    assert (tmp_path / "wave.gif").read_bytes().startswith(b"GIF89a")


def test_a_page_that_is_given_away_has_the_lines_and_else_no_word_of_them(lined):
    text = given_page(lined)
    assert '"lines":{"revision":1,"drawings":{"1":[[[5,5]]],"3":' in text
    assert '"lines":{"revision"' not in given_page(wave(drawings=12))


# ---- the light table ---------------------------------------------------------------------------------


@pytest.fixture
def table(tmp_path):
    glass, store = Hourglass(), Store(tmp_path / "wave.json")
    store.save(action_file.dumps(wave(drawings=12)))
    table = LightTable(wave(drawings=12), store, timer=glass.timer)
    yield table
    table.close()


def sends(table, revision, action=None, strokes=None, of=None):
    state = {"pose": json.loads(json.dumps(desk.pose(action or table.action, revision)))}
    if strokes is not None:
        state["lines"] = {"revision": revision if of is None else of, "drawings": strokes}
    table.set_state(state)


def test_a_stroke_from_the_page_is_saved_with_its_drawing(table):
    sends(table, 2, strokes={"3": [[[1, 2], [3, 4]]], "1": [[[5, 5, 0.75]]]})
    assert [1, 3] == [line.drawing for line in table.action.lines]
    table.save()
    assert 2 == len(action_file.read(table.store.path).lines)
    assert table.verdict["revision"] == 2


def test_a_drag_leaves_lines_where_they_are(table):
    sends(table, 2, strokes={"3": [[[1, 2], [3, 4]]]})
    sends(table, 3, action=table.action.redrawn(table.action.limbs[0].drawings + 1.0))
    assert 1 == len(table.action.line(3)) and table.lines["drawings"].keys() == {"3"}


def test_older_lines_do_not_come_back_with_a_later_pose(table):
    """A page that could not send for a while sends its newest pose, and lines from before those that Python laid."""
    sends(table, 2, strokes={"3": [[[1, 2], [3, 4]]]})
    table.action = table.action.with_line(5, [DASH])
    revision = table.pose["revision"]
    sends(table, revision + 1, strokes={"3": [[[1, 2], [3, 4]]]}, of=revision - 1)
    assert [3, 5] == [line.drawing for line in table.action.lines]
    assert table.lines["drawings"].keys() == {"3", "5"}


BAD = {
    "of no drawing": {"13": [[[1, 1]]]},
    "of no number": {"x": [[[1, 1]]]},
    "a number twice": {"3": [[[1, 1]]], "03": [[[1, 1]]]},
    "no strokes": {"3": []},
    "pressed too hard": {"3": [[[1, 1, 2]]]},
    "no list": [],
}


@pytest.mark.parametrize("strokes", BAD.values(), ids=BAD)
def test_what_cannot_be_drawn_is_refused_and_the_last_good_line_stays(table, strokes):
    sends(table, 2, strokes={"3": [[[1, 2], [3, 4]]]})
    sends(table, 3, strokes=strokes)
    assert [3] == [line.drawing for line in table.action.lines]
    assert table.pose["revision"] > 3 and table.lines["revision"] == table.pose["revision"]
    assert "It was not taken" in table.verdict["next"]


def test_lines_without_a_pose_are_dropped(table):
    table.set_state({"lines": {"revision": 9, "drawings": {"3": [[[1, 2]]]}}})
    assert () == table.action.lines and {} == table.lines["drawings"]
