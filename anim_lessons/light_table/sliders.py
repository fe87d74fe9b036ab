"""Sliders with names: native ones of the page, so that every reader and every key finds them."""

import anywidget
import traitlets

from . import page_files
from .revisions import Revised
from .still import Stays


class Sliders(Revised, Stays, anywidget.AnyWidget):
    """A row of named sliders.

    Attributes
    ----------
    sliders : list of dict
        "name", "label", "least", "most", "step", "unit" of each.
    values : dict of str to number
    """

    _esm = page_files.module("sliders")
    _css = page_files.style("sliders")

    label = traitlets.Unicode().tag(sync=True)
    sliders = traitlets.List().tag(sync=True)
    values = traitlets.Dict().tag(sync=True)
    of_revision = ("values",)
    from_page = ("values", "revision")

    @classmethod
    def of(cls, rows, first, label):
        """From rows of (name, label, least, most, step, unit) and the first value of each."""
        keys = ("name", "label", "least", "most", "step", "unit")
        return cls(label=label, sliders=[dict(zip(keys, row)) for row in rows],
                   values={row[0]: first[row[0]] for row in rows})

    @property
    def numbers(self):
        """The values within their sliders' bounds; whole numbers where a slider steps by whole ones."""
        result = {}
        for slider in self.sliders:
            value = self.values.get(slider["name"])
            if isinstance(value, bool) or not isinstance(value, (int, float)) or value != value:     # NaN is not itself
                value = slider["least"]
            value = min(max(value, slider["least"]), slider["most"])
            result[slider["name"]] = round(value) if isinstance(slider["step"], int) else float(value)
        return result

    def move(self, **to):
        """Move sliders by name, each to the nearest place at which it can stand."""
        values = dict(self.numbers)
        for slider in self.sliders:
            if slider["name"] in to:
                least, most, step = (slider[end] for end in ("least", "most", "step"))
                value = min(max(to[slider["name"]], least), most)
                value = min(least + step * round((value - least) / step), most)
                values[slider["name"]] = round(value, 6)     # 0.3, not 0.30000000000000004
        with self.hold_sync():
            self.values = values
            self.revision += 1

    def __repr__(self):
        return "Sliders"
