"""What is accepted is bounded, and so is what it costs: larger actions are refused in words, the search for corrections ends
after a counted number of tries, and findings are compared only with those near them.

The limits are ours: common practice, no source, has 8 to 64 drawings in a loop of a class. Seconds and MB at the limits are
measured by bench/bench_limits.py.
"""

import json
import sys

import numpy as np
import pytest

from anim_lessons import Action, ActionError, Brief, Limb, check
from anim_lessons.assist import guide_circle, guide_trial
from anim_lessons.assist.guide import guide
from anim_lessons.assist.mend import mend
from anim_lessons.ferry.actions import all_together, even_gaps, two_arms, wave
from anim_lessons.judging import causes, cures
from anim_lessons.judging.least import IN_ALL, Patience
from anim_lessons.model import action_file
from anim_lessons.model.plans import MOST_DRAWINGS, MOST_JOINTS, MOST_LIMBS, MOST_PLACED, SMALLEST


def scribble(drawings=16, joints=4, limbs=1, seed=3, **more):
    """Joints anywhere: as wrong as drawings can be."""
    rng = np.random.default_rng(seed)
    return Action([Limb(f"limb {k}", [f"joint {i}" for i in range(joints)], [30.0] * (joints - 1), [[-170.0, 170.0]] * (joints - 1),
                        rng.uniform(-100, 100, (drawings, joints, 2))) for k in range(limbs)], **more)


# ---- what is accepted --------------------------------------------------------------------


@pytest.mark.parametrize("changes, says", [
    ({"drawings": MOST_DRAWINGS + 1, "joints": 2}, 'limb "limb 0": it has 241 drawings; keep it to 240, or make two files of it'),
    ({"joints": MOST_JOINTS + 1}, 'limb "limb 0": it has 121 joints; keep it to 120, or make two limbs of it'),
    ({"limbs": MOST_LIMBS + 1}, "the action has 13 limbs; keep it to 12, or make two files of it"),
    ({"drawings": 32, "joints": 12, "limbs": 8}, "32 drawings of 96 joints are 3072 places in all; keep it to 3000, or make two files of it"),
])
def test_more_than_a_class_draws_is_refused_in_words(changes, says):
    with pytest.raises(ActionError) as refusal:
        scribble(**changes)
    assert says == str(refusal.value)


@pytest.mark.parametrize("shape", [(MOST_DRAWINGS, 12, 1), (MOST_PLACED // MOST_JOINTS, MOST_JOINTS, 1), (10, 25, MOST_LIMBS)])
def test_at_the_limit_a_file_is_read_as_it_was_written(shape):
    data = action_file.dumps(scribble(*shape))
    assert data == action_file.dumps(action_file.loads(data))


@pytest.mark.parametrize("way, limit", [(("limbs", 0, "drawings"), MOST_DRAWINGS), (("limbs", 0, "joints"), MOST_JOINTS), (("limbs",), MOST_LIMBS)])
def test_a_file_with_more_is_refused_where_it_has_more(way, limit):
    document = json.loads(action_file.dumps(wave()))
    entries = document
    for key in way:
        entries = entries[key]
    entries += entries[:1] * (limit + 1 - len(entries))
    with pytest.raises(ActionError, match=f"{way[-1]}.*at most {limit}"):
        action_file.loads(json.dumps(document).encode())


@pytest.mark.parametrize("length", [1e-310, 1e-9, 0.099])
def test_a_part_shorter_than_a_line_is_wide_is_refused(length):
    document = json.loads(action_file.dumps(wave()))
    document["limbs"][0]["lengths"][1] = length
    with pytest.raises(ActionError, match=f'limb "arm", key "lengths", number 2: the number is too small; at least {SMALLEST} is needed'):
        action_file.loads(json.dumps(document).encode())


# ---- what it costs -----------------------------------------------------------------------


def test_a_repeated_key_is_found_in_one_pass_over_the_keys(monkeypatch):
    """The reader looks at each key of an object once, however often they are repeated."""
    from anim_lessons.model import file_errors

    looked = []
    of_pairs = file_errors._object
    monkeypatch.setattr(file_errors, "_object", lambda pairs: looked.append(len(pairs)) or of_pairs(pairs))
    with pytest.raises(ActionError, match='the key "title" stands twice'):
        action_file.loads(b'{' + b'"title": "", ' * 20_000 + b'"title": ""}')
    assert [20_001] == looked


def test_findings_are_compared_only_with_those_near_them(monkeypatch):
    """However many findings there are, each is compared with a few."""
    asked = []
    follows = causes._follows
    monkeypatch.setattr(causes, "_follows", lambda *given: asked.append(1) or follows(*given))
    counts = []
    for drawings in (60, 120, 240):
        asked.clear()
        found = len(check(scribble(drawings)).findings)
        counts.append((found, len(asked)))
    assert counts[2][0] > 3 * counts[0][0]
    assert all(compared < 5 * found + 20 for found, compared in counts), counts


def spent(verdict):
    return IN_ALL - verdict.causes[0].corrector._patience.in_all


def test_the_search_for_corrections_ends():
    verdict = check(scribble(240, 12))
    told = [cause.correction for cause in verdict.causes]

    assert len(told) > 50 and None in told
    assert IN_ALL <= spent(verdict) < 1.5 * IN_ALL
    assert verdict.causes[-1].says.endswith("Mend what comes before it first, then check again.")


def test_a_class_never_comes_near_the_end_of_it():
    for name, faulty in (("all gaps alike", even_gaps(wave(24))), ("together", all_together(24)), ("in step", two_arms(24, 0.25))):
        verdict = check(faulty, Brief())
        assert all(cause.correction is not None for cause in verdict.causes), name
        if verdict.causes:
            assert spent(verdict) < IN_ALL / 4


def test_who_asks_first_makes_no_difference():
    one, other = check(scribble(64, 4, 2)), check(scribble(64, 4, 2))
    backward = [cause.correction for cause in reversed(other.causes)][::-1]

    for mine, theirs in zip([cause.correction for cause in one.causes], backward):
        assert (mine is None) == (theirs is None)
        assert mine is None or mine.says == theirs.says


def test_parts_that_turn_together_are_tried_one_delay_for_all():
    """Three by themselves; more would be a grid with no end: of 20 parts ten thousand million delays."""
    turn = 2 * np.pi * np.arange(24) / 24
    angle = np.repeat(0.5 * np.sin(turn)[:, None], 20, axis=1)
    points = np.concatenate([np.zeros((24, 1, 2)), 20 * np.stack([np.cos(angle), np.sin(angle)], -1).cumsum(axis=1)], axis=1)
    rope = Action([Limb("rope", [f"knot {i}" for i in range(21)], [20.0] * 20, [[-180.0, 180.0]] * 20, points)])
    verdict = check(rope)

    assert {"overlap"} <= {cause.rule for cause in verdict.causes}
    assert [cause.correction for cause in verdict.causes]     # it comes to an end
    assert cures.BY_ITSELF == 3


def test_patience_is_counted_by_joints_for_one_fault_and_for_all():
    patience = Patience(for_one=1000, in_all=2500)
    passes = 0
    while True:
        patience.begin()
        if patience.over:
            break
        while not patience.over:
            patience.spend(100)
            passes += 1
    assert passes == 3 + 3 + 1      # a pass of 100 joints counts 400: three take 1200, and 2500 - 2 x 1200 leaves one


def crowd(limbs=6, drawings=16):
    """Arms drawn with an unsteady hand, invented: each has faults, and each fault its correction."""
    rng, arm = np.random.default_rng(1), wave(drawings).limbs[0]
    return Action([Limb(f"arm {k}", arm.joints, arm.lengths, arm.stops, arm.drawings + rng.normal(0, 3.0, arm.drawings.shape))
                   for k in range(limbs)])


def test_a_mending_ends_and_says_what_it_left(monkeypatch):
    """What checks cost is counted, by joints and by what is found in them."""
    module = sys.modules["anim_lessons.assist.mend"]
    checks = []
    monkeypatch.setattr(module, "check", lambda *given: checks.append(given) or check(*given))
    whole = mend(crowd())
    of_whole = len(checks)
    checks.clear()
    monkeypatch.setattr(module, "CHECKED", 1000)
    short = mend(crowd())

    assert of_whole > len(checks) == 2      # of what there was, and of the first corrections
    assert whole.moves and not short.passes
    assert "This stays:" in short.says


# ---- the guide ---------------------------------------------------------------------------


def test_borders_that_are_known_less_finely_err_on_the_side_of_caution(monkeypatch):
    action = wave(16)
    fine = guide(action, "arm", "wrist", 5, exact=True)
    monkeypatch.setattr(guide_circle, "MOST_HALVED", 1)
    coarse = guide(action, "arm", "wrist", 5, exact=True)

    assert coarse.allowed != fine.allowed and len(coarse.allowed) == len(fine.allowed)
    for (begin, end), (first, last) in zip(coarse.allowed, fine.allowed):
        assert first <= begin <= first + 0.02 and last - 0.02 <= end <= last


def test_the_guide_says_the_same_in_one_pass_or_in_many(monkeypatch):
    action = wave(16).replace(loop=False)     # then every angle is put to the whole action
    whole = guide(action, "arm", "wrist", 5, exact=True)
    monkeypatch.setattr(guide_trial, "JOINTS_AT_ONCE", 500)
    assert whole == guide(action, "arm", "wrist", 5, exact=True)


def test_of_a_very_long_stack_fewer_angles_are_tried(monkeypatch):
    tried = []
    flags = guide_trial.Trial._flags
    monkeypatch.setattr(guide_trial.Trial, "_flags", lambda self, angles: tried.append(len(angles)) or flags(self, angles))
    for loop in (True, False):
        tried.clear()
        guide(scribble(240, 12, loop=loop), "limb 0", "joint 3", 7)
        assert sum(tried) * 240 * 12 < 1_000_000


@pytest.mark.parametrize("joint", ["elbow", "wrist", "fingertips"])
@pytest.mark.parametrize("lies", ["one drawing", "all drawings", "the whole arm"])
def test_a_joint_that_lies_on_its_parent_is_guided_like_any_other(lies, joint):
    arm = wave().limbs[0].drawings.copy()
    if lies == "one drawing":
        arm[3, 2] = arm[3, 1]
    elif lies == "all drawings":
        arm[:, 2] = arm[:, 1]
    else:
        arm[:] = arm[:, :1]
    action = wave().redrawn(arm)
    verdict = check(action)
    for number in (4, 5):
        found = guide(action, "arm", joint, number, exact=True, verdict=verdict)
        covered = sum(end - start for start, end in found.allowed) + sum(part.end - part.start for part in found.excluded)
        assert covered == pytest.approx(360.0, abs=0.1)
        assert all(part.says for part in found.excluded) and found.says


# ---- what is kept ------------------------------------------------------------------------


def test_what_is_kept_of_stacks_that_were_judged_is_bounded():
    """Of each number and exposure of drawings some matrices are kept: at the limit of drawings no more than 200 MB in all."""
    from anim_lessons.assist.expected import _alike, _inverse
    from anim_lessons.measures.neighbours import neighbours
    from anim_lessons.rules.link_up import _patterns
    from anim_lessons.rules.opening import _five

    def size(kept):
        return sum(value.nbytes for value in vars(kept).values() if isinstance(value, np.ndarray))

    one = neighbours((2,) * MOST_DRAWINGS, True)
    matrix = 8 * MOST_DRAWINGS**2
    most = neighbours.cache_info().maxsize * size(one) + sum(
        cached.cache_info().maxsize for cached in (_alike, _inverse, _five)) * matrix
    assert _patterns.cache_info().maxsize <= neighbours.cache_info().maxsize     # it keeps the stacks themselves
    assert most < 200e6, f"{most / 1e6:.0f} MB"
