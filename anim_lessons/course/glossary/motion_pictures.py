"""Pictures of "timing and spacing", "paths, and what follows" and "what goes wrong": one function a term."""

import numpy as np

from ...ferry import actions as scenario
from ...ferry.hanging import SCENES, scene_loop
from ...ferry.starts import fluttering
from ...ferry.stopping import stopped
from ...geometry.timing import slow_in_out
from .poses import faulty, numbered, shown, swing, wave
from .sheet import BEFORE, Frame, Picture, dots, leaf, limb, line, loop, path, rings, word

# ---- timing and spacing --------------------------------------------------------------


def timing():
    slow, quick = (
        scenario.buoy(n, 20.0).limbs[0].drawings[:, 0] + [aside, 0] for n, aside in ((12, -30), (6, 30))
    )
    names = [word(118.5, 42, "12 drawings"), word(178.5, 42, "6 drawings")]
    return shown(
        [(rings(slow[d]), rings(quick[d % 6])) for d in range(12)],
        [dots(slow, "faint"), dots(quick, "faint"), *names],
    )


def spacing():
    tip = wave(12)[:, 3]
    return shown([(rings(at),) for at in tip], [loop(tip), dots(tip)])


def _along(shares):
    row = np.stack([140.0 * np.asarray(shares), 0.0 * np.asarray(shares)], axis=-1)
    frames = [Frame((rings(at), word(at[0], 16, n)), 1) for n, at in enumerate(row, 1)]
    return Picture(
        (*frames[:-1], Frame(frames[-1].marks, 4)), (line((0, 0), (140, 0), weight="faint"), dots(row)), 5
    )


def slow_in():
    return _along(np.sin(np.pi / 2 * np.linspace(0, 1, 8)))


def slow_out():
    return _along(1 - np.cos(np.pi / 2 * np.linspace(0, 1, 8)))


def timing_chart():
    x = 150.0 * slow_in_out(np.linspace(0, 1, 7))
    ticks = [line((at, -8), (at, 8)) for at in x]
    return shown(
        [(line((at, -8), (at, 8), weight="heavy"), word(at, 18, n)) for n, at in enumerate(x, 1)],
        [line((0, 0), (150, 0)), *ticks, word(x[0], -18, 1), word(x[3], -18, 4), word(x[6], -18, 7)],
        held=2,
        still=3,
    )


def _strip(exposure):
    """Eight frames, the number of the drawing in each, and the drawing that is seen."""
    lamp = swing(20) + [56.0, 80.0] - swing(20)[0, 0]
    seen = [k // exposure for k in range(8)]
    cells = [leaf(14 * k, -34, 14, 14) for k in range(8)]
    return shown(
        [
            (limb(lamp[1 + n * exposure]), line((14 * k + 2, -38), (14 * k + 12, -38), weight="heavy"))
            for k, n in enumerate(seen)
        ],
        [*cells, *(word(14 * k + 7, -27, n + 1) for k, n in enumerate(seen))],
        held=2,
    )


def on_ones():
    return _strip(1)


def on_twos():
    return _strip(2)


def exposure_sheet():
    rows = [1, 1, 2, 2, 3, 3, 3, 3]
    boxes = [leaf(x, -9 * k, 32, 9) for k in range(8) for x in (0, 32)]
    words = [word(x, -9 * k + 4.5, text) for k, n in enumerate(rows) for x, text in ((16, k + 1), (48, n))]
    return shown(
        [(line((68, -9 * k + 4.5), (74, -9 * k + 4.5), weight="heavy"),) for k in range(8)],
        [*boxes, *words, word(16, 14, "frame"), word(48, 14, "drawing")],
        held=2,
    )


def hold():
    lamp = swing()[[3, 2, 1, 0, 11, 10, 9]]
    return Picture(
        tuple(Frame((limb(points),), 8 if d == 3 else 1) for d, points in enumerate(lamp)), still=3
    )


def moving_hold():
    arm = wave()[3:10].copy()
    arm[3:, :3] = arm[3, :3]  # from here on the arm rests, and the hand goes on as it did
    arm[3:, 3] = arm[3, 2] + (wave()[6:10, 3] - wave()[6:10, 2])
    return Picture(
        tuple(
            Frame((limb(points[:3], "plain"), limb(points[2:])), 1 if d < 3 else 2)
            for d, points in enumerate(arm)
        ),
        still=4,
    )


# ---- paths, and what follows ---------------------------------------------------------


def path_of_action():
    arm = wave(8)
    return shown(
        [(limb(points, "faint"), rings(points[3])) for points in arm],
        [loop(arm[:, 3], "plain"), dots(arm[:, 3])],
    )


def arc():
    lamp = swing()
    return shown(
        [(limb(points),) for points in lamp[[0, 1, 2, 3, 4, 5, 6, 5, 4, 3, 2, 1]]],
        [path(lamp[:7, 1]), dots(lamp[:7, 1]), line(lamp[0, 1], lamp[6, 1], weight="faint", dash=BEFORE)],
        still=3,
    )


def drag():
    return shown([(limb(points[:3], "plain"), limb(points[2:])) for points in wave(8)], still=2)


def follow_through():
    cloth = stopped(SCENES["pennant"], travel=5, after=9).action.limbs[0].drawings[2:]
    return shown([(line((110, 20), points[0]), limb(points)) for points in cloth], still=7)


def overlap():
    late, alike = wave(8) - [60.0, 0.0], scenario.all_together(8).limbs[0].drawings + [60.0, 0.0]
    y = late[..., 1].min() - 20
    names = [word(late[0, 0, 0], y, "overlap"), word(alike[0, 0, 0], y, "none")]
    return shown([(limb(one), limb(other, "plain")) for one, other in zip(late, alike)], names)


def successive_joints():
    rope = scene_loop(SCENES["mooring rope"], drawings=12, parts=6).action.limbs[0].drawings
    turns = np.unwrap(np.angle(np.diff(rope[..., 0] + 1j * rope[..., 1], axis=1)), axis=0)
    bent = np.abs(np.diff(turns, axis=1)).argmax(axis=1) + 1
    return shown([(limb(points, "plain"), dots(points[joint], "heavy")) for points, joint in zip(rope, bent)])


def opposition():
    return shown(
        [
            (limb(one), limb(other))
            for one, other in zip(*(arm.drawings for arm in scenario.two_arms(8).limbs))
        ]
    )


def weightless_turn():
    return shown([(limb(points[:3], "faint"), limb(points[2:])) for points in wave()[5:10]], still=2, held=2)


def model_sheet():
    arm = wave()[2]
    return shown(
        [
            (limb(arm[k : k + 2]), word(*arm[k : k + 2].mean(axis=0) + [32, 0], f"{mm:g} mm"))
            for k, mm in enumerate(scenario.ARM_LENGTHS)
        ],
        [limb(arm, "faint")],
        held=4,
    )


def stop():
    arm = wave()[0, :3, 0] + 1j * wave()[0, :3, 1]
    tips = arm[1] + (arm[2] - arm[1]) * np.exp(1j * np.radians([0, 20, 40, 60, 60, 60, 40, 20, 0, 0]))
    poses = [
        np.stack([places.real, places.imag], axis=-1)
        for places in (np.array([arm[0], arm[1], tip]) for tip in tips)
    ]
    return shown(
        [(limb(points),) for points in poses],
        [line(*poses[n][1:], weight="faint", dash=BEFORE) for n in (0, 3)],
        still=3,
    )


# ---- what goes wrong -----------------------------------------------------------------


def lock():
    return numbered(faulty(scenario.traced_twice)[10:15], range(11, 16), still=2, held=2)


def scoop():
    arm = faulty(scenario.scooped, drawing=13)[10:15]
    return shown([(limb(points[:3], "plain"), limb(points[2:])) for points in arm], still=2, held=2)


def flutter():
    arm = faulty(fluttering, 6.0)[4:11]
    return numbered(arm, range(5, 12), [path(arm[:, 2], "faint"), dots(arm[:, 2])])
