"""What the homework begins with, and the panels of single lessons: which rule each breaks."""

import homework
import numpy as np
import pytest

from anim_lessons import Brief, check
from anim_lessons.course import galleries
from anim_lessons.course import panels as course_panels
from anim_lessons.ferry import starts
from anim_lessons.ferry.actions import buoy, wave
from anim_lessons.geometry import limb
from anim_lessons.model import action_file


def causes(action, **brief):
    return {finding.rule for finding in check(action, Brief(**brief)).causes}


def test_an_evenly_spaced_buoy_goes_equal_ways_along_its_path():
    """Chords of an ellipse of half axes 24.5 and 60 mm, all alike to 3 %: they cut its ends a little."""
    points = buoy(24, slow=0.0).limbs[0].drawings[:, 0]
    steps = np.hypot(*(points - np.roll(points, 1, axis=0)).T)

    assert np.ptp(steps) < 0.03 * steps.mean()
    assert np.allclose(((points - [148.5, 80.0]) / [9.0 / 22.0 * 60.0, 60.0])**2 @ [1, 1], 1.0, atol=0.001)


@pytest.mark.parametrize("slow, said", [(0.0, {"spacing"}), (0.2, {"spacing"}), (1.0, set()), (1.5, set())])
def test_a_buoy_must_slow_in_and_out(slow, said):
    assert said == causes(buoy(slow=slow))


@pytest.mark.parametrize("name", starts.BUOY_FAULTS)
def test_each_fault_of_the_buoy_is_one(name):
    findings = check(starts.BUOY_FAULTS[name](), Brief(rules=("spacing", "link-up"))).causes

    assert ["link-up" if name == "no link-up" else "spacing"] == [finding.rule for finding in findings]


@pytest.mark.parametrize("sliders, said", [
    ({}, set()), ({"waits": 0.5}, set()), ({"waits": 1.0}, {"opening"}), ({"waits": 1.5}, {"opening"}),
    ({"straightest": -10.0, "late": 1.2}, set()), ({"straightest": -10.0, "late": 4.0}, {"stops"}), ({"late": 0.0}, {"overlap"}),
])
def test_an_arm_that_opens_says_what_its_sliders_do(sliders, said):
    assert said == causes(starts.opening(**sliders))


def test_a_natural_arm_never_breaks():
    assert {"stops"} == causes(starts.opening(straightest=-10.0, late=1.2), may_break=False)


def test_what_was_the_seam_lies_in_the_middle_of_a_stack_begun_there():
    drawings = wave().limbs[0].drawings
    begun = starts.from_the_middle(wave(), 9).limbs[0].drawings

    assert begun[0].tolist() == drawings[8].tolist()
    assert (begun[7].tolist(), begun[8].tolist()) == (drawings[15].tolist(), drawings[0].tolist())
    assert {"link-up"} == causes(starts.looped(drift=0.8))
    assert {"spacing"} == causes(starts.looped(drift=0.8, first=9))


def test_a_forearm_that_flutters_is_out_of_its_spacing_where_it_does():
    causes = check(starts.looped(flutter=5.0)).causes
    assert causes and {cause.rule for cause in causes} <= {"arc", "spacing"}
    assert all(set(cause.drawings) <= {6, 7, 8, 9, 10} for cause in causes)


def test_the_loop_to_mend_has_three_faults_and_no_other():
    assert [("length", (5,)), ("opening", (12,)), ("link-up", (16, 1))] == [
        (finding.rule, finding.drawings) for finding in check(starts.to_mend()).causes]


def test_the_lantern_given_hangs_straight_down():
    hook, weight = np.moveaxis(starts.STARTS["02_lantern"]().limbs[0].drawings, 1, 0)

    assert np.abs(weight - hook - [0.0, -90.0]).max() < 0.002


def test_the_arm_given_has_a_good_upper_arm_and_a_forearm_that_was_only_traced():
    given, model = starts.STARTS["05_elbow"]().limbs[0], starts.arm().limbs[0]
    turned = limb.angles(given.drawings)

    assert np.abs(given.drawings[:, :2] - model.drawings[:, :2]).max() < 0.002   # mm; three places are kept
    assert np.ptp(turned[:, 0]) > 40.0
    assert np.ptp(turned[:, 1]) < 0.01


@pytest.mark.parametrize("name", starts.STARTS)
def test_the_drawings_given_are_those_of_the_file(name):
    assert homework.start(name).read_bytes() == action_file.dumps(starts.STARTS[name]())


@pytest.mark.parametrize("make, rows", [
    (course_panels.timing, course_panels.TIMING), (course_panels.opening_arm, course_panels.OPENING), (course_panels.seam, course_panels.SEAM)])
def test_every_end_of_every_slider_draws_a_loop(make, rows):
    panel = make()
    assert panel.table.verdict["passed"]
    for name, _, *ends in rows:
        for end in ends[:2]:
            panel.sliders.values = {**panel.sliders.numbers, name: end}
            assert panel.table.pose["revision"] == panel.table.verdict["revision"]


def test_a_gallery_shows_loops_of_a_lessons_own():
    panel = galleries.fault_gallery(starts.BUOY_FAULTS)
    panel.show.click()
    assert "spacing" == panel.table.verdict["findings"][0]["rule"]
    for _ in range(3):
        panel.next.click()
    panel.show.click()
    assert "link-up" == panel.table.verdict["findings"][0]["rule"]
