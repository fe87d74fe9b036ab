"""What somebody needs who only reads the screen: where to look, what is told and when, and that nothing leads astray.

The page's own part is driven in `tests/view/harness.html`; `model` there stands for Python.
"""
import json

import pytest

LOW = {"width": 1366, "height": 625}     # a usual laptop, its browser's and JupyterLab's bars taken off
BESIDE_A_LIST = 934     # px that JupyterLab leaves a cell there beside its list of files (seen)


def told(desk, **more):
    """As if Python had answered the guide with this besides."""
    desk.guide()
    desk.page.evaluate("more => model.set('guide', { ...model.get('guide'), ...more })", more)
    return desk


def voice(desk):
    return [line.inner_text() for line in desk.table.locator(".voice-words p, .voice .next, .voice .says").all() if line.is_visible()]


def narrow_cell(desk):
    desk.page.evaluate("px => Object.assign(document.querySelector('main').style, { width: `${px}px`, margin: 0 })", BESIDE_A_LIST)
    desk.page.wait_for_function("px => document.querySelector('.anim-light-table').clientWidth === px", arg=BESIDE_A_LIST)
    return desk


def test_in_a_low_window_beside_a_list_of_files_everything_is_in_sight(harness):
    desk = narrow_cell(harness("state=pass&number=6&guide=elbow", **LOW)).guide()
    high = desk.table.locator(".table").bounding_box()["height"]
    assert high < 504   # px that are left of the window under the notebook's own bars (seen)
    sheet, words = (desk.table.locator(part).first.bounding_box() for part in (".paper", ".voice"))
    assert words["x"] > sheet["x"] + sheet["width"] and sheet["width"] > 480
    for part in (".voice .primary", ".more-b", ".undo", ".chart"):
        box, table = desk.table.locator(part).first.bounding_box(), desk.table.bounding_box()
        assert box["x"] + box["width"] <= table["x"] + table["width"] + 1 and box["y"] + box["height"] <= table["y"] + table["height"] + 1


def test_in_a_high_window_the_words_stand_under_a_larger_sheet(harness):
    desk = narrow_cell(harness("state=pass&number=6", width=1366, height=900)) 
    sheet, words = (desk.table.locator(part).first.bounding_box() for part in (".paper", ".voice"))
    assert words["y"] > sheet["y"] + sheet["height"]


def test_what_the_arrow_of_the_circle_is_stands_in_the_legend_and_the_open_part_has_its_name(harness):
    desk = harness("state=pass&number=6")
    assert "way" not in desk.table.locator(".legend").inner_text()
    desk.press("where may it go")
    desk.guide()
    assert "shoulder’s way" in desk.table.locator(".legend").inner_text()
    reasons = desk.table.locator(".reasons text").all_inner_texts() or [mark.text_content() for mark in desk.table.locator(".reasons text").all()]
    assert "open" not in reasons     # the elbow opens: one word, one meaning
    assert "may go here" in [mark.text_content() for mark in desk.table.locator(".reasons .open text").all()]


def test_a_neighbour_that_stands_off_is_named_before_the_circle_leads_on(harness):
    desk = told(harness("state=pass&number=6&guide=elbow"), beside={"drawing": 5, "says": "5 goes too far."})
    assert "Look at 5 first." in voice(desk) and any(line.startswith("5 goes too far.") for line in voice(desk))
    desk.press("leave it so")
    assert any(line.endswith("to the dot.") or line == "On the dot." for line in voice(desk))
    told(desk, beside={"drawing": 7, "says": "7 hangs back."})      # another one speaks all the same
    desk.press("to drawing 7")
    assert "7" == desk.attribute("drawing")


def test_whoever_draws_on_beside_one_that_stands_off_is_not_told_again(harness):
    desk = told(harness("state=pass&number=6&guide=elbow"), beside={"drawing": 5, "says": "5 goes too far."})
    desk.page.evaluate("beside => { const own = model.set.bind(model);"
                       " model.set = (name, value) => own(name, name === 'guide' && value.centre ? { ...value, beside } : value); }",
                       {"drawing": 5, "says": "5 goes too far."})
    desk.drag("elbow", 14, 6)
    desk.guide()
    assert "Look at 5 first." not in voice(desk)


def test_guess_first_hides_the_answer_until_the_guess_is_placed_then_says_the_rule_and_why(harness):
    desk = harness("state=pass&number=6&guide=elbow").guide()
    desk.page.evaluate("() => { const own = model.set.bind(model); model.set = (name, value) => own(name, name === 'guide' && value.centre"
                       " ? { ...value, whys: Object.fromEntries(value.excluded.map(({ rule }) => [rule, 'an eye sees it'])) } : value); }")
    desk.table.locator(".more-b").click()
    desk.press("guess first")
    desk.table.locator(".more-b").click()
    desk.guide("kept back")
    assert "Guess first." in voice(desk) and not desk.allowed()
    desk.drag("elbow", 60, 30)
    desk.guide()
    assert desk.allowed() and "Why: an eye sees it." in desk.stands()
    desk.press("next drawing")
    desk.guide("kept back")     # also where the joint is drawn already
    desk.press("it lies where I mean it")
    desk.guide()
    desk.press("previous drawing")
    desk.guide()                # what was guessed stays told


def test_at_the_end_of_a_layer_the_guide_makes_room_for_what_comes_next(harness):
    desk = harness("state=pass&number=6&guide=elbow").guide()
    desk.page.evaluate("model.kind = 'layer'")
    desk.drag("elbow", 10, 4)
    desk.guide("off")
    assert "Wrists next." in voice(desk)
    desk.press("go on")
    assert "Take the wrist." in voice(desk)     # one way to go on: the circle comes when it is asked for
    desk.guide("off")


def test_before_a_drawing_is_drawn_next_drawing_is_not_what_the_desk_points_to(harness):
    desk = harness("state=pass&number=7")       # 1 to 6 are drawn
    strong = "button => button.classList.contains('strong')"
    assert not desk.table.locator(".next-b").evaluate(strong)
    desk.press("previous drawing")
    assert "next drawing" in desk.table.locator(".voice .primary").inner_text()   # one heavy edge, with its key
    assert not desk.table.locator(".next-b").evaluate(strong)


def test_after_a_fold_is_opened_enter_is_still_heard_by_the_table(harness):
    desk = harness("state=findings&number=3")
    desk.table.locator(".other summary").click()
    assert desk.page.evaluate("document.activeElement === document.querySelector('.anim-light-table')")


def test_marks_are_explained_under_the_strip_and_the_chart_says_which_side_is_asked(harness):
    desk = harness("state=pass&number=6")
    assert "found" in desk.table.locator(".legend").inner_text()
    assert "asked | drawn" in desk.table.locator(".chart").text_content()


def test_clean_line_and_lengths_in_mm_are_switches(harness):
    desk = harness("state=clean&number=6")
    desk.table.locator(".more-b").click()
    assert desk.table.locator(".bone").first.is_visible()
    desk.press("clean line")
    assert not desk.table.locator(".bone").first.is_visible()
    desk.press("lengths in mm")
    # of the harness's own arm: 58.4, 53.1 and 34.1 mm
    seen = [mark.text_content().replace("\xa0", " ") for mark in desk.table.locator(".names text").all()]
    assert {"58 mm", "53 mm", "34 mm"} <= set(seen)


@pytest.mark.parametrize("reduced", [None, "reduce"])
def test_the_finale_says_how_it_stops_and_what_is_handed_in_and_what_comes_next(harness, reduced):
    desk = narrow_cell(harness("state=findings&number=3", reduced_motion=reduced, **LOW))
    desk.page.evaluate("() => { model.kind = 'clean'; model.set('head', { ...model.get('head'), folder: 'homework',"
                       " homework: '06_looping_arm.ipynb', next: 'lesson 7, The hand and its fingers' }); }")
    desk.drag("wrist", 8, 5)
    done = desk.table.locator(".done")
    done.wait_for()
    assert ("P or stop holds it" in done.inner_text()) == (reduced is None) == (desk.attribute("showing") is not None)
    assert "flicker" in done.inner_text()
    desk.press("save the moving picture")
    desk.page.evaluate("model.set('film', { says: 'It is wave.gif.' })")
    assert "It is wave.gif." in done.inner_text()
    desk.press("how to hand it in")
    for part in ("06_looping_arm.ipynb", "PASS", "homework/wave_the_boat_in.json", "instructor", "lesson 7, The hand and its fingers"):
        assert part in done.inner_text()
    box = done.get_by_role("button", name="back to the drawings").bounding_box()
    sheet = desk.table.locator(".paper").bounding_box()
    assert box["y"] + box["height"] <= sheet["y"] + sheet["height"] + 8
    if reduced is None:
        desk.page.keyboard.press("p")
        desk.comes_to(":not([data-showing])")


def test_folds_are_called_folds_and_keep_their_names_in_the_file(harness):
    desk = harness("state=clean&number=3")
    names = json.dumps(["hand", "joint 1", "joint 2", "tip"])
    desk.page.evaluate(f"() => model.set('head', {{ ...model.get('head'), limbs: model.get('head').limbs.map(l => ({{ ...l, joints: {names} }})) }})")
    fold = desk.table.locator("[data-joint='joint 1']")
    assert "fold 1 of drawing 3" == fold.get_attribute("aria-label")
    assert "fold 1" in [mark.text_content() for mark in desk.table.locator(".names text").all()]
