"""Saving a short while after the last change.

Order of locks. A thread takes them in this order only, and may leave any of them out:

1. `Autosave.alone`: one save at a time, held while the disk is at work;
2. the lock of whatever is saved (`LightTable.holding`): held while it is read or changed, never while the disk is at work;
3. `Autosave`'s own lock on its timer: held for a moment inside `changed`, `flush` and `forget`.

So nobody who holds the table waits for a save. `changed` may be called while the table is held; `flush`, `forget` and
`alone` may not.
"""

import threading
import time
from contextlib import contextmanager

NEAR = 0.001  # seconds: a timer that rings this early counts as on time


class Autosave:
    """Calls `save` once a short while has gone by without a change.

    Parameters
    ----------
    save : function
        Called without arguments, on a thread of its own or on that of `flush`; never by two threads at once.
    delay : float
        Seconds without a change.
    clock : function
        Seconds, never downward.
    timer : function
        Makes a timer of seconds and function, with `start` and `cancel`, as threading.Timer does.
    """

    def __init__(self, save, delay=0.4, clock=time.monotonic, timer=threading.Timer):
        self._save, self._delay, self._clock, self._make = save, delay, clock, timer
        self._lock = threading.Lock()     # third in the order of locks
        self._saving = threading.RLock()  # first in the order of locks
        self._timer = self._rings = None
        self._due = None                  # when to save; None if all is saved

    @property
    def pending(self):
        """True where a change is not saved yet."""
        return self._due is not None

    def changed(self, after=None):
        """Something is to be saved, in `after` seconds if that is given."""
        after = self._delay if after is None else after
        with self._lock:
            self._due = self._clock() + after
            if self._timer is None or self._rings > self._due:
                self._stop()
                self._start(after)

    def flush(self):
        """Save now if there is anything to save; back when it is done."""
        with self._lock:
            self._stop()
        self._save_now()

    def forget(self):
        """Drop what is not saved yet; a save that is under way is waited for."""
        with self.alone():
            pass

    @contextmanager
    def alone(self):
        """Drop what is not saved yet, and let nobody else save until the block ends; a save under way is waited for."""
        with self._saving:
            with self._lock:
                self._stop()
                self._due = None
            yield

    def _start(self, seconds):
        self._rings = self._clock() + seconds
        self._timer = self._make(seconds, self._ring)
        self._timer.daemon = True  # a timer must not keep a kernel alive; `flush` runs at its end
        self._timer.start()

    def _stop(self):
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None

    def _ring(self):
        with self._lock:
            self._timer = None
            if self._due is None:
                return
            left = self._due - self._clock()
            if left > NEAR:  # there was another change meanwhile
                self._start(left)
                return
        self._save_now()

    def _save_now(self):
        with self._saving:
            with self._lock:
                if self._due is None:
                    return
                self._due = None
            self._save()
