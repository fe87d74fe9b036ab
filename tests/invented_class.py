"""A class that is made up, handed in as a learning platform hands it out: a folder a learner, one file name for all.

All names are invented: birds and waters. Everybody draws homework 6; some break a rule, some began, some hand in twice, late, broken,
or not at all. `lay_out` is the same for the same seed.
"""

import io
import os
import random
import zipfile
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

import homework
import numpy as np

from anim_lessons.ferry import actions
from anim_lessons.ferry.actions import DEMOS, FAULTS, wave
from anim_lessons.model import action_file

BIRDS = ("Avocet", "Curlew", "Dunlin", "Plover", "Knot", "Ruff", "Stint", "Teal", "Tern", "Gannet", "Fulmar", "Skúa", "Łyska", "Grèbe", "O'Heron")
WATERS = ("Quay", "Narrows", "Søund", "Breakwater", "Landing", "of the Ferry", "Mooring", "Slipway")
DUE = datetime(2026, 11, 29, 23, 59, 59)
FILE = "wave_the_boat_in.json"
START = action_file.read(homework.start(homework.NAME))
ONE_ARM = [name for name, rule in FAULTS.items() if rule != "opposition"]


@dataclass(frozen=True)
class Member:
    """One of the class: `expects` is the state of the hand-in that counts, `late` whether it is."""

    id: str
    name: str
    expects: str
    late: bool = False
    fault: str = ""


def own_wave(rng, **sliders):
    """A right wave with a hand of its own: each a little wider, slower, looser."""
    return wave(rng.choice((12, 16, 20, 24)), swing=rng.uniform(30, 38), middle=rng.uniform(68, 76), elbow=rng.uniform(26, 33),
                drag=rng.uniform(20, 27), **sliders)


def begun():
    """Elbows drawn, the rest as given."""
    given, points = START.limbs[0].drawings, START.limbs[0].drawings.copy()
    points[:, 1:] += wave().limbs[0].drawings[:, 1:2] - given[:, 1:2]
    return START.redrawn(points)


def _written(action):
    return action if isinstance(action, bytes) else action_file.dumps(action)


def _zipped(*files):
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in files:
            packed.writestr(zipfile.ZipInfo(name, (2026, 11, 28, 9, 0, 0)), data, zipfile.ZIP_DEFLATED)
    return held.getvalue()


def _drawings(kind, rng):
    """(what is handed in, its state, the fault that is in it)."""
    if kind == "done":
        return own_wave(rng), "done", ""
    if kind == "fault":
        name = rng.choice(ONE_ARM)
        return DEMOS[name](), "to mend", FAULTS[name]
    return {"two": (actions.traced_twice(actions.not_linked(wave()), drawing=12), "to mend", "opening"),
            "begun": (begun(), "begun", ""), "given": (START, "nothing drawn", ""), "other": (actions.buoy(), "other work", ""),
            "ones": (wave(exposure=1), "to mend", "exposure"), "broken": (b'{"format": ', "not read", "")}[kind]


def lay_out(folder, count=60, seed=20261130):
    """A class in `folder`, and beside it its roster.

    Returns
    -------
    (Path, Path, list of Member)
        The folder of the hand-ins, the roster, and who is in the class.
    """
    rng = random.Random(seed)
    hand_ins = Path(folder) / "hand-ins"
    hand_ins.mkdir(parents=True)
    kinds = ["done"] * 26 + ["fault"] * 14 + ["two"] * 4 + ["begun"] * 4 + ["given"] * 3 + ["ones"] * 3 + ["other"] * 2 + ["broken"] * 2 + ["missing"] * 2
    members, lines = [], ["id;name;due"]
    for number in range(count):
        kind = kinds[number % len(kinds)]
        one, name = f"{10000 + 7 * number}", f"{BIRDS[number % len(BIRDS)]} {WATERS[number // len(BIRDS) % len(WATERS)]}"
        late = number % 13 == 5 and kind not in ("missing", "broken")
        extended = number % 26 == 5
        lines.append(f"{one};{name};{'2026-12-06' if extended else ''}")
        if kind == "missing":
            members.append(Member(one, name, "missing"))
            continue
        drawn, state, fault = _drawings(kind, rng)
        at = DUE + timedelta(days=2, hours=rng.randrange(9)) if late else DUE - timedelta(hours=rng.randrange(1, 90))
        where = hand_ins / f"{name}_{one}_handed_in_{at:%Y-%m-%d_%H-%M}"
        if number % 9 == 4 and kind != "broken":
            (hand_ins / f"{where.name}.zip").write_bytes(_zipped((f"my drawings/{FILE}", _written(drawn)), ("my drawings/notes.txt", b"")))
        else:
            where.mkdir()
            (where / FILE).write_bytes(_written(drawn))
        if number % 10 == 3:     # handed in before, as it was given
            early = hand_ins / f"{name}_{one}_handed_in_2026-11-20_08-15"
            early.mkdir()
            (early / FILE).write_bytes(_written(START))
        members.append(Member(one, name, state, late and not extended, fault))
    roster = Path(folder) / "class.csv"
    roster.write_bytes(("\ufeff" + "\r\n".join(lines) + "\r\n").encode("utf-8"))
    return hand_ins, roster, members


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
        "no zip.zip": b"PK" + bytes(90), "cut.zip": _zipped(("a.json", good))[:-30], "nothing.zip": _zipped(),
        "nan in it.zip": _zipped(("a.json", b"NaN")), "up.zip": _zipped(("../../up.json", good)), "root.zip": _zipped(("/etc/up.json", good)),
        "back.zip": _zipped(("..\\up.json", good)), "drive.zip": _zipped(("C:/up.json", good)),
        "nul.zip": _zipped(("a.json", good)).replace(b"a.json", b"\0.json"),
        "again.zip": _zipped(("a.json", good), ("b.json", good)).replace(b"b.json", b"a.json"),
        "bomb.zip": _zipped(("a.json", bytes(60_000_000))), "torn.zip": _torn(_zipped(("a.json", good))),
        "deeper.zip": _zipped(("b.zip", _zipped(("c.zip", _zipped(("d.json", good)))))),
        "locked.zip": _locked(_zipped(("a.json", good))), "link.zip": _link(), "strange.zip": _zipped(("a.json", good)).replace(b"\x08\x00", b"\x63\x00"),
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
    packed = bytearray(_zipped(("a.json", data)))
    for sign, at in ((b"PK\3\4", 14), (b"PK\1\2", 16)):
        packed[packed.index(sign) + at] ^= 0xFF
    return bytes(packed)


def _long_list():
    """A zip that says that its list of names is four GB long."""
    packed = bytearray(_zipped(("a.json", b"{}")))
    at = packed.rindex(b"PK\5\6")
    packed[at + 12:at + 16] = b"\xf0\xff\xff\xff"
    return bytes(packed)
