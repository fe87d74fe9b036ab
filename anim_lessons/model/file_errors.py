"""Why a file is no action file: the first fault in it, as an ActionError that names its place.

Only files that are refused come here. A file is parsed once more, loosely, and walked along the shape of
`file_shape`; each step is linear in the size of the file.
"""

import json
import math
import re
from functools import cache

from msgspec import inspect

from .errors import ActionError
from .file_shape import FORMAT, VERSION, File
from .plans import is_whole

DEEPEST = 16        # brackets within brackets; an action file has 7
LONGEST_WHOLE = 30  # digits of a whole number that is read as such; a longer one is too large for any key
MOST_SHOWN = 100    # letters of a key or a name in a sentence

_BRACKETS = re.compile(r'"[^"\\]*(?:\\.[^"\\]*)*"?|[\[\]{}]', re.DOTALL)  # texts are passed over whole
_ENDLESS = re.compile(r'"[^"\\]*+(?:\\.[^"\\]*+)*+\\?\Z', re.DOTALL)  # a text without its closing quote


class _Constant(float):
    """NaN or an infinity, which Python's reader takes for numbers and RFC 8259 does not."""


class _Repeated(dict):
    """An object of the file in which the key `twice` stands twice."""

    twice = None


def refused(data):
    """The ActionError for the bytes of a file, or None where nothing is wrong with them."""
    if data.startswith(b"\xef\xbb\xbf"):
        return ActionError("begins with a byte order mark", "save it again as UTF-8 without one")
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        return ActionError(f"is not UTF-8 text (byte {error.start + 1})", "save it again as UTF-8")
    if not text.strip(" \t\r\n\0"):
        return ActionError("is empty", "take the last kept version or start again from a start file")
    if text.lstrip(" \t\r\n").startswith("["):
        text = "[]"  # no action file, whatever is in it; so it takes no memory
    try:
        return misfit(_parsed(text))
    except json.JSONDecodeError as error:
        return _malformed(error)
    except RecursionError:
        return misfit(_parsed(_cut(text)))


def unreadable():
    """The ActionError where no more is known."""
    return ActionError("is not JSON that can be read", "take the last kept version")


def misfit(document):
    """The ActionError for the first place at which a document is no action file, or None."""
    found = _fault(document, _shape(), ())
    if found is None:
        return None
    way, what, do = found
    return ActionError(what, do, **_place(way, document))


@cache
def _shape():
    return inspect.type_info(File)


# ---- parsing ---------------------------------------------------------------------------


def _parsed(text):
    """The document in a text, with repeated keys and what is no number marked."""
    return json.loads(text, object_pairs_hook=_object, parse_constant=_Constant, parse_int=_whole)


def _object(pairs):
    made = dict(pairs)
    if len(made) < len(pairs):
        made, seen = _Repeated(made), set()
        for key, _ in pairs:
            if key in seen:
                made.twice = key
                break
            seen.add(key)
    return made


def _whole(digits):
    if len(digits) <= LONGEST_WHOLE:
        return int(digits)
    return -math.inf if digits[0] == "-" else math.inf


def _cut(text):
    """The text up to the bracket that is too deep, and closed there; what comes after does not matter."""
    closing = []
    for match in _BRACKETS.finditer(text):
        letter = text[match.start()]
        if letter in "[{":
            closing.append("]" if letter == "[" else "}")
            if len(closing) == DEEPEST:
                return text[:match.end()] + "".join(reversed(closing))
        elif letter in "]}" and closing:
            closing.pop()
    return text


def _malformed(error):
    if error.pos >= len(error.doc.rstrip()) or _ENDLESS.match(error.doc, error.pos):
        lines = error.doc.count("\n") + 1
        return ActionError(f"breaks off in line {lines}, so it is no whole JSON",
                           "take the last kept version")
    return ActionError(f"is not JSON that can be read ({error.msg}, line {error.lineno})",
                       "look for a comma, a bracket or a quote too many or too few there; "
                       "JSON has no comments")


# ---- the walk --------------------------------------------------------------------------


def _fault(value, kind, way):
    """The first fault in a value: keys and indices that lead to it, what is wrong, what to do. Or None."""
    return _WALK[type(kind)](value, kind, way)


def _object_fault(value, kind, way):
    if not isinstance(value, dict):
        return _other("an object in braces", value, way)
    if isinstance(value, _Repeated):
        return way, f'the key "{value.twice[:MOST_SHOWN]}" stands twice in one object', "keep one of them"
    fields = {field.encode_name: field for field in kind.fields}
    for key, item in value.items():
        if key not in fields:
            return way, f'unknown key "{str(key)[:MOST_SHOWN]}"', "take it out"
        found = _fault(item, fields[key].type, (*way, key))
        if found:
            return found
    missing = next((key for key, field in fields.items() if field.required and key not in value), None)
    return missing and (way, f'missing key "{missing}"', "put it in")


def _list_fault(value, kind, way):
    if not isinstance(value, list | tuple):
        return _other("a list", value, way)
    if kind.max_length is not None and len(value) > kind.max_length:
        return way, "the list is too long", f"it may have at most {kind.max_length}"
    walk = _WALK[type(kind.item_type)]
    faults = (walk(item, kind.item_type, (*way, index)) for index, item in enumerate(value))
    found = next(filter(None, faults), None)
    if not found and kind.min_length is not None and len(value) < kind.min_length:
        return way, "the list is too short", f"it needs at least {kind.min_length}"
    return found


def _number_fault(value, kind, way):
    asked = "a whole number" if isinstance(kind, inspect.IntType) else "a number"
    if isinstance(value, _Constant) or (isinstance(value, float) and math.isnan(value)):
        return way, f"{asked} belongs here, and NaN and Infinity are none in JSON", "write the number"
    if isinstance(value, bool) or not isinstance(value, int | float):
        return _other(asked, value, way)
    if isinstance(kind, inspect.IntType) and isinstance(value, float) and math.isfinite(value):
        return _other(asked, value, way)
    if kind.ge is not None and value < kind.ge:
        return way, "the number is too small", f"at least {kind.ge:g} is needed"
    if kind.le is not None and value > kind.le:
        return way, "the number is too large", f"at most {kind.le:g} is allowed"
    return None


def _text_fault(value, kind, way):
    if not isinstance(value, str):
        return _other("a text", value, way)
    if kind.max_length is not None and len(value) > kind.max_length:
        return way, "the text is too long", f"at most {kind.max_length} letters are kept"
    if not is_whole(value):
        return way, "the text holds half a character (a lone surrogate)", "type it again"
    return None


def _flag_fault(value, kind, way):
    return None if isinstance(value, bool) else _other("true or false", value, way)


def _choice_fault(value, kind, way):
    if any(type(value) is type(choice) and value == choice for choice in kind.values):
        return None
    if way[-1] == "version":
        return way, f"it is not {VERSION}", "a later version of anim_lessons wrote it, update to read it"
    return way, f'it is not "{FORMAT}"', "is this an action file?"


def _either_fault(value, kind, way):
    """A whole number or a list of them."""
    lists = isinstance(value, list | tuple)
    of_kind = next(choice for choice in kind.types if isinstance(choice, inspect.ListType) == lists)
    if lists or (isinstance(value, int | float) and not isinstance(value, bool)):
        return _fault(value, of_kind, way)
    return _other("a whole number or a list of them", value, way)


_WALK = {
    inspect.StructType: _object_fault, inspect.ListType: _list_fault, inspect.FloatType: _number_fault,
    inspect.IntType: _number_fault, inspect.StrType: _text_fault, inspect.BoolType: _flag_fault,
    inspect.LiteralType: _choice_fault, inspect.UnionType: _either_fault,
}
_KINDS = (  # bool before int: in Python a truth value is a whole number as well
    (bool, "true or false"), (_Constant, "NaN or Infinity"), (int, "a whole number"),
    (float, "a number with a fraction"), (str, "a text"), ((list, tuple), "a list"),
    (dict, "an object in braces"), (type(None), "null"),
)


def _other(asked, value, way):
    there = next((words for kind, words in _KINDS if isinstance(value, kind)), f"a {type(value).__name__}")
    point = " (a point is [x, y])" if len(way) == 5 and way[2] == "drawings" else ""
    return way, f"{asked} belongs here, and there is {there}{point}", ""


# ---- the place in words ----------------------------------------------------------------


def _place(way, document):
    """The parts of an ActionError's place for keys and indices that lead to it."""
    match way:
        case ("limbs", int(limb), *rest):
            name = _name(limb, document, "limbs", limb, "name")
            return {"limb": name, **_in_limb(rest, document["limbs"][limb])}
        case ("lecture", int(step), *rest):
            return {"step": step + 1, **_in_step(rest, document["lecture"][step], document)}
        case ("lines", int(line), *rest):
            return _in_line(rest, document["lines"][line], line)
        case ("exposure", int(drawing)):
            return {"key": "exposure", "drawing": drawing + 1}
        case ():
            return {}
    return {"key": ".".join(map(str, way))}


def _in_limb(way, limb):
    match way:
        case ("drawings", int(drawing), *rest):
            joint = {"joint": _name(rest[0], limb, "joints", rest[0])} if rest else {}
            return {"drawing": drawing + 1, **joint, **_axis(rest[1:])}
        case ("plans", int(plan), *rest):
            return {"plan": _name(plan, limb, "plans", plan, "joint"), **_in_plan(rest)}
    return _in_list(way)


def _in_plan(way):
    match way:
        case ("path", int(spot), *axis):
            return {"spot": spot + 1, **_axis(axis)}
        case ("chart", int(drawing)):
            return {"key": "chart", "drawing": drawing + 1}
    return _in_list(way)


def _in_step(way, step, document):
    match way:
        case ("points", int(joint), *axis):
            limb, drawing = _at(step, "limb"), _at(step, "drawing")
            limbs = _at(document, "limbs")
            mine = [it for it in limbs if _at(it, "name") == limb] if isinstance(limbs, list | tuple) else []
            return {"limb": limb[:MOST_SHOWN] if isinstance(limb, str) else None,
                    "drawing": drawing if type(drawing) is int else None,
                    "joint": _name(joint, mine, 0, "joints", joint), **_axis(axis)}
    return _in_list(way)


def _in_line(way, line, index):
    drawing = _at(line, "drawing")
    place = {"key": "lines", "drawing": drawing if type(drawing) is int else None}
    if place["drawing"] is None:
        place["number"] = index + 1
    match way:
        case ("strokes", int(stroke), *rest):
            parts = [("stroke", stroke + 1), *(("point", point + 1) for point in rest[:1])]
            return {**place, **dict(parts), **({"axis": ("x", "y", "pressure")[rest[1]]} if rest[1:] else {})}
    return place


def _in_list(way):
    """A key of an object, and the number of an entry where it has a list."""
    return {"key": way[0] if way else None, "number": way[1] + 1 if len(way) > 1 else None}


def _axis(way):
    return {"axis": "xy"[way[0]]} if way else {}


def _name(index, document, *way):
    """A name in the document, or its number where there is none."""
    name = _at(document, *way)
    return name[:MOST_SHOWN] if isinstance(name, str) else index + 1


def _at(document, *way):
    """What stands at a place of the document, or None where there is none."""
    for key in way:
        try:
            document = document[key]
        except (IndexError, KeyError, TypeError):
            return None
    return document
