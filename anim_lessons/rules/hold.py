"""Hold: at some drawing one part rests while another still moves. Advice; it never fails an action.

A joint rests where its step is a small part of its largest.
Source: common practice, no source. Tolerance chosen by trial.
"""

import numpy as np

from ..model.words import the, verb
from .rule import LOOP, Rule, Tolerance

NAME = "hold"


def judged(m):
    """Why the rule cannot judge a limb, or an empty text where it can."""
    if m.segments < 2:
        return "there is only one part"
    return "" if m.enough else f"{m.count} drawings are too few to see a hold"


def rests(m, brief):
    """True where the end of a segment rests, (..., drawings, segments)."""
    distance = m.distance[..., 1:]
    return distance < brief.tolerance(NAME) * distance.max(axis=-2, keepdims=True)


def advice(limb, m, brief, at_fault=()):
    """Sentences, none of which is a fault; the drawings, from 1, at which something else is one are not praised."""
    rest = rests(m, brief)
    if not m.loop:
        rest[0] = False
    every = rest.all(axis=-1)
    if every.any() and not (rest.any(axis=-1) & ~every).any():
        d = int(np.flatnonzero(every)[0])
        return [f"At {d + 1} everything stops at once. Let {the(limb.joints[1])} rest and the "
                f"{limb.joints[-1]} still finish."]
    held = [d for d in np.flatnonzero(rest[:, 0] & ~rest[:, -1]).tolist()
            if d + 1 not in at_fault and (d or m.count) not in at_fault]
    if held:
        d = held[0]
        first, last = limb.joints[1], limb.joints[-1]
        return [f"Well held: at {d + 1} {the(first)} {verb(first, 'stands', 'stand')} still and {the(last)} "
                f"{verb(last, 'moves', 'move')} on {m.distance[d, -1]:.0f} mm."]
    return []


RULE = Rule(
    name=NAME, order=9, flip=None, lessons=("06_looping_arm",), scope=LOOP,
    asks="at a hold one part rests while another still moves", why="", kept="never fails; it only gives advice",
    tolerances=(Tolerance(NAME, 0.10, "widest step: below it a joint rests"),),
    about="timing", judged=judged, advice=advice,
)
