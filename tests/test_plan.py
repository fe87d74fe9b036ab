"""Plans: a stroke of the hand becomes an arc, a chart gives dots, drawings are held against both.

References: perimeters by the complete elliptic integral (scipy.special.ellipe), and things that can be done in the
head. How far a hand trembles at the pen, a millimetre or less, in waves of some mm: from memory.
"""

import threading
import time

import numpy as np
import pytest
from scipy.special import ellipe

from anim_lessons import Action, ActionError, Brief, Limb
from anim_lessons.assist import lecture, plan
from anim_lessons.course import notebook
from anim_lessons.ferry.actions import loose_wave, wave
from anim_lessons.ferry.looping_arm import looping_arm
from anim_lessons.geometry.paths import path_of_action
from anim_lessons.model import action_file
from anim_lessons.model.action import Plan

CIRCLE = np.radians(np.arange(0, 360, 1.0))


def ellipse(a, b, start=0.0, end=360.0):
    turn = np.radians(np.arange(start, end, 0.5))
    return np.column_stack([150 + a * np.cos(turn), 100 + b * np.sin(turn)])


def trembling(points, by, seed=1):
    """The same line with waves 4 to 12 mm long on it, `by` mm on the whole."""
    random = np.random.default_rng(seed)
    along = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    tremble = sum(np.exp(1j * (2 * np.pi * along / long + phase))
                  for long, phase in zip(random.uniform(4, 12, 10), random.uniform(0, 7, 10)))
    tremble *= by / np.sqrt((np.abs(tremble) ** 2).mean())
    return points + np.column_stack([tremble.real, tremble.imag])


def farthest(path, points):
    return float(np.abs(path.across(points)).max())


@pytest.mark.parametrize("a, b", [(50.0, 50.0), (60.0, 30.0), (80.0, 20.0)])
def test_a_trembling_ellipse_is_the_ellipse(a, b):
    arc = plan.smoothed(trembling(ellipse(a, b), 0.7))

    assert "round" == arc.kind
    assert 4 * a * ellipe(1 - (b / a) ** 2) == pytest.approx(arc.path.length, rel=0.02)
    assert farthest(arc.path, ellipse(a, b)) < 2.0       # a pencil's width
    assert 0.3 < arc.moved < 1.2 and arc.moved < arc.most < 4.0


@pytest.mark.parametrize("a, b", [(50.0, 50.0), (60.0, 30.0)])
def test_a_steady_line_stays_where_it_was_drawn(a, b):
    arc = plan.smoothed(ellipse(a, b))
    assert arc.most < 0.3
    assert farthest(arc.path, ellipse(a, b)) < 0.3


def test_tremble_is_taken_out_of_the_bending_too():
    """A circle bends the same all the way round: 1 over its radius."""
    stroke = trembling(ellipse(50, 50), 0.7)
    at = np.linspace(0, 300, 100)
    rough, arc = path_of_action(stroke[::2]), plan.smoothed(stroke).path

    assert np.abs(rough.curvature(at) * 50).max() > 3
    assert [1.0] * 100 == pytest.approx(arc.curvature(at) * 50, abs=0.45)


@pytest.mark.parametrize("joint", [1, 2, 3])
@pytest.mark.parametrize("make", [wave, loose_wave])
def test_a_path_that_turns_on_the_spot_keeps_its_extremes(make, joint):
    """Paths of an arm turn at their extremes within a few mm: there is where the extremes are drawn."""
    path = path_of_action(make(drawings=32).limbs[0].drawings[:, joint])
    true = path.point(np.linspace(0, path.length, 700, endpoint=False))
    arc = plan.smoothed(trembling(true, 0.7))

    off = np.abs(arc.path.across(true))
    assert np.sqrt((off ** 2).mean()) < 0.8
    assert off.max() < 5.0


@pytest.mark.parametrize("end", [345.0, 360.0, 385.0])
def test_a_stroke_may_stop_short_of_its_beginning_or_run_past_it(end):
    arc = plan.smoothed(trembling(ellipse(60, 40, 0, end), 0.5))
    assert "round" == arc.kind
    assert 4 * 60 * ellipe(1 - (40 / 60) ** 2) == pytest.approx(arc.path.length, rel=0.03)
    assert farthest(arc.path, ellipse(60, 40)) < 2.0


def test_the_path_begins_where_the_hand_began():
    """Drawing 1 stands there."""
    for start in (0, 77, 200):
        stroke = ellipse(60, 10, start, start + 360)
        assert np.hypot(*(plan.smoothed(stroke).places[0] - stroke[0])) < 1.5


def test_an_arc_whose_ends_are_apart_is_gone_to_and_fro():
    """A lantern of 90 mm swings through 80 degrees: 90 * 80 / 57.3 = 125.7 mm."""
    turn = np.radians(np.linspace(-130, -50, 90))
    swing = np.column_stack([150 + 90 * np.cos(turn), 160 + 90 * np.sin(turn)])
    arc = plan.smoothed(swing)

    assert "to and fro" == arc.kind
    assert 2 * 90 * np.radians(80) == pytest.approx(arc.path.length, rel=1e-3)
    assert farthest(arc.path, swing) < 0.05
    chart = plan.charted(arc.path, 16)
    assert 0.5 == pytest.approx(chart[8])                # the other extreme, half way through the stack
    places = arc.path.point(chart * arc.path.length)
    assert places[1:8] == pytest.approx(places[:8:-1], abs=0.01)
    assert "126 mm, to and fro" in arc.says


def test_an_action_that_does_not_loop_keeps_both_ends():
    line = trembling(np.column_stack([np.linspace(20, 220, 400), np.full(400, 50.0)]), 0.5)
    arc = plan.smoothed(line, loop=False)

    assert "from end to end" == arc.kind
    assert [line[0], line[-1]] == pytest.approx(arc.places[[0, -1]], abs=0.01)
    assert 200 == pytest.approx(arc.path.length, rel=0.01)


def test_a_pen_that_rests_changes_nothing():
    stroke = ellipse(60, 30)
    rested = np.insert(stroke, np.repeat(100, 300), stroke[100], axis=0)
    assert plan.smoothed(stroke).places == pytest.approx(plan.smoothed(rested).places, abs=0.02)


@pytest.mark.parametrize("stroke, says", [
    ([], "the line is 0.0 mm long; draw a path of 10 mm or more"),
    ([[5, 5]], "the line is 0.0 mm long"),
    ([[5, 5], [9, 8]], "the line is 5.0 mm long"),
    ([[5, 5, 5], [9, 8, 5]], "a stroke is a list of places"),
    ([[5, 5], [90, float("nan")]], "not on the paper"),
    (np.zeros((20_001, 2)), "at most 20000"),
])
def test_what_is_no_stroke_is_refused(stroke, says):
    with pytest.raises(ActionError) as refusal:
        plan.smoothed(stroke)
    assert says in str(refusal.value)


def test_a_path_set_place_by_place_goes_through_them():
    places = ellipse(60, 40)[::120]
    arc = plan.smoothed(plan.through(places))
    assert farthest(arc.path, places) < 1.5
    with pytest.raises(ActionError, match="needs at least 3; set one more"):
        plan.through(places[:2])


# ---- chart and dots -----------------------------------------------------------------------


def test_by_the_chart_gaps_close_up_at_both_extremes():
    """Half a cosine from extreme to extreme: of 8 steps a way the first goes 1 - cos 22.5 = 0.076 and the middle one
    cos 67.5 - cos 90 = 0.383 of half of it, 5.03 times as far; and both ways are alike on a circle."""
    path = plan.smoothed(ellipse(50, 50)).path
    chart = plan.charted(path, 16)
    gaps = np.diff(np.append(chart, 1.0))

    assert (0.0, 0.5) == pytest.approx((chart[0], chart[8]), abs=0.01)
    assert 5.03 == pytest.approx(gaps.max() / gaps.min(), rel=0.05)
    assert gaps[:8] == pytest.approx(gaps[8:], abs=0.005)


def test_an_even_chart_has_even_gaps():
    path = plan.smoothed(ellipse(50, 50)).path
    assert [1 / 12] * 12 == pytest.approx(np.diff(np.append(plan.charted(path, 12, "even"), 1.0)), abs=0.005)


def test_the_other_extreme_is_the_place_farthest_from_the_first():
    path = plan.smoothed(ellipse(60, 20)).path
    turn = path.point(plan.charted(path, 12)[6] * path.length)
    assert [90, 100] == pytest.approx(turn, abs=2)


def test_from_end_to_end_the_first_and_the_last_drawing_are_the_extremes():
    path = plan.smoothed(np.column_stack([np.linspace(0, 100, 50), np.zeros(50)]), loop=False).path
    assert [0, 0.146, 0.5, 0.854, 1] == pytest.approx(plan.charted(path, 5), abs=1e-3)
    with pytest.raises(ActionError, match='no chart "hop"; there is slow out and slow in'):
        plan.charted(path, 5, "hop")


def test_dots_lie_on_the_path_by_the_chart():
    line = Plan("tip", [[0, 0], [50, 0], [100, 0]], (0, 0.1, 1.0))
    assert [[0, 0], [10, 0], [100, 0]] == pytest.approx(plan.dots(line, loop=False), abs=1e-6)


def test_a_plan_takes_the_place_of_the_one_before_and_can_be_taken_away():
    action = wave(drawings=12)
    first, second = (Plan("wrist", [[0, 0], [size, 0], [size, size]], np.arange(12) / 12) for size in (10, 20))
    both = plan.planned(plan.planned(action, "arm", first), "arm", second)

    assert 20 == both.limbs[0].planned("wrist").path.max()
    assert [("arm", "wrist", 12)] == [(it["limb"], it["joint"], len(it["dots"])) for it in plan.under(both)["plans"]]
    assert {} == plan.under(plan.unplanned(both, "arm", "wrist"))
    assert action_file.dumps(action) == action_file.dumps(plan.unplanned(both, "arm", "wrist"))


# ---- drawings against the plan --------------------------------------------------------------

RADIUS, COUNT = 60.0, 12
GAP = 2 * np.pi * RADIUS / COUNT   # 31.4 mm
ROUND = np.column_stack([150 + RADIUS * np.cos(CIRCLE[::30]), 100 + RADIUS * np.sin(CIRCLE[::30])])


def on_a_circle(places=ROUND, joint="buoy", loop=True):
    path = np.column_stack([150 + RADIUS * np.cos(CIRCLE[::6]), 100 + RADIUS * np.sin(CIRCLE[::6])])
    made = Plan(joint, path, np.arange(COUNT) / COUNT)
    return Action((Limb("buoy", (joint,), (), (), places[:, None], (made,)),), loop=loop)


def moved(drawing, out=0.0, on=0.0):
    """One drawing taken outward, and on along the circle, mm."""
    places = ROUND.copy()
    turn = CIRCLE[30 * (drawing - 1)] + on / RADIUS
    places[drawing - 1] = 150 + (RADIUS + out) * np.cos(turn), 100 + (RADIUS + out) * np.sin(turn)
    return places


def test_drawings_on_their_dots_keep_the_plan():
    told = plan.against(on_a_circle())
    assert told.kept and () == told.off
    assert "Every drawing keeps to the plan of the buoy." == told.says


def test_nothing_planned_is_not_a_plan_kept():
    told = plan.against(wave())
    assert not told.kept and () == told.off and "Nothing is planned yet" in told.says


@pytest.mark.parametrize("out, side, way", [(14.0, "outside", "in"), (-14.0, "inside", "out")])
def test_the_drawing_beside_its_path_is_the_one_found(out, side, way):
    (off,) = plan.against(on_a_circle(moved(7, out))).off

    assert ("buoy", "buoy", 7) == (off.limb, off.joint, off.drawing)
    assert (14.0, 0.0) == pytest.approx((off.across, off.ahead), abs=0.5)
    assert off.says == f"The buoy at 7 is 14 mm {side} its planned path; 11 mm would pass. Bring it {way}, onto the line."


@pytest.mark.parametrize("on, where, way", [(15.0, "past", "back"), (-15.0, "short of", "on")])
def test_the_drawing_off_its_dot_is_the_one_found(on, where, way):
    (off,) = plan.against(on_a_circle(moved(4, on=on))).off

    assert (4, 0.0, on) == pytest.approx((off.drawing, off.across, off.ahead), abs=0.1)
    assert off.says == f"The buoy at 4 is on its planned path but 15 mm {where} its dot; 13 mm would pass. Move it {way} along the line."


def test_a_dot_that_a_part_does_not_reach_is_the_plans_fault():
    """A part of 50 mm turns about the middle of a circle of 60 mm: it points at each dot and is 10 mm short of all."""
    centre = np.array([150.0, 100.0])
    drawings = np.stack([np.tile(centre, (COUNT, 1)), centre + 50.0 / 60.0 * (ROUND - centre)], axis=1)
    made = Plan("wrist", np.column_stack([150 + RADIUS * np.cos(CIRCLE[::6]), 100 + RADIUS * np.sin(CIRCLE[::6])]), np.arange(COUNT) / COUNT)
    limb = Limb("arm", ("elbow", "wrist"), (50.0,), ((-180, 180),), drawings, (made,))
    told = plan.against(Action((limb,)), Brief(tolerances={"arc": 0.2}))

    assert not told.kept and COUNT == len(told.off)
    assert ("The wrist at 1 points at its dot, but the dot lies 60 mm from the elbow and the part is 50 mm: nothing reaches it. "
            "Draw the path again, about 50 mm from the elbow.") == told.off[0].says


def test_joints_called_by_a_plural_are_spoken_of_so():
    (off,) = plan.against(on_a_circle(moved(7, 14.0), joint="fingertips")).off
    assert off.says == "The fingertips at 7 are 14 mm outside their planned path; 11 mm would pass. Bring them in, onto the line."


@pytest.mark.parametrize("part, kept", [(0.34, True), (0.36, False)])
def test_the_limit_across_is_the_arcs_share_of_the_planned_spacing(part, kept):
    assert kept == plan.against(on_a_circle(moved(7, part * GAP))).kept


@pytest.mark.parametrize("part, kept", [(0.39, True), (0.41, False)])
def test_the_limit_along_is_the_spacings_share_of_it(part, kept):
    assert kept == plan.against(on_a_circle(moved(7, on=part * GAP))).kept


def test_a_brief_may_be_stricter_but_never_finer_than_a_pencil():
    strict = Brief(tolerances={"arc": 0.0, "spacing": 0.0})
    assert plan.against(on_a_circle(moved(7, 1.9)), strict).kept
    assert not plan.against(on_a_circle(moved(7, 2.1)), strict).kept


def test_a_path_that_comes_by_again_is_not_taken_for_the_stretch_that_is_meant():
    """A thin loop: half way the way back lies 16 mm beside the way out."""
    thin = plan.smoothed(ellipse(60, 8))
    chart = plan.charted(thin.path, 16)
    places = thin.path.point(chart * thin.path.length)
    places[4] = places[12]                               # on the path, and on the wrong way
    limb = Limb("buoy", ("buoy",), (), (), places[:, None], (Plan("buoy", thin.places, chart),))
    off = plan.against(Action((limb,))).off
    assert [5] == [it.drawing for it in off]


def test_the_lantern_beside_its_arc_has_no_inside():
    turn = np.radians(np.linspace(-130, -50, 90))
    arc = plan.smoothed(np.column_stack([150 + 90 * np.cos(turn), 160 + 90 * np.sin(turn)]))
    chart = plan.charted(arc.path, 16)
    places = arc.path.point(chart * arc.path.length)
    places[4] += [0, 12]
    limb = Limb("lantern", ("lantern",), (), (), places[:, None], (Plan("lantern", arc.places, chart),))
    assert "The lantern at 5 is 12 mm beside its planned path" in plan.against(Action((limb,))).says


# ---- the check cell and the sheet, without a page ----------------------------------------------


def as_planned(action, joint="wrist"):
    limb = action.limbs[0]
    drawn = limb.drawings[:, limb.joints.index(joint)]
    path = path_of_action(drawn)
    return plan.planned(action, limb.name, Plan(joint, drawn, path.places / path.length))


def test_the_check_cell_prints_a_line_a_plan_and_raises_where_one_is_left(tmp_path, capsys):
    file = tmp_path / "wave.json"
    file.write_bytes(action_file.dumps(as_planned(wave())))
    notebook.plan_verdict(file)
    assert "PASS  plan of the wrist — every drawing on its path and by its chart\n" == capsys.readouterr().out

    points = wave().limbs[0].drawings.copy()
    points[6, 2:] += [0.0, 25.0]
    file.write_bytes(action_file.dumps(as_planned(wave()).redrawn(points)))
    with pytest.raises(notebook.RulesBroken, match="not yet as planned"):
        notebook.plan_verdict(file)
    (line,) = capsys.readouterr().out.splitlines()
    assert line.startswith("FAIL  plan of the wrist — The wrist at 7 is ")


@pytest.mark.parametrize("data, says", [(None, "NOT READ"), (b"[]", "NOT READ"), (action_file.dumps(wave()), "NOT PLANNED")])
def test_a_file_without_a_plan_is_neither_pass_nor_fail(tmp_path, capsys, data, says):
    file = tmp_path / "wave.json"
    if data is not None:
        file.write_bytes(data)
    with pytest.raises(notebook.RulesBroken):
        notebook.plan_verdict(file)
    assert capsys.readouterr().out.startswith(says)


@pytest.fixture
def sheet(tmp_path):
    panel = notebook.plan_sheet(tmp_path / "wave.json", start="wave", joint="wrist")
    yield panel.sheet
    panel.sheet.close()
    panel.table.close()


def test_what_is_planned_on_the_sheet_is_saved_with_the_drawings(sheet, tmp_path):
    sheet.draw(trembling(ellipse(60, 30), 0.5).tolist())
    sheet.table.save()
    (made,) = action_file.read(tmp_path / "wave.json").limbs[0].plans
    assert ("wrist", 16) == (made.joint, len(made.chart))
    assert 16 == len(sheet.table.under["plans"][0]["dots"])


def test_a_plan_stays_while_drawings_change_on_the_table(sheet):
    sheet.draw(ellipse(60, 30).tolist())
    pose = sheet.table.pose
    drawings = [[[[x + 1, y] for x, y in points] for points in limb] for limb in pose["drawings"]]
    sheet.table.set_state({"pose": {**pose, "revision": pose["revision"] + 1, "drawings": drawings}})
    assert drawings[0][0][0][0] == sheet.table.action.limbs[0].drawings[0, 0, 0]
    assert 1 == len(sheet.table.action.limbs[0].plans)


def test_a_plan_taken_away_while_drawings_are_held_against_it_is_gone(sheet, monkeypatch):
    sheet.draw(ellipse(60, 30).tolist())
    told, begun = sheet._told, threading.Event()

    def slowly(action):
        begun.set()
        time.sleep(0.2)
        return told(action)
    monkeypatch.setattr(sheet, "_told", slowly)
    thread = threading.Thread(target=sheet._held_against)
    thread.start()
    begun.wait()
    sheet.take_away()
    thread.join()
    assert ((), {}, False) == (sheet.table.action.limbs[0].plans, sheet.table.under, "line" in sheet.plan)


def test_what_is_not_drawn_yet_has_not_left_the_plan(tmp_path):
    given = looping_arm()
    panel = notebook.plan_sheet(tmp_path / "wave.json", start=given, joint="elbow")
    table, sheet = panel.table, panel.sheet
    assert ("Nothing of the elbow is drawn yet.", []) == (sheet.told["says"], sheet.told["off"])

    table.action = lecture.as_of(table.action, given.lecture, 4)
    sheet._show()
    assert ("so far" in sheet.told["says"], []) == (True, sheet.told["off"])
    points = table.action.limbs[0].drawings.copy()
    points[3, 1:] += [0.0, 15.0]
    table.action = table.action.redrawn(points)
    sheet._show()
    assert [4] == [off["drawing"] for off in sheet.told["off"]]
    assert sheet.told["says"].startswith("1 of 12 drawings left the plan; ")
    table.action = lecture.whole(given)
    sheet._show()
    assert ("The elbow keeps to its plan in every drawing.", True) == (sheet.told["says"], sheet.told["kept"])
    table.close()


def test_plans_are_taken_back_and_made_again_step_by_step(sheet):
    charts = []
    sheet.draw(ellipse(60, 30).tolist())
    for how in ("even", "slow in"):
        sheet.ease(how)
        charts.append(sheet.table.action.limbs[0].plans[0].chart.tolist())
    sheet.undo()
    assert charts[0] == sheet.table.action.limbs[0].plans[0].chart.tolist()
    sheet.redo()
    assert charts[1] == sheet.table.action.limbs[0].plans[0].chart.tolist()
    for _ in range(5):
        sheet.undo()
    assert () == sheet.table.action.limbs[0].plans


@pytest.mark.parametrize("content", [
    {"ask": "stroke", "what": [[1, "x"]]}, {"ask": "stroke", "what": None}, {"ask": "stroke", "what": [[1, 2]] * 20_001},
    {"ask": "places", "what": [[1, 2]]}, {"ask": "chart", "what": [0.5]}, {"ask": "chart", "what": [True] * 16},
    {"ask": "how", "what": "hop"}, {"ask": "how", "what": []}, {"ask": "mood"}, 7, None,
])
def test_what_no_hand_draws_is_refused_and_nothing_changes(sheet, content):
    before = sheet.table.action
    sheet._sent(None, content, None)
    assert before is sheet.table.action


def test_a_joint_that_is_not_there_is_not_planned(tmp_path):
    with pytest.raises(ActionError, match='there is no joint "knee" to plan; there is shoulder, elbow'):
        notebook.plan_sheet(tmp_path / "wave.json", start="wave", joint="knee")
