"""Words for parts, runs of drawings and amounts."""
import pytest

from anim_lessons import Limb, check
from anim_lessons.ferry.actions import DEMOS
from anim_lessons.model import words


def limb(*joints):
    return Limb("limb", joints, [10.0] * (len(joints) - 1), [(-90, 90)] * (len(joints) - 1),
                [[(10 * i, 0) for i in range(len(joints))]] * 2)


@pytest.mark.parametrize("joints, name", [
    (("shoulder", "elbow"), "upper arm"),
    (("elbow", "wrist"), "forearm"),
    (("wrist", "fingertips"), "hand"),
    (("hook", "lantern"), "lantern"),
    (("joint 1", "joint 2"), "part ending in fold 2"),
    (("elbow", "shoulder"), "part ending in shoulder"),
])
def test_parts(joints, name):
    assert name == words.part(limb(*joints), 0)


@pytest.mark.parametrize("joint, said", [("elbow", "the elbow"), ("joint 2", "fold 2"), ("tip", "the tip")])
def test_a_joint_that_has_only_a_number_goes_without_an_article(joint, said):
    assert said == words.the(joint)


@pytest.mark.parametrize("joint, form", [("fingertips", "jump"), ("wrist", "jumps"), ("toes", "jump"), ("compass", "jumps")])
def test_verbs(joint, form):
    assert form == words.verb(joint, "jumps", "jump")


@pytest.mark.parametrize("drawings, said", [
    ((3,), "3"), ((3, 4), "3 and 4"), ((3, 4, 5, 6), "3 to 6"),
    ((5, 3, 4), "3 to 5"),                  # the worst of a run comes first in a finding
    ((16, 1), "16 and 1"), ((1, 16), "16 and 1"), ((16, 15, 1, 2), "15 to 2"),
])
def test_runs_are_said_in_playing_order(drawings, said):
    assert said == words.run(drawings)


@pytest.mark.parametrize("flags, loops, groups", [
    ("..##..#.", True, [[2, 3], [6]]),
    ("#.....##", True, [[6, 7, 0]]),
    ("#.....##", False, [[0], [6, 7]]),
    ("####", True, [[0, 1, 2, 3]]),
    ("....", True, []),
])
def test_runs_of_flags(flags, loops, groups):
    assert groups == words.runs([flag == "#" for flag in flags], loops)


@pytest.mark.parametrize("value, digits, text", [(2.25, 1, "2.2"), (-0.3, 0, "0"), (-0.04, 1, "0.0"), (-1.6, 0, "-2")])
def test_amounts_are_never_minus_nothing(value, digits, text):
    assert text == words.amount(value, digits)


@pytest.mark.parametrize("measured, allowed, digits, texts", [
    (6.44, 3.1, 1, ("6.4", "3.1")),
    (3.12, 3.08, 1, ("3.12", "3.08")),
    (3.4, 3.0, 0, ("3.4", "3.0")),
    (2.0, 2.0, 1, ("2.0", "2.0")),
])
def test_two_numbers_are_told_apart(measured, allowed, digits, texts):
    assert texts == words.told_apart(measured, allowed, digits)


def test_no_amount_begins_with_a_number_for_the_number_of_a_drawing_stands_before_it():
    """A head may end on a drawing: "The wrist jumps at 6." """
    findings = [finding for make in DEMOS.values() for finding in check(make()).findings]
    assert len({finding.rule for finding in findings}) > 7
    assert [] == [finding.says for finding in findings if finding.text[:1].isdigit()]


def test_names_keep_their_capitals():
    assert "Part from Hook to A" == words.capital("part from Hook to A")
