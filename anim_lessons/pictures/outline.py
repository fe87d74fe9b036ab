"""How a limb is put on paper: its shape, its weights and its greys.

Shared by the pictures of `plots` and the moving pictures of `export`, so that
both show the same pencil. Geometry only; who paints it imports its own tools.
"""

import numpy as np

from ..measures.loops import extremes

# Graphite on paper; the contrasts were computed by the WCAG 2.2 formula.
PAPER, INK, MID, LIGHT = "#fdfcf7", "#262422", "#57534c", "#858078"
RULE = "#d9d4c8"    # ruling: scenery, carries no meaning

# mm on the sheet
CONTOUR, BONE, PATH = 1.2, 0.55, 0.5
BEFORE = ((0.95, (8, 1.5)), (0.7, (4.5, 2)), (0.5, (2.5, 2.5)))        # 1, 2, 3 before: dashes
AFTER = ((1.15, (0.05, 2.3)), (0.95, (0.05, 3.1)), (0.8, (0.05, 4.25)))  # 1, 2, 3 after: round dots

SINGLE = 6.0  # mm, radius of a limb that is one joint alone


def radii(limb):
    """Half the width of a limb at each of its joints, mm, shape (joints,).

    Widest at the joint that carries it, in proportion to its segments; one segment
    alone is a rod.
    """
    joints = len(limb.joints)
    if joints == 1:
        return np.array([SINGLE])
    if joints == 2:
        return np.repeat(0.025 * limb.lengths, 2)
    # An arm of 58, 53 and 34 mm comes out 7.6 mm at the shoulder and 2.4 mm at the fingertips.
    share = np.interp(np.linspace(0, 1, joints), [0, 1 / 3, 2 / 3, 1], [0.156, 0.111, 0.076, 0.049])
    return share * limb.lengths.mean()


def shapes(points, radii, grow=0.0):
    """The limb as shapes that overlap: a disc at each joint, a tapering piece between two.

    Filled with ink grown by half a line, then with paper grown by minus half a
    line, they leave the contour of the whole.

    Parameters
    ----------
    points : ndarray, shape (joints, 2)
        mm.
    radii : ndarray, shape (joints,)
        mm.
    grow : float
        Added to every radius, mm.

    Returns
    -------
    discs : list of (x, y, radius)
    pieces : list of ndarray, shape (4, 2)
        Corners counter-clockwise. Fewer than segments where one disc holds the next.
    """
    grown = np.maximum(radii + grow, 0.0)
    discs = [(x, y, r) for (x, y), r in zip(points.tolist(), grown.tolist()) if r > 0]
    pieces = []
    for a, b, ra, rb in zip(points[:-1], points[1:], grown[:-1], grown[1:]):
        along = b - a
        length = float(np.hypot(*along))
        if length <= abs(ra - rb):
            continue
        along = along / length
        across = np.array([-along[1], along[0]])
        # The lines that touch both discs meet them where the normal leans by this sine.
        lean = (ra - rb) / length
        left = along * lean + across * np.sqrt(1 - lean * lean)
        right = along * lean - across * np.sqrt(1 - lean * lean)
        pieces.append(np.array([a + ra * right, b + rb * right, b + rb * left, a + ra * left]))
    return discs, pieces


def smooth(points, loop):
    """A curve through the points as cubic Bézier pieces (Catmull and Rom's tangents).

    Parameters
    ----------
    points : ndarray, shape (drawings, 2)
    loop : bool

    Returns
    -------
    ndarray, shape (pieces, 4, 2)
        Start, two handles and end of each piece.
    """
    if loop:
        before, after = np.roll(points, 1, axis=0), np.roll(points, -1, axis=0)
    else:
        before = np.concatenate([points[:1], points[:-1]])
        after = np.concatenate([points[1:], points[-1:]])
    handle = (after - before) / 6.0
    start = points if loop else points[:-1]
    end = after if loop else after[:-1]
    handle_end = np.roll(handle, -1, axis=0) if loop else handle[1:]
    return np.stack([start, start + handle[: len(start)], end - handle_end, end], axis=1)


def halves(points, loop):
    """The ways between the extremes, and how far along each drawing stands.

    Parameters
    ----------
    points : ndarray, shape (drawings, 2)
        Of one joint, mm.
    loop : bool
        True: out from the first extreme to the second, and back; False: out only.

    Returns
    -------
    list of (name, drawings, along)
        Name "out" or "back", numbers of the drawings from extreme to extreme, and
        their shares of the way, 0 to 1, measured from drawing to drawing. Empty where
        the joint rests.
    """
    first, second = extremes(points)
    count = len(points)
    ways = [("out", range(first, second + 1))]
    if loop:
        ways.append(("back", [(n - 1) % count + 1 for n in range(second, first + count + 1)]))
    found = []
    for name, numbers in ways:
        numbers = list(numbers)
        there = points[np.array(numbers) - 1]
        gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(there, axis=0).T))])
        if first != second and gone[-1] > 0:
            found.append((name, numbers, gone / gone[-1]))
    return found
