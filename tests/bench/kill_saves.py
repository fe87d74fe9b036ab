"""Saves killed at random moments, many times: python tests/bench/kill_saves.py --kills 1000 --seed 20261130

A process of its own saves one drawing after the other, by a Store or by a light table with its autosave.
Before each save it says the drawings' number, and says it again once `save` has returned. It is killed at a
random moment, every other time a moment after it began to save. Then the file is looked at by whoever opens
it next.

The judge is the operating system: SIGKILL (POSIX.1-2017, signal.h: cannot be caught). No power is cut here.
"""

import argparse
import json
import math
import os
import random
import select
import signal
import struct
import sys
import tempfile
import threading
import time
import traceback
from dataclasses import asdict, dataclass
from pathlib import Path

from anim_lessons.light_table import LightTable, desk, open_table
from anim_lessons.model import action_file
from anim_lessons.model.action import Action, ActionError, Limb
from anim_lessons.storage.store import Store, StoreError

SAVING, SAVED = 0, 1
WORD = struct.Struct("=Bi")  # SAVING or SAVED, and a number
KEEP = 3
LONG = 0.02  # seconds, within which a process is killed that has saved once
SHORT = 0.004  # seconds, within which one is killed that has just begun to save
OPENED = 20  # of so many kills, after one the file is opened on a light table


# ---- drawings that say their number ---------------------------------------------------


def numbered(n):
    """An action of 4 to 43 drawings that is told from all others: its number is in every drawing."""
    count = 4 + n % 40
    drawings = [
        [
            [n % 10_000, n // 10_000],
            [
                100 + 50 * math.cos(2 * math.pi * d / count),
                100 + 50 * math.sin(2 * math.pi * d / count) + n % 7,
            ],
        ]
        for d in range(count)
    ]
    return Action(
        (Limb("lantern", ("hook", "lantern"), [50.0], [[-360, 360]], drawings),),
        title="killed while it was saved",
    )


def number_in(data):
    """The number of the action whose file this is, byte for byte; None where it is the file of none."""
    try:
        x, y = action_file.loads(data).limbs[0].drawings[0, 0]
    except ActionError:
        return None
    n = round(x + 10_000 * y)
    return n if action_file.dumps(numbered(n)) == data else None


# ---- the process that is killed -------------------------------------------------------


def by_store(path, n, tell):
    store = Store(path, keep=KEEP)
    if path.exists():
        store.read()
    while True:
        n += 1
        data = action_file.dumps(numbered(n))
        tell(SAVING, n)
        store.save(data)
        tell(SAVED, n)


def by_table(path, n, tell):
    """As a kernel does it: poses come from the page, and a thread of its own saves a moment after the last."""
    store = Store(path, keep=KEEP)
    if path.exists():
        store.read()
    table = LightTable(numbered(n), store, delay=0.001)
    put, before, done = store.save, n - table.pose["revision"], threading.Event()

    def save(data):
        tell(SAVING, number_in(data))
        return put(data)

    def saved(change):
        if change["new"]["state"] == "saved":
            tell(SAVED, before + change["new"]["revision"])
            done.set()

    store.save = save
    table.observe(saved, "saved")
    while True:
        n += 1
        table.set_state({"pose": desk.pose(numbered(n), n - before)})
        if n % 3 == 0:  # a stroke is over: the hand rests until it is saved
            done.wait(5)
            done.clear()


WAYS = {"Store": by_store, "light table": by_table}


def begun(way, path, n):
    """Its process id, and the end of a pipe on which it tells what it saves."""
    heard, told = os.pipe()
    child = os.fork()
    if child:
        os.close(told)
        return child, heard
    try:
        os.close(heard)
        WAYS[way](path, n, lambda kind, number: os.write(told, WORD.pack(kind, number)))
    except BaseException:  # noqa: BLE001 - nothing may run on in the copy of this process
        traceback.print_exc()
    os._exit(1)


# ---- kills ----------------------------------------------------------------------------


@dataclass
class Tally:
    """What came of the kills of one way to save; all but seconds are counts."""

    saved_by: str
    kills: int = 0
    within_a_save: int = 0
    acknowledged: int = 0
    lost: int = 0  # what was acknowledged is not in the file any more
    unreadable: int = 0  # files and versions that are none of the actions that were saved
    versions_wrong: int = 0  # not as many as were to be kept, or not the ones before
    most_stale: int = 0  # files half written, before the next save
    stale_after: int = 0  # the same after it
    not_opened: int = 0  # a next save or opening that failed, or found the file locked or taken
    seconds: float = 0.0


def kill(way, path, n, chance, tally):
    """Begin a process, kill it, look at what it left; the number of the drawings in the file then."""
    child, heard = begun(way, path, n)
    select.select([heard], [], [])
    words = b""
    for _ in range(chance.randrange(10)):  # some saves further on
        words += os.read(heard, WORD.size)
    if chance.random() < 0.5:
        while words[-WORD.size : -WORD.size + 1] != bytes([SAVING]) and (more := os.read(heard, WORD.size)):
            words += more
        time.sleep(chance.uniform(0, SHORT))
    else:
        time.sleep(chance.uniform(0, LONG))
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    if not os.WIFSIGNALED(status):
        raise SystemExit(f"the process that saves by {way} ended by itself")
    while more := os.read(heard, 65536):
        words += more
    os.close(heard)
    told = list(WORD.iter_unpack(words))
    acknowledged = max((number for kind, number in told if kind == SAVED), default=n)
    announced = max((number for kind, number in told if kind == SAVING), default=n)
    tally.kills += 1
    tally.within_a_save += bool(told) and told[-1][0] == SAVING
    tally.acknowledged += sum(kind == SAVED for kind, _ in told)
    return looked_at(path, acknowledged, announced, chance, tally)


def looked_at(path, acknowledged, announced, chance, tally):
    """What the next one finds who opens the file and saves; the number that this one has saved.

    Looked for are the drawings acknowledged last or later ones, all versions, no lock, nobody else, nothing half written.
    """
    found = number_in(path.read_bytes()) if path.exists() else 0
    if found is None:
        tally.unreadable += 1
    elif not acknowledged <= found <= announced:
        tally.lost += 1
    n = max(announced, found or 0) + 1
    stale = path.parent / ".kept" / path.name
    tally.most_stale = max(tally.most_stale, len(list(stale.glob("new-*"))))
    try:
        store = Store(path, keep=KEEP, timeout=1.0)
        before = found if path.exists() and store.read() else None
        tally.not_opened += bool(store.announce())
        if chance.randrange(OPENED) == 0 and path.exists():
            table = open_table(path)
            tally.not_opened += action_file.dumps(table.action) != path.read_bytes()
            table.close()
        tally.not_opened += store.save(action_file.dumps(numbered(n))).conflict is not None
        versions = [number_in(store.read_version(version)) for version in store.versions()]
        store.close()
    except (StoreError, ActionError):
        traceback.print_exc()
        tally.not_opened += 1
        return n
    tally.unreadable += versions.count(None)
    known = [number for number in versions if number is not None]
    in_order = known == sorted(set(known), reverse=True) and (before is None or known[:1] == [before])
    tally.versions_wrong += not in_order or len(known) > KEEP or (len(known) < KEEP and tally.kills > KEEP)
    tally.stale_after += len(list(stale.glob("new-*"))) + len(list(path.parent.glob("*kept beside*")))
    return n


def killed(folder, kills, seed):
    """Kill so many, half of them while a Store saves, half while a light table does; a Tally of each."""
    chance = random.Random(seed)
    LightTable(
        numbered(0)
    ).close()  # what the first table loads is there then in every process that is forked
    for way in WAYS:
        path, n, tally, start = Path(folder) / way / "lantern.json", 0, Tally(way), time.monotonic()
        path.parent.mkdir()
        for _ in range(kills // len(WAYS)):
            n = kill(way, path, n, chance, tally)
        tally.seconds = round(time.monotonic() - start, 1)
        yield tally


def main():
    asks = argparse.ArgumentParser(description=__doc__)
    asks.add_argument("--kills", type=int, default=1000)
    asks.add_argument("--seed", type=int, default=20261130)
    asks.add_argument("--json", action="store_true", help="a line a way to save")
    given = asks.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        tallies = [asdict(tally) for tally in killed(folder, given.kills, given.seed)]
    if given.json:
        print("\n".join(map(json.dumps, tallies)))
        return 0
    heads = [name.replace("_", " ") for name in tallies[0]]
    print(f"| {' | '.join(heads)} |\n|{'---|' * len(heads)}")
    for tally in tallies:
        print(f"| {' | '.join(map(str, tally.values()))} |")
    return 0


if __name__ == "__main__":
    sys.exit(main())
