"""Faults that no single drawing shows, put into the sound loops of `loops`: each gives an action, or None where a loop has no
place for it. Like `loops`, it asks no rule and no measure of anim_lessons.
"""

import numpy as np
from loops import action, two_limbs


def lingering(made, rng):
    """Slow in mid-swing and quick round the turns of the upper arm, by 0.7 to 0.95 of its pace."""
    x = 2 * np.pi * (made.times + made.start)
    return action(made, made.points(made.times - rng.uniform(0.7, 0.95) / 2 * np.sin(2 * x) / (2 * np.pi)))


def held(made, rng):
    """A drawing in full swing held for 5 to 9 frames, all others for 2."""
    tip = made.clean()[:, 3] @ [1, 1j]
    step = np.abs(tip - np.roll(tip, 1))
    where = np.flatnonzero(np.minimum(step, np.roll(step, -1)) > 0.8 * step.max())
    if not len(where):
        return None
    exposure = [2] * made.n
    exposure[rng.choice(where)] = int(rng.integers(5, 10))
    return action(made, made.clean(), tuple(exposure))


def breathing(made, rng):
    """One part longer and shorter by 2.5 to 4.5 % over the loop."""
    k, turn = rng.integers(3), rng.uniform(0, 2 * np.pi)
    lengths = np.tile(made.lengths, (made.n, 1))
    lengths[:, k] *= 1 + rng.uniform(0.025, 0.045) * np.sin(2 * np.pi * made.times + turn)
    return _drawn(made, made.angles(made.times), lengths)


def stick(made, rng):
    """All joints bend by an eighth or a seventh of what carries them, each most as its carrier is fastest, as soft wood does."""
    share, hair = rng.uniform(0.12, 0.16), 1e-4

    def later(angle):
        return lambda at: angle(at) - share * (angle(at + hair) - angle(at - hair)) / (4.0 * np.pi * hair)

    def upper(at):
        return made.angles(at)[:, 0]

    fore = later(upper)
    hand = later(fore)
    return _drawn(made, np.stack([upper(made.times), fore(made.times) + 20.0, hand(made.times) + 20.0], axis=-1), made.lengths)


def _drawn(made, angle, lengths):
    z = made._z(made.times, angle)
    arm = np.cumsum(lengths * np.exp(1j * np.radians(angle)), axis=-1)
    return action(made, made.sided(np.concatenate([z[:, :1], z[:, :1] + arm], axis=-1)))


def strobing(made, rng):
    """Every third or fourth drawing of a wide swing: 8 left of it, gaps up to the arm's own length."""
    at = np.arange(8) / 8
    tip = made.points(at)[:, 3]
    gap = np.hypot(*(tip - np.roll(tip, 1, axis=0)).T)
    return action(made, made.points(at)) if gap.max() > 0.75 * made.lengths.sum() else None


def off_sheet(made, rng):
    """Moved so far that some joint is 3 to 40 mm outside an edge of the paper."""
    points = framed(made.clean())
    if points is None:
        return None
    by = rng.uniform(3, 40)
    side = rng.integers(4)
    axis, low, high = side % 2, points.min(axis=(0, 1)), points.max(axis=(0, 1))
    shift = -low[axis] - by if side < 2 else [297.0, 210.0][axis] - high[axis] + by
    points = points.copy()
    points[..., axis] += shift
    return action(made, points)


def framed(points):
    """The same drawings in the middle of the sheet, or None where they do not fit on it."""
    low, high = points.min(axis=(0, 1)), points.max(axis=(0, 1))
    if ((high - low) > [297.0, 210.0]).any():
        return None
    return points + np.array([148.5, 105.0]) - (low + high) / 2


def unlike_in_size(made, rng, late):
    """Two arms, the far one drawn at 0.55 to 0.85 of the size of the near one, `late` turns behind."""
    both = two_limbs(made, late)
    near, far = both.limbs
    size = rng.uniform(0.55, 0.85)
    return both.replace(limbs=(near, type(far)(far.name, far.joints, size * far.lengths, far.stops, size * far.drawings)))


def reaching(rng, kind):
    """An arm of two parts whose end is led along a path by reaching for it: "eight", "wipe" or "round"; or None where the
    path is out of reach, or the arm turns round and round. Law of cosines."""
    from anim_lessons.model.action import Action, Limb

    n, lengths = int(rng.integers(12, 33)), np.array([58.0, 53.0]) * rng.uniform(0.8, 1.3)
    x, far = 2 * np.pi * np.arange(n) / n + rng.uniform(0, 6), rng.uniform(0.3, 0.8) * 90.0
    flat = {"eight": rng.uniform(0.1, 0.35) * np.sin(2 * x), "wipe": 0.0 * x, "round": rng.uniform(0.1, 1.0) * np.sin(x)}[kind]
    end = (far * (np.cos(x) + 1j * flat) + 1j * rng.uniform(0.3, 0.75) * lengths.sum()) * np.exp(1j * rng.uniform(0, 2 * np.pi))
    away = np.abs(end)
    if away.max() > 0.97 * lengths.sum() or away.min() < abs(lengths[0] - lengths[1]) + 5.0:
        return None
    bend = np.arccos((away**2 - (lengths**2).sum()) / (2.0 * lengths.prod()))
    upper = np.angle(end) - np.arctan2(lengths[1] * np.sin(bend), lengths[0] + lengths[1] * np.cos(bend))
    elbow = lengths[0] * np.exp(1j * upper)
    points = np.stack([0 * end, elbow, end], axis=-1) + 148.0 + 105.0j
    stops = ((-360.0, 360.0), (-1.0, 179.0))
    return Action((Limb("arm", ("shoulder", "elbow", "hand"), lengths, stops, np.stack([points.real, points.imag], axis=-1)),))


KINDS = {   # what is put in, and the words by which it is found
    "lingering": (lingering, "lingers in mid-swing"), "held": (held, "stands still in full swing"),
    "breathing": (breathing, "breathes"), "stick": (stick, "like a stick"),
    "strobing": (strobing, "Put a drawing between"), "off the sheet": (off_sheet, "the sheet"),
}
