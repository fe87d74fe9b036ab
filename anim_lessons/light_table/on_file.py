"""What a check judges where the file lies on an open table: the drawings in the file, and whether the table has the same.

A check answers for what the learner sees. So the table is saved first; then the drawings in the file are compared with those
on the table, and where they differ, a sentence says why, what to do, and which drawings are judged. The comparison is of
drawings, not of what the table was told of its last save: it holds for whatever may have come between the two.

A copy kept beside is judged in the place of the file: it holds what the learner sees and has just asked about. It is no
pass all the same, for the file that was asked for is the one that is handed in and marked.

Where a table is open, every wait for the disk has an end.
"""

import os
import threading
from pathlib import Path
from typing import NamedTuple

from ..model import action_file
from ..model.action import Action, ActionError
from ..storage.disk import same_file, shown
from .open_file import open_on
from .table import alive

PATIENCE = 8.0  # seconds for a save; more than a Store waits for a file that another program has locked
READING = 2.0   # seconds for the file to be read where the save has not come back
TRIES = 3       # saves and comparisons, for one who draws while the check goes on


class OnFile(NamedTuple):
    """What is in a file.

    Attributes
    ----------
    action : Action or None
        What is to be judged; None where nothing can be.
    apart : str
        Sentences where that is not what lies on the open table; else empty.
    unread : ActionError or None
        Why the file cannot be read.
    """

    action: Action | None
    apart: str = ""
    unread: ActionError | None = None


def on_file(path):
    """What is in a file, once the tables that are open on it are saved.

    Parameters
    ----------
    path : str or Path

    Returns
    -------
    OnFile

    Raises
    ------
    ActionError
        Where the file cannot be read and no table is open on it.
    """
    path, found = Path(path), None
    tables = _tables(path)
    if tables is None:
        return OnFile(None, unread=ActionError(f"{path}: its folder has not answered for {PATIENCE:.0f} s; wait until it does, "
                                               "then run this cell again"))
    for table in tables:
        found = _once_saved(table, path)
        if found.apart:
            break
    return found or OnFile(action_file.read(path))


def _tables(path):
    """Open tables whose drawings are saved in that file, or were to be; None where the disk does not answer."""
    saving = [table for table in list(alive) if table.store is not None and table.comm is not None]
    at_once = [table for table in saving if path.absolute() in (table.store.asked, table.store.path)]
    if at_once or not saving:  # known without asking the disk
        return at_once
    found = _within(PATIENCE, lambda: open_on(path) or [table for table in saving if same_file(table.store.path, path)])
    return found[0] if found else None


def _once_saved(table, path):
    earlier = action_file.dumps(table.action)  # a learner may draw while the check goes on

    def compared():
        for _ in range(TRIES):
            table.save()
            found = _compared(table, path, earlier)
            if not found.apart or table.saved["state"] == "failed":
                break
        return found

    found = _within(PATIENCE, compared)
    late = (f"it has not been saved within {PATIENCE:.0f} s: the disk or the network folder answers slowly. Wait until the table "
            "says that it is saved, then run this cell again.")
    return (found or _within(READING, lambda: _compared(table, path, earlier, late)) or [OnFile(None, _says(path, late))])[0]


def _compared(table, path, earlier, why=""):
    store = table.store
    there, unread = _read(path)
    if there is not None and action_file.dumps(there) in (earlier, action_file.dumps(table.action)):
        return OnFile(there)
    judged = path
    if store.path != store.asked and not same_file(store.path, path):
        judged = store.path
        there, unread = _read(judged)
    return OnFile(there, _says(path, why or _why(table), judged if there is not None else None),
                  unread if os.path.lexists(judged) else None)


def _why(table):
    store, said = table.store, table.saved
    if said["state"] == "failed":
        return said["says"]
    if store.path != store.asked:
        return (f"another notebook changed the file, so yours is kept beside it, in {shown(store.path)}. Give the file that you "
                f"want to go on with the name {shown(store.asked)}, restart the kernel, then run the cells again.")
    if not os.path.lexists(store.path):
        return ("the file has gone from its folder. Go on drawing, and it is saved there again; or run the cell with the light "
                "table again, to begin anew.")
    return ("another program changed the file after it was saved. Run the cell with the light table again: it lays what is in "
            "the file on the table.")


def _says(path, why, judged=None):
    return (f"what lies on the light table is not in {shown(path)}: {why}"
            + (f" What follows is about what is in {shown(judged)}." if judged else ""))


def _read(path):
    try:
        return action_file.read(path), None
    except ActionError as error:
        return None, error


def _within(seconds, act):
    """What `act` gives on a thread of its own, in a list of one; an empty list where it takes longer. Its error is raised."""
    came, failed = [], []

    def run():
        try:
            came.append(act())
        except BaseException as error:
            failed.append(error)

    thread = threading.Thread(target=run, daemon=True)  # a disk that hangs must not keep a kernel alive
    thread.start()
    thread.join(seconds)
    if failed:
        raise failed[0]
    return came
