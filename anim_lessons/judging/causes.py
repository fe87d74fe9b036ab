"""Which fault is the cause and which only follow from it.

A locked elbow also leaves the wrist off its spacing; a hand that is too long
also puts the fingertips off their arc. The report leads with the cause.
"""

from dataclasses import replace

from ..rules import RULES

ALONG = 0.96        # cosine of the angle up to which a joint counts as moved along a part
DISPLACED = 6       # rank of a fault that a joint out of its place explains


def ordered(found, limbs, measures, loop):
    """Findings in reading order, causes first, each with what follows from it.

    Parameters
    ----------
    found : list of Finding
    limbs : dict of str to Limb
    measures : dict of str to Measures
    loop : bool

    Returns
    -------
    tuple of Finding
        With `follows` set.
    """
    count = next(iter(measures.values())).count
    whole = [finding for finding in found if not finding.drawings]
    local = [finding for finding in found if finding.drawings]
    groups = [[finding] for finding in whole]
    for group in groups:
        cause = group[0]
        under = [other for other in local if other.limb == cause.limb and RULES[cause.rule].explains(cause, other)]
        group += under
        local = [other for other in local if other not in under]
    waiting = sorted(local, key=lambda finding: _rank(finding, local, limbs, measures[finding.limb], loop))
    while waiting:
        cause = waiting.pop(0)
        under = [other for other in waiting if _follows(other, cause, limbs, count, loop)]
        waiting = [other for other in waiting if other not in under]
        groups.append([cause, *under])
    # The whole loop first, for mending it changes every drawing; then in drawing order.
    groups.sort(key=lambda group: group[0].drawings[:1] or (0,))
    listed = []
    for cause, *under in groups:
        at = len(listed)
        listed.append(cause)
        listed += [replace(finding, follows=at) for finding in under]
    return tuple(listed)


def _about(finding):
    return RULES[finding.rule].about


def _rank(finding, local, limbs, m, loop):
    """Lower is nearer to the cause; ties go to the joint nearer the root, then to the larger fault."""
    limb = limbs[finding.limb]
    joint = limb.joints.index(finding.joint)
    rank = RULES[finding.rule].rank
    beside = [other for other in local if other.limb == finding.limb and other is not finding
              and _near(other, finding, 1, m.count, loop)]
    displaced = [limb.joints.index(other.joint) for other in beside if _about(other) == "place"]
    if _about(finding) == "bend" and any(j <= joint for j in displaced):
        rank = DISPLACED    # the joint itself is out of place, so its bend is too
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


def _follows(other, cause, limbs, count, loop):
    if other.limb != cause.limb:
        return False
    rule, about = RULES[other.rule], _about(cause)
    if rule.about == "length":
        return other.drawings[0] == cause.drawings[0] and about == "place"
    if rule.recurs and other.rule == cause.rule:
        return False
    if about == "seam":
        return rule.felt > 0 and rule.about in ("place", "bend") and _near(other, cause, rule.felt, count, loop)
    joints = limbs[other.limb].joints
    # What is nearer the root cannot follow from what hangs on it.
    if joints.index(other.joint) < joints.index(cause.joint) - (about in ("length", "place")):
        return False
    return _near(other, cause, rule.felt, count, loop)


def _near(one, other, reach, count, loop):
    for a in one.drawings:
        gap = abs(a - other.drawings[0])
        if min(gap, count - gap if loop else gap) <= reach:
            return True
    if _about(other) == "seam":
        return any(min(abs(a - b), count - abs(a - b)) <= reach for a in one.drawings for b in other.drawings)
    return False
