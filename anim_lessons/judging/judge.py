"""The rules, in teaching order, and the check that puts an action before all of them.

A rule is one module: its docstring says what it asks, why, and where it comes
from; `judged` says why it cannot judge, `broken` marks where it is broken for any
number of loops at once, `findings` puts that into an instructor's sentences.
"""

from dataclasses import replace

import numpy as np

from ..measures.loops import Measures
from ..model.words import capital
from ..rules import RULES, hold, opposition, spacing
from ..rules.finding import RuleVerdict, Verdict
from .brief import DEFAULT
from .causes import ordered
from .ghost import with_ghost


def measure(action):
    """One Measures a limb."""
    exposures = action.exposures.tolist()
    return [Measures(limb.drawings, limb.lengths, limb.stops, exposures, action.loop, limb.joints)
            for limb in action.limbs]


def check(action, brief=DEFAULT, drawn=None):
    """Judge an action by every rule that the brief names and that applies.

    Parameters
    ----------
    action : Action
    brief : Brief, optional
    drawn : dict of str to ndarray of bool, shape (drawings,), optional
        Of each limb, the drawings that are drawn. A finding about several drawings in a row then names no other.

    Returns
    -------
    Verdict
    """
    measures = measure(action)
    for limb, m in zip(action.limbs, measures):
        m.drawn = True if drawn is None else drawn[limb.name]
    found, advice, rules = [], [], {}
    for name, rule in RULES.items():
        if name not in brief.rules:
            rules[name] = RuleVerdict(True, False, "the brief does not ask for it")
            continue
        if rule is opposition:
            why = opposition.judged(measures)
            new = [] if why else opposition.findings(action.limbs, measures, brief)
        else:
            reasons = [rule.judged(m) for m in measures]
            why, new = ("" if "" in reasons else reasons[0]), []
            for limb, m, unable in zip(action.limbs, measures, reasons):
                if unable:
                    continue
                if rule is hold:
                    at_fault = {number for finding in found if finding.limb == limb.name for number in finding.drawings}
                    advice += [_named(text, limb, action, ",") for text in hold.advice(limb, m, brief, at_fault)]
                else:
                    new += [replace(finding, head=_named(finding.head, limb, action, ":"))
                            for finding in rule.findings(limb, m, brief)]
        rules[name] = RuleVerdict(not new, not why, why)
        found += new
    unmet = [says for _, met, says in brief.asks(action) if not met]
    if brief.rules != DEFAULT.rules:
        # A brief that names its rules wants them judged: drawings that give one nothing to go by are no answer.
        unmet += [f"{name} cannot be judged yet: {rules[name].says}." for name in brief.rules if not rules[name].judged]
    unmet = tuple(unmet)
    if not found:
        return Verdict((), rules, tuple(advice), unmet)
    limbs = {limb.name: limb for limb in action.limbs}
    by_limb = dict(zip(limbs, measures))
    listed = ordered(found, limbs, by_limb, action.loop)
    listed = tuple(with_ghost(finding, by_limb[finding.limb], limbs[finding.limb], brief) for finding in listed)
    return Verdict(listed, rules, tuple(advice), unmet)


def _named(sentence, limb, action, mark):
    """The sentence with the limb's name before it, where there are several: "Near arm: the elbow locks at 3."""
    if len(action.limbs) == 1:
        return sentence
    return f"{capital(limb.name)}{mark} {sentence[:1].lower()}{sentence[1:]}"


def kept(points, lengths, stops, brief=DEFAULT, exposures=None, loop=True):
    """Which loops keep which rules: many loops of one limb in one pass, no sentences.

    Parameters
    ----------
    points : ndarray, shape (..., drawings, joints, 2)
        mm.
    lengths, stops : ndarrays, shapes (segments,), (segments, 2)

    Returns
    -------
    dict of str to ndarray of bool, shape (...)
        True where the rule is kept, or cannot be judged. Opposition needs two
        limbs and hold never fails, so neither is here.
    """
    m = Measures(points, lengths, stops, exposures, loop)
    return {name: ~flags.any(axis=-1) for name, flags in flagged(m, brief).items()}


def flagged(m, brief=DEFAULT):
    """Where each rule is broken, for one limb in any number of loops.

    Returns
    -------
    dict of str to ndarray of bool, shape (..., places)
        A place is a drawing and joint or segment, or the whole loop, whatever the rule looks at; none
        is True where the rule cannot judge. Opposition needs two limbs and hold never fails, so
        neither is here.
    """
    front = m.z.shape[:-2]
    result = {}
    for name, rule in RULES.items():
        if rule in (hold, opposition) or name not in brief.rules:
            continue
        if rule.judged(m):
            result[name] = np.zeros((*front, 1), bool)
            continue
        flags = rule.broken(m, brief).reshape(*front, -1)
        if rule is spacing:
            flags = np.concatenate([flags, spacing.even(m, brief)[..., None]], axis=-1)
        result[name] = flags
    return result
