"""Places of one joint tried on one drawing: angles round its parent, and which rule each of them breaks.

The rules themselves are asked: first about the drawing tried alone, for that leaves a small sector of the circle, then
about the whole loop for what is left. Trying is shift-and-trace: what hangs below comes along at its angles on the paper.
"""

import numpy as np

from ..geometry.angles import as_points, wrapped
from ..judging.flags import Flags, flagged, measure, measured
from ..measures.loops import Measures
from ..measures.one_drawing import MIDDLE, Tried
from ..model.words import part
from ..rules import RULES
from ..rules.rule import LIMBS

JOINTS_AT_ONCE = 100_000    # in one pass over the rules, so that a long stack needs little memory
SPARSE = 8          # far from where the joint is wanted every eighth angle is tried, and what lies beside one that is open
CLOSE = 12.0        # degrees: no farther than this from it each one is
ALLOWED = 0         # the code of an angle that breaks nothing
# Which rule is named where several are broken: what is said of a bend before what is said of a place.
_ABOUT = ("bend", "place", "length", "seam", "timing")
FIRST = sorted(RULES, key=lambda name: (_ABOUT.index(RULES[name].about), RULES[name].rank, RULES[name].order))


def placed(limb, j, d, angle):
    """Drawings of a limb with joint j of drawing d put at an angle, degrees, (drawings, joints, 2): model length, what hangs
    below shifted and traced."""
    points = limb.drawings.copy()
    turn = np.radians(angle)
    target = points[d, j - 1] + limb.lengths[j - 1] * np.array([np.cos(turn), np.sin(turn)])
    points[d, j:] += target - points[d, j]
    return points


class Trial:
    """Angles tried at one place, each with a code: ALLOWED, or one more than the place of its reason in `reasons`."""

    def __init__(self, action, limb, j, d, brief):
        self.action, self.limb, self.j, self.d, self.brief = action, limb, j, d, brief
        self.measures = measure(action)
        self.at = action.limbs.index(limb)
        self.whole = self.measures[self.at]
        self.parent = self.whole.z[d, j - 1]
        self.length = float(limb.lengths[j - 1])
        self.reasons = []       # (rule, which of its places, which way), in the order in which they were met
        self.sizes = None       # how many places each rule has, in the order in which rules are named
        self.best = None        # flags and angle of the place that breaks least

    @property
    def _wanted(self):
        """Where its neighbours have the joint, complex mm; where it is, of too few drawings."""
        return self.whole.z[self.d, self.j] - (self.whole.residual[self.d, self.j] if self.whole.enough else 0.0)

    def measured_at(self, angles):
        """Measures of the limb with the joint at an angle, or at each of several."""
        points = [placed(self.limb, self.j, self.d, angle) for angle in np.atleast_1d(angles)]
        return measured(self.action, self.limb, np.array(points) if np.ndim(angles) else points[0])

    def _z(self, angles):
        return self.parent + self.length * np.exp(1j * np.radians(angles))

    # ---- which rules are broken ------------------------------------------------------

    def codes(self, angles):
        return self._then_whole(angles, self._alone(angles))

    def _then_whole(self, angles, codes):
        """The codes with those of the whole loop, which is asked where the drawing alone breaks nothing."""
        left = codes == ALLOWED
        if not left.any() and self.best is None:
            left[:] = True      # something beside it is broken whatever is done here: the least of it tells where it may go
        if left.any():
            codes[left] = self._whole(angles[left])
        return codes

    def round_circle(self, angles):
        """The codes of angles that stand evenly round the circle. Where two that are tried break the same rule, what lies
        between them is taken to break it too; beside a place that is open each one is tried."""
        if not (self.whole.loop and self.whole.enough) or len(angles) % SPARSE:
            return self.codes(angles)
        asked = np.abs(wrapped(angles - np.degrees(np.angle(self._wanted - self.parent)))) < CLOSE
        asked[::SPARSE] = True
        codes = np.full(len(angles), -1)
        codes[asked] = self._alone(angles[asked])
        known, each = np.flatnonzero(asked), np.arange(len(angles))     # of which the first is asked
        before = np.maximum.accumulate(np.where(asked, each, 0))
        after = known[np.searchsorted(known, each) % len(known)]
        beside_open = ~asked & ((codes[before] == ALLOWED) | (codes[after] == ALLOWED))
        codes = codes[before]
        if beside_open.any():
            codes[beside_open] = self._alone(angles[beside_open])
        return self._then_whole(angles, codes)

    def _alone(self, angles):
        codes = np.zeros(len(angles), int)
        if not (self.whole.loop and self.whole.enough):
            return codes
        z = self._z(angles)
        # First the rules about bends, which leave little; then those about the place of the joint itself, of which the one
        # that is broken most is named.
        of_joint = Measures(self.limb.drawings[:, self.j:self.j + 1], (), (), self.action.exposures.tolist())
        asked = [name for name in FIRST if RULES[name].tried_alone and name in self.brief.rules
                 and not RULES[name].judged(self.whole)]
        bends = [name for name in asked if RULES[name].tried_alone == "bend"]
        places = [name for name in asked if RULES[name].tried_alone == "place"]
        for names, whole, joint in ((bends, self.whole, self.j), (places, of_joint, 0)):
            left = np.flatnonzero(codes == ALLOWED)
            if not len(left) or not names:
                continue
            tried = Tried(whole, self.d, joint, z[left])
            broken = {name: self._here(name, RULES[name].broken(tried, self.brief)[:, MIDDLE].reshape(len(left), -1).copy()) for name in names}
            self._largest(broken, tried)
            for name, flags in broken.items():
                self._name(codes, left, name, flags, tried)
        return codes

    def _here(self, name, flags):
        """The flags of a rule at the drawing tried, (..., columns), without that of a part which is placed later."""
        if RULES[name].trails and self.whole.segments > 2 and self.j < self.whole.segments:
            flags[..., -1] = False
        return flags

    def breaks_out(self, angle):
        """The last part, where it breaks a rule if it is shifted and traced along to that angle; else an empty text."""
        if self.whole.segments < 3 or self.j >= self.whole.segments:
            return ""
        m = self.measured_at(angle)
        asked = [rule for name, rule in RULES.items() if rule.trails and name in self.brief.rules and not rule.judged(m)]
        return part(self.limb, m.segments - 1) if any(rule.broken(m, self.brief)[self.d, -1] for rule in asked) else ""

    def _largest(self, broken, tried):
        """Where rules about a place are broken together, leave the one that is broken most, as a check does."""
        several = [name for name, flags in broken.items() if RULES[name].excess is not None and flags.any()]
        if len(several) > 1:
            excess = {name: RULES[name].excess(tried, self.brief)[:, MIDDLE].reshape(broken[name].shape) * broken[name]
                      for name in several}
            best = np.argmax(list(excess.values()), axis=0)
            for i, name in enumerate(excess):
                broken[name] &= best == i

    def _name(self, codes, of, name, flags, tried):
        """Give those that break a rule its code, one for each joint and way, the joint tried first."""
        here = np.flatnonzero(flags.any(axis=1) & (codes[of] == ALLOWED))
        if not len(here):
            return
        nearest = np.array(sorted(range(flags.shape[1]), key=lambda place: (abs(place - self.j + 1), place)))
        place = nearest[flags[here][:, nearest].argmax(axis=1)]
        side = RULES[name].way(tried)[:, MIDDLE].reshape(len(of), -1)[here, place]
        which = 2 * place + side
        for one in sorted(set(which.tolist())):
            codes[of[here[which == one]]] = self._code(name, one // 2, one % 2 == 1)

    def _whole(self, angles):
        at_once = max(1, JOINTS_AT_ONCE // self.whole.z.size)
        some = [self._flags(angles[first:first + at_once]) for first in range(0, len(angles), at_once)]
        flags = np.concatenate(some) if len(some) > 1 else some[0]
        if not self.sizes:  # a brief that asks only for what never fails, or for what cannot be judged here
            self.best = np.zeros(1, bool), float(angles[0])
            return np.zeros(len(angles), int)
        if self.best is None:
            best = np.lexsort((np.abs(self._z(angles) - self._wanted), flags.sum(axis=-1)))[0]
            self.best = flags[best], float(angles[best])
        new = flags & ~self.best[0]
        codes = np.zeros(len(angles), int)
        shut = np.flatnonzero(new.any(axis=-1))
        first = new[shut].argmax(axis=-1)
        names, begins = list(self.sizes), np.cumsum([0, *self.sizes.values()])
        for at in sorted(set(first.tolist())):
            rule = int(np.searchsorted(begins, at, "right")) - 1
            codes[shut[first == at]] = self._code(names[rule], at - int(begins[rule]), None)
        return codes

    def _flags(self, angles):
        """What is broken in the whole loop at each angle, (angles, places of all rules), in the order of `sizes`."""
        points = np.repeat(self.limb.drawings[None], len(angles), axis=0)
        points[:, self.d, self.j:] += (as_points(self._z(angles)) - points[:, self.d, self.j])[:, None]
        m = measured(self.action, self.limb, points)
        m.by_hand = False
        found = flagged(m, self.brief)
        for name, flags in found.items():
            if flags.local is not None and RULES[name].trails:
                local = flags.local.copy()
                self._here(name, local[:, self.d])
                found[name] = Flags(local, flags.whole)
        by_rule = {name: flags.flat for name, flags in found.items()} | self.of_limbs(m)
        if self.sizes is None:
            self.sizes = {name: by_rule[name].shape[-1] for name in FIRST if name in by_rule}
        found = [np.zeros((len(angles), 0), bool)]
        for name, size in self.sizes.items():
            flat = by_rule[name]
            # A rule may begin to judge, or no longer be able to, as parts swing more or less.
            found.append(flat if flat.shape[-1] == size else np.repeat(flat.any(axis=-1, keepdims=True), size, axis=-1))
        return np.concatenate(found, axis=-1)

    def of_limbs(self, m):
        """Where rules about two limbs are broken, with these Measures of the limb, by rule, (..., pairs)."""
        result = {}
        for name, rule in RULES.items():
            if rule.scope != LIMBS or name not in self.brief.rules or rule.judged(self.measures):
                continue
            flags = [rule.broken(*(m if index == self.at else self.measures[index] for index in pair), self.brief)
                     for pair in rule.pairs(self.measures) if self.at in pair]
            if flags:
                result[name] = np.stack(flags, axis=-1)
        return result

    def _code(self, *reason):
        if reason not in self.reasons:
            self.reasons.append(reason)
        return self.reasons.index(reason) + 1


def angle_of(z):
    return float(np.degrees(np.angle(z)) % 360.0)
