"""Searches that go in step: what several of them ask of loops of one make is measured and judged in one pass.

A search is a generator. It yields an Asked, is sent what was found of it, and returns its answer in the end. By itself a search
makes many small passes over the rules; a class of them makes as few as one.
"""

from typing import NamedTuple

import numpy as np

from ..geometry.angles import as_points
from ..measures.loops import Measures
from ..rules import RULES
from .filled import filled
from .flags import flagged

AT_ONCE = 30_000    # joints in one pass, so that many searches need little memory
BROKEN, OUTLIERS, AROUND, WHOLE = "broken", "outliers", "around", "whole"


class Asked(NamedTuple):
    """Loops of one limb of which a search wants to know something.

    Attributes
    ----------
    of : filled.Loop
    loops : ndarray
        The loops, complex mm, (loops, drawings, joints); or the drawings that are put where their neighbours have them, from 0,
        int (loops, size).
    what : str
        BROKEN: where something is broken at some drawings or at the seam, bool (loops, drawings), and `Measures.outlier`;
        OUTLIERS: that alone; AROUND and WHOLE: of each loop its Measures and its `flagged`, of the drawings and the seam or
        of all rules.
    """

    of: object
    loops: np.ndarray
    what: str

    @property
    def make(self):
        """What loops must have alike to go through the rules together."""
        return self.what, self.loops.shape[1:], self.of.make

    @property
    def joints(self):
        """How many are judged."""
        return len(self.loops) * self.of.z.size


def in_step(searches, brief):
    """The answers of some searches, a list in their order.

    Parameters
    ----------
    searches : iterable of generator
        Each yields Asked.
    brief : Brief
        By which what they ask is judged.
    """
    searches = list(searches)
    answers, asked, sent = [None] * len(searches), {}, dict.fromkeys(range(len(searches)))
    while sent:
        for i, found in sent.items():
            try:
                asked[i] = searches[i].send(found)
            except StopIteration as stop:
                answers[i] = stop.value
        sent = _found(asked, brief)
        asked = {}
    return answers


def _found(asked, brief):
    """What is found of each Asked, by the same key."""
    makes = {}
    for i, one in asked.items():
        makes.setdefault(one.make, []).append(i)
    found = {}
    for places in makes.values():
        some, joints = [], 0
        for i in places:
            if some and joints + asked[i].joints > AT_ONCE:
                found.update(zip(some, _of_one_make([asked[k] for k in some], brief)))
                some, joints = [], 0
            some.append(i)
            joints += asked[i].joints
        found.update(zip(some, _of_one_make([asked[k] for k in some], brief)))
    return found


def _of_one_make(asked, brief):
    first, ends = asked[0], np.cumsum([len(one.loops) for one in asked]).tolist()
    if first.loops.ndim == 2:
        z = filled([one.of for one in asked], [one.loops for one in asked])
    else:
        z = np.concatenate([one.loops for one in asked])
    limb = first.of.limb
    m = Measures(as_points(z), limb.lengths, limb.stops, first.of.exposures, True, limb.joints)
    parts = [slice(begin, end) for begin, end in zip([0, *ends], ends)]
    if first.what == OUTLIERS:
        return [m.outlier[part] for part in parts]
    flags = flagged(m, brief, around=first.what != WHOLE)
    if first.what == BROKEN:
        broken = somewhere(flags, m.count, len(z))
        return [(broken[part], m.outlier[part]) for part in parts]
    each = [(m.one(i), {name: of_rule.one(i) for name, of_rule in flags.items()}) for i in range(len(z))]
    return [each[part] for part in parts]


def somewhere(flags, count, *loops):
    """Where something is broken, bool (..., drawings); what is broken at the seam is so at the first drawing."""
    broken = np.zeros((*loops, count), bool)
    for of_rule in flags.values():
        if of_rule.local is not None:
            broken |= of_rule.local.any(axis=-1)
    broken[..., 0] |= at_the_seam(flags)
    return broken


def at_the_seam(flags):
    """True where a rule about the seam is broken, (...)."""
    broken = np.False_
    for name, of_rule in flags.items():
        if RULES[name].about == "seam" and of_rule.whole is not None:
            broken = broken | of_rule.whole.any(axis=-1)
    return broken
