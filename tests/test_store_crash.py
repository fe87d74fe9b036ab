"""A save killed at any moment: the file is whole and nothing acknowledged is lost.

The judge is the operating system: SIGKILL (POSIX.1-2017, signal.h: cannot be
caught), sent to a process of its own, before each single call a save makes
and at random moments of many saves (tests/bench/kill_saves.py). Power cuts are not tried here.

Run as a script, this file is that process; it prints one JSON line a kill.
"""

import json
import os
import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from bench import kill_saves

from anim_lessons.model import action_file
from anim_lessons.storage.store import Store

CALLS = ["open", "write", "fsync", "close", "fchmod", "mkdir", "link", "replace", "rename", "unlink"]
OLD, NEW, THEIRS = b"old" * 800, b"new" * 800, b"theirs" * 400


def rows(script, *args):
    """What a script prints when it is run in a process of its own, a JSON line each."""
    env = os.environ | {"PYTHONPATH": str(Path(__file__).parents[1])}
    run = subprocess.run([sys.executable, script, *map(str, args)],
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
    kills = rows(__file__, "kill_at_each_call", tmp_path, case)
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

@pytest.fixture(scope="module")
def killed():
    """What 40 kills came to, by what was saving. A thousand and more: tests/bench/kill_saves.py."""
    found = rows(kill_saves.__file__, "--kills", 40, "--seed", 1, "--json")
    return {tally["saved_by"]: tally for tally in found}


@pytest.mark.parametrize("way", kill_saves.WAYS)
def test_kills_at_random_moments(killed, way):
    tally = killed[way]
    assert 20 == tally["kills"]
    assert tally["within_a_save"] > 0
    assert tally["acknowledged"] > 20
    assert tally["most_stale"] <= 1
    for wrong in ("lost", "unreadable", "versions_wrong", "stale_after", "not_opened"):
        assert 0 == tally[wrong], tally


def older(path):
    path.write_bytes(action_file.dumps(kill_saves.numbered(2)))


def half(path):
    path.write_bytes(path.read_bytes()[:-9])


def versions_gone(path):
    for version in Store(path).versions()[:2]:
        version.path.unlink()


@pytest.mark.parametrize("spoil, wrong", [(older, "lost"), (half, "unreadable"), (versions_gone, "versions_wrong")])
def test_the_killer_sees_what_is_lost(tmp_path, spoil, wrong):
    """A file that is spoilt by hand after its saves is told of as such; untouched it is told of as sound."""
    for spoilt in (False, True):
        path, tally = tmp_path / f"{spoilt}.json", kill_saves.Tally("Store", kills=9)
        store = Store(path)
        for n in range(1, 6):
            store.save(action_file.dumps(kill_saves.numbered(n)))
        if spoilt:
            spoil(path)
        kill_saves.looked_at(path, 5, 5, random.Random(1), tally)
        assert spoilt == bool(getattr(tally, wrong)), tally


if __name__ == "__main__":
    globals()[sys.argv[1]](Path(sys.argv[2]), *sys.argv[3:])
