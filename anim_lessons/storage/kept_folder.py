"""What is ours in a hidden folder of kept versions: the names, and the marks of tables that have the file open.

Programs that carry folders between machines put copies there, under names of their own ("1 (conflicted copy).json"). Only
what is named exactly as we name it, and is an ordinary file, is ours; the rest is passed over, and stays.
"""

import os
import re
import secrets
import time
import weakref
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime

from filelock import FileLock, Timeout

# ASCII digits, and no more of them than are ever written.
VERSION = re.compile(r"([1-9][0-9]{0,8})(\..*)?", re.DOTALL)  # its number, the file's ending
MOST = 999_999_999                                            # the highest number of a version
MARK = re.compile(r"open-([0-9]{1,11})-[0-9a-f]{8}")          # since when, seconds since 1970
NEW = re.compile(r"new-[0-9a-f]{16}")


@dataclass(frozen=True)
class Opening:
    """Another table that has the file open: in this process (`here`), or in another one."""

    here: bool
    since: datetime


def ours(kept, names):
    """(path, match of its name) of the ordinary files in `kept` that are named so, in the order of their names; none
    where there is no such folder."""
    try:
        with os.scandir(kept) as entries:
            found = [(entry.name, match) for entry in entries if (match := names.fullmatch(entry.name)) and _is_file(entry)]
    except FileNotFoundError:
        return []
    return [(kept / name, match) for name, match in sorted(found, key=lambda one: one[0])]


def _is_file(entry):
    try:
        return entry.is_file(follow_symlinks=False)
    except OSError:
        return False


def remove(path):
    """Take a file of ours away. Where another program holds it, it stays: that is no reason for a save to fail."""
    with suppress(OSError):
        path.unlink()


def when(seconds):
    """Local time; the beginning of 1970 where a file carries a time that no calendar has."""
    try:
        return datetime.fromtimestamp(seconds).astimezone()
    except (OverflowError, ValueError, OSError):
        return datetime.fromtimestamp(0).astimezone()


# ---- marks -------------------------------------------------------------------------------

_marks_here = set()  # names of the marks that this process holds


def mark(store, kept):
    """A new mark for a Store, and what takes it away."""
    path = kept / f"open-{int(time.time())}-{secrets.token_hex(4)}"
    lock = FileLock(path, timeout=0, thread_local=False)  # may be let go by another thread
    lock.acquire()
    _marks_here.add(path.name)
    return path, weakref.finalize(store, _unmark, path, lock, os.getpid())


def _unmark(path, lock, pid):
    if os.getpid() == pid:  # a forked child has no say in its parent's mark
        lock.release(force=True)
        _marks_here.discard(path.name)
        remove(path)


def opening(mark, since):
    """The Opening that a mark stands for, or None where its process has ended; `since` in seconds since 1970."""
    if mark.name in _marks_here:
        return Opening(True, when(since))
    try:
        with FileLock(mark, timeout=0):
            pass
    except Timeout:
        return Opening(False, when(since))
    except OSError:  # not ours to lock: nobody can say whether its process lives
        return None
    remove(mark)  # left by a process that was killed
    return None
