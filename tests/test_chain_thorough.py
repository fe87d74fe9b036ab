"""Long chains whip: what is found for them is corrected on fine grids, and is a loop by time steps too."""
import numpy as np
import pytest
from chain_settings import problem_of, setting

from anim_lessons.physics.chain import settled_loop
from anim_lessons.physics.chain.collocation import collocation_matrix, fourier_matrix
from anim_lessons.physics.chain.krylov import TOLERANCE, krylov_correction
from anim_lessons.physics.chain.radau import integrate
from anim_lessons.physics.chain.settled import WITHIN
from anim_lessons.physics.chain.solver import Factored


def numbered(rods, number):
    """One of the benchmark's settings."""
    rng = np.random.default_rng(1)
    return [setting(rng, rods) for _ in range(number + 1)][number]


@pytest.mark.parametrize("rods, number", [(3, 4), (8, 6)])
def test_a_thorough_correction_is_that_of_newton_s_method_on_the_fine_grid(rods, number):
    problem, turns, _ = problem_of(**numbered(rods, number))
    coarse, fine = 17, 49
    swing = np.tile(problem.static_pose(), (coarse, 1)) + 0.1 * np.sin(2 * np.pi * np.arange(coarse) / coarse)[:, None]

    def matrix(times):
        r, jacobian = problem.at(swing, turns, times, jacobian=True)
        return r, Factored(collocation_matrix(jacobian, times))

    r, whole = matrix(fine)
    newton = -whole.solve(r)
    found = krylov_correction(problem, swing, turns, fine, coarse, matrix(coarse)[1].solve)
    assert np.linalg.norm(found - newton) < 3 * TOLERANCE * np.linalg.norm(newton)


@pytest.mark.parametrize("rods, number", [(6, 59), (8, 6), (12, 2)])
def test_a_long_chain_s_loop_is_found_and_comes_back_by_time_steps(rods, number):
    s = numbered(rods, number)
    loop = settled_loop(**s, seconds=60)
    assert loop.found, loop.says
    assert loop.error < WITHIN
    problem, *_ = problem_of(**s)
    swing, samples = loop.motion.periodic, len(loop.motion.periodic)
    # An error e in the highest harmonic k that is held shows as k^2 e.
    assert np.abs(problem.at(swing, loop.motion.turns, 1025)).max() < WITHIN * (samples / 2) ** 2
    steps = 1024
    start, speed = swing[0], (fourier_matrix(samples, samples, 1) @ swing)[0] + loop.motion.turns
    angles, _ = integrate(problem.chain, problem.force(("stages", steps)), steps, start, speed, within=1e-9)
    grown = max(1.0, loop.remains)
    assert np.abs(angles[-1] - 2 * np.pi * loop.motion.turns - start).max() < 1e-4 * grown
    between = loop.motion.angles(64)
    assert np.abs(angles[:-1:16] - between).max() < 1e-3 * grown
