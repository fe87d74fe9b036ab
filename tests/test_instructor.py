"""The instructor's notebooks: their lectures are those the library makes, learners get none of it."""

import re
import shlex

import homework
import nbformat
from click.testing import CliRunner

from anim_lessons import check, commands
from anim_lessons.assist import lecture
from anim_lessons.course import workbook_copy
from anim_lessons.ferry.demos import DEMOS
from anim_lessons.ferry.looping_arm import looping_arm
from anim_lessons.model import action_file

WORKBOOK = homework.ROOT / "notebooks"
NOTEBOOKS = sorted(path.name for path in (WORKBOOK / "instructor").glob("*.ipynb"))
SHIPPED = WORKBOOK / "instructor" / "start" / "looping_arm.json"


def test_what_is_drawn_in_it_goes_into_files_of_its_own(nbval_run):
    folder = nbval_run.top / "workbook" / "instructor"
    assert SHIPPED.read_bytes() == (folder / "start" / SHIPPED.name).read_bytes()
    assert {"my_plan.json", "my_looping_arm.json", "my_lecture.json", "my_two_arms.json"} <= {path.name for path in folder.iterdir()}


def test_its_lecture_is_the_one_the_library_makes():
    assert action_file.dumps(looping_arm()) == SHIPPED.read_bytes()
    assert check(lecture.whole(action_file.read(SHIPPED))).passed


def test_learners_are_given_none_of_it():
    assert not any("instructor" in path.parts for path in workbook_copy.contents(WORKBOOK))


def names(paths):
    return {path.as_posix() for path in paths}


def test_an_instructor_is_given_all_of_it_and_what_learners_are_given():
    more = names(workbook_copy.contents(WORKBOOK, instructor=True)) - names(workbook_copy.contents(WORKBOOK))
    assert {f"instructor/{name}" for name in NOTEBOOKS} | {"instructor/start/looping_arm.json"} <= more
    assert all(name.startswith("instructor/") for name in more)
    assert names(workbook_copy.contents(WORKBOOK)) <= names(workbook_copy.contents(WORKBOOK, instructor=True))


def test_an_instructors_workbook_opens_with_the_plan_and_stays_as_it_is_when_it_is_opened_as_a_learners(tmp_path, monkeypatch):
    started = []
    monkeypatch.setattr(commands.workbook, "_run", lambda command: started.append(command) or 0)
    for options in (["--instructor"], [], ["--instructor"]):
        done = CliRunner().invoke(commands.main, ["open", str(tmp_path / "mine"), "--no-browser", *options])
        assert 0 == done.exit_code, done.output
        assert (tmp_path / "mine" / "instructor" / "plan_of_the_term.ipynb").exists()
    pages = [part for command in started for part in command if part.startswith("--LabApp.default_url")]
    plan, lesson = "/doc/tree/instructor/plan_of_the_term.ipynb", "/doc/tree/00_start_here.ipynb"
    assert [f"--LabApp.default_url={page}" for page in (plan, lesson, plan)] == pages
    assert "updated" not in done.output and "new" not in done.output


def test_a_learners_workbook_has_no_plan_to_open_with(tmp_path, monkeypatch):
    started = []
    monkeypatch.setattr(commands.workbook, "_run", lambda command: started.append(command) or 0)
    CliRunner().invoke(commands.main, ["open", str(tmp_path / "mine"), "--no-browser"])
    assert not (tmp_path / "mine" / "instructor").exists()
    assert "--LabApp.default_url=/doc/tree/00_start_here.ipynb" in started[0]


def test_the_commands_of_the_marking_guide_run_one_after_the_other(tmp_path, monkeypatch):
    text = "\n".join(cell.source for cell in nbformat.read(WORKBOOK / "instructor" / "marking_guide.ipynb", 4).cells)
    typed = [shlex.split(line)[1:] for line in re.findall(r"^    (anim-lessons .+)$", text, re.MULTILINE)]
    monkeypatch.chdir(tmp_path)
    (tmp_path / "hand-ins").mkdir()
    for bird, name in (("dunlin", "elbow-locks"), ("avocet", "wave")):
        (tmp_path / "hand-ins" / f"{bird}.json").write_bytes(action_file.dumps(DEMOS[name]()))

    # All read; copied; one of two breaks a rule; told; mended; exported.
    assert [0, 0, 1, 0, 0, 0] == [CliRunner().invoke(commands.main, words).exit_code for words in typed]
    assert (tmp_path / "marks" / "class.html").exists() and (tmp_path / "marks" / "results.csv").exists()
    assert (tmp_path / "fresh" / "homework" / "06_looping_arm.ipynb").exists()
    assert (tmp_path / "dunlin.gif").read_bytes().startswith(b"GIF89a")
