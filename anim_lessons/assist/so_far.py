"""The verdict on drawings that are only begun, and what to draw next.

Where parts are still as given, the rest goes on as expected, and only what is drawn is found fault with.
"""

from dataclasses import dataclass, replace

import numpy as np

from ..judging.brief import DEFAULT
from ..judging.correction import Correction
from ..judging.judge import check
from ..judging.wording import redrawn_all
from ..model.words import capital, plural, run, shown, the, verb
from ..rules import RULES
from ..rules.finding import RuleVerdict, Verdict
from ..rules.rule import LIMBS

LATER = RuleVerdict(True, False, "it is told when something is drawn")
WHOLE_LATER = RuleVerdict(True, False, "it is told when the whole is drawn")


@dataclass(frozen=True)
class SoFar:
    """What is said of drawings under work.

    Attributes
    ----------
    verdict : Verdict
        On what is drawn; a correction in it moves the joints drawn so far.
    onward : str
        What is drawn next, without its capital; empty where all is drawn, or nothing is known of what was given.
    action : Action
        That was judged: where parts are missing, each limb as far as the outermost part begun.
    brief : Brief
        By which it was judged.
    known : dict of str to ndarray of bool, shape (drawings,)
        Of each limb the drawings that are drawn; empty where all are.
    """

    verdict: Verdict
    onward: str
    action: object
    brief: object
    known: dict


def judged_so_far(progress, brief=DEFAULT, way=None):
    """The verdict on what is drawn.

    Parameters
    ----------
    progress : Progress
    brief : Brief, optional
    way : str, optional
        Of brief.WAYS, in which order what is missing is asked for; the brief's unless given.

    Returns
    -------
    SoFar
    """
    action = progress.action
    if not progress.undrawn:
        asked = {one.joint for one in brief.passes}
        return SoFar(_led_out(check(action, brief), progress, lambda short: short.heap and short.joint in asked), "", action, brief, {})
    if progress.untouched is None:
        verdict = check(action, brief)
        if verdict.passed:
            return SoFar(verdict, "", action, brief, {})
    place = progress.next_place(way or brief.way)
    onward = _asks_for(place, progress.may_stay(place), action, brief)
    if progress.as_given:
        return SoFar(Verdict((), dict.fromkeys(RULES, LATER), (), ("Nothing is drawn yet.",)), onward, action, brief, {})
    begun, known = progress.begun()
    if begun is None:
        return SoFar(check(action, brief), "", action, brief, {})
    asked = brief_so_far(brief, begun, action)
    verdict = check(begun, asked, known)
    begun, verdict = _by_those_before(progress, begun, asked, known, verdict) or (begun, verdict)
    return SoFar(_of_what_is_drawn(verdict, brief, asked, known, progress, place), onward, begun, asked, known)


def _by_those_before(progress, begun, asked, known, verdict):
    """Where one draws straight ahead and no fault was there up to the drawing before: what is expected by those before, with
    the last one on it, and the verdict on that. Else the last one bends what is expected of the rest: the good one before it
    stands out, or a correction passes that does not when it is laid. Its correction is where it is expected.

    Returns
    -------
    (Action, Verdict) or None
        None where a fault was there before, or the last drawing is not what stands out.
    """
    faults = _drawn(verdict, known)
    if not faults:
        return None
    name, number = faults[0].limb, int(known[faults[0].limb].sum())
    if not known[name][:number].all() or known[name].all():
        return None
    laid, still = progress.but_traced(name, begun.limb(name).joints[-1], number).begun()
    if laid is None or [limb.joints for limb in laid.limbs] != [limb.joints for limb in begun.limbs]:
        return None
    if _drawn(check(laid, asked, still), still) or _drawn(check(laid, asked, known), known):
        return None
    last = [limb.drawings.copy() for limb in laid.limbs]
    for limb, points in zip(begun.limbs, last):
        points[number - 1] = limb.drawings[number - 1]
    told = laid.redrawn(*last)
    verdict = check(told, asked, known)
    at = next((i for i, one in enumerate(verdict.findings) if one.follows is None and one.drawings == (number,)), None)
    if at is None or _drawn(verdict, known)[0] is not verdict.findings[at]:
        return None
    poses = {number: laid.limb(name).drawings[number - 1]}
    says = redrawn_all(told.limb(name), told.loop, poses, (number,))
    findings = list(verdict.findings)
    findings[at] = findings[at].but(corrector=lambda _: Correction(name, poses, says, True))
    return told, replace(verdict, findings=tuple(findings))


def _drawn(verdict, known):
    """The causes that name a drawing that is drawn."""
    return [cause for cause in verdict.causes if any(known[cause.limb][n - 1] for n in cause.drawings)]


def _of_what_is_drawn(verdict, brief, asked, known, progress, place):
    kept = [finding for finding in verdict.findings
            if any(known[finding.limb][n - 1] for n in finding.drawings) or not finding.drawings and known[finding.limb].all()]
    places = {id(finding): i for i, finding in enumerate(kept)}
    listed = tuple(finding if finding.follows is None else
                   replace(finding, follows=places.get(id(verdict.findings[finding.follows]))) for finding in kept)
    broken = {finding.rule for finding in listed}
    later = set(brief.rules) - set(asked.rules)
    rules = {name: WHOLE_LATER if name in later else rule if rule.passed == (name not in broken) else
             replace(rule, passed=name not in broken) for name, rule in verdict.rules.items()}
    limb, joint, *_ = place
    of = f"{limb}, " if len(progress.action.limbs) > 1 else ""
    unmet = (f"{of}{shown(joint)}: {progress.drawn_of(limb, joint)} so far.",)
    return _led_out(Verdict(listed, rules, (), unmet), progress)


def _led_out(verdict, progress, led=lambda short: True):
    """The verdict where a part swings too little: of a limb at fault that is its first cause, and the rest follows. A correction
    by the neighbours would lay the one good drawing on the heap of the others."""
    for name, shorts in progress.short.items():
        short = next(filter(led, shorts), None)
        places = [i for i, finding in enumerate(verdict.findings) if finding.limb == name]
        if short is None or not places:
            continue
        first, *_ = places
        cause = verdict.findings[first].but(
            joint=short.joint, drawings=(short.drawing,), head=f"{capital(the(short.joint))} {verb(short.joint, 'swings', 'swing')} too little.",
            called="", amount=short.says(verb(short.joint, 'it', 'they')), then="", moves=(),
            begin=f"Swing {verb(short.joint, 'it', 'them')} farther there first.", follows=None, corrector=_untried)
        findings = [finding.but(follows=first) if i in places else finding for i, finding in enumerate(verdict.findings)]
        findings[first] = cause
        verdict = replace(verdict, findings=tuple(findings))
    return verdict


def _untried(_):
    """No single drawing would mend it."""


def brief_so_far(brief, begun, action):
    """The brief for drawings that are only begun: how two limbs go together is seen when both are drawn, and how
    the last part trails when it is the last that is drawn."""
    whole = {limb.name: len(limb.joints) for limb in action.limbs}
    cut = any(len(limb.joints) < whole[limb.name] for limb in begun.limbs)
    return replace(brief, rules=tuple(name for name in brief.rules if RULES[name].scope != LIMBS
                                      and not (cut and RULES[name].of_last_part)))


def extended(number, points, limb):
    """A pose of the first joints of a drawing (from 1) with what hangs below shifted and traced along, (joints, 2), mm."""
    drawn = limb.drawings[number - 1]
    return np.concatenate([points, drawn[len(points):] + points[-1] - drawn[len(points) - 1]])


def _asks_for(place, stay, action, brief):
    """A sentence, without its capital, that asks for a place of `passes.next_place`; the drawings passed by may stay."""
    limb, joint, number, pose = place
    of = f" of the {limb}" if len(action.limbs) > 1 else ""
    named = f", {'a' if pose == 'breakdown' else 'an'} {pose}" if pose else ""
    they = "they" if plural(joint) else "it"
    hint = {"sector": f" Press W to see where {they} may go.", "all": f" Press W to see where {they} may go, and why."}
    passed = f" ({run(stay)} may stay)" if stay else ""
    on = f"drawing {number}" if joint[-1:].isdigit() else number    # else the numbers of joint and drawing would run together
    return f"place {the(joint)}{of} on {on}{named}{passed}.{hint.get(brief.guide, '')}"
