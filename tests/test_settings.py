"""Settings of the table: what the page sends is taken where it fits, and never raises."""
import dataclasses
import json
import re

import pytest

from anim_lessons.ferry.actions import wave
from anim_lessons.judging.brief import WAYS, Brief
from anim_lessons.light_table import LightTable
from anim_lessons.light_table.page_files import PAGE
from anim_lessons.light_table.settings import Place, Settings

NAMES = {field.name for field in dataclasses.fields(Settings)}
WRIST = {"limb": "arm", "joint": "wrist"}


def test_what_fits_is_taken_and_comes_back_the_same():
    sent = {"onion": 0, "keep_lengths": False, "paths": False, "under": False, "lecture": True, "asking": True, "guess": True,
            "guide": WRIST, "layer": WRIST, "chart": "wrist", "way": WAYS[1], "stays": [["arm", "wrist", 3]]}
    read = Settings.from_page(json.loads(json.dumps(sent)))
    assert NAMES == set(sent) and sent == read.to_page()
    assert Place("arm", "wrist") == read.guide


UNFIT = [("onion", 4), ("onion", -1), ("onion", 1.5), ("onion", True), ("onion", "3"), ("keep_lengths", 1), ("paths", None),
         ("guide", "wrist"), ("guide", {}), ("guide", {"limb": "arm"}), ("guide", {"limb": 1, "joint": 2}), ("layer", [WRIST]),
         ("chart", 7), ("way", "sideways"), ("way", None), ("way", []), ("way", {}),
         ("stays", None), ("stays", "arm"), ("stays", [["arm", "wrist"]]), ("stays", [["arm", "wrist", True]]), ("stays", [["a", "b", 1]] * 2001)]


@pytest.mark.parametrize("name, value", UNFIT)
def test_what_does_not_fit_stays_as_it_was_and_the_rest_is_taken(name, value):
    before = Settings(onion=1, paths=False, guide=Place("arm", "elbow"), chart="elbow", way=WAYS[1])
    other = "lecture" if name != "lecture" else "guess"
    read = Settings.from_page({name: value, other: True}, before)
    assert dataclasses.replace(before, **{other: True}) == read


@pytest.mark.parametrize("sent", [None, 7, [], "onion", {}, {"moon": True}, {1: 2}])
def test_what_is_no_settings_at_all_changes_nothing(sent):
    assert Settings(onion=1) == Settings.from_page(sent, Settings(onion=1))
    assert Settings() == Settings.from_page(sent)


def test_the_page_reads_and_writes_these_settings_and_no_other():
    """Its own list; every name after `settings(t).`, and the first key given to `set(t, {...})`, in all that runs in the page."""
    (listed,) = re.findall(r"const SETTINGS = \[(.*?)\]", (PAGE / "table" / "state.mjs").read_text("utf-8"), re.DOTALL)
    assert sorted(NAMES) == sorted(re.findall(r'"(\w+)"', listed))
    used = set()
    for path in PAGE.rglob("*.mjs"):
        used |= set(re.findall(r"\bsettings\(t\)\.(\w+)|\bset\(t, \{ (\w+)", path.read_text("utf-8")))
    names = {name for pair in used for name in pair if name}
    assert {"onion", "guide", "way", "guess", "layer"} <= names  # they are found at all
    assert set() == names - NAMES


def test_all_keys_are_on_the_wire_whatever_the_page_sends():
    table = LightTable(wave(12), brief=Brief(way=WAYS[1]))
    assert WAYS[1] == table.settings["way"] and NAMES == set(table.settings)
    table.set_state({"settings": {"onion": 9, "lecture": True, "moon": 1}})
    assert (2, True) == (table.settings["onion"], table.settings["lecture"]) and NAMES == set(table.settings)
    table.set_state({"settings": None})
    table.set_state({"settings": 7})
    assert table.settings["lecture"] and "It was not taken" not in table.verdict["next"]


def test_python_chooses_by_name_and_type():
    table = LightTable(wave(12))
    table.choose(guide=Place("arm", "wrist"), chart="wrist")
    assert WRIST == table.settings["guide"] and "wrist" == table.guide["joint"]
    table.choose(guide=None)
    assert {} == table.guide and "wrist" == table.settings["chart"]
    with pytest.raises(TypeError):
        table.choose(moon=True)
