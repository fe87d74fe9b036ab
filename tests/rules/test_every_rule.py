"""What holds for every rule: the side, the place, the start and the exposure of a loop make no difference.

The loops and their faults come from tests/loops.py, which shares no code with the rules.
"""
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from loops import FAULTS, action, loop
from specimens import begun_later, mirrored

from anim_lessons import RULES, Limb, check
from anim_lessons.ferry.actions import DEMOS, two_arms, wave

# Where the seam is matters to link-up, and to nothing else.
SEAMLESS = sorted(name for name, (rule, _) in FAULTS.items() if rule != "link-up")


def made(kind, seed):
    """A loop with a fault of that kind."""
    rng = np.random.default_rng(seed)
    while True:
        it = loop(rng)
        faulty = FAULTS[kind][1](it, rng)
        if faulty is not None:
            return action(it, faulty[0])


faulty = st.builds(made, st.sampled_from(sorted(FAULTS)), st.integers(0, 10_000))
seamless = st.builds(made, st.sampled_from(SEAMLESS), st.integers(0, 10_000))


def told(verdict):
    """What a verdict says, without its numbers: they may differ in their last digit."""
    return [(finding.rule, finding.joint, finding.drawings, finding.follows, finding.head)
            for finding in verdict.findings]


def causes(verdict, count, later=0):
    """Rule, joint and drawings of each cause, as they would be numbered in a loop begun `later`."""
    return sorted((finding.rule, finding.joint, tuple((d - 1 + later) % count + 1 for d in finding.drawings))
                  for finding in verdict.causes)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(faulty)
def test_an_arm_of_the_other_side_gets_the_same_verdict(it):
    assert told(check(it)) == told(check(mirrored(it)))


@settings(max_examples=40, deadline=None, derandomize=True)
@given(faulty, st.floats(-40.0, 40.0), st.floats(-40.0, 40.0))
def test_an_arm_elsewhere_on_the_paper_gets_the_same_verdict(it, right, up):
    moved = it.redrawn(*(limb.drawings + [right, up] for limb in it.limbs))
    assert told(check(it)) == told(check(moved))


@settings(max_examples=60, deadline=None, derandomize=True)
@given(seamless, st.integers(1, 31))
def test_a_loop_begun_later_has_its_findings_at_shifted_numbers(it, later):
    assert causes(check(it), it.count, later) == causes(check(begun_later(it, later)), it.count)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(faulty, st.integers(1, 4))
def test_on_ones_twos_threes_or_fours_the_verdict_is_the_same(it, frames):
    assert told(check(it.replace(exposure=frames))) == told(check(it.replace(exposure=(frames,) * it.count)))
    assert told(check(it.replace(exposure=frames))) == told(check(it.replace(exposure=2)))


@pytest.mark.parametrize("size", [0.8, 1.25])
@pytest.mark.parametrize("name", sorted(DEMOS))
def test_a_smaller_or_larger_drawing_breaks_the_same_rules(name, size):
    it = DEMOS[name]()
    limbs = [Limb(limb.name, limb.joints, limb.lengths * size, limb.stops, limb.drawings * size) for limb in it.limbs]
    assert causes(check(it), it.count) == causes(check(it.replace(limbs=tuple(limbs))), it.count)


@pytest.mark.parametrize("name", sorted(DEMOS))
def test_the_demos_mirrored(name):
    assert told(check(DEMOS[name]())) == told(check(mirrored(DEMOS[name]())))


def test_the_scenarios_own_other_side_keeps_every_rule_too():
    assert check(wave(other_side=True)).passed
    assert check(wave()).advice == check(wave(other_side=True)).advice


def test_of_several_limbs_the_one_that_is_meant_is_named():
    both = two_arms()
    near, far = both.limbs
    drawings = far.drawings.copy()
    drawings[4, 3] += 0.13 * (drawings[4, 3] - drawings[4, 2])
    (finding,) = check(both.redrawn(near.drawings, drawings)).causes

    assert "far arm" == finding.limb
    assert finding.says.startswith("Far arm: the hand grows at 5. ")


def test_rules_stand_in_teaching_order():
    assert ["length", "arc", "spacing", "opening", "stops", "drag", "overlap", "link-up", "hold",
            "opposition"] == list(RULES) == list(check(wave()).rules)
