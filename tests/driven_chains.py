"""Chains as mechanics moves them: uniform rods that hang from each other, the first driven, springs and damping at the joints.

Lagrange's equations of the planar chain of rods, written here from the kinetic energy: with angles a from the downward line,
sum_j M_ij cos(a_i - a_j) a_j'' + M_ij sin(a_i - a_j) a_j'^2 = -G_i sin a_i + torques, where M_ij = l_i l_j (m_> + m/2 of the
outer rod) and M_ii = l_i^2 (m_i/3 + masses beyond), G_i = g l_i (m_i/2 + masses beyond); from memory.
"""

import numpy as np
from scipy.integrate import solve_ivp

GRAVITY = 9810.0    # mm/s^2
PERIODS = 25        # at most, until it comes round to the same
SAMPLES = 480       # of a period
PERIODIC = 0.3      # degrees by which two periods may differ
LARGEST = 140.0     # degrees a joint bends


def matrices(lengths, masses):
    """M and G of the chain, arrays (parts, parts) and (parts,)."""
    n = len(lengths)
    beyond = np.array([masses[k + 1:].sum() for k in range(n)])
    m = np.empty((n, n))
    for i in range(n):
        for j in range(n):
            outer = max(i, j)
            m[i, j] = lengths[i] * lengths[j] * (masses[i] / 3 + beyond[i] if i == j else masses[outer] / 2 + beyond[outer])
    return m, GRAVITY * lengths * (masses / 2 + beyond)


def accelerations(m, weight, a, w, first, torque):
    """Of the parts after the first, rad/s^2: at angles a and speeds w (parts,), the first accelerated by `first`; `torque`
    (parts - 1,) is what acts on them beside their weight."""
    apart = a[:, None] - a
    mass = m * np.cos(apart)
    all_of = -(m * np.sin(apart)) @ w**2 - weight * np.sin(a)
    return np.linalg.solve(mass[1:, 1:], all_of[1:] + torque - mass[1:, 0] * first)


def chain(rng, loose):
    """Angles on the paper over one period, degrees (SAMPLES, parts), and lengths in mm; None where it comes to no period."""
    parts = int(rng.integers(2, 5))        # the first of them is driven
    lengths = rng.uniform(30, 60, parts)
    masses = lengths / 50.0 * np.linspace(1, rng.uniform(0.4, 1), parts)
    m, weight = matrices(lengths, masses)
    period = rng.uniform(0.4, 0.9) if loose else rng.uniform(0.5, 1.5)
    swing = np.radians(rng.uniform(12, 40))
    drive = 2 * np.pi / period
    # Each joint by its own: the weight beyond it, and the moment of inertia beyond it.
    stiff = weight[1:] * (rng.uniform(0.0, 0.3) if loose else rng.uniform(1.5, 5.0))
    own = np.sqrt((weight[1:] + stiff) * np.diag(m)[1:])
    damp = own * (rng.uniform(0.03, 0.15) if loose else rng.uniform(0.2, 0.6))
    air = own * rng.uniform(0.1, 0.4)      # slows each part by itself, the joints' damping what they bend by

    def rates(t, y):
        a = np.concatenate([[swing * np.sin(drive * t)], y[:parts - 1]])
        w = np.concatenate([[swing * drive * np.cos(drive * t)], y[parts - 1:]])
        first = -swing * drive**2 * np.sin(drive * t)
        joint = stiff * np.diff(a) + damp * np.diff(w)      # between each rod and the one before it
        torque = -joint - air * w[1:]
        torque[:-1] += joint[1:]
        return np.concatenate([y[parts - 1:], accelerations(m, weight, a, w, first, torque)])

    at, y, last = np.arange(SAMPLES + 1) / SAMPLES * period, np.zeros(2 * parts - 2), None
    for _ in range(PERIODS):
        found = solve_ivp(rates, (0, period), y, "RK45", at, rtol=1e-5, atol=1e-5)
        if not found.success:
            return None
        y = found.y[:, -1]
        a = np.degrees(np.concatenate([swing * np.sin(drive * at[:-1])[None], found.y[:parts - 1, :-1]])).T
        if np.abs(np.diff(a, axis=-1)).max() > LARGEST:
            return None
        if last is not None and np.abs(a - last).max() < PERIODIC:
            return a - 90.0, lengths
        last = a
    return None
