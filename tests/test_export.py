"""Exports, read back by decoders that share no code with the writer.

References
----------
GIF89a specification, section 23 (graphic control extension: delay in 1/100 s): bytes are
taken apart here, and Pillow reads the same file. From memory.
PNG, third edition (W3C), fcTL: delay_num / delay_den seconds, 16 bits each. Seen; taken
apart here, and Pillow and PyAV read the same file.
ISO 216: A4 is 210 x 297 mm, A3 297 x 420 mm. RFC 4180, section 2. From memory.
WCAG 2.2, 2.3.1: a flash is a change of luminance by a tenth over a quarter of the field. Seen.
"""

import csv
import io
import re
import struct
import zlib
from fractions import Fraction
from itertools import pairwise

import av
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageSequence

from anim_lessons import Action, ActionError, Limb
from anim_lessons.ferry.actions import DEMOS, buoy, lantern, two_arms, wave
from anim_lessons.ferry.starts import STARTS, own
from anim_lessons.model import action_file
from anim_lessons.model.printable import visible
from anim_lessons.pictures import film
from anim_lessons.pictures.export import KINDS, MOST_FRAMES, cell_text, export, exposure_sheet, text_cell

LISTED = (1, 1, 2, 3, 1, 4, 1, 1)


def gif_delays(data):
    """Delays in 1/100 s, rectangles and plays of a GIF, taken apart by the specification."""
    assert data[:6] == b"GIF89a"
    at = 13 + 3 * 2 ** ((data[10] & 7) + 1) * (data[10] >> 7)
    delays, boxes, plays = [], [], 1
    while data[at] != 0x3B:
        if data[at] == 0x21:
            label, size = data[at + 1], data[at + 2]
            if label == 0xF9:
                assert size == 4 and data[at + 7] == 0
                assert (data[at + 3] >> 2) & 7 == 1  # disposal: leave the picture in place
                delays.append(struct.unpack_from("<H", data, at + 4)[0])
            elif label == 0xFF and data[at + 3:at + 14] == b"NETSCAPE2.0":
                plays = struct.unpack_from("<H", data, at + 16)[0]
            at += 2
        elif data[at] == 0x2C:
            boxes.append(struct.unpack_from("<HHHH", data, at + 1))
            assert data[at + 9] & 0x80 == 0  # one palette for all
            at += 11
        else:
            raise AssertionError(f"block {data[at]:#x} at {at}")
        while data[at]:
            at += data[at] + 1
        at += 1
    assert at == len(data) - 1
    return delays, boxes, plays


def apng_delays(data):
    """Delays as fractions of a second, and plays, with every checksum and sequence number looked at."""
    assert data[:8] == b"\x89PNG\r\n\x1a\n"
    at, delays, sequence, plays, seen = 8, [], [], None, []
    while at < len(data):
        size, kind = struct.unpack_from(">I4s", data, at)
        body = data[at + 8:at + 8 + size]
        assert zlib.crc32(kind + body) == struct.unpack_from(">I", data, at + 8 + size)[0]
        seen.append(kind)
        if kind == b"acTL":
            count, plays = struct.unpack(">II", body)
        elif kind == b"fcTL":
            number, *_, over, under, _, _ = struct.unpack(">IIIIIHHBB", body)
            sequence.append(number)
            delays.append(Fraction(over, under or 100))
        elif kind == b"fdAT":
            sequence.append(struct.unpack_from(">I", body)[0])
        at += 12 + size
    assert count == len(delays)
    assert sequence == list(range(len(sequence)))
    assert seen[0] == b"IHDR" and seen[-1] == b"IEND" and seen.index(b"acTL") < seen.index(b"IDAT")
    return delays, plays


def written(action, tmp_path, ending):
    path = tmp_path / f"wave{ending}"
    export(action, path)
    return path.read_bytes()


# ---- timing --------------------------------------------------------------------------


@pytest.mark.parametrize("exposure, a_second", [
    (1, [4, 4, 4, 4, 4, 5] * 4), (2, [8, 8, 9] * 4), (3, [12, 13] * 4), (6, [25] * 4), (12, [50] * 2)])
def test_gif_delays_of_one_second_add_up_to_a_second(exposure, a_second, tmp_path):
    action = wave(drawings=24 // exposure if exposure < 4 else 8, exposure=exposure)

    delays, _, plays = gif_delays(written(action, tmp_path, ".gif"))

    assert a_second == delays[:len(a_second)]
    assert 100 == sum(delays[:len(a_second)])
    assert 0 == plays  # for ever


@given(st.lists(st.integers(1, 60), min_size=2, max_size=40), st.integers(1, 50))
def test_gif_time_is_never_off_by_a_hundredth(exposures, rate):
    delays = film.hundredths(exposures, rate)

    assert min(delays) >= 2
    ends = np.cumsum(delays)
    exact = [Fraction(100 * int(frames), rate) for frames in np.cumsum(exposures)]
    assert all(0 <= right - end < 1 for right, end in zip(exact, ends.tolist()))


def test_gif_by_pillow(tmp_path):
    action = wave(drawings=8, exposure=LISTED)
    data = written(action, tmp_path, ".gif")
    picture = Image.open(io.BytesIO(data))

    shown = [(frame.info["duration"], frame.convert("RGB")) for frame in ImageSequence.Iterator(picture)]

    assert [10 * delay for delay in gif_delays(data)[0]] == [duration for duration, _ in shown]
    for (_, frame), painted in zip(shown, film.frames(action), strict=True):
        # 64 greys: a step is 255 / 63 = 4.05 levels, so a colour is off by half of that, and rounding.
        assert np.abs(np.asarray(frame)[..., 1] - grey_to_green(painted)).max() <= 3


def grey_to_green(painted):
    """Green of #262422 at 0 and of #fdfcf7 at 255."""
    return 0x24 + (0xFC - 0x24) * np.asarray(painted, float) / 255


@pytest.mark.parametrize("exposure", [1, 2, LISTED])
def test_apng_delays_are_exact(exposure, tmp_path):
    action = wave(drawings=8, exposure=exposure)
    data = written(action, tmp_path, ".apng")

    delays, plays = apng_delays(data)

    assert [Fraction(int(frames), 24) for frames in action.exposures] == delays
    assert 0 == plays
    picture = Image.open(io.BytesIO(data))
    shown = [(frame.info["duration"], frame.convert("RGB")) for frame in ImageSequence.Iterator(picture)]
    assert [float(1000 * delay) for delay in delays] == pytest.approx([duration for duration, _ in shown])
    for (_, frame), painted in zip(shown, film.frames(action), strict=True):
        assert np.abs(np.asarray(frame)[..., 1] - grey_to_green(painted)).max() <= 3


@pytest.mark.parametrize("ending, off", [(".gif", 10), (".apng", 1e-6)])
def test_a_drawing_traced_without_a_change_keeps_its_time(ending, off, tmp_path):
    """On screen two drawings alike are one that is held; all of the time is there, `off` ms at most (a GIF counts in 10)."""
    drawings = wave(drawings=8).limbs[0].drawings
    action = wave(drawings=8, exposure=LISTED).redrawn(drawings[[0, 1, 1, 1, 4, 4, 6, 7]])
    data = written(action, tmp_path, ending)

    with Image.open(io.BytesIO(data)) as picture:
        shown = [frame.info["duration"] for frame in ImageSequence.Iterator(picture)]
    assert sum(shown) == pytest.approx(1000 * action.frames / action.rate, abs=off)


def test_apng_by_av(tmp_path):
    action = wave(drawings=8, exposure=1)
    with av.open(io.BytesIO(written(action, tmp_path, ".apng"))) as shown:
        assert 8 == sum(1 for _ in shown.decode(video=0))


def test_what_does_not_loop_plays_once(tmp_path):
    action = wave(drawings=8).replace(loop=False)
    assert 1 == gif_delays(written(action, tmp_path, ".gif"))[2]
    assert 1 == apng_delays(written(action, tmp_path, ".apng"))[1]


@pytest.mark.parametrize("rate, exposure", [(24, 1), (24, 2), (24, LISTED), (25, 1), (12, 1)])
def test_mp4_frames_last_exactly_one_frame(rate, exposure, tmp_path):
    action = wave(drawings=8, exposure=exposure).replace(rate=rate)

    with av.open(io.BytesIO(written(action, tmp_path, ".mp4"))) as shown:
        stream = shown.streams.video[0]
        times = [frame.pts * stream.time_base for frame in shown.decode(stream)]
        assert ("h264", "yuv420p") == (stream.codec_context.name, stream.codec_context.pix_fmt)
        assert stream.average_rate == rate
        assert Fraction(action.frames, rate) == stream.duration * stream.time_base

    assert [Fraction(n, rate) for n in range(action.frames)] == times


def test_mp4_shows_each_drawing_for_its_exposure(tmp_path):
    action = wave(drawings=8, exposure=LISTED)
    painted = [np.asarray(frame, float) for frame in film.frames(action)]

    with av.open(io.BytesIO(written(action, tmp_path, ".mp4"))) as shown:
        frames = [frame.to_ndarray(format="gray").astype(float) for frame in shown.decode(video=0)]

    seen = [int(np.argmin([np.abs(frame - drawing).mean() for drawing in painted])) for frame in frames]
    assert np.repeat(np.arange(8), LISTED).tolist() == seen


def test_mp4_is_paper_coloured(tmp_path):
    """The corner is #fdfcf7 again after BT.709 and back; PyAV's own conversion is the reference."""
    with av.open(io.BytesIO(written(wave(drawings=8), tmp_path, ".mp4"))) as shown:
        frame = next(shown.decode(video=0))
        corner = frame.to_ndarray(format="rgb24")[-20, -20].astype(int)
    assert np.abs(corner - [0xFD, 0xFC, 0xF7]).max() <= 2


# ---- pictures ------------------------------------------------------------------------


@pytest.mark.parametrize("paper, size", [
    ((297, 210), (1920, 1080)), ((210, 297), (1080, 1920)), ((160, 90), (1920, 1080)), ((1000, 1), (1920, 1080))])
def test_frames_are_high_definition_and_even(paper, size):
    painted = next(film.frames(wave(drawings=8).replace(paper=paper)))
    assert size == film.size(paper) == painted.size
    left, bottom, right, top = film.view(wave(drawings=8).replace(paper=paper))
    assert (right - left) / (top - bottom) == pytest.approx(size[0] / size[1])


LOOPS = {
    "tail": lambda: own(["rump", "tip"], [45], [(30, 150)], [(10, 60), (280, 60), (150, 200)]),
    **{name: DEMOS[name] for name in ("wave", "wave-other-side", "two-arms", "hand-grows", "off-the-sheet", "gaps-too-wide")},
    **{name: STARTS[name] for name in ("01_buoy", "03_pennant", "04_mooring_rope", "05_elbow", "07_hand")},
    "lantern": lantern,
}


@pytest.mark.parametrize("name", LOOPS)
def test_a_film_is_never_cropped(name):
    """One window for the whole loop: ink touches no edge of any frame but the lower one, where body and sleeve run off;
    and it is no wider than it has to be: 3 % on each side of what is drawn, across or up."""
    action = LOOPS[name]()
    painted = np.array([np.asarray(frame) for frame in film.frames(action)])
    inked = (painted < 250).any(axis=0)
    held = {joints[0] for joints in (limb.joints for limb in action.limbs)} & {"hand", "post", "staff"}
    edges = {"top": inked[:2], "right": inked[:, -2:]} | ({} if held else {"left": inked[:, :2]})
    assert {side: False for side in edges} == {side: bool(line.any()) for side, line in edges.items()}
    if not held:
        rows, columns = (np.flatnonzero(inked.any(axis=axis)) for axis in (1, 0))
        margins = [rows[0] / painted.shape[1], columns[0] / painted.shape[2], 1 - (columns[-1] + 1) / painted.shape[2]]
        assert min(margins) > 0.02
        assert margins[0] < 0.04 or min(margins[1:]) < 0.04


def test_a_drawing_that_leaves_the_sheet_is_whole_in_the_film():
    off = DEMOS["off-the-sheet"]()
    left, bottom, right, top = film.view(off)
    points = off.limbs[0].drawings
    assert points[..., 1].max() > off.paper[1]
    assert (points > [left, bottom]).all() and (points < [right, top]).all()


def test_the_construction_is_drawn_on_demand(tmp_path):
    """Bones cross the middle of each part; in clean line there is paper."""
    action = wave(drawings=4)
    left, _, right, top = film.view(action)
    for construction in (False, True):
        for frame, points in zip(film.frames(action, construction), action.limbs[0].drawings):
            grey = np.asarray(frame)
            scale = grey.shape[1] / (right - left)
            for a, b in list(pairwise(points))[:2]:
                x, y = ((a + 2 * b) / 3 - [left, top]) * [scale, -scale]
                at = grey[round(y) - 2:round(y) + 3, round(x) - 2:round(x) + 3]
                assert (at.min() < 128) == construction
    for ending in (".gif", ".png", ".svg"):     # films are of the same frames, and .pdf of the same sheet
        sizes = []
        for construction in (False, True):
            export(action, tmp_path / f"wave{ending}", construction=construction)
            sizes.append((tmp_path / f"wave{ending}").read_bytes())
        assert sizes[0] != sizes[1], ending


@pytest.mark.parametrize("action", [wave(drawings=12), buoy(), two_arms()], ids=["arm", "buoy", "two arms"])
def test_lines_move_and_paper_stays(action):
    """No flash: less than a quarter of the field changes at all, and never the mean by a tenth."""
    painted = [np.asarray(frame) / 255 for frame in film.frames(action)]
    for before, after in zip(painted, painted[1:] + painted[:1]):
        assert (np.abs(after - before) > 0.1).mean() < 0.05
        assert abs(after.mean() - before.mean()) < 0.02
    assert all((frame[-8:, -8:] == 1).all() for frame in painted)


@pytest.mark.parametrize("paper, points", [
    ((297, 210), (841.890, 595.276)), ((210, 297), (595.276, 841.890)), ((420, 297), (1190.551, 841.890))])
def test_pdf_sheets_are_of_iso_size(paper, points, tmp_path):
    data = written(wave(drawings=8).replace(paper=paper), tmp_path, ".pdf")

    boxes = [[float(side) for side in box.split()] for box in re.findall(rb"/MediaBox \[([^\]]*)\]", data)]

    assert 9 == len(boxes)  # the contact sheet and eight drawings
    for left, bottom, right, top in boxes:
        assert points == pytest.approx((right - left, top - bottom), abs=0.5)
    assert b"/Subtype /Image" not in data  # lines, not dots


@pytest.mark.parametrize("ending", [".png", ".svg", ".pdf", ".gif", ".apng", ".mp4", ".csv"])
def test_the_same_action_gives_the_same_bytes(ending, tmp_path):
    action = wave(drawings=8)
    assert written(action, tmp_path, ending) == written(action, tmp_path, ending)


def test_contact_sheet_is_a_picture_of_a_sheet(tmp_path):
    picture = Image.open(io.BytesIO(written(wave(), tmp_path, ".png")))
    assert 2000 == max(picture.size)
    assert 297 / 210 == pytest.approx(picture.width / picture.height, rel=1e-3)


# ---- exposure sheet --------------------------------------------------------------------


def test_exposure_sheet_by_the_csv_module():
    action = wave(drawings=8, exposure=LISTED)
    text = exposure_sheet(action)

    head, *rows = csv.reader(io.StringIO(text, newline=""), strict=True)

    assert ["frame", "drawing"] == head[:2]
    assert list(range(1, action.frames + 1)) == [int(row[0]) for row in rows]
    assert np.repeat(np.arange(1, 9), LISTED).tolist() == [int(row[1]) for row in rows]
    tips = action.limbs[0].drawings[:, -1]
    assert np.linalg.norm(tips[3] - tips[2]) == pytest.approx(float(rows[4][2]), abs=0.05)  # drawing 4 is frame 5
    assert text.count("\n") == text.count("\r\n") == action.frames + 1
    assert {len(head)} == {len(row) for row in rows}


@pytest.mark.parametrize("name", ["=1+1", "+1", "-5", "@sum", "\tx", "\rx", 'say "wave"', "a,b", "a\nb", "'quoted", "ärm"])
def test_a_name_is_no_formula_and_comes_back(name):
    limb = Limb(name, ("top",), [], [], np.zeros((2, 1, 2)))
    head, *_ = csv.reader(io.StringIO(exposure_sheet(Action((limb,))), newline=""), strict=True)

    cell = head[2]
    assert cell[0] not in "=+-@\t\r\n"
    assert visible(f"{name}: spacing of top, mm") == cell_text(cell)


FORMULA = re.compile("[=+\\-@＝＋－＠]")
HIDDEN = ["a;=1+1", "a,=1+1", "a|=1+1", "a\t=1+1", "a\n=1+1", "a\r\n-1", "a; \xa0\u3000+1", 'a;"=1+1', 'a;""=1+1', "  =1+1", "\x00=1+1",
          "\u200b@sum", "\ufeff=1", "＝1+1", "a;＋1", "－1", "x;＠y", "';=1", ";;=1", "a;'=1", "=1;=2;-3"]


@pytest.mark.parametrize("name", HIDDEN)
@pytest.mark.parametrize("separator", ",;|\t")
def test_no_cell_is_a_formula_whatever_separates_cells_in_a_country(name, separator):
    """OWASP, CSV Injection (from memory): a separator or a quote within a text begins a cell in which a formula may stand.

    The sheet is read as a program does that takes another separator, and one that ends a line at each line's end.
    """
    limb = Limb(name, ("top",), [], [], np.zeros((2, 1, 2)))
    sheet = exposure_sheet(Action((limb,)))
    heads = sheet.split("\r\n")[0].splitlines()
    for line in heads:
        for cell in next(csv.reader([line], delimiter=separator)):
            seen = re.sub(r"[\s\u200b\ufeff\"]|\0", "", cell)
            assert not FORMULA.match(seen), cell
    head, *_ = csv.reader(io.StringIO(sheet, newline=""), strict=True)
    assert visible(f"{name}: spacing of top, mm") == cell_text(head[2])


def test_an_exposure_sheet_holds_what_a_sheet_may_hold():
    """RFC 4180, section 2 (from memory): no control characters but the ends of lines."""
    limb = Limb("".join(map(chr, range(0xA0))), ("\u202etop\u2028",), [], [], np.zeros((2, 1, 2)))
    sheet = exposure_sheet(Action((limb,)))
    assert not re.search("[\0-\x09\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u202a-\u202e]", sheet)
    assert 5 == sheet.count("\n") == sheet.count("\r\n")


@given(st.text(max_size=8))
def test_every_text_comes_back_from_its_cell(text):
    cell = text_cell(text)
    assert visible(text) == cell_text(cell)
    assert cell[:1] not in tuple("=+-@\t\r\n\0")


@given(st.text(alphabet="a=-@＝'\";,| \n\u200b", max_size=12))
def test_texts_full_of_what_is_guarded_come_back_too(text):
    assert visible(text) == cell_text(text_cell(text))


def test_numbers_below_nothing_stay_numbers():
    rows = list(csv.reader(io.StringIO(exposure_sheet(wave()), newline="")))[1:]
    assert min(float(cell) for row in rows for cell in row) < 0


# ---- files ---------------------------------------------------------------------------


def test_a_gif_says_what_it_cannot_hold(tmp_path):
    _, says = export(wave(drawings=8), tmp_path / "wave.gif")
    assert "cannot hold 1/24 s" in says and "8 or 9" in says
    assert 1 == len(export(wave(drawings=8), tmp_path / "wave.apng"))
    assert 1 == len(export(wave(drawings=8, exposure=6), tmp_path / "wave.gif"))
    _, says = export(wave(drawings=8, exposure=1).replace(rate=100), tmp_path / "wave.gif")
    assert "slower than drawn" in says


def test_an_ending_that_is_not_known_names_those_that_are(tmp_path):
    with pytest.raises(ActionError, match=r'no export to "\.doc"; end the name in \.png'):
        export(wave(), tmp_path / "wave.doc")
    assert [] == list(tmp_path.iterdir())


@pytest.mark.parametrize("link", [False, True])
def test_the_action_file_is_never_written_over(link, tmp_path):
    source = tmp_path / "wave.csv"
    source.write_bytes(action_file.dumps(wave()))
    to = source
    if link:
        to = tmp_path / "other.csv"
        to.hardlink_to(source)
    with pytest.raises(ActionError, match="is the action file itself"):
        export(wave(), to, source=source)
    assert action_file.dumps(wave()) == source.read_bytes()


def test_a_broken_off_export_leaves_what_was_there(tmp_path):
    path = tmp_path / "wave.gif"
    path.write_bytes(b"of yesterday")

    def stop(drawings, count):
        yield next(iter(drawings))
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        export(wave(), path, watch=stop)

    assert b"of yesterday" == path.read_bytes()
    assert [path] == list(tmp_path.iterdir())


def test_a_folder_that_is_not_there_is_said(tmp_path):
    with pytest.raises(OSError, match='"wave.gif" could not be written: there is no such folder'):
        export(wave(drawings=8), tmp_path / "nowhere" / "wave.gif")


def test_a_name_that_a_folder_has_is_said(tmp_path):
    (tmp_path / "wave.csv").mkdir()
    with pytest.raises(OSError, match="belongs to a folder"):
        export(wave(), tmp_path / "wave.csv")
    assert [tmp_path / "wave.csv"] == list(tmp_path.iterdir())


def test_a_row_of_frames_without_end_is_refused(tmp_path):
    action = wave(drawings=8, exposure=10_000)
    assert action.frames > MOST_FRAMES
    for ending in (".mp4", ".csv"):
        with pytest.raises(ActionError, match="shorten the exposures"):
            export(action, tmp_path / f"wave{ending}")
    long = action.replace(rate=1)
    with pytest.raises(ActionError, match="no drawing for longer than 655 seconds"):
        export(long, tmp_path / "wave.gif")
    assert [10_000] * 8 == apng_delays(written(long, tmp_path, ".apng"))[0]


@pytest.mark.parametrize("ending", KINDS)
@pytest.mark.parametrize("case", ["still", "off the paper", "needle of a paper", "huge arm on small paper", "two drawings"])
def test_odd_actions_are_written_too(case, ending, tmp_path):
    action = wave(drawings=4)
    drawings = action.limbs[0].drawings
    action = {
        "still": action.redrawn(np.repeat(drawings[:1], 4, axis=0)),
        "off the paper": action.redrawn(drawings + 9_000),
        "needle of a paper": action.replace(paper=(1_000.0, 1.0)),
        "huge arm on small paper": action.redrawn(drawings * 30).replace(paper=(5.0, 4.0)),
        "two drawings": action.redrawn(drawings[:2]),
    }[case]
    assert len(written(action, tmp_path, ending)) > 100
