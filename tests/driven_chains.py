"""Chains as mechanics moves them: uniform rods that hang from each other, the first driven, springs and damping at the joints.

Lagrange's equations of the planar chain of rods, written here from the kinetic energy: with angles a from the downward line,
sum_j M_ij cos(a_i - a_j) a_j'' + M_ij sin(a_i - a_j) a_j'^2 = -G_i sin a_i + torques, where M_ij = l_i l_j (m_> + m/2 of the
outer rod) and M_ii = l_i^2 (m_i/3 + masses beyond), G_i = g l_i (m_i/2 + masses beyond); from memory.
"""

import numpy as np
from scipy.integrate import solve_ivp

GRAVITY = 9810.0    # mm/s^2
PERIODS = 14
SAMPLES = 480       # of the last period
PERIODIC = 0.3      # degrees by which the last two periods may differ
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


def chain(rng, loose):
    """Angles on the paper over one period, degrees (SAMPLES, parts), and lengths in mm; None where it comes to no period."""
    parts = int(rng.integers(2, 5))        # the first of them is driven
    lengths = rng.uniform(30, 60, parts)
    masses = lengths / 50.0 * np.linspace(1, rng.uniform(0.4, 1), parts)
    m, weight = matrices(lengths, masses)
    period = rng.uniform(0.7, 2.0)
    swing = np.radians(rng.uniform(12, 40))
    drive = 2 * np.pi / period
    # Each joint by its own: the weight beyond it, and the moment of inertia beyond it.
    stiff = weight[1:] * (rng.uniform(0.0, 0.3) if loose else rng.uniform(1.5, 5.0))
    damp = np.sqrt((weight[1:] + stiff) * np.diag(m)[1:]) * (rng.uniform(0.25, 0.5) if loose else rng.uniform(0.5, 0.9))

    def rates(t, y):
        a = np.concatenate([[swing * np.sin(drive * t)], y[:parts - 1]])
        w = np.concatenate([[swing * drive * np.cos(drive * t)], y[parts - 1:]])
        first = -swing * drive**2 * np.sin(drive * t)
        apart = a[:, None] - a
        mass = m * np.cos(apart)
        torque = -(m * np.sin(apart)) @ w**2 - weight * np.sin(a)
        joint = stiff * np.diff(a) + damp * np.diff(w)      # between each rod and the one before it
        torque[1:] -= joint
        torque[1:-1] += joint[1:]
        return np.concatenate([y[parts - 1:], np.linalg.solve(mass[1:, 1:], torque[1:] - mass[1:, 0] * first)])

    at = np.concatenate([np.linspace(k, k + 1, SAMPLES, endpoint=False) for k in (PERIODS - 2, PERIODS - 1)]) * period
    found = solve_ivp(rates, (0, PERIODS * period), np.zeros(2 * parts - 2), "RK45", at, rtol=1e-6, atol=1e-6)
    if not found.success:
        return None
    a = np.degrees(np.concatenate([swing * np.sin(drive * at)[None], found.y[:parts - 1]])).T
    one, last = a[:SAMPLES], a[SAMPLES:]
    if np.abs(last - one).max() > PERIODIC or np.abs(np.diff(last, axis=-1)).max() > LARGEST:
        return None
    return last - 90.0, lengths
