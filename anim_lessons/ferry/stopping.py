"""Start, stop, settle: what hangs goes on after the joint that carries it has stopped.

This is follow-through in its first meaning. The action does not loop: a joint stands, goes once from one end
of its scene's path to the other, and stands again. What hangs from it is run through that by weight and springs.
"""

from dataclasses import dataclass

import numpy as np

from ..geometry.angles import wrapped
from ..model.action import Action
from ..physics.chain.felt import settle
from .hanging import carrying, drawn

STANDS = 2  # drawings before it starts
RESTS = 2.0  # degrees round the pose in which it will hang still: within them a part is at rest
SEEN = 3  # drawings at rest, or it may only be swinging through
FROM = {"hook": np.pi}  # phase of a path's end from which it goes; of the others a quarter of a loop before the middle


@dataclass(frozen=True, eq=False)
class Stopped:
    """What a scene does after a stop: `action` is None where it could not be worked out, and `says` why.

    `stop` is the number of the drawing in which the joint stands again. `rests` tells for each part, from the joint
    outward, how many drawings after that it is at rest; below 0 before it, None where it still moves at the end.
    """

    action: Action | None
    says: str
    stop: int = 0
    rests: tuple = ()


def stopped(scene, travel=6, after=24, parts=4, swings=2.0, settles=0.4, heavy=20.0, air=2.0, exposure=2):
    """A scene that starts, stops and settles.

    Parameters
    ----------
    scene : Scene
        Of `hanging.SCENES`.
    travel, after : int
        Drawings from the start to the stop, and after it.
    parts, swings, settles, heavy, air
        As for `hanging.hung`.
    exposure : int

    Returns
    -------
    Stopped

    Notes
    -----
    The joint goes by minimum jerk, as a hand does that reaches for something: ``10 t^3 - 15 t^4 + 6 t^5`` of its way.

    Examples
    --------
    The lantern, its hook stopped: its one part still swings.

    >>> from anim_lessons.ferry.hanging import SCENES
    >>> swing = stopped(SCENES["lantern"], parts=1, swings=0, settles=0.3)
    >>> swing.stop, swing.rests[0] > 3, swing.action.loop
    (9, True, False)
    """
    # By frames and not by drawings, so that the joint is known to stand between the drawings too.
    time = np.arange((STANDS + travel + after) * exposure + 1) / exposure
    t = np.clip((time - STANDS) / travel, 0.0, 1.0)
    way = t**3 * (10.0 - 15.0 * t + 6.0 * t**2)
    root, parent, lengths, rest = carrying(scene, FROM.get(scene.carrier, -np.pi / 2.0) + np.pi * way, parts)
    points, turning, says = settle(root, parent, lengths, rest, swings, settles, heavy, air, scale=scene.scale)
    if points is None:
        return Stopped(None, says)
    points, turning = points[::exposure], turning[::exposure]
    # What has stood where it ends since ever hangs as this will hang.
    _, still, _ = settle(np.repeat(root[-1:], 6, axis=0), parent[-1], lengths, rest, swings, settles, heavy, air, scale=scene.scale)
    stop = STANDS + travel + 1
    rests = at_rest(turning, still[0], stop)
    title = f"the {scene.name} starts, stops and settles"
    return Stopped(drawn(scene, points, exposure).replace(loop=False, title=title), _told(scene, rests, stop, len(points)), stop, rests)


def at_rest(turning, still, stop):
    """How many drawings after the stop each part is at rest for good.

    Parameters
    ----------
    turning : array-like, shape (drawings, parts)
        On the paper, degrees.
    still : array-like, shape (parts,)
        The pose in which they hang still in the end, degrees.
    stop : int
        Number of the drawing of the stop.

    Returns
    -------
    tuple of int or None
        None for a part that is not at rest in the last three drawings.

    Examples
    --------
    >>> at_rest([[0], [9], [30], [21], [25], [24], [24]], [24], stop=3)
    (2,)
    """
    moves = np.abs(wrapped(np.asarray(turning, float) - still)) > RESTS
    rests = []
    for of_part in moves.T:
        number = int(np.flatnonzero(of_part).max(initial=-1)) + 2   # the first drawing after the last one that moves
        rests.append(number - stop if number <= len(moves) - SEEN + 1 else None)
    return tuple(rests)


def _told(scene, rests, stop, drawings):
    """Which part rests when, from the joint outward."""
    names = [f"part {k}" for k in range(1, len(rests))] + ["the tip"] if len(rests) > 1 else [f"the {scene.name}"]
    told = [f"{name} {'not yet' if late is None else 'at once' if late <= 0 else f'after {late} drawings'}" for name, late in zip(names, rests)]
    says = f"The {scene.carrier} stops at {stop}. What hangs from it comes to rest, from there outward: {', '.join(told)}."
    if None in rests:
        says += f" At {drawings} it still moves: give it more drawings after the stop, let it settle sooner, or give it air."
    return says
