"""The check: actions put before all rules, one or many in one pass.

Loops of one shape are measured and judged together; sentences are made only for those in which a rule is broken.
"""

from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache
from itertools import islice

import numpy as np

from ..measures.loops import Measures
from ..model.words import capital
from ..rules import RULES
from ..rules.finding import RuleVerdict, Verdict
from ..rules.rule import LIMBS
from .brief import DEFAULT
from .causes import first_of, ordered
from .correction import Corrector
from .explained import Explained
from .flags import flagged, measured
from .in_step import in_step
from .sheet import off_sheet

TOGETHER = 256      # actions that are judged in one pass, so that a long row of files needs little memory
NOT_ASKED = RuleVerdict(True, False, "the brief does not ask for it")


def check(action, brief=DEFAULT, drawn=None, patience=None):
    """Judge an action by every rule that the brief names and that applies.

    Parameters
    ----------
    action : Action
    brief : Brief, optional
    drawn : dict of str to ndarray of bool, shape (drawings,), optional
        Of each limb, the drawings that are drawn. A finding about several drawings in a row then names no other.
    patience : Patience, optional
        For its corrections, where several checks share it.

    Returns
    -------
    Verdict
    """
    (verdict,) = _together([action], brief, drawn, patience)
    return verdict


def check_many(actions, brief=DEFAULT, advice=True):
    """Judge actions one after the other, as `check` does; those of one shape go through the rules together.

    Parameters
    ----------
    actions : iterable of Action
    brief : Brief, optional
    advice : bool
        Without it a Verdict has none: a row of a table has no room for it.

    Yields
    ------
    Verdict
        In the order of the actions.
    """
    actions: Iterable = iter(actions)
    while chunk := list(islice(actions, TOGETHER)):
        yield from _together(chunk, brief, advice=advice)


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


def _together(actions, brief, drawn=None, patience=None, advice=True):
    """A list of Verdicts."""
    shapes = {}
    for i, action in enumerate(actions):
        shapes.setdefault(_shape(action) if len(actions) > 1 else None, []).append(i)
    searches = [None] * len(actions)
    for places in shapes.values():
        for i, judged in zip(places, _of_one_shape([actions[i] for i in places], brief)):
            searches[i] = _verdict(actions[i], brief, drawn, patience, advice, *judged)
    return in_step(searches, brief)


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
        broken = np.array([of_rule.any for of_rule in flags.values()]).reshape(len(flags), len(actions))
        somewhere = broken.any(axis=0).tolist()
        of_each = []
        for i in range(len(actions)):
            here = {name for name, there in zip(flags, broken[:, i].tolist()) if there} if somewhere[i] else set()
            of_each.append((together.one(i), {name: of_rule.one(i) for name, of_rule in flags.items()} if here else {}, here))
        limbs.append(of_each)
    for of_action in zip(*limbs):
        yield tuple(list(column) for column in zip(*of_action))


def _verdict(action, brief, drawn, patience, advise, measures, flags, broken):
    """A search (`in_step`) for the Verdict."""
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
                if rule.advice is not None and (not unable or rule.advises_few):
                    advising.append((rule, limb, m))
                if name in here:
                    new += [finding.but(head=_named(finding.head, limb, action, ":"), called=finding.called or finding.head)
                            for finding in rule.findings(limb, m, brief)]
            if rule.unsure and not new and not why:
                why = next((_named(text, limb, action, ":") for limb, m, unable in zip(action.limbs, measures, reasons)
                            if not unable and (text := rule.unsure(limb, m))), "")
        rules[name] = _said(not new, why)
        found += new
    advice = _advice(action, brief, advising, found) if advise else ()
    unmet = [says for _, met, says in brief.asks(action) if not met]
    if brief.names_rules:
        # A brief that names its rules wants them judged: drawings that give one nothing to go by are no answer.
        unmet += [f"{name} cannot be judged yet: {rules[name].says}." for name in brief.rules if not rules[name].judged]
    listed = (yield from _listed(action, brief, measures, flags, found, patience)) if found else ()
    for name in {finding.rule for finding in listed if rules[finding.rule].passed}:
        rules[name] = replace(rules[name], passed=False)    # seen only with the other faults put right
    return Verdict(listed, rules, tuple(advice), tuple(unmet))


@lru_cache(maxsize=256)
def _said(kept, why):
    """A RuleVerdict; `why` tells why it cannot judge."""
    return RuleVerdict(kept, not why, why)


def _advice(action, brief, advising, found):
    """What is worth knowing: of the rules, each of a limb that it can judge, and whether all of it is on the sheet."""
    advice = []
    for rule, limb, m in advising:
        at_fault = {number for finding in found if finding.limb == limb.name for number in finding.drawings}
        advice += [_named(text, limb, action, ",") for text in rule.advice(limb, m, brief, at_fault)]
    for limb in action.limbs:
        advice += [_named(text, limb, action, ",") for text in off_sheet(limb, action.paper)]
    return advice


def _listed(action, brief, measures, flags, found, patience):
    """The findings in reading order, each with what would correct it."""
    limbs = {limb.name: limb for limb in action.limbs}
    corrector = Corrector(action, brief, measures, flags, patience)
    found = [finding.but(corrector=corrector) for finding in found]
    groups = []
    if action.loop and measures[0].enough:
        for limb, m, of_limb in zip(action.limbs, measures, flags):
            if m.drawn is not True:
                continue    # what is only expected bends to what is drawn, and would explain anything
            of_limb_found = [finding for finding in found if finding.limb == limb.name]
            groups += yield from _explained(limb, m, of_limb, brief, of_limb_found, action, corrector)
    listed = ordered(found, limbs, dict(zip(limbs, measures)), action.loop, groups)
    corrector.findings = listed
    return listed


def _explained(limb, m, flags, brief, found, action, corrector):
    """Groups of findings, of each its cause first: of each drawing that explains what is broken round it, what the rules say of
    it with the others put right."""
    local = [finding for finding in found if finding.drawings]
    if not local or any(not finding.drawings for finding in found):
        return []       # what breaks the action as a whole explains the rest
    explained, groups = Explained(limb, m, flags, brief), []
    sets = yield from explained.sets()
    seam = {0, 1, m.count - 2, m.count - 1}
    away = sorted({d for chosen, _ in sets for d in chosen} - seam)
    if (yield from explained.jumps(away)):
        sets = [([d for d in chosen if d not in seam], [d for d in cluster if d not in seam]) for chosen, cluster in sets]
    every = sorted({d for chosen, _ in sets for d in chosen})
    for chosen, cluster in sets:
        about = [finding for finding in local if not {d for d, _ in finding.cells if d >= 0}.isdisjoint(cluster)
                 or RULES[finding.rule].about == "seam" and not {number - 1 for number in finding.drawings}.isdisjoint(cluster)]
        if any(finding.one_run or len(finding.moves) > 1 and set(finding.moves) == {d + 1 for d in chosen} for finding in about):
            continue    # one run of drawings is one fault
        if not chosen:
            continue    # all of it is the seam's
        causes = []
        for said, alone in (yield from explained.alone(chosen, every, local)):
            if not said:
                break
            cause = first_of(said, limb, alone)
            same = next((finding for finding in local if finding.named == cause.named), None)
            causes.append(same or cause.but(head=_named(cause.head, limb, action, ":"), called=cause.called or cause.head,
                                           corrector=corrector))
        else:
            under = {d: [] for d in chosen}
            for finding in about:
                if not any(finding is cause for cause in causes):
                    d = min(chosen, key=lambda d: min(_apart(number - 1, d, m.count) for number in finding.drawings))
                    under[d].append(finding)
            groups += [[cause, *under[d]] for cause, d in zip(causes, chosen)]
    return groups


def _apart(one, other, count):
    gap = abs(one - other)
    return min(gap, count - gap)


def _named(sentence, limb, action, mark):
    """The sentence with the limb's name before it, where there are several: "Near arm: the elbow locks at 3."""
    if len(action.limbs) == 1:
        return sentence
    return f"{capital(limb.name)}{mark} {sentence[:1].lower()}{sentence[1:]}"
