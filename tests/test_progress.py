"""The step a check ends on, and the learner's own record of checks.

Outside judges: the disk's own refusals (a folder of another user, a link, a pipe) and another process that holds the
lock. That nothing is noted under nbval is looked at in test_homework. The order in which an instructor mends (the cause first, one
thing at a time) is common practice, no source.
"""

import os
import re
import subprocess
import sys
import tempfile
from datetime import datetime, timedelta
from html.parser import HTMLParser
from pathlib import Path

import homework
import pytest

from anim_lessons.assist.lesson_list import LESSONS
from anim_lessons.course import notebook, progress, report
from anim_lessons.ferry.actions import DEMOS, FAULTS, longer, scooped, traced_twice, two_arms, wave
from anim_lessons.judging.brief import Brief
from anim_lessons.judging.judge import check
from anim_lessons.light_table import desk
from anim_lessons.light_table.answer import Answer
from anim_lessons.model import action_file
from anim_lessons.rules import RULES
from anim_lessons.storage import disk

KEEP = report.Report((report.Line("FAIL", "length", "The hand grows at 11."), report.Line("FAIL", "drag", "The hand scoops at 2.")),
                     report.KEEP_GOING)
LAST = report.Report((report.Line("PASS", "length", "lengths kept"), report.Line("FAIL", "drag", "The hand scoops at 2.")),
                     report.ALMOST)
DONE = report.Report((report.Line("PASS", "length", "lengths kept"),), report.DONE)
BRIEF = Path("homework/06_looping_arm.toml")


NO_TEST_RUN = {name: value for name, value in os.environ.items() if not name.startswith("PYTEST")} | {
    "PYTHONPATH": str(homework.ROOT)}


# ---- the closing step ----------------------------------------------------------------


def closing(action, start=None, **asked):
    return str(report.report(action, Brief(**asked), start).lines[-1])


@pytest.mark.parametrize("name, rule", FAULTS.items())
def test_one_fault_is_almost_and_names_its_rule_its_drawings_and_its_lesson(name, rule):
    line = closing(DEMOS[name]())
    drawings = check(DEMOS[name]()).causes[0].drawings

    assert line.startswith(f"ALMOST  one thing is left: the {rule}")
    assert not drawings or f" at {drawings[0]}" in line or f" {drawings[0]}. " in line
    assert line.endswith(f", {LESSONS[RULES[rule].lesson].title}, teaches it.")


def test_of_several_faults_the_first_cause_is_the_one_to_begin_with():
    line = closing(longer(traced_twice(scooped(wave(), drawing=2), drawing=13), drawing=11))

    assert ("KEEP GOING  3 things to mend. Begin with the drag at 2: what scoops ahead moves by itself, and no longer "
            "hangs from anything. Lesson 3, The pennant, teaches it.") == line


@pytest.mark.parametrize("name", FAULTS)
def test_the_table_begins_with_the_same_fault(name):
    action = longer(DEMOS[name](), drawing=4) if name != "hand-grows" else DEMOS[name]()
    shown = desk.judged(Answer(action), 1)
    (first, *_) = [finding for finding in shown["findings"] if finding["follows"] is None]

    assert f"the {first['rule']}" in closing(action)
    assert {"name": RULES[first["rule"]].lesson, "title": LESSONS[RULES[first["rule"]].lesson].title} == first["lesson"]


def test_every_rule_that_can_fail_has_its_reason():
    assert {"hold"} == {name for name, rule in RULES.items() if not rule.why} == {name for name, rule in RULES.items() if rule.advises}


def test_of_two_arms_the_one_that_is_meant_is_named():
    both = two_arms()
    one, other = (limb.drawings for limb in both.limbs)
    grown = other.copy()
    grown[4, 3] += 0.13 * (grown[4, 3] - grown[4, 2])

    assert "the length of the far arm at 5. A part" in closing(both.redrawn(one, grown))


def test_what_the_brief_asks_of_the_stack_comes_after_what_is_drawn_wrong():
    assert "KEEP GOING  2 things to mend. Begin here: there are 12; the brief asks for 16 drawings." == closing(
        wave(12, exposure=1), drawings=(16, 16), exposure=2)
    assert "KEEP GOING  2 things to mend. Begin with the drag at" in closing(scooped(wave(12)), drawings=(16, 16))
    assert "ALMOST  one thing is left: there are 12; the brief asks for 16 drawings." == closing(wave(12), drawings=(16, 16))


def test_a_rule_that_could_not_judge_names_its_lesson_too():
    still = wave().redrawn(wave().limbs[0].drawings[:1].repeat(16, axis=0))
    line = closing(still, rules=("length", "overlap"))

    assert line.startswith("ALMOST  one thing is left: overlap cannot be judged yet: ")
    assert line.endswith(". Lesson 3, The pennant, teaches it.")


def test_what_is_not_drawn_yet_is_drawn_before_anything_is_mended():
    start = action_file.read(homework.HOMEWORK / "start" / homework.FILE)
    model, begun = wave().limbs[0].drawings, start.limbs[0].drawings.copy()
    begun[:5, 1:] += (model[:5, 1] - begun[:5, 1])[:, None]  # five elbows placed, what hangs below shifted along
    line = closing(start.redrawn(begun), start)

    assert line.startswith("KEEP GOING  elbow: 4 of 15 drawn. Go on with 6: ")    # 1 lies as given, and may stay


# ---- the record ----------------------------------------------------------------------


@pytest.fixture
def learner(tmp_path, monkeypatch):
    """A learner's folder, where this test run counts for none."""
    monkeypatch.setattr(progress, "TEST_RUN", set())
    monkeypatch.chdir(tmp_path)
    (tmp_path / "homework").mkdir()
    return tmp_path


def at(monkeypatch, when):
    class Clock(datetime):
        @classmethod
        def now(cls):
            return when

    monkeypatch.setattr(progress, "datetime", Clock)


def noted(folder):
    return (folder / progress.NAME).read_text("utf-8").split("\n\n")[1].splitlines()


def test_a_line_a_check_that_anybody_can_read(learner, monkeypatch):
    for minute, lines in enumerate([KEEP, LAST, DONE]):
        at(monkeypatch, datetime(2026, 11, 25, 20, minute))
        progress.note("homework/wave_the_boat_in.json", BRIEF, lines)

    assert ["2026-11-25 20:00  06_looping_arm  keep going  length, drag",
            "2026-11-25 20:01  06_looping_arm  almost  drag",
            "2026-11-25 20:02  06_looping_arm  done"] == noted(learner)
    assert noted(learner) == [str(one) for one in progress.checks()]
    assert {progress.NAME, "homework", ".kept"} == set(os.listdir(learner))


def test_homework_and_lesson_write_into_one_record(learner, monkeypatch):
    progress.note("my_buoy.json", None, LAST)
    monkeypatch.chdir("homework")
    progress.note("wave_the_boat_in.json", "06_looping_arm.toml", DONE)

    assert ["my_buoy", "06_looping_arm"] == [one.exercise for one in progress.checks()]
    assert not Path(progress.NAME).exists()


def test_the_same_answer_again_only_moves_its_time(learner, monkeypatch):
    for minute in range(3):
        at(monkeypatch, datetime(2026, 11, 25, 20, minute))
        progress.note("a.json", None, LAST)

    assert ["2026-11-25 20:02  a  almost  drag"] == noted(learner)


def test_what_only_follows_from_a_fault_is_not_noted_as_one(learner):
    progress.note("a.json", None, report.report(DEMOS["elbow-locks"](), Brief(rules=("spacing", "opening"))))

    assert [("opening",)] == [one.broken for one in progress.checks()]


def test_what_has_not_begun_is_not_noted(learner):
    progress.note("a.json", None, report.report(wave(), start=wave()))

    assert not Path(progress.NAME).exists()


def test_the_check_cell_writes_it_and_prints_what_it_always_printed(learner, capsys):
    Path("wave.json").write_bytes(action_file.dumps(scooped(wave())))
    asked = Brief(rules=("length", "drag"))
    with pytest.raises(notebook.RulesBroken):
        notebook.verdict("wave.json", asked)
    Path("wave.json").write_bytes(action_file.dumps(wave()))
    capsys.readouterr()
    notebook.verdict("wave.json", asked)

    assert ("PASS  length — lengths kept\nPASS  drag — the last part trails in mid-swing\nPASS  all rules kept\n", "") == capsys.readouterr()
    assert [("wave", "almost", ("drag",)), ("wave", "done", ())] == [
        (one.exercise, one.step, one.broken) for one in progress.progress().rows and progress.checks()]


def test_under_pytest_nothing_is_written(tmp_path):
    progress.note(tmp_path / "wave.json", None, DONE)

    assert [] == list(tmp_path.iterdir())


def test_in_a_learners_kernel_it_is_written(learner):
    """The same check cell in a process of its own, without a test run around it."""
    Path("wave.json").write_bytes(action_file.dumps(wave()))
    subprocess.run([sys.executable, "-c", "from anim_lessons import lessons; lessons.verdict('wave.json')"], check=True,
                   env=NO_TEST_RUN, stdout=subprocess.DEVNULL)

    assert [("wave", "done")] == [(one.exercise, one.step) for one in progress.checks()]


def test_a_learners_own_words_stay(learner):
    progress.note("a.json", None, KEEP)
    text = Path(progress.NAME).read_text("utf-8") + "Ask about the hand — käme es später?\r\n\x0b\n2026  a  done\n"
    Path(progress.NAME).write_bytes(text.encode())
    progress.note("a.json", None, DONE)

    assert Path(progress.NAME).read_bytes().startswith(text.rstrip("\n").encode())
    assert ["keep going", "done"] == [one.step for one in progress.checks()]


@pytest.mark.parametrize("garbled", [b"\xff\xfe\x00m", b"My progress\0\n", b"x" * (progress.MOST_BYTES + 1)],
                         ids=["no text", "a NUL", "too large"])
def test_what_is_no_text_is_kept_beside_and_a_new_record_begun(learner, garbled):
    Path(progress.NAME).write_bytes(garbled)
    assert () == progress.checks()
    progress.note("a.json", None, DONE)

    assert garbled == Path("my_progress (kept beside).txt").read_bytes()
    assert ["done"] == [one.step for one in progress.checks()]


@pytest.mark.parametrize("text", ["", "\n\n", "﻿"])
def test_an_empty_record_is_begun_again(learner, text):
    Path(progress.NAME).write_text(text, "utf-8")
    progress.note("a.json", None, DONE)

    assert ["done"] == [one.step for one in progress.checks()]


def test_a_deleted_record_begins_afresh(learner):
    progress.note("a.json", None, KEEP)
    Path(progress.NAME).unlink()
    assert () == progress.checks()
    progress.note("a.json", None, DONE)

    assert ["done"] == [one.step for one in progress.checks()]


@pytest.mark.parametrize("make", [lambda path: path.symlink_to("elsewhere.txt"), lambda path: path.mkdir(), os.mkfifo],
                         ids=["a link", "a folder", "a pipe"])
def test_what_is_no_file_is_left_alone_and_no_check_fails_of_it(learner, make):
    Path("elsewhere.txt").write_text("somebody else's")
    make(Path(progress.NAME))
    before = os.lstat(progress.NAME)
    progress.note("a.json", None, DONE)

    assert "somebody else's" == Path("elsewhere.txt").read_text()
    assert (before.st_mode, before.st_ino) == (os.lstat(progress.NAME).st_mode, os.lstat(progress.NAME).st_ino)
    assert () == progress.checks()


def test_in_a_folder_that_is_read_only_the_check_goes_on():
    """As nobody where this is root, who may write anywhere."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "wave.json").write_bytes(action_file.dumps(wave()))
        folder.chmod(0o555)
        code = ("import os; from anim_lessons import lessons\n"
                "if os.getuid() == 0: os.setuid(65534)\n"
                "lessons.verdict('wave.json')")
        done = subprocess.run([sys.executable, "-c", code], cwd=folder, env=NO_TEST_RUN, capture_output=True, text=True)
        folder.chmod(0o755)

        assert (0, "PASS  all rules kept") == (done.returncode, done.stdout.splitlines()[-1]), done.stderr
        assert ["wave.json"] == os.listdir(folder)


def test_a_full_disk_keeps_nobody_from_the_verdict(learner, monkeypatch):
    def full(path, data):
        raise disk.StoreError("the folder is full")

    monkeypatch.setattr(disk, "write_whole", full)
    progress.note("a.json", None, DONE)

    assert not Path(progress.NAME).exists()


def test_two_notebooks_that_check_at_once_lose_no_line(learner):
    code = ("import sys; from anim_lessons.course import progress, report\n"
            "for n in range(20): progress.note(f'{sys.argv[1]}{n}.json', None, report.Report((), report.DONE))")
    running = [subprocess.Popen([sys.executable, "-c", code, name], env=NO_TEST_RUN) for name in "ab"]
    assert [0, 0] == [one.wait() for one in running]

    assert sorted(f"{name}{n}" for name in "ab" for n in range(20)) == sorted(one.exercise for one in progress.checks())


def test_an_old_record_loses_old_failures_and_no_pass(learner, monkeypatch):
    monkeypatch.setattr(progress, "MOST_LINES", 6)
    when = datetime(2026, 11, 25, 8)
    for n in range(20):
        at(monkeypatch, when + timedelta(minutes=n))
        progress.note(f"{n}.json", None, DONE if n == 1 else LAST)

    assert ["1", *map(str, range(14, 20))] == [one.exercise for one in progress.checks()]
    assert Path(progress.NAME).read_text("utf-8").startswith(progress.HEAD)


@pytest.mark.parametrize("name", ["two  blanks.json", "a\nb.json", "<b>.json", "done.json", "\udce9.json", "é.json"])
def test_any_name_of_a_file_comes_back_as_one_exercise(learner, name):
    progress.note(name, None, LAST)

    (one,) = progress.checks()
    assert ("almost", ("drag",)) == (one.step, one.broken)


# ---- shown ---------------------------------------------------------------------------


class Cells(HTMLParser):
    """The rows of a table and the links, as a browser's parser would see them."""

    def __init__(self, html):
        super().__init__()
        self.rows, self.links, self.tags, self._open = [], [], [], False
        self.feed(html)

    def handle_starttag(self, tag, attributes):
        self.tags.append(tag)
        if tag == "tr":
            self.rows.append([])
        elif tag in ("td", "th"):
            self.rows[-1].append("")
            self._open = True
        elif tag == "a":
            self.links.append(dict(attributes)["href"])

    def handle_endtag(self, tag):
        self._open = self._open and tag not in ("td", "th")

    def handle_data(self, data):
        if self._open:
            self.rows[-1][-1] += data


def test_the_table_says_what_is_done_what_failed_before_and_what_comes_next(learner, monkeypatch):
    at(monkeypatch, datetime(2026, 11, 25, 20, 31))
    for lines in (KEEP, LAST, DONE):
        progress.note("homework/ride_the_swell.json", "homework/01_buoy.toml", lines)
    progress.note("homework/swing_the_lantern.json", "homework/02_lantern.toml", KEEP)
    progress.note("homework/swing_the_lantern.json", "homework/02_lantern.toml", LAST)
    table = progress.progress()
    shown = Cells(table._repr_html_())

    assert ["1 The buoy", "done", "2026-11-25 20:31", "", "length, drag"] == shown.rows[1]
    assert ["2 The lantern", "almost", "2026-11-25 20:31", "drag", "length"] == shown.rows[2]
    assert ["3 The pennant", "not started", "", "", ""] == shown.rows[3]
    assert "02_lantern" == table.next.name
    assert "Next: lesson 2, The lantern." in str(table)
    assert "1 The buoy                  done (2026-11-25 20:31); failed before: length, drag" in str(table)


def test_an_exercise_that_passed_and_was_spoiled_is_not_done(learner):
    for lines in (DONE, LAST):
        progress.note("homework/ride_the_swell.json", "homework/01_buoy.toml", lines)

    assert "almost" == progress.progress().rows[0].step


def test_links_lead_from_lesson_and_from_homework_to_what_is_there(learner, monkeypatch):
    for name in ("01_buoy.ipynb", "homework/01_buoy.ipynb"):
        Path(name).write_text("{}")
    assert ["homework/01_buoy.ipynb", "01_buoy.ipynb"] == Cells(progress.progress()._repr_html_()).links
    monkeypatch.chdir("homework")
    assert ["01_buoy.ipynb", "../01_buoy.ipynb"] == Cells(progress.progress()._repr_html_()).links


def test_when_all_has_passed_your_own_drawings_come_next(learner):
    for lesson in LESSONS.values():
        if lesson.file:
            progress.note(lesson.file, f"{lesson.name}.toml", DONE)

    assert "10_your_own" == progress.progress().next.name


def test_names_in_the_record_cannot_put_anything_into_the_page(learner):
    Path(progress.NAME).write_text("2026-11-25 20:31  <script>alert(1)</script>  almost  <img src=x onerror=alert(1)>\n")
    shown = Cells(progress.progress()._repr_html_())

    assert not {"script", "img"} & set(shown.tags)
    assert "<script>alert(1)</script>" == shown.rows[-1][0]


def test_no_address_and_no_colour_is_in_the_table(learner):
    assert not re.search(r"https?:|#[0-9a-f]{3,6}\b|rgb", progress.progress()._repr_html_())
    assert {"not started"} == {row.step for row in progress.progress().rows}
