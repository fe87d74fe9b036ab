"""Weight and springs on drawings: mm, degrees, frames, and parts in terms of how they swing."""

from dataclasses import dataclass, field, replace

import numpy as np

from ...geometry.limb import pose
from ...model.action import ActionError
from ..carrier_loop import checked_loop, smooth_loop
from .parameters import STANDARD_GRAVITY, Carrier, ChainSettings, inertia_beyond
from .settled import SettledLoop, periodic_loop, periodic_loops
from .transient import run_from_rest

MM, GRAMS = 1000.0, 1000.0  # in a metre, in a kilogram
AIR_UNIT = 0.020  # kg: `air` is told for a part of this mass
WITHIN = 1e-4  # radians: 0.01 mm on a part of 100 mm
HARMONICS = 5  # kept of drawn points: in the higher ones an error of 1 mm shakes the whole chain


@dataclass(frozen=True, eq=False)
class Parts:
    """Parts with weight, from the root to the tip, by how they swing.

    Over what a joint carries, stretched out (inertia J), the spring is J (2 pi swings)^2 and the damper
    2 settles (2 pi swings) J.

    Attributes
    ----------
    lengths : array-like, shape (segments,)
        mm; 1 to 12.
    rest : float or array-like, shape (segments,)
        Bend of each against the one before to which its spring returns, degrees.
    swings : float or array-like, shape (segments,)
        How often each, with all it carries held straight, would swing on its spring in a second; 0: no
        spring.
    settles : float or array-like, shape (segments,)
        Damping ratio: 0 it never settles, 1 it does not swing past its rest. Where `swings` is 0 the damper
        is that of one swing a second.
    heavy : float or array-like, shape (segments,)
        Grams.
    air : float or array-like, shape (segments,)
        Rate at which air alone would brake a part of 20 grams that moves broadside, 1/s: 0 no air, 2 a
        pennant, 10 a strip of paper. It brakes a heavier part less.
    stops : array-like, shape (segments, 2), or None
        Least and greatest bend, degrees.
    scale : float
        Size of the thing over that of its drawing: a larger one swings slower under its weight.
    """

    lengths: np.ndarray
    rest: np.ndarray = 0.0
    swings: np.ndarray = 1.5
    settles: np.ndarray = 0.3
    heavy: np.ndarray = 20.0
    air: np.ndarray = 0.0
    stops: np.ndarray = None
    scale: float = 1.0

    def chain(self, gravity=STANDARD_GRAVITY):
        """The same as ChainSettings; gravity in m/s^2.

        Examples
        --------
        A rod of 1 m and 3 kg turns about its end with 1 kg m^2.

        >>> rod = Parts([1000], swings=1 / (2 * np.pi), settles=0.5, heavy=3000).chain()
        >>> rod.stiffness.round(6), rod.damping.round(6)
        (array([1.]), array([1.]))
        """
        if not self.scale > 0:
            raise ActionError(f"the scale is {self.scale:g}; give how many times larger the thing is than "
                              f"its drawing, more than 0")
        lengths = np.atleast_1d(np.asarray(self.lengths, float)) * self.scale / MM
        mass, rest, swings, settles, air = (np.asarray(v, float) for v in (
            self.heavy, self.rest, self.swings, self.settles, self.air))
        for name, value in (("swings", swings), ("settles", settles), ("heavy", mass), ("air", air)):
            if not ((value >= 0) & np.isfinite(value)).all():
                raise ActionError(f"{name}: {value.tolist()}; give numbers of 0 or more")
        mass = np.broadcast_to(mass, np.broadcast_shapes(mass.shape, lengths.shape)) / GRAMS
        beyond = inertia_beyond(np.broadcast_to(lengths, mass.shape), mass)
        omega = 2.0 * np.pi * swings
        damped = np.where(omega > 0, omega, 2.0 * np.pi)
        return ChainSettings(
            lengths, mass, beyond * omega**2, 2.0 * settles * damped * beyond,
            np.broadcast_to(np.radians(rest), np.broadcast_shapes(rest.shape, lengths.shape)), gravity,
            air * AIR_UNIT * np.ones(lengths.shape),
            stops=None if self.stops is None else np.radians(np.asarray(self.stops, float)))


@dataclass(frozen=True, eq=False)
class WeightedLoop:
    """The looping motion of parts with weight, or the report that none was found.

    Attributes
    ----------
    found : bool
        True: there is a looping motion, and it links up.
    points : ndarray, shape (drawings, segments + 1, 2), or None
        Root and joints in each drawing, mm.
    angles : ndarray, shape (drawings, segments), or None
        On the paper, degrees, without jumps from drawing to drawing.
    stable : bool
        True: a nudge fades.
    turns : tuple of int
        Whole turns that each segment makes in a loop, counter-clockwise above 0.
    remains : float
        Share of a nudge that is left after one loop.
    says : str
    loop : SettledLoop
        The same in the numbers of physics.
    """

    found: bool
    points: np.ndarray
    angles: np.ndarray
    stable: bool
    turns: tuple
    remains: float
    says: str
    loop: SettledLoop = field(repr=False)


def weighted_loop(root, parent, parts, exposure=1, rate=24, gravity=STANDARD_GRAVITY, harmonics=HARMONICS,
                  warm=None):
    """The looping motion of parts with weight that hang on a drawn loop.

    Parameters
    ----------
    root : array-like, shape (drawings, 2)
        Place of the joint that carries the chain in each drawing of the loop, mm; 4 or more.
    parent : array-like, shape (drawings,) or float
        Angle on the paper of the segment that carries it, degrees.
    parts : Parts
    exposure : int, or sequence of int, one a drawing
        Frames.
    rate : float
        Frames a second.
    gravity : float
        m/s^2.
    harmonics : int or None
        Kept of root and parent; None: all, for points that were not drawn by hand.
    warm : WeightedLoop or None
        The result before a setting changed a little.

    Returns
    -------
    WeightedLoop
        Its `found` is False where no looping motion was found.

    Examples
    --------
    >>> turn = np.arange(24) * 15.0
    >>> root = 20 * np.column_stack([np.cos(np.radians(turn)), np.sin(np.radians(turn))])
    >>> pennant = weighted_loop(root, 0, Parts([15, 15, 15], swings=2, settles=0.5))
    >>> pennant.found, pennant.points.shape
    (True, (24, 4, 2))
    """
    root, carrier, drawn = _carrier(root, parent, exposure, rate, parts.scale, harmonics)
    loop = periodic_loop(parts.chain(gravity), carrier, within=WITHIN, warm=warm and warm.loop)
    return _on_drawings(loop, root, parts.lengths, drawn)


def weighted_loops(root, parent, parts, swings, settles, exposure=1, rate=24, gravity=STANDARD_GRAVITY,
                   harmonics=HARMONICS):
    """`weighted_loop` for every pair of `swings` (m,) and `settles` (n,), each the same for all parts, in one
    pass.

    Returns
    -------
    list of list of WeightedLoop, [m][n]
    """
    root, carrier, drawn = _carrier(root, parent, exposure, rate, parts.scale, harmonics)
    swings, settles = np.asarray(swings, float), np.asarray(settles, float)
    each = (v.reshape(-1, 1) * np.ones(np.size(parts.lengths)) for v
            in np.meshgrid(swings, settles, indexing="ij"))
    chain = replace(parts, **dict(zip(("swings", "settles"), each))).chain(gravity)
    loops = [_on_drawings(loop, root, parts.lengths, drawn) for loop
             in periodic_loops(chain, carrier, within=WITHIN)]
    return [loops[i:i + len(settles)] for i in range(0, len(loops), len(settles))]


def weighted_run(root, parent, parts, exposure=1, rate=24, gravity=STANDARD_GRAVITY):
    """Parts with weight in an action that does not loop: they hang still, are carried along, and settle.

    As `weighted_loop`; 6 drawings or more, evenly exposed. Stops push back as hard as in a loop of one
    second.

    Returns
    -------
    points (drawings, segments + 1, 2), mm, or None; angles (drawings, segments), degrees, or None; says
    """
    root, parent, frames = checked_loop(root, parent, exposure)
    if (frames != frames[0]).any():
        number = int(np.argmax(frames != frames[0])) + 1
        raise ActionError(f"drawing {number} is exposed for {frames[number - 1]:.0f} frames and drawing 1 "
                          f"for {frames[0]:.0f}; to settle, expose all drawings alike")
    chain = parts.chain(gravity)
    if parts.stops is not None:
        beyond = inertia_beyond(chain.lengths, chain.mass)
        chain = replace(chain, stop_stiffness=beyond * (8 * np.pi) ** 2, stop_damping=beyond * 8 * np.pi)
    duration = (len(root) - 1) * frames[0] / _checked_rate(rate)
    run = run_from_rest(chain, Carrier(root * parts.scale / MM, duration, np.radians(parent)))
    if not run.found:
        return None, None, run.says
    angles = np.degrees(run.angles)
    return pose(root, parts.lengths, angles), angles, run.says


def blend(pull, weight, dial):
    """From the pull with a return (dial 0) to weight and springs (dial 1), drawing by drawing.

    Parameters
    ----------
    pull : pull.Following
    weight : WeightedLoop
        On the same root, with the same segments.
    dial : float
        0 to 1.

    Returns
    -------
    points (drawings, segments + 1, 2), mm; angles (drawings, segments), degrees

    Raises
    ------
    ActionError
        If one of the two is not a looping motion, or a segment goes right round in one and not in the other.

    Notes
    -----
    Angles are mixed. Both link up with the same whole turns, so the mixture links up too.
    """
    if not 0.0 <= dial <= 1.0:
        raise ActionError(f"the dial stands at {dial:g}; give 0 (pull with a return) to 1 (weight and "
                          f"springs)")
    for name, one in (("the pull with a return", pull), ("weight and springs", weight)):
        if not one.found:
            raise ActionError(f"there is nothing to dial to by {name}: {one.says}")
    if pull.angles.shape != weight.angles.shape:
        raise ActionError(f"the two have {pull.angles.shape} and {weight.angles.shape} drawings and "
                          f"segments; hang both on the same loop")
    for number, (one, other) in enumerate(zip(pull.turns, weight.turns), start=1):
        if one != other:
            raise ActionError(f"segment {number} goes round {one:g} times in a loop by the pull with a "
                              f"return and {other:g} times by weight and springs; nothing that links up lies "
                              "between")
    # The same pose may be given a whole turn apart.
    weighed = weight.angles - 360.0 * np.round((weight.angles - pull.angles).mean(axis=0) / 360.0)
    angles = (1.0 - dial) * pull.angles + dial * weighed
    segments = np.diff(pull.points, axis=1)
    return pose(pull.points[:, 0], np.hypot(segments[..., 0], segments[..., 1]).mean(axis=0), angles), angles


# ---- drawings <-> even samples ----------------------------------------------------------


def _carrier(root, parent, exposure, rate, scale, harmonics):
    """Root (drawings, 2), mm; the Carrier; and which of its samples are drawings.

    Samples are the drawings themselves where all are exposed alike, otherwise the frames.
    """
    root, parent, frames = checked_loop(root, parent, exposure)
    count = int(frames.sum())
    if (frames == frames[0]).all():
        place, angle, drawn = root, parent, np.arange(len(root))
    else:
        smooth, time = smooth_loop(frames, root, parent), np.arange(count) / count
        place, angle, drawn = smooth.place(time), smooth.angle(time), (np.cumsum(frames) - frames).astype(int)
    return root, Carrier(place * scale / MM, count / _checked_rate(rate), np.radians(angle), harmonics), drawn


def _checked_rate(rate):
    if not rate > 0:
        raise ActionError(f"{rate:g} frames a second; give more than 0")
    return float(rate)


def _on_drawings(loop, root, lengths, drawn):
    if not loop.found:
        return WeightedLoop(False, None, None, False, (), loop.remains, loop.says, loop)
    angles = np.degrees(loop.angles[drawn])
    return WeightedLoop(True, pose(root, lengths, angles), angles, loop.stable, loop.turns, loop.remains,
                        loop.says, loop)
