"""From the codes of angles to parts of the circle: where each begins, and the rule's own words about it."""

import numpy as np

from ..model.words import capital
from ..rules import RULES
from ..rules.rule import LIMBS
from .guide_trial import ALLOWED, JOINTS_AT_ONCE

FINE, COARSE = 12, 4    # times that a border is halved where it is asked for exactly; the least
MOST_HALVED = 2_000_000     # joints in all loops tried for that; a circle of hundreds of parts has coarser borders
HAIR = 0.001        # degrees: borders are then given on this grid, for a file rounds its points


class Circle:
    """The circle of one Trial, in parts."""

    def __init__(self, trial):
        self.trial = trial
        self.looked_at = {}     # Measures of the loop with the joint at an angle, for the sentences

    def runs(self, angles, codes, halvings):
        """Runs of like codes round the circle: lists of where each begins, degrees, its code, and an angle in it."""
        ends = np.flatnonzero(codes != np.roll(codes, -1))
        if not len(ends):
            return [(0.0, codes[0], angles[0])]
        step = 360.0 / len(angles)
        halvings = min(halvings, max(COARSE, MOST_HALVED // (2 * len(ends) * self.trial.whole.z.size))) if halvings else 0
        left, right = codes[ends], np.roll(codes, -1)[ends]
        # What lies between two candidates belongs to neither: each run is followed to where it really ends.
        last = self._followed(angles[ends], angles[ends] + step, left, halvings)
        first = self._followed(angles[ends] + step, angles[ends], right, halvings)
        # Where the gap between two candidates is wide, a third code lies there; all such gaps are looked into together.
        gaps = np.flatnonzero(first - last > step / 2**(halvings - 1)) if halvings else []
        third = dict(zip(gaps, self._between(last[gaps], first[gaps], halvings))) if len(gaps) else {}
        runs = []
        for i, code in enumerate(right):
            inner = angles[(ends[i] + 1) % len(angles)]
            if i in third:
                middle, between, begin, end = third[i]
                if between != ALLOWED:
                    runs.append((last[i], between, middle))
                elif end - begin > 3.0 * HAIR:     # a narrower gap is no place to put a joint
                    runs.append((begin, ALLOWED, middle))
                runs.append((end if between == ALLOWED else first[i], code, inner))
            elif halvings:
                # On the side of caution: what lies between belongs to what is excluded.
                runs.append((first[i] if code == ALLOWED else last[i], code, inner))
            else:
                runs.append(((last[i] + first[i]) / 2.0, code, inner))
        return runs

    def _between(self, last, first, halvings):
        """The run in the middle of each gap: an angle in it, its code, where it begins and where it ends."""
        middle = (last + first) / 2.0
        codes = self.trial.codes(middle)
        both = np.concatenate
        ends = self._followed(both([middle, middle]), both([last, first]), both([codes, codes]), halvings)
        begin, end = ends.reshape(2, -1).tolist()
        return zip(middle.tolist(), codes.tolist(), begin, end)

    def _followed(self, inside, outside, codes, halvings):
        """Halve the way from angles that have these codes to ones that have others; the last that still have them."""
        if not halvings:
            return inside
        for _ in range(halvings):
            middle = (inside + outside) / 2.0
            same = self.trial.codes(middle) == codes
            inside, outside = np.where(same, middle, inside), np.where(same, outside, middle)
        return inside

    def parts(self, runs, exact):
        """The allowed and the excluded parts, split at 0 degrees."""
        allowed, excluded = [], []
        self._look_at({inner: self.trial.reasons[code - 1][0] for _, code, inner in runs if code != ALLOWED})
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

    def _look_at(self, rules):
        """Measure the loop with the joint at several angles, each with the rule that is broken there, in one pass."""
        if len(rules) < 2 or len(rules) * self.trial.whole.z.size > JOINTS_AT_ONCE:
            return
        m = self.trial.measured_at(list(rules))
        for rule in (RULES[name] for name in set(rules.values())):
            if rule.scope != LIMBS and not rule.judged(m):
                for broken in filter(None, (rule.broken, rule.broken_whole)):
                    broken(m, self.trial.brief)
        self.looked_at.update((angle, m.one(i)) for i, angle in enumerate(rules))

    def _says(self, code, angle):
        """The rule and its own words about the loop with the joint at that angle."""
        rule = self.trial.reasons[code - 1][0]
        found = self._found(rule, angle)
        if self.trial.best is not None and len(found) > 1:
            seen = {(finding.joint, finding.drawings) for finding in self._found(rule, self.trial.best[1])}
            found = [finding for finding in found if (finding.joint, finding.drawings) not in seen] or found
        if not found:   # a part without length next to it has no angle, and the loop around it may read otherwise
            return rule, f"{capital(rule)} is not kept at {self.trial.d + 1}."
        near = min(found, key=lambda finding: _apart(finding, self.trial.d + 1, self.trial.action.count))
        return rule, near.head

    def _found(self, name, angle):
        """What a rule finds with the joint at that angle."""
        rule, trial = RULES[name], self.trial
        if angle not in self.looked_at:
            self.looked_at[angle] = trial.measured_at(angle)
        m = self.looked_at[angle]
        if rule.scope == LIMBS:
            return rule.findings(trial.action.limbs, [m if i == trial.at else other for i, other in enumerate(trial.measures)], trial.brief)
        return rule.findings(trial.limb, m, trial.brief)

    def remains(self):
        """What is broken at the best angle too, in the words of the first such rule."""
        if self.trial.best is None or not self.trial.best[0].any():
            return ""
        of_limbs = self.trial.of_limbs(self.trial.whole)
        for name, rule in RULES.items():
            if name not in self.trial.brief.rules or rule.advises:
                continue
            unable = name not in of_limbs if rule.scope == LIMBS else rule.judged(self.trial.whole)
            found = [] if unable else self._found(name, self.trial.best[1])
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
