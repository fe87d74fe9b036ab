"""What is filled in and not written yet: kept beside the assignments, so that it outlives the kernel."""

import json
from contextlib import suppress

from ...storage.disk import read_whole, write_whole
from .draft import FIRST

NAME = ".not_written.json"
MOST = 200_000  # bytes: forty times a form with all rules by their numbers


def keep(folder, key, seen, values):
    """Keep what is filled in; where it cannot be kept, writing it will say why.

    Parameters
    ----------
    folder : Path
        In which assignments are.
    key : str
        With what it was begun.
    seen : dict of str to str
        Digests of the files of the assignment it was begun with.
    values : dict
    """
    data = json.dumps({"key": key, "seen": seen, "values": values}).encode("utf-8")
    if len(data) <= MOST:
        with suppress(OSError):
            folder.mkdir(parents=True, exist_ok=True)
            write_whole(folder / NAME, data, flush=False)


def kept(folder):
    """(key, seen, values) as they were kept; None where there are none that can be read."""
    try:
        found = json.loads(read_whole(folder / NAME, MOST)[0])
        key, seen, values = (found[name] for name in ("key", "seen", "values"))
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return None
    return (key, seen, values) if isinstance(key, str) and isinstance(seen, dict) and _like(values, FIRST) else None


def _like(value, first):
    """Whether a value has the shape of another: the same keys all through, and lists of the same kind of thing."""
    if isinstance(first, dict):
        return isinstance(value, dict) and value.keys() == first.keys() and all(_like(value[key], first[key]) for key in first)
    if isinstance(first, (list, tuple)):
        return isinstance(value, list) and all(isinstance(one, dict) for one in value)
    return isinstance(value, (str, int, float, type(None)))


def forget(folder):
    """It is written, or filled in no longer."""
    with suppress(OSError):
        (folder / NAME).unlink(missing_ok=True)
