"""Where each rule is broken: one limb in any number of loops, without a sentence."""

from dataclasses import dataclass

import numpy as np

from ..measures.loops import Measures
from ..rules import RULES
from ..rules.finding import WHOLE
from ..rules.rule import LIMBS


def measured(action, limb, points=None):
    """Measures of a limb of an action; with other points, shape (..., drawings, joints, 2), mm, of those."""
    return Measures(limb.drawings if points is None else points, limb.lengths, limb.stops, action.exposures.tolist(),
                    action.loop, limb.joints)


def measure(action):
    """One Measures a limb."""
    return [measured(action, limb) for limb in action.limbs]


@dataclass(frozen=True, eq=False)
class Flags:
    """Where one rule is broken.

    Attributes
    ----------
    local : ndarray of bool, shape (..., drawings, columns), or None
    whole : ndarray of bool, shape (..., columns), or None
        The action as a whole.
    """

    local: np.ndarray | None
    whole: np.ndarray | None

    @property
    def flat(self):
        """One row a loop, (..., cells): the drawings first, then the whole."""
        parts = [] if self.local is None else [self.local.reshape(*self.local.shape[:-2], -1)]
        parts += [] if self.whole is None else [self.whole]
        return parts[0] if len(parts) == 1 else np.concatenate(parts, axis=-1)

    def one(self, i):
        """The flags of one of several loops."""
        return Flags(None if self.local is None else self.local[i], None if self.whole is None else self.whole[i])

    @property
    def cells(self):
        """What each of them is about: drawing from 0, or WHOLE, and column."""
        found = []
        if self.local is not None:
            drawings, columns = self.local.shape[-2:]
            found += [(d, column) for d in range(drawings) for column in range(columns)]
        return found + [(WHOLE, column) for column in range(0 if self.whole is None else self.whole.shape[-1])]

    @property
    def any(self):
        """True where it is broken anywhere, (...)."""
        if self.local is None:
            return False if self.whole is None else self.whole.any(axis=-1)
        # Of one loop, `any` of everything is the same and takes less time.
        broken = self.local.any() if self.local.ndim == 2 else self.local.any(axis=(-2, -1))
        return broken if self.whole is None else broken | self.whole.any(axis=-1)


def flagged(m, brief, around=False):
    """Where each rule that the brief names is broken, for one limb in any number of loops.

    Parameters
    ----------
    m : Measures
    brief : Brief
    around : bool
        Only what is broken at some drawings or at the seam; of the action as a whole nothing else is asked.

    Returns
    -------
    dict of str to Flags
        None of a rule that cannot judge is True. Rules about two limbs, and those that only give advice, are not in it.
    """
    result = {}
    for name, rule in RULES.items():
        if rule.scope == LIMBS or rule.advises or name not in brief.rules:
            continue
        whole = None if around and rule.about != "seam" else rule.broken_whole
        if whole is None and rule.broken is None:
            continue
        if rule.judged(m):
            result[name] = Flags(None, np.zeros((*m.z.shape[:-2], 1), bool))
        else:
            result[name] = Flags(rule.broken and rule.broken(m, brief), whole and whole(m, brief))
    return result
