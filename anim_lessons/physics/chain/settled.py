"""Weight and springs: the looping motion of a chain that hangs from a moving joint.

All numbers are those of physics here: metres, kilograms, seconds, radians; `felt`
speaks of drawings. A rod's own angle is measured against the x axis, counter-clockwise, y
up. Joint k has a spring and a damper between rod k and rod k - 1 (the first: the x axis, or
the parent drawn), soft stops if wanted, and the air brakes what moves broadside.

What is solved for is the looping motion itself, so the last drawing meets the first by
construction. It is called found only when its residual on a finer row of times than it was
solved on says that it is right; else the answer says so and there are no angles.
"""

from dataclasses import dataclass, field
from time import perf_counter

import numpy as np

from ...model.action import ActionError
from .asked import STANDARD, looping_problem
from .grid import even, trig
from .many import many
from .search import STEADY, search
from .solver import Motion

SEARCH = 1.5  # seconds
WITHIN = 1e-5  # radians


@dataclass(frozen=True, eq=False)
class SettledLoop:
    """A looping motion of a chain, or the word that none was found.

    Attributes
    ----------
    found : bool
        True: the angles are a looping motion.
    angles : ndarray, shape (samples, rods), or None
        On the paper, radians, at the samples of the root, without jumps.
    stable : bool
        True: a nudge fades. False: it does not, or nothing was found.
    turns : tuple of int
        Whole turns that each rod makes in a loop, counter-clockwise above 0.
    says : str
        One or two sentences on what was found.
    remains : float
        Share of a nudge that is left after one loop; above 1 it grows; not a number where nothing was found.
    error : float
        How far the angles may be off, radians; infinite where nothing was found.
    double : ndarray, shape (2 * samples, rods), or None
        Angles of a steady motion that comes back only every second loop, where that is what the chain does.
    motion : Motion
        For a warm start of the next search; not for reading.
    """

    found: bool
    angles: np.ndarray
    stable: bool
    turns: tuple
    says: str
    remains: float
    error: float
    double: np.ndarray = None
    motion: Motion = field(default=None, repr=False)


def settled_loop(root, lengths, period, mass, stiffness, damping, rest, gravity=STANDARD, *, parent=None, air=0.0,
                 wind=(0.0, 0.0), stops=None, stop_stiffness=None, stop_damping=None, centre=0.5, inertia=None,
                 turns=None, harmonics=None, within=WITHIN, warm=None, seconds=SEARCH):
    """The looping motion of a chain of rods that hangs from a joint on a closed path.

    Parameters
    ----------
    root : array-like, shape (samples, 2)
        Places of the joint, m, evenly in time over one period, the first not repeated; 4 or more.
    lengths : array-like, shape (rods,)
        m, from the root out; 1 to 12 rods.
    period : float
        s.
    mass : array-like, shape (rods,)
        kg, each spread evenly along its rod unless `centre` and `inertia` say otherwise.
    stiffness : array-like, shape (rods,)
        Of the joint that carries each rod, N m/rad.
    damping : array-like, shape (rods,)
        Of that joint, N m s/rad.
    rest : array-like, shape (rods,)
        Bend at which the joint's spring is at rest, rad, against the rod before; the first
        against the x axis or the parent.
    gravity : float
        m/s^2, downward.
    parent : array-like, shape (samples,), or None
        Angles on the paper of the segment that carries the chain, rad; None: it lies along the x axis.
    air : array-like, shape (rods,)
        Braking force of each rod that moves broadside, N s/m: at its middle, and by turning.
    wind : array-like, shape (2,)
        m/s.
    stops : array-like, shape (rods, 2), or None
        Least and greatest bend of each joint, rad; infinity for none. Soft: a stop pushes back from
        about 0.1 rad before it.
    stop_stiffness, stop_damping : array-like, shape (rods,), or None
        N m/rad, N m s/rad. None: as the joint and all it carries would swing 4 times a loop, half damped.
    centre : array-like, shape (rods,)
        Where each rod's mass is centred, as a share of its length.
    inertia : array-like, shape (rods,), or None
        About that centre, kg m^2; None: that of a uniform rod, mass length^2 / 12. Point masses at
        the ends of weightless rods: centre 1, inertia 0.
    turns : array-like of int, shape (rods,), or None
        Whole turns in a loop with which to begin looking. None: those of the parent as far as
        springs or stops pass them on, no turns beyond.
    harmonics : int or None
        Kept of root and parent; None keeps all that the samples hold.
    within : float
        Greatest error of what is called a loop, radians.
    warm : SettledLoop or None
        What was found for a slightly different setting: the search begins there.
    seconds : float
        After which the search gives up.

    Returns
    -------
    SettledLoop

    Raises
    ------
    ActionError
        If what is asked for cannot be worked out.

    Examples
    --------
    A lantern's hook goes gently to and fro, twice as fast as the lantern swings by itself: the
    lantern goes against it.

    >>> time = 2 * np.pi * np.arange(24) / 24
    >>> hook = 0.001 * np.column_stack([np.cos(time), 0 * time])
    >>> period = 2 * np.pi * np.sqrt(2 / 3 * 0.3 / 9.80665) / 2
    >>> loop = settled_loop(hook, [0.3], period, [1.0], [0.0], [0.02], [0.0])
    >>> loop.found, loop.stable, loop.turns
    (True, True, (0,))
    >>> float((loop.angles[0, 0] + np.pi / 2).round(3))
    -0.007
    """
    began = perf_counter()
    problem, start, samples = looping_problem(
        root, lengths, period, mass, stiffness, damping, rest, gravity, parent, air, wind, stops, stop_stiffness,
        stop_damping, centre, inertia, turns, harmonics, within)
    if start.ndim > 1:
        raise ActionError(f"{len(start)} settings were given; settled_loop is for one, settled_loops for many")
    near = None if warm is None else warm.motion
    return _told(search(problem, start, began + seconds, near), samples, seconds)


def settled_loops(root, lengths, period, mass, stiffness, damping, rest, gravity=STANDARD, *, parent=None, air=0.0,
                  wind=(0.0, 0.0), stops=None, stop_stiffness=None, stop_damping=None, centre=0.5, inertia=None,
                  turns=None, harmonics=None, within=WITHIN, seconds=10.0):
    """The looping motions of many settings in one pass.

    As `settled_loop`; any of the numbers may have one more axis in front, (settings, ...), as long for all that have it.
    `seconds` is the time for all settings that take a longer search together, 1.5 each at most;
    such a search begins from the setting that stands nearest in the row, so put like settings together.

    Returns
    -------
    list of SettledLoop
    """
    problem, start, samples = looping_problem(
        root, lengths, period, mass, stiffness, damping, rest, gravity, parent, air, wind, stops, stop_stiffness,
        stop_damping, centre, inertia, turns, harmonics, within)
    if start.ndim == 1:
        return [_told(search(problem, start, perf_counter() + SEARCH), samples, SEARCH)]
    steady = many(problem, start)
    until = perf_counter() + seconds
    out = []
    for i, (motion, angles) in enumerate(zip(steady, _angles(steady, samples))):
        if motion is not None:
            out.append(_loop(motion, angles, _says(motion)))
        else:
            found = search(problem.chosen(i), start[i], min(until, perf_counter() + SEARCH), _nearest(steady, i))
            steady[i] = found.motion
            out.append(_told(found, samples, seconds))
    return out


def _nearest(motions, place):
    """The motion of the setting that stands nearest in the row; a map has its neighbours there."""
    found = [i for i, motion in enumerate(motions) if motion is not None]
    return motions[min(found, key=lambda i: abs(i - place))] if found else None


# ---- what is told ---------------------------------------------------------------------


def _told(found, samples, seconds):
    double = None if found.double is None else found.double.angles(2 * samples)
    if found.motion is None:
        says = "No looping motion was found"
        if double is not None:
            says += ": the chain comes back only every second loop. Draw two loops, or damp its joints more."
        elif found.late:
            says += f" in {seconds:g} seconds. Damp the joints more, stiffen them, or move the root less."
        else:
            says += ", nor did the chain come to one by itself. Damp the joints more, stiffen them, or move the root less."
        return SettledLoop(False, None, False, (), says, np.nan, np.inf, double)
    return _loop(found.motion, found.motion.angles(samples), _says(found.motion, double is not None), double)


def _loop(motion, angles, says, double=None):
    turns = tuple(int(t) for t in motion.turns)
    return SettledLoop(True, angles, motion.remains < STEADY, turns, says, motion.remains, motion.error, double, motion)


def _says(motion, double=False):
    left = motion.remains
    if left < STEADY:
        share = "next to nothing" if left < 0.0005 else f"{left:.1%}" if left < 0.9995 else "nearly all"
        says = f"It links up; after one loop {share} of a nudge is left."
    elif left < 1.001:
        says = "It links up, but a nudge never fades, for nothing damps it: the chain would not come to this motion by itself."
    else:
        says = f"It links up, but it is unstable: a nudge grows {left:.3g} times in one loop."
    if double:
        says += " Left to itself the chain comes back only every second loop."
    round_and_round = [(number, t) for number, t in enumerate(motion.turns, start=1) if t]
    if round_and_round:
        says += " Right round in each loop: " + ", ".join(
            f"segment {number} {_times(abs(t))} {'counter-clockwise' if t > 0 else 'clockwise'}"
            for number, t in round_and_round) + "."
    return says


def _times(turns):
    return {1: "once", 2: "twice"}.get(int(turns), f"{int(turns)} times")


def _angles(motions, samples):
    """Angles of each motion, those of the same row of times worked out together; None where there is none."""
    out = [None] * len(motions)
    rows = {}
    for i, motion in enumerate(motions):
        if motion is not None:
            rows.setdefault(len(motion.swing), []).append(i)
    for row, places in rows.items():
        swing = np.stack([motions[i].swing for i in places])
        turns = np.stack([motions[i].turns for i in places])
        angles = trig(row, samples) @ swing + turns[:, None, :] * even(samples)[:, None]
        for i, one in zip(places, angles):
            out[i] = one
    return out
