"""What is in a file of drawings, where a table of this kernel may have it open."""

import sys

from ..model import action_file
from ..model.action import ActionError


def on_file(file):
    """What is in a file, once the tables that are open on it are saved. Jupyter is not loaded for it.

    Returns
    -------
    (Action or None, str, ActionError or None)
        What is to be judged; sentences where that is not what lies on the open table; why nothing can be read.

    Raises
    ------
    ActionError
        Where the file cannot be read and no table is open on it.
    """
    light_table = sys.modules.get("anim_lessons.light_table")
    return (action_file.read(file), "", None) if light_table is None else light_table.on_file(file)


def on_files(paths):
    """(path, Action or ActionError, sentences as of `on_file`) of each path; no more than one of them is held."""
    if "anim_lessons.light_table" not in sys.modules:
        for path, found in action_file.read_many(paths):
            yield path, found, ""
        return
    for path in paths:
        try:
            action, apart, unread = on_file(path)
        except ActionError as error:
            action, apart, unread = None, "", error.with_traceback(None)
        yield path, action or unread or ActionError(apart), apart
