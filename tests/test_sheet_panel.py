"""The panel that prints: what is chosen is what is written, as pypdfium2 counts and measures it (ISO 216 for the sizes)."""

import pypdfium2
import pytest

from anim_lessons import lessons
from anim_lessons.ferry.actions import wave
from anim_lessons.light_table.still import still


@pytest.fixture
def panel(tmp_path):
    return lessons.printer(wave(drawings=12), tmp_path / "my_sheets.pdf")


def pages(panel):
    document = pypdfium2.PdfDocument(panel.to)
    return len(document), [round(side * 25.4 / 72) for side in sorted(document[0].get_size())]


@pytest.mark.parametrize("chosen, count, size", [
    ({}, 13, [210, 297]), ({"page": "a3", "first": 3, "last": 5}, 3, [297, 420]), ({"page": "letter", "each": 4}, 4, [216, 279]),
    ({"kind": "plan"}, 1, [210, 297]), ({"kind": "exposure"}, 1, [210, 297])])
def test_what_is_chosen_is_what_is_written(panel, chosen, count, size):
    for name, value in chosen.items():
        getattr(panel, name).value = value
    assert not panel.to.exists()    # it is only looked at
    panel.write.click()
    assert (count, size) == pages(panel)
    assert panel.line.value.startswith(f"{panel.to}: ") and "Print at 100 %" in panel.line.value
    assert "my_sheets.pdf" in panel.out.outputs[0]["data"]["text/markdown"]


def test_a_sheet_is_shown_as_it_is_chosen(panel):
    with_all = bytes(panel.seen.value)
    panel.parts["neighbours"].value = False
    without = bytes(panel.seen.value)
    panel.kind.value = "flip"
    assert with_all.startswith(b"\x89PNG") and len({with_all, without, bytes(panel.seen.value)}) == 3
    assert [True] * 3 == [widget.disabled for widget in panel.of_trace] and "none" == panel.with_parts.layout.display


def test_what_cannot_be_printed_is_said_and_the_panel_goes_on(panel):
    panel.first.value = 99
    assert "It cannot be printed so: drawings 99 to 12 are not all there; the stack has 1 to 12." == panel.line.value
    panel.write.click()
    assert panel.line.value.startswith("Not written: drawings 99 to 12") and not panel.to.exists()
    panel.first.value = 1
    panel.write.click()
    assert 13 == pages(panel)[0]


def test_it_leaves_a_line_for_the_second_day(panel):
    assert "Run from the top." in still(*panel.on_paper())
