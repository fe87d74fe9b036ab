"""The same drawings from two learners: found however they were moved about, and never said of two who drew by themselves.

The invented learners draw in manners of their own, or follow the guide's dot with the slip of a hand. Copies are changed as
somebody would who wants them not to be seen. What share of them is to be found was written down before; shares are counted.
"""

import re
from itertools import combinations

import homework
import numpy as np
import pytest

from anim_lessons.assist.hand_in import Assignment
from anim_lessons.assist.mend import mend
from anim_lessons.assist.passes import Progress
from anim_lessons.course.hand_ins import alike
from anim_lessons.course.hand_ins.results import Result, Results
from anim_lessons.course.marking import Row
from anim_lessons.ferry import starts
from anim_lessons.ferry.actions import poses, redrawn, wave
from anim_lessons.ferry.looping_arm import looping_arm
from anim_lessons.judging.judge import check
from anim_lessons.model import action_file

BRIEF = homework.brief(homework.NAME)
START = action_file.read(homework.start(homework.NAME))
LECTURE = looping_arm().replace(lecture=())
MEND = Assignment(homework.brief("08_link_up"), action_file.read(homework.start("08_link_up")))
SEEDS = 20261130


def said(assignment, **handed_in):
    """What is said of these hand-ins."""
    results = [Result(who, who, f"{who}.json", Row(who, "done")) for who in handed_in]
    return alike.same_drawings(Results((), tuple(results)), handed_in, assignment)


def turned(action, noise):
    """Each part of each drawing so many degrees further; lengths and roots stay."""
    root, parts, angle = poses(action)
    return redrawn(action, root, parts, angle + noise)


def own_hand(seed, drawings=16):
    """Somebody's own wave: own manner, own slips of a degree."""
    rng = np.random.default_rng([SEEDS, seed])
    made = wave(drawings, swing=rng.uniform(28, 40), middle=rng.uniform(66, 78), elbow=rng.uniform(24, 34), elbow_middle=rng.uniform(38, 50),
                elbow_lag=rng.uniform(3, 5), drag=rng.uniform(18, 30), hand_lag=rng.uniform(0.6, 1.6))
    return turned(made, rng.normal(0.0, 1.0, (drawings, 3)))


@pytest.fixture(scope="module")
def by_the_dot():
    return alike._by_the_dot(LECTURE, BRIEF)


def beside_the_dot(dot, seed, noise, whole=False):
    """The dot followed with the slip of a hand; with keys, in whole degrees beside it."""
    rng = np.random.default_rng([SEEDS, seed])
    slips = rng.normal(0.0, noise, (dot.count, 3))
    return turned(dot, np.round(slips) if whole else slips)


def test_the_dot_leads_through_all_drawings(by_the_dot):
    assert None is Progress(by_the_dot, LECTURE).next_place()


def test_of_those_who_drew_by_themselves_no_two_are_named(by_the_dot):
    honest = {f"own {seed}": own_hand(seed, 12) for seed in range(8)}
    honest |= {f"dot {seed}": beside_the_dot(by_the_dot, 100 + seed, 1.0 + seed % 2) for seed in range(8)}
    honest |= {f"keys {seed}": beside_the_dot(by_the_dot, 200 + seed, 1.0 + seed % 2, whole=True) for seed in range(8)}
    honest |= {"on the dot": by_the_dot, "on it too": by_the_dot}
    words = said(Assignment(BRIEF, LECTURE), **honest)

    assert [line for line in words if "the same drawings" in line] == []
    assert words[-1].startswith("Of 2 hand-ins nothing can be said")    # who followed the dot exactly


def copies():
    """What -> how a wave is changed, and what is said of it beside the names."""
    def some(action, count, rng):
        noise = np.zeros((action.count, 3))
        noise[rng.permutation(action.count)[:count]] = 5.0
        return turned(action, noise)

    def every(action, by, rng):
        return turned(action, rng.normal(0.0, by, (action.count, 3)))

    def rolled(action, by):
        return action.redrawn(np.roll(action.limbs[0].drawings, -by, axis=0))

    def about(action, degrees):
        z = action.limbs[0].drawings - [150, 100]
        turn = np.exp(1j * np.deg2rad(degrees)) * (z[..., 0] + 1j * z[..., 1])
        return action.redrawn(np.stack([turn.real, turn.imag], axis=-1) + [150, 100])

    return {
        "as they are": (lambda action, rng: action, ""),
        "shifted": (lambda action, rng: action.redrawn(action.limbs[0].drawings + [12.0, -7.0]), ""),
        "smaller": (lambda action, rng: action.redrawn(action.limbs[0].drawings * 0.9), ""),
        "turned": (lambda action, rng: about(action, 9.0), ""),
        "mirrored": (lambda action, rng: action.mirrored(), "(mirrored)."),
        # Told from the side of the one named first: its first drawing is the other's fifth.
        "begun elsewhere": (lambda action, rng: rolled(action, 4), "(from 5)"),
        "from the back": (lambda action, rng: action.redrawn(action.limbs[0].drawings[::-1]), "(from the back)."),
        "mirrored, begun elsewhere, shifted": (lambda action, rng: rolled(action.mirrored().redrawn(action.mirrored().limbs[0].drawings + 5.0), 7),
                                               "(mirrored, from 8)"),
        "a quarter of them changed": (lambda action, rng: some(action, 4, rng), ""),
        "half of them changed": (lambda action, rng: some(action, 8, rng), ""),
        "each part a little": (lambda action, rng: every(action, 0.2, rng), ""),
    }


@pytest.mark.parametrize("what", copies())
def test_a_copy_is_found_however_it_was_moved_about(what):
    change, how = copies()[what]
    handed_in = {}
    for seed in range(4):
        mine = own_hand(300 + seed)
        handed_in |= {f"changed {seed}": change(mine, np.random.default_rng([SEEDS, 7, seed])), f"mine {seed}": mine}
    words = said(Assignment(BRIEF, START), **handed_in)

    assert [f"changed {seed}: the same drawings as mine {seed}" for seed in range(4)] == [re.sub(r"( \(.*)?\.$", "", line) for line in words]
    assert all(how in line for line in words)


def test_a_copy_with_other_hands_all_through_is_another():
    """Each part a degree beside its place: nobody can tell it from one who draws by the same model."""
    rng = np.random.default_rng([SEEDS, 8])
    mine = own_hand(400)
    assert "No two learners have the same drawings." == said(Assignment(BRIEF, START), a=mine, b=turned(mine, rng.normal(0.0, 1.5, (16, 3))))[0]


def test_another_number_of_drawings_is_not_compared():
    assert ("No two learners have the same drawings.",) == said(Assignment(BRIEF, START), a=own_hand(1, 12), b=own_hand(1, 16))


def mended_by(seed):
    """How honest learners mend a wave: by the table, all at once, one correction after the other, or by hand."""
    start, rng = MEND.start, np.random.default_rng([SEEDS, 9, seed])
    if seed % 3 == 0:
        return mend(start, MEND.brief).action
    if seed % 3 == 1:
        causes = check(start, MEND.brief).causes
        return causes[rng.integers(len(causes))].correction.laid_in(start)
    noise = np.zeros((start.count, 3))
    noise[[4, 11], 1:] = rng.normal(0.0, 1.5, (2, 2))
    return turned(mend(start, MEND.brief).action, noise)


def test_of_a_loop_that_is_mended_it_says_that_it_can_say_nothing():
    """Nearly all drawings stay as they were given: everybody has the same ones, and rightly."""
    handed_in = {f"learner {seed}": mended_by(seed) for seed in range(10)}
    assert 45 == len(list(combinations(handed_in, 2)))
    (only,) = said(MEND, **handed_in)
    assert only.startswith("Of 10 hand-ins nothing can be said: fewer than 6")


def test_a_point_has_no_angles_to_compare():
    buoy = Assignment(homework.brief("01_buoy"), action_file.read(homework.start("01_buoy")))
    made = starts.STARTS["01_buoy"]()
    (only,) = said(buoy, a=made, b=made)
    assert only.startswith("Of 2 hand-ins nothing can be said")


def test_the_words_accuse_nobody():
    text = (homework.ROOT / "anim_lessons" / "course" / "hand_ins" / "alike.py").read_text("utf-8").lower()
    assert not any(word in text for word in ("copied", "cheat", "plagia", "stolen"))
