"""The ferry landing's loops for single lessons: what a class begins with, and what is wrong with it on purpose.

The first lessons need less than a whole arm: a buoy, a lantern, an arm without a hand. Of each homework the
drawings that are given are made here, so that nobody draws them by hand twice.
"""

import numpy as np

from .action import Limb
from .scenario import _poses, _redrawn, buoy, lantern, longer, not_linked, traced_twice, wave

SEAM = 0.8          # of a drawing's step: how far the loop that is to be mended drifts


def swell(slow=1.0, drawings=12, exposure=2):
    """The buoy on a great swell, so that a hand finds room between its places; as `scenario.buoy`."""
    return buoy(drawings, 60.0, slow, exposure)


def arm(drawings=16, **sliders):
    """The deckhand's arm without its hand: shoulder, elbow, wrist. Sliders as for `scenario.wave`."""
    whole = wave(drawings, **sliders)
    limb = whole.limbs[0]
    return whole.replace(limbs=(Limb(limb.name, limb.joints[:3], limb.lengths[:2], limb.stops[:2], limb.drawings[:, :3]),),
                         title="the arm opens")


def opening(drawings=16, straightest=14.0, opens=60.0, late=4.0, waits=0.0, exposure=2):
    """The arm opens and closes.

    Parameters
    ----------
    drawings : int
    straightest : float
        Bend of the elbow where it is most open, degrees; below 0 it is past straight.
    opens : float
        How far it opens from there to its most bent, degrees.
    late : float
        How much later than the upper arm the elbow bends, drawings of a 24-drawing loop.
    waits : float
        How much of its step the elbow leaves out in the drawing into which it opens most: 1 locks it, more takes it back.
    exposure : int
    """
    made = arm(drawings, elbow=opens / 2, elbow_middle=straightest + opens / 2, elbow_lag=late, exposure=exposure)
    return traced_twice(made, waits) if waits else made


def fluttering(action, by=5.0, joint=2, first=6, last=10):
    """A part that shakes to and fro, from one drawing to the next, degrees."""
    root, parts, angle = _poses(action)
    angle = angle.copy()
    for d in range(first - 1, last):
        angle[d, joint - 1:] += by * (-1) ** d
    return _redrawn(action, root, parts, angle)


def drifting(action, by=SEAM):
    """Each drawing a little further round than it should be, and the first pays for all."""
    return not_linked(action, by) if by else action


def from_the_middle(action, first):
    """The same loop with its stack begun at another drawing: what was the seam is now in the middle."""
    return action.redrawn(*(np.roll(limb.drawings, 1 - first, axis=0) for limb in action.limbs))


def looped(drift=0.0, flutter=0.0, first=1):
    """The wave that drifts, flutters, and begins its stack at this drawing."""
    made = fluttering(wave(), flutter) if flutter else wave()
    return from_the_middle(drifting(made, drift), first)


def carried(action, drawing, x=0.0, y=0.0):
    """One whole drawing so far beside its place, mm."""
    points = action.limbs[0].drawings.copy()
    points[drawing - 1] += [x, y]
    return action.redrawn(points.round(3))


def traced(action, part=0, drawing=1):
    """This part, and what hangs on it, at the angles they have on this drawing, on every drawing."""
    root, parts, angle = _poses(action)
    angle = angle.copy()
    angle[:, part:] = angle[drawing - 1, part:]
    return _redrawn(action, root, parts, angle)


BUOY_FAULTS = {
    "it ticks": lambda: swell(slow=0.0),
    "one hangs back": lambda: carried(swell(), 4, y=-18.0),
    "one runs ahead": lambda: carried(swell(), 10, y=-18.0),
    "no link-up": lambda: swell().redrawn(swell(drawings=13).limbs[0].drawings[:12]),
}


def to_mend():
    """The wave with three faults: a hand that grows, an elbow that locks, and a loop that does not link up."""
    return longer(traced_twice(drifting(wave()), drawing=12), by=0.2, drawing=5)


STARTS = {  # the drawings a homework begins with, by its lesson
    "01_buoy": lambda: swell(slow=0.0),
    "02_lantern": lambda: traced(lantern(), drawing=5),
    "05_elbow": lambda: traced(arm(), 1),
    "08_link_up": lambda: to_mend().replace(title="mend the wave"),
}
