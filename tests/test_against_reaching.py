"""Easings against what is known of movement: reaching, swinging and falling.

References: Flash and Hogan (1985), Journal of Neuroscience 5:1688, minimum jerk (formula
and peaks seen in public course texts, the paper not); simple harmonic motion, elementary;
Galileo, Two New Sciences (1638), third day, the odd numbers, from memory; standard
gravity 9.80665 m/s2, CGPM 1901, from memory.
"""
from fractions import Fraction

import mpmath
import numpy as np
import pytest

from anim_lessons.geometry import timing


def slopes(ease, order):
    """Derivatives of an easing by a Chebyshev fit: exact for polynomials up to degree 20."""
    fit = np.polynomial.Chebyshev.interpolate(ease, 20, domain=[0, 1])
    return fit.deriv(order)


def test_minimum_jerk_values():
    expected = [0.00856, 0.05792, 0.16308, 0.31744, 0.5, 0.68256, 0.83692, 0.94208, 0.99144]
    assert expected == pytest.approx(timing.minimum_jerk(np.arange(1, 10) / 10).tolist(), abs=1e-12)


def test_minimum_jerk_goes_at_most_1_875_times_an_even_pace():
    speed = slopes(timing.minimum_jerk, 1)
    assert 1.875 == pytest.approx(speed(0.5), abs=1e-12)
    assert speed(np.linspace(0, 1, 1001)).max() <= 1.875 + 1e-12


def test_minimum_jerk_gathers_speed_most_at_a_fifth_of_the_time():
    gain = slopes(timing.minimum_jerk, 2)
    when = (3 - 3**0.5) / 6
    assert 10 / 3**0.5 == pytest.approx(gain(when), abs=1e-10)
    assert when == pytest.approx(np.linspace(0, 1, 10001)[gain(np.linspace(0, 1, 10001)).argmax()], abs=1e-4)


def test_minimum_jerk_begins_and_ends_at_rest():
    for order, at_rest in ((1, [0, 0]), (2, [0, 0]), (3, [60, 60])):
        assert at_rest == pytest.approx(slopes(timing.minimum_jerk, order)(np.array([0, 1])).tolist(), abs=1e-7)


def test_slow_in_out_is_a_pendulum_s_small_swing():
    expected = [0.0244717418524232, 0.0954915028125263, 0.206107373853763, 0.345491502812526, 0.5]
    assert expected == pytest.approx(timing.slow_in_out(np.arange(1, 6) / 10).tolist(), abs=1e-12)
    assert np.pi / 2 == pytest.approx(slopes(timing.slow_in_out, 1)(0.5), abs=1e-9)


@pytest.mark.parametrize("ours, theirs", [
    (timing.slow_in_out, lambda t: (1 - mpmath.cos(mpmath.pi * t)) / 2),
    (timing.slow_out, lambda t: 1 - mpmath.cos(mpmath.pi * t / 2)),
    (timing.slow_in, lambda t: mpmath.sin(mpmath.pi * t / 2)),
])
def test_sines_against_arithmetic_in_50_digits(ours, theirs):
    with mpmath.workdps(50):
        for t in np.linspace(0, 1, 97):
            assert float(theirs(mpmath.mpf(t))) == pytest.approx(float(ours(t)), abs=3e-16)


def test_a_fall_takes_the_odd_numbers():
    steps = np.diff(timing.timing_chart(11, timing.fall))
    expected = [2 * n - 1 for n in range(1, 13)]
    assert expected == pytest.approx((steps / steps[0]).tolist(), abs=1e-12)


def test_a_fall_of_half_a_second_at_24_frames_a_second():
    metres = Fraction("9.80665") / 2 * Fraction(12, 24) ** 2
    drop = float(metres) * timing.timing_chart(11, timing.fall)
    assert 1.22583125 == pytest.approx(drop[-1], abs=1e-12)
    assert 0.008512717013888888 == pytest.approx(drop[1], abs=1e-12)  # the first frame: 8.5 mm
