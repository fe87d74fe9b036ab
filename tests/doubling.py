"""Work for `test_workers`, by itself, for each process that does it loads this module."""

import os
import signal


def doubled(context, items):
    """Each item with the context. One may end the process: "end" always, a path as long as there is no such file."""
    for item in items:
        if item == "end" or isinstance(item, str) and item.startswith(os.sep) and _first(item):
            os.kill(os.getpid(), signal.SIGKILL)
    return [(context, item) for item in items]


def _first(path):
    try:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL))
    except FileExistsError:
        return False
    return True
