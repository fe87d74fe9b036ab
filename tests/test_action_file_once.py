"""An action file is parsed once: the quick way and the explaining way refuse the same files.

References: RFC 8259, section 4, "The names within an object SHOULD be unique" (from memory), decided here by
Python's own json module with each object's pairs before it; msgspec for the shape. That work grows with the
size and not with its square is counted, never timed: comparisons of keys, and letters that are looked at.
"""

import copy
import json

import msgspec
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from anim_lessons import Action, ActionError
from anim_lessons.ferry.actions import DEMOS
from anim_lessons.model import action_file, file_errors, file_shape

GOOD = action_file.dumps(DEMOS["buoy"]())
WHOLE = {  # every key an action file may have, and no more entries than are needed
    "format": "anim-lessons/action",
    "version": 1,
    "title": "a: b",
    "by": "",
    "rate": 24,
    "loop": True,
    "paper": {"width": 297, "height": 210.5},
    "exposure": [2, 3],
    "limbs": [
        {
            "name": "arm",
            "joints": ["root:", "tip"],
            "lengths": [5],
            "stops": [[-90, 90]],
            "drawings": [[[0, 0], [5, 0]], [[0, 0], [3, 4]]],
            "plans": [{"joint": "tip", "path": [[5, 0], [3, 4]], "chart": [0, 1]}],
        }
    ],
    "lines": [{"drawing": 2, "strokes": [[[0, 0], [5, 0.25]], [[1, 2, 0.75]]]}],
    "lecture": [
        {"drawing": 1, "limb": "arm", "joint": "tip", "points": [[0, 0], [5, 0]], "says": 'Look: "here".'}
    ],
}
WRONG = st.sampled_from(
    [
        None,
        True,
        False,
        0,
        1,
        2,
        -1,
        24.0,
        2.5,
        1e9,
        -1e9,
        10**40,
        "",
        "text",
        "\ud800",
        "x" * 2001,
        [],
        [1],
        [[1, 2]],
        [1, 2, 3],
        {},
        {"a": 1},
        [None],
        ["a", "b"],
        [[[0, 0], [1, 1]], [[0, 0], [1, 1]]],
    ]
)


def places(value, way=()):
    """Every place of a document, the document itself first."""
    yield way
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, item in inner:
        yield from places(item, (*way, key))


def at(document, way):
    for key in way:
        document = document[key]
    return document


@st.composite
def spoilt(draw):
    """The whole document with one to three places put right, wrong, away or under another key."""
    document = copy.deepcopy(WHOLE)
    for _ in range(draw(st.integers(1, 3))):
        way = draw(st.sampled_from([*places(document)][1:] or [()]))
        if not way:
            break
        holder, key = at(document, way[:-1]), way[-1]
        what = draw(st.sampled_from(["other", "away", "more"]))
        if what == "other":
            holder[key] = copy.deepcopy(draw(WRONG))
        elif what == "away":
            del holder[key]
        elif isinstance(holder, list):
            holder.insert(key, copy.deepcopy(holder[key]))
        else:
            holder[draw(st.sampled_from(["mood", "plans", "lecture", "lines"]))] = holder[key]
    return document


def converted(document):
    try:
        msgspec.convert(document, file_shape.File, strict=True)
    except (msgspec.ValidationError, UnicodeEncodeError):
        return False
    return True


def test_the_whole_document_is_read():
    assert isinstance(action_file.loads(json.dumps(WHOLE).encode()), Action)
    assert set(file_shape.File.__struct_fields__) == set(WHOLE)


@given(spoilt())
@settings(max_examples=250, deadline=None)
def test_what_msgspec_refuses_is_explained_and_nothing_else(document):
    """Half a character is the one thing that msgspec converts and the file cannot hold."""
    half = "\\ud800" in json.dumps(document)
    found = file_errors.misfit(document)
    assert (found is None) == converted(document) or (half and found is not None), found
    if found is not None:
        assert str(found) and "$" not in str(found)


@given(st.data())
@settings(max_examples=150, deadline=None)
def test_bytes_that_are_refused_are_refused_with_a_reason(data):
    good = json.dumps(WHOLE, ensure_ascii=data.draw(st.booleans())).encode()
    at = data.draw(st.integers(0, len(good)))
    broken = good[:at] + data.draw(st.binary(max_size=3)) + good[at + data.draw(st.integers(0, 3)) :]
    try:
        file_shape.decode(broken)
    except (msgspec.MsgspecError, UnicodeDecodeError):
        assert file_errors.refused(broken) is not None, broken


def twice(text):
    """Whether a key stands twice in an object, by Python's json module and in quadratic time."""
    found = []
    json.loads(
        text, object_pairs_hook=lambda pairs: found.append(len(pairs) - len({key for key, _ in pairs}))
    )
    return any(found)


@st.composite
def texts_with_keys_again(draw):
    """The whole document as JSON, with what looks like keys in its texts. Some of its objects begin with a key
    that stands in them again, written as it is or by an escape."""
    names = st.sampled_from(['"rate":', '\\":', "{", ":", "\\", "é:", '", "by": "', ""])
    document = copy.deepcopy(WHOLE)
    document["title"], document["limbs"][0]["name"], document["lecture"][0]["says"] = draw(
        st.tuples(names, names, names)
    )
    document["lecture"][0]["limb"] = document["limbs"][0]["name"]
    text = json.dumps(document, ensure_ascii=draw(st.booleans()), indent=draw(st.sampled_from([None, 1])))
    for key, value in draw(
        st.lists(
            st.sampled_from(
                [
                    ("rate", 12),
                    ("title", ":::"),
                    ("width", 10),
                    ("joints", ["a", "tip"]),
                    ("chart", [0, 0.5]),
                    ("says", ""),
                ]
            ),
            max_size=2,
            unique_by=lambda it: it[0],
        )
    ):
        before = text.index(f'"{key}"')
        again = draw(st.sampled_from([key, f"\\u{ord(key[0]):04x}{key[1:]}"]))
        text = f'{text[:before]}"{again}": {json.dumps(value)}, {text[before:]}'
    return text


@given(texts_with_keys_again())
@settings(max_examples=150, deadline=None)
def test_a_key_that_stands_twice_is_found_and_nothing_else_is_taken_for_one(text):
    data = text.encode()
    assert file_shape.keys_stand_once(file_shape.decode(data), data) == (not twice(text))
    if twice(text):
        with pytest.raises(ActionError, match="stands twice in one object; keep one of them"):
            action_file.loads(data)
    else:
        assert isinstance(action_file.loads(data), Action)


def test_the_place_of_a_key_that_stands_twice_is_named():
    text = json.dumps(WHOLE)
    for key, where in (
        ('"width"', 'key "paper": '),
        ('"lengths"', 'limb "arm": '),
        ('"chart"', 'limb "arm", plan of "tip": '),
        ('"says"', "lecture, step 1: "),
    ):
        before = text.index(key)
        value = '""' if key == '"says"' else "5" if key == '"width"' else "[1, 1]"
        with pytest.raises(ActionError) as caught:
            action_file.loads(f"{text[:before]}{key}: {value}, {text[before:]}".encode(), "a.json")
        assert f"a.json: {where}the key {key} stands twice in one object; keep one of them" == str(
            caught.value
        )


# ---- work that grows with the size ------------------------------------------------------------------


class Counted(str):
    """A key that counts how often one is hashed or compared."""

    work = 0
    __slots__ = ()

    def __hash__(self):
        Counted.work += 1
        return super().__hash__()

    def __eq__(self, other):
        Counted.work += 1
        return super().__eq__(other)


def work_for(keys):
    pairs = [(Counted(key), 0) for key in keys]
    Counted.work = 0
    made = file_errors._object(pairs)
    return Counted.work, getattr(made, "twice", None)


@pytest.mark.parametrize(
    "keys",
    [
        lambda n: ["rate"] * n,  # all the same
        lambda n: [*map(str, range(n)), "0"],  # the last one again
        lambda n: [*map(str, range(n))] * 2,  # each of them again
    ],
)
def test_twice_the_keys_are_twice_the_work(keys):
    (one, first), (two, second) = work_for(keys(2_000)), work_for(keys(4_000))
    assert first is not None and second is not None
    assert two <= 2.1 * one


def test_a_text_without_end_is_passed_over_once():
    """Else each quote after a backslash would begin a text of its own: n letters looked at n times."""
    for n in (1_000, 2_000):
        text = '{"title": "' + '\\"' * n
        spans = [match.span() for match in file_errors._BRACKETS.finditer(text)]
        assert [(0, 1), (1, 8), (10, len(text))] == spans


@pytest.mark.parametrize("opening", ["[", '{"a":', '[{"a":[['])
def test_brackets_within_brackets_are_looked_at_no_further_than_they_matter(opening):
    cut = {n: file_errors._cut('{"title": ' + opening * n) for n in (1_000, 100_000)}
    assert cut[1_000] == cut[100_000]
    json.loads(cut[1_000])


def test_megabytes_of_keys_and_of_brackets_are_refused_by_their_place():
    keys = GOOD.replace(b'"rate": 24', b'"rate": 24,' * 100_000 + b'"rate": 24')
    with pytest.raises(ActionError, match='the key "rate" stands twice'):
        action_file.loads(keys)
    for nest in (b"[" * 100_000 + b"]" * 100_000, b'{"a":' * 100_000 + b"1" + b"}" * 100_000):
        with pytest.raises(ActionError, match='key "by": a text belongs here'):
            action_file.loads(GOOD.replace(b'"by": ""', b'"by": ' + nest))
    deep = GOOD.replace(b"[[", b"[" * 100_000, 1)
    with pytest.raises(
        ActionError,
        match='limb "buoy", drawing 1, joint "buoy", x: a number belongs here, and there is a list',
    ):
        action_file.loads(deep)
