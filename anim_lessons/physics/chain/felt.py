"""Weight and springs in terms a learner feels, on drawings: mm, degrees, and how it swings.

A part is told by how fast it swings by itself, how soon it settles, how heavy it is and how
much air it meets. Over what each joint carries, stretched out (inertia J), the spring is
J (2 pi swings)^2 and the damper 2 settles (2 pi swings) J.
"""

from dataclasses import dataclass, field

import numpy as np

from ...geometry.limb import pose
from ...model.action import ActionError
from .asked import STANDARD, inertia_beyond
from .run import run_from_rest
from .settled import SettledLoop, settled_loop, settled_loops

MM = 1000.0
WITHIN = 1e-4  # radians: a hundredth of a millimetre on a part of 100 mm
HARMONICS = 5  # kept of drawn points: a millimetre of a shaky hand in the higher ones would shake the whole chain


@dataclass(frozen=True, eq=False)
class Hanging:
    """What a chain with weight and springs does on a loop.

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
        In the numbers of physics; hand the whole `Hanging` on as `warm` when a setting changes a little.
    """

    found: bool
    points: np.ndarray
    angles: np.ndarray
    stable: bool
    turns: tuple
    remains: float
    says: str
    loop: SettledLoop = field(repr=False)


def hang(root, parent, lengths, rest=0.0, swings=1.5, settles=0.3, heavy=20.0, air=0.0, stops=None, exposure=1,
         rate=24, scale=1.0, gravity=STANDARD, harmonics=HARMONICS, warm=None):
    """The looping motion of parts with weight that hang on a drawn loop.

    Parameters
    ----------
    root : array-like, shape (drawings, 2)
        Place of the joint that carries the chain in each drawing of the loop, mm; 4 or more.
    parent : array-like, shape (drawings,) or float
        Angle on the paper of the segment that carries it, degrees.
    lengths : array-like, shape (segments,)
        mm, from the root to the tip; 1 to 12.
    rest : float or array-like, shape (segments,)
        Bend of each against the one before to which its spring returns, degrees.
    swings : float or array-like, shape (segments,)
        How often each, with all it carries held straight, would swing on its spring in a second; 0: no spring.
    settles : float or array-like, shape (segments,)
        How soon it settles, its damping ratio: 0 never, 1 without swinging past. At 0 swings, where there is
        no spring to measure by, it counts as for one swing a second.
    heavy : float or array-like, shape (segments,)
        Grams.
    air : float or array-like, shape (segments,)
        How quickly air alone would brake a part of 20 grams that moves broadside, a second: 0 no air, 2 a
        pennant, 10 a strip of paper. A heavier part heeds it less.
    stops : array-like, shape (segments, 2), or None
        Least and greatest bend, degrees.
    exposure : int, or sequence of int, one a drawing
        Frames.
    rate : float
        Frames a second.
    scale : float
        How many times larger the thing is than its drawing: a larger one swings slower under its weight.
    gravity : float
        m/s^2.
    harmonics : int or None
        Of root and parent that count; None: all, for points that were not drawn by hand.
    warm : Hanging or None
        What was found before a setting changed a little.

    Returns
    -------
    Hanging
        Its `found` is False where no looping motion was found.

    Examples
    --------
    >>> turn = np.arange(24) * 15.0
    >>> root = 20 * np.column_stack([np.cos(np.radians(turn)), np.sin(np.radians(turn))])
    >>> pennant = hang(root, 0, [15, 15, 15], swings=2, settles=0.5)
    >>> pennant.found, pennant.points.shape
    (True, (24, 4, 2))
    """
    root, parent, frames = _drawn(root, parent, exposure)
    drawn = np.concatenate([[0], np.cumsum(frames)[:-1]]).astype(int)
    samples, even_root, even_parent = _evenly(root, parent, frames)
    setting = felt(lengths, rest, swings, settles, heavy, air, stops, scale)
    loop = settled_loop(even_root * scale / MM, period=frames.sum() / _right_rate(rate), gravity=gravity,
                        parent=np.radians(even_parent), harmonics=harmonics, within=WITHIN, warm=warm and warm.loop, **setting)
    every = drawn if samples == frames.sum() else np.arange(len(root))
    return _hanging(loop, root, lengths, every)


def hang_map(root, parent, lengths, swings, settles, rest=0.0, heavy=20.0, air=0.0, stops=None, exposure=1, rate=24,
             scale=1.0, gravity=STANDARD, harmonics=HARMONICS):
    """`hang` for every pair of `swings` (m,) and `settles` (n,), each the same for all segments, in one pass.

    Returns
    -------
    list of list of Hanging, [m][n]
    """
    root, parent, frames = _drawn(root, parent, exposure)
    samples, even_root, even_parent = _evenly(root, parent, frames)
    count = np.size(lengths)
    fast, soon = (v.reshape(-1, 1) * np.ones(count) for v in np.meshgrid(
        np.asarray(swings, float), np.asarray(settles, float), indexing="ij"))
    setting = felt(lengths, rest, fast, soon, heavy, air, stops, scale)
    loops = settled_loops(even_root * scale / MM, period=frames.sum() / _right_rate(rate), gravity=gravity,
                          parent=np.radians(even_parent), harmonics=harmonics, within=WITHIN, **setting)
    drawn = np.concatenate([[0], np.cumsum(frames)[:-1]]).astype(int)
    every = drawn if samples == frames.sum() else np.arange(len(root))
    all_of_them = [_hanging(loop, root, lengths, every) for loop in loops]
    wide = np.size(settles)
    return [all_of_them[i:i + wide] for i in range(0, len(all_of_them), wide)]


def settle(root, parent, lengths, rest=0.0, swings=1.5, settles=0.3, heavy=20.0, air=0.0, stops=None, exposure=1,
           rate=24, scale=1.0, gravity=STANDARD):
    """Parts with weight in an action that does not loop: they hang still, are carried along, and settle.

    As `hang`; 6 drawings or more, evenly exposed. Stops push back as hard as in a loop that takes a second.

    Returns
    -------
    points (drawings, segments + 1, 2), mm, or None; angles (drawings, segments), degrees, or None; says
    """
    root, parent, frames = _drawn(root, parent, exposure)
    if (frames != frames[0]).any():
        number = int(np.argmax(frames != frames[0])) + 1
        raise ActionError(f"drawing {number} is exposed for {frames[number - 1]:.0f} frames and drawing 1 for "
                          f"{frames[0]:.0f}; to settle, expose all drawings alike")
    duration = (len(root) - 1) * frames[0] / _right_rate(rate)
    setting = felt(lengths, rest, swings, settles, heavy, air, stops, scale)
    if stops is not None:
        beyond = inertia_beyond(setting["lengths"], setting["mass"])
        setting |= {"stop_stiffness": beyond * (8 * np.pi) ** 2, "stop_damping": beyond * 8 * np.pi}
    run = run_from_rest(root * scale / MM, duration=duration, gravity=gravity, parent=np.radians(parent), **setting)
    if not run.found:
        return None, None, run.says
    angles = np.degrees(run.angles)
    return pose(root, lengths, angles), angles, run.says


def felt(lengths, rest=0.0, swings=1.5, settles=0.3, heavy=20.0, air=0.0, stops=None, scale=1.0):
    """A setting in terms that are felt, as keyword arguments of `settled_loop`; see `hang` for the terms.

    Examples
    --------
    A rod of 1 m and 3 kg turns about its end with 1 kg m^2.

    >>> setting = felt([1000], swings=1 / (2 * np.pi), settles=0.5, heavy=3000)
    >>> setting["stiffness"].round(6), setting["damping"].round(6)
    (array([1.]), array([1.]))
    """
    lengths = np.atleast_1d(np.asarray(lengths, float)) * scale / MM
    if not scale > 0:
        raise ActionError(f"the scale is {scale:g}; give how many times larger the thing is than its drawing, more than 0")
    mass, rest, swings, settles, air = (np.asarray(v, float) for v in (heavy, rest, swings, settles, air))
    for name, value in (("swings", swings), ("settles", settles), ("heavy", mass), ("air", air)):
        if not ((value >= 0) & np.isfinite(value)).all():
            raise ActionError(f"{name}: {value.tolist()}; give numbers of 0 or more")
    mass = np.broadcast_to(mass, np.broadcast_shapes(mass.shape, lengths.shape)) / 1000.0
    beyond = inertia_beyond(np.broadcast_to(lengths, mass.shape), mass)
    turn = 2.0 * np.pi * swings
    own = np.where(turn > 0, turn, 2.0 * np.pi)
    return {"lengths": lengths, "mass": mass, "stiffness": beyond * turn**2, "damping": 2.0 * settles * own * beyond,
            "rest": np.broadcast_to(np.radians(rest), np.broadcast_shapes(rest.shape, lengths.shape)),
            "air": air * 0.020 * np.ones(lengths.shape),
            "stops": None if stops is None else np.radians(np.asarray(stops, float))}


def between(pull, weight, dial):
    """From the pull with a return (dial 0) to weight and springs (dial 1), drawing by drawing.

    Parameters
    ----------
    pull : follow_through.Following
    weight : Hanging
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
    Angles are mixed. As both link up with the same whole turns, so does what lies between.
    """
    if not 0.0 <= dial <= 1.0:
        raise ActionError(f"the dial stands at {dial:g}; give 0 (pull with a return) to 1 (weight and springs)")
    for name, one in (("the pull with a return", pull), ("weight and springs", weight)):
        if not one.found:
            raise ActionError(f"there is nothing to dial to by {name}: {one.says}")
    if pull.angles.shape != weight.angles.shape:
        raise ActionError(f"the two have {pull.angles.shape} and {weight.angles.shape} drawings and segments; hang both on "
                          "the same loop")
    for number, (one, other) in enumerate(zip(pull.turns, weight.turns), start=1):
        if one != other:
            raise ActionError(f"segment {number} goes round {one:g} times in a loop by the pull with a return and {other:g} "
                              "times by weight and springs; nothing that links up lies between")
    # The same pose may be told a whole turn apart.
    weighed = weight.angles - 360.0 * np.round((weight.angles - pull.angles).mean(axis=0) / 360.0)
    angles = (1.0 - dial) * pull.angles + dial * weighed
    segments = np.diff(pull.points, axis=1)
    return pose(pull.points[:, 0], np.hypot(segments[..., 0], segments[..., 1]).mean(axis=0), angles), angles


# ---- drawings <-> even samples ----------------------------------------------------------


def _drawn(root, parent, exposure):
    root = np.asarray(root, float)
    if root.ndim != 2 or root.shape[-1] != 2 or len(root) < 4:
        raise ActionError(f"the root's places have the shape {root.shape}; give (drawings, 2), 4 drawings or more")
    try:
        parent = np.array(np.broadcast_to(np.asarray(parent, float), (len(root),)))
        frames = np.broadcast_to(np.asarray(exposure, float), (len(root),))
    except ValueError:
        raise ActionError(f"{len(root)} drawings of the root, but {np.size(parent)} angles of the parent and "
                          f"{np.size(exposure)} exposures; give one a drawing") from None
    for number, (place, angle, held) in enumerate(zip(root, parent, frames), start=1):
        if not (np.isfinite(place).all() and np.isfinite(angle)):
            raise ActionError(f"drawing {number}: the root's place or the parent's angle is not a number; give both")
        if not held >= 1 or held != int(held):
            raise ActionError(f"drawing {number} is exposed for {held:g} frames; give it a whole number, at least 1")
    return root, parent, frames


def _evenly(root, parent, frames):
    """Even samples of root and parent: the drawings themselves where all are exposed alike, else the frames."""
    if (frames == frames[0]).all():
        return len(root), root, parent
    from scipy.interpolate import make_interp_spline

    at = np.concatenate([[0.0], np.cumsum(frames)])
    angle = np.unwrap(np.append(parent, parent[0]), period=360.0)
    net = (angle[-1] - angle[0]) * at / at[-1]
    values = np.column_stack([np.append(root, root[:1], axis=0), angle - net])
    values[-1] = values[0]
    frame = np.arange(int(at[-1]))
    smooth = make_interp_spline(at, values, k=5 if len(root) >= 6 else 3, bc_type="periodic")(frame)
    return len(frame), smooth[:, :2], smooth[:, 2] + (angle[-1] - angle[0]) * frame / at[-1]


def _right_rate(rate):
    if not rate > 0:
        raise ActionError(f"{rate:g} frames a second; give more than 0")
    return float(rate)


def _hanging(loop, root, lengths, drawn):
    if not loop.found:
        return Hanging(False, None, None, False, (), loop.remains, loop.says, loop)
    angles = np.degrees(loop.angles[drawn])
    return Hanging(True, pose(root, lengths, angles), angles, loop.stable, loop.turns, loop.remains, loop.says, loop)
