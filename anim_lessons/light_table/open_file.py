"""Putting a learner's file on a light table: read, begun from a start, or open already."""

import os
from pathlib import Path

from ..judging.brief import brief_of
from ..model import action_file
from ..model.action import ActionError
from ..storage.disk import same_file
from ..storage.store import Store, StoreError
from .table import LightTable, alive


def open_table(path, exercise="", brief=None, start=None, under=None):
    """The light table with a learner's action file on it.

    Parameters
    ----------
    path : str or Path
    exercise : str, optional
        The file's name without its ending, unless given.
    brief : Brief, str or Path, optional
        The assignment, or its TOML file.
    start : Action, optional
        Copied to `path` if nothing is there; a file that is there is never overwritten.
    under : Action, optional
        Lies under the drawings, to be traced.

    Returns
    -------
    LightTable
        The one that is open already, where this kernel has one on that file; begun again where the file was deleted.

    Raises
    ------
    ActionError
        Where there is no file and no start, or the file cannot be read as an action.
    """
    brief = None if brief is None else brief_of(brief)
    store = Store(path)
    table = _open_here(store.asked)
    if table is not None and table.saved["state"] == "saving":  # the disk does not answer, and nobody waits for it here
        if brief is not None:
            table.brief = brief
        return table
    if table is not None:
        if start is not None and not os.path.lexists(store.asked):
            table.saver.begin_again(start)
        table.save()
        if brief is not None:
            table.brief = brief
        if _changed_elsewhere(table.store):
            table.saver.take_the_files()
        _lay_under(table, under)
        return table
    failed = None
    try:
        data = store.read()
    except StoreError as error:
        if start is None or Path(path).exists():
            raise ActionError(f"{path}: {error.why or error}; check the name, or give the drawings to start from") from None
        data = action_file.dumps(start)
        try:
            store.save(data)
        except Exception as error:
            failed = error  # the drawings go on the table all the same
    table = LightTable(action_file.loads(data, str(path)), store, brief, exercise, start=start)
    table.saver.as_in_the_file()
    if failed:
        table.saver.not_saved(failed)
    _lay_under(table, under)
    return table


def _lay_under(table, under):
    try:
        table.lay_under(under)
    except ActionError as error:  # no reason to keep a learner from the own drawings
        table.saver.tell(says=f"Nothing lies under your drawings: {error}.")


def open_on(path):
    """The tables of this kernel that were opened on that file, however its path is spelt."""
    path = Path(path).absolute()
    tables = [table for table in list(alive) if table.store is not None and table.comm is not None]
    return ([table for table in tables if table.store.asked == path]  # known without asking the disk
            or [table for table in tables if same_file(table.store.asked, path)])


def _open_here(path):
    return next(iter(open_on(path)), None)


def _changed_elsewhere(store):
    try:
        return store.changed_elsewhere()
    except StoreError:
        return False
