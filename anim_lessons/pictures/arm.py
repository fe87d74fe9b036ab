"""The deckhand's arm: sleeve, cuff and box hand. The page has the same in arm.mjs. Places are complex
numbers, mm, y up.
"""

import numpy as np

from . import pen
from .frames import Layer, frame, layer_of
from .pen import dot, numbers, unit


def bent(limb):
    """The side to which an arm's elbow bends: 1 counter-clockwise, by its stops, so that it never changes."""
    return -1 if limb.stops[1].sum() < 0 else 1


def _hump(part, t):
    high, centre, wide = part
    return high * np.exp(-((t - centre) / wide) ** 2)


def _measure(limb, points):
    """The upper arm, the measure of all its widths; never shorter than a share of the model's."""
    return max(abs(points[1] - points[0]), numbers()["arm"]["shortest"] * limb.lengths[0])


def arm(limb, points, torso, *_):
    """The layers of an arm: hand, sleeve, cuff. It is inked from where it leaves the torso."""
    made = numbers()["arm"]
    size, side_bent = _measure(limb, points), bent(limb)

    def swell(i, t, side):
        part = made["fore" if i else "upper"]
        more = size * _hump(part["bent" if side == side_bent else "straight"], t)
        return more * pen.soft(t * part["from"]) if i else more

    sleeve = pen.Tube(points[:3], np.multiply(made["half"], size), swell, tip=False)
    up, u = sleeve.ways
    layers = [_hand(points[2:], -side_bent)] if len(points) > 3 else []
    turn = float(np.angle(up.conjugate() * u))
    lines, fold = [], made["fold"]
    if abs(turn) > fold["from"]:
        inner = 1 if turn > 0 else -1
        corner = dot(sleeve.corner[inner] - points[1], u) if inner in sleeve.corner else 0.0
        start = points[1] + u * (corner + inner * 1j * made["half"][1] * size * fold["at"])
        long = fold["long"] * size * min(1.0, (abs(turn) - fold["open"]) / fold["full"])
        lines.append((pen.curve([start + u * long * (x - inner * 1j * y) for x, y in fold["rows"]], 5), fold["weight"], 0.5))
    masks = [] if torso is None else [_armpit(sleeve, torso)]
    return [*layers, Layer([sleeve.shape], lines, masks=masks), layer_of(made["cuff"], [frame(points[2], u, 1j * u, size)])]


def _armpit(sleeve, torso):
    """Where the sleeve is inked: from where its edges leave the body; below a little earlier, which is the fold of the
    armpit."""
    count = len(sleeve.left) + len(sleeve.right)
    mask = np.ones(len(sleeve.shape))
    low = 1 if sleeve.ways[0].real < 0 else -1  # the side that looks down
    outside = ~pen.inside(np.concatenate([sleeve.left, sleeve.right]), torso)
    for edge, out, side in ((sleeve.left, outside[:len(sleeve.left)], 1), (sleeve.right, outside[len(sleeve.left):], -1)):
        start = (int(out.argmax()) if out.any() else 3) - (3 if side == low else 1)
        for i in range(min(len(edge), start + 4)):
            share = 0.25 + 0.2 * (i - start) if side == low else min(1.0, 0.7 + 0.15 * (i - start))
            mask[i if side == 1 else count - 1 - i] = 0.0 if i < start else share
    mask[count:] = 0.0
    return mask


def _hand(points, side):
    """A box hand: palm, four fingers, thumb on `side`. Knuckles where the model has them, else in the middle."""
    made = numbers()["hand"]
    wrist, tips = points[0], points[-1]
    knuckles = points[1] if len(points) > 2 else wrist + made["middle"] * (tips - wrist)
    palm, fingers = abs(knuckles - wrist), abs(tips - knuckles)
    long = palm + fingers
    u = unit(knuckles - wrist)
    f = unit(tips - knuckles, u)
    n, m = side * 1j * u, side * 1j * f
    thumb = np.exp(1j * side * made["thumb"])
    root = wrist + u * made["root"][0] * long + n * made["root"][1] * long
    return layer_of(made, [
        frame(wrist, u, n, long), frame(knuckles, f, m, long), frame(wrist, u, n, palm, long),
        frame(knuckles, f, m, fingers, long), frame(tips, f, m, long), frame(root, u * thumb, n * thumb, long)])


def mitten(limb, points):
    """An arm's outline as a mitten: places and half widths."""
    made = numbers()["arm"]
    half = [share * _measure(limb, points) for share in made["half"]]
    if len(points) < 4:
        return points, half
    rest = points[2:]
    a, b = made["mitten"]["along"]
    knuckles = rest[1] if len(rest) > 2 else rest[0] + a * (rest[1] - rest[0])
    tips = knuckles + (rest[-1] - knuckles) * (b - a) / (1 - a)
    return [*points[:3], knuckles, tips], half + [share * pen.reach(rest) for share in made["mitten"]["half"]]
