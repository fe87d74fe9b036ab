"""Drag, on a straight forearm that swings to and fro and a hand that leans by a given angle.

Source of the rule: common practice, no source; its tolerance was chosen by trial.
"""
import numpy as np
import pytest
from specimens import ARM, arm, begun_later, found, mirrored

from anim_lessons import Action, Brief, Limb, check
from anim_lessons.geometry.limb import pose
from anim_lessons.judging.flags import measure
from anim_lessons.rules import drag


def swung(*changes, count=16, trails=20.0):
    """A loop of a straight arm that swings 40 degrees either way, fastest at drawings 1 and 9, and a hand that
    trails in step. Pairs give a drawing and by how much the hand leads there instead, degrees."""
    turn = 2 * np.pi * np.arange(count) / count
    way = 90.0 + 40.0 * np.sin(turn)
    hand = -trails * np.cos(turn)              # the swing is counter-clockwise at 1 and clockwise at 9
    for number, lead in changes:
        hand[number - 1] = lead * np.sign(np.cos(turn[number - 1]))
    return arm(np.stack([way, way, way + hand], axis=-1))


def test_a_hand_that_trails_drags():
    assert () == found(swung(), "drag")


def test_a_hand_held_straight_does_not_scoop():
    assert () == found(swung(trails=0.0), "drag")


@pytest.mark.parametrize("number", [1, 2, 9, 10, 16])
def test_a_hand_that_leads_in_mid_swing_scoops(number):
    (finding,) = found(swung((number, 21.0)), "drag")

    # It is put where its neighbours have it, 20 degrees behind, but for what the cubic through them is off at a turn.
    (turn,) = finding.correction.poses.values()
    trails = np.diff(np.degrees(np.arctan2(*np.diff(turn, axis=0).T[::-1])))[-1] * np.sign(measure(swung())[0].across[number - 1])
    assert -20.0 == pytest.approx(trails, abs=2.5)
    assert ("wrist", (number,), "deg") == (finding.joint, finding.drawings, finding.unit)
    assert (21.0, 6.0) == pytest.approx((finding.measured, finding.allowed))
    assert (f"The hand scoops at {number}. It leads the forearm by 21.0° in mid-swing; 6.0° are allowed. "
            f"Swing the hand {round(21 - trails)}° back, then flip {(number - 2) % 16 + 1}, {number}, {number % 16 + 1}.") == finding.says
    assert ("leads by 21.0°", "at most 6.0° ahead") == (finding.shows, finding.looked_for)


@pytest.mark.parametrize("lead, kept", [(6.49, True), (6.51, False)])
def test_the_limit_is_6_degrees_and_half_a_degree_more_looks_kept(lead, kept):
    assert kept == (not found(swung((9, lead)), "drag"))


def test_just_over_the_limit_the_sentence_still_shows_which_is_more():
    (finding,) = found(swung((9, 6.54)), "drag")
    assert ("leads by 6.5°", "at most 6.0° ahead") == (finding.shows, finding.looked_for)


@pytest.mark.parametrize("lead, kept", [(15.4, True), (15.6, False)])
def test_a_brief_may_be_milder(lead, kept):
    assert kept == (not found(swung((9, lead)), "drag", tolerances={"drag": 15.0}))


@pytest.mark.parametrize("number", [4, 5, 6, 12, 13, 14])
def test_at_the_turn_the_hand_is_free(number):
    assert () == found(swung((number, 40.0)), "drag")


def test_mid_swing_is_where_the_wrist_is_more_than_half_as_fast_as_ever():
    # The speed of a sine is a cosine. Of 20 drawings, 18° each, those up to 54° from the fastest are above
    # half of it (cos 54° = 0.59, cos 72° = 0.31), round 1 and round 11; up to the fastest the wrist gains speed.
    strong = np.isfinite(drag.lead(measure(swung(count=20))[0]))
    assert [1, 8, 9, 10, 11, 18, 19, 20] == (np.flatnonzero(strong) + 1).tolist()


def test_a_run_of_drawings_is_one_finding_that_leads_with_the_worst():
    (finding,) = found(swung((7, 18.0), (8, 25.0), (9, 20.0)), "drag")

    assert (8, 7, 9) == finding.drawings
    assert "The hand scoops at 7 to 9. It leads the forearm by up to 25.0° in mid-swing" in finding.says


def test_the_correction_lets_it_trail():
    (finding,) = found(swung((9, 21.0)), "drag")

    assert [9] == list(finding.correction.poses)
    assert () == found(finding.correction.laid_in(swung((9, 21.0))), "drag")


def test_the_other_side_is_judged_alike():
    one, other = found(swung((9, 21.0)), "drag"), found(mirrored(swung((9, 21.0))), "drag")
    assert [finding.says for finding in one] == [finding.says for finding in other]


@pytest.mark.parametrize("later", [1, 7, 8, 15])
def test_wherever_the_loop_begins(later):
    (finding,) = found(begun_later(swung((9, 21.0)), later), "drag")
    assert ((9 + later - 1) % 16 + 1,) == finding.drawings


def test_on_ones_and_on_twos_alike():
    assert (found(swung((9, 21.0)).replace(exposure=1), "drag")[0].says
            == found(swung((9, 21.0)).replace(exposure=2), "drag")[0].says)


def test_what_does_not_loop_is_judged_too():
    (finding,) = found(swung((9, 21.0)).replace(loop=False), "drag")
    assert (9,) == finding.drawings


def limb(joints, stops, count=12):
    points = pose(np.zeros((count, 2)), np.full(joints - 1, 50.0), np.full((count, joints - 1), 90.0))
    return Action((Limb("arm", ARM[:joints], [50.0] * (joints - 1), stops, points),))


@pytest.mark.parametrize("action, why", [
    (limb(2, [(-90, 270)]), "there is no part that could drag"),
    (limb(3, [(-90, 270), (0, 140)]), "the last joint bends one way only, so its part cannot drag"),
    (limb(3, [(-90, 270), (-14, 140)]), "the last joint bends one way only, so its part cannot drag"),
    (limb(3, [(-90, 270), (-15, 15)]), ""),
    (limb(4, [(-90, 270), (0, 140), (0, 80)]), ""),
    (limb(4, [(-90, 270), (0, 140), (-80, 80)], count=4), "4 drawings are too few to see a swing"),
])
def test_why_it_could_not_be_judged(action, why):
    verdict = check(action, Brief(rules=("drag",))).rules["drag"]
    assert (True, not why, why) == (verdict.passed, verdict.judged, verdict.says)
