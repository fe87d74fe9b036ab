"""How long a class takes: python tests/bench/bench_mark.py

Hand-ins of one folder, a tenth with a fault, from the folder to results.json, results.csv and class.html, on one core. Beside it the same
files read and judged alone, in the same run, so that a busy machine slows both.
"""

import sys
import tempfile
import time
import tracemalloc
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))
import invented_class

from anim_lessons.course.hand_ins.collecting import entries
from anim_lessons.course.hand_ins.mark import given, mark
from anim_lessons.ferry import actions
from anim_lessons.ferry.actions import wave
from anim_lessons.model import action_file

SIZES = (60, 500, 2_000)
AIM = 1_500     # hand-ins a second and core, sentences and reading included


def lay_out(folder, count):
    kinds = [wave(), wave(20), actions.loose_wave(), wave(24), actions.traced_twice(wave()), wave(12), wave(18), wave(22), wave(14), wave(16, drag=20.0)]
    made = [action_file.dumps(action) for action in kinds]
    for number in range(count):
        (folder / f"{number:05}").mkdir()
        (folder / f"{number:05}" / invented_class.FILE).write_bytes(made[number % 10])


def main():
    assignment = given("6")
    for count in SIZES:
        with tempfile.TemporaryDirectory() as top:
            folder, out = Path(top) / "in", Path(top) / "out"
            folder.mkdir()
            lay_out(folder, count)
            start = time.process_time()
            mark(folder, out, assignment)
            whole = time.process_time() - start
            start = time.process_time()
            read = sum(bool(action_file.loads(entry.data)) for entry in entries(folder))
            alone = time.process_time() - start
            tracemalloc.start()
            mark(folder, out, assignment)
            most = tracemalloc.get_traced_memory()[1]
            tracemalloc.stop()
            print(f"{read:6} hand-ins: {whole:6.2f} s, {count / whole:5.0f} a second (aim {AIM}); collecting and reading {alone:5.2f} s; "
                  f"at most {most / 1e6:.0f} MB held")


if __name__ == "__main__":
    main()
