"""The deckhand to whom the arms belong, and all of a drawing. The deckhand is scenery: nobody judges it.

The page has the same in light_table/page/deckhand.mjs.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from . import pen
from .arm import bent
from .frames import Layer, frame, laid, layer_of, places
from .kinds import kind, skin
from .pen import numbers


@dataclass(frozen=True, eq=False)
class Body:
    """`torso`, (n,); `layers` with it; `face`, (left, bottom, right, top) in mm; `low`: where the body may be cut off
    below; `arms`: indices of the limbs that hang on it."""

    torso: np.ndarray
    layers: list
    face: tuple
    low: float
    arms: tuple


def deckhand(action, d):
    """The body to which the shoulders of a drawing belong, or None where there is no arm."""
    limbs = action.limbs
    arms = [l for l, limb in enumerate(limbs) if kind(limb.joints) == "arm"]
    if not arms:
        return None
    made = numbers()["deckhand"]
    means = {l: complex(*limbs[l].drawings[:, 0].mean(axis=0)) for l in arms}
    now = {l: complex(*limbs[l].drawings[d, 0]) for l in arms}
    pair = sorted(arms[:2], key=lambda l: -means[l].real) if len(arms) > 1 else None
    near = pair[0] if pair else arms[0]
    size = limbs[near].lengths[0] / made["arm"]
    facing = 1 if pair or bent(limbs[near]) > 0 else -1
    other = pair[1] if pair else near
    return _body(means[near], now[near], means[other], now[other], tuple(pair or arms[:1]), size, facing)


@lru_cache(maxsize=32)      # the pages of a class show the same body, as long as the shoulder stays where it was given
def _body(mean, now, far_mean, far_now, arms, size, facing):
    """The Body; of the near shoulder and the far one their mean place and where they are now."""
    made = numbers()["deckhand"]
    pair = len(arms) > 1

    def go(place, x, y):
        return place + size * complex(facing * x, y)

    body = mean + (now - mean) * made["follows"]
    behind = far_mean + (far_now - far_mean) * made["follows"]
    neck = go((body + behind) / 2, made["between"], 0) if pair else go(body, made["neck"], 0)
    far = far_now if pair else go(body, *made["wide"])
    frames = [frame(origin, facing, 1j, size) for origin in (body, now, far, neck)]
    torso = np.concatenate([pen.curve(places(made[half], frames), made["smooth"])
                            for half in ("torso", "paired" if pair else "alone")])
    hangs = made["hangs"]
    lines = [] if pair else [(laid(hangs, frames), hangs["weight"], hangs["blunt"])]
    corners = np.array([go(neck, x, y) for x, y in made["face"]])
    face = (corners.real.min(), corners.imag.min(), corners.real.max(), corners.imag.max())
    return Body(torso, [Layer([torso], lines), *(layer_of(part, frames[3:]) for part in made["head"])],
                tuple(map(float, face)), body.imag + made["deep"] * size, arms)


# ---- all of a drawing --------------------------------------------------------------


def figure(action, d):
    """The body that a drawing's shoulders belong to, or None, and the layers of each limb."""
    body = deckhand(action, d)
    return body, [skin(limb, *beside(action, limb, d), torso=body.torso if body and l in body.arms else None)
                  for l, limb in enumerate(action.limbs)]


def beside(action, limb, d):
    """A limb's joints on a drawing, and on the drawings before and after it."""
    count = action.count
    at = [(d + step) % count if action.loop else min(max(d + step, 0), count - 1) for step in (0, -1, 1)]
    return [as_complex(limb.drawings[i]) for i in at]


def as_complex(points):
    """Points, shape (..., 2), as complex numbers."""
    return points[..., 0] + 1j * points[..., 1]
