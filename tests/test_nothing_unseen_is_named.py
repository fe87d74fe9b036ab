"""Nothing under half a millimetre or half a degree is ever named, and a limit that is passed by less is kept.

Reference: tests/borders.py, which puts faults into generated loops as small as the rules find at all, just below and just above.
That no eye tells half a millimetre or half a degree on paper: common practice, no source.
"""

import re

import borders
import numpy as np
import pytest

from anim_lessons import check
from anim_lessons.assist.guide import guide
from anim_lessons.assist.mend import mend
from anim_lessons.judging.wording import SEEN, label

SEED = 20_261_209
EACH = 5
LIMITED = ("arc", "spacing", "link-up", "drag", "stops")     # whose limit is in mm or degrees
AMOUNT = re.compile(r"(?<![\d.])(\d+(?:\.\d+)?) ?(?:°|mm)")


@pytest.fixture(scope="module")
def drawn():
    return {kind: _drawn(kind) for kind in borders.FAULTS}


def _drawn(kind):
    rng = np.random.default_rng([SEED, *kind.encode()])
    return [(action, check(action)) for _ in range(EACH) for action in borders.at_the_border(kind, rng)]


def causes(drawn, kind):
    found = [(action, cause) for action, verdict in drawn[kind] for cause in verdict.causes]
    assert len(found) >= EACH, kind     # the borders are there
    return found


def amounts(text):
    return [float(amount) for amount in AMOUNT.findall(text)]


@pytest.mark.parametrize("kind", borders.FAULTS)
def test_what_is_to_be_done_is_seen(drawn, kind):
    for action, cause in causes(drawn, kind):
        assert all(amount >= SEEN for amount in amounts(cause.advice)), cause.says
        assert "move all of it" not in cause.advice.lower() and " 0.0 " not in cause.advice, cause.says


@pytest.mark.parametrize("kind", borders.FAULTS)
def test_the_corrected_drawings_differ_by_what_is_seen(drawn, kind):
    """By the poses alone: root, lengths and angles of the parts."""
    for action, cause in causes(drawn, kind):
        correction = cause.correction
        if correction is None:
            continue
        limb = action.limb(correction.limb)
        seen = []
        for number, pose in correction.poses.items():
            old, new = (points @ [1, 1j] for points in (limb.drawings[number - 1], pose))
            before, after = np.diff(old), np.diff(new)
            turn = np.abs(np.degrees(np.angle(after / before)))
            seen.append(max(abs(new[0] - old[0]), np.abs(np.abs(after) - np.abs(before)).max(), turn.max()))
            if not cause.moves:     # drawings slide along their paths, each by what its place asks
                seen[-1] = np.abs(new - old).max()
            if cause.moves:
                assert all(amount >= SEEN for amount in amounts(" ".join(label(limb, action.loop, number - 1, pose)))), cause.says
        assert (min if cause.moves else max)(seen) > SEEN - 0.05, cause.says


@pytest.mark.parametrize("kind", borders.FAULTS)
def test_a_limit_passed_by_less_is_kept(drawn, kind):
    for _, cause in causes(drawn, kind):
        if cause.rule in LIMITED and cause.unit in ("mm", "deg"):
            assert cause.measured - cause.allowed >= SEEN - 1e-9, cause.says


@pytest.mark.parametrize("kind", borders.FAULTS)
def test_nor_do_mend_and_the_guide_name_less(drawn, kind):
    for action, verdict in drawn[kind][:8]:
        assert all(amount >= SEEN for move in mend(action).moves for amount in amounts(move.says))
        for cause in verdict.causes[:1]:
            limb = action.limb(cause.limb)
            if not cause.drawings or len(limb.joints) < 2 or cause.correction is None:
                continue
            number = cause.drawings[0]
            for joint in limb.joints[1:]:
                told = guide(action, limb.name, joint, number, verdict=verdict)
                for part in told.excluded:
                    assert all(amount >= SEEN for amount in amounts(part.says.replace("0°", ""))), part.says
