"""A lecture: recorded step by step in the action file, followed on drawings of one's own, which stay.

References: the steps of our own lecture are held against `scenario.wave` and against numbers measured anew here from
the positions alone, with math and nothing of the library's geometry.
"""

import json
import math
import re

import numpy as np
import pytest

from anim_lessons import Action, ActionError, Limb, check
from anim_lessons.assist import lecture, plan
from anim_lessons.course import notebook
from anim_lessons.ferry.actions import two_arms, wave
from anim_lessons.ferry.looping_arm import looping_arm
from anim_lessons.light_table import desk
from anim_lessons.light_table.answer import Answer
from anim_lessons.light_table.settings import Place
from anim_lessons.model import action_file
from anim_lessons.model.action import Step

ARM = wave(drawings=12).limbs[0]


def short(*says):
    """Four drawings of a buoy, and a lecture of a step for each word."""
    limb = Limb("buoy", ("buoy",), (), (), np.arange(8.0).reshape(4, 1, 2))
    return Action((limb,), lecture=tuple(Step(n, "buoy", "buoy", [[n, 100]], text) for n, text in enumerate(says, start=1)))


def told(action):
    return [step.says for step in action.lecture]


# ---- steps put in, moved, taken out -------------------------------------------------------------


def test_a_step_holds_the_limb_as_it_is_on_that_drawing():
    step = lecture.step_of(wave(drawings=12), 5, "arm", "elbow", "Look.")
    assert (5, "arm", "elbow", "Look.") == (step.drawing, step.limb, step.joint, step.says)
    assert np.array_equal(ARM.drawings[4], step.points)
    with pytest.raises(ActionError, match="there is no drawing 13; there are 12"):
        lecture.step_of(wave(drawings=12), 13, "arm", "elbow")


def test_steps_are_put_in_replaced_moved_and_taken_out():
    action = short("a", "b", "c")
    new = Step(4, "buoy", "buoy", [[4, 4]], "new")

    assert ["a", "b", "c", "new"] == told(lecture.with_step(action, new))
    assert ["a", "new", "b", "c"] == told(lecture.with_step(action, new, 1))
    assert ["a", "new", "c"] == told(lecture.replaced(action, 1, new))
    assert ["b", "a", "c"] == told(lecture.moved(action, 0, 1))
    assert ["c", "a", "b"] == told(lecture.moved(action, 2, -9))
    assert ["a", "c"] == told(lecture.without(action, 1))
    assert ["a", "b", "c"] == told(action)


@pytest.mark.parametrize("change", [lambda a: lecture.moved(a, 3, 1), lambda a: lecture.without(a, -1),
                                    lambda a: lecture.replaced(a, 3, a.lecture[0])])
def test_a_step_that_is_not_there_is_said(change):
    with pytest.raises(ActionError, match="there is no step (4|0); there are 3"):
        change(short("a", "b", "c"))


# ---- followed -------------------------------------------------------------------------------------


def test_steps_are_laid_one_after_the_other_and_lifted_again():
    start = short("a", "b", "c").replace(lecture=())
    steps = short("a", "b", "c").lecture
    mine = start
    for at in (-1, 0, 1, 2, 1, 0, -1):
        mine, own = lecture.followed(mine, start, steps, at)
        laid = [tuple(place) == (n, 100) for n, place in enumerate(mine.limbs[0].drawings[:, 0], start=1)]
        assert [n <= at for n in range(4)] == laid
        assert set() == own


def test_what_a_learner_drew_stays_whatever_is_laid():
    start = short().replace(lecture=())
    steps = short("a", "b", "c").lecture
    drawn = start.limbs[0].drawings.copy()
    drawn[1] = [[50, 60]]
    for at in (0, 1, 2, 0):
        mine, own = lecture.followed(start.redrawn(drawn), start, steps, at)
        assert {("buoy", 2)} == own
        assert [50, 60] == mine.limbs[0].drawings[1, 0].tolist()
        assert [1, 100] == mine.limbs[0].drawings[0, 0].tolist()


def test_a_drawing_that_lies_as_any_step_has_it_is_the_lectures():
    """Whoever opens the own file again goes on where it was left."""
    start = looping_arm().replace(lecture=())
    steps = looping_arm().lecture
    whole, _ = lecture.followed(start, start, steps, 35)
    back, own = lecture.followed(action_file.loads(action_file.dumps(whole)), start, steps, 11)
    assert set() == own
    assert back.drawn_as(lecture.as_of(start, steps, 11))


def test_the_other_arm_is_left_alone():
    both = two_arms(drawings=12)
    step = Step(3, "far arm", "wrist", both.limbs[0].drawings[0], "")
    mine, _ = lecture.followed(both, both, (step,), 0)
    assert np.array_equal(mine.limbs[0].drawings, both.limbs[0].drawings)
    assert np.array_equal(mine.limbs[1].drawings[2], step.points)


# ---- our own lecture ----------------------------------------------------------------------------


def places(action, at):
    return lecture.as_of(action, action.lecture, at).limbs[0].drawings


def angle(points, k):
    return math.degrees(math.atan2(points[k + 1][1] - points[k][1], points[k + 1][0] - points[k][0]))


def half(degrees):
    return (degrees + 180.0) % 360.0 - 180.0


def test_it_goes_elbows_forearms_hands_and_ends_with_the_whole_wave():
    action = looping_arm()
    assert [*["elbow"] * 12, *["wrist"] * 12, *["fingertips"] * 12] == [step.joint for step in action.lecture]
    assert 3 * [*range(1, 13)] == [step.drawing for step in action.lecture]
    end = places(action, 35)
    fine = wave(drawings=192, hover=0.15).limbs[0].drawings
    first = int(np.argmin(np.abs(fine - end[0]).max(axis=(1, 2))))
    assert np.abs(end - np.roll(fine, -first, axis=0)[::16]).max() < 2e-3
    assert check(lecture.whole(action)).passed
    assert () == lecture.whole(action).lecture


def test_its_drawings_keep_the_plan_they_were_drawn_by():
    action = looping_arm()
    assert ["elbow", "wrist", "fingertips"] == [one.joint for one in action.limbs[0].plans]
    assert not plan.against(action).kept
    assert plan.against(lecture.whole(action)).kept


def test_it_begins_with_drawings_that_were_only_traced_at_the_high_extreme():
    points = looping_arm().limbs[0].drawings
    for k in range(3):
        assert [angle(points[0], k)] * 12 == pytest.approx([angle(drawing, k) for drawing in points], abs=0.01)
    assert angle(points[0], 0) == pytest.approx(max(angle(drawing, 0) for drawing in wave(drawings=240).limbs[0].drawings), abs=0.2)


def test_it_slows_in_and_out_at_both_extremes():
    """The closest gaps of the elbow lie about its two turns, the widest between them. Common practice, no source."""
    end = places(looping_arm(), 11)
    gaps = [math.dist(end[d][1], end[d - 1][1]) for d in range(12)]
    closest = sorted(range(1, 13), key=lambda number: gaps[number - 1])
    assert {1, 2, 7, 8} == set(closest[:4]) and {5, 10} <= set(closest[-3:])


@pytest.mark.parametrize("layer, name", [*enumerate(["upper arm", "forearm", "hand"])])
def test_every_number_that_is_said_is_on_the_drawings(layer, name):
    action = looping_arm()
    end = places(action, 12 * layer + 11)
    gaps = [math.dist(end[d][layer + 1], end[d - 1][layer + 1]) for d in range(12)]
    for d in range(1, 12):
        says = action.lecture[12 * layer + d].says
        turn = half(angle(end[d], layer) - angle(end[d - 1], layer))
        swing = re.search(rf"Swing the {name} (\d+)° (counter-clockwise|clockwise)\.", says)
        assert (round(abs(turn)), "counter-clockwise" if turn > 0 else "clockwise") == (int(swing[1]), swing[2])
        assert round(gaps[d]) == int(re.search(rf"(\d+) mm on from {d}\.", says)[1])
        assert ("widest" in says, "closest gap of all" in says) == (gaps[d] == max(gaps), gaps[d] == min(gaps) and "back here" not in says)
        if "wider gap," in says or "closer gap," in says:
            assert ("wider gap," in says) == (gaps[d] > gaps[d - 1])
        before, here, after = (end[(d + k) % 12][layer + 1] - end[(d + k - 1) % 12][layer + 1] for k in (-1, 0, 1))
        assert ("turns back here" in says or "turn back here" in says) == (here @ after < 0 and "widest" not in says)
        if "turned: slow out" in says:
            assert before @ here < 0
        if layer == 1:
            bends = [abs(half(angle(end[(d + k) % 12], 1) - angle(end[(d + k) % 12], 0))) for k in (-1, 0, 1)]
            if (bends[1] - bends[0]) * (bends[2] - bends[1]) < 0:
                assert f"most {'bent' if bends[1] > bends[0] else 'open'}" in says
            else:
                bend = re.search(r"The elbow keeps (closing|opening), by (\d+)°", says)
                assert ("closing" if bends[1] > bends[0] else "opening", round(abs(bends[1] - bends[0]))) == (bend[1], int(bend[2]))
        if layer == 2 and "trails" in says:
            lean = half(angle(end[d], 2) - angle(end[d], 1))
            swings = half(angle(end[(d + 1) % 12], 1) - angle(end[d - 1], 1))
            assert lean * swings < 0 and round(abs(lean)) == int(re.search(r"by (\d+)°", says)[1])


# ---- recorded and followed at a table, without a page -----------------------------------------------


@pytest.fixture
def recording(tmp_path):
    panel = notebook.record(tmp_path / "lecture.json", start="wave")
    yield panel
    panel.strip.close()
    panel.table.close()


def draw(table, drawing, joint, by, limb=0):
    """As if by hand in the page: a joint and what hangs below it, moved by mm."""
    pose = json.loads(json.dumps(table.pose))
    for place in pose["drawings"][limb][drawing - 1][joint:]:
        place[0] += by
    table.set_state({"pose": {**pose, "revision": pose["revision"] + 1}})


def test_a_step_is_recorded_where_the_hand_was_and_saved_in_the_file(recording, tmp_path):
    table, strip = recording.table, recording.strip
    table.number = 7
    draw(table, 7, 1, 4.0)
    assert {"drawing": 7, "limb": "arm", "joint": "elbow"} == strip.place
    strip.record("  The elbow leads.  ")
    table.save()

    (step,) = action_file.read(tmp_path / "lecture.json").lecture
    assert (7, "elbow", "The elbow leads.") == (step.drawing, step.joint, step.says)
    assert np.array_equal(table.action.limbs[0].drawings[6], step.points)
    assert "Recorded as step 1: drawing 7, elbow." == strip.says


def test_what_is_recorded_stays_while_drawings_change(recording):
    recording.strip.record("a")
    before = recording.table.action.lecture[0].points
    draw(recording.table, 1, 2, 9.0)
    assert ["a"] == told(recording.table.action)
    assert np.array_equal(before, recording.table.action.lecture[0].points)


def test_the_joint_is_the_one_taken_in_hand_asked_about_or_chosen(recording):
    table, strip = recording.table, recording.strip
    assert "fingertips" == strip.place["joint"]
    table.settings = {**table.settings, "chart": "wrist"}
    assert "wrist" == strip.place["joint"]
    table.settings = {**table.settings, "guide": {"limb": "arm", "joint": "elbow"}}
    assert "elbow" == strip.place["joint"]
    strip.choose(["arm", "shoulder"])
    assert "shoulder" == strip.place["joint"]
    with pytest.raises(ActionError):
        strip.choose(["arm", "knee"])


def test_steps_are_changed_and_taken_back_in_any_order(recording):
    strip, table = recording.strip, recording.table
    for text in "abc":
        strip.record(text)
    strip.go(0)
    strip.record("new")
    assert ["a", "new", "b", "c"] == told(table.action)
    strip.move(1)
    strip.replace("NEW")
    assert ["a", "b", "NEW", "c"] == told(table.action)
    strip.rewrite({"at": 0, "says": "A"})
    strip.take_out()
    assert (["A", "b", "c"], 2) == (told(table.action), strip.at)
    for _ in range(5):
        strip.undo()
    assert ["a", "b", "c"] == told(table.action)
    for _ in range(9):
        strip.redo()
    assert ["A", "b", "c"] == told(table.action)
    assert (False, True) == (strip.can["redo"], strip.can["undo"])


def test_undo_of_a_step_leaves_the_drawings_that_were_made_since(recording):
    recording.strip.record("a")
    draw(recording.table, 2, 1, 5.0)
    drawn = recording.table.action
    recording.strip.undo()
    assert () == recording.table.action.lecture
    assert drawn.drawn_as(recording.table.action)


def test_a_drawing_changed_since_its_step_shows_the_recorded_one_under_it(recording):
    table, strip = recording.table, recording.strip
    strip.record("a")
    recorded = table.action.limbs[0].drawings[0]
    draw(table, 1, 1, 5.0)
    strip.go(0)
    assert recorded.tolist() == table.under["drawings"][0][0]
    assert "Drawing 1 on the table is another one" in strip.says and strip.can["lay"]
    strip.replace("a")
    assert {} == table.under


def test_a_recorded_step_is_taken_up_from_the_list(recording):
    """A step in the list lies under the drawing; taken up it lies on the table, and can be replaced from there."""
    table, strip = recording.table, recording.strip
    strip._sent(None, {"ask": "lay"}, None)
    assert "no step is at hand" in strip.says
    strip.record("a")
    recorded = table.action.limbs[0].drawings[0]
    draw(table, 1, 1, 5.0)
    strip.go(0)
    strip._sent(None, {"ask": "lay"}, None)
    assert np.array_equal(recorded, table.action.limbs[0].drawings[0])
    assert {} == table.under and not strip.can["lay"] and 1 == len(table.action.lecture)


@pytest.mark.parametrize("content", [
    {"ask": "go", "what": 0}, {"ask": "go", "what": "1"}, {"ask": "go", "what": True}, {"ask": "replace", "what": "x"},
    {"ask": "move", "what": 1}, {"ask": "take out"}, {"ask": "record", "what": 3}, {"ask": "record", "what": "\ud800"},
    {"ask": "record", "what": "x" * 2001}, {"ask": "note", "what": {"at": 0, "says": "x"}}, {"ask": "joint", "what": None},
    {"ask": "mood"}, {"ask": "undo"}, 7, None,
])
def test_what_nobody_can_record_changes_nothing(recording, content):
    before = recording.table.action
    recording.strip._sent(None, content, None)
    assert before is recording.table.action


@pytest.fixture
def following(tmp_path):
    (tmp_path / "lecture.json").write_bytes(action_file.dumps(looping_arm()))
    panel = notebook.follow(tmp_path / "lecture.json")
    yield panel
    panel.strip.close()
    panel.table.close()


def test_following_brings_drawing_pose_joint_and_note(following):
    table, strip = following.table, following.strip
    strip.go(16)
    assert (5, {"limb": "arm", "joint": "wrist"}, 16) == (table.number, table.settings["layer"], strip.at)
    assert table.settings["guide"] is None  # one voice: the step's sentence
    assert table.action.drawn_as(lecture.as_of(strip.start, strip.lecture, 16))
    assert "37 mm on from 4. Swing the forearm 29°" in strip.steps[16]["says"]


def test_a_step_can_be_asked_for_before_it_is_shown(following):
    """Where may it go on the next drawing, and why? Its drawing lies on the table as it was, the joint in hand, the guide away."""
    table, strip = following.table, following.strip
    strip.go(15)
    before = table.action
    strip.question(16)
    assert (16, 16, 5) == (strip.at, strip.asking, table.number)
    assert table.action.drawn_as(before)
    assert table.settings["guide"] is None and {"limb": "arm", "joint": "wrist"} == table.settings["layer"]
    assert table.settings["asking"] is True  # plan, dots and chart would be the answer
    strip.go(16)
    assert -1 == strip.asking and table.settings["asking"] is False
    assert not table.action.drawn_as(before)
    strip._sent(None, {"ask": "question", "what": "x"}, [])
    assert "Not done" in strip.says


def test_following_keeps_the_learners_own_drawing_and_the_lectures_file(following, tmp_path):
    table, strip = following.table, following.strip
    before = (tmp_path / "lecture.json").read_bytes()
    draw(table, 5, 1, 12.0)
    own = table.action.limbs[0].drawings[4]
    for at in (3, 4, 16, 35):
        strip.go(at)
    assert np.array_equal(own, table.action.limbs[0].drawings[4])
    strip.go(16)
    assert "Drawing 5 is your own and stays" in strip.says and strip.can["lay"]
    assert strip.lecture[16].points.tolist() == table.under["drawings"][0][4]
    table.save()
    assert np.array_equal(own, action_file.read(tmp_path / "my_lecture.json").limbs[0].drawings[4])
    assert before == (tmp_path / "lecture.json").read_bytes()
    strip.lay()
    assert np.array_equal(strip.lecture[16].points, table.action.limbs[0].drawings[4])
    assert "drawings" not in table.under and not strip.can["lay"]


def test_each_step_is_worked_on_alone_and_the_last_one_as_a_whole(following):
    """What the lecture has not drawn yet is nothing to mend."""
    table, strip = following.table, following.strip
    for at, joint in ((5, "elbow"), (11, "elbow"), (17, "wrist"), (34, "fingertips")):
        strip.go(at)
        assert {"limb": "arm", "joint": joint} == table.settings["layer"]
        assert [] == table.verdict["findings"]
        table.choose(guide=Place("arm", joint))
        assert table.guide["drawing"] == at % 12 + 1 and table.guide["allowed"]
    strip.go(35)
    assert table.settings["layer"] is None
    assert table.verdict["passed"] is True


def test_what_the_lecture_shows_the_guide_allows(following):
    """At every step, the rest of the loop not drawn yet: the plan in the file says how it goes on."""
    for at, step in enumerate(following.strip.lecture):
        following.strip.go(at)
        following.table.choose(guide=Place(step.limb, step.joint))
        guide = following.table.guide
        assert (step.drawing, step.joint) == (guide["drawing"], guide["joint"])
        assert any((guide["drawn"] - start) % 360 <= end - start for start, end in guide["allowed"]), (at + 1, guide["says"])


def test_a_step_changed_by_hand_can_be_laid_again_at_once(following):
    table, strip = following.table, following.strip
    strip.go(4)
    assert not strip.can["lay"] and "drawings" not in table.under
    draw(table, 5, 1, 4.0)
    assert strip.can["lay"] and "Drawing 5 is your own and stays" in strip.says
    assert strip.lecture[4].points.tolist() == table.under["drawings"][0][4]
    strip.lay()
    assert not strip.can["lay"] and "drawings" not in table.under
    strip.question(5)
    draw(table, 6, 1, 4.0)  # the class points, the instructor puts it there: nothing is told yet
    assert not strip.can["lay"]


def test_an_empty_strip_takes_one_press_and_is_taken_back_by_one(tmp_path):
    panel = notebook.record(tmp_path / "lecture.json", start=looping_arm())
    table, strip = panel.table, panel.strip
    drawn = table.action
    assert "elbow" == strip.place["joint"]      # what is to be drawn first, and stands out on the sheet
    strip._sent(None, {"ask": "empty"}, None)
    assert ((), [], -1) == (table.action.lecture, strip.steps, strip.at) and table.action.drawn_as(drawn)
    strip.record("My own.")
    assert "Recorded as step 1" in strip.says
    strip.undo()
    strip.undo()
    assert 36 == len(table.action.lecture)
    strip.close()
    table.close()


def test_a_lecture_drawn_in_its_file_begins_for_the_class_with_drawings_only_traced(tmp_path, monkeypatch):
    """Else the class would see everything that is asked. Nobody types a name: the file lies beside the notebook."""
    monkeypatch.chdir(tmp_path)
    panel = notebook.record("my_own_lecture.json", start="wave")
    panel.strip.record("Here it begins.")
    panel.table.number = 3
    draw(panel.table, 3, 1, 6.0)
    panel.strip.record("The elbow leads.")
    panel.table.save()
    told = panel.table.action
    panel.strip.close()
    panel.table.close()

    followed = notebook.follow()
    start = followed.strip.start.limbs[0].drawings
    steps = [step.points for step in told.lecture]
    assert np.array_equal(start[0], steps[0])                       # the first is there to begin with
    assert np.abs(start[2] - steps[1]).max() > 5.0                  # the third is traced from it,
    assert np.allclose(start[2] - start[2, 0], start[0] - start[0, 0], atol=1e-3)
    rest = [n for n in range(told.count) if n != 2]
    assert np.array_equal(start[rest], told.limbs[0].drawings[rest])  # and what no step lays is as it was drawn
    followed.strip.go(1)
    assert np.array_equal(steps[1], followed.table.action.limbs[0].drawings[2])
    followed.strip.close()
    followed.table.close()


def test_a_recorded_lecture_with_its_start_in_the_file_begins_there():
    assert lecture.begun(looping_arm()).drawn_as(looping_arm())


def test_without_a_lecture_beside_the_notebook_a_line_says_what_to_do(tmp_path, monkeypatch, capsys):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "mine.json").write_bytes(action_file.dumps(wave(drawings=12)))
    (tmp_path / "other.json").write_text("{}")
    assert notebook.follow() is None
    assert "Put the file from your instructor here" in capsys.readouterr().out
    assert {"mine.json", "other.json"} == {path.name for path in tmp_path.iterdir()}


def test_the_own_file_is_found_again_where_it_was_left(tmp_path):
    (tmp_path / "lecture.json").write_bytes(action_file.dumps(looping_arm()))
    first = notebook.follow(tmp_path / "lecture.json")
    first.strip.go(20)
    first.table.close()
    again = notebook.follow(tmp_path / "lecture.json")
    assert again.table.action.drawn_as(first.table.action)
    again.strip.go(3)
    assert again.table.action.drawn_as(lecture.as_of(again.strip.start, again.strip.lecture, 3))
    again.table.close()


@pytest.mark.parametrize("mine, other, says", [
    (None, wave(drawings=12), "no lecture is recorded in it"),
    ("lecture.json", looping_arm(), "is the lecture itself; give another name"),
])
def test_what_cannot_be_followed_is_said(tmp_path, mine, other, says):
    file = tmp_path / "lecture.json"
    file.write_bytes(action_file.dumps(other))
    with pytest.raises(ActionError, match=says):
        notebook.follow(file, mine=None if mine is None else tmp_path / mine)


def test_drawings_of_another_make_are_not_followed_with(tmp_path):
    file, own = tmp_path / "lecture.json", tmp_path / "my_lecture.json"
    file.write_bytes(action_file.dumps(looping_arm()))
    own.write_bytes(action_file.dumps(wave(drawings=16)))
    before = own.read_bytes()
    with pytest.raises(ActionError, match="my_lecture.json: has other limbs or another number of drawings"):
        notebook.follow(file)
    with pytest.raises(ActionError, match="the start has other limbs or another number of drawings than the lecture"):
        notebook.follow(file, mine=tmp_path / "new.json", start="wave")
    assert before == own.read_bytes()


def test_a_lecture_can_be_gone_on_with_where_half_of_the_loop_is_not_drawn_yet(tmp_path):
    panel = notebook.record(tmp_path / "lecture.json", start=looping_arm())
    draw(panel.table, 2, 1, 3.0)
    panel.strip.record("Look.")
    assert panel.table.pose["revision"] == panel.table.verdict["revision"]
    assert 37 == len(panel.table.action.lecture)
    panel.table.close()


# ---- the wrong thing on purpose -----------------------------------------------------------------


def swung_wrong(layer, number, degrees):
    """The lecture followed up to a drawing, a layer of it, and what begins there swung off its place; what hangs on it is traced."""
    start, right = looping_arm().replace(lecture=()), lecture.whole(looping_arm()).limbs[0].drawings
    drawn = start.limbs[0].drawings.copy()
    for joint in range(1, layer):
        drawn[:, joint:] += (right[:, joint] - drawn[:, joint])[:, None]
    drawn[:number, layer:] += (right[:number, layer] - drawn[:number, layer])[:, None]
    turn = np.radians(degrees)
    part = drawn[number - 1, layer] - drawn[number - 1, layer - 1]
    to = drawn[number - 1, layer - 1] + np.array([[math.cos(turn), -math.sin(turn)], [math.sin(turn), math.cos(turn)]]) @ part
    drawn[number - 1, layer:] += to - drawn[number - 1, layer]
    return Answer(start.redrawn(drawn), start=start)


@pytest.mark.parametrize("layer", [1, 2])
@pytest.mark.parametrize("number", [3, 4, 5, 6, 8, 11])
@pytest.mark.parametrize("degrees", [-40, -25, 25, 30, 40])
def test_a_part_swung_wrong_on_the_last_drawing_is_told_of_that_drawing_and_where_it_goes_from_there(layer, number, degrees):
    answer = swung_wrong(layer, number, degrees)
    first = next(one for one in desk.judged(answer, 1)["findings"] if one["follows"] is None)
    ghost = first["ghost"]
    assert [number] == first["drawings"] and number == ghost["drawing"]
    # Who hangs back goes on, and who ran ahead comes back.
    if "hangs back" in first["head"] or "runs ahead" in first["head"]:
        assert ("on" if "hangs back" in first["head"] else "back") == ghost["says"].split()[-1]
    # Nothing is advised that was not tried: on the ghost every rule is kept by what is drawn.
    drawn = answer.action.limbs[0].drawings.copy()
    drawn[number - 1] = ghost["points"]
    assert not Answer(answer.action.redrawn(drawn), start=answer.start).verdict.causes
