"""Which fault is the cause and which only follow from it.

A locked elbow also leaves the wrist off its spacing; a hand that is too long
also puts the fingertips off their arc. The report leads with the cause.
"""

from collections import defaultdict

from ..rules import RULES
from ..rules.rule import LIMBS

ALONG = 0.96        # cosine of the angle up to which a joint counts as moved along a part
DISPLACED = 6       # rank of a fault that a joint out of its place explains


def ordered(found, limbs, measures, loop, explained=()):
    """Findings in reading order, causes first, each with what follows from it.

    Parameters
    ----------
    found : list of Finding
    explained : sequence of list of Finding
        Groups that are known already, each its cause first.
    limbs : dict of str to Limb
    measures : dict of str to Measures
    loop : bool

    Returns
    -------
    tuple of Finding
        With `follows` set.
    """
    near = _Near(found, next(iter(measures.values())).count, loop)
    furthest = max(rule.felt for rule in RULES.values())
    taken, groups = set(), []
    for cause in found:
        if cause.of_exposure or cause.one_run:
            # What a drawing held too long does to the time of those beside it, and to the phase of the whole.
            beside = {id(other) for other in near.within(cause, furthest) if not other.of_exposure}
            under = [other for other in found if id(other) not in taken and other.limb == cause.limb
                     and (id(other) in beside and _about(other) != "length"
                          or _about(other) in ("timing", "seam") and RULES[other.rule].scope != LIMBS)]
        elif not cause.drawings and id(cause) not in taken:
            under = [other for other in near.of_limb[cause.limb]
                     if id(other) not in taken and not other.of_exposure and RULES[cause.rule].explains(cause, other)]
        else:
            continue
        taken.update(map(id, (cause, *under)))
        groups.append([cause, *under])
    for group in explained:
        if id(group[0]) in taken:
            continue
        group = [group[0], *(finding for finding in group[1:] if id(finding) not in taken)]
        taken.update(map(id, group))
        groups.append(group)
    near.leave_out(taken)
    waiting = [finding for finding in found if finding.drawings and id(finding) not in taken]
    waiting.sort(key=lambda finding: _rank(finding, near, limbs, measures[finding.limb]))
    place = {id(finding): i for i, finding in enumerate(waiting)}
    for cause in waiting:
        if id(cause) in taken:
            continue
        taken.add(id(cause))
        under = [other for other in near.within(cause, furthest)
                 if id(other) not in taken and _follows(other, cause, limbs, near)]
        under.sort(key=lambda other: place[id(other)])
        taken.update(map(id, under))
        groups.append([cause, *under])
    # The whole loop first, for mending it changes every drawing; then in drawing order.
    groups.sort(key=lambda group: group[0].drawings[:1] or (0,))
    listed = []
    for cause, *under in groups:
        at = len(listed)
        listed.append(cause)
        listed += [finding.but(follows=at) for finding in under]
    return tuple(listed)


class _Near:
    """Findings about drawings, by limb and drawing, so that each is compared only with those near it."""

    def __init__(self, found, count, loop):
        self.count, self.loop = count, loop
        self.of_limb, self.at = defaultdict(list), defaultdict(list)
        for finding in found:
            if finding.drawings:
                self.of_limb[finding.limb].append(finding)
                for number in dict.fromkeys(finding.drawings):
                    self.at[finding.limb, number].append(finding)

    def leave_out(self, taken):
        """From now on without these, by `id`."""
        for here in self.at.values():
            here[:] = [finding for finding in here if id(finding) not in taken]

    def within(self, finding, reach):
        """The others of its limb that have a drawing within `reach` of it, each once."""
        numbers = finding.drawings if _about(finding) == "seam" else finding.drawings[:1]
        span = {number + step for number in numbers for step in range(-reach, reach + 1)}
        if self.loop:
            span = {(number - 1) % self.count + 1 for number in span}
        found = {id(other): other for number in sorted(span) for other in self.at.get((finding.limb, number), ())}
        found.pop(id(finding), None)
        return list(found.values())

    def within_reach(self, one, other, reach):
        """Whether `one` has a drawing within `reach` of the first of `other`; of a seam, of any of them."""
        for a in one.drawings:
            gap = abs(a - other.drawings[0])
            if min(gap, self.count - gap) <= reach if self.loop else gap <= reach:
                return True
        if _about(other) == "seam":
            return any(min(abs(a - b), self.count - abs(a - b)) <= reach for a in one.drawings for b in other.drawings)
        return False


def first_of(found, limb, m):
    """Of findings about one drawing of a limb, the one nearest to the cause."""
    near = _Near(found, m.count, m.loop)
    return min(found, key=lambda finding: _rank(finding, near, {limb.name: limb}, m))


def _about(finding):
    return RULES[finding.rule].about


def _rank(finding, near, limbs, m):
    """Lower is nearer to the cause; ties go to the joint nearer the root, then to the larger fault."""
    limb = limbs[finding.limb]
    joint = limb.joints.index(finding.joint)
    rank = RULES[finding.rule].rank if finding.rank is None else finding.rank
    beside = near.within(finding, 1)
    displaced = [limb.joints.index(other.joint) for other in beside if _about(other) == "place"]
    if _about(finding) == "bend" and any(j <= joint for j in displaced):
        rank = DISPLACED    # the joint itself is out of place, so its bend is too
    if finding.rank is not None and any(_about(other) == "length" and other.drawings[0] == finding.drawings[0]
                                        and limb.joints.index(other.joint) == joint + 1 for other in beside):
        rank = DISPLACED    # a part that would turn keeps its length
    if _about(finding) == "length" and _pulled_aside(finding, joint, beside, m):
        rank = DISPLACED
    return rank, joint, -finding.measured / (finding.allowed or 1.0)


def _pulled_aside(finding, joint, beside, m):
    """A joint off its place that is not at the end of a grown part: it lies aside of the part's direction,
    or both parts that meet in it have changed, which one joint out of place explains and one grown part does not."""
    d = finding.drawings[0] - 1
    here = [other for other in beside if other.drawings[0] == d + 1]
    off = {m.names.index(other.joint) for other in here if _about(other) == "place"}
    changed = {m.names.index(other.joint) for other in here if _about(other) == "length"}
    if (joint in off and joint + 1 in changed) or (joint - 1 in off and joint - 1 in changed):
        return True
    if joint not in off:
        return False
    out, way = m.outlier[d, joint], m.segment[d, joint - 1]
    return abs((out * way.conj()).real) < ALONG * abs(out) * abs(way)


def _follows(other, cause, limbs, near):
    """Whether a finding of the same limb follows from a cause."""
    rule, about = RULES[other.rule], _about(cause)
    if rule.about == "length":
        return other.drawings[0] == cause.drawings[0] and about == "place"
    if rule.recurs and other.rule == cause.rule:
        return False
    if about == "seam":
        return rule.felt > 0 and rule.about in ("place", "bend") and near.within_reach(other, cause, rule.felt)
    joints = limbs[other.limb].joints
    # What is nearer the root cannot follow from what hangs on it.
    if joints.index(other.joint) < joints.index(cause.joint) - (about in ("length", "place")):
        return False
    return near.within_reach(other, cause, rule.felt)
