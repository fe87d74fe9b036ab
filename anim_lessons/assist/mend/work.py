"""In which order faults are mended: drawings out of place together, then what is wrong with a loop as a whole."""

import numpy as np

from ...judging.judge import check
from ...model.action import LARGEST
from ...rules import opposition, spacing
from . import whole
from .near import Patience, Search
from .stack import WHOLE, Stack, points

PASSES = 5      # times that the rules are asked anew what is left to mend


class Work:
    """An action on its way from as it was to as it will be.

    Attributes
    ----------
    action : Action
        As it stands.
    later : dict of str to float
        Limbs that begin later, and by how many drawings; earlier: negative.
    """

    def __init__(self, action, brief, verdict):
        self.action, self.brief = action, brief
        self.later = {}
        self._judged = action, verdict
        self._patience = Patience()

    @property
    def verdict(self):
        """On the action as it stands."""
        if self._judged[0] is not self.action:
            self._judged = self.action, check(self.action, self.brief)
        return self._judged[1]

    # ---- in which order ------------------------------------------------------------------

    def everything(self):
        """Mend what can be mended."""
        for _ in range(PASSES):
            begun, verdict = self.action, self.verdict
            for limb in self.action.limbs:
                local = [cause for cause in verdict.causes if cause.limb == limb.name and cause.drawings]
                if local and not self.near(verdict, local) and len(local) > 1:
                    for cause in local:
                        self.near(verdict, [cause])
            tried = set()
            while causes := [cause for cause in self.verdict.causes if not cause.drawings and named(cause) not in tried]:
                tried.add(named(causes[0]))
                self.one(self.verdict, causes[0])
            if self.action is begun or not self.verdict.causes:
                return

    def one(self, verdict, cause):
        """Mend one fault, with what follows from it."""
        if self._patience.left < 0:
            return
        if cause.rule == "opposition":
            self.oppose(cause)
        elif cause.drawings or cause.rule == "length":
            self.near(verdict, [cause])
        elif cause.rule == "spacing":
            self.close_up(verdict, cause)
        else:
            self.let_wait(verdict, cause)

    # ---- each kind -----------------------------------------------------------------------

    def near(self, verdict, causes):
        """Mend drawings out of place, those of several causes at once; True where that could be done."""
        stack, search = self._search(verdict, causes)
        found = search.fewest({d for cause in causes for d in _meant(cause, stack.count)})
        if found is not None:
            return self._put(stack, stack.placed(found.drawings, found.z))
        if any(cause.rule == "link-up" for cause in causes):
            return self._put(stack, whole.linked(search, _places(stack, causes)))
        return False

    def close_up(self, verdict, cause):
        """Mend gaps that are all alike; where nothing moves there is nothing to go by."""
        stack, search = self._search(verdict, [cause])
        if not spacing.still(stack.measures):
            self._put(stack, whole.closed_up(search, _places(stack, [cause])))

    def let_wait(self, verdict, cause):
        """Mend parts that turn with the one that carries them."""
        causes = [other for other in verdict.causes if (other.rule, other.limb) == (cause.rule, cause.limb)]
        stack, search = self._search(verdict, causes)
        parts = [stack.limb.joints.index(other.joint) - 1 for other in causes]
        self._put(stack, whole.later(search, _places(stack, causes), parts))

    def oppose(self, cause):
        """Mend two limbs that do not oppose each other."""
        stacks = [Stack(limb, self.action.exposures, self.action.loop, self.brief) for limb in self.action.limbs]
        at = [limb.name for limb in self.action.limbs].index(cause.limb)
        other = next(one for one, two in opposition.pairs([stack.measures for stack in stacks]) if two == at)
        search = Search(stacks[at], stacks[at].broken(stacks[at].z), patience=self._patience)
        found = whole.opposed(search, stacks[other].measures, self.brief)
        if found is not None and self._put(stacks[at], found[0]):
            self.later[cause.limb] = self.later.get(cause.limb, 0.0) + found[1]

    def _search(self, verdict, causes):
        """The stack of the causes' limb, and a search in which other faults may stay as they are."""
        name = causes[0].limb
        stack = Stack(self.action.limb(name), self.action.exposures, self.action.loop, self.brief)
        mine = [finding in causes or finding.follows is not None and verdict.findings[finding.follows] in causes
                for finding in verdict.findings]
        others = [finding for finding, is_mine in zip(verdict.findings, mine) if finding.limb == name and not is_mine]
        also = {d for finding in others if finding.follows is None and finding.drawings
                for d in _meant(finding, stack.count)}
        may_stay = np.zeros(len(stack.place), bool)
        may_stay[_places(stack, others)] = True
        may_stay |= np.isin(stack.at, sorted(also - {d for cause in causes for d in _meant(cause, stack.count)}))
        return stack, Search(stack, may_stay, sorted(also), self._patience)

    def _put(self, stack, z):
        if z is None or np.abs(points(z)).max() > LARGEST:      # off every sheet
            return False
        self.action = self.action.redrawn(*(points(z) if limb.name == stack.limb.name else limb.drawings
                                            for limb in self.action.limbs))
        return True


def named(cause):
    """What makes a fault the same fault before and after."""
    return cause.rule, cause.limb, cause.joint, frozenset(cause.drawings)


def _meant(cause, count):
    """The drawings, from 0, that a finding asks to be moved first."""
    if cause.rule == "opening":
        return [cause.drawings[-1] - 1]      # the one before, where that has gone too far
    return [number - 1 for number in cause.drawings] or list(range(count))


def _places(stack, findings):
    """Which flags of a stack findings are about."""
    found = []
    for finding in findings:
        # The joint where a part ends, or the part itself, or the pair of parts.
        joint = stack.limb.joints.index(finding.joint) - {"length": 1, "overlap": 2}.get(finding.rule, 0)
        whole_loop = not finding.drawings or finding.rule == "link-up"
        any_joint = finding.rule in ("drag", "link-up") or finding.rule == "spacing" and whole_loop
        for i, (rule, d, which) in enumerate(stack.place):
            here = whole_loop if d == WHOLE else d + 1 in finding.drawings or finding.rule == "length" and whole_loop
            if rule == finding.rule and here and (any_joint or which == joint):
                found.append(i)
    return found
