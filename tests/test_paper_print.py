"""Sheets as they are printed, read back by a PDF reader that shares nothing with what writes them (PDFium).

References: ISO 216, A4 210 x 297 mm and A3 297 x 420 mm (from memory); letter 8.5 x 11 inches, 215.9 x 279.4 mm
(ISO/ANSI practice, from memory); a point is 1/72 inch of 25.4 mm.
"""

import click.testing
import cv2
import numpy as np
import paper_pages
import pypdfium2
import pytest

from anim_lessons import ActionError, commands
from anim_lessons.assist import plan
from anim_lessons.ferry.actions import buoy, two_arms, wave
from anim_lessons.model.action import Plan
from anim_lessons.model.action_file import dumps
from anim_lessons.paper import extra, flip_book, stamp
from anim_lessons.paper.layout import ARRANGED, MARK, PAGES, Layout, layout_for, layout_of
from anim_lessons.paper.printing import print_sheets
from anim_lessons.paper.scanning import undrawn
from anim_lessons.paper.sheets import PARTS, one_sheet

ISO = {"a4": (210, 297), "a3": (297, 420), "letter": (215.9, 279.4)}


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    return tmp_path_factory.mktemp("print")


def sizes(path):
    document = pypdfium2.PdfDocument(path)
    mm = [tuple(side * 25.4 / 72 for side in page.get_size()) for page in document]
    document.close()
    return mm


@pytest.mark.parametrize("page", ISO)
def test_pages_have_the_size_of_the_standard(folder, page):
    print_sheets(wave(drawings=2), folder / "plan.pdf", kind="plan", page=page)
    [size] = sizes(folder / "plan.pdf")
    assert np.abs(np.subtract(size, ISO[page][::-1])).max() < 0.01  # lying, as the drawings are
    assert PAGES[page] == ISO[page]


def test_bar_and_marks_are_exact_in_mm(folder):
    """Measured on the points of the page, not on what was asked for: 10 to a mm."""
    print_sheets(wave(drawings=2), folder / "plan.pdf", kind="plan")
    [page] = paper_pages.rendered(folder / "plan.pdf", 20.0)
    grey = page.min(axis=-1)
    high = len(grey) / 20
    bar = grey[int((high - 9.6) * 20) : int((high - 9.4) * 20)].min(axis=0) < 120
    at = np.flatnonzero(bar)
    middle = at[(at > 90 * 20) & (at < 207 * 20)]
    assert 100 == pytest.approx((middle[-1] - middle[0]) / 20, abs=0.5)  # the line is 0.3 mm wide
    lying = layout_for(wave(drawings=2))
    for x, y in lying.centres:
        box = (
            grey[round((high - y - 7) * 20) : round((high - y + 7) * 20), round((x - 7) * 20) : round((x + 7) * 20)]
            < 128
        )
        rows, columns = np.flatnonzero(box.any(axis=1)), np.flatnonzero(box.any(axis=0))
        assert MARK == pytest.approx((rows[-1] - rows[0] + 1) / 20, abs=0.11)
        assert MARK == pytest.approx((columns[-1] - columns[0] + 1) / 20, abs=0.11)
        assert (rows[0] + rows[-1] + 1) / 40 == pytest.approx(7, abs=0.08)


def test_the_same_action_gives_the_same_bytes(folder):
    for name in ("one.pdf", "two.pdf"):
        print_sheets(wave(drawings=2), folder / name)
    assert (folder / "one.pdf").read_bytes() == (folder / "two.pdf").read_bytes()


@pytest.mark.parametrize("each, pages", [(1, 1 + 7), (2, 1 + 4), (4, 1 + 2), (9, 1 + 1)])
def test_every_drawing_has_a_sheet(folder, each, pages):
    says = print_sheets(
        wave(drawings=7), folder / "all.pdf", each=each, without=("neighbours", "path", "spacing", "chart", "grid")
    )
    assert pages == len(sizes(folder / "all.pdf")) and "100 %" in says[-1]


def test_what_lies_on_the_drawing_is_gone_by_blue_light_and_seen_by_red(folder):
    """A pencil stays in the blue channel; so what is printed inside must not."""
    print_sheets(wave(drawings=6), folder / "sheet.pdf", drawings=(2, 2))
    [page] = paper_pages.rendered(folder / "sheet.pdf", 5.0)
    inside = page[95:-95, 95:-95]
    assert inside[..., 2].min() > 225 and inside[..., 0].min() < 170


@pytest.fixture(scope="module")
def whole(folder):
    print_sheets(wave(drawings=6), folder / "part.pdf", drawings=(3, 3))
    return next(paper_pages.rendered(folder / "part.pdf", 2.0))


@pytest.mark.parametrize("part", sorted(set(PARTS) - {"marks"}))
def test_each_part_may_be_left_out(folder, whole, part):
    print_sheets(wave(drawings=6), folder / "part.pdf", drawings=(3, 3), without=(part,))
    less = next(paper_pages.rendered(folder / "part.pdf", 2.0))
    assert (whole.astype(int) != less).mean() > 1e-4 and less.mean() > whole.mean()


def test_a_planned_path_lies_under_the_sheet_before_anything_is_drawn(folder):
    action = undrawn(wave(drawings=6))
    ring = 60 * np.exp(2j * np.pi * np.arange(8) / 8) + 150 + 110j
    way = Plan("fingertips", np.stack([ring.real, ring.imag], axis=-1), np.arange(6) / 6)
    with_plan = plan.planned(action, action.limbs[0].name, way)
    drawn = []
    for one in (action, with_plan):
        print_sheets(one, folder / "plan.pdf", drawings=(2, 2), without=("neighbours", "chart", "grid"))
        drawn.append(next(paper_pages.rendered(folder / "plan.pdf", 2.0)))
    assert (drawn[0] != drawn[1]).any()


# ---- what the marks say ---------------------------------------------------------------


def test_the_dictionary_is_the_published_one():
    """AprilTag 36h11 (Olson's AprilTag library, tag36h11.c: its first ten code words, 36 bits from the upper left, 1
    is white; seen in copies of it). 587 words; any two, however turned, differ in 11 bits at least: so the name
    says."""
    published = (
        0xD5D628584,
        0xD97F18B49,
        0xDD280910E,
        0xE479E9C98,
        0xEBCBCA822,
        0xF31DAB3AC,
        0x056A5D085,
        0x10652E1D4,
        0x22B1DFEAD,
        0x265AD0472,
    )
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    bits = np.array([cv2.aruco.generateImageMarker(dictionary, n, 8)[1:7, 1:7].ravel() > 0 for n in range(587)])
    assert 587 == len(dictionary.bytesList)
    words = [
        int("".join("01"[int(bit)] for bit in word[::-1]), 2) for word in bits[:10]
    ]  # it shows them turned by 180 degrees
    assert list(published) == words
    turned = np.concatenate([np.rot90(bits.reshape(-1, 6, 6), k, axes=(1, 2)).reshape(587, 36) for k in range(4)])
    far = (turned[:, None] != bits[None]).sum(axis=-1)
    far[np.arange(587), np.arange(587)] = 36
    assert 11 == far.min()


def test_four_marks_tell_a_sheet_and_one_more_confirms_it():
    rng = np.random.default_rng(7)
    for _ in range(300):
        told = stamp.Stamp(int(rng.integers(256)), int(rng.integers(48)), int(rng.integers(397)))
        ids = stamp.ids(told)
        assert len({i // stamp.PRIME for i in ids}) == stamp.MARKS and max(ids) < 587
        some = rng.choice(ids, int(rng.integers(4, 13)), replace=False)
        read, agree = stamp.read(some.tolist())
        assert told == read and agree == set(some.tolist())


def test_two_sheets_agree_in_three_marks_at_most():
    rng = np.random.default_rng(8)
    for _ in range(2000):
        one, other = (
            stamp.Stamp(int(rng.integers(256)), int(rng.integers(48)), int(rng.integers(397))) for _ in range(2)
        )
        if one != other:
            assert len(set(stamp.ids(one)) & set(stamp.ids(other))) <= 3


def test_a_wrong_mark_among_right_ones_changes_nothing_and_few_marks_tell_nothing():
    told = stamp.Stamp(12, 3, 77)
    ids = stamp.ids(told)
    wrong = {stamp.PRIME * place + (ids[place] % stamp.PRIME + 5) % stamp.PRIME for place in (0, 4)}
    assert told == stamp.read({*ids[1:4], *ids[5:9], *wrong})[0]
    assert stamp.read(ids[:3])[0] is None and stamp.read([])[0] is None
    assert (
        stamp.read([*ids[:4], *stamp.ids(stamp.Stamp(13, 3, 77))[4:8]])[0] is None
    )  # as much for one as for the other


def test_a_layout_is_told_by_its_number():
    seen = set()
    for page in PAGES:
        for wide in (False, True):
            for arranged in ARRANGED:
                layout = Layout(page, wide, arranged)
                seen.add(layout.code)
                assert layout == layout_of(layout.code) and len(layout.centres) == stamp.MARKS
                left, bottom, right, top = layout.inside
                for field in layout.fields((297.0, 210.0)):
                    low, high = field.to_page((0, 0)), field.to_page((297, 210))
                    if arranged != "true":
                        assert (
                            left - 1e-6 <= low[0]
                            and bottom - 1e-6 <= low[1]
                            and high[0] <= right + 1e-6
                            and high[1] <= top + 1e-6
                        )
                    assert np.allclose(field.to_drawing(field.to_page([12, 34])), [12, 34])
    assert len(seen) == len(PAGES) * 2 * len(ARRANGED) and max(seen) < stamp.LAYOUTS
    assert layout_of(7) is None and layout_of(48) is None and layout_of(-1) is None


def test_a_joint_that_would_lie_under_a_mark_makes_the_drawing_smaller():
    assert "true" == layout_for(wave(drawings=12)).arranged
    edge = wave(drawings=12)
    limb = edge.limbs[0]
    assert "fitted" == layout_for(edge.redrawn(limb.drawings - [20, 0])).arranged
    assert "true" == layout_for(buoy()).arranged


# ---- flip-book and exposure sheet ------------------------------------------------------


@pytest.mark.parametrize("cards", [1, 7, 8, 9, 16, 23, 100])
def test_heap_under_heap_is_in_order(cards):
    """All pages cut at once: a heap a place, each with the page's cards from the top down; heap is laid under heap."""
    pages = flip_book.order(cards)
    stacked = [
        page[place] for place in range(flip_book.COLUMNS * flip_book.ROWS) for page in pages if page[place] is not None
    ]
    assert list(range(1, cards + 1)) == stacked


def test_a_drawing_that_is_held_longer_has_more_cards(folder):
    action = wave(drawings=3).replace(exposure=(2, 4, 2))
    assert [1, 2, 2, 3] == flip_book.card_drawings(action)
    print_sheets(action, folder / "flip.pdf", kind="flip")
    assert 1 == len(sizes(folder / "flip.pdf"))


def test_an_exposure_sheet_that_would_be_a_book_is_refused_and_none_is_cut_short(folder):
    action = wave(drawings=240).replace(exposure=24)
    with pytest.raises(ActionError, match=r"of 5760 frames has \d+ pages; at most 60 are printed; shorten the exposures"):
        print_sheets(action, folder / "x.pdf", kind="exposure")
    assert not (folder / "x.pdf").exists()


def test_an_exposure_sheet_has_a_row_a_frame(folder):
    print_sheets(wave(drawings=40).replace(exposure=3), folder / "x.pdf", kind="exposure")
    assert 3 == len(sizes(folder / "x.pdf"))  # 48 rows a page for 120 frames
    document = pypdfium2.PdfDocument(folder / "x.pdf")
    words = document[0].get_textpage().get_text_range().split()
    assert {"frame", "drawing", "exposed", "48", "16"} <= set(words)
    document.close()


# ---- errors ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "options, says",
    [
        ({"kind": "posters"}, "there are no sheets"),
        ({"page": "a5"}, "there is no page"),
        ({"each": 3}, "not laid on one page"),
        ({"drawings": (3, 99)}, "not all there"),
        ({"without": ["holes"]}, "has no part"),
        ({"to": "x.png"}, "written as .pdf"),
    ],
)
def test_what_cannot_be_printed_is_said(folder, options, says):
    to = folder / options.pop("to", "never.pdf")
    with pytest.raises(ActionError, match=says):
        print_sheets(two_arms(), to, **options)
    assert not to.exists()


def test_a_missing_part_of_the_installation_is_asked_for_by_name(folder, monkeypatch):
    monkeypatch.setitem(extra.NEEDS, "no_such_module", "its-name")
    with pytest.raises(ActionError, match=r"paper needs its-name.*pip install '\.\[paper\]'"):
        extra.load("no_such_module")


def test_the_command_prints(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "wave.json").write_bytes(dumps(wave(drawings=3)))

    def run(*words):
        return click.testing.CliRunner().invoke(commands.main, words, prog_name="anim-lessons")

    done = run("print", "wave.json", "--to", "wave.pdf", "--drawings", "2-3", "--without", "chart")
    assert 0 == done.exit_code and "wave.pdf: drawings 2 to 3, one a page, in their true size." in done.stdout
    assert 2 == len(sizes("wave.pdf"))
    for words in (("--drawings", "x"), ("--to", "wave.json"), ("--page", "b5"), ("--each", "5")):
        done = run("print", "wave.json", "--to", "wave.pdf", *words)
        assert 2 == done.exit_code and 1 <= len(done.stderr.splitlines()) <= 2


@pytest.mark.parametrize("number, beside", [(3, {"2", "4"}), (1, {"12", "2"})])
def test_neighbours_are_told_by_their_numbers(number, beside):
    (axes,) = one_sheet(wave(drawings=12), number, without=("chart",)).axes
    names = [text for text in axes.texts if text.get_label() == "neighbour's number"]
    assert beside == {text.get_text() for text in names}
    assert set() == {text.get_text() for text in one_sheet(wave(drawings=12), 3, without=("chart", "neighbours")).axes[0].texts
                     if text.get_label() == "neighbour's number"}
