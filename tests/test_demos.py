"""Every action of the ferry landing has a name, and what hangs there keeps the rules like any other."""
import homework
import numpy as np
import pytest
from click.testing import CliRunner

from anim_lessons import check
from anim_lessons.commands import main
from anim_lessons.course import notebook
from anim_lessons.course.galleries import fault_gallery
from anim_lessons.ferry import actions
from anim_lessons.ferry.demos import DEMOS
from anim_lessons.model import action_file

HANGING = [name for name in DEMOS if name not in actions.DEMOS]


def test_the_scenarios_own_are_there_under_their_names():
    assert all(DEMOS[name] is made for name, made in actions.DEMOS.items())
    assert {"pennant", "mooring-rope", "hand"} <= set(HANGING)


@pytest.mark.parametrize("name", HANGING)
def test_what_hangs_is_written_by_its_name_and_keeps_every_rule(name, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert 0 == CliRunner().invoke(main, ["demo", name, "--to", "x.json"]).exit_code
    assert 0 == CliRunner().invoke(main, ["check", "x.json"]).exit_code
    action = action_file.read("x.json")
    made = DEMOS[name]()
    assert check(action).passed and made.count == action.count and made.loop == action.loop
    assert np.array_equal(made.limbs[0].drawings, action.limbs[0].drawings)


@pytest.mark.parametrize("name", HANGING)
def test_a_table_begins_with_it_by_name(name, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    table = notebook.light_table("mine.json", start=name)
    assert table.action.drawn_as(DEMOS[name]())
    table.close()


def test_a_demo_that_is_not_there_names_those_that_hang_too(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(main, ["demo", "anchor", "--to", "x.json"])
    assert 2 == done.exit_code and all(name in done.output for name in HANGING)


@pytest.mark.parametrize("name, word", actions.ADVISED.items())
def test_a_gallery_shows_what_is_advised_once_it_is_asked_for(name, word):
    panel = fault_gallery([name])
    assert word not in str(panel.table.verdict)
    panel.show.click()
    assert any(word in text for text in panel.table.verdict["advice"])


def test_what_no_single_drawing_shows_is_in_a_gallery_of_a_lesson():
    shown = "".join(path.read_text("utf-8") for path in (homework.ROOT / "notebooks").glob("0*.ipynb"))
    assert {"lingers-in-mid-swing", "held-in-full-swing", "traced-in-full-swing", "hand-breathes"} <= set(actions.ONE_ARM_FAULTS)
    for gallery in ("actions.ONE_ARM_FAULTS", "list(actions.ADVISED)", "late=0.0, far=0.7"):
        assert gallery in shown
