"""Loops in which some drawings lie where their sound neighbours have them: many sets of drawings, of many loops, in one pass."""

import numpy as np


class Loop:
    """One limb's drawings in an action that loops, and how its parts turn.

    Parameters
    ----------
    limb : Limb
    measures : Measures
        Of one loop.

    Attributes
    ----------
    z : ndarray of complex, shape (drawings, joints)
        mm.
    whole_turns : ndarray, shape (drawings, segments)
        What each part's angle gains by the whole turns that it makes in the loop, degrees.
    level : ndarray, shape (drawings, segments)
        Its angle without them.
    """

    def __init__(self, limb, measures):
        m = measures
        self.limb, self.z, self.exposures, self.time = limb, m.z, m.exposures, m.stack.time
        turns = 360.0 * np.round((m.angle[-1] - m.angle[0]) / 360.0) if m.segments else np.zeros(0)
        self.whole_turns = turns * self.time[:, None]
        self.level = m.angle - self.whole_turns if m.segments else self.whole_turns

    @property
    def make(self):
        """What loops must have alike to be filled together, and to go through the rules together."""
        limb = self.limb
        return self.z.shape, self.exposures, limb.joints, limb.lengths.tobytes(), limb.stops.tobytes()


def filled(loops, sets):
    """Loops in which the drawings of each set lie where the two nearest before and after have them that are not in it.

    Parameters
    ----------
    loops : list of Loop
        Of one make.
    sets : list of ndarray of int, shape (sets, size)
        Of each of them, drawings from 0; the same size in all.

    Returns
    -------
    ndarray of complex, shape (sets of all, drawings, joints)
        mm.
    """
    of = np.repeat(np.arange(len(loops)), [len(some) for some in sets])[:, None]
    sets = np.concatenate(sets)
    time, lengths, (count, joints) = loops[0].time, loops[0].limb.lengths, loops[0].z.shape
    many, size = sets.shape
    offsets = np.arange(1, size + 2)
    near = []
    for way in (-1, 1):
        stays = ~(((sets[:, :, None] + way * offsets) % count)[..., None] == sets[:, None, None, :]).any(axis=-1)
        order = np.argsort(~stays, axis=-1, kind="stable")[..., :2]
        near.append(way * offsets[order])
    at = sets[..., None] + np.concatenate(near, axis=-1)        # (sets, size, 4)
    knots = time[at % count] + at // count - time[sets][..., None]
    weights = np.ones(knots.shape)
    for a in range(4):
        for b in range(4):
            if a != b:
                weights[..., a] *= -knots[..., b] / (knots[..., a] - knots[..., b])
    at %= count
    z = np.array([loop.z for loop in loops])
    found = z[of[:, 0]]
    row = np.arange(many)[:, None]
    root = (weights * z[of[..., None], at, 0]).sum(axis=-1)
    if joints == 1:
        found[row, sets, 0] = root
        return found
    level, turns = (np.array([getattr(loop, name) for loop in loops]) for name in ("level", "whole_turns"))
    angle = np.radians((weights[..., None] * level[of[..., None], at]).sum(axis=-2) + turns[of, sets])
    arm = np.cumsum(lengths * np.exp(1j * angle), axis=-1)
    found[row, sets] = np.concatenate([root[..., None], root[..., None] + arm], axis=-1)
    return found
