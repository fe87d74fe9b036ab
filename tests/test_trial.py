"""The trial of the rules on generated loops, at fixed seeds.

Reference: tests/loops.py, whose loops are accepted by the smooth movement they are sampled from and
whose faults are known because they were put in. The shares asked for are our own.
"""
import loops
import numpy as np
import pytest
import trial

SEED = 3_141_592
LOOPS = 100         # sound ones, with jitter or without
EACH = 30           # loops of each kind of fault


@pytest.fixture(scope="module")
def found():
    return {kind: trial.faults(kind, EACH, SEED) for kind in loops.FAULTS}


@pytest.mark.parametrize("jitter", [0.0, trial.JITTER])
def test_sound_loops_have_no_findings(jitter):
    wrong = trial.false_alarms(LOOPS, SEED, jitter)
    assert wrong[""] <= 0.005 * LOOPS, wrong


def test_faults_are_found_under_the_rule_they_break(found):
    assert sum(one.under_rule for one in found.values()) >= 0.97 * EACH * len(found)


def test_they_are_found_at_their_drawing(found):
    assert sum(one.at_drawing for one in found.values()) >= 0.95 * EACH * len(found)


@pytest.mark.parametrize("kind", loops.FAULTS)
def test_so_is_each_kind(found, kind):
    one = found[kind]
    assert one.at_drawing >= 0.93 * EACH, one


def test_the_generator_does_put_its_faults_where_it_says():
    """A length fault changes one length of one drawing and no other: read off the points."""
    rng = np.random.default_rng(SEED)
    for _ in range(20):
        made = loops.loop(rng)
        points, (number,) = loops.FAULTS["part too long or short"][1](made, rng)
        lengths = np.hypot(*np.moveaxis(np.diff(points, axis=1), -1, 0))
        changed = np.argwhere(np.abs(lengths / made.lengths - 1) > 1e-9)
        assert [number - 1] == changed[:, 0].tolist()


def test_the_same_seed_gives_the_same_table():
    table = trial.table(5, 1, 1)
    assert table == trial.table(5, 1, 1)
    assert "| all |  | 14 | " in table
