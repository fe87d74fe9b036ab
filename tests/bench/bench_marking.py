"""How long a class takes: python tests/bench/bench_marking.py [MOST]

Hand-ins of one folder, no two alike, a tenth with a fault, from the folder to results.json, results.csv and class.html: in one process, in two, and on a
cluster of two workers that is started for it; then a page for each of the smaller classes; and beside it one hand-in by nbval, in a
kernel of its own. Sizes are 100, 1,000 and so on up to MOST (10,000 unless given). Each run is a process of its own, of which the largest
memory is told; seconds are those of the clock, so that a busy machine slows all of them.

    python tests/bench/bench_marking.py beside OTHER [COUNT]

holds this code against that of another folder, in one process: COUNT hand-ins (2,000 unless given), then pages, by turns, so that a busy
machine slows both.
"""

import json
import os
import re
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from statistics import median

import numpy as np

TESTS = Path(__file__).resolve().parents[1]
sys.path.insert(0, str(TESTS))

import homework
import invented_class

from anim_lessons.course.hand_ins.mark import given, mark
from anim_lessons.ferry import actions
from anim_lessons.ferry.actions import wave
from anim_lessons.model import action_file

SIZES = (100, 1_000, 10_000, 100_000)
PAGES = 1_500       # so many have pages in this trial
HOW = ("one process", "two processes", "cluster of two")
AIM, AIM_PAGES = 1_500, 150     # a second and core
SEED = 20261130
TURN = 1.5          # degrees at most, either way, by which a hand-in's arm is turned about its shoulder: so no two are alike
ROUNDS = 7          # of each code where two are held against each other


def lay_out(folder, count):
    kinds = [wave(), wave(20), actions.loose_wave(), wave(24), actions.traced_twice(wave()), wave(12), wave(18), wave(22), wave(14), wave(16, drag=20.0)]
    for number, turn in enumerate(np.radians(np.random.default_rng(SEED).uniform(-TURN, TURN, count))):
        action = kinds[number % 10]
        drawings = action.limbs[0].drawings
        turned = (drawings - drawings[:, :1]) @ [[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]] + drawings[:, :1]
        (folder / f"{number:06}").mkdir()
        (folder / f"{number:06}" / invented_class.FILE).write_bytes(action_file.dumps(action.redrawn(turned.round(3))))


def most_memory():
    """The most that this process has held, MB; what the system tells first is inherited from the process that began it."""
    status = Path("/proc/self/status")
    if status.exists():
        return int(re.search(r"VmHWM:\s*(\d+)", status.read_text())[1]) / 1024
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def once(how, folder, out, pages):
    """One run in this process; seconds, of which so many of the processor, and MB."""
    options = {"one process": {"processes": 1}, "two processes": {"processes": 2}}.get(how) or {"cluster": how}
    begun, used = time.monotonic(), time.process_time()
    mark(folder, out, given("6"), pages=pages, **options)
    print(json.dumps([time.monotonic() - begun, time.process_time() - used, most_memory()]))


def measured(how, folder, pages=False, code=None):
    """What `once` says in a process of its own; `code` is the folder whose anim_lessons does it, this one unless given."""
    with tempfile.TemporaryDirectory() as out:
        words = [sys.executable, __file__, "once", how, str(folder), out, "pages" if pages else ""]
        path = os.pathsep.join(filter(None, [code, *sys.path]))
        return json.loads(subprocess.run(words, capture_output=True, text=True, check=True, env={**os.environ, "PYTHONPATH": path}).stdout)


def beside(other, count=2_000):
    for what, many, pages in (("hand-ins", count, False), ("with pages", PAGES, True)):
        with tempfile.TemporaryDirectory() as folder:
            lay_out(Path(folder), many)
            codes = str(TESTS.parent), str(Path(other).resolve())
            took = [[measured(HOW[0], folder, pages, code)[1] for code in codes] for _ in range(ROUNDS)]
        for name, seconds in zip(("this code", "the other"), zip(*took)):
            print(f"{many:7} {what}, {name:14} {many / min(seconds):5.0f} a second of the processor at best, {many / median(seconds):5.0f} in the middle")
        print(f"        the other takes {median(there / here for here, there in took):.2f} times as long", flush=True)


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
    elif sys.argv[1:2] == ["beside"]:
        beside(sys.argv[2], *map(int, sys.argv[3:]))
    else:
        main(*map(int, sys.argv[1:]))
