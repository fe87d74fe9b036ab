"""What the largest actions that are accepted cost: checked with every sentence and correction, laid on a light table, guided.

    OPENBLAS_NUM_THREADS=1 python tests/bench/bench_limits.py

Each in a process of its own, so that its memory is its own; beside it what is asked, 3 s of the processor and 300 MB. The
drawings are as wrong as can be, for a sound stack costs a hundredth of it.
"""

import argparse
import itertools
import json
import multiprocessing
import resource
import time
from concurrent.futures import ProcessPoolExecutor

import numpy as np

ASKED_SECONDS, ASKED_MB = 3.0, 300.0
# Drawings, joints, limbs: at the limits one by one, and all together at the limit of joints drawn in all.
SHAPES = [(240, 4, 3), (25, 120, 1), (240, 12, 1), (240, 6, 2), (125, 2, 12), (62, 24, 2), (10, 24, 12), (8, 120, 3), (62, 4, 12), (16, 4, 2)]


def scribble(rng, count, joints):
    return rng.uniform(-100, 100, (count, joints, 2))


def walk(rng, count, joints):
    return rng.normal(0, 3, (count, joints, 2)).cumsum(axis=0)


def shaky(rng, count, joints):
    return swung(rng, count, joints, 0.05)


def one_place(rng, count, joints):
    return np.zeros((count, joints, 2))


def together(rng, count, joints):
    """All parts turn at once: what waits is looked for in every part."""
    return swung(rng, count, joints, 0.0, later=0.0)


def swung(rng, count, joints, shake, later=0.3):
    turn = 2 * np.pi * np.arange(count) / count
    angle = 0.6 * np.sin(turn[:, None] - later * np.arange(joints - 1)) + rng.normal(0, shake, (count, joints - 1)) if shake else \
        0.6 * np.sin(turn[:, None] - later * np.arange(joints - 1))
    parts = 30.0 * np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    return np.concatenate([np.zeros((count, 1, 2)), parts.cumsum(axis=1)], axis=1)


def measure(shape, make, loop):
    from anim_lessons.assist.guide import guide
    from anim_lessons.course import terminal
    from anim_lessons.judging.brief import DEFAULT
    from anim_lessons.judging.judge import check
    from anim_lessons.light_table import LightTable
    from anim_lessons.model.action import Action, Limb

    count, joints, limbs = shape
    rng = np.random.default_rng(1)
    action = Action([Limb(f"limb {k}", [f"joint {i}" for i in range(joints)], np.full(joints - 1, 30.0),
                          np.tile([-170.0, 170.0], (joints - 1, 1)), make(rng, count, joints)) for k in range(limbs)], loop=loop)
    LightTable(Action([Limb("arm", ["a", "b"], [30.0], [[-90, 90]], swung(rng, 8, 2, 0.0))]))    # everything is loaded
    from scipy.interpolate import CubicSpline  # noqa: F401

    before, begun = peak(), time.process_time()
    verdict = check(action, DEFAULT)
    json.dumps(terminal.record("a", verdict))
    checked = time.process_time()
    LightTable(action)
    laid = time.process_time()
    longest = 0.0
    for joint, number in ((action.limbs[0].joints[1], 1), (action.limbs[-1].joints[-1], count // 2)):
        at = time.process_time()
        guide(action, action.limbs[0 if number == 1 else -1].name, joint, number, verdict=verdict).says  # noqa: B018
        longest = max(longest, time.process_time() - at)
    return len(verdict.findings), len(verdict.causes), checked - begun, laid - checked, longest, peak() - before


def peak():
    """MB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--only", help="one kind of drawings")
    kinds = [kind for kind in (scribble, walk, shaky, together, one_place) if kind.__name__ == (parser.parse_args().only or kind.__name__)]
    print("| drawings x joints x limbs | kind | findings | causes | checked, s | on the table, s | guided, s | MB |\n|---|---|---|---|---|---|---|---|")
    alone = ProcessPoolExecutor(1, multiprocessing.get_context("spawn"), max_tasks_per_child=1)
    worst = np.zeros(4)
    for shape, make, loop in itertools.product(SHAPES, kinds, (True, False)):
        found, causes, *costs = alone.submit(measure, shape, make, loop).result(timeout=100)
        worst = np.maximum(worst, costs)
        print(f"| {' x '.join(map(str, shape))} | {make.__name__}{'' if loop else ', no loop'} | {found} | {causes} | "
              + " | ".join(f"{cost:.2f}" for cost in costs[:3]) + f" | {costs[3]:.0f} |", flush=True)
    print(f"| most | | | | {' | '.join(f'{cost:.2f}' for cost in worst[:3])} | {worst[3]:.0f} |")
    print(f"| asked | | | | {ASKED_SECONDS:.0f} | {ASKED_SECONDS:.0f} | {ASKED_SECONDS:.0f} | {ASKED_MB:.0f} |")


if __name__ == "__main__":
    main()
