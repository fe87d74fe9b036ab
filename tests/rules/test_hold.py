"""Hold, which is advice and never fails an action.

Source of the rule: common practice, no source; its tolerance was chosen by trial.
"""
import numpy as np
import pytest
from specimens import arm, begun_later, mirrored, turned

from anim_lessons import Action, Brief, Limb, check
from anim_lessons.ferry.actions import off_arc, traced_twice, wave

HOLD = Brief(rules=("hold",))


def resting():
    """An arm that swings, and whose elbow is in the same place, at the end of its swing, in drawings 7 and 8."""
    return arm(turned((30, 0.5), (40, 3.5), (25, 6.5)))


def with_upper_arm(steps, fore=()):
    """An arm of two parts: the upper arm turns by these steps, degrees, and the forearm by its own (5 unless given)."""
    upper = 60.0 + np.concatenate([[0.0], np.cumsum(steps)])
    lower = 90.0 + np.concatenate([[0.0], np.cumsum(fore or [5.0] * len(steps))])
    return arm(np.stack([upper, lower], axis=-1), loop=False)


def test_one_part_rests_and_another_moves_on():
    verdict = check(with_upper_arm([5.0, 5, 5, 5, 0, 5, 5, 5, 5]), HOLD)

    # The elbow stays, so the wrist goes round it: 2 * 40 * sin 2.5° = 3.5 mm.
    assert ("Well held: at 6 the elbow stands still and the wrist moves on 3 mm.",) == verdict.advice
    assert verdict.passed and () == verdict.findings


def test_a_drawing_at_fault_and_the_one_after_it_are_not_praised():
    still = ("Well held: at 7 the elbow stands still and the fingertips move on 8 mm.",)
    assert still == check(wave()).advice == check(traced_twice(wave(), drawing=5)).advice
    for loop, at in ((traced_twice(wave(), drawing=6), 6), (off_arc(wave(), drawing=7), 7)):
        verdict = check(loop)
        assert ((at,), ()) == (verdict.causes[0].drawings, verdict.advice)


def test_everything_at_once_is_told_without_failing():
    verdict = check(with_upper_arm([5.0, 5, 5, 5, 0, 5, 5, 5, 5], [5.0, 5, 5, 5, 0, 5, 5, 5, 5]), HOLD)

    assert ("At 6 everything stops at once. Let the elbow rest and the wrist still finish.",) == verdict.advice
    assert verdict.passed and () == verdict.findings


def test_where_nothing_rests_nothing_is_said():
    assert () == check(with_upper_arm([5.0] * 9), HOLD).advice


@pytest.mark.parametrize("step, rests", [(0.49, True), (0.51, False)])
def test_a_tenth_of_the_widest_step_is_rest(step, rests):
    # The elbow goes round in small turns, whose chords are as the angles within one part in a thousand.
    verdict = check(with_upper_arm([5.0, 5, 5, 5, step, 5, 5, 5, 5]), HOLD)
    assert rests == bool(verdict.advice)


@pytest.mark.parametrize("step, rests", [(0.99, True), (1.01, False)])
def test_a_brief_may_call_more_a_rest(step, rests):
    brief = Brief(rules=("hold",), tolerances={"hold": 0.2})
    assert rests == bool(check(with_upper_arm([5.0, 5, 5, 5, step, 5, 5, 5, 5]), brief).advice)


def test_the_first_drawing_of_what_does_not_loop_does_not_rest():
    # Nothing leads into it, which is no hold.
    assert () == check(with_upper_arm([5.0] * 11), HOLD).advice


def test_plural_joints_have_plural_verbs():
    action = resting()
    (advice,) = check(action, HOLD).advice
    assert "the fingertips move on" in advice


def test_of_two_limbs_the_one_is_named():
    one = resting().limbs[0]
    other = Limb("far arm", one.joints, one.lengths, one.stops, one.drawings)
    advice = check(Action((one, other)), HOLD).advice

    assert 2 == len(advice)
    assert advice[0].startswith("Arm, well held: at ")
    assert advice[1].startswith("Far arm, well held: at ")


def test_the_other_side_rests_where_this_side_does():
    action = resting()
    assert check(action, HOLD).advice == check(mirrored(action), HOLD).advice


def test_a_loop_begun_later_rests_as_much():
    action = resting()
    assert 1 == len(check(begun_later(action, 5), HOLD).advice)


@pytest.mark.parametrize("action, why", [
    (arm(turned((30, 0))), "there is only one part"),
    (arm(turned((30, 0), (40, 2), count=7)), "7 drawings are too few to see a hold"),
])
def test_why_it_could_not_be_judged(action, why):
    verdict = check(action, HOLD).rules["hold"]
    assert (True, False, why) == (verdict.passed, verdict.judged, verdict.says)
