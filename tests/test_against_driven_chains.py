"""Drag and overlap against mechanics: a passive chain that is driven at its first part, forwards and backwards in time.

Reference: Lagrange's equations of uniform rods under weight, slowed by air, integrated by scipy's solve_ivp until they come round
(`driven_chains`, which shares no code with anim_lessons); for a small swing of one rod the damped oscillator driven at its
support (any text on vibrations, from memory). What is passive only takes energy: it comes after what drives it, and
a film of it that runs backwards shows parts that move by themselves.
"""

import numpy as np
import pytest
from driven_chains import accelerations, matrices
from limb_makes import placed
from scipy.integrate import solve_ivp

from anim_lessons import Action, Limb, check
from anim_lessons.measures.loops import Measures
from anim_lessons.rules import overlap

DRAWINGS = 24
SAMPLES = 240       # of a period
PERIODS = 60        # at most, until it comes round to the same
PERIODIC = 0.002    # of the swing: by so much two periods may differ
JOINT = 0.1         # of a rod's own damping: what a joint takes when it bends


def driven(lengths, swing, pace, air):
    """Angles from straight down over one period, degrees, (SAMPLES, parts). The first part swings by `swing` degrees either
    way, at `pace` times the pace at which all that hangs from it would swing as one rod; `air` slows each part, as a share
    of its own."""
    parts = len(lengths)
    m, weight = matrices(lengths, lengths / 50.0)
    own = np.sqrt(weight[1:] * np.diag(m)[1:])
    omega, swing = pace * np.sqrt(weight[1] / m[1, 1]), np.radians(swing)

    def rates(t, y):
        a = np.concatenate([[swing * np.sin(omega * t)], y[:parts - 1]])
        w = np.concatenate([[swing * omega * np.cos(omega * t)], y[parts - 1:]])
        joint = JOINT * air * own * np.diff(w)
        torque = -joint - air * own * w[1:]
        torque[:-1] += joint[1:]
        return np.concatenate([w[1:], accelerations(m, weight, a, w, -swing * omega**2 * np.sin(omega * t), torque)])

    times = np.arange(SAMPLES + 1) / SAMPLES * 2 * np.pi / omega
    y, last = np.zeros(2 * parts - 2), None
    for _ in range(PERIODS):
        run = solve_ivp(rates, times[[0, -1]], y, t_eval=times, rtol=1e-7, atol=1e-7)
        y = run.y[:, -1]
        a = np.degrees(np.concatenate([swing * np.sin(omega * times[:-1])[None], run.y[:parts - 1, :-1]])).T
        if last is not None and np.abs(a - last).max() < PERIODIC * np.degrees(swing):
            return a
        last = a
    raise AssertionError("it does not come round")


def action(angle, lengths):
    """DRAWINGS drawings of the chain as a loop; its joints are free."""
    z = placed(np.full(DRAWINGS, 150.0 + 150.0j), angle[::SAMPLES // DRAWINGS] - 90.0, lengths)
    joints, stops = tuple(f"joint {k}" for k in range(z.shape[-1])), [(-270.0, 90.0), *[(-150.0, 150.0)] * (len(lengths) - 1)]
    return Action((Limb("chain", joints, lengths, stops, np.stack([z.real, z.imag], axis=-1)),))


def reversed_in_time(action):
    return action.redrawn(action.limbs[0].drawings[::-1])


def lags(action):
    limb = action.limbs[0]
    return overlap.lag(Measures(limb.drawings, limb.lengths, limb.stops))


def chains(pace, air):
    """Double, triple and fourfold pendulums, three of each."""
    rng = np.random.default_rng([20_261_205, int(10 * pace), int(10 * air)])
    for parts in (2, 3, 4):
        for _ in range(3):
            lengths = rng.uniform(30.0, 60.0, parts)
            yield action(driven(lengths, rng.uniform(15.0, 35.0), pace, air), lengths)


@pytest.mark.parametrize("pace, air", [(1.0, 1.2), (1.1, 1.6)])
def test_driven_at_its_own_pace_it_drags_and_backwards_it_leads(pace, air):
    passed = 0
    for one in chains(pace, air):
        verdict, backwards = check(one), check(reversed_in_time(one))
        passed += verdict.passed
        assert {finding.rule for finding in verdict.findings} <= {"overlap", "drag"}
        assert any("turns before" in finding.head for finding in backwards.findings)
    assert passed >= 8      # of 9: the outermost parts of a chain may hang nearly in one line


def test_driven_slowly_it_hangs_in_step_and_overlap_says_so():
    """A body need not overlap: that it does is a convention of loose, driven action (overlap's docstring)."""
    asked = [finding.head for one in chains(0.4, 0.3) for finding in check(one).findings if finding.rule == "overlap"]
    assert any("turn together" in head for head in asked)
    for one in chains(0.4, 0.3):
        assert "overlap" in {finding.rule for finding in check(reversed_in_time(one)).findings}


@pytest.mark.parametrize("pace", [0.5, 0.8, 1.0, 1.3])
@pytest.mark.parametrize("air", [0.3, 1.0])
def test_of_a_small_swing_the_lag_is_the_driven_oscillator_s(pace, air):
    """m22 b'' + (c + d) b' + G b = d a' - m12 a'', so b = a (i w d + m12 w^2) / (G - m22 w^2 + i w (c + d)); worked out here."""
    lengths = np.array([50.0, 40.0])
    m, weight = matrices(lengths, lengths / 50.0)
    own = np.sqrt(weight[1] * m[1, 1])
    omega = pace * np.sqrt(weight[1] / m[1, 1])
    c, d = air * own, JOINT * air * own
    answer = (1j * omega * d + m[0, 1] * omega**2) / (weight[1] - m[1, 1] * omega**2 + 1j * omega * (c + d))
    measured = lags(action(driven(lengths, 1.0, pace, air), lengths))[0]
    assert measured == pytest.approx(-np.degrees(np.angle(answer)) / 15.0, abs=0.05)


def test_the_other_way_round_in_time_it_comes_before_by_as_much():
    one = next(chains(0.9, 1.0))
    assert lags(one) == pytest.approx(-lags(reversed_in_time(one)), abs=1e-9)
