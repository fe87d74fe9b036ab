"""The action file: JSON (RFC 8259), read strictly, written in one way only.

Reading refuses whatever would have to be guessed at: a key twice, a key
nobody knows, NaN, a text where a number belongs, a drawing short of a joint.
Each refusal is an ActionError of one or two lines that says where. Writing is
canonical: the same action gives the same bytes, one drawing a line.

Three keys may be missing and are written only where there is something in them: a limb's
"plans" (of each planned joint its path and its timing chart), "lines" (of each drawing that has
one its pencil line: strokes of points [x, y] or [x, y, pressure]) and "lecture" (the steps an
instructor recorded).
"""

import errno
import json
import os

import msgspec

from .action import Action, ActionError, Limb, Plan, Step
from .file_errors import misfit, refused, unreadable
from .file_shape import FORMAT, MAX_BYTES, VERSION, File, decode, keys_stand_once
from .lines import Line
from .whole_file import TooLarge, read_whole


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
    return loads(_bytes(path), where=os.fspath(path))


def read_many(paths):
    """Read action files one after the other; no more than one of them is held.

    Parameters
    ----------
    paths : iterable of str or Path

    Yields
    ------
    (path, Action or ActionError)
        In the order of the paths. A file that cannot be read keeps none of the others back.
    """
    for path in paths:
        try:
            found = read(path)
        except ActionError as error:
            # The frames of a traceback hold the bytes of the file.
            found = error.with_traceback(None)
            found.__context__ = None
        yield path, found
        del found


def _bytes(path):
    try:
        return read_whole(path, MAX_BYTES, links=True)[0]
    except FileNotFoundError:
        error = ActionError("there is no such file", "check the name and the folder")
    except TooLarge as large:
        error = _too_large(large.size)
    except OSError as other:
        if other.errno in (errno.EISDIR, errno.ENXIO):
            error = ActionError("is not a file but a folder or a device", "name the action file itself")
        else:
            error = ActionError(f"cannot be opened ({other.strerror})", "check that it is yours to read")
    except ValueError:
        error = ActionError("no file has a NUL in its name", "check the name")
    raise error.at(file=os.fspath(path))


def _too_large(size):
    return ActionError(f"is too large for an action file, {size / 1e6:.1f} MB",
                       f"at most {MAX_BYTES / 1e6:.0f} MB are read. Is it another kind of file?")


def loads(data, where="action file"):
    """Read an action from the bytes of a file; `where` opens every error."""
    if len(data) > MAX_BYTES:
        raise _too_large(len(data)).at(file=where)
    try:
        file = decode(data)
    except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError):
        file = None
    if file is None or not keys_stand_once(file, data) or not _is_utf8(data):
        raise (refused(data) or unreadable()).at(file=where)
    return _action(file, where)


def _is_utf8(data):
    """msgspec looks only at texts that it keeps."""
    if data.isascii():
        return True
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True


def from_document(document, where="drawings"):
    """Read an action from the dict that `document` makes."""
    try:
        file = msgspec.convert(document, File, strict=True)
    except (msgspec.ValidationError, UnicodeEncodeError):  # the latter: half a character as format
        file = None
    if file is None:
        raise (misfit(document) or unreadable()).at(file=where)
    return _action(file, where)


def _action(file, where):
    try:
        limbs = tuple(_limb(limb) for limb in file.limbs)
        exposure = file.exposure if isinstance(file.exposure, int) else tuple(file.exposure)
        return Action(limbs, file.title, file.by, file.rate, file.loop,
                      (file.paper.width, file.paper.height), exposure, _steps(file.lecture),
                      tuple(Line(line.drawing, line.strokes) for line in file.lines))
    except ActionError as error:
        raise error.at(file=where)


def _limb(limb):
    try:
        plans = tuple(Plan(plan.joint, plan.path, plan.chart) for plan in limb.plans)
    except ActionError as error:
        raise error.at(limb=limb.name)
    return Limb(limb.name, limb.joints, limb.lengths, limb.stops, limb.drawings, plans)


def _steps(lecture):
    steps = []
    for number, step in enumerate(lecture, start=1):
        try:
            steps.append(Step(step.drawing, step.limb, step.joint, step.points, step.says))
        except ActionError as error:
            raise error.at(step=number)
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
    return {**whole, **lines(action), **lecture(action)}


def plans(limb):
    """The key "plans" of a limb as JSON-able dict, empty where nothing is planned."""
    if not limb.plans:
        return {}
    return {"plans": [{"joint": plan.joint, "path": _points(plan.path),
                       "chart": [_number(share) for share in plan.chart.tolist()]} for plan in limb.plans]}


def lines(action):
    """The key "lines" as JSON-able dict, empty where no drawing has a line."""
    if not action.lines:
        return {}
    return {"lines": [{"drawing": int(line.drawing),
                       "strokes": [[list(map(_number, point)) for point in stroke] for stroke in line.told()]}
                      for line in action.lines]}


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
    limbs = whole.pop("limbs")
    lists = [(key, whole.pop(key)) for key in ("lines", "lecture") if key in whole]
    rows = [f'  "{key}": {_json(value)},' for key, value in whole.items()]
    rows.append('  "limbs": [')
    for last, limb in _with_last(limbs):
        drawings, planned = limb.pop("drawings"), limb.pop("plans", [])
        rows.append("    {")
        rows += [f'      "{key}": {_json(value)},' for key, value in limb.items()]
        if planned:
            rows.append('      "plans": [')
            rows += [f"        {_json(plan)}{'' if end else ','}" for end, plan in _with_last(planned)]
            rows.append("      ],")
        rows.append('      "drawings": [')
        rows += [f"        {_json(drawing)}{'' if end else ','}" for end, drawing in _with_last(drawings)]
        rows.append("      ]")
        rows.append("    }" if last else "    },")
    for key, entries in lists:
        rows += ["  ],", f'  "{key}": [']
        rows += [f"    {_json(entry)}{'' if end else ','}" for end, entry in _with_last(entries)]
    rows.append("  ]")
    return ("{\n" + "\n".join(rows) + "\n}\n").encode("utf-8")


def _json(value):
    return json.dumps(value, ensure_ascii=False, allow_nan=False)


def _with_last(items):
    return ((index == len(items) - 1, item) for index, item in enumerate(items))
