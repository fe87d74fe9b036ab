"""The data of an action: what it holds, and what is refused, by limb, joint and drawing."""
import dataclasses

import numpy as np
import pytest

from anim_lessons import Action, ActionError, Limb
from anim_lessons.model.action import Plan, Step
from anim_lessons.model.action_file import dumps, loads

ARM = ("shoulder", "elbow", "wrist")
POINTS = [[(0, 0), (3, 4), (8, 4)], [(0, 0), (5, 0), (5, 5)], [(0, 0), (0, 5), (5, 5)]]


def arm(name="arm", joints=ARM, lengths=(5.0, 5.0), stops=((-90, 270), (-140, 140)), drawings=POINTS):
    return Limb(name, joints, lengths, stops, drawings)


def test_what_an_action_holds():
    action = Action((arm(),), "wave", "a pupil", exposure=2)

    assert (3, 6, [2, 2, 2]) == (action.count, action.frames, action.exposures.tolist())
    assert (24, True, (297.0, 210.0)) == (action.rate, action.loop, action.paper)     # A4 across: ISO 216
    assert action.limbs[0] is action.limb("arm")
    assert (3, 3, 2) == action.limb("arm").drawings.shape


def test_exposures_drawing_by_drawing():
    action = Action((arm(),), exposure=(2, 1, 3))
    assert ([2, 1, 3], 6) == (action.exposures.tolist(), action.frames)


def test_an_exposure_that_is_the_same_for_all_has_one_form():
    assert 2 == Action((arm(),), exposure=[2, 2, 2]).exposure == Action((arm(),), exposure=2).exposure


def test_drawings_cannot_be_changed_behind_an_actions_back():
    points = np.array(POINTS, float)
    action = Action((arm(drawings=points),))
    points[0, 0] = 99.0

    assert [0, 0] == action.limbs[0].drawings[0, 0].tolist()
    with pytest.raises(ValueError, match="read-only"):
        action.limbs[0].drawings[0, 0] = 1.0
    with pytest.raises(dataclasses.FrozenInstanceError):
        action.title = "other"


def test_a_copy_with_changes():
    action = Action((arm(),), "wave")
    other = action.replace(title="again").redrawn(action.limbs[0].drawings + [1.0, 0.0])

    assert ("again", "wave") == (other.title, action.title)
    assert (1.0, 0.0) == (other.limbs[0].drawings[0, 0, 0], action.limbs[0].drawings[0, 0, 0])


@pytest.mark.parametrize("changes, says", [
    ({"joints": ()}, 'limb "arm": it has no joints; name at least one'),
    ({"joints": ("shoulder", "elbow", "elbow")}, 'limb "arm": it has two joints named "elbow"; give each joint its own name'),
    ({"lengths": (5.0,)}, 'limb "arm": it has 3 joints, so 2 segments, but 1 lengths; give one length a segment'),
    ({"stops": ((0, 90),)}, 'limb "arm": it has 2 segments but 1 pairs of stops; give one pair a segment'),
    ({"lengths": (5.0, 0.0)}, 'limb "arm", segment 2 ("elbow" to "wrist"): its length is 0 mm; it must be at least 0.1'),
    ({"lengths": (float("nan"), 5.0)}, 'limb "arm", segment 1 ("shoulder" to "elbow"): its length is nan mm'),
    ({"lengths": (5.0, 10_001.0)}, "at most 10000"),
    ({"stops": ((-90, 270), (90, 10))}, 'segment 2 ("elbow" to "wrist"): the stops are the wrong way round, 90 above 10'),
    ({"stops": ((-90, 361), (0, 90))}, "stops -90 and 361 degrees; keep them between -360 and 360"),
    ({"drawings": [POINTS[0], POINTS[1][:2]]},
     'limb "arm", drawing 2: it has 2 points but 3 joints are named (shoulder, elbow, wrist); give one point a joint'),
    ({"drawings": [POINTS[0], [(0, 0), (5, 0, 1), (5, 5)]]},
     'limb "arm", drawing 2, joint "elbow": it has 3 numbers; a point has two, x and y'),
    ({"drawings": [POINTS[0], [(0, 0), (5, 0), (float("nan"), 5)]]},
     'limb "arm", drawing 2, joint "wrist": nan, 5 is not a place on the paper; keep x and y within 10000 mm'),
    ({"drawings": [POINTS[0], [(0, 0), (5, -10_001), (5, 5)]]}, 'drawing 2, joint "elbow": 5, -10001 is not a place'),
    ({"drawings": [POINTS[0]]}, 'limb "arm": it has 1 drawings; a movement needs at least 2'),
])
def test_a_limb_that_cannot_be_drawn(changes, says):
    with pytest.raises(ActionError) as caught:
        arm(**changes)
    assert says in str(caught.value)


def test_a_place_at_the_edge_of_the_largest_paper():
    assert 10_000 == arm(drawings=[POINTS[0], [(0, 0), (5, 0), (10_000, 5)]]).drawings[1, 2, 0]


@pytest.mark.parametrize("changes, says", [
    ({"limbs": ()}, "the action has no limbs; add at least one"),
    ({"limbs": (arm(), arm())}, 'two limbs are named "arm"; give each limb its own name'),
    ({"limbs": (arm(), arm("far arm", drawings=POINTS[:2]))},
     'limb "far arm": it has 2 drawings but "arm" has 3; every limb needs one in every drawing'),
    ({"rate": 0}, "rate is 0 frames a second; give 1 to 240 (film has 24)"),
    ({"rate": 241}, "rate is 241 frames a second"),
    ({"paper": (0, 210)}, "paper needs a width and a height of 0.1 to 10000 mm"),
    ({"exposure": (2, 2)}, "exposure lists 2 numbers for 3 drawings; give one number for all or one a drawing"),
    ({"exposure": (2, 0, 2)}, "drawing 2: it is exposed for 0 frames; give it 1 to 10000, or take the drawing out"),
    ({"exposure": 0}, "every drawing is exposed for 0 frames"),
])
def test_an_action_that_cannot_be_played(changes, says):
    with pytest.raises(ActionError) as caught:
        Action(**{"limbs": (arm(),), **changes})
    assert says in str(caught.value)


def test_a_limb_that_is_not_there():
    with pytest.raises(ActionError, match='there is no limb "leg"; there is arm'):
        Action((arm(),)).limb("leg")


# ---- plans and lectures -----------------------------------------------------------------------

SQUARE = [(0, 0), (10, 0), (10, 10), (0, 10)]


def planned(joint="wrist", path=SQUARE, chart=(0, 0.3, 0.6)):
    return Limb("arm", ("shoulder", "elbow", "wrist"), (5.0, 5.0), ((-90, 270), (-140, 140)), POINTS, (Plan(joint, path, chart),))


def told(**changes):
    step = Step(**{"drawing": 2, "limb": "arm", "joint": "wrist", "points": POINTS[1], "says": "Look.", **changes})
    return Action((arm(),), lecture=(step,))


def test_a_limb_carries_its_plans_and_an_action_its_lecture_through_every_copy():
    action = Action((planned(),), lecture=(Step(2, "arm", "wrist", POINTS[1], "Look."),))
    copy = action.replace(title="again").redrawn(action.limbs[0].drawings + [1.0, 0.0])

    assert "wrist" == copy.limbs[0].planned("wrist").joint
    assert copy.limbs[0].planned("elbow") is None
    assert SQUARE == [tuple(place) for place in copy.limbs[0].planned("wrist").path]
    assert ["Look."] == [step.says for step in copy.lecture]


def test_what_is_planned_and_told_cannot_be_changed_behind_an_actions_back():
    points = np.array(POINTS[1], float)
    path, step = np.array(SQUARE, float), Step(2, "arm", "wrist", points)
    plan = Plan("wrist", path, (0, 0.3, 0.6))
    points[0, 0] = path[0, 0] = 99.0

    assert 0 == step.points[0, 0] == plan.path[0, 0]
    for array in (plan.path, plan.chart, step.points):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 1.0


def test_plans_have_one_order_from_the_body_out():
    wrist, elbow = Plan("wrist", SQUARE, (0, 0.3, 0.6)), Plan("elbow", SQUARE, (0, 0.3, 0.6))
    limb = dataclasses.replace(arm(), plans=(wrist, elbow))

    assert ["elbow", "wrist"] == [plan.joint for plan in limb.plans]


def test_the_shortest_way_that_is_planned_is_one_in_a_mirror_and_in_a_file_too():
    for at in (0.0, 100.0004):
        wrist = Plan("wrist", [(at, at), (at + 0.001, at)], (0, 0.3, 0.6))
        action = Action((dataclasses.replace(arm(), plans=(wrist,)),))
        for again in (action.mirrored(), loads(dumps(action))):
            (plan,) = again.limbs[0].plans
            assert np.isclose(0.001, np.ptp(plan.path, axis=0).max())


@pytest.mark.parametrize("changes, says", [
    ({"joint": "knee"}, 'limb "arm": there is no joint "knee" to plan; there is shoulder, elbow, wrist'),
    ({"path": [(0, 0)]}, 'plan of "wrist": a path goes through 2 to 2000 places, x and y each, but here is 1 by 2'),
    ({"path": [(0, 0, 1), (5, 5, 1)]}, "x and y each, but here is 2 by 3"),
    ({"path": np.zeros((2001, 2))}, "2 to 2000 places"),
    ({"path": [(0, 0), (0, 0)]}, 'plan of "wrist": its path stays in one place'),
    ({"path": [(0, 0), (0.0004, 0)]}, 'plan of "wrist": its path stays in one place'),    # written and read again it would
    ({"path": [(0, 0), (float("nan"), 5)]}, 'plan of "wrist", place 2 of its path: nan, 5 is not on the paper'),
    ({"path": [(0, 0), (10_001, 5)]}, "place 2 of its path: 10001, 5 is not on the paper"),
    ({"chart": (0, 0.5)}, 'limb "arm", plan of "wrist": its chart is for 2 drawings and there are 3'),
    ({"chart": (0, 0.5, 0.4)}, 'plan of "wrist", drawing 3: 0.4 of the path after 0.5; a chart never falls'),
    ({"chart": (0, 0.5, 1.01)}, 'plan of "wrist", drawing 3: its chart has no share of the path there; give a share of the path from 0 to 1'),
    ({"chart": (0, float("nan"), 1)}, 'plan of "wrist", drawing 2: its chart has no share of the path there; give a share'),
])
def test_a_plan_that_cannot_be_kept(changes, says):
    with pytest.raises(ActionError) as caught:
        planned(**changes)
    assert says in str(caught.value)


def test_a_hold_repeats_a_share_of_the_chart():
    assert [0, 0.5, 0.5] == planned(chart=(0, 0.5, 0.5)).plans[0].chart.tolist()


def test_a_joint_is_planned_once():
    with pytest.raises(ActionError, match='limb "arm": it has two plans of "wrist"; keep one'):
        dataclasses.replace(planned(), plans=2 * planned().plans)


@pytest.mark.parametrize("changes, says", [
    ({"drawing": 4}, "lecture, step 1: it is of drawing 4, and there are 3"),
    ({"drawing": 0}, "lecture, step 1: it is of drawing 0"),
    ({"limb": "leg"}, 'lecture, step 1: there is no limb "leg"; there is arm'),
    ({"joint": "knee"}, 'lecture, step 1, limb "arm": there is no joint "knee"; there is shoulder, elbow, wrist'),
    ({"points": POINTS[1][:2]}, 'lecture, step 1, limb "arm", drawing 2: it has 2 points but 3 joints are named'),
    ({"points": [(0, 0), (5, 0), (float("inf"), 5)]},
     'lecture, step 1, limb "arm", drawing 2, joint "wrist": inf, 5 is not a place on the paper'),
    ({"says": "x" * 2001}, "what is said has 2001 letters; keep it to 2000"),
    ({"says": "\ud800"}, "half a character"),
])
def test_a_step_that_cannot_be_told(changes, says):
    with pytest.raises(ActionError) as caught:
        told(**changes)
    assert says in str(caught.value)


def test_a_lecture_of_too_many_steps():
    with pytest.raises(ActionError, match="the lecture has 501 steps; keep it to 500"):
        Action((arm(),), lecture=501 * told().lecture)


def test_limbs_of_another_make_take_the_place_of_those_a_lecture_is_told_of():
    action = told()
    cut = arm(joints=ARM[:2], lengths=(5.0,), stops=((-90, 270),), drawings=[drawing[:2] for drawing in POINTS])

    assert () == action.replace(limbs=(cut,)).lecture
    assert action.lecture == action.replace(limbs=(arm(),)).lecture == action.replace(title="again").lecture


def test_drawings_taken_out_of_the_stack_leave_no_step_and_no_chart_behind_unsaid():
    with pytest.raises(ActionError, match="its chart is for 3 drawings and there are 2"):
        Action((planned(),)).redrawn(POINTS[:2])
    with pytest.raises(ActionError, match="it is of drawing 3, and there are 2"):
        told(drawing=3).redrawn(POINTS[:2])
