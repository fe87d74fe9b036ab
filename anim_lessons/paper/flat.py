"""A page made flat: where each mm of it lies in the image, and the pencil alone.

A pinhole camera maps a flat page by a homography. What lens and curl add is a polynomial of the place on the page,
fitted to the marks, and then to the pale dots between them. A dot that is drawn over is left out.
"""

from dataclasses import dataclass

import numpy as np

from . import extra

FINE = 6.0  # pixels to a mm of the flat page
COARSE = 8  # pixels of it between two places that are worked out
BY_MARKS, BY_DOTS = 3, 5  # degrees of the polynomials
LOOK = 2.6  # mm round a pale dot in which it is looked for
SEEN = 9.0  # grey levels between a pale dot and the paper, at least
OFF = 0.25  # mm from where the fit has it: such a dot or corner is left out
BENT = 0.15  # mm, root mean square of what the fit leaves: above it the page is said to be curled
DARK, UNEVEN = 60, 0.3  # grey level of the paper, and darkest over lightest: below them a page is said to be badly lit
WHITE, BLACK = 0.86, 0.25  # shares of the paper's light that become white and black


@dataclass(frozen=True)
class Flat:
    """Where a page lies in an image.

    Attributes
    ----------
    homography : ndarray, shape (3, 3)
        From mm of the page to pixels.
    bend : ndarray, shape (terms, 2)
        Pixels that the polynomial adds.
    degree : int
    middle, half : ndarray, shape (2,)
        mm: the polynomial counts from -1 to 1.
    rms : float
        mm that the fit leaves.
    dots : int
        Pale dots found.
    """

    homography: np.ndarray
    bend: np.ndarray
    degree: int
    middle: np.ndarray
    half: np.ndarray
    rms: float
    dots: int

    def pixels(self, places):
        """Pixels of places on the page, mm, shape (..., 2)."""
        places = np.asarray(places, float)
        flat = places.reshape(-1, 2)
        made = _through(self.homography, flat) + _terms((flat - self.middle) / self.half, self.degree) @ self.bend
        return made.reshape(places.shape)


def flattened(pixels, found):
    """Fit a page to its marks, then to its pale dots.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
    found : Found

    Returns
    -------
    Flat
    """
    size = np.array(found.layout.size)
    middle, half = size / 2, size / 2
    on_page, seen = found.layout.corners[found.places].reshape(-1, 2), found.corners.reshape(-1, 2)
    # So few marks bear no polynomial of so high a degree.
    degree = BY_MARKS if len(found.places) >= 10 else 2 if len(found.places) >= 6 else 0
    flat = _fit(on_page, seen, np.ones(len(seen)), degree, middle, half, 0)
    for _ in range(2):
        dots, there = _dots(pixels, flat, found.layout.grid)
        if len(dots) < 24:
            return flat
        weight = np.concatenate([np.full(len(seen), 0.5), np.ones(len(there))])
        flat = _fit(
            np.concatenate([on_page, dots]),
            np.concatenate([seen, there]),
            weight,
            BY_DOTS if len(dots) > 50 else BY_MARKS,
            middle,
            half,
            len(dots),
        )
    return flat


def _fit(on_page, seen, weight, degree, middle, half, dots):
    """Homography and polynomial by least squares, what lies off left out in turn."""
    cv2 = extra.load("cv2")
    homography, _ = cv2.findHomography(on_page, seen, 0)
    scale = _scale(homography, middle)
    terms = _terms((on_page - middle) / half, degree)
    keep = np.ones(len(seen), bool)
    for _ in range(4):
        rest = seen - _through(homography, on_page)
        w = np.sqrt(weight * keep)[:, None]
        bend, *_ = np.linalg.lstsq(
            np.vstack([terms * w, 1e-3 * np.eye(terms.shape[1])]),
            np.vstack([rest * w, np.zeros((terms.shape[1], 2))]),
            rcond=None,
        )
        off = np.hypot(*(rest - terms @ bend).T) / scale
        limit = max(OFF, 3 * np.median(off[keep]))
        if (keep == (off <= limit)).all():
            break
        keep = off <= limit
    return Flat(homography, bend, degree, middle, half, float(np.sqrt((off[keep] ** 2).mean())), dots)


def _scale(homography, middle):
    """Pixels to a mm in the middle of the page."""
    about = _through(homography, middle + np.array([[-5.0, 0], [5, 0], [0, -5], [0, 5]]))
    return float((np.hypot(*(about[1] - about[0])) + np.hypot(*(about[3] - about[2]))) / 20)


def _through(homography, places):
    made = places @ homography[:, :2].T + homography[:, 2]
    return made[:, :2] / made[:, 2:]


def _terms(places, degree):
    x, y = places.T
    return np.stack([x**i * y**j for i in range(degree + 1) for j in range(degree + 1 - i)], axis=-1)


# ---- pale dots -----------------------------------------------------------------------


def _dots(pixels, flat, grid):
    """Pale dots found: their places on the page and in the image. Blue is darker in red light than in blue."""
    high, wide = pixels.shape[:2]
    centres = flat.pixels(grid)
    reach = flat.pixels(grid + (LOOK, 0.0)), flat.pixels(grid + (0.0, LOOK))
    radius = np.maximum(np.abs(reach[0] - centres).max(axis=1), np.abs(reach[1] - centres).max(axis=1))
    a_mm = (
        np.abs(
            np.cross(
                np.append(reach[0] - centres, np.zeros((len(grid), 1)), axis=1),
                np.append(reach[1] - centres, np.zeros((len(grid), 1)), axis=1),
            )[:, 2]
        )
        / LOOK**2
    )
    on, there = [], []
    for place, (x, y), r, area in zip(grid, centres, radius, a_mm):
        r = int(np.ceil(r))
        left, top = round(x) - r, round(y) - r
        if r < 4 or left < 0 or top < 0 or left + 2 * r >= wide or top + 2 * r >= high:
            continue
        box = pixels[top : top + 2 * r + 1, left : left + 2 * r + 1].astype(np.float32)
        blue = box[..., 2] - box[..., 0]
        edge = np.concatenate([blue[0], blue[-1], blue[:, 0], blue[:, -1]])
        blue -= np.median(edge)
        peak = np.partition(blue.ravel(), -8)[-8]
        if peak < SEEN or np.abs(edge - np.median(edge)).max() > 0.6 * peak:
            continue
        dot = blue > 0.5 * peak
        mm = dot.sum() / area
        if not 0.5 < mm < 3.5:  # a dot has 1.5 square mm
            continue
        weight = np.where(dot, blue, 0)
        rows, columns = np.mgrid[: weight.shape[0], : weight.shape[1]]
        whole = weight.sum()
        on.append(place)
        there.append((left + (weight * columns).sum() / whole, top + (weight * rows).sum() / whole))
    return np.array(on).reshape(-1, 2), np.array(there).reshape(-1, 2)


# ---- the flat page -------------------------------------------------------------------


def pencil(pixels, flat, box):
    """The pencil of a part of the page, evenly lit, without what is pale blue.

    Parameters
    ----------
    pixels : ndarray of uint8, shape (height, width, 3)
    flat : Flat
    box : (left, bottom, right, top)
        mm of the page.

    Returns
    -------
    ndarray of uint8, shape (rows, columns)
        FINE pixels to a mm, the upper row first; 255 is paper.
    str
        What is wrong with its light, or an empty text.
    """
    cv2 = extra.load("cv2")
    left, bottom, right, top = box
    wide, high = (round(side * FINE) for side in (right - left, top - bottom))
    columns, rows = (np.arange(-(-side // COARSE) + 1) * COARSE for side in (wide, high))
    places = np.stack(np.meshgrid(left + (columns + 0.5) / FINE, top - (rows + 0.5) / FINE), axis=-1)
    coarse = flat.pixels(places).astype(np.float32)
    low = np.floor(coarse.reshape(-1, 2).min(axis=0)).astype(int) - 2
    far = np.ceil(coarse.reshape(-1, 2).max(axis=0)).astype(int) + 3
    low, far = np.maximum(low, 0), np.minimum(far, pixels.shape[1::-1])
    if (far <= low).any():
        return np.full((high, wide), 255, np.uint8), "it lies outside the picture"
    blue = np.ascontiguousarray(pixels[low[1] : far[1], low[0] : far[0], 2])
    smaller = np.array([[1 / COARSE, 0, 0], [0, 1 / COARSE, 0]], np.float32)
    fine = [
        cv2.warpAffine(
            (coarse[..., k] - low[k]).astype(np.float32),
            smaller,
            (wide, high),
            flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
            borderMode=cv2.BORDER_REPLICATE,
        )
        for k in (0, 1)
    ]
    seen = cv2.remap(blue, *fine, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    # The light of the paper: the lightest within 8 mm, smoothed.
    few = cv2.resize(seen, None, fx=1 / COARSE, fy=1 / COARSE, interpolation=cv2.INTER_AREA)
    light = cv2.morphologyEx(
        cv2.medianBlur(few, 3), cv2.MORPH_CLOSE, cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (9, 9))
    )
    light = cv2.GaussianBlur(light, (0, 0), 2.0)
    says = ""
    darkest, lightest = np.percentile(light, (2, 98))
    if lightest < DARK:
        says = "it is too dark"
    elif darkest < UNEVEN * lightest:
        says = "its light is too uneven"
    paper = cv2.resize(light, (wide, high), interpolation=cv2.INTER_LINEAR).astype(np.float32)
    share = (seen / np.maximum(paper, 8.0) - BLACK) / (WHITE - BLACK)
    return (np.clip(share, 0, 1) * 255).astype(np.uint8), says


def claimed_scale(flat, layout, dpi):
    """How large a scan shows the page, 1 being its true size; None where it is no scan or its dots an inch are not
    known.
    """
    if dpi is None:
        return None
    width, height = layout.size
    corners = flat.pixels([(0, 0), (width, 0), (width, height), (0, height)])
    sides = np.hypot(*(corners - np.roll(corners, -1, axis=0)).T) / [width, height, width, height] * 25.4 / dpi
    if sides.max() > 1.004 * sides.min():  # held in the hand: photographed
        return None
    return float(sides.mean())
