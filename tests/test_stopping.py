"""Start, stop, settle: what goes on after the stop, and which part rests when.

Reference: a damped oscillator keeps exp(-2 pi z / sqrt(1 - z^2)) of its swing each time over and back (logarithmic
decrement; textbook, from memory), and a stiff rod that hangs by its end swings in 2 pi sqrt(2 l / (3 g)).
"""

import numpy as np
import pytest

from anim_lessons import ActionError, check
from anim_lessons.course import hanging_panels
from anim_lessons.ferry.hanging import SCENES, own_period
from anim_lessons.ferry.stopping import at_rest, stopped
from anim_lessons.geometry.limb import angles

NAMES = sorted(SCENES)


@pytest.mark.parametrize("name", NAMES)
def test_the_joint_stands_goes_once_and_stands_and_the_parts_keep_their_lengths(name):
    made = stopped(SCENES[name])
    joint = made.action.limbs[0].drawings[:, 0]
    steps = np.hypot(*np.diff(joint, axis=0).T)
    assert (steps[:2] == 0).all() and (steps[2:made.stop - 1] > 0).all() and (steps[made.stop - 1:] == 0).all()
    verdict = check(made.action)
    assert verdict.rules["length"].passed and not verdict.rules["link-up"].judged
    assert not made.action.loop


@pytest.mark.parametrize("name", NAMES)
def test_it_hangs_still_before_the_start_and_goes_on_after_the_stop(name):
    made = stopped(SCENES[name])
    turning = np.unwrap(angles(made.action.limbs[0].drawings), period=360, axis=0)
    assert np.abs(turning[:3] - turning[0]).max() < 0.1
    assert (np.abs(turning[made.stop:] - turning[made.stop - 1]).max(axis=0) > 5).any()


@pytest.mark.parametrize("name", ["pennant", "mooring rope"])
def test_the_parts_come_to_rest_one_after_the_other_outward(name):
    rests = stopped(SCENES[name], after=40).rests
    assert sorted(rests) == list(rests) and rests[0] < rests[-1]


def test_how_many_drawings_follow_the_stop_does_not_change_what_rests_when():
    assert stopped(SCENES["pennant"], after=30).rests == stopped(SCENES["pennant"], after=40).rests


def test_a_lantern_swings_on_in_its_own_time_and_each_swing_keeps_what_a_damped_one_keeps():
    """Four swings after the stop, drawn on ones; small, so that the pendulum's time is that of a small swing."""
    lantern = SCENES["lantern"]
    # `settles` of a part without a spring counts as for one swing a second: damping over inertia is 2 z 2 pi.
    own = own_period(lantern.length, scale=lantern.scale)
    made = stopped(lantern, travel=40, after=180, parts=1, swings=0.0, settles=0.05, heavy=20.0, air=0.0, exposure=1)
    swing = np.unwrap(angles(made.action.limbs[0].drawings)[:, 0], period=360)[made.stop:] + 90
    swing -= 360 * np.round(swing[-1] / 360)
    extreme = np.flatnonzero(np.diff(np.sign(np.diff(swing))) != 0) + 1
    extreme = extreme[np.abs(swing[extreme]) > 0.2]
    assert len(extreme) > 4
    assert 24 * own / 2 == pytest.approx(np.diff(extreme).mean(), rel=0.05)
    kept = np.abs(swing[extreme[2:]] / swing[extreme[:-2]]).mean()
    assert np.exp(-2 * np.pi * 0.05 * own) == pytest.approx(kept, rel=0.05)      # decay rate z 2 pi, over one swing


def test_what_still_moves_at_the_end_is_said_and_what_helps():
    made = stopped(SCENES["pennant"], settles=0.1, after=12)
    assert None in made.rests
    assert "not yet" in made.says and "more drawings after the stop" in made.says
    assert None not in stopped(SCENES["pennant"], settles=1.0).rests


@pytest.mark.parametrize("turning, rests", [
    ([0, 9, 30, 21, 25, 24, 24, 24], 2),        # from drawing 5 on within 2 degrees of 24, the stop at 3
    ([24, 24, 24, 24, 24, 24, 24, 24], -2),     # it never moved: at rest at drawing 1
    ([0, 9, 30, 21, 25, 27, 24, 24], None),     # two drawings alike may be the slow end of a swing
    ([384, 384, 30, 24, 24, 24, 24, 384], 1),   # a whole turn is no movement
])
def test_a_part_rests_from_the_first_drawing_after_the_last_that_moves(turning, rests):
    assert (rests,) == at_rest(np.array(turning)[:, None], [24.0], stop=3)


# ---- the panel ------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_the_panel_opens_on_drawings_with_nothing_to_mend_and_follows_its_sliders(name):
    panel = hanging_panels.stop_and_settle(name)
    assert panel.table.verdict["passed"]
    before, said = panel.table.action, panel.line.value
    panel.sliders.values = {**panel.sliders.values, "settles": 0.9, "after": 30}
    assert before is not panel.table.action and said != panel.line.value
    assert panel.table.pose["revision"] == panel.table.verdict["revision"]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("end", ["least", "most"])
def test_every_end_of_every_slider_is_drawn(name, end):
    panel = hanging_panels.stop_and_settle(name)
    first = panel.sliders.values
    for slider in panel.sliders.sliders:
        panel.sliders.values = {**first, slider["name"]: slider[end]}
        assert panel.line.value.startswith("The "), (slider["name"], panel.line.value)


def test_where_nothing_is_found_the_last_drawings_stay_and_it_is_said(monkeypatch):
    panel = hanging_panels.stop_and_settle("pennant")
    before = panel.table.action
    monkeypatch.setattr("anim_lessons.physics.chain.weighted.weighted_run", lambda *_, **__: (None, None, "It whips <too> sharply."))
    panel.sliders.values = {**panel.sliders.values, "air": 0.0}
    assert panel.table.action is before
    assert "The drawings are from before." in panel.line.value and "&lt;too&gt;" in panel.line.value


def test_a_scene_that_is_not_there():
    with pytest.raises(ActionError, match='no scene "hand" that stops; there is lantern, pennant, mooring rope'):
        hanging_panels.stop_and_settle("hand")


def test_what_the_lesson_says_of_the_pennant():
    """Lesson 03: it stands from 9 on, its tip has gone furthest past in 10, and the tip rests last."""
    made = stopped(SCENES["pennant"])
    turning = np.unwrap(angles(made.action.limbs[0].drawings), period=360, axis=0)[:, -1]
    assert 9 == made.stop
    assert 10 == np.abs(turning - turning[-1])[8:].argmax() + 9
    assert max(made.rests) == made.rests[-1] > made.rests[-2]
