"""A class marked from a folder: results, sheet and page, and what only the instructor can tell.

The class is made up (`invented_class`); what is expected of each of its sixty was written down when it was made. The sheet is read back
by Python's own csv reader; the page by Python's own HTML parser. RFC 4180 for the sheet:
from memory.
"""

import ast
import csv
import io
import json
import os
import re
import shutil
import subprocess
import sys
import time
from dataclasses import replace
from html.parser import HTMLParser

import homework
import invented_class
import pytest
from click.testing import CliRunner

from anim_lessons import Brief, commands, lessons
from anim_lessons.assist.hand_in import Assignment
from anim_lessons.course.hand_ins import mark as marking
from anim_lessons.course.hand_ins.judged import LOG
from anim_lessons.course.hand_ins.mark import given, mark
from anim_lessons.course.hand_ins.own_marks import NAME, read_own
from anim_lessons.course.hand_ins.pages import FOLDER
from anim_lessons.course.hand_ins.results import BY_STATE, mark_class
from anim_lessons.course.hand_ins.roster import Learner, Roster, read_due, read_roster
from anim_lessons.course.marking import ALL_STATES, drawn_digest
from anim_lessons.ferry import actions
from anim_lessons.ferry.actions import wave
from anim_lessons.model import action_file
from anim_lessons.model.action import ActionError
from anim_lessons.pictures.export import cell_text

GOOD = action_file.dumps(wave())
KNOWN = Assignment(homework.brief(homework.NAME), invented_class.START)


@pytest.fixture(scope="module")
def sixty(tmp_path_factory):
    """The class of sixty, marked: folder, roster, members, results, and what was written."""
    top = tmp_path_factory.mktemp("class")
    folder, roster, members = invented_class.lay_out(top)
    results = mark(folder, top / "marks", given("06_looping_arm"), roster, "2026-11-29").results
    return top, members, results


def laid(folder, **files):
    """Files in a folder: "a__b.json" is b.json in a folder a."""
    for name, data in files.items():
        path = folder.joinpath(*name.split("__"))
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(data)
    return folder


def read_all(folder):
    """Path -> bytes of each file in a folder."""
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def typed(*words):
    return CliRunner().invoke(commands.main, ["mark", *map(str, words)])


# ---- who, which, when ----------------------------------------------------------------


def test_each_of_sixty_is_told_for_what_was_handed_in(sixty):
    _, members, results = sixty
    by = {one.who: one for one in results.results}

    assert [one.id for one in members] == list(by)
    assert [(one.id, one.expects, one.late) for one in members] == [
        (one.id, by[one.id].state, any(note.startswith("late: ") for note in by[one.id].notes)) for one in members]
    for one in members:
        if one.fault:
            assert by[one.id].row.marks[one.fault].startswith(("mend", "to mend")), one
    assert sum(bool(one.aside) for one in results.results) > 8 and {60} == {sum(results.states.values())}
    assert set(results.states) == set(BY_STATE) == set(ALL_STATES)


def test_one_file_name_for_all_without_a_roster(tmp_path):
    laid(tmp_path, avocet__wave=b"", **{"avocet__w.json": GOOD, "knot__w.json": GOOD, "ruff.json": b"{"})
    (tmp_path / "teal.zip").write_bytes(invented_class.zipped(("x/w.json", GOOD)))
    results = mark_class(tmp_path, KNOWN)
    assert [("avocet", "done"), ("knot", "done"), ("ruff", "not read"), ("teal", "done")] == [(one.who, one.state) for one in results.results]
    assert (("avocet/wave", "is no action file; a hand-in ends in .json, or .zip"),) == results.results[0].aside


@pytest.mark.parametrize("names, newest", [
    (("2026-11-20_10-00/w.json", "2026-11-21_09-00/w.json"), 1), (("hand in 2026-11-21/w.json", "hand in 2026-11-20/w.json"), 0),
    (("20261121T0900.json", "20261120T1000.json"), 0), (("attempt 2/w.json", "attempt 10/w.json"), 1),
    (("resubmission_1/w.json", "w.json"), 0), (("wave (2).json", "wave (1).json"), 0),
    # What lies further in was named by the learner: a date there is not believed against the platform's own.
    (("2026-11-20/w.json", "2026-11-19/2026-12-24/w.json"), 0),
    (("2026-11-31/w.json", "a/w.json"), 0),     # no date; then the file's own, and the first was changed last
])
def test_the_newest_counts_and_the_others_are_listed(tmp_path, names, newest):
    for number, name in enumerate(names):
        path = tmp_path / "avocet" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(GOOD)
        os.utime(path, (1_800_000_000 - number, 1_800_000_000 - number))     # fetched from a server, the other way round
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "w.json").write_bytes(GOOD)
    one, _ = mark_class(tmp_path, KNOWN).results
    assert f"avocet/{names[newest]}" == one.file and "the newest of 2 hand-ins" in one.notes
    assert ((f"avocet/{names[1 - newest]}", "an earlier one: done, 100%"),) == one.aside


def test_the_newest_counts_even_where_it_cannot_be_read(tmp_path):
    laid(tmp_path, **{"avocet__2026-11-20.json": GOOD, "avocet__2026-11-21.json": b"{", "b.json": GOOD})
    one = mark_class(tmp_path, KNOWN).results[0]
    assert ("not read", "avocet/2026-11-21.json") == (one.state, one.file) and one.needs_you
    assert (("avocet/2026-11-20.json", "an earlier one: done, 100%"),) == one.aside


def test_names_that_look_the_same_are_one_learner_and_both_are_listed(tmp_path):
    laid(tmp_path, **{"Gr\u00e8be__a.json": GOOD, "Gre\u0300be__b.json": GOOD, "knot__c.json": GOOD})
    first, knot = mark_class(tmp_path, KNOWN).results
    assert "Gr\u00e8be" == first.who and 1 == len(first.aside)


def test_late_is_by_the_learners_own_day_else_by_that_of_the_class(tmp_path):
    laid(tmp_path, **{f"{who}__2026-12-0{day}_12-00.json": GOOD for who, day in (("1", 1), ("2", 1), ("3", 7))})
    roster = Roster([Learner("1", "", None), Learner("2", "", read_due("2026-12-06")), Learner("3", "", read_due("2026-12-06"))])
    late = {one.who: " ".join(one.notes) for one in mark_class(tmp_path, KNOWN, roster, read_due("2026-11-29")).results}
    assert {"1": "late: 2026-12-01 12:00 by its name, due 2026-11-29 23:59", "2": "", "3": "late: 2026-12-07 12:00 by its name, due 2026-12-06 23:59"} == late


def test_a_file_without_a_date_in_its_name_is_late_by_its_own(tmp_path):
    laid(tmp_path, **{"1.json": GOOD, "2.json": GOOD})
    assert all("by the file's own date" in " ".join(one.notes) for one in mark_class(tmp_path, KNOWN, due=read_due("2020-01-01")).results)


def test_whose_it_is_is_asked_and_kept_once_it_is_answered(tmp_path):
    laid(tmp_path / "in", **{"10007 Tern Quay__w.json": GOOD, "somebody__w.json": GOOD})
    (tmp_path / "class.csv").write_text("id,name\n10007,Tern Quay\n10021,Knot Quay\n")
    words = (tmp_path / "in", "--homework", "6", "--roster", tmp_path / "class.csv", "--to", tmp_path / "out")
    asked = typed(*words)
    assert 1 == asked.exit_code and "whose? somebody: done: every rule kept" in asked.stdout
    rows = {row["who"]: row["state"] for row in json.loads((tmp_path / "out" / "results.json").read_bytes())["rows"]}
    assert {"10007": "done", "10021": "missing", "whose? somebody": "done"} == rows

    own = tmp_path / "out" / NAME
    told = json.loads(own.read_bytes())
    assert {"somebody": ""} == told["whose"]
    told["whose"]["somebody"] = "10021"
    own.write_text(json.dumps(told))
    assert 0 == typed(*words).exit_code
    rows = {row["who"]: row["state"] for row in json.loads((tmp_path / "out" / "results.json").read_bytes())["rows"]}
    assert {"10007": "done", "10021": "done"} == rows and json.loads(own.read_bytes()) == told


# ---- hostile -------------------------------------------------------------------------


def test_fifty_hostile_entries_change_nothing_for_the_others_and_write_nothing(sixty, tmp_path):
    top, _, results = sixty
    shutil.copytree(top / "hand-ins", tmp_path / "in")
    names = invented_class.hostile(tmp_path / "in")

    def there():
        of = {path: path.lstat() for path in tmp_path.rglob("*") if not path.is_relative_to(tmp_path / "out")}
        return {path: (info.st_mode, info.st_size, info.st_mtime_ns, info.st_ino) for path, info in of.items()}

    before = there()
    found = mark(tmp_path / "in", tmp_path / "out", given("6"), top / "class.csv", "2026-11-29").results

    assert [replace(one, when=None) for one in results.results] == [replace(one, when=None) for one in found.results if not one.unknown]
    strays = [one for one in found.results if one.unknown]
    assert set(names) == {one.file.split("/")[0] for one in strays} and {"not read"} == {one.state for one in strays}
    assert before == there()
    assert {"results.json", "results.csv", "class.html", NAME, LOG, FOLDER} == {path.name for path in (tmp_path / "out").iterdir()}


def test_a_hand_in_is_never_run_nor_imported():
    """No module of the collection runs, imports or loads what it reads: the words for it are not there."""
    folder = homework.ROOT / "anim_lessons" / "course" / "hand_ins"
    for path in folder.glob("*.py"):
        tree = ast.parse(path.read_text("utf-8"))
        called = {node.func.id for node in ast.walk(tree) if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)}
        named = {node.attr for node in ast.walk(tree) if isinstance(node, ast.Attribute)}
        imported = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
        assert not called & {"exec", "eval", "compile", "__import__"} and not named & {"extract", "extractall", "system", "popen"}, path.name
        assert not imported & {"pickle", "subprocess", "runpy", "importlib", "socket", "urllib", "marshal", "shelve"}, path.name


def test_results_within_the_hand_ins_are_no_hand_ins(tmp_path, monkeypatch):
    laid(tmp_path, **{"a.json": GOOD, "b.json": GOOD})
    monkeypatch.chdir(tmp_path)
    first = typed(".", "--homework", "6", "--to", "marks")
    written = read_all(tmp_path / "marks")
    assert 0 == first.exit_code and 0 == typed(".", "--homework", "6", "--to", "marks").exit_code
    assert written == read_all(tmp_path / "marks")   # same input, same bytes
    assert 2 == typed(".", "--homework", "6", "--to", ".").exit_code


def test_a_run_that_is_killed_at_any_point_goes_on_and_ends_with_the_same_bytes(sixty, tmp_path):
    """Wherever it is killed, a file is there whole or not at all; the next run goes on from there and leaves nothing over of it.
    Twenty kills: tests/bench/kill_marks.py, by hand."""
    top, _, _ = sixty
    words = [sys.executable, "-m", "anim_lessons.commands", "mark", str(top / "hand-ins"), "--homework", "6", "--roster", str(top / "class.csv"),
             "--due", "2026-11-29", "--to", str(tmp_path / "out")]
    whole = read_all(top / "marks")
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "new-0123456789abcdef").write_bytes(b"half")
    process = subprocess.Popen(words, stdout=subprocess.DEVNULL)
    try:
        while not list((tmp_path / "out").glob("pages/*.html")) and process.poll() is None:     # killed among the pages
            time.sleep(0.005)
    finally:
        process.kill()
        process.wait()
    left = read_all(tmp_path / "out")
    assert 0 < len(left) and all(data == whole[name] for name, data in left.items() if "new-" not in name)
    (tmp_path / "out" / LOG).write_bytes((tmp_path / "out" / LOG).read_bytes()[:-9])     # and the line that it wrote cut short
    assert 1 == subprocess.run(words, stdout=subprocess.DEVNULL, timeout=60).returncode
    done = read_all(tmp_path / "out")
    assert set(whole) == set(done) and all(data == whole[name] for name, data in done.items() if name != LOG)


# ---- what is written -----------------------------------------------------------------


def test_results_as_json(sixty):
    top, members, results = sixty
    told = json.loads((top / "marks" / "results.json").read_bytes())
    assert ("06_looping_arm.toml", "wave_the_boat_in.json") == (told["brief"], told["start"])
    assert [one.who for one in results.results] == [row["who"] for row in told["rows"]]
    for row in told["rows"]:
        assert ["who", "file", "state", "passed", "share", "rules", "says"] == list(row)
        assert row["state"] in ALL_STATES
        assert row["passed"] is (None if row["state"] in ("not read", "missing") else row["state"] == "done")
        assert (row["share"] == 1.0) == (row["state"] == "done") and (row["share"] is None or 0 <= row["share"] <= 1)
        assert all({"passed", "judged"} == set(said) for said in row["rules"].values())
    assert set(KNOWN.brief.rules) == set(told["rows"][0]["rules"])


def test_the_sheet_is_read_back_by_another_reader(sixty):
    top, members, results = sixty
    data = (top / "marks" / "results.csv").read_bytes()
    assert data.startswith(b"\xef\xbb\xbf") and data.endswith(b"\r\n")
    rows = list(csv.DictReader(io.StringIO(data.decode("utf-8-sig"), newline="")))
    assert [(one.id, one.name, one.expects) for one in members] == [(row["who"], cell_text(row["name"]), row["state"]) for row in rows]
    assert [("" if one.row.share is None else str(round(100 * one.row.share))) for one in results.results] == [row["holds, %"] for row in rows]


@pytest.mark.parametrize("name", ["=1+1", "+1", "-2+3", "@SUM(A1)", "=HYPERLINK('a')", "a,=1", "'=1", "\tx", '"=1', "＝1"])
def test_a_name_is_no_formula(tmp_path, name):
    laid(tmp_path / "in", **{"a.json": GOOD})
    (tmp_path / "in" / f"{name}.json").write_bytes(b"{}")
    mark(tmp_path / "in", tmp_path / "out", given("6"))
    rows = list(csv.reader(io.StringIO((tmp_path / "out" / "results.csv").read_bytes().decode("utf-8-sig"), newline="")))
    cells = [cell for row in rows for cell in row]
    assert not any(cell.lstrip(' "').startswith(tuple("=+-@＝\t\r")) for cell in cells)
    assert json.loads((tmp_path / "out" / "results.json").read_bytes())["rows"][-1]["who"] in {name, "a"}


class _Page(HTMLParser):
    def __init__(self, data):
        super().__init__()
        self.tags, self.links, self.text = set(), [], ""
        self.feed(data.decode("utf-8"))

    def handle_starttag(self, tag, attributes):
        self.tags.add(tag)
        self.links += [value for name, value in attributes if name in ("href", "src", "style", "onclick")]

    def handle_data(self, data):
        self.text += data


def test_the_page_needs_nothing_beside_it_and_runs_nothing(tmp_path):
    laid(tmp_path / "in", **{"a.json": GOOD})
    evil = action_file.dumps(actions.buoy()).replace(b'"buoy"', b'"<img src=x onerror=alert(1)>"')
    (tmp_path / "in" / "<script>alert(1)<.json").write_bytes(evil)
    (tmp_path / "in" / "\u202egnol.json").write_bytes(b"{}")
    mark(tmp_path / "in", tmp_path / "out", given("6"))
    data = (tmp_path / "out" / "class.html").read_bytes()
    page = _Page(data)
    assert not page.tags & {"script", "img", "link", "iframe", "form"} and b"\xe2\x80\xae" not in data
    pages = [link for link in page.links if re.fullmatch(r"pages/[\w-]+\.html", link) and (tmp_path / "out" / link).is_file()]
    assert 3 == len(pages) == len(page.links)
    assert "<script>alert(1)<" in page.text and "<img src=x onerror=alert(1)>" in page.text     # as words


def test_the_page_tells_states_first_what_to_show_again_and_where(sixty):
    top, _, results = sixty
    text = _Page((top / "marks" / "class.html").read_bytes()).text
    assert text.index("is no mark: the mark is yours") < text.index("begin withfile")
    at = [text.rindex(words) for words in ("begin withfile", "What to show again", "Where the faults lie", "Also there")]
    assert at == sorted(at)
    assert "60 in the class: 2 not read, 2 other work" in text and "teaches it." in text


def test_under_pseudonyms_the_page_holds_no_name_and_no_file(sixty, tmp_path):
    top, members, _ = sixty
    mark(top / "hand-ins", tmp_path / "out", given("6"), top / "class.csv", pseudonyms=True)
    page = (tmp_path / "out" / "class.html").read_text("utf-8")
    assert not any(word in page for one in members for word in (one.id, one.name.split()[0], "wave_the_boat_in"))
    rows = list(csv.DictReader(io.StringIO((tmp_path / "out" / "results.csv").read_bytes().decode("utf-8-sig"), newline="")))
    assert 60 == len({row["called"] for row in rows}) and all(f">{row['called']}<" in page for row in rows)
    assert [row["called"] for row in rows] != sorted((row["called"] for row in rows), key=lambda called: int(called.split()[1]))


def test_what_the_instructor_says_stands_on_the_page_until_the_drawings_are_others(tmp_path):
    laid(tmp_path / "in", **{"avocet.json": GOOD, "knot.json": GOOD})
    out = tmp_path / "out"
    mark(tmp_path / "in", out, given("6"))
    own = {"format": "anim-lessons/marks", "version": 1, "whose": {}, "marks": [
        {"who": "avocet", "drawn": drawn_digest(wave()), "rule": "arc", "mark": "to mend", "comment": "a flat <arc>", "by": "me", "at": "2026-11-30"}]}
    (out / NAME).write_text(json.dumps(own))

    def page():
        mark(tmp_path / "in", out, given("6"))
        return _Page((out / "class.html").read_bytes()).text

    assert "you: arc: to mend: a flat <arc>" in page() and 1 == page().count("a flat <arc>")
    (tmp_path / "in" / "avocet.json").write_bytes(action_file.dumps(wave(24)))
    assert "you, of an earlier one: arc: to mend: a flat <arc>" in page()
    assert own == json.loads((out / NAME).read_text())


@pytest.mark.parametrize("data", [b"{", b"[]", b"{}", b'{"format": "x", "version": 1}', b'{"format": "anim-lessons/marks", "version": 9}',
                                  b'{"format": "anim-lessons/marks", "version": 1, "marks": [{"comment": "a"}]}', b"\xff"])
def test_marks_that_cannot_be_read_stop_the_run_and_stay(tmp_path, data):
    laid(tmp_path / "in", **{"a.json": GOOD})
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / NAME).write_bytes(data)
    done = typed(tmp_path / "in", "--homework", "6", "--to", tmp_path / "out")
    assert 2 == done.exit_code and "move it away" in done.stderr and data == (tmp_path / "out" / NAME).read_bytes()
    assert [NAME] == [path.name for path in (tmp_path / "out").iterdir()]


def test_the_digest_is_of_the_drawings_alone():
    made = wave()
    same = made.replace(title="other", by="me", rate=12, paper=(420, 297), limbs=(replace(made.limbs[0], name="my arm"),))
    assert drawn_digest(made) == drawn_digest(same) == drawn_digest(made.redrawn(made.limbs[0].drawings + 0.0001))
    assert drawn_digest(made) != drawn_digest(made.redrawn(made.limbs[0].drawings + 0.001)) != drawn_digest(made.replace(exposure=1))
    assert drawn_digest(made.redrawn(made.limbs[0].drawings * 0.0)) == drawn_digest(made.redrawn(made.limbs[0].drawings * -0.0))


# ---- the command ---------------------------------------------------------------------


def test_exit_codes(tmp_path):
    folder = laid(tmp_path / "in", **{"a.json": GOOD, "b.json": GOOD})
    out = ("--to", tmp_path / "out")
    done = typed(folder, "--homework", "06_looping_arm", *out)
    assert (0, 1) == (done.exit_code, len(done.stdout.splitlines())) and "2 in the class: 2 done. Look at" in done.stdout
    (folder / "b.json").write_bytes(b"{")
    assert 1 == typed(folder, "--homework", "6", *out).exit_code
    (tmp_path / "none").mkdir()
    for words in ((tmp_path / "none", "--homework", "6"), (tmp_path / "nowhere", "--homework", "6"), (folder, "--homework", "12"), (folder,),
                  (folder, "--homework", "6", "--due", "soon"), (folder, "--homework", "6", "--roster", tmp_path / "none.csv"),
                  (folder, "--homework", "6", "--brief", tmp_path / "none.toml"), (folder, "--homework", "6", "--to", folder / "a.json")):
        done = typed(*words, *(out if "--to" not in words else ()))
        assert 2 == done.exit_code and done.stderr and "Traceback" not in done.stderr, words


def test_the_brief_says_by_when_unless_it_is_said_otherwise(tmp_path):
    folder = laid(tmp_path / "in", **{"avocet__2026-12-05_10-00.json": GOOD, "knot__2026-12-01_10-00.json": GOOD})
    (tmp_path / "b.toml").write_text('rules = ["arc"]\ndue = "2026-12-04"\n')
    words = (folder, "--homework", "6", "--brief", tmp_path / "b.toml", "--to", tmp_path / "out")

    def late():
        return [row["who"] for row in json.loads((tmp_path / "out" / "results.json").read_bytes())["rows"] if "late: " in row["says"]]

    assert 0 == typed(*words).exit_code and ["avocet"] == late()
    assert 0 == typed(*words, "--due", "2026-11-30").exit_code and ["avocet", "knot"] == late()


def test_a_brief_and_a_start_of_ones_own(tmp_path):
    folder = laid(tmp_path / "in", **{"a.json": GOOD, "b.json": action_file.dumps(invented_class.START)})
    (tmp_path / "short.toml").write_text('title = "Short"\nrules = ["arc"]\ndrawings = [20, 24]\n')
    (tmp_path / "start.json").write_bytes(action_file.dumps(invented_class.START))
    words = ("--brief", tmp_path / "short.toml", "--start", tmp_path / "start.json", "--to", tmp_path / "out")
    assert 0 == typed(folder, *words).exit_code == typed(folder, "--homework", "6", *words).exit_code
    told = json.loads((tmp_path / "out" / "results.json").read_bytes())
    assert ("short.toml", "start.json", ["to mend", "nothing drawn"]) == (told["brief"], told["start"], [row["state"] for row in told["rows"]])
    assert ["arc"] == list(told["rows"][0]["rules"]) and 0.5 == told["rows"][0]["share"]


def test_the_same_drawings_are_said_only_where_it_is_asked(tmp_path):
    folder = laid(tmp_path / "in", **{"a.json": GOOD, "b.json": action_file.dumps(wave().mirrored())})
    assert "the same drawings" not in typed(folder, "--homework", "6", "--to", tmp_path / "out").stdout
    asked = typed(folder, "--homework", "6", "--to", tmp_path / "out", "--alike")
    assert 0 == asked.exit_code and "a: the same drawings as b (mirrored)." in asked.stdout
    assert "a: the same drawings as b (mirrored)." in (tmp_path / "out" / "class.html").read_text("utf-8")


def test_every_homework_is_given_by_its_name_or_number():
    for name in {answers.notebook or key for key, answers in homework.ANSWERS.items()}:
        assert given(name).brief == f"{name}.toml" == given(str(int(name[:2]))).brief
    with pytest.raises(ActionError, match="there is no homework \"10\"; there is 01_buoy"):
        marking.given("10")


def test_from_a_notebook(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    laid(tmp_path / "in", **{"a.json": GOOD, "b.json": b"{"})
    said = str(lessons.mark_class("in", "6", due="2020-01-01"))
    assert said.splitlines()[-1] == "2 in the class: 1 not read, 1 done. Look at my_marks/class.html" and said.startswith("b: not read: ")
    assert (tmp_path / "my_marks" / "class.html").exists() and said == repr(lessons.mark_class("in", "6"))


def test_read_own_of_nothing(tmp_path):
    assert ((), {}) == (read_own(tmp_path).marks, read_own(tmp_path).whose)
    assert Brief().asked_of_stack == ()
    assert read_roster(invented_class.lay_out(tmp_path, 3)[1]).learners
