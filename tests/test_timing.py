"""Timing charts and easings: answers that can be done in the head, and what holds for every one."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from anim_lessons.geometry import timing
from anim_lessons.model.action import ActionError

REST_TO_REST = [timing.even, timing.slow_in_out, timing.slow_out, timing.slow_in, timing.fall,
                timing.minimum_jerk, timing.cubic_bezier(0.2, 0.0, 0.1, 1.0)]
SYMMETRIC = [timing.even, timing.slow_in_out, timing.minimum_jerk, timing.cubic_bezier(0.42, 0, 0.58, 1)]

share = st.floats(0.0, 1.0)
shares = st.lists(share, min_size=1, max_size=20)
handles = st.tuples(share, st.floats(-2.0, 3.0), share, st.floats(-2.0, 3.0))


# ---- easings ---------------------------------------------------------------------


@pytest.mark.parametrize("ease", REST_TO_REST)
def test_it_begins_at_the_first_extreme_and_ends_at_the_second(ease):
    assert [0.0, 1.0] == pytest.approx(ease([0.0, 1.0]).tolist(), abs=1e-15)


def test_slow_in_out_stands_at_the_thirds_where_a_half_circle_does():
    # Seen edge on, a third of a half circle (60 degrees) is a quarter of the way: 1 - cos 60 = 1/2, halved.
    assert [0.25, 0.75] == pytest.approx(timing.slow_in_out([1 / 3, 2 / 3]).tolist())


def test_slow_out_is_half_way_late_and_slow_in_early():
    assert 0.5 == pytest.approx(timing.slow_out(2 / 3))  # cos 60
    assert 0.5 == pytest.approx(timing.slow_in(1 / 3))   # sin 30


@pytest.mark.parametrize("ease, leaving, arriving", [
    (timing.slow_out, True, False), (timing.slow_in, False, True), (timing.slow_in_out, True, True),
    (timing.minimum_jerk, True, True), (timing.fall, True, False), (timing.even, False, False),
])
def test_small_steps_are_at_the_extreme_its_name_says(ease, leaving, arriving):
    steps = np.diff(timing.timing_chart(9, ease))
    assert leaving == (steps[0] < 0.5 * steps.mean())
    assert arriving == (steps[-1] < 0.5 * steps.mean())


@pytest.mark.parametrize("ease", SYMMETRIC)
@given(shares)
def test_a_symmetric_one_reads_the_same_from_the_other_end(ease, times):
    t = np.array(times)
    assert np.abs(ease(1.0 - t) - (1.0 - ease(t))).max() < 1e-14


@given(shares)
def test_slow_in_is_slow_out_played_backwards(times):
    t = np.array(times)
    assert np.abs(timing.slow_in(t) - (1.0 - timing.slow_out(1.0 - t))).max() < 1e-15


@given(handles, st.lists(share, min_size=1, max_size=12))
def test_a_bezier_stands_on_its_curve(four, times):
    x1, y1, x2, y2 = four
    t = np.array(times)
    s = timing._solve(x1, x2, t)
    weight = 3 * s * (1 - s) ** 2, 3 * s * s * (1 - s), s**3
    assert np.abs(weight[0] * x1 + weight[1] * x2 + weight[2] - t).max() < 1e-14
    expected = weight[0] * y1 + weight[1] * y2 + weight[2]
    assert np.abs(timing.cubic_bezier(*four)(t) - expected).max() < 1e-14


@given(handles, st.lists(share, min_size=2, max_size=12))
def test_a_bezier_gives_each_time_the_same_answer_alone_and_in_company(four, times):
    ease = timing.cubic_bezier(*four)
    together = ease(np.array(times).reshape(1, -1))
    assert (1, len(times)) == together.shape
    upright = 1e-5  # where the curve stands upright a rounding of the time is worth this much of the way
    assert [float(ease(t)) for t in times] == pytest.approx(together[0].tolist(), abs=upright)


def test_a_bezier_whose_handles_lie_on_the_diagonal_is_even():
    t = np.linspace(0, 1, 101)
    assert np.abs(timing.cubic_bezier(0.3, 0.3, 0.9, 0.9)(t) - t).max() < 1e-14


def test_where_it_stands_upright_it_is_still_solved():
    # Handles 1 and 0: time is 1/2 + (2s - 1)**3 / 2, so s is known by a cube root.
    t = np.array([0.0, 0.1, 0.4375, 0.5, 0.5625, 1.0])
    s = 0.5 + 0.5 * np.cbrt(2 * t - 1)
    assert np.abs(timing.cubic_bezier(1, 0, 0, 1)(t) - s * s * (3 - 2 * s)).max() < 1e-9


@pytest.mark.parametrize("four, word", [
    ((-0.01, 0, 1, 1), "x1 is -0.01"), ((0, 0, 1.01, 1), "x2 is 1.01"), ((0, float("nan"), 1, 1), "not a number"),
    ((0, 0, 1, float("inf")), "not a number"),
])
def test_a_bezier_in_two_places_at_one_time_is_refused(four, word):
    with pytest.raises(ActionError, match=word):
        timing.cubic_bezier(*four)


@pytest.mark.parametrize("time", [-0.001, 1.001, float("nan")])
def test_a_time_that_is_not_between_the_extremes_is_refused(time):
    for ease in REST_TO_REST:
        with pytest.raises(ActionError, match="share from 0 to 1"):
            ease([0.5, time])


# ---- timing charts ----------------------------------------------------------------


@pytest.mark.parametrize("ease", REST_TO_REST)
@given(st.integers(0, 40))
def test_a_chart_has_its_extremes_and_never_goes_back(ease, inbetweens):
    chart = timing.timing_chart(inbetweens, ease)
    assert inbetweens + 2 == len(chart)
    assert (np.diff(chart) >= 0).all() and chart.min() >= 0 and chart.max() <= 1 + 1e-12


@pytest.mark.parametrize("call, word", [
    (lambda: timing.timing_chart(-1), "-1 inbetweens"),
    (lambda: timing.timing_chart(2.5), "2.5 inbetweens"),
])
def test_what_is_no_chart_is_refused(call, word):
    with pytest.raises(ActionError, match=word):
        call()
