"""The action file: JSON (RFC 8259), read strictly, written in one way only.

Reading refuses whatever would have to be guessed at: a key twice, a key
nobody knows, NaN, a text where a number belongs, a drawing short of a joint.
Each refusal is an ActionError of one or two lines that says where. Writing is
canonical: the same action gives the same bytes, one drawing a line.

Two keys may be missing and are written only where there is something in them: a limb's
"plans" (of each planned joint its path and its timing chart) and "lecture" (the steps an
instructor recorded).
"""

import json
import os
import stat
from pathlib import Path
from typing import Annotated, Literal

import msgspec

from .action import LARGEST, MOST_LETTERS, MOST_PLACES, MOST_STEPS, Action, ActionError, Limb, Plan, Step
from .file_errors import FORMAT, VERSION, explained, malformed

MAX_BYTES = 8_000_000  # 2,000 drawings of a hundred joints; a larger file is no pencil test
MOST_DRAWINGS = 2_000

Millimetres = Annotated[float, msgspec.Meta(ge=-LARGEST, le=LARGEST)]
Degrees = Annotated[float, msgspec.Meta(ge=-360, le=360)]
Frames = Annotated[int, msgspec.Meta(ge=1, le=10_000)]
Text = Annotated[str, msgspec.Meta(max_length=500)]
Point = Annotated[list[Millimetres], msgspec.Meta(min_length=2, max_length=2)]
Share = Annotated[float, msgspec.Meta(ge=0, le=1)]
Said = Annotated[str, msgspec.Meta(max_length=MOST_LETTERS)]


class _Paper(msgspec.Struct, forbid_unknown_fields=True):
    width: Annotated[float, msgspec.Meta(gt=0, le=LARGEST)]
    height: Annotated[float, msgspec.Meta(gt=0, le=LARGEST)]


class _Plan(msgspec.Struct, forbid_unknown_fields=True):
    joint: Text
    path: Annotated[list[Point], msgspec.Meta(min_length=2, max_length=MOST_PLACES)]
    chart: Annotated[list[Share], msgspec.Meta(min_length=2, max_length=MOST_DRAWINGS)]


class _Step(msgspec.Struct, forbid_unknown_fields=True):
    drawing: Annotated[int, msgspec.Meta(ge=1, le=MOST_DRAWINGS)]
    limb: Text
    joint: Text
    points: Annotated[list[Point], msgspec.Meta(min_length=1, max_length=200)]
    says: Said


class _Limb(msgspec.Struct, forbid_unknown_fields=True):
    name: Text
    joints: Annotated[list[Text], msgspec.Meta(min_length=1, max_length=200)]
    lengths: list[Annotated[float, msgspec.Meta(gt=0, le=LARGEST)]]
    stops: list[Annotated[list[Degrees], msgspec.Meta(min_length=2, max_length=2)]]
    drawings: Annotated[list[list[Point]], msgspec.Meta(min_length=2, max_length=MOST_DRAWINGS)]
    plans: Annotated[list[_Plan], msgspec.Meta(max_length=200)] = []


class _File(msgspec.Struct, forbid_unknown_fields=True):
    format: Literal["anim-lessons/action"]
    version: Literal[1]
    title: Text
    by: Text
    rate: Annotated[int, msgspec.Meta(ge=1, le=240)]
    loop: bool
    paper: _Paper
    exposure: Frames | list[Frames]
    limbs: Annotated[list[_Limb], msgspec.Meta(min_length=1, max_length=50)]
    lecture: Annotated[list[_Step], msgspec.Meta(max_length=MOST_STEPS)] = []


_decoder = msgspec.json.Decoder(_File, strict=True)


def read(path):
    """Read an action file.

    Parameters
    ----------
    path : str or Path

    Returns
    -------
    Action

    Raises
    ------
    ActionError
        Where the file cannot be read as an action; the message names the file
        and, where it applies, limb, joint and drawing.
    """
    return loads(_bytes(Path(path)), where=str(path))


def _bytes(path):
    """What a regular file holds, refused by its size before any of it is read."""
    try:
        # Without O_NONBLOCK a named pipe in the folder would wait for ever.
        handle = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0))
    except FileNotFoundError:
        raise ActionError(f"{path}: there is no such file; check the name and the folder") from None
    except OSError as error:
        raise ActionError(f"{path}: cannot be opened ({error.strerror}); check that it is yours to read") from None
    with os.fdopen(handle, "rb") as file:
        status = os.fstat(file.fileno())
        if not stat.S_ISREG(status.st_mode):
            raise ActionError(f"{path}: is not a file but a folder or a device; name the action file itself")
        if status.st_size > MAX_BYTES:
            raise ActionError(_too_large(path, status.st_size))
        data = file.read(MAX_BYTES + 1)
    if len(data) > MAX_BYTES:
        raise ActionError(_too_large(path, len(data)))
    return data


def _too_large(path, size):
    return (f"{path}: is too large for an action file, {size / 1e6:.1f} MB; at most {MAX_BYTES / 1e6:.0f} MB "
            "are read. Is it another kind of file?")


def loads(data, where="action file"):
    """Read an action from the bytes of a file; `where` opens every error."""
    if len(data) > MAX_BYTES:
        raise ActionError(_too_large(where, len(data)))
    if data.startswith(b"\xef\xbb\xbf"):
        raise ActionError(f"{where}: begins with a byte order mark; save it again as UTF-8 without one")
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        raise ActionError(f"{where}: is not UTF-8 text (byte {error.start + 1}); save it again as UTF-8") from None
    if not text.strip(" \t\r\n\0"):
        raise ActionError(f"{where}: is empty; take the last kept version or start again from a start file")
    try:
        # msgspec goes first: it refuses deep nesting that would exhaust the stack of json.
        file = _decoder.decode(data)
    except msgspec.ValidationError as error:
        raise ActionError(f"{where}: {explained(str(error), data)}") from None
    except (msgspec.DecodeError, RecursionError) as error:
        raise ActionError(f"{where}: {_not_a_number(text) or malformed(error, data)}") from None
    twice = _key_twice(text)
    if twice:
        raise ActionError(f'{where}: the key "{twice}" stands twice in one object; keep one of them')
    return _action(file, where)


def from_document(document, where="drawings"):
    """Read an action from the dict that `document` makes."""
    try:
        file = msgspec.convert(document, _File, strict=True)
    except msgspec.ValidationError as error:
        raise ActionError(f"{where}: {explained(str(error), document)}") from None
    return _action(file, where)


def _action(file, where):
    try:
        limbs = tuple(Limb(limb.name, tuple(limb.joints), limb.lengths, limb.stops, limb.drawings, _plans(limb))
                      for limb in file.limbs)
        exposure = file.exposure if isinstance(file.exposure, int) else tuple(file.exposure)
        for text in (file.title, file.by, *(name for limb in file.limbs for name in (limb.name, *limb.joints))):
            if any("\ud800" <= letter <= "\udfff" for letter in text):
                raise ActionError("a text holds half a character (a lone surrogate); type it again")
        return Action(limbs, file.title, file.by, file.rate, file.loop,
                      (file.paper.width, file.paper.height), exposure, _steps(file.lecture))
    except ActionError as error:
        raise ActionError(f"{where}: {error}") from None


def _plans(limb):
    try:
        return tuple(Plan(plan.joint, plan.path, plan.chart) for plan in limb.plans)
    except ActionError as error:
        raise ActionError(f'limb "{limb.name}", {error}') from None


def _steps(lecture):
    steps = []
    for step in lecture:
        try:
            steps.append(Step(step.drawing, step.limb, step.joint, step.points, step.says))
        except ActionError as error:
            raise ActionError(f"lecture, step {len(steps) + 1}: {error}") from None
    return tuple(steps)


def document(action):
    """The action as JSON-able dict, keys in the order of the file."""
    whole = {
        "format": FORMAT,
        "version": VERSION,
        "title": action.title,
        "by": action.by,
        "rate": int(action.rate),
        "loop": bool(action.loop),
        "paper": {"width": _number(action.paper[0]), "height": _number(action.paper[1])},
        "exposure": list(action.exposure) if isinstance(action.exposure, tuple) else int(action.exposure),
        "limbs": [
            {
                "name": limb.name,
                "joints": list(limb.joints),
                "lengths": [_number(length) for length in limb.lengths.tolist()],
                "stops": [[_number(stop) for stop in pair] for pair in limb.stops.tolist()],
                **plans(limb),
                "drawings": [_points(drawing) for drawing in limb.drawings],
            }
            for limb in action.limbs
        ],
    }
    return {**whole, **lecture(action)}


def plans(limb):
    """The key "plans" of a limb as JSON-able dict, empty where nothing is planned."""
    if not limb.plans:
        return {}
    return {"plans": [{"joint": plan.joint, "path": _points(plan.path), "chart": [_number(share) for share in plan.chart.tolist()]}
                      for plan in limb.plans]}


def lecture(action):
    """The key "lecture" as JSON-able dict, empty where nothing was recorded."""
    if not action.lecture:
        return {}
    return {"lecture": [{"drawing": int(step.drawing), "limb": step.limb, "joint": step.joint,
                         "points": _points(step.points), "says": step.says} for step in action.lecture]}


def _points(points):
    return [[_number(x), _number(y)] for x, y in points.tolist()]


def _number(value):
    """A float as short as it can be written: 12.0 as 12, -0.0 as 0."""
    return int(value) if value == int(value) else value


def dumps(action):
    """The bytes of the action file; the same action always gives the same bytes."""
    whole = document(action)
    limbs, steps = whole.pop("limbs"), whole.pop("lecture", [])
    lines = [f'  "{key}": {_json(value)},' for key, value in whole.items()]
    lines.append('  "limbs": [')
    for last, limb in _with_last(limbs):
        drawings, planned = limb.pop("drawings"), limb.pop("plans", [])
        lines.append("    {")
        lines += [f'      "{key}": {_json(value)},' for key, value in limb.items()]
        if planned:
            lines.append('      "plans": [')
            lines += [f"        {_json(plan)}{'' if end else ','}" for end, plan in _with_last(planned)]
            lines.append("      ],")
        lines.append('      "drawings": [')
        lines += [f"        {_json(drawing)}{'' if end else ','}" for end, drawing in _with_last(drawings)]
        lines.append("      ]")
        lines.append("    }" if last else "    },")
    lines.append("  ]," if steps else "  ]")
    if steps:
        lines.append('  "lecture": [')
        lines += [f"    {_json(step)}{'' if end else ','}" for end, step in _with_last(steps)]
        lines.append("  ]")
    return ("{\n" + "\n".join(lines) + "\n}\n").encode("utf-8")


def _json(value):
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _with_last(items):
    return ((index == len(items) - 1, item) for index, item in enumerate(items))


def _key_twice(text):
    """A key that stands twice in one object, or None; msgspec would keep the last in silence."""
    found = []

    def pairs(items):
        keys = [key for key, _ in items]
        found.extend(key for key in keys if keys.count(key) > 1)

    json.loads(text, object_pairs_hook=pairs)
    return found[0] if found else None


def _not_a_number(text):
    """Where NaN or infinity stands in a file that is otherwise well formed, or None."""
    try:
        loose = json.loads(text, parse_constant=lambda name: [name])  # a list is no number, so it is refused there
        msgspec.convert(loose, _File, strict=True)
    except msgspec.ValidationError as error:
        says = explained(str(error), loose)
        return says.replace("and there is a list", "and NaN and Infinity are none in JSON; write the number")
    except (ValueError, RecursionError):
        pass
    return None
