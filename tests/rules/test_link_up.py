"""Link-up, on a dot that goes round a circle and jumps where its last drawing meets the first.

Source of the rule: common practice, no source; its tolerance was chosen by trial.
"""
import numpy as np
import pytest
from specimens import arm, begun_later, dot, found, mirrored, turned

from anim_lessons import Brief, check
from anim_lessons.ferry.hanging import waving_hand
from anim_lessons.judging.flags import measure
from anim_lessons.rules import link_up


def round_once(count=24, drift=0.0, radius=100.0, only=None, by=12.0):
    """A dot that goes round a circle. Over the loop it also drifts `drift` mm to the right, a little with each
    drawing, so that from the last drawing to the first it jumps all of it back; or `only` one drawing is moved."""
    turn = np.arange(count) / count
    x = 150 + radius * np.cos(2 * np.pi * turn) + drift * turn
    y = 120 + radius * np.sin(2 * np.pi * turn)
    if only:
        x[only - 1] += by
    return dot(*np.stack([x, y], axis=-1), loop=True)


def test_a_circle_links_up():
    assert () == found(round_once(), "link-up")


def test_a_loop_that_drifts_jumps_at_its_seam():
    (finding,) = found(round_once(drift=26.0), "link-up")

    assert ("buoy", (24, 1), "mm") == (finding.joint, finding.drawings, finding.unit)
    assert 26.0 == pytest.approx(finding.measured, abs=0.1)
    assert "24 doesn't run into 1." == finding.head
    assert finding.text.endswith("Flip 23, 24, 1, 2 as one swing.") and "it lands 26.0 mm aside of where it should. Share the jump: " in finding.text
    assert ("jumps 26.0 mm", "buoy jumps 26.0 mm from 24 to 1") == (finding.shows, finding.short)
    assert check(finding.correction.laid_in(round_once(drift=26.0)), Brief(rules=("link-up",))).passed


@pytest.mark.parametrize("part, kept", [(0.97, True), (1.03, False)])
def test_the_limit_is_six_tenths_of_the_local_spacing(part, kept):
    # At the seam a step is a chord of 15 degrees, 2 * 100 * sin 7.5° = 26.1 mm; 0.6 of it are 15.7. Half a mm more looks kept.
    chord = 200.0 * np.sin(np.radians(7.5))
    assert kept == (not found(round_once(drift=0.5 + 0.6 * part * chord), "link-up"))


@pytest.mark.parametrize("drift, kept", [(1.95, True), (2.15, False)])
def test_two_millimetres_are_always_allowed(drift, kept):
    # Steps of 2.6 mm, of which 0.6 are about the width of two pencil lines; half a mm more looks kept.
    assert kept == (not found(round_once(drift=drift, radius=10.0), "link-up"))


@pytest.mark.parametrize("part, kept", [(0.97, True), (1.03, False)])
def test_a_brief_may_be_stricter(part, kept):
    chord = 200.0 * np.sin(np.radians(7.5))
    assert kept == (not found(round_once(drift=0.5 + 0.3 * part * chord), "link-up", tolerances={"link-up": 0.3}))


@pytest.mark.parametrize("only", [23, 24, 1, 2, 12])
def test_one_drawing_out_of_place_is_no_jump_even_at_the_seam(only):
    assert () == found(round_once(only=only, by=25.0), "link-up")


def test_a_drawing_left_out_at_the_seam_is_a_jump():
    turn = 2 * np.pi * np.arange(23) / 24
    (finding,) = found(dot(*np.stack([100 * np.cos(turn), 100 * np.sin(turn)], axis=-1), loop=True), "link-up")

    assert "23 doesn't run into 1." == finding.head
    # Twice the angle of the steps beside it: 2 * 100 * sin 15° = 51.8 mm, beside 26.1.
    assert "The step of the buoy is 52 mm and the ones beside it 26 mm;" in finding.text


def test_the_joint_that_jumps_most_for_its_spacing_is_named():
    directions = turned((30, 0), (40, 2), (25, 4))
    directions += np.linspace(-0.5, 0.5, 24)[:, None] * 40.0
    findings = found(arm(directions), "link-up")
    assert 1 == len(findings)           # one jump, one finding, however many joints take part


def test_the_other_side_is_judged_alike():
    one, other = found(round_once(drift=26.0), "link-up"), found(mirrored(round_once(drift=26.0)), "link-up")
    assert [finding.says for finding in one] == [finding.says for finding in other]


def test_on_ones_and_on_twos_alike():
    says = {found(round_once(drift=26.0).replace(exposure=frames), "link-up")[0].says for frames in (1, 2)}
    assert 1 == len(says)


@pytest.mark.parametrize("action, why", [
    (round_once(drift=26.0).replace(loop=False), "this action does not loop, so nothing links up"),
    (round_once(7), "7 drawings are too few to see a link-up"),
    (round_once(8), ""),
])
def test_why_it_could_not_be_judged(action, why):
    verdict = check(action, Brief(rules=("link-up",))).rules["link-up"]
    assert (True, not why, why) == (verdict.passed, verdict.judged, verdict.says)


# ---- a hand that turns sharply between few drawings ------------------------------------


QUICK = [   # drawings, swings, settles, heavy, air: hands by weight, made as loops, whose fingertip turns sharply somewhere
    (12, 2.1, 0.40, 8.2, 5.2), (13, 2.4, 0.57, 9.4, 5.0), (13, 2.5, 0.69, 5.3, 10.4), (14, 2.1, 0.48, 26.7, 0.0),
    (14, 2.5, 0.54, 15.2, 11.2), (21, 2.0, 0.30, 8.1, 10.4), (26, 2.1, 0.47, 6.2, 9.7), (12, 6.0, 0.30, 5.0, 0.0),
]


@pytest.mark.parametrize("setting", QUICK)
def test_a_quick_hand_runs_into_its_first_drawing_wherever_the_loop_is_begun(setting):
    action = waving_hand(*setting).action
    assert [] == [later for later in range(action.count) if found(begun_later(action, later), "link-up")]


def drifting_hand(by, **changes):
    """An arm whose hand alone is turned a little further with each drawing, by so many degrees in all."""
    directions = turned((30, 0), (40, 2), (25, 4), count=16)
    directions[:, 2] += np.linspace(-0.5, 0.5, 16) * by
    return arm(directions, **changes)


def test_a_hand_that_jumps_by_itself_is_found():
    (finding,) = found(drifting_hand(70.0), "link-up")
    assert ("fingertips", (16, 1)) == (finding.joint, finding.drawings)
    assert finding.measured > finding.allowed


def test_by_itself_it_must_stand_clear_of_what_it_leaves_unexplained():
    """Shake the hand of the third drawing before the seam: what that leaves is no part of a jump, and twice
    of it is allowed on top. Where the forearm jumps too, nothing is."""
    m, shaken = (measure(action)[0] for action in (drifting_hand(70.0), shake(drifting_hand(70.0), 14, 4.0)))
    most, more = (link_up.allowed(one, Brief())[-1] for one in (m, shaken))
    seam = -m.stack.outlier @ m.stack.time
    out = shaken.outlier[:, -1]
    left = (out - seam * (seam @ out) / (seam @ seam))[[-3, -2, -1, 0, 1, 2]]
    usual = max(2.0, 0.6 * (shaken.distance[-1, -1] + shaken.distance[1, -1]) / 2)
    assert more == pytest.approx(usual + 2.0 * np.sqrt((np.abs(left) ** 2).sum() / (seam @ seam)))
    assert more > most

    directions = turned((30, 0), (40, 2), (25, 4), count=16)
    directions[:, 1:] += np.linspace(-0.5, 0.5, 16)[:, None] * 70.0
    shared = measure(shake(arm(directions), 14, 4.0))[0]
    usual = max(2.0, 0.6 * (shared.distance[-1, -1] + shared.distance[1, -1]) / 2)
    assert usual == pytest.approx(link_up.allowed(shared, Brief())[-1])


def shake(action, number, by):
    """The last joint of one drawing moved to the right."""
    points = action.limbs[0].drawings.copy()
    points[number - 1, -1, 0] += by
    return action.redrawn(points)
