"""A save killed at any moment: the file is whole and nothing acknowledged is lost.

The judge is the operating system: SIGKILL (POSIX.1-2017, signal.h: cannot be
caught), sent to a process of its own, before each single call a save makes
and at random moments of many saves. Power cuts are not tried here.

Run as a script, this file is that process; it prints one JSON line a kill.
"""

import json
import os
import random
import select
import signal
import struct
import subprocess
import sys
import time
from pathlib import Path

import pytest

from anim_lessons.storage.store import Store

CALLS = ["open", "write", "fsync", "close", "fchmod", "mkdir", "link", "replace", "rename", "unlink"]
OLD, NEW, THEIRS = b"old" * 800, b"new" * 800, b"theirs" * 400


def rows(driver, *args):
    """What this file prints when it is run as `driver` in a process of its own."""
    env = os.environ | {"PYTHONPATH": str(Path(__file__).parents[1])}
    run = subprocess.run([sys.executable, __file__, driver, *map(str, args)],
                         env=env, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stderr
    return [json.loads(line) for line in run.stdout.splitlines()]


# ---- killed before each call ---------------------------------------------------

def prepare(folder, case):
    """The file and a Store about to save NEW to it."""
    path = folder / "wave.json"
    if case != "no file yet":
        Store(path).save(b"older")
        old = Store(path)
        old.read()
        old.save(OLD)
    store = Store(path)
    if case != "no file yet":
        store.read()
    if case == "another notebook's file":
        path.write_bytes(THEIRS)
    if case == "no links here":
        os.link = no_links
    return store


def no_links(*_):
    raise PermissionError(1, "Operation not permitted")


def die_before(call):
    """Have this process killed just before its `call`-th call of those in CALLS; a write stops half-way."""
    left = call

    def dying(name, real):
        def instead(*args, **kw):
            nonlocal left
            left -= 1
            if left == 0:
                if name == "write":
                    real(args[0], args[1][: len(args[1]) // 2])
                os.kill(os.getpid(), signal.SIGKILL)
            return real(*args, **kw)
        return instead

    for name in CALLS:
        setattr(os, name, dying(name, getattr(os, name)))


def kill_at_each_call(folder, case):
    for call in range(1, 200):
        inside = folder / str(call)
        inside.mkdir()
        child = os.fork()
        if child == 0:
            store = prepare(inside, case)
            die_before(call)
            store.save(NEW)
            os._exit(0)
        _, status = os.waitpid(child, 0)
        killed = os.WIFSIGNALED(status)
        assert killed or status == 0, status
        print(json.dumps({"folder": str(inside), "killed": killed}))
        if not killed:
            return


@pytest.mark.parametrize("case, allowed", [
    ("no file yet", {None, NEW}),
    ("a file", {OLD, NEW}),
    ("no links here", {OLD, NEW}),
    ("another notebook's file", {THEIRS}),
])
def test_a_save_killed_before_any_of_its_calls(tmp_path, case, allowed):
    kills = rows("kill_at_each_call", tmp_path, case)
    assert not kills[-1]["killed"]  # the last one ran out of calls to be killed at
    assert len(kills) > 12
    seen = set()
    for kill in kills:
        folder = Path(kill["folder"])
        path = folder / "wave.json"
        seen.add(path.read_bytes() if path.exists() else None)
        beside = {p.read_bytes() for p in folder.glob("wave (kept*")}
        assert beside <= {NEW}

        # The next session reads, saves and sweeps as if nothing had been.
        store = Store(path)
        before = store.read() if path.exists() else None
        assert store.save(b"after").conflict is None
        kept = [store.read_version(v) for v in store.versions()]
        assert b"after" == path.read_bytes()
        assert before is None or before == kept[0]
        assert len(kept) == len(set(kept)) <= 3
        assert OLD in kept or OLD not in allowed
        assert [] == list(folder.glob(".kept/*/new-*"))
        assert {".kept", "wave.json"} == {p.name for p in folder.iterdir() if "(kept" not in p.name}
    assert seen == allowed


# ---- killed at random moments -----------------------------------------------------

def numbered(n):
    """2.5 KB that say their number in every line, so that half of one and half of another show."""
    return b"%06d\n" % n * 365


def number_in(data):
    lines = set(data.splitlines())
    return int(lines.pop()) if len(data) == 365 * 7 and len(lines) == 1 else None


def kill_at_random(folder, kills):
    chance = random.Random(1)
    path = folder / "wave.json"
    for _ in range(int(kills)):
        heard, tell = os.pipe()
        child = os.fork()
        if child == 0:
            store = Store(path)
            n = number_in(store.read()) if path.exists() else 0
            while True:
                n += 1
                store.save(numbered(n))
                os.write(tell, struct.pack("i", n))
        os.close(tell)
        select.select([heard], [], [])  # until it has saved once
        time.sleep(chance.uniform(0, 0.012))
        os.kill(child, signal.SIGKILL)
        os.waitpid(child, 0)
        said = b""
        while more := os.read(heard, 65536):
            said += more
        os.close(heard)
        acknowledged = struct.unpack("i", said[-4:])[0]
        store = Store(path)
        versions = [number_in(store.read_version(v)) for v in store.versions()]
        print(json.dumps([acknowledged, number_in(store.read()), versions]))


def test_a_hundred_kills_at_random_moments(tmp_path):
    kills = rows("kill_at_random", tmp_path, 100)
    assert 100 == len(kills)
    for acknowledged, found, versions in kills:
        # Killed between the rename and the acknowledgement, it is one further on.
        assert found in (acknowledged, acknowledged + 1)
        assert None not in versions
        older = [n for n in versions if n != found]  # killed after keeping it, the file is its own version
        assert older == [found - 1 - i for i in range(len(older))]
        assert len(older) >= min(found - 1, 2)
    assert len(kills) < kills[-1][0]  # it got on meanwhile


if __name__ == "__main__":
    globals()[sys.argv[1]](Path(sys.argv[2]), *sys.argv[3:])
