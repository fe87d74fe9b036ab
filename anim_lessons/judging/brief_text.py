"""A brief written as TOML, so that it is read back as the same Brief; people may edit it."""

import json
from datetime import datetime

from ..model.action import ActionError
from ..model.plans import is_whole
from .brief import MOST_BYTES, Brief

_FIRST = Brief()  # what a key that is left out stands for


def brief_text(brief, says=""):
    """The text of a brief's file (TOML 1.0.0, toml.io). What a brief leaves open is left out.

    Parameters
    ----------
    brief : Brief
    says : str
        A line that is put before it, as a comment.

    Returns
    -------
    str

    Raises
    ------
    ActionError
        Where a text holds half a character, or all of it is longer than `read_brief` reads.

    Examples
    --------
    >>> print(brief_text(Brief("Ride the swell", rules=("spacing",), drawings=(12, 24), due="2026-11-29")), end="")
    title = "Ride the swell"
    rules = ["spacing"]
    drawings = [12, 24]
    due = 2026-11-29
    """
    lines = [f"# {says}"] if says else []
    lines += [f"{key} = {_value(getattr(brief, key))}" for key in ("title", "text") if getattr(brief, key)]
    if brief.names_rules:
        lines.append(f"rules = {_value(brief.rules)}")
    if brief.drawings is not None:
        least, most = brief.drawings
        lines.append(f"drawings = {_value(least if least == most else [least, most])}")
    if brief.exposure is not None:
        lines.append(f"exposure = {brief.exposure}")
    for key in ("may_break", "hand", "guide", "way", "given", "mend"):
        if getattr(brief, key) != getattr(_FIRST, key):
            lines.append(f"{key} = {_value(getattr(brief, key))}")
    if brief.due:
        lines.append(f"due = {brief.due}" + (f":{datetime.fromisoformat(brief.due):%S}" if "T" in brief.due else ""))
    for key in ("tolerances", "weights"):
        if getattr(brief, key):
            lines += ["", f"[{key}]", *(f"{name} = {_value(value)}" for name, value in getattr(brief, key).items())]
    for one in brief.passes:
        lines += ["", "[[passes]]", *(f"{key} = {_value(value)}" for key, value in one._asdict().items() if value)]
    text = "\n".join(lines) + "\n"
    if not is_whole(text):
        raise ActionError("a text of it holds half a character (a lone surrogate)", "type it again")
    if len(text.encode("utf-8")) > MOST_BYTES:
        raise ActionError(f"it is longer than the {MOST_BYTES:,} bytes of a brief", "shorten its text")
    return text


def _value(value):
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(map(_value, value))}]"
    return repr(value)


def _text(text):
    """A text in quotes: the escapes of JSON (RFC 8259) are those of TOML, which wants DEL escaped as well."""
    lines = [json.dumps(line, ensure_ascii=False)[1:-1].replace("\x7f", "\\u007F") for line in text.split("\n")]
    # A line break right after the opening quotes is no part of the text.
    return f'"{lines[0]}"' if len(lines) == 1 else '"""\n' + "\n".join(lines) + '"""'
