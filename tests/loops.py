"""Loops and faults for the trial of the rules: many kinds of arm, clean or with one fault.

Shares no code with anim_lessons.scenario, whose demos the rules must not be tuned to. A clean
loop is made from smooth functions of time and accepted by what those functions do when sampled
finely (stops, lag, drag, uneven spacing), never by asking the rules under trial.
"""

import numpy as np

FINE = 480
ARM = ("shoulder", "elbow", "wrist", "fingertips")


class Loop:
    """Root, lengths, angles at any time, and the drawings made from them."""

    def __init__(self, rng, drawings):
        self.rng, self.n = rng, drawings
        self.side = rng.choice([-1, 1])
        size = rng.uniform(0.6, 1.6)
        self.lengths = size * np.array([58, 53, 34]) * rng.uniform(0.85, 1.15, 3)
        temper = rng.choice(["shy", "plain", "exaggerated"], p=[0.3, 0.4, 0.3])
        low, high = {"shy": (12, 24), "plain": (22, 40), "exaggerated": (38, 62)}[temper]
        self.swing = rng.uniform(low, high)
        self.elbow = rng.uniform(0.45, 1.1) * self.swing
        self.hover = rng.uniform(0.0, 0.35)
        self.lag = rng.uniform(1.2, 6.0) * np.pi / 12
        self.middle = rng.uniform(30, 110)
        self.elbow_middle = self.elbow + rng.uniform(4, 50)
        self.second = rng.uniform(0, 0.12, 2)
        self.turn = rng.uniform(0, 2 * np.pi, 6)
        self.root = rng.uniform(0, 8, 2) * size
        self.drag = rng.uniform(8, 20) + 0.35 * self.swing
        self.relax = rng.uniform(0.0, 1.6) * np.pi / 12
        self.start = rng.uniform(0, 1)
        at = np.arange(FINE) / FINE
        self._wave = None
        self._wave = self._swing_of_wrist(at)
        self.fine = self.points(at)
        self.stops = np.array([[-90.0, 260.0], [-2.0, 150.0], [-88.0, 88.0]])
        if self.side < 0:
            self.stops = -self.stops[:, ::-1] + [[180.0], [0.0], [0.0]]

    def angles(self, at):
        """Absolute angles at times in turns, degrees, (times, 3)."""
        x = 2 * np.pi * (np.asarray(at) + self.start)
        phase = x + self.hover * np.cos(x)
        upper = self.middle + self.swing * (np.sin(phase) + self.second[0] * np.sin(2 * x + self.turn[0]))
        late = phase - self.lag
        bend = self.elbow_middle + self.elbow * (np.sin(late) + self.second[1] * np.sin(2 * x + self.turn[1]))
        fore = upper + bend
        hand = fore - (0 if self._wave is None else self.drag * self._trail(at))
        return np.stack([upper, fore, hand], axis=-1)

    def _swing_of_wrist(self, at):
        z = self._z(at, self.angles(at))
        speed = np.roll(z[:, 2], -1) - np.roll(z[:, 2], 1)
        across = (np.conj(z[:, 2] - z[:, 1]) * speed).imag
        wave = np.fft.rfft(across)[:3] / len(at)
        wave[1:] *= 2
        wave[0] = 0
        return wave / max(np.abs(wave[1]), 1e-9)

    def _trail(self, at):
        at = np.asarray(at)
        late = at - self.relax / (2 * np.pi)
        return sum((w * np.exp(2j * np.pi * h * late)).real for h, w in enumerate(self._wave))

    def _z(self, at, angle):
        x = 2 * np.pi * (np.asarray(at) + self.start)
        root = self.root[0] * np.cos(x + self.turn[2]) + 1j * self.root[1] * np.cos(x + self.turn[3])
        arm = np.cumsum(self.lengths * np.exp(1j * np.radians(angle)), axis=-1)
        return np.concatenate([root[:, None], root[:, None] + arm], axis=-1)

    def points(self, at, angle=None, lengths=None):
        z = self._z(at, self.angles(at) if angle is None else angle)
        return self.sided(z)

    def sided(self, z):
        x = 150 + self.side * z.real
        return np.stack([x, 70 + z.imag], axis=-1)

    @property
    def times(self):
        return np.arange(self.n) / self.n

    def clean(self):
        return self.points(self.times)

    def sound(self):
        """True where the finely sampled movement is one that an instructor would pass."""
        at = np.arange(FINE) / FINE
        angle = self.angles(at)
        bend = np.diff(angle, axis=-1)
        if bend[:, 0].min() < 0 or bend[:, 0].max() > 148 or np.abs(bend[:, 1]).max() > 84:
            return False
        first = np.exp(-2j * np.pi * at) @ angle / FINE * 2
        lag = np.angle(first[:-1] * first[1:].conj()) * 12 / np.pi
        if lag.min() < 0.55 or np.abs(first).min() < 4:
            return False
        z = self._z(at, angle)
        gap = np.sort(np.abs(np.roll(z[:, 3], -1) - z[:, 3]))
        if gap[int(0.9 * FINE)] < 1.7 * gap[int(0.1 * FINE)]:
            return False
        speed = np.roll(z[:, 2], -1) - np.roll(z[:, 2], 1)
        across = (np.conj(z[:, 2] - z[:, 1]) * speed).imag
        strong = np.abs(across) > 0.4 * np.abs(across).max()
        return (np.sign(across) * bend[:, 1])[strong].max() < 3.0


def loop(rng, drawings=None):
    """One sound loop."""
    while True:
        made = Loop(rng, int(rng.integers(12, 33)) if drawings is None else drawings)
        if made.sound():
            return made


# ---- faults: each returns points and the numbers of the drawings at which it was put, or None ----


def _below(points, d, joint, shift, along=True):
    points = points.copy()
    points[d, joint:(None if along else joint + 1)] += shift
    return points


def _step_of_bend(made, k):
    angle = made.angles(made.times)
    bend = angle[:, k] - angle[:, k - 1]
    return bend, bend - np.roll(bend, 1)


def _inner(bend):
    low, high = bend.min(), bend.max()
    return (bend > low + 0.25 * (high - low)) & (bend < high - 0.25 * (high - low))


def _rebuilt(made, angle, lengths=None):
    lengths = np.tile(made.lengths, (made.n, 1)) if lengths is None else lengths
    z = made._z(made.times, made.angles(made.times))
    arm = np.cumsum(lengths * np.exp(1j * np.radians(angle)), axis=-1)
    return made.sided(np.concatenate([z[:, :1], z[:, :1] + arm], axis=-1))


def length_fault(made, rng):
    d, k = rng.integers(made.n), rng.integers(3)
    lengths = np.tile(made.lengths, (made.n, 1))
    by = max(rng.uniform(0.08, 0.25), 2.5 / made.lengths[k])
    lengths[d, k] *= 1 + rng.choice([-1, 1]) * by
    return _rebuilt(made, made.angles(made.times), lengths), (d + 1,)


def _displaced(made, rng, across, alone):
    points = made.clean()
    j, d = rng.integers(1, 4), rng.integers(made.n)
    z = points[:, j] @ [1, 1j]
    n = made.n
    gaps = np.abs([z[(d + s) % n] - z[(d + s - 1) % n] for s in (-1, 0, 1, 2)])
    chord = z[(d + 1) % n] - z[d - 1]
    if abs(chord) < 0.8 * gaps.mean():      # at a turn, along and across mean nothing
        return None
    size = max(rng.uniform(0.6, 1.1) * gaps.mean(), 4.0)
    shift = rng.choice([-1, 1]) * size * chord / abs(chord) * (1j if across else 1)
    return _below(points, d, j, [shift.real, shift.imag], not alone), (d + 1,)


def arc_fault(made, rng):
    return _displaced(made, rng, True, False)


def arc_fault_alone(made, rng):
    return _displaced(made, rng, True, True)


def spacing_fault(made, rng):
    return _displaced(made, rng, False, False)


def pose_early(made, rng):
    d = rng.integers(made.n)
    times = made.times.copy()
    times[d] += rng.choice([-1, 1]) * rng.uniform(0.65, 0.95) / made.n
    tip = made.clean()[:, 1]
    gap = np.hypot(*(tip[(d + 1) % made.n] - tip[d - 1]))
    return (made.points(times), (d + 1,)) if gap > 12 else None


def even_fault(made, rng):
    tip = made.fine[:, 3]
    gone = np.concatenate([[0], np.cumsum(np.hypot(*(np.roll(tip, -1, axis=0) - tip).T))])
    at = np.interp(np.arange(made.n) / made.n * gone[-1], gone, np.arange(FINE + 1) / FINE)
    return made.points(at), ()


def lock_fault(made, rng, part=1.0):
    bend, step = _step_of_bend(made, 1)
    where = np.flatnonzero(_inner(bend) & (np.abs(step) > 4))
    if not len(where):
        return None
    d = rng.choice(where)
    angle = made.angles(made.times)
    angle[d, 1:] -= part * step[d]
    return _rebuilt(made, angle), (d + 1,)


def close_fault(made, rng):
    return lock_fault(made, rng, rng.uniform(1.3, 1.8))


def stops_fault(made, rng):
    z = made._z(made.times, made.angles(made.times))
    step = z[:, 1] - np.roll(z[:, 1], 1)
    axis = np.sqrt((step**2).sum())
    on = (step * axis.conj()).real
    turn = on * np.roll(on, -1) <= 0
    near = turn | np.roll(turn, 1) | np.roll(turn, -1)
    where = np.flatnonzero(~near)
    if not len(where):
        return None
    d = rng.choice(where)
    angle = made.angles(made.times)
    past = -2 - rng.uniform(6, 25) if rng.random() < 0.7 else 150 + rng.uniform(6, 25)
    angle[d, 1:] += past - (angle[d, 1] - angle[d, 0])
    return _rebuilt(made, angle), (d + 1,)


def drag_fault(made, rng):
    z = made._z(made.times, made.angles(made.times))
    speed = np.roll(z[:, 2], -1) - np.roll(z[:, 2], 1)
    across = (np.conj(z[:, 2] - z[:, 1]) * speed).imag
    where = np.flatnonzero(np.abs(across) > 0.7 * np.abs(across).max())
    d = rng.choice(where)
    angle = made.angles(made.times)
    angle[d, 2] = angle[d, 1] + np.sign(across[d]) * rng.uniform(10, 32)
    return _rebuilt(made, angle), (d + 1,)


def together_fault(made, rng):
    angle = made.angles(made.times)
    if rng.random() < 0.5:
        angle[:, 2] = angle[:, 1] + rng.uniform(-10, 10)
    else:
        hand = angle[:, 2] - angle[:, 1]
        angle[:, 1] = made.elbow_middle + (1 + rng.uniform(0.3, 0.7)) * (angle[:, 0] - made.middle) + made.middle
        angle[:, 2] = angle[:, 1] + hand
    return _rebuilt(made, angle), ()


def early_fault(made, rng):
    angle = made.angles(made.times)
    ahead = made.angles(made.times + rng.uniform(1.0, 3.0) / 24)
    angle[:, 2] = ahead[:, 1] + rng.uniform(-5, 5)
    return _rebuilt(made, angle), ()


def drift_fault(made, rng):
    angle = made.angles(made.times)
    z = made._z(made.times, angle)
    gaps = np.abs(z - np.roll(z, 1, axis=0))[:, 1]
    local = (gaps[[-1, 0, 1, 2, -2]]).mean()
    by = np.degrees(max(rng.uniform(1.0, 1.8) * local, 4.5) / made.lengths[0]) * rng.choice([-1, 1])
    return _rebuilt(made, angle + np.linspace(-0.5, 0.5, made.n)[:, None] * by), (made.n, 1)


def dropped_fault(made, rng):
    """One drawing left out between last and first, so that the seam has a double step."""
    times = np.arange(made.n) / (made.n + 1)
    points = made.points(times)
    gap = np.hypot(*(points[0] - points[-1]).T)
    return (points, (made.n, 1)) if gap[1:].max() > 14 and gap[3] > 10 else None


FAULTS = {
    "part too long or short": ("length", length_fault),
    "joint off its arc": ("arc", arc_fault),
    "joint alone off its arc": ("arc", arc_fault_alone),
    "joint out of its spacing": ("spacing", spacing_fault),
    "whole drawing early or late": ("spacing", pose_early),
    "all gaps alike": ("spacing", even_fault),
    "elbow locks": ("opening", lock_fault),
    "elbow goes back": ("opening", close_fault),
    "elbow past its stop": ("stops", stops_fault),
    "hand scoops": ("drag", drag_fault),
    "parts turn together": ("overlap", together_fault),
    "hand turns first": ("overlap", early_fault),
    "loop drifts": ("link-up", drift_fault),
    "drawing missing at the seam": ("link-up", dropped_fault),
}


def action(made, points, exposure=2):
    from anim_lessons.model.action import Action, Limb
    return Action((Limb("arm", ARM, made.lengths, made.stops, points),), exposure=exposure)


def jittered(points, rng, mm=0.25):
    return points + rng.normal(0, mm, points.shape)


def two_limbs(made, late):
    """Two arms, the other one mirrored, `late` turns behind."""
    from anim_lessons.model.action import Action, Limb
    near = Limb("near arm", ARM, made.lengths, made.stops, made.clean())
    mirrored = made.points(made.times - late) * [-1, 1] + [300, 0]
    stops = -made.stops[:, ::-1] + [[180.0], [0.0], [0.0]]
    return Action((near, Limb("far arm", ARM, made.lengths, stops, mirrored)))
