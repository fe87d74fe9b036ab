"""What lies on the desk beside the drawings: the next thing to do, notes, timing charts, bends.

Pure functions from an action and its verdict to the dicts that the page shows. Nothing
here knows of Jupyter; numbers are plain floats, drawings count from 1.
"""

import math
from functools import lru_cache
from itertools import pairwise

import numpy as np

from ..assist.lesson_list import LESSONS, after, lesson_for
from ..assist.so_far import extended
from ..geometry.angles import as_complex
from ..geometry.timing import slow_in_out
from ..judging.flags import measure
from ..judging.wording import label, redrawn
from ..measures.loops import FEWEST, extremes
from ..model import action_file
from ..model.words import capital, the, way_of

EXPOSED = {1: "on ones", 2: "on twos", 3: "on threes", 4: "on fours"}
SEEN = 0.5  # degrees or mm: the least that is worth a word
BESIDE, ABOUT = 2.5, 8.0    # degrees, by which a hand is beside what it aims at: where the page says how far it goes, and about how far
ALIKE = 0.9    # of the way between the extremes: what comes so far out turns there
OUT = 3.0   # degrees: a bend that stands out by less is left as it is drawn


def head(action, file="", exercise="", folder=""):
    """What does not change while a person draws."""
    return {
        "title": action.title, "by": action.by, "rate": int(action.rate), "loop": bool(action.loop),
        "paper": {"width": action.paper[0], "height": action.paper[1]},
        "limbs": [{"name": limb.name, "joints": list(limb.joints), "lengths": limb.lengths.tolist(),
                   "stops": limb.stops.tolist(), **action_file.plans(limb)} for limb in action.limbs],
        "file": file, "folder": folder, **_homework(file), "exercise": exercise, **action_file.lecture(action),
    }


def _homework(file):
    """The homework's notebook and the lesson after it, in words, of the file that is handed in there; empty texts of any other."""
    own = next((lesson.name for lesson in LESSONS.values() if file and lesson.file == file), None)
    return {"homework": "" if own is None else f"{own}.ipynb", "next": "" if own is None else str(after(own))}


def asked(brief):
    """What an assignment says to whoever draws, and whether the table may correct a drawing by itself."""
    return {"title": brief.title, "text": brief.text.strip(), "stack": brief.stack_says, "due": brief.due_says, "mend": brief.mend}


def pose(action, revision):
    """What does change: drawings and exposure, under one revision."""
    exposure = action.exposure
    return {
        "revision": revision,
        "exposure": list(exposure) if isinstance(exposure, tuple) else int(exposure),
        "drawings": [limb.drawings.tolist() for limb in action.limbs],
    }


def lines(action, revision):
    """The pencil lines, under the revision of the pose they came with: strokes as a file has them, by the drawing's number."""
    return {"revision": revision, "drawings": {str(line["drawing"]): line["strokes"] for line in action_file.lines(action).get("lines", ())}}


def judged(answer, revision, at="", chart=None, charts=None):
    """The verdict on an action, as the page shows it.

    Parameters
    ----------
    answer : Answer
    revision : int
        Of the pose that is judged.
    at : str
        Time of day.
    chart : str, optional
        Joint whose timing chart is drawn; the end joint of each limb unless named.
    charts : list, optional
        The charts as `timing` has them, in place of those.

    Returns
    -------
    dict
    """
    action, verdict, onward = answer.action, answer.verdict, answer.so_far.onward
    layers = answer.layers
    if charts is None:
        at_work = next((one.joint for one in layers if not one.done), None)
        charted = [(limb, next(joint for joint in (chart, at_work, limb.joints[-1]) if joint in limb.joints)) for limb in action.limbs]
        charts = [timing(action, *_as_expected(answer, limb, joint)) for limb, joint in charted]
    return {
        "revision": revision,
        "passed": verdict.passed,
        "at": at,
        "next": next_step(answer.as_expected, verdict) if verdict.causes or not onward else onward,
        # Said until somebody touches the table.
        "first": f"{'Begin' if answer.progress.as_given else 'Go on'}: {onward}" if onward else "",
        "undrawn": answer.progress.undrawn if onward else [],
        "place": _place(answer.progress.next_place(answer.way or answer.brief.way)),
        "layers": [_layer(one, answer.brief) for one in layers],
        "given": answer.progress.as_given,
        "unmet": list(verdict.unmet),
        "rules": {name: {"passed": bool(rule.passed), "judged": bool(rule.judged), "says": rule.says}
                  for name, rule in verdict.rules.items() if name in answer.brief.rules},
        "findings": [_finding(finding, answer.as_expected) for finding in verdict.findings],
        "advice": list(verdict.advice),
        "charts": charts,
        "bends": bends(action),
    }


def _as_expected(answer, limb, joint):
    """Limb, joint and extremes of a chart. What is not drawn yet of a joint goes on as expected, and its extremes are those of the
    plan before any drawing bent it, where it turns there as far as an eye tells: so the chart has them from the beginning, and
    keeps them while one draws. Those that the brief asks for stay whatever is drawn."""
    of, j = answer.progress.limbs[limb.name], limb.joints.index(joint)
    if not (j and of.traced[j - 1]):
        return limb, joint, None
    if of.missing[:, :j].any():
        limb = answer.progress.layer(limb.name, joint).limbs[0]
    if of.asked_turns(j - 1):
        return limb, joint, tuple(sorted(of.asked_turns(j - 1)))
    z = as_complex(limb.drawings[:, j])
    turns, now = extremes(of.planned(j)), extremes(limb.drawings[:, j])
    apart = [abs(z[a - 1] - z[b - 1]) for a, b in (turns, now)]
    return limb, joint, turns if apart[0] > ALIKE * apart[1] else now


def _place(place):
    return None if place is None else {"drawing": place[2], "pose": place[3]}


def _layer(one, brief):
    # How far it goes is told where the guide shows its dot, and about how far where it shows where the joint may go; else which way.
    beside = {"all": BESIDE, "sector": ABOUT}.get(brief.guide, 0)
    goes = [round(far, 1) if beside else 0 if i else (far > 0) - (far < 0) for i, far in enumerate(one.goes)]
    return {"limb": one.limb, "joint": one.joint, "name": one.name, "says": one.says, "drawings": list(one.drawings),
            "drawn": list(one.drawn), "begun": one.begun, "done": one.done, "begins": one.all_through, "goes": goes,
            "beside": beside, "about": brief.guide == "sector", "right": list(one.right),
            "short": {"drawing": one.short.drawing, "says": one.short.says(the(one.joint))} if one.short else None}


def _finding(finding, action):
    lesson = lesson_for(finding)
    return {
        "rule": finding.rule, "limb": finding.limb, "joint": finding.joint,
        "drawings": [int(number) for number in finding.drawings],
        "measured": _finite(finding.measured), "allowed": _finite(finding.allowed), "unit": finding.unit,
        "says": finding.says, "head": finding.head, "text": finding.text, "shows": finding.shows,
        "looked_for": finding.looked_for, "short": finding.short, "follows": finding.follows,
        "called": finding.called or finding.head, "amount": finding.amount, "do": _done(finding, ghost := _ghost(finding, action)),
        "ghost": ghost, "steps": len(finding.correction.poses) if ghost else 0, "mends": _mends(finding), "lesson": {"name": lesson.name, "title": lesson.title},
    }


def _mends(finding):
    """In how many steps it is corrected where that is asked for; 0 where only the search for the least would tell."""
    alone = finding.follows is None and finding.correction is not None and (not finding.moves or finding.one_run)
    return len(finding.correction.poses) if alone else 0


def _finite(value):
    # JSON has no infinity (RFC 8259, section 6), and one would stop the whole answer.
    return float(value) if math.isfinite(value) else None


# ---- the next thing to do -----------------------------------------------------------


def next_step(action, verdict):
    """One sentence, to be read after "Next:": the correction of the first cause, or what the brief asks."""
    if not verdict.causes:
        return verdict.unmet[0] if verdict.unmet else _watch(action)
    cause = verdict.causes[0]
    meant = _meant(cause)
    if meant is None:
        advice = cause.advice or cause.head
        return f"{advice[:1].lower()}{advice[1:]}"
    limb = action.limb(cause.limb)
    return f"on drawing {meant}, {redrawn(limb, action.loop, meant - 1, _corrected(cause, meant, limb))}, to the ghost. Then flip."


def _meant(cause):
    """The drawing, from 1, at which a correction is shown as a ghost; None where no single drawing is meant."""
    if not cause.moves or cause.correction is None:
        return None
    poses = cause.correction.poses
    return next((number for number in cause.moves if number in poses), min(poses))


def _corrected(cause, number, limb):
    return extended(number, cause.correction.poses[number], limb)


def _watch(action):
    how = EXPOSED.get(action.exposure, "at its exposure")
    if action.loop:
        return f"play it {how} and watch the link-up, {action.count} into 1."
    return f"play it {how} and watch it from 1 to {action.count}."


def _ghost(finding, action):
    """The ghost of a correction, with its amount in words; None where no single drawing is meant."""
    number = _meant(finding) if finding.follows is None else None
    if number is None:
        return None
    limb = action.limb(finding.limb)
    points = _corrected(finding, number, limb)
    says, does = label(limb, action.loop, number - 1, points)
    return {"drawing": int(number), "points": points.round(3).tolist(), "says": says, "do": does}


def _done(finding, ghost):
    """What to do about it, in one sentence or two: the ghost's, where one is shown."""
    if ghost is not None and len(finding.correction.poses) == 1:
        return ghost["do"]
    return finding.advice if finding.follows is None else ""


# ---- timing charts --------------------------------------------------------------------


def timing(action, limb, joint, turns=None):
    """The timing chart of one joint: asked by its plan, else by slow in and slow out, and drawn.

    The two extremes, unless `turns` gives them (from 1), are the drawings at which the joint stands furthest either way along
    its path's longest direction. `drawn` is the share of the path gone at each drawing, chord by
    chord; `asked` that of the plan's chart, or the raised cosine at the time at which each drawing is first seen.
    """
    chart = {"limb": limb.name, "joint": joint, "halves": []}
    place = limb.drawings[:, limb.joints.index(joint)]
    first, second = (number - 1 for number in turns or extremes(place))
    if np.ptp(place, axis=0).max() < 2 * SEEN or first == second:
        return chart  # a joint that rests has no timing
    n = action.count
    plan = next((one for one in limb.plans if one.joint == joint), None)
    if action.loop:
        ways = [np.arange(first, second + 1), np.arange(second, first + n + 1) % n]
    else:
        turns = sorted({0, first, second, n - 1})
        ways = [np.arange(a, b + 1) for a, b in pairwise(turns)]
    for way, name in zip(ways, ("out", "back", "out")):
        along = place[way]
        gone = np.zeros(len(way))
        np.hypot(*(along[1:] - along[:-1]).T).cumsum(out=gone[1:])
        if gone[-1] < SEEN:
            continue
        chart["halves"].append({
            "name": name, "way": way_of(place[way[-1]] - place[way[0]]), "drawings": (way + 1).tolist(),
            "asked": plan and _planned(plan.chart, way) or list(_slow(tuple(action.exposures[way[:-1]].tolist()))),
            "drawn": (gone / gone[-1]).round(4).tolist(),
        })
    return chart


def _planned(chart, way):
    """Where a plan's chart has each drawing of a way, as a share of it; None where it goes nowhere there."""
    gone = chart[way] + (way < way[0])      # a loop's path goes round after the last drawing
    far = gone[-1] - gone[0]
    return ((gone - gone[0]) / far).round(4).tolist() if far > 0 else None


@lru_cache(maxsize=512)     # many joints and many hand-ins turn after as many drawings
def _slow(frames):
    """Where slow in and slow out has each drawing, as a share of the way, by the frames of all but the last."""
    time = np.cumsum((0, *frames))
    return tuple(slow_in_out(time / time[-1]).round(4).tolist())


# ---- bends ------------------------------------------------------------------------------


def bends(action):
    """Of each limb the bend at each joint between two segments, from the root outward, with each drawing that stands out put
    where its neighbours let expect it."""
    return [[_bend(limb, m, k) for k in range(1, m.segments)] for limb, m in zip(action.limbs, measure(action))]


def _bend(limb, m, k):
    bend = m.bend[:, k]
    asked = bend
    if m.count >= FEWEST:
        out = np.abs(m.bend_outlier[:, k])
        # One drawing out of place leaks into its neighbours' share: the peak is the drawing meant.
        peak = (out >= out[m.stack.before]) & (out >= out[m.stack.after])
        asked = np.where(peak & (out > OUT), bend - m.bend_residual[:, k], bend)
    return {"joint": limb.joints[k], "segment": k, "asked": asked.round(2).tolist(), "stops": m.stops[k].tolist()}
