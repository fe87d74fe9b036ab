"""A limb's drawings while they are being mended: what is broken, where a drawing is looked for, how poses are laid.

Positions are complex numbers, x + iy in mm, as in the measures. A pose is a root and the angle of each part on the
paper, radians; whatever is laid from one has exactly the lengths of the model sheet.
"""

from functools import cached_property

import numpy as np

from ...judging.judge import flagged
from ...measures.loops import Measures
from ...rules import drag

WHOLE = -1          # in place of a drawing: the whole loop is meant
FEWEST_KNOWN = 5    # drawings that must stay for the others to be looked for between them


class Stack:
    """The drawings of one limb.

    Attributes
    ----------
    z : ndarray of complex, shape (drawings, joints)
        As they stand, mm.
    place : list of (rule, drawing or WHOLE, joint or segment or None)
        What each flag of `broken` is about; drawing, joint and segment from 0.
    at : ndarray of int
        The drawing of each, or WHOLE.
    """

    def __init__(self, limb, exposures, loop, brief):
        self.limb, self.exposures, self.loop, self.brief = limb, tuple(int(f) for f in exposures), loop, brief
        self.z = limb.drawings[..., 0] + 1j * limb.drawings[..., 1]
        self.lengths, self.stops = limb.lengths, np.radians(limb.stops)
        self.count, self.joints = self.z.shape
        by_rule = flagged(self.measures, brief)
        self._sizes = [flags.shape[-1] for flags in by_rule.values()]
        self.place = [place for name, size in zip(by_rule, self._sizes) for place in self._places(name, size)]
        self.at = np.array([drawing for _, drawing, _ in self.place], int)

    @cached_property
    def measures(self):
        return self.measured(self.z)

    def measured(self, z):
        """Measures of other drawings of this limb, for any number of loops in front."""
        return Measures(points(z), self.lengths, self.limb.stops, self.exposures, self.loop, self.limb.joints)

    def broken(self, z):
        """What is broken in each loop, shape (..., places)."""
        found = [np.zeros((*z.shape[:-2], 0), bool)]
        for flags, size in zip(flagged(self.measured(z), self.brief).values(), self._sizes):
            # A rule may begin to judge, or no longer be able to, as parts swing more or less.
            found.append(flags if flags.shape[-1] == size else np.repeat(flags.any(axis=-1, keepdims=True), size, axis=-1))
        return np.concatenate(found, axis=-1)

    def _places(self, name, number):
        across = {"length": self.joints - 1, "stops": self.joints - 1, "opening": self.joints - 1,
                  "arc": self.joints, "spacing": self.joints, "drag": 1}.get(name, 0)
        by_drawing = across * self.count if across and number >= across * self.count else 0
        return [(name, i // across, i % across) for i in range(by_drawing)] + \
            [(name, WHOLE, i) for i in range(number - by_drawing)]

    # ---- poses -------------------------------------------------------------------------

    def drawn(self, drawings):
        """Root and angles of some drawings as they stand, shapes (drawings,), (drawings, segments)."""
        z = self.z[drawings]
        return z[:, 0], np.angle(np.diff(z, axis=-1))

    def laid(self, root, angle):
        """Joints from root and angles, shape (..., joints): each part as long as on the model sheet."""
        arm = np.cumsum(self.lengths * np.exp(1j * angle), axis=-1)
        root = np.broadcast_to(root, arm.shape[:-1])
        return np.concatenate([root[..., None], root[..., None] + arm], axis=-1)

    def placed(self, drawings, z):
        """Whole loops with some drawings replaced: z (..., len(drawings), joints) to (..., drawings, joints)."""
        loops = np.broadcast_to(self.z, (*z.shape[:-2], *self.z.shape)).copy()
        loops[..., drawings, :] = z
        return loops

    def starts(self, drawings):
        """Poses near to what is drawn, as (root, angles), the lengths put right in one way or another: each part at the
        angle it has; or one joint put back to where the parts on either side of it meet, with the others left alone."""
        z = self.z[drawings]
        poses = [self.drawn(drawings)]
        wrong = np.abs(np.abs(np.diff(z, axis=-1)) - self.lengths) > 1e-6 * self.lengths
        for j in range(1, self.joints - 1):
            if not wrong[:, j - 1:j + 1].any():
                continue
            reach, (one, two) = z[:, j + 1] - z[:, j - 1], self.lengths[j - 1:j + 1]
            gap = np.clip(np.abs(reach), abs(one - two) + 1e-6, one + two - 1e-6)
            inner = np.arccos(np.clip((one**2 + gap**2 - two**2) / (2 * one * gap), -1, 1))
            side = np.where(((z[:, j] - z[:, j - 1]) * reach.conj()).imag < 0, -1.0, 1.0)
            moved = z.copy()
            moved[:, j] = z[:, j - 1] + one * np.exp(1j * (np.angle(reach) + side * inner))
            poses.append((moved[:, 0], np.angle(np.diff(moved, axis=-1))))
        return poses

    # ---- where a drawing is looked for ----------------------------------------------------

    def looked_for(self, drawings, also=()):
        """Root and angles of some drawings where the drawings round them let expect them; `also` are others out of
        place, which have no say. None where too few are left to tell."""
        unknown = sorted({*drawings, *also})
        known = [d for d in range(self.count) if d not in unknown]
        if not self.measures.enough or len(known) < FEWEST_KNOWN:
            return None
        weights = self.measures.stack.left_over
        z = np.linalg.lstsq(weights[:, unknown], -weights[:, known] @ self.z[known], rcond=None)[0]
        z = z[[unknown.index(d) for d in drawings]]
        return z[:, 0], np.angle(np.diff(z, axis=-1))

    def within_stops(self, pose):
        """The same pose, each part brought back to its stop where it is past it; what hangs below comes along."""
        root, angle = pose
        angle = angle.copy()
        for k in range(angle.shape[-1]):
            bend = angle[:, k] - (angle[:, k - 1] if k else 0.0)
            low, high = self.stops[k]
            bend = bend - 2 * np.pi * np.round((bend - (low + high) / 2) / (2 * np.pi))
            angle[:, k:] += (np.clip(bend, low, high) - bend)[:, None]
        return root, angle

    def trailing(self, drawings, pose):
        """The same pose with the last part trailing, where it leads in the swing."""
        root, angle = pose
        if drag.judged(self.measures):
            return pose
        way = np.sign(self.measures.across[drawings])
        bend = np.angle(np.exp(1j * (angle[:, -1] - angle[:, -2])))
        lean = np.minimum(way * bend, np.radians(0.5 * self.brief.tolerance("drag"))) * way
        angle = angle.copy()
        angle[:, -1] += np.where(way == 0, 0.0, lean - bend)
        return root, angle


def points(z):
    """Complex positions as pairs, shape (..., 2), mm."""
    return np.ascontiguousarray(z).view(float).reshape(*z.shape, 2)
