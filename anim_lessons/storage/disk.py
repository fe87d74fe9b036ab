"""Files read and written whole, and errors of the system as sentences that say what to do."""

import errno
import hashlib
import os
import secrets
import stat
import unicodedata
from contextlib import contextmanager, suppress
from itertools import count
from pathlib import Path

from filelock import Timeout

from ..model.whole_file import read_whole

__all__ = [
    "LONGEST_NAME", "READING", "REASONS", "StoreError", "digest", "flush_folder", "names_beside", "place", "plainly",
    "read_whole", "same_file", "shown", "write_new", "write_whole",
]

LONGEST_NAME = 255  # bytes, what common file systems allow one name

ELSEWHERE = "save in another folder"
REASONS = {  # errno: (why, in few words; what to do next)
    errno.ENOSPC: ("the folder is full", f"make room on that disk, or {ELSEWHERE}"),
    getattr(errno, "EDQUOT", errno.ENOSPC): ("the folder is full", f"make room on that disk, or {ELSEWHERE}"),
    errno.EFBIG: ("the file is larger than the disk allows", ELSEWHERE),
    errno.E2BIG: ("the file is too large", "take drawings out of the stack, or open another file"),
    errno.EROFS: ("the folder is read-only", ELSEWHERE),
    errno.EACCES: ("the folder is read-only", f"ask whoever it belongs to, or {ELSEWHERE}"),
    errno.EPERM: ("the folder is read-only", f"ask whoever it belongs to, or {ELSEWHERE}"),
    errno.ENOENT: ("there is no such folder", f"make {{folder}}, or {ELSEWHERE}"),
    errno.ENOTDIR: ("the folder is not a folder", ELSEWHERE),
    errno.EISDIR: ("the name belongs to a folder", "choose another name"),
    errno.ELOOP: ("the file is a link", "open the file it points to"),
    errno.ENXIO: ("it is not an ordinary file", "choose another name"),
    errno.ENAMETOOLONG: ("the name is too long", "choose a shorter one"),
    errno.EIO: ("the disk does not answer", ELSEWHERE),
    errno.ETIMEDOUT: ("the file is locked by another program", "close what else has it open, then try again"),
}
READING = {
    errno.ENOENT: ("there is no such file", "look at its name and its folder"),
    errno.EACCES: ("the file is protected", "ask whoever it belongs to"),
    errno.E2BIG: ("the file is too large", "open another one"),
}


class StoreError(OSError):
    """A file that could not be saved or read; on the disk it is as it was before.

    `why` is the reason in few words ("the folder is full"); the whole message
    names the file and says what to do next. `errno` is the system's number.
    """

    def __init__(self, says, why="", code=None):
        super().__init__(says)
        self.why, self.errno = why, code


def write_new(kept, data, like=None, flush=True):
    """A new file in `kept`, flushed to the disk; its mode that of `like` if given, else by umask. `data` are bytes, or pieces of
    them one after the other."""
    path = kept / f"new-{secrets.token_hex(8)}"
    fd = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o666)
    try:
        for piece in (data,) if isinstance(data, (bytes, bytearray, memoryview)) else data:
            rest = memoryview(piece)
            while rest:
                rest = rest[os.write(fd, rest):]
        if like is not None and hasattr(os, "fchmod"):
            os.fchmod(fd, stat.S_IMODE(like.st_mode))
        if flush:
            os.fsync(fd)
    except BaseException:
        path.unlink(missing_ok=True)
        raise
    finally:
        os.close(fd)
    return path


def place(new, free):
    """Give `new` the name `free` if nothing has it yet, in one step; whether it could."""
    try:
        os.link(new, free)  # unlike a rename, refuses a name that is taken
    except OSError:
        if os.path.lexists(free):
            return False
        os.rename(new, free)  # a file system without links
    return True


def same_file(one, other):
    """Whether two paths lead to the same file: by another folder's link, by "..", or by other capitals where the system
    tells no capitals apart. Two names of one file that differ otherwise (hard links) are two files to us: a save leaves
    the other name with what it had.
    """
    one, other = Path(one).absolute(), Path(other).absolute()
    if one == other:
        return True  # known without asking the disk
    try:
        one, other = Path(os.path.realpath(one)), Path(os.path.realpath(other))
        return one == other or _folded(one.name) == _folded(other.name) and os.path.samefile(one, other)
    except (OSError, ValueError):  # one of them is not there, or cannot be a name
        return False


def _folded(name):
    return unicodedata.normalize("NFC", name).casefold()


def names_beside(path):
    """Names for a copy in the same folder, each shortened to what a name may hold."""
    for n in count(1):
        tail = f" (kept beside{f' {n}' if n > 1 else ''}){path.suffix}"
        stem = path.stem
        while stem and len(os.fsencode(stem + tail)) > LONGEST_NAME:
            stem = stem[:-1]
        yield path.with_name(stem + tail)


def flush_folder(folder):
    """Have the folder's own list of names on the disk, so that a rename outlives a power cut."""
    with suppress(OSError):  # not every system can; the file itself is flushed already
        fd = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(fd)
        finally:
            os.close(fd)


def digest(data):
    """SHA-256 of `data`, in hex."""
    return hashlib.sha256(data).hexdigest()


def shown(path):
    """The file's name in quotes, for a sentence; bytes that are no text are replaced."""
    return '"' + os.fsencode(path.name).decode("utf-8", "replace") + '"'


@contextmanager
def plainly(path, done, special=REASONS):
    """Turn what the system says into a StoreError that says what to do next."""
    try:
        yield
    except StoreError:
        raise
    except OSError as error:
        code = errno.ETIMEDOUT if isinstance(error, Timeout) else error.errno
        other = (f"the system says: {error.strerror or error}", f"try again, or {ELSEWHERE}")
        why, then = special.get(code) or REASONS.get(code, other)
        if code in (errno.EACCES, errno.EPERM) and os.access(path.parent, os.W_OK):
            why, then = READING[errno.EACCES]
        then = then.format(folder=path.parent)
        raise StoreError(f"{shown(path)} could not be {done}: {why}; {then}.", why, code) from error


def write_whole(path, data, flush=True):
    """Put `data`, bytes or pieces of them, under the name `path` in one step; OSError with a sentence where that fails. Unless it is
    flushed it outlives the end of this program, and no power cut."""
    with plainly(path, "written"):
        new = write_new(path.parent, data, flush=flush)
        try:
            os.replace(new, path)
        except BaseException:
            new.unlink(missing_ok=True)
            raise
