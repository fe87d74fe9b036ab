"""Drawings on paper beside a light table: the learner says which joint each dot is, and they lie on the table.

A limb lies on the table once all its joints on a drawing are confirmed (`paper.joints`). The pencil drawing is then
its picture there, in the page as well as in the moving picture.
"""

import anywidget
import traitlets

from ..model.action import ActionError
from ..model.words import the
from ..paper import joints, on_film
from . import page_files
from .pencil_pictures import pencil_pictures
from .revisions import Answering
from .still import Panel, Stays


class PaperStrip(Answering, Stays, anywidget.AnyWidget):
    """Asks joint by joint, drawing by drawing, where it is.

    Parameters
    ----------
    table : LightTable
    folder : paper.folder.Folder

    Attributes
    ----------
    drawings : list of dict
        "number", "box" (left, bottom, width, height, mm), "dots", "remark", "confirmed" (a list of limb, joint, place).
    at : int
        Number of the drawing that is asked about; 0 where nothing was read from paper.
    asks_for : list of str
        Limb and joint, or empty.
    says : str
    """

    _esm = page_files.module("paper_strip")
    _css = page_files.style("paper_strip")

    paper = traitlets.List().tag(sync=True)
    limbs = traitlets.List().tag(sync=True)
    count = traitlets.Int().tag(sync=True)
    drawings = traitlets.List().tag(sync=True)
    at = traitlets.Int().tag(sync=True)
    asks_for = traitlets.List().tag(sync=True)
    picture = traitlets.Unicode().tag(sync=True)
    says = traitlets.Unicode().tag(sync=True)

    def __init__(self, table, folder):
        self.table, self.folder = table, folder
        action = table.action
        super().__init__(
            paper=list(action.paper),
            count=action.count,
            limbs=[{"name": limb.name, "joints": list(limb.joints)} for limb in action.limbs],
        )
        self._pictures, wrong = pencil_pictures(folder)
        if wrong:
            self.says = wrong[-1]
        table.lay_pencil(self._pictures, on_film.frames(folder) if self._pictures else None)
        self._show(joints.next_drawing(folder, action) or next(iter(sorted(folder.drawings)), 0))
        self.on_msg(self._sent)

    def __repr__(self):
        return "PaperStrip"

    def on_paper(self):
        return self.table.on_paper()

    def asks(self):
        return {"confirm": self.confirm, "go": self.go, "again": lambda _: self.again()}

    def refused(self, why):
        self.says = f"Not done: {why}."

    # ---- what the page asks for ----------------------------------------------------------

    def confirm(self, what):
        """Where a joint is on the drawing at hand: {"limb", "joint", "place": mm, "exact"}."""
        if (
            not isinstance(what, dict)
            or not _is_place(what.get("place"))
            or not all(isinstance(what.get(key), str) for key in ("limb", "joint"))
        ):
            raise ActionError("that is no place of a joint; press on the drawing")
        number = self.at
        with self.table.holding():
            action = joints.confirm(
                self.folder,
                self.table.action,
                number,
                what["limb"],
                what["joint"],
                what["place"],
                what.get("exact") is True,
            )
            if not action.drawn_as(self.table.action):
                self.table.action = action
        self._keep()
        if joints.waiting(self.folder.drawings[number], action):
            return self._show(number)
        on = joints.next_drawing(self.folder, action, number)
        self._show(number if on is None else on)

    def go(self, number):
        """Ask about another drawing."""
        if isinstance(number, bool) or number not in self.folder.drawings:
            raise ActionError("that drawing was not read from paper; scan its sheet first")
        self._show(number)

    def again(self):
        """Ask for all joints of the drawing at hand once more."""
        with self.table.holding():
            self.table.action = joints.again(self.folder, self.table.action, self.at)
        self._keep()
        self._show(self.at)

    def _keep(self):
        self.table.save()
        try:
            self.folder.save()
        except OSError as error:
            raise ActionError(str(error).rstrip(".")) from None

    def _show(self, number):
        action, drawn = self.table.action, self.folder.drawings.get(number)
        left = joints.waiting(drawn, action) if drawn else []
        with self.hold_sync():
            self.drawings = [_listed(one) for _, one in sorted(self.folder.drawings.items())]
            self.at, self.asks_for = number, list(left[0]) if left else []
            self.picture = self._pictures.get(number, {}).get("url", "")
            self.says = self._told(drawn, left)
        if drawn is not None:
            self.table.number = number

    def _told(self, drawn, left):
        if drawn is None:
            return (
                "Nothing was read from paper yet. Print the sheets, draw on them, photograph them, and name the images in the "
                "cell above."
            )
        if left:
            limb, joint = left[0]
            whose = f" ({limb})" if len(self.limbs) > 1 else ""
            return f"Drawing {drawn.number}: press {the(joint)}{whose}."
        missing = [n for n in range(1, self.count + 1) if n not in self.folder.drawings]
        open_ = joints.next_drawing(self.folder, self.table.action)
        if open_ is not None:
            return f"Drawing {drawn.number} is confirmed. Drag a joint to move it."
        if missing:
            return f"All that was read is confirmed. Not read yet: {', '.join(map(str, missing))}."
        return "All drawings are confirmed. Play them on the light table below."


def _listed(drawn):
    return {
        "number": drawn.number,
        "box": list(drawn.box),
        "dots": [list(dot) for dot in drawn.dots],
        "remark": drawn.remark,
        "confirmed": [
            [limb, joint, *place] for limb, places in drawn.confirmed.items() for joint, place in places.items()
        ],
    }


def _is_place(value):
    return (
        isinstance(value, list)
        and len(value) == 2
        and all(isinstance(x, (int, float)) and not isinstance(x, bool) and abs(x) < 1e5 for x in value)
    )


def paper_panel(table, folder):
    """Drawings on paper above their light table: `.strip` and `.table`."""
    panel = Panel([PaperStrip(table, folder), table], table)
    panel.strip = panel.children[0]
    return panel
