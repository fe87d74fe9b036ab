"""An ordinary file read whole, refused by its size before any of it is read."""

import errno
import os
import stat

# No waiting on a pipe; what a system has not, it does without.
_FLAGS = os.O_RDONLY | sum(
    getattr(os, flag, 0) for flag in ("O_NONBLOCK", "O_NOCTTY", "O_CLOEXEC", "O_BINARY")
)
_NO_LINK = getattr(os, "O_NOFOLLOW", 0)


class TooLarge(OSError):
    """A file with more bytes than are read; `size` says how many."""

    def __init__(self, size):
        super().__init__(errno.E2BIG, "too large")
        self.size = size


def read_whole(path, most, links=False):
    """Bytes and stat of an ordinary file of at most `most` bytes; OSError otherwise, also for a link unless `links`."""
    fd = os.open(path, _FLAGS if links else _FLAGS | _NO_LINK)
    try:
        info = os.fstat(fd)
        if stat.S_ISDIR(info.st_mode):
            raise IsADirectoryError(errno.EISDIR, "a folder")
        if not stat.S_ISREG(info.st_mode):
            raise OSError(errno.ENXIO, "not an ordinary file")
        if info.st_size > most:
            raise TooLarge(info.st_size)
        data = os.read(fd, info.st_size + 1)
        if len(data) != info.st_size:  # another program is writing it just now
            while len(data) <= most and (more := os.read(fd, most + 1 - len(data))):
                data += more
            if len(data) > most:
                raise TooLarge(len(data))
        return data, info
    finally:
        os.close(fd)
