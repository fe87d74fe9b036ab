"""How a limb lies on the paper, drawing by drawing: sound swings, and all ways in which none swings.

Each function takes a source of chance, the number of drawings and the lengths of the segments; it gives lists (drawings,
joints, 2) in mm.
"""

import math

TINY = (1e-310, 5e-324, 1e-200, 1e-12, 1e-9)


def swing(rng, count, lengths):
    """Each part turns to and fro, later the farther out it is; that may be a sound loop or not."""
    root = rng.uniform(20, 280), rng.uniform(20, 190)
    first, wide, late = rng.uniform(-180, 180), rng.uniform(0, 80), rng.uniform(-0.05, 0.2)
    bend = [rng.uniform(-60, 60) for _ in lengths]
    found = []
    for d in range(count):
        at, angle, points = root, first, [list(root)]
        for k, length in enumerate(lengths):
            angle += bend[k] + wide * math.sin(2 * math.pi * (d / count - late * k)) / (k + 1)
            at = (
                at[0] + length * math.cos(math.radians(angle)),
                at[1] + length * math.sin(math.radians(angle)),
            )
            points.append(list(at))
        found.append(points)
    return found


def walk(rng, count, lengths):
    step = rng.choice((0.001, 1.0, 30.0, 5000.0))
    points = [[rng.uniform(0, 200), rng.uniform(0, 200)] for _ in range(len(lengths) + 1)]
    found = []
    for _ in range(count):
        points = [[min(max(v + rng.gauss(0, step), -10_000), 10_000) for v in point] for point in points]
        found.append(points)
    return found


def one_place(rng, count, lengths):
    place = rng.choice(([0.0, 0.0], [100.0, 50.0], [1e4, -1e4], [rng.uniform(0, 9), 3]))
    return [[place] * (len(lengths) + 1) for _ in range(count)]


def identical(rng, count, lengths):
    return swing(rng, 1, lengths) * count


def on_its_parent(rng, count, lengths):
    """A joint lies on the one before it, in one drawing or in all."""
    found = swing(rng, count, lengths)
    if lengths:
        k, once = rng.randrange(len(lengths)), rng.randrange(count)
        for d in range(count) if rng.random() < 0.3 else [once]:
            found[d][k + 1] = list(found[d][k])
    return found


def in_a_row(rng, count, lengths):
    """All joints on one line, all drawings along it."""
    way = rng.choice(((1.0, 0.0), (0.0, 1.0), (0.6, 0.8)))
    return [
        [[(d + sum(lengths[:k])) % 9000 * w for w in way] for k in range(len(lengths) + 1)]
        for d in range(count)
    ]


def corners(rng, count, lengths):
    return [
        [[rng.choice((-1e4, 1e4)), rng.choice((-1e4, 1e4, 0, -0.0))] for _ in range(len(lengths) + 1)]
        for _ in range(count)
    ]


def shrunk(rng, count, lengths):
    """All of it within next to nothing."""
    scale = rng.choice(TINY)
    return [[[x * scale, y * scale] for x, y in points] for points in swing(rng, count, lengths)]


def repeated(rng, count, lengths):
    """Sound drawings, some of them traced from the one before, some swapped."""
    found = swing(rng, count, lengths)
    for _ in range(rng.randint(1, 4)):
        a, b = rng.randrange(count), rng.randrange(count)
        found[a] = [list(point) for point in found[b]]
    return found


def nudged(rng, count, lengths):
    """Sound drawings with one joint off in one of them."""
    found = swing(rng, count, lengths)
    point = found[rng.randrange(count)][rng.randrange(len(lengths) + 1)]
    point[rng.randrange(2)] += rng.choice((1e-9, 0.5, 5.0, 80.0, -5.0))
    return found


PLACED = (
    swing,
    swing,
    swing,
    nudged,
    nudged,
    walk,
    one_place,
    identical,
    on_its_parent,
    in_a_row,
    corners,
    shrunk,
    repeated,
)
