"""The workbook reaches a learner's folder, and never takes anything away there."""

import json
import shutil
import tomllib
from pathlib import Path

import pytest

import anim_lessons
from anim_lessons import ActionError
from anim_lessons.course import workbook_copy

ROOT = Path(__file__).parents[1]


def notebook(*sources, outputs=()):
    """A notebook as the workbook gives it out."""
    cells = [{"cell_type": "code", "source": [source], "outputs": list(outputs), "execution_count": None,
              "metadata": {}, "id": str(n)} for n, source in enumerate(sources)]
    return json.dumps({"cells": cells, "metadata": {}, "nbformat": 4, "nbformat_minor": 5}, indent=1).encode() + b"\n"


@pytest.fixture
def given(tmp_path):
    """A workbook of two files, given out once."""
    book = tmp_path / "book"
    (book / "homework" / "start").mkdir(parents=True)
    (book / "06_arm.ipynb").write_bytes(notebook("first version"))
    (book / "homework" / "start" / "wave.json").write_bytes(b'{\n  "version": 1\n}\n')
    workbook_copy.copy(book, tmp_path / "mine")
    return book, tmp_path / "mine"


def test_all_files_come_and_a_second_time_nothing_happens(given):
    book, mine = given
    before = {path: path.stat().st_mtime_ns for path in mine.rglob("*") if path.is_file()}

    assert [f"{mine}: the workbook is there; files: 2 as they were."] == workbook_copy.copy(book, mine)

    assert before == {path: path.stat().st_mtime_ns for path in mine.rglob("*") if path.is_file()}
    assert notebook("first version") == (mine / "06_arm.ipynb").read_bytes()
    assert {"06_arm.ipynb", "homework", ".workbook.json"} == {path.name for path in mine.iterdir()}


def test_a_lesson_is_given_out_with_its_answers_not_yet_printed(tmp_path):
    """Else "guess, then run this" has the answer under it. Homework keeps its verdict, for nbval compares it."""
    mine = tmp_path / "mine"
    workbook_copy.copy(ROOT / "notebooks", mine, instructor=True)
    printed = {path.relative_to(mine).as_posix() for path in mine.rglob("*.ipynb")
               if any(cell.get("outputs") or cell.get("execution_count") for cell in json.loads(path.read_bytes())["cells"])}
    homework = {f"homework/{path.name}" for path in (mine / "homework").glob("*.ipynb")}
    assert len(homework) == 10
    assert {*homework, "glossary.ipynb", "instructor/plan_of_the_term.ipynb", "instructor/marking_guide.ipynb"} == printed
    for name in homework:
        cells = [cell for cell in json.loads((mine / name).read_bytes())["cells"] if cell.get("outputs")]
        assert cells and all(cell["metadata"]["jupyter"]["outputs_hidden"] for cell in cells), f"{name}: the goal lies open"


def test_a_file_left_as_it_was_is_brought_up_to_date(given):
    book, mine = given
    (book / "06_arm.ipynb").write_bytes(notebook("second version"))
    assert [f"{mine}: the workbook is there; files: 1 updated, 1 as they were."] == workbook_copy.copy(book, mine)
    assert notebook("second version") == (mine / "06_arm.ipynb").read_bytes()


def test_a_notebook_that_was_only_run_is_as_it_was(given):
    book, mine = given
    run = notebook("first version", outputs=[{"output_type": "stream", "name": "stdout", "text": "hello"}])
    (mine / "06_arm.ipynb").write_bytes(run)

    workbook_copy.copy(book, mine)
    assert run == (mine / "06_arm.ipynb").read_bytes()  # no new version: its outputs stay

    (book / "06_arm.ipynb").write_bytes(notebook("second version"))
    workbook_copy.copy(book, mine)
    assert notebook("second version") == (mine / "06_arm.ipynb").read_bytes()


@pytest.mark.parametrize("file, changed, new", [
    ("06_arm.ipynb", notebook("my own words"), notebook("second version")),
    ("06_arm.ipynb", b"no longer a notebook", notebook("second version")),
    ("homework/start/wave.json", b'{\n  "version": 1, "mine": 1\n}\n', b'{\n  "version": 1, "new": 1\n}\n'),
])
def test_a_changed_file_is_kept_and_the_new_one_put_beside_it_once(given, file, changed, new):
    book, mine = given
    (mine / file).write_bytes(changed)
    workbook_copy.copy(book, mine)
    assert changed == (mine / file).read_bytes()
    assert [] == list(mine.rglob("*.new-*"))  # changed, but nothing new to put beside it

    (book / file).write_bytes(new)
    says = workbook_copy.copy(book, mine)

    assert changed == (mine / file).read_bytes()
    beside, = mine.rglob("*.new-*")
    assert new == beside.read_bytes()
    assert beside.suffix == Path(file).suffix
    assert f"{file}: you changed it, so it was kept; the new one is beside it, {beside.name}." == says[0]

    assert 1 == len(workbook_copy.copy(book, mine))  # and no word about it a second time
    assert [beside] == list(mine.rglob("*.new-*"))


def test_a_file_the_learner_took_away_stays_away(given):
    book, mine = given
    (mine / "06_arm.ipynb").unlink()
    (book / "06_arm.ipynb").write_bytes(notebook("second version"))

    for _ in range(2):
        says = workbook_copy.copy(book, mine)
        assert says[0].startswith("06_arm.ipynb: you took it away")
        assert not (mine / "06_arm.ipynb").exists()


def test_a_file_of_the_learner_s_own_is_not_touched(given):
    book, mine = given
    (mine / "07_legs.ipynb").write_bytes(b"mine")
    (book / "07_legs.ipynb").write_bytes(notebook("the next lesson"))
    says = workbook_copy.copy(book, mine)
    assert b"mine" == (mine / "07_legs.ipynb").read_bytes()
    assert says[0].startswith("07_legs.ipynb: you changed it, so it was kept")


def test_a_file_gone_from_the_workbook_stays_with_the_learner(given):
    book, mine = given
    (book / "06_arm.ipynb").unlink()
    workbook_copy.copy(book, mine)
    assert (mine / "06_arm.ipynb").exists()


def test_line_endings_of_another_system_are_no_change(given):
    book, mine = given
    start = mine / "homework" / "start" / "wave.json"
    start.write_bytes(start.read_bytes().replace(b"\n", b"\r\n"))
    (book / "homework" / "start" / "wave.json").write_bytes(b'{\n  "version": 1, "new": 1\n}\n')
    workbook_copy.copy(book, mine)
    assert b'{\n  "version": 1, "new": 1\n}\n' == start.read_bytes()


@pytest.mark.parametrize("manifest", [None, b"", b"[]", b"{\"given out\": {\"06_arm.ipynb\": 3}}", b"\xff", b"[" * 100_000])
def test_without_a_manifest_nothing_is_overwritten(given, manifest):
    book, mine = given
    (mine / "06_arm.ipynb").write_bytes(notebook("my own words"))
    (book / "06_arm.ipynb").write_bytes(notebook("second version"))
    (mine / ".workbook.json").unlink()
    if manifest is not None:
        (mine / ".workbook.json").write_bytes(manifest)

    workbook_copy.copy(book, mine)

    assert notebook("my own words") == (mine / "06_arm.ipynb").read_bytes()
    assert 1 == len(list(mine.glob("06_arm.new-*.ipynb")))


def test_broken_off_between_files_and_manifest_goes_on_where_it_was(given):
    book, mine = given
    (book / "06_arm.ipynb").write_bytes(notebook("second version"))
    manifest = (mine / ".workbook.json").read_bytes()
    workbook_copy.copy(book, mine)
    (mine / ".workbook.json").write_bytes(manifest)  # as if it had been killed before the manifest

    assert [f"{mine}: the workbook is there; files: 2 as they were."] == workbook_copy.copy(book, mine)
    assert [] == list(mine.glob("*.new-*"))


def test_a_link_or_a_folder_in_its_place_is_left_alone(given, tmp_path):
    book, mine = given
    outside = tmp_path / "outside.ipynb"
    outside.write_bytes(b"outside")
    (mine / "06_arm.ipynb").unlink()
    (mine / "06_arm.ipynb").symlink_to(outside)
    (mine / "homework" / "start" / "wave.json").unlink()
    (mine / "homework" / "start" / "wave.json").mkdir()
    (book / "06_arm.ipynb").write_bytes(notebook("second version"))

    says = workbook_copy.copy(book, mine)

    assert b"outside" == outside.read_bytes()
    assert 3 == len(says) and all("left alone" in sentence for sentence in says[:2])


def test_what_is_for_instructors_stays_with_them(given):
    book, mine = given
    for name in ("instructor", "homework/model_answers", ".ipynb_checkpoints", "__pycache__"):
        (book / name).mkdir()
        (book / name / "answers.json").write_bytes(b"{}")
    workbook_copy.copy(book, mine)
    assert [] == list(mine.rglob("answers.json"))


def test_a_file_for_a_folder_is_refused(given, tmp_path):
    book, _ = given
    (tmp_path / "file").write_bytes(b"")
    with pytest.raises(ActionError, match="is a file; name a folder"):
        workbook_copy.copy(book, tmp_path / "file")


def test_the_workbook_is_not_copied_onto_itself(given):
    book, _ = given
    assert [f"{book}: is the workbook itself; nothing was copied."] == workbook_copy.copy(book, book)
    assert not (book / ".workbook.json").exists()


# ---- where the workbook is -------------------------------------------------------------


def test_in_a_checkout_the_workbook_lies_beside_the_package():
    assert ROOT / "notebooks" == workbook_copy.source()
    names = [path.as_posix() for path in workbook_copy.contents(workbook_copy.source())]
    assert "06_looping_arm.ipynb" in names
    assert [] == [name for name in names if "instructor" in name or "model_answer" in name]


def test_in_a_wheel_the_workbook_lies_inside_the_package(tmp_path, monkeypatch):
    """Laid out as pyproject.toml has the wheel built: the package, and force-include."""
    with open(ROOT / "pyproject.toml", "rb") as file:
        included = tomllib.load(file)["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    assert {"notebooks": "anim_lessons/workbook"} == included
    for here, there in included.items():
        shutil.copytree(ROOT / here, tmp_path / there)
    monkeypatch.setattr(workbook_copy, "_HERE", tmp_path / "anim_lessons")

    assert tmp_path / "anim_lessons" / "workbook" == workbook_copy.source()
    workbook_copy.copy(workbook_copy.source(), tmp_path / "mine")
    assert (tmp_path / "mine" / "06_looping_arm.ipynb").exists()


def test_an_installation_without_workbook_says_so(tmp_path, monkeypatch):
    monkeypatch.setattr(workbook_copy, "_HERE", tmp_path / "anim_lessons")
    with pytest.raises(ActionError, match="the workbook is missing from this installation"):
        workbook_copy.source()


def test_no_package_is_named_for_the_workbook():
    """A folder `workbook` inside the package would be imported in its place."""
    assert not (Path(anim_lessons.__file__).parent / "workbook.py").exists()


def test_what_somebody_drew_in_the_workbook_itself_is_not_given_out(tmp_path):
    workbook = tmp_path / "notebooks"
    (workbook / "homework" / "start").mkdir(parents=True)
    for name in ("00_start_here.ipynb", "my_buoy.json", "my_progress.txt", "homework/wave_the_boat_in.json",
                 "homework/start/wave_the_boat_in.json", "homework/06_looping_arm.toml"):
        (workbook / name).write_text("{}")
    assert ["00_start_here.ipynb", "homework/06_looping_arm.toml", "homework/start/wave_the_boat_in.json"] == \
        [path.as_posix() for path in workbook_copy.contents(workbook)]
