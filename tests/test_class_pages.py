"""A page for each learner of a class, the instructor's marks in it, and what a run takes from an earlier one.

Pages are read by Python's own HTML parser. Cohen's kappa is held against scikit-learn's cohen_kappa_score (seen: 1.9) and against two
worked examples: .21 of [[12, 2], [4, 2]] and .654 of [[25, 3, 5], [6, 32, 8], [1, 0, 20]] (both seen worked through in
print), and .492 of [[88, 14, 18], [10, 40, 10], [2, 6, 12]] (Cohen 1960, from memory).
"""

import json
import re
import warnings
from dataclasses import replace

import homework
import invented_class
import numpy as np
import pytest
from sklearn.metrics import cohen_kappa_score
from test_class_marked import GOOD, KNOWN, laid, read_all
from test_given import Read

from anim_lessons.assist.hand_in import hand_in
from anim_lessons.course.hand_ins import pages as the_pages
from anim_lessons.course.hand_ins.judged import LOG, Log, context_of
from anim_lessons.course.hand_ins.last_word import Agreement, agreements, cohen_kappa
from anim_lessons.course.hand_ins.mark import given, mark
from anim_lessons.course.hand_ins.own_marks import NAME, answer_whose, read_own, say
from anim_lessons.course.hand_ins.pages import page_name
from anim_lessons.course.marking import Row, drawn_digest
from anim_lessons.ferry import actions
from anim_lessons.ferry.actions import traced_twice, wave
from anim_lessons.model import action_file

FAULTY = traced_twice(wave(), drawing=12)
KINDS = {"done": GOOD, "fault": action_file.dumps(FAULTY), "given": action_file.dumps(invented_class.START),
         "other": action_file.dumps(actions.buoy()), "broken": b"{"}


@pytest.fixture(scope="module")
def few(tmp_path_factory):
    """One of each kind, marked: the folder, and the results."""
    top = tmp_path_factory.mktemp("few")
    laid(top / "in", **{f"{name}.json": data for name, data in KINDS.items()})
    return top, mark(top / "in", top / "out", given("6")).results


def page(top, name):
    return (top / "out" / "pages" / f"{name}.html").read_text("utf-8")


def marked_again(top, **options):
    return mark(top / "in", top / "out", given("6"), **options).results


# ---- what a page says --------------------------------------------------------------------


def test_a_page_has_the_drawings_what_went_well_and_one_thing_to_try(few):
    top, _ = few
    read = Read(page(top, "fault"))
    words = " ".join(read.words)
    assert words.index("What went well") < words.index("One thing to try") and "Lengths kept" in words
    assert "to the ghost. Then flip." in words
    data = read.data()
    assert np.allclose(FAULTY.limbs[0].drawings, data["pose"]["drawings"][0], atol=1e-6)
    assert [12] == data["verdict"]["findings"][0]["drawings"] and data["verdict"]["findings"][0]["ghost"]
    assert 12 == data["number"]     # it begins with the drawing at fault


def test_a_page_names_homework_and_learner_whatever_stands_in_the_file(tmp_path):
    odd = wave().replace(title="</title><script>ran = 1</script>", by="somebody else")
    laid(tmp_path / "in", **{"avocet.json": action_file.dumps(odd)})
    marked_again(tmp_path)
    text = page(tmp_path, "avocet")
    assert re.search("<h1>[^<]*<span>avocet</span></h1>", text) and "ran = 1" not in text and "somebody else" not in text
    assert "script-src 'sha256-" in text and "default-src 'none'" in text


@pytest.mark.parametrize("name, says", [("given", "Nothing drawn: the drawings are as given."), ("other", "Other work: these are drawings of buoy"),
                                        ("broken", "Not read: breaks off in line 1")])
def test_what_is_no_drawing_of_this_homework_has_a_page_of_words(few, name, says):
    top, _ = few
    read = Read(page(top, name))
    assert says in " ".join(read.words) and {"style"} == {tag for tag, *_ in read.inside}


def test_a_page_is_as_small_as_the_desk_lets_it_be(few):
    """The desk's own script and styles are 217 KB of it, alike in all."""
    top, _ = few
    sizes = {name: len(page(top, name)) for name in KINDS}
    assert all(sizes[name] < 250_000 for name in ("done", "fault")) and all(sizes[name] < 1_500 for name in ("given", "other", "broken"))


def test_who_handed_nothing_in_has_no_page(tmp_path):
    laid(tmp_path / "in", **{"1.json": GOOD, "2.json": GOOD})
    (tmp_path / "class.csv").write_text("id\n1\n3\n")
    results = marked_again(tmp_path, roster=tmp_path / "class.csv").results
    assert ["1", "3", "whose? 2.json"] == [one.who for one in results]
    assert {"1.html", page_name("whose? 2.json")} == {path.name for path in (tmp_path / "out" / "pages").iterdir()}


# ---- names -----------------------------------------------------------------------------


NAMES = ["../../x", "a/b", "a\\b", "con", "CON", "Nul", "", ".", "..", "x" * 300, "é", "e\u0301", "Avocet", "avocet", "\u202egnol", "a b", "a_b", "-a",
         "<script>", "a\0b", "10007", "山田", "a.json", "lpt1", "ß", "ss", "a" * 50, "a" * 51]


def test_each_name_has_a_file_of_its_own_in_the_folder_on_any_system():
    made = [page_name(name) for name in NAMES]
    assert len(NAMES) == len({name.casefold() for name in made})
    for name in made:
        assert re.fullmatch(r"[\w-]+\.html", name) and len(name.encode()) < 255 and name[0] not in "-."
        assert name.split(".")[0].lower() not in ("con", "nul", "lpt1")


def test_under_pseudonyms_no_page_tells_a_name(tmp_path):
    """Neither in the roster nor in the file, nor by how a file or a joint is called."""
    named = action_file.dumps(wave().replace(title="Curlew's wave", by="Curlew", limbs=(replace(wave().limbs[0], name="Curlew's arm"),)))
    other = action_file.dumps(actions.buoy()).replace(b'"buoy"', b'"Curlew"')
    laid(tmp_path / "in", Curlew_1__w=b"", **{"Curlew_1__w.json": named, "Curlew_2__w.json": other, "Curlew_3__Curlew.json": b'{"Curlew": 1}'})
    (tmp_path / "class.csv").write_text("id,name\nCurlew_1,Curlew\nCurlew_2,Curlew\nCurlew_3,Curlew\n")
    marked_again(tmp_path, roster=tmp_path / "class.csv")
    assert any("Curlew" in path for path in read_all(tmp_path / "out" / "pages"))
    marked_again(tmp_path, roster=tmp_path / "class.csv", pseudonyms=True)
    pages = read_all(tmp_path / "out" / "pages")
    assert {"learner-1.html", "learner-2.html", "learner-3.html"} == set(pages)     # those with names are gone
    shown = [*pages.values(), (tmp_path / "out" / "class.html").read_bytes(), *(name.encode() for name in pages)]
    assert not any(b"curlew" in data.lower() for data in shown)
    assert all(f'href="pages/{name}"'.encode() in (tmp_path / "out" / "class.html").read_bytes() for name in pages)


def test_what_lies_among_the_pages_and_is_not_ours_stays(tmp_path):
    laid(tmp_path / "in", **{"1.json": GOOD, "2.json": GOOD})
    marked_again(tmp_path)
    there = tmp_path / "out" / "pages"
    laid(there, **{"my own.html": b"<p>mine", "notes.txt": b"mine", "new-0123456789abcdef": b"half"})
    (tmp_path / "in" / "2.json").unlink()
    marked_again(tmp_path)
    assert {"1.html", "my own.html", "notes.txt"} == {path.name for path in there.iterdir()}


# ---- taken from an earlier run -----------------------------------------------------------


def test_a_page_that_says_the_same_is_not_written_again(tmp_path, monkeypatch):
    laid(tmp_path / "in", **{"1.json": GOOD, "2.json": KINDS["fault"], "3.json": b"{"})
    marked_again(tmp_path)
    before = read_all(tmp_path / "out")
    monkeypatch.setattr(the_pages, "inside_page", None)      # nothing is made
    monkeypatch.setattr(the_pages, "write_whole", None)      # nothing is written
    marked_again(tmp_path)
    assert before == read_all(tmp_path / "out")
    monkeypatch.undo()
    say(tmp_path / "out", "2", drawn_digest(FAULTY), comment="Come and see me.")
    (tmp_path / "out" / "pages" / "1.html").write_bytes(b"cut short")
    marked_again(tmp_path)
    after = read_all(tmp_path / "out")
    changed = {name for name in after if after[name] != before[name]}
    assert {"pages/2.html", "marks.json", "class.html", "results.csv"} == changed and b"Come and see me." in after["pages/2.html"]


def test_rows_are_taken_from_the_log_until_brief_or_start_or_rules_change(few, tmp_path, monkeypatch):
    top, results = few
    laid(tmp_path / "in", **{f"{name}.json": data for name, data in KINDS.items()})
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / LOG).write_bytes((top / "out" / LOG).read_bytes())
    monkeypatch.setattr("anim_lessons.course.hand_ins.judged.rows", None)      # nothing is judged
    assert [replace(one, when=None) for one in results.results] == [replace(one, when=None) for one in marked_again(tmp_path, pages=False).results]
    monkeypatch.undo()
    context = context_of(KNOWN)
    assert context.by != context_of(replace(KNOWN, start=wave())).by != context_of(replace(KNOWN, brief=replace(KNOWN.brief, guide="nothing"))).by
    monkeypatch.setattr("anim_lessons.course.hand_ins.judged.rules_digest", lambda: "other rules")
    assert context.by != context_of(KNOWN).by


@pytest.mark.parametrize("after", [b"", b'{"of":"', b'{"of":"' + b"0" * 64 + b'","row":{}}\n', b"\xff\n\n", b'{"of":"zz","row":1}\n', b"\0" * 100])
def test_a_log_that_was_cut_or_spoilt_costs_the_lines_that_were(tmp_path, after):
    log = Log(tmp_path / LOG, "by")
    row = Row("", "to mend", {"arc": "mend at 13"}, 0.5, "says", ("a", "b"), {"arc": (False, True)}, (("arc", (13, 14)),), 16, "ab", 0.75)
    log.add([("a" * 64, row), ("b" * 64, replace(row, share=None))])
    log.close()
    with open(tmp_path / LOG, "ab") as file:
        file.write(after)
    log = Log(tmp_path / LOG, "by")
    assert row == log.row("a" * 64) and None is log.row("0" * 64) and replace(row, share=None) == log.row("b" * 64)
    log.add([("c" * 64, row)])
    log.close()
    log = Log(tmp_path / LOG, "by")
    assert row == log.row("c" * 64) == log.row("a" * 64)
    log.close()
    log = Log(tmp_path / LOG, "another")
    assert None is log.row("a" * 64)
    log.close()


# ---- the instructor's word -----------------------------------------------------------


def said_of(tmp_path, data, *marks, drawn=None):
    """The Result of one hand-in of which the instructor said this: (rule, mark, comment) each."""
    laid(tmp_path / "in", **{"knot.json": data})
    (tmp_path / "out").mkdir(exist_ok=True)
    for rule, mark_, comment in marks:
        say(tmp_path / "out", "knot", drawn_digest(action_file.loads(data)) if drawn is None else drawn, rule, mark_, comment)
    return marked_again(tmp_path).results[0]


def test_a_fault_that_the_instructor_lets_pass(tmp_path):
    one = said_of(tmp_path, KINDS["fault"], ("opening", "kept", "meant: she hesitates"))
    assert ("done", 1.0, "kept") == (one.state, one.row.share, one.row.marks["opening"]) and "mend at 12" == one.measured.marks["opening"]
    assert "kept" == one.row.marks["spacing"]       # it followed from it
    assert ("by your word: opening kept, measured mend at 12",) == one.notes
    told = json.loads((tmp_path / "out" / "results.json").read_bytes())["rows"][0]
    assert (True, {"passed": True, "judged": True}) == (told["passed"], told["rules"]["opening"])
    read = Read(page(tmp_path, "knot"))
    words = " ".join(read.words)
    assert [] == read.data()["verdict"]["findings"] and "meant: she hesitates" in words and "ghost" not in words


def test_a_fault_that_only_the_instructor_sees(tmp_path):
    one = said_of(tmp_path, GOOD, ("arc", "to mend", "flat from 3 to 6"), ("", "B", "Lively."))
    assert ("to mend", "to mend", "arc") == (one.state, one.row.marks["arc"], one.row.says) and 0.9 < one.row.share < 1.0
    assert "B" == one.own_mark and "flat from 3 to 6\nLively." == one.comment
    words = " ".join(Read(page(tmp_path, "knot")).words)
    assert "Arc is to be mended, says your instructor." in words and "Your mark: B." in words and "every joint on its arc" not in words.lower()
    told = json.loads((tmp_path / "out" / "results.json").read_bytes())["rows"][0]
    assert not told["passed"] and not told["rules"]["arc"]["passed"]


def test_what_a_brief_asks_of_the_stack_may_be_let_pass(tmp_path):
    one = said_of(tmp_path, action_file.dumps(wave(exposure=1)), ("exposure", "kept", ""))
    assert ("done", 1.0) == (one.state, one.row.share)
    assert Read(page(tmp_path, "knot")).data()["verdict"]["passed"]


@pytest.mark.parametrize("mark_", ["mend", "To mend", "mend at 13"])
def test_a_fault_that_is_confirmed_keeps_its_drawings(tmp_path, mark_):
    one = said_of(tmp_path, KINDS["fault"], ("opening", mark_, ""))
    assert "mend at 12" == one.row.marks["opening"] and one.row == one.measured


@pytest.mark.parametrize("rule, mark_, drawn", [("arc", "to mend", "0" * 64), ("arc", "to mend", ""), ("arc", "perhaps", None), ("charm", "to mend", None)])
def test_what_is_no_mark_of_these_drawings_changes_none(tmp_path, rule, mark_, drawn):
    one = said_of(tmp_path, GOOD, (rule, mark_, "a comment"), drawn=drawn)
    assert ("done", 1.0, None) == (one.state, one.row.share, one.measured)
    assert (drawn == "0" * 64) == ("of an earlier one" in (tmp_path / "out" / "class.html").read_text("utf-8"))
    assert (drawn == "0" * 64) != ("a comment" in page(tmp_path, "knot"))     # what was said of an earlier one is not said to the learner


def test_the_later_word_counts_and_an_empty_one_takes_it_back(tmp_path):
    one = said_of(tmp_path, GOOD, ("arc", "to mend", "first"), ("arc", "to mend", "second"))
    assert "second" == one.comment
    one = said_of(tmp_path, GOOD, ("arc", "", ""))
    assert ("done", "", ()) == (one.state, one.comment, one.said)
    assert 3 == len(read_own(tmp_path / "out").marks)      # nothing is taken out of the file


def test_what_the_instructor_wrote_into_the_file_by_hand_stays(tmp_path):
    own = {"format": "anim-lessons/marks", "version": 1, "my own": [1], "marks": [{"who": "a", "comment": "ü", "more": 1}], "whose": {"x": ""}}
    (tmp_path / NAME).write_text(json.dumps(own, ensure_ascii=False), "utf-8")
    say(tmp_path, "b", comment="new")
    answer_whose(tmp_path, "x", "10007")
    now = json.loads((tmp_path / NAME).read_text("utf-8"))
    assert (own["my own"], own["marks"][0], {"x": "10007"}) == (now["my own"], now["marks"][0], now["whose"]) and "new" == now["marks"][1]["comment"]


# ---- agreement --------------------------------------------------------------------------


@pytest.mark.parametrize("table, kappa", [([[12, 2], [4, 2]], 0.21), ([[25, 3, 5], [6, 32, 8], [1, 0, 20]], 0.654),
                                          ([[88, 14, 18], [10, 40, 10], [2, 6, 12]], 0.492)])
def test_kappa_of_worked_examples(table, kappa):
    assert kappa == pytest.approx(cohen_kappa(table), abs=0.5 * 10 ** -len(str(kappa)[2:]) + 1e-9)


def test_kappa_is_that_of_another_library():
    rng = np.random.default_rng(20261130)
    for _ in range(60):
        size, count = rng.integers(2, 5), rng.integers(1, 40)
        ours, theirs = rng.integers(0, size, (2, count))
        table = np.zeros((size, size), int)
        np.add.at(table, (ours, theirs), 1)
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            expected = cohen_kappa_score(ours, theirs)
        found = cohen_kappa(table.tolist())
        assert found is None if np.isnan(expected) else found == pytest.approx(expected, abs=1e-12)


@pytest.mark.parametrize("table", [((5, 0), (0, 0)), ((0, 0), (0, 3)), ((0, 0), (0, 0))])
def test_where_all_are_alike_there_is_nothing_to_agree_on(table):
    assert None is cohen_kappa(table) and "nothing to agree on" in str(Agreement("arc", table))


def test_agreement_is_counted_over_what_the_instructor_marked(tmp_path):
    marks = {"a": ("opening", "to mend"), "b": ("opening", "kept"), "c": ("opening", "kept"), "d": ("spacing", "to mend")}
    laid(tmp_path / "in", **{"a.json": KINDS["fault"], "b.json": KINDS["fault"], "c.json": GOOD, "d.json": KINDS["fault"]})
    (tmp_path / "out").mkdir()
    for who, (rule, mark_) in marks.items():
        say(tmp_path / "out", who, drawn_digest(wave() if who == "c" else FAULTY), rule, mark_)
    (found,) = agreements(marked_again(tmp_path))     # what only follows is not counted
    assert ("opening", ((1, 0), (1, 1))) == (found.rule, found.table)
    expected = cohen_kappa_score(["kept", "mend", "mend"], ["kept", "kept", "mend"])
    assert expected == pytest.approx(found.kappa) and f"kappa {expected:.2f}" in (tmp_path / "out" / "class.html").read_text("utf-8")


def test_a_share_by_other_marks_is_that_of_a_hand_in_with_these():
    """Of a beginning too: so much of what is drawn."""
    one = hand_in(invented_class.begun(invented_class.START), homework.brief(homework.NAME), invented_class.START)
    assert 0.0 < one.drawn < 1.0 and one.share == KNOWN.share(one.state, one.marks, one.drawn)
