"""What the pictures of the glossary show: the ferry landing's own limbs, drawing by drawing."""

from functools import cache

import numpy as np

from ...ferry import actions as scenario
from .sheet import Frame, Picture, limb, word


@cache
def wave(drawings=16):
    return scenario.wave(drawings).limbs[0].drawings


def swing(drawings=12):
    return scenario.lantern(drawings, swing=48.0).limbs[0].drawings


def faulty(make, *more, **options):
    return make(scenario.wave(), *more, **options).limbs[0].drawings


def shown(each, under=(), still=0, held=1):
    """One Frame for the marks of each drawing."""
    return Picture(tuple(Frame(tuple(marks), held) for marks in each), tuple(under), still)


def numbered(drawings, numbers, under=(), still=0, held=1, clear=()):
    """A limb drawing by drawing, the number of each above it to the left; `clear` points stay free."""
    points = np.concatenate([drawings.reshape(-1, 2), np.reshape(clear, (-1, 2))])
    left, top = points[:, 0].min() - 6.0, points[:, 1].max() + 4.0
    return shown(
        [(limb(points), word(left, top, n)) for points, n in zip(drawings, numbers)], under, still, held
    )


def paper(drawings, aside=(10.0, 10.0)):
    """Left, bottom, width and height of a sheet round some drawings."""
    low, high = drawings.min(axis=(0, 1)) - aside, drawings.max(axis=(0, 1)) + aside
    return (*low, *(high - low))
