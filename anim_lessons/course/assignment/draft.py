"""What is filled in becomes a brief and start drawings; and an assignment becomes what would have to be filled in.

What is filled in is a dict, as the form sends it; `FIRST` has every key.
"""

from dataclasses import dataclass, replace

from ...ferry.figures import FIGURES
from ...judging.brief import GUIDES, Brief, due_text
from ...judging.brief_text import brief_text
from ...judging.judge import check
from ...model.action import Action, ActionError
from ...model.plans import MOST_DRAWINGS
from ...model.printable import visible
from ...model.words import capital
from ...rules import RULES, TOLERANCES
from ...rules.rule import STRICTNESSES, USUAL
from .fields import Faults, Reading, file_name
from .limb import FIRST_PARTS, GIVEN, OWN, drawn, limb_of

EXPOSURES = {"ones": 1, "twos": 2, "threes": 3, "own": None}
ELBOWS = ("natural", "loose")
NUMBERS = "numbers"  # how strict a rule is, where its numbers are given
MOST_TITLE, MOST_TEXT = 80, 4_000  # letters
MOST_WEIGHT = 9
ENOUGH = 24  # drawings in which every rule can judge what it ever can

FIRST = {
    "title": "",
    "name": "",
    "text": "",
    "due": "",
    "time": "",
    "limb": "arm",
    "limb_name": "tail",
    "parts": FIRST_PARTS,
    "least": 12,
    "most": 32,
    "rate": 24,
    "exposure": "twos",
    "elbow": "natural",
    "guide": "sector",
    "mend": True,
    "rules": {
        name: {"on": True, "how": USUAL, "weight": 1, "numbers": {one.name: one.value for one in rule.tolerances}}
        for name, rule in RULES.items()
    },
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
    brief = (
        Brief() if begun is None else begun.brief if given else replace(begun.brief, passes=(), given=(), hand=False)
    )
    changes = _plain(reading)
    counts, rate = _counts(reading), reading.number("rate", 1, 240, "frames a second", whole=True)
    rules, weights, tolerances = _rules(reading)
    start, whole = drawn(reading, counts, begun if given else None)
    if reading.faults:
        raise Faults(reading.faults)
    figure = FIGURES.get(values["limb"])
    changes |= (
        {"given": figure.given} if figure else {"given": start.limbs[0].joints[:1]} if values["limb"] == OWN else {}
    )
    brief = replace(
        brief, rules=rules, names_rules=True, drawings=counts, weights=weights, tolerances=tolerances, **changes
    )
    start = start.replace(title=brief.title, rate=rate, exposure=brief.exposure or start.exposure)
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
        "title": title,
        "text": reading.text("text", MOST_TEXT).replace("\r\n", "\n"),
        "due": _due(reading),
        "exposure": EXPOSURES[reading.one_of("exposure", EXPOSURES)],
        "may_break": reading.one_of("elbow", ELBOWS) == "loose",
        "guide": reading.one_of("guide", GUIDES),
        "mend": mend is not False,
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
        weight = reading.number(
            field, 0, MOST_WEIGHT, "what it counts; 1 is usual, 3 counts three times", value=one.get("weight", "")
        )
        weights |= {} if weight == 1 else {name: weight}
        how, numbers = one.get("how"), one.get("numbers")
        if how not in (*STRICTNESSES, NUMBERS):
            reading.fault(field, f"Choose how strict it is: {', '.join(STRICTNESSES)}, or by its numbers.")
            continue
        for tolerance in rule.tolerances:
            value = (
                tolerance.at(how)
                if how != NUMBERS
                else reading.number(
                    field,
                    0,
                    100_000,
                    f"{tolerance.name}, {tolerance.of}",
                    value=numbers.get(tolerance.name, "") if isinstance(numbers, dict) else "",
                )
            )
            tolerances |= {} if value == tolerance.value else {tolerance.name: value}
    if not rules:
        reading.fault("rules", "Tick at least one rule: without one there is nothing to check.")
    elif all(weights.get(name) == 0 for name in rules):
        reading.fault("rules", "Every rule counts 0. Let at least one count something.")
    return tuple(rules), weights, tolerances


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
        of, do = (
            (f"{limb} in {least} drawings", "Ask for more drawings, or untick it")
            if few
            else (limb, "Untick it, or choose another limb")
        )
        faults[f"rule {name}"] = f"{capital(name)} cannot be asked of {of}: {verdict.rules[name].says}. {do}."
    if values["limb"] not in FIGURES or faults:
        return ()
    failed = list(dict.fromkeys(cause.rule for cause in verdict.causes))
    if not failed:
        return ()
    says = (
        f"Our own loop of {limb} in {brief.drawings[0]} drawings does not pass {', '.join(failed)} as strictly as this."
    )
    return (f"{says} Draw it yourself before you set it.",)


def _named(values, title):
    """The name of its files: the one that is filled in, else by its title."""
    return file_name(values.get("name") or "") or file_name(title)


# ---- back into the form ----------------------------------------------------------------------


def filled_in(one, name=""):
    """What would have to be filled in for this assignment, as FIRST.

    Its limb is GIVEN where its start drawings are not those that a field makes, or the brief tells of passes through them.

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
        how = next(
            (how for how in STRICTNESSES if all(TOLERANCES[of].at(how) == value for of, value in numbers.items())),
            NUMBERS,
        )
        rules[rule.name] = {
            "on": rule.name in brief.rules,
            "how": how,
            "weight": brief.weights.get(rule.name, 1),
            "numbers": numbers,
        }
    return {
        **FIRST,
        **limb_of(one),
        "title": brief.title,
        "name": name,
        "text": brief.text.strip(),
        "due": day,
        "time": time,
        "least": least,
        "most": most,
        "rate": start.rate,
        "exposure": exposure,
        "elbow": ELBOWS[brief.may_break],
        "guide": brief.guide,
        "mend": brief.mend,
        "rules": rules,
    }


def usual_rules(limb, rules):
    """The rules of the form, those ticked that this figure can be judged by; how strict they are stays."""
    figure = FIGURES[limb]
    judged = check(figure.whole(figure.usual)).rules
    return {name: {**rules[name], "on": judged[name].judged} for name in RULES}
