"""Pictures of the chapters "the stack" and "at the table": one function a term."""

import numpy as np

from ...ferry import actions as scenario
from ...measures.loops import extremes
from .poses import faulty, numbered, paper, shown, swing, wave
from .sheet import AFTER, BEFORE, UNDER, Frame, Picture, dots, leaf, limb, line, loop, word

FOREARM = np.radians(24)  # swung on, after it was shifted and traced


# ---- the stack -----------------------------------------------------------------------


def drawing():
    four = wave()[[0, 3, 6, 9]]
    left, bottom, wide, high = paper(four)
    return shown(
        [(limb(points), word(left + 8, bottom + high - 8, n)) for n, points in enumerate(four, 1)],
        [leaf(left, bottom, wide, high, weight="plain")],
        held=4,
    )


def stack():
    return Picture(
        tuple(
            Frame((leaf(6 * k, 9 * k, 110, 34, lean=34), word(-12, 9 * k + 4, k + 1)), 2, True)
            for k in range(6)
        ),
        still=5,
    )


def extreme():
    lamp = swing()
    ends = [limb(lamp[d], "faint", BEFORE) for d in (0, 6)]
    names = [word(*lamp[d, 1] - [0, 14], "extreme") for d in (0, 6)]
    return shown([(limb(points),) for points in lamp], [*ends, *names])


def breakdown():
    arm = wave()
    first, last = extremes(arm[:, 3])
    half = (first + last) // 2
    named = [word(*arm[n - 1, 3] + [0, 8], n) for n in (first, last, half)]
    return Picture(
        (
            Frame((limb(arm[first - 1], "plain", BEFORE), named[0]), 3, True),
            Frame((limb(arm[last - 1], "plain", AFTER), named[1]), 3, True),
            Frame((limb(arm[half - 1]), named[2]), 6),
        ),
        still=2,
    )


def inbetween():
    arm = wave()[[2, 3, 4]]
    named = [word(*tip + [-4, 7], n) for n, tip in enumerate(arm[:, 3], 3)]
    return Picture(
        (
            Frame((limb(arm[0], "plain", BEFORE), limb(arm[2], "plain", AFTER), named[0], named[2]), 4, True),
            Frame((limb(arm[1]), named[1]), 6),
        ),
        still=1,
    )


def _in_order(order):
    """A swing drawn in this order; what is drawn stays."""
    lamp = swing()[:7]
    named = [word(*points[1] + 0.13 * (points[1] - points[0]), n) for n, points in enumerate(lamp, 1)]
    return Picture(
        tuple(
            frame
            for n in order
            for frame in (Frame((limb(lamp[n], "faint"), named[n]), 0, True), Frame((limb(lamp[n]),), 2))
        ),
        still=2 * len(order) - 1,
    )


def straight_ahead():
    return _in_order(range(7))


def pose_to_pose():
    return _in_order([0, 6, 3, 1, 2, 4, 5])


def loop_():
    return numbered(wave(8), range(1, 9))


def link_up():
    arm = wave()
    four = arm[[14, 15, 0, 1]]
    return numbered(four, (15, 16, 1, 2), [loop(arm[:, 3]), dots(four[:, 3])], 1, 2, arm[:, 3])


def half_stack():
    arm, order = wave(8), [4, 5, 6, 7, 0, 1, 2, 3]
    x = np.linspace(arm[..., 0].min() - 30, arm[..., 0].max() + 30, 8)
    y = arm[..., 1].min() - 16
    return shown(
        [
            (limb(arm[n]), line((x[k] - 5, y - 7), (x[k] + 5, y - 7), weight="heavy"))
            for k, n in enumerate(order)
        ],
        [word(at, y, n + 1) for at, n in zip(x, order)],
        still=3,
        held=2,
    )


# ---- at the table --------------------------------------------------------------------


def light_table():
    arm = wave()
    left, bottom, wide, high = paper(arm[2:5])
    return Picture(
        (
            Frame((limb(arm[3]),), 6),
            Frame((limb(arm[2], "plain", BEFORE), limb(arm[4], "plain", AFTER), limb(arm[3])), 8),
        ),
        (leaf(left - 6, bottom - 6, wide + 12, high + 12, weight="plain"), leaf(left, bottom, wide, high)),
        still=1,
    )


def onion_skin():
    arm = wave(8)
    return shown(
        [
            (limb(arm[d - 1], "plain", BEFORE), limb(arm[(d + 1) % 8], "plain", AFTER), limb(arm[d]))
            for d in range(8)
        ],
        held=2,
    )


def flip():
    return numbered(wave()[[11, 12]], (12, 13), held=3)


def roll():
    order = [3, 4, 5, 6, 7, 6, 5, 4]
    return numbered(wave()[order], [n + 1 for n in order])


def pencil_test():
    arm = wave(8)
    left, bottom, wide, high = paper(arm, (24, 8))
    return shown(
        [(limb(points),) for points in arm],
        [leaf(left - 5, bottom - 5, wide + 10, high + 10, weight="heavy"), leaf(left, bottom, wide, high)],
    )


def shift_and_trace():
    arm = wave()
    old, new = arm[9, :3], arm[11, :2]
    shifted = old + new[1] - old[1]
    (x, y), turn = shifted[2] - new[1], FOREARM
    swung = [new[1], new[1] + [np.cos(turn) * x + np.sin(turn) * y, np.cos(turn) * y - np.sin(turn) * x]]
    return Picture(
        (
            Frame((limb(new),), 0, True),
            Frame((limb(old, "plain", BEFORE),), 5),
            Frame((limb(shifted, "plain", BEFORE),), 5),
            Frame((limb(shifted[1:]),), 5),
            Frame((limb(shifted[1:], "plain", BEFORE), limb(swung)), 7),
        ),
        still=4,
    )


def under_drawing():
    loose = wave(12)[:6]
    stiff = loose[:, 2] + 0.6 * (loose[:, 2] - loose[:, 1])
    return shown(
        [(limb(points, "plain", UNDER), limb([points[2], tip])) for points, tip in zip(loose, stiff)], held=2
    )


def ghost():
    locked = faulty(scenario.traced_twice)[12]
    return Picture((Frame((limb(locked),), 5, True), Frame((limb(wave()[12], "plain", BEFORE),), 7)), still=1)
