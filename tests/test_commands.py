"""The command line, from outside: what goes in, what comes out, the exit code.

References: JSON Schema (draft 2020-12) for the lines of `check --json`, written from
their description; RFC 8259 section 6, no NaN; exit codes as described.
"""

import json
import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request

import click.testing
import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from ports import free_port

from anim_lessons import commands
from anim_lessons.course import terminal as in_terminal
from anim_lessons.ferry.actions import DEMOS, FAULTS, wave
from anim_lessons.model import action_file
from anim_lessons.pictures.export import KINDS

RULES = ["length", "arc", "spacing", "opening", "stops", "drag", "overlap", "link-up", "hold", "opposition"]
FINDING = {
    "rule": {"enum": RULES}, "limb": {"type": "string"}, "joint": {"type": "string"},
    "drawings": {"type": "array", "items": {"type": "integer", "minimum": 1}},
    "measured": {"type": "number"}, "allowed": {"type": "number"}, "unit": {"type": "string"},
    "says": {"type": "string", "minLength": 1}, "follows": {"type": ["integer", "null"], "minimum": 0},
    "corrected": {"oneOf": [{"type": "null"}, {"type": "object", "minProperties": 1, "additionalProperties": False, "patternProperties": {
        "^[1-9][0-9]*$": {"type": "array", "items": {"type": "array", "items": {"type": "number"}, "minItems": 2, "maxItems": 2}}}}]},
}
RULE = {"type": "object", "properties": {"passed": {"type": "boolean"}, "judged": {"type": "boolean"}},
        "required": ["passed", "judged"], "additionalProperties": False}
LINE = {
    "$schema": "https://json-schema.org/draft/2020-12/schema",
    "oneOf": [
        {
            "type": "object",
            "properties": {
                "file": {"type": "string"}, "readable": {"const": True}, "passed": {"type": "boolean"},
                "rules": {"type": "object", "properties": dict.fromkeys(RULES, RULE), "required": RULES,
                          "additionalProperties": False},
                "findings": {"type": "array", "items": {
                    "type": "object", "properties": FINDING, "required": list(FINDING),
                    "additionalProperties": False}},
            },
            "required": ["file", "readable", "passed", "rules", "findings"],
            "additionalProperties": False,
        },
        {
            "type": "object",
            "properties": {"file": {"type": "string"}, "readable": {"const": False},
                           "error": {"type": "string", "minLength": 1}},
            "required": ["file", "readable", "error"],
            "additionalProperties": False,
        },
    ],
}


@pytest.fixture
def run(tmp_path, monkeypatch):
    """The command in this process, in an empty folder."""
    monkeypatch.chdir(tmp_path)

    def command(*words):
        return click.testing.CliRunner().invoke(commands.main, [str(word) for word in words], prog_name="anim-lessons")

    return command


def elsewhere(code, folder, **variables):
    """Some code in a process of its own."""
    path = os.pathsep.join(os.path.abspath(entry) for entry in sys.path if entry)
    return subprocess.run([sys.executable, "-c", code], env={**os.environ, "PYTHONPATH": path, **variables}, cwd=folder,
                          check=False, capture_output=True, text=True, timeout=120)


def lines(done):
    def refuse(name):
        raise AssertionError(f"{name} is no JSON number")

    found = [json.loads(line, parse_constant=refuse) for line in done.stdout.splitlines()]
    for line in found:
        jsonschema.validate(line, LINE, cls=jsonschema.Draft202012Validator)
    return found


# ---- check -----------------------------------------------------------------------------


@pytest.mark.parametrize("name", DEMOS)
def test_a_demo_is_written_and_judged_as_its_name_says(name, run):
    assert 0 == run("demo", name, "--to", "wave.json").exit_code

    done = run("check", "--json", "wave.json")

    line, = lines(done)
    broken = [rule for rule, verdict in line["rules"].items() if not verdict["passed"]]
    assert (1 if name in FAULTS else 0) == done.exit_code
    assert (name not in FAULTS) == line["passed"]
    assert FAULTS.get(name) in (broken or [None])
    assert RULES == list(line["rules"])
    assert set(broken) == {finding["rule"] for finding in line["findings"]}
    count = DEMOS[name]().count
    assert all(1 <= n <= count for finding in line["findings"] for n in finding["drawings"])


@pytest.mark.parametrize("files, code", [
    (["good"], 0), (["good", "fault"], 1), (["fault", "good"], 1), (["bad", "good"], 2), (["good", "bad", "fault"], 2),
    (["missing", "fault"], 2)])
def test_the_highest_exit_code_wins_and_every_file_has_its_line(files, code, run, tmp_path):
    (tmp_path / "good").write_bytes(action_file.dumps(wave()))
    (tmp_path / "fault").write_bytes(action_file.dumps(DEMOS["elbow-locks"]()))
    (tmp_path / "bad").write_bytes(b"{}")

    done = run("check", "--json", *files)

    assert code == done.exit_code
    found = lines(done)
    assert files == [line["file"] for line in found]
    assert [name in ("good", "fault") for name in files] == [line["readable"] for line in found]
    assert [line["error"] for line in found if not line["readable"]] == done.stderr.splitlines()


def test_the_words_lead_with_the_cause(run):
    run("demo", "elbow-locks", "--to", "wave.json")
    run("demo", "wave", "--to", "clean.json")

    head, cause, *rest = run("check", "wave.json").stdout.splitlines()

    assert head.startswith("wave.json: 1 to mend, ")
    assert cause.startswith("  The elbow locks at ") and cause.endswith("(opening)")
    assert rest[0].startswith("      follows: at ")
    clean = run("check", "clean.json").stdout
    assert clean.startswith("clean.json: all 9 rules kept.\n")
    assert "  Not judged: opposition; there is only one limb" in clean


def test_one_rule_is_spoken_of_in_the_singular(run, tmp_path):
    run("demo", "wave", "--to", "wave.json")
    (tmp_path / "brief.toml").write_text('rules = ["arc"]')
    done = run("check", "wave.json", "--brief", "brief.toml")
    assert 0 == done.exit_code
    assert "wave.json: the one rule judged, arc, is kept." == done.stdout.splitlines()[0]
    assert "the brief does not ask for it" in done.stdout


def test_the_brief_says_which_rules_and_how_strict(run, tmp_path):
    run("demo", "hand-grows", "--to", "wave.json")
    assert 1 == run("check", "wave.json").exit_code
    (tmp_path / "brief.toml").write_text('rules = ["length"]\n[tolerances]\nlength = 0.5\n')
    assert 0 == run("check", "wave.json", "--brief", "brief.toml").exit_code


@pytest.mark.parametrize("brief", [b"rules = 3", b'rules = ["rhythm"]', b"\xff", b"= =", None])
def test_a_brief_that_cannot_be_read_is_an_error_of_a_line(brief, run, tmp_path):
    run("demo", "wave", "--to", "wave.json")
    if brief is not None:
        (tmp_path / "brief.toml").write_bytes(brief)
    done = run("check", "wave.json", "--brief", "brief.toml")
    assert (2, "") == (done.exit_code, done.stdout)
    assert done.stderr.startswith("brief.toml: ") and 1 == len(done.stderr.splitlines())


def test_what_a_file_says_does_not_reach_the_terminal_raw(run, tmp_path):
    document = action_file.document(DEMOS["hand-grows"]())
    document["limbs"][0]["joints"][1:3] = ["el\x1b[31mbow\n", "\u202ewrist"]
    (tmp_path / "wave.json").write_text(json.dumps(document), encoding="utf-8")
    done = run("check", "wave.json")
    assert 1 == done.exit_code
    assert not set("\x1b\u202e") & set(done.stdout)
    (tmp_path / "bad.json").write_text('{"\x7f\u202e": 1}', encoding="utf-8")
    assert "\\u202e" in run("check", "bad.json").stderr


@given(data=st.data())
@settings(max_examples=15, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_drawings_are_judged_in_finite_numbers(data, run, tmp_path):
    """Random scribbles, all joints on one spot, huge jumps: a verdict, never a crash or a NaN."""
    action = wave(drawings=data.draw(st.integers(8, 12)))
    places = st.sampled_from([0.0, 1.0, 100.0, 100.0001, -10_000.0, 10_000.0])
    drawings = action.limbs[0].drawings.copy()
    for _ in range(data.draw(st.integers(0, 40))):
        d, j = data.draw(st.integers(0, len(drawings) - 1)), data.draw(st.integers(0, 3))
        drawings[d, j] = data.draw(places), data.draw(places)
    if data.draw(st.booleans()):
        drawings[:] = drawings[0]
    action = action.redrawn(drawings).replace(loop=data.draw(st.booleans()), exposure=data.draw(st.integers(1, 3)))
    (tmp_path / "wave.json").write_bytes(action_file.dumps(action))

    done = run("check", "--json", "wave.json")

    line, = lines(done)
    assert line["readable"], line


# ---- what is loaded ----------------------------------------------------------------------


@pytest.mark.parametrize("code", [
    "import anim_lessons",
    "from anim_lessons import commands\ncommands.main(['check', 'wave.json'], standalone_mode=False)",
    "from anim_lessons import commands\ncommands.main(['--help'], standalone_mode=False)",
])
def test_a_check_loads_nothing_that_is_slow(code, run, tmp_path):
    run("demo", "wave", "--to", "wave.json")
    slow = "{'IPython', 'jupyterlab', 'jupyter_server', 'ipywidgets', 'anywidget', 'matplotlib', 'scipy', 'PIL', 'av'}"

    done = elsewhere(f"{code}\nimport sys\nprint(sorted({slow} & set(sys.modules)))", tmp_path)

    assert "[]" == done.stdout.splitlines()[-1], done.stderr


# ---- export and demo -------------------------------------------------------------------


@pytest.mark.parametrize("ending", KINDS)
def test_export_writes_each_kind_and_says_so(ending, run, tmp_path):
    run("demo", "buoy", "--to", "buoy.json")
    done = run("export", "buoy.json", "--to", f"buoy{ending}")
    assert (0, "") == (done.exit_code, done.stderr)
    assert done.stdout.startswith(f"buoy{ending}: ")
    starts = {".png": b"\x89PNG", ".apng": b"\x89PNG", ".svg": b"<?xml", ".pdf": b"%PDF", ".gif": b"GIF89a",
              ".mp4": b"\0\0\0", ".csv": b"frame,drawing"}
    assert (tmp_path / f"buoy{ending}").read_bytes().startswith(starts[ending])


def test_export_writes_a_page_to_give_away(run, tmp_path):
    """What is in the page: test_given, and in the browser."""
    run("demo", "elbow-locks", "--to", "wave.json")
    done = run("export", "wave.json", "--to", "wave.html")
    assert (0, "") == (done.exit_code, done.stderr)
    assert done.stdout.startswith("wave.html: one page ") and "16 drawings" in done.stdout
    assert (tmp_path / "wave.html").read_bytes().startswith(b"<!doctype html>")
    assert ".html" in run("export", "wave.json", "--to", "wave.xyz").stderr
    assert 2 == run("export", "wave.json", "--to", "no/such/folder/wave.html").exit_code


def test_export_does_not_write_over_its_own_file(run, tmp_path):
    run("demo", "buoy", "--to", "buoy.png")
    before = (tmp_path / "buoy.png").read_bytes()
    done = run("export", "buoy.png", "--to", "buoy.png")
    assert 2 == done.exit_code and "is the action file itself" in done.stderr
    assert before == (tmp_path / "buoy.png").read_bytes()


def test_a_demo_does_not_write_over_a_file_unless_told(run, tmp_path):
    (tmp_path / "wave.json").write_text("mine")
    done = run("demo", "wave", "--to", "wave.json")
    assert 2 == done.exit_code and "--replace" in done.stderr
    assert "mine" == (tmp_path / "wave.json").read_text()
    assert 0 == run("demo", "wave", "--to", "wave.json", "--replace").exit_code
    assert action_file.dumps(wave()) == (tmp_path / "wave.json").read_bytes()


def test_a_demo_that_is_not_there_names_those_that_are(run):
    done = run("demo", "tango", "--to", "wave.json")
    assert 2 == done.exit_code
    assert all(name in done.stderr for name in DEMOS)


# ---- words -----------------------------------------------------------------------------


@pytest.mark.parametrize("words", [
    ["check"], ["check", "--strict", "x"], ["export", "nope.json", "--to", "x.gif"], ["export", "x"], ["dance"],
    ["demo", "wave"], ["demo", "wave", "--to", "no/such/folder/x.json"], ["open", "--port", "0"], ["check", "nope.json"]])
def test_every_error_is_a_line_or_two_and_exit_code_2(words, run):
    done = run(*words)
    assert (2, "") == (done.exit_code, done.stdout)
    assert 1 <= len(done.stderr.splitlines()) <= 2
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize("command", [[], ["open"], ["check"], ["export"], ["demo"]])
def test_help_has_an_example(command, run):
    done = run(*command, "--help")
    assert 0 == done.exit_code
    assert f"Example:\n    anim-lessons {' '.join(command)}".rstrip() in done.stdout
    if command == ["demo"]:
        assert "fingertips-off-arc" in done.stdout


def test_a_shell_is_offered_commands_and_demos(tmp_path):
    """The protocol of the command-line library's own completion for bash."""
    def offered(words, at):
        done = elsewhere("from anim_lessons import commands; commands.main(prog_name='anim-lessons')", tmp_path,
                         _ANIM_LESSONS_COMPLETE="bash_complete", COMP_WORDS=words, COMP_CWORD=str(at))
        return [line.partition(",")[2] for line in done.stdout.splitlines()]

    assert ["check"] == offered("anim-lessons ch", 1)
    assert ["hand-grows", "hand-breathes", "hand-scoops", "hand"] == offered("anim-lessons demo hand", 2)


@pytest.mark.skipif(os.name != "posix", reason="a terminal of our own needs a POSIX system")
def test_long_work_shows_on_a_terminal_how_far_it_is(monkeypatch):
    import pty

    ours, theirs = pty.openpty()
    clock = iter(range(100))
    monkeypatch.setattr(in_terminal, "monotonic", lambda: next(clock))
    with open(theirs, "w") as terminal:
        monkeypatch.setattr(sys, "stderr", terminal)
        assert list(range(5)) == list(commands.pictures._watched(range(5), 5))
        monkeypatch.undo()
        shown = b""
        while b"100%" not in shown:  # a terminal may hand on each line by itself
            shown += os.read(ours, 100_000)
    os.close(ours)
    shown = shown.decode()
    assert "drawings" in shown and "100%" in shown


def test_short_work_and_files_show_no_progress(capsys):
    assert list(range(5)) == list(commands.pictures._watched(range(5), 5))
    assert "" == capsys.readouterr().err


# ---- open ------------------------------------------------------------------------------


def test_open_copies_and_starts_nothing_when_asked_so(run, tmp_path):
    done = run("open", "lessons", "--copy-only")
    assert 0 == done.exit_code
    assert (tmp_path / "lessons" / "06_looping_arm.ipynb").exists()
    assert not (tmp_path / "lessons" / "instructor").exists()


def test_open_refuses_a_port_that_is_taken_before_it_copies(run, tmp_path):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        done = run("open", "lessons", "--no-browser", "--port", taken.getsockname()[1])
    assert 2 == done.exit_code
    assert "cannot be used" in done.stderr and 1 == len(done.stderr.splitlines())
    assert not (tmp_path / "lessons").exists()


def test_open_starts_jupyterlab_on_the_folder_and_asks_for_a_token(tmp_path):
    port = free_port()
    path = os.pathsep.join(os.path.abspath(entry) for entry in sys.path if entry)
    with open(tmp_path / "log", "w") as log:
        server = subprocess.Popen(
            [sys.executable, "-m", "anim_lessons.commands", "open", "my lessons", "--no-browser", "--port", str(port)],
            cwd=tmp_path, stdout=log, stderr=log,
            env={**os.environ, "PYTHONPATH": path, "JUPYTER_TOKEN": "t0ken", "HOME": str(tmp_path)})
    try:
        def ask(where):
            for _ in range(240):
                assert server.poll() is None, (tmp_path / "log").read_text()
                try:
                    return urllib.request.urlopen(f"http://127.0.0.1:{port}{where}", timeout=5)
                except urllib.error.HTTPError as error:
                    return error
                except OSError:  # not up yet
                    time.sleep(0.25)
            raise AssertionError((tmp_path / "log").read_text())

        assert 403 == ask("/api/contents").status
        with ask("/api/contents?token=t0ken") as answer:
            names = {entry["name"] for entry in json.load(answer)["content"]}
        assert {"06_looping_arm.ipynb", "homework"} <= names
        with ask("/lab?token=t0ken") as page:
            assert 200 == page.status
        with ask("/lab/api/settings/%40jupyterlab%2Fapputils-extension%3Anotification?token=t0ken") as answer:
            known = json.load(answer)["schema"]["properties"]
        assert ("false", False) == (known["fetchNews"]["default"], known["checkForUpdates"]["default"])
    finally:
        server.terminate()
        server.wait(30)
