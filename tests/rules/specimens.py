"""Specimens for the tests of the rules: a dot on a straight path, an arm that swings like sines, and mirrors."""
import numpy as np

from anim_lessons import Action, Brief, Limb, check
from anim_lessons.geometry.limb import pose

ARM = ("shoulder", "elbow", "wrist", "fingertips")
STOPS = ((-45.0, 170.0), (0.0, 140.0), (-80.0, 80.0))


def dot(*places, name="buoy", loop=False, **changes):
    """A single joint at these places, mm."""
    limb = Limb(name, (name,), (), (), np.array(places, float)[:, None])
    return Action((limb,), loop=loop, **changes)


def on_a_line(count=10, **moved):
    """A dot that goes 10 mm a drawing to the right. `at5=(6, 0)` moves drawing 5 by that much."""
    places = np.stack([10.0 * np.arange(count), np.zeros(count)], axis=-1)
    for name, by in moved.items():
        places[int(name[2:]) - 1] += by
    return dot(*places)


def turned(*parts, middle=(90.0, 120.0, 100.0), count=24):
    """Directions of the parts of an arm on the paper over one loop, degrees, (drawings, parts): each part
    swings like a sine. `parts` are pairs: how far either way, and how much later than the first, in drawings of 24."""
    turn = np.arange(count) / count
    return np.stack([m + size * np.sin(2 * np.pi * (turn - late / 24)) for (size, late), m in zip(parts, middle)], axis=-1)


def arm(directions, lengths=(50.0, 40.0, 30.0), stops=STOPS, root=(150.0, 60.0), name="arm", loop=True, **changes):
    """An arm of 50, 40 and 30 mm whose parts lie in these directions, degrees, (drawings, parts)."""
    directions = np.asarray(directions, float)
    parts = directions.shape[-1]
    points = pose(np.broadcast_to(root, (len(directions), 2)), lengths[:parts], directions)
    return Action((Limb(name, ARM[:parts + 1], lengths[:parts], stops[:parts], points),), loop=loop, **changes)


def only(rule, **changes):
    """A brief that asks for one rule."""
    return Brief(rules=(rule,), **changes)


def found(action, rule, **changes):
    """What one rule finds on its own."""
    return check(action, only(rule, **changes)).findings


def mirrored(action):
    """The action as in a mirror: x turned round, stops turned round with it."""
    limbs = []
    for limb in action.limbs:
        stops = -limb.stops[:, ::-1]
        stops[:1] += 180.0          # the first part is measured from the x axis
        limbs.append(Limb(limb.name, limb.joints, limb.lengths, stops, limb.drawings * [-1.0, 1.0] + [297.0, 0.0]))
    return action.replace(limbs=tuple(limbs))


def begun_later(action, drawings):
    """The same loop whose drawing 1 has become drawing 1 + `drawings`."""
    return action.redrawn(*(np.roll(limb.drawings, drawings, axis=0) for limb in action.limbs))
