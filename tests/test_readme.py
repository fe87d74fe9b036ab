"""The README keeps its word: its example prints what it says, its commands run, its links lead somewhere."""

import contextlib
import glob
import io
import re
import shlex

import homework
import invented_class
import pytest

README = (homework.ROOT / "README.md").read_text("utf-8")


def blocks(kind):
    return re.findall(rf"^```{kind}\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


def test_the_example_prints_what_stands_below_it():
    (example,), (output,) = blocks("python"), blocks("text")
    printed = io.StringIO()
    with contextlib.redirect_stdout(printed):
        exec(compile(example, "README.md", "exec"), {})

    assert output == printed.getvalue()


def test_the_two_commands_are_there_letter_by_letter():
    lines = [line for block in blocks("") for line in block.splitlines()]

    assert "python3 -m venv .venv && .venv/bin/pip install . && .venv/bin/anim-lessons open" in lines
    assert "python3 -m venv .venv && .venv/bin/pip install -e '.[test]' && .venv/bin/pytest" in lines


def test_the_other_commands_run_one_after_the_other(tmp_path, monkeypatch):
    from click.testing import CliRunner

    from anim_lessons.commands import main

    monkeypatch.chdir(tmp_path)
    invented_class.lay_out(tmp_path, 12)    # hand-ins and class.csv
    lines = [line for block in blocks("") for line in block.splitlines() if line.startswith("anim-lessons ")]
    codes = []
    for line in lines:
        words = shlex.split(line)[1:]
        if words[0] == "scan":    # a shell puts the names in the place of the star
            drawn_and_photographed(tmp_path / "sheets.pdf", tmp_path / "photos")
            words = [name for word in words for name in (sorted(glob.glob(word)) if "*" in word else [word])]
        codes.append(CliRunner().invoke(main, words).exit_code)

    # the demo is written, its fault found, its place told, mended, exported; printed, two sheets of it read; a class marked
    assert [0, 1, 0, 0, 0, 0, 1, 0] == codes
    assert (tmp_path / "marks" / "class.html").exists()
    assert (tmp_path / "wave.gif").read_bytes().startswith(b"GIF89a")


def drawn_and_photographed(pdf, folder):
    """Two of the sheets, a dot drawn on each, as photographs in a folder."""
    import numpy as np
    import paper_pages

    folder.mkdir()
    for n, sheet in zip((1, 2), list(paper_pages.rendered(pdf, 4.0))[1:]):
        drawn = paper_pages.drawn_on(sheet, np.array([[150.0, 100.0]]), np.random.default_rng(n), fine=4.0)
        paper_pages.Image.fromarray(drawn).save(folder / f"{n}.jpg")


@pytest.mark.parametrize("name", ["README.md", "DEVELOPERS.md"])
def test_links_lead_somewhere(name):
    text = (homework.ROOT / name).read_text("utf-8")
    links = re.findall(r"\]\(([^)#\s]+)\)", text)

    assert [] == [link for link in links if not (homework.ROOT / link).exists()]


def test_every_command_is_told_of():
    from anim_lessons.commands import main

    assert [] == [name for name in main.commands if f"- `{name} " not in README]


def test_the_table_of_rules_is_the_one_in_use():
    from anim_lessons.rules import table

    assert table() in (homework.ROOT / "DEVELOPERS.md").read_text("utf-8")


def test_files_that_the_guide_names_are_there():
    text = (homework.ROOT / "DEVELOPERS.md").read_text("utf-8")
    tests = re.findall(r"`((?:browser/)?test_\w+)(?:\.py)?`", text)
    others = re.findall(r"`((?:tests|rules|notebooks|light_table|\.ci)/[\w./]*)`", text)

    assert [] == [name for name in tests if not (homework.ROOT / "tests" / f"{name}.py").exists()]
    assert [] == [name for name in others
                  if not any((top / name).exists() for top in (homework.ROOT, homework.ROOT / "anim_lessons"))]
