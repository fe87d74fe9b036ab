"""An assignment set without code: what an instructor fills in becomes a brief, start drawings and a notebook.

What is filled in is a dict, as the form sends it (`FIRST` has every key). `drafted` makes the assignment of it, or says of
each field what is wrong with it. `setting.py` writes it.
"""

from dataclasses import dataclass, replace

import numpy as np

from ..ferry.figures import FIGURES, figure_of, swung
from ..ferry.starts import own
from ..geometry.limb import pose_from_bends
from ..judging.brief import GUIDES, Brief, due_text
from ..judging.brief_text import brief_text
from ..judging.judge import check
from ..model.action import Action, ActionError
from ..model.plans import MOST_DRAWINGS
from ..model.printable import visible
from ..model.words import capital
from ..rules import RULES, TOLERANCES
from ..rules.rule import STRICTNESSES, USUAL
from .assignment_fields import MOST_NAME, Faults, Reading, file_name

OWN, GIVEN = "one of your own", "as given"      # limbs besides the figures of the landing
EXPOSURES = {"ones": 1, "twos": 2, "threes": 3, "own": None}
ELBOWS = ("natural", "loose")
NUMBERS = "numbers"         # how strict a rule is, where its numbers are given
MOST_TITLE, MOST_TEXT = 80, 4_000    # letters
MOST_PARTS = 12
MOST_WEIGHT = 9
ENOUGH = 24                 # drawings in which every rule can judge what it ever can
USUAL_COUNT = 12            # drawings of a limb of one's own that are given, unless others are asked for

FIRST = {
    "title": "", "name": "", "text": "", "due": "", "time": "", "limb": "arm", "limb_name": "tail",
    "parts": [{"joint": "rump", "length": 0, "least": 0, "greatest": 0}, {"joint": "middle", "length": 45, "least": 30, "greatest": 150},
              {"joint": "tip", "length": 40, "least": -70, "greatest": 70}],
    "least": 12, "most": 32, "rate": 24, "exposure": "twos", "elbow": "natural", "guide": "sector", "mend": True,
    "rules": {name: {"on": True, "how": USUAL, "weight": 1, "numbers": {one.name: one.value for one in rule.tolerances}}
              for name, rule in RULES.items()},
}


@dataclass(frozen=True)
class Assigned:
    """An assignment that can be written.

    Attributes
    ----------
    name : str
        Of its folder and files.
    brief : Brief
    start : Action
    notes : tuple of str
        Sentences that are worth knowing; nothing is wrong.
    """

    name: str
    brief: Brief
    start: Action
    notes: tuple = ()


def drafted(values, begun=None):
    """The assignment that is filled in.

    Parameters
    ----------
    values : dict
        As FIRST.
    begun : Assigned, optional
        With what it was begun: its start drawings are meant where the limb is GIVEN, and what no field shows is kept.

    Returns
    -------
    Assigned

    Raises
    ------
    Faults
    """
    reading = Reading(values)
    given = begun is not None and values.get("limb") == GIVEN
    brief = Brief() if begun is None else begun.brief if given else replace(begun.brief, passes=(), given=(), hand=False)
    changes = _plain(reading)
    counts, rate = _counts(reading), reading.number("rate", 1, 240, "frames a second", whole=True)
    rules, weights, tolerances = _rules(reading)
    start, whole = _drawn(reading, counts, begun if given else None)
    if reading.faults:
        raise Faults(reading.faults)
    figure = FIGURES.get(values["limb"])
    changes |= {"given": figure.given} if figure else {"given": start.limbs[0].joints[:1]} if values["limb"] == OWN else {}
    kept = {name: value for name, value in brief.tolerances.items() if name not in {one.name for rule in RULES for one in RULES[rule].tolerances}}
    brief = replace(brief, rules=rules, names_rules=True, drawings=counts, weights=weights, tolerances=kept | tolerances, **changes)
    start = start.replace(title=brief.title, rate=rate, exposure=brief.exposure or start.exposure, limbs=start.limbs)
    notes = _judged(values, brief, whole, reading.faults)
    try:
        brief_text(brief)
    except ActionError as error:
        reading.fault("text", capital(str(error)) + ".")
    if reading.faults:
        raise Faults(reading.faults)
    return Assigned(_named(values, brief.title), brief, start, notes)


def _plain(reading):
    """What needs nothing but itself."""
    title = " ".join(visible(reading.text("title", MOST_TITLE)).split())
    if not title:
        reading.fault("title", "Give it a title: it stands over the drawings.")
    elif not file_name(title):
        reading.fault("title", "Put a letter or a digit into the title: the files are named by it.")
    mend = reading.values.get("mend")
    return {
        "title": title, "text": reading.text("text", MOST_TEXT).replace("\r\n", "\n"), "due": _due(reading),
        "exposure": EXPOSURES[reading.one_of("exposure", EXPOSURES)], "may_break": reading.one_of("elbow", ELBOWS) == "loose",
        "guide": reading.one_of("guide", GUIDES), "mend": mend is not False,
    }


def _due(reading):
    day, time = reading.text("due", 20).strip(), reading.text("time", 20).strip()
    if not day:
        if time:
            reading.fault("due", "Give the day as well as the time.")
        return ""
    try:
        return due_text(f"{day}T{time}" if time else day)
    except ActionError:
        reading.fault("due", "That is no day of the calendar, or no time of a day; write 2026-11-29 and 18:00.")
        return ""


def _counts(reading):
    least = reading.number("least", 2, MOST_DRAWINGS, "the fewest drawings that are taken", whole=True)
    most = reading.number("most", 2, MOST_DRAWINGS, "the most drawings that are taken", whole=True)
    if least > most:
        reading.fault("least", f"From {least} to {most} there is no number. Put the smaller one first.")
    return least, max(least, most)


def _rules(reading):
    """The rules that are asked, and weights and tolerances where they are other than usual."""
    asked, rules, weights, tolerances = reading.values.get("rules"), [], {}, {}
    for name, rule in RULES.items():
        one = asked.get(name) if isinstance(asked, dict) else None
        if not isinstance(one, dict) or not one.get("on"):
            continue
        field = f"rule {name}"
        rules.append(name)
        weight = reading.number(field, 0, MOST_WEIGHT, "what it counts; 1 is usual, 3 counts three times", value=one.get("weight", ""))
        weights |= {} if weight == 1 else {name: weight}
        how, numbers = one.get("how"), one.get("numbers")
        if how not in (*STRICTNESSES, NUMBERS):
            reading.fault(field, f"Choose how strict it is: {', '.join(STRICTNESSES)}, or by its numbers.")
            continue
        for tolerance in rule.tolerances:
            value = tolerance.at(how) if how != NUMBERS else reading.number(
                field, 0, 100_000, f"{tolerance.name}, {tolerance.of}", value=numbers.get(tolerance.name, "") if isinstance(numbers, dict) else "")
            tolerances |= {} if value == tolerance.value else {tolerance.name: value}
    if not rules:
        reading.fault("rules", "Tick at least one rule: without one there is nothing to check.")
    elif all(weights.get(name) == 0 for name in rules):
        reading.fault("rules", "Every rule counts 0. Let at least one count something.")
    return tuple(rules), weights, tolerances


# ---- the limb ----------------------------------------------------------------------------


def _drawn(reading, counts, begun):
    """The start, and of the same limb a function from a number of drawings to a loop in which every rule has something to judge."""
    limb = reading.one_of("limb", [*FIGURES, OWN, *([GIVEN] if begun else [])])
    if begun is not None:
        start = begun.start
        if not counts[0] <= start.count <= counts[1]:
            reading.fault("least", f"The drawings that are given are {start.count}. Keep {start.count} between the two numbers, or choose "
                                   "the limb anew below: then as many are given as you ask for.")
        figure = figure_of(start)
        return start, figure.whole if figure else lambda count: swung(start, count)
    if limb == OWN:
        start = _own(reading, min(max(USUAL_COUNT, counts[0]), counts[1]))
        return start, lambda count: swung(start, count)
    figure = FIGURES[limb]
    return figure.start(min(max(figure.usual, counts[0]), counts[1])), figure.whole


def _own(reading, count):
    """A limb by the names of its joints, its lengths and its stops, in the middle of the sheet; None where it is none."""
    parts, name = reading.values.get("parts"), " ".join(reading.text("limb_name", MOST_NAME).split())
    if not isinstance(parts, list) or not all(isinstance(one, dict) and isinstance(one.get("joint"), str) for one in parts):
        return reading.fault("parts", "Name its joints, one a line.")
    if not 2 <= len(parts) <= MOST_PARTS + 1:
        return reading.fault("parts", f"A limb of your own has 1 to {MOST_PARTS} parts. For one joint alone take the buoy.")
    joints = [" ".join(one["joint"].split()) for one in parts]
    for place, joint in enumerate(joints, start=1):
        if not joint:
            reading.fault("parts", f"Joint {place} has no name. Give it one, such as knee or tip.")
    lengths = [_measure(reading, one.get("length"), f"the length of the part up to {joint}, mm", 1, 280) for one, joint in
               zip(parts[1:], joints[1:])]
    stops = [[_measure(reading, one.get(end), f"the {end} bend of the part up to {joint}, degrees", -360, 360) for end in ("least", "greatest")]
             for one, joint in zip(parts[1:], joints[1:])]
    if "parts" in reading.faults:
        return None
    try:
        bends = np.mean(np.asarray(stops, float), axis=1)
        points = pose_from_bends(np.zeros((1, 2)), lengths, bends[None])[0]
        middle = np.array([148.5, 105.0]) - (points.min(axis=0) + points.max(axis=0)) / 2
        return own(joints, lengths, stops, [middle], count, name=name)
    except ActionError as error:
        return reading.fault("parts", f"{capital(error.says.rstrip('.'))}.")


def _measure(reading, value, what, least, most):
    return reading.number("parts", least, most, what, value="" if value is None else value)


# ---- what the rules make of it ---------------------------------------------------------------


def _judged(values, brief, whole, faults):
    """Refuse rules that the limb gives nothing to judge; sentences where our own loop does not pass them."""
    limb = f"the {values['limb']}" if values["limb"] in FIGURES else "this limb"
    least, alone = brief.drawings[0], replace(brief, drawings=None, exposure=None, hand=False)
    verdict = check(whole(least), alone)
    unable = [name for name in brief.rules if not verdict.rules[name].judged]
    ever = check(whole(max(least, ENOUGH)), alone).rules if unable else {}
    for name in unable:
        few = ever[name].judged
        of, do = (f"{limb} in {least} drawings", "Ask for more drawings, or untick it") if few else (limb, "Untick it, or choose another limb")
        faults[f"rule {name}"] = f"{capital(name)} cannot be asked of {of}: {verdict.rules[name].says}. {do}."
    if values["limb"] not in FIGURES or faults:
        return ()
    failed = list(dict.fromkeys(cause.rule for cause in verdict.causes))
    return (f"Our own loop of {limb} in {brief.drawings[0]} drawings does not pass {', '.join(failed)} as strictly as this. Draw it "
            "yourself before you set it.",) if failed else ()


def _named(values, title):
    """The name of its files: the one that is filled in, else by its title."""
    return file_name(values.get("name") or "") or file_name(title)


# ---- back into the form ----------------------------------------------------------------------


def filled_in(one, name=""):
    """What would have to be filled in for this assignment, as FIRST. Where its start drawings are not those that a field makes, or the
    brief tells of passes through them, its limb is GIVEN.

    Parameters
    ----------
    one : Assigned
    name : str
        Of its files, where they are to be written again.
    """
    brief, start = one.brief, one.start
    day, _, time = brief.due.partition("T")
    least, most = brief.drawings or (min(12, start.count), max(32, start.count))
    exposure = next((word for word, frames in EXPOSURES.items() if frames == brief.exposure), "own")
    rules = {}
    for rule in RULES.values():
        numbers = {tolerance.name: brief.tolerance(tolerance.name) for tolerance in rule.tolerances}
        how = next((how for how in STRICTNESSES if all(TOLERANCES[of].at(how) == value for of, value in numbers.items())), NUMBERS)
        rules[rule.name] = {"on": rule.name in brief.rules, "how": how, "weight": brief.weights.get(rule.name, 1), "numbers": numbers}
    return {**FIRST, **_limb_of(one), "title": brief.title, "name": name, "text": brief.text.strip(), "due": day, "time": time,
            "least": least, "most": most, "rate": start.rate, "exposure": exposure, "elbow": ELBOWS[brief.may_break], "guide": brief.guide,
            "mend": brief.mend, "rules": rules}


def _limb_of(one):
    """The fields of the limb."""
    start, figure = one.start, figure_of(one.start)
    if one.brief.passes:
        return {"limb": GIVEN}
    if figure is not None and start.drawn_as(figure.start(start.count)):
        return {"limb": figure.name}
    limb = start.limbs[0]
    parts = [{"joint": joint, "length": length, "least": least, "greatest": greatest} for joint, length, (least, greatest) in
             zip(limb.joints, [0.0, *limb.lengths.tolist()], [(0.0, 0.0), *limb.stops.tolist()])]
    fields = {"limb": OWN, "limb_name": limb.name, "parts": parts}
    made = _own(Reading(fields), start.count)
    return fields if len(start.limbs) == 1 and made is not None and made.drawn_as(start) else {"limb": GIVEN}


def usual_rules(limb, rules):
    """The rules of the form with those ticked that this figure of the landing can be judged by; its way of being strict stays."""
    figure = FIGURES[limb]
    judged = check(figure.whole(figure.usual)).rules
    return {name: {**one, "on": judged[name].judged} for name, one in rules.items()}
