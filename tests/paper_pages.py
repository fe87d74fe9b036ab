"""Synthetic sheets: printed, drawn on and photographed, harshly or on a scanner's glass. It shares no code with the
reading.

The page is drawn from the PDF by an independent reader (PDFium). A pencil of our own puts lines and joint dots on it.
Then it is curled like a part of a cylinder, seen by a pinhole camera with a lens, lit unevenly, blurred, made noisy,
and saved as JPEG.
"""

import io
from dataclasses import dataclass
from itertools import pairwise

import cv2
import numpy as np
import pypdfium2
from PIL import Image

FINE = 10.0  # pixels to a mm of the page before it is photographed


def rendered(pdf, fine=FINE):
    """Each page of a PDF as an RGB array, `fine` pixels to a mm."""
    document = pypdfium2.PdfDocument(pdf)
    for page in document:
        yield np.array(page.render(scale=fine * 25.4 / 72, rev_byteorder=True).to_numpy()[..., :3])
    document.close()


def drawn_on(page, joints, rng, dot=None, fine=FINE, line=True, red=False):
    """A page with pencil on it: a line from joint to joint, each with a wobble, and a filled dot of 2 to 3.5 mm at
    each.

    `joints`: mm of the page, y up, shape (joints, 2). Returns the page and where the dots are, the same with what the
    hand is off by left out.
    """
    high = page.shape[0]
    layer = np.full(page.shape[:2], 255, np.uint8)
    shade = int(rng.integers(60, 100))
    at = [(round(16 * (x * fine - 0.5)), round(16 * (high - y * fine - 0.5))) for x, y in joints]
    if line:
        for a, b in pairwise(joints):
            # the outline of a limb, 6 mm to either side, as a pencil draws it
            way = (b - a) / max(1e-6, np.hypot(*(b - a)))
            side = np.array([-way[1], way[0]])
            for off in (-6, 6):
                t = np.linspace(0.1, 0.9, 24)[:, None]
                points = a + (b - a) * t + side * (off + 0.4 * np.sin(9 * t + rng.uniform(0, 6)))
                flat = np.stack([points[:, 0] * fine, high - points[:, 1] * fine], axis=-1)
                cv2.polylines(
                    layer,
                    [np.round(16 * flat).astype(np.int32)],
                    False,
                    shade + 30,
                    int(rng.uniform(0.4, 0.8) * fine),
                    cv2.LINE_AA,
                    4,
                )
    for x, y in at:
        wide = rng.uniform(2.0, 3.5) if dot is None else dot
        cv2.circle(layer, (x, y), round(16 * wide * fine / 2), shade, -1, cv2.LINE_AA, 4)
    share = layer.astype(np.float32)[..., None] / 255
    if red:
        share = 1 - (1 - share) * np.array([0.25, 1.0, 1.0], np.float32)
    return (page * share).astype(np.uint8)


@dataclass(frozen=True)
class Shot:
    """How a page is photographed; angles in degrees, lengths in mm."""

    tilt: float = 0.0
    turn: float = 0.0  # which way it is tilted
    roll: float = 0.0  # rotation in the picture
    curl: float = 0.0  # how far the middle of the page stands up
    curl_way: float = 0.0
    lens: float = 0.0  # radial distortion
    shadow: float = 0.0  # share of light that is lost on the dark side
    blur: float = 0.0  # pixels
    noise: float = 0.0  # grey levels
    warm: float = 0.0
    quality: int = 90
    size: tuple = (4000, 3000)
    fill: float = 0.86  # of the picture


def harsh(rng, size=(4000, 3000), more=1.0):
    """A photograph as one is taken in a hurry; `more` is how much worse than that."""
    quality = int(rng.integers(55, 92) / more)
    return Shot(
        tilt=rng.uniform(0, 28 * more),
        turn=rng.uniform(0, 360),
        roll=rng.choice([0, 90, 180, 270]) + rng.uniform(-12, 12),
        curl=rng.uniform(0, 8 * more),
        curl_way=rng.uniform(0, 180),
        lens=rng.uniform(-0.06, 0.06),
        shadow=min(0.8, rng.uniform(0.1, 0.6) * more),
        blur=rng.uniform(0.4, 1.8) * more,
        noise=rng.uniform(1, 6) * more,
        warm=rng.uniform(-0.12, 0.12),
        quality=quality,
        size=size,
        fill=rng.uniform(0.78, 0.9),
    )


def photographed(page, shot, rng, fine=FINE):
    """A page as a camera sees it, RGB."""
    high, wide = (side / fine for side in page.shape[:2])
    width, height = shot.size
    focal = 1.1 * max(shot.size)
    tilt, turn, roll, way = np.radians([shot.tilt, shot.turn, shot.roll, shot.curl_way])

    def about(angle, axis):
        c, s = np.cos(angle), np.sin(angle)
        a, b = [i for i in range(3) if i != axis]
        m = np.eye(3)
        m[a, a], m[a, b], m[b, a], m[b, b] = c, -s, s, c
        return m

    turned = about(roll, 2) @ about(turn, 2) @ about(tilt, 0) @ about(-turn, 2)

    def seen(places):
        """mm of the page, y down, from its middle -> pixels."""
        along = places[..., 0] * np.cos(way) + places[..., 1] * np.sin(way)
        half = 0.5 * np.hypot(wide, high)
        up = shot.curl * (1 - (along / half) ** 2)
        space = np.stack([places[..., 0], places[..., 1], -up], axis=-1) @ turned.T
        return space

    corners = np.array([(-wide, -high), (wide, -high), (wide, high), (-wide, high)]) / 2
    there = seen(corners)

    def image(space, far):
        xy = space[..., :2] / (space[..., 2:] + far)
        r2 = (xy**2).sum(axis=-1, keepdims=True)
        return focal * xy * (1 + shot.lens * r2 / 0.25)

    low, top = 50.0, 20_000.0  # how far the camera is, so that the page fills the picture
    for _ in range(60):
        far = (low + top) / 2
        spread = np.abs(image(there, far))
        fits = (spread[:, 0].max() < shot.fill * width / 2) and (spread[:, 1].max() < shot.fill * height / 2)
        low, top = (low, far) if fits else (far, top)
    # The map from the picture to the page: the homography of its corners, then what curl and lens make of it, in turn.
    step = 16
    rows, columns = np.mgrid[: height // step + 1, : width // step + 1] * float(step)
    aim = np.stack([columns, rows], axis=-1).reshape(-1, 2) + 0.5 - np.array([width, height]) / 2
    back = np.linalg.inv(cv2.getPerspectiveTransform(corners.astype(np.float32), image(there, far).astype(np.float32)))

    def flat(places):
        made = places @ back[:, :2].T + back[:, 2]
        return made[:, :2] / made[:, 2:]

    begin = flat(aim)
    outside = (np.abs(begin) > 0.6 * np.array([wide, high])).any(axis=-1)
    places = np.where(outside[:, None], 0.0, begin)
    for _ in range(14):
        places = places + np.where(outside[:, None], 0.0, begin - flat(image(seen(places), far)))
    assert np.abs(image(seen(places), far) - aim)[~outside].max() < 0.01, "the map was not inverted"
    canvas = np.where(outside[:, None], -1e4, (places + np.array([wide, high]) / 2) * fine - 0.5)
    canvas = canvas.reshape(*rows.shape, 2).astype(np.float32)
    smaller = np.array([[1 / step, 0, 0], [0, 1 / step, 0]], np.float32)
    maps = [
        cv2.warpAffine(
            np.ascontiguousarray(canvas[..., k]),
            smaller,
            (width, height),
            flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
            borderMode=cv2.BORDER_REPLICATE,
        )
        for k in (0, 1)
    ]
    put = image(there, far)
    shrink = max(1.0, fine * np.hypot(wide, high) / np.hypot(*(put[2] - put[0])))
    source = cv2.GaussianBlur(page, (0, 0), 0.35 * shrink) if shrink > 1.1 else page
    desk = tuple(int(c) for c in rng.integers(60, 150, 3))
    picture = cv2.remap(source, *maps, cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=desk).astype(
        np.float32
    )
    # Light falls off to one side, and a soft shadow lies over a part.
    y, x = np.mgrid[: height // 16 + 1, : width // 16 + 1].astype(np.float32)
    angle = rng.uniform(0, 2 * np.pi)
    across = (x / x.max() - 0.5) * np.cos(angle) + (y / y.max() - 0.5) * np.sin(angle)
    light = 1 - shot.shadow * (0.5 + across).clip(0, 1)
    edge = 1 / (1 + np.exp(-(across - rng.uniform(-0.3, 0.3)) * 25))
    light = cv2.resize((light * (1 - 0.35 * shot.shadow * edge)).astype(np.float32), (width, height))
    picture *= light[..., None] * np.array([1 + shot.warm, 1, 1 - shot.warm], np.float32)
    if shot.blur:
        picture = cv2.GaussianBlur(picture, (0, 0), shot.blur)
    if shot.noise:
        grain = rng.normal(0, shot.noise, (512, 512, 3)).astype(np.float32)
        tiles = np.tile(grain, (-(-height // 512), -(-width // 512), 1))[:height, :width]
        picture += tiles
    return picture.clip(0, 255).astype(np.uint8)


def jpeg(picture, quality=90, **more):
    data = io.BytesIO()
    Image.fromarray(picture).save(data, "JPEG", quality=quality, **more)
    return data.getvalue()


def scanned(page, rng, dpi=200, fine=FINE, skew=None, scale=1.0):
    """A page from a scanner's glass: a little skewed, a little noise. RGB, at so many dots an inch."""
    high, wide = (side / fine for side in page.shape[:2])
    skew = rng.uniform(-1.5, 1.5) if skew is None else skew
    pixels = dpi / 25.4
    m = cv2.getRotationMatrix2D((page.shape[1] / 2, page.shape[0] / 2), skew, pixels / fine * scale)
    size = int(wide * pixels) + 12, int(high * pixels) + 12
    m[:, 2] += np.array(size) / 2 - np.array(page.shape[1::-1]) / 2
    seen = cv2.warpAffine(
        cv2.GaussianBlur(page, (0, 0), 0.3 * fine / pixels), m, size, flags=cv2.INTER_LINEAR, borderValue=(225,) * 3
    )
    return (seen + rng.normal(0, 2, seen.shape)).clip(0, 255).astype(np.uint8)
