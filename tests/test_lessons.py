"""What notebooks call: the check cell's lines, and the panels to see and to break."""
import base64
import io
import re
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image, ImageSequence

from anim_lessons.course import galleries, moving, notebook
from anim_lessons.ferry.actions import DEMOS, FAULTS, traced_twice, wave
from anim_lessons.judging.brief import Brief
from anim_lessons.model import action_file
from anim_lessons.model.action import ActionError
from anim_lessons.rules import RULES

ONE_ARM = Brief(rules=tuple(rule for rule in RULES if rule != "opposition"))


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    return tmp_path


def hand_in(action):
    with open("wave.json", "wb") as file:
        file.write(action_file.dumps(action))


def printed(capsys, **options):
    try:
        notebook.verdict("wave.json", **options)
        raised = None
    except notebook.RulesBroken as error:
        raised = error
    return capsys.readouterr().out.splitlines(), raised


def test_two_right_answers_print_the_same(folder, capsys):
    hand_in(wave())
    first, _ = printed(capsys, brief=ONE_ARM, start=wave(12))
    hand_in(wave(20, swing=38.0, drag=20.0))
    second, raised = printed(capsys, brief=ONE_ARM, start=wave(12))

    assert raised is None
    assert first == second
    assert "PASS  length — lengths kept" == first[0]
    assert "PASS  all rules kept" == first[-1]
    assert all(line.startswith("PASS") for line in first)


@pytest.mark.parametrize("name", [name for name, rule in FAULTS.items() if rule != "opposition"])
def test_a_fault_prints_its_rule_and_raises(folder, capsys, name):
    hand_in(DEMOS[name]())
    lines, raised = printed(capsys, brief=ONE_ARM)
    assert raised is not None
    assert FAULTS[name] in {line.split()[1] for line in lines if line.startswith("FAIL")}
    assert not any(line.startswith("PASS  all") for line in lines)


def test_what_only_follows_from_a_cause_says_so(folder, capsys):
    hand_in(DEMOS["elbow-locks"]())
    lines, _ = printed(capsys, brief=ONE_ARM)
    assert any(line.startswith("FAIL  opening — The elbow locks at 13.") for line in lines)
    assert any(line.startswith("FAIL  spacing — it only follows at 13: ") and line.endswith("First mend the opening.")
               for line in lines)


def test_the_drawings_as_given_are_not_started(folder, capsys):
    hand_in(wave().replace(by="somebody else"))
    lines, raised = printed(capsys, start=wave())
    assert ["NOT STARTED  the drawings are as given. Draw on the light table, then run this cell again."] == lines
    assert raised is not None


def test_no_file_is_not_started_either(folder, capsys):
    lines, raised = printed(capsys)
    assert lines[0].startswith("NOT STARTED  there is no wave.json yet.")
    assert raised is not None


def test_a_file_that_cannot_be_read_is_neither_pass_nor_fail(folder, capsys):
    (folder / "wave.json").write_text("{")
    lines, raised = printed(capsys)
    assert lines[0].startswith("NOT READ  wave.json: breaks off")
    assert raised is not None


def test_a_rule_that_could_not_judge_is_said_and_fails_where_the_brief_asks_for_it(folder, capsys):
    hand_in(wave())
    lines, raised = printed(capsys)
    assert lines[-2].startswith("NOT JUDGED  opposition — could not be judged: there is only one limb")
    assert raised is None
    _, raised = printed(capsys, brief=Brief(title="an assignment that names no rules"))
    assert raised is None
    lines, raised = printed(capsys, brief=Brief(rules=("length", "opposition")))
    assert lines[1].startswith("FAIL  opposition — could not be judged")
    assert raised is not None


def test_drawings_that_do_not_move_are_no_answer(folder, capsys):
    still = wave().limbs[0].drawings[:1].repeat(16, axis=0)
    hand_in(wave().redrawn(still))
    lines, raised = printed(capsys, brief=ONE_ARM)
    assert raised is not None
    assert any(line.startswith("FAIL  overlap — could not be judged") for line in lines)


def test_what_a_brief_asks_of_the_stack(folder, capsys):
    hand_in(wave(12, exposure=1))
    asked = Brief(rules=("length",), drawings=(16, 24), exposure=2, hand=True)
    lines, _ = printed(capsys, brief=asked)
    assert ["FAIL  drawings — there are 12; the brief asks for 16 to 24 drawings.",
            "FAIL  exposure — the brief asks for 2 frames a drawing. Set it below the sheet, on the light table.",
            "PASS  hand — the limb has a hand that can drag",
            "PASS  length — lengths kept",
            "KEEP GOING  2 things to mend. Begin here: there are 12; the brief asks for 16 to 24 drawings."] == lines


def test_the_traceback_is_one_line():
    assert ["RulesBroken: mend it"] == notebook.RulesBroken("mend it")._render_traceback_()


def test_the_check_reads_the_file_and_what_a_table_has_not_saved_yet_is_saved_first(folder, capsys):
    table = notebook.light_table("wave.json", start=wave())
    table.action = DEMOS["hand-grows"]()
    lines, _ = printed(capsys)
    assert lines[0].startswith("FAIL  length — The hand grows at 11.")
    table.close()


def test_a_start_by_name_by_file_or_as_an_action(folder):
    (folder / "start.json").write_bytes(action_file.dumps(wave(12)))
    for file, start, count in (("a.json", "buoy", 12), ("b.json", "start.json", 12), ("c.json", wave(14), 14)):
        table = notebook.light_table(file, start=start)
        assert count == table.action.count == action_file.read(folder / file).count
        table.close()
    with pytest.raises(ActionError, match="none.json: there is no such file"):
        notebook.light_table("d.json", start="none.json")


def test_a_start_that_is_gone_does_not_keep_a_learner_from_the_own_file(folder):
    hand_in(wave(12))
    table = notebook.light_table("wave.json", start="gone.json")
    assert 12 == table.action.count
    table.close()


def test_a_loop_lies_under_the_drawings_to_be_traced(folder):
    table = notebook.light_table("wave.json", start="elbow-locks", under="wave")
    assert wave().limbs[0].drawings.tolist() == table.under["drawings"][0]
    table.close()
    table = notebook.light_table("wave.json")
    assert {} == table.under
    assert table is notebook.light_table("wave.json", under="wave")
    assert wave().limbs[0].drawings.tolist() == table.under["drawings"][0]
    assert "elbow-locks" not in table.action.title and table.action.drawn_as(DEMOS["elbow-locks"]())
    table.close()


@pytest.mark.parametrize("under, says", [(wave(12), "has 12 drawings and the table 16"), ("buoy", "other limbs or joints")])
def test_an_under_drawing_that_does_not_fit_is_said_and_keeps_nobody_from_the_own_drawings(folder, under, says):
    table = notebook.light_table("wave.json", start="wave", under=under)
    assert {} == table.under
    assert says in table.saved["says"]
    table.close()


def test_the_desk_says_as_given_until_something_is_drawn(folder):
    table = notebook.light_table("wave.json", start=wave())
    assert table.verdict["given"]
    table.action = wave(swing=35.0)
    assert not table.verdict["given"]
    table.close()


def test_the_desk_and_the_check_cell_agree_on_what_cannot_be_judged(folder, capsys):
    hand_in(wave().redrawn(wave().limbs[0].drawings[:1].repeat(16, axis=0)))
    asked = Brief(rules=("length", "overlap"))
    table = notebook.light_table("wave.json", brief=asked)
    assert table.verdict["passed"] is False
    assert table.verdict["unmet"][0].startswith("overlap cannot be judged yet")
    assert table.verdict["next"] == table.verdict["unmet"][0]
    assert ["length", "overlap"] == list(table.verdict["rules"])
    table.close()
    lines, _ = printed(capsys, brief=asked)
    assert lines[1].startswith("FAIL  overlap — could not be judged")


def test_a_moving_picture_waits_until_something_is_drawn(folder, capsys):
    hand_in(wave(12))
    notebook.moving_picture("wave.json", "wave.gif", start=wave(12))
    assert "Nothing is drawn in wave.json yet" in capsys.readouterr().out and not Path("wave.gif").exists()
    notebook.moving_picture("wave.json", "wave.gif", start=traced_twice(wave(12)))
    assert capsys.readouterr().out.startswith("wave.gif: moving picture; 12 drawings")
    assert Path("wave.gif").read_bytes().startswith(b"GIF89a")


def test_a_moving_picture_is_shown_small_folded_and_as_long_in_a_notebook_alone(folder, monkeypatch):
    """Durations as Pillow reads them; a GIF counts hundredths of a second (GIF89a, from memory)."""
    hand_in(traced_twice(wave(12)))
    shown = []
    monkeypatch.setattr("IPython.display.display", shown.append)
    notebook.moving_picture("wave.json", "wave.gif", start=wave(12))
    assert [] == shown      # there is no notebook
    monkeypatch.setattr(moving, "_in_a_notebook", lambda: True)
    notebook.moving_picture("wave.json", "wave.gif", start=wave(12))
    (html,) = (one.data for one in shown)
    assert html.startswith("<details><summary>") and "flicker" in html
    small = base64.b64decode(re.search(r'base64,([^"]+)"', html)[1])
    held = [[frame.info["duration"] for frame in ImageSequence.Iterator(Image.open(io.BytesIO(data)))]
            for data in (small, Path("wave.gif").read_bytes())]
    assert held[0] == held[1] and len(held[0]) == 12 and Image.open(io.BytesIO(small)).width == moving.WIDE
    assert len(small) < 0.5 * Path("wave.gif").stat().st_size


def test_lessons_load_neither_jupyter_nor_matplotlib_until_a_table_is_shown():
    code = ("import sys; from anim_lessons import lessons; "
            "print([m for m in ('anywidget', 'ipywidgets', 'IPython', 'matplotlib') if m in sys.modules])")
    assert "[]" == subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip()


def test_a_table_of_start_drawings_and_their_check_wait_for_neither_scipy_nor_matplotlib(tmp_path):
    code = ("import sys; from anim_lessons import lessons; start, brief = sys.argv[1:]; "
            "lessons.light_table('arm.json', start=start, brief=brief).verdict\n"
            "try: lessons.verdict('arm.json', brief=brief, start=start)\n"
            "except lessons.RulesBroken as error: print(error)\n"
            "print([m for m in ('scipy', 'matplotlib', 'PIL', 'av') if m in sys.modules])")
    homework = Path(__file__).parents[1] / "notebooks" / "homework"
    done = subprocess.run([sys.executable, "-c", code, homework / "start" / "open_the_arm.json", homework / "05_elbow.toml"],
                          cwd=tmp_path, capture_output=True, text=True, check=True)
    assert ["NOT STARTED", "not yet: not", "[]"] == [line[:12].rstrip() for line in done.stdout.splitlines()]


def test_a_table_of_a_demo_and_a_lecture_of_the_ferry_landing_wait_for_scipy_no_more_than_start_drawings(tmp_path):
    code = ("import sys; from anim_lessons import lessons; from anim_lessons.ferry import lectures; "
            "print(lessons.light_table('wave.json', start='wave').action.count, 'scipy' in sys.modules)")
    done = subprocess.run([sys.executable, "-c", code], cwd=tmp_path, capture_output=True, text=True, check=True)
    assert "16 False" == done.stdout.strip()


# ---- panels ---------------------------------------------------------------------------------


def test_the_model_follows_its_sliders():
    panel = galleries.model_loop()
    panel.sliders.values = {**panel.sliders.values, "drawings": 24, "exposure": 1}
    assert (24, 1) == (panel.table.action.count, panel.table.action.exposure)
    panel.sliders.values = {"drawings": 1e9, "swing": "wide"}
    assert 32 == panel.table.action.count


def test_an_elbow_that_does_not_lag_is_told_apart_at_once():
    panel = galleries.model_loop()
    panel.sliders.values = {**panel.sliders.values, "elbow_lag": 0}
    assert "overlap" in {finding["rule"] for finding in panel.table.verdict["findings"]}


@pytest.mark.parametrize("name", [name for name, *_ in galleries.MODEL])
@pytest.mark.parametrize("end", [2, 3])
def test_every_end_of_every_slider_draws_a_loop(name, end):
    panel = galleries.model_loop()
    row = next(row for row in galleries.MODEL if row[0] == name)
    panel.sliders.values = {**panel.sliders.values, name: row[end]}
    assert panel.table.pose["revision"] == panel.table.verdict["revision"] == 2


def test_the_gallery_lets_the_learner_look_first():
    panel = galleries.fault_gallery(["hand-scoops", "elbow-locks"])
    assert [] == panel.table.verdict["findings"]
    panel.show.click()
    assert "drag" == panel.table.verdict["findings"][0]["rule"]
    panel.next.click()
    assert [] == panel.table.verdict["findings"]
    panel.show.click()
    assert "opening" == panel.table.verdict["findings"][0]["rule"]
    panel.next.click()
    panel.show.click()
    assert "drag" == panel.table.verdict["findings"][0]["rule"]


def test_a_fault_nobody_knows_is_refused():
    with pytest.raises(ActionError, match='there is no fault "none"; there is hand-grows'):
        galleries.fault_gallery(["none"])


def test_how_much_the_guide_shows_is_the_briefs_unless_it_is_given(folder):
    table = notebook.light_table("wave.json", start="wave", brief=Brief(guide="circle"))
    assert "circle" == table.brief.guide
    assert "all" == notebook.light_table("wave.json", brief=Brief(guide="circle", hand=True), guide="all").brief.guide
    assert table.brief.hand
    with pytest.raises(ActionError, match="nothing, circle, sector, all"):
        notebook.light_table("wave.json", guide="half")
