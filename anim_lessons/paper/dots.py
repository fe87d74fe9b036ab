"""Pencil dots on a flat page: where a joint may be. Which joint, the machine does not say."""

import numpy as np

from . import extra
from .flat import FINE

LINE = 1.7  # mm: what is thinner is a line
DARK = 0.35  # share of black, at least
LEAST, MOST = 1.4, 5.0  # mm, diameter of a dot
LONG = 1.9  # times as long as wide: then it is no dot
CROSSING = 2.6  # mm: of what is smaller, four lines that leave it make a crossing
MOST_DOTS = 60  # of one drawing
ALONE = 5.0  # mm to the next dot: then it is lone
SNAP = 2.5  # mm from a lone dot: then the dot is meant


def dots(picture):
    """Dots of 2 to 3.5 mm in a picture of the pencil.

    Parameters
    ----------
    picture : ndarray of uint8, shape (rows, columns)
        FINE pixels to a mm; 255 is paper.

    Returns
    -------
    ndarray, shape (dots, 2)
        mm from the lower left corner of the picture, the darkest first.
    """
    cv2 = extra.load("cv2")
    dark = 255 - picture
    brush = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (int(LINE * FINE) | 1,) * 2)
    thick = cv2.morphologyEx(cv2.GaussianBlur(dark, (0, 0), 0.8), cv2.MORPH_OPEN, brush)
    count, labels, stats, _ = cv2.connectedComponentsWithStats((thick > DARK * 255).astype(np.uint8), connectivity=8)
    found = []
    for n in range(1, count):
        left, top, wide, high, area = stats[n]
        across = 2 * np.sqrt(area / np.pi) / FINE
        if not LEAST <= across <= MOST or max(wide, high) > LONG * min(wide, high) or area < 0.55 * wide * high:
            continue
        if across < CROSSING and _arms(dark, left + wide / 2, top + high / 2, across) >= 4:
            continue
        part = slice(top, top + high), slice(left, left + wide)
        weight = np.where(labels[part] == n, thick[part], 0).astype(float)
        whole = weight.sum()
        x = left + (weight.sum(axis=0) * np.arange(wide)).sum() / whole
        y = top + (weight.sum(axis=1) * np.arange(high)).sum() / whole
        found.append((whole / area, (x + 0.5) / FINE, (len(picture) - 0.5 - y) / FINE))
    found.sort(reverse=True)
    return np.array([place for _, *place in found[:MOST_DOTS]]).reshape(-1, 2)


def _arms(dark, x, y, across):
    """How many lines leave a small dark place: dark runs on a circle round it."""
    turn = np.exp(2j * np.pi * np.arange(72) / 72) * (across / 2 + 1.2) * FINE
    columns, rows = (
        np.clip(np.round(at).astype(int), 0, side - 1)
        for at, side in ((x + turn.real, dark.shape[1]), (y + turn.imag, dark.shape[0]))
    )
    on = dark[rows, columns] > DARK * 255
    return int((on & ~np.roll(on, 1)).sum())


def meant(place, found):
    """The place that is meant by pointing there: that of a lone dot within SNAP mm, else the place itself.

    Parameters
    ----------
    place : ndarray, shape (2,)
        mm.
    found : ndarray, shape (dots, 2)

    Returns
    -------
    ndarray, shape (2,)
    """
    place, found = np.asarray(place, float), np.asarray(found, float).reshape(-1, 2)
    if not len(found):
        return place
    far = np.hypot(*(found - place).T)
    near = int(np.argmin(far))
    others = np.hypot(*(np.delete(found, near, axis=0) - found[near]).T)
    lone = not len(others) or others.min() > ALONE
    return found[near] if far[near] <= SNAP and lone else place
