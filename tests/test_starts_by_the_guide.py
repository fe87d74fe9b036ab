"""What the homework of the later lessons begins with, drawn on by the guide alone; and a limb of one's own."""


import homework
import numpy as np
import pytest

from anim_lessons import ActionError, check
from anim_lessons.assist.guide import guide, placed
from anim_lessons.assist.passes import Progress
from anim_lessons.ferry.starts import STARTS, flown, own
from anim_lessons.geometry import limb
from anim_lessons.model import action_file

TAIL = ("rump", "middle", "tip"), (45.0, 40.0), ((30.0, 150.0), (-70.0, 70.0))
ROUND = (145.0, 60.0), (150.0, 64.0), (155.0, 60.0), (150.0, 56.0)


def drawn_by_the_guide(start, brief=None):
    """What is missing, each joint where its guide asks for it."""
    action, asked = start, {"brief": brief} if brief else {}
    for _ in range(200):
        progress = Progress(action, start)
        place = progress.next_place()
        if place is None:
            return action
        name, joint, number, _ = place
        found = guide(progress.layer(name, joint, apart=number), name, joint, number, **asked)
        action = placed(action, name, joint, number, found.asked)
    raise AssertionError(f"{place} is never taken for drawn")


@pytest.mark.parametrize("name", STARTS)
def test_the_drawings_given_are_those_of_the_file(name):
    assert homework.start(name).read_bytes() == action_file.dumps(STARTS[name]())


@pytest.mark.parametrize("name", ["03_pennant", "04_mooring_rope", "09_two_arms"])
def test_who_follows_the_guide_alone_has_done_the_homework(name):
    brief = homework.brief(name)
    done = drawn_by_the_guide(STARTS[name](), brief)

    assert [str(finding) for finding in check(done, brief).findings] == []


def test_the_staff_is_as_long_as_it_is_and_carries_the_pennant():
    """95 mm, from the grip to where the pennant is bound: 24 degrees either side of upright, as its scene has it."""
    drawings = flown(16).limbs[0].drawings
    staff = drawings[:, 1] - drawings[:, 0]

    assert np.allclose(95.0, np.hypot(*staff.T), atol=0.002)
    assert np.allclose([66.0, 114.0], [limb.angles(drawings)[:, 0].min(), limb.angles(drawings)[:, 0].max()], atol=0.01)


def test_the_box_hand_has_grown_in_two_drawings_and_is_a_paddle_in_all():
    found = [(finding.rule, finding.joint, finding.drawings) for finding in check(STARTS["07_hand"]()).causes]

    assert found == [("overlap", "knuckles", ()), ("overlap", "fingertip", ()),
                     ("length", "knuckles", (6,)), ("length", "fingertip", (11,))]


def test_a_limb_of_ones_own_stands_traced_and_its_root_goes_round():
    """Middle of 30 and 150 degrees is upright; the root goes through the first place, and all round."""
    action = own(*TAIL, ROUND, drawings=8, name="tail")
    (tail,) = action.limbs
    root = tail.drawings[:, 0]

    assert (8, "tail", "the tail") == (action.count, tail.name, action.title)
    assert root[0].tolist() == [145.0, 60.0]
    assert np.allclose(root[4], [155.0, 60.0], atol=0.1)    # the other extreme
    assert np.allclose(tail.drawings - root[:, None], [[0, 0], [0, 45], [0, 85]], atol=0.002)
    assert action_file.loads(action_file.dumps(action)).limbs[0].joints == tail.joints


def test_a_limb_of_ones_own_drawn_by_the_guide_keeps_every_rule():
    assert check(drawn_by_the_guide(own(*TAIL, ROUND, name="tail"))).passed


@pytest.mark.parametrize("words, says", [
    ((("rump",), (), (), ROUND), "name two or more"),
    ((TAIL[0], (45.0,), TAIL[2], ROUND), "3 joints have 2 parts between them, and there are 1 lengths and 2 pairs of stops"),
    ((*TAIL, ROUND[:2]), "two places make no round"),
    ((*TAIL, ROUND, 1), "needs at least 2"),
    ((*TAIL, ROUND, 12, (90.0,)), "1 bends for 2 parts"),
    ((TAIL[0], TAIL[1], ((150.0, 30.0), (-70.0, 70.0)), ROUND), "wrong way round"),
    ((("tip", "middle", "tip"), *TAIL[1:], ROUND), 'two joints named "tip"'),
])
def test_what_does_not_fit_together_is_said(words, says):
    with pytest.raises(ActionError, match=says):
        own(*words)
