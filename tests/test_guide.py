"""Where a joint may go: what is called allowed passes when it is placed, what is called excluded breaks the rule it names."""

import json
from itertools import pairwise

import loops
import numpy as np
import pytest
from click.testing import CliRunner

from anim_lessons import Action, ActionError, Brief, Limb, check
from anim_lessons.assist.guide import CANDIDATES, Excluded, Guide, guide, placed
from anim_lessons.assist.guide_trial import ALLOWED, Trial
from anim_lessons.commands import main
from anim_lessons.ferry import actions
from anim_lessons.judging.brief import DEFAULT
from anim_lessons.judging.flags import measure
from anim_lessons.measures.loops import FEWEST
from anim_lessons.measures.one_drawing import MIDDLE, Tried
from anim_lessons.model.action_file import dumps, read
from anim_lessons.rules import RULES


def held_back(seed, fault=False):
    """A generated loop, a joint and a drawing; every second time that drawing is far astray."""
    rng = np.random.default_rng([seed, 5])
    made = loops.loop(rng)
    points = made.clean()
    if fault:
        points = None
        while points is None:
            _, put = loops.FAULTS[str(rng.choice(list(loops.FAULTS)))]
            points = (put(made, rng) or (None,))[0]
    action = loops.action(made, points)
    joint, number = loops.ARM[rng.integers(1, 4)], int(rng.integers(1, action.count + 1))
    if seed % 2:
        action = placed(action, "arm", joint, number, rng.uniform(0, 360))
    return action, joint, number, rng


def passes(action, joint):
    """Every rule is kept, but for how the last part trails that came along traced: that is placed next."""
    later = [] if joint == "fingertips" else [finding for finding in check(action).findings if finding.head.startswith("The hand breaks out")]
    return set(check(action).findings) == set(later)


def broken(action, brief=DEFAULT):
    return {finding.rule for finding in check(action, brief).findings}


@pytest.mark.parametrize("seed", range(16))
def test_what_is_allowed_passes_when_placed_and_what_is_excluded_breaks_the_rule_it_names(seed):
    action, joint, number, rng = held_back(seed)
    found = guide(action, "arm", joint, number, exact=True)
    assert found.allowed and not found.remains
    for start, end in found.allowed:
        for angle in (start, rng.uniform(start, end), end):
            assert passes(placed(action, "arm", joint, number, angle), joint), angle
    for part in found.excluded:
        # Alone a drawing is tried against the quiet of the loop as it is drawn: its borders are right to half a degree.
        if part.end - part.start > 1.5:
            for angle in (part.start + 0.5, rng.uniform(part.start + 0.5, part.end - 0.5), part.end - 0.5):
                assert part.rule in broken(placed(action, "arm", joint, number, angle)), (part, angle)


@pytest.mark.parametrize("seed", range(40))
def test_far_from_where_it_is_wanted_fewer_places_are_tried_and_the_same_are_open(seed):
    action, joint, number, _ = held_back(seed, fault=seed % 4 == 3)
    limb = action.limb("arm")
    angles = (np.arange(CANDIDATES) + 0.5) * (360.0 / CANDIDATES)
    each, few = (Trial(action, limb, limb.joints.index(joint), number - 1, DEFAULT) for _ in range(2))
    assert ((each.codes(angles) == ALLOWED) == (few.round_circle(angles) == ALLOWED)).all()


@pytest.mark.parametrize("seed", range(8))
def test_with_a_fault_elsewhere_nothing_new_is_broken_where_it_is_allowed(seed):
    action, joint, number, rng = held_back(seed, fault=True)
    found = guide(action, "arm", joint, number, exact=True)
    for part in found.excluded:
        angle = rng.uniform(part.start, part.end)
        if part.end - part.start > 0.1:
            assert part.rule in broken(placed(action, "arm", joint, number, angle)), (part, angle)
    for start, end in found.allowed:
        after = check(placed(action, "arm", joint, number, rng.uniform(start, end)))
        assert after.passed != bool(found.remains)
        if found.remains:
            assert any(finding.head in found.remains for finding in after.findings)


@pytest.mark.parametrize("seed", range(10))
def test_the_parts_cover_the_circle_once(seed):
    action, joint, number, _ = held_back(seed)
    found = guide(action, "arm", joint, number)
    parts = sorted([*found.allowed, *((part.start, part.end) for part in found.excluded)])
    assert 0.0 == parts[0][0] and 360.0 == parts[-1][1]
    assert all(one[1] == two[0] and one[0] < one[1] for one, two in pairwise(parts))


@pytest.mark.parametrize("seed", range(12))
def test_a_rule_asked_about_five_drawings_says_of_the_middle_one_what_it_says_in_the_whole_loop(seed):
    """Where it is broken in the part, it is broken in the whole; and most of what is broken is seen in the part."""
    action, joint, number, rng = held_back(2 * seed)
    whole, j, d = measure(action)[0], loops.ARM.index(joint), number - 1
    angles = rng.uniform(0, 360, 60)
    z = whole.z[d, j - 1] + whole.lengths[j - 1] * np.exp(1j * np.radians(angles))
    tried = Tried(whole, d, j, z)
    seen = of = 0
    for i, angle in enumerate(angles):
        m = measure(placed(action, "arm", joint, number, angle))[0]
        for name in ("stops", "opening", "drag", "arc", "spacing"):
            part = RULES[name].broken(tried, DEFAULT)[i, MIDDLE]
            if name == "opening":
                part = part & tried.sure[i]
            all_of_it = RULES[name].broken(m, DEFAULT)[d]
            assert not (part & ~all_of_it).any(), (name, angle)
            seen, of = seen + np.sum(part), of + np.sum(all_of_it)
    assert seen > 0.9 * of > 0


def test_the_same_angle_traced_is_named_as_the_lock():
    action = actions.wave(16)
    found = guide(action, "arm", "wrist", 3)
    before = action.limbs[0].drawings[1]
    assert found.traced == pytest.approx(np.degrees(np.arctan2(*(before[2] - before[1])[::-1])) % 360)
    # With the upper arm turned on meanwhile, the same bend stands a little further round; the bend itself is what locks.
    limb = action.limb("arm")
    upper = np.degrees(np.arctan2(*(limb.drawings[1:3, 1] - limb.drawings[1:3, 0]).T[::-1]))
    assert "The elbow locks at 3." == found.rule_at(found.traced + upper[1] - upper[0]).says


def test_where_its_neighbours_look_for_it_is_allowed_and_near_to_where_a_sound_loop_has_it():
    for number in range(1, 17):
        found = guide(actions.wave(16), "arm", "wrist", number)
        assert found.rule_at(found.asked) is None
        assert abs(found.asked - found.drawn) < 3


def test_a_natural_arm_may_not_break_where_a_loose_one_may():
    action = actions.loose_wave()
    m = measure(action)[0]
    at = int(np.argmin(m.bend[:, 1]))
    found = {may: guide(action, "arm", "wrist", at + 1, Brief(may_break=may)) for may in (True, False)}
    assert found[True].rule_at(found[True].drawn) is None
    assert "stops" == found[False].rule_at(found[False].drawn).rule
    assert "The elbow turns here, so a loose one may break past its stop." in found[True].says
    assert "loose" not in found[False].says


def test_two_arms_the_other_one_is_held_in_opposition():
    action = actions.two_arms(12)
    found = guide(action, "far arm", "wrist", 4, exact=True)
    assert found.allowed
    for start, end in found.allowed:
        assert check(placed(action, "far arm", "wrist", 4, (start + end) / 2)).passed


def test_a_brief_that_asks_for_nothing_that_can_be_broken_lets_it_go_anywhere():
    found = guide(actions.wave(16), "arm", "wrist", 3, Brief(rules=("hold", "opposition")))
    assert ((0.0, 360.0),) == found.allowed and not found.excluded and "may go anywhere" in found.says


def test_too_few_drawings_leave_only_what_can_be_judged():
    action = actions.wave(16)
    limb = action.limbs[0]
    few = Action((Limb(limb.name, limb.joints, limb.lengths, limb.stops, limb.drawings[:FEWEST - 3]),))
    found = guide(few, "arm", "wrist", 2)
    assert found.asked is None
    assert {part.rule for part in found.excluded} <= {"stops", "drag"}


def test_an_action_that_does_not_loop_is_guided_to_its_ends():
    action = actions.wave(16).replace(loop=False)
    for number in (1, 2, 8, 16):
        found = guide(action, "arm", "fingertips", number, exact=True)
        assert (number == 1) == (found.traced is None)
        for start, end in found.allowed:
            assert check(placed(action, "arm", "fingertips", number, (start + end) / 2)).passed


@pytest.mark.parametrize("limb, joint, number, says", [
    ("leg", "wrist", 1, "leg"), ("arm", "knee", 1, 'no joint "knee"'), ("arm", "shoulder", 1, "root"),
    ("arm", "wrist", 0, "numbered from 1 to 16"), ("arm", "wrist", 17, "numbered from 1 to 16"),
])
def test_what_cannot_be_guided_is_said(limb, joint, number, says):
    with pytest.raises(ActionError, match=says):
        guide(actions.wave(16), limb, joint, number)


def test_the_command_prints_what_may_be_judged_from_outside(tmp_path):
    file = tmp_path / "wave.json"
    file.write_bytes(dumps(actions.DEMOS["elbow-locks"]()))
    number = check(read(file)).causes[0].drawings[0]
    asked = ["guide", str(file), "--limb", "arm", "--joint", "wrist", "--drawing", str(number)]
    told = json.loads(CliRunner().invoke(main, [*asked, "--json"]).stdout)
    assert {"allowed", "excluded"} == set(told)
    assert all({"from", "to", "rule", "says"} == set(part) for part in told["excluded"])
    assert 360 == pytest.approx(sum(b - a for a, b in told["allowed"]) + sum(p["to"] - p["from"] for p in told["excluded"]))
    for start, end in told["allowed"]:
        assert passes(placed(read(file), "arm", "wrist", number, (start + end) / 2), "wrist")
    said = CliRunner().invoke(main, asked).stdout
    assert "the wrist may go from" in said and "Now: The elbow locks at" in said
    assert "Then place the hand too: shifted and traced along, it would break out." in said


def test_the_command_asks_which_limb_and_says_what_is_wrong(tmp_path):
    file = tmp_path / "both.json"
    file.write_bytes(dumps(actions.two_arms()))
    done = CliRunner().invoke(main, ["guide", str(file), "--joint", "wrist", "--drawing", "3"])
    assert 2 == done.exit_code and "near arm, far arm" in done.stderr
    done = CliRunner().invoke(main, ["guide", str(file), "--limb", "near arm", "--joint", "wrist", "--drawing", "99"])
    assert 2 == done.exit_code and str(file) in done.stderr and "from 1 to 16" in done.stderr


def test_a_border_that_no_eye_tells_is_not_said_to_be_crossed():
    found = Guide("arm", "elbow", 3, (0.0, 0.0), 50.0, 302.0, None, None, ((289.5, 302.0), (303.0, 321.0)),
                  (Excluded(0.0, 289.5, "arc", ""), Excluded(302.0, 303.0, "arc", "sliver"), Excluded(321.0, 360.0, "arc", "far")))
    assert found.rule_at(302.0) is None and found.rule_at(302.4) is None and found.rule_at(302.5) is None
    assert "far" == found.rule_at(322.0).says
    assert "may go from 290° to 321°" in found.where
