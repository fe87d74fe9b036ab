"""Who does the work of marking: in this process, in several, on a cluster, all the same answers in the same order, whatever ends.

The cluster is a real one on this machine, Dask's own (distributed, seen: 2026.8).
"""

import os
import sys
from contextlib import contextmanager

import pytest
from doubling import doubled
from test_class_marked import GOOD, KNOWN, laid, read_all
from test_class_pages import KINDS

from anim_lessons.course.hand_ins.judged import assignment_in, context_of, judge
from anim_lessons.course.hand_ins.mark import given, mark
from anim_lessons.course.hand_ins.workers import Here, workers
from anim_lessons.course.terminal import bars
from anim_lessons.model.action import ActionError


def tasks(count, more=()):
    return [(number, [*range(number), *(more if number == 3 else ())]) for number in range(count)]


def expected_of(given_tasks):
    return [(tag, [None if item == "end" else ("by", item) for item in items]) for tag, items in given_tasks]


def told(who, given_tasks):
    return [(tag, answers) for tag, answers in who.in_order(doubled, given_tasks)]


@contextmanager
def cluster():
    from distributed import LocalCluster

    with LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None, silence_logs=50) as there:
        yield there


@pytest.fixture(scope="module")
def two_workers():
    # Its workers are new processes: they find this module and the library where this one does.
    before = os.environ.get("PYTHONPATH")
    os.environ["PYTHONPATH"] = os.pathsep.join(filter(None, sys.path))
    with cluster() as there:
        yield there.scheduler_address
    if before is None:
        del os.environ["PYTHONPATH"]
    else:
        os.environ["PYTHONPATH"] = before


def test_all_who_work_give_the_same_answers_in_the_same_order(two_workers):
    expected = expected_of(tasks(9))
    assert expected == told(Here("by"), tasks(9))
    with workers("by", 5, processes=2) as two:
        assert expected == told(two, tasks(9))
    with workers("by", 5, cluster=two_workers) as there:
        assert expected == told(there, tasks(9))


def test_a_small_class_stays_in_this_process():
    with workers("by", 1_999) as who:
        assert type(who) is Here
    assert [(0, [])] == told(who, [(0, [])])


def test_a_process_that_is_killed_loses_nothing(tmp_path):
    once = str(tmp_path / "once")
    with workers("by", 5, processes=2) as two:
        assert expected_of(tasks(9, [once])) == told(two, tasks(9, [once]))


def test_what_ends_every_process_costs_itself_alone():
    with workers("by", 5, processes=2) as two:
        assert expected_of(tasks(9, ["end"])) == told(two, tasks(9, ["end"]))


def test_a_worker_of_a_cluster_that_is_killed_loses_nothing(two_workers, tmp_path):
    once = str(tmp_path / "once")
    with workers("by", 5, cluster=two_workers) as there:
        assert expected_of(tasks(9, [once])) == told(there, tasks(9, [once]))


def test_a_class_is_marked_to_the_same_bytes_by_all(two_workers, tmp_path):
    laid(tmp_path / "in", **{f"{name} {number}.json": data for name, data in KINDS.items() for number in range(4)})
    results = {}
    for name, options in {"one": {}, "two": {"processes": 2}, "cluster": {"cluster": two_workers}}.items():
        mark(tmp_path / "in", tmp_path / name, given("6"), **options)
        results[name] = read_all(tmp_path / name)
    assert results["one"] == results["two"] == results["cluster"] and 20 == sum(name.startswith("pages/") for name in results["one"])


def test_a_worker_with_other_rules_is_refused(monkeypatch):
    context = context_of(KNOWN)
    assert "done" == judge(context, [GOOD])[0].state
    monkeypatch.setattr("anim_lessons.course.hand_ins.judged._known", {})
    monkeypatch.setattr("anim_lessons.course.hand_ins.judged.rules_digest", lambda: "other rules")
    with pytest.raises(ActionError, match="another version of anim-lessons"):
        assignment_in(context)


def test_workers_without_the_library_are_told_of(two_workers):
    with pytest.raises(ActionError, match="the workers of the cluster have no anim-lessons"), workers("by", 5, cluster=two_workers):
        raise ModuleNotFoundError("No module named 'anim_lessons'", name="anim_lessons")


def test_how_far_it_is_is_shown_on_a_terminal_alone(monkeypatch, capsys):
    shown = []
    for terminal in (False, True):
        monkeypatch.setattr("sys.stderr.isatty", lambda terminal=terminal: terminal, raising=False)
        monkeypatch.setattr("anim_lessons.course.terminal.monotonic", iter([0.0, *[5.0] * 99]).__next__)
        with bars() as watch:
            for what, count in (("judged", 3), ("pages", 2), ("nothing", 0)):
                for done in range(1, count + 1):
                    watch(what, done, count)
            watch("nothing", 0, 0)
        shown.append(capsys.readouterr().err)
    assert "" == shown[0] and "judged" in shown[1] and "pages" in shown[1] and "nothing" not in shown[1]


def test_without_its_part_the_cluster_is_asked_for_by_name(monkeypatch):
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(ActionError, match=r"pip install '\.\[cluster\]'"), workers("by", 5, cluster="tcp://127.0.0.1:1"):
        pass


@pytest.mark.parametrize("address", ["tcp://127.0.0.1:1", "", "ftp://x"])
def test_a_cluster_that_does_not_answer_is_said(address, monkeypatch, tmp_path):
    laid(tmp_path / "in", **{"a.json": GOOD})
    monkeypatch.setattr("anim_lessons.course.hand_ins.workers.PATIENCE", "0.5s")
    with pytest.raises(ActionError, match="no scheduler answers"):
        mark(tmp_path / "in", tmp_path / "out", given("6"), cluster=address)
    assert not (tmp_path / "out").exists()      # nothing is written then
