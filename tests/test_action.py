"""The data of an action: what it holds, and what is refused, by limb, joint and drawing."""
import dataclasses

import numpy as np
import pytest

from anim_lessons import Action, ActionError, Limb

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
    ({"joints": ()}, 'limb "arm" has no joints; name at least one'),
    ({"joints": ("shoulder", "elbow", "elbow")}, 'limb "arm" has two joints named "elbow"; give each joint its own name'),
    ({"lengths": (5.0,)}, 'limb "arm" has 3 joints, so 2 segments, but 1 lengths; give one length a segment'),
    ({"stops": ((0, 90),)}, 'limb "arm" has 2 segments but 1 pairs of stops; give one pair a segment'),
    ({"lengths": (5.0, 0.0)}, 'limb "arm", segment 2 ("elbow" to "wrist"): its length is 0 mm; it must be above 0'),
    ({"lengths": (float("nan"), 5.0)}, 'limb "arm", segment 1 ("shoulder" to "elbow"): its length is nan mm'),
    ({"lengths": (5.0, 10_001.0)}, "at most 10000"),
    ({"stops": ((-90, 270), (90, 10))}, 'segment 2 ("elbow" to "wrist"): the stops are the wrong way round, 90 above 10'),
    ({"stops": ((-90, 361), (0, 90))}, "stops -90 and 361 degrees; keep them between -360 and 360"),
    ({"drawings": [POINTS[0], POINTS[1][:2]]},
     'limb "arm", drawing 2 has 2 points but 3 joints are named (shoulder, elbow, wrist); give one point a joint'),
    ({"drawings": [POINTS[0], [(0, 0), (5, 0, 1), (5, 5)]]},
     'limb "arm", drawing 2, joint "elbow" has 3 numbers; a point has two, x and y'),
    ({"drawings": [POINTS[0], [(0, 0), (5, 0), (float("nan"), 5)]]},
     'limb "arm", drawing 2, joint "wrist": nan, 5 is not a place on the paper; keep x and y within 10000 mm'),
    ({"drawings": [POINTS[0], [(0, 0), (5, -10_001), (5, 5)]]}, 'drawing 2, joint "elbow": 5, -10001 is not a place'),
    ({"drawings": [POINTS[0]]}, 'limb "arm" has 1 drawings; a movement needs at least 2'),
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
     'limb "far arm" has 2 drawings but "arm" has 3; every limb needs one in every drawing'),
    ({"rate": 0}, "rate is 0 frames a second; give 1 to 240 (film has 24)"),
    ({"rate": 241}, "rate is 241 frames a second"),
    ({"paper": (0, 210)}, "paper needs a width and a height above 0 mm"),
    ({"exposure": (2, 2)}, "exposure lists 2 numbers for 3 drawings; give one number for all or one a drawing"),
    ({"exposure": (2, 0, 2)}, "drawing 2 is exposed for 0 frames; give it at least 1, or take the drawing out"),
    ({"exposure": 0}, "every drawing is exposed for 0 frames"),
])
def test_an_action_that_cannot_be_played(changes, says):
    with pytest.raises(ActionError) as caught:
        Action(**{"limbs": (arm(),), **changes})
    assert says in str(caught.value)


def test_a_limb_that_is_not_there():
    with pytest.raises(ActionError, match='there is no limb "leg"; there is arm'):
        Action((arm(),)).limb("leg")
