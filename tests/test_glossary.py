"""Terms of the trade: each says one thing in one sentence, and its picture shows that thing.

What a term means is common practice, no source. How calm a picture has to be is held against WCAG 2.2, success
criterion 2.3.1: at most three flashes in any second, a flash being a pair of opposing changes (seen). That a picture is
sound SVG is judged by the standard library's XML parser; how it moves in a page, by Chromium in tests/browser.
"""

import re
import xml.etree.ElementTree as ET
from itertools import pairwise
from urllib.parse import unquote

import homework
import nbformat
import numpy as np
import pytest

from anim_lessons import lessons
from anim_lessons.assist.lesson_list import LESSONS
from anim_lessons.course.glossary import PARTS, TERMS, motion_pictures, sheet, stack_pictures
from anim_lessons.model.action import ActionError
from anim_lessons.pictures.palette import INK, LIGHT, MID, PAPER

SVG = "{http://www.w3.org/2000/svg}"
# Words that the workbook owes a learner an explanation of.
OWED = ("drawing", "stack", "extreme", "breakdown", "inbetween", "path of action", "arc", "spacing", "timing chart", "slow in",
        "slow out", "on ones", "on twos", "exposure sheet", "hold", "drag", "follow-through", "overlap", "successive joints",
        "link-up", "flip", "roll", "pencil test", "light table", "onion skin", "shift-and-trace", "opposition", "flutter",
        "half stack")
every_term = pytest.mark.parametrize("name", TERMS)


def marks(name, kind, weight=None):
    """Of each frame the points of its marks of one kind."""
    return [[mark.points for mark in frame.marks if mark.kind == kind and (weight is None or mark.weight == weight)]
            for frame in TERMS[name].picture.frames]


def only(name, kind="limb", weight=None):
    """The one mark of that kind in each frame, shape (frames, points, 2)."""
    return np.array([points for (points,) in marks(name, kind, weight)])


def under(name, kind):
    return [mark.points for mark in TERMS[name].picture.under if mark.kind == kind]


def gaps(points):
    return np.hypot(*np.diff(points, axis=0).T)


# ---- words ---------------------------------------------------------------------------


def test_every_word_that_is_owed_is_there():
    assert set(OWED) <= set(TERMS)


@every_term
def test_a_term_is_one_plain_sentence_and_says_whose_word_it_is(name):
    term = TERMS[name]

    assert re.fullmatch(r"[A-Z][^.!?]*\.", term.says)
    assert len(term.says.split()) <= 31
    assert term.whose in ("common practice, no source", "our own word")
    assert not term.lesson or term.lesson in LESSONS


@pytest.mark.parametrize("asked, name", [("drag", "drag"), ("Inbetweens", "inbetween"), ("follow through", "follow-through"),
                                         (" path  of action ", "path of action"), ("shift and trace", "shift-and-trace")])
def test_a_word_is_found_as_people_write_it(asked, name):
    assert (TERMS[name],) == lessons.glossary(asked).terms


def test_a_word_that_is_not_there_is_answered_with_those_like_it():
    with pytest.raises(ActionError, match='there is no term "inbetwen" here; there is inbetween'):
        lessons.glossary("inbetwen")


def test_chapters_hold_every_term_once_and_none_is_shown_twice():
    assert list(TERMS.values()) == list(lessons.glossary().terms) == list(lessons.glossary(*PARTS).terms)
    assert 1 == len(lessons.glossary("drag", "Drag").terms)


def test_as_text_there_are_the_words_alone():
    assert ("arc: The curve on which a thing goes that hangs from a joint or turns on one; half way along it is not half way on "
            "the straight line. (common practice, no source)") == str(lessons.glossary("arc"))


# ---- pictures ------------------------------------------------------------------------


@every_term
def test_a_picture_is_sound_svg_small_and_fetches_nothing(name):
    picture = TERMS[name].picture
    root = ET.fromstring(picture.svg())

    assert f"{SVG}svg" == root.tag
    assert {f"{SVG}{tag}" for tag in ("svg", "style", "marker", "circle", "path", "text", "g")} >= {node.tag for node in root.iter()}
    assert len(picture.address()) < 4_500
    assert picture.svg() == unquote(picture.address().removeprefix("data:image/svg+xml,"))
    assert ["http://www.w3.org/2000/svg"] == re.findall(r"https?:[^'\"]*", picture.svg())
    assert set(re.findall(r"#[0-9a-f]{6}", picture.svg())) <= {INK, MID, LIGHT, PAPER}
    assert '"' not in picture.address() and "#" not in picture.address()


@every_term
def test_everything_drawn_is_on_the_sheet(name):
    for node in ET.fromstring(TERMS[name].picture.svg()).iter():
        if node.tag == f"{SVG}text":
            wide = 6 * len(node.text)  # half a line of letters, each about half as wide as it is high
            assert wide <= float(node.get("x")) <= sheet.WIDE - wide
            assert 16 <= float(node.get("y")) <= sheet.HIGH
        elif node.tag == f"{SVG}path" and node.get("class") != "p":
            numbers = [float(n) for n in re.findall(r"-?[\d.]+", node.get("d").replace("h0", ""))]
            assert numbers[0::2] and len(numbers) % 2 == 0
            at = np.reshape(numbers, (-1, 2))
            at = at.cumsum(axis=0) if "l" in node.get("d") else at
            assert (at >= 5).all() and (at <= [sheet.WIDE - 5, sheet.HIGH - 5]).all()


def courses(svg):
    """When each group is shown, in seconds, as the style says it: begin and end of each."""
    seconds = float(re.search(r"animation:([\d.]+)s step-end", svg)[1])
    shares = {name: float(share) for name, share in re.findall(r"@keyframes (k\d+)\{0%\{opacity:1\}([\d.]+)%\{opacity:0\}\}", svg)}
    step = float(re.search(r"calc\(var\(--d,0\)\*([\d.]+)s\)", svg)[1])
    groups = re.findall(r"<g class='f (k\d+)( s)?'(?: style='--d:(\d+)')?>", svg)
    assert len(groups) == svg.count("<g ")
    return seconds, [(step * int(late or 0), step * int(late or 0) + seconds * shares[name] / 100, bool(still)) for name, still, late in groups]


@every_term
def test_no_place_of_a_picture_flashes_more_than_three_times_in_a_second(name):
    """Whatever a place shows, it can change only where a group comes or goes; two changes make a flash."""
    seconds, shown = courses(TERMS[name].picture.svg())
    times = np.unique(np.round([time % seconds for begin, end, _ in shown for time in (begin, end)], 2))
    times = np.concatenate([times, times + seconds])

    assert max(((times >= t) & (times < t + 1.0)).sum() for t in times) <= 6


@every_term
def test_something_is_seen_at_every_moment_and_where_nothing_moves(name):
    seconds, shown = courses(TERMS[name].picture.svg())

    for moment in np.arange(0.05, seconds, 0.1):
        assert any(begin <= moment < end for begin, end, _ in shown)
    assert any(still for *_, still in shown)
    assert all(end <= seconds + 1e-3 * seconds for _, end, _ in shown)
    assert 1.5 <= seconds <= 6


@every_term
def test_a_picture_moves(name):
    assert 2 <= len({str(frame.marks) for frame in TERMS[name].picture.frames})


# ---- each shows what its sentence says -------------------------------------------------


def test_slow_in_closes_up_and_slow_out_widens():
    (row,) = under("slow in", "dots")
    assert (np.diff(gaps(row)) < 0).all()
    (row,) = under("slow out", "dots")
    assert (np.diff(gaps(row)) > 0).all()


def test_the_chart_has_its_ticks_at_half_a_cosine():
    """Half a cosine at sixths of the time: 0, 0.067, 0.25, 0.5, 0.75, 0.933, 1, by the table of cosines of 30 degrees."""
    (_, *ticks) = under("timing chart", "line")
    shares = np.array([points[0, 0] for points in ticks]) / 150

    assert [0, 0.067, 0.25, 0.5, 0.75, 0.933, 1] == pytest.approx(shares.tolist(), abs=5e-4)


def test_on_twos_is_half_as_many_drawings_as_on_ones():
    ones, twos = only("on ones"), only("on twos")

    assert 8 == len(np.unique(ones.round(3), axis=0))
    assert 4 == len(np.unique(twos.round(3), axis=0))
    assert (twos[0::2] == twos[1::2]).all()


def test_the_arc_is_a_part_of_a_circle_round_the_hook_and_the_straight_line_is_not():
    (curve,), (chord,), lantern = under("arc", "path"), under("arc", "line"), only("arc")
    hook = lantern[0, 0]

    assert 90 == pytest.approx(np.hypot(*(curve - hook).T), abs=0.01)  # mm, the lantern's length
    assert np.hypot(*(chord.mean(axis=0) - hook)) < 0.8 * 90


def test_extremes_are_where_the_lantern_goes_no_farther():
    lantern = only("extreme")[:, 1, 0]

    for (end,) in [mark[1:, 0] for mark in under("extreme", "limb")]:
        assert end in (lantern.max(), lantern.min())


def test_straight_ahead_and_pose_to_pose_draw_the_same_drawings_in_another_order():
    one, other = (np.array([points[0] for points in marks(name, "limb", "heavy") if points])
                  for name in ("straight ahead", "pose to pose"))

    assert sorted(one[:, 1, 0]) == sorted(other[:, 1, 0])
    assert (np.diff(one[:, 1, 0]) < 0).all()
    assert one[[0, 6, 3, 1, 2, 4, 5]].tolist() == other.tolist()


def test_in_a_hold_a_drawing_is_seen_longer_and_in_a_moving_hold_the_hand_goes_on():
    held = [frame.held for frame in TERMS["hold"].picture.frames]
    assert 8 == max(held) and 1 == sorted(held)[-2]

    arm, hand = marks("moving hold", "limb", "plain"), marks("moving hold", "limb", "heavy")
    assert all((points[0] == arm[3][0]).all() for points in arm[3:])
    assert all(np.hypot(*(b[0][1] - a[0][1])) > 1 for a, b in pairwise(hand[3:]))  # mm


def test_in_mid_swing_the_hand_drags():
    """Where the wrist goes fastest across the forearm, the hand bends the other way."""
    arm = np.array([points[0] for points in marks("drag", "limb", "plain")])[..., 0] + 1j * np.array(
        [points[0] for points in marks("drag", "limb", "plain")])[..., 1]
    hand = only("drag", "limb", "heavy")[..., 0] + 1j * only("drag", "limb", "heavy")[..., 1]
    fore, palm = arm[:, 2] - arm[:, 1], hand[:, 1] - hand[:, 0]
    speed = ((np.roll(arm[:, 2], -1) - np.roll(arm[:, 2], 1)) * fore.conj()).imag
    fastest = np.argsort(-np.abs(speed))[:2]

    assert (np.sign((palm * fore.conj()).imag)[fastest] == -np.sign(speed)[fastest]).all()


def test_follow_through_the_cloth_goes_on_when_the_staff_stands():
    top, tip = only("follow-through", "limb")[:, 0], only("follow-through", "limb")[:, -1]
    stands = np.flatnonzero(np.hypot(*np.diff(top, axis=0).T) < 0.1)

    assert len(stands) >= 6
    assert np.hypot(*(tip[stands[0] + 1] - tip[stands[0]])) > 5  # mm in the first drawing after


def test_joints_bend_from_the_root_outward():
    rope, bent = only("successive joints"), only("successive joints", "dots")[:, 0]
    number = [int(np.flatnonzero((points == at).all(axis=1))[0]) for points, at in zip(rope, bent)]
    steps = [after - before for before, after in zip(number, [*number[1:], number[0]])]

    assert {0, 1} <= set(steps)
    assert sum(step >= 0 for step in steps) >= len(steps) - 2  # it starts again from the root, at each turn of the hand


def test_two_arms_in_opposition_are_half_a_loop_apart():
    near, far = (np.array(limbs) for limbs in zip(*marks("opposition", "limb")))
    mirrored = np.roll(far, 4, axis=0) * [-1, 1] + [297, 0]

    assert np.abs(near - mirrored).max() < 0.01


def test_what_is_shifted_and_traced_has_its_length_and_its_angle_and_what_is_swung_its_length():
    old, shifted, traced, swung = (points[-1] for points in marks("shift-and-trace", "limb")[1:])
    fore = old[2] - old[1]

    assert (fore == pytest.approx(shifted[2] - shifted[1])) and (fore == pytest.approx(traced[1] - traced[0]))
    assert np.hypot(*fore) == pytest.approx(np.hypot(*(swung[1] - swung[0])))
    assert np.hypot(*(swung[1] - traced[1])) > 10


def test_a_locked_elbow_is_at_the_same_angle_twice_and_a_fluttering_one_goes_to_and_fro():
    def bends(arm):
        way = np.unwrap(np.angle(np.diff(arm[..., 0] + 1j * arm[..., 1], axis=1)), axis=0)
        return np.degrees(way[:, 1] - way[:, 0])

    lock = np.diff(bends(only("lock")))
    assert np.abs(lock).argmin() == 1 and abs(lock[1]) < 0.3 * np.abs(np.delete(lock, 1)).min()
    signs = np.sign(np.diff(bends(only("flutter")), 2))
    assert (signs[1:] != signs[:-1]).sum() >= 3


def test_a_stack_begun_in_its_middle_has_the_seam_in_its_middle():
    words = [mark.text for mark in TERMS["half stack"].picture.under if mark.kind == "word"]

    assert ["5", "6", "7", "8", "1", "2", "3", "4"] == words


# ---- the notebook --------------------------------------------------------------------


def test_the_notebook_shows_every_term_as_it_is_now_without_being_run():
    """To a step of the sheet, for another machine's arithmetic may round another way."""
    notebook = nbformat.read(homework.ROOT / "notebooks" / "glossary.ipynb", 4)
    stored = {cell.source: cell.outputs[0].data["text/html"] for cell in notebook.cells if cell.get("outputs")}
    number = re.compile(r"-?\d+(?:\.\d+)?")

    assert {f'lessons.glossary("{part}")' for part in PARTS} <= set(stored)
    for part in PARTS:
        now, then = lessons.glossary(part)._repr_html_(), stored[f'lessons.glossary("{part}")']
        assert number.sub("0", now).replace("0 0", "00") == number.sub("0", then).replace("0 0", "00")
        far = np.array([[float(n) for n in number.findall(text)] for text in (now, then)])
        assert np.abs(far[0] - far[1]).max() <= 2


def test_every_term_has_its_own_picture():
    made = {name for name in (*vars(stack_pictures), *vars(motion_pictures)) if not name.startswith("_")}
    assert {re.sub("[ -]", "_", name) for name in TERMS if name != "loop"} <= made
