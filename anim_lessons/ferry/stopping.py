"""Start, stop, settle: what hangs goes on after the joint that carries it has stopped.

This is follow-through in its first meaning. The action does not loop: a joint stands, goes once from one end
of its scene's path to the other, and stands again. The parts that hang from it follow by weight and springs.
"""

from dataclasses import dataclass

import numpy as np

from ..geometry.angles import wrapped
from ..geometry.timing import minimum_jerk
from ..model.action import Action
from .hanging import carrier_motion, scene_action

DRAWINGS_BEFORE = 2  # drawings before the joint starts
REST_ANGLE = 2.0  # degrees: a part this near to its last pose is at rest
REST_DRAWINGS = 3  # a part at rest for fewer at the end may only be swinging through
START_PHASE = {"hook": np.pi}  # radians: where on its path a carrier starts
OTHER_START_PHASE = -np.pi / 2.0  # radians, of the other carriers


@dataclass(frozen=True, eq=False)
class Stopped:
    """A scene that starts and stops: `action` is None where no motion was found, and `says` why.

    `stop` is the number of the drawing in which the joint stands again. `rests` tells for each part, from the
    joint outward, how many drawings after that it is at rest; below 0 before it, None where it still moves at
    the end.
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
        As for `hanging.scene_loop`.
    exposure : int

    Returns
    -------
    Stopped

    Notes
    -----
    The joint goes by minimum jerk, as a hand that reaches for something.

    Examples
    --------
    The lantern, its hook stopped: its one part still swings.

    >>> from anim_lessons.ferry.hanging import SCENES
    >>> swing = stopped(SCENES["lantern"], parts=1, swings=0, settles=0.3)
    >>> swing.stop, swing.rests[0] > 3, swing.action.loop
    (9, True, False)
    """
    from ..physics.chain.weighted import Parts, weighted_run  # scipy with it: a light table must not wait for it

    # By frames and not by drawings, so that the joint stands between the drawings too.
    time = np.arange((DRAWINGS_BEFORE + travel + after) * exposure + 1) / exposure
    way = minimum_jerk(np.clip((time - DRAWINGS_BEFORE) / travel, 0.0, 1.0))
    phase = START_PHASE.get(scene.carrier, OTHER_START_PHASE) + np.pi * way
    root, parent, lengths, rest = carrier_motion(scene, phase, parts)
    loose = Parts(lengths, rest, swings, settles, heavy, air, scale=scene.scale)
    points, turning, says = weighted_run(root, parent, loose)
    if points is None:
        return Stopped(None, says)
    points, turning = points[::exposure], turning[::exposure]
    # The last pose is that of the parts where the joint has always stood at its end.
    _, still, _ = weighted_run(np.repeat(root[-1:], 6, axis=0), parent[-1], loose)
    stop = DRAWINGS_BEFORE + travel + 1
    rests = at_rest(turning, still[0], stop)
    title = f"the {scene.name} starts, stops and settles"
    action = scene_action(scene, points, exposure).replace(loop=False, title=title)
    return Stopped(action, _says(scene, rests, stop, len(points)), stop, rests)


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
    moves = np.abs(wrapped(np.asarray(turning, float) - still)) > REST_ANGLE
    rests = []
    for of_part in moves.T:
        # The first drawing after the last one that moves.
        number = int(np.flatnonzero(of_part).max(initial=-1)) + 2
        rests.append(number - stop if number <= len(moves) - REST_DRAWINGS + 1 else None)
    return tuple(rests)


def _says(scene, rests, stop, drawings):
    """Which part rests when, from the joint outward."""
    inner = [f"part {k}" for k in range(1, len(rests))]
    names = [*inner, "the tip"] if inner else [f"the {scene.name}"]
    told = [f"{name} {'not yet' if late is None else 'at once' if late <= 0 else f'after {late} drawings'}"
            for name, late in zip(names, rests)]
    says = (f"The {scene.carrier} stops at {stop}. What hangs from it comes to rest, from there outward: "
            f"{', '.join(told)}.")
    if None in rests:
        says += (f" At {drawings} it still moves: give it more drawings after the stop, let it settle "
                 f"sooner, "
                 "or give it air.")
    return says
