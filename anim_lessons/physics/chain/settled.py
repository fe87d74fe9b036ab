"""Weight and springs: the periodic motion of a chain that hangs from a moving joint.

All numbers are those of physics here: metres, kilograms, seconds, radians; `weighted` has drawings. A
rod's own angle is measured against the x axis, counter-clockwise, y up. Joint k has a spring and a
damper between rod k and rod k - 1 (the first: the x axis, or the parent drawn), soft stops if wanted;
the air brakes a rod that moves broadside.

The unknown is the periodic motion itself, so the last drawing meets the first by construction. It is
called found only if its estimated error is small enough; otherwise the answer says so and holds no
angles.
"""

from dataclasses import dataclass, field
from time import perf_counter

import numpy as np

from ...model.action import ActionError
from .batch import batch
from .collocation import even_times, fourier_matrix
from .parameters import STANDARD_GRAVITY, WITHIN, Carrier, ChainSettings, looping_problem
from .search import STABLE, search
from .solver import Motion

SEARCH_SECONDS = 1.5  # for one setting
BATCH_SECONDS = 10.0  # for all settings of a batch that `batch` does not find


@dataclass(frozen=True, eq=False)
class SettledLoop:
    """A periodic steady state of a chain, or the report that none was found.

    Attributes
    ----------
    found : bool
        True: the angles are a periodic motion.
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
        Angles of a stable motion with twice the period, where the chain settles into one.
    motion : Motion
        For a warm start of the next search.
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


def settled_loop(root, lengths, period, mass, stiffness, damping, rest, gravity=STANDARD_GRAVITY, *,
                 parent=None, air=0.0, wind=(0.0, 0.0), stops=None, stop_stiffness=None, stop_damping=None,
                 centre=0.5, inertia=None, turns=None, harmonics=None, within=WITHIN, warm=None,
                 seconds=SEARCH_SECONDS):
    """The periodic steady state of a chain of rods that hangs from a joint on a closed path.

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
        Whole turns in a loop of the first guess. None: those of the parent as far as springs or stops
        pass them on, none beyond.
    harmonics : int or None
        Kept of root and parent; None keeps all that the samples hold.
    within : float
        Greatest error of a motion that is called found, radians.
    warm : SettledLoop or None
        The result for a slightly different setting, where the search begins.
    seconds : float
        After which the search gives up.

    Returns
    -------
    SettledLoop

    Raises
    ------
    ActionError
        If the settings are not those of a chain.

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
    chain = ChainSettings(lengths, mass, stiffness, damping, rest, gravity, air, wind, stops, stop_stiffness,
                          stop_damping, centre, inertia)
    return periodic_loop(chain, Carrier(root, period, parent, harmonics), turns, within, warm, seconds)


def periodic_loop(chain, carrier, turns=None, within=WITHIN, warm=None, seconds=SEARCH_SECONDS):
    """As `settled_loop`, from ChainSettings and a Carrier."""
    began = perf_counter()
    problem, start, samples = looping_problem(chain, carrier, turns, within)
    if start.ndim > 1:
        raise ActionError(f"{len(start)} settings were given; settled_loop is for one, settled_loops for "
                          f"many")
    near = None if warm is None else warm.motion
    return _result(search(problem, start, began + seconds, near), samples, seconds)


def settled_loops(root, lengths, period, mass, stiffness, damping, rest, gravity=STANDARD_GRAVITY, *,
                  parent=None, air=0.0, wind=(0.0, 0.0), stops=None, stop_stiffness=None, stop_damping=None,
                  centre=0.5, inertia=None, turns=None, harmonics=None, within=WITHIN, seconds=BATCH_SECONDS):
    """The periodic steady states of many settings in one pass.

    As `settled_loop`; any of the numbers may have one more axis in front, (settings, ...), as long for all
    that have it. A setting for which the batch finds nothing is searched for by itself, from the setting
    nearest to it in the row, so put similar settings together. `seconds` is the time for all these searches
    together; each has 1.5 s at most.

    Returns
    -------
    list of SettledLoop
    """
    chain = ChainSettings(lengths, mass, stiffness, damping, rest, gravity, air, wind, stops, stop_stiffness,
                          stop_damping, centre, inertia)
    return periodic_loops(chain, Carrier(root, period, parent, harmonics), turns, within, seconds)


def periodic_loops(chain, carrier, turns=None, within=WITHIN, seconds=BATCH_SECONDS):
    """As `settled_loops`, from ChainSettings and a Carrier."""
    problem, start, samples = looping_problem(chain, carrier, turns, within)
    if start.ndim == 1:
        return [_result(search(problem, start, perf_counter() + SEARCH_SECONDS), samples, SEARCH_SECONDS)]
    motions = batch(problem, start)
    until = perf_counter() + seconds
    out = []
    for i, (motion, angles) in enumerate(zip(motions, _angles(motions, samples))):
        if motion is not None:
            out.append(_found(motion, angles, _says(motion)))
        else:
            found = search(problem.chosen(i), start[i], min(until, perf_counter() + SEARCH_SECONDS),
                           _nearest(motions, i))
            motions[i] = found.motion
            out.append(_result(found, samples, seconds))
    return out


def _nearest(motions, place):
    """The motion of the setting nearest in the row, or None."""
    found = [i for i, motion in enumerate(motions) if motion is not None]
    return motions[min(found, key=lambda i: abs(i - place))] if found else None


# ---- results and words ----------------------------------------------------------------


def _result(found, samples, seconds):
    double = None if found.double is None else found.double.angles(2 * samples)
    if found.motion is None:
        says = "No looping motion was found"
        if double is not None:
            says += ": the chain comes back only every second loop. Draw two loops, or damp its joints more."
        elif found.late:
            says += f" in {seconds:g} seconds. Damp the joints more, stiffen them, or move the root less."
        else:
            says += (", nor did the chain come to one by itself. Damp the joints more, stiffen them, or move "
                     "the "
                     "root less.")
        return SettledLoop(False, None, False, (), says, np.nan, np.inf, double)
    return _found(found.motion, found.motion.angles(samples), _says(found.motion, double is not None), double)


def _found(motion, angles, says, double=None):
    turns = tuple(int(t) for t in motion.turns)
    return SettledLoop(True, angles, motion.remains < STABLE, turns, says, motion.remains, motion.error,
                       double, motion)


def _says(motion, double=False):
    left = motion.remains
    if left < STABLE:
        share = "next to nothing" if left < 0.0005 else f"{left:.1%}" if left < 0.9995 else "nearly all"
        says = f"It links up; after one loop {share} of a nudge is left."
    elif left < 1.001:
        says = ("It links up, but a nudge never fades, for nothing damps it: the chain would not come to "
                "this motion "
                "by itself.")
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
    """Angles of each motion, or None; motions on the same grid are worked out together."""
    out = [None] * len(motions)
    grids = {}
    for i, motion in enumerate(motions):
        if motion is not None:
            grids.setdefault(len(motion.periodic), []).append(i)
    for grid, places in grids.items():
        periodic = np.stack([motions[i].periodic for i in places])
        turns = np.stack([motions[i].turns for i in places])
        angles = fourier_matrix(grid, samples) @ periodic + turns[:, None, :] * even_times(samples)[:, None]
        for i, one in zip(places, angles):
            out[i] = one
    return out
