"""Paths of action against lines and circles that can be done in the head, and what holds for every path."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from anim_lessons.geometry import paths
from anim_lessons.model.action import ActionError


def circle(radius=50.0, drawings=48, turns=1, centre=(100.0, 80.0)):
    turn = 2 * np.pi * turns * np.arange(drawings) / drawings
    return paths.path_of_action(np.column_stack([np.cos(turn), np.sin(turn)]) * radius + centre)


@st.composite
def wobbles(draw):
    """A smooth loop, round a centre that it never touches, of 12 to 40 drawings."""
    drawings = draw(st.integers(12, 40))
    turn = 2 * np.pi * np.arange(drawings) / drawings
    radius = 60 + sum(draw(st.floats(-9, 9)) * np.cos(k * turn + draw(st.floats(0, 6.3))) for k in (1, 2))
    return np.column_stack([radius * np.cos(turn), radius * np.sin(turn)]) + [150.0, 100.0]


places = st.lists(st.tuples(st.integers(0, 297), st.integers(0, 210)), min_size=1, max_size=16)


# ---- through the drawn places -----------------------------------------------------------


@given(places, st.booleans())
def test_a_path_passes_through_every_drawing(points, loop):
    path = paths.path_of_action(points, loop)
    assert np.abs(path.point(path.places) - points).max() < 1e-6
    assert np.abs(path.across(points)).max() < 1e-6
    assert 0 == path.places[0] and (np.diff(path.places) >= -1e-9).all() and path.places[-1] <= path.length + 1e-9


@given(places, st.booleans())
def test_a_path_is_at_least_as_long_as_its_chords(points, loop):
    z = np.array(points) @ [1, 1j]
    chords = np.abs(np.diff(np.append(z, z[0]) if loop else z)).sum()
    assert paths.path_of_action(points, loop).length >= chords * (1 - 1e-12)


@given(wobbles(), st.floats(-180, 180), st.floats(0.2, 5), st.floats(-100, 100))
def test_turned_scaled_and_shifted_a_path_is_the_same_path(points, turn, scale, shift):
    path = paths.path_of_action(points)
    z = (points @ [1, 1j]) * scale * np.exp(1j * np.radians(turn)) + shift
    other = paths.path_of_action(np.column_stack([z.real, z.imag]))
    assert path.length * scale == pytest.approx(other.length)
    s = np.linspace(0, path.length, 9)
    assert (path.curvature(s) / scale).tolist() == pytest.approx(other.curvature(s * scale).tolist(), rel=1e-6, abs=1e-9)


@given(wobbles())
def test_a_loop_has_no_seam(points):
    path = paths.path_of_action(points)
    rolled = paths.path_of_action(np.roll(points, -5, axis=0))
    assert path.length == pytest.approx(rolled.length)
    ahead = path.places[5] + np.linspace(0, path.length, 7)
    assert np.abs(path.point(ahead) - rolled.point(ahead - path.places[5])).max() < 1e-8
    end = path.length * (1 - 1e-9)
    assert path.curvature(0.0) == pytest.approx(path.curvature(end), rel=1e-4, abs=1e-6)


@given(wobbles())
def test_played_backwards_left_is_right(points):
    path, back = paths.path_of_action(points), paths.path_of_action(points[::-1])
    assert path.length == pytest.approx(back.length)
    inside = [[150.0, 100.0], [155.0, 95.0]]
    assert (-path.across(inside)).tolist() == pytest.approx(back.across(inside).tolist(), abs=1e-6)


# ---- straight lines ------------------------------------------------------------------------


def test_a_straight_path():
    path = paths.path_of_action([[0, 0], [30, 40], [60, 80]], loop=False)
    assert 100 == pytest.approx(path.length)
    assert [0, 50, 100] == pytest.approx(path.places.tolist())
    assert [15, 20] == pytest.approx(path.point(25.0).tolist())
    assert 53.13010235415598 == pytest.approx(float(path.heading(25.0)))
    assert 0 == pytest.approx(float(path.curvature(25.0)), abs=1e-9)


def test_left_of_a_path_is_above_0():
    path = paths.path_of_action([[0, 0], [100, 0]], loop=False)
    assert [3, -4] == pytest.approx(path.across([[20, 3], [70, -4]]).tolist())
    assert [20, 70] == pytest.approx(path.along([[20, 3], [70, -4]]).tolist())


def test_beyond_the_end_the_end_is_nearest():
    path = paths.path_of_action([[0, 0], [100, 0]], loop=False)
    assert [0, 100] == pytest.approx(path.along([[-30, 40], [130, 40]]).tolist())
    assert [50, 50] == pytest.approx(path.across([[-30, 40], [130, 40]]).tolist())


def test_to_and_fro_on_a_line_is_there_and_back():
    path = paths.path_of_action([[0, 0], [100, 0]])
    assert 200 == pytest.approx(path.length)
    assert [0, 100] == pytest.approx(path.places.tolist())
    assert [50, 100, 50, 0] == pytest.approx(path.point([50, 100, 150, 200])[:, 0].tolist(), abs=1e-6)


def test_a_joint_that_stays_where_it_is_has_a_path_without_length():
    path = paths.path_of_action([[7, 8], [7, 8], [7, 8]])
    assert 0 == path.length
    assert [[7, 8], [7, 8]] == path.point([0, 30]).tolist()
    assert np.isnan(path.curvature(0.0)) and np.isnan(path.heading(0.0))
    assert [5] == path.across([[10, 12]]).tolist()


def test_a_hold_on_the_way_is_passed_once():
    held = paths.path_of_action([[0, 0], [30, 40], [30, 40], [60, 80]], loop=False)
    assert 100 == pytest.approx(held.length)
    assert [0, 50, 50, 100] == pytest.approx(held.places.tolist())


# ---- circles ----------------------------------------------------------------------------------


def test_a_circle():
    path = circle(50)
    assert 2 * np.pi * 50 == pytest.approx(path.length, rel=1e-6)
    s = np.linspace(0, path.length, 50)
    assert np.abs(path.curvature(s) * 50 - 1).max() < 2e-3     # 1 over the radius, turning left
    assert np.abs(np.hypot(*(path.point(s) - [100, 80]).T) - 50).max() < 1e-3


def test_inside_a_circle_drawn_counter_clockwise_is_to_its_left():
    path = circle(50)
    assert [10, -20] == pytest.approx(path.across([[140, 80], [100, 150]]).tolist(), abs=1e-3)
    assert [0, path.length / 4] == pytest.approx(path.along([[140, 80], [100, 150]]).tolist(), abs=1e-6)


def test_drawn_clockwise_it_turns_right():
    path = circle(50, turns=-1)
    assert -1 / 50 == pytest.approx(float(path.curvature(0.0)), rel=2e-3)
    assert -10 == pytest.approx(float(path.across([140, 80])), abs=1e-3)


@given(wobbles(), st.floats(0, 1), st.floats(-5, 5))
def test_off_the_path_by_so_much_is_measured_as_so_much(points, share, off):
    path = paths.path_of_action(points)
    s = share * path.length
    left = np.radians(path.heading(s) + 90)
    place = path.point(s) + off * np.array([np.cos(left), np.sin(left)])
    assert off == pytest.approx(float(path.across(place)), abs=1e-8)
    assert path.point(s).tolist() == pytest.approx(path.point(path.along(place)).tolist(), abs=1e-6)


@settings(max_examples=40)
@given(places, st.tuples(st.floats(0, 297), st.floats(0, 210)), st.booleans())
def test_no_place_of_the_path_is_nearer_than_the_nearest(points, place, loop):
    path = paths.path_of_action(points, loop)
    looks = path.point(np.linspace(0, path.length, 3000))
    least = np.hypot(*(looks - place).T).min()
    assert abs(path.across(place)) <= least + 1e-9
    foot = path.point(path.along(place))
    assert np.hypot(*(foot - place)) == pytest.approx(abs(path.across(place)), abs=1e-6)


@pytest.mark.parametrize("points, place, loop", [
    ([(0, 0), (14, 1)], (0, 1), True),            # at its turn the path stands at its farthest from the place
    ([(0, 0), (6, 2), (1, 1)], (0, 1), False),    # two branches are all but equally near
])
def test_the_nearest_place_is_not_missed_where_it_is_hard_to_see(points, place, loop):
    path = paths.path_of_action(points, loop)
    looks = path.point(np.linspace(0, path.length, 30000))
    assert np.hypot(*(looks - place).T).min() == pytest.approx(abs(float(path.across(place))), abs=1e-6)


def test_the_nearest_place_is_not_missed_where_a_path_turns_sharply():
    path = paths.path_of_action([(0, 1), (0, 0), (69, 84), (0, 40), (31, 65), (0, 43), (0, 0)], False)
    looks = path.point(np.linspace(0, path.length, 30000))      # a hundredth of a mm apart
    assert abs(float(path.across((0, 41)))) <= np.hypot(*(looks - (0, 41)).T).min() + 1e-9


def test_at_the_seam_of_a_loop_the_way_begins():
    chance = np.random.default_rng(1)
    for k in range(100):  # rounding puts some of these feet just short of the seam
        drawings = chance.integers(5, 30)
        turn = 2 * np.pi * np.arange(drawings) / drawings
        radius = 60 + 8 * chance.normal() * np.cos(2 * turn + k)
        path = paths.path_of_action(np.column_stack([radius * np.cos(turn + k), radius * np.sin(turn + k)]))
        left = np.radians(path.heading(0.0) + 90)
        beside = path.point(0.0) + np.linspace(-5, 5, 21)[:, None] * [np.cos(left), np.sin(left)]
        assert (path.along(beside) < 1e-6).all()


# ---- distances along it ---------------------------------------------------------------------------


@given(places.filter(lambda p: len(set(p)) > 1), st.booleans(), st.floats(0, 1), st.floats(0, 1))
def test_a_step_is_never_longer_than_the_way(points, loop, one, other):
    path = paths.path_of_action(points, loop)
    a, b = sorted((one * path.length, other * path.length))
    step = np.hypot(*(path.point(b) - path.point(a)))
    assert step <= b - a + 1e-6


def test_a_distance_off_the_end_of_an_open_path_is_refused():
    path = paths.path_of_action([[0, 0], [100, 0]], loop=False)
    for off in (-1, 101, float("nan")):
        with pytest.raises(ActionError, match="100 mm long"):
            path.point([50, off])


def test_along_a_loop_distances_run_on():
    path = circle(50)
    assert np.abs(path.point([10 - path.length, 10 + path.length]) - path.point(10.0)).max() < 1e-9


@pytest.mark.parametrize("call, word", [
    (lambda: paths.path_of_action([1, 2]), "a row a drawing"),
    (lambda: paths.path_of_action(np.zeros((0, 2))), "a row a drawing"),
    (lambda: paths.path_of_action([[0, 0], [1, float("nan")]]), "drawing 2: a place"),
    (lambda: circle().across([1, 2, 3]), "x and y of each"),
])
def test_what_is_no_path_is_refused(call, word):
    with pytest.raises(ActionError, match=word):
        call()
