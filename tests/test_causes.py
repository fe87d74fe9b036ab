"""Cause first, then what follows from it; and the correction of a cause mends it.

Source of the order: common practice, no source.
"""
import numpy as np
import pytest
from loops import FAULTS as KINDS
from loops import action, loop

from anim_lessons import check
from anim_lessons.ferry.actions import DEMOS, FAULTS, wave

CLEAN = sorted(set(DEMOS) - set(FAULTS))


@pytest.mark.parametrize("name", CLEAN)
def test_a_clean_demo_has_no_findings(name):
    assert () == check(DEMOS[name]()).findings


@pytest.mark.parametrize("name", sorted(FAULTS))
def test_the_first_finding_of_a_demo_is_the_fault_it_is_named_for(name):
    first = check(DEMOS[name]()).findings[0]
    assert (FAULTS[name], None) == (first.rule, first.follows)


@pytest.mark.parametrize("name", sorted(FAULTS))
def test_it_is_the_one_cause_and_all_else_follows(name):
    verdict = check(DEMOS[name]())
    assert 1 == len(verdict.causes)
    assert all(0 == finding.follows for finding in verdict.findings[1:])


def test_a_locked_elbow_leads_and_the_wrist_off_its_spacing_follows():
    found = check(DEMOS["elbow-locks"]()).findings
    assert [("opening", "elbow", None), ("spacing", "wrist", 0), ("spacing", "fingertips", 0)] == [
        (finding.rule, finding.joint, finding.follows) for finding in found]
    assert found[0].correction is not None and all(finding.correction is None for finding in found[1:])


def test_two_faults_far_apart_are_two_causes_in_the_order_of_the_drawings():
    it = wave(24)
    limb = it.limbs[0]
    drawings = limb.drawings.copy()
    for number, by in ((19, 0.3), (5, 0.2)):
        drawings[number - 1, 3] += by * (drawings[number - 1, 3] - drawings[number - 1, 2])
    causes = check(it.redrawn(drawings)).causes

    assert [("length", (5,)), ("length", (19,))] == [(cause.rule, cause.drawings) for cause in causes]


def test_each_follower_stands_behind_its_cause():
    rng = np.random.default_rng(4)
    for _, fault in KINDS.values():
        for _ in range(6):
            it = loop(rng)
            made = fault(it, rng)
            if made is None:
                continue
            found = check(action(it, made[0])).findings
            for place, finding in enumerate(found):
                if finding.follows is not None:
                    assert finding.follows < place and found[finding.follows].follows is None
                    assert all(found[between].follows == finding.follows
                               for between in range(finding.follows + 1, place))


@pytest.mark.parametrize("kind", ["part too long or short", "elbow past its stop", "elbow locks", "elbow goes back",
                                  "hand scoops"])
def test_the_correction_of_the_cause_mends_it(kind):
    rule, fault = KINDS[kind]
    rng = np.random.default_rng(8)
    seen = 0
    while seen < 40:
        it = loop(rng)
        made = fault(it, rng)
        if made is None:
            continue
        drawn = action(it, made[0])
        cause = next(finding for finding in check(drawn).causes if finding.rule == rule)
        after = check(cause.correction.laid_in(drawn))
        assert not any(finding.rule == rule and set(finding.drawings) & set(cause.drawings)
                       for finding in after.findings), (seen, cause.says)
        seen += 1


def test_the_correction_keeps_the_lengths_of_the_model_sheet():
    for name in FAULTS:
        drawn = DEMOS[name]()
        for cause in check(drawn).causes:
            if cause.of_exposure:       # no pose mends it
                assert cause.correction is None
                continue
            for points in cause.correction.poses.values():
                parts = np.hypot(*np.diff(points, axis=0).T)
                assert drawn.limb(cause.limb).lengths == pytest.approx(parts, abs=0.005), name


def test_what_a_fault_does_to_the_drawing_beside_it_follows_from_it():
    # The wrist of a drawing beside a broken elbow is carried another way, so the hand there seems to scoop.
    rule, fault = KINDS["elbow past its stop"]
    rng = np.random.default_rng(3)
    beside = 0
    for _ in range(120):
        it = loop(rng)
        made = fault(it, rng)
        if made is None:
            continue
        verdict = check(action(it, made[0]))
        assert [(rule, made[1])] == [(cause.rule, cause.drawings) for cause in verdict.causes]
        beside += any(made[1][0] not in finding.drawings for finding in verdict.findings)
    assert beside > 5
