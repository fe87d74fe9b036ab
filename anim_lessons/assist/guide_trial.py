"""Places of one joint tried on one drawing: angles round its parent, and which rule each of them breaks.

The rules themselves are asked: first about the drawing tried alone, for that leaves a small sector of the circle, then
about the whole loop for what is left. Trying is shift-and-trace: what hangs below comes along at its angles on the paper.
"""

import numpy as np

from ..geometry.angles import as_points
from ..judging.flags import flagged, measure, measured
from ..measures.loops import Measures
from ..measures.one_drawing import MIDDLE, Tried
from ..model.words import capital, part
from ..rules import RULES
from ..rules.rule import LIMBS

FINE = 12           # times that a border is halved where it is asked for exactly
HAIR = 0.001        # degrees: borders are then given on this grid, for a file rounds its points
JOINTS_AT_ONCE = 100_000    # in one pass over the rules, so that a long stack needs little memory
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

    def _z(self, angles):
        return self.parent + self.length * np.exp(1j * np.radians(angles))

    # ---- which rules are broken ------------------------------------------------------

    def codes(self, angles):
        codes = self._alone(angles)
        left = codes == ALLOWED
        if not left.any() and self.best is None:
            left[:] = True      # something beside it is broken whatever is done here: the least of it tells where it may go
        if left.any():
            codes[left] = self._whole(angles[left])
        return codes

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
            broken = {name: self._here(name, RULES[name].broken(tried, self.brief)[:, MIDDLE].reshape(len(left), -1)) for name in names}
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
        m = measured(self.action, self.limb, placed(self.limb, self.j, self.d, angle))
        asked = [rule for name, rule in RULES.items() if rule.trails and name in self.brief.rules and not rule.judged(m)]
        return part(self.limb, m.segments - 1) if any(rule.broken(m, self.brief)[self.d, -1] for rule in asked) else ""

    def _largest(self, broken, tried):
        """Where rules about a place are broken together, leave the one that is broken most, as a check does."""
        excess = {name: RULES[name].excess(tried, self.brief)[:, MIDDLE].reshape(flags.shape) * flags
                  for name, flags in broken.items() if RULES[name].excess is not None}
        if len(excess) > 1:
            best = np.argmax(list(excess.values()), axis=0)
            for i, name in enumerate(excess):
                broken[name] &= best == i

    def _name(self, codes, of, name, flags, tried):
        """Give those that break a rule its code, one for each joint and way, the joint tried first."""
        places = np.flatnonzero(flags.any(axis=0))
        if not len(places):
            return
        way = RULES[name].way(tried)[:, MIDDLE].reshape(len(of), -1)
        for place in sorted(places, key=lambda place: (abs(place - self.j + 1), place)):
            here = np.flatnonzero(flags[:, place] & (codes[of] == ALLOWED))
            if len(here):
                sides = way[here, place]
                two = [self._code(name, int(place), side) if (sides == side).any() else ALLOWED for side in (False, True)]
                codes[of[here]] = np.where(sides, two[1], two[0])

    def _whole(self, angles):
        at_once = max(1, JOINTS_AT_ONCE // self.whole.z.size)
        some = [self._flags(angles[first:first + at_once]) for first in range(0, len(angles), at_once)]
        flags = np.concatenate(some) if len(some) > 1 else some[0]
        if not self.sizes:  # a brief that asks only for what never fails, or for what cannot be judged here
            self.best = np.zeros(1, bool), float(angles[0])
            return np.zeros(len(angles), int)
        if self.best is None:
            wanted = self.whole.z[self.d, self.j] - (self.whole.residual[self.d, self.j] if self.whole.enough else 0.0)
            best = np.lexsort((np.abs(self._z(angles) - wanted), flags.sum(axis=-1)))[0]
            self.best = flags[best], float(angles[best])
        new = flags & ~self.best[0]
        names, begins = list(self.sizes), np.cumsum([0, *self.sizes.values()])
        codes = np.zeros(len(angles), int)
        for i in np.flatnonzero(new.any(axis=-1)):
            at = int(np.argmax(new[i]))
            rule = int(np.searchsorted(begins, at, "right")) - 1
            codes[i] = self._code(names[rule], at - int(begins[rule]), None)
        return codes

    def _flags(self, angles):
        """What is broken in the whole loop at each angle, (angles, places of all rules), in the order of `sizes`."""
        points = np.repeat(self.limb.drawings[None], len(angles), axis=0)
        points[:, self.d, self.j:] += (as_points(self._z(angles)) - points[:, self.d, self.j])[:, None]
        m = measured(self.action, self.limb, points)
        m.by_hand = False
        found = flagged(m, self.brief)
        for name, flags in found.items():
            if flags.local is not None:
                self._here(name, flags.local[:, self.d])
        by_rule = {name: flags.flat for name, flags in found.items()} | self._of_limbs(m)
        if self.sizes is None:
            self.sizes = {name: by_rule[name].shape[-1] for name in FIRST if name in by_rule}
        found = [np.zeros((len(angles), 0), bool)]
        for name, size in self.sizes.items():
            flat = by_rule[name]
            # A rule may begin to judge, or no longer be able to, as parts swing more or less.
            found.append(flat if flat.shape[-1] == size else np.repeat(flat.any(axis=-1, keepdims=True), size, axis=-1))
        return np.concatenate(found, axis=-1)

    def _of_limbs(self, m):
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

    # ---- from angles to parts of the circle -------------------------------------------

    def runs(self, angles, codes, halvings):
        """Runs of like codes round the circle: lists of where each begins, degrees, its code, and an angle in it."""
        ends = np.flatnonzero(codes != np.roll(codes, -1))
        if not len(ends):
            return [(0.0, codes[0], angles[0])]
        step = 360.0 / len(angles)
        left, right = codes[ends], np.roll(codes, -1)[ends]
        # What lies between two candidates belongs to neither: each run is followed to where it really ends.
        last = self._followed(angles[ends], angles[ends] + step, left, halvings)
        first = self._followed(angles[ends] + step, angles[ends], right, halvings)
        runs = []
        for i, code in enumerate(right):
            inner = angles[(ends[i] + 1) % len(angles)]
            if halvings and first[i] - last[i] > step / 2**(halvings - 1):     # a third one, between two candidates
                middle = (last[i] + first[i]) / 2.0
                third = self.codes(np.array([middle]))
                begin, end = (float(self._followed(np.array([middle]), np.array([to]), third, halvings)[0])
                              for to in (last[i], first[i]))
                if third[0] != ALLOWED:
                    runs.append((last[i], third[0], middle))
                elif end - begin > 3.0 * HAIR:     # a narrower gap is no place to put a joint
                    runs.append((begin, ALLOWED, middle))
                runs.append((end if third[0] == ALLOWED else first[i], code, inner))
            elif halvings:
                # On the side of caution: what lies between belongs to what is excluded.
                runs.append((first[i] if code == ALLOWED else last[i], code, inner))
            else:
                runs.append(((last[i] + first[i]) / 2.0, code, inner))
        return runs

    def _followed(self, inside, outside, codes, halvings):
        """Halve the way from angles that have these codes to ones that have others; the last that still have them."""
        if not halvings:
            return inside
        for _ in range(halvings):
            middle = (inside + outside) / 2.0
            same = self.codes(middle) == codes
            inside, outside = np.where(same, middle, inside), np.where(same, outside, middle)
        return inside

    def parts(self, runs, exact):
        """The allowed and the excluded parts, split at 0 degrees."""
        allowed, excluded = [], []
        begins = [begin for begin, _, _ in runs]
        if exact:
            # On the side of caution: what is allowed is rounded inward.
            after = np.roll([code for _, code, _ in runs], 1)
            begins = [(np.ceil if code == ALLOWED else np.floor if before == ALLOWED else np.round)(begin / HAIR) * HAIR
                      for (begin, code, _), before in zip(runs, after)]
        for (_, code, inner), begin, end in zip(runs, begins, [*begins[1:], begins[0] + 360.0]):
            says = None if code == ALLOWED else self._says(code, inner)
            for a, b in _split(begin, end):
                if code == ALLOWED:
                    allowed.append((a, b))
                else:
                    excluded.append((a, b, *says))
        return tuple(sorted(allowed)), tuple(sorted(excluded, key=lambda part: part[0]))

    def _says(self, code, angle):
        """The rule and its own words about the loop with the joint at that angle."""
        rule = self.reasons[code - 1][0]
        found = self._found(rule, angle)
        if self.best is not None and len(found) > 1:
            seen = {(finding.joint, finding.drawings) for finding in self._found(rule, self.best[1])}
            found = [finding for finding in found if (finding.joint, finding.drawings) not in seen] or found
        if not found:   # a part without length next to it has no angle, and the loop around it may read otherwise
            return rule, f"{capital(rule)} is not kept at {self.d + 1}."
        near = min(found, key=lambda finding: _apart(finding, self.d + 1, self.action.count))
        return rule, near.head

    def _found(self, name, angle):
        """What a rule finds with the joint at that angle."""
        rule = RULES[name]
        m = measured(self.action, self.limb, placed(self.limb, self.j, self.d, angle))
        if rule.scope == LIMBS:
            return rule.findings(self.action.limbs, [m if i == self.at else other for i, other in enumerate(self.measures)], self.brief)
        return rule.findings(self.limb, m, self.brief)

    def remains(self):
        """What is broken at the best angle too, in the words of the first such rule."""
        if self.best is None or not self.best[0].any():
            return ""
        of_limbs = self._of_limbs(self.whole)
        for name, rule in RULES.items():
            if name not in self.brief.rules or rule.advises:
                continue
            unable = name not in of_limbs if rule.scope == LIMBS else rule.judged(self.whole)
            found = [] if unable else self._found(name, self.best[1])
            if found:
                return f"Whatever is done here, this stays: {found[0].head}"
        return ""


def _apart(finding, number, count):
    if not finding.drawings:
        return count
    return min(min(abs(n - number), count - abs(n - number)) for n in finding.drawings)


def _split(start, end):
    """A part of the circle in pieces from 0 to 360."""
    start, end = (round(float(angle), 6) for angle in (start % 360.0, start % 360.0 + (end - start)))
    return [(start, end)] if end <= 360.0 else [(start, 360.0), (0.0, round(end - 360.0, 6))]


def angle_of(z):
    return float(np.degrees(np.angle(z)) % 360.0)
