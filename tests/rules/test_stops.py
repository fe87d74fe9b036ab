"""Stops, on an elbow that stops at 0 and 140 degrees and a wrist that stops at 80 either way.

Source of the rule: common practice, no source; its tolerance was chosen by trial. The
stops are those of a drawn model sheet and say nothing about real joints.
"""
import numpy as np
import pytest
from specimens import arm, begun_later, found, mirrored

from anim_lessons import Action, Brief, Limb, check
from anim_lessons.judging.flags import measure


def bent(elbow=(), wrist=(), upper=(), count=16, swing=40.0):
    """A loop of an arm whose elbow is bent 60 degrees and whose hand is straight. The upper arm swings, and
    turns back at drawings 5 and 13; pairs give a drawing and what is drawn there instead."""
    turn = 2 * np.pi * np.arange(count) / count
    bends = np.stack([90.0 + swing * np.sin(turn), np.full(count, 60.0), np.zeros(count)], axis=-1)
    for part, changes in enumerate((upper, elbow, wrist)):
        for number, drawn in changes:
            bends[number - 1, part] = drawn
    return arm(np.cumsum(bends, axis=-1))


def test_between_the_stops_nothing_is_found():
    assert () == found(bent(), "stops")


def test_the_elbow_broken_backwards_in_full_swing():
    (finding,) = found(bent(elbow=[(9, -16.0)]), "stops")

    assert ("elbow", (9,), "deg") == (finding.joint, finding.drawings, finding.unit)
    assert (16.0, 3.0) == pytest.approx((finding.measured, finding.allowed))
    assert ("The elbow is broken backwards at 9. It is 16° past its stop, in full swing. "
            "Swing the forearm with the hand 76° back, then flip 8, 9, 10. Or keep the break for the turn at 5.") == finding.says
    assert ("16° past its stop", "0° to 140°, 3° over at most") == (finding.shows, finding.looked_for)


def test_the_elbow_folded_too_far():
    (finding,) = found(bent(elbow=[(9, 154.0)]), "stops")
    assert ("The elbow folds too far at 9. It is at 154°, and its stop at 140°. "
            "Swing the forearm with the hand 94° on, then flip 8, 9, 10.") == finding.says


@pytest.mark.parametrize("bend", [94.0, -94.0])
def test_the_wrist_folds_either_way(bend):
    (finding,) = found(bent(wrist=[(9, bend)]), "stops")
    assert f"It is at {bend:.0f}°, and its stop at {np.sign(bend) * 80:.0f}°." in finding.text
    assert f"Swing the hand 94° {'on' if bend > 0 else 'back'}, then flip 8, 9, 10." in finding.text


def test_the_first_part_is_held_against_the_paper():
    (finding,) = found(bent(upper=[(9, 184.0)]), "stops")
    assert ("shoulder", "The upper arm swings past its stop at 9. It is at 184°, and its stop at 170°. "
            "Swing the upper arm with all that hangs on it 94° on, then flip 8, 9, 10.") == (finding.joint, finding.says)


@pytest.mark.parametrize("bend, kept", [(-3.4, True), (-3.6, False), (143.4, True), (143.6, False)])
def test_the_limit_is_3_degrees_and_half_a_degree_more_looks_kept(bend, kept):
    assert kept == (not found(bent(elbow=[(9, bend)]), "stops"))


@pytest.mark.parametrize("bend, kept", [(-10.4, True), (-10.6, False)])
def test_a_brief_may_be_milder(bend, kept):
    assert kept == (not found(bent(elbow=[(9, bend)]), "stops", tolerances={"stops": 10.0}))


def test_just_over_the_limit_the_sentence_still_shows_which_is_more():
    (finding,) = found(bent(elbow=[(9, -3.6)]), "stops")
    assert ("4° past its stop", "0° to 140°, 3° over at most") == (finding.shows, finding.looked_for)


# ---- a loose arm ----------------------------------------------------------------------


def test_the_elbow_turns_back_where_the_upper_arm_does():
    turns = measure(bent())[0].reverses[:, 1]
    assert [5, 13] == (np.flatnonzero(turns) + 1).tolist()


@pytest.mark.parametrize("number, free", [(3, False), (4, True), (5, True), (6, True), (7, False),
                                          (11, False), (12, True), (13, True), (14, True), (15, False)])
def test_a_loose_joint_may_break_within_one_drawing_of_its_parents_turn(number, free):
    assert free == (not found(bent(elbow=[(number, -16.0)]), "stops"))


@pytest.mark.parametrize("number", [4, 5, 6, 9])
def test_a_natural_arm_may_not_break_anywhere(number):
    (finding,) = found(bent(elbow=[(number, -16.0)]), "stops", may_break=False)
    assert ("The elbow is broken backwards at %d. It is 16° past its stop. Swing the forearm with the hand 76° %s, then flip %d, %d, %d."
            % (number, "on" if number < 6 else "back", number - 1, number, number + 1)) == finding.says


def test_the_first_part_has_no_parent_whose_turn_would_free_it():
    (finding,) = found(bent(upper=[(5, 184.0)]), "stops")
    assert (5,) == finding.drawings


# ---- several drawings, the other side, a turn more ----------------------------------------


def test_neighbouring_drawings_are_one_finding_that_leads_with_the_worst():
    (finding,) = found(bent(elbow=[(8, -10.0), (9, -16.0)]), "stops")

    assert (9, 8) == finding.drawings
    assert "The elbow is broken backwards at 8 and 9. It is up to 16° past its stop" in finding.says


@pytest.mark.parametrize("changes", [{"elbow": [(9, -16.0)]}, {"elbow": [(9, 154.0)]}, {"wrist": [(9, 94.0)]},
                                     {"upper": [(9, 184.0)]}])
def test_the_other_side_is_judged_alike(changes):
    (one,), (other,) = found(bent(**changes), "stops"), found(mirrored(bent(**changes)), "stops")

    assert (one.head, one.drawings, one.joint) == (other.head, other.drawings, other.joint)
    assert one.measured == pytest.approx(other.measured)


def test_never_minus_nothing():
    (finding,) = found(mirrored(bent(elbow=[(9, -16.0)])), "stops")
    assert "Swing the forearm with the hand 76° back" in finding.text
    assert "-140° to 0°" in finding.looked_for


def test_the_same_bend_a_whole_turn_round_is_the_same_bend():
    # The wrist turns once round between 1 and 16; what it is bent by at each drawing is told without the turn.
    assert () == found(bent(wrist=[(n, 360.0) for n in range(8, 13)]), "stops")


@pytest.mark.parametrize("later", [1, 7, 8, 15])
def test_wherever_the_loop_begins(later):
    (finding,) = found(begun_later(bent(elbow=[(9, -16.0)]), later), "stops")
    assert ((9 + later - 1) % 16 + 1,) == finding.drawings


def test_two_drawings_are_enough():
    action = Action((Limb("arm", ("shoulder", "elbow", "wrist"), (50.0, 50.0), ((-90.0, 270.0), (0.0, 140.0)),
                          [[(0, 0), (50, 0), (50, 50)], [(0, 0), (50, 0), (50, -50)]]),), loop=False)
    (finding,) = found(action, "stops")

    assert "The elbow is broken backwards at 2. It is 90° past its stop. Swing the forearm 90° back, then flip 1, 2." == finding.says


def test_a_single_joint_has_no_stops():
    buoy = Action((Limb("buoy", ("buoy",), (), (), np.zeros((4, 1, 2))),))
    verdict = check(buoy, Brief(rules=("stops",))).rules["stops"]
    assert (True, False, "a single joint has no stops") == (verdict.passed, verdict.judged, verdict.says)
