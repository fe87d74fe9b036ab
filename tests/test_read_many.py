"""Many action files read in one call: in order, one at a time, and none keeps the others back."""

import gc
import weakref

import pytest

from anim_lessons import Action, ActionError
from anim_lessons.ferry.actions import DEMOS
from anim_lessons.model import action_file

GOOD = action_file.dumps(DEMOS["buoy"]())


@pytest.fixture
def folder(tmp_path):
    """Five paths: two good files, one cut off, one that is not there, one good."""
    for name in ("a", "b", "e"):
        (tmp_path / f"{name}.json").write_bytes(GOOD)
    (tmp_path / "c.json").write_bytes(GOOD[:200])
    return [tmp_path / f"{name}.json" for name in "abcde"]


def test_many_files_are_read_in_their_order(folder):
    found = list(action_file.read_many(folder))
    assert folder == [path for path, _ in found]
    assert [Action, Action, ActionError, ActionError, Action] == [type(it) for _, it in found]
    assert GOOD == action_file.dumps(found[-1][1])
    assert f"{folder[2]}: breaks off" in str(found[2][1])
    assert f"{folder[3]}: there is no such file; check the name and the folder" == str(found[3][1])


def test_of_many_files_one_is_held(folder):
    asked = []
    reading = action_file.read_many(path for path in folder if not asked.append(path))

    _, action = next(reading)
    held = weakref.ref(action)
    assert folder[:1] == asked
    del action
    next(reading)
    assert folder[:2] == asked
    gc.collect()
    assert held() is None

    for _, found in reading:
        if isinstance(found, ActionError):  # whose frames would hold the bytes of the file
            assert (None, None) == (found.__traceback__, found.__context__)


def test_an_error_of_the_one_who_reads_is_none_of_a_file(folder):
    reading = action_file.read_many(folder)
    next(reading)
    with pytest.raises(ActionError, match="mine"):
        reading.throw(ActionError("mine"))


def test_a_name_with_a_nul_is_refused_like_any_other():
    ((_, error),) = action_file.read_many(["a\0b.json"])
    assert isinstance(error, ActionError)
