"""Weight and springs in a learner's terms: mm, degrees, drawings, and the dial between two models."""

import numpy as np
import pytest

from anim_lessons.model.action import ActionError
from anim_lessons.physics.chain.weighted import Parts, blend, weighted_loop, weighted_loops, weighted_run
from anim_lessons.physics.pull import follow, lag

DRAWINGS = 24
TURN = 2 * np.pi * np.arange(DRAWINGS) / DRAWINGS
ROOT = np.column_stack([150 + 30 * np.cos(TURN), 100 + 12 * np.sin(2 * TURN)])
LENGTHS = [20.0, 20.0, 15.0]


def test_a_loop_is_drawn_in_mm_and_keeps_its_lengths():
    hung = weighted_loop(ROOT, -90, Parts(LENGTHS, swings=2, settles=0.4))
    assert hung.found and hung.stable
    assert (DRAWINGS, 4, 2) == hung.points.shape
    assert ROOT == pytest.approx(hung.points[:, 0])
    parts = np.diff(hung.points, axis=1)
    assert np.tile(LENGTHS, (DRAWINGS, 1)) == pytest.approx(np.hypot(parts[..., 0], parts[..., 1]))
    assert hung.angles == pytest.approx(np.degrees(hung.loop.angles))


def test_a_part_let_go_swings_as_often_as_it_was_told_and_settles_as_soon():
    # Shaken off its rest by a short tug, no weight, no air: extremes half a swing apart.
    time = np.arange(481) / 240
    tug = np.clip(time / 0.1, 0, 1)
    root = np.column_stack([2 * tug**3 * (10 - 15 * tug + 6 * tug**2), 0 * time])
    _, angles, says = weighted_run(root, 90, Parts([100], swings=3, settles=0.2), gravity=0.0, rate=240)
    swing = angles[time > 0.11, 0] - 90
    turned = np.flatnonzero(np.diff(np.sign(np.diff(swing)))) + 1
    pace = 3 * np.sqrt(1 - 0.2**2)  # damped, it swings a little slower
    assert 1 / (2 * pace) == pytest.approx(np.diff(turned)[:3].mean() / 240, rel=0.02)
    kept = np.exp(-np.pi * 0.2 / np.sqrt(1 - 0.2**2))  # from side to side
    assert kept == pytest.approx(-swing[turned[1]] / swing[turned[0]], rel=0.02)
    assert "settled by the last drawing" in says


def test_on_twos_a_loop_takes_twice_as_long_and_swings_otherwise():
    ones, twos = (weighted_loop(ROOT, -90, Parts(LENGTHS), exposure=e) for e in (1, 2))
    slow = weighted_loop(ROOT, -90, Parts(LENGTHS), exposure=1, rate=12)
    assert slow.angles == pytest.approx(twos.angles, abs=1e-3)
    assert np.abs(ones.angles - twos.angles).max() > 5


def test_drawings_held_longer_stand_at_their_own_time():
    # Every second drawing of the twos left out and its neighbour held for 4: the same motion.
    wide = [i for i in range(DRAWINGS) if i not in (5, 11)]
    frames = [4 if i in (4, 10) else 2 for i in wide]
    whole, held = weighted_loop(ROOT, -90, Parts(LENGTHS), exposure=2), weighted_loop(ROOT[wide], -90, Parts(LENGTHS), exposure=frames)
    assert held.found and (22, 3) == held.angles.shape
    assert np.abs(held.angles - whole.angles[wide]).max() < 1.0


def test_a_larger_thing_swings_slower_under_its_weight():
    # A lantern of 20 mm swings by itself 4.3 times a second, one of 600 mm 0.8 times; carried to and fro once a
    # second the first follows the hook, the second goes against it.
    root = np.column_stack([0.4 * np.cos(TURN), 0 * TURN])
    for scale, way in ((1, 1), (30, -1)):
        swing = weighted_loop(root, -90, Parts([20], swings=0, settles=0.1, scale=scale)).angles[:, 0] + 90
        assert way == np.sign(swing @ np.cos(TURN))


def test_air_makes_the_tip_later():
    late = [np.nanmax(lag(weighted_loop(ROOT, -90, Parts(LENGTHS, swings=3, settles=0.3, air=a)).angles)) for a in (0, 20)]
    assert late[1] > late[0]


def test_a_shaky_hand_does_not_shake_the_chain():
    shaky = ROOT + np.column_stack([np.cos(9 * TURN), np.sin(8 * TURN)])
    smooth, shaken = (weighted_loop(root, -90, Parts(LENGTHS, swings=2, scale=5)).angles for root in (ROOT, shaky))
    assert smooth == pytest.approx(shaken, abs=2e-3)
    assert np.abs(weighted_loop(shaky, -90, Parts(LENGTHS, swings=2, scale=5), harmonics=None).angles - smooth).max() > 1


def test_a_map_holds_what_its_settings_give_one_by_one():
    swings, settles = [1.0, 2.0, 3.0], [0.3, 0.8]
    of_all = weighted_loops(ROOT, -90, Parts(LENGTHS), swings, settles, exposure=2)
    assert (3, 2) == (len(of_all), len(of_all[0]))
    for i, fast in enumerate(swings):
        for j, soon in enumerate(settles):
            one = weighted_loop(ROOT, -90, Parts(LENGTHS, swings=fast, settles=soon), exposure=2)
            assert one.angles == pytest.approx(of_all[i][j].angles, abs=2e-3)


def test_a_moved_slider_goes_on_from_the_last_loop():
    before = weighted_loop(ROOT, -90, Parts(LENGTHS, swings=2))
    assert weighted_loop(ROOT, -90, Parts(LENGTHS, swings=2.1)).angles == pytest.approx(
        weighted_loop(ROOT, -90, Parts(LENGTHS, swings=2.1), warm=before).angles, abs=2e-3)


def test_stops_and_rests_are_degrees():
    chain = Parts([10, 10], rest=[0, 90], stops=[[-180, 180], [0, 150]]).chain()
    assert [0, np.pi / 2] == pytest.approx(chain.rest)
    assert np.radians([[-180, 180], [0, 150]]) == pytest.approx(chain.stops)


# ---- the dial ------------------------------------------------------------------------------


def test_the_dial_runs_from_the_one_model_to_the_other():
    pull, weight = follow(ROOT, -90, LENGTHS, returns=0.15), weighted_loop(ROOT, -90, Parts(LENGTHS, swings=2))
    for dial, points in ((0, pull.points), (1, weight.points)):
        assert points == pytest.approx(blend(pull, weight, dial)[0], abs=1e-6)
    half, angles = blend(pull, weight, 0.5)
    assert angles == pytest.approx((pull.angles + weight.angles) / 2)
    parts = np.diff(half, axis=1)
    assert np.tile(LENGTHS, (DRAWINGS, 1)) == pytest.approx(np.hypot(parts[..., 0], parts[..., 1]))


def test_the_dial_is_refused_where_nothing_lies_between():
    pull, weight = follow(ROOT, -90, LENGTHS), weighted_loop(ROOT, -90, Parts(LENGTHS))
    with pytest.raises(ActionError, match="the dial stands at 1.5"):
        blend(pull, weight, 1.5)
    never = follow(50 * np.column_stack([np.cos(TURN), np.sin(TURN)]), 0, [80.0] * 3, returns=np.inf)
    assert not never.found
    with pytest.raises(ActionError, match="by the pull with a return: No"):
        blend(never, weight, 0.5)
    with pytest.raises(ActionError, match="hang both on the same loop"):
        blend(follow(ROOT, -90, LENGTHS[:2]), weight, 0.5)


# ---- settling, and refusals -------------------------------------------------------------------


def test_an_action_that_stops_is_followed_through_and_settles():
    time = np.arange(96) / 24
    part = np.clip(time / 0.5, 0, 1)
    root = np.column_stack([120 * part**2 * (3 - 2 * part), 0 * time])
    points, angles, says = weighted_run(root, -90, Parts([30, 30], swings=2, settles=0.25, scale=5))
    assert (96, 3, 2) == points.shape
    assert np.abs(angles[0] + 90).max() < 1e-6 and np.abs(angles[-1] + 90).max() < 1
    assert angles[:, 1].min() < -100 and angles[:, 1].max() > -85  # drags behind, then swings past
    assert "settled by the last drawing" in says


@pytest.mark.parametrize("ask, says", [
    (lambda: weighted_loop(ROOT[:3], 0, Parts(LENGTHS)), "4 drawings or more"),
    (lambda: weighted_loop(ROOT, [0, 1], Parts(LENGTHS)), "24 drawings of the root, but 2 angles of the parent"),
    (lambda: weighted_loop(ROOT, 0, Parts(LENGTHS, swings=-1)), "swings: -1.0; give numbers of 0 or more"),
    (lambda: weighted_loop(ROOT, 0, Parts(LENGTHS, scale=0)), "the scale is 0"),
    (lambda: weighted_loop(ROOT, 0, Parts(LENGTHS), rate=0), "0 frames a second"),
    (lambda: weighted_loop(ROOT, 0, Parts(LENGTHS), exposure=[1] * 23 + [0]), "drawing 24 is exposed for 0 frames"),
    (lambda: weighted_run(ROOT, 0, Parts(LENGTHS), exposure=[1] * 23 + [2]), "drawing 24 is exposed for 2 frames and drawing 1 for 1"),
])
def test_what_cannot_be_drawn_is_refused(ask, says):
    with pytest.raises(ActionError, match=says):
        ask()
