"""What the pictures of the glossary show: one function a term, drawn from the ferry landing's own actions."""

from functools import cache

import numpy as np

from ...ferry import actions as scenario
from ...ferry.hanging import SCENES, scene_loop
from ...ferry.starts import fluttering
from ...ferry.stopping import stopped
from ...geometry.timing import slow_in_out
from ...measures.loops import extremes
from .sheet import AFTER, BEFORE, UNDER, Frame, Picture, dots, leaf, limb, line, loop, rings, word

FOREARM = np.radians(24)  # swung on, after it was shifted and traced


@cache
def _wave(drawings=16):
    return scenario.wave(drawings).limbs[0].drawings


def _swing(drawings=12):
    return scenario.lantern(drawings, swing=48.0).limbs[0].drawings


def _faulty(make, *more, **options):
    return make(scenario.wave(), *more, **options).limbs[0].drawings


def _shown(each, under=(), still=0, held=1):
    """One Frame for the marks of each drawing."""
    return Picture(tuple(Frame(tuple(marks), held) for marks in each), tuple(under), still)


def _numbered(drawings, numbers, under=(), still=0, held=1, clear=()):
    """A limb drawing by drawing, with the number of each above it, to the left; also of the points to be kept clear."""
    points = np.concatenate([drawings.reshape(-1, 2), np.reshape(clear, (-1, 2))])
    left, top = points[:, 0].min() - 6.0, points[:, 1].max() + 4.0
    return _shown([(limb(points), word(left, top, n)) for points, n in zip(drawings, numbers)], under, still, held)


def _paper(drawings, aside=(10.0, 10.0)):
    """Left, bottom, width and height of a sheet round some drawings."""
    low, high = drawings.min(axis=(0, 1)) - aside, drawings.max(axis=(0, 1)) + aside
    return (*low, *(high - low))


# ---- the stack -----------------------------------------------------------------------


def drawing():
    four = _wave()[[0, 3, 6, 9]]
    left, bottom, wide, high = _paper(four)
    return _shown([(limb(points), word(left + 8, bottom + high - 8, n)) for n, points in enumerate(four, 1)],
                  [leaf(left, bottom, wide, high, weight="plain")], held=4)


def stack():
    return Picture(tuple(Frame((leaf(6 * k, 9 * k, 110, 34, lean=34), word(-12, 9 * k + 4, k + 1)), 2, True) for k in range(6)), still=5)


def extreme():
    swing = _swing()
    ends = [limb(swing[d], "faint", BEFORE) for d in (0, 6)]
    names = [word(*swing[d, 1] - [0, 14], "extreme") for d in (0, 6)]
    return _shown([(limb(points),) for points in swing], [*ends, *names])


def breakdown():
    arm = _wave()
    first, last = extremes(arm[:, 3])
    half = (first + last) // 2
    named = [word(*arm[n - 1, 3] + [0, 8], n) for n in (first, last, half)]
    return Picture((Frame((limb(arm[first - 1], "plain", BEFORE), named[0]), 3, True),
                    Frame((limb(arm[last - 1], "plain", AFTER), named[1]), 3, True), Frame((limb(arm[half - 1]), named[2]), 6)), still=2)


def inbetween():
    arm = _wave()[[2, 3, 4]]
    named = [word(*tip + [-4, 7], n) for n, tip in enumerate(arm[:, 3], 3)]
    return Picture((Frame((limb(arm[0], "plain", BEFORE), limb(arm[2], "plain", AFTER), named[0], named[2]), 4, True),
                    Frame((limb(arm[1]), named[1]), 6)), still=1)


def _in_order(order):
    """A swing drawn in this order; what is drawn stays."""
    swing = _swing()[:7]
    named = [word(*points[1] + 0.13 * (points[1] - points[0]), n) for n, points in enumerate(swing, 1)]
    return Picture(tuple(frame for n in order for frame in (
        Frame((limb(swing[n], "faint"), named[n]), 0, True), Frame((limb(swing[n]),), 2))), still=2 * len(order) - 1)


def straight_ahead():
    return _in_order(range(7))


def pose_to_pose():
    return _in_order([0, 6, 3, 1, 2, 4, 5])


def loop_():
    return _numbered(_wave(8), range(1, 9))


def link_up():
    arm = _wave()
    four = arm[[14, 15, 0, 1]]
    return _numbered(four, (15, 16, 1, 2), [loop(arm[:, 3]), dots(four[:, 3])], 1, 2, arm[:, 3])


def half_stack():
    arm, order = _wave(8), [4, 5, 6, 7, 0, 1, 2, 3]
    x = np.linspace(arm[..., 0].min() - 30, arm[..., 0].max() + 30, 8)
    y = arm[..., 1].min() - 16
    return _shown([(limb(arm[n]), line((x[k] - 5, y - 7), (x[k] + 5, y - 7), weight="heavy")) for k, n in enumerate(order)],
                  [word(at, y, n + 1) for at, n in zip(x, order)], still=3, held=2)


# ---- timing and spacing --------------------------------------------------------------


def timing():
    slow, quick = (scenario.buoy(n, 20.0).limbs[0].drawings[:, 0] + [aside, 0] for n, aside in ((12, -30), (6, 30)))
    names = [word(118.5, 42, "12 drawings"), word(178.5, 42, "6 drawings")]
    return _shown([(rings(slow[d]), rings(quick[d % 6])) for d in range(12)], [dots(slow, "faint"), dots(quick, "faint"), *names])


def spacing():
    tip = _wave(12)[:, 3]
    return _shown([(rings(at),) for at in tip], [loop(tip), dots(tip)])


def _along(shares):
    row = np.stack([140.0 * np.asarray(shares), 0.0 * np.asarray(shares)], axis=-1)
    frames = [Frame((rings(at), word(at[0], 16, n)), 1) for n, at in enumerate(row, 1)]
    return Picture((*frames[:-1], Frame(frames[-1].marks, 4)), (line((0, 0), (140, 0), weight="faint"), dots(row)), 5)


def slow_in():
    return _along(np.sin(np.pi / 2 * np.linspace(0, 1, 8)))


def slow_out():
    return _along(1 - np.cos(np.pi / 2 * np.linspace(0, 1, 8)))


def timing_chart():
    x = 150.0 * slow_in_out(np.linspace(0, 1, 7))
    ticks = [line((at, -8), (at, 8)) for at in x]
    return _shown([(line((at, -8), (at, 8), weight="heavy"), word(at, 18, n)) for n, at in enumerate(x, 1)],
                  [line((0, 0), (150, 0)), *ticks, word(x[0], -18, 1), word(x[3], -18, 4), word(x[6], -18, 7)], held=2, still=3)


def _strip(exposure):
    """Eight frames, the number of the drawing in each, and the drawing that is seen."""
    swing = _swing(20) + [56.0, 80.0] - _swing(20)[0, 0]
    seen = [k // exposure for k in range(8)]
    cells = [leaf(14 * k, -34, 14, 14) for k in range(8)]
    return _shown([(limb(swing[1 + n * exposure]), line((14 * k + 2, -38), (14 * k + 12, -38), weight="heavy")) for k, n in enumerate(seen)],
                  [*cells, *(word(14 * k + 7, -27, n + 1) for k, n in enumerate(seen))], held=2)


def on_ones():
    return _strip(1)


def on_twos():
    return _strip(2)


def exposure_sheet():
    rows = [1, 1, 2, 2, 3, 3, 3, 3]
    boxes = [leaf(x, -9 * k, 32, 9) for k in range(8) for x in (0, 32)]
    words = [word(x, -9 * k + 4.5, text) for k, n in enumerate(rows) for x, text in ((16, k + 1), (48, n))]
    return _shown([(line((68, -9 * k + 4.5), (74, -9 * k + 4.5), weight="heavy"),) for k in range(8)],
                  [*boxes, *words, word(16, 14, "frame"), word(48, 14, "drawing")], held=2)


def hold():
    swing = _swing()[[3, 2, 1, 0, 11, 10, 9]]
    return Picture(tuple(Frame((limb(points),), 8 if d == 3 else 1) for d, points in enumerate(swing)), still=3)


def moving_hold():
    arm = _wave()[3:10].copy()
    arm[3:, :3] = arm[3, :3]  # from here on the arm rests, and the hand goes on as it did
    arm[3:, 3] = arm[3, 2] + (_wave()[6:10, 3] - _wave()[6:10, 2])
    return Picture(tuple(Frame((limb(points[:3], "plain"), limb(points[2:])), 1 if d < 3 else 2) for d, points in enumerate(arm)), still=4)


# ---- paths, and what follows ---------------------------------------------------------


def path_of_action():
    arm = _wave(8)
    return _shown([(limb(points, "faint"), rings(points[3])) for points in arm], [loop(arm[:, 3], "plain"), dots(arm[:, 3])])


def arc():
    swing = _swing()
    return _shown([(limb(points),) for points in swing[[0, 1, 2, 3, 4, 5, 6, 5, 4, 3, 2, 1]]],
                  [line(*swing[:7, 1]), dots(swing[:7, 1]), line(swing[0, 1], swing[6, 1], weight="faint", dash=BEFORE)], still=3)


def drag():
    return _shown([(limb(points[:3], "plain"), limb(points[2:])) for points in _wave(8)], still=2)


def follow_through():
    cloth = stopped(SCENES["pennant"], travel=5, after=9).action.limbs[0].drawings[2:]
    return _shown([(line((110, 20), points[0]), limb(points)) for points in cloth], still=7)


def overlap():
    late, alike = _wave(8) - [60.0, 0.0], scenario.all_together(8).limbs[0].drawings + [60.0, 0.0]
    y = late[..., 1].min() - 20
    names = [word(late[0, 0, 0], y, "overlap"), word(alike[0, 0, 0], y, "none")]
    return _shown([(limb(one), limb(other, "plain")) for one, other in zip(late, alike)], names)


def successive_joints():
    rope = scene_loop(SCENES["mooring rope"], drawings=12, parts=6).action.limbs[0].drawings
    turns = np.unwrap(np.angle(np.diff(rope[..., 0] + 1j * rope[..., 1], axis=1)), axis=0)
    bent = np.abs(np.diff(turns, axis=1)).argmax(axis=1) + 1
    return _shown([(limb(points, "plain"), dots(points[joint], "heavy")) for points, joint in zip(rope, bent)])


def opposition():
    return _shown([(limb(one), limb(other)) for one, other in zip(*(arm.drawings for arm in scenario.two_arms(8).limbs))])


def weightless_turn():
    return _shown([(limb(points[:3], "faint"), limb(points[2:])) for points in _wave()[5:10]], still=2, held=2)


def model_sheet():
    arm = _wave()[2]
    return _shown([(limb(arm[k:k + 2]), word(*arm[k:k + 2].mean(axis=0) + [32, 0], f"{mm:g} mm")) for k, mm in enumerate(scenario.ARM_LENGTHS)],
                  [limb(arm, "faint")], held=4)


def stop():
    arm = _wave()[0, :3, 0] + 1j * _wave()[0, :3, 1]
    tips = arm[1] + (arm[2] - arm[1]) * np.exp(1j * np.radians([0, 20, 40, 60, 60, 60, 40, 20, 0, 0]))
    poses = [np.stack([places.real, places.imag], axis=-1) for places in (np.array([arm[0], arm[1], tip]) for tip in tips)]
    return _shown([(limb(points),) for points in poses], [line(*poses[n][1:], weight="faint", dash=BEFORE) for n in (0, 3)], still=3)


# ---- at the table --------------------------------------------------------------------


def light_table():
    arm = _wave()
    left, bottom, wide, high = _paper(arm[2:5])
    return Picture((Frame((limb(arm[3]),), 6), Frame((limb(arm[2], "plain", BEFORE), limb(arm[4], "plain", AFTER), limb(arm[3])), 8)),
                   (leaf(left - 6, bottom - 6, wide + 12, high + 12, weight="plain"), leaf(left, bottom, wide, high)), still=1)


def onion_skin():
    arm = _wave(8)
    return _shown([(limb(arm[d - 1], "plain", BEFORE), limb(arm[(d + 1) % 8], "plain", AFTER), limb(arm[d])) for d in range(8)], held=2)


def flip():
    return _numbered(_wave()[[11, 12]], (12, 13), held=3)


def roll():
    order = [3, 4, 5, 6, 7, 6, 5, 4]
    return _numbered(_wave()[order], [n + 1 for n in order])


def pencil_test():
    arm = _wave(8)
    left, bottom, wide, high = _paper(arm, (24, 8))
    return _shown([(limb(points),) for points in arm],
                  [leaf(left - 5, bottom - 5, wide + 10, high + 10, weight="heavy"), leaf(left, bottom, wide, high)])


def shift_and_trace():
    arm = _wave()
    old, new = arm[9, :3], arm[11, :2]
    shifted = old + new[1] - old[1]
    (x, y), turn = shifted[2] - new[1], FOREARM
    swung = [new[1], new[1] + [np.cos(turn) * x + np.sin(turn) * y, np.cos(turn) * y - np.sin(turn) * x]]
    return Picture((Frame((limb(new),), 0, True), Frame((limb(old, "plain", BEFORE),), 5), Frame((limb(shifted, "plain", BEFORE),), 5),
                    Frame((limb(shifted[1:]),), 5), Frame((limb(shifted[1:], "plain", BEFORE), limb(swung)), 7)), still=4)


def under_drawing():
    loose = _wave(12)[:6]
    stiff = loose[:, 2] + 0.6 * (loose[:, 2] - loose[:, 1])
    return _shown([(limb(points, "plain", UNDER), limb([points[2], tip])) for points, tip in zip(loose, stiff)], held=2)


def ghost():
    locked = _faulty(scenario.traced_twice)[12]
    return Picture((Frame((limb(locked),), 5, True), Frame((limb(_wave()[12], "plain", BEFORE),), 7)), still=1)


# ---- what goes wrong -----------------------------------------------------------------


def lock():
    return _numbered(_faulty(scenario.traced_twice)[10:15], range(11, 16), still=2, held=2)


def scoop():
    arm = _faulty(scenario.scooped, drawing=13)[10:15]
    return _shown([(limb(points[:3], "plain"), limb(points[2:])) for points in arm], still=2, held=2)


def flutter():
    arm = _faulty(fluttering, 6.0)[4:11]
    return _numbered(arm, range(5, 12), [line(*arm[:, 2], weight="faint"), dots(arm[:, 2])])
