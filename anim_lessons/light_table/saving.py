"""Saving what lies on a light table: a short while after the last change, and what is said of it.

The order of locks is that of `storage.autosave`: the save's before the table's. Nobody who holds the table waits for the disk.
"""

import threading
from datetime import datetime

from ..model import action_file
from ..model.action import ActionError
from ..storage.autosave import Autosave
from ..storage.store import StoreError

AGAIN = 5.0  # seconds after which a save that failed is tried again


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
        """Tell of a StoreError, or of an ActionError about what is in the file."""
        why = error.why or str(error) if isinstance(error, StoreError) else "the file cannot be read"
        self.tell(state="failed", why=why, says=str(error))

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
            self._save()
            revision = self.table.lay(start)
            self._save()
            if self.table.saved["state"] == "saved":
                self.as_in_the_file(revision)

    def _save(self):
        with self.table.holding():
            revision, data = self.table.pose["revision"], action_file.dumps(self.table.action)
        try:
            done = self.store.save(data)
        except StoreError as error:
            self.failed(error)
            return self.autosave.changed(after=AGAIN)
        self.tell(state="elsewhere" if done.conflict else "saved", at=f"{done.at:%H:%M}", file=done.path.name,
                  revision=revision, says=done.says or _open_too(self.store))

    def _file(self):
        return self.store.path.name if self.store else ""


def _open_too(store):
    """A sentence where another notebook has the file open, else an empty text."""
    others = [opening for opening in store.announce() if not opening.here]
    if not others:
        return ""
    since = min(opening.since for opening in others)
    return (f"{store.path.name} is open in another notebook too, since {since:%H:%M}. "
            "Draw in one of them only: what the second one changes is kept in a file beside it.")


def _saved_at(store):
    try:
        return f"{datetime.fromtimestamp(store.path.stat().st_mtime):%H:%M}"
    except OSError:
        return ""
