"""Moving pictures: each drawing painted once, held for its exposure, the paper at rest under it.

A film format here is a function from grey pictures and the frames each is held
to the bytes of a file. The times are written by ourselves where a library would
round them.
"""

import io
import struct
import zlib
from fractions import Fraction
from itertools import pairwise

import numpy as np
from PIL import Image, ImageChops, ImageDraw, ImageFont

from ..model.action import ActionError
from .outline import BONE, CONTOUR, INK, PAPER, radii, shapes

WIDE, HIGH = 1920, 1080  # a frame fits into this box, upright paper into one stood on end
FINER = 2                # painted so many times larger, then reduced: smooth lines
LEVELS = 64              # greys from ink to paper
SHORTEST = 2             # hundredths of a second; browsers slow a GIF down below that


# ---- painting ----------------------------------------------------------------------


def size(paper):
    """Width and height of a frame in pixels, both even, for a sheet of this size in mm."""
    box = (WIDE, HIGH) if paper[0] >= paper[1] else (HIGH, WIDE)
    scale = min(box[0] / paper[0], box[1] / paper[1])
    return tuple(max(64, 2 * round(scale * side / 2)) for side in paper)  # a narrower strip no player shows


def frames(action):
    """Paint every drawing once.

    Yields
    ------
    PIL.Image, mode "L"
        0 is ink and 255 is paper; the same paper and the same scale throughout.
    """
    width, height = size(action.paper)
    scale = FINER * min(width / action.paper[0], height / action.paper[1])
    corner = np.array([(FINER * width - scale * action.paper[0]) / 2, (FINER * height + scale * action.paper[1]) / 2])
    unit = scale * min(action.paper) / 210
    font = ImageFont.load_default(max(8, 8 * unit))
    wide = [radii(limb) * scale for limb in action.limbs]
    for d in range(action.count):
        picture = Image.new("L", (FINER * width, FINER * height), 255)
        pen = ImageDraw.Draw(picture)
        pen.text((9 * unit, 8 * unit), str(d + 1), fill=96, font=font)
        for limb, broad in zip(action.limbs, wide):
            _limb(pen, limb.drawings[d] * (scale, -scale) + corner, broad, unit)
        yield picture.reduce(FINER)


def _limb(pen, points, broad, unit):
    for grow, grey in ((CONTOUR * unit / 2, 0), (-CONTOUR * unit / 2, 255)):
        discs, pieces = shapes(points, broad, grow)
        for piece in pieces:
            pen.polygon([tuple(corner) for corner in piece.tolist()], fill=grey)
        for x, y, r in discs:
            pen.ellipse((x - r, y - r, x + r, y + r), fill=grey)
    line = max(1, round(BONE * unit))
    pen.line([tuple(point) for point in points.tolist()], fill=0, width=line)
    ring = min(1.8 * unit, 0.5 * float(broad.min()))
    for x, y in points.tolist():
        pen.ellipse((x - ring, y - ring, x + ring, y + ring), fill=255, outline=0, width=line)


def _ramp():
    """The colours from ink to paper, shape (256, 3)."""
    ink, paper = (np.array([int(colour[i:i + 2], 16) for i in (1, 3, 5)]) for colour in (INK, PAPER))
    return ink + (paper - ink) * np.linspace(0, 1, 256)[:, None]


def _indexed(pictures):
    """The pictures with a palette of LEVELS colours, each cut to what differs from the one before.

    Yields (picture, left, top); the first is whole.
    """
    colours = np.round(_ramp()[np.linspace(0, 255, LEVELS).round().astype(int)]).astype(np.uint8).tobytes()
    steps = [round(grey * (LEVELS - 1) / 255) for grey in range(256)]
    before = None
    for picture in pictures:
        picture = picture.point(steps)
        box = (0, 0, *picture.size)
        if before is not None:
            # A drawing traced without a change still has its own frame, of one point.
            box = ImageChops.difference(picture, before).getbbox() or (0, 0, 1, 1)
        before = picture
        cut = picture.crop(box)
        cut.putpalette(colours)
        yield cut, box[0], box[1]


# ---- GIF ---------------------------------------------------------------------------


def hundredths(exposures, rate):
    """How long a GIF shows each drawing, hundredths of a second.

    A GIF cannot hold 1/24 s, so drawings on ones are held 4, 4, 4, 4, 4, 5 in turn and on
    twos 8, 8, 9: nothing adds up, and a second stays a second.

    Examples
    --------
    >>> hundredths([1] * 6, 24), hundredths([2] * 3, 24)
    ([4, 4, 4, 4, 4, 5], [8, 8, 9])
    """
    ends = [100 * int(frames) // rate for frames in np.cumsum([0, *exposures])]
    return [max(SHORTEST, after - before) for before, after in pairwise(ends)]


def gif(pictures, exposures, rate, loop):
    """Bytes of a GIF (GIF89a); it plays for ever if the action loops, else once."""
    parts = []
    for (picture, left, top), delay in zip(_indexed(pictures), hundredths(exposures, rate)):
        data = io.BytesIO()
        picture.save(data, "GIF", optimize=False)
        screen, descriptor, image = _gif_parts(data.getvalue())
        if not parts:
            parts.append(b"GIF89a" + screen)
            if loop:
                parts.append(b"\x21\xff\x0bNETSCAPE2.0\x03\x01\x00\x00\x00")
        while delay > 0xFFFF:  # longer than the field holds: the same picture again
            parts += [b"\x21\xf9\x04\x04\xff\xff\x00\x00", _placed(descriptor, left, top), image]
            delay -= 0xFFFF
        parts += [b"\x21\xf9\x04\x04" + struct.pack("<H", delay) + b"\x00\x00", _placed(descriptor, left, top), image]
    return b"".join(parts) + b"\x3b"


def _gif_parts(data):
    """Screen with its colours, image descriptor, and picture data of a GIF of one picture."""
    at = 13 + 3 * 2 ** ((data[10] & 7) + 1)
    screen = data[6:at]
    while data[at] == 0x21:  # extensions: kind, then blocks up to an empty one
        at += 2
        while data[at]:
            at += data[at] + 1
        at += 1
    return screen, data[at:at + 10], data[at + 10:-1]


def _placed(descriptor, left, top):
    return descriptor[:1] + struct.pack("<HH", left, top) + descriptor[5:]


# ---- APNG --------------------------------------------------------------------------


def apng(pictures, exposures, rate, loop):
    """Bytes of an animated PNG (PNG, third edition): each delay is the fraction frames / rate, exactly."""
    parts, sequence = [], 0
    for (picture, left, top), held in zip(_indexed(pictures), exposures):
        data = io.BytesIO()
        picture.save(data, "PNG", bits=8, compress_level=6)
        chunks = list(_chunks(data.getvalue()))
        image = b"".join(body for kind, body in chunks if kind == b"IDAT")
        first = not parts
        if first:
            parts += [_chunk(kind, body) for kind, body in chunks if kind in (b"IHDR", b"PLTE")]
            parts.insert(1, _chunk(b"acTL", struct.pack(">II", len(exposures), 0 if loop else 1)))
        delay = Fraction(int(held), int(rate))  # both fit their 16 bits: exposure and rate are bounded
        parts.append(_chunk(b"fcTL", struct.pack(">IIIIIHHBB", sequence, *picture.size, left, top,
                                                 delay.numerator, delay.denominator, 0, 0)))
        sequence += 1
        if first:
            parts.append(_chunk(b"IDAT", image))
        else:
            parts.append(_chunk(b"fdAT", struct.pack(">I", sequence) + image))
            sequence += 1
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts) + _chunk(b"IEND", b"")


def _chunks(data):
    at = 8
    while at < len(data):
        length, = struct.unpack_from(">I", data, at)
        yield data[at + 4:at + 8], data[at + 8:at + 8 + length]
        at += 12 + length


def _chunk(kind, body):
    return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))


# ---- MP4 ---------------------------------------------------------------------------


def mp4(pictures, exposures, rate, loop):
    """Bytes of an MP4 (H.264, 4:2:0): one frame a frame, exactly 1/rate s each; once through."""
    import av

    ramp = _ramp() @ _BT709.T + (16, 128, 128)
    luma, blue, red = np.round(ramp).clip(16, 240).astype(np.uint8).T
    data = io.BytesIO()
    try:
        with av.open(data, "w", format="mp4") as film:
            stream, number = None, 0
            for picture, held in zip(pictures, exposures):
                if stream is None:
                    stream = _stream(film, picture.size, rate)
                frame = _frame(av, picture, luma, blue, red)
                for _ in range(held):
                    frame.pts, frame.time_base = number, Fraction(1, int(rate))
                    film.mux(stream.encode(frame))
                    number += 1
            film.mux(stream.encode())
    except av.error.FFmpegError as error:
        raise ActionError(f"the film could not be written ({error.strerror}); try .apng, which is exact too") from None
    return data.getvalue()


# R'G'B' 0-255 to Y'CbCr of 8 bits; coefficients of ITU-R BT.709, from memory.
_BT709 = np.array([
    [0.2126, 0.7152, 0.0722],
    [-0.2126 / 1.8556, -0.7152 / 1.8556, 0.9278 / 1.8556],
    [0.7874 / 1.5748, -0.7152 / 1.5748, -0.0722 / 1.5748],
]) * np.array([[219 / 255], [224 / 255], [224 / 255]])


def _stream(film, size, rate):
    stream = film.add_stream("libx264", rate=int(rate))
    stream.width, stream.height = size
    stream.pix_fmt = "yuv420p"
    stream.time_base = Fraction(1, int(rate))
    stream.options = {"preset": "veryfast", "crf": "16", "tune": "animation"}
    context = stream.codec_context
    context.color_range = 1  # 16-235, as televisions expect
    context.colorspace = context.color_primaries = context.color_trc = 1  # BT.709
    context.gop_size = int(rate)  # a player can step to any second at once
    return stream


def _frame(av, picture, luma, blue, red):
    half = np.asarray(picture.reduce(2))  # a pair of lines and columns shares its colour
    planes = [luma[np.asarray(picture)], blue[half], red[half]]
    return av.VideoFrame.from_ndarray(np.concatenate([plane.ravel() for plane in planes]).reshape(
        picture.height * 3 // 2, picture.width), format="yuv420p")
