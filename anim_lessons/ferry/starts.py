"""The ferry landing's loops for single lessons: what a class begins with, and what is wrong with it on purpose.

The first lessons need less than a whole arm: a buoy, a lantern, an arm without a hand; later ones a pennant on its
staff, a rope, a box hand, a second arm, a limb of one's own. Of each homework the drawings that are given are made
here, so that nobody draws them by hand twice.
"""

import numpy as np

from ..assist.plan import charted
from ..geometry.limb import pose_from_bends
from ..geometry.paths import path_of_action
from ..model.action import Action, ActionError, Limb
from .actions import (
    buoy,
    held,
    lantern,
    lingering,
    longer,
    not_linked,
    poses,
    redrawn,
    traced_twice,
    two_arms,
    wave,
)
from .hanging import SCENES, scene_loop, waving_hand

SEAM = 0.8          # of a drawing's step: how far the loop that is to be mended drifts
GRIP = (110.0, 20.0)    # mm: where the deckhand holds the staff
ASIDE = 10.0            # degrees: how the pennant flies before anybody has drawn it
GROWN = ((6, 2), (11, 3))  # drawing and part of the box hand that somebody drew too large
TOO_LONG = 0.3          # of their length


def arm(drawings=16, **sliders):
    """The deckhand's arm without its hand: shoulder, elbow, wrist. Sliders as for `actions.wave`."""
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
    root, parts, angle = poses(action)
    angle = angle.copy()
    for d in range(first - 1, last):
        angle[d, joint - 1:] += by * (-1) ** d
    return redrawn(action, root, parts, angle)


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
    root, parts, angle = poses(action)
    angle = angle.copy()
    angle[:, part:] = angle[drawing - 1, part:]
    return redrawn(action, root, parts, angle)


BUOY_FAULTS = {
    "it ticks": lambda: buoy(slow=0.0),
    "one hangs back": lambda: carried(buoy(), 4, y=-18.0),
    "one runs ahead": lambda: carried(buoy(), 10, y=-18.0),
    # Begun in mid-swing, where a drawing is missed most.
    "no link-up": lambda: buoy().redrawn(np.roll(buoy(drawings=13).limbs[0].drawings, -4, axis=0)[:12]),
    "it lingers": lambda: lingering(buoy()),
    "one is held": lambda: held(buoy(), drawing=4),
}


ELBOW_FAULTS = ("elbow-locks", "elbow-closes", "elbow-breaks-backwards")  # of actions.FAULTS


def to_mend():
    """The wave with three faults: a hand that grows, an elbow that locks, and a loop that does not link up."""
    return longer(traced_twice(drifting(wave()), drawing=12), by=0.2, drawing=5)


def flown(drawings=12, swings=3.0, settles=1.0, parts=3, exposure=2):
    """The pennant with the staff that carries it, pulled along. Sliders as for `hanging.scene_loop`."""
    cloth = scene_loop(SCENES["pennant"], drawings, parts, swings, settles, exposure=exposure).action.limbs[0]
    points = np.concatenate([np.broadcast_to(GRIP, (drawings, 1, 2)), cloth.drawings], axis=1)
    staff = round(float(np.hypot(*(cloth.drawings[0, 0] - GRIP))), 3)
    limb = Limb("pennant", ("hand", "top", *cloth.joints[1:]), (staff, *cloth.lengths),
                ((0.0, 180.0), (-170.0, 0.0), *[(-175.0, 175.0)] * (parts - 1)), points)   # the cloth flies to one side
    return Action((limb,), SCENES["pennant"].title, exposure=exposure)


def shaken(drawings=12, swings=3.0, settles=1.0, parts=4, exposure=2):
    """The mooring rope, pulled along from the post. Sliders as for `hanging.scene_loop`."""
    return scene_loop(SCENES["mooring rope"], drawings, parts, swings, settles, exposure=exposure).action


def paddle(action, first=2):
    """Every part from `first` on goes straight on from the one that carries it: nothing of it follows."""
    root, parts, angle = poses(action)
    angle = angle.copy()
    angle[:, first:] = angle[:, first - 1:first]
    return redrawn(action, root, parts, angle)


def box_hand():
    """The other arm, with a hand as stiff as a paddle, which in two drawings has grown. The lesson draws the one arm: what
    was drawn there cannot be put on the same places here."""
    root, parts, angle = poses(paddle(waving_hand().action))
    drawn = np.tile(parts, (len(root), 1))
    for drawing, part in GROWN:
        drawn[drawing - 1, part] *= 1.0 + TOO_LONG
    return redrawn(waving_hand().action, root, drawn, angle).mirrored()


def pennant_traced(drawings=12):
    """The staff as it waves the pennant, and the cloth straight out to the side, the same on every drawing."""
    root, parts, angle = poses(flown(drawings))
    angle = angle.copy()
    angle[:, 1:] = ASIDE
    return redrawn(flown(drawings), root, parts, angle)


def other_arm_first(action):
    """The same two limbs, the second first."""
    return action.replace(limbs=action.limbs[::-1])


def own(joints, lengths, stops, path, drawings=12, bends=None, name="", title="", exposure=2):
    """A loop of one's own to begin with: one pose traced through all drawings, its root on a path.

    Parameters
    ----------
    joints : sequence of str
        From the root outward; between each two lies a part.
    lengths : sequence of float, shape (parts,)
        mm.
    stops : sequence of (float, float), shape (parts, 2)
        Least and greatest bend of each part against the one that carries it, degrees; of the first, against the x axis.
    path : sequence of (float, float)
        mm. The root goes once round through these places, slow at the first and at the one farthest from it. One
        place: it stays there.
    drawings : int
    bends : sequence of float, shape (parts,), optional
        Of the pose, degrees, as the stops are told; the middle between the stops unless given.
    name, title : str
        Of the limb, and of the loop; the last joint's name unless given.
    exposure : int

    Returns
    -------
    Action

    Raises
    ------
    ActionError
        Where these do not fit together, or the path is none; it says which.

    Examples
    --------
    >>> tail = own(["rump", "middle", "tip"], [45, 40], [(30, 150), (-70, 70)], [(150, 60)])
    >>> tail.count, tail.limbs[0].drawings[0].round(1).tolist()
    (12, [[150.0, 60.0], [150.0, 105.0], [150.0, 145.0]])
    """
    joints, lengths, stops = tuple(joints), tuple(lengths), tuple(stops)
    name = name or joints[-1] if joints else name
    if len(joints) < 2:
        raise ActionError(f"{len(joints)} joints hold no part; name two or more, from the root outward")
    if not len(joints) - 1 == len(lengths) == len(stops):
        raise ActionError(f"{len(joints)} joints have {len(joints) - 1} parts between them, and there are {len(lengths)} lengths and "
                          f"{len(stops)} pairs of stops; give one of each a part")
    if drawings < 2:
        raise ActionError(f"there are {drawings} drawings; a movement needs at least 2")
    places = np.asarray(path, float).reshape(-1, 2)
    if len(places) == 2:
        raise ActionError("two places make no round; give one, where the root stays, or three or more to go round")
    if len(places) > 1:
        way = path_of_action(places, loop=True)
        places = way.point(charted(way, drawings) * way.length)
    pose = np.mean(np.asarray(stops, float), axis=1) if bends is None else np.asarray(bends, float)
    if pose.shape != (len(lengths),):
        raise ActionError(f"{pose.size} bends for {len(lengths)} parts; give one a part")
    points = pose_from_bends(np.broadcast_to(places, (drawings, 2)), lengths, np.broadcast_to(pose, (drawings, len(pose))))
    return Action((Limb(name, joints, lengths, stops, points.round(3)),), title or f"the {name}", exposure=exposure)


def second_traced(action):
    """Two limbs, of which the second was only traced."""
    return other_arm_first(traced(other_arm_first(action)))


def at_rest(action):
    """The first drawing on every sheet, shoulder and all: nothing of it tells where the others go."""
    return action.stacked([1] * action.count)


STARTS = {  # the drawings a homework begins with, by its lesson
    "01_buoy": lambda: buoy(slow=0.0),
    "02_lantern": lambda: traced(lantern(), drawing=5),
    "03_pennant": pennant_traced,
    "04_mooring_rope": lambda: traced(shaken(), 1),
    "05_elbow": lambda: traced(arm(), 1),
    "07_hand": box_hand,
    "08_link_up": lambda: to_mend().replace(title="mend the wave"),
    "09_two_arms": lambda: second_traced(two_arms(12)),
    "11_on_paper": lambda: at_rest(wave(12)).replace(title="the wave on paper"),
}
