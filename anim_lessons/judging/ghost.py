"""The ghost of a correction: the limb as its neighbours let expect it, at one drawing."""

from dataclasses import replace

import numpy as np


def with_ghost(finding, m, limb, brief):
    """The finding with a ghost, where it is a cause and one drawing is meant."""
    if finding.follows is not None or not finding.drawings or finding.rule == "link-up" or not m.enough:
        return finding
    number = finding.drawings[-1] if finding.rule == "opening" else finding.drawings[0]
    return replace(finding, ghost=(number, looked_for(finding, m, limb, number - 1, brief)))


def looked_for(finding, m, limb, d, brief):
    """Joints of one drawing with the faulty one put right, shape (joints, 2), mm.

    What lies nearer the root stays as drawn; lengths are those of the model sheet.
    """
    joint = limb.joints.index(finding.joint)
    root = m.z[d, 0] - (m.left_over[d, 0] if finding.rule in ("arc", "spacing") and joint == 0 else 0.0)
    angle = m.angle[d].copy()
    expected = angle - _out(m)[d]
    if finding.rule == "length":
        first = m.segments  # every part is put back to its length at the angle it has
    else:
        first = joint - 1 if finding.rule in ("arc", "spacing") else joint
        if finding.rule == "drag":
            first = m.segments - 1
    first = max(first, 0)
    angle[first:] = expected[first:]
    if finding.turn is not None:
        angle[first] = m.angle[d, first] + finding.turn  # as many degrees as the sentence says
    if finding.rule in ("stops", "drag"):
        low, high = m.stops[first]
        if finding.rule == "drag":
            lean = np.sign(m.bend[d, -1]) * 0.5 * brief.tolerance("drag")
            low, high = (low, min(high, lean)) if lean > 0 else (max(low, lean), high)
        before = angle[first - 1] if first else 0.0
        bend = (angle[first] - before + 180.0) % 360.0 - 180.0 if first else \
            angle[0] - 360.0 * np.round((angle[0] - (low + high) / 2.0) / 360.0)
        turn = np.clip(bend, low, high) - bend
        angle[first:] += turn
    arm = m.lengths * np.exp(1j * np.radians(angle))
    z = np.concatenate([[root], root + np.cumsum(arm)])
    return np.stack([z.real, z.imag], axis=-1)


def _out(m):
    """How far each segment's angle stands out from its neighbours', degrees, (drawings, segments)."""
    angle = m.angle
    closing = angle[-1:] + (angle[:1] - angle[-1:] + 180.0) % 360.0 - 180.0
    net = (closing - angle[:1]) if m.loop else 0.0
    return m.stack.left_over @ (angle - net * m.stack.time[:, None])
