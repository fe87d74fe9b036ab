"""A stroke of the hand, smoothed into an arc.

A hand trembles in short waves and means long ones. Along the line's own length it is taken apart
into waves; those that come more often than BENDS times in a round are tremble and left out. Where the line
turns on the spot, as paths do at an extreme, it is smoothed up to the turn and not across it.
How far that moved the line is measured and said.
"""

from dataclasses import dataclass

import numpy as np

from ...geometry.paths import path_of_action
from ...model.action import ActionError, off_paper
from ...model.words import amount

BENDS = 8          # waves in a round, or half waves in an open line twice as many: more are tremble
PLACES = 64        # that keep the arc, to be drawn and saved
SHORTEST = 10.0    # mm: less is a slip of the pen, no path
LONGEST = 20_000   # places of a stroke
_FINE = 512        # places of a stroke while it is smoothed
_TURN = 75.0       # degrees, within _NEAR of a place either way: there the line turns on the spot
_NEAR = 0.035      # of its length
_GAP = 0.3         # of its length: a line farther from closing is an arc to go to and fro on
_CUT = 0.12        # of its length, at each end, that may have run past the beginning


@dataclass(frozen=True, eq=False)
class Arc:
    """A stroke, smoothed.

    Attributes
    ----------
    path : arcs.Path
    places : ndarray, shape (about PLACES, 2)
        mm, that the path goes through, the first where the hand began.
    kind : str
        "round", "to and fro" (an arc of a loop, gone out and back) or "from end to end".
    moved, most : float
        How far the stroke lies from the path, mm: its root mean square, and its greatest.
    """

    path: object
    places: np.ndarray
    kind: str
    moved: float
    most: float

    @property
    def says(self):
        length = f"{self.path.length / (2 if self.kind == 'to and fro' else 1):.0f} mm"
        how = {"round": f"Closed, {length} round", "to and fro": f"An arc of {length}, to and fro",
               "from end to end": f"{length} from end to end"}[self.kind]
        if self.most < 0.05:
            return f"{how}. Nothing had to be smoothed."
        return f"{how}. Smoothed by up to {amount(self.most, 1)} mm, {amount(self.moved, 1)} mm on the whole."


def smoothed(stroke, loop=True):
    """The arc that a stroke of the hand means.

    Parameters
    ----------
    stroke : array-like, shape (places, 2)
        mm, as the pen went. In a loop it may run past its beginning or stop short of it; drawn as an arc
        with its ends apart it is gone out and back, as a lantern goes.
    loop : bool

    Returns
    -------
    Arc

    Raises
    ------
    ActionError
        Where the stroke is too short to be a path, or holds no places on the paper.

    Notes
    -----
    Of a closed line each wave k is kept by ``1 / (1 + (k / BENDS)**8)``; an open line, or a piece between two
    turns, is continued point-symmetrically at both ends first, so that its ends stay where they were drawn.
    """
    z, length = _fine(_stroke(stroke))
    if not loop:
        return _arc([_open(z)], z, "from end to end", loop)
    if abs(z[-1] - z[0]) > _GAP * length:
        out = _open(z)
        return _arc([out, out[::-1]], z, "to and fro", loop)
    z, length = _fine(_without_overlap(z))
    return _arc(_round(_closed(z, length)), z, "round", loop)


def through(points, loop=True):
    """A stroke through places set one by one, (places, 2) mm, as fine as one drawn by hand."""
    points = np.asarray(points, float)
    if points.ndim != 2 or len(points) < (3 if loop else 2):
        raise ActionError(f"a path through single places needs at least {3 if loop else 2}; set {'some' if len(points) == 0 else 'one'} more")
    path = path_of_action(points, loop)
    return path.point(np.linspace(0.0, path.length, _FINE))


def _stroke(stroke):
    points = np.asarray(stroke, float) if len(stroke) else np.zeros((0, 2))
    if points.ndim != 2 or points.shape[1] != 2 or len(points) > LONGEST:
        raise ActionError(f"a stroke is a list of places, x and y each, at most {LONGEST}; draw it anew")
    if off_paper(points):
        raise ActionError("a place of the stroke is not on the paper; draw it anew")
    z = points @ [1.0, 1.0j]
    length = float(np.abs(np.diff(z)).sum()) if len(z) else 0.0
    if length < SHORTEST:
        raise ActionError(f"the line is {amount(length, 1)} mm long; draw a path of {SHORTEST:.0f} mm or more, in one stroke")
    return z


def _fine(z):
    """The same line with its places equally far apart, and its length."""
    gone = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(z)))])
    new = np.concatenate([[True], np.diff(gone) > 0.0])
    at = np.linspace(0.0, gone[-1], _FINE)
    return np.interp(at, gone[new], z[new].real) + 1j * np.interp(at, gone[new], z[new].imag), float(gone[-1])


def _without_overlap(z):
    """The line without what ran past its beginning: cut where its ends come nearest, for as little cutting as will do."""
    few = int(_CUT * len(z))
    step = np.abs(np.diff(z)).mean()
    cut = np.arange(few)
    cost = np.abs(z[cut][:, None] - z[::-1][cut]) + 0.5 * step * (cut[:, None] + cut)
    first, last = np.unravel_index(int(np.argmin(cost)), cost.shape)
    return z[first:len(z) - last]


def _filtered(z, bends):
    """A closed line, equally spaced, without its short waves."""
    k = np.abs(np.fft.fftfreq(len(z), 1.0 / len(z)))
    return np.fft.ifft(np.fft.fft(z) / (1.0 + (k / bends) ** 8))


def _closed(z, length):
    """A line whose ends meet or nearly do, closed; the last place is followed by the first again."""
    many = 65 if abs(z[-1] - z[0]) < 0.5 * length / 64 else 64
    few = _open(z, 4 * BENDS)[np.linspace(0, _FINE - 1, many).round().astype(int)][:64]
    closed = path_of_action(_pairs(few), loop=True)  # bridges the gap as smoothly as the line is bent beside it
    return closed.point(closed.length * np.arange(_FINE) / _FINE) @ [1.0, 1.0j]


def _round(z):
    """A closed line without its short waves, in pieces from turn to turn; each ends where the next begins."""
    turns = _turns(z)
    if not len(turns):
        whole = _filtered(z, BENDS)
        return [np.append(whole, whole[0])]
    ends = np.append(turns, turns[0] + len(z))
    pieces = [_open(z[np.arange(a, b + 1) % len(z)], 2 * BENDS * (b - a) / len(z)) for a, b in zip(ends, ends[1:])]
    # Where the hand began is where the path begins.
    last, at = pieces[-1], len(z) - turns[-1]
    return [last[at:], *pieces[:-1], last[:at + 1]] if at < len(last) - 1 else pieces


def _turns(z):
    """Where a closed line turns on the spot: the sharpest place of each turn, from 0."""
    far = int(_NEAR * len(z))
    turn = np.abs(np.degrees(np.angle((np.roll(z, -far) - z) / (z - np.roll(z, far)))))
    around = np.max([np.roll(turn, k) for k in range(-2 * far, 2 * far + 1)], axis=0)
    return np.flatnonzero((turn > _TURN) & (turn == around))


def _open(z, half_waves=2 * BENDS):
    """An open line, equally spaced, without its short waves; its ends stay."""
    straight = np.linspace(z[0], z[-1], len(z))
    off = z - straight
    # Continued with the opposite sign it is a closed line twice as long, and smooth at both ends.
    both = np.concatenate([off, -off[-2:0:-1]])
    return straight + _filtered(both, max(half_waves, 3))[:len(z)]


def _arc(pieces, drawn, kind, loop):
    """The Arc of a line in pieces, the places shared out by length; each piece keeps its beginning."""
    longs = np.array([np.abs(np.diff(piece)).sum() for piece in pieces])
    places = []
    for piece, long in zip(pieces, longs):
        many = max(1, round(PLACES * long / longs.sum()))
        gone = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(piece)))])
        places.append(np.interp(gone[-1] * np.arange(many) / many, gone, piece))
    if not loop:
        places.append(pieces[-1][-1:])
    places = _pairs(np.concatenate(places)).round(2)
    path = path_of_action(places, loop)
    off = np.abs(path.across(_pairs(drawn)))
    return Arc(path, places, kind, float(np.sqrt((off ** 2).mean())), float(off.max()))


def _pairs(z):
    return np.stack([z.real, z.imag], axis=-1)
