"""Random settings of a chain within the sliders' range, for tests and benchmark."""
import numpy as np

from anim_lessons.physics.chain.parameters import Carrier, ChainSettings, looping_problem


def setting(rng, rods=3, slowest=0.5, air=True, stops=True):
    """Arguments of `settled_loop`: a root that loops with up to 250 mm radius at about 1 Hz.

    Own swings from `slowest` to 4 a second, damping ratio 0.15 to 1, segments of 50 to 250 mm
    and 20 to 300 g (more than three of them are shorter, so that the whole is no longer); half with a parent that swings, half with air, half with stops.
    """
    turn = 2 * np.pi * np.arange(24) / 24
    radius, tilt = rng.uniform(0.02, 0.25), rng.uniform(0, 2 * np.pi)
    place = radius * (np.cos(turn) + 1j * rng.uniform(-1, 1) * np.sin(turn)) * np.exp(1j * tilt)
    place += radius * rng.uniform(0, 0.15) * np.exp(2j * turn + 1j * rng.uniform(0, 2 * np.pi))
    lengths, mass = rng.uniform(0.05, 0.25, rods) * min(1.0, 3 / rods), rng.uniform(0.02, 0.3, rods)
    swings, settles = slowest * (4 / slowest) ** rng.random(rods), rng.uniform(0.15, 1, rods)
    rest, beyond = rng.uniform(-0.6, 0.6, rods), beyond_joints(lengths, mass)
    swung = rng.uniform(0.1, 0.8) * np.sin(turn + rng.uniform(0, 2 * np.pi))
    parent = swung - np.pi / 2 if rng.random() < 0.5 else np.full(24, rng.choice([-np.pi / 2, 0, np.pi / 2]))
    out = {"root": np.column_stack([place.real, place.imag]), "lengths": lengths, "period": rng.uniform(0.8, 1.25),
           "mass": mass, "stiffness": beyond * (2 * np.pi * swings) ** 2, "damping": 4 * np.pi * settles * swings * beyond,
           "rest": rest, "parent": parent}
    if rng.random() < 0.5 and air:
        out["air"] = rng.uniform(0, 0.3) * lengths
    if rng.random() < 0.5 and stops:
        out["stops"] = np.column_stack([rest - rng.uniform(0.5, 1.5, rods), rest + rng.uniform(0.5, 1.5, rods)])
    return out


def problem_of(turns=None, within=1e-5, **s):
    """Problem, turns and samples of a setting, from the arguments of `settled_loop`."""
    carrier = Carrier(*(s.pop(name, None) for name in ("root", "period", "parent", "harmonics")))
    return looping_problem(ChainSettings(**s), carrier, turns, within)


def beyond_joints(lengths, mass):
    """Inertia of what each joint carries, straight: rod by rod, by the parallel axis theorem."""
    out = []
    for k in range(len(lengths)):
        start = np.concatenate([[0], np.cumsum(lengths[k:])[:-1]])
        out.append(sum(m * ((s + length / 2) ** 2 + length**2 / 12) for s, length, m in zip(start, lengths[k:], mass[k:])))
    return np.array(out)
