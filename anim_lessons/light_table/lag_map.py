"""A map of settings, with the learner's own on it: how late each part turns, over how fast it swings by itself
and how soon it settles."""

import math
import threading

import anywidget
import traitlets

from . import page_files
from .revisions import Revised
from .still import Stays


class LagMap(Revised, Stays, anywidget.AnyWidget):
    """The map, on which a setting is chosen by pointer or arrow keys.

    Attributes
    ----------
    swings, settles : list of float
        The axes, evenly: swings a second upward, damping ratio to the right.
    lags : list of list of float or None
        Of each pair, drawings of a 24-drawing loop; None where nothing links up or nothing swings enough to tell.
    found : list of list of bool
        False where nothing links up.
    old : bool
        True while the map is of other settings than the learner's.
    own : dict
        Where the learner stands: "swings", "settles", "lag" and "found" there, "drawn", the pair of which the drawings
        are, and "revision", that of the newest `chosen` when it was told.
    chosen : list of float
        From the page: swings and settles just chosen, anywhere between the ends of the axes. Anything else becomes the
        place where the learner stands.
    """

    _esm = page_files.module("lag_map")
    _css = page_files.style("lag_map")

    label = traitlets.Unicode().tag(sync=True)
    swings = traitlets.List().tag(sync=True)
    settles = traitlets.List().tag(sync=True)
    lags = traitlets.List().tag(sync=True)
    found = traitlets.List().tag(sync=True)
    old = traitlets.Bool(False).tag(sync=True)
    own = traitlets.Dict().tag(sync=True)
    chosen = traitlets.List().tag(sync=True)
    of_revision = ("chosen",)
    from_page = ("chosen", "revision")

    def __init__(self, **traits):
        self._guard = threading.RLock()     # maps are laid from a thread of their own
        super().__init__(**traits)

    def set_state(self, sync_data):
        with self._guard:
            super().set_state(sync_data)

    def stand(self, own, old):
        """Put the learner's mark; `old` says whether the map is of other settings."""
        with self._guard, self.hold_sync():
            self.own, self.old = {**own, "revision": self.revision}, old

    def lay(self, lags, found):
        """Lay a new map.

        Parameters
        ----------
        lags : ndarray, shape (swings, settles)
            Not a number where it cannot be told.
        found : ndarray of bool, the same shape
        """
        with self._guard, self.hold_sync():
            self.lags = [[told(lag) for lag in row] for row in lags]
            self.found = found.tolist()
            self.old = False

    @traitlets.validate("chosen")
    def _on_the_map(self, proposal):
        value = proposal["value"]
        if len(value) != 2 or not all(isinstance(n, (int, float)) and not isinstance(n, bool) and abs(n) < math.inf for n in value):
            return [self.own[name] for name in ("swings", "settles")]
        return [min(max(n, axis[0]), axis[-1]) for n, axis in zip(value, (self.swings, self.settles))]

    def __repr__(self):
        return "LagMap"


def told(lag):
    """A lag as the page reads it: two places, None where it is not a number."""
    return None if math.isnan(lag) else round(float(lag), 2)
