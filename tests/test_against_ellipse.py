"""Paths of action against the ellipse.

References: perimeter 4 a E(m), m = 1 - (b/a)**2, with E the complete elliptic integral of
the second kind by scipy.special.ellipe, which shares no code with ours (values also worked
out with 30 digits by mpmath); Ramanujan's second approximation (1914), from memory;
curvature a/b**2 and b/a**2 at the ends of the axes, elementary. The two-thirds power law of
drawing hands (Lacquaniti, Terzuolo and Viviani 1983, from memory; Richardson and Flash
2002, abstract seen) holds exactly for an ellipse in harmonic time.
"""
import numpy as np
import pytest
from scipy.special import ellipe, ellipeinc

from anim_lessons.geometry.paths import path_of_action


def ellipse(a, b, drawings):
    turn = 2 * np.pi * np.arange(drawings) / drawings
    return path_of_action(np.column_stack([a * np.cos(turn), b * np.sin(turn)]))


@pytest.mark.parametrize("a, b, perimeter", [
    (2, 1, 9.6884482205476762), (5, 3, 25.5269988633981285), (3, 1, 13.3648932205552582), (10, 5, 48.442241102738381),
])
def test_length_round_an_ellipse(a, b, perimeter):
    assert perimeter == pytest.approx(4 * a * ellipe(1 - (b / a) ** 2), rel=1e-14)
    # Between 400 drawings the spline leaves the ellipse by a hair.
    assert perimeter == pytest.approx(ellipse(a, b, 400).length, rel=1e-9)


def test_twice_the_drawings_come_sixteen_times_as_near():
    error = [abs(ellipse(5, 3, n).length - 20 * ellipe(1 - 9 / 25)) for n in (24, 48, 96)]
    assert 14 < error[0] / error[1] < 18 and 14 < error[1] / error[2] < 18


@pytest.mark.parametrize("a, b", [(2, 1), (5, 3)])
def test_ramanujan_s_approximation_is_as_near_as_he_said(a, b):
    h = ((a - b) / (a + b)) ** 2
    approximation = np.pi * (a + b) * (1 + 3 * h / (10 + np.sqrt(4 - 3 * h)))
    assert approximation == pytest.approx(ellipse(a, b, 400).length, rel=1e-7)


@pytest.mark.parametrize("turn", [10, 45, 80, 135, 200, 300])
def test_length_of_a_part(turn):
    # E(phi, m) starts from the end of the minor axis: begin the drawings there.
    angle = np.pi / 2 - 2 * np.pi * np.arange(360) / 360
    path = path_of_action(np.column_stack([2 * np.cos(angle), np.sin(angle)]))
    assert 2 * ellipeinc(np.radians(turn), 0.75) == pytest.approx(path.places[turn], rel=1e-8)


@pytest.mark.parametrize("a, b", [(2.0, 1.0), (5.0, 3.0)])
def test_curvature_at_the_ends_of_the_axes(a, b):
    path = ellipse(a, b, 400)
    ends = path.curvature(path.places[[0, 100, 200, 300]])
    assert [a / b**2, b / a**2] * 2 == pytest.approx(ends.tolist(), rel=1e-3)


def test_a_hand_in_harmonic_time_keeps_the_two_thirds_power_law():
    drawings = 400
    path = ellipse(2, 1, drawings)
    seam = np.append(path.places, path.length)
    speed = (np.roll(np.diff(seam), 1) + np.diff(seam)) / 2 * drawings / (2 * np.pi)  # mm a radian of time
    slope, level = np.polyfit(np.log(path.curvature(path.places)), np.log(speed), 1)
    assert -1 / 3 == pytest.approx(slope, abs=1e-3)
    assert np.log(2) / 3 == pytest.approx(level, abs=1e-3)


@pytest.mark.parametrize("off", [-0.3, 0.4])
def test_distance_from_an_ellipse_along_its_normal(off):
    path = ellipse(5, 3, 400)
    turn = np.radians(np.arange(3, 360, 20))
    normal = np.column_stack([3 * np.cos(turn), 5 * np.sin(turn)])
    place = np.column_stack([5 * np.cos(turn), 3 * np.sin(turn)]) - off * normal / np.hypot(*normal.T)[:, None]
    assert np.abs(path.across(place) - off).max() < 1e-7
