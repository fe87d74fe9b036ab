"""A chain's looping motion against sympy's mechanics and scipy's integrators.

References: the equations of motion derived by sympy.physics.mechanics (Kane's method), which
shares no code with ours; scipy.integrate.solve_ivp (DOP853, tolerance 1e-10) of those
equations; over a loop, energy in = energy out.
"""
import numpy as np
import pytest
from chain_by_sympy import ByKane, slopes
from chain_settings import problem_of, setting

from anim_lessons.physics.chain import settled_loop
from anim_lessons.physics.chain.equations import Drive, forces, residual, scaled_rods
from anim_lessons.physics.chain.parameters import Carrier, ChainSettings
from anim_lessons.physics.chain.transient import run_from_rest


def many_samples(s, samples=128):
    """The same root and parent, drawn at more samples (numpy's FFT)."""
    wave = np.fft.rfft(np.column_stack([s["root"], s["parent"]]), axis=0)
    wave[-1] = 0.0
    fine = np.fft.irfft(wave, samples, axis=0) * samples / len(s["root"])
    return s | {"root": fine[:, :2], "parent": fine[:, 2]}


@pytest.mark.parametrize("count", [2, 3])
def test_equations_of_motion_are_those_of_sympy(count):
    rng = np.random.default_rng(count)
    for _ in range(20):
        lengths, mass, stiffness, damping, centre, inertia, air = rng.uniform(0.2, 2.0, (7, count))
        rest, angle, speed = rng.uniform(-2, 2, (3, count))
        drive, period = rng.uniform(-3, 3, 6), rng.uniform(0.5, 2)
        kane = ByKane(np.zeros((4, 2)), lengths, period, mass, stiffness, damping, rest, 9.81, None, air, centre, inertia)
        matrix, forcing = kane.equations(angle, speed, drive, kane.parameters)
        acceleration = np.linalg.solve(matrix, forcing).ravel()
        omega = np.array(2 * np.pi / period)
        chain = scaled_rods(ChainSettings(lengths, mass, stiffness, damping, rest, np.array(9.81), air, np.array(0j),
                                          centre=centre, inertia=inertia), omega)
        ax, ay, vx, vy, parent, spin = drive
        force = forces(chain, Drive(*(np.array([v]) for v in (
            (vx + 1j * vy) / omega, (ax + 1j * ay) / omega**2, parent, spin / omega))))
        ours = residual(chain, force, angle[None], speed[None] / omega, acceleration[None] / omega**2)
        # Against the size of what adds up to nothing.
        assert np.abs(ours).max() < 1e-12 * (1 + np.abs(acceleration).max() / omega**2 + np.abs(speed).max() ** 2 / omega**2)


@pytest.mark.parametrize("count, seed", [(2, 1), (3, 6)])
def test_the_loop_is_the_one_that_solve_ivp_runs(count, seed):
    s = many_samples(setting(np.random.default_rng(seed), count, slowest=0.8, stops=False))
    loop = settled_loop(**s)
    assert loop.found and loop.stable
    kane, period = ByKane(**s), s["period"]
    speed, _ = slopes(loop.angles, period)
    times = np.append(np.arange(128) / 128, 1.0) * period
    run, _ = kane.run(loop.angles[0], speed[0], times)
    assert np.abs(run[:-1] - loop.angles).max() < 1e-5
    assert np.abs(run[-1] - run[0]).max() < 1e-5  # and links up


def test_a_chain_let_go_falls_into_the_loop():
    s = setting(np.random.default_rng(8), 2, slowest=1.5, stops=False)
    loop = settled_loop(**s)
    share = loop.remains
    loops = int(np.ceil(np.log(1e-8) / np.log(share)))
    run, _ = ByKane(**s).run(np.full(2, -np.pi / 2), np.zeros(2), np.array([0, loops * s["period"]]))
    assert loop.angles[0] == pytest.approx(run[-1], abs=2e-5)


@pytest.mark.parametrize("seed", [12])
def test_what_is_left_of_a_nudge_is_what_solve_ivp_leaves(seed):
    s = many_samples(setting(np.random.default_rng(seed), 2, slowest=0.6, stops=False))
    s["damping"] = 0.2 * s["damping"]
    loop = settled_loop(**s)
    assert loop.found and loop.remains > 0.05
    kane, times = ByKane(**s), np.array([0, s["period"]])
    start = np.concatenate([loop.angles[0], next(slopes(loop.angles, s["period"]))[0]])
    end = []
    for nudge in np.eye(4) * 1e-5:
        ends = [np.concatenate([v[-1] for v in kane.run(*np.split(start + sign * nudge, 2), times)]) for sign in (1, -1)]
        end.append((ends[0] - ends[1]) / 2e-5)
    assert loop.remains == pytest.approx(np.abs(np.linalg.eigvals(np.array(end).T)).max(), rel=1e-3)


def apart(kane, start, nudge, loops):
    """How far two runs, nudged to either side, are apart after each loop; solve_ivp."""
    times = np.arange(loops + 1) * kane.period
    ends = [np.concatenate(kane.run(*np.split(start + sign * nudge, 2), times), axis=1) for sign in (1, -1)]
    return np.linalg.norm(ends[0] - ends[1], axis=1)


@pytest.mark.parametrize("count, seed", [(2, 277)])
def test_a_loop_called_unstable_links_up_and_a_nudge_throws_solve_ivp_off_it(count, seed):
    s = many_samples(setting(np.random.default_rng(seed), count, stops=False))
    loop = settled_loop(**s)
    assert loop.found and not loop.stable
    assert f"it is unstable: a nudge grows {loop.remains:.3g} times in one loop" in loop.says
    kane = ByKane(**s)
    start = np.concatenate([loop.angles[0], next(slopes(loop.angles, s["period"]))[0]])
    once = np.concatenate(kane.run(*np.split(start, 2), np.array([0.0, s["period"]])), axis=1)[-1]
    # It is a loop all the same: what it is off by, a loop later, is an error so small grown by so much.
    assert np.abs(once - start).max() < 1e-3
    off = apart(kane, start, 1e-7 * np.ones(2 * count), 4)
    assert loop.remains == pytest.approx(off[4] / off[3], rel=0.02)
    # Left to itself it goes on growing, to something that can be seen.
    loops = int(np.ceil(np.log(1e5) / np.log(loop.remains)))
    assert apart(kane, start, 1e-6 * np.ones(2 * count), loops)[-1] > 0.02


def test_a_nudge_to_a_loop_called_stable_fades_in_solve_ivp():
    s = many_samples(setting(np.random.default_rng(9), 2, stops=False))
    loop = settled_loop(**s)
    assert loop.found and loop.stable
    start = np.concatenate([loop.angles[0], next(slopes(loop.angles, s["period"]))[0]])
    loops = int(np.ceil(np.log(1e-3) / np.log(loop.remains)))
    off = apart(ByKane(**s), start, 1e-3 * np.ones(4), loops)
    assert off[-1] < 0.05 * off[0]


@pytest.mark.parametrize("seed", range(20, 28))
def test_energy_put_in_over_a_loop_is_the_energy_that_the_dampers_take_out(seed):
    s = many_samples(setting(np.random.default_rng(seed), 3, slowest=0.8, stops=False))
    loop = settled_loop(**s)
    assert loop.found
    period, angles = s["period"], loop.angles
    (speed, _), (root_speed, _), (spin, _) = (slopes(v, period) for v in (angles, s["root"], s["parent"][:, None]))
    place = s["root"]
    drag = np.zeros(len(place))
    force = np.zeros(place.shape)
    for k, (length, mass) in enumerate(zip(s["lengths"], s["mass"])):
        along = np.column_stack([np.cos(angles[:, k]), np.sin(angles[:, k])])
        middle = place + 0.5 * length * along
        velocity, acceleration = slopes(middle, period)
        broadside = velocity[:, 1] * along[:, 0] - velocity[:, 0] * along[:, 1]
        air = np.broadcast_to(s.get("air", 0.0), 3)[k]
        across = np.column_stack([-along[:, 1], along[:, 0]])
        force += mass * (acceleration + [0, 9.80665]) + (air * broadside)[:, None] * across
        drag += air * (broadside**2 + length**2 / 12 * speed[:, k] ** 2)
        place = place + length * along
    bending = np.diff(np.column_stack([spin, speed]), axis=1)
    first = s["stiffness"][0] * (angles[:, 0] - s["parent"] - s["rest"][0]) + s["damping"][0] * bending[:, 0]
    put_in = (force * root_speed).sum(1) - first * spin[:, 0]
    taken_out = (s["damping"] * bending**2).sum(1) + drag
    assert taken_out.mean() > 0
    assert taken_out.mean() == pytest.approx(put_in.mean(), rel=1e-6)


@pytest.mark.parametrize("count", [2, 3])
def test_action_that_does_not_loop_is_the_one_that_solve_ivp_runs(count):
    s = setting(np.random.default_rng(40 + count), count, slowest=0.8, stops=False)
    # Carried 0.3 m to the right in one second and held; the joint's place is a polynomial of degree 5, as our spline.
    time = np.arange(49) / 24
    part = np.clip(time, 0, 1)
    root = np.column_stack([0.3 * part**3 * (10 - 15 * part + 6 * part**2), 0 * time])
    s |= {"parent": np.full(49, -np.pi / 2), "root": root}
    kane = ByKane(**s)
    s.pop("period")
    carrier = Carrier(s.pop("root"), 2.0, s.pop("parent"))
    run = run_from_rest(ChainSettings(**s), carrier)
    assert run.found

    def drive(t):
        p = min(t, 1.0)
        return (0.3 * (60 * p - 180 * p**2 + 120 * p**3), 0.0, 0.3 * (30 * p**2 - 60 * p**3 + 30 * p**4), 0.0, -np.pi / 2, 0.0)

    kane.drive = drive
    reference, _ = kane.run(run.angles[0], np.zeros(count), time, max_step=0.02)
    # The spline leaves the polynomial a little where the joint comes to its stop.
    assert np.abs(reference - run.angles).max() < 2e-3
    assert np.abs(kane.accelerations(0.0, run.pose, np.zeros(count))).max() < 1e-6  # it hangs still before


def test_samples_of_the_root_are_taken_as_numpy_s_fft_takes_them():
    s = setting(np.random.default_rng(50), 2)
    kane = ByKane(s["root"], s["lengths"], s["period"], s["mass"], s["stiffness"], s["damping"], s["rest"],
                  parent=s["parent"])
    problem, _, _ = problem_of(**s)
    ours = problem.path.drive(33)
    omega = 2 * np.pi / s["period"]
    for i in range(33):
        ax, ay, vx, vy, parent, spin = kane.drive(i / 33 * s["period"])
        assert [ax + 1j * ay, vx + 1j * vy, parent, spin] == pytest.approx(
            [ours.acceleration[i] * omega**2, ours.speed[i] * omega, ours.parent[i], ours.parent_speed[i] * omega], abs=1e-9)
