"""A pile of files survives every one of them: what is wrong with one is said in its place, and the others are judged."""

import json

import click.testing
import pytest

from anim_lessons import ActionError, Brief, check, commands
from anim_lessons.course import marking
from anim_lessons.ferry import actions
from anim_lessons.ferry.actions import DEMOS, wave
from anim_lessons.judging import files, judge
from anim_lessons.judging.brief import DEFAULT
from anim_lessons.model import action_file

LONG = "a" * 200


@pytest.fixture
def pile(tmp_path):
    """Hand-ins of every odd kind, with good ones before and after."""
    good = action_file.dumps(wave())
    for name in ("avocet.json", "zander.JSON", f"{LONG}.json", "knot.json", "knot.JSON"):
        (tmp_path / name).write_bytes(good)
    (tmp_path / "folder.json").mkdir()
    (tmp_path / "gone.json").symlink_to(tmp_path / "nowhere")
    (tmp_path / "round.json").symlink_to(tmp_path / "round.json")
    (tmp_path / "empty.json").write_bytes(b"")
    (tmp_path / "notes.txt").write_bytes(b"no hand-in")
    return tmp_path


def grown():
    """Two arms: the near forearm too long in every drawing, and the far hand in one."""
    near, far = (limb.drawings.copy() for limb in actions.two_arms().limbs)
    near[:, 2:] += 0.2 * (near[:, 2] - near[:, 1])[:, None]
    far[4, 3] += 0.3 * (far[4, 3] - far[4, 2])
    return actions.two_arms().redrawn(near, far)


def test_a_class_table_has_a_row_for_whatever_ends_in_json(pile):
    rows = {row.name: row for row in marking.class_table(pile).rows}

    assert {"avocet", "zander", LONG, "knot.json", "knot.JSON", "folder", "gone", "round", "empty"} == set(rows)
    assert all(1.0 == rows[name].share for name in ("avocet", "zander", LONG, "knot.json", "knot.JSON"))
    assert "is not a file but a folder or a device; name the action file itself" == rows["folder"].says
    assert rows["gone"].says.startswith("there is no such file") and rows["round"].says.startswith("cannot be opened")
    assert {"not read"} == {rows[name].state for name in ("folder", "gone", "round", "empty")}
    assert None is rows["empty"].share


def test_two_hand_ins_of_one_name_are_both_flipped(pile):
    assert {"avocet", "zander", LONG, "knot.json", "knot.JSON"} == set(marking.readable(pile))


@pytest.mark.parametrize("name", ["ruff.JSON", ".json"])
def test_a_pile_of_capitals_is_a_pile(tmp_path, name):
    (tmp_path / name).write_bytes(action_file.dumps(wave()))
    assert tmp_path == marking.pile(tmp_path, {})


def test_a_first_cause_without_a_drawing_and_another_with_one_are_one_mark(tmp_path):
    (tmp_path / "a.json").write_bytes(action_file.dumps(grown()))
    (tmp_path / "b.json").write_bytes(action_file.dumps(actions.two_arms()))
    first, second = marking.class_table(tmp_path).rows

    assert [(), (5,)] == [cause.drawings for cause in check(grown()).causes if cause.rule == "length"]
    assert "mend …" == first.marks["length"]
    assert 1.0 == second.share


class Broken(Exception):
    """A fault of ours."""


@pytest.fixture
def unjudged(monkeypatch):
    """One action, by its title, on which a rule falls over: while judging, or only when its correction is told."""
    def fall_over(title, late):
        if late:
            of = judge.Corrector
            monkeypatch.setattr(judge, "Corrector", lambda action, *given: _raising if action.title == title else of(action, *given))
            return
        of_one_shape = judge._of_one_shape

        def measured(actions, *given):
            if any(action.title == title for action in actions):
                raise Broken("half a rule")
            return of_one_shape(actions, *given)

        monkeypatch.setattr(judge, "_of_one_shape", measured)

    return fall_over


def _raising(finding):
    raise Broken("half a rule")


@pytest.mark.parametrize("late", [False, True])
@pytest.mark.parametrize("as_json", [False, True])
def test_a_fault_of_ours_is_that_files_sentence(tmp_path, monkeypatch, unjudged, late, as_json):
    for name, action in (("a", wave()), ("b", DEMOS["elbow-locks"]().replace(title="falls over")), ("c", DEMOS["elbow-locks"]())):
        (tmp_path / f"{name}.json").write_bytes(action_file.dumps(action))
    unjudged("falls over", late)
    monkeypatch.chdir(tmp_path)

    done = click.testing.CliRunner().invoke(commands.main, ["check", *(["--json"] if as_json else []), "a.json", "b.json", "c.json"])

    assert 2 == done.exit_code     # never 1, as if it had been judged and a rule were broken
    assert "b.json: could not be judged (Broken: half a rule). That is a fault of anim-lessons" in done.stderr
    if as_json:
        assert [("a.json", True), ("b.json", False), ("c.json", True)] == [
            (line["file"], line["readable"]) for line in map(json.loads, done.stdout.splitlines())]
    else:
        assert ["a.json", "c.json"] == [line.split(":")[0] for line in done.stdout.splitlines() if not line.startswith(" ")]


def test_a_fault_of_ours_is_that_rows_sentence(tmp_path, unjudged):
    for name, action in (("a", wave()), ("b", wave().replace(title="falls over"))):
        (tmp_path / f"{name}.json").write_bytes(action_file.dumps(action))
    unjudged("falls over", late=False)
    sound, fallen = marking.class_table(tmp_path).rows

    assert 1.0 == sound.share and None is fallen.share
    assert fallen.says.startswith("could not be judged (Broken: half a rule)")


def test_an_error_of_the_action_keeps_its_own_words(tmp_path, monkeypatch):
    (tmp_path / "a.json").write_bytes(action_file.dumps(wave()))

    def refuse(*given):
        raise ActionError("it leads off the paper", "draw it smaller", limb="arm")

    monkeypatch.setattr(files, "check_many", refuse)
    monkeypatch.setattr(files, "check", refuse)
    (one,) = files.judged([tmp_path / "a.json"], DEFAULT)
    assert f'{tmp_path / "a.json"}: limb "arm": it leads off the paper; draw it smaller' == str(one.error)


def test_files_are_called_by_as_much_of_their_names_as_tells_them_apart():
    assert ["a", "b.json", "b.JSON"] == files.names(["x/a.json", "x/b.json", "x/b.JSON"])
    assert ["x/a.json", "y/a.json"] == files.names(["x/a.json", "y/a.json"])


def test_the_command_and_the_table_ask_for_what_the_brief_names(tmp_path, monkeypatch):
    """One arm of two, and two arms in step in a file that says it does not loop; a brief that names every rule."""
    (tmp_path / "brief.toml").write_text('rules = ["length", "arc", "spacing", "opening", "stops", "drag", "overlap", "link-up", '
                                         '"hold", "opposition"]')
    for name, action in (("one arm", wave()), ("in step", actions.two_arms(late=0.0).replace(loop=False)), ("right", actions.two_arms())):
        (tmp_path / f"{name}.json").write_bytes(action_file.dumps(action))
    monkeypatch.chdir(tmp_path)

    def code(name):
        return click.testing.CliRunner().invoke(commands.main, ["check", "--brief", "brief.toml", f"{name}.json"]).exit_code

    assert [1, 1, 0] == [code("one arm"), code("in step"), code("right")]
    states = {row.name: row.state for row in marking.class_table(tmp_path, "brief.toml").rows}
    assert {"one arm": "to mend", "in step": "to mend", "right": "done"} == states
    assert Brief().names_rules is False


@pytest.mark.parametrize("loop", [True, False])
@pytest.mark.parametrize("exposure", [2, (1, 2) * 10])
def test_actions_judged_together_hear_what_each_hears_alone(loop, exposure):
    """Sound ones and faulty ones by turns, of one shape, so that they go through the rules in one pass."""
    sound = wave(20).replace(loop=loop, exposure=exposure)
    drawn = []
    for number in range(6):
        points = sound.limbs[0].drawings.copy()
        if number % 2:
            points[8 + number, 2:] += 9.0, -8.0
        drawn.append(sound.redrawn(points))

    together = [[finding.says for finding in verdict.findings] for verdict in judge.check_many(drawn)]
    assert together == [[finding.says for finding in check(action).findings] for action in drawn]
    assert any(together)
