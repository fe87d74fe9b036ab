"""Where may it go, and why: the places of one joint that every rule allows.

A joint hangs on its parent by a part of fixed length, so where it may go is a circle. Every
half degree of it is tried, and the rules themselves say which of them they would break: first
about the drawing tried alone, for that leaves a small sector of the circle, then about the whole loop
for what is left. Trying is shift-and-trace: what hangs below comes along at its angles on the paper.
"""

from dataclasses import dataclass

import numpy as np

from ..judging.brief import DEFAULT
from ..judging.judge import RULES, flagged, measure
from ..measures.loops import Measures, wrapped
from ..measures.one_drawing import MIDDLE, Tried
from ..model.action import ActionError
from ..model.words import amount, capital, the, verb
from ..rules import opposition, stops
from .plan import dots

CANDIDATES = 720
CLOSER = 4          # times as many where the borders are asked for exactly
NEAR = 45.0         # degrees to a stop: farther from it nobody thinks of going past
FINE = 12           # times that a border is halved where it is asked for exactly
HAIR = 0.001        # degrees: borders are then given on this grid, for a file rounds its points
ALLOWED = 0
# Which rule is named where several are broken: what is said of a joint before what is said of its place.
FIRST = ("stops", "opening", "drag", "arc", "spacing", "length", "link-up", "overlap", "opposition")
BENDS, PLACES = ("stops", "opening", "drag"), ("arc", "spacing")  # those that can be asked about a drawing alone


@dataclass(frozen=True)
class Excluded:
    """A part of the circle, from `start` counter-clockwise to `end`, degrees, and the rule that excludes it."""

    start: float
    end: float
    rule: str
    says: str


@dataclass(frozen=True)
class Guide:
    """Where one joint may go on one drawing.

    Attributes
    ----------
    limb, joint : str
    drawing : int
        From 1.
    centre : tuple of float
        Where the joint hangs from, mm.
    radius : float
        Length of the part that ends in the joint, as on the model sheet, mm.
    drawn : float
        Angle of that part as it is drawn, degrees from 0 to 360.
    traced : float or None
        Its angle in the drawing before, where it would be locked; None where there is none.
    asked : float or None
        The angle at which its plan, or else its neighbours' path and spacing, want it, or what is nearest to
        that among the allowed; None with too few drawings.
    allowed : tuple of (float, float)
        Parts of the circle that every rule allows, degrees from 0 to 360, `from` below `to`.
    excluded : tuple of Excluded
        The rest of the circle.
    remains : str
        What is broken elsewhere, whatever is done here; an empty text where nothing is.
    planned : bool
        True where `asked` is of a plan: a path of action with its timing chart.
    begun : bool
        True where neighbours are not drawn yet, and a swing is supposed for them.
    turns : str
        The joint it hangs from, where that turns back here, a stop is near and the brief lets a loose limb break at its turn.
    """

    limb: str
    joint: str
    drawing: int
    centre: tuple
    radius: float
    drawn: float
    traced: float | None
    asked: float | None
    allowed: tuple
    excluded: tuple
    remains: str = ""
    planned: bool = False
    turns: str = ""
    begun: bool = False

    def rule_at(self, angle):
        """The Excluded part an angle lies in, or None where it is allowed."""
        angle = angle % 360.0
        inside = [part for part in self.excluded if part.start <= angle <= part.end]
        return None if not inside or any(start <= angle <= end for start, end in self.allowed) else inside[0]

    @property
    def says(self):
        """Where it may go, where it is wanted, and what stands against where it is."""
        against = self.rule_at(self.drawn) if self.allowed else None
        return f"{self.where} Now: {against.says}" if against else self.where

    @property
    def where(self):
        """Where it may go and where it is wanted."""
        if not self.allowed:
            there = f"On {self.drawing} there is no place for {the(self.joint)} that keeps every rule."
            return f"{there} First mend what is broken beside it." if not self.remains else f"{there} {self.remains}"
        spans = [(amount(start), amount(end)) for start, end in _joined(self.allowed)]
        wide = [span for span in spans if span[0] != span[1]]   # a hair beside a part with room is no place to draw
        parts = " or ".join(f"from {start}° to {end}°" for start, end in wide) or " or ".join(f"to {start}°" for start, _ in spans)
        if len(self.allowed) == 1 and self.allowed[0] == (0.0, 360.0):
            parts = "anywhere"
        who = verb(self.joint, "its plan asks for it", "their plan asks for them") if self.planned else \
            f"a swing that slows at both ends has {verb(self.joint, 'it', 'them')}" if self.begun else \
            verb(self.joint, "its neighbours look for it", "their neighbours look for them")
        wanted = f"; {who} at {amount(self.asked)}°" if self.asked is not None else ""
        remains = f" {self.remains}" if self.remains else ""
        loose = f" {capital(the(self.turns))} {verb(self.turns, 'turns', 'turn')} here, so a loose one may break past its stop." if self.turns else ""
        return f"On {self.drawing} {the(self.joint)} may go {parts}{wanted}.{loose}{remains}"


def guide(action, limb, joint, number, brief=DEFAULT, exact=False):
    """Where a joint may go on a drawing.

    An angle is allowed where it breaks no rule that the best angle would keep: in a loop without other
    faults, where the whole loop then passes. A fault elsewhere stays what it is, and `remains` tells of it.

    Parameters
    ----------
    action : Action
    limb, joint : str
    number : int
        The drawing, from 1.
    brief : Brief, optional
    exact : bool
        Look for the borders to 0.001 degrees; else they are known to half a degree.

    Returns
    -------
    Guide

    Raises
    ------
    ActionError
        Where there is no such limb, joint or drawing, or the joint is the root and hangs from nothing.
    """
    drawn, j, d = _place(action, limb, joint, number)
    trial = _Trial(action, drawn, j, d, brief)
    count = CANDIDATES * (CLOSER if exact else 1)
    angles = (np.arange(count) + 0.5) * (360.0 / count)
    codes = trial.codes(angles)
    allowed, excluded = trial.parts(trial.runs(angles, codes, FINE if exact else 0), exact)
    m = trial.whole
    plan, asked = drawn.planned(joint), None
    if plan is not None:
        asked = _inside(_angle(complex(*dots(plan, action.loop)[d]) - trial.parent), allowed)
    elif m.enough:
        asked = _inside(_angle(m.z[d, j] - m.left_over[d, j] - trial.parent), allowed)
    before = m.stack.before[d] if m.stack else d - 1
    there = m.stack is not None and before != d
    return Guide(
        limb=drawn.name, joint=joint, drawing=number, centre=(float(trial.parent.real), float(trial.parent.imag)),
        radius=trial.length, drawn=_angle(m.segment[d, j - 1]),
        traced=_angle(m.segment[before, j - 1]) if there else None,
        asked=asked, allowed=allowed, excluded=excluded, remains=trial.remains(), planned=plan is not None,
        turns=drawn.joints[j - 1] if brief.may_break and "stops" in brief.rules and stops.may_break(m)[d, j - 1]
        and np.abs(m.bend[d, j - 1] - m.stops[j - 1]).min() < NEAR else "",
    )


def placed(action, limb, joint, number, angle):
    """The action with the joint put at that angle: model length, what hangs below shifted and traced along."""
    drawn, j, d = _place(action, limb, joint, number)
    points = drawn.drawings.copy()
    turn = np.radians(angle)
    target = points[d, j - 1] + drawn.lengths[j - 1] * np.array([np.cos(turn), np.sin(turn)])
    points[d, j:] += target - points[d, j]
    return action.redrawn(*(points if other is drawn else other.drawings for other in action.limbs))


def _place(action, limb, joint, number):
    drawn = action.limb(limb)
    if joint not in drawn.joints:
        raise ActionError(f'limb "{limb}" has no joint "{joint}"; it has {", ".join(drawn.joints)}')
    j = drawn.joints.index(joint)
    if j == 0:
        raise ActionError(f'"{joint}" is the root of limb "{limb}": it hangs from nothing and goes along its own path. '
                          + (f"Ask about {', '.join(drawn.joints[1:])}" if len(drawn.joints) > 1 else "No part ends in it"))
    if not 1 <= number <= action.count:
        raise ActionError(f"there is no drawing {number}; they are numbered from 1 to {action.count}")
    return drawn, j, number - 1


def _angle(z):
    return float(np.degrees(np.angle(z)) % 360.0)


class _Trial:
    """Angles tried at one place, each with a code: ALLOWED, or one more than the place of its reason in `reasons`."""

    def __init__(self, action, limb, j, d, brief):
        self.action, self.limb, self.j, self.d, self.brief = action, limb, j, d, brief
        self.measures = measure(action)
        self.at = action.limbs.index(limb)
        self.whole = self.measures[self.at]
        self.parent = self.whole.z[d, j - 1]
        self.length = float(limb.lengths[j - 1])
        self.reasons = []       # (rule, which of its places, which way), in the order in which they were met
        self.best = None        # flags and angle of the place that breaks least

    def _z(self, angles):
        return self.parent + self.length * np.exp(1j * np.radians(angles))

    # ---- which rules are broken ------------------------------------------------------

    def codes(self, angles):
        codes = self._alone(angles)
        left = codes == ALLOWED
        if left.any():
            codes[left] = self._whole(angles[left])
        return codes

    def _alone(self, angles):
        codes = np.zeros(len(angles), int)
        if not (self.whole.loop and self.whole.enough):
            return codes
        z = self._z(angles)
        # What rules about bends leave is little work for those about the place of the joint itself.
        of_joint = Measures(self.limb.drawings[:, self.j:self.j + 1], (), (), self.action.exposures.tolist())
        for names, whole, joint in ((BENDS, self.whole, self.j), (PLACES, of_joint, 0)):
            left = np.flatnonzero(codes == ALLOWED)
            if not len(left):
                break
            tried = Tried(whole, self.d, joint, z[left])
            broken = {}
            for name in names:
                if name == "opening" and self.j == self.whole.segments > 2:
                    continue    # the last of three or more parts is not asked whether it opens
                if name in self.brief.rules and not RULES[name].judged(self.whole):
                    broken[name] = RULES[name].broken(tried, self.brief)[:, MIDDLE].reshape(len(left), -1)
            if "opening" in broken:
                broken["opening"] &= tried.sure[:, None]
            if set(PLACES) <= set(broken):      # off arc and spacing both: the larger fault is named, as a check does
                across, along = ((np.abs(RULES[name].measure(tried)) / RULES[name].allowed(tried, self.brief))[:, MIDDLE]
                                 for name in PLACES)
                broken["arc"] &= ~(broken["spacing"] & (along > across).reshape(len(left), -1))
            for name, flags in broken.items():
                self._name(codes, left, name, flags, tried)
        return codes

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
        points = np.repeat(self.limb.drawings[None], len(angles), axis=0)
        z = self._z(angles)
        target = np.stack([z.real, z.imag], axis=-1)
        points[:, self.d, self.j:] += (target - points[:, self.d, self.j])[:, None]
        m = Measures(points, self.limb.lengths, self.limb.stops, self.action.exposures.tolist(), self.action.loop, self.limb.joints)
        by_rule = flagged(m, self.brief)
        opposed = self._opposed(m)
        if opposed is not None:
            by_rule["opposition"] = opposed
        names = [name for name in FIRST if name in by_rule]
        if not names:       # a brief that asks only for what never fails, or for what cannot be judged here
            self.best = np.zeros(1, bool), float(angles[0])
            return np.zeros(len(angles), int)
        flags = np.concatenate([by_rule[name] for name in names], axis=-1)
        if self.best is None:
            broken = flags.sum(axis=-1)
            wanted = self.whole.z[self.d, self.j] - (self.whole.left_over[self.d, self.j] if self.whole.enough else 0.0)
            best = np.lexsort((np.abs(z - wanted), broken))[0]
            self.best = flags[best], float(angles[best])
        new = flags & ~self.best[0]
        which = np.concatenate([[(rule, place) for place in range(by_rule[name].shape[-1])]
                                for rule, name in enumerate(names)])
        codes = np.zeros(len(angles), int)
        for i in np.flatnonzero(new.any(axis=-1)):
            rule, place = which[np.argmax(new[i])]
            codes[i] = self._code(names[rule], int(place), None)
        return codes

    def _opposed(self, m):
        if "opposition" not in self.brief.rules or opposition.judged(self.measures):
            return None
        flags = []
        for pair in opposition.pairs(self.measures):
            if self.at in pair:
                one, other = (m if index == self.at else self.measures[index] for index in pair)
                flags.append(opposition.broken(one, other, self.brief))
        return np.stack(flags, axis=-1) if flags else None

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
                    excluded.append(Excluded(a, b, *says))
        return tuple(sorted(allowed)), tuple(sorted(excluded, key=lambda part: part.start))

    def _says(self, code, angle):
        """The rule and its own words about the loop with the joint at that angle."""
        rule = self.reasons[code - 1][0]
        tried = placed(self.action, self.limb.name, self.limb.joints[self.j], self.d + 1, angle)
        found = self._found(rule, tried)
        if self.best is not None and len(found) > 1:
            known = self._found(rule, placed(self.action, self.limb.name, self.limb.joints[self.j], self.d + 1, self.best[1]))
            seen = {(finding.joint, finding.drawings) for finding in known}
            found = [finding for finding in found if (finding.joint, finding.drawings) not in seen] or found
        near = min(found, key=lambda finding: _apart(finding, self.d + 1, self.action.count))
        return rule, near.head

    def _found(self, name, action):
        if name == "opposition":
            return opposition.findings(action.limbs, measure(action), self.brief)
        limb = action.limbs[self.at]
        m = Measures(limb.drawings, limb.lengths, limb.stops, action.exposures.tolist(), action.loop, limb.joints)
        return RULES[name].findings(limb, m, self.brief)

    def remains(self):
        """What is broken at the best angle too, in the words of the first such rule."""
        if self.best is None or not self.best[0].any():
            return ""
        tried = placed(self.action, self.limb.name, self.limb.joints[self.j], self.d + 1, self.best[1])
        for name in RULES:
            if name in self.brief.rules and name != "hold":
                if name == "opposition":
                    found = [] if self._opposed(self.whole) is None else self._found(name, tried)
                else:
                    found = [] if RULES[name].judged(self.whole) else self._found(name, tried)
                if found:
                    return f"Whatever is done here, this stays: {found[0].head}"
        return ""


def _inside(angle, allowed):
    """The angle, or one a little inside the nearest allowed part where it is allowed nowhere."""
    near = []
    for start, end in _joined(allowed):
        end += 360.0 * (end < start)
        inset = min(1.0, (end - start) / 4.0)
        if (angle - start) % 360.0 <= end - start:
            return angle
        near += [start + inset, end - inset]
    return min(near, key=lambda other: abs(wrapped(other - angle))) % 360.0 if near else angle


def _apart(finding, number, count):
    if not finding.drawings:
        return count
    return min(min(abs(n - number), count - abs(n - number)) for n in finding.drawings)


def _split(start, end):
    """A part of the circle in pieces from 0 to 360."""
    start, end = (round(float(angle), 6) for angle in (start % 360.0, start % 360.0 + (end - start)))
    return [(start, end)] if end <= 360.0 else [(start, 360.0), (0.0, round(end - 360.0, 6))]


def _joined(parts):
    """Parts that meet at 0 degrees put together again, for a sentence."""
    parts = list(parts)
    if len(parts) > 1 and parts[0][0] == 0.0 and parts[-1][1] == 360.0:
        return [*parts[1:-1], (parts[-1][0], parts[0][1])]
    return parts
