"""What hangs on the ferry landing links up, says so where it does not, and follows its sliders."""
from types import SimpleNamespace

import mpmath
import numpy as np
import pytest
from chain_by_sympy import ByKane
from chain_settings import beyond_joints

from anim_lessons import ActionError, check
from anim_lessons.course import hanging_panels
from anim_lessons.ferry.hanging import (
    MOST_HEAVY_PARTS,
    SCENES,
    least_lag,
    own_period,
    scene_lags,
    scene_loop,
    waving_hand,
)
from anim_lessons.geometry.limb import angles
from anim_lessons.judging.flags import measure
from anim_lessons.physics.pull import lag

NAMES = sorted(SCENES)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("dial", [0.0, 0.4, 1.0])
def test_whatever_the_dial_says_the_last_drawing_runs_into_the_first(name, dial):
    verdict = check(scene_loop(SCENES[name], drawings=24, dial=dial).action)
    assert verdict.rules["link-up"].passed and verdict.rules["length"].passed


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("dial", [0.0, 1.0])
def test_half_as_many_drawings_are_every_second_drawing(name, dial):
    """So the movement between the drawings links up too, not only the drawings."""
    fine = scene_loop(SCENES[name], drawings=32, exposure=1, dial=dial).action.limbs[0].drawings
    coarse = scene_loop(SCENES[name], drawings=16, exposure=2, dial=dial).action.limbs[0].drawings
    assert np.abs(fine[::2] - coarse).max() < 0.25     # mm, half a pencil line


def test_a_long_rope_follows_by_the_pull():
    rope = scene_loop(SCENES["mooring rope"], parts=100, dial=1.0)
    assert rope.weight is None and 101 == len(rope.action.limbs[0].joints)
    assert check(rope.action).rules["link-up"].passed
    assert "by the pull alone" in rope.says
    heavy = scene_loop(SCENES["mooring rope"], parts=MOST_HEAVY_PARTS, dial=1.0)
    assert heavy.weight is not None and "alone" not in heavy.says


def test_what_was_found_before_a_slider_moved_leads_to_the_same_drawings():
    before = scene_loop(SCENES["pennant"], swings=1.6, dial=1.0)
    warm = scene_loop(SCENES["pennant"], swings=1.7, dial=1.0, warm=before)
    cold = scene_loop(SCENES["pennant"], swings=1.7, dial=1.0)
    assert np.abs(warm.action.limbs[0].drawings - cold.action.limbs[0].drawings).max() < 0.05


def test_a_slider_moves_the_drawings():
    panel = hanging_panels.hanging("pennant")
    before = panel.table.action.limbs[0].drawings
    panel.sliders.values = {**panel.sliders.values, "air": 6.0, "dial": 1.0}
    assert np.abs(panel.table.action.limbs[0].drawings - before).max() > 1.0
    assert "links up" in panel.line.value


def test_where_no_loop_is_found_the_last_one_stays_and_it_is_said(monkeypatch):
    panel = hanging_panels.hanging("pennant")
    before = panel.table.action
    lost = SimpleNamespace(found=False, says="It never comes back <to itself>.")
    monkeypatch.setattr("anim_lessons.physics.chain.weighted.weighted_loop", lambda *_, **__: lost)
    panel.sliders.values = {**panel.sliders.values, "heavy": 40, "dial": 0.5}
    assert panel.table.action is before
    assert "The drawings are from before." in panel.line.value
    assert "&lt;to itself&gt;" in panel.line.value


def test_a_rope_whose_parts_remember_too_long_has_no_loop_and_it_is_said_what_helps():
    panel = hanging_panels.hanging("mooring rope")
    before = panel.table.action
    panel.sliders.values = {**panel.sliders.values, "parts": 8, "swings": 0.5, "settles": 0.1}
    assert panel.table.action is before
    assert "part 1 is" in panel.line.value and "farther round after each loop" in panel.line.value
    assert "swing more quickly or settle sooner" in panel.line.value
    panel.sliders.values = {**panel.sliders.values, "swings": 3.0, "settles": 1.0}
    assert panel.line.value.startswith("It links up")
    assert 9 == len(panel.table.action.limbs[0].joints)


@pytest.mark.parametrize("name", [*NAMES, "hand"])
def test_a_panel_opens_on_drawings_that_keep_every_rule(name):
    assert hanging_panels.hanging(name).table.verdict["passed"]


def test_a_scene_that_is_not_there():
    with pytest.raises(ActionError, match="there is lantern, pennant, mooring rope, hand"):
        hanging_panels.hanging("anchor")
    with pytest.raises(ActionError, match='no scene "anchor" to map'):
        hanging_panels.hanging_map("anchor")


def test_a_pennant_pulled_along_keeps_every_rule_and_one_with_weight_need_not_lag():
    """Lag is a convention for loose, driven action (common practice, no source), not a law of chains with weight."""
    assert check(scene_loop(SCENES["pennant"]).action).passed
    assert not check(scene_loop(SCENES["pennant"], drawings=24, dial=1.0).action).rules["overlap"].passed


@pytest.mark.parametrize("dial", [0.0, 0.5, 1.0])
def test_the_map_holds_what_each_setting_gives_alone(dial):
    lags, found = scene_lags(SCENES["pennant"], [0.8, 2.0], [0.3, 0.9], parts=3, dial=dial)
    assert found.all()
    for i, swings in enumerate([0.8, 2.0]):
        for j, settles in enumerate([0.3, 0.9]):
            alone = scene_loop(SCENES["pennant"], parts=3, swings=swings, settles=settles, dial=dial).action.limbs[0]
            assert lags[i, j] == pytest.approx(least_lag(angles(alone.drawings)), abs=0.02)
            assert lags[i, j] == pytest.approx(lag(angles(alone.drawings)).min(), abs=0.02)


def test_a_map_tells_where_nothing_links_up_from_where_nothing_swings():
    lags, found = scene_lags(SCENES["mooring rope"], [0.5, 4.0], [0.1, 1.0], parts=8, dial=0.0)
    assert [[False, True], [True, True]] == found.tolist()      # as the panel of the rope says, parts that remember too long
    assert np.isnan(lags[0, 0])
    lags, found = scene_lags(SCENES["mooring rope"], [0.5], [1.0], drawings=32)
    assert found.all() and np.isnan(lags).all()
    assert np.isnan(least_lag(np.zeros((16, 1))))      # one part alone is late after nobody


# ---- the lantern -------------------------------------------------------------------------------


@pytest.mark.parametrize("swing", [1.0, 38.0, 90.0, 150.0])
def test_a_great_swing_takes_longer_by_the_arithmetic_geometric_mean(swing):
    """T / T0 = 1 / M(1, cos(swing / 2)), the arithmetic-geometric mean (Gauss; from memory), by mpmath."""
    longer = float(1 / mpmath.agm(1, np.cos(np.radians(swing) / 2.0)))
    assert longer == pytest.approx(own_period(70.0, swing) / own_period(70.0), rel=1e-9)


def test_a_seconds_rod_of_a_metre_and_a_half():
    """A uniform rod swings like a bob at two thirds of its length (from memory): 1.5 m as a string of 1 m, 2.006 s."""
    assert 2.0 * np.pi * np.sqrt(1.0 / 9.80665) == pytest.approx(own_period(1500.0, scale=1.0))


@pytest.mark.parametrize("swing", [180.0, -1.0, float("nan")])
def test_a_swing_right_over_the_top_is_refused(swing):
    with pytest.raises(ActionError, match="below 180 degrees"):
        own_period(70.0, swing)


def test_the_lantern_swings_widest_where_the_loop_takes_as_long_as_its_own_swing():
    panel = hanging_panels.hanging("lantern")
    swing = {}
    for drawings in range(10, 33):
        panel.sliders.values = {**panel.sliders.values, "drawings": drawings}
        swing[drawings] = np.ptp(angles(panel.table.action.limbs[0].drawings))
    widest = max(swing, key=swing.get)
    assert abs(widest - 12.0 * own_period(SCENES["lantern"].length, swing[widest] / 2)) < 1.0    # 12 drawings a second
    assert swing[widest] > 2 * swing[10] and swing[widest] > 2 * swing[32]


# ---- the hand --------------------------------------------------------------------------------


@pytest.mark.parametrize("drawings", [16, 24])
def test_a_hand_with_weight_keeps_every_rule(drawings):
    assert check(waving_hand(drawings).action).passed


@pytest.mark.parametrize("drawings", [16, 24])
def test_the_hand_trails_at_full_swing_and_falls_over_at_the_turns(drawings):
    measures = measure(waving_hand(drawings).action)[0]
    swing, bend = measures.across, measures.bend[:, -1]
    full = np.abs(swing) > 0.7 * np.abs(swing).max()
    assert (np.sign(bend[full]) == -np.sign(swing[full])).all()
    assert 2 == (np.diff(np.sign(np.append(bend, bend[0]))) != 0).sum()     # once out, once back
    over = np.flatnonzero(np.sign(bend) != np.sign(np.roll(bend, 1)))       # the drawing in which it has fallen over
    turned = np.flatnonzero(np.sign(swing) != np.sign(np.roll(swing, 1)))
    assert all(np.abs((over[:, None] - turned + drawings / 2) % drawings - drawings / 2).min(axis=1) <= drawings / 8)


@pytest.mark.parametrize("name", [name for name, *_ in hanging_panels.HAND])
@pytest.mark.parametrize("end", [2, 3])
def test_every_end_of_every_slider_of_the_hand_draws_a_loop_that_links_up(name, end):
    panel = hanging_panels.hanging("hand")
    row = next(row for row in hanging_panels.HAND if row[0] == name)
    panel.sliders.values = {**panel.sliders.values, name: row[end]}
    assert panel.line.value.startswith("It links up")
    assert check(panel.table.action).rules["link-up"].passed
    assert panel.table.pose["revision"] == panel.table.verdict["revision"]


# ---- a nudge would throw it off ----------------------------------------------------------------


@pytest.mark.parametrize("scene, swings, settles, steady", [
    ("mooring rope", 0.5, 0.2, False), ("mooring rope", 0.5, 1.0, True)])
def test_a_loop_that_a_nudge_would_throw_off_is_named_and_a_nudge_does(scene, swings, settles, steady):
    """Two heavy parts within the sliders' range; nudged, and run on by sympy's mechanics and scipy's solve_ivp."""
    chosen = {"parts": 2, "swings": swings, "settles": settles, "heavy": 60, "air": 2.0, "dial": 1.0, "drawings": 8}
    assert all(low <= chosen[name] <= high for name, _, low, high, *_ in hanging_panels.SCENE)
    hangs, made = SCENES[scene], scene_loop(SCENES[scene], **chosen)
    loop = made.weight.loop
    assert loop.found and steady == loop.stable
    assert steady == ("a nudge would throw it off" not in made.says)
    root, parent = hangs.path(2 * np.pi * np.arange(8) / 8)
    lengths, mass = np.full(2, hangs.length / 2 * hangs.scale / 1000), np.full(2, 0.06)
    beyond, turn = beyond_joints(lengths, mass), 2 * np.pi * swings
    kane = ByKane(root * hangs.scale / 1000, lengths, 16 / 24, mass, beyond * turn**2, 2 * settles * turn * beyond,
                  np.radians([hangs.rest, 0]), parent=np.radians(parent), air=2.0 * 0.020)
    waves = np.fft.rfft(loop.motion.angles(128), axis=0)
    speed = (waves * 1j * np.arange(65)[:, None]).sum(0).real * 2 / 128 * kane.period ** -1 * 2 * np.pi
    angles_off = []
    for nudge in (1e-3, -1e-3):
        run, _ = kane.run(loop.angles[0] + nudge, speed, np.arange(13) * kane.period)
        angles_off.append(run)
    off = np.abs(angles_off[0] - angles_off[1]).max(axis=1)
    assert off[0] == pytest.approx(2e-3)
    assert off[-1] < 2e-4 if steady else off.max() > 0.2
