"""Faults that no single drawing shows, put into the sound loops of `loops`: each gives an action, or None where a loop has no
place for it. Like `loops`, it asks no rule and no measure of anim_lessons.
"""

import numpy as np
from loops import ARM, action, jittered


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
    z = made._z(made.times, made.angles(made.times))
    arm = np.cumsum(lengths * np.exp(1j * np.radians(made.angles(made.times))), axis=-1)
    return action(made, made.sided(np.concatenate([z[:, :1], z[:, :1] + arm], axis=-1)))


def stick(made, rng):
    """All joints bend by a hundredth to a tenth of what carries them, and late, as soft wood does."""
    angle = made.angles(made.times)
    upper, late = angle[:, 0], made.angles(made.times - 3.0 / 24)[:, 0]
    share = rng.uniform(0.05, 0.1)
    # A part that turns by the mean of now and three drawings of 24 ago turns later, and bends by little.
    share *= 1.0 / (2.0 * np.sin(np.pi * 1.5 / 24))
    fore = (1 - share) * upper + share * late
    return made, np.stack([upper, fore + 20.0, (1 - share) * fore + share * np.roll(fore, 0) + 25.0], axis=-1)


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
