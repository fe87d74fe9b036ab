"""A correction: which poses of which drawings would mend a fault. The rules try it before anything is said.

Note, headline, ghost, guide, `mend`, hand-in report and JSON all show the same one; its sentence is made from the
difference between what is drawn and the corrected pose.
"""

from dataclasses import dataclass

import numpy as np

from ..geometry.angles import as_points, wrapped
from ..model.action import LARGEST
from ..rules import RULES
from ..rules.rule import LIMBS
from .cures import CURES, spread
from .least import ROUNDED, UNMOVED, Patience, Search
from .stack import FEWEST_KNOWN, Stack
from .wording import SEEN, redrawn_all, seen

LEAST_TURN = 2.0    # degrees: a part that would turn by less is left as it is drawn,
FINE_TURN = 1.0     # degrees: or by this, where that is not enough
LEAST_SHIFT = 0.75  # mm, the same for the root
STEADY = 2.0        # times what the cubic leaves over at the typical drawing: a turn within it is the cubic's own error
SMALLER = 0.9       # of the first choice: what moves more is no second one
FURTHER = (1.05, 1.5, 2.0, 3.0, 5.0, 8.0)   # times the least that an eye sees
FEW = 2             # drawings, up to which their neighbours tell where they belong; a longer run is only put right


@dataclass(frozen=True, eq=False)
class Correction:
    """What would mend one fault.

    Attributes
    ----------
    limb : str
    poses : dict of int to ndarray, shape (joints, 2)
        Drawing, from 1 -> the whole limb as corrected, mm.
    says : str
        What is moved, in one sentence.
    passes : bool
        True where the limb keeps every rule with it; False where other faults stay.
    later : float
        Drawings by which the whole limb begins later; 0 where single drawings are redrawn.
    """

    limb: str
    poses: dict
    says: str
    passes: bool
    later: float = 0.0

    def laid_in(self, action):
        """The Action with the corrected drawings in place of those drawn."""
        points = []
        for limb in action.limbs:
            drawings = limb.drawings
            if limb.name == self.limb:
                drawings = drawings.copy()
                for number, pose in self.poses.items():
                    drawings[number - 1] = pose
            points.append(drawings)
        return action.redrawn(*points)


class Corrector:
    """Finds the corrections of one verdict, each when it is asked for.

    Parameters
    ----------
    action : Action
    brief : Brief
    measures, flags : lists, optional
        Measures and flags of each limb, where they are known already.
    patience : Patience, optional
        Shared with others.
    """

    def __init__(self, action, brief, measures=None, flags=None, patience=None):
        self.action, self.brief = action, brief
        none = [None] * len(action.limbs)
        self._known = {limb.name: known for limb, *known in zip(action.limbs, measures or none, flags or none)}
        self._stacks, self._found, self._cures = {}, {}, {}
        self._patience = patience or Patience()
        self.findings = ()      # of the verdict, in its order
        self._looked_at = 0     # how many of them
        self.untried = set()    # `named` of the causes before which patience was over

    def __call__(self, finding):
        """The Correction of a cause, or None where none is known that the rules pass."""
        asked = finding.named
        # In reading order, so that patience ends at the same one whoever asks first.
        while asked not in self._found and self._looked_at < len(self.findings):
            self._look_at(self.findings[self._looked_at])
            self._looked_at += 1
        if asked not in self._found:
            self._look_at(finding)
        return self._found[asked]

    def _look_at(self, finding):
        if finding.follows is not None or finding.of_exposure:
            return
        self._patience.begin()
        if self._patience.over:
            self.untried.add(finding.named)
        self._found[finding.named] = None if self._patience.over else self._corrected(finding)

    def least(self, finding):
        """The Correction of a cause that moves least in all and passes, or None where it is no smaller than the first choice."""
        stack, first = self.stack(finding.limb), self._drawn(self.stack(finding.limb), [number - 1 for number in finding.moves])
        found = _Trial(self, stack, [finding], first).least(first) if first else None
        whole = self(finding)
        return found if found is not None and whole is not None and self._far(found) < SMALLER * self._far(whole) else None

    def _far(self, correction):
        """How far all joints move in all, mm."""
        drawings = self.action.limb(correction.limb).drawings
        return sum(np.linalg.norm(pose - drawings[number - 1], axis=-1).sum() for number, pose in correction.poses.items())

    def together(self, verdict, causes):
        """A Correction of several causes in one limb at once, by the least that passes; or None."""
        self.findings = verdict.findings
        moves = sorted({number - 1 for cause in causes for number in cause.moves})
        return _Trial(self, self.stack(causes[0].limb), list(causes), moves).least(moves) if moves else None

    def stack(self, name):
        """The Stack of the limb of that name."""
        if name not in self._stacks:
            action = self.action
            measures, flags = self._known[name]
            self._stacks[name] = Stack(action.limb(name), action.exposures.tolist(), action.loop, self.brief, measures, flags or None)
        return self._stacks[name]

    # ---- which drawings -------------------------------------------------------------------

    def _corrected(self, finding):
        stack, rule = self.stack(finding.limb), RULES[finding.rule]
        if not finding.moves:
            return self._cured(stack, finding, rule)
        first = self._drawn(stack, [number - 1 for number in finding.moves])
        if not first:
            return None
        trial = _Trial(self, stack, [finding], first)
        if finding.one_run:
            found = spread(trial.search, finding)
            return None if found is None else trial.laid(found.z, found.says[finding.joint])
        found = trial.of(first)
        if found is None and len(first) <= FEW:
            for drawings in _beside(first, stack.count, stack.loop):
                if self._patience.over:
                    break
                if self._drawn(stack, drawings) != drawings:
                    continue
                found = trial.of(drawings)
                if found is not None:
                    break
        if found is None:
            found = trial.least(first)
        return found

    def _drawn(self, stack, drawings):
        """Those of the drawings, from 0, that are drawn: what is only expected is not corrected."""
        drawn = stack.measures.drawn
        return drawings if drawn is True else [d for d in drawings if drawn[d]]

    def _cured(self, stack, finding, rule):
        """Of a fault of the action as a whole: all findings of its rule in the limb are mended together."""
        alike = [finding] if finding.drawings else [
            other for other in self.findings if (other.rule, other.limb) == (finding.rule, finding.limb)
            and other.follows is None and not other.drawings] or [finding]
        trial = _Trial(self, stack, alike, [])
        if rule.cure not in CURES:
            return trial.least(range(stack.count)) if rule.scope != LIMBS else None
        key = finding.rule, finding.limb, finding.drawings
        if key not in self._cures:
            self._cures[key] = CURES[rule.cure](trial.search, alike, self._paired(finding.limb, rule))
        found = self._cures[key]
        return None if found is None else trial.laid(found.z, found.says[finding.joint], found.later)

    def _paired(self, name, rule):
        """Measures of the limbs that a rule about two limbs pairs with this one."""
        if rule.scope != LIMBS:
            return []
        names = [limb.name for limb in self.action.limbs]
        all_measures = [self.stack(other).measures for other in names]
        return [all_measures[one if two == names.index(name) else two] for one, two in rule.pairs(all_measures)
                if names.index(name) in (one, two)]


def _beside(drawings, count, loop):
    """Sets of drawings tried next: the one before or after, by itself, then together with those meant."""
    near = [d + s for d in drawings for s in (-1, 1)]
    near = [d % count for d in near] if loop else [d for d in near if 0 <= d < count]
    near = [d for d in dict.fromkeys(near) if d not in drawings]
    return [[d] for d in near] + [sorted({*drawings, d}) for d in near]


class _Trial:
    """Corrections of one limb put before the rules: the causes asked about must be gone, and nothing else new be broken."""

    def __init__(self, corrector, stack, causes, moves):
        self.corrector, self.stack, self.causes = corrector, stack, causes
        findings = corrector.findings
        asked = {cause.named for cause in causes}
        others = [other for other in findings if other.limb == stack.limb.name and other.named not in asked
                  and (other.follows is None or findings[other.follows].named not in asked)]
        self.also = sorted({number - 1 for other in others if other.follows is None for number in other.moves} - set(moves))
        may_stay = np.zeros(len(stack.cells), bool)
        may_stay[stack.cells_of(others)] = True
        may_stay |= np.isin(stack.at, self.also)
        drawn = stack.measures.drawn
        if drawn is not True:       # of what is only expected nobody finds fault
            may_stay |= np.isin(stack.at, np.flatnonzero(~drawn))
            self.also = sorted({*self.also, *np.flatnonzero(~drawn).tolist()} - set(moves)) if drawn.sum() - len(moves) >= FEWEST_KNOWN \
                else self.also
        self.search = Search(stack, may_stay, self.also, corrector._patience)

    def of(self, drawings):
        """A Correction of these drawings (from 0), or None."""
        drawings = sorted(drawings)
        for some in self._candidates(drawings):
            loops = self.stack.placed(drawings, np.array(some).round(ROUNDED))
            broken = self.search.asked(loops)
            wrong = broken & ~self.search.may_stay
            good = np.flatnonzero(~wrong.any(axis=-1))
            if not len(good) and self.stack.measures.drawn is not True:
                # What is expected of the others follows what is drawn, and will follow the correction too.
                good = np.flatnonzero(~wrong[:, self.stack.cells_of(self.causes)].any(axis=-1))
            for i in good:
                found = self.laid(loops[i], passes=not broken[i].any())
                if found is not None:
                    return found
        return None

    def least(self, drawings):
        """The smallest change of the fewest drawings, or None."""
        found = self.search.fewest(set(drawings))
        if found is None or self.corrector._drawn(self.stack, found.drawings) != found.drawings:
            return None
        z = self._further(found)
        return None if z is None else self.laid(self.stack.placed(found.drawings, z.round(ROUNDED)))

    def _further(self, found):
        """What was found, and where an eye would not see the change, more of it: as much as it sees; None where no rule then
        keeps."""
        stack, limb, drawings = self.stack, self.stack.limb, found.drawings
        unseen = [i for i, d in enumerate(drawings) if not seen(limb, d, as_points(found.z[i]))]
        if not unseen:
            return found.z
        root, angle = stack.drawn(drawings)
        shift, turn = found.z[:, 0] - root, np.angle(np.diff(found.z, axis=-1) * np.exp(-1j * angle))
        size = np.maximum(np.abs(shift), np.abs(np.degrees(turn)).max(axis=-1, initial=0.0)) / SEEN
        tries = []
        for times in FURTHER:
            by = np.ones(len(drawings))
            by[unseen] = times / np.maximum(size[unseen], 1e-9)
            tries.append(stack.laid(root + by * shift, angle + by[:, None] * turn))
        tries = np.array(tries)
        good = ~self.search.wrong(stack.placed(drawings, tries.round(ROUNDED))).any(axis=-1)
        return tries[good.argmax()] if good.any() else None

    def laid(self, z, says="", later=0.0, passes=None):
        """The Correction that makes these drawings, complex mm, (drawings, joints); None where it spoils another limb's rule."""
        stack = self.stack
        pinned = stack.pinned(z)
        if np.abs(pinned - z).max() > UNMOVED and self.search.wrong(pinned[None]).any():
            return None     # it would move what is given
        z = pinned
        moved = (np.abs(z - stack.z) > UNMOVED).any(axis=-1)
        z = np.where(moved[:, None], z.round(ROUNDED), stack.z)
        changed, points = np.flatnonzero(moved), as_points(z)
        if not len(changed) or np.abs(points).max() > LARGEST:
            return None
        passes = not stack.broken(z).any() if passes is None else passes
        if self._spoils(z):
            return None
        poses = {int(d) + 1: points[d] for d in changed}
        named = self.causes[0].drawings
        if not says and not all(seen(stack.limb, number - 1, pose) for number, pose in poses.items()):
            return None     # nobody could draw it
        says = says or redrawn_all(stack.limb, stack.loop, poses, named)
        return Correction(stack.limb.name, poses, says, passes, later)

    def _spoils(self, z):
        """True where a rule about two limbs is kept now and would not be."""
        corrector, name = self.corrector, self.stack.limb.name
        if len(corrector.action.limbs) < 2:
            return False
        now = [corrector.stack(limb.name).measures for limb in corrector.action.limbs]
        at = [limb.name for limb in corrector.action.limbs].index(name)
        then = [self.stack.measured(z) if i == at else m for i, m in enumerate(now)]
        for rule_name, rule in RULES.items():
            if rule.scope != LIMBS or rule_name not in corrector.brief.rules or rule.judged(now):
                continue
            for one, two in rule.pairs(now):
                if at in (one, two) and rule.broken(then[one], then[two], corrector.brief) \
                        and not rule.broken(now[one], now[two], corrector.brief):
                    return True
        return False

    # ---- poses ----------------------------------------------------------------------------

    def _candidates(self, drawings):
        """Joints of the drawings in several ways, complex mm, lists of (drawings, joints): first those to prefer."""
        stack = self.stack
        drawn = stack.drawn(drawings)
        steady = np.full(stack.joints - 1, FINE_TURN)
        between = stack.between(drawings, self.also)

        def nearest():
            return [self._by_parts(drawings, stack.within_rules(drawings, drawn), steady, outward=True),
                    self._by_parts(drawings, drawn, steady)]

        if between is None:
            yield nearest()
            return
        if len(drawings) > FEW:
            yield nearest()
        yield [self._by_parts(drawings, between, np.maximum(LEAST_TURN, STEADY * self._typical()))]
        within = stack.within_rules(drawings, between)
        yield [self._by_parts(drawings, between, steady), stack.laid(*between),
               self._by_parts(drawings, within, steady, outward=True), stack.laid(*within)]
        if len(drawings) <= FEW:
            yield nearest()

    def _typical(self):
        """What the cubic through four neighbours leaves over at the typical drawing, degrees, (segments,)."""
        m = self.stack.measures
        angle = m.angle - self.stack.whole_turns
        return np.median(np.abs(m.stack.residual @ angle), axis=0)

    def _by_parts(self, drawings, target, least, outward=False):
        """Each drawing moved towards a pose in whole degrees and whole mm, what would move by too little left as drawn;
        lengths put right. `outward`: rounded away from what is drawn."""
        stack = self.stack
        z = stack.z[drawings]
        parts, shift = np.diff(z, axis=-1), target[0] - z[:, 0]
        turn = wrapped(np.degrees(target[1] - np.angle(parts)))
        whole = np.sign(turn) * np.ceil(np.abs(turn) - 1e-6) if outward else np.round(turn)
        turn = np.where(np.abs(turn) >= least, whole, 0.0)
        far = np.abs(shift)
        shift = np.where(far >= LEAST_SHIFT, shift / np.maximum(far, 1e-9) * np.maximum(np.round(far), 1.0), 0.0)
        parts = parts * stack.lengths / np.maximum(np.abs(parts), 1e-9) * np.exp(1j * np.radians(turn))
        root = z[:, 0] + shift
        return np.concatenate([root[:, None], root[:, None] + np.cumsum(parts, axis=-1)], axis=-1)
