"""A save under way, and a cell run meanwhile: neither waits for the other for ever, and no drawing is lost."""
import sys
import threading
import time
import traceback

import pytest

from anim_lessons.ferry.actions import longer, wave
from anim_lessons.light_table import desk, open_table
from anim_lessons.light_table import table as table_module
from anim_lessons.model import action_file
from anim_lessons.storage.store import Store

SLOW = 0.05   # seconds that a slow disk takes for one save
PATIENCE = 5  # seconds after which a thread that has not ended counts as hung


@pytest.fixture
def slow_disk(tmp_path, monkeypatch):
    """Saves that take SLOW seconds; set as soon as one has begun."""
    monkeypatch.chdir(tmp_path)
    began, save = threading.Event(), Store.save

    def slowly(self, data):
        began.set()
        time.sleep(SLOW)  # the disk's time, not the test's
        return save(self, data)

    monkeypatch.setattr(Store, "save", slowly)
    yield began
    for table in list(table_module.alive):
        if table.store is not None and tmp_path in table.store.asked.parents:
            table.store.close()
            table_module.alive.discard(table)


def all_end(*threads):
    """Wait for all of them; where one hangs, fail and say where each of them stands."""
    for thread in threads:
        thread.join(PATIENCE)
    frames = sys._current_frames()
    hung = ["".join(traceback.format_stack(frames[thread.ident])) for thread in threads if thread.is_alive()]
    assert not hung, f"{len(hung)} of {len(threads)} threads hang:\n\n" + "\n\n".join(hung)


def started(act, *args, **options):
    thread = threading.Thread(target=act, args=args, kwargs=options, daemon=True)  # one that hangs must not hold up pytest
    thread.start()
    return thread


def test_a_cell_run_again_while_a_save_is_under_way_comes_back(slow_disk, tmp_path):
    table = open_table("wave.json", start=wave())
    for drawn in (longer(wave()), wave(12)):
        slow_disk.clear()
        table.action = drawn
        saving = started(table.save)
        assert slow_disk.wait(PATIENCE)
        (tmp_path / "wave.json").unlink()
        all_end(started(open_table, "wave.json", start=wave()), saving)

        assert table.action.drawn_as(wave())
        assert action_file.dumps(wave()) == (tmp_path / "wave.json").read_bytes()
        assert action_file.dumps(drawn) in [table.store.read_version(version) for version in table.store.versions()]
        assert table.saved["revision"] == table.pose["revision"] and "as in the file" == table.saved["state"]


def test_drawing_saving_and_cells_run_again_at_once_all_end(slow_disk, tmp_path):
    table = open_table("wave.json", start=wave())

    def draw():
        for revision in range(100, 140):
            table.set_state({"pose": desk.pose(wave(swing=20.0 + revision / 8), revision)})

    def run_again():
        for _ in range(3):
            (tmp_path / "wave.json").unlink(missing_ok=True)
            open_table("wave.json", start=wave())

    def take():
        for _ in range(3):
            table.saver.take_the_files()

    def save():
        for _ in range(5):
            table.save()

    all_end(*(started(act) for act in (draw, run_again, take, save)))
    table.action = wave(14)
    table.save()
    assert 14 == action_file.read(table.store.path).count
    assert table.pose["revision"] == table.verdict["revision"] == table.saved["revision"]


def test_nobody_who_holds_the_table_waits_for_the_disk(slow_disk):
    """Drawing goes on while a file is saved, taken or begun again: the guard is free whenever the disk is at work."""
    table = open_table("wave.json", start=wave())
    free = []

    def seen(self, data, save=Store.save):
        def try_it():
            taken = table._guard.acquire(timeout=PATIENCE / 10)
            free.append(taken)
            if taken:
                table._guard.release()

        all_end(started(try_it))
        return save(self, data)

    table.store.save = seen.__get__(table.store)
    table.action = wave(12)
    table.save()
    table.saver.begin_again(wave())
    assert [True] * len(free) == free and len(free) >= 3
