"""Saving what lies on a light table: a short while after the last change, and what is said of it.

The order of locks is that of `storage.autosave`: the save's before the table's. Nobody who holds the table waits for the disk.
"""

import threading
from contextlib import contextmanager, suppress

from ..model import action_file
from ..model.action import ActionError
from ..storage.autosave import Autosave
from ..storage.disk import shown
from ..storage.kept_folder import when
from ..storage.store import StoreError

AGAIN = 5.0  # seconds after which a save that failed is tried again
LONG = 8.0   # seconds after which, and again each of them, a save under way is told to take long; more than a Store waits
             # for a file that another program has locked


class Saver:
    """Saves one table, and tells the page how it went (`LightTable.saved`).

    Parameters
    ----------
    table : LightTable
    store : Store or None
        Without one nothing is saved.
    delay : float
        Seconds without a change before it is saved.
    timer : function
        As for Autosave.
    """

    def __init__(self, table, store, delay, timer=threading.Timer):
        self.table, self.store = table, store
        self.autosave = Autosave(self._save, delay, timer=timer)
        self._timer = timer
        self._under_way = None  # the save that is under way, changed while the table is held

    def first(self):
        """What is told of a table that nobody has touched."""
        return {"state": "as in the file", "at": "", "why": "", "file": self._file(), "revision": 1, "says": ""}

    def changed(self):
        """The drawings are others now. May be called while the table is held."""
        if self.store is not None:
            self.autosave.changed()
        else:
            self.tell(revision=self.table.pose["revision"])  # a model: nothing of it waits to be saved

    def tell(self, **news):
        with self.table.holding():
            self.table.saved = {**self.table.saved, "why": "", "says": "", **news}

    def failed(self, error):
        """Tell of a StoreError, of an ActionError about what is in the file, or of any other error while saving."""
        if isinstance(error, StoreError):
            why, says = error.why or str(error), str(error)
        elif isinstance(error, ActionError):
            why, says = "the file cannot be read", str(error)
        else:  # a fault of this program, or of what it runs on: no reason to stop saving
            what = f"{type(error).__name__}: {error}".rstrip(" :.")
            why = "an error in the program"
            says = (f"{shown(self.store.path)} could not be saved: {why} ({what}). It is tried again after {AGAIN:.0f} s; "
                    'keep a copy meanwhile, and show this line to whoever looks after the program.')
        self.tell(state="failed", why=why, says=says)

    def not_saved(self, error):
        """Tell of an error while saving, and try again. May be called while the table is held."""
        self.autosave.changed(after=AGAIN)
        self.failed(error)

    def as_in_the_file(self, revision=1):
        """Tell that nothing of this revision differs from the file."""
        store = self.store
        self.tell(state="as in the file", at=_saved_at(store) if store else "", file=self._file(), revision=revision,
                  says=_open_too(store) if store else "")

    # ---- at the disk: not to be called while the table is held ---------------------------

    def take_the_files(self):
        """Lay what is in the file on the table; what is not saved yet is dropped."""
        with self.autosave.alone():
            try:
                data = self.store.take_the_files() if self.store else action_file.dumps(self.table.action)
                action = action_file.loads(data, self._file())
            except (StoreError, ActionError) as error:
                return self.failed(error)
            self.as_in_the_file(self.table.lay(action))

    def begin_again(self, start):
        """Lay `start` in the place of a file that was deleted. What lay on the table is saved first, so that it stays
        among the versions kept."""
        with self.autosave.alone():
            if not self._save():
                return  # what lies on the table is nowhere else
            revision = self.table.lay(start)
            self.table.begin()
            if self._save() and self.table.saved["state"] == "saved":
                self.as_in_the_file(revision)

    def _save(self):
        """Whether it is saved. No error ends the thread that saves, or is lost: it is told, and the save tried again."""
        try:
            with self.table.holding():
                revision, data = self.table.pose["revision"], action_file.dumps(self.table.action)
            with self._told_if_long():
                done = self.store.save(data)
                says = done.says or _open_too(self.store)
            self.tell(state="elsewhere" if done.conflict else "saved", at=f"{done.at:%H:%M}", file=done.path.name,
                      revision=revision, says=says)
            return True
        except Exception as error:
            self.not_saved(error)
            return False
        except BaseException:  # a cell that was interrupted
            self.autosave.changed(after=AGAIN)
            raise

    @contextmanager
    def _told_if_long(self):
        """While the block lasts, tell from another thread that it is still at work, and for how long."""
        mine = object()

        def ring_in(seconds, told):
            timer = self._timer(seconds, lambda: ring(told))
            timer.daemon = True
            with suppress(RuntimeError):  # no more threads: it is saved all the same
                timer.start()
            return timer

        def ring(seconds):
            nonlocal timer
            with self.table.holding():
                if self._under_way is not mine:
                    return
                timer = ring_in(LONG, seconds + LONG)
                self.tell(state="saving", why=f"still being saved, for {seconds:.0f} s",
                          says=_takes_long(self.store.path, seconds))

        with self.table.holding():
            self._under_way = mine
            timer = ring_in(LONG, LONG)
        try:
            yield
        finally:
            with self.table.holding():  # a ring that comes from now on tells nothing
                self._under_way = None
                timer.cancel()

    def _file(self):
        return self.store.path.name if self.store else ""


def _open_too(store):
    """A sentence where another notebook has the file open, else an empty text."""
    try:
        others = [opening for opening in store.announce() if not opening.here]
    except Exception:  # it is good to know, and keeps nobody from the own drawings
        return ""
    if not others:
        return ""
    since = min(opening.since for opening in others)
    return (f"{store.path.name} is open in another notebook too, since {since:%H:%M}. "
            "Draw in one of them only: what the second one changes is kept in a file beside it.")


def _takes_long(path, seconds):
    return (f"{shown(path)} is still being saved, for {seconds:.0f} s: the disk or the network folder answers slowly. "
            "You can go on drawing.")


def _saved_at(store):
    try:
        return f"{when(store.path.stat().st_mtime):%H:%M}"
    except OSError:
        return ""
