"""Follow-through against what is known of pulled and returning points.

References: the hatchet planimeter (Prytz 1875): a blade pulled round a small closed curve
turns by the area over its length squared; Menzin's conjecture, proved by Levi and
Tabachnikov (2009, Experimental Mathematics 18:173): pulled round a convex curve whose area
is larger than pi l^2 it has a closed track; both from memory. The lag of first order
(atan(w t), gain 1 / sqrt(1 + (w t)^2)): any text on vibrations, values computed. scipy's
solve_ivp shares no code with ours.
"""
import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from anim_lessons.physics.pull import follow, lag

TURN = 2 * np.pi * np.arange(48) / 48


@pytest.mark.parametrize("a, b", [(5, 5), (8, 3), (10, 1)])
def test_the_hatchet_planimeter(a, b):
    pulled = follow(np.column_stack([a * np.cos(TURN), b * np.sin(TURN)]), 0, 100, returns=np.inf)
    assert not pulled.found
    area = np.pi * a * b
    assert area / 100**2 == pytest.approx(2 * np.pi * pulled.turns[0], rel=0.01)  # next term: (size / l)^2


@settings(max_examples=40)
@given(st.floats(20, 100), st.floats(20, 100), st.floats(-0.08, 0.08), st.floats(0, 6.3), st.floats(0.3, 0.97))
def test_menzin_s_conjecture(a, b, egg, phase, share):
    """Round a convex curve of area A a segment shorter than sqrt(A / pi) always finds a loop."""
    shape = 1 + egg * np.cos(2 * TURN + phase)
    x, y = a * shape * np.cos(TURN), b * shape * np.sin(TURN)
    step = np.diff(np.append(x, x[0])) + 1j * np.diff(np.append(y, y[0]))
    assume(((step.conj() * np.roll(step, -1)).imag > 0).all())  # it only ever turns left: convex
    area = 0.5 * (x * np.roll(y, -1) - y * np.roll(x, -1)).sum()
    assert follow(np.column_stack([x, y]), 0, share * np.sqrt(area / np.pi), returns=np.inf).found


@pytest.mark.parametrize("returns", [0.05, 1 / (2 * np.pi), 0.3])
def test_a_small_swing_lags_as_a_lag_of_first_order(returns):
    parent = 5.0 * np.sin(TURN)
    follower = follow(np.zeros((48, 2)), parent, 10, returns=returns, drags=0)
    w = 2 * np.pi * returns
    late = lag(np.column_stack([parent, follower.angles]))
    assert np.degrees(np.arctan(w)) / 15 == pytest.approx(late[0], abs=3e-3)  # 1/(2 pi): 45 degrees, 3 drawings
    assert 5 / np.sqrt(1 + w * w) == pytest.approx(2 * abs(np.exp(-1j * TURN) @ follower.angles[:, 0]) / 48, rel=3e-3)


def test_a_chain_against_an_integrator_run_until_it_loops():
    lengths, rest, returns = [60, 50, 40], np.radians(10), 0.15

    def place(t):
        return 80 * np.cos(2 * np.pi * t) + 40j * np.sin(4 * np.pi * t + 0.4)

    def velocity(t):
        return 2 * np.pi * (-80 * np.sin(2 * np.pi * t) + 80j * np.cos(4 * np.pi * t + 0.4))

    def turning(t, angle):
        v, above, turns = velocity(t), np.radians(30) * np.sin(2 * np.pi * t - 1), []
        for length, a in zip(lengths, angle):
            pull = -(np.cos(a) * v.imag - np.sin(a) * v.real) / length
            turns.append(pull + np.sin(above + rest - a) / returns)
            v, above = v + length * turns[-1] * 1j * np.exp(1j * a), a
        return turns

    t = np.arange(24) / 24
    march = solve_ivp(turning, (0, 9), [0, 0, 0], method="DOP853", rtol=1e-10, atol=1e-10, t_eval=8 + t)
    pulled = follow(np.column_stack([place(t).real, place(t).imag]), 30 * np.sin(2 * np.pi * t - 1),
                    lengths, rest=10, returns=returns)
    # Ours knows the root only in 24 drawings.
    assert np.abs((pulled.angles - np.degrees(march.y.T) + 180) % 360 - 180).max() < 0.02
