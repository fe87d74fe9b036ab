"""How long reading takes: python tests/bench/bench_read.py

Times are those of the processor, on one core. Beside each stands what json.loads of the Python library needs
for the same bytes, taken turn and turn about in the same run: on a busy machine both are slower, and the ratio
stays.
"""

import json
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from anim_lessons.ferry.actions import wave
from anim_lessons.ferry.looping_arm import looping_arm
from anim_lessons.model import action_file
from anim_lessons.model.action import Action, ActionError, Limb

FILES = 2_000  # in one call, a large school
AIM = 0.2  # ms a file of 24 drawings x 4 joints


def ms(*works, times=200):
    """Median milliseconds of each work, done turn and turn about."""
    took = [[] for _ in works]
    for _ in range(times):
        for mine, work in zip(took, works):
            start = time.thread_time()
            work()
            mine.append(time.thread_time() - start)
    return [1e3 * float(np.median(mine)) for mine in took]


def refusal(data):
    try:
        action_file.loads(data)
    except ActionError as error:
        return str(error)
    raise SystemExit("read what should be refused")


def quiet(data):
    """json.loads, or as far as it gets."""
    try:
        json.loads(data)
    except (ValueError, RecursionError):
        pass


def row(name, size, mine, theirs, more=""):
    print(f"{name:54}{size / 1e3:9.1f}{mine:10.3f}{theirs:12.3f}{mine / theirs:8.1f}   {more}")


def large(drawings, joints):
    rng = np.random.default_rng(1)
    names = tuple(f"joint {n}" for n in range(joints))
    limb = Limb(
        "rope",
        names,
        np.full(joints - 1, 5.0),
        np.tile([-90.0, 90.0], (joints - 1, 1)),
        rng.uniform(0, 200, (drawings, joints, 2)).round(3),
    )
    return Action((limb,))


def read_files():
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "wave.json"
        path.write_bytes(action_file.dumps(wave(24)))
        data = path.read_bytes()
        mine, theirs = ms(lambda: action_file.read(path), lambda: json.loads(path.read_bytes()), times=500)
        row("a file from the disk, 24 drawings x 4 joints", len(data), mine, theirs, f"(aim: {AIM} ms)")
        paths = []
        for number in range(FILES):
            paths.append(Path(folder) / f"{number}.json")
            paths[-1].write_bytes(data)
        start = time.thread_time()
        read = sum(isinstance(found, Action) for _, found in action_file.read_many(paths))
        mine = 1e3 * (time.thread_time() - start) / FILES
        start = time.thread_time()
        for each in paths:
            json.loads(each.read_bytes())
        row(
            f"each of {read} such files in one call",
            len(data),
            mine,
            1e3 * (time.thread_time() - start) / FILES,
            f"(aim: {AIM} ms)",
        )


def read_bytes():
    for name, action, times in (
        ("from memory, 24 drawings x 4 joints", wave(24), 500),
        ("with plan and lecture", looping_arm(), 200),
        ("200 drawings x 100 joints", large(200, 100), 10),
    ):
        data = action_file.dumps(action)
        row(
            name,
            len(data),
            *ms(lambda data=data: action_file.loads(data), lambda data=data: json.loads(data), times=times),
        )


def explain():
    good = action_file.dumps(wave(24))
    kinds = {
        "one key again and again": lambda n: good.replace(b'"rate": 24,', b'"rate": 24,' * (n // 11)),
        "keys nobody knows, each twice": lambda n: (
            b"{" + b",".join(b'"k%d":1' % (i % (n // 20)) for i in range(n // 10)) + b"}"
        ),
        "brackets within brackets": lambda n: b"[" * (n // 2) + b"]" * (n // 2),
        "brackets within brackets, as a title": lambda n: good.replace(
            b'"wave the boat in"', b"[" * (n // 2) + b"]" * (n // 2)
        ),
        "a text without end, quotes after backslashes": lambda n: b'{"title": "' + b'\\"' * (n // 2),
        "a drawing short at the end": lambda n: json.dumps(
            {
                **(it := action_file.document(large(n // 2000, 100))),
                "limbs": [{**it["limbs"][0], "drawings": [*it["limbs"][0]["drawings"], [[1]]]}],
            }
        ).encode(),
    }
    for name, made in kinds.items():
        half, whole = made(500_000), made(1_000_000)
        before, mine, theirs = ms(
            lambda half=half: refusal(half),
            lambda whole=whole: refusal(whole),
            lambda whole=whole: quiet(whole),
            times=5,
        )
        row(name, len(whole), mine, theirs, f"({mine / before:.1f} times the time of half of it)")


def main():
    print(f"{'':54}{'kB':>9}{'ms':>10}{'json.loads':>12}{'times':>8}")
    read_files()
    read_bytes()
    print("refused, and explained:")
    explain()


if __name__ == "__main__":
    sys.exit(main())
