"""The tools under the solver: each against a slower way to the same numbers."""
import numpy as np
import pytest
from chain_settings import problem_of, setting

from anim_lessons.physics.chain import settled_loop
from anim_lessons.physics.chain.collocation import collocation_matrix, fourier_matrix, motion_matrix
from anim_lessons.physics.chain.solver import Factored


def everything(rods, seed=3):
    """A setting with a parent that swings, air, wind and stops that are reached."""
    rng = np.random.default_rng(seed)
    s = setting(rng, rods, air=False, stops=False)
    return s | {"air": rng.uniform(0.05, 0.2, rods), "wind": (0.7, -0.3),
                "stops": np.column_stack([s["rest"] - 0.3, s["rest"] + 0.4])}


@pytest.mark.parametrize("rods", [1, 2, 4])
def test_the_jacobian_is_what_small_changes_do(rods):
    # Central differences of the residual, value by value.
    problem, turns, _ = problem_of(**everything(rods))
    rng, times = np.random.default_rng(0), 9
    swing, turns = rng.uniform(-1, 1, (times, rods)), turns + 1
    _, jacobian = problem.at(swing, turns, times, jacobian=True)
    whole = collocation_matrix(jacobian, times)
    for rod in range(rods):
        for time in range(times):
            nudge = np.zeros((times, rods))
            nudge[time, rod] = 1e-6
            change = (problem.at(swing + nudge, turns, times) - problem.at(swing - nudge, turns, times)) / 2e-6
            column = whole[:, rod * times + time].reshape(rods, times).T
            assert np.abs(column - change).max() < 1e-6 * (1 + np.abs(change).max())


def test_a_matrix_solves_for_all_rods_at_all_times():
    rng, times, rods = np.random.default_rng(1), 7, 3
    matrix = rng.normal(size=(times * rods, times * rods))
    swing = rng.normal(size=(times, rods))
    right = (matrix @ swing.T.ravel()).reshape(rods, times).T
    assert swing == pytest.approx(Factored(matrix.copy()).solve(right), abs=1e-9)


def test_jacobians_of_settings_in_one_pass_are_those_one_by_one():
    some = [everything(3, seed) for seed in range(4)]
    names = [name for name in some[0] if name != "wind"]
    together, turns, _ = problem_of(**{name: np.array([s[name] for s in some]) for name in names}, wind=(0.7, -0.3))
    swing = np.random.default_rng(5).uniform(-1, 1, (4, 9, 3))
    r, jacobian = together.at(swing, turns, 9, jacobian=True)
    for i, s in enumerate(some):
        one, alone = problem_of(**s)[0].at(swing[i], turns[i], 9, jacobian=True)
        assert one == pytest.approx(r[i], abs=1e-9)
        for a, b in zip(alone, jacobian):
            assert a == pytest.approx(b[i], abs=1e-9)


def test_a_motion_and_its_derivatives_in_one_are_the_three_by_themselves():
    values = np.random.default_rng(2).normal(size=(17, 3))
    for times in (12, ("stages", 8)):
        alone = [fourier_matrix(17, times, order) @ values for order in range(3)]
        assert np.concatenate(alone) == pytest.approx(motion_matrix(17, times) @ values, abs=1e-9)


def test_a_parent_s_angle_told_with_jumps_is_the_same_angle():
    s = setting(np.random.default_rng(4), 2)
    turn = 2 * np.pi * np.arange(24) / 24
    swung, round_ = s["parent"] + 2.9, turn + 0.3 * np.sin(turn)
    for parent, turns in ((swung, 0), (round_, 1), (-round_, -1)):
        told = np.angle(np.exp(1j * parent))
        (one, *_), (other, *_) = problem_of(**(s | {"parent": parent})), problem_of(**(s | {"parent": told}))
        assert turns == one.path.turns == other.path.turns
        a, b = one.path.drive(33), other.path.drive(33)
        assert a.parent_speed == pytest.approx(b.parent_speed, abs=1e-9)
        assert np.exp(1j * a.parent) == pytest.approx(np.exp(1j * b.parent), abs=1e-9)


@pytest.mark.parametrize("harmonics", [None, 3])
def test_two_loops_taken_for_one_are_driven_as_the_one_is_twice(harmonics):
    one, *_ = problem_of(**everything(2), harmonics=harmonics)
    two = one.loops(2)
    a, b = one.path.drive(40), two.path.drive(80)
    # One radian of the two loops is two of the one.
    assert 2 * np.tile(a.speed, 2) == pytest.approx(b.speed, abs=1e-9)
    assert 4 * np.tile(a.acceleration, 2) == pytest.approx(b.acceleration, abs=1e-9)
    assert 2 * np.tile(a.parent_speed, 2) == pytest.approx(b.parent_speed, abs=1e-9)


def test_arguments_are_left_as_they_were_given():
    s = everything(3)
    s["parent"] = np.angle(np.exp(1j * (s["parent"] + 2.9)))
    before = {name: np.array(value) for name, value in s.items()}
    settled_loop(**s)
    assert all(np.array_equal(before[name], value) for name, value in s.items())
