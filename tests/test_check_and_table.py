"""A check cell answers for the table in front of the learner: what the table could not put into the file is said first, and
never passes."""
import errno
import os
import shutil
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from anim_lessons.course import marking, notebook
from anim_lessons.course.galleries import flip_pile
from anim_lessons.ferry.actions import DEMOS, wave
from anim_lessons.judging.brief import Brief
from anim_lessons.light_table import on_file
from anim_lessons.light_table import table as table_module
from anim_lessons.model import action_file
from anim_lessons.model.action import ActionError
from anim_lessons.rules import RULES
from anim_lessons.storage.store import Store

ONE_ARM = Brief(rules=tuple(rule for rule in RULES if rule != "opposition"))
GOOD, BAD = wave(), DEMOS["hand-grows"]()
ROOT = hasattr(os, "geteuid") and os.geteuid() == 0
ON_FILE = sys.modules["anim_lessons.light_table.on_file"]


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    yield tmp_path
    for table in list(table_module.alive):
        if table.store is not None and tmp_path in table.store.asked.parents:
            table.saver.autosave.forget()
            table.store.close()
            table_module.alive.discard(table)


def checked(capsys, file="wave.json", check=notebook.verdict, brief=ONE_ARM):
    """The lines that the cell prints, and what it raises."""
    capsys.readouterr()
    try:
        check(file, brief=brief)
        raised = None
    except notebook.RulesBroken as error:
        raised = str(error)
    return capsys.readouterr().out.splitlines(), raised


def apart(lines, raised, about="wave.json", file="wave.json"):
    """The first line says that the table's drawings are not in the file; it is no pass. What the line says."""
    assert lines[0].startswith(f'NOT IN THE FILE  what lies on the light table is not in "{file}": ')
    if about:
        assert lines[0].endswith(f' What follows is about what is in "{about}".')
    assert "PASS  all rules kept" not in lines
    assert raised and "the first line says what to do" in raised
    return lines[0].partition('": ')[2]


def refuse(monkeypatch, code):
    def replace(*_, **__):
        raise OSError(code, os.strerror(code))

    monkeypatch.setattr(os, "replace", replace)


# ---- as long as all is well, nothing is said ---------------------------------------------------


def test_where_the_table_is_saved_the_cell_says_what_it_says_without_a_table(folder, capsys):
    Path("wave.json").write_bytes(action_file.dumps(GOOD))
    alone = checked(capsys)
    table = notebook.light_table("wave.json")
    assert alone == checked(capsys)
    table.action = BAD  # not saved yet
    broken, raised = checked(capsys)
    assert broken[0].startswith("FAIL  length") and raised.startswith("not yet: length")
    assert BAD.drawn_as(action_file.read("wave.json"))
    table.action = GOOD
    assert alone == checked(capsys)
    assert alone[1] is None and "PASS  all rules kept" == alone[0][-1]


def test_a_file_that_is_written_otherwise_than_we_write_it_is_the_same(folder, capsys):
    Path("wave.json").write_bytes(action_file.dumps(GOOD).replace(b",", b" ,").replace(b"\n", b"\r\n"))
    notebook.light_table("wave.json")
    assert checked(capsys)[1] is None


def test_what_is_drawn_while_the_check_goes_on_is_no_fault_of_the_file(folder, capsys, monkeypatch):
    table = notebook.light_table("wave.json", start=GOOD)
    save, more = Store.save, iter([wave(12), wave(14)])

    def and_drawn(self, data):
        done = save(self, data)
        if (drawn := next(more, None)) is not None:
            table.action = drawn
        return done

    monkeypatch.setattr(Store, "save", and_drawn)
    table.action = wave(10)
    lines, raised = checked(capsys)
    assert not lines[0].startswith("NOT IN"), lines


# ---- not saved -----------------------------------------------------------------------------------


@pytest.mark.parametrize("code, why, then", [
    (errno.ENOSPC, "the folder is full", "make room on that disk"),
    (errno.EROFS, "the folder is read-only", "save in another folder"),
    (errno.ESTALE, f"the system says: {os.strerror(errno.ESTALE)}", "try again"),
])
def test_a_table_that_could_not_be_saved(folder, capsys, monkeypatch, code, why, then):
    table = notebook.light_table("wave.json", start=GOOD)
    table.action = BAD
    with monkeypatch.context() as patch:
        refuse(patch, code)
        lines, raised = checked(capsys)
    assert f'"wave.json" could not be saved: {why}; {then}' in apart(lines, raised)
    assert all(line.startswith("PASS") for line in lines[1:]) and len(lines) == 1 + len(ONE_ARM.rules)
    lines, raised = checked(capsys)  # there is room again
    assert lines[0].startswith("FAIL  length")


def test_nothing_is_noted_of_drawings_that_are_not_on_the_table(folder, capsys, monkeypatch):
    noted = []
    monkeypatch.setattr(notebook, "note", lambda *said: noted.append(said))
    table = notebook.light_table("wave.json", start=GOOD)
    table.action = BAD
    with monkeypatch.context() as patch:
        refuse(patch, errno.ENOSPC)
        checked(capsys)
    assert [] == noted
    checked(capsys)
    assert 1 == len(noted)


def test_an_error_of_the_program_while_saving(folder, capsys, monkeypatch):
    table = notebook.light_table("wave.json", start=GOOD)
    table.action = BAD
    monkeypatch.setattr(Store, "save", lambda self, data: {}["nowhere"])
    lines, raised = checked(capsys)
    assert "an error in the program (KeyError: 'nowhere')" in apart(lines, raised)


LOCKED = """
import fcntl, sys
file = open(sys.argv[1])
fcntl.flock(file, fcntl.LOCK_EX)
print("held", flush=True)
sys.stdin.read()
"""


def test_a_file_locked_by_another_program(folder, capsys):
    table = notebook.light_table("wave.json", start=GOOD)
    table.store.timeout = 0.05
    table.action = BAD
    with subprocess.Popen([sys.executable, "-c", LOCKED, ".kept/wave.json/lock"], text=True, stdin=subprocess.PIPE,
                          stdout=subprocess.PIPE) as other:
        other.stdout.readline()
        lines, raised = checked(capsys)
        assert "the file is locked by another program; close what else has it open, then try again." in apart(lines, raised)
        other.communicate("")
    assert checked(capsys)[0][0].startswith("FAIL  length")


@pytest.mark.skipif(not hasattr(os, "setuid"), reason="NO setuid HERE, so no folder can be made read-only to a process")
def test_a_folder_that_is_really_read_only(tmp_path):
    """As another user than root, for whom no folder is read-only."""
    folder = tmp_path / "open"
    folder.mkdir()
    code = """
import os, sys, zmq
from anim_lessons import lessons
from anim_lessons.ferry.actions import DEMOS, wave
from anim_lessons.judging.brief import Brief
from anim_lessons.light_table import on_file
table = lessons.light_table("wave.json", start=wave())
lessons.light_table("spare.json", start=wave()).close()
try: lessons.verdict("spare.json", brief=Brief(rules=("length",)))
except lessons.RulesBroken as error: print(error)
os.chmod(".", 0o555)
if os.geteuid() == 0:
    os.setgid(65534)
    os.setuid(65534)
table.action = DEMOS["hand-grows"]()
try: lessons.verdict("wave.json", brief=Brief(rules=("length",)))
except lessons.RulesBroken as error: print("RAISED", error)
"""
    where = {"PYTHONPATH": str(Path(__file__).parents[1]), "PATH": os.environ["PATH"], "PYTEST_CURRENT_TEST": "no record is written"}
    done = subprocess.run([sys.executable, "-c", code], cwd=folder, capture_output=True, text=True, env=where, check=False)
    folder.chmod(0o755)
    *_, first, length, raised = done.stdout.splitlines() or [done.stderr]
    assert first.startswith("NOT IN THE FILE") and "the folder is read-only; ask whoever it belongs to" in first, done.stdout + done.stderr
    assert "PASS  length — lengths kept" == length
    assert raised.startswith("RAISED what lies on the light table is not in the file")


def test_a_start_that_could_never_be_saved(folder, capsys, monkeypatch):
    def full(*_, **__):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "link", full)
    monkeypatch.setattr(os, "rename", full)
    table = notebook.light_table("wave.json", start=GOOD)
    assert "failed" == table.saved["state"]
    lines, raised = checked(capsys)
    assert "the folder is full" in apart(lines, raised, about="")
    assert 1 == len(lines)


# ---- a save that hangs ------------------------------------------------------------------------------


@pytest.fixture
def hangs(monkeypatch):
    """Saves that wait until `set`; the check has little patience."""
    goes_on, save = threading.Event(), Store.save
    threads = []

    def hanging(self, data):
        threads.append(threading.current_thread())
        assert goes_on.wait(60)
        return save(self, data)

    monkeypatch.setattr(Store, "save", hanging)
    monkeypatch.setattr(ON_FILE, "PATIENCE", 0.2)
    yield goes_on
    goes_on.set()
    for thread in threads:
        if thread is not threading.current_thread():
            thread.join(60)


def test_a_save_that_hangs_does_not_hang_the_check(folder, capsys, hangs):
    Path("wave.json").write_bytes(action_file.dumps(GOOD))
    table = notebook.light_table("wave.json")
    assert checked(capsys)[1] is None, "there is nothing to save"
    table.action = BAD
    lines, raised = checked(capsys)
    assert "it has not been saved within" in apart(lines, raised) and "Wait until the table says that it is saved" in lines[0]
    assert all(line.startswith("PASS") for line in lines[1:])
    hangs.set()
    ON_FILE.PATIENCE = 60
    assert checked(capsys)[0][0].startswith("FAIL  length")


def test_a_disk_of_which_nothing_comes_is_said_and_nothing_is_judged(folder, capsys, hangs, monkeypatch):
    Path("wave.json").write_bytes(action_file.dumps(GOOD))
    table = notebook.light_table("wave.json")
    table.action = BAD
    monkeypatch.setattr(ON_FILE, "READING", 0.05)
    with monkeypatch.context() as patch:
        patch.setattr(action_file, "read", lambda path: hangs.wait(60))
        lines, raised = checked(capsys)
    assert "it has not been saved within" in apart(lines, raised, about="") and 1 == len(lines)


def test_a_folder_that_cannot_even_be_asked(folder, capsys, hangs, monkeypatch):
    Path("other.json").write_bytes(action_file.dumps(GOOD))
    notebook.light_table("other.json")
    Path("wave.json").write_bytes(action_file.dumps(GOOD))
    with monkeypatch.context() as patch:
        patch.setattr(ON_FILE, "same_file", lambda *_: hangs.wait(60))
        lines, raised = checked(capsys)
    assert ["NOT READ  wave.json: its folder has not answered for 0 s; wait until it does, then run this cell again"] == lines
    assert raised


# ---- another hand in the folder ------------------------------------------------------------------------


def test_drawings_kept_beside_are_judged_by_their_name_and_are_no_pass(folder, capsys):
    table = notebook.light_table("wave.json", start=BAD)
    Path("wave.json").write_bytes(action_file.dumps(wave(12)))  # another notebook
    table.action = BAD.replace(by="me")
    lines, raised = checked(capsys)
    assert "elsewhere" == table.saved["state"]
    said = apart(lines, raised, about="wave (kept beside).json")
    assert 'another notebook changed the file, so yours is kept beside it, in "wave (kept beside).json".' in said
    assert any(line.startswith("FAIL  length — The hand grows at 11.") for line in lines), "those on the table, not wave.json's"

    table.action = GOOD
    lines, raised = checked(capsys)
    apart(lines, raised, about="wave (kept beside).json")
    assert all(line.startswith("PASS") for line in lines[1:])
    lines, raised = checked(capsys, "wave (kept beside).json")  # asked for by its own name
    assert ("PASS  all rules kept", None) == (lines[-1], raised)

    os.replace("wave (kept beside).json", "wave.json")  # what the line says
    assert checked(capsys)[1] is None


def test_a_file_changed_by_another_program_after_it_was_saved(folder, capsys):
    table = notebook.light_table("wave.json", start=BAD)
    Path("wave.json").write_bytes(action_file.dumps(GOOD))
    lines, raised = checked(capsys)
    assert "another program changed the file after it was saved. Run the cell with the light table again" in apart(lines, raised)
    assert table is notebook.light_table("wave.json")
    assert checked(capsys)[1] is None
    Path("wave.json").write_text("{")
    lines, raised = checked(capsys)
    apart(lines, raised, about="")
    assert lines[1].startswith("NOT READ  wave.json: breaks off")


def test_a_file_that_has_gone(folder, capsys):
    notebook.light_table("wave.json", start=GOOD)
    Path("wave.json").unlink()
    lines, raised = checked(capsys)
    assert "the file has gone from its folder. Go on drawing, and it is saved there again" in apart(lines, raised, about="")
    assert 1 == len(lines)


def test_what_was_refused_lies_on_no_table_and_in_no_file(folder, capsys):
    table = notebook.light_table("wave.json", start=GOOD)
    before = checked(capsys)
    table.set_state({"pose": {"revision": 9, "exposure": 2, "drawings": [[[["x", 0.0]]]]}})
    assert "It was not taken" in table.verdict["next"]
    assert before == checked(capsys)


# ---- other spellings of the path ------------------------------------------------------------------------


@pytest.mark.parametrize("spelt", ["./wave.json", "sub/../wave.json", "linked/wave.json", "{here}/wave.json", "link.json"])
def test_a_table_is_known_however_the_path_is_spelt(folder, capsys, spelt):
    Path("sub").mkdir()
    Path("linked").symlink_to(folder)
    Path("link.json").symlink_to("wave.json")
    table = notebook.light_table("wave.json", start=GOOD)
    table.action = BAD
    spelt = spelt.format(here=folder)
    lines, raised = checked(capsys, spelt)
    assert lines[0].startswith("FAIL  length — The hand grows")
    assert table is notebook.light_table(spelt)


def test_a_table_opened_by_another_spelling_is_known_too(folder, capsys):
    Path("linked").symlink_to(folder)
    table = notebook.light_table("linked/wave.json", start=GOOD)
    table.action = BAD
    assert checked(capsys)[0][0].startswith("FAIL  length")
    assert table is notebook.light_table("wave.json")


def test_other_capitals_where_the_system_tells_none_apart(folder, capsys, monkeypatch):
    """The system's answer (samefile) is made up: the disks at hand tell capitals apart."""
    table = notebook.light_table("wave.json", start=GOOD)
    table.action = BAD
    shutil.copy("wave.json", "Wave.JSON")
    monkeypatch.setattr(os.path, "samefile", lambda one, other: str(one).lower() == str(other).lower())
    checked(capsys, "Wave.JSON")
    assert BAD.drawn_as(action_file.read("wave.json")), "the table was saved"


def test_a_lecture_is_not_drawn_over_by_another_spelling_of_its_path(folder):
    from anim_lessons.ferry.looping_arm import looping_arm

    Path("linked").symlink_to(folder)
    Path("lecture.json").write_bytes(action_file.dumps(looping_arm()))
    with pytest.raises(ActionError, match="is the lecture itself"):
        notebook.follow("lecture.json", mine="linked/lecture.json")


# ---- what else lies on a file's table, and other cells ---------------------------------------------------


def test_a_plan_that_could_not_be_saved_is_not_held_against(folder, capsys, monkeypatch):
    panel = notebook.plan_sheet("arm.json", start=GOOD)
    panel.sheet.draw(GOOD.limbs[0].drawings[:, -1].tolist())
    lines, before = checked(capsys, "arm.json", notebook.plan_verdict, None)
    assert not lines[0].startswith("NOT"), lines
    panel.table.action = panel.table.action.redrawn(BAD.limbs[0].drawings)
    with monkeypatch.context() as patch:
        refuse(patch, errno.ENOSPC)
        lines, raised = checked(capsys, "arm.json", notebook.plan_verdict, None)
    assert "the folder is full" in apart(lines, raised, about="arm.json", file="arm.json")
    assert not checked(capsys, "arm.json", notebook.plan_verdict, None)[0][0].startswith("NOT")


def test_what_is_recorded_is_on_the_table_that_is_checked(folder, capsys, monkeypatch):
    panel = notebook.record("wave.json", start=GOOD)
    panel.table.action = BAD
    with monkeypatch.context() as patch:
        refuse(patch, errno.ENOSPC)
        apart(*checked(capsys))
    assert checked(capsys)[0][0].startswith("FAIL  length")
    panel.close()


def test_two_tables_on_one_file(folder, capsys):
    first = notebook.light_table("wave.json", start=GOOD)
    store = Store("wave.json")
    second = table_module.LightTable(action_file.loads(store.read(), "wave.json"), store)
    second._repr_mimebundle_()
    first.action = BAD
    second.action = wave(12)
    lines, raised = checked(capsys)
    assert lines[0].startswith("NOT IN THE FILE") and raised
    second.close()


def test_a_pile_that_is_open_on_a_table_is_marked_as_it_lies_there(folder, monkeypatch):
    Path("pile").mkdir()
    for name in ("avocet", "dunlin"):
        Path(f"pile/{name}.json").write_bytes(action_file.dumps(GOOD))
    table = notebook.light_table("pile/dunlin.json")
    table.action = BAD
    with monkeypatch.context() as patch:
        refuse(patch, errno.ENOSPC)
        marked = {row.name: row.says for row in marking.class_table("pile", ONE_ARM).rows}
        assert "every rule kept" == marked["avocet"]
        assert marked["dunlin"].startswith('What lies on the light table is not in "dunlin.json": "dunlin.json" could not be saved: ')
        assert ["avocet", "dunlin (not as on its light table)"] == list(marking.readable("pile"))
    marked = {row.name: row for row in marking.class_table("pile", ONE_ARM).rows}
    assert "mend at 11" == marked["dunlin"].marks["length"]
    assert "dunlin" in marking.readable("pile") and flip_pile("pile").table.action.drawn_as(GOOD)


def test_a_file_that_no_table_has_open_is_read_as_ever(folder):
    Path("wave.json").write_bytes(action_file.dumps(GOOD))
    found = on_file("wave.json")
    assert GOOD.drawn_as(found.action) and ("", None) == found[1:]
    with pytest.raises(ActionError, match="none.json: there is no such file"):
        on_file("none.json")
