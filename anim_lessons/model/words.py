"""How limbs, joints and amounts are called in a sentence."""

import numpy as np

PARTS = {  # the joints at the two ends of a part: what it is called
    ("shoulder", "elbow"): "upper arm",
    ("elbow", "wrist"): "forearm",
    ("wrist", "fingertips"): "hand",
    ("wrist", "knuckles"): "palm",
    ("knuckles", "fingertip"): "finger",
    ("hand", "top"): "staff",
    ("hook", "lantern"): "lantern",
}


def shown(joint):
    """A joint as people call it: "joint 1" of a pennant or a rope is its fold 1."""
    return f"fold {joint[6:]}" if joint.startswith("joint ") and joint[6:].isdigit() else joint


def part(limb, k):
    """Segment k in words: "forearm", or by the joint at its end "part ending in fold 2"."""
    ends = limb.joints[k], limb.joints[k + 1]
    return PARTS.get(ends, f"part ending in {shown(ends[1])}")


LAYERS = {"fingertips": "Hands", "hook": "Hook"}  # a joint drawn through the stack, as a person calls it


def layer_name(joint):
    """A joint drawn through all drawings, in the plural: "Elbows"; one with a number or a plural as it is."""
    if joint in LAYERS:
        return LAYERS[joint]
    joint = shown(joint)
    return capital(joint if joint[-1:].isdigit() or plural(joint) else f"{joint}s")


def the(joint):
    """A joint in a sentence: "the elbow"; one that has only a number is a name, and goes without: "fold 2"."""
    return shown(joint) if joint[-1:].isdigit() else f"the {joint}"


def plural(joint):
    """True for a joint called by a plural, such as the fingertips."""
    return joint.endswith("s") and not joint.endswith("ss")


def verb(joint, one, many):
    """The form of a verb or pronoun that goes with a joint: its arc, their arc."""
    return many if plural(joint) else one


def way_of(goes):
    """Where something goes on the sheet, from its way in mm, (across, up)."""
    across, up = goes
    return ("to the right" if across > 0 else "to the left") if abs(across) >= abs(up) else "up" if up > 0 else "down"


def capital(text):
    """A text that begins a sentence; names within it stay as they are written."""
    return text[:1].upper() + text[1:]


def amount(value, digits=0):
    """A number in words' company: never "-0"."""
    return f"{round(float(value), digits) + 0.0:.{digits}f}"


def told_apart(measured, allowed, digits):
    """Two numbers as texts, with as many digits as it takes to see which is larger: 3.12 and 3.08, not twice 3.1."""
    for more in range(digits, digits + 4):
        texts = amount(measured, more), amount(allowed, more)
        if measured == allowed or texts[0] != texts[1]:
            break
    return texts


def run(drawings):
    """Numbers of a run of drawings, in whatever order they come: "3", "3 and 4", "3 to 6", "16 and 1"."""
    numbers = sorted(drawings)
    if len(numbers) == 1:
        return str(numbers[0])
    # In a loop a run may pass from the last drawing to the first: it begins after the widest gap.
    gaps = [after - before for before, after in zip(numbers, numbers[1:])]
    if max(gaps) > 1:
        begin = gaps.index(max(gaps)) + 1
        numbers = numbers[begin:] + numbers[:begin]
    return f"{numbers[0]} {'and' if len(numbers) == 2 else 'to'} {numbers[-1]}"


def runs(flags, loop):
    """Groups of neighbouring drawings, from a flag a drawing; indices from 0, in playing order.
    In a loop a run may pass from the last drawing to the first."""
    marked = np.flatnonzero(flags).tolist()
    groups = []
    for i in marked:
        if groups and groups[-1][-1] == i - 1:
            groups[-1].append(i)
        else:
            groups.append([i])
    if loop and len(groups) > 1 and groups[0][0] == 0 and groups[-1][-1] == len(flags) - 1:
        groups[0] = groups.pop() + groups[0]
    return groups
