"""Many hand-ins judged together are judged as each by itself: the same findings, sentences, rows and pages, to the last letter.

What is held against each other are two ways through the same rules, so this says nothing of whether they are right.
"""

import random

import loops
import numpy as np
import pytest

from anim_lessons.course.hand_ins.invented_class import begun, own_wave
from anim_lessons.course.hand_ins.judged import context_of, judge
from anim_lessons.course.hand_ins.mark import given
from anim_lessons.course.hand_ins.pages import ON_A_DESK, Asked, pages
from anim_lessons.ferry import actions
from anim_lessons.judging.brief import DEFAULT
from anim_lessons.judging.flags import flagged, measured
from anim_lessons.judging.judge import check, check_many
from anim_lessons.model import action_file
from anim_lessons.rules import RULES
from anim_lessons.rules.rule import LIMBS

SEED = 20261130
ASSIGNMENT = given("6").assignment


def generated(count):
    """Loops of many shapes, one in four sound, the others with one fault or two, some of them unsteady, some that do not loop."""
    rng, made = np.random.default_rng(SEED), []
    for number in range(count):
        loop = loops.loop(rng, int(rng.choice([12, 16, 20])))
        points = loop.clean()
        for _ in range((0, 1, 1, 2)[number % 4]):
            # A fault is put into a sound loop; of two the second is shifted by hand.
            fault = loops.FAULTS[list(loops.FAULTS)[number % len(loops.FAULTS)]][-1](loop, rng)
            points = points if fault is None else fault[0]
        if number % 4 == 3:
            points[int(rng.integers(loop.n)), int(rng.integers(1, 4)):] += rng.uniform(-9, 9, 2)
        if number % 5 == 0:
            points = points + rng.normal(0, 0.4, points.shape)
        made.append(loops.action(loop, points).replace(loop=number % 11 != 7))
    return made


def hand_ins(count):
    """What a class hands in for homework 6: right, with one fault, with three drawings turned, begun, as given, in a mirror."""
    rng, random_ones = np.random.default_rng(SEED), random.Random(SEED)
    made = []
    for number in range(count):
        action, kind = own_wave(random_ones), number % 8
        points = action.limbs[0].drawings.copy()
        if kind in (1, 2, 3):
            for d in rng.choice(action.count, 1 if kind < 3 else 3, replace=False):
                points[d, int(rng.integers(1, 4)):] += rng.uniform(-12, 12, 2)
        action = action.redrawn(points.round(3))
        changed = {4: actions.traced_twice, 5: actions.not_linked, 6: lambda one: one.mirrored()}.get(kind)
        action = changed(action) if changed else action
        if kind == 7:
            action = (begun(ASSIGNMENT.start), ASSIGNMENT.start, actions.buoy())[number // 8 % 3]
        made.append(action_file.dumps(action))
    return made


def told(verdict):
    """All that is said of an action, and what would correct it."""
    return [(finding.rule, finding.drawings, finding.says, finding.called, finding.shows, finding.looked_for, finding.short, finding.follows,
             finding.cells, finding.moves, finding.rank,
             finding.correction and {number: pose.tolist() for number, pose in finding.correction.poses.items()})
            for finding in verdict.findings], verdict.rules, verdict.advice, verdict.unmet


def test_many_actions_are_judged_as_each_alone():
    some = generated(48)
    together = [told(verdict) for verdict in check_many(some)]
    assert sum(bool(findings) for findings, *_ in together) > 20
    assert together == [told(check(action)) for action in some]


def test_a_class_has_the_same_rows_whoever_is_judged_beside_whom():
    context, some = context_of(ASSIGNMENT), hand_ins(96)
    together = judge(context, some)
    assert {row.state for row in together} == {"done", "to mend", "begun", "nothing drawn", "other work"}
    assert together == [row for data in some for row in judge(context, [data])]
    backwards = judge(context, some[::-1])[::-1]
    assert together == backwards


def test_a_page_is_the_same_whoever_is_judged_beside_whom():
    context = context_of(ASSIGNMENT)
    some = hand_ins(32)
    on_a_desk = [data for data, row in zip(some, judge(context, some)) if row.state in ON_A_DESK]
    asked = [Asked(data, "Wave", f"Knot {number}") for number, data in enumerate(on_a_desk)]
    assert len(asked) > 24
    assert pages(context, asked) == [page for one in asked for page in pages(context, [one])]


@pytest.mark.parametrize("name", [name for name, rule in RULES.items() if rule.scope != LIMBS and not rule.advises])
def test_a_rule_finds_in_one_of_many_loops_what_it_finds_in_it_alone(name):
    """`Measures.one` hands on what is known of all; the answers that were kept hold for each of them."""
    rng = np.random.default_rng(SEED)
    first = loops.action(loop := loops.loop(rng, 16), loop.clean())
    limb, points = first.limbs[0], []
    for _ in range(12):
        drawn = loop.clean()
        drawn[int(rng.integers(16)), int(rng.integers(1, 4)):] += rng.uniform(-14, 14, 2)
        points.append(drawn)
    many = measured(first, limb, np.array(points))
    flags = flagged(many, DEFAULT)
    for i, drawn in enumerate(points):
        alone = measured(first, limb, drawn)
        assert [finding.says for finding in RULES[name].findings(limb, many.one(i), DEFAULT)] == \
            [finding.says for finding in RULES[name].findings(limb, alone, DEFAULT)]
        assert flags[name].one(i).any == flagged(alone, DEFAULT)[name].any
