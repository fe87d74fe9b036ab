"""A class that is made up, to try the marking on: sixty learners, handed in as a learning platform hands it out, a folder or a zip a
learner and one file name for all.

All names are invented: birds and waters. Everybody draws homework 6; some break a rule, some began, some hand in twice, late, broken,
or not at all, and what one handed in names nobody. `lay_out` is the same for the same seed.
"""

import io
import random
import zipfile
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path

from ...ferry import actions
from ...ferry.actions import DEMOS, FAULTS, wave
from ...model import action_file
from ...rules import RULES
from ...rules.rule import LIMBS
from .mark import given

BIRDS = ("Avocet", "Curlew", "Dunlin", "Plover", "Knot", "Ruff", "Stint", "Teal", "Tern", "Gannet", "Fulmar", "Skúa", "Łyska", "Grèbe", "O'Heron")
WATERS = ("Quay", "Narrows", "Søund", "Breakwater", "Landing", "of the Ferry", "Mooring", "Slipway")
DUE = datetime(2026, 11, 29, 23, 59, 59)
FILE = "wave_the_boat_in.json"
HOMEWORK = "06_looping_arm"
ONE_ARM = [name for name, rule in FAULTS.items() if RULES[rule].scope != LIMBS]


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


def begun(start):
    """Elbows drawn, the rest as given."""
    points = start.limbs[0].drawings.copy()
    points[:, 1:] += wave().limbs[0].drawings[:, 1:2] - start.limbs[0].drawings[:, 1:2]
    return start.redrawn(points)


def _written(action):
    return action if isinstance(action, bytes) else action_file.dumps(action)


def zipped(*files):
    """A zip of (name, bytes) pairs, bytes."""
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in files:
            packed.writestr(zipfile.ZipInfo(name, (2026, 11, 28, 9, 0, 0)), data, zipfile.ZIP_DEFLATED)
    return held.getvalue()


def _drawings(kind, rng, start):
    """(what is handed in, its state, the fault that is in it)."""
    if kind == "done":
        return own_wave(rng), "done", ""
    if kind == "fault":
        name = rng.choice(ONE_ARM)
        return DEMOS[name](), "to mend", FAULTS[name]
    return {"two": (actions.traced_twice(actions.not_linked(wave()), drawing=12), "to mend", "opening"),
            "begun": (begun(start), "begun", ""), "given": (start, "nothing drawn", ""), "other": (actions.buoy(), "other work", ""),
            "ones": (wave(exposure=1), "to mend", "exposure"), "broken": (b'{"format": ', "not read", "")}[kind]


def lay_out(folder, count=60, seed=20261130, stray=False):
    """A class in `folder`, and beside it its roster.

    Parameters
    ----------
    folder : str or Path
        In which the folder of the hand-ins is made.
    count, seed : int
    stray : bool
        With one hand-in more that names nobody.

    Returns
    -------
    (Path, Path, list of Member)
        The folder of the hand-ins, the roster, and who is in the class.
    """
    rng = random.Random(seed)
    start = given(HOMEWORK).assignment.start
    hand_ins = Path(folder) / "hand-ins"
    hand_ins.mkdir(parents=True)
    (Path(folder) / "everybody here is invented.txt").write_text("All names and drawings here are invented.\n")
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
        drawn, state, fault = _drawings(kind, rng, start)
        at = DUE + timedelta(days=2, hours=rng.randrange(9)) if late else DUE - timedelta(hours=rng.randrange(1, 90))
        where = hand_ins / f"{name}_{one}_handed_in_{at:%Y-%m-%d_%H-%M}"
        if number % 9 == 4 and kind != "broken":
            (hand_ins / f"{where.name}.zip").write_bytes(zipped((f"my drawings/{FILE}", _written(drawn)), ("my drawings/notes.txt", b"")))
        else:
            where.mkdir()
            (where / FILE).write_bytes(_written(drawn))
        if number % 10 == 3:     # handed in before, as it was given
            early = hand_ins / f"{name}_{one}_handed_in_2026-11-20_08-15"
            early.mkdir()
            (early / FILE).write_bytes(_written(start))
        members.append(Member(one, name, state, late and not extended, fault))
    if stray:
        (hand_ins / "from a stick").mkdir()
        (hand_ins / "from a stick" / FILE).write_bytes(_written(own_wave(rng)))
    roster = Path(folder) / "class.csv"
    roster.write_bytes(("\ufeff" + "\r\n".join(lines) + "\r\n").encode("utf-8"))
    return hand_ins, roster, members
