"""How long it takes to say where a joint may go: 720 angles, every rule, against the same rules put to all 720 loops.

    python tests/bench/bench_guide.py
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

ROUNDS = 300


def main():
    rng = np.random.default_rng(20261125)
    angles = (np.arange(CANDIDATES) + 0.5) * (360.0 / CANDIDATES)
    tried, whole, sentences = [], [], []
    for _ in range(ROUNDS):
        made = loops.loop(rng)
        action = loops.action(made, made.clean())
        joint, number = loops.ARM[rng.integers(1, 4)], int(rng.integers(1, made.n + 1))
        begun = time.process_time()
        limb, j, d = _place(action, "arm", joint, number)
        Trial(action, limb, j, d, DEFAULT).round_circle(angles)
        tried.append(time.process_time() - begun)
        begun = time.process_time()
        guide(action, "arm", joint, number)
        sentences.append(time.process_time() - begun)
        begun = time.process_time()
        points = np.repeat(limb.drawings[None], CANDIDATES, axis=0)
        centre, turn = limb.drawings[d, j - 1], np.radians(angles)
        target = centre + limb.lengths[j - 1] * np.stack([np.cos(turn), np.sin(turn)], axis=-1)
        points[:, d, j:] += (target - points[:, d, j])[:, None]
        flagged(Measures(points, limb.lengths, limb.stops, action.exposures.tolist()), DEFAULT)
        whole.append(time.process_time() - begun)
    for name, times in (("720 angles, every rule", tried), ("with sentences and parts of the circle", sentences),
                        ("the same rules put to 720 whole loops", whole)):
        low, middle, high = np.percentile(times, [5, 50, 95]) * 1e3
        print(f"{name:40s} median {middle:6.2f} ms   5 % {low:6.2f}   95 % {high:6.2f}")
    print(f"{'ratio of the medians':40s} {np.median(whole) / np.median(tried):6.1f}")


if __name__ == "__main__":
    main()
