"""One action as a page of HTML that stands alone: what is in the file.

References
----------
HTML standard, as the standard library's parser reads it: where elements begin and end. Seen.
W3C Content Security Policy Level 3, sections 2.3.1 (hash-source) and 6.7: the hash is of the element's text, SHA-256 in
base64. From memory; that Chromium takes it is tested in browser/test_given_page.
"""

import base64
import hashlib
import json
import re
from html.parser import HTMLParser

import numpy as np
import pytest
from hostile import named, shapes

from anim_lessons import check
from anim_lessons.assist.lecture import as_of
from anim_lessons.ferry.actions import DEMOS, traced_twice, two_arms, wave
from anim_lessons.ferry.lectures import LECTURES
from anim_lessons.judging.brief import Brief
from anim_lessons.light_table import Words, given_page, words_on
from anim_lessons.model import action_file

MOST = 250_000  # bytes of the page of a loop of 16 drawings
NASTY = ["</script><script>ran = 1</script>", '"><img src=x onerror="ran = 1">', "<!--<script>", "a\u2028b\u2029c", "\u202egnol",
         "a\0b", "</style></title><svg onload=ran=1>", "&lt;b&gt;"]


class Read(HTMLParser):
    """Elements in order, the text of those that are taken as text, and all that is seen."""

    def __init__(self, page):
        super().__init__(convert_charrefs=True)
        self.elements, self.inside, self.words, self._in = [], [], [], []
        self.feed(page)
        self.close()

    def handle_starttag(self, tag, attributes):
        self.elements.append((tag, dict(attributes)))
        self._in.append(tag)
        if tag in ("script", "style"):
            self.inside.append([tag, dict(attributes), ""])

    def handle_endtag(self, tag):
        while self._in and self._in.pop() != tag:
            pass

    def handle_data(self, data):
        if self._in and self._in[-1] in ("script", "style"):
            self.inside[-1][2] += data
        else:
            self.words.append(data)

    def data(self):
        return next(json.loads(text) for tag, attributes, text in self.inside if attributes.get("type") == "application/json")

    def policy(self):
        content = next(a["content"] for tag, a in self.elements if tag == "meta" and "http-equiv" in a)
        return dict(part.strip().split(" ", 1) for part in content.split(";"))


@pytest.fixture(scope="module")
def page():
    return Read(given_page(traced_twice(wave(drawings=16), drawing=12)))


def test_only_what_is_written_in_may_run(page):
    policy = page.policy()
    of = {tag: f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
          for tag, attributes, text in page.inside if "type" not in attributes}

    assert "'none'" == policy["default-src"] == policy["base-uri"] == policy["form-action"] == policy["trusted-types"]
    assert (of["script"], of["style"]) == (policy["script-src"], policy["style-src"])
    assert "'script'" == policy["require-trusted-types-for"]


@pytest.mark.parametrize("demo", ["wave", "two-arms", "buoy"])
def test_it_is_small_and_names_nothing_outside_of_itself(demo):
    text = given_page(DEMOS[demo]())
    read = Read(text)

    assert len(text.encode("utf-8")) <= MOST
    assert [] == [a for _, a in read.elements if {"src", "href", "style", "srcset"} & set(a) or any(n.startswith("on") for n in a)]
    assert ["script", "script", "style"] == sorted(tag for tag, *_ in read.inside)
    addresses = set(re.findall(r"(?:https?:)?//[\w.]+\.\w+[^\s\"']*|url\([^)]*\)|@import", text))
    assert addresses <= {"http://www.w3.org/2000/svg"}  # the name of a vocabulary, which nobody fetches


def test_the_same_action_gives_the_same_page():
    assert given_page(wave()) == given_page(wave())


def test_what_python_would_say_is_written_in(page):
    data = page.data()
    findings = data["verdict"]["findings"]

    assert [(f.rule, list(f.drawings)) for f in check(traced_twice(wave(drawings=16), drawing=12)).findings] == [
        (f["rule"], f["drawings"]) for f in findings]
    joints = data["head"]["limbs"][0]["joints"]
    assert joints == [chart["joint"] for chart in data["verdict"]["charts"]]
    assert traced_twice(wave(drawings=16), drawing=12).limbs[0].drawings.tolist() == data["pose"]["drawings"][0]
    assert findings[0]["ghost"]["drawing"] == data["number"]


def test_a_verdict_that_is_there_is_taken():
    """By a brief that asks for opening alone, given beside a brief that asks for all."""
    action = traced_twice(wave(), drawing=12)
    alone = check(action, Brief(rules=("length",)))
    assert alone.passed and not check(action).passed
    assert Read(given_page(action, verdict=alone)).data()["verdict"]["passed"]


def test_a_fault_brings_where_its_joint_may_go():
    data = Read(given_page(traced_twice(wave(), drawing=12), guide=True)).data()
    (guide,) = data["guides"]
    assert ("wrist", data["number"]) == (guide["joint"], guide["drawing"])  # the forearm is what is to be swung
    assert guide["allowed"] and guide["excluded"]
    assert [] == Read(given_page(traced_twice(wave(), drawing=12), brief=Brief(guide="nothing"), guide=True)).data()["guides"]


@pytest.mark.parametrize("text", NASTY)
def test_whatever_a_file_holds_is_text(text):
    arm = wave()
    plain = Read(given_page(arm.replace(title="t", by="b"), words=Words("a", "b", "c", "d")))
    read = Read(given_page(arm.replace(title=text, by=text), words=Words(text, text, text, text)))

    def kinds(elements):
        return [(tag, sorted(a)) for tag, a in elements if tag not in ("g", "path", "circle", "rect", "text", "tspan")]

    assert kinds(plain.elements) == kinds(read.elements)
    assert (text, text) == (read.data()["head"]["title"], read.data()["head"]["by"])
    seen = "".join(read.words)
    assert not re.search("[\0\u2028\u2029\u202e]", seen)
    assert [] == [part for part in re.split("[\0\u2028\u2029\u202e]", text) if part not in seen]


def test_names_and_notes_of_every_kind_are_text():
    action = named()
    read = Read(given_page(action))
    assert ["script", "script", "style"] == sorted(tag for tag, *_ in read.inside)
    assert [list(limb.joints) for limb in action.limbs] == [limb["joints"] for limb in read.data()["head"]["limbs"]]
    assert action.lecture[0].says == read.data()["steps"][0]["says"]


@pytest.mark.parametrize("action", [pytest.param(made, id=name) for name, made in shapes()])
def test_places_and_papers_of_every_shape_are_written(action):
    assert action.count == len(Read(given_page(action, guide=True)).data()["pose"]["drawings"][0])


def test_half_a_character_stops_nothing():
    text = given_page(wave(), words=Words(comment="half \ud83d of one"))
    assert "half \ufffd of one" in "".join(Read(text).words)
    text.encode("utf-8")


# ---- words -----------------------------------------------------------------------------


def test_what_went_well_is_said_first_and_one_thing_to_try():
    action = traced_twice(wave(), drawing=12)
    words = words_on(action, check(action), to="Ada", comment="Come and see me.\nOn Monday.")
    assert words.well.startswith("Lengths kept; ") and "locks" not in words.well
    assert words.once.startswith("On drawing 12, swing the forearm")
    seen = " ".join(Read(given_page(action, words=words)).words)
    places = [seen.index(part) for part in ("Ada", words.well, words.once, "Come and see me.", "On Monday.")]
    assert places == sorted(places)


def test_words_that_are_empty_are_not_there():
    assert "What went well" not in given_page(wave())
    assert "One thing to try" not in given_page(wave(), words=Words(well="All of it."))


# ---- a lecture ---------------------------------------------------------------------------


@pytest.fixture(scope="module")
def told():
    return LECTURES["05_elbow"]()


def test_each_step_of_a_lecture_has_its_verdict_and_where_its_joint_may_go(told):
    data = Read(given_page(told)).data()
    assert [(s.drawing, s.limb, s.joint, s.says) for s in told.lecture] == [
        (s["drawing"], s["limb"], s["joint"], s["says"]) for s in data["steps"]]
    begin = told.replace(lecture=())
    for at in (0, len(told.lecture) - 1):
        after, step = as_of(begin, told.lecture, at), data["steps"][at]
        assert np.allclose(after.limb(step["limb"]).drawings[step["drawing"] - 1], step["points"])
    assert check(after).passed == data["steps"][-1]["verdict"]["passed"]
    root = {limb.name: limb.joints[0] for limb in told.limbs}
    assert all(step["guides"] for step in data["steps"] if step["joint"] != root[step["limb"]])


def test_the_words_of_a_lecture_are_there_without_a_script(told):
    read = Read(given_page(told))
    seen = " ".join("".join(read.words).split())
    assert all(" ".join(step.says.split()) in seen for step in told.lecture)
    assert len(told.lecture) == sum(tag == "li" for tag, _ in read.elements)


def test_a_copy_of_a_page_is_the_action_file(page):
    """The keys that the page writes a copy from; the file itself is read in the browser's test."""
    head = page.data()["head"]
    file = json.loads(action_file.dumps(wave()))
    assert set(file) - {"format", "version", "exposure", "limbs"} <= set(head)
    assert set(file["limbs"][0]) - {"drawings"} <= set(head["limbs"][0])
    assert re.fullmatch(r"\w+\.json", head["file"])
    assert two_arms().count == len(Read(given_page(two_arms())).data()["pose"]["drawings"][1])
