"""Figures for an assignment: of each a sound loop in as many drawings as are asked for, and what a class is given of it."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from ..geometry.limb import pose_from_bends
from ..model.action import Action
from ..model.limb import Limb
from . import starts
from .actions import buoy, lantern, two_arms, wave

SWINGS = 0.3  # of the way from the middle between its stops to either of them: the loop of a limb of one's own
MOST_SWING = 30.0  # degrees either way
LATER = 2.0  # drawings of a 24-drawing loop by which each part bends after the one that carries it


@dataclass(frozen=True)
class Figure:
    """One of the ferry landing's figures.

    Attributes
    ----------
    name : str
    says : str
        What it is, and what of it is given.
    usual : int
        Drawings that are given unless others are asked for.
    whole : function
        Of the number of drawings: a loop that keeps every rule that can judge it.
    start : function
        Of the number of drawings: what a class is given.
    given : tuple of str
        The joints that are given.
    """

    name: str
    says: str
    usual: int
    whole: Callable
    start: Callable
    given: tuple = ()


FIGURES = {
    figure.name: figure
    for figure in (
        Figure("buoy", "one joint; given with all its gaps alike", 12, buoy, lambda count: buoy(count, slow=0.0)),
        Figure(
            "lantern",
            "one part on its hook; the hook is given",
            16,
            lantern,
            lambda count: starts.traced(lantern(count)),
            ("hook",),
        ),
        Figure(
            "pennant",
            "a staff and three parts of cloth; the staff is given",
            12,
            starts.flown,
            starts.pennant_traced,
            ("hand", "top"),
        ),
        Figure(
            "mooring rope",
            "four parts; the first is given",
            12,
            starts.shaken,
            lambda count: starts.traced(starts.shaken(count), 1),
            ("post", "joint 1"),
        ),
        Figure(
            "arm without a hand",
            "upper arm and forearm; the shoulder is given",
            16,
            starts.arm,
            lambda count: starts.traced(starts.arm(count)),
            ("shoulder",),
        ),
        Figure(
            "arm",
            "upper arm, forearm and hand; the shoulder is given",
            16,
            wave,
            lambda count: starts.traced(wave(count)),
            ("shoulder",),
        ),
        Figure(
            "two arms",
            "the near one is given; of the far one the shoulder",
            12,
            two_arms,
            lambda count: starts.second_traced(two_arms(count)),
        ),
    )
}


def figure_of(action):
    """The Figure whose joints those of an Action are, or None."""

    def made(of):
        return [limb.joints for limb in of.limbs]

    return next((figure for figure in FIGURES.values() if made(figure.whole(figure.usual)) == made(action)), None)


def swung(action, drawings):
    """A loop in which the limbs of an Action swing between their stops, each part later than the one that carries it.

    There is something in it for every rule that such limbs can be judged by. It is no answer to anything.

    Parameters
    ----------
    action : Action
    drawings : int

    Returns
    -------
    Action
    """
    phase = 2 * np.pi * np.arange(drawings) / drawings
    limbs = []
    for k, limb in enumerate(action.limbs):
        middle, far = limb.stops.mean(axis=1), np.diff(limb.stops, axis=1)[:, 0] / 2
        late = 2 * np.pi * LATER / 24 * np.arange(len(middle)) + np.pi * k
        bends = middle + np.minimum(SWINGS * far, MOST_SWING) * np.cos(phase[:, None] - late)
        root = (
            np.broadcast_to(limb.drawings[0, 0], (drawings, 2))
            if len(middle)
            else limb.drawings[0, 0] + 30.0 * np.stack([np.sin(phase) / 3, np.cos(phase)], axis=-1)
        )
        points = pose_from_bends(root, limb.lengths, bends) if len(middle) else root[:, None]
        limbs.append(Limb(limb.name, limb.joints, limb.lengths, limb.stops, points.round(3)))
    return Action(tuple(limbs), action.title, rate=action.rate, paper=action.paper)
