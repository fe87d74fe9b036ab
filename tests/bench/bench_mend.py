"""How well and how fast faults are mended, by kind of fault:

    OPENBLAS_NUM_THREADS=1 python tests/bench/bench_mend.py --loops 100 --seed 20261125

The loops are those of tests/loops.py; the seed is not one that anything was chosen by. Each is put before `check`
after it was mended. Sizes are sums over all joints of what moves, in mm: the change against the fault that was put
in, and what then still lies between the mended drawings and the sound ones. Where a fault has no sound drawings to
compare it with (a drawing left out) these stay empty. Beside the time by the clock stands the time the processor
spent, for on a shared machine the clock also counts what others do.
"""

import argparse
import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

import loops

from anim_lessons import check
from anim_lessons.assist.mend import mend

LOCAL = [kind for kind in loops.FAULTS if loops.FAULTS[kind][0] not in ("overlap", "link-up") and kind != "all gaps alike"]


def one_fault(kind, number, seed):
    """Loops with one fault of a kind: sound points, or None where there are none to compare with, and the action."""
    rng = np.random.default_rng([seed, sorted(loops.FAULTS).index(kind)])
    while number:
        made = loops.loop(rng)
        drawn = loops.FAULTS[kind][1](made, rng)
        if drawn is not None:
            number -= 1
            yield None if kind == "drawing missing at the seam" else made.clean(), loops.action(made, drawn[0])


def several(faults, number, seed):
    """Loops with so many faults, each in a drawing of its own."""
    rng = np.random.default_rng([seed, faults])
    for _ in range(number):
        made = loops.loop(rng)
        points, at = made.clean(), set()
        while len(at) < faults:
            drawn = loops.FAULTS[rng.choice(LOCAL)][1](made, rng)
            if drawn is not None and drawn[1][0] not in at:
                points = points + (drawn[0] - made.clean())
                at.add(drawn[1][0])
        yield made.clean(), loops.action(made, points)


def size(one, other):
    return np.linalg.norm(one - other, axis=-1).sum()


def row(name, cases):
    passed, moved, furthest, change, left, clock, processor, alike = 0, [], [], [], [], [], [], []
    cases = list(cases)
    for sound, action in cases:
        begun = time.perf_counter(), time.process_time()
        done = mend(action)
        clock.append(time.perf_counter() - begun[0])
        processor.append(time.process_time() - begun[1])
        passed += check(done.action).passed
        drawn, new = action.limbs[0].drawings, done.action.limbs[0].drawings
        moved.append(len(done.moves))
        furthest.append(max((move.mm for move in done.moves), default=0.0))
        here = [move.drawing - 1 for move in done.moves]
        rest = np.delete(np.arange(action.count), here)
        alike.append(drawn[rest].tobytes() == new[rest].tobytes())
        if sound is not None:
            change.append(size(new, drawn) / size(sound, drawn))
            left.append(size(new, sound) / size(sound, drawn))
    ratio = " | ".join(f"{np.median(values):.2f}" if values else "" for values in (change, left))
    time_in_ms = " | ".join(f"{1e3 * np.median(t):.0f} / {1e3 * np.quantile(t, 0.95):.0f}" for t in (processor, clock))
    print(f"| {name} | {len(cases)} | {passed / len(cases):.1%} | {np.mean(alike):.0%} | {np.median(moved):.0f} / {max(moved)} | "
          f"{np.median(furthest):.1f} | {ratio} | {time_in_ms} |", flush=True)
    return passed, len(cases), processor, clock


def main():
    asked = argparse.ArgumentParser(description="Faults mended, as a table in Markdown.")
    asked.add_argument("--loops", type=int, default=100, help="loops of each kind of fault")
    asked.add_argument("--seed", type=int, default=20261125)
    asked.add_argument("kinds", nargs="*", help="only these kinds of fault")
    given = asked.parse_args()
    print("| fault put in | loops | pass after | rest untouched | drawings moved, median / most | furthest joint, mm | change / fault "
          "| left / fault | ms of processor, median / p95 | ms by the clock |\n" + "|---" * 10 + "|")
    rows = [row(kind, one_fault(kind, given.loops, given.seed)) for kind in given.kinds or loops.FAULTS]
    passed, number, processor, clock = (sum(column[1:], column[0]) for column in zip(*rows))
    print(f"one fault: {passed / number:.2%} of {number} pass; ms median / p95 of the processor "
          f"{1e3 * np.median(processor):.0f} / {1e3 * np.quantile(processor, 0.95):.0f}, by the clock "
          f"{1e3 * np.median(clock):.0f} / {1e3 * np.quantile(clock, 0.95):.0f}\n")
    if not given.kinds:
        for faults in (2, 3):
            row(f"{faults} at once, each in a drawing of its own", several(faults, given.loops, given.seed))


if __name__ == "__main__":
    main()
