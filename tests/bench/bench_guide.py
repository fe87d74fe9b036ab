"""How long it takes to say where a joint may go: 720 angles, every rule, against the same rules put to all 720 loops.

    OPENBLAS_NUM_THREADS=1 python tests/bench/bench_guide.py

Each place is asked several times, as a hand that drags asks for it, and the three ways one after the other.
"""

import sys
import time
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

import loops

from anim_lessons.assist.guide import CANDIDATES, _place, guide
from anim_lessons.assist.guide_trial import Trial
from anim_lessons.judging.brief import DEFAULT
from anim_lessons.judging.flags import flagged
from anim_lessons.measures.loops import Measures

PLACES = 200
TIMES = 5
ANGLES = (np.arange(CANDIDATES) + 0.5) * (360.0 / CANDIDATES)


def tried(action, joint, number):
    limb, j, d = _place(action, "arm", joint, number)
    Trial(action, limb, j, d, DEFAULT).round_circle(ANGLES)


def told(action, joint, number):
    guide(action, "arm", joint, number)


def whole(action, joint, number):
    limb, j, d = _place(action, "arm", joint, number)
    points = np.repeat(limb.drawings[None], CANDIDATES, axis=0)
    centre, turn = limb.drawings[d, j - 1], np.radians(ANGLES)
    target = centre + limb.lengths[j - 1] * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
    points[:, d, j:] += (target - points[:, d, j])[:, None]
    flagged(Measures(points, limb.lengths, limb.stops, action.exposures.tolist()), DEFAULT)


def taken(way, places, times=TIMES):
    """Milliseconds of the processor that each asking takes."""
    found = []
    for place in places:
        for _ in range(times):
            begun = time.process_time()
            way(*place)
            found.append(1e3 * (time.process_time() - begun))
    return found


def main():
    rng = np.random.default_rng(20261125)
    places = []
    for _ in range(PLACES):
        made = loops.loop(rng)
        places.append((loops.action(made, made.clean()), loops.ARM[rng.integers(1, 4)], int(rng.integers(1, made.n + 1))))
    middles = {}
    for name, way, times in (("720 angles, every rule", tried, TIMES), ("with sentences and parts of the circle", told, TIMES),
                             ("the same rules put to 720 whole loops", whole, 1)):
        low, middles[way], high = np.percentile(taken(way, places, times), [5, 50, 95])
        print(f"{name:40s} median {middles[way]:6.2f} ms   5 % {low:6.2f}   95 % {high:6.2f}")
    print(f"{'ratio of the medians':40s} {middles[whole] / middles[tried]:6.1f}")


if __name__ == "__main__":
    main()
