"""What mends an action as a whole: drawings slide along their path, or a part turns later. The least that will do.

A movement is taken through the drawings by a cubic spline in time, of the root and of the angles of the parts, and
read at other times; so lengths stay exact and each joint stays on its path.
"""

from dataclasses import dataclass

import numpy as np

from ..model.words import amount, part
from ..rules import drag, link_up, opposition, overlap, spacing
from .least import ROUNDED
from .wording import SEEN, millimetres

SLOWER = np.linspace(0.1, 0.96, 9)              # of the pace at a turn, taken away
ROUND = (0.15, 0.22, 0.32, 0.5)                 # turns of the loop either side of a turn in which drawings close up
LATER = np.linspace(0.2, 7.2, 36) / 24          # turns of the loop
LATER_OF_TWO = np.linspace(0.2, 4.0, 10) / 24   # the same, where two parts wait
BY_ITSELF = 3                                   # parts up to which each waits as long as it needs
RELAXED = (0.0, 0.5, 1.0)                       # of the lean that the last part has all through the loop
SHARED = np.linspace(0.1, 1.2, 23)              # of the jump at the seam
SPREAD = (2, 3, 4, 5, 6, 8)                     # drawings either side that share the way of those that stand still
FINER = np.array([0.0, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0])
AT_ONCE = 24                                    # loops tried in one pass, the smallest change first
EXACT = 0.01                                    # mm by which a length may differ and the drawing stays as it is
TOUCHED = 1e-9                                  # mm


class Movement:
    """The movement of a limb through its drawings, at any time; through some of them only, drawn evenly one after the other."""

    def __init__(self, stack, stay=None):
        from scipy.interpolate import CubicSpline  # a light table must not wait for it

        m = stack.measures
        self.stack, self.time = stack, m.stack.time if stay is None else np.arange(len(stay)) / len(stay)
        stay = slice(None) if stay is None else stay
        angle = np.radians(m.angle)[stay]
        values = np.concatenate([m.z[stay, :1].real, m.z[stay, :1].imag, angle], axis=-1)
        knots = self.time
        self.turns = np.zeros(values.shape[-1])
        if stack.loop:
            self.turns[2:] = 2 * np.pi * np.round((angle[-1] - angle[0]) / (2 * np.pi))
            knots = np.append(knots, 1.0)
            level = values - self.turns * self.time[:, None]
            values = np.concatenate([level, level[:1]])
        self.spline = CubicSpline(knots, values, bc_type="periodic" if stack.loop else "not-a-knot")

    def at(self, time):
        """Root (...) and angles (..., segments) at times in turns of the loop, (...)."""
        time = np.asarray(time)
        values = self.spline(time % 1.0 if self.stack.loop else np.clip(time, 0.0, self.time[-1]))
        values += self.turns * time[..., None]
        return values[..., 0] + 1j * values[..., 1], values[..., 2:]


class Tries:
    """Whole loops tried in the order of an amount, and the least of them that keeps what is to be kept."""

    def __init__(self, search, cured):
        self.search, self.cured = search, cured     # cured: places (indices) that must no longer be broken

    def least(self, z):
        """Index of the loop that leaves least broken, then changes fewest drawings, then moves least, and how much it leaves
        broken; None where none cures."""
        wrong = self.search.wrong(z)
        cures = np.flatnonzero(~wrong[:, self.cured].any(axis=-1))
        if not len(cures):
            return None, None
        apart = np.abs(z[cures] - self.search.stack.z)
        changed = (apart.max(axis=-1) > TOUCHED).sum(axis=-1)
        left = wrong[cures].sum(axis=-1)
        best = np.lexsort((apart.sum(axis=(-2, -1)), changed, left))[0]
        return int(cures[best]), int(left[best])

    def finest(self, make, amounts, varies=slice(None)):
        """The loop of the least amount, or None; `make` gives loops (tries, drawings, joints) from amounts
        (tries, ...), the smallest first, of which those at `varies` are made less at last."""
        found = []
        for some in np.array_split(amounts, -(-len(amounts) // AT_ONCE)):
            z = make(some)
            at, left = self.least(z)
            if self.search.patience.over:
                return None
            if at is not None:
                found.append((left, len(found), z[at], some[at]))
                if not left:
                    break
        if not found:
            return None
        *_, cured, amount = min(found, key=lambda one: one[:2])
        less = np.repeat(amount[None], len(FINER), axis=0)
        less[(slice(None), varies)[:less.ndim]] *= (0.75 + 0.25 * FINER).reshape(-1, *(1,) * (amounts.ndim - 1))
        finer = make(less)
        good = self._good(finer, self.search.wrong(finer[-1:]).sum())
        firm = [i for i in range(len(FINER)) if good[i:].all()]
        return self.seen(self.with_fewer(finer[firm[0]] if firm else cured), make, amounts)

    def seen(self, z, make, amounts):
        """The loop; where no eye would see the change, the least of the loops in which it would."""
        def far(loops):
            return np.abs(loops - self.search.stack.z).max(axis=(-2, -1))

        if far(z) > SEEN:
            return z
        most = self.search.wrong(z[None]).sum()
        for some in np.array_split(amounts, -(-len(amounts) // AT_ONCE)):
            loops = make(some)
            loops = loops[far(loops) > SEEN]
            good = self._good(loops, most) if len(loops) else np.zeros(0, bool)
            if good.any():
                return loops[good.argmax()]
        return z

    def with_fewer(self, z):
        """The loop with as many drawings as may be put back as they were, those that move least first."""
        drawn = self.search.stack.z
        apart = np.abs(z - drawn).max(axis=-1)
        order = [d for d in np.argsort(apart, kind="stable") if apart[d] > 0.0]
        loops = np.repeat(z[None], len(order), axis=0)
        for back, loop in enumerate(loops):
            loop[order[:back]] = drawn[order[:back]]
        good = self._good(loops, self.search.wrong(loops[:1]).sum())
        return loops[np.flatnonzero(good)[-1]] if good.any() else z

    def _good(self, loops, most):
        """True where a loop is cured and leaves no more broken than that, also when it is rounded."""
        wrong = self.search.wrong(np.concatenate([loops, loops.round(ROUNDED)])).reshape(2, len(loops), -1)
        return (~wrong[..., self.cured].any(axis=-1) & (wrong.sum(axis=-1) <= most)).all(axis=0)


@dataclass(frozen=True, eq=False)
class Cured:
    """A loop that keeps the rule.

    Attributes
    ----------
    z : ndarray of complex, shape (drawings, joints)
        mm.
    says : dict of str to str
        Joint of a cause -> what was done about it.
    later : float
        Drawings by which the whole limb begins later.
    """

    z: np.ndarray
    says: dict
    later: float = 0.0


def closed_up(search, causes, others):
    """Drawings closed up round the turns of the end joint and opened between, along the path."""
    stack, cured = search.stack, search.stack.cells_of(causes)
    if spacing.still(stack.measures):
        return None     # nothing moves, so there is no path to slide along
    movement, time = Movement(stack), stack.measures.stack.time
    tip = stack.z[:, -1]
    axis = np.sqrt(((tip - tip.mean()) ** 2).sum()) or 1.0
    along = (tip * axis.conjugate()).real
    turns = [time[along.argmin()], time[along.argmax()]] if stack.loop else [time[0], time[-1]]
    shapes = np.array([_closing(time, turn, width, stack.loop) for turn in turns for width in ROUND])
    shapes = np.concatenate([shapes, shapes[:len(ROUND)] + shapes[len(ROUND):]])
    amounts = (SLOWER[:, None, None] * shapes).reshape(-1, len(time))

    def make(shift):
        z = stack.laid(*movement.at(time - shift))
        return np.where(np.abs(shift[..., None]) > 1e-12, z, stack.z)

    z = Tries(search, cured).finest(make, amounts)
    return None if z is None else Cured(z, _same(causes, f"{_moved(stack, z)}, along their paths."))


def _same(causes, says):
    return {cause.joint: says for cause in causes}


def _moved(stack, z):
    """How many drawings move, and how far at most."""
    apart = np.abs(z - stack.z).max(axis=-1)
    count = int((apart > TOUCHED).sum())
    return f"{count} drawing{'s move' if count != 1 else ' moves'}, {millimetres(apart.max())} at most"


def _closing(time, turn, width, loop):
    """By how much each drawing goes back towards a turn, at most at the turn's own pace, turns of the loop."""
    x = time - turn
    x = (x - np.round(x) if loop else x) / width
    return np.where(np.abs(x) < 1.0, width * x * (1.0 - x**2) ** 2, 0.0)


def later(search, causes, others):
    """Parts, each with what hangs on it, later in time, by the least that will do."""
    stack, cured = search.stack, search.stack.cells_of(causes)
    parts = [stack.limb.joints.index(cause.joint) - 1 for cause in causes]
    movement, time = Movement(stack), stack.measures.stack.time
    root, angle = movement.at(time)
    if len(parts) > BY_ITSELF:      # each waits as long as the others, or there would be no end of tries
        delays = np.repeat(LATER[:, None], len(parts), axis=1)
    else:
        one = LATER if len(parts) == 1 else LATER_OF_TWO
        delays = np.stack(np.meshgrid(*[one if k < 2 else one[:4] for k in range(len(parts))], indexing="ij"), -1)
        delays = delays.reshape(-1, len(parts))
    relaxed = RELAXED if not drag.judged(stack.measures) and stack.joints - 2 in parts else (0.0,)
    lean = np.angle(np.exp(1j * (angle[:, -1] - angle[:, -2])).mean()) if stack.joints > 2 else 0.0

    def make(tries):
        relax, by_bend, delay = tries[:, 0, None], tries[:, 1, None] > 0, tries[:, 2:]
        turned = np.broadcast_to(angle, (len(tries), *angle.shape)).copy()
        behind = np.zeros(len(tries))
        for k in range(min(parts), stack.joints - 1):
            if k in parts:
                behind = behind + delay[:, parts.index(k)]
            late = movement.at(time - behind[:, None])[1]
            bent = turned[..., k - 1] + late[..., k] - late[..., k - 1]
            turned[..., k] = np.where(by_bend, bent, late[..., k])
        turned[..., -1] -= relax * lean
        return stack.laid(root, turned)

    tries = Tries(search, cured)
    for relax in relaxed:
        amounts = [np.insert(delays, 0, [[relax], [by_bend]], axis=1) for by_bend in (0, 1)]
        amounts = np.concatenate(amounts)
        amounts = amounts[np.argsort(amounts[:, 2:].sum(axis=-1), kind="stable")]
        z = tries.finest(make, amounts, varies=slice(2, None))
        if z is not None and not search.wrong(z[None]).any():
            break
    if z is None:
        return None
    waits = (overlap.lag(stack.measured(z)) - overlap.lag(stack.measures)) * stack.count / 24
    joints = stack.limb.joints
    return Cured(z, {joints[k + 1]: f"Let the {part(stack.limb, k)} turn {amount(waits[k - 1], 1 if waits[k - 1] >= 0.05 else 2)} "
                             "drawings later." for k in parts})


def traced(search, causes, others):
    """Each part as long as on the model sheet in every drawing, at the angle that it has."""
    stack, cured = search.stack, search.stack.cells_of(causes)
    z = stack.laid(*stack.drawn(range(stack.count)))
    kept = (np.abs(stack.measures.length - stack.lengths) < EXACT).all(axis=-1)
    z = np.where(kept[:, None], stack.z, z)
    wrong = search.wrong(z[None])[0]
    if wrong[cured].any() or (wrong & ~search.wrong(stack.z[None])[0]).any():
        return None
    says = {}
    for cause in causes:
        k = stack.limb.joints.index(cause.joint) - 1
        off = np.abs(stack.measures.length[:, k] - stack.lengths[k]).max()
        says[cause.joint] = (f"Draw the {part(stack.limb, k)} {amount(stack.lengths[k], 1)} mm long in every drawing, at the "
                             f"angle it has: {millimetres(off)} longer or shorter at most.")
    return Cured(z, says)


def spread(search, cause):
    """The way over which some drawings stand still in full swing, shared by these and those beside them, the fewest that will do."""
    stack, copies = search.stack, {number - 1 for number in cause.drawings}
    first, size = cause.drawings[0] - 2, len(copies)
    stay = [d for d in range(stack.count) if d not in copies]
    movement = Movement(stack, stay)
    for reach in SPREAD:
        gaps = size + 2 * reach + 1
        if gaps >= stack.count or not stack.loop and not 0 <= first - reach <= first + size + 1 + reach < stack.count:
            return None
        # Gaps are narrowest where it stood; together they are as long as those that were there without the copies.
        x = (np.arange(gaps) + 0.5) / gaps * 2.0 - 1.0
        shape = (1.0 - x**2) ** 2
        gap = 1.0 - shape * size / shape.sum()
        if gap.min() <= 0.0:
            continue
        place = stay.index(first % stack.count) - reach + np.append(0.0, np.cumsum(gap))[:-1]
        at = [(first - reach + i) % stack.count for i in range(gaps)]
        z = stack.z.copy()
        z[at[1:]] = stack.laid(*movement.at(place[1:] / len(stay)))
        if not search.wrong(z.round(ROUNDED)[None]).any():
            says = f"Share out the way from {at[0] + 1} to {(at[-1] + 1) % stack.count + 1}: {_moved(stack, z)}."
            return Cured(z, _same([cause], says))
    return None


def linked(search, causes, others):
    """The jump at the seam shared out over all drawings."""
    stack, cured = search.stack, search.stack.cells_of(causes)
    jump, time = link_up.jump(stack.measures)[0], stack.measures.stack.time

    def make(share):
        moved = stack.z + share[:, None, None] * jump * (time - time.mean())[:, None]
        return stack.laid(moved[..., 0], np.angle(np.diff(moved, axis=-1)))

    z = Tries(search, cured).finest(make, SHARED)
    return None if z is None else Cured(z, _same(causes, f"Share the jump: {_moved(stack, z)}."))


def opposed(search, causes, others):
    """The limb so many drawings later or earlier, opposite to another one; not a whole number where no whole number will
    do. `others` are the Measures of the limbs that it has to oppose."""
    stack, brief = search.stack, search.stack.brief
    whole = np.array(sorted(range(-(stack.count // 2), stack.count // 2 + 1), key=lambda s: (abs(s), -s)))
    traced = stack.laid(*stack.drawn(range(stack.count)))
    rolled = np.array([np.roll(traced, s, axis=0) for s in whole])
    movement, time = Movement(stack), stack.measures.stack.time
    part = np.array(sorted(np.arange(-5.0, 5.01, 0.25) * stack.count / 10, key=lambda s: (abs(s), -s)))
    slid = stack.laid(*movement.at(time - part[:, None] / stack.count))
    for shifts, loops in ((whole, rolled), (part, slid)):
        good, off = ~search.wrong(loops).any(axis=-1), np.zeros(len(loops))
        if search.patience.over:
            return None
        for i in np.flatnonzero(good):
            tried = stack.measured(loops[i])
            good[i] = not any(opposition.broken(other, tried, brief) for other in others)
            off[i] = max(abs(opposition.apart(other, tried) - 0.5) for other in others)
        if good.any():
            # Nearest to half a turn; of those alike, the one that moves least, which comes first.
            best = int(np.argmin(np.where(good, off.round(3), np.inf)))
            by = float(shifts[best])
            begin = f"{amount(abs(by), 0 if by % 1 == 0 else 1)} drawing{'s' if abs(by) != 1 else ''}"
            says = f"Start the {stack.limb.name} {begin} {'later' if by > 0 else 'earlier'} in the loop."
            return Cured(loops[best], _same(causes, says), by)
    return None


# By the name that a rule gives as its cure; each of a Search, the causes, and the Measures of the limbs paired with this one.
CURES = {"close up": closed_up, "trace": traced, "wait": later, "share": linked, "oppose": opposed}
