"""One limb's drawings while a correction is sought: what is broken, where a drawing is looked for, how poses are laid.

Positions are complex numbers, x + iy in mm, as in the measures. A pose is a root and the angle of each part on the
paper, radians; whatever is laid from one has exactly the lengths of the model sheet.
"""

from functools import cached_property

import numpy as np

from ..geometry.angles import as_complex, as_points
from ..geometry.limb import reach
from ..measures.loops import Measures
from ..rules import RULES
from .flags import flagged

FEWEST_KNOWN = 5    # drawings that must stay for the others to be looked for between them


class Stack:
    """The drawings of one limb.

    Parameters
    ----------
    limb : Limb
    exposures : sequence of int
        Frames a drawing.
    loop : bool
    brief : Brief
    measures : Measures, optional
        Of these drawings, where they are measured already.
    flags : dict of str to Flags, optional
        Of `flagged`, where that was asked already.

    Attributes
    ----------
    z : ndarray of complex, shape (drawings, joints)
        As they stand, mm.
    cells : list of (rule, drawing or WHOLE, column)
        What each flag of `broken` is about; drawings from 0.
    at : ndarray of int
        The drawing of each, or WHOLE.
    """

    def __init__(self, limb, exposures, loop, brief, measures=None, flags=None):
        self.limb, self.exposures, self.loop, self.brief = limb, tuple(int(f) for f in exposures), loop, brief
        self.z = as_complex(limb.drawings)
        others = [joint not in brief.given for joint in limb.joints]
        self.given = others.index(True) if True in others else len(others)     # so many joints, from the root, are never moved
        self.lengths = limb.lengths
        self.count, self.joints = self.z.shape
        if measures is not None:
            self.measures = measures
        by_rule = flagged(self.measures, brief) if flags is None else flags
        cells = {name: flags.cells for name, flags in by_rule.items()}
        self._sizes = {name: len(of_rule) for name, of_rule in cells.items()}
        self.cells = [(name, *cell) for name, of_rule in cells.items() for cell in of_rule]
        self.at = np.array([d for _, d, _ in self.cells], int)
        self._index = {cell: i for i, cell in enumerate(self.cells)}

    @cached_property
    def measures(self):
        return self.measured(self.z)

    def measured(self, z):
        """Measures of other drawings of this limb, for any number of loops in front."""
        return Measures(as_points(z), self.lengths, self.limb.stops, self.exposures, self.loop, self.limb.joints)

    def broken(self, z):
        """What is broken in each loop, shape (..., cells)."""
        found = [np.zeros((*z.shape[:-2], 0), bool)]
        for name, flags in flagged(self.measured(z), self.brief).items():
            flat, size = flags.flat, self._sizes[name]
            # A rule may begin to judge, or no longer be able to, as parts swing more or less.
            found.append(flat if flat.shape[-1] == size else np.repeat(flat.any(axis=-1, keepdims=True), size, axis=-1))
        return np.concatenate(found, axis=-1)

    def cells_of(self, findings):
        """Which flags findings are about, as indices."""
        return [i for finding in findings for cell in finding.cells if (i := self._index.get((finding.rule, *cell))) is not None]

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
        loops[..., drawings, :] = self.pinned(z, drawings)
        return loops

    def pinned(self, z, drawings=slice(None)):
        """Drawings (..., drawings, joints) in which the given joints stay, and what hangs on them is shifted along."""
        if not self.given:
            return z
        here, last = self.z[drawings], self.given - 1
        moved = z + (here[..., last] - z[..., last])[..., None]
        return np.where(np.arange(self.joints) < self.given, here, moved)

    def starts(self, drawings):
        """Poses near to what is drawn, as (root, angles), the lengths put right in one way or another: each part at the
        angle it has; or one joint put back to where the parts on either side of it meet, with the others left alone."""
        z = self.z[drawings]
        poses = [self.drawn(drawings)]
        wrong = np.abs(np.abs(np.diff(z, axis=-1)) - self.lengths) > 1e-6 * self.lengths
        for j in range(1, self.joints - 1):
            if not wrong[:, j - 1:j + 1].any():
                continue
            lengths, across = self.lengths[j - 1:j + 1], z[:, j + 1] - z[:, j - 1]
            least, most = abs(lengths[0] - lengths[1]), lengths.sum()
            gap = np.clip(np.abs(across), least + 1e-6, most - 1e-6)
            target = z[:, j - 1] + gap * np.exp(1j * np.angle(across))
            angles = reach(as_points(z[:, j - 1]), lengths, as_points(target))[..., 0]
            left = ((z[:, j] - z[:, j - 1]) * across.conj()).imag >= 0      # of the line: it bends clockwise
            moved = z.copy()
            moved[:, j] = z[:, j - 1] + lengths[0] * np.exp(1j * np.radians(np.where(left, angles[1], angles[0])))
            poses.append((moved[:, 0], np.angle(np.diff(moved, axis=-1))))
        return poses

    def within_rules(self, drawings, pose):
        """The same pose brought nearest to what each rule by itself allows: a bend past its stop comes back to it."""
        root, angle = pose
        for name, rule in RULES.items():
            if rule.within is not None and name in self.brief.rules:
                angle = rule.within(self.measures, self.brief, drawings, angle)
        return root, angle

    # ---- where a drawing is looked for ----------------------------------------------------

    @cached_property
    def whole_turns(self):
        """What each part's angle gains by the whole turns it makes in a loop, degrees, (drawings, segments)."""
        m = self.measures
        turns = 360.0 * np.round((m.angle[-1] - m.angle[0]) / 360.0) if self.loop else np.zeros(self.joints - 1)
        return turns * m.stack.time[:, None]

    def between(self, drawings, also=()):
        """Root and angles of some drawings where their sound neighbours have them: the cubic in time through the two
        nearest before and the two after that stay. `also` are others out of place, which have no say. None where too few
        are left."""
        unknown = {*drawings, *also}
        if not self.measures.enough or self.count - len(unknown) < FEWEST_KNOWN:
            return None
        angle = self.measures.angle - self.whole_turns
        weights = np.array([self._weights(d, unknown) for d in drawings])
        return weights @ self.z[:, 0], np.radians(weights @ angle + self.whole_turns[list(drawings)])

    def _weights(self, d, unknown):
        """Times all drawings: the cubic through the four nearest that are known, two on each side, (drawings,)."""
        n, time = self.count, self.measures.stack.time
        steps = range(1, n)
        if self.loop:
            before = [-s for s in steps if (d - s) % n not in unknown][:2]
            after = [s for s in steps if (d + s) % n not in unknown][:2]
        else:
            before = [-s for s in steps if d - s >= 0 and d - s not in unknown]
            after = [s for s in steps if d + s < n and d + s not in unknown]
            before, after = before[:max(2, 4 - len(after))], after[:max(2, 4 - len(before))]
        at = [d + s for s in (*before, *after)]
        knots = np.array([time[i % n] + i // n - time[d] for i in at])
        weights = np.zeros(n)
        for i, j in enumerate(at):
            others = np.delete(knots, i)
            weights[j % n] += np.prod(-others / (knots[i] - others))
        return weights
