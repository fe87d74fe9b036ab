"""One verdict of a hand-in: what is judged on which sheet, what counts as drawn, what is other work, and what is worth 100 %.

What is expected of each case was written down before the code, as somebody who marks would have it; three shares are done in
the head beside their case. Where a case is decided otherwise than written down, it says so.
"""

import random
from dataclasses import replace

import homework
import numpy as np
import pytest
from answers import HOMEWORK, _far_arm, _near_arm

from anim_lessons import Action, Brief, Limb
from anim_lessons.assist.hand_in import BEGUN, DONE, NOTHING, OTHER, TO_MEND, Assignment, hand_in
from anim_lessons.assist.mend import mend
from anim_lessons.course.marking import rows
from anim_lessons.course.report import report
from anim_lessons.ferry import actions, starts
from anim_lessons.ferry.actions import DEMOS, buoy, lantern, poses, redrawn, two_arms, wave
from anim_lessons.ferry.looping_arm import looping_arm
from anim_lessons.light_table.answer import Answer
from anim_lessons.model import action_file
from anim_lessons.model.action import Plan, Step

BRIEFS = {name: homework.brief(name) for name in HOMEWORK}
STARTS = {name: action_file.read(homework.start(name)) for name in HOMEWORK}
ARM, BUOY, LANTERN, ELBOW, MEND, ARMS = "06_looping_arm", "01_buoy", "02_lantern", "05_elbow", "08_link_up", "09_two_arms"
LECTURE = looping_arm().replace(lecture=())


def sized(action, by, own=False):
    """All drawings so much smaller; with `own` the file says lengths to suit."""
    limbs = [replace(limb, drawings=(limb.drawings * by).round(3), lengths=limb.lengths * by if own else limb.lengths)
             for limb in action.limbs]
    return action.replace(limbs=tuple(limbs))


def own_stops(action, by=90.0):
    """Stops in the file so much wider."""
    return action.replace(limbs=tuple(replace(limb, stops=limb.stops + [-by, by]) for limb in action.limbs))


def one_moved(action, by=0.3):
    """The end joint of one drawing so far beside its place, mm."""
    points = action.limbs[0].drawings.copy()
    points[4, -1] += [by, 0.0]
    return action.redrawn(points, *(limb.drawings for limb in action.limbs[1:]))


def shifted(action, x, y=0.0):
    return action.redrawn(*(limb.drawings + [x, y] for limb in action.limbs))


def twice(action, drawing=5):
    """One drawing twice in the stack."""
    return restacked(action, [*range(drawing), drawing - 1, *range(drawing, action.count)])


def restacked(action, order):
    """Other drawings of the stack, from 0."""
    return action.replace(limbs=tuple(replace(limb, drawings=limb.drawings[list(order)]) for limb in action.limbs), exposure=2)


def as_drawn(start, drawn, joints, drawings=None):
    """A start with its first joints as drawn, and what hangs below shifted and traced along; of the last of them only these
    drawings, from 1."""
    given, points = start.limbs[0].drawings, start.limbs[0].drawings.copy()
    for k in range(1, given.shape[1]):
        points[:, k] = points[:, k - 1] + given[:, k] - given[:, k - 1]
        rows = np.ones(len(points), bool)
        if k == joints and drawings is not None:
            rows = np.isin(np.arange(1, len(points) + 1), drawings)
        if k <= joints:
            points[rows, k] = (points[:, k - 1] + drawn.limbs[0].drawings[:, k] - drawn.limbs[0].drawings[:, k - 1])[rows]
    return start.redrawn(points)


def one_forearm(action, degrees=40.0):
    """What was traced, traced at another angle: all forearms."""
    root, parts, angle = poses(action)
    angle = angle.copy()
    angle[:, 1:] += degrees
    return redrawn(action, root, parts, angle)


def lengthened(action, by):
    """The hand so much longer in every drawing, and in what the file says."""
    long = actions.longer(action, by=by)
    for drawing in range(1, action.count + 1):
        long = actions.longer(action if drawing == 1 else long, by=by, drawing=drawing)
    limb = long.limbs[0]
    return long.replace(limbs=(replace(limb, lengths=limb.lengths * [1, 1, 1 + by]),))


def called(action, limb=None, joint=None):
    """Limb or last joint under another name."""
    one = action.limbs[0]
    joints = (*one.joints[:-1], joint or one.joints[-1])
    return action.replace(limbs=(replace(one, name=limb or one.name, joints=joints), *action.limbs[1:]))


def noisy(action, mm=0.25):
    """As with a pencil: each joint so far from its place."""
    noise = np.random.default_rng(20261130).normal(0.0, mm / 2, action.limbs[0].drawings.shape)
    return action.redrawn((action.limbs[0].drawings + noise).round(3))


def shuffled(action):
    order = list(range(action.count))
    random.Random(7).shuffle(order)
    return restacked(action, order)


def planned(action):
    limb = action.limbs[0]
    plan = Plan(limb.joints[-1], limb.drawings[:, -1], np.linspace(0, 1, action.count + 1)[:-1])
    step = Step(1, limb.name, limb.joints[1], limb.drawings[0], "look here")
    return action.replace(limbs=(replace(limb, plans=(plan,)),), lecture=(step,))


def whole_hands(but):
    """The lecture's arm with so many of its hands still traced."""
    return as_drawn(LECTURE, wave(12), 3, range(1, 13 - but))


def mended(hand=False, elbow=False, seam=False):
    """The wave of homework 8, with some of its three faults mended."""
    made = wave() if seam else starts.drifting(wave())
    made = made if elbow else actions.traced_twice(made, drawing=12)
    return made if hand else actions.longer(made, by=0.2, drawing=5)


def answered(name, label=None):
    right = HOMEWORK[name].right
    return right[label or next(iter(right))]()


CASES = [
    # what, homework, drawings, state, share in %: a number, two bounds, or None
    ("one fingertip moved by 0.3 mm", ARM, lambda: one_moved(STARTS[ARM]), NOTHING, None),
    ("real work, two faults", ARM, lambda: actions.traced_twice(actions.not_linked(wave()), drawing=12), TO_MEND, (70, 85)),
    ("right, on ones", ARM, lambda: wave(exposure=1), TO_MEND, 91),         # 11 asked, one of them not met: 10/11
    ("right, 10 drawings", ARM, lambda: wave(10), TO_MEND, (70, 95)),
    ("right, 40 drawings", ARM, lambda: wave(40), TO_MEND, 91),
    ("two arms as one", ARM, lambda: two_arms(), OTHER, None),
    ("30 % of the size", ARM, lambda: sized(wave(), 0.3), TO_MEND, 91),
    ("30 % of the size, own lengths", ARM, lambda: sized(wave(), 0.3, own=True), TO_MEND, 91),
    ("elbow broken backwards", ARM, lambda: actions.broken_backwards(wave()), TO_MEND, 91),
    ("elbow broken backwards, own stops", ARM, lambda: own_stops(actions.broken_backwards(wave())), TO_MEND, 91),
    ("a buoy", ARM, buoy, OTHER, None),
    ("mended throughout by the table", MEND, lambda: mend(STARTS[MEND]).action, DONE, 100),
    ("right", ARM, wave, DONE, 100),
    ("right, 24 drawings", ARM, lambda: wave(24), DONE, 100),
    ("right, loose", ARM, actions.loose_wave, DONE, 100),
    ("right, with jitter", ARM, lambda: noisy(wave()), DONE, 100),
    ("as given", ARM, lambda: STARTS[ARM], NOTHING, None),
    ("as given, saved anew", ARM, lambda: action_file.loads(action_file.dumps(STARTS[ARM])), NOTHING, None),
    ("as given, title and name filled in", ARM, lambda: STARTS[ARM].replace(title="mine", by="avocet"), NOTHING, None),
    ("as given, all 0.01 mm off", ARM, lambda: shifted(STARTS[ARM], 0.01), NOTHING, None),
    ("as given, shifted 0.5 mm", ARM, lambda: shifted(STARTS[ARM], 0.5), NOTHING, None),
    ("as given, one drawing twice", ARM, lambda: twice(STARTS[ARM]), NOTHING, None),
    ("as given, another order", ARM, lambda: shuffled(STARTS[ARM]), NOTHING, None),
    ("as given, on ones", ARM, lambda: STARTS[ARM].replace(exposure=1), NOTHING, None),
    ("one pose in all", ARM, lambda: restacked(STARTS[ARM], [3] * 16), NOTHING, None),
    ("traced, all forearms elsewhere", ARM, lambda: one_forearm(STARTS[ARM]), NOTHING, None),
    ("one of 16 hands as given", ARM, lambda: as_drawn(STARTS[ARM], wave(), 3, range(2, 17)), {TO_MEND, DONE}, (85, 100)),
    ("elbows only", ARM, lambda: as_drawn(STARTS[ARM], wave(), 1), BEGUN, (10, 33)),
    ("elbows, half the forearms", ARM, lambda: as_drawn(STARTS[ARM], wave(), 2, range(1, 9)), BEGUN, (25, 50)),
    ("elbows and forearms", ARM, lambda: as_drawn(STARTS[ARM], wave(), 2), BEGUN, (40, 67)),
    ("not looping, says the file", ARM, lambda: wave().replace(loop=False), DONE, 100),
    ("another rate", ARM, lambda: wave().replace(rate=12), DONE, 100),
    ("limb renamed", ARM, lambda: called(wave(), limb="my arm"), DONE, 100),
    ("joint renamed", ARM, lambda: called(wave(), joint="tip"), OTHER, None),
    ("an arm without a hand", ARM, starts.arm, OTHER, None),
    ("an arm with a hand, as one without", ELBOW, wave, OTHER, None),
    ("the new wave, where one was to be mended", MEND, wave, DONE, 100),
    ("the wave to be mended as the new one", ARM, lambda: STARTS[MEND], TO_MEND, (50, 80)),
    ("the traced arm, where a wave was to be mended", MEND, lambda: STARTS[ARM], TO_MEND, (0, 50)),
    ("another limb added", ARM, lambda: wave().replace(limbs=(*wave().limbs, buoy(16).limbs[0])), OTHER, None),
    ("other paper", ARM, lambda: wave().replace(paper=(420, 297)), DONE, 100),
    ("mixed exposure", ARM, lambda: wave().replace(exposure=(2, 2, 3, 1) * 4), TO_MEND, (75, 95)),
    # A figure of the other side is right: the course's own model answers are. What was written down first was: to mend.
    ("the other side", ARM, lambda: wave(other_side=True), DONE, 100),
    ("80 % of the size, own lengths", ARM, lambda: sized(wave(), 0.8, own=True), TO_MEND, 91),
    ("hand 6 % longer, own lengths", ARM, lambda: lengthened(wave(), 0.06), TO_MEND, 91),
    # 4 % was written down as done; since then the tolerance of length became 3 %.
    ("hand 4 % longer, own lengths", ARM, lambda: lengthened(wave(), 0.04), TO_MEND, 91),
    ("hand 2 % longer, own lengths", ARM, lambda: lengthened(wave(), 0.02), DONE, 100),
    ("with a plan and a lecture in the file", ARM, lambda: planned(wave()), DONE, 100),
    ("buoy: as given, one moved by 0.3 mm", BUOY, lambda: one_moved(STARTS[BUOY]), TO_MEND, 0),
    ("buoy: as given, another order", BUOY, lambda: shuffled(STARTS[BUOY]), NOTHING, None),
    ("buoy: right", BUOY, buoy, DONE, 100),
    ("buoy: twenty, heavier", BUOY, lambda: buoy(20, slow=1.4), DONE, 100),
    ("buoy: ticks still, smaller", BUOY, lambda: buoy(slow=0.1, rise=50.0), TO_MEND, 0),
    ("lantern: right", LANTERN, lantern, DONE, 100),
    # Every rule is kept by a swing so small, for each is told by the spacing, and never finer than a pencil is wide.
    ("lantern: swings by 1.5 degrees", LANTERN, lambda: lantern(16, 1.5), NOTHING, None),
    ("lantern: swings by 4 degrees", LANTERN, lambda: lantern(16, 4.0), {TO_MEND, DONE}, (0, 100)),
    ("08: as given", MEND, lambda: STARTS[MEND], NOTHING, None),
    ("08: as given, shifted", MEND, lambda: shifted(STARTS[MEND], 3.0, -2.0), NOTHING, None),
    # Three faults of eleven things asked were given, so each one mended is a third.
    ("08: hand mended", MEND, lambda: mended(hand=True), TO_MEND, 33),
    ("08: hand and elbow mended", MEND, lambda: mended(hand=True, elbow=True), TO_MEND, 67),
    # Written down was: at most 60 %. One thing is left to mend, as in the case before; that it is a new one is in the notes.
    ("08: two mended, a new fault", MEND, lambda: actions.scooped(mended(hand=True, elbow=True, seam=True)), TO_MEND, 67),
    ("09: right", ARMS, lambda: two_arms(12), DONE, 100),
    ("09: far arm still traced", ARMS, lambda: one_moved(STARTS[ARMS], 0.2), NOTHING, None),
    ("09: limbs in the other order", ARMS, lambda: starts.other_arm_first(two_arms(12)), DONE, 100),
    ("09: arms together", ARMS, lambda: two_arms(12, 0.0), TO_MEND, 92),    # 12 of 13: opposition
    ("09: the near arm moved too", ARMS, lambda: two_arms(16), DONE, 100),
    ("09: one arm missing", ARMS, lambda: _near_arm(two_arms(12)), OTHER, None),
    ("09: the far elbow locks", ARMS, lambda: _far_arm(actions.traced_twice), TO_MEND, 92),
    ("two drawings only", ARM, lambda: restacked(wave(), [4, 12]), TO_MEND, (0, 60)),
    # Written down was: to mend. The first drawing of the wave is that by which the start was traced, so half is as given.
    ("two drawings only, one of them as given", ARM, lambda: restacked(wave(), [0, 8]), BEGUN, (0, 60)),
]
# What is begun in class, of twelve drawings; handed in for a start of twelve, and for one of sixteen, traced at other angles, of
# which nobody can tell which half of the forearms is drawn.
FROM_LECTURE = [
    ("elbows only", lambda: as_drawn(LECTURE, wave(12), 1), BEGUN, (10, 33)),
    ("elbows, half the forearms", lambda: as_drawn(LECTURE, wave(12), 2, range(1, 7)), BEGUN, (25, 60)),
    ("elbows and forearms", lambda: as_drawn(LECTURE, wave(12), 2), BEGUN, (40, 67)),
    ("all but two hands", lambda: whole_hands(2), {TO_MEND, DONE}, (80, 100)),
    ("whole", lambda: wave(12), DONE, 100),
    ("as given", lambda: LECTURE, NOTHING, None),
]


def is_as_expected(one, state, share):
    assert one.state in (state if isinstance(state, set) else {state}), (one.state, one.says)
    told = None if one.share is None else round(100 * one.share)
    if isinstance(share, tuple):
        assert share[0] <= told <= share[1]
    else:
        assert told == share
    assert (one.share == 1.0) == (one.state == DONE)
    return True


@pytest.mark.parametrize("what, name, drawings, state, share", CASES, ids=[f"{case[1]} {case[0]}" for case in CASES])
def test_what_is_made_of_a_hand_in(what, name, drawings, state, share):
    assert is_as_expected(hand_in(drawings(), BRIEFS[name], STARTS[name]), state, share)


@pytest.mark.parametrize("start", [LECTURE, STARTS[ARM]], ids=["twelve", "sixteen"])
@pytest.mark.parametrize("what, drawings, state, share", FROM_LECTURE, ids=[case[0] for case in FROM_LECTURE])
def test_what_is_begun_is_known_whatever_the_number_of_drawings(what, drawings, state, share, start):
    assert is_as_expected(hand_in(drawings(), BRIEFS[ARM], start), state, share)


@pytest.mark.parametrize("what, name, drawings, state, share", CASES, ids=[f"{case[1]} {case[0]}" for case in CASES])
def test_check_cell_and_class_table_say_the_same(what, name, drawings, state, share):
    action = drawings()
    one, said = hand_in(action, BRIEFS[name], STARTS[name]), report(action, BRIEFS[name], STARTS[name])

    assert {DONE: {"done"}, NOTHING: {"not started"}, OTHER: {"other work"}}.get(one.state, {"keep going", "almost"}) >= {said.step}
    assert (one.state == DONE) == all(line.word == "PASS" for line in said.lines)


@pytest.mark.parametrize("what, name, drawings, state, share", [case for case in CASES if case[3] in (DONE, TO_MEND)],
                         ids=[f"{case[1]} {case[0]}" for case in CASES if case[3] in (DONE, TO_MEND)])
def test_the_light_table_passes_what_the_check_passes(what, name, drawings, state, share):
    answer = Answer(drawings(), BRIEFS[name], STARTS[name])
    one = hand_in(drawings(), BRIEFS[name], STARTS[name])
    assert (state == DONE) == answer.verdict.passed
    assert [finding.says for finding in one.verdict.causes] == [finding.says for finding in answer.verdict.causes]


def test_where_the_start_is_not_known():
    done, left = hand_in(wave(), BRIEFS[ARM]), hand_in(STARTS[ARM], BRIEFS[ARM])
    # Written down was 82 % for the start itself; a share of what nobody drew helps nobody, so there is none.
    assert (DONE, 1.0, TO_MEND, None) == (done.state, done.share, left.state, left.share)


def test_own_weights():
    brief = replace(BRIEFS[ARM], weights={"spacing": 3})
    one = hand_in(actions.not_linked(wave()), brief, STARTS[ARM])
    assert (TO_MEND, 92) == (one.state, round(100 * one.share))     # 12 of 13


@pytest.mark.parametrize("name, label", [(name, label) for name, one in HOMEWORK.items() for label in one.right])
def test_every_right_answer_is_done(name, label):
    assert is_as_expected(hand_in(answered(name, label), BRIEFS[name], STARTS[name]), DONE, 100)


@pytest.mark.parametrize("name, label", [(name, label) for name, one in HOMEWORK.items() for label in one.wrong])
def test_no_wrong_answer_is_done(name, label):
    one = hand_in(HOMEWORK[name].wrong[label][0](), BRIEFS[name], STARTS[name])
    assert TO_MEND == one.state and one.share <= 0.99


@pytest.mark.parametrize("name, label", [(name, label) for name, one in HOMEWORK.items() for label in one.other])
def test_another_figure_is_other_work(name, label):
    # A rope of five parts was written down as right. The light table gives no other rope than the start's, and stops and
    # lengths are those given; five parts have none.
    assert OTHER == hand_in(HOMEWORK[name].other[label](), BRIEFS[name], STARTS[name]).state


def test_what_differs_on_the_sheet_is_a_note():
    def notes(action):
        return " | ".join(hand_in(action, BRIEFS[ARM], STARTS[ARM]).notes)

    assert "" == notes(wave()) == notes(wave(other_side=True))
    assert "other lengths" in notes(sized(wave(), 0.8, own=True))
    assert "other stops" in notes(own_stops(wave())) and "does not loop" in notes(wave().replace(loop=False))
    assert "runs at 12 frames a second, given were 24" in notes(wave().replace(rate=12))
    assert ("5 of 16 drawings are other ones than given; the faults lay in 4",) == hand_in(
        STARTS[MEND].redrawn(np.concatenate([wave().limbs[0].drawings[:5], STARTS[MEND].limbs[0].drawings[5:]])),
        BRIEFS[MEND], STARTS[MEND]).notes


def test_a_mirror_of_wide_stops_is_a_sheet():
    """A part that turns all round has stops of a whole turn either way; half a turn further they would be none."""
    drawn = np.cumsum(np.random.default_rng(1).uniform(5, 20, (6, 3, 2)), axis=1)
    rope = Action((Limb("rope", ("post", "middle", "end"), (20.0, 20.0), ((-360, 360), (-360, 360)), drawn),))
    twice = rope.mirrored().mirrored()
    assert np.allclose(rope.limbs[0].drawings, twice.limbs[0].drawings, atol=0.002)
    assert (rope.mirrored().limbs[0].stops <= 360).all()
    assert NOTHING == hand_in(rope.mirrored(), Brief(), rope).state


def test_a_mirror_of_what_lies_far_out_stays_on_the_paper():
    far = shifted(wave(), -9_990.0 - wave().limbs[0].drawings[..., 0].min())
    assert far.mirrored().limbs[0].drawings[..., 0].max() == pytest.approx(9_990.0)
    assert wave().limbs[0].drawings[3, 2, 0] == pytest.approx(297.0 - wave().mirrored().limbs[0].drawings[3, 2, 0], abs=0.002)


def test_a_name_from_a_file_is_shown_short_and_visible():
    other = called(wave(), limb="\u202egnol" + "a" * 400, joint="\0tip")
    says = hand_in(other, BRIEFS[ARM], STARTS[ARM]).says
    assert len(says) < 300 and says.isprintable()


def test_a_fault_of_ours_is_a_row_that_says_so_and_keeps_no_other_back():
    class Falls(Assignment):
        def hand_ins(self, actions):
            if any(action.title == "falls over" for action in actions):
                raise ZeroDivisionError("half a rule")
            return super().hand_ins(actions)

    named = [("avocet", wave()), ("knot", wave().replace(title="falls over")), ("ruff", wave())]
    first, broken, last = rows(named, Falls(BRIEFS[ARM], STARTS[ARM]))
    assert "done" == first.state == last.state
    assert "not read" == broken.state and broken.says.startswith("could not be judged (ZeroDivisionError: half a rule). That is a fault of")


def test_hand_ins_judged_together_hear_what_each_hears_alone():
    made = [case[2]() for case in CASES if case[1] == ARM]
    assignment = Assignment(BRIEFS[ARM], STARTS[ARM])
    together = assignment.hand_ins(made)
    alone = [assignment.hand_in(action) for action in made]
    assert [(one.state, one.marks, one.share, one.says, one.notes) for one in together] == [
        (one.state, one.marks, one.share, one.says, one.notes) for one in alone]


def test_demos_with_faults_stay_to_mend():
    for name, rule in actions.FAULTS.items():
        if rule != "opposition":
            assert TO_MEND == hand_in(DEMOS[name](), BRIEFS[ARM], STARTS[ARM]).state, name
