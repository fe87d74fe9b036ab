"""A learner's file: saved whole or not at all, with the last versions kept.

Knows bytes and paths, nothing of what is in them. Everything it needs lies in
one hidden folder beside the file, `.kept/<name of the file>/`: the versions
kept, the lock held while saving, one mark for each table that has it open.

A save writes the new bytes there and flushes them to the disk, keeps the
present file as a version, and only then puts the new one in its place
(`rename` replaces a file in one step, POSIX.1-2017). Killed at any moment,
the file is the old one or the new one, never half of each.
"""

import errno
import os
import secrets
import stat
import threading
import time
import weakref
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from filelock import FileLock, Timeout

from . import disk
from .disk import READING, StoreError, plainly, shown

MAX_BYTES = 4_000_000  # bytes, as for the action file


@dataclass(frozen=True)
class Saved:
    """Where the bytes are now: `conflict` is the copy beside, if another notebook changed the file."""

    path: Path
    at: datetime           # local time; of the earlier save if nothing had changed
    digest: str            # SHA-256, hex
    conflict: Path | None  # in this and every later save, until `take_the_files`
    says: str              # a sentence if there is something to say, else ""


@dataclass(frozen=True)
class Version:
    """A version kept of the file; `at` is when it was saved."""

    path: Path
    at: datetime


@dataclass(frozen=True)
class Opening:
    """Another table that has the file open: in this process (`here`), or in another one."""

    here: bool
    since: datetime


class Store:
    """One file, kept safe.

    Parameters
    ----------
    path : str or Path
    keep : int
        How many earlier versions are kept.
    max_bytes : int
        Nothing larger is read or written.
    timeout : float
        Seconds to wait while another program is saving.

    Every method may be called from any thread. All raise StoreError.
    """

    def __init__(self, path, keep=3, max_bytes=MAX_BYTES, timeout=5.0):
        if "\0" in str(path):
            raise StoreError("the name holds a NUL character; choose another.", "the name holds a NUL")
        self.asked = self.path = Path(path).absolute()  # a later change of folder must not move it
        self.keep, self.max_bytes, self.timeout = keep, max_bytes, timeout
        self._known = set()  # digests the file may have without anyone else having changed it
        self._threads = threading.RLock()
        self._mark = self._withdraw = None  # path of this table's mark, and what takes it away

    # ---- reading -------------------------------------------------------------

    def read(self):
        """The file's bytes. From now on a save may replace them."""
        with self._threads, plainly(self.path, "read", READING):
            data, _ = disk.read_whole(self.path, self.max_bytes)
            self._known = {disk.digest(data)}
            return data

    def take_the_files(self):
        """Leave the copy kept beside, go back to the file first asked for; its bytes."""
        with self._threads:
            there, self.path = self.path, self.asked
            try:
                data = self.read()
            except StoreError:
                self.path = there
                raise
            self._mark_again()
            return data

    def changed_elsewhere(self):
        """Whether the file there now is not what this Store last read or wrote."""
        with self._threads, plainly(self.path, "read", READING):
            digest, _ = self._on_disk()
            return digest is not None and digest not in self._known

    def versions(self):
        """The versions kept, newest first, as a tuple of Version."""
        with plainly(self.path, "read", READING):
            return tuple(Version(p, _when(p.stat().st_mtime)) for _, p in reversed(_numbered(self._kept())))

    def read_version(self, version):
        """The bytes of one of `versions()`, to be saved again: what they replace is kept in its turn."""
        with plainly(version.path, "read", READING):
            return disk.read_whole(version.path, self.max_bytes)[0]

    # ---- saving --------------------------------------------------------------

    def save(self, data):
        """Put `data` in the file's place and return a Saved once it is on the disk.

        If the file is not what this Store last read or wrote, it stays as it
        is: `data` goes beside it under a free name, and so do later saves.
        """
        with self._threads:
            before = self.path
            with plainly(self.path, "saved"):
                self._on_disk()  # a link, a folder or a device is refused before anything is made beside it
            with self._alone() as kept:
                saved = self._put(data, kept)
            if self.path != before:
                self._mark_again()
            return saved

    def _put(self, data, kept):
        if len(data) > self.max_bytes:
            raise OSError(errno.E2BIG, "too large")
        digest = disk.digest(data)
        found, info = self._on_disk()
        if found == digest:
            self._known = {digest}
            return self._saved(digest, _when(info.st_mtime))
        if info is not None and not os.access(self.path, os.W_OK):
            raise PermissionError(errno.EACCES, "the file itself is read-only")
        gone = found is None and bool(self._known)
        new = disk.write_new(kept, data, info)
        try:
            if found is not None and found in self._known:
                version = self._keep_version(kept, found)
                self._known = {found, digest}  # an interrupt may come on either side of the next line
                try:
                    os.replace(new, self.path)
                except OSError:
                    version.unlink()  # what it holds is still the file
                    raise
            elif found is not None or not disk.place(new, self.path):
                self._save_beside(new)
        finally:
            new.unlink(missing_ok=True)
        self._known = {digest}
        for _, old in _numbered(kept)[: -self.keep or None]:
            old.unlink(missing_ok=True)
        disk.flush_folder(self.path.parent)
        return self._saved(digest, datetime.now().astimezone(), gone)

    def _saved(self, digest, at, gone=False):
        if self.path != self.asked:
            says = (f"{shown(self.asked)} was changed in another notebook, so nothing was overwritten: "
                    f"yours is kept beside it, in {shown(self.path)}, and goes on being saved there.")
            return Saved(self.path, at, digest, self.path, says)
        says = f"{shown(self.path)} had gone from its folder; it is there again." if gone else ""
        return Saved(self.path, at, digest, None, says)

    def _on_disk(self):
        """Digest and stat of the file as it is now; (None, None) if there is none."""
        try:
            data, info = disk.read_whole(self.path, self.max_bytes)
        except FileNotFoundError:
            return None, None
        except OSError as error:
            if error.errno != errno.E2BIG:
                raise
            return "too large to be ours", os.lstat(self.path)
        return disk.digest(data), info

    def _keep_version(self, kept, found):
        versions = _numbered(kept)
        last, newest = versions[-1] if versions else (0, None)
        # Killed after this step last time, it left the file as the newest version already.
        if newest and disk.digest(newest.read_bytes()) == found:
            return newest
        version = kept / f"{last + 1}{self.path.suffix[:20]}"
        try:
            os.link(self.path, version)
        except OSError:  # a file system without links
            data, info = disk.read_whole(self.path, self.max_bytes)
            copy = disk.write_new(kept, data, info)
            os.utime(copy, ns=(info.st_atime_ns, info.st_mtime_ns))
            os.replace(copy, version)
        disk.flush_folder(kept)
        return version

    def _save_beside(self, new):
        for free in disk.names_beside(self.asked):
            if disk.place(new, free):
                self.path = free
                return

    def _kept(self):
        return self.path.parent / ".kept" / self.path.name

    @contextmanager
    def _alone(self):
        """The hidden folder, while no other Store of ours, anywhere, saves this file."""
        with plainly(self.path, "saved"):
            kept = self._kept()
            for folder in (kept.parent, kept):
                with suppress(FileExistsError):
                    folder.mkdir()
                if not stat.S_ISDIR(folder.lstat().st_mode):
                    raise OSError(errno.ENOTDIR, "not a folder")
            with FileLock(kept / "lock", timeout=self.timeout):
                for stale in kept.glob("new-*"):  # written under this lock, so its process has ended
                    stale.unlink()
                yield kept

    # ---- who has it open -----------------------------------------------------

    def announce(self):
        """Mark the file as open here; everyone else who has it open, as a tuple of Opening.

        A mark counts while its process lives: it is a lock, which the system
        lets go when the process ends, however it ends. Where no mark can be
        made (a read-only folder) the answer is empty; saving says why.
        """
        with self._threads, suppress(StoreError), self._alone() as kept:
            if self._withdraw is None:
                self._mark, self._withdraw = _mark(self, kept)
            others = [_opening(mark) for mark in sorted(kept.glob("open-*")) if mark != self._mark]
            return tuple(opening for opening in others if opening)
        return ()

    def close(self):
        """Take the mark away. The Store can still save, and can announce itself again."""
        with self._threads:
            if self._withdraw is not None:
                self._withdraw()
                self._withdraw = None

    def _mark_again(self):
        """Carry the mark over to the file that is saved from now on."""
        if self._withdraw is not None:
            self.close()
            self.announce()


_marks_here = set()  # names of the marks that this process holds


def _mark(store, kept):
    path = kept / f"open-{int(time.time())}-{secrets.token_hex(4)}"
    lock = FileLock(path, timeout=0, thread_local=False)  # may be let go by another thread
    lock.acquire()
    _marks_here.add(path.name)
    return path, weakref.finalize(store, _unmark, path, lock, os.getpid())


def _unmark(path, lock, pid):
    if os.getpid() == pid:  # a forked child has no say in its parent's mark
        lock.release(force=True)
        _marks_here.discard(path.name)
        with suppress(OSError):
            path.unlink()


def _opening(mark):
    since = _when(float(mark.name.split("-")[1]))
    if mark.name in _marks_here:
        return Opening(True, since)
    try:
        with FileLock(mark, timeout=0):
            pass
    except Timeout:
        return Opening(False, since)
    mark.unlink(missing_ok=True)  # left by a process that was killed
    return None


def _numbered(kept):
    """(number, path) of the versions in `kept`, oldest first."""
    return sorted((int(path.name.split(".")[0]), path) for path in kept.glob("[0-9]*"))


def _when(seconds):
    return datetime.fromtimestamp(seconds).astimezone()
