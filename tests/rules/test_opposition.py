"""Opposition, on two arms whose distance in time is what was put in.

Source of the rule: common practice, no source; its tolerance was chosen by trial.
"""
import numpy as np
import pytest
from specimens import arm, begun_later, dot, mirrored, turned

from anim_lessons import Action, Brief, Limb, check
from anim_lessons.geometry.limb import pose
from anim_lessons.judging.flags import measure
from anim_lessons.rules import opposition

OPPOSITION = Brief(rules=("opposition",))


def two(late, count=40, other_side=False, loop=True):
    """Two arms, the second so many turns of the loop behind the first."""
    near = arm(turned((30, 0), (40, 2), (25, 4), count=count), name="near arm")
    far = begun_later(near, round(late * count))
    far = (mirrored(far) if other_side else far).limbs[0]
    return Action((near.limbs[0], Limb("far arm", far.joints, far.lengths, far.stops, far.drawings)), loop=loop)


def findings(action, **changes):
    return check(action, Brief(rules=("opposition",), **changes)).findings


@pytest.mark.parametrize("late", [0.0, 0.1, 0.3, 0.5, 0.7, 0.95])
@pytest.mark.parametrize("other_side", [False, True])
def test_the_arms_are_as_far_apart_as_they_were_drawn(late, other_side):
    apart = float(opposition.apart(*measure(two(late, other_side=other_side))))
    assert 0.0 == pytest.approx((apart - late + 0.5) % 1.0 - 0.5, abs=1e-9)


@pytest.mark.parametrize("other_side", [False, True])
def test_half_a_turn_apart_is_opposition(other_side):
    assert () == findings(two(0.5, other_side=other_side))


@pytest.mark.parametrize("other_side", [False, True])
def test_arms_that_swing_together(other_side):
    (finding,) = findings(two(0.0, other_side=other_side))

    assert ("far arm", "fingertips", (), "turns") == (finding.limb, finding.joint, finding.drawings, finding.unit)
    assert (0.5, 0.1) == pytest.approx((finding.measured, finding.allowed))
    assert ("Near arm and far arm swing together. They are 0.00 of a turn apart, and opposition wants half, "
            "0.40 to 0.60. Start the far arm 20 drawings later in the loop.") == finding.says
    assert ("0.00 of a turn apart", "half a turn, 0.40 to 0.60") == (finding.shows, finding.looked_for)


@pytest.mark.parametrize("late, advice", [(0.3, "8 drawings later"), (0.7, "8 drawings earlier"),
                                          (0.325, "7 drawings later")])
def test_what_to_do_is_counted_in_drawings_the_short_way(late, advice):
    (finding,) = findings(two(late))

    assert "Far arm is not opposite to near arm." == finding.head
    assert f"Start the far arm {advice} in the loop." in finding.text
    assert () == findings(begun(two(late), int(advice.split()[0]) * (1 if "later" in advice else -1)))


def begun(action, drawings):
    """The action with its second limb begun so many drawings later."""
    near, far = (limb.drawings for limb in action.limbs)
    return action.redrawn(near, np.roll(far, drawings, axis=0))


def test_one_drawing_is_one_drawing():
    (finding,) = findings(two(0.375, count=8))       # 3 of 8: an eighth of a turn is one drawing
    assert "Start the far arm 1 drawing later in the loop." in finding.text


@pytest.mark.parametrize("drawings, kept", [(39, False), (41, True), (59, True), (61, False)])
def test_the_limit_is_a_tenth_of_a_turn_either_way(drawings, kept):
    assert kept == (not findings(two(drawings / 100, count=100)))


@pytest.mark.parametrize("drawings, kept", [(29, False), (31, True)])
def test_a_brief_may_be_milder(drawings, kept):
    assert kept == (not findings(two(drawings / 100, count=100), tolerances={"opposition": 0.2}))


def test_just_over_the_limit_the_sentence_still_shows_which_is_more():
    (finding,) = findings(two(95 / 239, count=239))
    assert "They are 0.397 of a turn apart, and opposition wants half, 0.400 to 0.600." in finding.text


def test_it_makes_no_difference_which_limb_comes_first():
    action = two(0.3)
    (finding,) = findings(action.replace(limbs=action.limbs[::-1]))
    assert "Start the near arm 8 drawings earlier in the loop." in finding.text


def test_both_sides_mirrored_are_judged_alike():
    (one,), (other,) = findings(two(0.3, other_side=True)), findings(mirrored(two(0.3, other_side=True)))
    assert one.says == other.says


def test_an_arm_that_does_not_sway_has_no_phase():
    near = arm(turned((30, 0), (40, 2), (25, 4)), name="near arm").limbs[0]
    still = Limb("far arm", near.joints, near.lengths, near.stops, np.repeat(near.drawings[:1], 24, axis=0))
    assert () == findings(Action((near, still)))


@pytest.mark.parametrize("action, why", [
    (arm(turned((30, 0), (40, 2))), "there is only one limb, so nothing to oppose it"),
    (two(0.0, loop=False), "phase is told from a loop, and this action does not loop"),
    (two(0.0, count=7), "7 drawings are too few to tell a phase from"),
    (two(0.5, count=8), ""),
])
def test_why_it_could_not_be_judged(action, why):
    verdict = check(action, OPPOSITION).rules["opposition"]
    assert (True, not why, why) == (verdict.passed, verdict.judged, verdict.says)


def test_limbs_of_different_make_oppose_nothing():
    arm_limb = arm(turned((30, 0), (40, 2), (25, 4))).limbs[0]
    buoy = dot(*[(10.0 * i % 70, 0.0) for i in range(24)]).limbs[0]
    rule = check(Action((arm_limb, buoy)), OPPOSITION).rules["opposition"]
    assert (True, False, "no two limbs are of the same make, so nothing is opposed") == (
        rule.passed, rule.judged, rule.says)


def test_arms_oppose_each_other_whatever_their_joints_are_called():
    near, far = two(0.0).limbs
    renamed = Limb(far.name, tuple(f"far {joint}" for joint in far.joints), far.lengths, far.stops, far.drawings)
    assert 1 == len(findings(Action((near, renamed))))


def resized(limb, lengths, stops=None):
    """The limb with parts so long, at the angles they have."""
    directions = np.degrees(np.arctan2(*np.diff(limb.drawings, axis=1).T[::-1]).T)
    return Limb(limb.name, limb.joints, lengths, limb.stops if stops is None else stops,
                pose(limb.drawings[:, 0], lengths, directions))


@pytest.mark.parametrize("size, pair", [(0.45, False), (0.55, True), (0.8, True), (1.4, True), (1.9, True), (2.1, False)])
@pytest.mark.parametrize("other_side", [False, True])
def test_an_arm_drawn_smaller_is_of_the_same_make(size, pair, other_side):
    near, far = two(0.0, other_side=other_side).limbs
    verdict = check(Action((near, resized(far, size * far.lengths))), OPPOSITION)

    assert pair == verdict.rules["opposition"].judged == bool(verdict.findings)
    near, far = two(0.5, other_side=other_side).limbs
    assert () == check(Action((near, resized(far, size * far.lengths))), OPPOSITION).findings


def test_limbs_of_other_proportions_oppose_nothing():
    near, far = two(0.0).limbs
    for parts, pair in (((1.0, 1.0, 0.9), True), ((1.0, 1.0, 0.6), False), ((1.5, 1.0, 1.0), False)):
        verdict = check(Action((near, resized(far, far.lengths * parts))), OPPOSITION)
        assert pair == verdict.rules["opposition"].judged


@pytest.mark.parametrize("stops, pair", [
    (((-45.0, 170.0), (0.0, 120.0), (-90.0, 60.0)), True),      # bends to the same sides
    (((10.0, 225.0), (-140.0, 0.0), (-80.0, 80.0)), True),      # as in a mirror
    (((-45.0, 170.0), (-140.0, 140.0), (-80.0, 80.0)), False),  # one bends to both sides, the other to one
    (((-45.0, 170.0), (0.0, 140.0), (0.0, 80.0)), False),
    (((-150.0, -30.0), (-140.0, 0.0), (-80.0, 80.0)), False),   # a leg of an arm's proportions hangs down
])
def test_joints_whose_stops_differ_in_kind_are_not_of_one_make(stops, pair):
    near, far = two(0.0).limbs
    verdict = check(Action((near, resized(far, far.lengths, stops))), OPPOSITION)
    assert pair == verdict.rules["opposition"].judged
