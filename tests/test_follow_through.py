"""Follow-through against circles that can be done in the head, and what holds for every loop."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.interpolate import make_interp_spline

from anim_lessons.geometry import limb
from anim_lessons.model.action import ActionError
from anim_lessons.physics import moebius, pull
from anim_lessons.physics.pull import follow, lag

NEVER = np.inf


def circle(radius, drawings=24, way=1, begin=0.0):
    turn = 2 * np.pi * way * np.arange(drawings) / drawings + np.radians(begin)
    return radius * np.column_stack([np.cos(turn), np.sin(turn)])


def apart(one, other):
    """Greatest difference between two sets of angles, degrees, whole turns left out."""
    return np.abs((np.asarray(one) - other + 180.0) % 360.0 - 180.0).max()


@st.composite
def loops(draw):
    """Root and parent of a loop with one to three harmonics, 16 to 32 drawings."""
    drawings = draw(st.integers(16, 32))
    turn = 2 * np.pi * np.arange(drawings) / drawings
    size, phase = st.floats(-40, 40), st.floats(0, 6.3)
    x, y, angle = (sum(draw(size) / k**2 * np.cos(k * turn + draw(phase)) for k in (1, 2, 3)) for _ in range(3))
    return np.column_stack([x, y]) + [150, 100], angle - 60


# ---- a root on a circle, worked out by hand ----------------------------------------------
# Seen from the circle the segment turns by -w (1 + (R / l) cos x), x its angle to the radius.


@pytest.mark.parametrize("way", [1, -1])
def test_a_pure_pull_on_a_small_circle_never_links_up(way):
    """R / l = 1/2: it is 360 (1 - sqrt(1 - 1/4)) = 48.2309 degrees farther round after each loop."""
    pulled = follow(circle(50, way=way), 0, 100, returns=NEVER)
    assert not pulled.found and pulled.angles is None and pulled.points is None
    assert way * 48.2309 == pytest.approx(360 * pulled.turns[0], abs=1e-4)
    assert "48.23 degrees" in pulled.says and ("counter" in pulled.says) == (way > 0)


@pytest.mark.parametrize("radius, angle", [(20, 120), (np.sqrt(200), 135), (np.sqrt(400 / 3), 150)])
def test_a_pure_pull_on_a_large_circle_trails_on_a_circle(radius, angle):
    """R > l: it stands where cos x = -l / R, the end on a circle of radius sqrt(R R - l l)."""
    pulled = follow(circle(radius, 48), 0, 10, returns=NEVER)
    assert pulled.found and (1.0,) == pulled.turns
    assert apart(pulled.angles[:, 0], np.arange(48) * 7.5 - angle) < 1e-4
    assert np.hypot(*pulled.points[:, 1].T).tolist() == pytest.approx([np.sqrt(radius**2 - 100)] * 48, rel=1e-5)


def test_a_wrong_beginning_fades_as_the_circle_says():
    # Beside its place x, it closes up at the rate w sqrt((R / l)^2 - 1): over a loop exp(-2 pi sqrt 3).
    pulled = follow(circle(20, 48), 0, 10, returns=NEVER)
    assert np.exp(-2 * np.pi * np.sqrt(3)) == pytest.approx(pulled.remains, rel=1e-4)


def test_a_return_alone_lags_behind_a_turning_parent():
    """Root at rest, parent turning evenly: it lags by the angle whose sine is 2 pi times the return."""
    turn = np.arange(24) * 15.0
    for behind in (10, 30, 60, 80):
        pulled = follow(np.zeros((24, 2)), turn, 10, returns=np.sin(np.radians(behind)) / (2 * np.pi))
        assert apart(pulled.angles[:, 0], turn - behind) < 1e-4
        assert (1.0,) == pulled.turns


def test_a_return_too_slow_for_the_parent_is_outrun():
    # 2 pi returns = 1.25: it slips by sqrt(1 - 1 / 1.25**2) = 3/5 of a turn in each.
    pulled = follow(np.zeros((24, 2)), np.arange(24) * 15.0, 10, returns=1.25 / (2 * np.pi))
    assert not pulled.found
    assert 0.4 == pytest.approx(pulled.turns[0], abs=1e-6)


def test_at_rest_it_hangs_at_its_rest():
    pulled = follow(np.full((24, 2), 50.0), 30, [10, 20], rest=[15, -40], returns=0.2)
    assert [[45, 5]] * 24 == [pytest.approx(row) for row in pulled.angles.tolist()]
    assert pulled.found and (0.0, 0.0) == pulled.turns
    assert np.exp(-1 / 0.2) == pytest.approx(pulled.remains, rel=1e-6)


def test_a_very_short_segment_points_back_along_the_way():
    # Its map over a loop is too large for a number: it is kept in bounds on the way.
    pulled = follow(circle(50), 0, 0.1, returns=NEVER)
    assert pulled.found and apart(pulled.angles[:, 0], np.arange(24) * 15 - 90) < 0.2
    assert 0 == pulled.remains


# ---- no loop ----------------------------------------------------------------------------------


def test_a_pure_pull_to_and_fro_keeps_no_drag():
    swing = np.radians(-90 + 40 * np.sin(np.radians(np.arange(24) * 15)))
    root = 60 * np.column_stack([np.cos(swing), np.sin(swing)])
    pulled = follow(root, 0, 40, returns=NEVER)
    assert not pulled.found and (None,) == pulled.turns and "Give it a return" in pulled.says
    assert follow(root, -90, 40, returns=0.2).found


def test_it_says_which_segment_has_no_loop():
    pulled = follow(circle(20), 0, [10, 60], returns=NEVER)
    assert not pulled.found and "segment 2" in pulled.says
    assert 1.0 == pulled.turns[0] and 0 < pulled.turns[1] < 1


@settings(max_examples=8)
@given(loops(), st.floats(30, 120), st.sampled_from([0.1, 0.3, 1.0, NEVER]), st.floats(-180, 180))
def test_found_or_not_a_march_agrees(loop, length, returns, begin):
    """Loop after loop from some beginning: it runs into the motion that was found, or never comes to rest."""
    root, parent = loop
    pulled = follow(root, parent, length, returns=returns)
    assume(not pulled.found or pulled.remains < 0.6)
    assume(pulled.found or pulled.turns[0] is not None and abs(pulled.turns[0] - round(pulled.turns[0])) > 0.02)
    time = np.linspace(0, 1, 1601)
    place, turn = (make_interp_spline(np.arange(len(root) + 1) / len(root), np.append(drawn, drawn[:1], axis=0),
                                      k=5, bc_type="periodic") for drawn in (root, np.radians(parent)))
    q = np.exp(1j * turn(time)) / returns - place.derivative()(time) @ [1, 1j] / length
    angle, ends = np.radians(begin), []
    for _ in range(40):  # classical Runge-Kutta, which shares nothing with the maps
        for a, m, b, step in zip(q[:-2:2], q[1:-1:2], q[2::2], np.diff(time[::2])):
            k1 = (np.exp(-1j * angle) * a).imag
            k2 = (np.exp(-1j * (angle + step / 2 * k1)) * m).imag
            k3 = (np.exp(-1j * (angle + step / 2 * k2)) * m).imag
            k4 = (np.exp(-1j * (angle + step * k3)) * b).imag
            angle += step / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
        ends.append(np.degrees(angle))
    if pulled.found:
        assert apart(ends[-1], pulled.angles[0, 0]) < 0.01
        assert 360 * pulled.turns[0] == pytest.approx(ends[-1] - ends[-2], abs=0.05)
    else:
        assert (ends[-1] - ends[0]) / 39 / 360 == pytest.approx(pulled.turns[0], abs=1.5 / 39)
        assert apart(ends[-1], ends[-2]) > 0.01


# ---- every loop ----------------------------------------------------------------------------------


@settings(max_examples=40)
@given(loops(), st.lists(st.floats(20, 80), min_size=1, max_size=4), st.floats(-60, 60), st.floats(0.05, 0.3))
def test_what_is_found_keeps_root_and_lengths_and_links_up(loop, lengths, rest, returns):
    root, parent = loop
    pulled = follow(root, parent, lengths, rest, returns)
    assume(pulled.found)
    assert np.abs(pulled.points[:, 0] - root).max() < 1e-9
    assert np.abs(limb.lengths(pulled.points) - lengths).max() < 1e-9
    assert apart(limb.angles(pulled.points), pulled.angles) < 1e-8
    assert all(turns == round(turns) for turns in pulled.turns) and 0 <= pulled.remains < 1
    # Beginning at another drawing shows the same motion: there is no seam.
    rolled = follow(np.roll(root, -5, axis=0), np.roll(parent, -5), lengths, rest, returns)
    assert rolled.found and apart(np.roll(pulled.angles, -5, axis=0), rolled.angles) < 0.2


@settings(max_examples=30)
@given(loops(), st.floats(20, 80), st.floats(0.05, 0.4))
def test_seen_in_a_mirror_it_is_the_mirror_image(loop, length, returns):
    root, parent = loop
    one = follow(root, parent, length, 20, returns)
    other = follow(root * [-1, 1], 180 - parent, length, -20, returns)
    assert one.found == other.found
    if one.found:
        assert apart(180 - one.angles, other.angles) < 1e-5


@settings(max_examples=30)
@given(loops(), st.floats(20, 80), st.floats(0.05, 0.4), st.floats(-180, 180), st.floats(0.2, 4))
def test_turned_and_scaled_it_is_the_same(loop, length, returns, turn, scale):
    root, parent = loop
    z = root @ [1, 1j] * np.exp(1j * np.radians(turn)) * scale
    one = follow(root, parent, length, 20, returns)
    other = follow(np.column_stack([z.real, z.imag]), parent + turn, length * scale, 20, returns)
    assert one.found == other.found
    if one.found:
        assert apart(one.angles + turn, other.angles) < 1e-4


def test_drawings_on_uneven_exposures_show_the_same_motion():
    frames = np.array([1, 1, 2, 1, 2, 2] * 4)
    turn = 2 * np.pi * (np.cumsum(frames) - frames) / frames.sum()
    even = 2 * np.pi * np.arange(36) / 36

    def path(t):
        return np.column_stack([80 * np.cos(t), 40 * np.sin(t + 1)])

    evenly = follow(path(even), 20 * np.sin(even), [50, 40])
    held = follow(path(turn), 20 * np.sin(turn), [50, 40], exposure=frames)
    seen = (np.cumsum(frames) - frames).astype(int)
    assert apart(evenly.angles[seen], held.angles) < 0.05


def test_on_ones_and_on_twos_the_drawings_are_the_same():
    root = circle(60) * [1, 0.5]
    assert follow(root, 0, [40, 30]).angles.tolist() == follow(root, 0, [40, 30], exposure=2).angles.tolist()


@pytest.mark.parametrize("segments", [1, 3, 100])
def test_a_mooring_rope_of_many_segments(segments):
    root = circle(40, 24) * [1, 0.4] + [150, 100]
    rope = follow(root, -90, np.full(segments, 100 / segments), returns=0.15)
    assert rope.found and (24, segments + 1, 2) == rope.points.shape
    assert np.abs(limb.lengths(rope.points) - 100 / segments).max() < 1e-9


def test_finer_steps_change_nothing_that_could_be_drawn(monkeypatch):
    root, parent = circle(80) * [1, 0.5], 30 * np.sin(np.radians(np.arange(24) * 15 - 60))
    usual = follow(root, parent, [60, 50, 40], returns=0.1).angles
    monkeypatch.setattr(pull, "_substeps", lambda *given: 200)
    assert apart(usual, follow(root, parent, [60, 50, 40], returns=0.1).angles) < 1e-3


def test_the_steps_are_right_to_fourth_order():
    def start(steps):
        time = np.linspace(0, 1, 2 * steps + 1)
        q = 4 * np.exp(1j * np.sin(2 * np.pi * time)) - 9j * np.exp(2j * np.pi * time)
        return np.angle(moebius.looping(*moebius.step_maps(q, np.full(steps, 1 / steps))).motion[0])
    error = [abs(start(steps) - start(4000)) for steps in (50, 100, 200)]
    assert 14 < error[0] / error[1] < 18 and 14 < error[1] / error[2] < 18


@pytest.mark.parametrize("change, word", [
    ({"root": np.zeros((3, 2))}, "4 drawings or more"),
    ({"root": np.full((24, 2), np.nan)}, "drawing 1: the root's place"),
    ({"parent": np.zeros(7)}, "24 drawings of the root, but 7 angles"),
    ({"lengths": [10] * 101}, "101 segments"),
    ({"lengths": []}, "0 segments"),
    ({"lengths": [10, 0]}, "segment 2: length is 0"),
    ({"lengths": [np.inf]}, "segment 1: length is inf"),
    ({"rest": [1, 2, 3]}, "rest: 3 numbers for 2 segments"),
    ({"rest": np.nan}, "segment 1: rest is nan"),
    ({"returns": [0.2, 0.001]}, "segment 2: returns is 0.001; give 0.01 or more"),
    ({"drags": -1}, "segment 1: drags is -1"),
    ({"exposure": [1] * 23 + [0]}, "drawing 24 is exposed for 0 frames"),
])
def test_what_cannot_be_drawn_is_refused(change, word):
    asked = {"root": circle(50), "parent": 0.0, "lengths": [40, 30]} | change
    with pytest.raises(ActionError, match=word):
        follow(**asked)


# ---- lag --------------------------------------------------------------------------------------------


@pytest.mark.parametrize("drawings", [8, 12, 24, 36])
@pytest.mark.parametrize("late", [-60, 0, 15, 90, 179])
def test_a_swing_that_comes_later_lags_by_so_much(drawings, late):
    turn = np.arange(drawings) * 360 / drawings
    arm, hand = 30 * np.sin(np.radians(turn)), 20 * np.sin(np.radians(turn - late)) + 70
    assert [late / 15] == pytest.approx(lag(np.column_stack([arm, hand])).tolist())  # 15 degrees a drawing of 24


def test_whole_turns_are_taken_out():
    turn = np.arange(24) * 15.0
    arm, hand = turn + 10 * np.sin(np.radians(turn)), -turn + 10 * np.sin(np.radians(turn - 45))
    assert [3] == pytest.approx(lag(np.column_stack([arm, hand])).tolist())
    assert [3] == pytest.approx(lag(np.column_stack([arm, hand]) % 360).tolist())


@pytest.mark.parametrize("swing, told", [(1.99, False), (2.01, True)])
def test_a_swing_too_small_to_tell_is_not_told(swing, told):
    turn = np.radians(np.arange(24) * 15)
    assert told == np.isfinite(lag(np.column_stack([30 * np.sin(turn), swing * np.sin(turn)]))).all()


def test_many_loops_are_measured_at_once():
    turn = np.radians(np.arange(24) * 15)
    one = np.column_stack([30 * np.sin(turn), 30 * np.sin(turn - np.pi / 4), 30 * np.sin(turn - np.pi / 2)])
    assert (2, 5, 2) == lag(np.broadcast_to(one, (2, 5, 24, 3))).shape
    assert np.abs(lag(np.broadcast_to(one, (2, 5, 24, 3))) - 3).max() < 1e-9


def test_each_part_of_a_pennant_lags_the_one_before():
    turn = np.radians(np.arange(24) * 15)
    pole = 25 * np.sin(turn)
    root = 60 * np.column_stack([np.cos(np.radians(pole)), np.sin(np.radians(pole))])
    pennant = follow(root, pole, [30, 30, 30], returns=0.1)
    assert (lag(np.column_stack([pole, pennant.angles])) > 0.4).all()


def test_angles_that_are_no_loop_are_refused():
    with pytest.raises(ActionError, match="3 drawings or more"):
        lag(np.zeros((2, 4)))
