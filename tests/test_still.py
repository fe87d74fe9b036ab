"""What a shown widget leaves in the notebook: a still picture and a line, then the widget's view.

Held against IPython's own display machinery and nbconvert, which know nothing of the light table (seen: IPython 9,
nbconvert 7.17).
"""
import base64
import re
from html.parser import HTMLParser

import nbformat
import pytest
from IPython.core.interactiveshell import InteractiveShell
from IPython.display import display
from IPython.utils.capture import capture_output

from anim_lessons.course import galleries, hanging_panels, notebook, panels
from anim_lessons.ferry.actions import wave
from anim_lessons.light_table import LightTable, picture
from anim_lessons.light_table import table as table_module
from anim_lessons.light_table.lag_map import LagMap
from anim_lessons.light_table.plan_sheet import PlanSheet
from anim_lessons.light_table.sliders import Sliders

VIEW = "application/vnd.jupyter.widget-view+json"
SLIDERS = {"rows": [("drawings", "drawings", 8, 24, 1, "")], "first": {"drawings": 8}, "label": "how many"}


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    yield tmp_path
    for table in list(table_module.alive):
        table.close()


def shown(widget):
    """The outputs that a cell with this widget as its last line leaves, as (data, metadata)."""
    InteractiveShell.instance()
    with capture_output() as got:
        display(widget)
    return [(output.data, output.metadata) for output in got.outputs]


class Words(HTMLParser):
    """The pictures of a page, and its words that are seen."""

    def __init__(self, html):
        super().__init__()
        self.pictures, self.words, self._off = [], "", False
        self.feed(html)

    def handle_starttag(self, tag, attributes):
        self._off = tag in ("style", "script")
        if tag == "img":
            self.pictures.append(dict(attributes))

    def handle_endtag(self, tag):
        self._off = False

    def handle_data(self, data):
        self.words += "" if self._off else data


def of_a_table():
    """Each widget that a lesson, a lecture or a homework shows, and its light table."""
    notebook.light_table("mine.json", start="wave")
    lecture = notebook.record("lecture.json", start="wave")
    lecture.strip.record("look")
    lecture.table.save()
    yield "table", notebook.light_table("mine.json")
    yield "model", LightTable(wave(12))
    yield "plan sheet", notebook.plan_sheet("mine.json")
    yield "a sheet alone", PlanSheet(notebook.light_table("mine.json"))
    yield "recorder", lecture
    yield "a strip alone", lecture.strip
    yield "follower", notebook.follow("lecture.json", "own.json")
    yield "faults", galleries.fault_gallery()
    yield "sliders over a table", panels.timing()
    yield "hanging", hanging_panels.hanging()
    yield "stopping", hanging_panels.stop_and_settle()
    yield "map", hanging_panels.hanging_map(side=4)


def test_every_widget_leaves_a_still_picture_and_says_what_to_do():
    for name, widget in of_a_table():
        (first, _), (second, _) = shown(widget)
        table = getattr(widget, "table", widget)
        words = Words(first["text/html"])

        assert VIEW in second and VIEW not in first, name
        (image,) = words.pictures
        code = image["src"].removeprefix("data:image/svg+xml;base64,")
        assert picture.svg(table.action, table.number) == base64.b64decode(code).decode(), name
        assert picture.label(table.action, table.number) == image["alt"], name
        assert words.words.strip().startswith("Run from the top."), name
        assert ("Your drawings are in" in words.words) == (table.store is not None), name


@pytest.mark.parametrize("widget", [lambda: Sliders.of(**SLIDERS), lambda: LagMap(label="map", swings=[1, 2], settles=[0.1, 0.2])],
                         ids=["sliders", "map"])
def test_a_widget_without_a_table_leaves_the_line_alone(widget):
    (first, _), (second, _) = shown(widget())
    assert [] == Words(first["text/html"]).pictures and VIEW in second
    assert Words(first["text/html"]).words.strip().startswith("Run from the top.")


def test_the_line_names_the_file():
    (first, _), _ = shown(notebook.light_table("my <wave>.json", start="wave"))
    assert "Your drawings are in my <wave>.json." in Words(first["text/html"]).words


def test_outputs_are_the_same_on_every_run_but_for_the_name_of_the_view():
    """The widget's id is the only part of them that is made anew."""
    def outputs(widget):
        data = [data for data, _ in shown(widget)]
        assert {"version_major", "version_minor", "model_id"} == set(data[1].pop(VIEW))
        return data

    assert outputs(LightTable(wave())) == outputs(LightTable(wave()))
    assert outputs(panels.timing()) == outputs(panels.timing())


def page_of(*outputs):
    nbconvert = pytest.importorskip("nbconvert", reason="NO nbconvert, so no page can be made of a notebook")
    made = [nbformat.v4.new_output("display_data", data, metadata=metadata) for data, metadata in outputs]
    cell = nbformat.v4.new_code_cell("table", outputs=made, execution_count=1)
    page, _ = nbconvert.HTMLExporter().from_notebook_node(nbformat.v4.new_notebook(cells=[cell]))
    return page


def test_a_page_made_of_the_notebook_shows_the_picture_once_and_no_name_of_a_class():
    page = page_of(*shown(LightTable(wave())))
    assert 1 == page.replace("\n", "").count(base64.b64encode(picture.svg(wave()).encode()).decode())
    assert "Run from the top." in Words(page).words
    assert not re.search(r"LightTable\b", Words(page).words)


def test_what_is_left_is_small():
    assert sum(len(str(data)) for data, _ in shown(LightTable(wave()))) < 30_000  # characters, in a notebook of some 100 kB
