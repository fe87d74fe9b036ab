"""The least that passes: the smallest change of the fewest drawings, for faults that no neighbour tells how to mend.

Many loops are tried in one pass, and the rules say which of them keep what is to be kept. Drawings that are not
enough by themselves are joined by one beside them, so that as few as possible change. Then each part of each
drawing is left as near to what is drawn as the rules allow.
"""

from dataclasses import dataclass, replace

import numpy as np

AMOUNTS = np.array([0.0, 0.15, 0.3, 0.45, 0.6, 0.75, 0.9, 1.0])     # of the way to where a drawing is looked for, tried first
FEW_AMOUNTS = np.array([0.5, 1.0])                      # the same, where many sets of drawings are tried
LESS = np.array([0.0, 0.3, 0.55, 0.75, 0.88, 0.95, 0.98])   # of an amount, for one part or one drawing
ROUNDS = 3                                              # of that
BACK = np.array([0.0, 0.01, 0.03, 0.08, 0.2])           # of a change, taken back while one part is turned
STEPS = np.array([0.1, 0.4, 1.0])                       # by so much of a step
FREE_ROUNDS = 8                                         # of that
FIRST_STEP, SHORTER = 0.25, 0.4                         # of the largest part of the change; then of the step before
TRIED_AT_ONCE = 20
ROOT, PART = 2.0, 1.0                                   # mm: a root moved, or a part turned, counts as so much more
UNMOVED = 1e-9                                          # mm
WORTH = 0.995                                           # of a change: one that is hardly smaller is not worth it
SURELY = np.array([0.003, 0.01, 0.02, 0.04, 0.08, 0.15, 0.3])    # of a change, added: so far beyond the border
ROUNDED = 3         # decimals of mm, to which a file may be rounded and must still be kept
MORE = 6            # drawings that may join those that are out of place
WIDENED = 2         # sets of drawings to which one is added
LOOKED_INTO = 3     # sets of drawings of which the smallest change is sought
FOR_ONE, IN_ALL = 100_000, 300_000  # joints placed and judged for one fault, for all of an action: 0.1 s and 0.3 s about
A_PASS = 300        # joints that a pass over the rules costs besides those in it
CHEAPER = 10        # times that placing a joint costs less than placing and judging it
TURNED_AT_ONCE = 500_000    # joints placed while parts are turned
JOINTS_AT_ONCE = 100_000    # in one pass, so that a long stack needs little memory


class Patience:
    """How many joints may still be placed and judged: a stack that is wrong all over must not keep anybody waiting.

    Counted and not timed, so that the same drawings get the same answer on every machine.
    """

    def __init__(self, for_one=FOR_ONE, in_all=IN_ALL):
        self.for_one, self.in_all = for_one, in_all
        self.begin()

    def begin(self):
        """Another fault is looked at."""
        self.left = min(self.for_one, self.in_all)

    def spend(self, joints):
        self.left -= joints + A_PASS
        self.in_all -= joints + A_PASS

    @property
    def over(self):
        return self.left < 0


@dataclass
class Found:
    """Drawings, from 0, and the joints they are to have, complex mm, (drawings, joints)."""

    drawings: list
    z: np.ndarray


class Search:
    """One search.

    Parameters
    ----------
    stack : Stack
    may_stay : ndarray of bool, shape (cells,)
        What may stay broken, for it is another fault.
    also : sequence of int
        Drawings that are out of place too, and so have no say where others are looked for.
    patience : Patience, optional
        Shared by all searches of one action.
    """

    def __init__(self, stack, may_stay, also=(), patience=None):
        self.stack, self.may_stay, self.also = stack, may_stay, tuple(also)
        self.patience = patience or Patience()

    def asked(self, loops):
        """What is broken in each loop; the patience for it is counted."""
        at_once = max(1, JOINTS_AT_ONCE // self.stack.z.size)
        found = []
        for first in range(0, len(loops), at_once):
            some = loops[first:first + at_once]
            self.patience.spend(some.size)
            found.append(self.stack.broken(some))
        return np.concatenate(found) if len(found) > 1 else found[0] if found else np.zeros((0, len(self.stack.cells)), bool)

    def wrong(self, loops):
        """What is broken and may not be, in each loop."""
        return self.asked(loops) & ~self.may_stay

    def cost(self, drawings, z):
        """How far all joints move in all, mm, (...)."""
        return np.abs(z - self.stack.z[drawings]).sum(axis=(-2, -1))

    # ---- which drawings -----------------------------------------------------------------

    def fewest(self, drawings):
        """Found, with as few drawings as will do, beginning with these; None where MORE besides are not enough."""
        sets, amounts = [sorted(set(drawings))], AMOUNTS
        for _ in range(MORE + 1):
            if self.patience.over:
                break
            tried = [_Ways(self, one, amounts) for one in sets]
            left = self.wrong(np.concatenate([way.loops for way in tried]) if len(tried) > 1 else tried[0].loops)
            for way, rows in zip(tried, np.split(left, np.cumsum([len(way.loops) for way in tried])[:-1])):
                way.left = rows
            good = [way for way in tried if way.kept.any()]
            if good:
                good.sort(key=lambda way: way.costs[way.kept].min())
                found = [self.least(way) for way in good[:LOOKED_INTO]]
                return min(found, key=lambda one: (len(one.drawings), self.cost(one.drawings, one.z)))
            sets, amounts = self.wider(tried), FEW_AMOUNTS
            if not sets:
                break
        return None

    def wider(self, tried):
        """Sets of one drawing more, made from those that leave least broken."""
        tried = sorted(tried, key=lambda way: way.left.sum(axis=-1).min())
        n, wider = self.stack.count, set()
        for way in tried[:WIDENED]:
            near = {int(d) for d in self.stack.at[way.left[way.furthest].any(axis=0)] if d >= 0} | set(way.drawings)
            beside = {(d + s) % n if self.stack.loop else min(max(d + s, 0), n - 1) for d in near for s in (-1, 0, 1)}
            wider |= {tuple(sorted({*way.drawings, d})) for d in beside - set(way.drawings)}
        return [list(one) for one in sorted(wider)]

    # ---- how little ------------------------------------------------------------------------

    def least(self, way):
        """The smallest change on one way: drawings and parts left as they are drawn as far as may be."""
        change = self.freely(self.part_by_part(way.first()))
        tries = np.concatenate([change.x * (1 + SURELY[:, None, None]), change.x[None]])
        z = change.laid(tries)
        good = ~self.wrong(self.stack.placed(way.drawings, np.concatenate([z, z.round(ROUNDED)]))).any(axis=-1)
        safe = np.flatnonzero(good.reshape(2, -1).all(axis=0))
        on = np.flatnonzero(change.on)
        return Found([way.drawings[i] for i in on], z[safe[0] if len(safe) else -1][on])

    def part_by_part(self, change):
        """Parts and drawings moved less, each by itself."""
        for _ in range(ROUNDS):
            best = None if self.patience.over else self.better(change, *change.less())
            if best is None:
                break
            change = best
        return change

    def freely(self, change):
        """Parts turned either way while the whole change is made less: a forearm goes on and the hand a little
        back, and the fingertips can stay where they are."""
        size = change.x[change.on].size
        number = (2 * size * len(STEPS) + 1) * len(BACK)
        if number * change.x.size > TURNED_AT_ONCE:      # a whole stack is out of place: no single part will better it
            return change
        directions = np.zeros((size, *change.x.shape))
        directions[:, change.on] = np.eye(size).reshape(size, *change.x[change.on].shape)
        directions = np.concatenate([directions, -directions])
        step = FIRST_STEP * np.abs(change.x).max()
        for _ in range(FREE_ROUNDS):
            if self.patience.over:
                break
            self.patience.spend(number * change.x.size // CHEAPER)
            aside = (step * STEPS[:, None, None, None] * directions).reshape(-1, *change.x.shape)
            tries = np.concatenate([change.x * (1 - back) + aside for back in BACK] + [change.x * (1 - BACK[1:, None, None])])
            best = self.better(change, tries, np.broadcast_to(change.on, (len(tries), len(change.on))))
            change, step = (change, SHORTER * step) if best is None else (best, step)
        return change

    def better(self, change, x, on):
        """The smallest of some smaller changes that keeps what is to be kept, or None."""
        z = change.laid(x, on)
        cost = self.cost(change.drawings, z) + change.pieces(x, on)
        order = np.argsort(cost)
        order = order[cost[order] < WORTH * change.cost]
        order = order[::-(-len(order) // TRIED_AT_ONCE) or 1]
        if not len(order):
            return None
        good = order[~self.wrong(self.stack.placed(change.drawings, z[order])).any(axis=-1)]
        return replace(change, x=x[good[0]], on=on[good[0]], cost=cost[good[0]]) if len(good) else None


class _Ways:
    """Some drawings from each start to each end, tried at some amounts; `left` is what each loop leaves broken."""

    def __init__(self, search, drawings, amounts):
        stack = search.stack
        self.drawings, self.amounts = drawings, amounts
        between, drawn = stack.between(drawings, search.also), stack.drawn(drawings)
        ends = [] if between is None else [between]
        ends += [stack.within_rules(drawings, pose) for pose in (*ends, drawn)]
        starts = _different(stack.starts(drawings))
        self.changes = [_Change.towards(stack, drawings, start, end) for start in starts for end in _different(ends)]
        z = np.concatenate([change.laid(amounts[:, None, None] * change.x) for change in self.changes])
        self.costs = search.cost(drawings, z)
        self.loops = stack.placed(drawings, z)
        self.furthest = np.arange(len(amounts) - 1, len(z), len(amounts))
        self.left = None

    @property
    def kept(self):
        return ~self.left.any(axis=-1)

    def first(self):
        best = int(np.argmin(np.where(self.kept, self.costs, np.inf)))
        change, amount = self.changes[best // len(self.amounts)], self.amounts[best % len(self.amounts)]
        change = replace(change, x=amount * change.x)
        return replace(change, cost=self.costs[best] + change.pieces(change.x, change.on))


def _different(poses):
    kept, roots, ways = [], [], []
    for root, angle in poses:
        way = np.exp(1j * angle)
        if not any(np.abs(root - r).max() < 1e-9 and np.abs(way - w).max(initial=0) < 1e-9 for r, w in zip(roots, ways)):
            kept.append((root, angle))
            roots.append(root)
            ways.append(way)
    return kept


@dataclass
class _Change:
    """A change of some drawings, in mm by which the root goes right and up and the end of each part turns, `x`
    (drawings, 2 + segments); from `root` and `angle`, which is what is drawn with its lengths put right.
    Where `on` is False a drawing stays as it is drawn."""

    stack: object
    drawings: list
    root: np.ndarray
    angle: np.ndarray
    x: np.ndarray
    on: np.ndarray
    cost: float = np.inf

    @classmethod
    def towards(cls, stack, drawings, start, end):
        shift, turn = end[0] - start[0], np.angle(np.exp(1j * (end[1] - start[1])))
        x = np.concatenate([shift.real[:, None], shift.imag[:, None], turn * stack.lengths], axis=-1)
        return cls(stack, drawings, *start, x, np.ones(len(drawings), bool))

    def laid(self, x, on=None):
        """Joints after a change x (..., drawings, 2 + segments)."""
        z = self.stack.laid(self.root + x[..., 0] + 1j * x[..., 1], self.angle + x[..., 2:] / self.stack.lengths)
        return np.where((self.on if on is None else on)[..., None], z, self.stack.z[self.drawings])

    def pieces(self, x, on):
        """What is added to the mm of a change for each piece of it, for few pieces are easier drawn than many."""
        moved = np.abs(x[..., :2]).max(axis=-1) > UNMOVED, np.abs(x[..., 2:]) > UNMOVED
        return ((ROOT * moved[0] + PART * moved[1].sum(axis=-1)) * on).sum(axis=-1)

    def less(self):
        """Changes tried next: all of it less, one drawing less or not at all, the root or one part of one less."""
        drawings = np.flatnonzero(self.on)
        pieces = [(slice(None), slice(None)), *((d, slice(None)) for d in drawings if len(drawings) > 1),
                  *((d, k) for d in drawings for k in (slice(0, 2), *range(2, self.x.shape[-1])))]
        pieces = [piece for piece in pieces if self.x[piece].any()]
        if len(pieces) * len(LESS) * self.x.size > TURNED_AT_ONCE:
            pieces, drawings = pieces[:1], drawings[:0]     # a whole stack is moved: all of it less
        x = np.repeat(self.x[None], len(pieces) * len(LESS) + len(drawings), axis=0)
        on = np.repeat(self.on[None], len(x), axis=0)
        for i, piece in enumerate(pieces):
            for less, tried in zip(LESS, x[i * len(LESS):]):
                tried[piece] *= less
        for i, d in enumerate(drawings):
            x[len(x) - 1 - i, d], on[len(x) - 1 - i, d] = 0.0, False
        return x, on
