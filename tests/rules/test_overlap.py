"""Overlap, on parts that swing like sines, whose lag is what was put in.

Source of the rule: common practice, no source; its tolerance was chosen by trial. It is a
convention for loose, driven action and no law of bodies.
"""
from dataclasses import replace

import numpy as np
import pytest
from specimens import arm, begun_later, found, mirrored, turned

from anim_lessons import Brief, check
from anim_lessons.judging.flags import measure
from anim_lessons.rules import overlap


@pytest.mark.parametrize("count", [8, 12, 24, 31])
@pytest.mark.parametrize("fore, hand", [(1.0, 3.0), (2.5, 2.5), (4.0, 2.0), (-2.0, 1.0)])
def test_the_lag_is_the_one_put_in(count, fore, hand):
    action = arm(turned((30, 0), (40, fore), (25, hand), count=count))
    assert [fore, hand - fore] == pytest.approx(overlap.lag(measure(action)[0]).tolist(), abs=1e-6)


def test_each_part_later_than_the_one_that_carries_it_is_right():
    assert () == found(arm(turned((30, 0), (40, 2), (25, 4))), "overlap")


def test_parts_that_turn_together():
    (finding,) = found(arm(turned((30, 0), (40, 2), (25, 2.1))), "overlap")

    assert ("fingertips", (), "drawings") == (finding.joint, finding.drawings, finding.unit)
    assert (0.1, 0.4) == pytest.approx((finding.measured, finding.allowed))
    assert ("Forearm and hand turn together. The hand is 0.1 drawings behind; 0.4 are looked for. "
            "Hold the hand back until the forearm has turned. Let the hand turn 0.3 drawings later.") == finding.says
    assert ("0.1 drawings behind", "0.4 drawings behind or more") == (finding.shows, finding.looked_for)
    assert "hand 0.1 drawings behind the forearm" == finding.short


def test_a_part_that_turns_first():
    (finding,) = found(arm(turned((30, 0), (40, -1.5), (25, 2))), "overlap")

    assert ("The forearm turns before the upper arm. It is 1.5 drawings ahead, where 0.4 behind are looked "
            "for. Draw the upper arm first, then the forearm. Let the forearm turn 1.9 drawings later.") == finding.says
    assert "forearm 1.5 drawings ahead of the upper arm" == finding.short


def test_together_to_the_last_digit_is_not_minus_nothing():
    (finding,) = found(arm(turned((30, 0), (40, 2), (25, 2))), "overlap")
    assert "0.0 drawings behind" == finding.shows


@pytest.mark.parametrize("late, kept", [(0.41, True), (0.39, False)])
def test_the_limit_is_four_tenths_of_a_drawing_of_24(late, kept):
    findings = found(arm(turned((30, 0), (40, 2), (25, 2 + late))), "overlap")

    assert kept == (not findings)
    assert all(("0.39 drawings behind", "0.40 drawings behind or more") == (f.shows, f.looked_for) for f in findings)


@pytest.mark.parametrize("late, kept", [(1.01, True), (0.99, False)])
def test_a_brief_may_be_stricter(late, kept):
    action = arm(turned((30, 0), (40, late), (25, 4)))
    assert kept == (not found(action, "overlap", tolerances={"overlap": 1.0}))


def test_half_a_turn_late_is_neither_before_nor_together():
    assert () == found(arm(turned((30, 0), (40, 11.9), (25, 14))), "overlap")


@pytest.mark.parametrize("swing, judged", [(1.99, False), (2.01, True)])
def test_a_part_that_hardly_swings_has_no_lag(swing, judged):
    assert judged == bool(found(arm(turned((10, 0), (swing, 0), (swing, 4))), "overlap"))


def test_an_arm_that_also_goes_round_has_the_lag_of_its_swing():
    directions = turned((30, 0), (40, 2), (25, 4))
    round_it_goes = directions + 360.0 * np.arange(24)[:, None] / 24
    lag = overlap.lag(measure(arm(round_it_goes))[0])
    assert [2.0, 2.0] == pytest.approx(lag.tolist(), abs=1e-6)


def test_one_drawing_out_of_place_does_not_spoil_the_phase():
    directions = turned((30, 0), (40, 2), (25, 2.6))
    directions[6, 2] += 60.0
    assert () == found(arm(directions), "overlap")


def test_sides_starts_and_exposures_make_no_difference():
    action = arm(turned((30, 0), (40, 2), (25, 2.1)))
    says = found(action, "overlap")[0].says

    assert says == found(mirrored(action), "overlap")[0].says
    assert says == found(begun_later(action, 7), "overlap")[0].says
    assert says == found(action.replace(exposure=1), "overlap")[0].says


@pytest.mark.parametrize("action, why", [
    (arm(turned((30, 0))), "there is only one part, which cannot overlap with another"),
    (arm(turned((30, 0), (40, 2)), loop=False), "lag is told from a loop, and this action does not loop"),
    (arm(turned((30, 0), (40, 2), count=7)), "7 drawings are too few to tell a lag from"),
    (arm(turned((30, 0), (1, 2))), "no two parts next to each other swing enough to tell a lag from"),
    (arm(turned((30, 0), (40, 2), count=8)), ""),
])
def test_why_it_could_not_be_judged(action, why):
    verdict = check(action, Brief(rules=("overlap",))).rules["overlap"]
    assert (True, not why, why) == (verdict.passed, verdict.judged, verdict.says)


@pytest.mark.parametrize("swing, judged", [(0.0, False), (2.9, False), (3.1, True)])
def test_a_part_that_nearly_keeps_its_direction_on_one_that_swings_is_neither_kept_nor_wrong(swing, judged):
    """From a tenth of the swing that carries it; the least share of all right loops of `tests/right_loops.py` is 0.2."""
    action = arm(turned((30, 0), (20, 2), (swing, 5)))
    verdict = check(action, Brief(rules=("overlap",)))
    assert (judged, True) == (verdict.rules["overlap"].judged, verdict.rules["overlap"].passed) and () == verdict.findings
    why = "the hand nearly keeps its direction while what carries it swings 60°"
    assert ("" if judged else why) == verdict.rules["overlap"].says
    assert judged == verdict.passed and (judged or verdict.unmet == (f"overlap cannot be judged yet: {why}.",))


def test_what_is_wrong_is_said_before_what_cannot_be_told():
    verdict = check(arm(turned((30, 0), (40, -2), (0, 0))), Brief(rules=("overlap",)))
    assert verdict.rules["overlap"].judged and ["wrist"] == [finding.joint for finding in verdict.findings]


def test_folds_drawn_alike_but_for_an_unsteady_hand_are_no_overlap():
    """A staff of 24 degrees either side; each fold of the cloth at one angle, four degrees off at most."""
    for seed in range(20):
        hand, directions = np.random.default_rng(seed), turned((24, 0), (14, 4), (0, 0), count=12)
        directions[:, 2] += hand.uniform(-4.0, 4.0, 12)
        verdict = check(arm(directions), Brief(rules=("overlap",)))
        assert not verdict.rules["overlap"].judged and not verdict.passed, seed


def test_of_several_limbs_the_one_is_named():
    two = arm(turned((30, 0), (20, 2), (0, 0)))
    limb = two.limbs[0]
    two = two.replace(limbs=(replace(limb, name="near arm"), limb))
    assert check(two, Brief(rules=("overlap",))).rules["overlap"].says.startswith("Near arm: the hand nearly keeps")
