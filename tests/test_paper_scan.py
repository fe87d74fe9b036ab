"""Sheets that come back: photographed harshly, scanned, spoilt; numbered rightly or not at all.

Pages are made by `paper_pages`, which shares no code with the reading; what was put on them is known. The whole trial
is `tests/bench/bench_paper.py`.
"""

import io
import json
import re
import struct
import zlib
from dataclasses import replace
from pathlib import Path

import click.testing
import cv2
import numpy as np
import paper_pages as pages
import pytest
from PIL import Image

from anim_lessons import ActionError, commands
from anim_lessons.assist import hand_in
from anim_lessons.ferry.actions import buoy, lantern, two_arms, wave
from anim_lessons.judging.brief import Brief
from anim_lessons.model import action_file
from anim_lessons.paper import dots, flat, folder, images, joints, on_film, scanning
from anim_lessons.paper.layout import layout_for
from anim_lessons.paper.printing import print_sheets

COUNT = 4
FINE = 6.0  # pixels to a mm of the pages here


@pytest.fixture(scope="module")
def printed(tmp_path_factory):
    """The sheets of a wave of four drawings, the planning sheet first, as they come from the printer."""
    path = tmp_path_factory.mktemp("printed") / "wave.pdf"
    print_sheets(wave(drawings=COUNT), path)
    return list(pages.rendered(path, FINE))


@pytest.fixture(scope="module")
def drawn(printed):
    """The four sheets with pencil on them."""
    action, rng = wave(drawings=COUNT), np.random.default_rng(5)
    field = layout_for(action).fields(action.paper)[0]
    return [
        pages.drawn_on(sheet, field.to_page(pose), rng, fine=FINE)
        for sheet, pose in zip(printed[1:], action.limbs[0].drawings)
    ]


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "wave.json"
    path.write_bytes(action_file.dumps(scanning.undrawn(wave(drawings=COUNT))))
    return path


def saved(path, picture, **more):
    Image.fromarray(picture).save(path, **{"quality": 88, **more} if path.suffix == ".jpg" else more)
    return path


def read(file, *paths):
    return scanning.scan(paths, action_file.read(file), file)


def off_by(done, action=None):
    """How far each joint is from the nearest dot, mm."""
    action = action or wave(drawings=COUNT)
    return [
        np.hypot(*(np.array(one.dots).reshape(-1, 2) - place).T).min()
        for n, one in done.read.items()
        for limb in action.limbs
        for place in limb.drawings[n - 1]
    ]


# ---- what comes back -------------------------------------------------------------------


def test_harsh_photographs_are_numbered_and_every_joint_has_its_dot(drawn, file, tmp_path):
    rng = np.random.default_rng(20261130)
    paths = []
    for n, sheet in enumerate(drawn, start=1):
        shot = pages.harsh(rng, (2592, 1944))
        path = tmp_path / f"{9 - n}.jpg"
        path.write_bytes(pages.jpeg(pages.photographed(sheet, shot, rng, FINE), shot.quality))
        paths.append(path)
    done = read(file, *paths)
    assert [1, 2, 3, 4] == sorted(done.read) and [] == done.wrong
    assert all(str(tmp_path / f"{9 - n}.jpg") == one.source for n, one in done.read.items())
    assert np.percentile(off_by(done), 95) < 0.5
    assert all(len(one.dots) == 4 for one in done.read.values())


def test_print_scan_confirm_gives_the_same_action(drawn, file, tmp_path):
    """The whole way round, within 0.3 mm: as a TIFF of many pages."""
    rng, action = np.random.default_rng(6), wave(drawings=COUNT)
    scans = [Image.fromarray(pages.scanned(sheet, rng, 150, FINE)) for sheet in reversed(drawn)]
    scans[0].save(tmp_path / "all.tiff", save_all=True, append_images=scans[1:], dpi=(150, 150))
    done = read(file, tmp_path / "all.tiff")
    assert sorted(done.read) == [1, 2, 3, 4] and [] == done.wrong + done.notes
    assert f"{tmp_path / 'all.tiff'}, page 4" == done.read[1].source
    mine = action_file.read(file)
    for n in done.read:
        for limb in action.limbs:
            for joint, place in zip(limb.joints, limb.drawings[n - 1]):
                mine = joints.confirm(
                    done.folder, mine, n, limb.name, joint, place + (0.9, -0.9)
                )  # pressed a little beside
    assert max(np.abs(a.drawings - b.drawings).max() for a, b in zip(mine.limbs, action.limbs)) < 0.3


def test_a_pdf_of_a_scanner_and_several_drawings_a_page(file, tmp_path):
    action, rng = wave(drawings=COUNT), np.random.default_rng(8)
    print_sheets(action, tmp_path / "four.pdf", each=4)
    sheet = list(pages.rendered(tmp_path / "four.pdf", FINE))[1]
    fields = layout_for(action, each=4).fields(action.paper)
    for field, pose in zip(fields, action.limbs[0].drawings):
        sheet = pages.drawn_on(sheet, field.to_page(pose), rng, fine=FINE, dot=2.2)
    Image.fromarray(pages.scanned(sheet, rng, 200, FINE)).save(tmp_path / "scan.pdf", resolution=200)
    done = read(file, tmp_path / "scan.pdf")
    assert [1, 2, 3, 4] == sorted(done.read) and max(off_by(done)) * fields[0].scale < 0.3


def test_a_portrait_page_and_two_limbs(tmp_path):
    action, rng = two_arms().replace(paper=(210.0, 297.0)), np.random.default_rng(9)
    arms = [np.ascontiguousarray(limb.drawings[:3] * 0.6 + (15, 80)) for limb in action.limbs]
    action = action.replace(
        exposure=2, limbs=tuple(replace(limb, drawings=places) for limb, places in zip(action.limbs, arms))
    )
    print_sheets(action, tmp_path / "upright.pdf", drawings=(2, 2))
    [sheet] = pages.rendered(tmp_path / "upright.pdf", FINE)
    field = layout_for(action).fields(action.paper)[0]
    for limb in action.limbs:
        sheet = pages.drawn_on(sheet, field.to_page(limb.drawings[1]), rng, fine=FINE)
    file = tmp_path / "upright.json"
    file.write_bytes(action_file.dumps(action))
    done = read(file, saved(tmp_path / "scan.png", pages.scanned(sheet, rng, 150, FINE)))
    assert [2] == list(done.read) and max(off_by(done, action)) < 0.3
    assert "missing: drawings 1, 3;" in done.wrong[-1]
    assert [(limb.name, joint) for limb in action.limbs for joint in limb.joints] == joints.waiting(done.read[2], action)


@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_camera_held_any_way(drawn, file, tmp_path, orientation):
    """The eight orientations of EXIF (from memory): the picture is stored turned or mirrored, and the tag says how."""
    undo = {
        1: lambda a: a,
        2: np.fliplr,
        3: lambda a: np.rot90(a, 2),
        4: np.flipud,
        5: lambda a: np.transpose(a, (1, 0, 2)),
        6: lambda a: np.rot90(a, 1),
        7: lambda a: np.transpose(np.rot90(a, 2), (1, 0, 2)),
        8: lambda a: np.rot90(a, 3),
    }
    exif = Image.Exif()
    exif[0x0112] = orientation
    small = cv2.resize(drawn[2], None, fx=2 / 3, fy=2 / 3, interpolation=cv2.INTER_AREA)
    done = read(file, saved(tmp_path / "photo.jpg", np.ascontiguousarray(undo[orientation](small)), exif=exif))
    assert [3] == list(done.read) and max(off_by(done)) < 0.3


# ---- what is wrong with a pile ------------------------------------------------------------


@pytest.fixture
def half(drawn):
    """The drawn sheets, 4 pixels to a mm."""
    return [cv2.resize(sheet, None, fx=2 / 3, fy=2 / 3, interpolation=cv2.INTER_AREA) for sheet in drawn]


def test_missing_and_doubled_sheets_are_said_and_a_later_scan_adds(half, file, tmp_path):
    one, two, again = (saved(tmp_path / f"{name}.png", half[n]) for name, n in (("a", 0), ("b", 1), ("c", 0)))
    done = read(file, one, two, again)
    assert [1, 2] == sorted(done.read)
    assert any(f"{again}: drawing 1 once more; the one of {one} was taken" in says for says in done.wrong)
    assert "missing: drawings 3 and 4;" in done.wrong[-1]
    more = read(file, saved(tmp_path / "d.png", half[3]))
    assert (
        [4] == list(more.read) and [1, 2, 4] == sorted(more.folder.drawings) and "missing: drawing 3;" in more.wrong[-1]
    )


def test_two_sheets_in_one_picture_are_told_apart(half, file, tmp_path):
    done = read(file, saved(tmp_path / "both.png", np.concatenate([half[2], half[0]], axis=1)))
    assert [1, 3] == sorted(done.read) and max(off_by(done)) < 0.3


def test_a_sheet_of_another_stack_is_not_taken(half, tmp_path):
    file = tmp_path / "lantern.json"
    file.write_bytes(action_file.dumps(lantern()))
    done = read(file, saved(tmp_path / "a.png", half[0]))
    assert not done.read and "drawing 1 is of another stack" in done.wrong[0] and not folder.folder_of(file).exists()


def test_half_a_sheet_is_numbered_only_where_enough_marks_are_seen(half, file, tmp_path):
    wide = half[0].shape[1]
    done = read(file, saved(tmp_path / "most.png", np.ascontiguousarray(half[0][:, : int(0.75 * wide)])))
    assert [1] == list(done.read)
    done = read(file, saved(tmp_path / "corner.png", np.ascontiguousarray(half[1][:420, :420])))
    assert not done.read and "photograph all of" in done.wrong[0]


@pytest.mark.parametrize(
    "spoil, says",
    [
        (lambda sheet: sheet[:, ::-1].copy(), "not mirrored"),
        (lambda sheet: np.full_like(sheet, 200), "no sheet of this course is seen"),
        (
            lambda sheet: np.random.default_rng(1).integers(0, 255, sheet.shape, np.uint8),
            "no sheet of this course is seen",
        ),
    ],
)
def test_what_is_no_sheet_is_said(half, file, tmp_path, spoil, says):
    done = read(file, saved(tmp_path / "x.png", spoil(half[0])))
    assert not done.read and len(done.wrong) == 1 and says in done.wrong[0]


def test_light_that_hides_the_pencil_is_said(half, file, tmp_path):
    done = read(file, saved(tmp_path / "dark.png", (half[0] * 0.18).astype(np.uint8)))
    assert (
        [1] == list(done.read) and "too dark" in done.read[1].remark and any("too dark" in note for note in done.notes)
    )
    fade = np.linspace(1.0, 0.12, half[0].shape[1])[None, :, None]
    done = read(file, saved(tmp_path / "uneven.png", (half[1] * fade).astype(np.uint8)))
    assert "uneven" in done.read[2].remark


def test_a_blank_sheet_and_a_planning_sheet_are_no_drawings(printed, file, tmp_path):
    small = [cv2.resize(sheet, None, fx=2 / 3, fy=2 / 3, interpolation=cv2.INTER_AREA) for sheet in printed[:2]]
    done = read(file, *(saved(tmp_path / f"{n}.png", sheet) for n, sheet in enumerate(small)))
    assert not done.read and "nothing is drawn on sheet 1" in done.wrong[0] and "a planning sheet" in done.notes[0]


def test_a_scan_of_a_page_that_was_printed_too_small_is_reckoned_back_and_said(drawn, file, tmp_path):
    scan = pages.scanned(drawn[0], np.random.default_rng(3), 150, FINE, skew=0.4, scale=0.94)
    done = read(file, saved(tmp_path / "small.png", scan, dpi=(150, 150)))
    assert "the page is 94 % of its size" in done.notes[0] and max(off_by(done)) < 0.3


def test_drawing_over_what_is_printed_makes_no_dots_of_it(printed, file, tmp_path):
    """Spacing dots, grid and chart are pale blue: of a sheet with one pencil dot one dot is read."""
    field = layout_for(wave(drawings=COUNT)).fields((297.0, 210.0))[0]
    sheet = pages.drawn_on(
        printed[3], field.to_page(np.array([[60.0, 60.0]])), np.random.default_rng(1), fine=FINE, line=False
    )
    sheet = pages.drawn_on(
        sheet, field.to_page(np.array([[220.0, 130.0]])), np.random.default_rng(2), fine=FINE, line=False, red=True
    )
    done = read(
        file,
        saved(
            tmp_path / "one.jpg", cv2.resize(sheet, None, fx=2 / 3, fy=2 / 3, interpolation=cv2.INTER_AREA), quality=70
        ),
    )
    assert np.abs(np.sort(np.array(done.read[3].dots), axis=0) - [[60, 60], [220, 130]]).max() < 0.2


# ---- bad images -----------------------------------------------------------------------------


def bomb():
    """A PNG that claims 60,000 x 60,000 pixels and holds a few bytes."""

    def chunk(kind, data):
        return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))

    return (
        b"\x89PNG\r\n\x1a\n"
        + chunk(b"IHDR", struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0))
        + chunk(b"IDAT", zlib.compress(bytes(1000)))
        + chunk(b"IEND", b"")
    )


def tiny():
    data = io.BytesIO()
    Image.new("RGB", (40, 40)).save(data, "PNG")
    return data.getvalue()


BAD = {
    "text.jpg": (b"not an image at all, but words", "is no image that is read here"),
    "empty.png": (b"", "is no image that is read here"),
    "bomb.png": (bomb(), "pixels"),
    "tiny.png": (tiny(), "photograph it nearer"),
    "broken.pdf": (b"%PDF-1.7\nand nothing of it", "cannot be opened"),
    "movie.gif": (b"GIF89a" + bytes(60), "is no image that is read here"),
    "zeros.tiff": (b"II*\0" + bytes(300), ""),
}


def test_bad_images_get_a_line_each_and_the_rest_goes_on(half, file, tmp_path):
    paths = []
    for name, (data, _) in BAD.items():
        (tmp_path / name).write_bytes(data)
        paths.append(tmp_path / name)
    good = saved(tmp_path / "good.jpg", half[1])
    (tmp_path / "cut.jpg").write_bytes(good.read_bytes()[: -len(good.read_bytes()) // 3])
    (tmp_path / "a folder").mkdir()
    done = read(
        file, *paths, tmp_path / "cut.jpg", tmp_path / "not there.jpg", tmp_path / "a folder", "nul\0.jpg", good
    )
    assert [2] == list(done.read)
    lines = done.wrong[:-1]
    assert len(BAD) + 4 == len(lines) and all(len(line.splitlines()) == 1 and len(line) < 400 for line in lines)
    for line, (name, (_, says)) in zip(lines, BAD.items()):
        assert line.startswith(str(tmp_path / name)) and says in line and ";" in line
    assert (
        "is cut short" in lines[-4]
        and "no such file" in lines[-3]
        and "is a folder" in lines[-2]
        and "NUL" in lines[-1]
    )


@pytest.mark.filterwarnings("error")
def test_bent_images_are_read_or_told_of_and_nothing_else(tmp_path):
    """Cut, changed and stuffed bytes, at a fixed seed."""
    rng, seeds = np.random.default_rng(20261130), {}
    page = Image.fromarray(rng.integers(0, 255, (420, 500, 3), np.uint8))
    for kind in ("JPEG", "PNG", "TIFF", "WEBP", "BMP", "PDF"):
        data = io.BytesIO()
        page.save(data, kind, **({"save_all": True, "append_images": [page]} if kind == "TIFF" else {}))
        seeds[kind] = data.getvalue()
    told = 0
    for case in range(60):
        data = bytearray(seeds[list(seeds)[case % len(seeds)]])
        if case % 3 == 0:
            data = data[: rng.integers(len(data))]
        else:
            for at in rng.integers(min(len(data), (300, len(data))[case % 2]), size=(1, 30)[case % 4 > 1]):
                data[at] = rng.integers(256)
        (tmp_path / "bent").write_bytes(bytes(data))
        for one in images.pages([tmp_path / "bent"]):
            if isinstance(one, ActionError):
                told += 1
                assert str(one).startswith(str(tmp_path / "bent")) and one.do and 1 == len(str(one).splitlines())
            else:
                assert one.pixels.dtype == np.uint8 and one.pixels.shape[2:] == (3,)
    assert told > 20


@pytest.mark.parametrize("mode", ["L", "RGBA", "P", "1", "I;16", "CMYK"])
def test_images_of_every_mode_are_read(half, file, tmp_path, mode):
    picture = Image.fromarray(half[0])
    if mode == "I;16":
        picture = Image.fromarray(np.asarray(picture.convert("L")).astype(np.uint16) * 257)
    else:
        picture = picture.convert(mode, dither=Image.Dither.NONE) if mode in ("1", "P") else picture.convert(mode)
    path = tmp_path / ("x.tiff" if mode in ("CMYK", "I;16") else "x.png")
    picture.save(path)
    assert [1] == list(read(file, path).read)


def test_a_pile_of_any_length_is_held_one_page_at_a_time(half, file, tmp_path):
    """The pages before are let go before the next is unpacked."""
    import weakref

    path, alive = saved(tmp_path / "a.png", half[0]), []

    def watch(page):
        alive.append(weakref.ref(page.pixels))
        assert sum(ref() is not None for ref in alive) <= 1

    scanning.scan([path] * 5, action_file.read(file), file, watch)
    assert len(alive) == 5


# ---- nothing counts that is not confirmed ---------------------------------------------------


def test_a_scan_changes_no_drawing_and_what_it_makes_counts_as_nothing_drawn(half, tmp_path):
    start = tmp_path / "printed.json"
    start.write_bytes(action_file.dumps(wave(drawings=COUNT)))
    photo = saved(tmp_path / "a.png", half[0])
    before = start.read_bytes()
    scanning.scan_into([photo], start)
    assert before == start.read_bytes()
    file = tmp_path / "mine.json"
    done, _ = scanning.scan_into([photo], file, start)
    assert [1] == list(done.read) and file.exists()
    assert all((limb.drawings == limb.drawings[:1]).all() for limb in action_file.read(file).limbs)
    assert (
        "nothing drawn"
        == hand_in.hand_in(action_file.read(file), Brief(), scanning.undrawn(wave(drawings=COUNT))).state
    )


def test_a_limb_is_laid_when_its_last_joint_is_confirmed_and_taken_back_whole(half, file, tmp_path):
    done = read(file, saved(tmp_path / "a.png", half[1]))
    action, true = action_file.read(file), wave(drawings=COUNT).limbs[0]
    mine = action
    for k, (joint, place) in enumerate(zip(true.joints, true.drawings[1])):
        assert mine.drawn_as(action) and joint == joints.waiting(done.folder.drawings[2], mine)[0][1]
        mine = joints.confirm(done.folder, mine, 2, true.name, joint, place)
    assert not mine.drawn_as(action) and np.abs(mine.limbs[0].drawings[1] - true.drawings[1]).max() < 0.3
    assert joints.next_drawing(done.folder, mine) is None
    done.folder.save()
    kept = folder.Folder.open(file, mine)
    assert kept.drawings == done.folder.drawings
    assert joints.again(kept, mine, 2).drawn_as(action) and joints.waiting(kept.drawings[2], action)
    with pytest.raises(ActionError, match="was not read from paper"):
        joints.confirm(kept, mine, 1, true.name, "wrist", (50, 50))
    with pytest.raises(ActionError, match="not a place on the sheet"):
        joints.confirm(kept, mine, 2, true.name, "wrist", (float("nan"), 50))
    with pytest.raises(ActionError, match='no joint "tail"'):
        joints.confirm(kept, mine, 2, true.name, "tail", (50, 50))


def test_only_a_lone_dot_is_meant():
    assert [10, 10] == dots.meant((11, 11), [[10, 10], [40, 40]]).tolist()
    assert [13, 10] == dots.meant((13, 10), [[10, 10]]).tolist()  # too far off
    assert [11, 10] == dots.meant((11, 10), [[10, 10], [13, 10]]).tolist()  # which of two is not guessed
    assert [1, 2] == dots.meant((1, 2), []).tolist()


def test_a_line_a_cross_and_a_smudge_are_no_dots():
    picture = np.full((600, 600), 255, np.uint8)
    cv2.line(picture, (50, 50), (500, 300), 60, 5, cv2.LINE_AA)  # 0.8 mm
    cv2.line(picture, (100, 400), (200, 500), 60, 5, cv2.LINE_AA)
    cv2.line(picture, (200, 400), (100, 500), 60, 5, cv2.LINE_AA)
    cv2.rectangle(picture, (400, 400), (560, 560), 90, -1)  # shaded
    assert 0 == len(dots.dots(picture))
    cv2.circle(picture, (300, 500), int(1.4 * flat.FINE), 70, -1, cv2.LINE_AA)
    [place] = dots.dots(picture)
    assert np.abs(place - [(300 + 0.5) / flat.FINE, (600 - 500 - 0.5) / flat.FINE]).max() < 0.05


# ---- the folder -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "bend, says",
    [
        (lambda text: text.replace('"stack"', '"pile"'), "not a list of drawings"),
        (lambda text: text.replace('"version": 1', '"version": 2'), "not a list of drawings"),
        (lambda text: text[:-20], "not a list of drawings"),
        (lambda text: text.replace('"number": 1', '"number": 99'), "not in the stack"),
        (lambda text: text.replace('"confirmed": {}', '"confirmed": {"tail": {"tip": [1, 2]}}'), "confirms a joint"),
        (lambda text: text.replace('"before": {}', '"before": {"arm": [[1, 2]]}'), "holds a pose"),
        (lambda text: " " * 5_000_000, "too large"),
        (lambda text: "[" * 100_000, "not a list of drawings"),
    ],
)
def test_a_list_that_was_bent_is_refused(half, file, tmp_path, bend, says):
    read(file, saved(tmp_path / "a.png", half[0]))
    path = folder.folder_of(file) / folder.LIST
    path.write_text(bend(path.read_text("utf-8")), "utf-8")
    with pytest.raises(ActionError, match=says) as refusal:
        folder.Folder.open(file, action_file.read(file))
    assert (
        str(path) in str(refusal.value)
        and "scan the sheets again" in str(refusal.value)
        and len(str(refusal.value)) < 600
    )


def test_a_folder_of_other_drawings_and_a_picture_that_is_none_are_refused(half, file, tmp_path):
    done = read(file, saved(tmp_path / "a.png", half[0]))
    with pytest.raises(ActionError, match="is of other drawings"):
        folder.Folder.open(file, buoy())
    for data in (b"", b"words", bomb()):
        done.folder.picture_path(1).write_bytes(data)
        with pytest.raises(ActionError, match="001.png"):
            done.folder.picture(1)


# ---- playback -----------------------------------------------------------------------------------


def test_the_pencil_line_itself_is_the_moving_picture(half, file, tmp_path):
    """Where the film is dark, the paper is: of the drawing that was read; the others are painted in clean line."""
    from anim_lessons.pictures import film

    done = read(file, saved(tmp_path / "a.png", half[1]))
    action, true = action_file.read(file), wave(drawings=COUNT)
    for joint, place in zip(true.limbs[0].joints, true.limbs[0].drawings[1]):
        action = joints.confirm(done.folder, action, 2, true.limbs[0].name, joint, place)
    painted = list(on_film.frames(done.folder)(action))
    clean = list(film.frames(action))
    assert COUNT == len(painted) and {film.size(action.paper)} == {one.size for one in painted}
    assert (np.asarray(painted[0]) == np.asarray(clean[0])).all()
    left, _, right, top = film.view(action)
    scale = film.size(action.paper)[0] / (right - left)
    frame = np.asarray(painted[1])
    for x, y in true.limbs[0].drawings[1]:
        column, row = int((x - left) * scale), int((top - y) * scale)
        assert frame[row, column] < 140, "no dot of the pencil where the joint is"
    assert (frame > 250).mean() > 0.9


def test_the_commands_scan_and_export(half, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("wave.json").write_bytes(action_file.dumps(wave(drawings=COUNT)))
    for n in (0, 1):
        saved(tmp_path / f"{n}.png", half[n])

    def run(*words):
        return click.testing.CliRunner().invoke(commands.main, words, prog_name="anim-lessons")

    done = run("export", "wave.json", "--to", "wave.gif", "--pencil")
    assert 2 == done.exit_code and "anim-lessons scan IMAGES --to wave.json" in done.stderr
    done = run("scan", "0.png", "1.png", "--to", "mine.json", "--start", "wave.json")
    assert (
        1 == done.exit_code
        and "drawing 2, 1.png: 4 dots found. To confirm: shoulder, elbow, wrist, fingertips" in done.stdout
    )
    assert "missing: drawings 3 and 4" in done.stderr and "2 of 4 drawings are read, in mine_paper" in done.stdout
    done = run("export", "mine.json", "--to", "mine.gif", "--pencil")
    assert 0 == done.exit_code and Path("mine.gif").read_bytes()[:3] == b"GIF"
    assert 2 == run("export", "mine.json", "--to", "mine.png", "--pencil").exit_code
    assert 0 == run("export", "mine.json", "--to", "mine.html", "--pencil").exit_code
    text = Path("mine.html").read_text("utf-8")
    assert "img-src data:;" in text and {"1", "2"} == json.loads(re.search(r'id="given">(.*?)</script>', text)[1])["pencil"].keys()
    assert 0 == run("export", "mine.json", "--to", "bare.html").exit_code
    assert "img-src" not in Path("bare.html").read_text("utf-8")
    done = run("scan", "nothing.jpg", "--to", "mine.json")
    assert 2 == done.exit_code and "nothing.jpg: there is no such file" in done.stderr
    done = run("scan", "0.png", "--to", "not_there.json")
    assert 2 == done.exit_code and "--start" in done.stderr and 1 == len(done.stderr.splitlines())


def test_limits_stand_before_an_image_is_unpacked(tmp_path, monkeypatch):
    monkeypatch.setattr(images, "MOST_BYTES", 10)
    (tmp_path / "large.jpg").write_bytes(bytes(11))
    [error] = images.pages([tmp_path / "large.jpg"])
    assert "MB" in str(error)
