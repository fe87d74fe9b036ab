"""Lengths kept, against the triangle 3, 4, 5.

Source of the rule: common practice, no source; its tolerance was chosen by trial.
"""
import numpy as np
import pytest
from specimens import found, mirrored

from anim_lessons import Action, Brief, Limb, check


def part(*ends, lengths=(50.0,), joints=("shoulder", "elbow"), loop=True):
    """A part of 50 mm that turns about a shoulder at 0, 0."""
    points = np.array([[(0, 0), end] for end in ends], float)
    return Action((Limb("arm", joints, lengths, ((-90.0, 270.0),), points),), loop=loop)


def test_a_part_that_only_turns_keeps_its_length():
    assert () == found(part((50, 0), (30, 40), (0, 50)), "length")


def test_the_one_stretched_drawing_is_the_one_found():
    (finding,) = found(part((50, 0), (30, 40), (0, 56)), "length")

    assert ("elbow", (3,), "%") == (finding.joint, finding.drawings, finding.unit)
    assert (12.0, 3.0) == pytest.approx((finding.measured, finding.allowed))
    assert ("The upper arm grows at 3. It is 56.0 mm; the model sheet says 50.0 mm. "
            "Draw the upper arm 6 mm shorter, then flip 2, 3, 1.") == finding.says
    assert ("56.0 mm", "50.0 mm, 3 % either way") == (finding.shows, finding.looked_for)


def test_a_part_that_shrinks_is_said_to_shrink():
    (finding,) = found(part((50, 0), (24, 32), (0, 50)), "length")

    assert "The upper arm shrinks at 2. It is 40.0 mm; the model sheet says 50.0 mm." in finding.says
    assert "upper arm 10.0 mm shorter than on the model sheet" == finding.short


@pytest.mark.parametrize("length, kept", [(51.49, True), (51.51, False), (48.51, True), (48.49, False)])
def test_the_limit_is_3_per_cent(length, kept):
    assert kept == (not found(part((50, 0), (0, length), (30, 40)), "length"))


@pytest.mark.parametrize("length, kept", [(10.74, True), (10.76, False)])
def test_a_short_part_may_change_by_less_than_a_line_is_wide(length, kept):
    findings = found(part((10, 0), (0, length), (6, 8), lengths=(10.0,)), "length")

    assert kept == (not findings)
    assert all("10.0 mm, 0.75 mm either way" == finding.looked_for for finding in findings)
    assert all(7.5 == pytest.approx(finding.allowed) for finding in findings)


@pytest.mark.parametrize("length, kept", [(54.99, True), (55.01, False)])
def test_a_brief_may_be_milder(length, kept):
    assert kept == (not found(part((50, 0), (0, length), (30, 40)), "length", tolerances={"length": 0.1}))


def test_neighbouring_drawings_are_one_finding_that_names_the_worst():
    (finding,) = found(part((50, 0), (30, 40), (0, 55), (0, 60), (-30, 40)), "length")

    assert (3, 4) == finding.drawings
    assert "The upper arm grows at 3 and 4. It is 60.0 mm at 4; the model sheet says 50.0 mm." in finding.says


def test_a_run_may_pass_from_the_last_drawing_to_the_first():
    (finding,) = found(part((0, 60), (30, 40), (50, 0), (0, 60)), "length")

    assert (4, 1) == finding.drawings
    assert "The upper arm grows at 4 and 1." == finding.head
    assert "On 4 and 1 draw the upper arm 10 mm shorter." in finding.text


def test_what_does_not_loop_has_two_runs_there():
    one, other = found(part((0, 60), (30, 40), (50, 0), (0, 60), loop=False), "length")

    assert ((1,), (4,)) == (one.drawings, other.drawings)
    assert one.text.endswith("then flip 1, 2.")     # nothing comes before drawing 1


def test_a_part_that_is_wrong_in_every_drawing_is_said_once():
    (finding,) = found(part((60, 0), (36, 48), (0, 60)), "length")

    assert () == finding.drawings
    assert "The upper arm grows in every drawing." == finding.head
    assert finding.text.endswith("In every drawing, draw the upper arm 10 mm shorter.")


def test_the_other_side_is_judged_alike():
    action = part((50, 0), (30, 40), (0, 56))
    assert found(action, "length") == found(mirrored(action), "length")


def test_parts_without_a_name_are_called_by_their_ends():
    (finding,) = found(part((50, 0), (0, 60), (30, 40), joints=("hook", "lantern")), "length")
    assert "The lantern grows at 2." == finding.head


def test_a_single_joint_has_no_length():
    buoy = Action((Limb("buoy", ("buoy",), (), (), np.zeros((4, 1, 2))),))
    verdict = check(buoy, Brief(rules=("length",))).rules["length"]

    assert (True, False, "a single joint has no length") == (verdict.passed, verdict.judged, verdict.says)
