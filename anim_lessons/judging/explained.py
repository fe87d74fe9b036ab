"""The fewest drawings that explain what is broken: each of them, put where its sound neighbours have it, leaves nothing broken.

One drawing out of place leaves its neighbours standing out too; two near to each other are easily taken for a third one between
them. So sets of one, two and three drawings are tried, all of a size in one pass: those in the set are looked for between the
drawings that stay, and the rules say what is then still broken. Each drawing of the set is then judged with the others put right.
"""

from itertools import combinations

import numpy as np

from ..rules import RULES
from ..rules.rule import LIMBS
from .filled import Loop, filled
from .in_step import AROUND, BROKEN, OUTLIERS, WHOLE, Asked, at_the_seam, somewhere
from .stack import FEWEST_KNOWN

TOGETHER = 4    # drawings: what is broken no further apart may have one cause
FELT = 4        # drawings round them in which nothing may stay broken
MOST = 3        # drawings in a set
REACHES = (2, 1)    # drawings from a broken one, in which sets are looked for: less far where there are too many
LOOKED_AT = 400_000  # joints placed and judged for one limb: a stack that is wrong all over must not keep anybody waiting
CANDIDATES = 12     # drawings, of which sets are made: more are no single drawings out of place
BETTER = 0.3    # of what fewer drawings leave standing out, squared: so little must more of them leave to be believed
FAINT = 1.0     # mm, root of the sum of squares: what stands out less needs no more drawings to explain it
SEAM = 0.7      # of what one drawing leaves standing out: a jump that leaves less is the better explanation


class Explained:
    """What explains the broken drawings of one limb in an action that loops and is drawn whole.

    `sets`, `jumps` and `alone` are searches, which go in step with others (`in_step`).

    Parameters
    ----------
    limb : Limb
    measures : Measures
        Of one loop.
    flags : dict of str to Flags
    brief : Brief
    """

    def __init__(self, limb, measures, flags, brief):
        self.limb, self.m, self.flags, self.brief = limb, measures, flags, brief
        self.count, self.left = measures.count, LOOKED_AT
        self.z, self.known = measures.z, set()      # known: drawings put right already
        self.loop = Loop(limb, measures)

    def sets(self):
        """Sets of drawings, from 0, each with the drawings about it at which something is broken."""
        found = []
        for cluster in self._clusters(self._hot(self.flags)):
            if chosen := (yield from self._fewest(cluster)):
                found.append((chosen, cluster))
        if not found:
            return []
        # With these put right the loop is quieter, and what stood out less may now be seen.
        known = sorted({d for chosen, _ in found for d in chosen})
        if self.count - len(known) < FEWEST_KNOWN + MOST:
            return found
        ((rest, flags),) = yield self._asked(np.array([known]), AROUND)
        again = Explained(self.limb, rest, flags, self.brief)
        again.left = self.left
        again.known = set(known)
        for cluster in again._clusters(again._hot(again.flags)):
            if chosen := (yield from again._fewest(cluster)):
                found.append((chosen, cluster))
        return found

    def jumps(self, others=()):
        """True where the loop does not run into itself, and a jump at the seam leaves less standing out than one or two drawings
        out of place would, `others` put right."""
        if not at_the_seam(self.flags).any():
            return False
        if len(others):
            ((rest, _),) = yield self._asked(np.array([others]), AROUND)
            return (yield from Explained(self.limb, rest, self.flags, self.brief).jumps())
        around = [d % self.count for d in range(-FELT, FELT)]
        shared = yield self._asked(self._shared()[None], OUTLIERS)
        jump = (np.abs(shared[0, around]) ** 2).sum()
        for size, share in ((1, SEAM), (2, 1.0)):
            sets = np.array(list(combinations([d % self.count for d in (-2, -1, 0, 1)], size)))
            rest = (yield self._asked(sets, OUTLIERS))[:, around]
            if jump >= share * (np.abs(rest) ** 2).sum(axis=(-2, -1)).min():
                return False
        return True

    def _shared(self):
        """The loop with the jump at the seam shared out over it, in the root and in the angles of the parts, complex mm."""
        m = self.m
        seam = -m.stack.outlier @ m.stack.time
        level, turns = self.loop.level, self.loop.whole_turns
        drift = (m.stack.time - m.stack.time.mean())[:, None]
        at = np.arange(-FELT, FELT) % self.count
        fit = seam[at] @ m.stack.outlier[at] / (seam[at] @ seam[at])    # other faults of the loop have no say
        root = self.z[:, :1] + drift * (fit @ self.z[:, :1])
        angle = np.radians(level + drift * (fit @ level) + turns)
        arm = np.cumsum(self.limb.lengths * np.exp(1j * angle), axis=-1)
        return np.concatenate([root, root + arm], axis=-1)

    def _hot(self, of_rules):
        broken = somewhere(of_rules, self.count)
        broken[-1] |= at_the_seam(of_rules)
        return np.flatnonzero(broken)

    def _clusters(self, hot):
        """Runs of broken drawings at most TOGETHER apart, round the loop."""
        if not len(hot):
            return []
        gaps = np.diff(np.append(hot, hot[0] + self.count))
        if (gaps <= TOGETHER).all():
            return [hot.tolist()]
        first = int(np.flatnonzero(gaps > TOGETHER)[0]) + 1
        order = np.roll(hot, -first).tolist()
        breaks = np.roll(gaps, -first)
        clusters, one = [], []
        for d, gap in zip(order, breaks):
            one.append(d)
            if gap > TOGETHER:
                clusters.append(one)
                one = []
        return clusters + ([one] if one else [])

    def _fewest(self, cluster):
        """The fewest drawings that explain a cluster, of as many the ones that leave least standing out; or None."""
        around = self._around(cluster, FELT)
        candidates, best, left = self._candidates(cluster), None, np.inf
        for size in range(1, MOST + 1):
            sets = list(combinations(candidates, size))
            self.left -= len(sets) * self.z.size
            if not sets or self.left < 0 or left < FAINT**2 or best is not None and size > len(best) + 1:
                break
            wrong, outlier = yield self._asked(np.array(sets), BROKEN)
            good = np.flatnonzero(~wrong[:, around].any(axis=-1))
            if len(good):
                lefts = (np.abs(outlier[good][:, around]) ** 2).sum(axis=(-2, -1))
                at = int(np.argmin(lefts))
                if best is None or lefts[at] < BETTER * left:
                    best, left = list(sets[good[at]]), lefts[at]
        return best

    def _candidates(self, cluster):
        """The drawings near a cluster that may be at fault, none where they are too many."""
        for reach in REACHES:
            near = [d for d in self._around(cluster, reach) if d not in self.known]
            if len(near) <= CANDIDATES and self.count - len(near) >= FEWEST_KNOWN:
                return near
        return []

    def _around(self, drawings, reach):
        return sorted({(d + s) % self.count for d in drawings for s in range(-reach, reach + 1)})

    def _asked(self, loops, what):
        return Asked(self.loop, loops, what)

    def alone(self, some, chosen, found):
        """What the rules say of each of some drawings of a set with the others put where they belong.

        Parameters
        ----------
        some, chosen : list of int
            Drawings, from 0; `chosen` is the whole set.
        found : list of Finding
            What the rules say of the limb as it is drawn.

        Returns
        -------
        list of (list of Finding, Measures)
            One a drawing, with the Measures of what was judged.
        """
        if len(chosen) == 1:
            return [(_about(some[0], found), self.m)]
        # All of them from those that stay, and this one put back.
        loops = np.repeat(filled([self.loop], [np.array([chosen])]), len(some), axis=0)
        loops[np.arange(len(some)), some] = self.z[some]
        told = []
        for d, (m, flags) in zip(some, (yield self._asked(loops, WHOLE))):
            said = []
            for name, of_rule in flags.items():
                if of_rule.any:
                    said += RULES[name].findings(self.limb, m, self.brief)
            told.append((_about(d, said), m))
        return told


def _about(d, found):
    """The findings of which a drawing, from 0, may be the cause."""
    return [finding for finding in found if RULES[finding.rule].scope != LIMBS and RULES[finding.rule].about != "seam"
            and finding.drawings and d + 1 in (finding.moves or finding.drawings)]
