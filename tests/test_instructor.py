"""The instructor's notebooks: they run from top to bottom, their lecture is the one the library makes, learners get neither.

Reference: nbval itself, in a process of its own.
"""

import shutil

import homework
import nbformat
import pytest

from anim_lessons import action_file, check, lecture, workbook_copy

WORKBOOK = homework.ROOT / "notebooks"
NOTEBOOKS = sorted(path.name for path in (WORKBOOK / "instructor").glob("*.ipynb"))
SHIPPED = WORKBOOK / "instructor" / "start" / "looping_arm.json"


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("instructor") / "instructor"
    shutil.copytree(WORKBOOK / "instructor", folder, ignore=shutil.ignore_patterns("__pycache__", ".*", "my_*"))
    return folder


@pytest.fixture(scope="module")
def run(folder):
    return homework.nbval(folder, "--nbval")


@pytest.mark.parametrize("name", NOTEBOOKS)
def test_a_demonstration_runs_from_top_to_bottom_and_says_what_its_text_says(run, name):
    code, printed = run
    cells = sum(cell.cell_type == "code" for cell in nbformat.read(WORKBOOK / "instructor" / name, 4).cells)

    assert 0 == code, printed
    assert cells == printed.count(f"{name.removesuffix('.ipynb')}::ipynb::Cell ")


def test_what_is_drawn_in_it_goes_into_files_of_its_own(run, folder):
    assert SHIPPED.read_bytes() == (folder / "start" / SHIPPED.name).read_bytes()
    assert {"my_plan.json", "my_looping_arm.json", "my_lecture.json", "my_two_arms.json"} <= {path.name for path in folder.iterdir()}


def test_its_lecture_is_the_one_the_library_makes():
    assert action_file.dumps(lecture.looping_arm()) == SHIPPED.read_bytes()
    assert check(lecture.whole(action_file.read(SHIPPED))).passed


def test_learners_are_given_none_of_it():
    assert not any("instructor" in path.parts for path in workbook_copy.contents(WORKBOOK))
