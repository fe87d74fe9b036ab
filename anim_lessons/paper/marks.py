"""The marks of a page found in an image, and what they say."""

from dataclasses import dataclass
from functools import cache

import numpy as np

from . import extra, stamp
from .layout import layout_of

SIDE = 1600  # pixels along the longer side in which marks are looked for first; then in all of them
SURE = 5  # marks that agree: then it is no chance
ENOUGH = 9  # of the twelve: no more are looked for
WINDOW = 0.08  # of a mark's side: within it a corner is looked for finely


@dataclass(frozen=True)
class Found:
    """A sheet in an image.

    Attributes
    ----------
    stamp : Stamp
    layout : Layout
    places : ndarray of int, shape (marks,)
        Which marks are seen.
    corners : ndarray, shape (marks, 4, 2)
        Where, pixels, the centre of the first at 0, 0.
    """

    stamp: stamp.Stamp
    layout: object
    places: np.ndarray
    corners: np.ndarray


@cache
def _detector():
    cv2 = extra.load("cv2")
    how = cv2.aruco.DetectorParameters()
    how.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_NONE  # done once, on all pixels
    how.adaptiveThreshWinSizeMin, how.adaptiveThreshWinSizeMax, how.adaptiveThreshWinSizeStep = 7, 43, 12
    how.minMarkerPerimeterRate = 0.02
    how.errorCorrectionRate = 0.5
    return cv2.aruco.ArucoDetector(cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11), how)


def find(grey, stack=None):
    """The sheets in an image.

    Parameters
    ----------
    grey : ndarray of uint8, shape (height, width)
    stack : int, optional
        Of the action whose sheets are looked for: with it four marks are enough.

    Returns
    -------
    list of Found
        Those seen in the most marks first.
    list of int
        Ids of marks that were seen and belong to none.
    """
    cv2 = extra.load("cv2")
    seen = {}
    whole = max(grey.shape)
    sides = sorted({min(whole, SIDE), min(whole, 2 * SIDE), whole})
    for side in sides:
        if side == whole:
            small = grey
        else:
            small = cv2.resize(grey, None, fx=side / whole, fy=side / whole, interpolation=cv2.INTER_AREA)
        for even in (False, True) if side == sides[-1] else (False,):
            if even:
                small = cv2.createCLAHE(4.0, (8, 8)).apply(small)
            corners, ids, _ = _detector().detectMarkers(small)
            for four, mark in zip(corners, [] if ids is None else ids.ravel().tolist()):
                where = (four.reshape(4, 2) + 0.5) * (whole / side) - 0.5
                seen.setdefault(mark, []).append(where)
            if max((len(agree) for _, agree in _told(seen)), default=0) >= ENOUGH:
                return _found(grey, seen, stack)
    return _found(grey, seen, stack)


def _told(seen):
    """Stamps that the marks say, each with the ids that say it."""
    rest, told = set(seen), []
    while rest:
        one, agree = stamp.read(rest)
        if one is None:
            break
        told.append((one, agree))
        rest -= agree
    return told


def _found(grey, seen, stack):
    found, used = [], set()
    for one, agree in _told(seen):
        layout = layout_of(one.layout)
        if layout is None or len(agree) < SURE and one.stack != stack:
            continue
        marks = sorted(agree)
        places = np.array([mark // stamp.PRIME for mark in marks])
        corners = np.array([_one(seen[mark]) for mark in marks])
        good = _consistent(layout.corners[places], corners)
        if good.sum() < (stamp.NEEDED if one.stack == stack else SURE):
            continue
        used |= agree
        found.append(Found(one, layout, places[good], _refined(grey, corners[good])))
    return found, sorted(set(seen) - used)


def _one(places):
    """The place at which a mark was seen last, that is most finely."""
    return places[-1]


def _consistent(on_page, corners):
    """Which marks lie where one page held in space may have them: within a fifth of their side, for a page may curl."""
    cv2 = extra.load("cv2")
    side = np.hypot(*(corners[:, 1] - corners[:, 0]).T).mean()
    lens, _ = cv2.findHomography(on_page.reshape(-1, 2), corners.reshape(-1, 2).astype(float), cv2.RANSAC, 0.35 * side)
    if lens is None:
        return np.zeros(len(corners), bool)
    put = cv2.perspectiveTransform(on_page.reshape(-1, 1, 2), lens).reshape(-1, 4, 2)
    return np.hypot(*np.moveaxis(put - corners, -1, 0)).max(axis=1) < 0.5 * side


def _refined(grey, corners):
    """Corners to a fraction of a pixel."""
    cv2 = extra.load("cv2")
    side = float(np.hypot(*(corners[:, 1] - corners[:, 0]).T).mean())
    half = max(2, round(WINDOW * side))
    fine = corners.reshape(-1, 1, 2).astype(np.float32)
    cv2.cornerSubPix(grey, fine, (half, half), (-1, -1), (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 30, 0.01))
    fine = fine.reshape(-1, 4, 2).astype(float)
    moved = np.hypot(*np.moveaxis(fine - corners, -1, 0))
    return np.where((moved < 1.5 * half)[..., None], fine, corners)
