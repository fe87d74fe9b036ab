"""The invented class of the library, and what somebody who means harm may put among its hand-ins."""

import io
import os
import zipfile

import homework
import numpy as np

from anim_lessons.course.hand_ins.invented_class import FILE, begun, lay_out, zipped
from anim_lessons.ferry.actions import wave
from anim_lessons.model import action_file

__all__ = ["FILE", "START", "begun", "hostile", "lay_out", "zipped"]
START = action_file.read(homework.start(homework.NAME))


def hostile(folder):
    """Fifty entries that somebody who means harm, or a broken program, may leave in the folder; what they are called."""
    good = action_file.dumps(wave())
    huge = b"[" * 200_000
    names = []

    def put(name, data):
        (folder / name).write_bytes(data)
        names.append(name)

    for name, data in {
        "nan.json": good.replace(b"        [[", b"        [[NaN, ", 1), "infinity.json": good.replace(b'"rate": 24', b'"rate": Infinity'),
        "1e999.json": good.replace(b'"rate": 24', b'"rate": 1e999'), "deep.json": huge, "empty.json": b"", "blank.json": b" \n\0",
        "list.json": b"[]", "text.json": b'"wave"', "cut.json": good[:700], "twice.json": good.replace(b'"rate": 24', b'"rate": 24, "rate": 12'),
        "unknown.json": good.replace(b'"rate": 24', b'"rate": 24, "marks": 100'), "utf-16.json": good.decode().encode("utf-16"),
        "latin.json": good.replace(b'"by": ""', b'"by": "\xe9"'), "surrogate.json": good.replace(b'"by": ""', b'"by": "\\ud800"'),
        "true.json": good.replace(b'"rate": 24', b'"rate": true'), "quoted.json": good.replace(b'"rate": 24', b'"rate": "24"'),
        "after.json": good + b"{}", "comma.json": good.replace(b"]\n  }\n}", b"],\n  }\n}").replace(b'"paper"', b",paper"),
        "later.json": good.replace(b'"version": 1', b'"version": 9'), "garbage.json": np.random.default_rng(1).bytes(4000),
        "no zip.zip": b"PK" + bytes(90), "cut.zip": zipped(("a.json", good))[:-30], "nothing.zip": zipped(),
        "nan in it.zip": zipped(("a.json", b"NaN")), "up.zip": zipped(("../../up.json", good)), "root.zip": zipped(("/etc/up.json", good)),
        "back.zip": zipped(("..\\up.json", good)), "drive.zip": zipped(("C:/up.json", good)),
        "nul.zip": zipped(("a.json", good)).replace(b"a.json", b"\0.json"),
        "again.zip": zipped(("a.json", good), ("b.json", good)).replace(b"b.json", b"a.json"),
        "bomb.zip": zipped(("a.json", bytes(60_000_000))), "torn.zip": _torn(zipped(("a.json", good))),
        "deeper.zip": zipped(("b.zip", zipped(("c.zip", zipped(("d.json", good)))))),
        "locked.zip": _locked(zipped(("a.json", good))), "link.zip": _link(), "strange.zip": zipped(("a.json", good)).replace(b"\x08\x00", b"\x63\x00"),
        "crc.zip": _wrong_sum(good), "no names.zip": _long_list(), "a.tar": b"ustar", "a.tar.gz": b"\x1f\x8b", "a.7z": b"7z", "a.ipynb": b"{}",
        "run me.py": b"raise SystemExit('a hand-in was run')",
        "=1+1.json": b"{}", "<script>alert(1)<|script>.json": b"{}", "\u202egnol.json": b"{}", "-2+3.txt": b"",
    }.items():
        put(name, data)
    with (folder / "sparse.json").open("wb") as file:
        file.truncate(1 << 30)
    (folder / "round.json").symlink_to(folder / "round.json")
    (folder / "secret.json").symlink_to("/etc/passwd")
    (folder / "up and out").symlink_to(folder.parent)
    (folder / "folder.json").mkdir()
    os.mkfifo(folder / "waits.json")
    os.mkfifo(folder / "waits.zip")
    names += ["sparse.json", "round.json", "secret.json", "up and out", "folder.json", "waits.json", "waits.zip"]
    with open(os.fsencode(folder) + b"/\xff\xfe.json", "wb") as file:
        file.write(b"{}")
    return [*names, "\ufffd\ufffd.json"]


def _locked(data):
    """As with a password: the bit that says so, in both places."""
    data = bytearray(data)
    for sign, at in ((b"PK\3\4", 6), (b"PK\1\2", 8)):
        data[data.index(sign) + at] |= 1
    return bytes(data)


def _torn(data):
    return data[:80] + bytes(40) + data[120:]


def _link():
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w") as packed:
        info = zipfile.ZipInfo("a.json")
        info.external_attr = 0o120777 << 16
        packed.writestr(info, "/etc/passwd")
    return held.getvalue()


def _wrong_sum(data):
    packed = bytearray(zipped(("a.json", data)))
    for sign, at in ((b"PK\3\4", 14), (b"PK\1\2", 16)):
        packed[packed.index(sign) + at] ^= 0xFF
    return bytes(packed)


def _long_list():
    """A zip that says that its list of names is four GB long."""
    packed = bytearray(zipped(("a.json", b"{}")))
    at = packed.rindex(b"PK\5\6")
    packed[at + 12:at + 16] = b"\xf0\xff\xff\xff"
    return bytes(packed)
