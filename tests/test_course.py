"""The course and the rules are held together: what is checked is taught, and what is taught is there.

That a class goes from timing and spacing by arcs to overlapping action: common practice, no source.
"""

import re

import homework
import nbformat
import pytest

from anim_lessons.assist import lesson_list
from anim_lessons.judging.brief import read_brief
from anim_lessons.rules import RULES
from anim_lessons.rules.finding import Finding

WORKBOOK = homework.ROOT / "notebooks"
LESSON = re.compile(r"\d\d_\w+")  # what is on its way is held as soon as it is there
THERE = sorted(path for path in WORKBOOK.glob("*.ipynb") if LESSON.fullmatch(path.stem))
BRIEFS = sorted((WORKBOOK / "homework").glob("*.toml"))


def named(path):
    return path.stem


def test_every_rule_is_taught_and_every_rule_taught_is_one():
    assert set(RULES) == {rule for lesson in lesson_list.LESSONS.values() for rule in lesson.rules}
    assert set(RULES) == {rule for lesson in lesson_list.LESSONS.values() for rule in lesson.rules}


def test_a_rule_is_looked_up_in_the_first_lesson_that_teaches_it():
    for rule, name in ((rule.name, rule.lesson) for rule in RULES.values()):
        assert name == next(lesson.name for lesson in lesson_list.LESSONS.values() if rule in lesson.rules)


def test_lessons_are_numbered_in_their_order():
    assert list(range(len(lesson_list.LESSONS))) == [lesson.number for lesson in lesson_list.LESSONS.values()]
    assert list(lesson_list.LESSONS) == sorted(lesson_list.LESSONS)
    assert all(name == lesson.name for name, lesson in lesson_list.LESSONS.items())


def test_no_two_lessons_hand_in_the_same_file():
    files = [lesson.file for lesson in lesson_list.LESSONS.values() if lesson.file]
    assert len(files) == len(set(files))


@pytest.mark.parametrize("path", THERE, ids=named)
def test_a_notebook_is_a_lesson_and_has_its_title(path):
    lesson = lesson_list.LESSONS[path.stem]
    assert f"# {lesson.title}" == nbformat.read(path, 4).cells[0].source.splitlines()[0]


@pytest.mark.parametrize("path", BRIEFS, ids=named)
def test_homework_is_a_lessons_and_its_rules_are_taught_by_then(path):
    lesson = lesson_list.LESSONS[path.stem]
    taught = {rule for one in lesson_list.LESSONS.values() if one.number <= lesson.number for rule in one.rules}
    later = set(read_brief(path).rules) - taught

    # A loop is judged for its link-up from the first lesson on; lesson 8 is where it is mended.
    assert later <= {"link-up"}, f"{path.name} asks for {later}, which a later lesson teaches"
    assert f'"{lesson.file}"' in path.with_suffix(".ipynb").read_text("utf-8").replace("\\", "")
    assert (path.parent / "start" / lesson.file).exists()


def test_after_each_lesson_comes_the_next_and_after_the_last_none():
    names = list(lesson_list.LESSONS)
    assert names[1:] == [lesson_list.after(name).name for name in names[:-1]]
    assert lesson_list.after(names[-1]) is None


def test_a_finding_names_its_lesson():
    finding = Finding("opening", "arm", "elbow", (13,), 0.0, 2.9, "deg", "The elbow locks at 13.", "")
    assert "lesson 5, The elbow" == str(lesson_list.lesson_for(finding))


@pytest.mark.parametrize("path", [*BRIEFS, *sorted((WORKBOOK / "homework" / "loose").glob("*.toml"))], ids=named)
def test_the_text_of_a_brief_repeats_no_number_that_may_be_changed_in_it(path):
    """The light table says beside it how many drawings are asked, and how long each is held."""
    assert not re.search(r"\d+ drawings|on (ones|twos|threes)", read_brief(path).text)
