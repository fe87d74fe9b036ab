"""Which fault is the cause and which only follow from it.

A locked elbow also leaves the wrist off its spacing; a hand that is too long
also puts the fingertips off their arc. The report leads with the cause.
"""

from dataclasses import replace

# Where several rules are broken at one drawing, the most specific is the cause.
SPECIFIC = {"length": 0, "stops": 1, "opening": 2, "drag": 3, "link-up": 4, "arc": 5, "spacing": 5}
ALONG = 0.96  # cosine of the angle up to which a joint counts as moved along a part
REACH = 2     # drawings: as far as one drawing out of place is felt by its neighbours


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
    _under_whole(groups, local)
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


def _under_whole(groups, local):
    """What follows from a fault of the whole action. A part that turns with its parent, or before it, also
    leads it: drag follows from overlap. Gaps all alike leave no room to slow into a turn: jumps there follow."""
    for group in groups:
        cause = group[0]
        for other in list(local):
            drags = cause.rule == "overlap" and other.rule == "drag" and len(other.drawings) > 1
            turns = cause.rule == "spacing" and other.rule in ("arc", "spacing", "link-up")
            if other.limb == cause.limb and (drags or turns):
                group.append(other)
                local.remove(other)


def _rank(finding, local, limbs, m, loop):
    """Lower is nearer to the cause; ties go to the joint nearer the root, then to the larger fault."""
    limb = limbs[finding.limb]
    joint = limb.joints.index(finding.joint)
    rank = SPECIFIC[finding.rule]
    beside = [other for other in local if other.limb == finding.limb and other is not finding
              and _near(other, finding, 1, m.count, loop)]
    displaced = [limb.joints.index(other.joint) for other in beside if other.rule in ("arc", "spacing")]
    if finding.rule in ("opening", "stops", "drag") and any(j <= joint for j in displaced):
        rank = 6  # the joint itself is out of place, so its bend is too
    if finding.rule == "length" and _pulled_aside(finding, joint, beside, m):
        rank = 6
    return rank, joint, -finding.measured / (finding.allowed or 1.0)


def _pulled_aside(finding, joint, beside, m):
    """A joint off its place that is not at the end of a grown part: it lies aside of the part's direction,
    or both parts that meet in it have changed, which one joint out of place explains and one grown part does not."""
    d = finding.drawings[0] - 1
    here = [other for other in beside if other.drawings[0] == d + 1]
    off = {m.names.index(other.joint) for other in here if other.rule in ("arc", "spacing")}
    changed = {m.names.index(other.joint) for other in here if other.rule == "length"}
    if (joint in off and joint + 1 in changed) or (joint - 1 in off and joint - 1 in changed):
        return True
    if joint not in off:
        return False
    out, way = m.stands_out[d, joint], m.segment[d, joint - 1]
    return abs((out * way.conj()).real) < ALONG * abs(out) * abs(way)


def _follows(other, cause, limbs, count, loop):
    if other.limb != cause.limb:
        return False
    if other.rule == "length":
        return other.drawings[0] == cause.drawings[0] and cause.rule in ("arc", "spacing")
    if other.rule == cause.rule == "drag" or other.rule == cause.rule == "stops":
        return False
    if cause.rule == "link-up":
        return other.rule in ("arc", "spacing", "opening", "drag") and _near(other, cause, REACH, count, loop)
    reach = 0 if other.rule == "stops" else REACH
    joints = limbs[other.limb].joints
    # What is nearer the root cannot follow from what hangs on it.
    if joints.index(other.joint) < joints.index(cause.joint) - (cause.rule in ("length", "arc", "spacing")):
        return False
    return _near(other, cause, reach, count, loop)


def _near(one, other, reach, count, loop):
    for a in one.drawings:
        gap = abs(a - other.drawings[0])
        if min(gap, count - gap if loop else gap) <= reach:
            return True
    if other.rule == "link-up":
        return any(min(abs(a - b), count - abs(a - b)) <= reach for a in one.drawings for b in other.drawings)
    return False
