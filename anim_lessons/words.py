"""How limbs, joints and amounts are called in a sentence."""

PARTS = {
    ("shoulder", "elbow"): "upper arm",
    ("elbow", "wrist"): "forearm",
    ("wrist", "fingertips"): "hand",
}


def part(limb, k):
    """Segment k in words: "forearm", or "part from hook to lantern"."""
    ends = limb.joints[k], limb.joints[k + 1]
    return PARTS.get(ends, f"part from {ends[0]} to {ends[1]}")


def plural(joint):
    """True for a joint called by a plural, such as the fingertips."""
    return joint.endswith("s") and not joint.endswith("ss")


def verb(joint, one, many):
    """The form of a verb or pronoun that goes with a joint: its arc, their arc."""
    return many if plural(joint) else one


def run(drawings):
    """Numbers of a run of drawings: "3", "3 and 4", "3 to 6"."""
    first, *_, last = drawings if len(drawings) > 1 else (*drawings, *drawings)
    if len(drawings) == 1:
        return str(first)
    return f"{first} and {last}" if len(drawings) == 2 else f"{first} to {last}"


def runs(flags, loop):
    """Groups of neighbouring drawings, from a flag a drawing; indices from 0, in playing order.
    In a loop a run may pass from the last drawing to the first."""
    marked = [i for i, flag in enumerate(flags) if flag]
    groups = []
    for i in marked:
        if groups and groups[-1][-1] == i - 1:
            groups[-1].append(i)
        else:
            groups.append([i])
    if loop and len(groups) > 1 and groups[0][0] == 0 and groups[-1][-1] == len(flags) - 1:
        groups[0] = groups.pop() + groups[0]
    return groups
