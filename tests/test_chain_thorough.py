"""Long chains whip: what is found for them is corrected on fine rows of times, and is a loop by time steps too."""
import numpy as np
import pytest
from chain_settings import setting

from anim_lessons.physics.chain import settled_loop
from anim_lessons.physics.chain.asked import looping_problem
from anim_lessons.physics.chain.grid import slopes_matrix, trig
from anim_lessons.physics.chain.settled import WITHIN
from anim_lessons.physics.chain.solver import Factored
from anim_lessons.physics.chain.steps import once_round
from anim_lessons.physics.chain.thorough import ENOUGH, gmres, thorough_correction

PLAIN = {"gravity": 9.80665, "air": 0.0, "wind": (0, 0), "stops": None, "stop_stiffness": None, "stop_damping": None,
         "centre": 0.5, "inertia": None, "turns": None, "harmonics": None, "within": 1e-5}


def numbered(rods, number):
    """One of the benchmark's settings."""
    rng = np.random.default_rng(1)
    return [setting(rng, rods) for _ in range(number + 1)][number]


def test_gmres_solves_what_numpy_solves():
    rng = np.random.default_rng(0)
    matrix, right = np.eye(12) + 0.3 * rng.normal(size=(12, 12)), rng.normal(size=(4, 3))
    leader = np.linalg.inv(matrix + 0.1 * rng.normal(size=(12, 12)))
    found = gmres(lambda v: (matrix @ v.ravel()).reshape(4, 3), lambda v: (leader @ v.ravel()).reshape(4, 3), right, enough=1e-10)
    assert np.linalg.solve(matrix, right.ravel()) == pytest.approx(found.ravel(), abs=1e-8)


@pytest.mark.parametrize("rods, number", [(3, 4), (8, 6)])
def test_a_thorough_correction_is_that_of_newton_s_method_on_the_fine_row(rods, number):
    problem, turns, _ = looping_problem(**(PLAIN | numbered(rods, number)))
    coarse, fine = 17, 49
    swing = np.tile(problem.still(), (coarse, 1)) + 0.1 * np.sin(2 * np.pi * np.arange(coarse) / coarse)[:, None]

    def matrix(times):
        r, slopes = problem.at(swing, turns, times, slopes=True)
        return r, Factored(slopes_matrix(slopes, trig(times, times, 2), trig(times, times, 1), None))

    r, whole = matrix(fine)
    newton = -whole.solve(r)
    found = thorough_correction(problem, swing, turns, fine, coarse, matrix(coarse)[1].solve)
    assert np.linalg.norm(found - newton) < 3 * ENOUGH * np.linalg.norm(newton)


@pytest.mark.parametrize("rods, number", [(6, 59), (8, 6), (12, 2)])
def test_a_long_chain_s_loop_is_found_and_comes_back_by_time_steps(rods, number):
    s = numbered(rods, number)
    loop = settled_loop(**s, seconds=60)
    assert loop.found, loop.says
    assert loop.error < WITHIN
    problem, *_ = looping_problem(**(PLAIN | s))
    swing, samples = loop.motion.swing, len(loop.motion.swing)
    # An error e in the highest harmonic k that is held shows as k^2 e.
    assert np.abs(problem.at(swing, loop.motion.turns, 1025)).max() < WITHIN * (samples / 2) ** 2
    steps = 1024
    start, speed = swing[0], (trig(samples, samples, 1) @ swing)[0] + loop.motion.turns
    angles, _ = once_round(problem.chain, problem.force(("stages", steps)), steps, start, speed, within=1e-9)
    grown = max(1.0, loop.remains)
    assert np.abs(angles[-1] - 2 * np.pi * loop.motion.turns - start).max() < 1e-4 * grown
    between = loop.motion.angles(64)
    assert np.abs(angles[:-1:16] - between).max() < 1e-3 * grown
