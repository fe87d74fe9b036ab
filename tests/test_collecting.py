"""What lies in a folder of hand-ins: every file an entry, every odd one an entry that says why, and nothing written or run.

Zips are made by Python's own zipfile, and bent by hand where it makes none such; what may stand in one: PKWARE's APPNOTE, from
memory. That a path may not lead out of an archive, and that sizes told in it are not to be trusted: CWE-22 and CWE-409, from memory.
"""

import hashlib
import io
import os
import random
import tracemalloc
import zipfile
from datetime import datetime
from pathlib import Path

import invented_class
import pytest

from anim_lessons import ActionError
from anim_lessons.course.hand_ins import collecting
from anim_lessons.course.hand_ins.collecting import BESIDE, DRAWINGS, ODD, entries, lone


def zipped(**files):
    return invented_class.zipped(*((name.replace("__", "/"), data) for name, data in files.items()))


def found(folder, **more):
    return {entry.path: entry for entry in entries(folder, **more)}


def state_of(folder):
    """Every path under a folder with what it holds, or what it is."""
    def told(path):
        info = path.lstat()
        small = path.is_file() and not path.is_symlink() and info.st_size < 1e8
        return info.st_mode, info.st_size, info.st_mtime_ns, hashlib.sha256(path.read_bytes()).hexdigest() if small else ""

    return {path: told(path) for path in sorted(folder.rglob("*"))}


def test_folders_zips_and_zips_in_zips_are_looked_through_in_the_order_of_their_names(tmp_path):
    (tmp_path / "b").mkdir()
    (tmp_path / "b" / "wave.JSON").write_bytes(b"1")
    (tmp_path / "a.json").write_bytes(b"2")
    (tmp_path / "c.ZIP").write_bytes(invented_class.zipped(("x/wave.json", b"3"), ("y.zip", zipped(wave=b"", **{"z.json": b"4"})), ("notes.txt", b"")))
    there = found(tmp_path)

    assert ["a.json", "b/wave.JSON", "c.ZIP/notes.txt", "c.ZIP/x/wave.json", "c.ZIP/y.zip/wave", "c.ZIP/y.zip/z.json"] == list(there)
    assert [b"2", b"1", b"3", b"4"] == [entry.data for entry in there.values() if entry.kind == DRAWINGS]
    assert {BESIDE} == {there[path].kind for path in ("c.ZIP/notes.txt", "c.ZIP/y.zip/wave")}


def test_the_folder_may_be_a_zip_itself(tmp_path):
    (tmp_path / "class.zip").write_bytes(invented_class.zipped(("avocet/wave.json", b"1")))
    assert ["avocet/wave.json"] == list(found(tmp_path / "class.zip"))


def test_the_time_is_the_files_own_or_that_in_its_zip(tmp_path):
    (tmp_path / "a.json").write_bytes(b"")
    os.utime(tmp_path / "a.json", (1_700_000_000, 1_700_000_000))
    (tmp_path / "b.zip").write_bytes(zipped(**{"b.json": b""}))
    with zipfile.ZipFile(tmp_path / "c.zip", "w") as packed:
        packed.writestr(zipfile.ZipInfo("c.json"), b"")     # 1980: no date
    assert [datetime.fromtimestamp(1_700_000_000), datetime(2026, 11, 28, 9), None] == [entry.when for entry in entries(tmp_path)]


def test_what_systems_leave_behind_is_no_entry(tmp_path):
    for name in (".DS_Store", "Thumbs.db", "._wave.json", "desktop.ini"):
        (tmp_path / name).write_bytes(b"")
    (tmp_path / ".kept").mkdir()
    (tmp_path / ".kept" / "wave.json").write_bytes(b"")
    (tmp_path / "a.zip").write_bytes(zipped(**{"__MACOSX__._wave.json": b"", "wave.json": b""}).replace(b"//", b"__"))
    (tmp_path / "..wave.json").write_bytes(b"")
    assert {"..wave.json", "a.zip/wave.json"} <= set(found(tmp_path)) and not any("kept" in path or "._" in path for path in found(tmp_path))


def test_what_is_left_out_is_not_looked_into(tmp_path):
    for name in ("a", "marks"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "x.json").write_bytes(b"")
    assert ["a/x.json"] == list(found(tmp_path, leave_out=tmp_path / "marks"))


def test_one_folder_or_zip_that_holds_the_class(tmp_path):
    assert None is lone(tmp_path)
    (tmp_path / "class").mkdir()
    (tmp_path / "Thumbs.db").write_bytes(b"")
    assert "class" == lone(tmp_path)
    (tmp_path / "other.zip").write_bytes(b"")
    assert None is lone(tmp_path) is lone(tmp_path / "nowhere")


def test_too_deep_is_said(tmp_path):
    deep = tmp_path.joinpath(*"abcdefghijklmnop")
    deep.mkdir(parents=True)
    (deep / "wave.json").write_bytes(b"")
    (one,) = entries(tmp_path)
    assert (ODD, "a/b/c/d/e/f/g/h/i/j/k/l/m") == (one.kind, one.path) and "more than 12 folders deep" in one.why


def test_a_folder_that_cannot_be_opened(tmp_path):
    with pytest.raises(ActionError, match="is no folder; name the folder of the hand-ins, or the zip"):
        list(entries(tmp_path / "nowhere"))


def test_fifty_hostile_entries_are_a_row_each_and_leave_no_trace(tmp_path):
    good = tmp_path / "class" / "avocet.json"
    good.parent.mkdir()
    good.write_bytes(b"{}")
    names = invented_class.hostile(good.parent)
    before = state_of(tmp_path)
    there = list(entries(good.parent))

    assert 50 <= len(names) and set(names) | {"avocet.json"} == {entry.parts[0] for entry in there}
    assert before == state_of(tmp_path) and not Path("/etc/up.json").exists()
    odd = {entry.parts[0]: entry.why for entry in there if entry.kind == ODD}
    for name, why in {
        "up.zip": "leads out of the zip", "root.zip": "leads out", "back.zip": "leads out", "drive.zip": "leads out", "nul.zip": "leads out",
        "again.zip": "twice", "bomb.zip": "more than 4 MB", "torn.zip": "damaged", "crc.zip": "damaged", "cut.zip": "damaged",
        "deeper.zip": "zip in a zip in a zip", "locked.zip": "has a password", "link.zip": "is a link", "strange.zip": "packed in a way",
        "no names.zip": "more names than are read", "nothing.zip": "is an empty zip", "no zip.zip": "is no zip", "sparse.json": "is too large",
        "round.json": "is a link", "secret.json": "is a link", "up and out": "is a link", "folder.json": "is an empty folder",
        "waits.json": "no ordinary file", "waits.zip": "no ordinary file",
    }.items():
        assert why in odd[name], (name, odd[name])
    assert all("root:" not in str(entry.data) for entry in there)      # what the link leads to was not read


def test_a_list_of_names_in_the_long_form_is_measured_too(tmp_path):
    """More than 65,535 names need it; a list of them is longer than is read."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as packed:
        for number in range(66_000):
            packed.writestr(zipfile.ZipInfo(f"{number:030}.json"), b"")
    assert b"PK\6\7" in held.getvalue()
    (tmp_path / "many.zip").write_bytes(held.getvalue())
    (one,) = entries(tmp_path)
    assert "holds more names than are read" in one.why


def test_a_zip_that_unpacks_to_too_much_is_read_as_far_as_it_may(tmp_path, monkeypatch):
    monkeypatch.setattr(collecting, "MOST_UNPACKED", 2_500)
    (tmp_path / "much.zip").write_bytes(invented_class.zipped(*((f"{number}.json", bytes(1_000)) for number in range(9))))
    there = list(entries(tmp_path))
    assert [DRAWINGS, DRAWINGS, ODD, ODD] == [entry.kind for entry in there]
    assert "the rest of it was not read" in there[-1].why


def test_a_size_that_lies_is_not_believed(tmp_path):
    packed = bytearray(invented_class.zipped(("a.json", bytes(9_000_000))))
    for sign, at in ((b"PK\3\4", 22), (b"PK\1\2", 24)):
        packed[packed.index(sign) + at:packed.index(sign) + at + 4] = (10).to_bytes(4, "little")
    (tmp_path / "lies.zip").write_bytes(packed)
    (one,) = entries(tmp_path)
    assert ODD == one.kind


def test_memory_stays_flat(tmp_path):
    """Two hundred files of 1 MB, half of them packed; no more than a few are ever held."""
    for number in range(100):
        (tmp_path / f"{number}.json").write_bytes(bytes(1_000_000))
        (tmp_path / f"{number}.zip").write_bytes(invented_class.zipped(("a.json", bytes(1_000_000))))
    tracemalloc.start()
    assert 200 == sum(entry.kind == DRAWINGS for entry in entries(tmp_path))
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert most < 12_000_000


def test_a_file_that_goes_between_listing_and_reading(tmp_path, monkeypatch):
    (tmp_path / "a.json").write_bytes(b"")
    of = collecting.read_whole

    def gone(path, most):
        os.unlink(path)
        return of(path, most)

    monkeypatch.setattr(collecting, "read_whole", gone)
    (one,) = entries(tmp_path)
    assert one.why.startswith("cannot be opened (No such file or directory)")


def test_zips_that_are_bent_anyhow_are_entries_all_the_same(tmp_path):
    """Bytes changed, taken out, put in; no other error comes up, and something is said of each."""
    rng = random.Random(20261130)
    whole = [invented_class.zipped(("a/b.json", b"{}"), ("c.zip", zipped(**{"d.json": b"{}" * 50}))), invented_class._link(), invented_class._long_list()]
    for number in range(1_500):
        data = bytearray(rng.choice(whole))
        for _ in range(rng.randrange(1, 6)):
            at = rng.randrange(len(data) - 8)
            data[at:at + rng.randrange(5)] = rng.choice((rng.randbytes(rng.randrange(5)), b"\xff\xff\xff\xff", bytes(4), b"PK\5\6", b"PK\6\7"))
        (tmp_path / "bent.zip").write_bytes(data)
        assert list(entries(tmp_path)), number
