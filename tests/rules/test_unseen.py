"""What no single drawing shows: lingering, a drawing held in full swing, lengths that breathe; and what is only advised.

Reference: a sine spends a third of its time in the inner half of its swing (arcsin 1/2 is 30 of 90 degrees), even spacing
a half; and tests/unseen.py, which puts faults into loops that share no code with the rules. The shares asked for are our own.
Source of the rules: common practice, no source; their tolerances were chosen by trial.
"""
import loops
import numpy as np
import pytest
import right_loops
import seen_faults
import unseen
from specimens import arm, dot, found, mirrored, only, turned

from anim_lessons import Action, Brief, Limb, check
from anim_lessons.ferry import actions
from anim_lessons.ferry.demos import DEMOS
from anim_lessons.judging.flags import flagged, measure
from anim_lessons.measures.loops import FEWEST, Measures
from anim_lessons.rules import pace

SEED = 20_261_130
EACH = 30
USUAL = ("well held", "Well held", "everything stops")      # of the rule of hold, which looks at other things


def said(action):
    verdict = check(action)
    return [*[cause.says for cause in verdict.causes], *verdict.advice]


def unusual(verdict):
    return [text for text in verdict.advice if not any(words in text for words in USUAL)]


# ---- a small trial ----------------------------------------------------------------------


@pytest.mark.parametrize("jitter", [0.0, 0.25])
def test_of_sound_loops_none_is_found_fault_with_and_hardly_any_is_advised(jitter):
    rng, advised, seen = np.random.default_rng([SEED, int(100 * jitter)]), 0, 0
    while seen < 150:
        made = loops.loop(rng)
        points = unseen.framed(made.clean())
        if points is None:      # it does not fit on the sheet
            continue
        verdict = check(loops.action(made, loops.jittered(points, rng, jitter)))
        assert () == verdict.findings
        advised += bool(unusual(verdict))
        seen += 1
    assert advised <= 0.02 * seen


@pytest.mark.parametrize("kind", unseen.KINDS)
def test_nearly_all_are_found(kind):
    put_in, words = unseen.KINDS[kind]
    rng, tried, seen = np.random.default_rng([SEED, sorted(unseen.KINDS).index(kind)]), 0, 0
    while tried < EACH:
        action = put_in(loops.loop(rng), rng)
        if action is not None:
            tried += 1
            seen += any(words in text for text in said(action))
    # In eight drawings, as few as strobe, other rules find fault as well, and their drawings are not advised about.
    assert seen >= (0.75 if kind == "strobing" else 0.9) * tried


@pytest.mark.parametrize("late, kept", [(0.5, True), (0.0, False)])
def test_arms_of_unlike_size_are_a_pair(late, kept):
    rng = np.random.default_rng(SEED)
    for _ in range(10):
        verdict = check(unseen.unlike_in_size(loops.loop(rng), rng, late), only("opposition"))
        assert (True, kept) == (verdict.rules["opposition"].judged, verdict.rules["opposition"].passed)


@pytest.mark.parametrize("kind", ["eight", "wipe", "round"])
def test_an_end_that_is_led_along_a_path_does_not_linger(kind):
    rng, seen = np.random.default_rng(SEED), 0
    while seen < 150:
        action = unseen.reaching(rng, kind)
        if action is not None:
            seen += 1
            assert not pace.lingers(measure(action)[0], Brief())


@pytest.mark.parametrize("name", [name for name in DEMOS if name not in {**actions.FAULTS, **actions.ADVISED}])
def test_what_is_good_on_the_landing_is_not_advised_about(name):
    assert [] == unusual(check(DEMOS[name]()))


# ---- lingering --------------------------------------------------------------------------


def swung(phase, **changes):
    """An arm whose first part swings by 40 degrees either way, at these phases, degrees; the others come later."""
    first = 90.0 + 40.0 * np.sin(np.radians(phase))
    return arm(np.stack([first, first + 20.0], axis=-1), **changes)


def lingering_phase(by, count=240):
    x = np.arange(count) * 360.0 / count
    return x - by / 2 * np.degrees(np.sin(np.radians(2 * x)))


def test_a_sine_spends_a_third_of_its_time_in_the_inner_half():
    assert 1 / 3 == pytest.approx(float(pace.inner_share(measure(swung(np.arange(0.0, 360.0, 1.5)))[0])), abs=0.002)


def test_even_spacing_spends_half_of_it_there():
    x = np.arange(240) / 240
    even = 90.0 + 40.0 * (4.0 * np.abs(x - 0.5) - 1.0)
    assert 0.5 == pytest.approx(float(pace.inner_share(measure(arm(np.stack([even, even], axis=-1)))[0])), abs=0.002)


def share(by):
    """By root finding: until when x - by/2 sin 2x is below 30 degrees, as a share of 90."""
    low, high = 0.0, np.pi / 2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if middle - by / 2 * np.sin(2 * middle) < np.pi / 6 else (low, middle)
    return low / (np.pi / 2)


@pytest.mark.parametrize("by", [0.2, 0.5, 0.8])
def test_slowed_in_the_middle_it_is_as_long_there_as_by_hand(by):
    assert share(by) == pytest.approx(float(pace.inner_share(measure(swung(lingering_phase(by)))[0])), abs=0.003)


@pytest.mark.parametrize("change, kept", [(0.005, True), (-0.005, False)])
def test_the_limit_is_what_the_brief_says(change, kept):
    action = swung(lingering_phase(0.6, 96))
    limit = float(pace.inner_share(measure(action)[0])) + change
    heads = [finding.head for finding in found(action, "spacing", tolerances={"lingering": limit, "even": 0.0})]
    assert kept == (not any("lingers" in head for head in heads))


def test_what_is_said_of_an_arm_that_lingers():
    (cause,) = check(DEMOS["lingers-in-mid-swing"]()).causes

    assert ("spacing", "elbow", (), "%") == (cause.rule, cause.joint, cause.drawings, cause.unit)
    assert "The upper arm lingers in mid-swing and hurries round the turns." == cause.head
    assert cause.amount == ("It spends 54 % of the time in the inner half of its swing; 45 % is the most, and what swings by itself "
                            "spends 33 %.")
    assert "Close the drawings up round the turns, at 6 and 14, and open them between." in cause.text
    assert cause.correction.passes and check(cause.correction.laid_in(DEMOS["lingers-in-mid-swing"]())).passed


def test_a_single_joint_lingers_along_its_longest_direction():
    (cause,) = check(actions.lingering(actions.buoy())).causes
    assert "The buoy lingers in mid-swing and hurries round the turns." == cause.head and cause.correction.passes


def test_what_turns_round_and_round_is_not_asked():
    x = lingering_phase(0.9, 24)
    m = measure(arm(np.stack([x, x + 20.0], axis=-1), stops=((-360.0, 360.0), (-90.0, 90.0))))[0]
    assert not pace.lingers(m, Brief())


def test_the_other_side_lingers_as_much():
    action = DEMOS["lingers-in-mid-swing"]()
    assert check(action).causes[0].says == check(mirrored(action)).causes[0].says


def test_many_loops_are_asked_at_once():
    """As one by one, and with axes in front."""
    names = ("wave", "lingers-in-mid-swing", "hand-breathes", "gaps-alike")
    many = np.array([DEMOS[name]().limbs[0].drawings for name in names])
    limb = DEMOS["wave"]().limbs[0]
    flags = flagged(Measures(many.reshape(2, 2, *many.shape[1:]), limb.lengths, limb.stops), Brief())

    assert [[False, False], [False, True]] == flags["spacing"].whole[..., 0].tolist()
    assert [[False, True], [False, False]] == flags["spacing"].whole[..., 1].tolist()
    assert [[False, False], [True, False]] == flags["length"].whole.any(axis=-1).tolist()


# ---- held in full swing -----------------------------------------------------------------


def exposed(frames, at, count=16):
    exposure = [2] * count
    exposure[at - 1] = frames
    return actions.wave(count).replace(exposure=tuple(exposure))


@pytest.mark.parametrize("frames, at, kept", [(4, 12, True), (5, 12, False), (9, 12, False), (9, 7, True), (9, 8, True)])
def test_more_than_twice_the_usual_in_full_swing_and_only_there(frames, at, kept):
    heads = [cause.head for cause in check(exposed(frames, at)).causes]
    assert kept == (f"{at} stands still in full swing." not in heads)


def test_what_is_said_of_a_drawing_held_in_full_swing():
    (cause,) = check(DEMOS["held-in-full-swing"]()).causes

    assert ("spacing", (12,), 7.0, 4.0, "frames") == (cause.rule, cause.drawings, cause.measured, cause.allowed, cause.unit)
    assert ("12 stands still in full swing. It is held for 7 frames, most drawings for 2. Expose 12 for 2 frames, as those "
            "beside it.") == cause.says
    assert cause.correction is None and cause.of_exposure


def test_a_drawing_that_is_wrong_as_well_is_corrected_all_the_same():
    action = actions.longer(DEMOS["held-in-full-swing"](), drawing=4)
    grown = next(cause for cause in check(action).causes if cause.rule == "length")
    assert (4,) == grown.drawings and list(grown.correction.poses) == [4]


@pytest.mark.parametrize("frames, kept", [(2, False), (4, True)])
def test_a_brief_may_be_milder(frames, kept):
    verdict = check(exposed(7, 12), Brief(rules=("spacing",), tolerances={"held": float(frames)}))
    assert kept == (not any("stands still" in cause.head for cause in verdict.causes))


def test_the_last_drawing_of_an_action_that_ends_may_be_held():
    places = [(10.0 * i, 0.0) for i in range(12)]
    heads = [finding.head for finding in found(dot(*places, exposure=(1,) * 11 + (9,)), "spacing")]
    assert not any("stands still" in head for head in heads)


def test_a_drawing_held_long_with_a_gap_as_long_keeps_its_pace():
    """Drawn at the times at which it is seen, a sine that is held goes on by as much more."""
    frames = [2] * 16
    frames[4] = 6
    time = np.concatenate([[0], np.cumsum(frames)[:-1]]) / sum(frames)
    places = [(148.0 + 90.0 * np.sin(2 * np.pi * (t - 5 / 34)), 100.0) for t in time]
    assert () == found(dot(*places, exposure=tuple(frames)), "spacing")


# ---- traced in full swing ---------------------------------------------------------------


def traced(number, copies, count=16):
    """A wave with a drawing traced on so many more."""
    (arm,) = actions.wave(count).limbs
    more = np.insert(arm.drawings, number, np.repeat(arm.drawings[number - 1:number], copies, axis=0), axis=0)
    return Action((Limb(arm.name, arm.joints, arm.lengths, arm.stops, more),), exposure=2)


@pytest.mark.parametrize("copies, told", [(1, False), (2, True), (3, True), (4, True), (5, False)])
def test_traced_on_two_to_four_drawings_in_full_swing_it_stands_still(copies, told):
    """One alone hangs back, and more are a hold."""
    (cause, *_) = check(traced(12, copies)).causes or (None,)
    assert told == (cause is not None and cause.head == "12 stands still in full swing.")
    if told:
        assert tuple(range(13, 13 + copies)) == cause.drawings


@pytest.mark.parametrize("number", [7, 8, 15])
def test_a_hold_at_a_turn_is_right(number):
    assert not any("stands still" in cause.head for cause in check(traced(number, 2)).causes)


def test_what_is_said_of_a_drawing_traced_in_full_swing():
    (cause,) = check(traced(12, 2)).causes
    assert cause.says.startswith("12 stands still in full swing. It is traced on 13 and 14: the fingertips go ")
    assert "Share out the way from 10 to 17: 6 drawings move" in cause.says
    assert cause.correction.passes and check(cause.correction.laid_in(traced(12, 2))).passed


# ---- lengths that breathe ---------------------------------------------------------------


@pytest.mark.parametrize("by, kept", [(0.01, True), (0.017, True), (0.019, False), (0.029, False)])
@pytest.mark.parametrize("part", [0, 1, 2])
def test_a_length_may_breathe_by_1_8_percent_either_way(by, kept, part):
    heads = [finding.head for finding in found(actions.breathing(actions.wave(), part, by), "length")]
    assert kept == (not heads) and len(heads) <= 1


def test_what_is_said_of_a_part_that_breathes():
    action = DEMOS["hand-breathes"]()
    (cause,) = check(action).causes

    assert ("length", "fingertips", (), "%") == (cause.rule, cause.joint, cause.drawings, cause.unit)
    assert "The hand breathes: it is longest at 5 and shortest at 13." == cause.head
    assert "It is 35.3 mm at 5 and 32.9 mm at 13; the model sheet says 34.1 mm." == cause.amount
    assert 3.5 == pytest.approx(cause.measured, abs=0.05) and 1.8 == pytest.approx(cause.allowed)
    corrected = cause.correction.laid_in(action)
    assert check(corrected).passed
    assert np.allclose(np.hypot(*np.diff(corrected.limbs[0].drawings, axis=1).T).T, corrected.limbs[0].lengths, atol=0.002)
    assert np.array_equal(action.limbs[0].drawings[[0, 8]], corrected.limbs[0].drawings[[0, 8]])    # these have their length


def test_one_drawing_too_long_does_not_make_a_part_breathe():
    heads = [cause.head for cause in check(actions.longer(actions.wave(), by=0.4)).causes]
    assert ["The hand grows at 11."] == heads


def test_where_a_part_breathes_much_its_longest_and_shortest_drawings_follow():
    verdict = check(actions.breathing(actions.wave(), by=0.08))
    assert [True] == ["breathes" in cause.head for cause in verdict.causes] and len(verdict.findings) > 1
    assert check(verdict.causes[0].correction.laid_in(actions.breathing(actions.wave(), by=0.08))).passed


# ---- advice -----------------------------------------------------------------------------


@pytest.mark.parametrize("name, word", actions.ADVISED.items())
def test_what_is_only_advised_fails_nothing(name, word):
    verdict = check(DEMOS[name]())
    (text,) = unusual(verdict)
    assert verdict.passed and word in text


def test_a_stick_is_told_by_how_little_its_joints_bend():
    # 40 degrees either way; a joint that bends by 18 and by 22 % of that, late by a quarter of the loop.
    for bend, advised in ((7.2, True), (8.8, False)):
        first = turned((40.0, 0.0))[:, 0]
        late = turned((bend, 6.0), middle=(0.0,))[:, 0]
        told = check(arm(np.stack([first, first + 20.0 + late], axis=-1)), only("overlap")).advice
        assert advised == any("like a stick" in text for text in told)


def test_the_widest_gap_is_named_with_the_drawings_it_lies_between():
    (text,) = unusual(check(DEMOS["gaps-too-wide"]()))
    tip = DEMOS["gaps-too-wide"]().limbs[0].drawings[:, -1]
    gap = np.hypot(*(tip[1] - tip[0]))
    assert text == (f"The fingertips go {gap:.0f} mm from 1 to 2, and the whole arm is 146 mm long: the eye sees two drawings and no "
                    "swing. Put a drawing between 1 and 2.")


@pytest.mark.parametrize("up, told", [(0.0, None), (21.0, None), (24.0, "by 4 mm"), (40.0, "by 20 mm")])
def test_off_the_sheet_is_told_from_2_mm(up, told):
    action = actions.off_sheet(actions.wave(), up)
    most = action.limbs[0].drawings[..., 1].max() - 210.0
    texts = [text for text in check(action).advice if "sheet" in text]
    assert bool(texts) == (most > 2.0) == (told is not None)
    assert told is None or told in texts[0] and f"by {most:.0f} mm" in texts[0]


def test_of_several_limbs_the_one_that_leaves_the_sheet_is_named():
    near, far = actions.two_arms().limbs
    action = actions.two_arms().redrawn(near.drawings, far.drawings - [90.0, 0.0])
    assert any(text.startswith("Far arm, at ") and "leave the sheet" in text for text in check(action).advice)


# ---- strobing in few drawings -----------------------------------------------------------


def strobes(verdict):
    return any("the eye sees two drawings" in text for text in verdict.advice)


def test_a_swing_of_six_to_nine_drawings_is_advised_to_have_more():
    """Of fresh loops of tests/seen_faults.py, in some of which there are too few drawings to judge the spacing; in the others a
    drawing at fault is told first."""
    rng = np.random.default_rng(SEED)
    few = [seen_faults.strobing(rng) for _ in range(40)]
    verdicts = [check(action) for action in few]
    assert all(strobes(verdict) for action, verdict in zip(few, verdicts) if action.count < FEWEST)
    assert sum(map(strobes, verdicts)) >= 0.85 * len(few)
    assert all(strobes(verdict) or verdict.findings for verdict in verdicts)
    assert any(action.count < FEWEST for action in few)


def test_hardly_any_right_movement_strobes():
    """Those that do are lanterns and arms of two parts that swing by more than 40 degrees from drawing to drawing."""
    seen, strobing = 0, 0
    for kind in right_loops.KINDS:
        if not kind.startswith("mechanics"):
            rng = np.random.default_rng([SEED, *kind.encode()])
            for _ in range(6):
                seen, strobing = seen + 1, strobing + strobes(check(right_loops.KINDS[kind](rng)))
    assert strobing <= 0.015 * seen
