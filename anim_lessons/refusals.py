"""Why a file is no action file, in words that a learner can act on: limb, drawing and joint
in place of a path such as $.limbs[0].drawings[2][1]."""

import json
import re

FORMAT = "anim-lessons/action"
VERSION = 1

_PATH = re.compile(r" - at `(.*)`$")
_PLACE = re.compile(r"^\$\.limbs\[(\d+)\](?:\.(\w+)(?:\[(\d+)\](?:\[(\d+)\](?:\[(\d+)\])?)?)?)?$")
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
        try:
            known = json.loads(known, parse_int=float)  # a number too long for a whole one is only infinite
        except (ValueError, RecursionError):
            known = None
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
