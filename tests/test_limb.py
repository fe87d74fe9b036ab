"""Limbs against triangles that can be done in the head, and what holds for every limb."""

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from anim_lessons.geometry import limb
from anim_lessons.model.action import ActionError

number = st.floats(-300.0, 300.0)
length = st.floats(1.0, 200.0)
bend = st.floats(-179.0, 179.0)


@st.composite
def limbs(draw, most=6):
    """Root, lengths and bends of a limb that could be drawn."""
    segments = draw(st.integers(1, most))
    return (np.array([draw(number), draw(number)]),
            np.array(draw(st.lists(length, min_size=segments, max_size=segments))),
            np.array(draw(st.lists(bend, min_size=segments, max_size=segments))))


def apart(one, other):
    """Greatest difference between two sets of angles, degrees, whole turns left out."""
    return np.abs((np.asarray(one) - other + 180.0) % 360.0 - 180.0).max()


# ---- lengths, angles, poses ------------------------------------------------------------


def test_three_four_five():
    points = [[0, 0], [3, 4], [8, 4], [8, -8]]
    assert [5, 5, 12] == limb.lengths(points).tolist()
    assert [53.13010235415598, 0, -90] == pytest.approx(limb.angles(points).tolist())
    assert [53.13010235415598, -53.13010235415598, -90] == pytest.approx(limb.bends(points).tolist())


def test_a_bend_over_the_back_is_the_short_way_round():
    points = limb.pose([0, 0], [5, 5], [170, -170])
    assert [170, 20] == pytest.approx(limb.bends(points).tolist())


def test_folded_back_on_itself_is_180_and_never_minus_180():
    assert [180.0, 180.0] == limb.bends([[0, 0], [-5, 0], [0, 0]]).tolist()


@given(limbs())
def test_lengths_and_bends_come_back_from_the_pose(it):
    root, lengths, bends = it
    points = limb.pose_from_bends(root, lengths, bends)
    assert root.tolist() == points[0].tolist()
    assert np.abs(limb.lengths(points) - lengths).max() < 1e-9
    assert apart(limb.bends(points), bends) < 1e-8
    assert apart(limb.angles(points), np.cumsum(bends)) < 1e-8


def test_many_limbs_are_posed_at_once():
    angles = np.arange(24.0).reshape(2, 3, 4) * 10        # 2 loops, 3 drawings, 4 segments
    root = np.array([[1.0, 2.0], [3.0, 4.0], [5.0, 6.0]])  # the shoulder's path, shared by both
    lengths = [4, 3, 2, 1]
    points = limb.pose(root, lengths, angles)
    assert (2, 3, 5, 2) == points.shape
    one = limb.pose(root[1], lengths, angles[1, 1])
    assert one.tolist() == points[1, 1].tolist()
    assert (2, 3, 4) == limb.bends(points).shape


def test_a_limb_of_one_joint_has_no_lengths():
    assert (0,) == limb.lengths([[3, 4]]).shape
    assert [[3, 4]] == limb.pose([3, 4], np.zeros(0), np.zeros(0)).tolist()


@pytest.mark.parametrize("points", [[1, 2], [[1, 2, 3]], 5])
def test_what_is_no_limb_is_refused(points):
    with pytest.raises(ActionError, match="x and y of each joint"):
        limb.lengths(points)


# ---- reaching ----------------------------------------------------------------------------


@given(length, length, st.floats(0.0, 1.0), st.floats(-180.0, 180.0), number, number)
def test_both_elbows_put_the_end_on_the_target(upper, fore, share, angle, x, y):
    distance = abs(upper - fore) + share * (upper + fore - abs(upper - fore))
    target = np.array([x, y]) + distance * np.array([np.cos(np.radians(angle)), np.sin(np.radians(angle))])
    left, right = limb.reach([x, y], [upper, fore], target)
    for bends in (left, right):
        points = limb.pose_from_bends([x, y], [upper, fore], bends)
        assert np.abs(points[-1] - target).max() < 1e-9
    assert 0 <= left[1] <= 180 and left[1] == -right[1]
    # The two arms are mirror images across the line from root to target.
    one, other = (limb.pose_from_bends([x, y], [upper, fore], bends)[1] - [x, y] for bends in (left, right))
    (dx, dy) = target - [x, y]
    assert abs((one + other) @ [dy, -dx]) < 1e-7


@given(limbs(most=2), st.floats(1.0, 179.0))
def test_reaching_finds_the_arm_that_was_posed(it, elbow):
    root, lengths, bends = it
    assume(len(lengths) == 2)
    for side, turned in enumerate((elbow, -elbow)):
        points = limb.pose_from_bends(root, lengths, [bends[0], turned])
        assert apart(limb.reach(root, lengths, points[-1])[side], [bends[0], turned]) < 1e-5


def test_stretched_out_both_elbows_are_the_same():
    assert [[0, 0], [0, 0]] == limb.reach([0, 0], [3, 4], [7, 0]).tolist()


def test_folded_up_the_end_lies_between():
    (left, right) = limb.reach([0, 0], [4, 3], [1, 0])
    assert [0, 180] == pytest.approx(left.tolist()) and [0, -180] == pytest.approx(right.tolist())


def test_a_target_on_the_root_can_be_reached_by_equal_segments():
    for bends in limb.reach([2, 3], [5, 5], [2, 3]):
        assert [2, 3] == pytest.approx(limb.pose_from_bends([2, 3], [5, 5], bends)[-1].tolist())


def test_out_of_reach_says_by_how_much():
    with pytest.raises(ActionError, match=r"3 mm out of reach: it lies 10 mm .* stretched out the limb is 7 mm"):
        limb.reach([0, 0], [3, 4], [6, 8])


@pytest.mark.parametrize("distance, reached", [(7.0, True), (7.0001, False), (1.0, True), (0.9999, False)])
def test_the_limit_of_reach_is_where_it_says(distance, reached):
    if reached:
        assert distance == pytest.approx(limb.pose_from_bends([0, 0], [3, 4], limb.reach([0, 0], [3, 4],
                                                              [0, distance])[0])[-1, 1])
    else:
        with pytest.raises(ActionError, match="0.0001 mm"):
            limb.reach([0, 0], [3, 4], [0, distance])


def test_too_near_says_by_how_much():
    with pytest.raises(ActionError, match=r"2 mm too near: it lies 1 mm .* still spans 3 mm"):
        limb.reach([0, 0], [7, 4], [0, 1])


def test_out_of_reach_names_the_drawing():
    with pytest.raises(ActionError, match="drawing 2: the target is 1 mm out of reach"):
        limb.reach([0, 0], [3, 4], [[7, 0], [8, 0]])


@pytest.mark.parametrize("lengths", [[3], [3, 0], [3, -4], [3, float("nan")], [1, 2, 3]])
def test_reaching_needs_two_lengths(lengths):
    with pytest.raises(ActionError, match="two lengths"):
        limb.reach([0, 0], lengths, [1, 1])


def test_a_target_that_is_not_a_number_is_refused():
    with pytest.raises(ActionError, match="not a number"):
        limb.reach([0, 0], [3, 4], [float("nan"), 1])


# ---- stops -------------------------------------------------------------------------------


STOPS = [[-180, 180], [0, 150]]


@pytest.mark.parametrize("elbow, past", [(-0.5, -0.5), (0, 0), (70, 0), (150, 0), (153, 3), (-170, -170)])
def test_how_far_past_a_stop(elbow, past):
    points = limb.pose_from_bends([0, 0], [5, 4], [30, elbow])
    # Stops are 0 to 150, their middle 75: a bend of -170 lies nearer than one of 190.
    expected = past if elbow != -170 else 190 - 150
    assert [0, expected] == pytest.approx(limb.beyond_stops(points, STOPS).tolist(), abs=1e-9)


@pytest.mark.parametrize("by, kept", [(2.999, False), (3.001, True)])
def test_the_limit_of_a_stop_is_where_it_says(by, kept):
    points = limb.pose_from_bends([0, 0], [5, 4], [30, 153])
    assert [True, kept] == limb.within_stops(points, STOPS, by).tolist()


@pytest.mark.parametrize("turn", [-360, 0, 360])
def test_stops_may_be_told_on_any_turn(turn):
    points = limb.pose_from_bends([0, 0], [5, 4], [30, 70])
    assert limb.within_stops(points, [[turn - 10, turn + 40], [0, 150]]).all()


@given(limbs(), st.data())
def test_clamped_keeps_stops_root_and_lengths(it, data):
    root, lengths, bends = it
    middle = np.array([data.draw(bend) for _ in bends])
    half = np.array([data.draw(st.floats(0.0, 170.0)) for _ in bends])
    stops = np.column_stack([middle - half, middle + half])
    points = limb.pose_from_bends(root, lengths, bends)
    back = limb.clamped(points, stops)
    assert limb.within_stops(back, stops, by=1e-8).all()
    assert root.tolist() == back[0].tolist()
    assert np.abs(limb.lengths(back) - lengths).max() < 1e-9
    if limb.within_stops(points, stops).all():
        assert np.abs(back - points).max() < 1e-8


@pytest.mark.parametrize("stops, word", [([[0, 1]], "2 segments but 1 pairs"),
                                         ([[0, 1], [5, 4]], "segment 2: stops 5 and 4")])
def test_stops_that_do_not_fit_are_refused(stops, word):
    with pytest.raises(ActionError, match=word):
        limb.beyond_stops([[0, 0], [1, 0], [2, 0]], stops)
