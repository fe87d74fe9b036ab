"""Reaching against a textbook's worked example and the law of cosines; stops against measured people.

References:
Lynch and Park, Modern Robotics (2017), example 6.1: an arm of two segments of length 1
reaches (0.366, 1.366) with 30 and 90 degrees. Book from memory; reproduced once with the
book's own published software.
The law-of-cosines solution of several course texts (as in Craig, and in Spong et al.,
section 1.4, from memory), written out below as they write it.
Ranges of motion: Boone and Azen (1979) and AAOS as tabled in a handbook of goniometry
(seen in an excerpt), Zwerus et al. (2019), elbow (abstract seen). They are averages:
people differ, and how far a real joint may go is for a health professional to say.
"""
from math import acos, atan2, cos, degrees, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from anim_lessons.geometry import limb


def test_worked_example_of_the_textbook():
    left, right = limb.reach([0, 0], [1, 1], [0.366025403784, 1.366025403784])
    assert [30, 90] == pytest.approx(left.tolist(), abs=1e-6)
    assert [120, -90] == pytest.approx(right.tolist(), abs=1e-6)


def test_the_rounded_target_of_the_textbook():
    left, _ = limb.reach([0, 0], [1, 1], [0.366, 1.366])
    assert [30.00, 90.00] == left.round(2).tolist()


@pytest.mark.parametrize("target, lengths, left, right", [
    ((3, 4), (4, 3), (16.260204708311957, 90), (90, -90)),
    ((5, 0), (3, 4), (-53.13010235415598, 90), (53.13010235415598, -90)),
    ((1.2, 1.6), (1.5, 1), (24.175077982296138, 75.52248781407008), (82.08512672601583, -75.52248781407008)),
    ((12, 5), (8, 7), (-5.175907547987547, 60), (50.4156374440684, -60)),
])
def test_table_by_the_law_of_cosines(target, lengths, left, right):
    assert [left, right] == [pytest.approx(bends) for bends in limb.reach([0, 0], lengths, target).tolist()]


@given(st.floats(10, 100), st.floats(10, 100), st.floats(0.05, 0.95), st.floats(-179, 179))
def test_any_target_by_the_law_of_cosines(l1, l2, share, angle):
    r = abs(l1 - l2) + share * (l1 + l2 - abs(l1 - l2))
    x, y = r * cos(radians(angle)), r * sin(radians(angle))
    for bends, side in zip(limb.reach([0, 0], [l1, l2], [x, y]), (1, -1)):
        theta2 = side * acos((x * x + y * y - l1 * l1 - l2 * l2) / (2 * l1 * l2))
        theta1 = atan2(y, x) - atan2(l2 * sin(theta2), l1 + l2 * cos(theta2))
        assert degrees(theta2) == pytest.approx(bends[1], abs=1e-7)
        assert 0 == pytest.approx((degrees(theta1) - bends[0] + 180) % 360 - 180, abs=1e-7)


def test_the_same_point_is_reached_in_complex_numbers():
    """Forward kinematics as a product of turns, which shares no code with ours."""
    bends, lengths = [20.0, -50.0, 75.0, 10.0], [60, 47, 35, 8]
    at, turn, expected = 5 + 7j, 1 + 0j, [5 + 7j]
    for bend, length in zip(bends, lengths):
        turn *= np.exp(1j * np.radians(bend))
        at += length * turn
        expected.append(at)
    points = limb.pose_from_bends([5, 7], lengths, bends)
    assert np.abs(points @ [1, 1j] - expected).max() < 1e-12


# Elbow, an arm drawn pointing right and bending counter-clockwise: extension to flexion.
# Averages with ten degrees to spare, for people differ.
ELBOW = [-2 - 10, 146 + 10]  # Zwerus et al. 2019, 352 people: active extension -2, flexion 146
WRIST = [-75 - 10, 76 + 10]  # Boone and Azen 1979: extension 75, flexion 76


@pytest.mark.parametrize("elbow, wrist, plausible", [
    (90, 0, True), (150, 70, True), (-30, 0, False), (170, 0, False), (90, 100, False), (90, -80, True),
])
def test_bends_of_an_arm_against_measured_people(elbow, wrist, plausible):
    points = limb.pose_from_bends([0, 0], [60, 47, 35], [0, elbow, wrist])
    assert plausible == limb.within_stops(points, [[-360, 360], ELBOW, WRIST]).all()
