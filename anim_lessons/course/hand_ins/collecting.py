"""What lies in a folder of hand-ins: folders in it and zips are looked through, and each file is read as data.

Nothing is run, nothing is unpacked to the disk, no link is followed, and no more than one file is held. Whatever cannot be read
is an entry that says why: none keeps the others back.
"""

import errno
import io
import os
import re
import stat
import struct
import zipfile
from collections import Counter
from dataclasses import dataclass
from datetime import datetime
from operator import attrgetter

from ...model.action import ActionError
from ...model.file_shape import MAX_BYTES
from ...model.printable import path_text
from ...model.whole_file import TooLarge, read_whole

MOST_DEEP = 12              # folders within folders
MOST_ZIPS_DEEP = 2          # a zip of the class, and in it a zip of a learner
MOST_ZIP = 1_000_000_000    # bytes of a zip on the disk; it is not read whole
MOST_INNER = 32_000_000     # bytes of a zip within a zip, which is held in memory
MOST_NAMES = 4_000_000      # bytes of a zip's list of names, some 40,000 names
MOST_UNPACKED = 500_000_000     # bytes that are unpacked of one zip, in all

DRAWINGS, ODD, BESIDE = "drawings", "odd", "beside"     # what an entry is
# What systems and JupyterLab leave in a folder; `.kept` holds the light table's earlier versions.
LEFT_BEHIND = {".ds_store", "thumbs.db", "desktop.ini", "__macosx", ".ipynb_checkpoints", ".kept"}
OTHER_KINDS = {
    ".ipynb": "is a notebook; the drawings are in a file of their own beside it, which ends in .json",
    **dict.fromkeys((".tar", ".gz", ".tgz", ".bz2", ".xz", ".7z", ".rar"), "is packed in another way than .zip; hand in .json or .zip"),
}
_BROKEN = (zipfile.BadZipFile, zipfile.LargeZipFile, OSError, ValueError, RuntimeError, EOFError, struct.error, IndexError,
           NotImplementedError, KeyError, MemoryError)      # what a broken zip may raise


@dataclass(frozen=True)
class Entry:
    """One file, or what cannot be read as one.

    Attributes
    ----------
    parts : tuple of str
        Its path from the folder down, zips as folders. Bytes that are no text are replaced.
    kind : str
        DRAWINGS, with `data`; ODD, which `why` tells; BESIDE, no action file by its name.
    when : datetime or None
        When it was last changed, as the disk or the zip says it; local time, without a zone.
    """

    parts: tuple
    kind: str
    data: bytes = b""
    why: str = ""
    when: datetime | None = None

    @property
    def path(self):
        return "/".join(self.parts)


def entries(folder, leave_out=None):
    """All entries of a folder, or of a zip, in the order of their names.

    Parameters
    ----------
    folder : str or Path
    leave_out : str or Path, optional
        A folder that is not looked into, for what is written there.

    Yields
    ------
    Entry

    Raises
    ------
    ActionError
        Where the folder cannot be opened.
    """
    folder = os.fspath(folder)
    if os.path.isfile(folder) and folder.lower().endswith(".zip"):
        yield from _zip_file(folder, ())
        return
    if not os.path.isdir(folder):
        raise ActionError("is no folder", "name the folder of the hand-ins, or the zip", file=path_text(folder))
    out = None if leave_out is None else os.path.realpath(leave_out)
    yield from _folder(folder, (), os.path.realpath(folder), out)


def lone(folder):
    """The name of the one folder or zip that holds the whole class, or None where there are several entries."""
    try:
        names = [name for name in os.listdir(folder) if not _left_behind(path_text(name))]
    except OSError:
        return None
    if len(names) != 1 or not (names[0].lower().endswith(".zip") or os.path.isdir(os.path.join(folder, names[0]))):
        return None
    return path_text(names[0])


def how_many(folder):
    """How many entries lie side by side at the top: about as many as there are learners. Nothing is read for it; of a zip, 0."""
    try:
        inside = lone(folder)
        return sum(not _left_behind(path_text(name)) for name in os.listdir(folder if inside is None else os.path.join(folder, inside)))
    except OSError:
        return 0


def some_entry(folder, leave_out=None):
    """Raise ActionError where a folder cannot be opened or holds nothing: before anything is written for it."""
    if next(iter(entries(folder, leave_out)), None) is None:
        raise ActionError("holds nothing to mark", "put the hand-ins there; an action file ends in .json", file=path_text(folder))


def _left_behind(name):
    return name.lower() in LEFT_BEHIND or name.startswith("._")


def _folder(folder, parts, real, out):
    try:
        with os.scandir(folder) as found:
            inside = sorted(found, key=attrgetter("name"))
    except OSError as error:
        yield Entry(parts or (path_text(folder),), ODD, why=f"the folder cannot be opened ({error.strerror}); check that it is yours to read")
        return
    if not inside and parts:
        yield Entry(parts, ODD, why="is an empty folder")
    for entry in inside:
        name = path_text(entry.name)
        here = (*parts, name)
        if _left_behind(name):
            continue
        if entry.is_symlink():
            yield Entry(here, ODD, why="is a link, and links are not followed; put the file itself there")
        elif entry.is_dir(follow_symlinks=False):
            if (whole := os.path.join(real, entry.name)) == out:
                continue
            if len(here) > MOST_DEEP:
                yield Entry(here, ODD, why=f"lies more than {MOST_DEEP} folders deep; put it further up")
            else:
                yield from _folder(entry.path, here, whole, out)
        else:
            yield from _file(entry.path, here)


def _file(path, parts):
    ending = os.path.splitext(parts[-1].lower())[1] or parts[-1].lower()
    if ending == ".zip":
        yield from _zip_file(path, parts)
    elif ending == ".json":
        try:
            data, info = read_whole(path, MAX_BYTES)
        except OSError as error:
            yield Entry(parts, ODD, why=_unread(error))
            return
        yield Entry(parts, DRAWINGS, data, when=_changed(info))
    else:
        yield Entry(parts, BESIDE, why=_other_kind(ending))


def _other_kind(ending):
    return OTHER_KINDS.get(ending, "is no action file; a hand-in ends in .json, or .zip")


def _unread(error):
    if isinstance(error, TooLarge):
        return f"is too large for an action file, {error.size / 1e6:.1f} MB; at most {MAX_BYTES / 1e6:.0f} MB are read"
    if error.errno in (errno.ENXIO, errno.EISDIR, errno.ELOOP, errno.EAGAIN):
        return "is no ordinary file; put the action file itself there"
    return f"cannot be opened ({error.strerror}); check that it is there and yours to read"


def _changed(info):
    try:
        return datetime.fromtimestamp(int(info.st_mtime))
    except (OverflowError, ValueError, OSError):
        return None


# ---- zips ----------------------------------------------------------------------------


def _zip_file(path, parts):
    """A zip on the disk, which may be large: it is read as it is needed."""
    named = parts or (path_text(os.path.basename(path)),)
    try:
        fd = os.open(path, os.O_RDONLY | sum(getattr(os, flag, 0) for flag in ("O_NONBLOCK", "O_NOFOLLOW", "O_CLOEXEC", "O_BINARY")))
    except OSError as error:
        yield Entry(named, ODD, why=_unread(error))
        return
    with os.fdopen(fd, "rb") as file:
        info = os.fstat(fd)
        if not stat.S_ISREG(info.st_mode):
            yield Entry(named, ODD, why="is no ordinary file; put the zip itself there")
        elif info.st_size > MOST_ZIP:
            yield Entry(named, ODD, why=f"is too large for a zip, {info.st_size / 1e6:.0f} MB; at most {MOST_ZIP / 1e6:.0f} MB are read")
        else:
            yield from _zip(file, parts, named, 1, [MOST_UNPACKED])


def _zip(file, parts, named, deep, left):
    """The entries of one zip; `left` holds how many bytes may still be unpacked."""
    try:
        why = _long_list(file)
        packed = None if why else zipfile.ZipFile(file)
    except _BROKEN:
        why = "is no zip, or a damaged one; pack it again"
    if why:
        yield Entry(named, ODD, why=why)
        return
    with packed:
        inside = sorted((info for info in packed.infolist() if not info.filename.endswith("/")), key=lambda info: info.filename)
        times = Counter(info.filename for info in inside)
        if not inside:
            yield Entry(named, ODD, why="is an empty zip")
        for info in inside:
            if any(_left_behind(part) for part in info.filename.split("/")):
                continue
            if left[0] <= 0:
                yield Entry(named, ODD, why=f"unpacks to more than {MOST_UNPACKED / 1e6:.0f} MB; the rest of it was not read")
                return
            yield from _packed(packed, info, parts, deep, left, times[info.filename] > 1)


def _packed(packed, info, parts, deep, left, twice):
    here = (*parts, *filter(None, info.filename.split("/")))
    ending = os.path.splitext(here[-1].lower())[1] or here[-1].lower() if here else ""
    why = _refused(info, twice)
    if why:
        yield Entry(here or (*parts, "?"), ODD, why=why)
        return
    if ending not in (".zip", ".json"):
        yield Entry(here, BESIDE, why=_other_kind(ending))
        return
    if ending == ".zip" and deep >= MOST_ZIPS_DEEP:
        yield Entry(here, ODD, why="is a zip in a zip in a zip; put the action file itself there")
        return
    most = min(MAX_BYTES if ending == ".json" else MOST_INNER, left[0])
    try:
        with packed.open(info) as file:
            data = file.read(most + 1)      # what it says of its size is not trusted
    except Exception:  # noqa: BLE001 - whatever a broken packing raises, it is this entry's alone
        yield Entry(here, ODD, why="is damaged in its zip; pack it again")
        return
    left[0] -= len(data)
    if len(data) > most:
        yield Entry(here, ODD, why=f"unpacks to more than {most / 1e6:.0f} MB, too large to be read")
    elif ending == ".json":
        yield Entry(here, DRAWINGS, data, when=_packed_at(info))
    else:
        yield from _zip(io.BytesIO(data), here, here, deep + 1, left)


def _refused(info, twice):
    name, mode = info.orig_filename, info.external_attr >> 16
    if "\0" in name or "\\" in name or name.startswith("/") or ".." in name.split("/") or re.match("[A-Za-z]:", name):
        return "its name leads out of the zip; pack it again without folders"
    if stat.S_IFMT(mode) not in (0, stat.S_IFREG):
        return "is a link or a device in its zip; pack the file itself"
    if info.flag_bits & 1:
        return "has a password; pack it again without one"
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        return "is packed in a way that is not read here; pack it as a common zip"
    return "stands in its zip twice; pack one of them" if twice else ""


def _packed_at(info):
    """What the zip says; 1980 is what a packer writes that knows no date."""
    try:
        return datetime(*info.date_time) if info.date_time[0] > 1980 else None
    except ValueError:
        return None


def _long_list(file):
    """Why the list of names in a zip is too long to be read, or an empty text. It is read whole by `zipfile`, so it is measured
    first, where `zipfile` looks for its length.

    The records at the end of a zip: APPNOTE 6.3.10, 4.3.14 to 4.3.16, from memory.
    """
    size = file.seek(0, os.SEEK_END)
    file.seek(max(0, size - 65_557))
    tail = file.read()
    at = tail.rfind(b"PK\5\6")
    if at < 0 or len(tail) - at < 22:
        raise zipfile.BadZipFile
    (length,) = struct.unpack_from("<L", tail, at + 12)
    if at >= 20 and tail[at - 20:at - 16] == b"PK\6\7":
        file.seek(size - len(tail) + at - 76)
        (length,) = struct.unpack_from("<Q", file.read(56), 40)
    file.seek(0)
    return f"holds more names than are read, {length / 1e6:.1f} MB of them; pack fewer files" if length > MOST_NAMES else ""
