"""The equations of a chain of rods that hangs from a moving joint.

Angles on the paper, radians; z_j = exp(i angle_j) is the direction of rod j. With ' for the
time derivative, z_j'' = (i angle_j'' - angle_j'^2) z_j, and rod k is carried by all rods
before it:

    B_kj = 1 (j < k), centre_k (j = k), 0 otherwise
    A_ij = l_i l_j sum_k m_k B_ki B_kj        b_i = l_i sum_k m_k B_ki
    S_i  = sum_j A_ij z_j'' + b_i (p'' + i g)
    R_i  = Im(conj(z_i) S_i) + I_i angle_i'' + torque_i - torque_(i+1) + air_i = 0

p is the place of the joint, torque_k = stiffness x + damping x' + stops, and x is the bend
of rod k against the one before it less its rest. Own derivation.

Time is counted in radians of the loop (2 pi: once round), and row i is divided by
A_ii + I_i: every number then is near 1. All arrays may have settings in front: (...,
points, rods), and none where there is one setting alone.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from scipy.linalg.lapack import dgesv, dposv

EASE = 0.1  # radians over which a stop begins to push: softer than 0.05 the solver needs


@dataclass(frozen=True, eq=False)
class Rods:
    """A chain in scaled numbers: see the module. `settings` stand in front of each shape."""

    mass: np.ndarray      # (..., 1, rods, rods): A, each row divided
    mass_t: np.ndarray    # (..., rods, rods): its transpose, for products of rows
    lift: np.ndarray      # (..., 1, rods): b
    inertia: np.ndarray   # (..., 1, rods): I
    springs: np.ndarray   # (..., rods, rods)
    dampers: np.ndarray   # (..., rods, rods): of the joints, and of turning in air
    rests: np.ndarray     # (..., 1, rods): pull of the springs at angles 0
    first: tuple          # stiffness and damping of the first joint, each (..., 1)
    weight: np.ndarray    # (..., 1): g
    rows: np.ndarray      # (..., rods): what each row was divided by
    air: tuple            # None, or arms divided by rows and arms, each (..., 1, rods, rods), drags (..., 1, rods),
    #                       wind (..., 1) complex, m a radian
    stops: tuple          # None, or least, greatest, stiffness, damping, each (..., 1, rods)

    def chosen(self, which):
        """The settings at these places of the one axis in front."""
        def pick(value):
            if isinstance(value, tuple):
                return tuple(pick(v) for v in value)
            return None if value is None else value[which]
        return Rods(**{name: pick(value) for name, value in vars(self).items()})

    def slower(self, times):
        """The same chain where a loop takes `times` as long."""
        square = times * times
        air = self.air and (self.air[0] * times, *self.air[1:3], self.air[3] * times)
        stops = self.stops and (*self.stops[:2], self.stops[2] * square, self.stops[3] * times)
        return replace(self, springs=self.springs * square, dampers=self.dampers * times, rests=self.rests * square,
                       first=(self.first[0] * square, self.first[1] * times), weight=self.weight * square,
                       air=air, stops=stops)

    def damped(self, times):
        """The same chain with `times` the damping in its joints and in the air."""
        stops = self.stops and (*self.stops[:3], self.stops[3] * times)
        air = self.air and (self.air[0] * times, *self.air[1:])
        first = self.first[0], self.first[1] * times
        return replace(self, dampers=self.dampers * times, first=first, stops=stops, air=air)


def rods(omega, lengths, mass, stiffness, damping, rest, gravity, centre, inertia, air, wind, stops, stop_stiffness,
         stop_damping):
    """A chain from numbers in SI units, each (..., rods); omega, gravity (...); wind complex; stops (..., rods, 2) or None."""
    count = lengths.shape[-1]
    eye, bend, whole = _constants(count)
    coupled, lift = carried(lengths, mass, centre)
    rows = coupled.diagonal(0, -2, -1) + inertia
    w = omega[..., None]
    scaled = rows * w
    scale = scaled * w
    springs = bend.T @ (stiffness[..., None] * bend) / scale[..., None]
    dampers = bend.T @ (damping[..., None] * bend)
    dragged = None
    if air.any():
        turned = air * lengths * lengths / 12.0  # a rod that turns about its middle drags too
        dampers = dampers + turned[..., None] * eye
        arms = lengths[..., None] * whole
        dragged = (arms / scaled[..., None])[..., None, :, :], arms[..., None, :, :], air[..., None, :], (wind / omega)[..., None]
    dampers = dampers / scaled[..., None]
    pull = (stiffness * rest)[..., None, :] @ bend
    stopped = None
    if stops is not None:
        least, greatest = stops[..., 0], stops[..., 1]
        stopped = tuple(np.broadcast_to(v, rows.shape)[..., None, :] for v in (
            least, greatest, stop_stiffness / w**2, stop_damping / w))
    mass = coupled / rows[..., None]
    first = (stiffness / scale)[..., :1], (damping / scaled)[..., :1]
    return Rods(mass[..., None, :, :], mass.swapaxes(-1, -2).astype(complex), (lift / rows)[..., None, :],
                (inertia / rows)[..., None, :], springs, dampers, pull / -scale[..., None, :],
                first, (gravity / omega**2)[..., None], rows, dragged, stopped)


@lru_cache(maxsize=16)
def _constants(count):
    """For so many rods: 1 on the diagonal; angles -> bends; shares of each rod's length in where the middles stand."""
    eye = np.eye(count)
    return eye, eye - np.eye(count, k=-1), np.tri(count, k=-1).T + 0.5 * eye


def carried(lengths, mass, centre):
    """A (..., rods, rods) and b (..., rods) of the equations."""
    count = lengths.shape[-1]
    share = np.tri(count, k=-1) + centre[..., None] * np.eye(count)  # B
    arm = share * lengths[..., None, :]
    return np.swapaxes(arm, -1, -2) @ (mass[..., None] * arm), (mass[..., None, :] @ arm)[..., 0, :]


@dataclass(frozen=True, eq=False)
class Drive:
    """What moves the chain, at each of a row of times; settings may stand in front."""

    speed: np.ndarray         # (..., points): p' of the joint, complex, m a radian
    acceleration: np.ndarray  # (..., points): p'', complex
    parent: np.ndarray        # (..., points): angle of the parent
    parent_speed: np.ndarray  # (..., points)


def forces(chain, drive):
    """What does not depend on the chain's own motion, to be worked out once for a row of times.

    Returns the pull on each rod (..., points, rods), complex, the springs' pull (..., points, rods), the flow of the
    air at the joint (..., points, 1) or None, parent's angle and speed (..., points).
    """
    pull = chain.lift * (drive.acceleration + 1j * chain.weight)[..., None]
    first = chain.first[0] * drive.parent + chain.first[1] * drive.parent_speed
    springs = chain.rests - first[..., None] * _constants(chain.rows.shape[-1])[0][0]
    flow = None if chain.air is None else (drive.speed - chain.air[3])[..., None]
    return pull, springs, flow, drive.parent, drive.parent_speed


def residual(chain, force, angle, speed, acceleration, slopes=False):
    """R (..., points, rods); with `slopes` also how it changes with acceleration, speed and angle of each rod.

    Returns
    -------
    R, or R, (M, G, K) each (..., points, rods, rods)
    """
    pull, springs, flow, parent, parent_speed = force
    z = np.exp(1j * angle)
    back = z.conj()
    square = speed * speed
    turning = back * (((1j * acceleration - square) * z) @ chain.mass_t + pull)
    out = (turning.imag + chain.inertia * acceleration + springs
           + speed @ chain.dampers.swapaxes(-1, -2) + angle @ chain.springs.swapaxes(-1, -2))
    if slopes:
        by_acceleration, by_speed, by_angle = _slopes(chain, z, speed, square, acceleration, turning.real)
    if flow is not None:
        row_arms, arms, drags, _ = chain.air
        apart = back[..., None, :] * z[..., :, None]  # rod i seen from rod k
        lever, row_lever = arms * apart.real, row_arms * apart.real
        wind = back * flow
        broadside = wind.imag + (speed[..., None, :] @ lever)[..., 0, :]
        out = out + (row_lever @ (drags * broadside)[..., None])[..., 0]
        if slopes:
            dragged = row_lever * drags[..., None, :]
            by_speed += dragged @ lever.swapaxes(-1, -2)
            swing, row_swing = arms * apart.imag, row_arms * apart.imag  # sines: rod i against rod k
            by_broadside = -(swing * speed[..., None]).swapaxes(-1, -2)
            _diagonal(by_broadside)[...] += (speed[..., None, :] @ swing)[..., 0, :] - wind.real
            force_k = drags * broadside
            by_angle += dragged @ by_broadside + row_swing * force_k[..., None, :]
            _diagonal(by_angle)[...] -= (row_swing @ force_k[..., None])[..., 0]
    if chain.stops is not None:
        torque, by_bend, by_bending = _stops(chain.stops, angle, speed, parent, parent_speed)
        rows = chain.rows[..., None, :]
        out = out + _between(torque) / rows
        if slopes:
            bend = _constants(angle.shape[-1])[1]
            by_angle += bend.T @ (by_bend[..., None] * bend) / rows[..., None]
            by_speed += bend.T @ (by_bending[..., None] * bend) / rows[..., None]
    return (out, (by_acceleration, by_speed, by_angle)) if slopes else out


def _slopes(chain, z, speed, square, acceleration, turning):
    """(M, G, K) of weight, springs and dampers; laid out in memory by rods first, for rows of times are long."""
    z, speed, square, acceleration = (np.ascontiguousarray(v.swapaxes(-1, -2)) for v in (z, speed, square, acceleration))
    across = z.conj()[..., :, None, :] * z[..., None, :, :]
    across *= chain.mass[..., 0, :, :, None]
    even, odd = across.real, across.imag
    by_speed = odd * (-2.0 * speed)[..., None, :, :]
    by_speed += chain.dampers[..., None]
    by_angle = chain.springs[..., None] - even * square[..., None, :, :]
    by_angle -= odd * acceleration[..., None, :, :]
    by_acceleration, by_speed, by_angle = (
        v.swapaxes(-1, -2).swapaxes(-2, -3) for v in (even.copy(), by_speed, by_angle))
    _diagonal(by_acceleration)[...] += chain.inertia
    _diagonal(by_angle)[...] -= turning
    return by_acceleration, by_speed, by_angle


def _diagonal(matrices):
    """What stands on the diagonals, to be written to."""
    return np.einsum("...ii->...i", matrices)


def _stops(stops, angle, speed, parent, parent_speed):
    """Torque of soft stops, and its slopes by bend and by bending speed."""
    least, greatest, stiffness, damping = stops
    bend, bending = _bends(angle, parent), _bends(speed, parent_speed)
    up, up_slope, up_curve = _ramp(bend - greatest)
    down, down_slope, down_curve = _ramp(least - bend)
    torque = stiffness * (up - down) + damping * (up_slope + down_slope) * bending
    by_bend = stiffness * (up_slope + down_slope) + damping * (up_curve - down_curve) * bending
    return torque, by_bend, damping * (up_slope + down_slope)


def _ramp(y):
    """0 before a stop, y behind it, round at the corner: h = (y + sqrt(y^2 + ease^2)) / 2, h', h''."""
    root = np.sqrt(y * y + EASE**2)
    slope = 0.5 * (1.0 + y / root)
    return 0.5 * (y + root), slope, 0.5 * EASE**2 / root**3


def _bends(angle, parent):
    out = angle.copy()
    out[..., 1:] -= angle[..., :-1]
    out[..., 0] -= parent
    return out


def _between(torque):
    """Torque on each rod: that of its own joint less that of the joint it carries."""
    out = torque.copy()
    out[..., :-1] -= torque[..., 1:]
    return out


def still(chain, force):
    """The pose in which the chain hangs still, (..., rods): downhill from its rest, never up to a balance.

    `force` is of one time: (..., 1, rods). Stops are left out; it is only where a search begins.
    """
    pull, springs = force[0].imag[..., 0, :], force[1][..., 0, :]
    rows = chain.rows
    stiff = chain.springs * rows[..., None]
    eye = _constants(rows.shape[-1])[0]
    weight, springs = pull * rows, springs * rows
    size = np.abs(weight).max(-1, keepdims=True) + np.abs(stiff).max((-2, -1))[..., None] + 1e-12
    # From the rest, a little aside, so that it falls from a balance.
    angle = _solved(stiff + 1e-9 * size[..., None] * eye, -springs) + 0.05
    for _ in range(40):
        slope = weight * np.cos(angle) + (stiff @ angle[..., None])[..., 0] + springs
        step = np.maximum(np.minimum(_downhill(stiff, -weight * np.sin(angle), 1e-3 * size, slope), 0.8), -0.8)
        angle = angle - step
        if np.abs(step).max() < 0.02:
            break
    return angle


def _downhill(stiff, bent, least, slope):
    """Step to be taken back, (..., rods), where the slope is that of a valley, or of what is made into one."""
    eye = _constants(slope.shape[-1])[0]
    if slope.ndim == 1:
        _, step, hill = dposv(stiff + (bent + least) * eye, slope)
        if not hill:
            return step
    return _solved(stiff + (np.abs(bent) + least)[..., None] * eye, slope)


def _solved(matrix, right):
    """Solution of matrix x = right, (..., rods)."""
    if matrix.ndim == 2:
        return dgesv(matrix, right)[2]
    return np.linalg.solve(matrix, right[..., None])[..., 0]
