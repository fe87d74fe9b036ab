"""One protocol of revisions for every widget: an answer carries what it answers, and what is older is dropped."""
import json
import threading

import pytest

from anim_lessons.course import hanging_panels, notebook
from anim_lessons.ferry.actions import longer, wave
from anim_lessons.light_table import LightTable, desk
from anim_lessons.light_table import table as table_module
from anim_lessons.light_table.revisions import Revisions, is_revision
from anim_lessons.light_table.sliders import Sliders

ROWS = [("drawings", "drawings", 8, 24, 1, "")]


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    yield
    for table in list(table_module.alive):
        table.close()


def from_page(table, action, revision):
    table.set_state({"pose": json.loads(json.dumps(desk.pose(action, revision)))})


def test_revisions_go_up_by_one_from_the_highest_seen():
    seen = Revisions(3)
    seen.came(9)
    seen.came(5)
    for nothing in (None, "12", True, -1, 1.5, 2**53):
        seen.came(nothing)
        assert not is_revision(nothing)
    assert (10, 11, 11) == (seen.next(), seen.next(), seen.newest)


def test_no_revision_is_given_twice_however_many_ask():
    seen, given = Revisions(), []
    threads = [threading.Thread(target=lambda: given.extend(seen.next() for _ in range(500))) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(given) == list(range(1, 2001))


# ---- light table ---------------------------------------------------------------------------


def test_a_pose_that_is_older_than_what_lies_there_is_dropped():
    table = LightTable(wave(12))
    table.action = wave(14)
    table.action = wave(16)  # revisions 2 and 3
    from_page(table, longer(wave(12)), 2)
    assert (16, 3, 3) == (table.action.count, table.pose["revision"], table.verdict["revision"])
    assert "It was not taken" not in table.verdict["next"]


def test_what_came_with_an_old_pose_is_taken():
    table = LightTable(wave(12))
    table.action = wave(14)
    table.set_state({"pose": desk.pose(wave(12), 1), "number": 5})
    assert (14, 5) == (table.action.count, table.number)


def test_of_two_poses_made_at_the_same_time_the_one_that_comes_last_counts():
    table = LightTable(wave(12))
    table.action = wave(14)
    from_page(table, wave(16), 2)
    assert (16, 2) == (table.action.count, table.verdict["revision"])


def test_every_answer_of_the_table_carries_the_revision_it_answers():
    table = LightTable(longer(wave(12)))
    table.settings = {**table.settings, "guide": {"limb": "arm", "joint": "wrist"}}
    from_page(table, longer(wave(14)), 7)
    table._asked(table, {"ask": "mend", "finding": None}, [])
    assert [7] * 4 == [answer["revision"] for answer in (table.verdict, table.guide, table.mended, table.saved)]


# ---- what is asked by message ------------------------------------------------------------------


def strip():
    panel = notebook.record("lecture.json", start="wave")
    return panel.strip, {"ask": "record", "what": "look"}, lambda: len(panel.table.action.lecture)


def sheet():
    panel = notebook.plan_sheet("plan.json", start="wave")
    # A square of 40 mm: what is drawn does not matter here.
    stroke = [[100, 80], [140, 80], [140, 120], [100, 120], [101, 81]]
    return panel.sheet, {"ask": "stroke", "what": stroke}, lambda: len(panel.table.action.limbs[0].plans)


@pytest.mark.parametrize("made", [strip, sheet])
def test_a_message_is_answered_by_its_revision(made):
    widget, message, done = made()
    widget._sent(None, {**message, "revision": 4}, None)
    assert (4, 1) == (widget.answered, done())
    widget._sent(None, {"ask": "go" if made is strip else "how", "what": None, "revision": 6}, None)  # refused
    assert 6 == widget.answered


@pytest.mark.parametrize("made", [strip, sheet])
def test_a_message_that_is_older_than_the_last_answered_is_dropped_and_said(made):
    widget, message, done = made()
    widget._sent(None, {"ask": "undo", "revision": 5}, None)
    for late in (4, 0, "6", None, True):
        widget._sent(None, {**message, "revision": late}, None)
        assert (5, 0) == (widget.answered, done())
    says = widget.says if made is strip else widget.plan["says"]
    assert "something else was done meanwhile" in says


# ---- sliders and map ----------------------------------------------------------------------------


def test_sliders_moved_by_python_meanwhile_are_not_moved_back_by_an_older_hand(monkeypatch):
    sliders = Sliders.of(ROWS, {"drawings": 8}, "how many")
    sliders.set_state({"values": {"drawings": 10}, "revision": 1})
    sliders.move(drawings=20)
    sent = []
    monkeypatch.setattr(sliders, "send_state", lambda key=None: sent.append(key))
    sliders.set_state({"values": {"drawings": 11}, "revision": 1})
    assert ({"drawings": 20}, 2) == (sliders.numbers, sliders.revision)
    assert {"values", "revision"} == set(sent[0])  # the view that is behind is told
    sliders.set_state({"values": {"drawings": 12}, "revision": 3})
    assert {"drawings": 12} == sliders.numbers


def test_the_map_says_which_choice_its_mark_answers():
    panel = hanging_panels.hanging_map(side=4)
    panel.map.set_state({"chosen": [2.5, 0.5], "revision": 1})
    panel.maps.finish()
    assert (2.5, 0.5, 1) == tuple(panel.map.own[key] for key in ("swings", "settles", "revision"))
    panel.map.set_state({"chosen": [3.0, 0.7], "revision": 0})
    assert (2.5, 1) == (panel.map.own["swings"], panel.map.own["revision"])
