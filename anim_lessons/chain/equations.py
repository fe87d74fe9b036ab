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

import numpy as np

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
    below = np.tri(count, k=-1)  # rod k is carried by the whole of each rod before it
    coupled, lift = carried(lengths, mass, centre)
    rows = np.diagonal(coupled, axis1=-2, axis2=-1) + inertia
    bend = np.eye(count) - np.eye(count, k=-1)  # angles -> bends
    w = omega[..., None]
    scale, scaled = rows * w**2, rows * w
    springs = bend.T @ (stiffness[..., None] * bend) / scale[..., None]
    turned = air * lengths**2 / 12.0  # a rod that turns about its middle drags too
    dampers = (bend.T @ (damping[..., None] * bend) + turned[..., None] * np.eye(count)) / scaled[..., None]
    pull = (stiffness * rest)[..., None, :] @ bend
    arms = lengths[..., None] * np.swapaxes(below + 0.5 * np.eye(count), -1, -2)
    dragged = None
    if np.any(air):
        dragged = (arms / scaled[..., None])[..., None, :, :], arms[..., None, :, :], air[..., None, :], (wind / omega)[..., None]
    stopped = None
    if stops is not None:
        least, greatest = stops[..., 0], stops[..., 1]
        stopped = tuple(np.broadcast_to(v, rows.shape)[..., None, :] for v in (
            least, greatest, stop_stiffness / w**2, stop_damping / w))
    mass = coupled / rows[..., None]
    first = (stiffness / scale)[..., :1], (damping / scaled)[..., :1]
    return Rods(mass[..., None, :, :], np.swapaxes(mass, -1, -2).astype(complex), (lift / rows)[..., None, :],
                (inertia / rows)[..., None, :], springs, dampers, -pull / scale[..., None, :],
                first, (gravity / omega**2)[..., None], rows, dragged, stopped)


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
    springs = np.array(np.broadcast_to(chain.rests, pull.shape))
    springs[..., 0] -= first
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
    zdd = (1j * acceleration - speed**2) * z
    turning = z.conj() * (zdd @ chain.mass_t + pull)
    dampers, stiff = np.swapaxes(chain.dampers, -1, -2), np.swapaxes(chain.springs, -1, -2)
    out = turning.imag + chain.inertia * acceleration + speed @ dampers + angle @ stiff + springs
    if slopes:
        eye = np.eye(angle.shape[-1])
        across = z.conj()[..., :, None] * z[..., None, :]
        by_acceleration = chain.mass * across.real + (chain.inertia[..., None] * eye)
        by_speed = -2.0 * chain.mass * across.imag * speed[..., None, :] + chain.dampers[..., None, :, :]
        by_angle = (chain.mass * (z.conj()[..., :, None] * zdd[..., None, :]).real
                    - turning.real[..., None] * eye + chain.springs[..., None, :, :])
    if flow is not None:
        row_arms, arms, drags, _ = chain.air
        apart = z.conj()[..., None, :] * z[..., :, None]  # rod i seen from rod k
        lever, row_lever = arms * apart.real, row_arms * apart.real
        wind = z.conj() * flow
        broadside = wind.imag + (speed[..., None, :] @ lever)[..., 0, :]
        out = out + (row_lever @ (drags * broadside)[..., None])[..., 0]
        if slopes:
            dragged = row_lever * drags[..., None, :]
            by_speed = by_speed + dragged @ np.swapaxes(lever, -1, -2)
            swing, row_swing = arms * apart.imag, row_arms * apart.imag  # sines: rod i against rod k
            own = -wind.real + (speed[..., None, :] @ swing)[..., 0, :]
            by_broadside = own[..., None] * eye - np.swapaxes(swing * speed[..., None], -1, -2)
            force_k = drags * broadside
            by_angle = (by_angle + dragged @ by_broadside + row_swing * force_k[..., None, :]
                        - (row_swing @ force_k[..., None]) * eye)
    if chain.stops is not None:
        torque, by_bend, by_bending = _stops(chain.stops, angle, speed, parent, parent_speed)
        rows = chain.rows[..., None, :]
        out = out + _between(torque) / rows
        if slopes:
            count = angle.shape[-1]
            bend = np.eye(count) - np.eye(count, k=-1)
            by_angle = by_angle + bend.T @ (by_bend[..., None] * bend) / rows[..., None]
            by_speed = by_speed + bend.T @ (by_bending[..., None] * bend) / rows[..., None]
    return (out, (by_acceleration, by_speed, by_angle)) if slopes else out


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
    eye = np.eye(rows.shape[-1])
    weight, springs = pull * rows, springs * rows
    size = np.abs(weight).max(-1, keepdims=True) + np.abs(stiff).max((-2, -1))[..., None] + 1e-12
    # From the rest, a little aside, so that it falls from a balance.
    angle = np.linalg.solve(stiff + 1e-9 * size[..., None] * eye, -springs[..., None])[..., 0] + 0.05
    for _ in range(40):
        slope = weight * np.cos(angle) + (stiff @ angle[..., None])[..., 0] + springs
        curve = stiff + (np.abs(weight * np.sin(angle)) + 1e-3 * size)[..., None] * eye
        step = np.linalg.solve(curve, -slope[..., None])[..., 0]
        angle = angle + np.clip(step, -0.8, 0.8)
        if np.abs(step).max() < 0.02:
            break
    return angle
