"""Why a file is no action file, in words that a learner can act on: limb, drawing and joint
in place of a path such as $.limbs[0].drawings[2][1]."""

import json
import re

FORMAT = "anim-lessons/action"
VERSION = 1

_PATH = re.compile(r" - at `(.*)`$")
_PLACE = re.compile(r"^\$\.limbs\[(\d+)\](?:\.(\w+)(?:\[(\d+)\](?:\[(\d+)\](?:\[(\d+)\])?)?)?)?$")
_PLAN = re.compile(r"^\$\.limbs\[(\d+)\]\.plans\[(\d+)\]\.(\w+)(?:\[(\d+)\](?:\[(\d+)\])?)?$")
_STEP = re.compile(r"^\$\.lecture\[(\d+)\](?:\.(\w+)(?:\[(\d+)\](?:\[(\d+)\])?)?)?$")
_BYTE = re.compile(r" \(byte (\d+)\)$")
_KINDS = {
    "float": "a number", "int": "a whole number", "str": "a text", "bool": "true or false", "array": "a list",
    "object": "an object in braces", "null": "null", "int | array": "a whole number or a list of them",
}
_SAYS = (  # what msgspec says; the same for a learner
    (re.compile(r"Object contains unknown field `(.{,100}).*`", re.DOTALL), r'unknown key "\1"; take it out'),
    (re.compile(r"Object missing required field `(.*)`"), r'missing key "\1"; put it in'),
    (re.compile(r"Expected `array` of length >= (\d+)"), r"the list is too short; it needs at least \1"),
    (re.compile(r"Expected `array` of length <= (\d+)"), r"the list is too long; it may have at most \1"),
    (re.compile(r"Expected `str` of length <= (\d+)"), r"the text is too long; at most \1 letters are kept"),
    (re.compile(r"Expected `\w+` <= (\d+).*"), r"the number is too large; at most \1 is allowed"),
    (re.compile(r"Expected `\w+` >= (-?\d+).*"), r"the number is too small; at least \1 is needed"),
    (re.compile(r"Expected `\w+` > 0.*"), "the number must be above 0"),
    (re.compile(r"Number out of range"), "the number is too large for any sheet"),
)


def malformed(error, data):
    """Why the bytes are no JSON, and in which line."""
    says = str(error).replace("JSON is malformed: ", "")
    if "truncated" in says:
        return f"breaks off in line {data.count(10) + 1}, so it is no whole JSON; take the last kept version"
    byte = _BYTE.search(says)
    line = f", line {data[:int(byte.group(1))].count(10) + 1}" if byte else ""
    return (f"is not JSON that can be read ({_BYTE.sub('', says)}{line}); look for a comma, a bracket or a quote too many "
            "or too few there; JSON has no comments")


def explained(message, known):
    """Where a document goes wrong and what belongs there; `known` is the document or its bytes, for the names."""
    path = _PATH.search(message)
    place, what = path.group(1) if path else "$", _worded(_PATH.sub("", message))
    elsewhere = _planned(place, known) or _told(place, known)
    if elsewhere:
        return f"{elsewhere}: {what}"
    match = _PLACE.match(place)
    if not match:
        where = place.removeprefix("$").lstrip(".")
        if where == "version":
            return f"version is not {VERSION}; a later version of anim_lessons wrote it, update to read it"
        if where == "format":
            return f'format is not "{FORMAT}"; is this an action file?'
        return f'key "{where}": {what}' if where else what
    limb, key, first, second, third = match.groups()
    limb_name, joint_name = _names(known, int(limb))
    where = f"limb {limb_name}"
    if key == "drawings" and first is not None:
        where += f", drawing {int(first) + 1}"
        if second is not None:
            where += f", joint {joint_name(int(second))}"
            what += " (a point is [x, y])" if third is None else ""
        if third is not None:
            where += f", {'xy'[int(third)]}"
    elif key:
        where += f', key "{key}"' + (f", number {int(first) + 1}" if first is not None else "")
    return f"{where}: {what}"


def _planned(place, known):
    """Where in a plan: limb, joint, drawing of its chart or place of its path; an empty text where it is no plan."""
    match = _PLAN.match(place)
    if not match:
        return ""
    limb, number, key, first, axis = match.groups()
    where = f'limb {_names(known, int(limb))[0]}, key "plans"'
    joint = _at(known, "limbs", int(limb), "plans", int(number), "joint")
    where += f', plan of "{joint}"' if isinstance(joint, str) and key != "joint" else f", number {int(number) + 1}"
    if first is None:
        return f'{where}, key "{key}"'
    where += f", chart, drawing {int(first) + 1}" if key == "chart" else f", place {int(first) + 1} of its path"
    return where + (f", {'xy'[int(axis)]}" if axis else "")


def _told(place, known):
    """Where in a lecture: step, limb, drawing, joint; an empty text where it is no lecture."""
    match = _STEP.match(place)
    if not match:
        return ""
    number, key, first, axis = match.groups()
    where = f'key "lecture", step {int(number) + 1}'
    if key is None or first is None:
        return where + (f', key "{key}"' if key else "")
    limb, drawing = (_at(known, "lecture", int(number), name) for name in ("limb", "drawing"))
    limbs = _at(known, "limbs")
    mine = [it for it in limbs if isinstance(it, dict) and it.get("name") == limb] if isinstance(limbs, list) else []
    joint = _at(mine, 0, "joints", int(first))
    where += f', limb "{limb}"' if isinstance(limb, str) else ""
    where += f", drawing {drawing:g}" if isinstance(drawing, (int, float)) else ""
    where += f', joint "{joint}"' if isinstance(joint, str) else f", point {int(first) + 1}"
    return where + (f", {'xy'[int(axis)]}" if axis else "")


def _at(known, *way):
    """What stands at a place of the document, or None where there is none."""
    if isinstance(known, bytes):
        known = _loose(known)
    for key in way:
        try:
            known = known[key]
        except (IndexError, KeyError, TypeError):
            return None
    return known


def _loose(data):
    try:
        return json.loads(data, parse_int=float)  # a number too long for a whole one is only infinite
    except (ValueError, RecursionError):
        return None


def _worded(what):
    for pattern, says in _SAYS:
        if pattern.fullmatch(what):
            return pattern.sub(says, what)
    kinds = re.fullmatch(r"Expected `(.*)`, got `(.*)`", what)
    if kinds:
        asked, there = (_KINDS.get(kind, kind) for kind in kinds.groups())
        return f"{asked} belongs here, and there is {there}"
    return what.replace("`", '"')


def _names(known, limb):
    """Name of a limb, and of its joints by number, as far as the broken document still tells them."""
    if isinstance(known, bytes):
        known = _loose(known)
    try:
        known = known["limbs"][limb]
        name = f'"{known["name"]}"'
    except (IndexError, KeyError, TypeError):
        known, name = {}, str(limb + 1)

    def joint(number):
        try:
            return f'"{known["joints"][number]}"'
        except (IndexError, KeyError, TypeError):
            return str(number + 1)

    return name, joint
