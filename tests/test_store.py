"""One learner's file: what is saved, what is kept, and what is said when it cannot be.

Outside judges: the errors are the system's own (real limits, a real full
disk where one can be mounted, another user's rights), and the locks are held
by flock(2) directly, not through the library that store uses.
"""

import errno
import os
import stat
import subprocess
import sys
import tempfile
import threading
import unicodedata
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from anim_lessons.storage import disk
from anim_lessons.storage.store import Store, StoreError

ROOT = hasattr(os, "geteuid") and os.geteuid() == 0
NOBODY = 65534


@pytest.fixture
def path(tmp_path):
    return tmp_path / "wave.json"


@pytest.fixture
def open_folder():
    """A folder another user may enter; pytest's own are closed to others."""
    with tempfile.TemporaryDirectory() as folder:
        os.chmod(folder, 0o777)
        yield Path(folder)


def process(code, *args, **more):
    """Start a process that has `path`, `Store`, `StoreError` and runs `code`."""
    begin = ("import os, resource, signal, sys, time\nfrom pathlib import Path\n"
             "from anim_lessons.storage.store import Store, StoreError\npath = Path(sys.argv[1])\n")
    return subprocess.Popen(
        [sys.executable, "-c", begin + code, *map(str, args)], text=True, stdin=subprocess.PIPE,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE,
        env=os.environ | {"PYTHONPATH": str(Path(__file__).parents[1])}, **more,
    )


def printed(code, *args):
    running = process(code, *args)
    out, error = running.communicate()
    assert running.returncode == 0, error
    return out.splitlines()


def opened(path, **more):
    store = Store(path, **more)
    store.read()
    return store


def kept(store):
    return [store.read_version(version) for version in store.versions()]


def beside(folder):
    return {p.name: p.read_bytes() for p in folder.iterdir() if "(kept beside" in p.name}


# ---- saving -----------------------------------------------------------------------

def test_what_is_saved_is_what_is_read(path):
    saved = Store(path).save(b"drawings")
    assert b"drawings" == path.read_bytes() == Store(path).read()
    assert (path, None, "") == (saved.path, saved.conflict, saved.says)
    # SHA-256 of these bytes as printed by sha256sum (GNU coreutils).
    assert "3d030d600d578d08a8ca4c0883f3709aaabbbd874502b18ee83baaf824f4bd4d" == saved.digest
    assert abs(datetime.now().astimezone() - saved.at) < timedelta(minutes=5)


@pytest.mark.parametrize("name", [
    "wave the boat in.json",
    unicodedata.normalize("NFC", "Übung é.json"),
    unicodedata.normalize("NFD", "Übung é.json"),
    "-rf.json", ".hidden", "船.json", "no extension", "1.json", "new-1", "{folder}.json",
    pytest.param("w" * 250 + ".json", id="255 bytes"),
    pytest.param("é" * 125 + ".json", id="255 bytes of accents"),
])
def test_any_name_the_folder_takes(tmp_path, name):
    path = tmp_path / name
    store = Store(path)
    for n in range(3):
        store.save(b"%d" % n)
    assert [b"1", b"0"] == kept(store)
    assert {".kept", name} == set(os.listdir(tmp_path))

    path.write_bytes(b"theirs")  # and so the name of a copy beside it must fit too
    copy = store.save(b"ours").conflict
    assert (b"theirs", b"ours") == (path.read_bytes(), copy.read_bytes())
    assert path.suffix == copy.suffix


def test_the_same_bytes_are_not_written_again(path):
    store = Store(path)
    first = store.save(b"one")
    os.utime(path, (1_000_000_000, 1_000_000_000))  # 2001-09-09 01:46:40 UTC
    before = path.stat()
    again = store.save(b"one")
    assert (before.st_ino, before.st_mtime_ns) == (path.stat().st_ino, path.stat().st_mtime_ns)
    assert (first.digest, ()) == (again.digest, store.versions())
    assert 1_000_000_000 == again.at.timestamp()  # since when it has been on the disk


def test_the_last_three_versions_are_kept_newest_first(path):
    store = Store(path)
    for n in range(6):
        store.save(b"%d" % n)
        os.utime(path, (1_000_000_000 + n, 1_000_000_000 + n))
    assert [b"4", b"3", b"2"] == kept(store) == kept(Store(path))
    assert [4, 3, 2] == [v.at.timestamp() - 1_000_000_000 for v in store.versions()]


def test_an_earlier_version_saved_again_keeps_what_it_replaces(path):
    store = Store(path)
    store.save(b"good")
    store.save(b"spoilt")
    (good,) = store.versions()
    store.save(store.read_version(good))
    assert (b"good", [b"spoilt", b"good"]) == (path.read_bytes(), kept(store))


def test_the_ring_counts_on_past_nine(path):
    store = Store(path)
    for n in range(25):
        store.save(b"%d" % n)
    assert [b"23", b"22", b"21"] == kept(store)


def test_the_mode_of_the_file_stays(path):
    store = Store(path)
    store.save(b"1")
    path.chmod(0o640)
    store.save(b"2")
    assert 0o640 == stat.S_IMODE(path.stat().st_mode)


@pytest.mark.parametrize("umask, mode", [(0o022, 0o644), (0o002, 0o664), (0o077, 0o600)])
def test_a_new_file_has_the_mode_any_new_file_has(path, umask, mode):
    before = os.umask(umask)
    try:
        Store(path).save(b"1")
    finally:
        os.umask(before)
    assert mode == stat.S_IMODE(path.stat().st_mode)


def test_a_file_system_without_links_keeps_versions_too(path, monkeypatch):
    def link(*_):
        raise PermissionError(errno.EPERM, "Operation not permitted")  # what link(2) says there
    monkeypatch.setattr(os, "link", link)
    store = Store(path)
    store.save(b"1")
    os.utime(path, (1_000_000_000, 1_000_000_000))
    store.save(b"2")
    path.write_bytes(b"theirs")
    assert b"3" == store.save(b"3").conflict.read_bytes()
    (version,) = Store(path).versions()
    assert (b"1", 1_000_000_000) == (store.read_version(version), version.at.timestamp())


def test_left_overs_of_a_killed_save_are_swept_and_nothing_else_is(path):
    store = Store(path)
    store.save(b"1")
    left = path.parent / ".kept" / path.name / "new-0123456789abcdef"
    left.write_bytes(b"half a fi")
    mine = path.parent / "new-notes.txt"
    mine.write_bytes(b"the learner's own")
    store.save(b"2")
    assert not left.exists()
    assert b"the learner's own" == mine.read_bytes()


def test_a_change_of_folder_does_not_move_the_file(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    store = Store("wave.json")
    monkeypatch.chdir("/")
    store.save(b"1")
    assert b"1" == (tmp_path / "wave.json").read_bytes()


def test_opening_and_reading_leave_the_folder_as_it_was(path):
    path.write_bytes(b"1")
    store = opened(path)
    assert ((), False) == (store.versions(), store.changed_elsewhere())
    assert ["wave.json"] == os.listdir(path.parent)


# ---- what lies in the folder of kept versions ---------------------------------------------

# As programs that carry folders between machines name their copies (common practice, no source), and other names that
# begin as ours do.
ODD = ["1 (conflicted copy).json", "3 2.json", "2-PC.json", "2.conflict.json", "4.txt", "04.json", "1\u00b2.json", "\u0663.json", "9" * 200 + ".json",
       "9999999999.json", "7 ", "0.json", "lock 2", "open-x", "open-", "open-1700000000-0123abcd 2", "open-1700000000-0123ABCD",
       "open-\u0661-0123abcd", "open-" + "9" * 30 + "-0123abcd", "open-nan-0123abcd", "new-x", "new-0123456789abcdef 2", "new-", ".DS_Store"]


def folder_of(path):
    return path.parent / ".kept" / path.name


@pytest.mark.parametrize("make", [lambda path: path.write_bytes(b"not ours"), Path.mkdir, lambda path: path.symlink_to("nowhere")],
                         ids=["files", "folders", "links"])
def test_what_is_not_ours_in_the_hidden_folder_is_passed_over_and_stays(path, make):
    store = Store(path)
    store.save(b"0")
    for name in ODD:
        make(folder_of(path) / name)
    before = {name: (folder_of(path) / name).lstat() for name in ODD}
    other = Store(path)
    assert (b"0", (), ()) == (other.read(), other.versions(), other.announce())
    for n in range(1, 6):
        assert store.save(b"%d" % n).conflict is None
    assert [b"4", b"3", b"2"] == kept(store)
    assert before == {name: (folder_of(path) / name).lstat() for name in ODD}
    other.close()


def test_our_own_names_given_to_folders_are_passed_over(path):
    store = Store(path)
    store.save(b"0")
    names = ["1.json", "2.json", "4.json", "new-0123456789abcdef", "open-1700000000-0123abcd"]
    for name in names:
        (folder_of(path) / name).mkdir()
    for n in range(1, 5):
        store.save(b"%d" % n)
    assert () == store.announce()
    assert [b"3", b"2", b"1"] == kept(store)
    assert all((folder_of(path) / name).is_dir() for name in names)


def test_the_numbers_of_versions_do_not_run_out(path):
    store = Store(path)
    store.save(b"0")
    (folder_of(path) / "999999999.json").write_bytes(b"an older one")
    for n in range(1, 5):
        store.save(b"%d" % n)
    assert [b"3", b"2", b"1"] == kept(store)


def test_a_version_that_cannot_be_read_or_taken_away_keeps_no_save_back(path, monkeypatch):
    store = Store(path)
    for n in range(5):
        store.save(b"%d" % n)
    whole, unlink = disk.read_whole, Path.unlink

    def unreadable(at, *more):
        if at.parent == folder_of(path):
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        return whole(at, *more or [1000])

    def held(at, missing_ok=False):
        if at.parent == folder_of(path):
            raise PermissionError(errno.EACCES, "in use by another program")
        unlink(at, missing_ok)

    with monkeypatch.context() as patch:
        patch.setattr(disk, "read_whole", unreadable)
        patch.setattr(Path, "read_bytes", lambda at: unreadable(at)[0])
        patch.setattr(Path, "unlink", held)
        assert store.save(b"5").conflict is None
        assert b"5" == path.read_bytes() and 4 == len(store.versions())
    store.save(b"6")
    assert [b"5", b"4", b"3"] == kept(store)


def test_a_version_that_is_odd_to_read(path):
    store = Store(path)
    store.save(b"0"), store.save(b"1")
    (version,) = store.versions()
    os.utime(version.path, (2**40, 2**40))  # a time that no calendar has
    assert 1 == len(store.versions())
    version.path.unlink()
    version.path.mkdir()
    assert () == store.versions()
    assert "the name belongs to a folder" == refusal(store.read_version, version).why


# ---- another notebook -----------------------------------------------------------------

def test_a_file_changed_elsewhere_is_not_overwritten(path):
    Store(path).save(b"start")
    one, two = opened(path), opened(path)
    one.save(b"one")
    assert (False, True) == (one.changed_elsewhere(), two.changed_elsewhere())

    first = two.save(b"two")
    assert path.with_name("wave (kept beside).json") == first.path == first.conflict
    assert "wave (kept beside).json" in first.says and '"wave.json" was changed' in first.says
    assert (b"one", b"two") == (path.read_bytes(), first.path.read_bytes())

    second = two.save(b"two and more")  # goes on in the copy, and goes on saying so
    assert (first.path, first.path, first.says) == (second.path, second.conflict, second.says)
    one.save(b"one and more")
    assert (b"one and more", b"two and more") == (path.read_bytes(), first.path.read_bytes())
    assert [b"two"] == kept(two)
    assert [b"one", b"start"] == kept(one)


def test_the_next_copies_take_the_next_free_names(path):
    Store(path).save(b"start")
    path.with_name("wave (kept beside).json").write_bytes(b"the learner's own")
    tables = [opened(path) for _ in range(3)]
    for n, table in enumerate(tables):
        table.save(b"%d" % n)
    assert {"wave (kept beside).json": b"the learner's own", "wave (kept beside 2).json": b"1",
            "wave (kept beside 3).json": b"2"} == beside(path.parent)


def test_a_copy_changed_elsewhere_is_not_overwritten_either(path):
    Store(path).save(b"start")
    store = opened(path)
    path.write_bytes(b"theirs")
    store.save(b"1").path.write_bytes(b"theirs again")
    assert path.with_name("wave (kept beside 2).json") == store.save(b"2").conflict
    assert {"wave (kept beside).json": b"theirs again",
            "wave (kept beside 2).json": b"2"} == beside(path.parent)


def test_taking_the_files_goes_back_to_the_file(path):
    Store(path).save(b"start")
    store = opened(path)
    path.write_bytes(b"theirs")
    copy = store.save(b"ours").conflict
    assert b"theirs" == store.take_the_files()
    saved = store.save(b"theirs, gone on with")
    assert (path, None, "") == (saved.path, saved.conflict, saved.says)
    assert (b"ours", b"theirs, gone on with") == (copy.read_bytes(), path.read_bytes())


def test_taking_the_files_when_it_has_gone_stays_with_the_copy(path):
    Store(path).save(b"start")
    store = opened(path)
    path.write_bytes(b"theirs")
    copy = store.save(b"ours").conflict
    path.unlink()
    with pytest.raises(StoreError, match="there is no such file"):
        store.take_the_files()
    assert copy == store.save(b"ours, gone on with").path


def test_a_file_never_read_is_somebody_elses(path):
    path.write_bytes(b"theirs")
    assert Store(path).save(b"ours").conflict
    assert b"theirs" == path.read_bytes()


def test_a_file_grown_too_large_elsewhere_is_not_overwritten(path):
    store = Store(path, max_bytes=10)
    store.save(b"1")
    path.write_bytes(b"theirs, and long")
    assert b"2" == store.save(b"2").conflict.read_bytes()
    assert b"theirs, and long" == path.read_bytes()


def test_the_same_change_made_in_both_is_no_conflict(path):
    Store(path).save(b"start")
    one, two = opened(path), opened(path)
    one.save(b"the same")
    assert two.save(b"the same").conflict is None
    assert two.save(b"further").conflict is None


def test_a_file_that_has_gone_is_written_again_and_said(path):
    store = Store(path)
    store.save(b"1")
    path.unlink()
    saved = store.save(b"2")
    assert (b"2", None, '"wave.json" had gone from its folder; it is there again.') == (
        path.read_bytes(), saved.conflict, saved.says)
    assert "" == store.save(b"3").says


def test_two_notebooks_saving_at_once_lose_nothing(path):
    """Each adds one to the number in the file 25 times; without a lock some additions get lost."""
    Store(path).save(b"0")
    add = """
for _ in range(25):
    while True:
        store = Store(path, timeout=60)
        number = int(store.read().split()[0])
        if store.save(b"%d by %d" % (number + 1, os.getpid())).conflict is None:
            break
"""
    both = [process(add, path) for _ in range(2)]
    for one in both:
        _, error = one.communicate()
        assert one.returncode == 0, error
    assert 50 == int(path.read_bytes().split()[0])


def test_threads_may_save_at_once(path):
    store = Store(path)

    def save(who):
        return [store.save(b"%d %d" % (who, n)).conflict for n in range(20)]

    with ThreadPoolExecutor(8) as threads:
        assert [[None] * 20] * 8 == list(threads.map(save, range(8)))
    every = [b"%d %d" % (who, n) for who in range(8) for n in range(20)]
    assert {path.read_bytes(), *kept(store)} <= set(every)
    assert (3, {}) == (len(store.versions()), beside(path.parent))


def test_a_save_during_a_read_is_not_taken_for_somebody_elses(path, monkeypatch):
    Store(path).save(b"start")
    store = opened(path)
    real, saving = disk.read_whole, threading.Thread(target=store.save, args=(b"ours",))

    def reading(*args):
        data = real(*args)
        if saving.ident is None:
            saving.start()
            saving.join(0.3)  # time enough to get in between, if it is let in
        return data

    monkeypatch.setattr(disk, "read_whole", reading)
    store.read()
    saving.join()
    assert store.save(b"ours, gone on with").conflict is None


# ---- who has it open --------------------------------------------------------------------

HOLDS = "store = Store(path)\nstore.announce()\nprint('open', flush=True)\nsys.stdin.read()\n"


def test_a_file_open_in_another_notebook_is_known(path):
    Store(path).save(b"1")
    with process(HOLDS, path) as other:
        other.stdout.readline()
        store = opened(path)
        (opening,) = store.announce()
        assert not opening.here
        assert abs(datetime.now().astimezone() - opening.since) < timedelta(minutes=5)
        assert store.save(b"2").conflict is None  # to be open elsewhere is no hindrance

        other.kill()  # SIGKILL: it has no chance to say good-bye
        other.wait()
        assert () == store.announce()
    assert 1 == len(list(path.parent.glob(".kept/wave.json/open-*")))  # its mark is swept, ours is there


def test_a_notebook_that_ends_takes_its_mark_away(path):
    with process(HOLDS, path) as other:
        other.stdout.readline()
        assert 1 == len(list(path.parent.glob(".kept/wave.json/open-*")))
        other.communicate("")
    assert [] == list(path.parent.glob(".kept/wave.json/open-*"))


def test_the_same_file_twice_in_one_notebook_is_told_apart(path):
    one, two = Store(path), Store(path)
    assert () == one.announce() == one.announce()
    assert [True] == [opening.here for opening in two.announce()]
    one.close()
    assert () == two.announce()
    assert [True] == [opening.here for opening in one.announce()]
    del two  # nor does a table nobody has any more count
    assert () == one.announce()


def test_the_mark_goes_with_the_copy(path):
    Store(path).save(b"start")
    one, two = opened(path), opened(path)
    one.announce(), two.announce()
    one.save(b"one")
    copy = two.save(b"two").path
    assert () == one.announce()
    other = Store(copy)
    assert 1 == len(other.announce())
    two.take_the_files()
    assert (0, 1) == (len(other.announce()), len(one.announce()))


def test_a_mark_in_a_folder_that_is_not_there_is_no_error(tmp_path):
    assert () == Store(tmp_path / "gone" / "wave.json").announce()


# ---- what cannot be ---------------------------------------------------------------------

def refusal(call, *args):
    with pytest.raises(StoreError) as caught:
        call(*args)
    message = str(caught.value)
    assert caught.value.why in message and message.endswith(".") and "\n" not in message
    return caught.value


def test_an_error_says_which_file_why_and_what_to_do(tmp_path):
    error = refusal(Store(tmp_path / "gone" / "wave.json").save, b"1")
    assert (f'"wave.json" could not be saved: there is no such folder; make {tmp_path / "gone"}, '
            "or save in another folder.") == str(error)
    assert (errno.ENOENT, "there is no such folder") == (error.errno, error.why)
    assert not (tmp_path / "gone").exists()


def make_link(path):
    path.with_name("real").write_bytes(b"real")
    path.symlink_to(path.with_name("real"))


@pytest.mark.parametrize("make, why", [
    (Path.mkdir, "the name belongs to a folder"),
    (make_link, "the file is a link"),
    (lambda path: path.symlink_to(path), "the file is a link"),
    (lambda path: path.symlink_to("/dev/zero"), "the file is a link"),
    (os.mkfifo, "it is not an ordinary file"),
], ids=["folder", "link", "link to itself", "link to a device", "pipe"])
def test_what_is_no_file_is_neither_read_nor_replaced(path, make, why):
    make(path)
    before = path.lstat(), sorted(os.listdir(path.parent))
    assert why == refusal(Store(path).read).why
    assert why == refusal(Store(path).save, b"1").why
    assert why == refusal(Store(path).changed_elsewhere).why
    assert before == (path.lstat(), sorted(os.listdir(path.parent)))


def test_a_device_is_neither_read_nor_replaced():
    assert "it is not an ordinary file" == refusal(Store("/dev/zero").read).why
    assert "it is not an ordinary file" == refusal(Store("/dev/zero").save, b"1").why
    assert not Path("/dev/.kept").exists()


def test_no_such_file(path):
    error = refusal(Store(path).read)
    assert ("there is no such file", errno.ENOENT) == (error.why, error.errno)


@pytest.mark.parametrize("name, why", [
    ("w" * 300, "the name is too long"), ("wave\0.json", "the name holds a NUL"),
])
def test_a_name_that_cannot_be(tmp_path, name, why):
    assert why == refusal(lambda: Store(tmp_path / name).save(b"1")).why


@pytest.mark.parametrize("size, fits", [(1000, True), (1001, False)])
def test_the_limit_of_size_is_where_it_says(path, size, fits):
    path.write_bytes(b"x" * size)
    store = Store(path, max_bytes=1000)
    if fits:
        assert size == len(store.read())
        store.save(b"y" * size)
    else:
        assert "the file is too large" == refusal(store.read).why
        path.unlink()
        assert "the file is too large" == refusal(store.save, b"y" * size).why
        assert not path.exists()


def test_a_huge_file_is_refused_before_it_is_read(path):
    with open(path, "wb") as file:
        file.truncate(1 << 40)  # 1 TiB, sparse: to read it would not end well
    assert "the file is too large" == refusal(Store(path).read).why


@pytest.mark.parametrize("make", [lambda p: p.write_bytes(b"notes"), lambda p: p.symlink_to("/tmp")])
def test_a_hidden_folder_that_is_none(path, make):
    make(path.parent / ".kept")
    assert "the folder is not a folder" == refusal(Store(path).save, b"1").why
    assert not path.exists()


def test_a_folder_that_goes_while_the_file_is_open(tmp_path):
    folder = tmp_path / "homework"
    folder.mkdir()
    store = Store(folder / "wave.json")
    store.save(b"1")
    folder.rename(tmp_path / "elsewhere")
    assert "there is no such folder" == refusal(store.save, b"2").why
    (tmp_path / "elsewhere").rename(folder)
    assert store.save(b"2").conflict is None


FULL = [  # the numbers are those of errno.h, POSIX.1-2017
    ("write", errno.ENOSPC, "the folder is full"),
    ("write", errno.EDQUOT, "the folder is full"),
    ("write", errno.EFBIG, "the file is larger than the disk allows"),
    ("write", errno.ESTALE, f"the system says: {os.strerror(errno.ESTALE)}"),
    ("fsync", errno.EIO, "the disk does not answer"),
    ("replace", errno.ENOSPC, "the folder is full"),
    ("replace", errno.EROFS, "the folder is read-only"),
    ("mkdir", errno.ENOSPC, "the folder is full"),
    ("mkdir", errno.EROFS, "the folder is read-only"),
]


@pytest.mark.parametrize("call, code, why", FULL)
def test_a_save_that_fails_leaves_file_and_versions_alone(path, monkeypatch, call, code, why):
    store = Store(path)
    for n in range(5):
        store.save(b"%d" % n)
    real = os.write

    def failing(*args, **_):
        if call == "write":
            real(args[0], args[1][:3])  # some of it may fit
        raise OSError(code, os.strerror(code))

    with monkeypatch.context() as patch:
        patch.setattr(os, call, failing)
        error = refusal(store.save, b"more than fits")
    assert (why, code) == (error.why, error.errno)
    assert b"4" == path.read_bytes()
    assert [b"3", b"2", b"1"] == kept(store)
    assert [] == list(path.parent.glob(".kept/*/new-*"))

    saved = store.save(b"fits")  # and once there is room, all is as if nothing had been
    assert (None, [b"4", b"3", b"2"]) == (saved.conflict, kept(store))


def test_a_file_larger_than_the_system_allows(path):
    """RLIMIT_FSIZE, set in a process of its own: the kernel refuses the last bytes (EFBIG)."""
    said = printed("""
store = Store(path)
store.save(b"old")
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, 1000))
try:
    store.save(b"x" * 1001)
except StoreError as error:
    print(error.why, error.errno)
store.save(b"y" * 1000)
""", path)
    assert [f"the file is larger than the disk allows {errno.EFBIG}"] == said
    assert (b"y" * 1000, [b"old"]) == (path.read_bytes(), kept(Store(path)))
    assert [] == list(path.parent.glob(".kept/*/new-*"))


@pytest.fixture
def small_disk(tmp_path):
    """A real disk of 64 KB with room for 40 names."""
    if not ROOT:
        pytest.skip("A REALLY FULL DISK WAS NOT TRIED: mounting one needs root; only the simulated one was")
    mount = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k,nr_inodes=40", "small", tmp_path],
                           capture_output=True, text=True, check=False)
    if mount.returncode:
        pytest.skip(f"A REALLY FULL DISK WAS NOT TRIED: {mount.stderr.strip()}; only the simulated one was")
    yield tmp_path
    subprocess.run(["umount", tmp_path], check=True)


def test_a_disk_that_is_really_full(small_disk):
    store = Store(small_disk / "wave.json")
    store.save(b"old" * 1000)
    filler = small_disk / "films"
    with pytest.raises(OSError, match="No space left"), open(filler, "wb", buffering=0) as file:
        while True:
            file.write(b"x" * 4096)
    error = refusal(store.save, b"new" * 3000)
    assert ("the folder is full", errno.ENOSPC) == (error.why, error.errno)
    assert b"old" * 1000 == store.path.read_bytes() == store.read()
    assert [] == list(small_disk.glob(".kept/*/new-*"))
    filler.unlink()
    assert store.save(b"new" * 3000).conflict is None


def test_a_disk_with_no_room_for_another_name(small_disk):
    store = Store(small_disk / "wave.json")
    store.save(b"old")
    with pytest.raises(OSError, match="No space left"):
        for n in range(60):
            (small_disk / f"drawing {n}").touch()
    assert "the folder is full" == refusal(store.save, b"new").why
    assert b"old" == store.path.read_bytes()


def test_a_disk_mounted_to_be_read_only(small_disk):
    store = Store(small_disk / "wave.json")
    store.save(b"old")
    subprocess.run(["mount", "-o", "remount,ro", small_disk], check=True)
    error = refusal(store.save, b"new")
    assert ("the folder is read-only", errno.EROFS) == (error.why, error.errno)
    assert (b"old", ()) == (store.read(), store.announce())


TRIES = f"""
if os.geteuid() == 0:  # root may write anywhere
    os.setgid({NOBODY})
    os.setuid({NOBODY})
store = Store(path)
for step in sys.argv[2:]:
    try:
        print(getattr(store, step)(*[b"new"] * (step == "save")))
    except StoreError as error:
        print(error.why)
"""


@pytest.mark.parametrize("before", ["never saved there", "saved there before"])
def test_a_folder_that_is_read_only(open_folder, before):
    path = open_folder / "wave.json"
    path.write_bytes(b"old")
    if before == "saved there before":
        opened(path).save(b"older, then old")
        opened(path).save(b"old")
    listing = sorted(open_folder.rglob("*"))
    open_folder.chmod(0o555)
    try:
        assert ["b'old'", "()", "the folder is read-only", "b'old'"] == printed(
            TRIES, path, "read", "announce", "save", "read")
    finally:
        open_folder.chmod(0o777)
    assert listing == sorted(open_folder.rglob("*"))


@pytest.mark.parametrize("mode, reads", [(0o444, "b'old'"), (0o000, "the file is protected")])
def test_a_file_that_is_protected(open_folder, mode, reads):
    path = open_folder / "wave.json"
    path.write_bytes(b"old")
    if ROOT:
        os.chown(path, NOBODY, NOBODY)
    path.chmod(mode)
    assert [reads, "the file is protected"] == printed(TRIES, path, "read", "save")
    path.chmod(0o644)
    assert b"old" == path.read_bytes()


HOLDS_LOCK = """
import fcntl
file = open(path.parent / ".kept" / path.name / "lock")
fcntl.flock(file, fcntl.LOCK_EX)
print("held", flush=True)
sys.stdin.read()
"""


def test_a_file_locked_by_another_program(path):
    store = Store(path, timeout=0.1)
    store.save(b"old")
    with process(HOLDS_LOCK, path) as other:
        other.stdout.readline()
        error = refusal(store.save, b"new")
        assert ("the file is locked by another program", errno.ETIMEDOUT) == (error.why, error.errno)
        assert b"old" == path.read_bytes() == store.read()

        other.kill()  # the system lets go of a killed program's locks
        other.wait()
        assert store.save(b"new").conflict is None


# ---- one file by several paths --------------------------------------------------------------


def test_one_file_by_several_paths(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "sub").mkdir()
    (tmp_path / "linked").symlink_to(tmp_path / "sub")
    Path("sub/wave.json").write_bytes(b"1")
    for path in ("linked/wave.json", "./sub/wave.json", "sub/../sub/wave.json", tmp_path / "linked" / "wave.json"):
        assert disk.same_file("sub/wave.json", path) and disk.same_file(path, "sub/wave.json")
    assert disk.same_file("linked/none yet.json", "sub/none yet.json")
    Path("wave.json").write_bytes(b"1")
    assert not disk.same_file("wave.json", "sub/wave.json")
    assert not disk.same_file("linked/../wave.json", "sub/wave.json")
    os.link("wave.json", "by another name.json")  # the first save parts them
    assert not disk.same_file("wave.json", "by another name.json")
    assert not disk.same_file("none.json", "None.json") and not disk.same_file("a\0.json", "wave.json")


def test_other_capitals_are_the_same_file_where_the_system_says_so(path, monkeypatch):
    path.write_bytes(b"1")
    other = path.with_name("Wave.JSON")
    assert not disk.same_file(path, other)
    monkeypatch.setattr(os.path, "samefile", lambda *_: True)  # as a file system says that tells no capitals apart
    assert disk.same_file(path, other)
    assert not disk.same_file(path, path.with_name("wave 2.json"))


def test_every_reason_fits_its_sentence():
    for why, then in (*disk.REASONS.values(), *disk.READING.values()):
        assert not why.endswith(".") and not then.endswith(".")
        assert len(why) <= 40  # it stands in one line with the time and the file's name
