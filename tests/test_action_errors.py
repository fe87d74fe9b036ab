"""An error carries its parts, and one place makes the sentence."""

import copy
import json
import pickle

import pytest
from test_action_file_once import WHOLE, at

from anim_lessons import ActionError
from anim_lessons.model import action_file


def refusal(way, value):
    document = copy.deepcopy(WHOLE)
    at(document, way[:-1])[way[-1]] = value
    with pytest.raises(ActionError) as caught:
        action_file.loads(json.dumps(document).encode(), "a.json")
    return caught.value


@pytest.mark.parametrize(
    "way, value, parts",
    [
        (("rate",), "24", {"key": "rate"}),
        (("paper", "width"), 0, {"key": "paper.width"}),
        (("exposure", 1), 0, {"key": "exposure", "drawing": 2}),
        (("limbs", 0, "lengths", 0), "5", {"limb": "arm", "key": "lengths", "number": 1}),
        (("limbs", 0, "stops", 0), [90, -90], {"limb": "arm", "segment": (1, "root:", "tip")}),
        (("limbs", 0, "drawings", 1), [[0, 0]], {"limb": "arm", "drawing": 2}),
        (("limbs", 0, "drawings", 1, 0), [0], {"limb": "arm", "drawing": 2, "joint": "root:"}),
        (("limbs", 0, "drawings", 1, 1, 0), True, {"limb": "arm", "drawing": 2, "joint": "tip", "axis": "x"}),
        (
            ("limbs", 0, "plans", 0, "path", 1, 1),
            None,
            {"limb": "arm", "plan": "tip", "spot": 2, "axis": "y"},
        ),
        (("limbs", 0, "plans", 0, "chart"), [1, 0.5], {"limb": "arm", "plan": "tip", "drawing": 2}),
        (
            ("lecture", 0, "points", 1, 0),
            float("nan"),
            {"step": 1, "limb": "arm", "drawing": 1, "joint": "tip", "axis": "x"},
        ),
        (("lecture", 0, "joint"), "knee", {"step": 1, "limb": "arm"}),
        (("limbs", 0, "name"), 7, {"limb": 1, "key": "name"}),
    ],
)
def test_an_error_carries_its_place(way, value, parts):
    error = refusal(way, value)
    assert "a.json" == error.file
    names = ("step", "limb", "plan", "segment", "key", "number", "drawing", "joint", "spot", "axis")
    assert parts == {name: getattr(error, name) for name in names if getattr(error, name) is not None}
    assert str(error) == f"a.json: {error.says}" and error.says.startswith(f"{error.where}: {error.what}")


def test_an_error_of_one_sentence_is_that_sentence():
    error = ActionError("that joint is not on the table")
    assert ("that joint is not on the table", "", "") == (str(error), error.where, error.do)


def test_what_an_error_names_already_stays():
    error = ActionError("it lies off the paper", "draw it anew", limb="arm", drawing=3).at(
        file="a.json", limb="leg", joint="tip"
    )
    assert 'a.json: limb "arm", drawing 3, joint "tip": it lies off the paper; draw it anew' == str(error)
    with pytest.raises(TypeError, match="colour"):
        error.at(colour="red")


def test_an_error_may_be_sent_to_another_process():
    error = ActionError("it lies off the paper", "draw it anew", file="a.json", limb="arm", drawing=3)
    assert str(error) == str(pickle.loads(pickle.dumps(error)))


@pytest.mark.parametrize("path", [("title",), ("limbs", 0, "name"), ("limbs", 0, "joints", 1)])
def test_half_a_character_in_a_name_can_be_printed(path):
    document = copy.deepcopy(WHOLE)
    at(document, path[:-1])[path[-1]] = "\ud800"
    with pytest.raises(ActionError, match="half a character") as caught:
        action_file.from_document(document)
    str(caught.value).encode()
