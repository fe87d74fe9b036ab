"""The path of action as cubic Bézier pieces, for whoever draws it.

It is the curve of `paths.path_of_action`, solved with numpy alone: a still picture is made when
the light table is opened, and the table must not wait until scipy's splines are loaded.
"""

import numpy as np


def path_pieces(points, loop=True):
    """The path of action through a joint's places in all drawings, as cubic Bézier pieces.

    Parameters
    ----------
    points : array-like, shape (drawings, 2)
        mm, in the order of the drawings. A place that is repeated at once is passed once.
    loop : bool
        True: the path closes smoothly from the last drawing to the first.

    Returns
    -------
    ndarray, shape (pieces, 4, 2)
        Start, two handles and end of each piece, mm; no piece where the joint stays in one place.

    Notes
    -----
    Cubic spline over the square root of the distance between places, periodic for a loop, with
    not-a-knot ends otherwise (de Boor 1978, A Practical Guide to Splines, chapter IV, from memory).

    Examples
    --------
    >>> path_pieces([[0, 0], [30, 0]], loop=False)[0].tolist()
    [[0.0, 0.0], [10.0, 0.0], [20.0, 0.0], [30.0, 0.0]]
    """
    places = np.asarray(points, float)
    if loop:
        places = np.concatenate([places, places[:1]])
    width = np.sqrt(np.hypot(*np.diff(places, axis=0).T))  # of each piece, in the curve's parameter
    places, width = places[np.concatenate([[True], width > 0.0])], width[width > 0.0]
    if loop:
        places[-1] = places[0]
    if not len(width):
        return np.empty((0, 4, 2))
    slope = _slopes(width, places, loop)
    handle = width[:, None] / 3.0
    start, end = places[:-1], places[1:]
    return np.stack([start, start + slope[:-1] * handle, end - slope[1:] * handle, end], axis=1)


def _slopes(width, places, loop):
    """Slope at each place, mm by unit of the parameter, shape (places, 2)."""
    pieces = len(width)
    rise = np.diff(places, axis=0) / width[:, None]
    if pieces == 1:
        return np.repeat(rise, 2, axis=0)
    if pieces == 2 and loop:  # there and back on one line
        return np.zeros_like(places)
    if pieces == 2:  # three places: a parabola
        middle = (width[::-1, None] * rise).sum(axis=0) / width.sum()
        return np.stack([2 * rise[0] - middle, middle, 2 * rise[1] - middle])
    # Equal bending from both sides of each place. Rows of the pieces before and after it:
    after = np.arange(pieces) if loop else np.arange(1, pieces)
    before = after - 1
    unknown = pieces if loop else pieces + 1
    rows, right = np.zeros((unknown, unknown)), np.zeros((unknown, 2))
    rows[after, before] = width[after]
    rows[after, after] = 2 * (width[before] + width[after])
    rows[after, (after + 1) % unknown] = width[before]
    right[after] = 3 * (width[after, None] * rise[before] + width[before, None] * rise[after])
    if loop:
        slope = np.linalg.solve(rows, right)
        return np.concatenate([slope, slope[:1]])
    # Not-a-knot: the first two pieces are one cubic, and the last two.
    ends = (0, 1, width[:2], rise[:2]), (-1, -2, width[:-3:-1], rise[:-3:-1])
    for end, beside, (a, b), (first, second) in ends:
        rows[end, end], rows[end, beside] = b, a + b
        right[end] = ((a + 2 * (a + b)) * b * first + a * a * second) / (a + b)
    return np.linalg.solve(rows, right)
