"""The action file: what is written is read back, and the same action gives the same bytes.

References: RFC 8259 (JSON), read by Python's own json module and described by a
JSON Schema (draft 2020-12) that was written from the file's description, not from the code.
"""

import json

import hypothesis.extra.numpy as arrays
import jsonschema
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from anim_lessons import Action, ActionError, Limb
from anim_lessons.ferry.actions import DEMOS
from anim_lessons.model import action_file
from anim_lessons.model.action import Line, Plan, Step

MM = {"type": "number", "minimum": -10_000, "maximum": 10_000}
TEXT = {"type": "string"}
PLACES = {"type": "array", "items": {"type": "array", "items": MM, "minItems": 2, "maxItems": 2}}
# points of a stroke: all with x and y, or all with a pressure from 0 to 1 besides
STROKE = {"anyOf": [{**PLACES, "minItems": 1},
                    {"type": "array", "minItems": 1, "items": {"type": "array", "prefixItems": [MM, MM, {"minimum": 0, "maximum": 1}],
                                                               "minItems": 3, "maxItems": 3}}]}
SCHEMA = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "type": "object",
    "properties": {
        "format": {"const": "anim-lessons/action"},
        "version": {"const": 1},
        "title": TEXT,
        "by": TEXT,
        "rate": {"type": "integer", "minimum": 1},
        "loop": {"type": "boolean"},
        "paper": {
            "type": "object",
            "properties": {side: {"type": "number", "minimum": 0.1} for side in ("width", "height")},
            "required": ["width", "height"],
            "additionalProperties": False,
        },
        "exposure": {"anyOf": [{"type": "integer", "minimum": 1},
                               {"type": "array", "items": {"type": "integer", "minimum": 1}}]},
        "limbs": {
            "type": "array",
            "minItems": 1,
            "items": {
                "type": "object",
                "properties": {
                    "name": TEXT,
                    "joints": {"type": "array", "minItems": 1, "items": TEXT},
                    "lengths": {"type": "array", "items": {"type": "number", "minimum": 0.1}},
                    "stops": {"type": "array", "items": {
                        "type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}},
                    "drawings": {"type": "array", "minItems": 2, "items": {"type": "array", "items": {
                        "type": "array", "items": MM, "minItems": 2, "maxItems": 2}}},
                    "plans": {"type": "array", "minItems": 1, "items": {
                        "type": "object",
                        "properties": {"joint": TEXT, "path": {**PLACES, "minItems": 2},
                                       "chart": {"type": "array", "items": {"type": "number", "minimum": 0, "maximum": 1}}},
                        "required": ["joint", "path", "chart"],
                        "additionalProperties": False,
                    }},
                },
                "required": ["name", "joints", "lengths", "stops", "drawings"],
                "additionalProperties": False,
            },
        },
        "lines": {"type": "array", "minItems": 1, "items": {
            "type": "object",
            "properties": {"drawing": {"type": "integer", "minimum": 1}, "strokes": {"type": "array", "minItems": 1, "items": STROKE}},
            "required": ["drawing", "strokes"],
            "additionalProperties": False,
        }},
        "lecture": {"type": "array", "minItems": 1, "items": {
            "type": "object",
            "properties": {"drawing": {"type": "integer", "minimum": 1}, "limb": TEXT, "joint": TEXT, "points": PLACES,
                           "says": TEXT},
            "required": ["drawing", "limb", "joint", "points", "says"],
            "additionalProperties": False,
        }},
    },
    "required": ["format", "version", "title", "by", "rate", "loop", "paper", "exposure", "limbs"],
    "additionalProperties": False,
}

texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=20)
coordinates = st.floats(-10_000, 10_000)


@st.composite
def limbs(draw, name, count):
    joints = draw(st.lists(texts, min_size=1, max_size=4, unique=True))
    segments = len(joints) - 1
    lengths = draw(arrays.arrays(float, segments, elements=st.floats(0.1, 10_000)))
    stops = np.sort(draw(arrays.arrays(float, (segments, 2), elements=st.floats(-360, 360))), axis=1)
    planned = draw(st.lists(st.sampled_from(joints), max_size=2, unique=True))
    return Limb(name, tuple(joints), lengths, stops,
                draw(arrays.arrays(float, (count, len(joints), 2), elements=coordinates)),
                tuple(draw(plans(joint, count)) for joint in planned))


@st.composite
def plans(draw, joint, count):
    path = draw(arrays.arrays(float, (draw(st.integers(2, 6)), 2), elements=coordinates).filter(lambda p: (p.round(3) != p[0].round(3)).any()))
    return Plan(joint, path, np.sort(draw(arrays.arrays(float, count, elements=st.floats(0, 1)))))


@st.composite
def steps(draw, limbs, count):
    limb = draw(st.sampled_from(limbs))
    points = draw(arrays.arrays(float, (len(limb.joints), 2), elements=coordinates))
    return Step(draw(st.integers(1, count)), limb.name, draw(st.sampled_from(limb.joints)), points, draw(texts))


@st.composite
def lines(draw, count):
    def stroke():
        places = draw(arrays.arrays(float, (draw(st.integers(1, 4)), 2), elements=coordinates))
        pressed = draw(st.none() | arrays.arrays(float, len(places), elements=st.floats(0, 1)))
        return places if pressed is None else np.column_stack([places, pressed])

    return Line(draw(st.integers(1, count)), [stroke() for _ in range(draw(st.integers(1, 3)))])


@st.composite
def actions(draw):
    count = draw(st.integers(2, 6))
    names = draw(st.lists(texts, min_size=1, max_size=3, unique=True))
    frames = st.integers(1, 10_000)
    made = tuple(draw(limbs(name, count)) for name in names)
    return Action(
        made, draw(texts), draw(texts), draw(st.integers(1, 240)),
        draw(st.booleans()), draw(st.tuples(*[st.floats(0.1, 10_000)] * 2)),
        draw(st.one_of(frames, st.tuples(*[frames] * count))), draw(st.lists(steps(made, count), max_size=3)),
        draw(st.lists(lines(count), max_size=3, unique_by=lambda line: line.drawing)))


def same(one, other):
    """True where two actions hold the same, down to the last bit of each number."""
    return ((one.title, one.by, one.rate, one.loop, one.paper, one.exposure) ==
            (other.title, other.by, other.rate, other.loop, other.paper, other.exposure)) and all(
        (a.name, a.joints) == (b.name, b.joints) and all(
            np.array_equal(getattr(a, field), getattr(b, field)) for field in ("lengths", "stops", "drawings")) and all(
            p.joint == q.joint and np.array_equal(p.path, q.path) and np.array_equal(p.chart, q.chart)
            for p, q in zip(a.plans, b.plans, strict=True))
        for a, b in zip(one.limbs, other.limbs, strict=True)) and all(
        (a.drawing, a.limb, a.joint, a.says) == (b.drawing, b.limb, b.joint, b.says) and np.array_equal(a.points, b.points)
        for a, b in zip(one.lecture, other.lecture, strict=True)) and all(
        a.drawing == b.drawing and all(np.array_equal(p, q) for p, q in zip(a.strokes, b.strokes, strict=True))
        for a, b in zip(one.lines, other.lines, strict=True))


@given(actions())
@settings(max_examples=60, deadline=None)
def test_what_is_written_is_read_back_and_written_alike(action):
    data = action_file.dumps(action)
    back = action_file.loads(data)

    assert same(action, back)
    assert data == action_file.dumps(back)


@given(actions())
@settings(max_examples=60, deadline=None)
def test_what_is_written_is_json_as_described(action):
    def refuse(name):
        raise AssertionError(f"{name} is no JSON number")

    document = json.loads(action_file.dumps(action).decode("utf-8"), parse_constant=refuse)

    jsonschema.validate(document, SCHEMA, cls=jsonschema.Draft202012Validator)
    assert document == action_file.document(action)
    assert same(action, action_file.from_document(document))


@given(st.binary(max_size=400))
@settings(max_examples=300, deadline=None)
def test_any_bytes_are_read_or_refused_in_a_line(data):
    with pytest.raises(ActionError) as refusal:
        action_file.loads(data)
    assert len(str(refusal.value).splitlines()) <= 2


@given(st.data())
@settings(max_examples=200, deadline=None)
def test_one_wrong_byte_is_an_action_or_a_refusal(data):
    good = action_file.dumps(DEMOS["buoy"]())
    at = data.draw(st.integers(0, len(good) - 1))
    broken = good[:at] + bytes([data.draw(st.integers(0, 255))]) + good[at + 1:]
    try:
        assert isinstance(action_file.loads(broken), Action)
    except ActionError:
        pass


@pytest.mark.parametrize("name", DEMOS)
def test_the_demos_are_written_and_read(name, tmp_path):
    action = DEMOS[name]()
    path = tmp_path / "ünder the pier.json"
    path.write_bytes(action_file.dumps(action))
    assert same(action, action_file.read(path))


def test_a_drawing_has_a_line_and_whole_numbers_no_fraction():
    buoy = Limb("buoy", ("top",), [], [], np.array([[[1.0, -0.0]], [[2.5, 3.0]]]))
    lines = action_file.dumps(Action((buoy,))).decode().splitlines()
    assert ["        [[1, 0]],", "        [[2.5, 3]]"] == [line for line in lines if line.startswith("        [[")]


@pytest.mark.parametrize("exposure", [2, (2, 2)])
def test_one_exposure_for_all_has_one_form(exposure):
    buoy = Limb("buoy", ("top",), [], [], np.zeros((2, 1, 2)))
    assert b'"exposure": 2,' in action_file.dumps(Action((buoy,), exposure=exposure))


def test_a_file_without_plan_and_lecture_is_written_without_the_keys():
    text = action_file.dumps(DEMOS["wave"]())
    assert b"plans" not in text and b"lecture" not in text
    limb = DEMOS["buoy"]().limbs[0]
    lines = action_file.dumps(Action((limb,))).decode().splitlines()
    assert ["  ]", "}"] == lines[-2:]


@pytest.mark.parametrize("key", ["plans", "lecture"])
def test_an_empty_key_is_the_same_as_none(key):
    good = action_file.dumps(DEMOS["buoy"]())
    document = json.loads(good)
    (document["limbs"][0] if key == "plans" else document)[key] = []
    assert good == action_file.dumps(action_file.loads(json.dumps(document).encode()))


def test_a_plan_and_a_step_have_a_line_each():
    buoy = DEMOS["buoy"]().limbs[0]
    plan = Plan("buoy", [[1.0, 2.0], [3.5, 4.0]], np.linspace(0, 1, 12))
    limb = Limb(buoy.name, buoy.joints, buoy.lengths, buoy.stops, buoy.drawings, (plan,))
    action = Action((limb,), lecture=(Step(3, "buoy", "buoy", [[7.0, 8.0]], "It hangs."), Step(4, "buoy", "buoy", [[7.0, 9.0]])))
    lines = action_file.dumps(action).decode().splitlines()
    assert 1 == sum(line.startswith('        {"joint": "buoy", "path": [[1, 2], [3.5, 4]], "chart": [0, ') for line in lines)
    assert ['  "lecture": [',
            '    {"drawing": 3, "limb": "buoy", "joint": "buoy", "points": [[7, 8]], "says": "It hangs."},',
            '    {"drawing": 4, "limb": "buoy", "joint": "buoy", "points": [[7, 9]], "says": ""}', "  ]", "}"] == lines[-5:]
