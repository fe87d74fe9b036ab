"""A chain against the pendulums of the textbooks.

References: the period of a great swing, T / T0 = 2 K(sin^2(swing / 2)) / pi, and the swing itself by
Jacobi's elliptic functions (scipy.special; values also by mpmath); small swings of equal point
masses on equal links, w^2 l / g = zeros of the Laguerre polynomial L_N (numpy; 2 -+ sqrt(2)
for two); the hanging chain, w sqrt(L / g) = half the zeros of the Bessel function J0 (D. Bernoulli
1733, from memory; zeros by scipy.special.jn_zeros); the driven damped oscillator and the
logarithmic decrement (formulas of any text on vibrations, from memory); small swings of
uniform rods by sympy's mechanics.
"""
import numpy as np
import pytest
import scipy.linalg
from chain_by_sympy import ByKane
from chain_settings import problem_of
from scipy.special import ellipj, ellipk, jn_zeros

from anim_lessons.physics.chain import settled_loop
from anim_lessons.physics.chain.parameters import Carrier, ChainSettings
from anim_lessons.physics.chain.radau import integrate
from anim_lessons.physics.chain.solver import Problem
from anim_lessons.physics.chain.transient import run_from_rest

G = 9.80665
STILL = np.zeros((8, 2))


def problem(lengths, period, mass, centre=1.0, inertia=0.0) -> Problem:
    """A chain without springs or dampers on a hook that keeps still."""
    return problem_of(root=STILL, lengths=lengths, period=period, mass=mass, stiffness=0.0, damping=0.0, rest=0.0,
                      centre=centre, inertia=inertia)[0]


# ---- great swings -----------------------------------------------------------------------


@pytest.mark.parametrize("swing, longer", [
    (5, 1.00047617249), (10, 1.00190718814), (20, 1.00766902579), (30, 1.0174087976), (45, 1.0399733432),
    (60, 1.07318200715), (90, 1.18034059902), (120, 1.37288050062), (150, 1.7622037295), (170, 2.43936271967),
])
def test_a_great_swing_comes_back_after_its_period(swing, longer):
    assert longer == pytest.approx(2 / np.pi * ellipk(np.sin(np.radians(swing) / 2) ** 2), rel=1e-10)
    length = 0.7
    hung = problem([length], 2 * np.pi * np.sqrt(length / G) * longer, [0.2])
    start = np.array([np.radians(swing) - np.pi / 2])
    steps = 128
    angles, speed = integrate(hung.chain, hung.force(("stages", steps)), steps, start, np.zeros(1), within=1e-12)
    assert start == pytest.approx(angles[-1], abs=2e-6)
    assert 0 == pytest.approx(speed[0], abs=2e-5)
    assert -np.radians(swing) == pytest.approx(angles[steps // 2, 0] + np.pi / 2, abs=2e-6)


@pytest.mark.parametrize("swing", [30, 90, 141])
def test_jacobi_s_swing_solves_the_equations_on_a_collocation_grid(swing):
    k2 = np.sin(np.radians(swing) / 2) ** 2
    share = np.arange(65) / 65
    sn, *_ = ellipj(ellipk(k2) * (1 + 4 * share), k2)
    angle = (2 * np.arcsin(np.sqrt(k2) * sn) - np.pi / 2)[:, None]
    period = 2 * np.pi * np.sqrt(0.7 / G) * 2 / np.pi * ellipk(k2)
    assert np.abs(problem([0.7], period, [0.2]).at(angle, np.zeros(1), 65)).max() < 1e-6
    assert np.abs(problem([0.7], 1.01 * period, [0.2]).at(angle, np.zeros(1), 65)).max() > 1e-3


# ---- small swings -------------------------------------------------------------------------


def modes(hung, period, count):
    """Small swings about hanging, radians a second, from slow to fast."""
    pose = np.full((1, count), -np.pi / 2)
    _, (mass, _, stiff) = hung.at(pose, np.zeros(count), 1, jacobian=True)
    return np.sort(np.sqrt(np.linalg.eigvals(np.linalg.solve(mass[0], stiff[0])).real)) * 2 * np.pi / period


@pytest.mark.parametrize("count", [2, 3, 5])
def test_point_masses_on_links_swing_as_the_zeros_of_laguerre_s_polynomial(count):
    zeros = np.polynomial.laguerre.Laguerre.basis(count).roots()
    if count == 2:
        assert [2 - np.sqrt(2), 2 + np.sqrt(2)] == pytest.approx(zeros)
    squares = modes(problem(np.full(count, 0.3), 1.0, np.full(count, 0.1)), 1.0, count) ** 2
    assert zeros == pytest.approx(squares * 0.3 / G, rel=1e-9)


@pytest.mark.parametrize("count", [2, 3])
def test_uniform_rods_swing_as_sympy_s_mechanics_says(count):
    rng = np.random.default_rng(count)
    lengths, mass = rng.uniform(0.1, 0.4, (2, count))
    kane = ByKane(STILL, lengths, 1.0, mass, 0, 0, 0)
    pose, none, nudge = np.full(count, -np.pi / 2), np.zeros(count), 1e-5 * np.eye(count)
    stiff = np.column_stack([(kane.equations(pose - d, none, none.repeat(6)[:6], kane.parameters)[1]
                              - kane.equations(pose + d, none, none.repeat(6)[:6], kane.parameters)[1]).ravel() / 2e-5
                             for d in nudge])
    matrix = kane.equations(pose, none, none.repeat(6)[:6], kane.parameters)[0]
    squares = scipy.linalg.eigh(stiff, matrix, eigvals_only=True)
    ours = modes(problem(lengths, 1.0, mass, 0.5, mass * lengths**2 / 12), 1.0, count)
    assert squares == pytest.approx(ours**2, rel=1e-8)


def test_a_chain_of_more_and_more_links_swings_as_a_hanging_chain():
    # Eight links at most 1 part in 100 off, twelve less: the limit is met from the side of fewer links.
    bessel = jn_zeros(0, 2) / 2
    assert [1.2024127788, 2.7600390551] == pytest.approx(bessel)
    off = []
    for count in (3, 6, 12):
        lengths, mass = np.full(count, 1 / count), np.full(count, 0.1)
        slow = modes(problem(lengths, 1.0, mass, 0.5, mass * lengths**2 / 12), 1.0, count)[:2] / np.sqrt(G)
        off.append(np.abs(slow / bessel - 1))
    assert (off[0] > 3 * off[1]).all() and (off[1] > 3 * off[2]).all()
    assert off[2][0] < 2.5e-4 and off[2][1] < 8e-3


# ---- driven and damped ----------------------------------------------------------------------


@pytest.mark.parametrize("r, zeta, larger, late", [
    (0.5, 0.1, 1.3216372, 7.594643), (1, 0.1, 5.0, 90), (2, 0.1, 0.3304093, 172.405357),
    (0.5, 0.2, 1.28831325, 14.931417), (1, 0.2, 2.5, 90), (2, 0.2, 0.32207831, 165.068583),
    (0.5, 0.5, 1.10940039, 33.690068), (1, 0.5, 1.0, 90), (2, 0.5, 0.2773501, 146.309932),
])
def test_a_driven_lantern_lags_as_the_damped_oscillator(r, zeta, larger, late):
    length, mass, samples = 0.3, 0.5, 32
    own = np.sqrt(G / length)
    omega = r * own
    turn = 2 * np.pi * np.arange(samples) / samples
    shift = 1e-4 * length / r**2  # so that at r = 0 it would swing by 1e-4
    loop = settled_loop(np.column_stack([shift * np.cos(turn), 0 * turn]), [length], 2 * np.pi / omega, [mass], [0],
                        [2 * zeta * own * mass * length**2], [0], gravity=G, centre=1.0, inertia=[0.0])
    assert loop.found and loop.stable
    wave = np.fft.rfft(loop.angles[:, 0] + np.pi / 2)[1] * 2 / samples
    # Its weight lags behind the push, mass times acceleration of the hook, which is against the hook's place: the angle
    # from hanging is pushed by omega^2 shift cos(turn) / length.
    assert 1e-4 * larger == pytest.approx(abs(wave), rel=1e-5)
    assert late == pytest.approx(-np.degrees(np.angle(wave)), abs=1e-3)
    assert loop.remains == pytest.approx(np.exp(-zeta * own * 2 * np.pi / omega), rel=1e-3)


@pytest.mark.parametrize("zeta, decrement", [(0.05, 0.31455270), (0.1, 0.63148388), (0.2, 1.28254983)])
def test_a_lantern_that_settles_loses_the_same_share_of_each_swing(zeta, decrement):
    assert decrement == pytest.approx(2 * np.pi * zeta / np.sqrt(1 - zeta**2), rel=1e-7)
    length, mass = 0.3, 0.5
    own = np.sqrt(G / length)
    time = np.arange(401) / 100
    part = np.clip(time / 0.3, 0, 1)
    hook = np.column_stack([2e-3 * part**3 * (10 - 15 * part + 6 * part**2), 0 * time])
    lantern = ChainSettings([length], [mass], [0], [2 * zeta * own * mass * length**2], [0], G, centre=1.0, inertia=[0.0])
    run = run_from_rest(lantern, Carrier(hook, 4.0))
    assert run.found
    swing = run.angles[time > 0.35, 0] + np.pi / 2
    turned = np.flatnonzero(np.diff(np.sign(np.diff(swing)))) + 1
    extremes = []
    for i in turned[:4]:
        a, b, c = swing[i - 1:i + 2]  # the top of the parabola through three samples
        extremes.append(b - (c - a) ** 2 / (8 * (a - 2 * b + c)))
    # From one extreme to the next but one, by the straight line through the logarithms.
    assert decrement == pytest.approx(-2 * np.polyfit(range(4), np.log(np.abs(extremes)), 1)[0], rel=2e-3)


def test_a_whirling_lantern_trails_its_hook_by_what_the_air_takes():
    # Without weight: mass R l w^2 sin(lag) = damping w, on a hook that circles with radius R.
    radius, length, mass, omega, damping = 0.1, 0.3, 0.5, 2 * np.pi, 0.02
    turn = 2 * np.pi * np.arange(16) / 16
    hook = radius * np.column_stack([np.cos(turn), np.sin(turn)])
    loop = settled_loop(hook, [length], 1.0, [mass], [0], [damping], [0], gravity=0.0, centre=1.0, inertia=[0.0], turns=[1])
    assert loop.found and loop.stable and loop.turns == (1,)
    lag = np.arcsin(damping / (mass * radius * length * omega))
    assert turn - lag == pytest.approx(loop.angles[:, 0], abs=1e-6)
    assert "segment 1 once counter-clockwise" in loop.says
