"""Files that are no action: each is refused in a line that says where, and keeps no other from being judged.

Reference: RFC 8259 (JSON) - section 2 grammar, section 4 names "SHOULD be unique",
section 6 numbers ("Infinity and NaN are not permitted"), section 8.1 UTF-8 without a
byte order mark - and the action file's own description. From memory.
"""

import json
import os
import resource
import subprocess
import sys

import pytest

from anim_lessons import ActionError
from anim_lessons.ferry.actions import wave
from anim_lessons.model import action_file

GOOD = action_file.dumps(wave(drawings=8))
HALF = GOOD[:len(GOOD) // 2]
FIRST = json.loads(GOOD)["limbs"][0]["drawings"][2][1][0]  # x of the elbow in drawing 3


def edited(change):
    """The good file with its document changed in place."""
    document = json.loads(GOOD)
    change(document)
    return json.dumps(document).encode()


def elbow(literal):
    """The good file with x of the elbow in drawing 3 written so."""
    def change(document):
        document["limbs"][0]["drawings"][2][1][0] = "HERE"
    return edited(change).replace(b'"HERE"', literal)


def at(*path, value):
    def change(document):
        *way, last = path
        for key in way:
            document = document[key]
        document[last] = value
    return edited(change)


def without(*path):
    def change(document):
        *way, last = path
        for key in way:
            document = document[key]
        del document[last]
    return edited(change)


def all_drawings(count):
    drawings = json.loads(GOOD)["limbs"][0]["drawings"]
    return at("limbs", 0, "drawings", value=[drawings[0]] * count)


def planned(*path, value):
    """The good file with two plans and a lecture, and something wrong in them."""
    def change(document):
        limb = document["limbs"][0]
        limb["plans"] = [{"joint": "elbow", "path": [[1, 2], [3, 4]], "chart": [0.125 * n for n in range(8)]},
                         {"joint": "wrist", "path": [[1, 2], [3, 4]], "chart": [0.125 * n for n in range(8)]}]
        document["lecture"] = [{"drawing": n, "limb": "arm", "joint": "elbow", "points": [*map(list, limb["drawings"][n - 1])],
                                "says": "Look."} for n in (2, 3)]
        *way, last = path
        for key in way:
            document = document[key]
        document[last] = value
    return edited(change)


WRIST = ("limbs", 0, "plans", 1)
TOLD = ("lecture", 1)
PLAN, STEP = ['"arm"', 'plan of "wrist"'], ["lecture", "step 2"]
OPTIONAL = {
    "plans of nothing": (planned("limbs", 0, "plans", value=None), ['"arm"', '"plans"', "null"]),
    "plan of a number": (planned(*WRIST, value=7), ['"arm"', "plan 2", "an object"]),
    "plan with a key too many": (planned(*WRIST, "mood", value=1), [*PLAN, '"mood"']),
    "plan of no joint": (planned(*WRIST, "joint", value="knee"), ['"arm"', '"knee"']),
    "joint planned twice": (planned(*WRIST, "joint", value="elbow"), ['"arm"', "two plans", '"elbow"']),
    "path of one place": (planned(*WRIST, "path", value=[[1, 2]]), [*PLAN, '"path"']),
    "path of 2001 places": (planned(*WRIST, "path", value=[[n, 2] for n in range(2001)]), [*PLAN, '"path"', "2000"]),
    "path in one place": (planned(*WRIST, "path", value=[[1, 2], [1, 2]]), ['"arm"', '"wrist"', "stays"]),
    "place of three numbers": (planned(*WRIST, "path", 1, value=[1, 2, 3]), [*PLAN, "place 2"]),
    "place off any sheet": (planned(*WRIST, "path", 1, 0, value=1e5), [*PLAN, "place 2", "x", "10000"]),
    "place that is a text": (planned(*WRIST, "path", 1, 1, value="4"), [*PLAN, "place 2", "y"]),
    "place that is NaN": (planned(*WRIST, "path", 1, 1, value=float("nan")), [*PLAN, "place 2", "y", "NaN"]),
    "chart a drawing short": (planned(*WRIST, "chart", value=[0, 1]), ['"arm"', '"wrist"', "2 drawings", "there are 8"]),
    "chart beyond the end": (planned(*WRIST, "chart", 7, value=1.5), [*PLAN, "drawing 8"]),
    "chart that falls": (planned(*WRIST, "chart", 3, value=0), ['"arm"', '"wrist"', "drawing 4", "never falls"]),
    "chart of NaN": (planned(*WRIST, "chart", 3, value=float("nan")), [*PLAN, "drawing 4", "NaN"]),
    "lecture of nothing": (planned("lecture", value=None), ['"lecture"', "null"]),
    "step of a text": (planned(*TOLD, value="Look."), STEP),
    "step with a key too many": (planned(*TOLD, "mood", value=1), [*STEP, '"mood"']),
    "step without points": (planned(*TOLD, value={"drawing": 2, "limb": "arm", "joint": "elbow", "says": ""}), [*STEP, '"points"']),
    "step of no drawing": (planned(*TOLD, "drawing", value=0), [*STEP, '"drawing"']),
    "step of a drawing that is not there": (planned(*TOLD, "drawing", value=9), ["lecture", "step 2", "drawing 9", "there are 8"]),
    "step of true": (planned(*TOLD, "drawing", value=True), [*STEP, '"drawing"']),
    "step of no limb": (planned(*TOLD, "limb", value="leg"), ["lecture", "step 2", '"leg"']),
    "step of no joint": (planned(*TOLD, "joint", value="knee"), ["lecture", "step 2", '"arm"', '"knee"']),
    "step a joint short": (planned(*TOLD, "points", value=[[1, 2]]), ["lecture", "step 2", '"arm"', "drawing 3", "1 points"]),
    "step off any sheet": (planned(*TOLD, "points", 1, 0, value=1e5), [*STEP, '"arm"', "drawing 3", '"elbow"', "x"]),
    "step of NaN": (planned(*TOLD, "points", 1, 0, value=float("nan")), [*STEP, '"arm"', "drawing 3", '"elbow"', "NaN"]),
    "speech without end": (planned(*TOLD, "says", value="x" * 2001), [*STEP, '"says"', "2000"]),
    "speech of a number": (planned(*TOLD, "says", value=3), [*STEP, '"says"']),
    "501 steps": (planned("lecture", value=[json.loads(planned("title", value=""))["lecture"][0]] * 501), ['"lecture"', "500"]),
}

ELBOW = ['"arm"', "drawing 3", '"elbow"']
ROWS = {  # case: (bytes of the file, what the message must name)
    "NaN": (elbow(b"NaN"), ELBOW + ["NaN"]),
    "Infinity": (elbow(b"Infinity"), ELBOW + ["Infinity"]),
    "minus Infinity": (elbow(b"-Infinity"), ELBOW + ["Infinity"]),
    "1e999": (elbow(b"1e999"), ELBOW),
    "1e300": (elbow(b"1e300"), ELBOW + ["10000"]),
    "just over the bound": (elbow(b"10000.5"), ELBOW + ["10000"]),
    "integer of 400 digits": (elbow(b"9" * 400), ELBOW),
    "integer of 5000 digits": (elbow(b"9" * 5000), ELBOW),
    "true for a coordinate": (elbow(b"true"), ELBOW),
    "text for a coordinate": (elbow(b'"20.0"'), ELBOW),
    "null for a coordinate": (elbow(b"null"), ELBOW),
    "key twice": (GOOD.replace(b'"rate": 24', b'"rate": 24, "rate": 25'), ['"rate"', "twice"]),
    "key twice in a limb": (GOOD.replace(b'"name": "arm"', b'"name": "leg", "name": "arm"'), ['"name"', "twice"]),
    "unknown key": (at("mood", value="cheerful"), ['"mood"']),
    "unknown key in a limb": (at("limbs", 0, "mood", value=1), ['"mood"', '"arm"']),
    "missing key": (without("paper"), ['"paper"']),
    "missing key in a limb": (without("limbs", 0, "stops"), ['"stops"', '"arm"']),
    "point of one number": (at("limbs", 0, "drawings", 2, 1, value=[1.0]), ELBOW),
    "point of three numbers": (at("limbs", 0, "drawings", 2, 1, value=[1.0, 2.0, 3.0]), ELBOW),
    "drawing one joint short": (without("limbs", 0, "drawings", 2, 3), ['"arm"', "drawing 3", "3 points", "4 joints"]),
    "no drawings": (all_drawings(0), ['"arm"', "drawings"]),
    "one drawing": (all_drawings(1), ['"arm"', "drawings"]),
    "241 drawings": (all_drawings(241), ['"arm"', "drawings", "240"]),
    "nested 100 000 deep": (b"[" * 100_000 + b"]" * 100_000, ["list"]),
    "nested 100 000 deep inside": (GOOD.replace(b'"title": "wave the boat in"', b'"title": ' + b"[" * 100_000 +
                                                b"]" * 100_000), ["title"]),
    "byte order mark": (b"\xef\xbb\xbf" + GOOD, ["byte order mark"]),
    "UTF-16": (GOOD.decode().encode("utf-16"), ["not UTF-8"]),
    "Latin-1": (GOOD.replace(b'"name": "arm"', '"name": "ärm"'.encode("latin-1")), ["not UTF-8"]),
    "half a character": (GOOD.replace(b'"title": "wave the boat in"', rb'"title": "\ud800"'), ['"title"', "half a character"]),
    "comma too many": (GOOD.replace(b'"rate": 24,', b'"rate": 24,,'), ["not JSON"]),
    "comma before the brace": (GOOD.rstrip()[:-1] + b",}", ["not JSON"]),
    "comment": (b"// mine\n" + GOOD, ["not JSON"]),
    "single quotes": (GOOD.replace(b'"', b"'"), ["not JSON"]),
    "text after the end": (GOOD + b"and more", ["not JSON"]),
    "second object after the end": (GOOD + GOOD, ["not JSON"]),
    "cut off": (HALF, ["JSON", f"line {HALF.count(10) + 1}"]),  # 10: line feed
    "cut off in a number": (GOOD[:GOOD.index(b"58.4") + 3], ["line 14"]),
    "empty": (b"", ["empty"]),
    "blanks": (b" \r\n\t ", ["empty"]),
    "NUL bytes": (b"\0" * 4096, ["empty"]),
    "list on top": (b"[" + GOOD + b"]", ["list"]),
    "number on top": (b"24", ["object"]),
    "other format": (at("format", value="something/else"), ["format", "anim-lessons/action"]),
    "later version": (at("version", value=2), ["version"]),
    "version as a text": (at("version", value="1"), ["version"]),
    "rate as a fraction": (at("rate", value=23.976), ["rate"]),
    "loop as a number": (at("loop", value=1), ["loop"]),
    "exposure of nothing": (at("exposure", value=0), ["exposure"]),
    "exposure of one drawing left out": (at("exposure", value=[2] * 7), ["exposure", "7", "8"]),
    "exposure with a nothing": (at("exposure", value=[2, 2, 0, 2, 2, 2, 2, 2]), ["exposure"]),
    "length of nothing": (at("limbs", 0, "lengths", 1, value=0), ['"arm"', "lengths", "2"]),
    "a length short": (at("limbs", 0, "lengths", value=[58.4, 53.1]), ['"arm"', "2 lengths"]),
    "stops the wrong way round": (at("limbs", 0, "stops", 1, value=[140, 0]), ['"arm"', "segment 2", "wrong way"]),
    "no limbs": (at("limbs", value=[]), ["limbs"]),
    "one name twice": (at("limbs", 0, "joints", 2, value="elbow"), ['"elbow"', '"arm"']),
    "paper of nothing": (at("paper", "width", value=0), ["paper"]),
    "name of a megabyte": (at("n" * 1_000_000, value=1), ["unknown key"]),
    **OPTIONAL,
}


def test_the_file_with_plans_and_lecture_is_read():
    action = action_file.loads(planned("title", value="wave"))
    assert (["elbow", "wrist"], [2, 3]) == ([plan.joint for plan in action.limbs[0].plans], [step.drawing for step in action.lecture])


def test_a_lecture_before_limbs_that_are_none_is_refused_in_a_line():
    data = b'{"format": "anim-lessons/action", "version": 1, "lecture": [{"drawing": 1, "limb": "arm", "points": [[1, "x"]]}], "limbs": 5}'
    with pytest.raises(ActionError, match='lecture, step 1, limb "arm", drawing 1, joint 1, y: a number belongs here'):
        action_file.loads(data)


@pytest.fixture
def hand_ins(tmp_path):
    """A folder with a good file, and a writer of bad ones."""
    (tmp_path / "good.json").write_bytes(GOOD)
    return tmp_path


def run(*words, folder):
    """The command in a process of its own: exit code, lines of standard output, lines of standard error."""
    done = subprocess.run([sys.executable, "-m", "anim_lessons.commands", *words], cwd=folder, check=False,
                          capture_output=True, text=True, timeout=120, env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)})
    return done.returncode, done.stdout.splitlines(), done.stderr.splitlines()


@pytest.mark.parametrize("case", ROWS)
def test_each_is_refused_where_it_is_wrong(case):
    data, named = ROWS[case]

    with pytest.raises(ActionError) as refusal:
        action_file.loads(data, where="hand-ins/ann.json")

    says = str(refusal.value)
    assert says.startswith("hand-ins/ann.json: ")
    assert len(says.splitlines()) <= 2
    assert [] == [name for name in named if name not in says], says
    assert "$" not in says and "msgspec" not in says


def test_the_file_they_are_made_from_is_read():
    assert FIRST == action_file.loads(GOOD).limbs[0].drawings[2, 1, 0]


def test_a_class_of_bad_files_keeps_no_good_one_from_being_judged(hand_ins):
    for number, (data, _) in enumerate(ROWS.values()):
        (hand_ins / f"bad{number}.json").write_bytes(data)
    bad = sorted(path.name for path in hand_ins.glob("bad*.json"))

    code, told, complained = run("check", "--json", *bad[:20], "good.json", *bad[20:], folder=hand_ins)

    assert 2 == code
    lines = [json.loads(line) for line in told]
    assert [*bad[:20], "good.json", *bad[20:]] == [line["file"] for line in lines]
    assert ["good.json"] == [line["file"] for line in lines if line["readable"]]
    assert bad == [line.split(":")[0] for line in complained]  # one line each, and no traceback
    assert max(map(len, complained)) < 1000


def test_lines_may_end_in_carriage_return_and_line_feed():
    assert GOOD == action_file.dumps(action_file.loads(GOOD.replace(b"\n", b"\r\n")))


@pytest.mark.parametrize("place", ["fifo", "folder", "link to itself", "link to a device", "missing"])
def test_what_is_no_file_is_refused_without_waiting(hand_ins, place):
    path = hand_ins / "ann.json"
    if place == "fifo":
        os.mkfifo(path)
    elif place == "folder":
        path.mkdir()
    elif place == "link to itself":
        path.symlink_to(path)
    elif place == "link to a device":
        path.symlink_to("/dev/zero")

    code, told, complained = run("check", "ann.json", "good.json", folder=hand_ins)

    assert 2 == code
    assert told[0].startswith("good.json: ")
    assert 1 == len(complained) and complained[0].startswith("ann.json: ")


def test_a_gigabyte_is_refused_before_it_is_read(hand_ins):
    with open(hand_ins / "huge.json", "wb") as file:
        file.truncate(2**30)  # sparse: takes no room on the disk
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss

    code, _, complained = run("check", "huge.json", folder=hand_ins)

    assert 2 == code
    assert "huge.json: is too large" in complained[0]
    grown = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    assert grown <= max(peak, 300_000)  # kB: numpy and the rules, not the file


def test_numbers_by_the_megabyte_are_refused_by_their_size():
    data = b"[" + b"1.5," * (action_file.MAX_BYTES // 4) + b"1]"
    with pytest.raises(ActionError, match="too large"):
        action_file.loads(data)


def test_many_small_values_below_the_cap_are_refused_too():
    """8 MB of empty lists would be hundreds of MB as Python objects; the typed reader stops at the first."""
    data = b"[" + b"[]," * (action_file.MAX_BYTES // 3 - 10) + b"[]]"
    with pytest.raises(ActionError):
        action_file.loads(data)


def test_a_name_that_is_no_text_is_said_and_the_rest_is_judged(hand_ins):
    name = os.fsencode(hand_ins) + b"/\xff\n.json"
    with open(name, "wb") as file:
        file.write(b"[]")

    code, told, complained = run("check", os.fsdecode(name), "good.json", folder=hand_ins)

    assert (2, 1) == (code, len(complained))
    assert "\\n.json: " in complained[0]
    assert told[0].startswith("good.json: ")
