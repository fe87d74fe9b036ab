"""How long the check takes: python tests/bench/bench_check.py

One loop and many, against what they must keep to; a machine under load is slower in all of it, so each
time is also given as a multiple of sorting 20,000 numbers in the same run.
"""
import timeit

import numpy as np

from anim_lessons.ferry.actions import traced_twice, wave
from anim_lessons.judging.judge import check, kept
from anim_lessons.light_table import desk
from anim_lessons.light_table.answer import Answer
from anim_lessons.model import action_file


def median(work, times=60):
    """Median time of one call, ms."""
    work()
    return 1e3 * float(np.median(timeit.repeat(work, number=1, repeat=times)))


def main():
    clean, faulty = wave(24), traced_twice(wave(24))
    limb = clean.limbs[0]
    rng = np.random.default_rng(1)
    many = limb.drawings + rng.normal(scale=0.2, size=(1000, *limb.drawings.shape))
    data = action_file.dumps(clean)
    numbers = rng.normal(size=20_000)
    unit = median(lambda: np.sort(numbers))
    rows = [
        ("whole check, 24 drawings x 4 joints, clean", median(lambda: check(clean)), 0.5),
        ("whole check, one fault with what follows from it", median(lambda: check(faulty)), None),
        ("a loop in a batch of 1,000", median(lambda: kept(many, limb.lengths, limb.stops), 10) / 1000, 0.05),
        ("what the light table answers a move, one fault", median(lambda: desk.judged(Answer(faulty), 1)), None),
        ("reading an action file", median(lambda: action_file.loads(data)), None),
        ("writing an action file", median(lambda: action_file.dumps(clean)), None),
    ]
    print(f"{'':52}{'ms':>9}{'at most':>9}{'x unit':>9}    (unit: {unit:.3f} ms)")
    for name, ms, most in rows:
        print(f"{name:52}{ms:9.3f}{'' if most is None else most:>9}{ms / unit:9.1f}")


if __name__ == "__main__":
    main()
