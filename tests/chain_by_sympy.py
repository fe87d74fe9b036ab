"""Equations of motion of a chain of rods by Kane's method, from sympy.physics.mechanics.

Shares no code with anim_lessons: bodies, points and frames are given to sympy, which derives
the equations. The air's force on a rod is put in at its middle, as in a text on drag.
"""
from functools import cache

import numpy as np
import sympy as sp
from scipy.integrate import solve_ivp
from sympy.physics.mechanics import KanesMethod, Point, ReferenceFrame, RigidBody, dynamicsymbols, inertia


@cache
def derived(count):
    """Function (angles, speeds, drive, parameters) -> mass matrix, forcing, of so many rods."""
    t = dynamicsymbols._t
    q, u = dynamicsymbols(f"q:{count}"), dynamicsymbols(f"u:{count}")
    px, py, phi = dynamicsymbols("px py phi")
    names = "l m k c r a D I"  # length, mass, stiffness, damping, rest, centre, air, inertia
    each = {name: sp.symbols(f"{name}:{count}") for name in names.split()}
    g = sp.Symbol("g")
    paper, origin = ReferenceFrame("paper"), Point("O")
    origin.set_vel(paper, 0)
    joint = origin.locatenew("P", px * paper.x + py * paper.y)
    joint.set_vel(paper, px.diff(t) * paper.x + py.diff(t) * paper.y)
    frames, bodies, loads = [], [], []
    for i in range(count):
        frame = paper.orientnew(f"A{i}", "Axis", [q[i], paper.z])
        frame.set_ang_vel(paper, u[i] * paper.z)
        heart = joint.locatenew(f"C{i}", each["a"][i] * each["l"][i] * frame.x)
        middle = joint.locatenew(f"M{i}", each["l"][i] / 2 * frame.x)
        tip = joint.locatenew(f"T{i}", each["l"][i] * frame.x)
        for point in (heart, middle, tip):
            point.v2pt_theory(joint, paper, frame)
        bodies.append(RigidBody(f"B{i}", heart, frame, each["m"][i],
                                (inertia(frame, 0, 0, each["I"][i]), heart)))
        loads.append((heart, -each["m"][i] * g * paper.y))
        drag = each["D"][i]
        loads.append((middle, -drag * middle.vel(paper).dot(frame.y) * frame.y))
        loads.append((frame, -drag * each["l"][i] ** 2 / 12 * u[i] * paper.z))
        before, running = (q[i - 1], u[i - 1]) if i else (phi, phi.diff(t))
        torque = -each["k"][i] * (q[i] - before - each["r"][i]) - each["c"][i] * (u[i] - running)
        loads.append((frame, torque * paper.z))
        if i:
            loads.append((frames[-1], -torque * paper.z))
        frames.append(frame)
        joint = tip
    method = KanesMethod(paper, q, u, kd_eqs=[a.diff(t) - b for a, b in zip(q, u)])
    method.kanes_equations(bodies, loads)
    plain = sp.symbols("ax ay vx vy angle spin")
    swap = [(px.diff(t, 2), plain[0]), (py.diff(t, 2), plain[1]), (px.diff(t), plain[2]), (py.diff(t), plain[3]),
            (phi.diff(t), plain[5]), (phi, plain[4])]
    q_plain, u_plain = sp.symbols(f"q:{count}"), sp.symbols(f"u:{count}")
    swap += [*zip(u, u_plain), *zip(q, q_plain)]
    mass, forcing = method.mass_matrix.subs(swap), method.forcing.subs(swap)
    parameters = [s for group in each.values() for s in group] + [g]
    return sp.lambdify([q_plain, u_plain, plain, parameters], [mass, forcing], cse=True)


class ByKane:
    """The same set-up as one of `settled_loop`, by sympy; the drive from numpy's FFT of the samples."""

    def __init__(self, root, lengths, period, mass, stiffness, damping, rest, gravity=9.80665, parent=None, air=0.0,
                 centre=0.5, inertia=None):
        lengths = np.asarray(lengths, float)
        self.count, self.period = len(lengths), period
        one = np.ones(self.count)
        inertia = np.asarray(mass) * lengths**2 / 12 if inertia is None else np.asarray(inertia)
        self.parameters = np.concatenate([lengths, one * mass, one * stiffness, one * damping, one * rest, one * centre,
                                          one * air, one * inertia, [gravity]])
        root = np.asarray(root, float)
        samples = len(root)
        parent = np.zeros(samples) if parent is None else np.asarray(parent, float)
        self.waves = np.fft.rfft(np.column_stack([root, parent]), axis=0) / samples
        self.waves[1:] *= 2.0
        if samples % 2 == 0:
            self.waves[-1] /= 2.0
        self.equations = derived(self.count)

    def drive(self, t):
        turn = 2j * np.pi / self.period * np.arange(len(self.waves))
        wave = np.exp(turn * t)[:, None] * self.waves
        value, speed, acceleration = (np.real((wave * turn[:, None] ** d).sum(0)) for d in range(3))
        return *acceleration[:2], *speed[:2], value[2], speed[2]

    def accelerations(self, t, angle, speed):
        mass, forcing = self.equations(angle, speed, self.drive(t), self.parameters)
        return np.linalg.solve(np.asarray(mass, float), np.asarray(forcing, float).ravel())

    def run(self, angle, speed, times, **options):
        """Angles and speeds, each (times, rods), by scipy's solve_ivp from times[0]."""
        def slope(t, state):
            q, u = np.split(state, 2)
            return np.concatenate([u, self.accelerations(t, q, u)])
        options = {"method": "DOP853", "rtol": 1e-10, "atol": 1e-10} | options
        answer = solve_ivp(slope, (times[0], times[-1]), np.concatenate([angle, speed]), t_eval=times, **options)
        assert answer.success, answer.message
        return np.split(answer.y.T, 2, axis=1)


def slopes(angles, period):
    """Speeds and accelerations of a loop of angles (samples, rods) that makes no turns, by numpy's FFT."""
    samples = len(angles)
    wave = np.fft.rfft(angles, axis=0)
    turn = 2j * np.pi / period * np.arange(len(wave))[:, None]
    if samples % 2 == 0:
        wave[-1] = 0.0
    return (np.fft.irfft(wave * turn**d, samples, axis=0) for d in (1, 2))
