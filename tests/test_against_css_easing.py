"""Easings against the W3C's CSS Easing Functions, and against exact arithmetic.

References: CSS Easing Functions Level 1 (``cubic-bezier()``, its keyword curves), W3C;
seen. Values of the keyword curves at tenths were solved with 25 digits by mpmath, which shares no code with ours, and agree
with Chromium's own to 8e-8. The browser itself is asked in
tests/browser/test_against_browser_easing.py.
"""
import mpmath
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from anim_lessons.geometry import timing

TENTHS = np.arange(1, 10) / 10

# CSS Easing Functions Level 1, section on cubic Bézier easings: x1, y1, x2, y2. Seen.
CURVES = {"ease": (0.25, 0.1, 0.25, 1.0), "ease-in": (0.42, 0.0, 1.0, 1.0), "ease-out": (0.0, 0.0, 0.58, 1.0),
          "ease-in-out": (0.42, 0.0, 0.58, 1.0)}
KEYWORDS = {
    "ease": [0.0947963057160432, 0.295244334267822, 0.513315160973358, 0.68254050597814, 0.802403387584857,
             0.88522930987612, 0.94076461429764, 0.975625355623567, 0.994316477484556],
    "ease-in": [0.0170266096515629, 0.0622820001367323, 0.129576760845353, 0.214860938752893,
                0.315356812572539, 0.429119769296317, 0.554814032528663, 0.691633933319313,
                0.839427845762467],
    "ease-out": [0.160572154237533, 0.308366066680687, 0.445185967471337, 0.570880230703683,
                 0.684643187427461, 0.785139061247107, 0.870423239154647, 0.937717999863268,
                 0.982973390348437],
    "ease-in-out": [0.0197224535483112, 0.0816598562658975, 0.187395906705313, 0.331883870097646, 0.5,
                    1 - 0.331883870097646, 1 - 0.187395906705313, 1 - 0.0816598562658975,
                    1 - 0.0197224535483112],
}


@pytest.mark.parametrize("keyword", KEYWORDS)
def test_keyword_curves_at_tenths(keyword):
    ease = timing.cubic_bezier(*CURVES[keyword])
    assert KEYWORDS[keyword] == pytest.approx(ease(TENTHS).tolist(), abs=2e-15)


def exact(x1, y1, x2, y2, t):
    """The curve at time t, solved in 100 digits: an interval halved until nothing is left of it."""
    with mpmath.workdps(100):
        x1, y1, x2, y2, t = map(mpmath.mpf, (x1, y1, x2, y2, t))
        low, high = mpmath.mpf(0), mpmath.mpf(1)
        for _ in range(330):
            s = (low + high) / 2
            time = 3 * s * (1 - s) ** 2 * x1 + 3 * s * s * (1 - s) * x2 + s**3
            low, high = (s, high) if time < t else (low, s)
        return 3 * s * (1 - s) ** 2 * y1 + 3 * s * s * (1 - s) * y2 + s**3


share = st.floats(0.0, 1.0)


@given(share, st.floats(-1.0, 2.0), share, st.floats(-1.0, 2.0), share)
def test_any_curve_against_exact_arithmetic(x1, y1, x2, y2, t):
    ours = float(timing.cubic_bezier(x1, y1, x2, y2)(t))
    # No better can be asked than the answer to a time that differs by rounding.
    around = [exact(x1, y1, x2, y2, min(max(t + slip, 0.0), 1.0)) for slip in (-4e-15, 0.0, 4e-15)]
    assert float(min(around)) - 1e-14 <= ours <= float(max(around)) + 1e-14


def test_a_curve_that_winds_up_and_overshoots():
    ease = timing.cubic_bezier(0.3, -0.4, 0.7, 1.4)
    # Chromium's own timing of this curve, run once.
    expected = [-0.0581926582, -0.0020620230, 0.1282322590, 0.3034733843, 0.5]
    assert expected == pytest.approx(ease(TENTHS[:5]).tolist(), abs=1e-6)
    assert 1.0581926582 == pytest.approx(float(ease(0.9)), abs=1e-6)
    assert timing.timing_chart(9, ease).min() < 0 < timing.timing_chart(9, ease).max() - 1
