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

Time is counted in radians of the loop (2 pi: once round), and row i is divided by its
scale A_ii + I_i: every number then is near 1. Arrays have the shape (..., points, rods),
points being times; the axes in front are settings, and there are none for one setting alone.
"""

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from scipy.linalg.lapack import dgesv, dposv

STOP_EASE = 0.1  # radians over which a stop begins to push; with less than 0.05 Newton's method fails


@dataclass(frozen=True, eq=False)
class Rods:
    """A chain in the scaled numbers of the module; settings may stand in front of each shape."""

    mass: np.ndarray      # (..., 1, rods, rods): A, each row divided by its scale
    mass_t: np.ndarray    # (..., rods, rods): its transpose, for products from the right
    lift: np.ndarray      # (..., 1, rods): b
    inertia: np.ndarray   # (..., 1, rods): I
    springs: np.ndarray   # (..., rods, rods)
    dampers: np.ndarray   # (..., rods, rods): of the joints, and of turning in air
    rests: np.ndarray     # (..., 1, rods): torque of the springs at angles 0
    first: tuple          # stiffness and damping of the first joint, each (..., 1)
    weight: np.ndarray    # (..., 1): g
    scale: np.ndarray     # (..., rods): what each row was divided by
    air: tuple            # None, or arms divided by scale and arms, each (..., 1, rods, rods), drags
    #                       (..., 1, rods), wind (..., 1) complex, m a radian
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
        return replace(self, springs=self.springs * square, dampers=self.dampers * times,
                       rests=self.rests * square, first=(self.first[0] * square, self.first[1] * times),
                       weight=self.weight * square,
                       air=air, stops=stops)

    def damped(self, times):
        """The same chain with `times` the damping in its joints and in the air."""
        stops = self.stops and (*self.stops[:3], self.stops[3] * times)
        air = self.air and (self.air[0] * times, *self.air[1:])
        first = self.first[0], self.first[1] * times
        return replace(self, dampers=self.dampers * times, first=first, stops=stops, air=air)


def scaled_rods(settings, omega):
    """A chain in scaled numbers.

    Parameters
    ----------
    settings : ChainSettings
        As `parameters.checked` gives them.
    omega : ndarray, shape (...)
        Radians of the loop a second.
    """
    lengths, stiffness, damping = settings.lengths, settings.stiffness, settings.damping
    eye, to_bends, to_middles = _constants(lengths.shape[-1])
    coupled, lift = mass_coupling(lengths, settings.mass, settings.centre)
    scale = coupled.diagonal(0, -2, -1) + settings.inertia
    w = omega[..., None]
    by_speed = scale * w
    by_angle = by_speed * w
    springs = to_bends.T @ (stiffness[..., None] * to_bends) / by_angle[..., None]
    dampers = to_bends.T @ (damping[..., None] * to_bends)
    air = None
    if settings.air.any():
        turning = settings.air * lengths * lengths / 12.0  # drag of a rod that turns about its middle
        dampers = dampers + turning[..., None] * eye
        arms = lengths[..., None] * to_middles
        air = ((arms / by_speed[..., None])[..., None, :, :], arms[..., None, :, :],
               settings.air[..., None, :], (settings.wind / omega)[..., None])
    dampers = dampers / by_speed[..., None]
    rest_torque = (stiffness * settings.rest)[..., None, :] @ to_bends
    stops = None
    if settings.stops is not None:
        stops = tuple(np.broadcast_to(v, scale.shape)[..., None, :] for v in (
            settings.stops[..., 0], settings.stops[..., 1], settings.stop_stiffness / w**2,
            settings.stop_damping / w))
    mass = coupled / scale[..., None]
    first = (stiffness / by_angle)[..., :1], (damping / by_speed)[..., :1]
    return Rods(mass[..., None, :, :], mass.swapaxes(-1, -2).astype(complex), (lift / scale)[..., None, :],
                (settings.inertia / scale)[..., None, :], springs, dampers,
                rest_torque / -by_angle[..., None, :],
                first, (settings.gravity / omega**2)[..., None], scale, air, stops)


@lru_cache(maxsize=16)
def _constants(count):
    """For so many rods: the identity; angles -> bends; share of each rod's length in the place of each rod's
    middle."""
    eye = np.eye(count)
    return eye, eye - np.eye(count, k=-1), np.tri(count, k=-1).T + 0.5 * eye


def mass_coupling(lengths, mass, centre):
    """A (..., rods, rods) and b (..., rods) of the equations."""
    count = lengths.shape[-1]
    share = np.tri(count, k=-1) + centre[..., None] * np.eye(count)  # B
    arm = share * lengths[..., None, :]
    return np.swapaxes(arm, -1, -2) @ (mass[..., None] * arm), (mass[..., None, :] @ arm)[..., 0, :]


@dataclass(frozen=True, eq=False)
class Drive:
    """Motion of the joint and of the parent at given times; settings may stand in front."""

    speed: np.ndarray         # (..., points): p' of the joint, complex, m a radian
    acceleration: np.ndarray  # (..., points): p'', complex
    parent: np.ndarray        # (..., points): angle of the parent
    parent_speed: np.ndarray  # (..., points)


def forces(chain, drive):
    """The terms that do not depend on the chain's own motion, worked out once for the times of a drive.

    Returns the force on each rod (..., points, rods), complex, the springs' torque (..., points, rods), the
    flow of the air at the joint (..., points, 1) or None, parent's angle and speed (..., points).
    """
    pull = chain.lift * (drive.acceleration + 1j * chain.weight)[..., None]
    first = chain.first[0] * drive.parent + chain.first[1] * drive.parent_speed
    springs = chain.rests - first[..., None] * _constants(chain.scale.shape[-1])[0][0]
    flow = None if chain.air is None else (drive.speed - chain.air[3])[..., None]
    return pull, springs, flow, drive.parent, drive.parent_speed


def residual(chain, force, angle, speed, acceleration, jacobian=False):
    """R (..., points, rods); with `jacobian` also its derivatives by acceleration, speed and angle of each
    rod.

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
    if jacobian:
        by_acceleration, by_speed, by_angle = _jacobian(chain, z, speed, square, acceleration, turning.real)
    if flow is not None:
        row_arms, arms, drags, _ = chain.air
        relative = back[..., None, :] * z[..., :, None]  # direction of rod i against rod k
        lever, row_lever = arms * relative.real, row_arms * relative.real
        wind = back * flow
        broadside = wind.imag + (speed[..., None, :] @ lever)[..., 0, :]
        out = out + (row_lever @ (drags * broadside)[..., None])[..., 0]
        if jacobian:
            dragged = row_lever * drags[..., None, :]
            by_speed += dragged @ lever.swapaxes(-1, -2)
            sine, row_sine = arms * relative.imag, row_arms * relative.imag
            broadside_by_angle = -(sine * speed[..., None]).swapaxes(-1, -2)
            _diagonal(broadside_by_angle)[...] += (speed[..., None, :] @ sine)[..., 0, :] - wind.real
            drag = drags * broadside
            by_angle += dragged @ broadside_by_angle + row_sine * drag[..., None, :]
            _diagonal(by_angle)[...] -= (row_sine @ drag[..., None])[..., 0]
    if chain.stops is not None:
        torque, by_bend, by_bending = _stops(chain.stops, angle, speed, parent, parent_speed)
        scale = chain.scale[..., None, :]
        out = out + _rod_torque(torque) / scale
        if jacobian:
            to_bends = _constants(angle.shape[-1])[1]
            by_angle += to_bends.T @ (by_bend[..., None] * to_bends) / scale[..., None]
            by_speed += to_bends.T @ (by_bending[..., None] * to_bends) / scale[..., None]
    return (out, (by_acceleration, by_speed, by_angle)) if jacobian else out


def _jacobian(chain, z, speed, square, acceleration, turning):
    """(M, G, K) of weight, springs and dampers; the times lie next to one another in memory, for there are
    many."""
    z, speed, square, acceleration = (np.ascontiguousarray(v.swapaxes(-1, -2)) for v
                                      in (z, speed, square, acceleration))
    coupled = z.conj()[..., :, None, :] * z[..., None, :, :]
    coupled *= chain.mass[..., 0, :, :, None]
    cosine, sine = coupled.real, coupled.imag
    by_speed = sine * (-2.0 * speed)[..., None, :, :]
    by_speed += chain.dampers[..., None]
    by_angle = chain.springs[..., None] - cosine * square[..., None, :, :]
    by_angle -= sine * acceleration[..., None, :, :]
    by_acceleration, by_speed, by_angle = (
        v.swapaxes(-1, -2).swapaxes(-2, -3) for v in (cosine.copy(), by_speed, by_angle))
    _diagonal(by_acceleration)[...] += chain.inertia
    _diagonal(by_angle)[...] -= turning
    return by_acceleration, by_speed, by_angle


def _diagonal(matrices):
    """The diagonals, as a view that can be written to."""
    return np.einsum("...ii->...i", matrices)


def _stops(stops, angle, speed, parent, parent_speed):
    """Torque of soft stops, and its derivatives by bend and by bending speed."""
    least, greatest, stiffness, damping = stops
    bend, bending = _bends(angle, parent), _bends(speed, parent_speed)
    up, up_slope, up_curve = _ramp(bend - greatest)
    down, down_slope, down_curve = _ramp(least - bend)
    contact = up_slope + down_slope
    torque = stiffness * (up - down) + damping * contact * bending
    return torque, stiffness * contact + damping * (up_curve - down_curve) * bending, damping * contact


def _ramp(y):
    """A ramp with a round corner, 0 before a stop and y behind it: h = (y + sqrt(y^2 + ease^2)) / 2, h',
    h''."""
    root = np.sqrt(y * y + STOP_EASE**2)
    slope = 0.5 * (1.0 + y / root)
    return 0.5 * (y + root), slope, 0.5 * STOP_EASE**2 / root**3


def _bends(angle, parent):
    out = angle.copy()
    out[..., 1:] -= angle[..., :-1]
    out[..., 0] -= parent
    return out


def _rod_torque(torque):
    """Torque on each rod: that of its own joint less that of the joint it carries."""
    out = torque.copy()
    out[..., :-1] -= torque[..., 1:]
    return out


def static_pose(chain, force):
    """A first guess of the pose in which the chain hangs still, (..., rods): a minimum of energy, without the
    stops.

    `force` is of one time: (..., 1, rods). Newton's method begins at the rest of the springs and takes only
    steps that lower the energy, so it does not end at an unstable balance.
    """
    pull, springs = force[0].imag[..., 0, :], force[1][..., 0, :]
    scale = chain.scale
    stiffness = chain.springs * scale[..., None]
    eye = _constants(scale.shape[-1])[0]
    weight, springs = pull * scale, springs * scale
    size = np.abs(weight).max(-1, keepdims=True) + np.abs(stiffness).max((-2, -1))[..., None] + 1e-12
    # 0.05 rad beside the rest of the springs, for the rest may be an unstable balance.
    angle = _solved(stiffness + 1e-9 * size[..., None] * eye, -springs) + 0.05
    for _ in range(40):
        gradient = weight * np.cos(angle) + (stiffness @ angle[..., None])[..., 0] + springs
        step = _descent(stiffness, -weight * np.sin(angle), 1e-3 * size, gradient)
        step = np.maximum(np.minimum(step, 0.8), -0.8)
        angle = angle - step
        if np.abs(step).max() < 0.02:
            break
    return angle


def _descent(stiffness, weight, least, gradient):
    """Newton's step for the Hessian `stiffness` + diagonal `weight`, (..., rods). Where that is not positive
    definite the sizes of `weight` stand for it."""
    eye = _constants(gradient.shape[-1])[0]
    if gradient.ndim == 1:
        _, step, indefinite = dposv(stiffness + (weight + least) * eye, gradient)
        if not indefinite:
            return step
    return _solved(stiffness + (np.abs(weight) + least)[..., None] * eye, gradient)


def _solved(matrix, right):
    """Solution of matrix x = right, (..., rods)."""
    if matrix.ndim == 2:
        return dgesv(matrix, right)[2]
    return np.linalg.solve(matrix, right[..., None])[..., 0]
