"""Whether all of a limb is on the sheet: advice, for what leaves it on purpose is no fault."""

from functools import lru_cache

import numpy as np

from ..model.words import the, verb

LEAST = 2.0  # mm off the sheet, of which nobody need be told


def off_sheet(limb, paper):
    """A sentence about the joint that is furthest off the sheet, in a list; empty where all of it is on the sheet.

    Parameters
    ----------
    limb : Limb
    paper : tuple of float
        Width and height, mm.
    """
    middle = _middle(paper)
    off = np.abs(limb.drawings - middle) - middle
    if off.max() <= LEAST:
        return []
    off = off.max(axis=-1)
    d, j = np.unravel_index(np.argmax(off), off.shape)
    others = int((off.max(axis=-1) > LEAST).sum()) - 1
    joint = limb.joints[j]
    also = f", and in {others} other drawing{'s' if others > 1 else ''} something does" if others else ""
    return [f"At {d + 1} {the(joint)} {verb(joint, 'leaves', 'leave')} the sheet by {off[d, j]:.0f} mm{also}. "
            "Nobody will see it there."]


@lru_cache(maxsize=8)
def _middle(paper):
    """Of the sheet, mm."""
    return np.multiply(paper, 0.5)
