"""How long a class takes: python tests/bench/bench_marking.py [MOST]

Hand-ins of one folder, a tenth with a fault, from the folder to results.json, results.csv and class.html: in one process, in two, and on a
cluster of two workers that is started for it; then a page for each of the smaller classes; and beside it one hand-in by nbval, in a
kernel of its own. Sizes are 100, 1,000 and so on up to MOST (10,000 unless given). Each run is a process of its own, of which the largest
memory is told; seconds are those of the clock, so that a busy machine slows all of them.
"""

import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

TESTS = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(TESTS))

import homework
import invented_class

from anim_lessons.course.hand_ins.mark import given, mark
from anim_lessons.ferry import actions
from anim_lessons.ferry.actions import wave
from anim_lessons.model import action_file

SIZES = (100, 1_000, 10_000, 100_000)
PAGES = 300         # so many have pages in this trial
HOW = ("one process", "two processes", "cluster of two")
AIM, AIM_PAGES = 1_500, 150     # a second and core


def lay_out(folder, count):
    kinds = [wave(), wave(20), actions.loose_wave(), wave(24), actions.traced_twice(wave()), wave(12), wave(18), wave(22), wave(14), wave(16, drag=20.0)]
    made = [action_file.dumps(action) for action in kinds]
    for number in range(count):
        (folder / f"{number:06}").mkdir()
        (folder / f"{number:06}" / invented_class.FILE).write_bytes(made[number % 10])


def once(how, folder, out, pages):
    """One run in this process; seconds, of which so many of the processor, and MB."""
    options = {"one process": {"processes": 1}, "two processes": {"processes": 2}}.get(how) or {"cluster": how}
    begun, used = time.monotonic(), time.process_time()
    mark(folder, out, given("6"), pages=pages, **options)
    print(json.dumps([time.monotonic() - begun, time.process_time() - used, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024]))


def measured(how, folder, pages=False):
    with tempfile.TemporaryDirectory() as out:
        words = [sys.executable, __file__, "once", how, str(folder), out, "pages" if pages else ""]
        return json.loads(subprocess.run(words, capture_output=True, text=True, check=True).stdout)


def told(count, how, what, found, aim):
    long, used, most = found
    of = f", {count / used:5.0f} a second of the processor (aim {aim})" if how == "one process" else ""
    print(f"{count:7} {what}, {how:14} {long:7.1f} s, {count / long:5.0f} a second{of}; at most {most:.0f} MB in the first process", flush=True)


def main(most=10_000):
    from distributed import LocalCluster

    os.environ["PYTHONPATH"] = os.pathsep.join(filter(None, sys.path))
    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None, silence_logs=50) as cluster:
        for count in (size for size in SIZES if size <= most):
            with tempfile.TemporaryDirectory() as folder:
                lay_out(Path(folder), count)
                for how in HOW:
                    told(count, how, "hand-ins", measured(cluster.scheduler_address if how == HOW[2] else how, folder), AIM)
        with tempfile.TemporaryDirectory() as folder:
            lay_out(Path(folder), PAGES)
            for how in HOW:
                told(PAGES, how, "with pages", measured(cluster.scheduler_address if how == HOW[2] else how, folder, pages=True), AIM_PAGES)
    with tempfile.TemporaryDirectory() as folder:
        one = homework.lay_out(Path(folder) / "one", wave(), homework.NAME)
        begun = time.monotonic()
        homework.nbval(one)
        print(f"{1:7} hand-in by nbval, in a kernel    {time.monotonic() - begun:7.1f} s")


if __name__ == "__main__":
    if sys.argv[1:2] == ["once"]:
        once(sys.argv[2], sys.argv[3], sys.argv[4], bool(sys.argv[5]))
    else:
        main(*map(int, sys.argv[1:]))
