"""What the page shows of the guide, and of a verdict on drawings that are only begun.

Pure functions from an action to the dicts of the page, as in `desk`.
"""

import math
from dataclasses import replace

import numpy as np

from ..assist.guide import guide
from ..assist.mend import mend
from ..assist.passes import begun, layer, may_stay, next_place, not_drawn, untouched
from ..judging.brief import DEFAULT
from ..judging.judge import check, measure
from ..model.action import ActionError
from ..model.words import capital, part, plural, run, the
from ..rules.finding import RuleVerdict, Verdict


def guided(action, revision, number, asked, brief=DEFAULT, start=None):
    """Where the asked joint may go on one drawing.

    Parameters
    ----------
    action : Action
    revision : int
        Of the pose it is told of.
    number : int
        The drawing, from 1.
    asked : dict or None
        "limb" and "joint"; nothing is asked where it is None.
    brief : Brief
        `brief.guide` says how much is shown.
    start : Action, optional
        The drawings as given: what is still like them is not drawn yet.

    Returns
    -------
    dict
        Empty where nothing is asked; without a circle ("centre") where there are only words.
    """
    if not isinstance(asked, dict):
        return {}
    words = {"revision": revision, "drawing": number, "limb": asked.get("limb"), "joint": asked.get("joint")}
    if brief.guide == "nothing":
        return {**words, "says": "This one is drawn without the guide. Look at the path of action, flip, and judge by eye."}
    try:
        limb = action.limb(str(asked.get("limb")))
        joint = str(asked.get("joint"))
        missing = not_drawn(action, limb.name, start)
        if joint in limb.joints[1:] and 1 <= number <= action.count:
            above = np.flatnonzero(missing[number - 1, :limb.joints.index(joint) - 1])
            if len(above):
                first = limb.joints[above[0] + 1]
                return {**words, "says": f"First place {the(first)} on {number}: it pulls, and {the(joint)} "
                                         f"{'follow' if plural(joint) else 'follows'}."}
        known = action
        if missing.any() and joint in limb.joints[1:]:
            # The rest of the loop is not drawn yet: it goes on as a plan would have it.
            known = layer(action, limb.name, joint, start, apart=number)
            brief = _so_far(brief, known, action)
        found = replace(guide(known, limb.name, joint, number, brief), begun=known is not action)
    except ActionError as error:
        return {**words, "says": f"{str(error).rstrip('.')}."}
    return _shown(found, action, known, missing, revision, brief.guide)


def _shown(found, action, known, missing, revision, shows):
    limb = action.limb(found.limb)
    j, d = limb.joints.index(found.joint), found.drawing - 1
    m = measure(known)[[other.name for other in known.limbs].index(found.limb)]
    answer = {
        "revision": revision, "drawing": found.drawing, "limb": found.limb, "joint": found.joint, "shows": shows,
        "centre": list(found.centre), "radius": found.radius, "drawn": found.drawn, "traced": found.traced,
        "missing": bool(missing[d, j - 1]),
        "tangent": _tangent(m, d, j - 1), "asked": None, "allowed": [], "excluded": [],
        # As long as some are missing, those that are drawn are told from them.
        "dots": limb.drawings[~missing[:, j - 1] & (np.arange(action.count) != d), j].tolist() if missing[:, j - 1].any() else [],
        "says": f"{capital(the(found.joint))} of {found.drawing} {'lie' if plural(found.joint) else 'lies'} on this circle: "
                f"the {part(limb, j - 1)} keeps its length.",
    }
    if shows == "circle":
        return answer
    answer |= {"allowed": [list(pair) for pair in found.allowed],
               "excluded": [{"from": gone.start, "to": gone.end, "rule": gone.rule if shows == "all" else "",
                             "says": gone.says if shows == "all" else ""} for gone in found.excluded]}
    if shows == "all":
        answer["says"] = found.where      # what stands against where it is, the page says of the hand's own place
        if found.asked is not None:
            turn = math.radians(found.asked)
            answer["asked"] = {"angle": found.asked, "place": [found.centre[0] + found.radius * math.cos(turn),
                                                              found.centre[1] + found.radius * math.sin(turn)]}
    else:
        against = found.rule_at(found.drawn)
        answer["says"] = f"{capital(the(found.joint))} of {found.drawing} may go where the circle is heavy." + (
            " Where it is now a rule stands against it: find out which." if against else "")
    return answer


def _tangent(m, d, joint):
    """The parent's path of action through it: direction in degrees, and how fast it is there, from 0 to 1."""
    if m.stack is None:
        return None
    speed = m.distance[:, joint] + m.distance[m.stack.after, joint]
    if speed.max() < 1.0:
        return None
    at = m.z[d, joint]
    return {"at": [float(at.real), float(at.imag)], "angle": float(np.degrees(np.angle(m.along[d, joint]))),
            "strength": float(speed[d] / speed.max())}


# ---- drawings that are only begun ---------------------------------------------------------


def judged_so_far(action, brief=DEFAULT, start=None, way=None):
    """The verdict on what is drawn so far, and a sentence that says what is drawn next; the sentence is empty where
    nothing is known of what is still to be drawn.

    Where parts are still as given, the rest goes on as a plan would have it, and only what is drawn is found fault with.
    """
    verdict = check(action, brief)
    if start is None or verdict.passed and untouched(action, start) is None:
        return verdict, ""
    place = next_place(action, start, way or brief.way)
    onward = "" if place is None else _asks_for(place, may_stay(action, start, place), action, brief)
    if place is not None and action.drawn_as(start):
        later = RuleVerdict(True, False, "it is told when something is drawn")
        return Verdict((), dict.fromkeys(verdict.rules, later), (), ("Nothing is drawn yet.",)), onward
    so_far, known = begun(action, start)
    if so_far is None:
        return verdict, ""
    limb, joint, *_ = place
    asked = _so_far(brief, so_far, action)
    part_of = check(so_far, asked, known)
    kept = [finding for finding in part_of.findings
            if any(known[finding.limb][n - 1] for n in finding.drawings) or not finding.drawings and known[finding.limb].all()]
    places = {id(finding): i for i, finding in enumerate(kept)}
    listed = tuple(replace(finding, ghost=_whole_limb(finding, action), follows=None if finding.follows is None else
                           places.get(id(part_of.findings[finding.follows]))) for finding in kept)
    broken = {finding.rule for finding in listed}
    later = RuleVerdict(True, False, "it is told when the whole is drawn")
    rules = {name: later if name in set(brief.rules) - set(asked.rules) else replace(rule, passed=name not in broken)
             for name, rule in part_of.rules.items()}
    missing = int(not_drawn(action, limb, start)[:, action.limb(limb).joints.index(joint) - 1].sum())
    done = action.count - missing
    of = action.limb(limb).name + ", " if len(action.limbs) > 1 else ""
    unmet = (f"{of}{joint}: {done} of {action.count} drawn so far.",)
    return Verdict(listed, rules, (), unmet), onward


def undrawn(action, start=None):
    """The joints that are not drawn through yet, [[limb, joint], ...] in the order of the layers."""
    return [[limb.name, limb.joints[k + 1]] for limb in action.limbs
            for k in np.flatnonzero(not_drawn(action, limb.name, start).any(axis=0))]


def _asks_for(place, stay, action, brief):
    """A sentence, without its capital, that asks for a place of `passes.next_place`; the drawings passed by may stay."""
    limb, joint, number, pose = place
    of = f" of the {limb}" if len(action.limbs) > 1 else ""
    named = f", {'a' if pose == 'breakdown' else 'an'} {pose}" if pose else ""
    they = "they" if plural(joint) else "it"
    hint = {"sector": f" Press W to see where {they} may go.", "all": f" Press W to see where {they} may go, and why."}
    passed = f" ({run(stay)} may stay)" if stay else ""
    return f"place {the(joint)}{of} on {number}{named}{passed}.{hint.get(brief.guide, '')}"


def _whole_limb(finding, action):
    """A ghost as far as the part begun, with what hangs below shifted and traced along."""
    if finding.ghost is None:
        return None
    number, points = finding.ghost
    return number, _extended(number, points, action.limb(finding.limb))


def _extended(number, points, limb):
    drawn = limb.drawings[number - 1]
    return np.concatenate([points, drawn[len(points):] + points[-1] - drawn[len(points) - 1]])


def _so_far(brief, so_far, action):
    """The brief for drawings that are only begun: how two limbs go together is seen when both are drawn, and how
    the last part trails when it is the last that is drawn."""
    whole = {limb.name: len(limb.joints) for limb in action.limbs}
    cut = any(len(limb.joints) < whole[limb.name] for limb in so_far.limbs)
    return replace(brief, rules=tuple(name for name in brief.rules if name != "opposition" and not (cut and name == "drag")))


# ---- correct it a little ------------------------------------------------------------------


def mended(action, revision, place, brief=DEFAULT, start=None):
    """The smallest correction, in steps to be taken or left one by one.

    Parameters
    ----------
    action : Action
    revision : int
        Of the pose that is corrected.
    place : int or None
        Of a finding in the verdict that the page shows; all of them where it is None.
    brief : Brief
    start : Action, optional

    Returns
    -------
    dict
    """
    verdict, onward = judged_so_far(action, brief, start)
    if place is not None and not (isinstance(place, int) and 0 <= place < len(verdict.findings)):
        return {"revision": revision, "steps": [], "says": "That note is gone: the drawings have changed since.", "passes": False}
    finding = None if place is None else verdict.findings[place]
    if finding is not None and finding.follows is not None:
        finding = verdict.findings[finding.follows]
    known, of = {}, action
    if onward:
        of, known = begun(action, start)
        brief = _so_far(brief, of, action)
    done = mend(of, brief, finding)
    steps = [{"drawing": move.drawing, "limb": move.limb, "points": _extended(move.drawing, move.points, action.limb(move.limb)).tolist(),
              "says": move.says, "moved": move.mm}
             for move in done.moves if not known or known[move.limb][move.drawing - 1]]
    return {"revision": revision, "steps": steps, "says": done.says, "passes": done.passes}
