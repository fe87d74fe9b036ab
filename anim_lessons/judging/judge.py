"""The check: actions put before all rules, one or many in one pass.

Loops of one shape are measured and judged together; sentences are made only for those in which a rule is broken.
"""

from collections.abc import Iterable
from dataclasses import replace
from itertools import islice

import numpy as np

from ..measures.loops import Measures
from ..model.words import capital
from ..rules import RULES
from ..rules.finding import RuleVerdict, Verdict
from ..rules.rule import LIMBS
from .brief import DEFAULT
from .causes import ordered
from .correction import Corrector
from .flags import flagged, measured
from .sheet import off_sheet

TOGETHER = 256      # actions that are judged in one pass, so that a long row of files needs little memory
NOT_ASKED = RuleVerdict(True, False, "the brief does not ask for it")


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
    (verdict,) = _together([action], brief, drawn)
    return verdict


def check_many(actions, brief=DEFAULT):
    """Judge actions one after the other, as `check` does; those of one shape go through the rules together.

    Parameters
    ----------
    actions : iterable of Action
    brief : Brief, optional

    Yields
    ------
    Verdict
        In the order of the actions.
    """
    actions: Iterable = iter(actions)
    while chunk := list(islice(actions, TOGETHER)):
        yield from _together(chunk, brief)


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
        True where the rule is kept, or cannot be judged. Rules about two limbs, and those that only give advice, are not
        in it.
    """
    m = Measures(points, lengths, stops, exposures, loop)
    return {name: ~flags.any for name, flags in flagged(m, brief).items()}


def _together(actions, brief, drawn=None):
    """A list of Verdicts."""
    shapes = {}
    for i, action in enumerate(actions):
        shapes.setdefault(_shape(action), []).append(i)
    verdicts = [None] * len(actions)
    for places in shapes.values():
        for i, judged in zip(places, _of_one_shape([actions[i] for i in places], brief)):
            verdicts[i] = _verdict(actions[i], brief, drawn, *judged)
    return verdicts


def _shape(action):
    """What actions must have alike to be measured together."""
    limbs = tuple((limb.joints, limb.drawings.shape, limb.lengths.tobytes(), limb.stops.tobytes()) for limb in action.limbs)
    return limbs, action.exposures.tobytes(), action.loop


def _of_one_shape(actions, brief):
    """Of each action its Measures, where each rule is broken, and the names of the rules broken, each a list by limb."""
    limbs = []
    for k, limb in enumerate(actions[0].limbs):
        if len(actions) == 1:
            m = measured(actions[0], limb)
            flags = flagged(m, brief)
            limbs.append([(m, flags, {name for name, of_rule in flags.items() if of_rule.any})])
            continue
        together = measured(actions[0], limb, np.array([action.limbs[k].drawings for action in actions]))
        flags = flagged(together, brief)
        broken = {name: of_rule.any for name, of_rule in flags.items()}
        of_each = []
        for i in range(len(actions)):
            here = {name for name, of_rule in broken.items() if of_rule[i]}
            of_each.append((together.one(i), {name: of_rule.one(i) for name, of_rule in flags.items()} if here else {}, here))
        limbs.append(of_each)
    for of_action in zip(*limbs):
        yield tuple(list(column) for column in zip(*of_action))


def _verdict(action, brief, drawn, measures, flags, broken):
    for limb, m in zip(action.limbs, measures):
        m.drawn = True if drawn is None else drawn[limb.name]
    found, advising, rules = [], [], {}
    for name, rule in RULES.items():
        if name not in brief.rules:
            rules[name] = NOT_ASKED
            continue
        new = []
        if rule.scope == LIMBS:
            why = rule.judged(measures)
            new = [] if why else rule.findings(action.limbs, measures, brief)
        else:
            reasons = [rule.judged(m) for m in measures]
            why = "" if "" in reasons else reasons[0]
            for limb, m, unable, here in zip(action.limbs, measures, reasons, broken):
                if rule.advice is not None and not unable:
                    advising.append((rule, limb, m))
                if name in here:
                    new += [replace(finding, head=_named(finding.head, limb, action, ":"))
                            for finding in rule.findings(limb, m, brief)]
        rules[name] = RuleVerdict(not new, not why, why)
        found += new
    advice = _advice(action, brief, advising, found)
    unmet = [says for _, met, says in brief.asks(action) if not met]
    if brief.names_rules:
        # A brief that names its rules wants them judged: drawings that give one nothing to go by are no answer.
        unmet += [f"{name} cannot be judged yet: {rules[name].says}." for name in brief.rules if not rules[name].judged]
    return Verdict(_listed(action, brief, measures, flags, found), rules, tuple(advice), tuple(unmet))


def _advice(action, brief, advising, found):
    """What is worth knowing: of the rules, each of a limb that it can judge, and whether all of it is on the sheet."""
    advice = []
    for rule, limb, m in advising:
        at_fault = {number for finding in found if finding.limb == limb.name for number in finding.drawings}
        advice += [_named(text, limb, action, ",") for text in rule.advice(limb, m, brief, at_fault)]
    for limb in action.limbs:
        advice += [_named(text, limb, action, ",") for text in off_sheet(limb, action.paper)]
    return advice


def _listed(action, brief, measures, flags, found):
    """The findings in reading order, each with what would correct it."""
    if not found:
        return ()
    limbs = {limb.name: limb for limb in action.limbs}
    corrector = Corrector(action, brief, measures, flags)
    listed = ordered([replace(finding, corrector=corrector) for finding in found], limbs, dict(zip(limbs, measures)), action.loop)
    corrector.findings = listed
    return listed


def _named(sentence, limb, action, mark):
    """The sentence with the limb's name before it, where there are several: "Near arm: the elbow locks at 3."""
    if len(action.limbs) == 1:
        return sentence
    return f"{capital(limb.name)}{mark} {sentence[:1].lower()}{sentence[1:]}"
