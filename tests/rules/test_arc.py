"""Arcs, on a straight path that the cubic through four neighbours follows exactly.

Source of the rule: common practice, no source; its tolerance was chosen by trial.
"""
import numpy as np
import pytest
from specimens import dot, found, mirrored, on_a_line

from anim_lessons import Brief, check


def circle(count=24, radius=60.0, **moved):
    """A dot going round counter-clockwise; `at5=3` moves drawing 5 by 3 mm away from the middle."""
    angle = 2 * np.pi * np.arange(count) / count
    far = np.full(count, radius)
    for name, by in moved.items():
        far[int(name[2:]) - 1] += by
    return dot(*np.stack([150 + far * np.cos(angle), 100 + far * np.sin(angle)], axis=-1), loop=True)


def test_a_straight_path_and_a_circle_are_arcs():
    assert () == found(on_a_line(), "arc")
    assert () == found(circle(), "arc")


def test_one_drawing_beside_the_path_is_found_there():
    # Steps of 10, 12.5, 12.5 and 10 mm around it (3, 4, 5): 11.25 on average, of which 0.35 are 3.94.
    (finding,) = found(on_a_line(at5=(0, 7.5)), "arc")

    assert ("buoy", (5,), "mm") == (finding.joint, finding.drawings, finding.unit)
    assert (7.5, 3.9375) == pytest.approx((finding.measured, finding.allowed))
    assert "The buoy jumps off its arc at 5." == finding.head
    assert "where 3.9 mm are allowed. Move the buoy 8 mm down, then flip 4, 5, 6." in finding.text
    assert "at most 3.9 mm" == finding.looked_for


@pytest.mark.parametrize("tolerance, kept", [(0.623, True), (0.621, False)])
def test_the_limit_is_a_part_of_the_local_spacing(tolerance, kept):
    # 7.5 mm less the half that no eye tells, over 11.25 mm, is 0.622.
    assert kept == (not found(on_a_line(at5=(0, 7.5)), "arc", tolerances={"arc": tolerance}))


@pytest.mark.parametrize("across, kept", [(1.99, True), (2.01, False)])
def test_two_millimetres_are_always_allowed(across, kept):
    action = dot(*[(3.0 * i, across if i == 4 else 0.0) for i in range(10)])
    assert kept == (not found(action, "arc"))


def test_inside_and_outside_of_a_turn():
    (inward,) = found(circle(at5=-12), "arc")
    (outward,) = found(circle(at5=12), "arc")

    assert "mm inside its arc" in inward.text
    assert "mm outside its arc" in outward.text
    assert inward.shows.endswith("mm inside")


@pytest.mark.parametrize("number", [1, 2, 12, 23, 24])
def test_in_a_loop_every_drawing_has_neighbours(number):
    (finding,) = found(circle(**{f"at{number}": -12}), "arc")

    before, after = (number - 2) % 24 + 1, number % 24 + 1
    assert (number,) == finding.drawings
    assert finding.text.endswith(f"then flip {before}, {number}, {after}.")


@pytest.mark.parametrize("number", [2, 3, 8, 9])
def test_what_does_not_loop_is_judged_up_to_its_ends(number):
    # Beside its ends a drawing has one neighbour on one side, and three times as much is allowed.
    (finding,) = found(on_a_line(**{f"at{number}": (0, 9 if 2 < number < 9 else 20)}), "arc")
    assert (number,) == finding.drawings


@pytest.mark.parametrize("number", [1, 10])
def test_its_first_and_last_drawing_are_given(number):
    assert () == found(on_a_line(**{f"at{number}": (0, 9)}), "arc")


def test_a_path_may_turn_sharply():
    # Back on itself from one drawing to the next, as a hand that strikes a bell.
    there = [10.0 * i for i in range(8)]
    action = dot(*[(x, 0.0) for x in there + there[-2:0:-1]], loop=True)
    assert () == found(action, "arc")


def test_two_drawings_out_of_place_are_two_findings():
    findings = found(circle(at5=-12, at15=12), "arc")
    assert [(5,), (15,)] == [finding.drawings for finding in findings]


def test_the_other_side_is_judged_alike():
    one, other = found(circle(at5=-12), "arc"), found(mirrored(circle(at5=-12)), "arc")
    says = [finding.says.replace("left", "-").replace("right", "left").replace("-", "right") for finding in other]
    assert [finding.says for finding in one] == says        # what is left on one side is right on the other


def test_on_ones_twos_or_threes_it_is_the_same_arc():
    says = {found(circle(at5=-12).replace(exposure=frames), "arc")[0].says for frames in (1, 2, 3)}
    assert 1 == len(says)


def test_plural_joints_have_plural_verbs():
    action = circle(at5=-12)
    limb = action.limbs[0]
    feet = action.replace(limbs=(type(limb)("feet", ("toes",), (), (), limb.drawings),))
    (finding,) = found(feet, "arc")

    assert "The toes jump off their arc at 5." == finding.head
    assert finding.short.endswith("off their arc")


def test_seven_drawings_are_too_few():
    verdict = check(on_a_line(7), Brief(rules=("arc",))).rules["arc"]

    assert (True, False) == (verdict.passed, verdict.judged)
    assert "7 drawings are too few to tell an arc from" == verdict.says
    assert check(on_a_line(8), Brief(rules=("arc",))).rules["arc"].judged
