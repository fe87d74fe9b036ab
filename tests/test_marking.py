"""A pile of hand-ins as a table: what is asked, in the order of flipping, each slip counted once.

Shares are done in the head. That an instructor looks at link-up, spacing and arcs before the rest: common practice, no
source.
"""

import re
from html.parser import HTMLParser

import homework
import pytest

from anim_lessons import ActionError, Brief, check
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


@pytest.mark.parametrize("name", [name for name, rule in FAULTS.items() if rule != "opposition"])
def test_a_fault_is_to_mend_under_its_rule_and_nowhere_else(name):
    row = marking.hand_in(name, DEMOS[name](), Brief(rules=ONE_ARM))

    assert [FAULTS[name]] == [rule for rule, mark in row.marks.items() if mark.startswith("mend")]
    assert 7 / 8 == row.share   # eight rules, one of them broken; hold only gives advice
    assert check(DEMOS[name]()).causes[0].head == row.says


def test_what_only_follows_costs_nothing():
    row = marking.hand_in("dunlin", DEMOS["elbow-locks"](), Brief(rules=ONE_ARM))
    assert ("mend at 13", "follows") == (row.marks["opening"], row.marks["spacing"])
    assert 7 / 8 == row.share


def test_rules_count_by_their_weights():
    brief = Brief(rules=ONE_ARM, weights={"link-up": 3, "opening": 2, "stops": 0})
    # 3 + 2 + 0 and five times 1 make 10; link-up and opening are broken.
    assert 5 / 10 == marking.hand_in("knot", two_faults(), brief).share
    assert 1.0 == marking.hand_in("avocet", wave(), brief).share
    assert None is marking.hand_in("avocet", wave(), Brief(rules=("length",), weights={"length": 0})).share


def test_what_cannot_be_judged_counts_only_where_it_is_asked_for():
    buoy = DEMOS["buoy"]()
    asked = marking.hand_in("buoy", buoy, Brief(rules=("spacing", "link-up", "drag", "length")))
    assert ("not judged", "not judged", 0.5) == (asked.marks["drag"], asked.marks["length"], asked.share)
    assert asked.says.startswith("drag cannot be judged yet")
    assert 1.0 == marking.hand_in("buoy", buoy).share


def test_columns_are_in_the_order_of_flipping_and_every_rule_that_can_be_broken_is_one():
    table = marking.class_table([], Brief())
    assert ("link-up", "spacing", "arc") == table.rules[:3]
    assert set(table.rules) == set(check(wave()).rules) - {"hold"}
    assert ("spacing", "arc") == marking.class_table([], Brief(rules=("arc", "spacing"))).rules


def test_a_class_in_one_table(pile):
    folder = pile(avocet=wave(), knot=two_faults(), ruff=wave(exposure=1), stint=START.read_bytes(), teal=b"{}")
    table = marking.class_table(folder, homework.HOMEWORK / f"{homework.NAME}.toml", START)
    rows = {row.name: row for row in table.rows}

    assert ["avocet", "knot", "ruff", "stint", "teal"] == list(rows)
    assert ("every rule kept", 1.0) == (rows["avocet"].says, rows["avocet"].share)
    assert ("mend at 16 and 1", "mend at 12") == (rows["knot"].marks["link-up"], rows["knot"].marks["opening"])
    assert rows["ruff"].says.startswith("the brief asks for 2 frames a drawing")
    assert ("as given; nothing is drawn yet", None, {}) == (rows["stint"].says, rows["stint"].share, rows["stint"].marks)
    assert rows["teal"].says == 'not read: missing key "format"; put it in'
    assert {"link-up": 1, "opening": 1} == {rule: count for rule, count in table.to_mend.items() if count}


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
    table = marking.class_table(pile(avocet=wave(), knot=two_faults()), Brief(rules=ONE_ARM))
    printed = [re.split(r" {2,}", line) for line in str(table).splitlines()]
    shown = _Cells(table._repr_html_()).rows

    assert [len(table.rules) + 3] * 4 == [len(cells) for cells in shown]
    assert printed == [cells if cells[-1] else cells[:-2] for cells in shown]
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
