"""Loose parts on the ferry landing: the lantern, the pennant, the mooring rope, the deckhand's hand.

A scene is a joint that moves on a drawn loop and the parts that hang from it. The drawings are the looping
motion of the parts, so the last one runs into the first. Where there is no looping motion the result says so
and holds no drawings.

Weight and springs, and scipy with them, are imported where parts have weight: a light table must not wait for them.
"""

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from ..geometry.angles import as_points
from ..geometry.limb import angles
from ..model.action import Action, ActionError, Limb
from ..physics.pull import follow, lag
from .actions import ARM_STOPS, wave

if TYPE_CHECKING:
    from ..physics.chain.weighted import WeightedLoop

MOST_HEAVY_PARTS = 8  # parts with weight; a longer rope follows by the pull alone, which takes less time


@dataclass(frozen=True, eq=False)
class Scene:
    """A joint on a loop, and the parts that hang from it.

    Attributes
    ----------
    name, title, carrier : str
        Of the limb, of the action, and of the joint that carries it.
    length : float
        Of all parts together, mm.
    path : function
        From phases (drawings,), radians, to places of the carrier (drawings, 2), mm, and angles (drawings,)
        on the paper of what carries it, degrees.
    rest : float
        Bend of the first part to which it returns, degrees; the others return to straight.
    scale : float
        How many times larger the thing is than its drawing. A larger thing swings slower under its weight.
    end : str
        Of the outermost joint.
    """

    name: str
    title: str
    carrier: str
    length: float
    path: object
    rest: float = 0.0
    scale: float = 10.0
    end: str = "tip"


def _lantern(phase):
    return np.stack([148.5 + 22.0 * np.cos(phase), 165.0 + 2.0 * np.cos(2 * phase)], axis=-1), 0.0 * phase


def _pennant(phase):
    staff = 90.0 + 24.0 * np.sin(phase)
    top = 95.0 * np.exp(1j * np.radians(staff)) + 110.0 + 20.0j
    return as_points(top), staff


def _rope(phase):
    return np.stack([95.0 + 5.0 * np.cos(phase), 150.0 + 26.0 * np.sin(phase)], axis=-1), 0.0 * phase


SCENES = {
    "lantern": Scene("lantern", "the lantern swings as the landing rocks", "hook", 70.0, _lantern, -90.0,
                     end="lantern"),
    "pennant": Scene("pennant", "the deckhand waves a pennant", "staff", 100.0, _pennant, -80.0),
    "mooring rope": Scene("rope", "the mooring rope runs out in a wave", "post", 130.0, _rope, -35.0),
}


@dataclass(frozen=True, eq=False)
class SceneLoop:
    """The looping motion of a scene: `action` is None where no loop was found, and `says` why.

    `weight` warms the search of the next call, while a slider moves.
    """

    action: Action | None
    says: str
    weight: "WeightedLoop | None" = field(default=None, repr=False)

    def warmth(self, drawings, parts):
        """`weight` if it has so many drawings and parts, else None."""
        weight = self.weight
        return weight if weight and weight.found and weight.angles.shape == (drawings, parts) else None


def scene_loop(scene, drawings=16, parts=4, swings=2.0, settles=1.0, heavy=20.0, air=2.0, dial=0.0,
               exposure=2, warm=None):
    """The looping motion of a scene.

    Parameters
    ----------
    scene : Scene
    drawings, parts, exposure : int
    swings, settles, heavy, air : float
        As for `weighted.Parts`: swings a second of a part by itself, damping ratio, grams, air.
    dial : float
        0 by the pull alone, 1 by weight and springs, and all between.
    warm : SceneLoop, optional
        The result before a slider moved.

    Returns
    -------
    SceneLoop
    """
    root, parent, lengths, rest = carrier_motion(scene, 2.0 * np.pi * np.arange(drawings) / drawings, parts)
    asked, dial = dial, dial if parts <= MOST_HEAVY_PARTS else 0.0
    pull = weight = None
    if dial < 1.0:
        returns = return_time(swings, settles, drawings, parts, exposure)
        pull = follow(root, parent, lengths, rest, returns, exposure=exposure, part="part")
    if dial > 0.0:
        from ..physics.chain.weighted import Parts, weighted_loop

        loose = Parts(lengths, rest, swings, settles, heavy, air, scale=scene.scale)
        weight = weighted_loop(root, parent, loose, exposure, harmonics=None,
                               warm=warm and warm.warmth(drawings, parts))
    if pull is not None and not pull.found:
        return SceneLoop(None, f"{pull.fault} Let the parts swing more quickly or settle sooner, and it comes back.")
    if weight is not None and not weight.found:
        return SceneLoop(None, weight.says)
    mixed = _mixed(pull, weight, dial)
    if mixed is None:
        return SceneLoop(None, "By the pull it goes round in another way than by weight and springs; nothing "
                               "between the two links up.")
    says = _says(weight)
    if dial != asked:
        says += f" More than {MOST_HEAVY_PARTS} parts follow by the pull alone, whatever the dial says."
    return SceneLoop(scene_action(scene, mixed[0], exposure), says, weight)


def _mixed(pull, weight, dial):
    """Points and angles of the one given, or a blend of both; None if the two go round in other ways."""
    if pull is None or weight is None:
        return (pull or weight).points, (pull or weight).angles
    from ..physics.chain.weighted import blend

    return blend(pull, weight, dial) if pull.turns == tuple(weight.turns) else None


def carrier_motion(scene, phase, parts):
    """Places and angles of the carrier at these phases, and lengths and rests of the parts."""
    root, parent = scene.path(phase)
    rest = np.zeros(parts)
    rest[0] = scene.rest
    return root, parent, np.full(parts, scene.length / parts), rest


def return_time(swings, settles, drawings, parts, exposure):
    """`returns` of `pull.follow`, a share of the loop: short for parts that swing quickly and settle soon.

    More and shorter parts return sooner, so that the tip lags by as much in any number of parts.
    """
    loop = drawings * exposure / 24.0
    returns = 1.0 / (2.0 * np.pi * max(swings, 0.1) * max(settles, 0.1) * loop) * min(4.0 / parts, 1.0)
    return float(np.clip(returns, 0.01, 1.0))


def _says(weight):
    if weight is not None and not weight.stable:
        return "It links up, but a nudge would throw it off: a real one would not go on like this."
    return "It links up: the last drawing runs into the first."


def scene_action(scene, points, exposure):
    """The Action of a scene whose joints lie at these points (drawings, parts + 1, 2), mm."""
    parts = points.shape[1] - 1
    joints = (scene.carrier, *(f"joint {k}" for k in range(1, parts)), scene.end)
    stops = np.tile([-175.0, 175.0], (parts, 1))
    stops[0] = [-360.0, 360.0]
    lengths = np.full(parts, scene.length / parts)
    return Action((Limb(scene.name, joints, lengths, stops, np.round(points, 3)),), scene.title,
                  exposure=exposure)


HAND = ("wrist", "knuckles", "fingertip")
HAND_LENGTHS = (17.0, 17.0)  # mm
FINGER_STOPS = (-30.0, 80.0)  # degrees
ARM_SCALE = 4.0  # the arm is drawn at a quarter of its size


def waving_hand(drawings=16, swings=4.0, settles=0.6, heavy=20.0, air=8.0, exposure=2, warm=None):
    """The arm that waves the boat in; its palm and fingers have weight and follow.

    Parameters
    ----------
    drawings : int
    swings, settles, heavy, air : float
        As for `weighted.Parts`, of the palm; the fingers swing half as quickly again and weigh half.
    exposure : int
    warm : SceneLoop, optional
        The result before a slider moved.

    Returns
    -------
    SceneLoop
    """
    from ..physics.chain.weighted import Parts, weighted_loop

    arm = wave(drawings).limbs[0]
    hand = Parts(HAND_LENGTHS, 0.0, [swings, 1.5 * swings], settles, [heavy, heavy / 2.0], air,
                 (ARM_STOPS[2], FINGER_STOPS), ARM_SCALE)
    weight = weighted_loop(arm.drawings[:, 2], angles(arm.drawings)[:, 1], hand, exposure, harmonics=None,
                           warm=warm and warm.warmth(drawings, 2))
    if not weight.found:
        return SceneLoop(None, weight.says)
    points = np.concatenate([arm.drawings[:, :2], weight.points], axis=1).round(3)
    limb = Limb("arm", (*arm.joints[:2], *HAND), (*arm.lengths[:2], *HAND_LENGTHS),
                (*ARM_STOPS, FINGER_STOPS), points)
    return SceneLoop(Action((limb,), "the hand follows the wave", exposure=exposure), _says(weight), weight)


def own_period(length, swing=0.0, scale=10.0):
    """Seconds in which a stiff part that hangs by its end swings over and back by itself.

    Parameters
    ----------
    length : float
        mm on the paper.
    swing : float
        Degrees either way, below 180.
    scale : float
        How many times larger the thing is than its drawing.

    Notes
    -----
    ``4 sqrt(2 length / (3 g)) K(sin^2(swing / 2))``, with the complete elliptic integral K (from memory);
    ``2 pi sqrt(2 length / (3 g))`` for a small swing.

    Examples
    --------
    A quarter turn either way takes 18 % longer than a small swing.

    >>> round(own_period(70, 90) / own_period(70), 3)
    1.18
    """
    if not (length > 0 and 0 <= swing < 180 and scale > 0):
        raise ActionError(f"a part of {length:g} mm, {scale:g} times as large, swings {swing:g} degrees "
                          f"either way; give a length and a scale above 0, and 0 to below 180 degrees")
    from scipy.special import ellipk

    from ..physics.chain.parameters import STANDARD_GRAVITY

    quarter = ellipk(np.sin(np.radians(swing) / 2.0) ** 2)
    return float(4.0 * np.sqrt(2.0 * length * scale / 1000.0 / (3.0 * STANDARD_GRAVITY)) * quarter)


def least_lag(turning):
    """The smallest lag of a part behind the one that carries it, drawings of a 24-drawing loop.

    Parameters
    ----------
    turning : array-like, shape (drawings, parts)
        Angles on the paper, degrees.

    Returns
    -------
    float
        Not a number where there is only one part, or a part swings too little for a lag.
    """
    late = lag(turning)
    return float(late.min()) if late.size else np.nan


def scene_lags(scene, swings, settles, drawings=16, parts=3, heavy=20.0, air=2.0, dial=1.0, exposure=2):
    """`least_lag` of a scene for every pair of settings; weight and springs in one pass.

    Parameters
    ----------
    scene : Scene
    swings, settles : sequences of float, lengths m and n
    drawings, parts, exposure : int
    heavy, air, dial : float

    Returns
    -------
    lags : ndarray, shape (m, n)
        As `least_lag`; not a number either where nothing links up.
    found : ndarray of bool, shape (m, n)
        False where nothing links up.
    """
    root, parent, lengths, rest = carrier_motion(scene, 2.0 * np.pi * np.arange(drawings) / drawings, parts)
    dial = dial if parts <= MOST_HEAVY_PARTS else 0.0
    weights, pulls = None, {}
    if dial > 0.0:
        from ..physics.chain.weighted import Parts, weighted_loops

        loose = Parts(lengths, rest, heavy=heavy, air=air, scale=scene.scale)
        weights = weighted_loops(root, parent, loose, swings, settles, exposure, harmonics=None)
    lags, found = np.full((len(swings), len(settles)), np.nan), np.zeros((len(swings), len(settles)), bool)
    for i, swing in enumerate(swings):
        for j, settle in enumerate(settles):
            weight, pull = weights[i][j] if weights else None, None
            if dial < 1.0:
                returns = return_time(swing, settle, drawings, parts, exposure)
                if returns not in pulls:    # many pairs have the same time
                    pulls[returns] = follow(root, parent, lengths, rest, returns, exposure=exposure)
                pull = pulls[returns]
            if all(one.found for one in (weight, pull) if one is not None):
                mixed = _mixed(pull, weight, dial)
                if mixed is not None:
                    found[i, j], lags[i, j] = True, least_lag(mixed[1])
    return lags, found
