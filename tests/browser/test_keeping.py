"""Drawings are kept through kernels that stop, folders that cannot be written, files opened twice, several views."""
import os
import re

import numpy as np
import pytest

from anim_lessons.ferry.actions import wave
from anim_lessons.light_table.saving import LONG
from anim_lessons.model import action_file

IN_A_FOLDER = ("from anim_lessons import lessons", 'table = lessons.light_table("drawings/wave.json", start="wave")', "table")


def in_drawings(folder):
    (folder / "drawings").mkdir()
    (folder / "drawings" / "wave.json").write_bytes(action_file.dumps(wave()))


def on_screen(desk, number=1):
    """Places of the drawing's joints as the screen has them, mm."""
    return np.array(list(desk.places().values()))


def same(places, action, number=1):
    return np.allclose(places, action.limbs[0].drawings[number - 1], atol=0.06)


# ---- the kernel ------------------------------------------------------------------------------------


def test_a_restarted_kernel_loses_nothing(new_desk):
    desk = new_desk(own_kernel=True)
    desk.drag("wrist", 40, 10)
    desk.ready()
    drawn = on_screen(desk)
    desk.restart_kernel()  # at once: what is not saved yet is saved as the kernel ends
    desk.state("kernel-gone")
    assert "waiting" == desk.attribute("verdict")
    assert np.array_equal(drawn, on_screen(desk))
    desk.idle()
    desk.run_all()
    desk.ready()
    assert same(drawn, desk.action())
    assert same(drawn, action_file.read(desk.folder / "wave.json"))


@pytest.mark.parametrize("choice", ["take up the kept drawings", "leave them"])
def test_what_is_drawn_after_the_kernel_died_is_offered_again(new_desk, choice):
    desk = new_desk(own_kernel=True)
    desk.page.evaluate("""() => { jupyterapp.shell.currentWidget.sessionContext.session.kernel
        .requestExecute({code: 'import os; os.kill(os.getpid(), 9)'}).done.catch(() => {}); }""")
    desk.page.get_by_role("dialog").get_by_role("button", name="Ok").click()  # Jupyter's own word for it
    desk.state("kernel-gone")
    assert "Nobody is checking" in desk.table.inner_text()
    desk.drag("wrist", 40, 10)  # drawing goes on
    desk.drag("fingertips", -15, 10)
    assert "waiting" == desk.attribute("verdict")
    drawn = on_screen(desk)
    desk.idle()  # Jupyter starts a new kernel by itself
    desk.run_all()
    desk.table.get_by_role("button", name=choice).click()
    desk.ready()
    if choice == "leave them":
        assert np.array_equal(wave().limbs[0].drawings, desk.action().limbs[0].drawings)
    else:
        assert same(drawn, desk.action())
        assert same(drawn, desk.saved())


def test_a_page_loaded_again_shows_the_drawings_saved(own_desk):
    desk = own_desk()   # JupyterLab may open its notebook once more, late: no other test has this page
    desk.drag("elbow", 25, 0)
    desk.ready()
    drawn = on_screen(desk)
    desk.saved()
    desk.page.reload()
    desk.page.wait_for_function("window.jupyterapp")
    desk.idle()
    desk.run_all()
    desk.table.wait_for()
    desk.ready()
    assert np.allclose(drawn, on_screen(desk))


# ---- the folder ------------------------------------------------------------------------------------------


def test_a_folder_that_goes_away_is_said_and_saved_to_once_it_is_back(new_desk):
    desk = new_desk(cells=IN_A_FOLDER, prepare=in_drawings)
    away = desk.folder / "drawings"
    away.rename(desk.folder / "elsewhere")
    desk.drag("wrist", 40, 10)
    desk.state("not-saved")
    assert "not saved: there is no such folder" in desk.table.inner_text()
    assert desk.voice().startswith("Not saved.")
    drawn = on_screen(desk)
    assert same(drawn, desk.action())
    with desk.page.expect_download() as download:
        desk.table.get_by_role("button", name="save elsewhere").first.click()
    assert same(drawn, action_file.read(download.value.path()))

    (desk.folder / "elsewhere").rename(away)
    desk.page.wait_for_function("() => /^saved/.test(document.querySelector('.anim-light-table .saved').textContent)")
    assert same(drawn, action_file.read(away / "wave.json"))


@pytest.mark.skipif(not hasattr(os, "setuid"), reason="NO setuid HERE, so no folder can be made read-only to the kernel")
def test_a_read_only_folder_is_said_and_the_drawings_stay(new_desk):
    def protected(folder):
        in_drawings(folder)
        (folder / "drawings" / "wave.json").chmod(0o666)
        (folder / "drawings").chmod(0o555)

    # The superuser may write anywhere, so a kernel run by it gives up its rights first; and what is loaded only when
    # a table is shown is loaded before that, for afterwards the library may lie where it can no longer read.
    # pyzmq, too, loads a part of itself only when the first large message goes out.
    give_up = ("import os, zmq.utils.garbage\nlessons.light_table('spare.json', start='wave')._repr_mimebundle_()\n"
               "if os.getuid() == 0: os.setuid(65534)")
    desk = new_desk(cells=(IN_A_FOLDER[0] + ", light_table", give_up, *IN_A_FOLDER[1:]), prepare=protected, own_kernel=True)
    desk.drag("wrist", 40, 10)
    desk.state("not-saved")
    assert "not saved: the folder is read-only" in desk.table.inner_text()
    assert same(on_screen(desk), desk.action())
    assert action_file.dumps(wave()) == (desk.folder / "drawings" / "wave.json").read_bytes()


KEPT = "Your drawings are kept in this browser."


def words(desk):
    return desk.table.locator(".saved").inner_text(), desk.table.locator(".told").inner_text()


def test_a_disk_that_hangs_is_told_by_python_and_the_drawings_are_on_the_shelf_meanwhile(new_desk):
    desk = new_desk()
    desk.run("""
import threading
from anim_lessons.light_table import saving
goes_on, save = threading.Event(), table.store.save
def hangs(data):
    goes_on.wait()
    return save(data)
table.store.save, saving.LONG = hangs, 0.2""")
    try:
        desk.drag("wrist", 40, 10)
        desk.table.locator(".told").get_by_text("is still being saved, for").wait_for()
        assert re.fullmatch(r"not saved yet: still being saved, for \d+ s", words(desk)[0])
        assert words(desk)[1].endswith("You can go on drawing. " + KEPT)
        desk.ready()  # the rules go on looking
        kept = desk.page.evaluate("JSON.parse(localStorage.getItem('anim-lessons light table wave wave.json')).pose.drawings[0][0]")
        assert np.allclose(kept, on_screen(desk), atol=0.06)
        assert desk.table.get_by_role("button", name="save elsewhere").first.is_visible()
    finally:
        desk.run(f"goes_on.set(); saving.LONG = {LONG}")
    assert same(on_screen(desk), desk.saved())
    assert "" == words(desk)[1]
    desk.page.wait_for_function("localStorage.getItem('anim-lessons light table wave wave.json') === null")


def test_saving_that_nobody_speaks_of_is_told_by_the_page_after_eight_seconds(stopped):
    """The page's clock is moved on by hand."""
    desk, clock = stopped("state=findings&number=6")
    desk.page.evaluate("model.saves_files = false")
    desk.handle("wrist").focus()
    desk.page.keyboard.press("ArrowUp")
    clock.run_for(7900)
    assert ("saving", "") == words(desk)
    clock.run_for(200)
    assert "not saved yet: the disk does not answer" == words(desk)[0]
    assert words(desk)[1].startswith("Nothing has been saved for 8 s or more: the kernel answers, the disk or the network folder does not.")
    assert KEPT in words(desk)[1] and words(desk)[1].endswith("Wait, or save elsewhere.")
    assert desk.table.get_by_role("button", name="save elsewhere").first.is_visible()
    assert desk.page.evaluate("JSON.parse(Object.values(localStorage)[0]).revision === model.get('pose').revision")

    desk.page.evaluate("model.set('saved', {...model.get('saved'), at: '13:27', revision: model.get('pose').revision})")
    assert ("saved 13:27", "") == words(desk)
    desk.page.keyboard.press("ArrowUp")  # and the next change has eight seconds of its own
    clock.run_for(7000)
    assert ("saving", "") == words(desk)


def test_changes_that_come_one_after_the_other_do_not_put_the_word_off(stopped):
    desk, clock = stopped("state=findings&number=6")
    desk.page.evaluate("model.saves_files = false")
    desk.handle("wrist").focus()
    for _ in range(4):
        assert "saving" in words(desk)[0] or "saved" in words(desk)[0]
        desk.page.keyboard.press("ArrowUp")
        clock.run_for(2100)
    assert "not saved yet: the disk does not answer" == words(desk)[0]


def test_a_kernel_that_does_not_answer_is_named_and_what_to_do(stopped):
    desk, clock = stopped("state=findings&number=6")
    desk.page.evaluate("model.answers = false")
    desk.handle("wrist").focus()
    desk.page.keyboard.press("ArrowUp")
    clock.run_for(8200)
    desk.state("kernel-gone")
    saved, told = words(desk)
    assert "kept in this browser" == saved
    assert told.startswith("Nothing has been saved for 8 s or more: the kernel does not answer. " + KEPT)
    assert "interrupt it; if none is, restart the kernel and run this cell again." in told
    desk.page.evaluate("model.answers = true; model.saves_files = false; model.answer()")  # the cell has ended
    clock.run_for(100)
    assert ("saving", "") == words(desk), "from here on it is the disk that is waited for"
    desk.page.evaluate("model.saves_files = true; model.answer()")
    clock.run_for(100)
    assert ("saved 13:26", "") == words(desk)


# ---- several at once -----------------------------------------------------------------------------------------


def test_two_views_of_one_table_stay_in_step(new_desk):
    desk = new_desk(cells=("from anim_lessons import lessons",
                           'table = lessons.light_table("wave.json", start="wave"); table',
                           'lessons.light_table("wave.json")'))
    first, second = (desk.page.locator(".anim-light-table").nth(n) for n in (0, 1))
    second.wait_for()
    desk.drag("wrist", 40, 10)
    desk.ready(first)
    desk.ready(second)
    assert same(list(desk.places(first).values()), desk.action())
    assert desk.places(first) == desk.places(second)
    first.locator(".next-b").click()
    second.locator("xpath=self::*[@data-drawing='2']").wait_for()


def test_the_same_file_in_two_notebooks_is_said_and_both_versions_are_kept(new_desk, opened):
    desk = new_desk()
    (desk.folder / "second.ipynb").write_bytes((desk.folder / "lesson.ipynb").read_bytes())
    second = opened(f"{desk.folder.name}/second.ipynb", own_kernel=True).run_all()
    second.table.wait_for()
    second.ready()
    assert "open in another notebook too" in second.run("print(table.saved['says'])")
    assert "open in another notebook" in second.table.inner_text()

    desk.drag("wrist", 40, 10)
    desk.ready()
    desk.saved()
    second.drag("elbow", -30, 10)
    second.ready()
    second.table.get_by_text("was changed in another notebook, so nothing was overwritten").wait_for()
    assert re.search(r"saved .*kept beside", second.table.locator(".saved").inner_text())
    assert same(on_screen(desk), action_file.read(desk.folder / "wave.json"))
    (beside,) = desk.folder.glob("wave (*.json")
    assert same(on_screen(second), action_file.read(beside))


# ---- by touch ---------------------------------------------------------------------------------------------------


def test_a_joint_is_dragged_by_touch(new_desk):
    desk = new_desk(touch=True)
    x, y = desk.centre(desk.handle("wrist"))
    touch = desk.page.context.new_cdp_session(desk.page)

    def send(kind, *at):
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": at[0], "y": at[1]}] if at else []})

    send("touchStart", x, y)
    for step in range(1, 9):
        send("touchMove", x + 5 * step, y + step)
    assert "dragging" == desk.attribute("state")
    send("touchEnd")
    desk.ready()
    action = desk.action()
    assert same(on_screen(desk), action)
    assert not np.allclose(action.limbs[0].drawings[0], wave().limbs[0].drawings[0], atol=2)
