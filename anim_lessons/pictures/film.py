"""Moving pictures: each drawing painted once, held for its exposure, the paper at rest under it.

A film format here is a function from grey pictures and the frames each is held
to the bytes of a file.
"""

import io
import struct
from fractions import Fraction
from itertools import pairwise

import numpy as np
from matplotlib.backends.backend_agg import RendererAgg
from matplotlib.path import Path
from matplotlib.transforms import Affine2D
from PIL import Image, ImageChops, ImageDraw, ImageFont

from ..model.action import ActionError
from . import palette
from .palette import INK, PAPER
from .pen import numbers
from .skin import Fill, drawn, pencil_line, window

WIDE, HIGH = 1920, 1080  # pixels of a frame; of drawings on upright paper the other way round
LEVELS = 64              # greys from ink to paper
SHORTEST = 2             # hundredths of a second; browsers slow a GIF down below that


# ---- painting ----------------------------------------------------------------------


def view(action):
    """What every frame shows, (left, bottom, right, top) in mm: all of all drawings, widened to the frame's shape."""
    left, bottom, right, top = window(action)
    wide, high = size(action.paper)
    across, up = right - left, top - bottom
    more = max(across, up * wide / high) - across, max(up, across * high / wide) - up
    return left - more[0] / 2, bottom - more[1] / 2, right + more[0] / 2, top + more[1] / 2


def size(paper):
    """Width and height of a frame in pixels, both even."""
    return (WIDE, HIGH) if paper[0] >= paper[1] else (HIGH, WIDE)


def frames(action, construction=False):
    """Paint every drawing once, in clean line; with bones, joints and numbers where the construction is asked for.

    Yields
    ------
    PIL.Image, mode "L"
        0 is ink and 255 is paper; the same window and the same scale throughout.
    """
    left, bottom, right, _ = view(action)
    width, height = size(action.paper)
    scale = width / (right - left)  # pixels to a mm
    place = Affine2D().translate(-left, -bottom).scale(scale)
    pen = numbers()["pen"]
    pencil = pen["film"] * min(width, height) / HIGH / scale / pen["width"]
    font = ImageFont.load_default(40)
    for d in range(action.count):
        picture = _picture(drawn(action, d, pencil, construction), (width, height), place, scale)
        if construction:
            ImageDraw.Draw(picture).text((36, 24), str(d + 1), fill=96, font=font)
        yield picture


def with_line(picture, action, number):
    """A picture of a frame with the pencil line of a drawing over it, the drawing from 1."""
    line = pencil_line(action, number - 1)
    if not line:
        return picture
    left, bottom, right, _ = view(action)
    scale = picture.width / (right - left)
    place = Affine2D().translate(-left, -bottom).scale(scale)
    return ImageChops.darker(picture, _picture(line, picture.size, place, scale))


def _picture(layers, size, place, scale):
    renderer = RendererAgg(*size, 72)
    renderer.clear()
    for layer in layers:
        _paint(renderer, layer, place, scale)
    shades = np.asarray(renderer.buffer_rgba()).astype(np.uint16)  # ink on nothing: how much paper is left
    return Image.fromarray((shades[..., 0] * shades[..., 3] // 255 + 255 - shades[..., 3]).astype(np.uint8))


def _paint(renderer, layer, place, scale):
    grey = _grey(layer.tone)
    pencil = renderer.new_gc()
    pencil.set_foreground((grey, grey, grey))
    if isinstance(layer, Fill):
        pencil.set_linewidth(0.0)
        path = Path.make_compound_path(*(Path(np.vstack([shape, shape[:1]]), closed=True) for shape in layer.shapes))
        renderer.draw_path(pencil, path, place, (grey, grey, grey))
    else:
        pencil.set_linewidth(layer.width * scale)
        pencil.set_joinstyle("round")
        pencil.set_capstyle("round" if layer.round else "butt")
        renderer.draw_path(pencil, Path(layer.points), place)


def _grey(tone):
    """A colour of the palette as a share of the way from ink to paper, by its green."""
    if tone == "paper":
        return 1.0
    ink, colour, paper = (int(colour[3:5], 16) for colour in (INK, getattr(palette, tone.upper()), PAPER))
    return (colour - ink) / (paper - ink)


def _ramp(levels):
    """So many colours from ink to paper, shape (levels, 3)."""
    ink, paper = (np.array([int(colour[i:i + 2], 16) for i in (1, 3, 5)]) for colour in (INK, PAPER))
    return ink + (paper - ink) * np.round(np.linspace(0, 255, levels))[:, None] / 255


# ---- GIF and APNG ------------------------------------------------------------------


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
    plays = {"loop": 0} if loop else {}
    try:
        return _pillow("GIF", pictures, [10 * held for held in hundredths(exposures, rate)],
                       palette=_colours(), optimize=False, disposal=1, **plays)
    except (OverflowError, struct.error):  # a drawing's time has 16 bits; Pillow's versions differ here
        raise ActionError("a GIF shows no drawing for longer than 655 seconds, and here one is held "
                          "for longer; shorten the exposures, or choose .apng") from None


def apng(pictures, exposures, rate, loop):
    """Bytes of an animated PNG (PNG, third edition): each delay is the fraction frames / rate, exactly."""
    durations = [Fraction(1000 * int(held), int(rate)) for held in exposures]
    return _pillow("PNG", pictures, durations, loop=0 if loop else 1)


def _pillow(kind, pictures, durations, **options):
    """Bytes by Pillow, each picture held for its duration in ms, cut to what differs from the one before."""
    nearest = [round(grey * (LEVELS - 1) / 255) for grey in range(256)]
    indexed = []
    for picture in pictures:
        picture = picture.point(nearest)
        picture.putpalette(_colours())
        indexed.append(picture)
    data = io.BytesIO()
    indexed[0].save(data, kind, save_all=True, append_images=indexed[1:], duration=durations, **options)
    return data.getvalue()


def _colours():
    return np.round(_ramp(LEVELS)).astype(np.uint8).tobytes()


# ---- MP4 ---------------------------------------------------------------------------


def mp4(pictures, exposures, rate, loop):
    """Bytes of an MP4 (H.264, 4:2:0): one frame a frame, exactly 1/rate s each; once through."""
    import av

    ramp = _ramp(256) @ _BT709.T + (16, 128, 128)
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
        raise ActionError(f"the film could not be written ({error.strerror}); try .apng, which is exact "
                          "too") from None
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
