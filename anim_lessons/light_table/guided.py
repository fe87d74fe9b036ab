"""What the page shows of the guide and of a correction.

Pure functions from an Answer to the dicts of the page, as in `desk`.
"""

import math
from dataclasses import replace

import numpy as np

from ..assist.guide import guide
from ..assist.mend import mend
from ..assist.so_far import brief_so_far, extended
from ..geometry.angles import as_complex
from ..judging.flags import measure
from ..judging.wording import label
from ..model.action import ActionError
from ..model.words import capital, part, plural, the
from ..rules import RULES

CLEARLY = 6.0   # degrees by which a neighbour stands off, so that what may follow it leans towards it


def guided(answer, revision, number, asked, guessed=False):
    """Where the asked joint may go on one drawing.

    Parameters
    ----------
    answer : Answer
        `answer.brief.guide` says how much is shown.
    revision : int
        Of the pose it is told of.
    number : int
        The drawing, from 1.
    asked : dict or None
        "limb" and "joint"; nothing is asked where it is None.
    guessed : bool
        The place was guessed first: what is against it is told, also where the brief keeps the reasons back.

    Returns
    -------
    dict
        Empty where nothing is asked; without a circle ("centre") where there are only words.
    """
    if not isinstance(asked, dict):
        return {}
    action, brief = answer.action, answer.brief
    words = {"revision": revision, "drawing": number, "limb": asked.get("limb"), "joint": asked.get("joint")}
    if brief.guide == "nothing":
        return {**words, "says": "This one is drawn without the guide. Look at the path of action, flip, and judge by eye."}
    try:
        limb = action.limb(str(asked.get("limb")))
        joint = str(asked.get("joint"))
        missing = answer.progress.limbs[limb.name].missing
        placed = joint in limb.joints[1:] and 1 <= number <= action.count
        if placed:
            above = np.flatnonzero(missing[number - 1, :limb.joints.index(joint) - 1])
            if len(above):
                first = limb.joints[above[0] + 1]
                return {**words, "says": f"First place {the(first)} on {number}: it pulls, and {the(joint)} "
                                         f"{'follow' if plural(joint) else 'follows'}."}
        found, known = _found(answer, limb, joint, number, begun=placed and missing.any())
    except ActionError as error:
        return {**words, "says": f"{str(error).rstrip('.')}."}
    shown = _shown(found, action, known, missing, revision, answer.brief.guide, guessed)
    return {**shown, "beside": _stands_off(answer, limb, joint, number)} if answer.brief.guide != "circle" else shown


def _found(answer, limb, joint, number, begun):
    """The Guide for a joint on a drawing, and the action it was asked about: where the loop is only begun, the rest of it goes on as
    expected."""
    known, brief = answer.action, answer.brief
    if begun:
        known = answer.progress.layer(limb.name, joint, apart=number)
        brief = brief_so_far(brief, known, answer.action)
    return replace(guide(known, limb.name, joint, number, brief, verdict=answer.verdict), begun=bool(begun)), known


def _is_shut(answer, limb, joint, number):
    """True where the guide of that drawing is against where a joint lies on it: what it allows is not called off beside it."""
    found, _ = _found(answer, limb, joint, number, begun=answer.progress.limbs[limb.name].missing.any())
    return not found.allowed or found.rule_at(found.drawn) is not None


def _stands_off(answer, limb, joint, number):
    """The drawing beside this one that stands clearly off, with its fault in words; None where both lie well."""
    count, j = answer.action.count, limb.joints.index(joint)
    for cause in answer.verdict.causes:
        meant = next((n for n in cause.moves if min((n - number) % count, (number - n) % count) == 1), None)
        if cause.limb != limb.name or meant is None or cause.correction is None or meant not in cause.correction.poses:
            continue
        mended = extended(meant, cause.correction.poses[meant], limb)
        turned = np.degrees(np.angle(np.diff(as_complex(mended)) * np.diff(as_complex(limb.drawings[meant - 1])).conj()))
        off = int(np.argmax(np.abs(turned[:j])))
        if abs(turned[off]) >= CLEARLY and _is_shut(answer, limb, limb.joints[off + 1], meant):
            return {"drawing": int(meant), "says": cause.head}
    return None


def _shown(found, action, known, missing, revision, shows, guessed):
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
    told = found.rule_at(found.drawn) if guessed else None
    answer |= {"allowed": [list(pair) for pair in found.allowed],
               "excluded": [{"from": gone.start, "to": gone.end, "rule": gone.rule if shows == "all" or gone is told else "",
                             "says": gone.says if shows == "all" or gone is told else ""} for gone in found.excluded]}
    answer["whys"] = {gone["rule"]: RULES[gone["rule"]].why for gone in answer["excluded"] if gone["rule"]}
    if shows == "all":
        answer["says"] = found.where      # what stands against where it is, the page says of the hand's own place
        if found.asked is not None:
            turn = math.radians(found.asked)
            answer["asked"] = {"angle": found.asked, "place": [found.centre[0] + found.radius * math.cos(turn),
                                                              found.centre[1] + found.radius * math.sin(turn)]}
    else:
        against = found.rule_at(found.drawn)
        answer["says"] = f"{capital(the(found.joint))} of {found.drawing} may go where the circle is heavy." + (
            " Where it is now a rule stands against it: find out which." if against and not guessed else "")
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


def _label(action, move):
    """Of the ghost of one step."""
    limb = action.limb(move.limb)
    return label(limb, action.loop, move.drawing - 1, extended(move.drawing, move.points, limb))[0]


# ---- mend it -------------------------------------------------------------------------------


def mended(answer, revision, place):
    """The correction, in steps to be taken or left one by one.

    Parameters
    ----------
    answer : Answer
    revision : int
        Of the pose that is corrected.
    place : int or None
        Of a finding in the verdict that the page shows; all of them where it is None.

    Returns
    -------
    dict
    """
    action, so_far = answer.action, answer.so_far
    findings = answer.verdict.findings
    if place is not None and not (isinstance(place, int) and 0 <= place < len(findings)):
        return {"revision": revision, "steps": [], "says": "That note is gone: the drawings have changed since.", "passes": False}
    finding = None if place is None else answer.verdict.cause_of(findings[place])
    known = so_far.known
    # The ghost of a note goes all the way; of one note the least that passes is the second choice.
    done = mend(so_far.action, so_far.brief, finding, known or None, least=finding is not None)
    steps = [{"drawing": move.drawing, "limb": move.limb,
              "points": extended(move.drawing, move.points, action.limb(move.limb)).tolist(),
              "says": move.says, "moved": move.mm, "label": _label(answer.as_expected, move)}
             for move in done.moves if not known or known[move.limb][move.drawing - 1]]
    return {"revision": revision, "steps": steps, "says": done.says, "passes": done.passes}
