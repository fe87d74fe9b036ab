"""A plan: a path of action drawn freehand, a timing chart, and the dots they give.

    stroke  a line of the hand, smoothed into an arc
    kept    drawings held against the plan

The plan lies under the drawings; nobody has to keep it.
"""

from dataclasses import replace

import numpy as np

from ...geometry.paths import path_of_action
from ...geometry.timing import even, slow_in, slow_in_out, slow_out
from ...model.action import ActionError
from .kept import against
from .stroke import smoothed, through

__all__ = ["HOW", "against", "charted", "dots", "planned", "smoothed", "through", "under", "unplanned"]

HOW = {"slow out and slow in": slow_in_out, "slow out": slow_out, "slow in": slow_in, "even": even}
_FINE = 256  # places of a path among which the one farthest from its beginning is sought


def charted(path, count, how="slow out and slow in"):
    """Share of the path gone at each drawing, by a timing chart from each extreme to the next.

    Parameters
    ----------
    path : arcs.Path
        In a loop its extremes are its beginning and the place farthest from it.
    count : int
        Drawings. In a loop drawing 1 is the first extreme and the middle one the other.
    how : str
        Of HOW.

    Returns
    -------
    ndarray, shape (count,)
    """
    if how not in HOW:
        raise ActionError(f'there is no chart "{how}"; there is {", ".join(HOW)}')
    easing = HOW[how]
    if not path.loop:
        return easing(np.linspace(0.0, 1.0, count))
    way = np.linspace(0.0, 1.0, _FINE, endpoint=False)
    turn = way[int(np.argmax(np.hypot(*(path.point(way * path.length) - path.point(0.0)).T)))]
    half = count // 2
    return np.concatenate([turn * easing(np.arange(half) / half),
                           turn + (1.0 - turn) * easing(np.arange(count - half) / (count - half))])


def dots(plan, loop):
    """Where the chart wants the joint at each drawing, mm, shape (drawings, 2)."""
    path = path_of_action(plan.path, loop)
    return path.point(plan.chart * path.length)


def planned(action, limb, plan):
    """A copy of the action with this plan in place of the joint's own, if it had one."""
    return _with(action, limb, plan.joint, (plan,))


def unplanned(action, limb, joint):
    """A copy of the action without the plan of that joint."""
    return _with(action, limb, joint, ())


def _with(action, name, joint, plans):
    limb = action.limb(name)
    kept = tuple(plan for plan in limb.plans if plan.joint != joint)
    new = replace(limb, plans=kept + plans)
    return action.replace(limbs=tuple(new if other is limb else other for other in action.limbs))


def under(action):
    """What lies under the drawings: {"plans": [{"limb", "joint", "path", "dots"}, ...]}, or {} where nothing is planned."""
    plans = [{"limb": limb.name, "joint": plan.joint, "path": plan.path.tolist(), "dots": dots(plan, action.loop).round(3).tolist()}
             for limb in action.limbs for plan in limb.plans]
    return {"plans": plans} if plans else {}
