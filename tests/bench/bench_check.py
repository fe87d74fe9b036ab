"""How long the check takes: python tests/bench/bench_check.py

One loop and many, against what they must keep to; a machine under load is slower in all of it, so each
time is also given as a multiple of sorting 20,000 numbers in the same run.
"""
import tempfile
import timeit
from pathlib import Path

import numpy as np

from anim_lessons.assist.guide import guide, placed
from anim_lessons.course import terminal
from anim_lessons.ferry.actions import traced_twice, wave
from anim_lessons.geometry.limb import pose
from anim_lessons.judging.brief import DEFAULT
from anim_lessons.judging.files import judged
from anim_lessons.judging.judge import check, kept
from anim_lessons.light_table import desk
from anim_lessons.light_table.answer import Answer
from anim_lessons.model import action_file

FILES = 2000


def median(work, times=60):
    """Median time of one call, ms."""
    work()
    return 1e3 * float(np.median(timeit.repeat(work, number=1, repeat=times)))


def half_drawn():
    """An arm that was traced through 16 drawings, with its elbow placed on 8 of them: those drawings, and the start."""
    model = wave()
    limb = model.limbs[0]
    begun = start = model.redrawn(pose(limb.drawings[:, 0], limb.lengths, np.tile([72.0, 112.0, 112.0], (16, 1))).round(3))
    for number in range(1, 9):
        layer = Answer(begun, start=start).progress.layer("arm", "elbow", apart=number)
        begun = placed(begun, "arm", "elbow", number, guide(layer, "arm", "elbow", number).asked)
    return begun, start


def judge_files(paths):
    """As `anim-lessons check` does with many files, printing left out."""
    for one in judged(paths, DEFAULT):
        terminal.lines(one.path, one.verdict)


def main():
    begun, start = half_drawn()
    folder = tempfile.TemporaryDirectory()
    files = [Path(folder.name) / f"{i}.json" for i in range(FILES)]
    for i, path in enumerate(files):
        action = wave(24)
        path.write_bytes(action_file.dumps(action.redrawn(action.limbs[0].drawings + 0.01 * (i % 50))))
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
        ("an arm half drawn, plain check of the same drawings", median(lambda: check(begun)), None),
        ("an arm half drawn, verdict on what is drawn", median(lambda: Answer(begun, start=start).verdict), None),
        ("one fault, every sentence with its correction", median(lambda: [f.says for f in check(faulty).findings]), 20),
        (f"{FILES} files in one call, reading included, a file", median(lambda: judge_files(files), 3) / FILES, 0.5),
        ("reading an action file", median(lambda: action_file.loads(data)), None),
        ("writing an action file", median(lambda: action_file.dumps(clean)), None),
    ]
    print(f"{'':52}{'ms':>9}{'at most':>9}{'x unit':>9}    (unit: {unit:.3f} ms)")
    for name, ms, most in rows:
        print(f"{name:52}{ms:9.3f}{'' if most is None else most:>9}{ms / unit:9.1f}")


if __name__ == "__main__":
    main()
