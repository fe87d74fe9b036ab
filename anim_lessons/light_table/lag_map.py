"""A map of settings: how late each part turns, over how fast it swings by itself and how soon it settles."""

from pathlib import Path

import anywidget
import traitlets

HERE = Path(__file__).parent


class LagMap(anywidget.AnyWidget):
    """The map, with one place on it chosen by pointer or arrow keys.

    Attributes
    ----------
    swings, settles : list of float
        The axes: swings a second upward, damping ratio to the right.
    lags : list of list of float or None
        Of each pair, drawings of a 24-drawing loop; None where nothing links up.
    at : list of int
        Row and column chosen, from 0.
    """

    _esm = HERE / "lag_map.js"
    _css = HERE / "lag_map.css"

    label = traitlets.Unicode().tag(sync=True)
    swings = traitlets.List().tag(sync=True)
    settles = traitlets.List().tag(sync=True)
    lags = traitlets.List().tag(sync=True)
    at = traitlets.List([0, 0]).tag(sync=True)

    @traitlets.validate("at")
    def _on_the_map(self, proposal):
        value = proposal["value"]
        if len(value) != 2 or not all(isinstance(n, int) and not isinstance(n, bool) for n in value):
            raise traitlets.TraitError("a place on the map is a row and a column")
        return [min(max(n, 0), max(len(axis) - 1, 0)) for n, axis in zip(value, (self.swings, self.settles))]

    def __repr__(self):
        return "LagMap"
