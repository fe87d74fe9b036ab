"""What lies on the desk beside the drawings: the next thing to do, notes, timing charts, bends.

Pure functions from an action and its verdict to the dicts that the page shows. Nothing
here knows of Jupyter; numbers are plain floats, drawings count from 1.
"""

import math
from itertools import pairwise

import numpy as np

from ..assist.lesson_list import lesson_for
from ..assist.mend.says import degrees, millimetres
from ..assist.mend.says import way as on_or_back
from ..geometry.timing import slow_in_out
from ..judging.brief import DEFAULT
from ..judging.judge import measure
from ..measures.loops import FEWEST, extremes, wrapped
from ..model import action_file
from ..model.words import part, the
from .guided import judged_so_far, undrawn

EXPOSED = {1: "on ones", 2: "on twos", 3: "on threes", 4: "on fours"}
SEEN = 0.5  # degrees or mm: the least that is worth a word
PLACES = ("arc", "spacing", "drag")  # their notes tell the way along the path, or the least that helps: no other number beside it
OUT = 3.0   # degrees: a bend that stands out by less is left as it is drawn


def head(action, file="", exercise=""):
    """What does not change while a person draws."""
    return {
        "title": action.title, "by": action.by, "rate": int(action.rate), "loop": bool(action.loop),
        "paper": {"width": action.paper[0], "height": action.paper[1]},
        "limbs": [{"name": limb.name, "joints": list(limb.joints), "lengths": limb.lengths.tolist(),
                   "stops": limb.stops.tolist(), **action_file.plans(limb)} for limb in action.limbs],
        "file": file, "exercise": exercise, **action_file.lecture(action),
    }


def pose(action, revision):
    """What does change: drawings and exposure, under one revision."""
    exposure = action.exposure
    return {
        "revision": revision,
        "exposure": list(exposure) if isinstance(exposure, tuple) else int(exposure),
        "drawings": [limb.drawings.tolist() for limb in action.limbs],
    }


def judged(action, revision, brief=DEFAULT, at="", chart=None, start=None, way=None):
    """The verdict on an action, as the page shows it.

    Parameters
    ----------
    action : Action
    revision : int
        Of the pose that is judged.
    brief : Brief
    at : str
        Time of day.
    chart : str, optional
        Joint whose timing chart is drawn; the end joint of each limb unless named.
    start : Action, optional
        The drawings as given: as long as they are the same, nothing has been drawn yet.
    way : str, optional
        Of brief.WAYS, in which order what is not drawn yet is asked for; the brief's unless given.

    Returns
    -------
    dict
    """
    verdict, onward = judged_so_far(action, brief, start, way)
    given = start is not None and action.drawn_as(start)
    limbs = {limb.name: limb for limb in action.limbs}
    ghosts = [_ghost(finding, limbs[finding.limb], action) for finding in verdict.findings]
    return {
        "revision": revision,
        "passed": verdict.passed,
        "at": at,
        "next": next_step(action, verdict) if verdict.causes or not onward else onward,
        "first": f"{'Begin' if given else 'Go on'}: {onward}" if onward else "",  # said until somebody touches the table
        "undrawn": undrawn(action, start) if onward else [],
        "given": given,
        "unmet": list(verdict.unmet),
        "rules": {name: {"passed": bool(rule.passed), "judged": bool(rule.judged), "says": rule.says}
                  for name, rule in verdict.rules.items() if name in brief.rules},
        "findings": [_finding(finding, ghost) for finding, ghost in zip(verdict.findings, ghosts)],
        "advice": list(verdict.advice),
        "charts": [timing(action, limb, chart if chart in limb.joints else limb.joints[-1]) for limb in action.limbs],
        "bends": bends(action),
    }


def _finding(finding, ghost):
    lesson = lesson_for(finding)
    return {
        "rule": finding.rule, "limb": finding.limb, "joint": finding.joint,
        "drawings": [int(number) for number in finding.drawings],
        "measured": _finite(finding.measured), "allowed": _finite(finding.allowed), "unit": finding.unit,
        "says": finding.says, "head": finding.head, "text": finding.text, "shows": finding.shows,
        "looked_for": finding.looked_for, "short": finding.short, "follows": finding.follows, "ghost": ghost,
        "lesson": {"name": lesson.name, "title": lesson.title},
    }


def _finite(value):
    # JSON has no infinity (RFC 8259, section 6), and one would stop the whole answer.
    return float(value) if math.isfinite(value) else None


# ---- the next thing to do -----------------------------------------------------------


def next_step(action, verdict):
    """One sentence, to be read after "Next:"."""
    if not verdict.causes:
        return verdict.unmet[0] if verdict.unmet else _watch(action)
    cause = verdict.causes[0]
    limb = action.limb(cause.limb)
    if cause.ghost is not None:
        number, points = cause.ghost
        return (f"on drawing {number}, {_imperative(limb, action, number - 1, points, cause.rule not in PLACES)}, "
                "to the ghost. Then flip.")
    if cause.rule == "link-up":
        last = action.count
        return (f"flip {last - 1}, {last}, 1, 2 as one swing, and share the jump: the last ones a little back, "
                "the first ones a little on.")
    # The whole action is meant: the rule's own advice, which ends its sentence.
    advice = cause.text.rstrip(".").split(". ")[-1]
    return f"{advice[:1].lower()}{advice[1:]}."


def _watch(action):
    how = EXPOSED.get(action.exposure, "at its exposure")
    if action.loop:
        return f"play it {how} and watch the link-up, {action.count} into 1."
    return f"play it {how} and watch it from 1 to {action.count}."


def _change(limb, action, d, points):
    """How a ghost differs from drawing d (from 0): segment or None, turn in degrees, mm longer, mm the joint moves."""
    old, new = (array[:, 0] + 1j * array[:, 1] for array in (limb.drawings[d], np.asarray(points)))
    before, after = np.diff(old), np.diff(new)
    turn = wrapped(np.degrees(np.angle(after) - np.angle(before)))
    longer = np.abs(after) - np.abs(before)
    moved = np.flatnonzero((np.abs(turn) > 0.05) | (np.abs(longer) > 0.05))
    if not len(moved):
        return None, 0.0, 0.0, float(abs(new[0] - old[0]))
    # The part that does most of it; where several turn alike, the one nearest the root.
    share = np.maximum(np.abs(np.radians(turn)) * np.abs(after), np.abs(longer))[moved]
    k = int(moved[np.flatnonzero(share > 0.5 * share.max())[0]])
    return k, float(turn[k]), float(longer[k]), float(abs(new[k + 1] - old[k + 1]))


def _imperative(limb, action, d, points, amounts):
    k, turn, longer, mm = _change(limb, action, d, points)
    if k is None:
        return f"move {the(limb.joints[0])}{f' {millimetres(mm)}' if amounts else ''}"
    if abs(longer) > SEEN and abs(longer) > abs(math.radians(turn)) * limb.lengths[k]:
        return f"draw the {part(limb, k)} {millimetres(longer)} {'longer' if longer > 0 else 'shorter'}"
    return f"swing the {part(limb, k)}{f' {degrees(turn)}' if amounts else ''} {on_or_back(limb, action.loop, d, k, turn)}"


def _ghost(finding, limb, action):
    """The ghost of a correction, with its amount in words; None where a finding has none."""
    if finding.ghost is None:
        return None
    number, points = finding.ghost
    k, turn, longer, mm = _change(limb, action, number - 1, points)
    if finding.rule in PLACES:
        says, more = f"{limb.joints[0 if k is None else k + 1]} here", ""
    elif k is None:
        says, more = f"{limb.joints[0]} {millimetres(mm)}", ""
    elif abs(longer) > SEEN and abs(longer) > abs(math.radians(turn)) * limb.lengths[k]:
        says, more = f"{millimetres(longer)} {'longer' if longer > 0 else 'shorter'}", f"{limb.joints[k + 1]} {millimetres(mm)}"
    else:
        says = f"{degrees(turn)} {on_or_back(limb, action.loop, number - 1, k, turn)}"
        more = f"{limb.joints[k + 1]} {millimetres(mm)}"
    return {"drawing": int(number), "points": np.asarray(points).round(3).tolist(), "says": says, "more": more}


# ---- timing charts --------------------------------------------------------------------


def timing(action, limb, joint):
    """The timing chart of one joint: asked by slow in and slow out, and drawn.

    The two extremes are the drawings at which the joint stands furthest either way along its
    path's longest direction. `drawn` is the share of the path gone at each drawing, chord by
    chord; `asked` the raised cosine at the time at which each drawing is first seen.
    """
    chart = {"limb": limb.name, "joint": joint, "halves": []}
    place = limb.drawings[:, limb.joints.index(joint)]
    first, second = (number - 1 for number in extremes(place))
    if np.ptp(place, axis=0).max() < 2 * SEEN or first == second:
        return chart  # a joint that rests has no timing
    n = action.count
    if action.loop:
        ways = [np.arange(first, second + 1), np.arange(second, first + n + 1) % n]
    else:
        turns = sorted({0, first, second, n - 1})
        ways = [np.arange(a, b + 1) for a, b in pairwise(turns)]
    for way, name in zip(ways, ("out", "back", "out")):
        gone = np.concatenate([[0.0], np.hypot(*np.diff(place[way], axis=0).T).cumsum()])
        time = np.concatenate([[0], action.exposures[way[:-1]].cumsum()])
        if gone[-1] < SEEN:
            continue
        chart["halves"].append({
            "name": name, "drawings": [int(d) + 1 for d in way],
            "asked": slow_in_out(time / time[-1]).round(4).tolist(), "drawn": (gone / gone[-1]).round(4).tolist(),
        })
    return chart


# ---- bends ------------------------------------------------------------------------------


def bends(action):
    """Of each limb the bend at each joint between two segments, from the root outward, with each drawing that stands out put
    where its neighbours let expect it."""
    return [[_bend(limb, m, k) for k in range(1, m.segments)] for limb, m in zip(action.limbs, measure(action))]


def _bend(limb, m, k):
    bend = m.bend[:, k]
    asked = bend.copy()
    if m.count >= FEWEST:
        net = (bend[-1] + wrapped(bend[0] - bend[-1]) - bend[0]) if m.loop else 0.0
        level = bend - net * m.stack.time
        left_over, out = m.stack.left_over @ level, np.abs(m.stack.stands_out @ level)
        # One drawing out of place leaks into its neighbours' share: the peak is the drawing meant.
        peak = (out >= out[m.stack.before]) & (out >= out[m.stack.after])
        asked = np.where(peak & (out > OUT), bend - left_over, bend)
    return {"joint": limb.joints[k], "segment": k, "asked": asked.round(2).tolist(), "stops": m.stops[k].tolist()}
