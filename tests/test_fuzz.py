"""Made and bent input, at a fixed seed: a refusal in words or a verdict comes of it, without a warning, soon.

What is a file and what is none, RFC 8259 says (from memory), and the action file's own description. That no input
may end a program, hang it or fill its memory is common practice, no source. A hundred thousand cases and more:
`python -m tests.bench.fuzz`.
"""

import random
import warnings

import pytest
from bench.fuzz import bent, made, run

from anim_lessons.model import action_file
from anim_lessons.model.action import ActionError

SEED = 20_261_130
CASES = {
    "sliders and map": 20,
    "progress file": 20,
    "hand-ins": 12,
}  # as many as take about half a second
OTHERS = 6
CASES_READ = 60


@pytest.mark.parametrize("target", run.TARGETS)
def test_nothing_escapes(target):
    outcomes = [run.run_case(SEED, target, number) for number in range(CASES.get(target, OTHERS))]
    failed = [one for one in outcomes if one.failed]
    assert not failed, "\n".join(f"case {one.number}: {one.kind}: {one.last}\n{one.full}" for one in failed)


def test_sound_files_are_read_and_most_bent_ones_refused():
    """Else the cases above would prove little: nearly all of them refused at the first letter, or hardly any bent."""
    chance = random.Random(SEED)
    refused = {"sound": 0, "values": 0, "bytes": 0}
    for _ in range(CASES_READ):
        document = made.document(chance, big=0.0)
        data = made.written(chance, document)
        bent_bytes, bent_values = (
            bent.bytes_bent(chance, data),
            made.written(chance, bent.values_bent(chance, document)),
        )
        for kind, given in (("sound", data), ("bytes", bent_bytes), ("values", bent_values)):
            try:
                action_file.loads(given)
            except ActionError:
                refused[kind] += 1
    assert 0 == refused["sound"]
    assert CASES_READ / 2 < refused["bytes"] < CASES_READ
    assert CASES_READ / 2 < refused["values"] < CASES_READ


def test_a_case_is_made_from_seed_target_and_number_alone(monkeypatch):
    made = []
    monkeypatch.setitem(run.TARGETS, "noted", lambda case: made.append(case.rng.random()) or "judged")
    for number in (3, 4, 3):
        run.run_case(SEED, "noted", number)
    assert made[0] == made[2] != made[1]


def warned(case):
    warnings.warn("overflow", RuntimeWarning, stacklevel=1)
    return "judged"


def broken(case):
    return {}["moon"]


def endless(case):
    while True:
        pass


@pytest.mark.parametrize("target, kind", [(warned, "warning"), (broken, "traceback"), (endless, "killed")])
def test_what_goes_wrong_is_counted(monkeypatch, target, kind):
    monkeypatch.setitem(run.TARGETS, "wrong", target)
    monkeypatch.setattr(run, "HANGS", 0.05)
    one = run.run_case(SEED, "wrong", 1)
    assert (kind, True) == (one.kind, one.failed)
    assert "test_fuzz.py" in one.last


def test_much_memory_and_much_time_are_counted(monkeypatch):
    monkeypatch.setitem(run.TARGETS, "large", lambda case: "judged" if b"x" * 400_000_000 else "")
    assert "large" == run.run_case(SEED, "large", 1).kind or run._memory_from_here() is None
    monkeypatch.setattr(run, "SLOW", -1.0)  # seconds; clocks of the processor may be coarse
    monkeypatch.setitem(run.TARGETS, "quick", lambda case: "refused")
    assert "slow" == run.run_case(SEED, "quick", 1).kind


def test_a_process_that_ends_is_counted_and_the_others_go_on(monkeypatch):
    """Memory that runs out, or a fault of a compiled library, ends a process without a word."""
    monkeypatch.setitem(
        run.TARGETS, "ends", lambda case: "judged" if case.number != 2 else run.signal.raise_signal(9)
    )
    outcomes = list(run.run_many(SEED, [("ends", number) for number in range(5)], processes=1))
    assert ["judged", "judged", "killed", "judged", "judged"] == [one.kind for one in outcomes]
