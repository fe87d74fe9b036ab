"""A save under way, and a cell run meanwhile: neither waits for the other for ever, and no drawing is lost."""
import sys
import threading
import time
import traceback

import pytest
from hourglass import Hourglass

from anim_lessons.ferry.actions import longer, wave
from anim_lessons.light_table import desk, open_table, saving
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


# ---- no error ends the saving, and none is lost --------------------------------------------


@pytest.fixture
def glass():
    return Hourglass()


@pytest.fixture
def table(tmp_path, glass):
    store = Store(tmp_path / "wave.json")
    store.save(action_file.dumps(wave()))
    table = table_module.LightTable(wave(), store, timer=glass.timer)
    table.saver.autosave._clock = glass.clock
    yield table
    table.store.close()
    table_module.alive.discard(table)


@pytest.mark.parametrize("error", [ValueError("a name with ²"), NotImplementedError(), RuntimeError("can't start new thread"),
                                   OSError(71, "Protocol error"), MemoryError()], ids=lambda error: type(error).__name__)
def test_whatever_goes_wrong_while_saving_is_told_and_tried_again(table, glass, monkeypatch, error):
    def broken(self, data):
        raise error

    with monkeypatch.context() as patch:
        patch.setattr(Store, "save", broken)
        table.action = wave(12)
        glass.go_on(1)
        assert "failed" == table.saved["state"] and table.saved["why"]
        assert type(error).__name__ in table.saved["says"] or str(error) in table.saved["says"]
        assert table.saver.autosave.pending
        glass.go_on(saving.AGAIN)
        assert "failed" == table.saved["state"] and table.saver.autosave.pending
    glass.go_on(saving.AGAIN)
    assert "saved" == table.saved["state"] and table.saved["revision"] == table.pose["revision"]
    assert 12 == action_file.read(table.store.path).count and not table.saver.autosave.pending


def test_a_save_that_is_interrupted_is_tried_again(table, glass, monkeypatch):
    def interrupted(self, data):
        raise KeyboardInterrupt

    with monkeypatch.context() as patch:
        patch.setattr(Store, "save", interrupted)
        table.action = wave(12)
        with pytest.raises(KeyboardInterrupt):
            table.save()
    glass.go_on(saving.AGAIN)
    assert 12 == action_file.read(table.store.path).count


@pytest.mark.parametrize("method", ["announce", "save"])
def test_an_error_in_the_first_opening_keeps_nobody_from_the_table(tmp_path, monkeypatch, method):
    def broken(self, *_):
        raise ValueError("what nobody thought of")

    monkeypatch.setattr(Store, method, broken)
    path = tmp_path / "wave.json"
    if method == "announce":
        path.write_bytes(action_file.dumps(wave()))
    table = open_table(path, start=wave())
    try:
        assert table.action.drawn_as(wave())
        assert ("as in the file" if method == "announce" else "failed") == table.saved["state"]
        assert (method == "save") == table.saver.autosave.pending, "the start is saved as soon as that goes"
    finally:
        table.saver.autosave.forget()
        table_module.alive.discard(table)


def test_drawings_that_could_not_be_saved_are_not_put_away_for_a_new_beginning(table, monkeypatch):
    def full(self, data):
        raise OSError(28, "No space left on device")

    table.action = wave(12)
    table.store.path.unlink()
    monkeypatch.setattr(Store, "_put", lambda self, data, kept: full(self, data))
    table.saver.begin_again(wave())
    assert 12 == table.action.count
    assert ("failed", "the folder is full") == (table.saved["state"], table.saved["why"])
    table.saver.autosave.forget()


# ---- a save that takes long ------------------------------------------------------------------


def test_a_save_that_takes_long_is_told_from_another_thread_and_then_it_is_saved(table, glass, monkeypatch):
    at_work, goes_on, save = threading.Event(), threading.Event(), Store.save

    def hangs(self, data):
        at_work.set()
        assert goes_on.wait(PATIENCE * 4)
        return save(self, data)

    monkeypatch.setattr(Store, "save", hangs)
    table.action = wave(12)
    before = table.saved["revision"]
    saves = started(table.save)
    assert at_work.wait(PATIENCE)
    glass.go_on(saving.LONG - 0.1)
    assert "as in the file" == table.saved["state"]
    for seconds in (8, 16, 24):
        glass.go_on(saving.LONG)
        assert ("saving", f"still being saved, for {seconds} s") == (table.saved["state"], table.saved["why"])
        assert f'"wave.json" is still being saved, for {seconds} s: ' in table.saved["says"]
        assert before == table.saved["revision"], "the page takes nothing off its shelf"
    goes_on.set()
    all_end(saves)
    assert ("saved", "", "") == tuple(table.saved[key] for key in ("state", "why", "says"))
    assert table.saved["revision"] == table.pose["revision"]
    assert [] == glass.timers
    glass.go_on(100)
    assert "saved" == table.saved["state"]


def test_the_cell_of_a_table_whose_save_hangs_comes_back(slow_disk, tmp_path, monkeypatch):
    table = open_table("wave.json", start=wave())
    at_work, goes_on, save = threading.Event(), threading.Event(), Store.save

    def hangs(self, data):
        at_work.set()
        assert goes_on.wait(PATIENCE * 4)
        return save(self, data)

    monkeypatch.setattr(Store, "save", hangs)
    monkeypatch.setattr(saving, "LONG", 0.01)
    told = threading.Event()
    table.observe(lambda change: change["new"]["state"] == "saving" and told.set(), "saved")
    table.action = wave(12)
    saves = started(table.save)
    assert at_work.wait(PATIENCE) and told.wait(PATIENCE)
    again = []
    all_end(started(lambda: again.append(open_table("wave.json", start=wave()))))
    assert [table] == again and 12 == table.action.count
    goes_on.set()
    all_end(saves)
    assert 12 == action_file.read(tmp_path / "wave.json").count


def test_where_no_more_threads_start_it_is_saved_all_the_same(table, glass, monkeypatch):
    def none(seconds, ring):
        timer = glass.timer(seconds, ring)
        timer.start = lambda: (_ for _ in ()).throw(RuntimeError("can't start new thread"))
        return timer

    table.action = wave(12)
    monkeypatch.setattr(table.saver, "_timer", none)
    table.save()
    assert "saved" == table.saved["state"] and 12 == action_file.read(table.store.path).count


def test_a_ring_that_comes_too_late_tells_nothing(table, glass):
    rings = []
    monkeyed = table.saver._timer
    table.saver._timer = lambda seconds, ring: rings.append(ring) or monkeyed(seconds, ring)
    table.action = wave(12)
    table.save()
    (ring,) = rings
    ring()  # as a timer does that rang while the save came to its end
    assert "saved" == table.saved["state"] and [] == [timer for timer in glass.timers if timer.at > saving.LONG]
