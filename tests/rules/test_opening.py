"""Opening, on an elbow that opens 12 degrees a drawing.

Source of the rule: common practice, no source; its tolerance was chosen by trial.
"""
import numpy as np
import pytest
from specimens import arm, begun_later, found, mirrored

from anim_lessons import Brief, check


def elbow(*changes, count=24, step=12.0, hand=0.0):
    """A loop whose elbow goes from 130 down to 10 degrees and back, `step` a drawing; the upper arm stays.

    `changes` are pairs: a drawing and the bend that is drawn there instead.
    """
    half = np.arange(count // 2) * step
    bend = 130.0 - np.concatenate([half, [count // 2 * step], half[:0:-1]]) * 120.0 / (count // 2 * step)
    for number, drawn in changes:
        bend[number - 1] = drawn
    upper = np.full(count, 90.0)
    return arm(np.stack([upper, upper + bend, upper + bend + hand], axis=-1))


# Drawings 1 to 13 open from 130 to 10 degrees by 10 each: 5 is at 90, 6 at 80, 7 at 70.


def test_an_elbow_that_opens_steadily_and_closes_again_is_right():
    assert () == found(elbow(), "opening")


def test_the_same_angle_traced_twice_locks():
    (finding,) = found(elbow((6, 90.0)), "opening")

    assert ("elbow", (6,), "deg") == (finding.joint, finding.drawings, finding.unit)
    assert (0.0, 2.5) == pytest.approx((finding.measured, finding.allowed), abs=1e-9)   # a quarter of 10
    assert ("The elbow locks at 6. It should open by about 10° from 5 and opens 0.0°. "
            "Swing the forearm with the hand 10° on, then flip 5, 6, 7.") == finding.says
    assert ("opens 0.0°", "10.0°, at least 2.5°") == (finding.shows, finding.looked_for)
    assert "elbow opens 0.0°; about 10° looked for" == finding.short


def test_on_the_way_back_it_closes():
    # Drawings 13 to 24 close: 18 is at 60 degrees, 19 at 70.
    (finding,) = found(elbow((19, 60.0)), "opening")
    assert "It should close by about 10° from 18 and closes 0.0°." in finding.text


@pytest.mark.parametrize("step, kept", [(2.51, True), (2.49, False)])
def test_a_quarter_of_the_step_is_enough(step, kept):
    assert kept == (not found(elbow((6, 90.0 - step)), "opening"))


@pytest.mark.parametrize("step, kept", [(5.01, True), (4.99, False)])
def test_a_brief_may_be_stricter(step, kept):
    assert kept == (not found(elbow((6, 90.0 - step)), "opening", tolerances={"opening": 0.5}))


def test_just_under_the_limit_the_sentence_still_shows_which_is_less():
    (finding,) = found(elbow((6, 90.0 - 2.48)), "opening")
    assert ("opens 2.48°", "10.0°, at least 2.50°") == (finding.shows, finding.looked_for)


def test_an_elbow_that_goes_back_closes_in_the_middle_of_opening():
    (finding,) = found(elbow((6, 95.0)), "opening")

    assert ("The elbow closes at 6 in the middle of opening. It closes 5.0°, where it should open by about 10°. "
            "Swing the forearm with the hand 15° on, then flip 5, 6, 7.") == finding.says
    assert -5.0 == pytest.approx(finding.measured)


def test_where_the_one_before_went_too_far_that_one_is_named_and_mended():
    # 6 is drawn at 68 degrees instead of 80, so 7 at 70 comes back two degrees.
    (finding,) = found(elbow((6, 68.0)), "opening")

    assert (6,) == finding.drawings
    assert "The elbow opens too far at 6." == finding.head
    assert ("So 7 comes back: there it closes 2.0° where about 10° are looked for. "
            "Swing the forearm with the hand 12° back, then flip 5, 6, 7.") == finding.text
    assert [6] == list(finding.correction.poses)


def test_where_it_only_waits_it_locks():
    (finding,) = found(elbow((6, 71.0)), "opening")

    assert (6,) == finding.drawings
    assert "The elbow opens too far at 6. So 7 waits: there it opens 1.0°" in finding.says


def test_several_drawings_traced_in_a_row_are_each_found():
    findings = found(elbow((6, 90.0), (7, 90.0)), "opening")
    assert [6, 7] == sorted(finding.drawings[0] for finding in findings)


def test_round_an_extreme_a_joint_may_rest():
    # 13 is the extreme, at 10 degrees; 12 and 14 are at 20.
    assert () == found(elbow((12, 10.0), (14, 10.0)), "opening")


@pytest.mark.parametrize("swing, judged", [(7.9, False), (8.1, True)])
def test_a_joint_that_hardly_bends_is_held(swing, judged):
    # Few drawings, so that steps stay above 2.5 degrees.
    turn = np.arange(8)
    bend = 60.0 + swing * np.array([0, 1 / 3, 2 / 3, 1, 1, 2 / 3, 1 / 3, 0])
    bend[2] = bend[1]
    action = arm(np.stack([90.0 + 0 * turn, 90.0 + bend, 90.0 + bend], axis=-1))
    assert judged == bool(found(action, "opening"))


def test_the_correction_opens_it():
    (finding,) = found(elbow((6, 90.0)), "opening")
    ((number, points),) = finding.correction.poses.items()

    assert 6 == number
    assert elbow().limbs[0].drawings[5] == pytest.approx(points, abs=1e-3)      # a thousandth of a mm, as a file keeps it


def test_the_other_side_is_judged_alike():
    one, other = found(elbow((6, 90.0)), "opening"), found(mirrored(elbow((6, 90.0))), "opening")
    assert [finding.says for finding in one] == [finding.says for finding in other]


@pytest.mark.parametrize("later", range(24))
def test_wherever_the_loop_begins(later):
    (finding,) = found(begun_later(elbow((6, 90.0)), later), "opening")
    assert ((6 + later - 1) % 24 + 1,) == finding.drawings


@pytest.mark.parametrize("number, what", [(4, "locks"), (6, "locks"), (9, "locks"), (12, "")])
def test_what_does_not_loop(number, what):
    opening = arm(np.stack([np.full(12, 90.0), 220.0 - 10.0 * np.arange(12), 220.0 - 10.0 * np.arange(12)], axis=-1),
                  loop=False)
    assert () == found(opening, "opening")
    directions = np.stack([np.full(12, 90.0), 220.0 - 10.0 * np.arange(12)], axis=-1)
    directions[number - 1, 1] += 10.0
    findings = found(arm(directions, loop=False), "opening")
    assert ([(number,)] if what else []) == [finding.drawings for finding in findings]


def test_on_mixed_exposures_a_drawing_held_twice_as_long_takes_twice_the_step():
    # Ten degrees a frame pair: after a drawing held for four frames the elbow is 20 further on.
    frames = [2, 2, 2, 4, 2, 2, 2, 2, 4, 2, 2, 2]
    at = np.concatenate([[0], np.cumsum(frames)[:-1]])
    directions = np.stack([np.full(12, 90.0), 230.0 - 5.0 * at], axis=-1)
    assert () == found(arm(directions, loop=False, exposure=tuple(frames)), "opening")

    directions[4, 1] = directions[3, 1] - 10.0      # 5 takes 10 degrees where 20 are due: more than a quarter
    assert () == found(arm(directions, loop=False, exposure=tuple(frames)), "opening")
    directions[4, 1] = directions[3, 1] - 4.0
    (finding,) = found(arm(directions, loop=False, exposure=tuple(frames)), "opening")
    assert "It should open by about 20° from 4 and opens 4.0°." in finding.text


@pytest.mark.parametrize("count, parts, why", [
    (7, 3, "7 drawings are too few to tell what a step should be"),
    (8, 1, "there is no joint that opens"),
])
def test_why_it_could_not_be_judged(count, parts, why):
    action = arm(np.tile([[90.0, 120.0, 120.0][:parts]], (count, 1)))
    verdict = check(action, Brief(rules=("opening",))).rules["opening"]
    assert (True, False, why) == (verdict.passed, verdict.judged, verdict.says)
