"""Passes, as the trade draws a limb: first the elbow through the whole loop, for it pulls; then the forearm, then the hand.

`Progress` tells what is drawn and what is expected of the rest; it is worked out once for each answer.
"""

from functools import cached_property
from typing import NamedTuple

import numpy as np

from ..judging.brief import WAYS
from ..model.words import capital, layer_name
from .limb_passes import SAME, LimbProgress, Short, lies_right

UNTOUCHED = 0.25    # of the drawings: with more of a part as given it was not drawn through


class Layer(NamedTuple):
    """One joint through the drawings: what the goal line shows.

    Attributes
    ----------
    limb, joint, name, says : str
        `name` as the goal line calls it, `says` what the brief asks of it.
    drawings : tuple of int
        That are asked for, from 1; those that may stay as given are not, so that nothing counts that nobody drew.
    drawn : tuple of int
        Those of them that are drawn by hand, or lie right and were passed by: while one draws it only grows.
    begun : bool
        True where one of them was drawn by hand.
    all_through : bool
        True where the whole stack is drawn, and not only drawings that the brief names.
    goes : tuple of float
        How far its part has still to turn on each of them, degrees counter-clockwise; 0 where it lies right or nothing is known.
    right : tuple of int
        Those of them that are not drawn and lie right as they are.
    short : Short or None
        Where it is drawn through, swings too little, and others are still to be drawn: it is not done. When all is drawn the
        rules alone decide.
    """

    limb: str
    joint: str
    name: str
    says: str
    drawings: tuple
    drawn: tuple
    begun: bool
    all_through: bool
    goes: tuple
    right: tuple
    short: Short | None = None

    @property
    def done(self):
        return len(self.drawn) == len(self.drawings) and self.short is None


class Progress:
    """What is drawn of an action, and what is expected of the rest.

    Parameters
    ----------
    action : Action
    start : Action or None
        The drawings as given; where nothing is known of them, everything counts as drawn.
    handed_in : bool
        True where nobody draws on: what was traced and hardly turns is then not drawn, at whatever angle it lies.
    brief : Brief, optional
        When its passes turn, if it says so.
    stays : iterable of (str, str, int)
        Limb, joint and drawing, from 1, that were looked at and left as they lie: they count as drawn.
    """

    def __init__(self, action, start=None, handed_in=False, brief=None, stays=()):
        self.action, self.start = action, start
        self._asked = {"handed_in": handed_in, "brief": brief, "stays": stays}
        given = {} if start is None else {limb.name: limb for limb in start.limbs}
        asked = brief.passes if brief else ()
        self.limbs = {limb.name: LimbProgress(limb, given.get(limb.name), action.loop, handed_in, {
            one.joint: one.turns for one in asked if one.turns and one.limb in ("", limb.name)}, [
            (joint, number) for name, joint, number in stays if name == limb.name]) for limb in action.limbs}

    @cached_property
    def as_given(self):
        """True where nothing has been drawn yet."""
        return self.start is not None and self.action.drawn_as(self.start)

    @cached_property
    def untouched(self):
        """The first joint of which more than a quarter is still as given: (limb, joint), or None. Rules alone may
        pass a part that was never drawn, for one that stands still breaks few of them."""
        for limb in self.limbs.values():
            if limb.missing.any():
                for k in np.flatnonzero(limb.missing.sum(axis=0) > UNTOUCHED * self.action.count):
                    return limb.name, limb.joints[k + 1]
        return None

    @cached_property
    def undrawn(self):
        """The joints that are not drawn through yet, [[limb, joint], ...] in the order of the passes."""
        return [[limb.name, limb.joints[k + 1]] for limb in self.limbs.values() if limb.missing.any()
                for k in np.flatnonzero(limb.missing.any(axis=0))]

    @cached_property
    def short(self):
        """The parts that are drawn through and swing too little, by limb, a list of Short of each."""
        return {name: [short for k in np.flatnonzero(of.traced) if (short := of.short(k))] for name, of in self.limbs.items()}

    def drawn_of(self, limb, joint):
        """How many drawings of a joint are drawn, and of how many asked for: "5 of 16 drawn", as the goal line counts them."""
        of = self.limbs[limb]
        asked, drawn = of.asked(of.joints.index(joint) - 1, WAYS[0])
        return f"{int(drawn.sum())} of {int(asked.sum())} drawn"

    def begun(self):
        """Where some parts are drawn and others are still as given: each limb as far as the outermost part begun.

        Returns
        -------
        Action or None
            With what is not drawn yet as expected. None where nothing is drawn yet, or everything.
        dict of str to ndarray of bool, shape (drawings,)
            Of each limb in it, the drawings whose outermost part is drawn.
        """
        missing = [limb.missing for limb in self.limbs.values()]
        if not any(parts.any() for parts in missing) or all(parts.all() for parts in missing):
            return None, {}
        cut, known = [], {}
        for limb in self.limbs.values():
            drawn = np.flatnonzero(~limb.missing.all(axis=0))
            if len(drawn):
                cut.append(limb.cut(drawn[-1] + 1))
                known[limb.name] = ~limb.missing[:, drawn[-1]]
        return self.action.replace(limbs=tuple(cut)), known

    def but_traced(self, limb, joint, number):
        """The same where a joint of one drawing, from 1, and what hangs on it lie as given: shifted and traced."""
        drawings = [one.drawings.copy() for one in self.action.limbs]
        for one, points in zip(self.action.limbs, drawings):
            if one.name == limb:
                k, given = one.joints.index(joint), self.start.limb(limb).drawings[number - 1]
                points[number - 1, k:] = given[k:] + points[number - 1, k - 1] - given[k - 1]
        return Progress(self.action.redrawn(*drawings), self.start, **self._asked)

    def layer(self, limb, joint, apart=None):
        """One limb as far as one joint, with what is not drawn yet as expected.

        Parameters
        ----------
        limb, joint : str
        apart : int, optional
            A drawing, from 1, that stays as it is and by which the plan shall not be bent.

        Returns
        -------
        Action
        """
        of = self.limbs[limb]
        return self.action.replace(limbs=(of.cut(of.joints.index(joint), apart),))

    def layers(self, brief, way=None):
        """The joints to be drawn, each through the drawings, in the order of the passes.

        Parameters
        ----------
        brief : Brief
            Its `passes`, where it has any.
        way : str, optional
            Of brief.WAYS; the brief's unless given.

        Returns
        -------
        list of Layer
        """
        asked = [(one.limb or self._limb_with(one.joint), one) for one in brief.passes]
        asked = [(limb, one) for limb, one in asked if limb in self.limbs and one.joint in self.limbs[limb].joints]
        traced = [(limb.name, limb.joints[k + 1]) for limb in self.limbs.values() for k in np.flatnonzero(limb.traced)]
        told = {(limb, one.joint): one for limb, one in asked}
        many = len({limb for limb, _ in traced}) > 1
        layers = []
        for limb, joint in [*dict.fromkeys([*told, *traced])]:
            one = told.get((limb, joint))
            drawings = tuple(n for n in (one.drawings if one else ()) if n <= self.action.count)
            if not drawings and (limb, joint) not in traced:
                continue
            name = one.name if one and one.name else layer_name(joint)
            name = f"{capital(limb)}: {name[:1].lower()}{name[1:]}" if many and not (one and one.name) else name
            whole, of = not drawings, self.limbs[limb]
            k = of.joints.index(joint) - 1
            if drawings:
                moved = self._moved(limb, joint)
            else:
                asked, moved = of.asked(k, way or brief.way)
                drawings = tuple((np.flatnonzero(asked) + 1).tolist())
            drawn = tuple(n for n in drawings if moved[n - 1])
            short = of.short(k) if whole and self.undrawn else None
            goes, right = (of.goes(k, short), of.lies_right(k)) if whole else ([0.0] * self.action.count, [False] * self.action.count)
            layers.append(Layer(limb, joint, name, one.says if one else "", drawings, drawn, any(moved[n - 1] for n in drawings), whole,
                                tuple(float(goes[n - 1]) for n in drawings), tuple(n for n in drawings if right[n - 1]),
                                short))
        return layers

    def _limb_with(self, joint):
        return next((limb.name for limb in self.limbs.values() if joint in limb.joints), "")

    def _moved(self, limb, joint):
        """True for each drawing in which a joint lies elsewhere than as given."""
        of = self.limbs[limb]
        if of.start is None or of.start.drawings.shape != of.limb.drawings.shape:
            return np.ones(self.action.count, bool)
        j = of.joints.index(joint)
        return np.hypot(*(of.limb.drawings[:, j] - of.start.drawings[:, j]).T) > SAME

    def next_place(self, way=WAYS[0]):
        """What to draw next: the innermost joint not drawn through, and on which drawing.

        Parameters
        ----------
        way : str
            Of brief.WAYS: one drawing after the other, or first the extremes, then the breakdowns half way between
            them, then the inbetweens.

        Returns
        -------
        tuple of (str, str, int, str) or None
            Limb, joint, drawing, and what it is: "extreme", "breakdown", "inbetween", or "" straight ahead.
            None where all is drawn.
        """
        for limb in self.limbs.values():
            for k in np.flatnonzero(limb.missing.any(axis=0)):
                number, name = limb.next_of(k, way)
                return limb.name, limb.joints[k + 1], number, name
        return None

    def may_stay(self, place):
        """The drawings right before one of `next_place`, straight ahead, that are as given and lie where expected, from 1."""
        limb, joint, number, pose_name = place
        if pose_name:
            return []
        of = self.limbs[limb]
        k = of.joints.index(joint) - 1
        passed = np.flatnonzero(~(of.missing[:, k] & lies_right(*of.course(k)))[:number - 1])
        return list(range((passed[-1] + 2) if len(passed) else 1, number))
