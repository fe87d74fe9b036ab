"""Saving a moment after the last change: not once a pointer move, and never too late."""

import threading
import time


class Autosave:
    """Calls `save` once a short while has gone by without a change.

    Parameters
    ----------
    save : function
        Called without arguments, on a thread of its own or on that of `flush`.
    delay : float
        Seconds without a change.
    clock : function
        Seconds, only ever upward.
    timer : function
        Makes a timer of seconds and function, with `start` and `cancel`, as threading.Timer does.
    """

    def __init__(self, save, delay=0.4, clock=time.monotonic, timer=threading.Timer):
        self._save, self._delay, self._clock, self._make = save, delay, clock, timer
        self._lock = threading.Lock()
        self._alone = threading.RLock()  # one save at a time
        self._timer = self._rings = None
        self._due = None                 # when to save; None if all is saved

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
        with self._alone, self._lock:
            self._stop()
            self._due = None

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
            if left > 0.001:  # there was another change meanwhile
                self._start(left)
                return
        self._save_now()

    def _save_now(self):
        with self._alone:
            with self._lock:
                if self._due is None:
                    return
                self._due = None
            self._save()
