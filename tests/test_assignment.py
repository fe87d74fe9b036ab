"""Homework set without code: what is filled in, what is written, and that nothing of anybody's is lost.

References: TOML 1.0.0 as Python's own tomllib reads it, nbformat's own check of notebooks, zipfile (seen); what passes is
judged by the check cell of the notebook that was written.
"""

import copy
import json
import tomllib
import zipfile
from dataclasses import replace

import homework
import nbformat
import pytest
from answers import HOMEWORK
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from anim_lessons import RULES, Brief, check, commands, read, read_brief
from anim_lessons.assist.hand_in import DONE, NOTHING, hand_in
from anim_lessons.course import marking
from anim_lessons.course.assignment import files as assignment_files
from anim_lessons.course.assignment import unwritten
from anim_lessons.course.assignment.draft import FIRST, drafted, filled_in, usual_rules
from anim_lessons.course.assignment.fields import Faults, file_name
from anim_lessons.course.assignment.limb import GIVEN, OWN
from anim_lessons.course.assignment.panel import Setting, panel
from anim_lessons.course.notebook import RulesBroken
from anim_lessons.course.report import passing
from anim_lessons.ferry import actions
from anim_lessons.ferry.figures import FIGURES
from anim_lessons.judging.brief import Pass
from anim_lessons.judging.brief_text import brief_text
from anim_lessons.light_table import LightTable
from anim_lessons.light_table.assignment_form import AssignmentForm
from anim_lessons.model import action_file
from anim_lessons.model.action import ActionError
from anim_lessons.rules import TOLERANCES
from anim_lessons.rules.rule import STRICTNESSES


def values(limb="arm", **changes):
    """What a form is filled in with; the rules are those that the limb can be judged by."""
    rules = usual_rules(limb if limb in FIGURES else "arm", FIRST["rules"])
    return copy.deepcopy({**FIRST, "title": "Wave", "limb": limb, "rules": rules, **changes})


def with_rule(filled, name, **changes):
    filled["rules"][name].update(changes)
    return filled


def faults(filled, begun=None):
    with pytest.raises(Faults) as refused:
        drafted(filled, begun)
    return refused.value.of


@pytest.fixture
def written(tmp_path):
    """Write what is filled in, as the form does; the folder of the assignment."""

    def write(begun=None, **changes):
        one = drafted(values(**changes), begun.one if begun else None)
        assignment_files.written(one, tmp_path, begun)
        return tmp_path / one.name

    return write


# ---- what is filled in ------------------------------------------------------------------------


@pytest.mark.parametrize("limb", FIGURES)
def test_each_figure_makes_an_assignment_that_its_own_loop_passes_and_its_start_does_not(limb):
    one = drafted(values(limb))
    assert DONE == hand_in(FIGURES[limb].whole(16), one.brief, one.start).state
    assert NOTHING == hand_in(one.start, one.brief, one.start).state
    assert [] == [says for _, met, says in one.brief.asks(one.start) if not met]
    assert one.notes == ()


@pytest.mark.parametrize("limb", FIGURES)
def test_our_own_loops_pass_however_strict(limb):
    for count in (12, 17, 24):
        for how in STRICTNESSES:
            assert [] == [str(cause) for cause in check(FIGURES[limb].whole(count), strict(how, may_break=False)).causes], (count, how)


@pytest.mark.parametrize("limb", FIGURES)
@pytest.mark.parametrize("count", [8, 13, 40])
def test_as_many_drawings_are_given_as_are_asked_for(limb, count):
    assert count == drafted(values(limb, least=count, most=count)).start.count


@pytest.mark.parametrize(
    "changes, field, says",
    [
        ({"title": "  "}, "title", "Give it a title"),
        ({"title": "???"}, "title", "Put a letter or a digit"),
        ({"title": "x" * 81}, "title", "81 letters; 80 is the most"),
        ({"title": 3}, "title", "Give a text here"),
        ({"text": "x" * 4001}, "text", "4001 letters"),
        ({"due": "2026-02-30"}, "due", "no day of the calendar"),
        ({"due": "soon"}, "due", "write 2026-11-29"),
        ({"due": "", "time": "18:00"}, "due", "Give the day"),
        ({"limb": "wing"}, "limb", "Choose one of these: buoy"),
        ({"limb": GIVEN}, "limb", "Choose one of these: buoy"),
        ({"least": ""}, "least", "Give a whole number from 2 to 240"),
        ({"least": 12.5}, "least", "Give a whole number"),
        ({"least": True}, "least", "Give a whole number"),
        ({"least": 20, "most": 16}, "least", "From 20 to 16 there is no number"),
        ({"rate": 0}, "rate", "Give a whole number from 1 to 240: frames a second"),
        ({"exposure": "fives"}, "exposure", "Choose one of these: ones, twos, threes, own"),
        ({"elbow": []}, "elbow", "Choose one of these: natural, loose"),
        ({"rules": {}}, "rules", "Tick at least one rule"),
        ({"rules": None}, "rules", "Tick at least one rule"),
        ({"rules": {"arc": {"on": True, "how": "usual", "weight": 0}}}, "rules", "Every rule counts 0"),
        (
            {"rules": {"arc": {"on": True, "how": "harsh", "weight": 1}}},
            "rule arc",
            "Choose how strict it is: usual, loose, strict",
        ),
        ({"rules": {"arc": {"on": True, "how": "usual", "weight": "x"}}}, "rule arc", "Give a number from 0 to 9"),
        (
            {"rules": {"arc": {"on": True, "how": "numbers", "weight": 1, "numbers": {"arc": -1}}}},
            "rule arc",
            "arc, local spacing",
        ),
        ({"text": "half \ud800"}, "text", "half a character"),
    ],
)
def test_a_field_that_cannot_be_taken_gets_a_sentence(changes, field, says):
    assert says in faults(values(**changes))[field]


@pytest.mark.parametrize(
    "limb, rule, says",
    [
        (
            "buoy",
            "opening",
            "Opening cannot be asked of the buoy: there is no joint that opens. Untick it, or choose another limb.",
        ),
        ("buoy", "length", "Length cannot be asked of the buoy: a single joint has no length."),
        ("arm", "opposition", "Opposition cannot be asked of the arm: there is only one limb"),
        ("lantern", "overlap", "Overlap cannot be asked of the lantern: there is only one part"),
        ("arm without a hand", "drag", "Drag cannot be asked of the arm without a hand"),
    ],
)
def test_a_rule_that_the_limb_gives_nothing_to_judge_is_refused_in_words(limb, rule, says):
    assert faults(with_rule(values(limb), rule, on=True))[f"rule {rule}"].startswith(says)


def test_too_few_drawings_are_said_so():
    assert faults(values(least=6))["rule arc"].endswith("Ask for more drawings, or untick it.")


def part(joint, length=30, least=-40, greatest=40):
    return {"joint": joint, "length": length, "least": least, "greatest": greatest}


@pytest.mark.parametrize(
    "parts, says",
    [
        ("tail", "Name its joints"),
        ([part("rump")], "has 1 to 12 parts"),
        ([part("rump"), part(" ")], "Joint 2 has no name"),
        ([part("rump"), part("tip", length="")], "Give a number from 1 to 280: the length of the part ending in tip, mm."),
        ([part("rump"), part("tip", least=50)], "50"),  # the wrong way round
        ([part("rump"), part("rump")], "rump"),  # named twice
        ([part("rump"), part("tip", greatest=None)], "the greatest bend of the part ending in tip, degrees"),
    ],
)
def test_a_limb_of_ones_own_that_is_none_gets_a_sentence(parts, says):
    assert says in faults(values(OWN, parts=parts))["parts"]


def test_a_limb_of_ones_own_lies_in_the_middle_of_the_sheet_with_all_but_its_root_to_be_drawn():
    one = drafted(values(OWN, limb_name="tail", parts=[part("rump"), part("middle", 50, 60, 120), part("tip", 30)]))
    (limb,) = one.start.limbs
    # Straight up: the middle of 60 to 120 degrees, then straight on. 80 mm in all, so from 65 to 145 of 210.
    assert [[148.5, 65.0], [148.5, 115.0], [148.5, 145.0]] == limb.drawings[0].tolist()
    assert (limb.drawings == limb.drawings[0]).all()
    assert ("rump",) == one.brief.given


@pytest.mark.parametrize("limb", [*FIGURES, OWN])
def test_what_was_filled_in_comes_back(limb):
    filled = values(
        limb,
        text="one\n\ntwo",
        due="2026-11-29",
        time="18:00",
        exposure="own",
        elbow="loose",
        guide="all",
        mend=False,
        most=40,
    )
    filled = (
        with_rule(with_rule(filled, "arc", how="strict"), "spacing", weight=3, how="loose")
        if limb != "buoy"
        else filled
    )
    one = drafted(filled)
    again = filled_in(one, one.name)
    assert one.brief == drafted(again).brief and one.start.drawn_as(drafted(again).start)
    same = [key for key in FIRST if key not in ("name", "parts", "limb_name", "rules")]
    assert [filled[key] for key in same] == [again[key] for key in same]
    assert [one["how"] for one in filled["rules"].values() if one["on"]] == [
        one["how"] for one in again["rules"].values() if one["on"]
    ]


# ---- strictness -------------------------------------------------------------------------------


def strict(how, **more):
    return Brief(tolerances={name: one.at(how) for name, one in TOLERANCES.items()}, **more)


@pytest.mark.parametrize("by, passes", [(0.022, ("usual", "loose")), (0.038, ("loose",)), (0.06, ())])
def test_strict_finds_more_than_usual_and_loose_less(by, passes):
    """A forearm of 53.1 mm that is 1.2 mm, 2.0 mm or 3.2 mm too long; allowed are 2, 3 or 4.5 % of it (in the head)."""
    longer = actions.longer(actions.wave(), by=by)
    for how in STRICTNESSES:
        assert check(longer, strict(how, rules=("length",))).passed == (how in passes), how


@pytest.mark.parametrize("how", STRICTNESSES)
def test_right_answers_pass_however_strict_and_right_movements_nearly_all(how):
    for name, answers in HOMEWORK.items():
        brief = homework.brief(name)
        for label, make in answers.right.items():
            verdict = check(make(), strict(how, rules=brief.rules, may_break=brief.may_break))
            assert verdict.passed, (name, label, verdict.causes)


def test_loose_is_looser_and_strict_is_stricter():
    """What more of is asked in a rule, and what less, is told by its own file; the value that a fault has lies between."""
    asked_more = {"even", "opening", "overlap"}
    for name, one in TOLERANCES.items():
        loose, usual, strict = (one.at(how) for how in ("loose", "usual", "strict"))
        assert (loose <= usual <= strict) if name in asked_more else (loose >= usual >= strict), name


# ---- the brief as text --------------------------------------------------------------------------

TEXTS = [
    "The lamp “swings” by 0,6.",
    'three """ quotes',
    "a\ttab",
    "back\\slash",
    'ends in "',
    "line\nline\n\nline\n",
    "\x00\x7f\x1f",
    "\r\n",
    "\n",
    "# no comment",
    "é 漢 😀",
]


@pytest.mark.parametrize("text", TEXTS)
def test_every_text_survives(text, tmp_path):
    path = tmp_path / "brief.toml"
    path.write_bytes(brief_text(Brief(text, text)).encode("utf-8"))
    table = tomllib.loads(path.read_bytes().decode("utf-8"))
    assert (text, text) == (table["title"], table["text"])
    assert (text, text) == (read_brief(path).title, read_brief(path).text)


texts = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30)
briefs = st.builds(
    Brief,
    title=texts,
    text=texts,
    rules=st.sets(st.sampled_from(list(RULES)), min_size=1).map(lambda some: tuple(r for r in RULES if r in some)),
    tolerances=st.dictionaries(st.sampled_from(list(TOLERANCES)), st.floats(0, 1e5) | st.integers(0, 99)),
    weights=st.dictionaries(st.sampled_from(list(RULES)), st.floats(0, 3)),
    drawings=st.none() | st.tuples(st.integers(2, 9), st.integers(9, 99)),
    exposure=st.none() | st.integers(1, 9),
    may_break=st.booleans(),
    hand=st.booleans(),
    guide=st.sampled_from(["nothing", "all"]),
    passes=st.lists(
        st.builds(Pass, texts, texts, texts, texts, st.sets(st.integers(1, 9)).map(lambda some: tuple(sorted(some)))),
        max_size=2,
    ).map(tuple),
    given=st.lists(texts, max_size=2).map(tuple),
    mend=st.booleans(),
    due=st.just("") | st.dates().map(str) | st.datetimes().map(lambda when: when.isoformat(timespec="minutes")),
)


@given(briefs)
@settings(max_examples=60, deadline=None)
def test_a_brief_is_read_back_as_it_was(tmp_path_factory, brief):
    path = tmp_path_factory.getbasetemp() / "again.toml"
    path.write_bytes(brief_text(brief).encode("utf-8"))
    assert brief == read_brief(path)


@pytest.mark.parametrize("path", sorted(homework.HOMEWORK.rglob("*.toml")), ids=lambda path: path.stem)
def test_the_workbooks_own_briefs_are_written_as_the_same(path, tmp_path):
    (tmp_path / "again.toml").write_text(brief_text(read_brief(path)), "utf-8")
    assert read_brief(path) == read_brief(tmp_path / "again.toml")


@pytest.mark.parametrize(
    "text, says",
    [
        ("due = 2026-02-30", "line 1"),
        ("due = 'soon'", 'due: "soon" is no date; write 2026-11-29'),
        ("due = 18:00:00", "a date such as 2026-11-29"),
        ("due = 2026-11-29T18:00:00Z", "a zone stands behind the time; leave it out"),
        ("mend = 1", "true or false belongs here"),
    ],
)
def test_a_bad_date_says_where_and_what_to_do(text, says, tmp_path):
    (tmp_path / "brief.toml").write_text(text, "utf-8")
    with pytest.raises(ActionError) as refused:
        read_brief(tmp_path / "brief.toml")
    assert str(tmp_path / "brief.toml") in str(refused.value) and says in str(refused.value)


@pytest.mark.parametrize(
    "due, kept, says",
    [
        ("2026-11-29", "2026-11-29", "29 November 2026"),
        ("2026-11-29T18:00:00", "2026-11-29T18:00", "29 November 2026, 18:00"),
        ("'2026-11-29'", "2026-11-29", "29 November 2026"),
        ("'2026-11-29T09:05'", "2026-11-29T09:05", "29 November 2026, 09:05"),
    ],
)
def test_a_date_is_told_in_words(due, kept, says, tmp_path):
    (tmp_path / "brief.toml").write_text(f"due = {due}", "utf-8")
    brief = read_brief(tmp_path / "brief.toml")
    assert (kept, says) == (brief.due, brief.due_says)


# ---- what is written ----------------------------------------------------------------------------


def test_folder_and_zip_hold_the_same_and_nothing_else(written):
    folder = written(title="Wave the Boat in, twice!")
    assert "wave_the_boat_in_twice" == folder.name
    files = {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and path.name[0] != "."
    }
    assert {
        "conftest.py",
        "start/wave_the_boat_in_twice.json",
        "wave_the_boat_in_twice.ipynb",
        "wave_the_boat_in_twice.toml",
    } == set(files)
    with zipfile.ZipFile(folder.with_suffix(".zip")) as packed:
        assert packed.testzip() is None
        assert {f"{folder.name}/{name}": data for name, data in files.items()} == {
            name: packed.read(name) for name in packed.namelist()
        }
    assert (homework.HOMEWORK / "conftest.py").read_bytes() == files["conftest.py"]


@pytest.mark.parametrize("limb", FIGURES)
def test_the_notebook_is_one_and_what_it_stores_is_what_its_check_prints(written, limb, monkeypatch, capsys):
    folder = written(limb=limb, text='“0,6”\t"""', due="2026-12-04")
    path = folder / f"{folder.name}.ipynb"
    nbformat.validate(json.loads(path.read_text("utf-8")), version=4, version_minor=5)
    monkeypatch.chdir(folder)
    (folder / f"{folder.name}.json").write_bytes(action_file.dumps(FIGURES[limb].whole(14)))
    cells, scope = homework.cells(path), {}
    exec(cells[0].source, scope)
    exec(homework.check_cell(cells).source, scope)
    assert homework.check_cell(cells).outputs[0].text == capsys.readouterr().out
    (folder / f"{folder.name}.json").write_bytes(action_file.dumps(read(folder / "start" / f"{folder.name}.json")))
    with pytest.raises(RulesBroken):
        exec(homework.check_cell(cells).source, scope)


def test_what_is_written_holds_no_number_of_the_brief(written):
    """So a line of the brief may be changed, and the notebook stays: asked for 13 to 37 drawings, on threes, at 25."""
    folder = written(least=13, most=37, exposure="threes", rate=25, due="2031-01-30")
    text = (folder / f"{folder.name}.ipynb").read_text("utf-8")
    assert not [number for number in ("13", "37", "25", "2031", "January", "threes") if number in text]


@pytest.mark.parametrize("name", HOMEWORK)
def test_what_the_workbooks_homework_stores_comes_from_the_names_of_its_rules_alone(name):
    cells = homework.cells(homework.HOMEWORK / homework.notebook(name))
    assert "".join(f"{line}\n" for line in passing(homework.brief(name))) == homework.check_cell(cells).outputs[0].text


def test_it_is_checked_and_marked_like_the_workbooks_own(written, tmp_path):
    folder = written(limb="lantern")
    brief, start = folder / "wave.toml", folder / "start" / "wave.json"
    pile = tmp_path / "hand-ins"
    pile.mkdir()
    for name, action in {"avocet": actions.lantern(12), "knot": read(start), "dunlin": actions.lantern(40)}.items():
        (pile / f"{name}.json").write_bytes(action_file.dumps(action))
    done = CliRunner().invoke(
        commands.main, ["check", "--brief", str(brief), str(pile / "avocet.json"), str(pile / "dunlin.json")]
    )
    assert 1 == done.exit_code and "the brief asks for 12 to 32 drawings" in done.output
    results = []
    for named in (["--homework", str(folder)], ["--brief", str(brief), "--start", str(start)]):
        marked = CliRunner().invoke(commands.main, ["mark", str(pile), *named, "--to", str(tmp_path / named[0])])
        assert 0 == marked.exit_code, marked.output
        results.append((tmp_path / named[0] / "results.json").read_bytes())
    assert results[0] == results[1]
    rows = json.loads(results[0])["rows"]
    states = {row["who"]: row["state"] for row in rows}
    table = {row.name: row.state for row in marking.class_table(pile, brief, start).rows}
    assert {"avocet": "done", "dunlin": "to mend", "knot": "nothing drawn"} == states == table


# ---- nothing of anybody's is lost ------------------------------------------------------------------


def reopened(folder):
    return assignment_files.opened(folder.parent, folder.name)


def test_another_assignment_of_the_same_name_is_refused(written):
    before = (folder := written()).joinpath("wave.toml").read_bytes()
    with pytest.raises(ActionError, match='there is something named "wave".*nothing was written'):
        written(limb="buoy")
    assert before == (folder / "wave.toml").read_bytes()


def test_what_is_opened_is_brought_up_to_date_and_drawings_stay(written):
    folder = written()
    (folder / "wave.json").write_bytes(b"somebody's drawings")
    assert folder == written(
        reopened(folder), least=20, rules=with_rule(values(), "drag", on=False)["rules"], name="wave"
    )
    brief = read_brief(folder / "wave.toml")
    assert ((20, 32), False) == (brief.drawings, "drag" in brief.rules)
    assert "drag" not in (folder / "wave.ipynb").read_text(
        "utf-8"
    )  # the verdict that is stored goes with the list of rules
    assert 20 == read(folder / "start" / "wave.json").count
    assert b"somebody's drawings" == (folder / "wave.json").read_bytes()


def test_a_brief_that_was_changed_by_hand_is_taken_up_and_kept(written):
    folder = written()
    mine = (
        (folder / "wave.toml").read_text("utf-8").replace("drawings = [12, 32]", "drawings = [14, 15]  # a short week")
    )
    (folder / "wave.toml").write_text(mine, "utf-8")
    begun = reopened(folder)
    assert (14, 15) == (filled_in(begun.one)["least"], filled_in(begun.one)["most"])
    _, says = assignment_files.written(begun.one, folder.parent, begun)
    assert [] == says and mine == (folder / "wave.toml").read_text(
        "utf-8"
    )  # it says what is asked, so the words in it stay
    with zipfile.ZipFile(folder.with_suffix(".zip")) as packed:
        assert mine == packed.read("wave/wave.toml").decode("utf-8")
    _, says = assignment_files.written(
        drafted(filled_in(begun.one, "wave") | {"title": "Other"}, begun.one), folder.parent, begun
    )
    assert ["wave.toml: you changed it by hand; what you wrote is kept as wave (kept beside).toml."] == says
    assert mine == (folder / "wave (kept beside).toml").read_text("utf-8")
    assert "Other" == read_brief(folder / "wave.toml").title


def test_what_was_changed_since_it_was_opened_is_not_written_over(written):
    folder = written()
    begun = reopened(folder)
    path = folder / "wave.toml"
    path.write_text(path.read_text("utf-8").replace("[12, 32]", "[12, 16]"), "utf-8")
    with pytest.raises(ActionError, match="wave.toml was changed since it was opened here; open it once more"):
        written(begun, title="Other", name="wave")
    assert (12, 16) == read_brief(path).drawings


def test_a_notebook_that_was_only_run_is_written_anew_and_one_that_was_changed_keeps_its_words(written):
    folder = written()
    path = folder / "wave.ipynb"
    first = path.read_bytes()
    run = json.loads(first)
    run["cells"][6]["outputs"][0]["text"] = ["FAIL  arc\n"]
    path.write_text(json.dumps(run), "utf-8")
    written(reopened(folder), name="wave")
    assert first == path.read_bytes()
    run["cells"][0]["source"] = ["# My own words"]
    path.write_text(json.dumps(run), "utf-8")
    begun = reopened(folder)
    one = drafted(with_rule(values(name="wave"), "hold", on=False), begun.one)
    _, says = assignment_files.written(one, folder.parent, begun)
    cells = nbformat.read(path, 4).cells
    assert "# My own words" == cells[0].source
    assert "".join(f"{line}\n" for line in passing(one.brief)) == cells[6].outputs[0].text
    assert "only the verdict stored in it was written anew" in says[0]


def test_a_notebook_without_its_check_cell_is_left_alone(written):
    folder = written()
    (folder / "wave.ipynb").write_text("{}", "utf-8")
    before = (folder / "wave.toml").read_bytes()
    with pytest.raises(ActionError, match="has no check cell any more.*nothing was written"):
        written(reopened(folder), title="Other", name="wave")
    assert b"{}" == (folder / "wave.ipynb").read_bytes() and before == (folder / "wave.toml").read_bytes()


@pytest.mark.parametrize("garbled", [b"", b"[]", b'{"written": {"wave.toml": 3}}'])
def test_without_a_manifest_everything_is_somebodys_own(written, garbled):
    folder = written()
    (folder / assignment_files.MANIFEST).write_bytes(garbled)
    _, says = assignment_files.written(drafted(values(title="Other", name="wave")), folder.parent, reopened(folder))
    assert {"wave.toml", "start/wave.json", "wave.ipynb"} == {one.split(":")[0] for one in says}
    assert (folder / "wave (kept beside).toml").exists()


def test_names_of_files_are_plain():
    assert ["swing_0_6", "été", "a_b", ""] == [file_name(title) for title in ("Swing “0,6”", "ÉTÉ", "../a\\b", "?!")]
    assert 40 >= len(file_name("word " * 30))


# ---- the form's answers ---------------------------------------------------------------------------


def test_one_of_the_workbook_is_taken_as_a_beginning(tmp_path):
    """All of its brief is kept, also what no field shows; it is written under a name of its own."""
    setting = Setting(tmp_path)
    for name in (key for key, _ in setting.choices()["begin"] if key.startswith("book ")):
        filled = setting.begin(name, setting.first)["values"]
        told = setting.write(filled)
        assert "Written" in told["says"][-1], told
        path = tmp_path / told["begun"].removeprefix("own ")
        theirs, own = homework.HOMEWORK / f"{name.removeprefix('book ')}.toml", path / f"{path.name}.toml"
        before = read_brief(theirs)
        assert replace(before, text=before.text.strip()) == read_brief(own)


def test_a_line_that_was_changed_in_ones_own_copy_of_the_workbook_is_taken_up(tmp_path):
    own = tmp_path / "homework"
    own.mkdir()
    text = (homework.HOMEWORK / "06_looping_arm.toml").read_text("utf-8")
    (own / "06_looping_arm.toml").write_text(text.replace('"drag", ', ""), "utf-8")
    (own / "start").mkdir()
    (own / "start" / homework.FILE).write_bytes(homework.start(homework.NAME).read_bytes())
    setting = Setting(tmp_path / "instructor" / "my_homework")
    assert not setting.begin("book 06_looping_arm", setting.first)["values"]["rules"]["drag"]["on"]
    assert setting.begin("book 01_buoy", setting.first)["values"]["rules"]["spacing"]["on"]     # one that is not there


def test_its_start_drawings_stay_and_other_numbers_are_refused_where_they_do_not_fit(tmp_path):
    setting = Setting(tmp_path)
    filled = setting.begin("book 06_looping_arm", setting.first)["values"]
    assert GIVEN == filled["limb"]
    assert (
        "The drawings that are given are 16. Keep 16 between"
        in setting.look({**filled, "least": 20})["faults"]["least"]
    )
    assert {} == setting.look({**filled, "least": 20, "limb": "arm"})["faults"]


def test_a_homework_that_cannot_be_read_is_not_opened(tmp_path):
    setting = Setting(tmp_path)
    folder = tmp_path / setting.write({**setting.first, "title": "Wave"})["begun"].removeprefix("own ")
    (folder / "wave.toml").write_text("title = 'Wave'\nrules = = 3", "utf-8")
    with pytest.raises(ActionError, match=r"wave.toml: is not a brief in TOML \(.*line 2, column 9.*mend it there"):
        setting.begin("own wave", setting.first)
    with pytest.raises(ActionError, match="there is no such homework any more"):
        setting.begin("own other", setting.first)
    assert "own wave" == setting.key  # the form goes on with what it has


def test_what_was_typed_is_there_when_one_comes_back(tmp_path):
    setting = Setting(tmp_path)
    half = {**setting.first, "title": "Half typed"}
    setting.begin("book 01_buoy", half)
    told = setting.begin("new", setting.first)
    assert (half, ["As you left it here; it is not written yet."]) == (told["values"], told["says"])


def test_what_was_typed_outlives_the_kernel_until_it_is_written(tmp_path):
    form = panel(tmp_path).form
    form.set_state({"values": {**form.values, "title": "Half typed"}, "revision": 1})
    again = panel(tmp_path).form     # of another kernel
    assert ("Half typed", "left") == (again.values["title"], again.begun)
    assert ["As you left it here; it is not written yet."] == again.says
    again._asked(again, {"ask": "begin", "what": "new"}, [])
    assert "" == again.values["title"]      # begun anew; and back
    again._asked(again, {"ask": "begin", "what": "left"}, [])
    assert "Half typed" == again.values["title"]
    again._asked(again, {"ask": "write"}, [])
    assert ("own half_typed", "new") == (again.begun, panel(tmp_path).form.begun)


def test_a_change_of_one_that_is_written_outlives_the_kernel_too(tmp_path):
    form = panel(tmp_path).form
    form.set_state({"values": {**form.values, "title": "Wave"}, "revision": 1})
    form._asked(form, {"ask": "write"}, [])
    form.set_state({"values": {**form.values, "text": "Slower."}, "revision": form.revision + 1})
    again = panel(tmp_path).form
    again._asked(again, {"ask": "write"}, [])
    assert "Slower." == read_brief(tmp_path / "wave" / "wave.toml").text.strip()


@pytest.mark.parametrize("data", [b"", b"{", b"[]", b'{"key": 1, "seen": {}, "values": {}}', b"[" * 100_000,
                                  b'{"key": "new", "seen": {}, "values": {"title": "x"}}', b"0" * 300_000])
def test_what_cannot_be_read_of_what_was_left_is_as_if_it_were_not_there(tmp_path, data):
    (tmp_path / unwritten.NAME).write_bytes(data)
    assert "new" == panel(tmp_path).form.begun
    left = {"key": "new", "seen": {}, "values": {**FIRST, "rules": data.decode()}}
    (tmp_path / unwritten.NAME).write_text(json.dumps(left), "utf-8")
    assert "new" == panel(tmp_path).form.begun


def test_another_limb_brings_its_rules_unless_they_were_chosen(tmp_path):
    setting = Setting(tmp_path)
    told = setting.look({**setting.first, "title": "Wave", "limb": "buoy"})
    assert {"arc", "spacing", "link-up"} == {name for name, one in told["values"]["rules"].items() if one["on"]}
    setting = Setting(tmp_path)
    chosen = with_rule(copy.deepcopy(setting.first), "hold", on=False)
    assert "values" not in setting.look({**chosen, "title": "Wave", "limb": "buoy"})


junk = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=5),
    lambda inside: (
        st.lists(inside, max_size=3)
        | st.dictionaries(st.sampled_from(["on", "how", "joint", "arc", "numbers", "x"]), inside, max_size=3)
    ),
    max_leaves=6,
)


@given(st.dictionaries(st.sampled_from(list(FIRST)), junk, max_size=4), st.booleans())
def test_whatever_a_page_sends_is_answered_in_sentences(sent, bare):
    setting = Setting("nowhere")
    told = setting.look(sent if bare else {**setting.first, **sent})
    assert all(isinstance(says, str) and says.endswith(".") for says in told["faults"].values())


@pytest.fixture
def form(tmp_path):
    setting = Setting(tmp_path)
    return AssignmentForm(setting, values=setting.first, choices=setting.choices())


def test_the_form_answers_what_is_filled_in_with_its_revision(form):
    assert {"title"} == set(form.faults) and "" == form.brief
    form.set_state({"values": {**form.values, "title": "Wave"}, "revision": 3})
    assert ({}, 3) == (form.faults, form.judged) and form.brief.startswith('title = "Wave"')
    form.set_state({"values": {**form.values, "title": ""}, "revision": 2})  # older than what lies there
    assert "Wave" == form.values["title"]
    form.set_state({"faults": {"title": "forged"}})
    assert {} == form.faults


def test_a_press_that_is_older_than_what_is_filled_in_writes_nothing(form, tmp_path):
    form.set_state({"values": {**form.values, "title": "Wave"}, "revision": 3})
    for content in ({"ask": "write", "revision": 2}, {"ask": "burn"}, None):
        form._asked(form, content, [])
    assert [unwritten.NAME] == [path.name for path in tmp_path.iterdir()] and "press once more" in form.says[0]
    form._asked(form, {"ask": "write", "revision": 3}, [])
    assert "own wave" == form.begun and {"wave", "wave.zip"} == {path.name for path in tmp_path.iterdir()}
    form._asked(form, {"ask": "begin", "what": "own x"}, [])
    assert form.says == ["Not opened: there is no such homework any more; choose another one."]


def test_where_nothing_can_be_written_it_says_so_and_what_is_filled_in_stays(tmp_path):
    (tmp_path / "file").write_text("", "utf-8")
    setting = Setting(tmp_path / "file")
    form = AssignmentForm(setting, values={**setting.first, "title": "Wave"}, choices={})
    form._asked(form, {"ask": "write", "revision": 0}, [])
    assert form.says[0].startswith("Not written: ") and "Wave" == form.values["title"]


# ---- on the light table ---------------------------------------------------------------------------


def test_the_table_says_what_is_asked_and_does_not_correct_where_the_brief_forbids_it():
    brief = Brief("Wave", "Slow at both turns.\n", drawings=(12, 24), exposure=2, due="2026-12-04T18:00", mend=False)
    table = LightTable(actions.DEMOS["elbow-locks"](), brief=brief)
    assert {
        "title": "Wave",
        "text": "Slow at both turns.",
        "stack": "12 to 24 drawings, on twos",
        "due": "4 December 2026, 18:00",
        "mend": False,
    } == table.asked
    table._asked(table, {"ask": "mend", "finding": None}, [])
    assert ([], "This is to be mended by hand.") == (table.mended["steps"], table.mended["says"])
    table.brief = None
    assert ("", True) == (table.asked["text"], table.asked["mend"])
    table._asked(table, {"ask": "mend", "finding": None}, [])
    assert table.mended["steps"]


@pytest.mark.parametrize(
    "drawings, exposure, says",
    [
        ((16, 16), 1, "16 drawings, on ones"),
        (None, 2, "on twos"),
        ((8, 9), None, "8 to 9 drawings"),
        (None, 4, "each held for 4 frames"),
        (None, None, ""),
    ],
)
def test_what_is_asked_of_the_stack_in_words(drawings, exposure, says):
    assert says == Brief(drawings=drawings, exposure=exposure).stack_says
