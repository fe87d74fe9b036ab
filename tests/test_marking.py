"""A pile of hand-ins as a table: what is asked, in the order of flipping, each slip counted once.

Shares are done in the head. That an instructor looks at link-up, spacing and arcs before the rest: common practice, no
source.
"""

import re
from html.parser import HTMLParser

import homework
import pytest

from anim_lessons import ActionError, Brief, check
from anim_lessons.assist.hand_in import DONE, TO_MEND, hand_in
from anim_lessons.course import galleries, marking
from anim_lessons.ferry import actions
from anim_lessons.ferry.actions import DEMOS, FAULTS, wave
from anim_lessons.model import action_file

ONE_ARM = ("length", "arc", "spacing", "opening", "stops", "drag", "overlap", "link-up", "hold")
START = homework.start(homework.NAME)


@pytest.fixture
def pile(tmp_path):
    """A folder of hand-ins, by name."""

    def lay_out(**actions):
        for name, action in actions.items():
            (tmp_path / f"{name}.json").write_bytes(action if isinstance(action, bytes) else action_file.dumps(action))
        return tmp_path

    return lay_out


def two_faults():
    return actions.traced_twice(actions.not_linked(wave()), drawing=12)


def handed_in(action, brief=None, start=None):
    return hand_in(action, brief or Brief(rules=ONE_ARM), action_file.read(START) if start is None else start)


@pytest.mark.parametrize("name", [name for name, rule in FAULTS.items() if rule != "opposition"])
def test_a_fault_is_to_mend_under_its_rule_and_nowhere_else(name):
    one = handed_in(DEMOS[name]())

    assert [FAULTS[name]] == [rule for rule, mark in one.marks.items() if mark.startswith("mend")]
    assert (TO_MEND, 7 / 8) == (one.state, one.share)   # eight rules, one of them broken; hold only gives advice
    assert check(DEMOS[name]()).causes[0].head == one.says


def test_what_only_follows_costs_nothing():
    one = handed_in(DEMOS["elbow-locks"]())
    assert ("mend at 13", "follows") == (one.marks["opening"], one.marks["spacing"])
    assert 7 / 8 == one.share


def test_rules_count_by_their_weights():
    brief = Brief(rules=ONE_ARM, weights={"link-up": 3, "opening": 2, "stops": 0})
    # 3 + 2 + 0 and five times 1 make 10; link-up and opening are broken.
    assert 5 / 10 == handed_in(two_faults(), brief).share
    assert 1.0 == handed_in(wave(), brief).share


def test_where_nothing_weighs_anything_there_is_no_share_unless_it_is_done():
    brief = Brief(rules=("length",), weights={"length": 0})
    assert (DONE, 1.0) == (handed_in(wave(), brief).state, handed_in(wave(), brief).share)
    assert (TO_MEND, None) == (handed_in(DEMOS["hand-grows"](), brief).state, handed_in(DEMOS["hand-grows"](), brief).share)


def test_what_the_brief_asks_of_the_stack_counts_as_a_rule_does():
    brief = Brief(rules=("length", "arc"), drawings=(12, 32), exposure=2)
    one = handed_in(wave(exposure=1), brief)
    assert {"arc": "kept", "length": "kept", "drawings": "kept", "exposure": "to mend"} == one.marks
    assert 3 / 4 == one.share


def test_where_the_start_is_not_known_only_what_is_done_has_a_share():
    assert (TO_MEND, None) == (hand_in(two_faults()).state, hand_in(two_faults()).share)
    assert (DONE, 1.0) == (hand_in(wave()).state, hand_in(wave()).share)


def test_what_cannot_be_judged_counts_only_where_it_is_asked_for():
    buoy, start = DEMOS["buoy"](), DEMOS["buoy"]().replace(exposure=1)
    start = start.redrawn(start.limbs[0].drawings[:, :, ::-1])      # another path, of which nothing is left
    asked = handed_in(buoy, Brief(rules=("spacing", "link-up", "drag", "length"), weights={"drag": 2}), start)
    assert ("not judged", "not judged", TO_MEND) == (asked.marks["drag"], asked.marks["length"], asked.state)
    assert asked.says.startswith("drag cannot be judged yet")
    assert DONE == handed_in(buoy, Brief(), start).state


def test_columns_are_in_the_order_of_flipping_and_every_rule_that_can_be_broken_is_one():
    table = marking.class_table([], Brief())
    assert ("link-up", "spacing", "arc") == table.columns[:3]
    assert set(table.columns) == set(check(wave()).rules) - {"hold"}
    asked = marking.class_table([], Brief(rules=("arc", "spacing"), exposure=2, drawings=(8, 8), hand=True))
    assert ("spacing", "arc", "drawings", "exposure", "hand") == asked.columns


def test_a_class_in_one_table(pile):
    folder = pile(avocet=wave(), knot=two_faults(), ruff=wave(exposure=1), stint=START.read_bytes(), teal=b"{}")
    table = marking.class_table(folder, homework.HOMEWORK / f"{homework.NAME}.toml", START)
    rows = {row.name: row for row in table.rows}

    assert ["avocet", "knot", "ruff", "stint", "teal"] == list(rows)
    assert ("every rule kept", 1.0) == (rows["avocet"].says, rows["avocet"].share)
    assert ("mend at 16 and 1", "mend at 12") == (rows["knot"].marks["link-up"], rows["knot"].marks["opening"])
    assert rows["ruff"].says.startswith("the brief asks for 2 frames a drawing")
    assert ("the drawings are as given", None, {}) == (rows["stint"].says, rows["stint"].share, rows["stint"].marks)
    assert ["done", "to mend", "to mend", "nothing drawn", "not read"] == [row.state for row in table.rows]
    assert rows["teal"].says == 'missing key "format"; put it in'
    assert {"link-up": 1, "opening": 1, "exposure": 1} == {rule: count for rule, count in table.to_mend.items() if count}


class _Cells(HTMLParser):
    def __init__(self, html):
        super().__init__()
        self.rows = []
        self.feed(html)

    def handle_starttag(self, tag, attributes):
        if tag == "tr":
            self.rows.append([])
        if tag in ("td", "th"):
            self.rows[-1].append("")

    def handle_data(self, data):
        self.rows[-1][-1] += data


def test_it_is_shown_as_it_is_printed(pile):
    table = marking.class_table(pile(avocet=wave(), knot=two_faults()), Brief(rules=ONE_ARM), START)
    printed = [re.split(r" {2,}", line) for line in str(table).splitlines()]
    shown = _Cells(table._repr_html_()).rows

    assert [len(table.columns) + 4] * 4 == [len(cells) for cells in shown]
    assert printed == [[cell for cell in cells if cell] for cells in shown]
    assert [["knot", "75%"]] == [[cells[0], cells[-2]] for cells in shown if cells[0] == "knot"]


def test_whatever_a_file_is_called_the_table_stays_one(pile, tmp_path):
    (tmp_path / "<b>\x1b[2J\nknot.json").write_bytes(action_file.dumps(wave()))
    table = marking.class_table(tmp_path)
    assert 3 == len(str(table).splitlines()) and "\x1b" not in str(table)
    assert "<b>" not in table._repr_html_() and "<b>?[2J?knot" == _Cells(table._repr_html_()).rows[1][0]


def test_where_there_is_no_pile_it_says_so(tmp_path):
    with pytest.raises(ActionError, match="holds no action file"):
        marking.class_table(tmp_path)
    with pytest.raises(ActionError, match="is no folder"):
        marking.class_table(tmp_path / "nowhere")


# ---- a pile of one's own -------------------------------------------------------------


def test_a_folder_with_hand_ins_is_the_pile_and_until_then_there_is_an_invented_one(tmp_path):
    invented = {"avocet": wave(), "dunlin": DEMOS["elbow-locks"]()}
    first = marking.pile(tmp_path / "hand-ins", invented)
    assert first != tmp_path / "hand-ins" and sorted(invented) == sorted(path.stem for path in first.glob("*.json"))
    (tmp_path / "hand-ins").mkdir()
    assert marking.pile(tmp_path / "hand-ins", invented) != tmp_path / "hand-ins"
    (tmp_path / "hand-ins" / "ruff.json").write_bytes(action_file.dumps(wave()))
    assert tmp_path / "hand-ins" == marking.pile(tmp_path / "hand-ins", invented)


def test_a_pile_is_flipped_before_the_rules_say_anything(tmp_path):
    folder = marking.pile(tmp_path / "none", {"avocet": wave(), "dunlin": DEMOS["elbow-locks"]()})
    (folder / "broken.json").write_text("{")
    panel = galleries.flip_pile(folder)
    assert panel.table.verdict["passed"] is None
    panel.next.click()
    assert panel.table.action.drawn_as(DEMOS["elbow-locks"]()) and [] == panel.table.verdict["findings"]
    panel.show.click()
    assert "opening" == panel.table.verdict["findings"][0]["rule"]
    assert panel.table.verdict["findings"][0]["drawings"][0] == panel.table.number
    panel.next.click()
    assert panel.table.action.drawn_as(wave()) and panel.table.verdict["passed"] is None


def test_a_pile_of_which_nothing_can_be_read_says_so(tmp_path):
    (tmp_path / "broken.json").write_text("{")
    with pytest.raises(ActionError, match="none of the hand-ins can be read"):
        galleries.flip_pile(tmp_path)
