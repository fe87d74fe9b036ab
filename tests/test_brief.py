"""Briefs: what a TOML file may hold, and what is said where it holds something else.

Reference: TOML 1.0.0 (toml.io), read by Python's own tomllib.
"""
from dataclasses import replace

import pytest

from anim_lessons import RULES, ActionError, Brief, check, read_brief
from anim_lessons.assist.hand_in import TO_MEND, hand_in
from anim_lessons.course.notebook import verdict_lines
from anim_lessons.ferry.actions import DEMOS, buoy, two_arms, wave
from anim_lessons.judging.brief import DEFAULT
from anim_lessons.rules import TOLERANCES

WHOLE = """
title = "Wave the boat in"
text = "One arm, seen from the side."
rules = ["link-up", "length", "opening"]
drawings = [16, 24]
exposure = 2
may_break = false
hand = true

[tolerances]
length = 0.03
even = 2

[weights]
opening = 3
"""


@pytest.fixture
def brief(tmp_path):
    def written(text):
        path = tmp_path / "brief.toml"
        path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
        return read_brief(path)
    return written


def test_every_key_is_read(brief):
    asked = brief(WHOLE)

    assert ("Wave the boat in", "One arm, seen from the side.") == (asked.title, asked.text)
    assert ("length", "opening", "link-up") == asked.rules       # in teaching order
    assert ((16, 24), 2, False, True) == (asked.drawings, asked.exposure, asked.may_break, asked.hand)
    assert {"opening": 3} == asked.weights
    assert (0.03, 2, 0.35) == (asked.tolerance("length"), asked.tolerance("even"), asked.tolerance("arc"))


def test_an_empty_brief_asks_for_every_rule(brief):
    assert DEFAULT == brief("")
    assert tuple(RULES) == brief("").rules


def test_one_number_of_drawings_is_the_least_and_the_greatest(brief):
    assert (16, 16) == brief("drawings = 16").drawings


def test_a_mark_before_the_text_is_no_fault(brief):
    assert "Buoy" == brief(b"\xef\xbb\xbftitle = 'Buoy'").title


@pytest.mark.parametrize("text, says", [
    ("rules = [", "is not a brief in TOML"),
    ("title = 'a'\ntitle = 'b'", "is not a brief in TOML"),
    (b"title = '\xff'", "is not a brief in TOML"),
    ("x = " + "[" * 20_000, "is not a brief in TOML"),
    ("a = 1\n" + "#" * 1_000_000, "is too large for a brief"),
    ("colour = 'red'", 'unknown key "colour"; a brief has title, text, rules, tolerances, weights'),
    ("title = 3", 'key "title": a text in quotes belongs here, and there is 3'),
    ("hand = 1", 'key "hand": true or false belongs here, and there is 1'),
    ("exposure = true", 'key "exposure": a whole number belongs here, and there is True'),
    ("exposure = 2.0", 'key "exposure": a whole number belongs here, and there is 2.0'),
    ("exposure = 0", "exposure: give 1 (on ones), 2 (on twos) or more"),
    ("rules = 'arc'", "key \"rules\": a list in brackets belongs here, and there is 'arc'"),
    ("rules = ['arcs']", 'there is no rule "arcs"; there is length, arc, spacing, opening, stops, drag, overlap, '
                         "link-up, hold, opposition"),
    ("rules = [1]", 'there is no rule "1"'),
    ("rules = [['arc']]", "there is no rule \"['arc']\""),
    ("exposure = " + "9" * 6000, "is not a brief in TOML"),
    ("rules = ['" + "a" * 9000 + "']", 'there is no rule "' + "a" * 100 + ' …"; there is length'),
    ("rules = []", "rules: the list is empty; name at least one rule, or leave the key out for all"),
    ("[tolerances]\nstretch = 1", 'tolerances: "stretch" is not one of length, breathing, arc, spacing, even, lingering, held'),
    ("[tolerances]\narc = -0.1", "tolerances: arc is -0.1; give a number, 0 or more"),
    ("[tolerances]\narc = nan", "tolerances: arc is nan; give a number, 0 or more"),
    ("[tolerances]\narc = inf", "tolerances: arc is inf; give a number, 0 or more"),
    ("[tolerances]\narc = true", "tolerances: arc is True; give a number, 0 or more"),
    ("[tolerances]\narc = '5 %'", "tolerances: arc is '5 %'; give a number, 0 or more"),
    ("[weights]\neven = 1", 'weights: "even" is not one of length, arc'),
    ("guide = 'half'", 'guide: "half" is not one of nothing, circle, sector, all'),
    ("way = 'sideways'", 'way: "sideways" is not one of straight ahead, pose to pose'),
    ("guide = 1", 'key "guide": a text in quotes belongs here, and there is 1'),
    ("drawings = 1", "drawings: give one number, or the least and the greatest, 2 or more"),
    ("drawings = [24, 16]", "drawings: give one number, or the least and the greatest, 2 or more"),
    ("drawings = [16]", "drawings: give one number, or the least and the greatest, 2 or more"),
    ("drawings = [16.0, 24]", "drawings: give one number, or the least and the greatest, 2 or more"),
])
def test_what_is_refused_names_the_file_and_the_place(brief, tmp_path, text, says):
    with pytest.raises(ActionError) as caught:
        brief(text)

    assert str(caught.value).startswith(f"{tmp_path / 'brief.toml'}: ")
    assert says in str(caught.value)


def test_a_brief_that_is_not_there(tmp_path):
    with pytest.raises(ActionError, match="the brief cannot be opened"):
        read_brief(tmp_path / "none.toml")
    with pytest.raises(ActionError, match="is no brief but a folder or a device"):
        read_brief(tmp_path)


@pytest.mark.parametrize("name", sorted(TOLERANCES))
def test_every_tolerance_may_be_changed(brief, name):
    asked = brief(f"[tolerances]\n{name} = 0.5")
    assert 0.5 == asked.tolerance(name)
    assert all(TOLERANCES[other].value == asked.tolerance(other) for other in TOLERANCES if other != name)


# ---- what a brief does to a verdict ---------------------------------------------------------


def test_what_is_not_asked_for_is_neither_judged_nor_failed():
    verdict = check(DEMOS["hand-grows"](), Brief(rules=("arc",)))

    assert verdict.passed
    assert (True, False, "the brief does not ask for it") == (
        verdict.rules["length"].passed, verdict.rules["length"].judged, verdict.rules["length"].says)


def test_a_milder_tolerance_passes_what_a_strict_one_does_not():
    grown = DEMOS["hand-grows"]()       # by 13 %
    assert not check(grown, Brief(rules=("length",), tolerances={"length": 0.12})).passed
    assert check(grown, Brief(rules=("length",), tolerances={"length": 0.14})).passed


@pytest.mark.parametrize("count, met", [(15, False), (16, True), (24, True), (25, False)])
def test_the_number_of_drawings(count, met):
    ((name, kept, says),) = Brief(drawings=(16, 24)).asks(wave(count))

    assert ("drawings", met) == (name, kept)
    assert ("as many drawings as the brief asks" if met else
            f"there are {count}; the brief asks for 16 to 24 drawings.") == says


def test_the_exposure_and_the_hand():
    (exposure,), (hand,) = Brief(exposure=2).asks(wave(exposure=1)), Brief(hand=True).asks(buoy())

    assert ("exposure", False) == exposure[:2] and "the brief asks for 2 frames a drawing." in exposure[2]
    assert ("hand", False) == hand[:2] and "shoulder, elbow, wrist, fingertips" in hand[2]
    assert [True, True] == [met for _, met, _ in Brief(exposure=1, hand=True).asks(wave(exposure=1))]
    assert "each drawing held as long as the brief asks" == Brief(exposure=1).asks(wave(exposure=1))[0][2]


def test_a_brief_that_names_every_rule_wants_every_rule_judged():
    """One arm instead of two, or two in step in a file that says it does not loop, are no answer to it."""
    named = Brief(rules=tuple(RULES))
    one_arm, in_step = wave(), two_arms(late=0.0).replace(loop=False)

    assert check(one_arm).passed and not check(one_arm, named).passed
    assert any("opposition cannot be judged yet" in says for says in check(one_arm, named).unmet)
    assert not check(in_step, named).passed
    assert "FAIL  opposition — could not be judged: there is only one limb, so nothing to oppose it" in verdict_lines(one_arm, named)
    assert TO_MEND == hand_in(one_arm, named).state
    assert check(two_arms(), replace(named, guide="circle")).passed and not check(one_arm, replace(named, guide="circle")).passed
    assert check(one_arm, replace(Brief(), guide="circle")).passed


PASSES = """
given = ["hook"]

[[passes]]
joint = "elbow"
name = "Elbows"
says = "Close at both ends."

[[passes]]
joint = "wrist"
drawings = [2, 3, 3]
"""


def test_passes_are_read_in_their_order(brief):
    asked = brief(PASSES)

    assert ("hook",) == asked.given
    assert [("elbow", "Elbows", "Close at both ends.", ()), ("wrist", "", "", (2, 3))] == [
        (one.joint, one.name, one.says, one.drawings) for one in asked.passes]
    assert () == brief("").passes == brief("").given


@pytest.mark.parametrize("text, said", [
    ("[[passes]]\nname = 'Elbows'", "passes, 1: a pass has a joint, and may have says, name, limb, drawings"),
    ("[[passes]]\njoint = 'elbow'\nmoon = 1", "passes, 1: a pass has a joint"),
    ("[[passes]]\njoint = 'elbow'\nsays = 7", "passes, 1: says, name and limb are texts"),
    ("[[passes]]\njoint = 'elbow'\ndrawings = [0]", "passes, 1: drawings is a list of numbers from 1"),
    ("[[passes]]\njoint = 'elbow'\ndrawings = [true]", "passes, 1: drawings is a list"),
    ("passes = ['elbow']", "passes, 1: a pass has a joint"),
    ("given = [1]", "given: this is a list of joints"),
    ("\n".join("[[passes]]\njoint = 'elbow'" for _ in range(13)), "passes: at most 12 of them, and there are 13"),
])
def test_a_pass_that_is_none_is_refused_in_words(brief, text, said):
    with pytest.raises(ActionError, match=said):
        brief(text)
