"""One drawing tried at many places: what the measures of that drawing become, and nothing else.

Moving one drawing touches only what is measured at it and beside it. A rule asked about the
measures here says, for each place tried, what it would say of that drawing in the whole loop:
it is the same rule, on five drawings instead of all of them.
"""

import numpy as np

from .loops import PENCIL, TWIN, Measures, wrapped
from .measure import measure
from .neighbours import Order

ROWS = 5                # drawings: as far as a rule looks from the one tried
MIDDLE = ROWS // 2      # where the drawing tried stands among them; only there a rule's answer counts
_BEFORE = np.arange(ROWS) - 1
_AFTER = np.arange(ROWS) + 1
_BEFORE[0], _AFTER[-1] = 0, ROWS - 1


class _Five(Order):
    """The five drawings: what the rules ask of a stack."""

    opposite = None     # half a loop later lies outside of them

    def __init__(self, stack, rows):
        super().__init__(_BEFORE, _AFTER)
        self.certainty, self.alike, self.pace, self.frames = (of[rows] for of in (stack.certainty, stack.alike, stack.pace, stack.frames))


class Tried(Measures):
    """Measures of a drawing at each of several places, (places, 5, ...), itself in the middle of the five.

    An unsteady pencil is granted its most, so where a rule is broken here it is broken in the
    whole loop too; the other way round need not hold.

    Parameters
    ----------
    whole : Measures
        Of one loop, of FEWEST drawings or more.
    d : int
        The drawing tried, from 0.
    joint : int
        From this joint outward everything is shifted alike, from 1.
    z : ndarray of complex, shape (places,)
        Where the joint is put, mm.
    """

    def __init__(self, whole, d, joint, z):
        self.whole, self.d, self.joint = whole, d, joint
        self.rows = (d + np.arange(ROWS) - MIDDLE) % whole.count
        self.shift = np.zeros((len(z), 1, whole.joints), complex)
        self.shift[:, 0, joint:] = (z - whole.z[d, joint])[:, None]
        self.z = np.repeat(whole.z[self.rows][None], len(z), axis=0)
        self.z[:, MIDDLE] += self.shift[:, 0]
        self.lengths, self.stops, self.names = whole.lengths, whole.stops, whole.names
        self.count, self.joints, self.segments = ROWS, whole.joints, whole.segments
        self.loop, self.enough, self.one_sided = False, True, False
        self.stack = _Five(whole.stack, self.rows)

    def _others(self, first, end):
        """The drawings of the whole loop but those from `first` to before `end`."""
        return np.arange(end, first + self.whole.count) % self.whole.count

    def _felt(self, operator, change):
        """What a change of the one drawing adds to an operator's answer, (places, 5, ...)."""
        return operator[self.rows, self.d][:, None] * change

    @measure
    def sure(self):
        """True where no bend turns past a half circle from one drawing to the next, (places,): further round,
        the bends after it count a whole turn more, and so do their extremes."""
        level = self.detrended_bend[:, MIDDLE - 1:MIDDLE + 2]
        return (np.abs(level[:, 1:] - level[:, :-1]) < 180.0).all(axis=(1, 2))

    @measure
    def turned(self):
        """How much each bend of the drawing changes, degrees, (places, 1, segments)."""
        drawn = self.whole.segment[self.d]
        now = self.z[:, MIDDLE, 1:] - self.z[:, MIDDLE, :-1]
        k = self.joint - 1
        turn = np.zeros((len(self.z), 1, self.segments))
        turn[:, 0, k] = np.degrees(np.angle(now[:, k] * drawn[k].conj()))
        if self.joint < self.segments:
            turn[:, 0, k + 1] = -turn[:, 0, k]  # what hangs below keeps its angle on the paper
        # The same bend a whole turn round is the same: take the one nearest to the drawing before.
        before = self.whole.detrended_bend[self.rows[MIDDLE - 1]]
        here = self.whole.detrended_bend[self.d]
        return wrapped(here + turn - before) - (here - before)

    @measure
    def detrended_bend(self):
        return self._with(self.whole.detrended_bend)

    @measure
    def bend(self):
        return self._with(self.whole.bend)

    def _with(self, bend):
        rows = np.repeat(bend[self.rows][None], len(self.z), axis=0)
        rows[:, MIDDLE] += self.turned[:, 0]
        return rows

    @measure
    def bend_residual(self):
        return self.whole.bend_residual[self.rows] + self._felt(self.whole.stack.residual, self.turned)

    @measure
    def bend_outlier(self):
        return self.whole.bend_outlier[self.rows] + self._felt(self.whole.stack.outlier, self.turned)

    @measure
    def bend_range(self):
        others = self.whole.bend[self._others(self.d, self.d + 1)]
        tried = self.bend[:, MIDDLE:MIDDLE + 1]
        return np.minimum(others.min(axis=0), tried), np.maximum(others.max(axis=0), tried)

    @measure
    def step(self):
        step = np.empty_like(self.z)
        step[:, 0] = self.whole.step[self.rows[0]]
        step[:, 1:] = self.z[:, 1:] - self.z[:, :-1]
        return step

    @measure
    def widest(self):
        others = self.whole.distance[self._others(self.d, self.d + 2)].max(axis=0)
        return np.maximum(others, self.distance[:, MIDDLE:MIDDLE + 2].max(axis=1, keepdims=True))

    @measure
    def spacing(self):
        near = self.rows[MIDDLE:MIDDLE + 2]     # the steps into the drawing and out of it
        wider = self.distance[:, MIDDLE:MIDDLE + 2] - self.whole.distance[near]
        return self.whole.spacing[self.rows] + self.whole.stack.spread[self.rows[:, None], near] @ wider

    @measure
    def residual(self):
        return self.whole.residual[self.rows] + self._felt(self.whole.stack.residual, self.shift)

    @measure
    def outlier(self):
        return self.whole.outlier[self.rows] + self._felt(self.whole.stack.outlier, self.shift)

    @measure
    def along(self):
        return self.whole.along[self.rows]      # told by the neighbours alone, which stay

    @measure
    def unsteady(self):
        return np.full((1, 1, 1), PENCIL)

    @measure
    def reverses(self):
        turn = np.repeat(self.whole.reverses[self.rows][None], len(self.z), axis=0)
        moved = slice(self.joint, None)
        step = self.z[:, 1:, moved] - self.z[:, :-1, moved]
        near = self.rows[MIDDLE:MIDDLE + 2]
        squares = (self.whole.longest[:, moved] ** 2 - (self.whole.step[near, moved] ** 2).sum(axis=0)
                   + (step[:, MIDDLE - 1:MIDDLE + 1] ** 2).sum(axis=1, keepdims=True))
        on = (step * np.sqrt(squares).conj()).real
        turn[:, 1:-1, moved] = (on[:, :-1] * on[:, 1:] <= 0) & ((on[:, :-1] != 0) | (on[:, 1:] != 0))
        return turn

    @measure
    def across(self):
        if self.joint == self.joints - 1:
            return self.whole.across[self.rows][None].repeat(len(self.z), axis=0)   # its parent stays
        carries, before = self.z[..., -2], self.z[..., -2] - self.z[..., -3]
        speed = (carries[:, _AFTER] - carries[:, _BEFORE]) * self.stack.pace
        return (before.conj() * speed).imag / np.maximum(np.abs(before), 1e-9)

    @measure
    def rest_bend(self):
        return self.whole.rest_bend     # one drawing hardly moves it

    @measure
    def carrier_turn(self):
        turn, most = self.whole.carrier_turn
        return turn[self.rows], most    # of the drawing tried its neighbours tell it

    @measure
    def has_twin(self):
        others = self.whole.stands_out[self.whole.stack.opposite[:, self.rows]].max(axis=0)
        return others > TWIN * self.stands_out

    @measure
    def bend_has_twin(self):
        others = np.abs(self.whole.bend_outlier[self.whole.stack.opposite[:, self.rows]]).max(axis=0)
        return others > TWIN * np.abs(self.bend_outlier)

    @measure
    def last_lag(self):
        return self.whole.last_lag      # one drawing hardly changes it

    @measure
    def rough(self):
        return self.whole.rough

    @measure
    def quiet(self):
        return self.whole.quiet     # without the drawings that stand out most, of which the one tried is one

    @measure
    def quiet_bend(self):
        return self.whole.quiet_bend

    @measure
    def last_bend_step(self):
        bend, whole = self.detrended_bend[..., -1], self.whole.detrended_bend[:, -1]
        near = self.rows[MIDDLE:MIDDLE + 2]
        now = np.abs(np.diff(bend[:, MIDDLE - 1:MIDDLE + 2]))
        wider = now - np.abs(whole[near] - whole[near - 1])
        return self.whole.last_bend_step[self.rows] + wider @ self.whole.stack.spread[self.rows[:, None], near].T

    @measure
    def fastest_across(self):
        far = self.whole.across[self._others(self.d - 1, self.d + 2)]
        near = np.abs(self.across[:, 1:-1]).max(axis=-1, keepdims=True)
        return np.maximum(near, np.abs(far).max(initial=0.0))
