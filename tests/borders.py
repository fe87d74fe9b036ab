"""Faults as small as the rules find at all: each is put into a sound loop of `loops` at sizes round the least that is found.

A fault is a function of the loop, a generator and a size; by halving, the size is looked for from which on some rule is
broken, and the loop is drawn a little below it and a little above. This asks the rules where their borders are, and nothing else.
"""

import numpy as np
from loops import _below, _rebuilt, _step_of_bend, action, loop, two_limbs

from anim_lessons import check
from anim_lessons.judging.judge import kept

BESIDE = (0.999, 1.001, 1.02, 1.1)     # times the least that is found
HALVINGS = 14


def _in_swing(made, rng):
    tip = made.clean()[:, 3] @ [1, 1j]
    step = np.minimum(np.abs(tip - np.roll(tip, 1)), np.abs(np.roll(tip, -1) - tip))
    return int(rng.choice(np.flatnonzero(step > 0.6 * step.max())))


def length(made, rng):
    d, k, way = rng.integers(made.n), rng.integers(3), rng.choice([-1, 1])

    def put(size):
        lengths = np.tile(made.lengths, (made.n, 1))
        lengths[d, k] *= 1 + way * 0.1 * size
        return action(made, _rebuilt(made, made.angles(made.times), lengths))
    return put


def _displaced(across, alone):
    def fault(made, rng):
        points, j, d = made.clean(), rng.integers(1, 4), _in_swing(made, rng)
        chord = (points[(d + 1) % made.n, j] - points[d - 1, j]) @ [1, 1j]
        shift = rng.choice([-1, 1]) * chord / abs(chord) * (1j if across else 1) * 20.0

        def put(size):
            moved = shift * size
            return action(made, _below(points, d, j, [moved.real, moved.imag], not alone))
        return put
    return fault


def _turned(k):
    def fault(made, rng):
        angle, d, way = made.angles(made.times), _in_swing(made, rng), rng.choice([-1, 1])

        def put(size):
            turned = angle.copy()
            turned[d, k:] += way * 40.0 * size
            return action(made, _rebuilt(made, turned))
        return put
    return fault


def shifted(made, rng):
    points, d, way = made.clean(), rng.integers(made.n), np.exp(2j * np.pi * rng.random())

    def put(size):
        moved = points.copy()
        moved[d] += 10.0 * size * np.array([way.real, way.imag])
        return action(made, moved)
    return put


def lock(made, rng):
    bend, step = _step_of_bend(made, 1)
    d, angle = int(np.abs(step).argmax()), made.angles(made.times)

    def put(size):
        locked = angle.copy()
        locked[d, 1:] -= 1.5 * size * step[d]
        return action(made, _rebuilt(made, locked))
    return put


def past_stop(k):
    """A joint that bends more and more to one side all through the loop, until it comes past its stop at an extreme."""
    def fault(made, rng):
        angle, way = made.angles(made.times), rng.choice([-1, 1])
        bend = angle[:, k] - angle[:, k - 1]
        low, high = (0.0, 150.0) if k == 1 else (-88.0, 88.0)
        room = high - bend.max() if way > 0 else bend.min() - low

        def put(size):
            past = angle.copy()
            past[:, k:] += way * (room + 12.0) * size
            return action(made, _rebuilt(made, past))
        return put
    return fault


def leads(drawings):
    """The hand further and further ahead of the swing of the wrist, in so many drawings in a row."""
    def fault(made, rng):
        z = made._z(made.times, made.angles(made.times))
        speed = np.roll(z[:, 2], -1) - np.roll(z[:, 2], 1)
        across = (np.conj(z[:, 2] - z[:, 1]) * speed).imag
        d = int(np.abs(across).argmax())
        angle, rows = made.angles(made.times), (d + np.arange(drawings) - drawings // 2) % made.n

        def put(size):
            led = angle.copy()
            led[rows, 2] += size * (angle[rows, 1] - angle[rows, 2] + np.sign(across[d]) * 24.0)
            return action(made, _rebuilt(made, led))
        return put
    return fault


def leads_softly(made, rng):
    """The hand further and further ahead towards the middle of one stroke, so that its neighbours lead too."""
    z = made._z(made.times, made.angles(made.times))
    speed = np.roll(z[:, 2], -1) - np.roll(z[:, 2], 1)
    across = (np.conj(z[:, 2] - z[:, 1]) * speed).imag
    angle, on = made.angles(made.times), np.clip(across / np.abs(across).max(), 0, None)

    def put(size):
        led = angle.copy()
        led[:, 2] += on * (angle[:, 1] - angle[:, 2] + 24.0) * size
        return action(made, _rebuilt(made, led))
    return put


def together(made, rng):
    """Hand and forearm nearer and nearer in time."""
    angle = made.angles(made.times)
    hand = angle[:, 2] - angle[:, 1]

    def put(size):
        near = angle.copy()
        near[:, 2] = angle[:, 1] + (1 - size) * hand
        return action(made, _rebuilt(made, near))
    return put


def drift(made, rng):
    angle, way = made.angles(made.times), rng.choice([-1, 1])

    def put(size):
        return action(made, _rebuilt(made, angle + np.linspace(-0.5, 0.5, made.n)[:, None] * way * 30.0 * size))
    return put


def breathes(made, rng):
    k, turn = rng.integers(3), rng.uniform(0, 2 * np.pi)

    def put(size):
        lengths = np.tile(made.lengths, (made.n, 1))
        lengths[:, k] *= 1 + 0.06 * size * np.sin(2 * np.pi * made.times + turn)
        return action(made, _rebuilt(made, made.angles(made.times), lengths))
    return put


def lingers(made, rng):
    x = 2 * np.pi * (made.times + made.start)
    return lambda size: action(made, made.points(made.times - size / 2 * np.sin(2 * x) / (2 * np.pi)))


def alike(made, rng):
    tip = made.fine[:, 3]
    gone = np.concatenate([[0], np.cumsum(np.hypot(*(np.roll(tip, -1, axis=0) - tip).T))])
    even = np.interp(np.arange(made.n) / made.n * gone[-1], gone, np.arange(len(gone)) / (len(gone) - 1))
    return lambda size: action(made, made.points((1 - size) * made.times + size * even))


def not_opposed(made, rng):
    way = rng.choice([-1, 1])
    return lambda size: two_limbs(made, 0.5 + way * 0.3 * size)


FAULTS = {
    "length": length, "off its arc": _displaced(True, False), "off its arc alone": _displaced(True, True),
    "out of its spacing": _displaced(False, False), "out of its spacing alone": _displaced(False, True),
    "upper arm turned": _turned(0), "forearm turned": _turned(1), "hand turned": _turned(2), "sheet shifted": shifted,
    "elbow locks": lock, "elbow past a stop": past_stop(1), "wrist past a stop": past_stop(2), "hand leads": leads(1),
    "hand leads in three": leads(3), "hand leads softly": leads_softly, "parts together": together, "loop drifts": drift,
    "lengths breathe": breathes, "lingers": lingers, "gaps alike": alike, "not opposed": not_opposed,
}


def _broken(action):
    if len(action.limbs) > 1:
        return bool(check(action).findings)
    limb = action.limbs[0]
    return not all(bool(one) for one in kept(limb.drawings, limb.lengths, limb.stops).values())


def at_the_border(kind, rng):
    """Actions drawn just below and just above the least size of a fault that is found, in a list; empty where none is."""
    put = FAULTS[kind](loop(rng), rng)
    low, high = 0.0, 1.0
    if not _broken(put(high)) or _broken(put(low)):
        return []
    for _ in range(HALVINGS):
        middle = (low + high) / 2.0
        low, high = (low, middle) if _broken(put(middle)) else (middle, high)
    return [put(min(high * by, 1.0)) for by in BESIDE]
