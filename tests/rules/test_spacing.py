"""Spacing, on a straight path with steps of 10 mm.

Source of the rule: common practice, no source; its tolerances were chosen by trial.
"""
import numpy as np
import pytest
from specimens import arm, begun_later, dot, found, mirrored, on_a_line, turned

from anim_lessons import Brief, check
from anim_lessons.ferry.actions import wave
from anim_lessons.judging.flags import measure
from anim_lessons.rules import spacing

LOCAL = {"even": 0.0}       # leaves the gaps as a whole alone, for steps of 10 mm are all alike


def local(action, **tolerances):
    return found(action, "spacing", tolerances={**LOCAL, **tolerances})


def there_and_back(*gaps):
    """A loop of a dot that goes to the right by these gaps, mm, and back by the same in reverse."""
    x = np.concatenate([[0.0], np.cumsum(gaps + gaps[::-1])])
    there, back = x[:len(gaps)], x[len(gaps)]
    return dot(*[(v, 0.0) for v in [*there, back, *there[:0:-1]]], loop=True)


# ---- one drawing out of its place ----------------------------------------------------


def test_steps_that_are_alike_or_grow_steadily_are_in_their_places():
    assert () == local(on_a_line())
    assert () == local(dot(*[(float(i * i), 0.0) for i in range(12)]))


def test_a_drawing_too_far_on_runs_ahead():
    # Steps of 10, 16, 4 and 10 mm around it: 10 on average, of which 0.4 are 4.
    (finding,) = local(on_a_line(at5=(6, 0)))

    assert ("buoy", (5,), "mm") == (finding.joint, finding.drawings, finding.unit)
    assert (6.0, 4.0) == pytest.approx((finding.measured, finding.allowed))
    assert "5 runs ahead. The buoy goes 16 mm, then 4 mm. Move the buoy 6 mm back, then flip 4, 5, 6." == finding.says
    assert ("6.0 mm ahead of its place", "at most 4.0 mm") == (finding.shows, finding.looked_for)
    assert "buoy 6.0 mm past its place" == finding.short


def test_a_drawing_not_far_enough_hangs_back():
    (finding,) = local(on_a_line(at5=(-6, 0)))

    assert "5 hangs back. The buoy goes 4 mm, then 16 mm. Move the buoy 6 mm on, then flip 4, 5, 6." == finding.says
    assert ("6.0 mm behind its place", "buoy 6.0 mm short of its place") == (finding.shows, finding.short)


@pytest.mark.parametrize("off, head, shows", [(8, "9 goes too far.", "past the turn"), (-8, "9 stops short.", "short of the turn"),
                                              (0, None, None)])
def test_at_a_turn_a_drawing_goes_too_far_or_stops_short(off, head, shows):
    """A dot that goes to the right until 9 and back: at its turn nobody sees it ahead or behind."""
    found_here = local(dot(*[(-40.0 * np.cos(np.pi * i / 8) + (off if i == 8 else 0.0), 0.0) for i in range(16)], loop=True))
    assert ([] if head is None else [head]) == [one.head for one in found_here]
    assert head is None or f"The buoy is {found_here[0].measured:.1f} mm {shows}." == found_here[0].amount
    again = local(on_a_line(at5=(22, 0)))       # past the next drawing, and the line goes on: it does not turn there
    assert ["5 runs ahead."] == [one.head for one in again]


@pytest.mark.parametrize("ahead, kept", [(4.49, True), (4.51, False), (-4.49, True), (-4.51, False)])
def test_the_limit_is_four_tenths_of_the_local_spacing_and_half_a_mm_more_looks_kept(ahead, kept):
    assert kept == (not local(on_a_line(at5=(ahead, 0))))


@pytest.mark.parametrize("ahead, kept", [(1.99, True), (2.01, False)])
def test_two_millimetres_are_always_allowed(ahead, kept):
    action = dot(*[(3.0 * i + (ahead if i == 4 else 0.0), 0.0) for i in range(10)])
    assert kept == (not local(action))


def test_just_over_the_limit_the_sentence_still_shows_which_is_more():
    (finding,) = local(on_a_line(at5=(4.52, 0)))
    assert ("4.5 mm ahead of its place", "at most 4.0 mm") == (finding.shows, finding.looked_for)


@pytest.mark.parametrize("number", [3, 8])
def test_what_does_not_loop_is_judged_up_to_its_ends(number):
    # Beside its ends a drawing has one neighbour on one side, and three times as much is allowed.
    (finding,) = local(on_a_line(**{f"at{number}": (6, 0)}))
    assert ((number,), f"{number} runs ahead.") == (finding.drawings, finding.head)


@pytest.mark.parametrize("number", [1, 10])
def test_its_first_and_last_drawing_are_given(number):
    assert () == local(on_a_line(**{f"at{number}": (6, 0)}))


# ---- all gaps alike -------------------------------------------------------------------


def test_even_gaps_tick_like_a_clock():
    action = there_and_back(*[10.0] * 8)
    (finding, *_) = found(action, "spacing")

    assert ((), "Nearly all gaps are alike.", "") == (finding.drawings, finding.head, finding.unit)
    assert "The widest gaps of the buoy are 1.00 times the closest" in finding.text
    assert "1.35 times or more are looked for" in finding.text
    assert "1.35 times or more" == finding.looked_for


def test_gaps_that_open_and_close_do_not():
    assert () == found(there_and_back(2.0, 5.0, 9.0, 12.0, 12.0, 9.0, 5.0, 2.0), "spacing")


def test_evenness_is_read_off_the_gaps():
    # 21 drawings on a line that does not loop, 20 gaps of 1 to 20 mm: the 15 % and 85 % quantiles of
    # 1 ... 20 are 3.85 and 17.15 (linear between neighbours). On a straight path arcs are as long as chords.
    gaps = np.arange(1.0, 21.0)
    action = dot(*[(x, 0.0) for x in np.concatenate([[0.0], np.cumsum(gaps)])])
    assert 17.15 / 3.85 == pytest.approx(float(spacing.evenness(measure(action)[0])), rel=1e-6)
    assert np.quantile(gaps, 0.85) / np.quantile(gaps, 0.15) == pytest.approx(17.15 / 3.85)


@pytest.mark.parametrize("limit, kept", [(4.45, True), (4.46, False)])
def test_the_limit_of_evenness(limit, kept):
    action = dot(*[(x, 0.0) for x in np.concatenate([[0.0], np.cumsum(np.arange(1.0, 21.0))])])
    # 17.15 / 3.85 = 4.4545 ...
    assert kept == (not found(action, "spacing", tolerances={"even": limit}))


def test_a_drawing_held_longer_has_a_wider_gap_and_is_no_less_even():
    # On twos, but the first half on fours with gaps twice as wide: the pace is even all the same.
    gaps = [20.0] * 8 + [10.0] * 8
    places = [(x, 0.0) for x in np.concatenate([[0.0], np.cumsum(gaps)])]
    action = dot(*places, exposure=(4,) * 8 + (2,) * 9)
    assert 1.0 == pytest.approx(float(spacing.evenness(measure(action)[0])))


def test_what_does_not_loop_is_told_to_close_up_at_its_ends():
    (finding,) = found(on_a_line(), "spacing")
    assert "Close the drawings up at 1 and 10, and open them between." in finding.text


# ---- nothing moves --------------------------------------------------------------------


def test_drawings_that_are_all_alike_do_not_pass():
    (finding,) = found(dot(*[(10.0, 10.0)] * 12, loop=True), "spacing")

    assert ("Nothing moves yet.", ()) == (finding.head, finding.drawings)
    assert "All 12 drawings of the buoy hold the same pose: no joint takes a step of 1 mm." in finding.text
    assert ("widest gap 0.0 mm", "1.0 mm or more") == (finding.shows, finding.looked_for)


@pytest.mark.parametrize("step, still", [(0.99, True), (1.01, False)])
def test_a_step_of_a_millimetre_is_a_movement(step, still):
    action = dot(*[(step * (i % 2), 0.0) for i in range(12)], loop=True)
    assert still == any("Nothing moves yet." == finding.head for finding in found(action, "spacing"))


# ---- whatever the side, the start, the exposure ------------------------------------------


def test_sides_starts_and_exposures_make_no_difference():
    swing = arm(turned((30, 0), (40, 2), (30, 4)))
    points = swing.limbs[0].drawings.copy()
    points[1] = 0.2 * points[1] + 0.8 * points[0]       # 2 hangs back
    swing = swing.redrawn(points)
    says = [finding.says for finding in found(swing, "spacing")]

    assert {(2,)} == {finding.drawings for finding in found(swing, "spacing")}
    assert says == [finding.says for finding in found(mirrored(swing), "spacing")]
    assert says == [finding.says for finding in found(swing.replace(exposure=1), "spacing")]
    assert {(7,)} == {finding.drawings for finding in found(begun_later(swing, 5), "spacing")}


def test_seven_drawings_are_too_few():
    verdict = check(on_a_line(7), Brief(rules=("spacing",))).rules["spacing"]
    assert (True, False, "7 drawings are too few to tell spacing from") == (verdict.passed, verdict.judged, verdict.says)


def test_a_pose_that_is_only_carried_along_does_not_move():
    action = wave(12)
    limb = action.limbs[0]
    carried = limb.drawings[:1] - limb.drawings[:1, :1] + limb.drawings[:, :1]
    (finding,) = check(action.redrawn(carried)).findings
    assert "Nothing moves yet." == finding.head
    assert "seen from the shoulder. Begin with drawing 2: swing the upper arm first" in finding.text
