"""The marking panel's Python side: what is pressed, what comes back, and what is kept. How it looks: browser/test_marking_a_class."""

import json
import shutil

import pytest
from test_class_marked import GOOD, laid
from test_class_pages import FAULTY, KINDS

from anim_lessons import lessons
from anim_lessons.course.hand_ins.panel import FIRST, Marking
from anim_lessons.light_table.class_panel import ASKS, ClassPanel
from anim_lessons.model import action_file


@pytest.fixture
def panel(tmp_path):
    """A panel in a folder with hand-ins of four, of which one names nobody."""
    laid(tmp_path / "hand-ins", avocet_1__w=b"", **{"avocet_1__w.json": GOOD, "knot_2__w.json": KINDS["fault"], "stick__w.json": GOOD})
    (tmp_path / "class.csv").write_text("id,name\n1,Avocet\n2,Knot\n3,Ruff\n")
    made = lessons.mark_a_class(tmp_path)
    made.answer("mark", {"values": {**FIRST, "roster": "class.csv", "homework": "06_looping_arm"}})
    return made


def own(tmp_path):
    return json.loads((tmp_path / "my_marks" / "marks.json").read_text("utf-8"))


def named(panel):
    return {row["who"]: row for row in panel.rows}


def test_a_class_is_marked_and_stands_as_a_table_whoever_needs_you_first(panel, tmp_path):
    assert not panel.failed and not panel.busy and [] == panel.progress
    assert ["whose? stick", "3", "2", "1"] == [row["who"] for row in panel.rows]
    assert ("to mend", "91%", "The elbow locks at 12.", ["opening"]) == tuple(named(panel)["2"][key] for key in ("state", "holds", "says", "to_mend"))
    assert {"states": ["missing", "to mend", "done"], "rules": ["opening"]} == panel.words
    assert "4 in the class: 1 missing, 1 to mend, 2 done" in panel.says[0] and "Avocet" in panel.class_page
    assert {} == panel.chosen and "" == panel.page


def test_one_is_chosen_and_seen_with_page_and_rules(panel):
    panel.answer("choose", {"who": "2"})
    assert "Knot" in panel.page and panel.chosen["desk"] and "mend at 12" in [rule["measured"] for rule in panel.chosen["rules"]]
    panel.answer("choose", {"who": "3"})
    assert "" == panel.page and "missing" == panel.chosen["state"]


def test_a_comment_and_a_mark_are_kept_and_stand_in_table_and_page(panel, tmp_path):
    panel.answer("choose", {"who": "2"})
    drawn = panel.chosen["drawn"]
    panel.answer("say", {"who": "2", "drawn": drawn, "rule": "", "mark": "B", "comment": "Come and\nsee me."})
    assert ("B", "Come and\nsee me.", "kept in my_marks/marks.json") == tuple(panel.chosen[key] for key in ("mark", "comment", "kept"))
    assert "Your mark: B." in panel.page and "see me." in panel.page
    panel.answer("say", {"who": "2", "drawn": drawn, "rule": "opening", "mark": "kept", "comment": ""})
    assert ("done", "B, opening kept, comment") == (named(panel)["2"]["state"], named(panel)["2"]["yours"])
    assert {"opening": "kept"} == {rule["name"]: rule["yours"] for rule in panel.chosen["rules"] if rule["yours"]}
    assert ["2", "2"] == [mark["who"] for mark in own(tmp_path)["marks"]] and all(mark["at"] for mark in own(tmp_path)["marks"])
    panel.answer("say", {"who": "2", "drawn": drawn, "rule": "opening", "mark": "", "comment": ""})
    assert "to mend" == named(panel)["2"]["state"]
    again = lessons.mark_a_class(tmp_path)      # another day
    again.answer("mark", {"values": {**FIRST, "roster": "class.csv"}})
    again.answer("choose", {"who": "2"})
    assert ("B", "Come and\nsee me.", "") == tuple(again.chosen[key] for key in ("mark", "comment", "kept"))


def test_what_was_said_of_an_earlier_hand_in_is_shown_as_that(panel, tmp_path):
    panel.answer("choose", {"who": "1"})
    panel.answer("say", {"who": "1", "drawn": panel.chosen["drawn"], "rule": "arc", "mark": "to mend", "comment": "it sags"})
    laid(tmp_path / "hand-ins", **{"avocet_1__w.json": action_file.dumps(FAULTY)})
    panel.answer("mark", {"values": {**FIRST, "roster": "class.csv"}})
    panel.answer("choose", {"who": "1"})
    assert ["Said of an earlier one: arc: to mend: it sags"] == panel.chosen["earlier"]
    assert not any(rule["yours"] for rule in panel.chosen["rules"]) and "it sags" not in panel.page


def test_whose_it_is_is_answered_kept_and_taken_back(panel, tmp_path):
    assert ["stick"] == [one["part"] for one in panel.nobodys] and [["1", "Avocet"], ["2", "Knot"], ["3", "Ruff"]] == panel.learners
    panel.answer("whose", {"part": "stick", "who": "3"})
    assert [] == panel.nobodys and "done" == named(panel)["3"]["state"] and {"stick": "3"} == own(tmp_path)["whose"]
    panel.answer("whose", {"part": "stick", "who": ""})
    assert ["stick"] == [one["part"] for one in panel.nobodys] and "missing" == named(panel)["3"]["state"]


@pytest.mark.parametrize("values, says", [
    ({"folder": "nowhere"}, "is no folder"), ({"folder": ""}, "the folder with the hand-ins is not named"), ({"to": ""}, "a folder for the results"),
    ({"due": "soon"}, "soon"), ({"roster": "none.csv"}, "none.csv"), ({"homework": "my_homework/gone"}, "gone"), ({"to": "hand-ins"}, "itself"),
])
def test_what_cannot_be_marked_is_said_and_the_table_stays(panel, values, says):
    before = panel.rows
    panel.answer("mark", {"values": {**FIRST, "roster": "class.csv", **values}})
    assert panel.failed and says in " ".join(panel.says) and not panel.busy and before == panel.rows


@pytest.mark.parametrize("content", [{}, {"values": 1}, {"values": {"folder": 1}}, {"who": "nobody"}, {"who": 1}, {"who": "1", "drawn": 1},
                                     {"part": 1, "who": "1"}])
@pytest.mark.parametrize("ask", [ask for ask in ASKS if ask != "invent"])
def test_a_page_that_asks_for_nonsense_changes_nothing(panel, tmp_path, ask, content):
    before = own(tmp_path), panel.rows
    panel.answer(ask, content)
    assert before == (own(tmp_path), panel.rows)


def test_an_invented_class_lies_there_at_once_and_is_laid_out_once(tmp_path):
    panel = lessons.mark_a_class(tmp_path)
    panel.answer("invent", {})
    assert 61 == len(panel.rows) and ["from a stick"] == [one["part"] for one in panel.nobodys]
    assert (tmp_path / "my_invented_class" / "everybody here is invented.txt").exists()
    assert {"my_invented_class", "my_invented_marks"} == {path.name for path in tmp_path.iterdir()}
    before = sorted((path, path.stat().st_mtime_ns) for path in (tmp_path / "my_invented_class").rglob("*"))
    shutil.rmtree(tmp_path / "my_invented_marks" / "pages")
    panel.answer("invent", {})
    assert before == sorted((path, path.stat().st_mtime_ns) for path in (tmp_path / "my_invented_class").rglob("*"))


def test_homework_of_ones_own_stands_beside_the_workbooks(tmp_path):
    laid(tmp_path / "my_homework" / "short", **{"short.toml": b'title = "Short"\nrules = ["arc"]\ndrawings = [12, 24]\n',
                                              "start__short.json": KINDS["given"]})
    laid(tmp_path / "my_homework" / "no homework", **{"a.toml": b""})
    laid(tmp_path / "hand-ins", **{"avocet.json": GOOD})
    panel = lessons.mark_a_class(tmp_path)
    assert ["my_homework/short", "your own: short"] == panel.choices[-1] and ["06_looping_arm", "6 The looping arm"] in panel.choices
    panel.answer("mark", {"values": {**FIRST, "homework": "my_homework/short"}})
    panel.answer("choose", {"who": "avocet"})
    assert ["arc", "drawings"] == [rule["name"] for rule in panel.chosen["rules"]] and "Short" in panel.class_page


def test_pages_without_names(panel):
    panel.answer("mark", {"values": {**FIRST, "roster": "class.csv", "names": "no"}})
    assert "Avocet" not in panel.class_page and "Avocet" in [row["name"] for row in panel.rows]     # the panel itself is the instructor's
    panel.answer("choose", {"who": "1"})
    assert "learner" in panel.page and "Avocet" not in panel.page


def test_what_the_page_cannot_ask_for(tmp_path):
    panel = ClassPanel(Marking(tmp_path))
    panel.answer("mark", {"values": dict(FIRST)})
    assert panel.failed
    for content in ("mark", None, {"ask": "__init__"}, {"ask": ["mark"]}, {"ask": "_marked"}):
        panel._sent(panel, content, [])
    assert [] == panel.rows
