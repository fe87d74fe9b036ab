"""Recorded lectures of single lessons: they end with a loop that passes, and every number that is said is on the drawings.

Numbers are measured anew here, from the positions alone, with math, one integral of scipy, and nothing of the library's
geometry. Halving, from extremes to breakdown to inbetweens, and a second arm traced from the first: common practice, no source.
"""

import math
import re

import homework
import numpy as np
import pytest
from scipy.special import ellipeinc

from anim_lessons import check
from anim_lessons.assist import lecture
from anim_lessons.course import notebook
from anim_lessons.ferry import lectures, starts
from anim_lessons.light_table.settings import Place
from anim_lessons.model import action_file

SHIPPED = homework.ROOT / "notebooks" / "instructor" / "start"
STARTS = starts.STARTS
RULES = {"01_buoy": {"spacing", "link-up"}, "03_pennant": {"overlap", "link-up"}, "05_elbow": {"opening", "stops"},
         "06_looping_arm": {"opening", "drag", "spacing", "link-up"}, "09_two_arms": {"opposition", "opening"}}


@pytest.fixture(params=lectures.LECTURES)
def name(request):
    return request.param


@pytest.fixture(scope="module")
def made():
    return {name: make() for name, make in lectures.LECTURES.items()}


def told(action):
    return {step.drawing: step.says for step in action.lecture}


def bend(points, k=1):
    """Angle between two segments, degrees, without a sign."""
    (ax, ay), (bx, by) = np.subtract(points[k], points[k - 1]), np.subtract(points[k + 1], points[k])
    return math.degrees(math.acos((ax * bx + ay * by) / math.hypot(ax, ay) / math.hypot(bx, by)))


def swung(points, before, k):
    """How far segment k has turned, degrees, counter-clockwise above 0."""
    (ax, ay), (bx, by) = np.subtract(before[k + 1], before[k]), np.subtract(points[k + 1], points[k])
    return math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by))


def shares_of_the_way(places):
    """How far along half an ellipse each place lies, from drawing 1 at its foot (0) to 7 at its top (1).

    Arc length by the incomplete elliptic integral of the second kind, as scipy has it: NIST DLMF, 19.2.5 and 19.30.2.
    """
    (middle, foot), (_, top) = places[0], places[6]
    wide, tall = max(abs(x - middle) for x, _ in places), (top - foot) / 2
    turned = [math.acos(max(-1.0, min(1.0, ((foot + top) / 2 - y) / tall))) for _, y in places]
    m = 1 - (tall / wide) ** 2
    return [ellipeinc(turn, m) / ellipeinc(math.pi, m) for turn in turned]


def test_it_begins_as_its_homework_does_and_ends_with_a_loop_that_passes(made, name):
    action = made[name]
    assert action.drawn_as(STARTS[name]())
    assert not action.drawn_as(lecture.whole(action))
    assert check(lecture.whole(action)).passed
    assert {step.drawing for step in action.lecture} == set(range(1, action.count + 1))


def test_the_shipped_file_is_the_one_the_library_makes(made, name):
    assert action_file.dumps(made[name]) == (SHIPPED / f"{name}.json").read_bytes()


def test_each_step_is_followed_without_a_note_on_what_is_not_drawn_yet(made, name, tmp_path):
    """The guide allows what the lecture shows. A buoy hangs on nothing: there is no circle, and its gaps are judged as they are."""
    if name == "01_buoy":
        return
    (tmp_path / "lecture.json").write_bytes(action_file.dumps(made[name]))
    panel = notebook.follow(tmp_path / "lecture.json")
    for at, step in enumerate(panel.strip.lecture):
        panel.strip.go(at)
        panel.table.choose(guide=Place(step.limb, step.joint))
        guide = panel.table.guide
        assert (step.drawing, step.joint, []) == (guide["drawing"], guide["joint"], panel.table.verdict["findings"])
        assert any((guide["drawn"] - start) % 360 <= end - start for start, end in guide["allowed"]), (at + 1, guide["says"])
    assert panel.table.verdict["passed"] is True
    panel.strip.close()
    panel.table.close()


def test_the_buoy_is_drawn_by_halving(made):
    action = made["01_buoy"]
    given, drawn = action.limbs[0].drawings[:, 0], lecture.whole(action).limbs[0].drawings[:, 0]
    ways = shares_of_the_way(drawn)
    assert [1, 7, 4, 10] == [step.drawing for step in action.lecture[:4]]
    for number, says in told(action).items():
        share = re.search(rf"{number} lies at (\d+)% of the way from 1 to 7", says)
        assert round(100 * ways[number - 1]) == int(share[1])
        moved = re.search(r"Take it (\d+) mm towards (\d)", says)
        far = math.dist(given[number - 1], drawn[number - 1])
        assert ("It stays" in says) == (far < 0.5)
        if moved:
            other = drawn[int(moved[2]) - 1]
            assert round(far) == int(moved[1])
            assert math.dist(drawn[number - 1], other) < math.dist(given[number - 1], other)
    # Half of the half: 50, 25, and a quarter of that.
    assert pytest.approx([0.5, 0.25, 0.25 * 0.25], abs=0.005) == [ways[n - 1] for n in (4, 3, 2)]


def test_the_elbow_opens_as_it_is_said(made):
    action = made["05_elbow"]
    drawn = lecture.whole(action).limbs[0].drawings
    bends = [bend(points) for points in drawn]
    steps = [now - before for before, now in zip([bends[-1], *bends], bends)]
    for number, says in told(action).items():
        if number == 1:
            assert f"bent by {bends[0]:.0f}°" in says
            continue
        way, amount = re.search(r"The elbow (opens|closes) (\d+)°", says).groups()
        assert ("opens" if steps[number - 1] < 0 else "closes", round(abs(steps[number - 1]))) == (way, int(amount))
        turn = swung(drawn[number - 1], drawn[number - 2], 1)
        swing = re.search(rf"Swing the forearm (\d+)° (counter-clockwise|clockwise) from that of {number - 1}\.", says)
        assert (swing is None) == (abs(turn) < 0.5)
        if swing:
            assert (round(abs(turn)), "counter-clockwise" if turn > 0 else "clockwise") == (int(swing[1]), swing[2])
    marks = [(text, number) for number, says in told(action).items()
             for text in ("As bent as it gets", "The widest step", "As open as it gets") if text in says]
    assert [("As bent as it gets", bends.index(max(bends)) + 1), ("The widest step", steps.index(min(steps)) + 1),
            ("As open as it gets", bends.index(min(bends)) + 1)] == marks
    assert f"{min(bends):.0f}° short of straight" in told(action)[bends.index(min(bends)) + 1]


def test_the_cloth_swings_as_it_is_said_each_part_turning_back_after_the_one_that_carries_it(made):
    action = made["03_pennant"]
    drawn = lecture.whole(action).limbs[0].drawings
    turns_back = {}
    for at, step in enumerate(action.lecture):
        layer, d = at // 12 + 1, at % 12
        assert (d + 1, action.limbs[0].joints[layer + 1]) == (step.drawing, step.joint)
        turns = [[swung(drawn[n % 12], drawn[n % 12 - 1], k) for n in (d, d + 1)] for k in (layer - 1, layer)]
        assert ("turns back" in step.says) == (turns[0][0] * turns[0][1] < 0)
        if "turns back" in step.says:
            turns_back.setdefault(layer, []).append(d + 1)
            assert ("still goes on" in step.says) == (turns[1][1] * turns[0][0] > 0)
        if d == 0:
            lies = abs(swung([drawn[0][layer], drawn[0][layer + 1]], [drawn[0][layer - 1], drawn[0][layer]], 0))
            assert f"{lies:.0f}° off the line" in step.says
        else:
            swing = re.search(rf"Swing the .* (\d+)° (counter-clockwise|clockwise) from that of {d}\.", step.says)
            assert (round(abs(turns[1][0])), "counter-clockwise" if turns[1][0] > 0 else "clockwise") == (int(swing[1]), swing[2])
    staff, first, second = (turns_back[layer] for layer in (1, 2, 3))
    assert all((b - a) % 12 >= 1 and (c - b) % 12 >= 1 for a, b, c in zip(staff, first, second))


def test_the_far_arm_is_the_near_one_turned_over(made):
    action = made["09_two_arms"]
    near, far = (lecture.whole(action).limb(name).drawings for name in ("near arm", "far arm"))
    for number, says in told(action).items():
        other = int(re.search(r"[Nn]ear arm of (\d+)", says)[1])
        turned = near[other - 1] * [-1, 1] + [action.paper[0], 0]
        assert np.abs(turned - far[number - 1]).max() < 2e-3
    said = told(action)
    heights = near[:, -1, 1].tolist()
    assert [heights.index(max(heights)) + 1] == [n for n in said if "highest" in said[n]]
    assert [heights.index(min(heights)) + 1] == [n for n in said if "lowest" in said[n]]


def test_what_is_said_is_short_enough_to_be_read_aloud(made, name):
    assert max(len(step.says.split()) for step in made[name].lecture) <= 45


def test_each_fault_to_show_has_one_kind_of_cause_under_a_rule_of_its_lesson():
    assert {*lectures.LECTURES, "06_looping_arm"} == set(lectures.FAULTS)
    for lesson, faults in lectures.FAULTS.items():
        for fault, make in faults.items():
            rules = {cause.rule for cause in check(make()).causes}
            assert 1 == len(rules) and rules <= RULES[lesson], (lesson, fault, rules)
