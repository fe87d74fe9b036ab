"""The map of what hangs: sliders, map and drawings say the same, and the newest change wins."""
import threading

import numpy as np
import pytest

from anim_lessons.course import hanging_panels
from anim_lessons.ferry.hanging import SCENES, scene_lags, scene_loop


@pytest.fixture
def panel():
    panel = hanging_panels.hanging_map("pennant", side=4)
    yield panel
    panel.maps.finish()


def alone(panel):
    return scene_loop(SCENES["pennant"], **panel.sliders.numbers).action.limbs[0].drawings


def test_a_slider_moves_the_mark_and_the_drawings_and_leaves_the_map(panel):
    before, lags = panel.table.action, panel.map.lags
    panel.sliders.values = {**panel.sliders.values, "swings": 2.7, "settles": 0.35}
    assert (2.7, 0.35) == (panel.map.own["swings"], panel.map.own["settles"])
    assert before is not panel.table.action
    assert np.abs(panel.table.action.limbs[0].drawings - alone(panel)).max() < 0.05
    assert not panel.map.old and lags is panel.map.lags


def test_a_place_chosen_on_the_map_moves_the_sliders_and_the_drawings(panel):
    before = panel.table.action
    panel.map.chosen = [3.32, 0.41]     # between the cells, and between the places of the sliders
    assert (3.3, 0.4) == (panel.sliders.values["swings"], panel.sliders.values["settles"])
    assert (3.3, 0.4) == (panel.map.own["swings"], panel.map.own["settles"])
    assert before is not panel.table.action
    panel.map.chosen = [99, -4]
    assert (4.0, 0.1) == (panel.map.own["swings"], panel.map.own["settles"])    # beyond the edge is the edge


@pytest.mark.parametrize("sent", [[], [1.0], [1.0, "x"], [True, 1.0], [float("nan"), 0.5]])
def test_what_is_no_place_leaves_the_learner_where_he_stands(panel, sent):
    own = panel.map.own
    panel.map.chosen = sent
    assert own == panel.map.own


def test_another_slider_makes_another_map(panel):
    panel.sliders.values = {**panel.sliders.values, "air": 6.0, "parts": 4, "dial": 0.5}
    panel.maps.finish()
    lags, found = scene_lags(SCENES["pennant"], panel.map.swings, panel.map.settles, parts=4, air=6.0, dial=0.5)
    assert not panel.map.old
    assert found.tolist() == panel.map.found
    assert np.allclose(lags, np.array(panel.map.lags, float), atol=0.03, equal_nan=True)


@pytest.mark.parametrize("row, column", [(0, 0), (0, -1), (-1, 0), (-1, -1)])
def test_the_map_says_of_the_learners_own_place_what_its_cell_says(panel, row, column):
    panel.map.chosen = [panel.map.swings[row], panel.map.settles[column]]      # at its corners sliders can stand exactly
    assert panel.map.own["lag"] == pytest.approx(panel.map.lags[row][column], abs=0.02)


def test_where_nothing_links_up_the_mark_goes_on_and_the_drawings_stay(panel, monkeypatch):
    before = panel.table.action
    monkeypatch.setattr("anim_lessons.physics.chain.weighted.weighted_loop", lambda *_, **__: type("Lost", (), {"found": False, "says": "It whirls."}))
    stood = [panel.map.own["swings"], panel.map.own["settles"]]
    panel.map.chosen = [0.5, 0.1]
    assert before is panel.table.action
    assert {"swings": 0.5, "settles": 0.1, "lag": None, "found": False, "drawn": stood, "revision": 0} == panel.map.own
    assert "The drawings are from before." in panel.line.value and "It whirls." in panel.line.value


def test_what_the_lesson_says_of_the_map():
    """Lesson 03: it opens on drawings with nothing to mend; darkest at 1.4 swings a second, where the staff makes 0.75;
    white far above, and far below, where a part turns before the one that carries it; more air, and the dark goes up."""
    panel = hanging_panels.hanging_map("pennant")
    assert panel.table.verdict["passed"]
    lags, swings = np.array(panel.map.lags, float), panel.map.swings
    row, _ = np.unravel_index(lags.argmax(), lags.shape)
    assert 1.4 == round(swings[row], 1)
    assert lags[0].max() < 0 and lags[-1].min() < 0.4 < lags[row].min()
    panel.sliders.values = {**panel.sliders.values, "air": 8.0}
    panel.maps.finish()
    lags = np.array(panel.map.lags, float)
    assert np.unravel_index(lags.argmax(), lags.shape)[0] > row


def test_only_what_was_asked_last_is_done():
    begun, go_on, done = threading.Event(), threading.Event(), []

    def work(asked, wanted):
        begun.set()
        go_on.wait()
        return asked if wanted() else None

    latest = hanging_panels.Latest(work, done.append)
    latest.ask(1)
    begun.wait()
    for asked in (2, 3, 4):
        latest.ask(asked)
    go_on.set()
    latest.finish()
    assert [4] == done
    latest.ask(5)       # it has not gone to sleep for good
    latest.finish()
    assert [4, 5] == done


def test_sliders_moved_from_outside_stand_where_they_can():
    panel = hanging_panels.hanging_map("pennant", side=3)
    panel.sliders.move(swings=1.23456, settles=7, heavy=22)
    assert (1.2, 1.0, 20) == tuple(panel.sliders.values[name] for name in ("swings", "settles", "heavy"))
    panel.maps.finish()
