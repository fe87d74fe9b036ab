"""Action files read and judged, one after the other: what is wrong with one keeps no other from being judged."""

from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from ..model import action_file
from ..model.action import Action, ActionError
from ..rules.finding import Verdict
from .judge import TOGETHER, check, check_many


@dataclass(frozen=True, eq=False)
class Judged:
    """One file: `action` and `verdict`; or `error`, without an action where it could not be read, with it where not be judged."""

    path: object
    action: Action | None = None
    verdict: Verdict | None = None
    error: ActionError | None = None

    def told(self, tell):
        """What `tell` makes of it, and None; or None and the ActionError. Corrections are sought only when they are told,
        so an error may still come up here."""
        if self.error is not None:
            return None, self.error
        try:
            return tell(self), None
        except Exception as error:  # noqa: BLE001 - one file must not keep the others of a class from being told
            return None, not_judged(self.path, error)


def judged(paths, brief):
    """Read and judge files; those of one shape go through the rules together, a number at a time.

    Parameters
    ----------
    paths : iterable of str or Path
    brief : Brief

    Yields
    ------
    Judged
        In the order of the paths.
    """
    files = action_file.read_many(paths)
    while chunk := list(islice(files, TOGETHER)):
        actions = [found for _, found in chunk if not isinstance(found, ActionError)]
        try:
            verdicts = iter(list(check_many(actions, brief)))
        except Exception:  # noqa: BLE001 - one of them cannot be judged: each by itself tells which
            verdicts = None
        for path, found in chunk:
            if isinstance(found, ActionError):
                yield Judged(path, error=found)
            elif verdicts is not None:
                yield Judged(path, found, next(verdicts))
            else:
                yield _alone(path, found, brief)


def _alone(path, action, brief):
    try:
        return Judged(path, action, check(action, brief))
    except Exception as error:  # noqa: BLE001 - as above
        return Judged(path, action, error=not_judged(path, error))


def not_judged(path, error):
    """An error that came up while a file was judged, as an ActionError that names the file."""
    if isinstance(error, ActionError):
        return error.at(file=str(path))
    return ActionError(f"could not be judged ({type(error).__name__}: {error}). That is a fault of anim-lessons, not of the drawings",
                       "tell your instructor", file=str(path))


def names(paths):
    """What to call each file: its name without the ending, or the whole of it where two would be called the same."""
    paths = [Path(path) for path in paths]
    stems = [path.stem for path in paths]
    called = [path.name if stems.count(path.stem) > 1 else path.stem for path in paths]
    return [str(path) if called.count(name) > 1 else name for path, name in zip(paths, called)]
