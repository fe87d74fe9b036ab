"""The Python side of the light table: what it takes from a page, what it answers, what it saves."""
import json
import threading
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
from hourglass import Hourglass
from PIL import Image

from anim_lessons.assist.plan import charted, planned
from anim_lessons.ferry.actions import DEMOS, FAULTS, longer, wave
from anim_lessons.geometry.limb import pose
from anim_lessons.geometry.paths import path_of_action
from anim_lessons.judging.brief import Brief
from anim_lessons.light_table import LightTable, desk, open_table, picture
from anim_lessons.light_table import table as table_module
from anim_lessons.light_table.answer import Answer
from anim_lessons.light_table.sliders import Sliders
from anim_lessons.model import action_file
from anim_lessons.model.action import Action, ActionError, Limb, Plan
from anim_lessons.rules import RULES
from anim_lessons.rules.finding import Verdict
from anim_lessons.storage.autosave import Autosave
from anim_lessons.storage.store import Store, StoreError


@pytest.fixture
def glass():
    return Hourglass()


@pytest.fixture
def table(tmp_path, glass):
    """A table on the clean wave, in a file, whose timers are moved on by hand."""
    store = Store(tmp_path / "wave.json")
    store.save(action_file.dumps(wave()))
    table = LightTable(wave(), store, timer=glass.timer)
    table.saver.autosave._clock = glass.clock
    yield table
    table.close()


def from_page(table, action, revision):
    """What a view sends after a change."""
    table.set_state({"pose": json.loads(json.dumps(desk.pose(action, revision)))})


# ---- what it takes -------------------------------------------------------------------


def test_the_traits_are_plain_json(table):
    for trait in ("head", "pose", "settings", "verdict", "saved"):
        value = getattr(table, trait)
        assert value == json.loads(json.dumps(value, allow_nan=False))
    assert {"width": 297.0, "height": 210.0} == table.head["paper"]
    assert list(RULES) == list(table.verdict["rules"])


def test_a_pose_from_the_page_becomes_the_action_and_is_judged(table):
    from_page(table, DEMOS["elbow-locks"](), 2)

    assert 2 == table.verdict["revision"] == table.pose["revision"]
    first = table.verdict["findings"][0]
    assert ("opening", [13], None) == (first["rule"], first["drawings"], first["follows"])
    assert np.array_equal(DEMOS["elbow-locks"]().limbs[0].drawings, table.action.limbs[0].drawings)


def test_number_of_drawings_and_exposure_may_change(table):
    changed = wave(12).replace(exposure=(1,) * 11 + (3,))
    from_page(table, changed, 2)

    assert 12 == table.action.count
    assert (1,) * 11 + (3,) == table.action.exposure


def broken(change):
    pose = json.loads(json.dumps(desk.pose(wave(swing=30.0), 2)))
    change(pose)
    return pose


BAD = {
    "not a number": lambda pose: pose["drawings"][0][2].__setitem__(1, [float("nan"), 1.0]),
    "infinite": lambda pose: pose["drawings"][0][2].__setitem__(1, [float("inf"), 1.0]),
    "text": lambda pose: pose["drawings"][0][2].__setitem__(1, ["12", 1.0]),
    "true": lambda pose: pose["drawings"][0][2].__setitem__(1, [True, 1.0]),
    "none": lambda pose: pose["drawings"][0][2].__setitem__(1, None),
    "far off the paper": lambda pose: pose["drawings"][0][2].__setitem__(1, [1e300, 1.0]),
    "three numbers": lambda pose: pose["drawings"][0][2][1].append(3.0),
    "a joint short": lambda pose: pose["drawings"][0][2].pop(),
    "one drawing": lambda pose: pose["drawings"].__setitem__(0, pose["drawings"][0][:1]),
    "no drawings": lambda pose: pose.pop("drawings"),
    "drawings of another kind": lambda pose: pose.__setitem__("drawings", 7),
    "two limbs": lambda pose: pose["drawings"].append(pose["drawings"][0]),
    "no exposure": lambda pose: pose.pop("exposure"),
    "exposure of nothing": lambda pose: pose.__setitem__("exposure", 0),
    "too few exposures": lambda pose: pose.__setitem__("exposure", [2, 2]),
    "no revision": lambda pose: pose.pop("revision"),
    "revision of another kind": lambda pose: pose.__setitem__("revision", "2"),
    "revision true": lambda pose: pose.__setitem__("revision", True),
    "something beside them": lambda pose: pose.__setitem__("of its own", -np.inf),
}


@pytest.mark.parametrize("change", BAD.values(), ids=BAD)
def test_a_bad_pose_is_refused_in_words_and_the_good_one_put_back(table, change):
    good = table.action
    table.set_state({"pose": broken(change)})

    assert good is table.action
    assert desk.pose(good, 0)["drawings"] == table.pose["drawings"]
    assert table.pose["revision"] == table.verdict["revision"]
    assert table.pose["revision"] > 1
    assert "It was not taken" in table.verdict["next"]
    assert "Traceback" not in table.verdict["next"]
    assert not table.saver.autosave.pending


def test_the_refusal_names_the_drawing(table):
    table.set_state({"pose": broken(BAD["text"])})
    assert "drawing 3" in table.verdict["next"]


@pytest.mark.parametrize("pose", [7, [1], "pose", None])
def test_what_is_no_pose_at_all_does_no_harm(table, pose):
    table.set_state({"pose": pose})
    assert 16 == table.action.count
    from_page(table, DEMOS["hand-scoops"](), 9)
    assert 9 == table.verdict["revision"]


def test_of_several_poses_waiting_only_the_newest_is_judged(table, monkeypatch):
    """The judge is held up while three poses come in; each handler then waits for its turn."""
    began, go_on, judged = threading.Event(), threading.Event(), []
    judge = table_module.Replies.verdict

    def slow(replies, action, revision, settings):
        judged.append(revision)
        if revision == 2:
            began.set()
            assert go_on.wait(20)
        return judge(replies, action, revision, settings)

    monkeypatch.setattr(table_module.Replies, "verdict", slow)
    first = threading.Thread(target=from_page, args=(table, wave(swing=33.0), 2))
    first.start()
    assert began.wait(20)
    waiting = []
    for revision in (3, 4, 5):
        pose = desk.pose(wave(swing=30.0 + revision), revision)
        thread = threading.Thread(target=table.set_state, args=({"pose": pose},))
        thread.start()
        while table._revisions.newest < revision:  # it has come in, and waits
            pass
        waiting.append(thread)
    go_on.set()
    for thread in (first, *waiting):
        thread.join(20)

    assert judged[0] == 2
    assert set(judged[1:]) <= {5}
    assert 5 in (table.verdict["revision"], table.pose["revision"])


def test_many_threads_end_in_one_state(table):
    """Poses, a change by Python and saving, all at once: pose, verdict and file agree in the end."""
    def draw(first):
        for revision in range(first, first + 40, 4):
            from_page(table, wave(swing=20.0 + revision / 8), revision)

    def lay():
        for _ in range(5):
            table.action = wave(12)
            table.save()

    threads = [threading.Thread(target=draw, args=(first,)) for first in (2, 3, 4)] + [threading.Thread(target=lay)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    table.action = wave(14)
    table.save()

    assert table.pose["revision"] == table.verdict["revision"] == table.saved["revision"]
    assert 14 == action_file.read(table.store.path).count


# ---- what it answers --------------------------------------------------------------------


def test_setting_the_action_is_a_change_under_a_new_revision(table):
    table.action = DEMOS["hand-grows"]()
    assert 2 == table.pose["revision"] == table.verdict["revision"]
    assert table.verdict["next"].startswith("on drawing 11, draw the hand 4 mm shorter, to the ghost.")
    with pytest.raises(ActionError, match="an Action belongs on the light table, not a dict"):
        table.action = {}


def test_an_action_of_other_limbs_brings_its_own_head(table):
    table.action = DEMOS["lantern"]()
    assert ["hook", "lantern"] == table.head["limbs"][0]["joints"]
    from_page(table, DEMOS["lantern"](), 7)
    assert 7 == table.verdict["revision"]


def test_asking_for_the_verdict_is_answered_even_where_nothing_changed(table, monkeypatch):
    sent = []
    monkeypatch.setattr(table, "send_state", lambda key=None: sent.append(key))
    table._handle_custom_msg({"ask": "verdict"}, [])
    assert any("verdict" in key for key in sent if key)


@pytest.mark.parametrize("message", [None, 3, {}, {"ask": "for the moon"}, ["ask"]])
def test_a_message_it_does_not_know_does_no_harm(table, message):
    table._handle_custom_msg(message, [])
    assert 1 == table.verdict["revision"]


def test_a_verdict_can_be_withheld_until_the_learner_has_looked():
    table = LightTable(DEMOS["hand-scoops"](), withheld="look first.")
    assert ([], None, "look first.") == tuple(table.verdict[key] for key in ("findings", "passed", "next"))
    from_page(table, DEMOS["hand-scoops"](), 4)
    assert ([], 4) == (table.verdict["findings"], table.verdict["revision"])
    table.withheld = ""
    assert "drag" == table.verdict["findings"][0]["rule"]


@pytest.mark.parametrize("name", FAULTS)
def test_each_fault_has_a_next_step_and_a_note(name):
    action = DEMOS[name]()
    verdict = desk.judged(Answer(action), 1)
    causes = [finding for finding in verdict["findings"] if finding["follows"] is None]

    assert not verdict["passed"]
    assert FAULTS[name] in {finding["rule"] for finding in verdict["findings"]}
    assert verdict["next"].endswith(".") and not verdict["next"].startswith("play it")
    for finding in verdict["findings"]:
        if finding["follows"] is not None:
            assert verdict["findings"][finding["follows"]]["follows"] is None
    if causes[0]["ghost"]:
        assert verdict["next"].startswith(f"on drawing {causes[0]['ghost']['drawing']}, ")


@pytest.mark.parametrize("name", ["hand-grows", "elbow-locks", "drawing-hangs-back", "hand-scoops"])
def test_laying_the_drawing_on_its_ghost_mends_it(name):
    action = DEMOS[name]()
    ghost = next(f["ghost"] for f in desk.judged(Answer(action), 1)["findings"] if f["ghost"])
    drawings = action.limbs[0].drawings.copy()
    drawings[ghost["drawing"] - 1] = ghost["points"]
    after = desk.judged(Answer(action.redrawn(drawings)), 2)
    assert [] == [f for f in after["findings"] if ghost["drawing"] in f["drawings"]]


def test_a_clean_loop_is_sent_off_to_be_played():
    assert "play it on twos and watch the link-up, 16 into 1." == desk.judged(Answer(wave()), 1)["next"]
    assert "play it on ones and watch the link-up, 12 into 1." == desk.judged(Answer(wave(12, exposure=1)), 1)["next"]
    uneven = wave().replace(exposure=(1, 3) * 8, loop=False)
    assert "play it at its exposure and watch it from 1 to 16." == desk.next_step(uneven, Verdict((), {}))


def square(*turns, exposure=1):
    """A lantern on a hook at 0, 0: one part of 10 mm at these angles."""
    angle = np.radians(turns)
    tip = 10 * np.stack([np.cos(angle), np.sin(angle)], axis=-1)
    drawings = np.stack([np.zeros_like(tip), tip], axis=1)
    return Action((Limb("lantern", ("hook", "lantern"), (10,), ((-360, 360),), drawings),), exposure=exposure)


def test_the_timing_chart_of_a_swing_that_can_be_done_in_the_head():
    # From 0° to 60° and back in equal steps: every chord is alike, so the drawn ticks are thirds.
    (out, back) = desk.timing(square(0, 20, 40, 60, 40, 20), square(0, 20, 40, 60, 40, 20).limbs[0], "lantern")["halves"]
    assert ([1, 2, 3, 4], [4, 5, 6, 1]) == (out["drawings"], back["drawings"])
    assert [0, 1 / 3, 2 / 3, 1] == pytest.approx(out["drawn"], abs=1e-3)
    # (1 - cos 60°) / 2 = 1/4, and 3/4: simple harmonic motion seen edge on.
    assert [0, 0.25, 0.75, 1] == pytest.approx(out["asked"], abs=1e-3)


def test_the_timing_chart_counts_the_frames_a_drawing_is_held():
    action = square(0, 20, 40, 60, 40, 20, exposure=(1, 1, 2, 1, 1, 1))
    out = desk.timing(action, action.limbs[0], "lantern")["halves"][0]
    # Seen first at frames 0, 1, 2, 4 of 4: (1 - cos 45°) / 2, (1 - cos 90°) / 2.
    assert [0, 0.1464, 0.5, 1] == pytest.approx(out["asked"], abs=1e-3)


def test_the_timing_chart_asks_for_what_the_plan_of_the_joint_has():
    # Half of the way round is out; the plan is gone 1/10 and 3/10 of the whole way on 2 and 3, so 1/5 and 3/5 of the way out.
    action = square(0, 20, 40, 60, 40, 20)
    limb = action.limbs[0]
    plan = Plan("lantern", limb.drawings[:, 1], [0, 0.1, 0.3, 0.5, 0.7, 0.9])
    (out, back) = desk.timing(action, replace(limb, plans=(plan,)), "lantern")["halves"]
    assert [[0, 0.2, 0.6, 1], [0, 0.4, 0.8, 1]] == [pytest.approx(half["asked"]) for half in (out, back)]
    # One whose chart rests on the way out says nothing of it: slow in and slow out.
    still = Plan("lantern", limb.drawings[:, 1], [0.5] * 6)
    assert [0, 0.25, 0.75, 1] == pytest.approx(desk.timing(action, replace(limb, plans=(still,)), "lantern")["halves"][0]["asked"], abs=1e-3)


def test_a_joint_that_rests_has_no_timing_chart():
    action = square(30, 30, 30, 30)
    assert [] == desk.timing(action, action.limbs[0], "lantern")["halves"]
    assert [] == desk.timing(action, action.limbs[0], "hook")["halves"]


def test_an_action_that_does_not_loop_goes_from_its_first_drawing_to_its_last():
    action = square(0, 20, 40, 60, 50).replace(loop=False)
    halves = desk.timing(action, action.limbs[0], "lantern")["halves"]
    assert [[1, 2, 3, 4], [4, 5]] == [half["drawings"] for half in halves]


def test_the_asked_bend_leaves_smooth_drawings_and_mends_the_one_out_of_place():
    ((clean, wrist),) = desk.bends(wave())
    ((locked, _),) = desk.bends(DEMOS["elbow-locks"]())
    assert ("elbow", 1, "wrist", 2) == (clean["joint"], clean["segment"], wrist["joint"], wrist["segment"])
    assert ("elbow", 1, [0.0, 140.0]) == (clean["joint"], clean["segment"], clean["stops"])
    assert clean["asked"] == pytest.approx(_elbow(wave()), abs=0.02)
    off = np.abs(np.subtract(locked["asked"], _elbow(DEMOS["elbow-locks"]())))
    assert [12] == np.flatnonzero(off > 0.02).tolist()
    assert locked["asked"][12] == pytest.approx(_elbow(wave())[12], abs=2.5)


def _elbow(action):
    z = action.limbs[0].drawings @ [1, 1j]
    part = np.diff(z, axis=-1)
    return np.degrees(np.angle(part[:, 1] / part[:, 0])).tolist()


def test_bends_of_limbs_without_such_a_joint():
    assert [[]] == desk.bends(DEMOS["buoy"]()) == desk.bends(DEMOS["lantern"]())


# ---- what it leaves in a page without a kernel ------------------------------------------------


def test_its_text_is_the_same_on_every_run(table):
    assert "LightTable" == repr(table)


def test_the_picture_says_what_is_on_it():
    root = ElementTree.fromstring(picture.svg(wave()))
    assert "Light table, wave the boat in: drawing 1 of 16, on twos" == root.get("aria-label") == picture.label(wave())
    assert len(picture.svg(wave())) < 20_000


def test_the_picture_escapes_what_a_title_holds():
    svg = picture.svg(wave().replace(title='<script>"&'))
    assert "<script>" not in svg
    assert '<script>"&' in ElementTree.fromstring(svg).get("aria-label")


# ---- saving -----------------------------------------------------------------------------------


def test_it_saves_a_moment_after_the_last_change(table, glass):
    for revision in range(2, 12):
        from_page(table, wave(swing=20.0 + revision), revision)
        glass.go_on(0.2)
    assert "as in the file" == table.saved["state"]  # never 0.4 s without a change until now
    glass.go_on(0.25)

    assert ("saved", 11, "wave.json") == tuple(table.saved[key] for key in ("state", "revision", "file"))
    assert action_file.dumps(table.action) == table.store.path.read_bytes()
    assert [] == glass.timers


def test_a_pose_refused_is_not_saved(table, glass):
    before = table.store.path.read_bytes()
    table.set_state({"pose": broken(BAD["not a number"])})
    glass.go_on(10)
    assert before == table.store.path.read_bytes()


def test_a_save_that_fails_says_why_keeps_the_drawings_and_is_tried_again(table, glass, monkeypatch):
    def full(data):
        raise StoreError("wave.json could not be saved: the folder is full. Make room.", "the folder is full", 28)

    saves = table.store.save
    monkeypatch.setattr(table.store, "save", full)
    from_page(table, wave(12), 2)
    glass.go_on(1)
    assert ("failed", "the folder is full") == (table.saved["state"], table.saved["why"])
    assert 12 == table.action.count

    monkeypatch.setattr(table.store, "save", saves)
    glass.go_on(10)
    assert ("saved", "", 2) == (table.saved["state"], table.saved["why"], table.saved["revision"])
    assert 12 == action_file.read(table.store.path).count


def test_a_change_after_a_failed_save_does_not_wait_for_the_second_try(table, glass, monkeypatch):
    tries = []

    def full(data):
        tries.append(glass.now)
        raise StoreError("full", "the folder is full", 28)

    monkeypatch.setattr(table.store, "save", full)
    from_page(table, wave(12), 2)
    glass.go_on(1)
    from_page(table, wave(14), 3)
    glass.go_on(1)
    assert [0.4, 1.4] == pytest.approx(tries)


def test_a_file_changed_elsewhere_is_not_overwritten(table, glass):
    other = action_file.dumps(wave(20))
    table.store.path.write_bytes(other)
    from_page(table, wave(12), 2)
    glass.go_on(1)

    assert "elsewhere" == table.saved["state"]
    assert table.saved["file"] in table.saved["says"]
    assert other == table.store.asked.read_bytes()
    assert 12 == action_file.read(table.store.path).count

    table._handle_custom_msg({"ask": "take the file's"}, [])
    assert 20 == table.action.count
    assert ("as in the file", "wave.json") == (table.saved["state"], table.saved["file"])
    assert table.pose["revision"] == table.verdict["revision"] == table.saved["revision"]


def test_taking_the_files_drops_what_was_not_saved(table, glass):
    from_page(table, wave(12), 2)
    table._handle_custom_msg({"ask": "take the file's"}, [])
    glass.go_on(10)
    assert 16 == table.action.count == action_file.read(table.store.path).count


def test_taking_a_file_that_cannot_be_read_leaves_the_drawings(table):
    table.store.path.write_text("{")
    table._handle_custom_msg({"ask": "take the file's"}, [])
    assert "failed" == table.saved["state"]
    assert "breaks off" in table.saved["says"]
    assert 16 == table.action.count


def test_a_table_without_a_file_saves_nothing(glass):
    table = LightTable(wave(), timer=glass.timer)
    from_page(table, wave(12), 2)
    assert [] == glass.timers
    assert ("as in the file", 2) == (table.saved["state"], table.saved["revision"])
    table._handle_custom_msg({"ask": "take the file's"}, [])
    assert 12 == table.action.count


def test_what_waits_is_saved_when_the_kernel_ends(table):
    from_page(table, wave(12), 2)
    table_module.save_all()
    assert 12 == action_file.read(table.store.path).count


def test_a_timer_of_its_own_saves_without_anybody_waiting():
    saved = threading.Event()
    autosave = Autosave(saved.set, delay=0.01)
    autosave.changed()
    assert saved.wait(20)
    assert not autosave.pending


# ---- opening ------------------------------------------------------------------------------------


@pytest.fixture
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    yield tmp_path
    for table in list(table_module.alive):
        if table.store is not None and tmp_path in table.store.asked.parents:
            table.close()


def test_a_start_is_copied_where_there_is_no_file(folder):
    table = open_table("wave.json", start=wave(12))
    assert action_file.dumps(wave(12)) == (folder / "wave.json").read_bytes()
    assert ("as in the file", "wave.json") == (table.saved["state"], table.saved["file"])


def test_a_start_never_overwrites(folder):
    (folder / "wave.json").write_bytes(action_file.dumps(wave(20)))
    assert 20 == open_table("wave.json", start=wave(12)).action.count
    assert 20 == action_file.read(folder / "wave.json").count


def test_no_file_and_no_start_says_what_to_do(folder):
    with pytest.raises(ActionError, match="wave.json: there is no such file; check the name, or give the drawings"):
        open_table("wave.json")


def test_a_file_that_is_no_action_is_not_replaced_by_the_start(folder):
    (folder / "wave.json").write_text("{}")
    with pytest.raises(ActionError, match="wave.json.*missing key"):
        open_table("wave.json", start=wave())
    assert "{}" == (folder / "wave.json").read_text()


def test_the_same_file_asked_for_twice_is_one_table(folder):
    first = open_table("wave.json", start=wave())
    assert first is open_table(folder / "wave.json")


def test_asked_for_again_it_shows_what_the_file_has_become(folder):
    first = open_table("wave.json", start=wave())
    (folder / "wave.json").write_bytes(action_file.dumps(longer(wave())))
    assert first is open_table("wave.json")
    assert "length" == first.verdict["findings"][0]["rule"]


def test_a_file_that_was_taken_away_is_begun_again_and_the_drawings_are_kept_as_a_version(folder):
    table = open_table("wave.json", start=wave())
    table.action = longer(wave())
    table.save()
    (folder / "wave.json").unlink()
    assert table is open_table("wave.json", start=wave())
    assert action_file.dumps(wave()) == (folder / "wave.json").read_bytes() == action_file.dumps(table.action)
    assert "as in the file" == table.saved["state"] and not table.verdict["findings"]
    (newest, *_) = table.store.versions()
    assert action_file.dumps(longer(wave())) == table.store.read_version(newest)


def test_a_closed_table_is_not_handed_out_again(folder):
    first = open_table("wave.json", start=wave())
    first.close()
    assert first is not open_table("wave.json")


def test_where_nothing_can_be_saved_the_drawings_are_on_the_table_all_the_same(folder, monkeypatch):
    def protected(self, data):
        raise StoreError("wave.json could not be saved: the folder is read-only.", "the folder is read-only", 30)

    monkeypatch.setattr(Store, "save", protected)
    table = open_table("wave.json", start=wave())
    assert 16 == table.action.count
    assert ("failed", "the folder is read-only") == (table.saved["state"], table.saved["why"])


def test_the_page_asks_for_a_correction_and_nothing_is_changed_unasked(folder):
    table = LightTable(DEMOS["elbow-locks"]())
    before = table.pose
    table._asked(table, {"ask": "mend", "finding": 0}, [])
    assert table.pose == before and table.mended["passes"]
    assert table.mended["revision"] == before["revision"] and [13] == [step["drawing"] for step in table.mended["steps"]]


def test_a_file_with_another_name_stays_and_a_fresh_stack_opens_on_the_first_drawing_to_be_drawn(folder):
    """What the homework says to draw it once more: give the file another name, run the cell again."""
    given = wave(16)
    limb = given.limbs[0]
    start = given.redrawn(pose(limb.drawings[:, 0], limb.lengths, np.tile([72.0, 112.0, 112.0], (16, 1))).round(3))
    table = open_table(folder / "mine.json", start=start)
    assert 2 == table.number
    mine = wave(16)
    table.action = mine
    table.number = 9
    table.save()
    (folder / "mine.json").rename(folder / "first try.json")
    assert open_table(folder / "mine.json", start=start) is table
    assert 2 == table.number and table.action.drawn_as(start)
    assert action_file.read(folder / "first try.json").drawn_as(mine)
    assert action_file.read(folder / "mine.json").drawn_as(start)


def test_the_guide_answers_for_the_drawing_under_work_and_the_newest_pose(folder):
    table = LightTable(wave(12))
    assert {} == table.guide
    table.settings = {**table.settings, "guide": {"limb": "arm", "joint": "wrist"}}
    assert (1, 1, "wrist") == tuple(table.guide[key] for key in ("drawing", "revision", "joint"))
    table.number = 5
    assert 5 == table.guide["drawing"]
    table.action = wave(12, swing=30.0)
    assert table.pose["revision"] == table.guide["revision"] == 2
    table.brief = Brief(guide="nothing")
    assert "centre" not in table.guide and table.guide["says"]
    table.brief, table.withheld = None, "look first"
    assert {} == table.guide


def test_a_plan_lies_under_the_drawings_wherever_the_file_is_opened():
    action = wave(12)
    path = path_of_action(action.limbs[0].drawings[:, 2], True)
    table = LightTable(planned(action, "arm", Plan("wrist", path.point(np.linspace(0, path.length, 40)[:-1]), charted(path, 12))))
    (plan,) = table.under["plans"]
    assert "wrist" == plan["joint"] and 12 == len(plan["dots"])
    table.lay_under(wave(12))
    assert {"drawings", "plans"} == set(table.under)
    table.lay_under(None)
    assert {"plans"} == set(table.under)
    assert "wrist" == table.head["limbs"][0]["plans"][0]["joint"]     # what the page keeps a copy of


def test_widgets_that_stand_beside_are_told_to_the_page_by_their_models():
    table, sliders = LightTable(wave(12)), Sliders.of([("a", "a", 0, 1, 0.1, "")], {"a": 0.5}, "of it")
    table.lay_beside(sliders=sliders)
    assert {"sliders": sliders.model_id} == table.beside
    with pytest.raises(ActionError, match="there is no place for moon beside a table; there is sliders, map, plan"):
        table.lay_beside(moon=sliders)


def test_a_moving_picture_asked_for_is_made_beside_the_file(tmp_path):
    table = open_table(tmp_path / "wave.json", start=wave(12))
    told = threading.Event()
    table.observe(lambda change: change["new"] and told.set(), "film")
    table._handle_custom_msg({"ask": "film"}, [])
    assert told.wait(60)
    assert f"The moving picture is wave.gif, in the folder {tmp_path.name}." == table.film["says"]
    assert (tmp_path / "wave.gif").read_bytes().startswith(b"GIF89a")
    table.close()


def test_a_moving_picture_shows_drawings_from_paper_unless_it_is_asked_for_without(tmp_path):
    table = open_table(tmp_path / "wave.json", start=wave(12))
    grey, asked, told = Image.new("L", (64, 64), 90), [], threading.Event()
    table.lay_pencil({1: {"url": "data:,", "box": [0, 0, 297, 210]}}, lambda action: asked.append(action) or [grey] * action.count)
    table.observe(lambda change: change["new"] and told.set(), "film")
    for paper, size in ((True, (64, 64)), (False, (1920, 1080))):
        told.clear()
        table._handle_custom_msg({"ask": "film", "paper": paper}, [])
        assert told.wait(60)
        with Image.open(tmp_path / "wave.gif") as moving:
            assert size == moving.size
    assert 1 == len(asked)
    table.close()
