"""A chain with weight and springs: it links up, says what it could not do, and never passes off a wrong loop."""

import numpy as np
import pytest
from chain_settings import problem_of, setting

from anim_lessons.model.action import ActionError
from anim_lessons.physics.chain.collocation import STAGES, WEIGHTS, even_times, fourier_matrix
from anim_lessons.physics.chain.parameters import Carrier, ChainSettings
from anim_lessons.physics.chain.search import STABLE
from anim_lessons.physics.chain.settled import WITHIN, settled_loop, settled_loops
from anim_lessons.physics.chain.transient import run_from_rest

G = 9.80665


def residual_of(loop, s, times=513):
    """Residual on a grid that the solver never used, from the angles alone."""
    problem, turns, _ = problem_of(**s)
    return np.abs(problem.at(loop.motion.periodic, turns, times)).max()


@pytest.mark.parametrize("seed", range(30))
def test_what_is_called_a_loop_solves_the_equations_at_finer_times(seed):
    s = setting(np.random.default_rng(seed), rods=1 + seed % 5)
    loop = settled_loop(**s, seconds=20)
    assert loop.found, loop.says
    assert loop.error < WITHIN
    # An error e in the highest harmonic k that is held shows as k^2 e.
    assert residual_of(loop, s) < WITHIN * (len(loop.motion.periodic) / 2) ** 2
    assert (24, len(s["lengths"])) == loop.angles.shape
    assert loop.stable == (loop.remains < STABLE)


def test_more_samples_of_the_same_path_give_the_same_loop():
    s = setting(np.random.default_rng(2), stops=False)
    wide = s | {"root": fourier_matrix(24, 96, 0, 11) @ s["root"], "parent": fourier_matrix(24, 96, 0, 11) @ s["parent"]}
    assert settled_loop(**s).angles == pytest.approx(settled_loop(**wide).angles[::4], abs=2e-6)


@pytest.mark.parametrize("seed", range(6))
def test_a_slider_moved_a_little_gives_warm_what_it_gives_cold(seed):
    s = setting(np.random.default_rng(seed))
    before = settled_loop(**s)
    moved = s | {"stiffness": 1.05 * s["stiffness"], "damping": 0.97 * s["damping"]}
    warm, cold = settled_loop(**moved, warm=before), settled_loop(**moved)
    assert warm.found and cold.found
    assert cold.angles == pytest.approx(warm.angles, abs=2 * WITHIN)


def test_a_warm_start_from_another_chain_is_no_harm():
    s, other = setting(np.random.default_rng(1)), setting(np.random.default_rng(2), rods=2)
    assert settled_loop(**s).angles == pytest.approx(settled_loop(**s, warm=settled_loop(**other)).angles, abs=2 * WITHIN)


def test_a_batch_gives_what_its_settings_give_one_by_one():
    s = setting(np.random.default_rng(6), slowest=1.0)
    factor = np.geomspace(0.7, 3, 24)[:, None]
    loops = settled_loops(**(s | {"stiffness": factor * s["stiffness"], "damping": np.sqrt(factor) * s["damping"]}))
    assert 24 == len(loops)
    for f, loop in zip(factor, loops):
        one = settled_loop(**(s | {"stiffness": f * s["stiffness"], "damping": np.sqrt(f) * s["damping"]}))
        assert one.found and loop.found
        assert one.angles == pytest.approx(loop.angles, abs=2 * WITHIN)
        assert (one.stable, one.turns) == (loop.stable, loop.turns)
        assert one.remains == pytest.approx(loop.remains, rel=1e-3, abs=1e-6)


def test_a_batch_may_differ_in_its_paths_and_lengths():
    some = [setting(np.random.default_rng(seed), air=False, stops=False, slowest=1.5) for seed in range(20)]
    loops = settled_loops(**{name: np.array([s[name] for s in some]) for name in some[0]})
    for s, loop in zip(some, loops):
        assert settled_loop(**s).angles == pytest.approx(loop.angles, abs=2 * WITHIN)


# ---- what it may not pass off as right ---------------------------------------------------


def swung(**changes):
    """A rod without weight on a parent that swings, at the spring's own pace: 1 kg m^2, 1 swing in 2 pi seconds."""
    parent = 0.1 * np.sin(2 * np.pi * np.arange(24) / 24)
    return {"root": np.zeros((24, 2)), "lengths": [1.0], "period": 2 * np.pi, "mass": [3.0], "stiffness": [1.0],
            "damping": [0.0], "rest": [0.0], "gravity": 0.0, "parent": parent} | changes


def test_a_spring_driven_at_its_own_pace_with_no_damping_has_no_loop_and_it_is_said():
    loop = settled_loop(**swung())
    assert not loop.found and not loop.stable
    assert loop.angles is None and loop.error == np.inf
    assert loop.says.startswith("No looping motion was found") and "Damp the joints more" in loop.says


def test_the_same_spring_damped_or_off_its_pace_has_one():
    # Linear, so it can be done in the head: at its own pace it lags 90 degrees, 1 / damping times as far.
    damped = settled_loop(**swung(damping=[0.5]))
    push = 0.1 * np.sqrt(1 + 0.5**2) / 0.5
    assert damped.found and push == pytest.approx(np.abs(np.fft.rfft(damped.angles[:, 0])[1]) / 12, rel=1e-6)
    off = settled_loop(**swung(stiffness=[3.0]))
    assert off.found and not off.stable and "a nudge never fades" in off.says
    assert off.angles[:, 0] == pytest.approx(3 / 2 * swung()["parent"], abs=1e-6)


def test_a_search_out_of_time_says_so():
    loop = settled_loop(**swung(), seconds=0.0)
    assert not loop.found
    assert loop.says == ("No looping motion was found in 0 seconds. Damp the joints more, stiffen them, or move the root less.")


def test_a_lantern_shaken_up_and_down_twice_a_swing_is_unstable_and_comes_back_every_second_loop():
    # Mathieu: shaken at twice its own pace, hanging straight down is a loop that no nudge forgives.
    length, share = 0.3, 2 * np.pi * np.arange(24) / 24
    own = np.sqrt(G / length)
    hook = np.column_stack([0 * share, 0.03 * np.cos(share)])
    loop = settled_loop(hook, [length], np.pi / own, [0.5], [0.0], [0.1 * own * 0.5 * length**2], [0.0], centre=1.0, inertia=[0.0])
    assert loop.found and not loop.stable and loop.remains > 1.01
    assert loop.angles == pytest.approx(np.full((24, 1), -np.pi / 2), abs=1e-6)
    assert "it is unstable: a nudge grows" in loop.says and "only every second loop" in loop.says
    swing = loop.double[:, 0] + np.pi / 2
    assert swing.max() > 0.2
    assert swing[:24] == pytest.approx(-swing[24:], abs=1e-4)


def test_a_rod_that_would_balance_on_its_end_falls():
    loop = settled_loop(np.zeros((8, 2)), [0.3], 1.0, [1.0], [0.0], [0.05], [np.pi / 2])
    assert loop.found and loop.stable
    assert loop.angles == pytest.approx(np.full((8, 1), -np.pi / 2), abs=1e-6)


def test_a_parent_that_turns_right_round_takes_the_chain_with_it():
    turn = 2 * np.pi * np.arange(24) / 24
    loop = settled_loop(np.zeros((24, 2)), [0.2, 0.2], 1.0, [0.1, 0.1], [5.0, 5.0], [0.1, 0.1], [0, 0], gravity=0.0,
                        parent=turn)
    assert loop.found and loop.stable and (1, 1) == loop.turns
    assert loop.angles == pytest.approx(np.column_stack([turn, turn]), abs=1e-6)


def test_a_stop_holds_a_bend_that_swings_past_without_it():
    s = swung(damping=[0.3], parent=0.5 * np.sin(2 * np.pi * np.arange(24) / 24))
    free = settled_loop(**s)
    held = settled_loop(**s, stops=[[-0.4, 0.4]])
    past = [np.abs(loop.angles[:, 0] - s["parent"]).max() for loop in (free, held)]
    assert held.found and past[0] > 1.0 and past[1] < 0.55
    none = settled_loop(**s, stops=[[-np.inf, np.inf]])
    assert free.angles == pytest.approx(none.angles, abs=1e-6)


def test_wind_lays_a_pennant_along_it():
    still = np.zeros((8, 2))
    flag = settled_loop(still, [0.1, 0.1], 1.0, [0.001, 0.001], [0, 0], [0.0005, 0.0005], [0, 0], gravity=0.0,
                        air=[0.01, 0.01], wind=(3.0, 3.0), parent=0.2)
    assert flag.found and flag.stable
    assert flag.angles == pytest.approx(np.full((8, 2), np.pi / 4), abs=1e-5)


# ---- what cannot be worked out is refused -------------------------------------------------


@pytest.mark.parametrize("change, says", [
    ({"root": np.zeros((3, 2))}, "4 samples or more"),
    ({"lengths": [1.0] * 13, "mass": [1.0] * 13}, "13 segments; by weight and springs give 1 to 12"),
    ({"lengths": [0.0]}, "segment 1: length is 0; give more than 0"),
    ({"mass": [-1.0]}, "segment 1: mass is -1; give 0 or more"),
    ({"mass": [0.0]}, "segment 1 and all it carries have no mass"),
    ({"stiffness": [np.nan]}, "segment 1: stiffness is nan"),
    ({"damping": [1.0, 2.0]}, "damping: 2 numbers for 1 segments"),
    ({"period": 0.0}, "the period is 0 s"),
    ({"parent": np.zeros(5)}, "24 places of the root, but 5 angles of the parent"),
    ({"parent": np.append(np.zeros(23), np.nan)}, "drawing 24: the parent's angle is not a number"),
    ({"stops": [[1.0, -1.0]]}, "segment 1: its stops are the wrong way round"),
    ({"wind": (1.0, 0.0)}, "there is wind but no air"),
    ({"turns": [0.5]}, "give one whole number a segment"),
    ({"harmonics": 0}, "0 harmonics"),
    ({"stiffness": [[1.0], [2.0]]}, "2 settings were given; settled_loop is for one"),
])
def test_what_cannot_be_worked_out_is_refused_in_plain_words(change, says):
    with pytest.raises(ActionError, match=says.replace("(", r"\(")):
        settled_loop(**swung(**change))


def test_what_cannot_be_run_is_refused():
    with pytest.raises(ActionError, match="6 samples or more"):
        run_from_rest(ChainSettings([1.0], [1.0], [1.0], [1.0], [0.0]), Carrier(np.zeros((5, 2)), 1.0))


# ---- the tools underneath --------------------------------------------------------------------


def test_steps_are_of_order_five():
    # Butcher's conditions for a method that collocates: sum b c^(k-1) = 1 / k up to 5, sum_j a_ij c_j^(k-1) = c_i^k / k up to 3.
    assert np.array_equal(WEIGHTS[2], WEIGHTS[-1]) and STAGES[-1] == 1.0
    for k in range(1, 6):
        assert 1 / k == pytest.approx(WEIGHTS[2] @ STAGES ** (k - 1), rel=1e-13)
    for k in range(1, 4):
        assert STAGES**k / k == pytest.approx(WEIGHTS @ STAGES ** (k - 1), rel=1e-12)


@pytest.mark.parametrize("samples", [16, 17])
def test_derivatives_of_a_wave_are_exact(samples):
    def wave(t):
        return np.cos(3 * t + 1) + 0.2 * np.sin(5 * t)
    values, fine = wave(even_times(samples)), even_times(40)
    assert wave(fine) == pytest.approx(fourier_matrix(samples, 40) @ values, abs=1e-12)
    assert -3 * np.sin(3 * fine + 1) + np.cos(5 * fine) == pytest.approx(fourier_matrix(samples, 40, 1) @ values, abs=1e-11)
    assert -9 * np.cos(3 * fine + 1) - 5 * np.sin(5 * fine) == pytest.approx(fourier_matrix(samples, 40, 2) @ values, abs=1e-11)
    assert -np.sin(5 * fine) * 0.2 / 25 == pytest.approx(fourier_matrix(samples, 40, -2, 4) @ values, abs=1e-12)
