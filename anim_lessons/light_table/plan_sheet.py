"""The plan sheet: a path of action is drawn on it freehand, its timing chart beside it; the plan goes into the action
of a light table and lies under the drawings there.

The page sends strokes and charts as they were drawn. Here they are smoothed, refused or taken, held against the
drawings, and answered.
"""

import anywidget
import numpy as np
import traitlets

from ..assist import plan
from ..assist.limb_passes import LimbProgress
from ..geometry.paths import path_of_action
from ..model.action import LARGEST, ActionError, Plan
from ..model.words import capital, the, verb
from ..storage.autosave import Autosave
from . import page_files
from .revisions import Answering
from .still import Panel, Stays

FIRST = "slow out and slow in"
STEPS = 256      # of the path, equally long, as the page gets it
MOST_BACK = 100  # changes of plans that can be taken back


class PlanSheet(Answering, Stays, anywidget.AnyWidget):
    """A sheet to plan on, for the action on a light table.

    Parameters
    ----------
    table : LightTable
    joint : str, optional
        The joint that is planned first; the end joint of the first limb unless given.
    delay : float
        Seconds without a change of the drawings before they are held against the plan again.

    Attributes
    ----------
    chosen : dict
        "limb" and "joint" under plan.
    plan : dict
        Of that joint: "line" (places at equal steps of the way), "chart", "half" (the drawing, from 0, of the other
        extreme; the last where there is no loop), "says"; empty where nothing is planned.
    told : dict
        "says", "kept", and "off": "drawing" and "says" of each drawing that left the plan.
    """

    _esm = page_files.module("plan_sheet")
    _css = page_files.style("plan_sheet")

    head = traitlets.Dict().tag(sync=True)
    drawings = traitlets.List().tag(sync=True)
    chosen = traitlets.Dict().tag(sync=True)
    plan = traitlets.Dict().tag(sync=True)
    told = traitlets.Dict().tag(sync=True)
    number = traitlets.Int(1).tag(sync=True)
    from_page = ("chosen", "number")

    _link = None  # to the table's number

    def __init__(self, table, joint=None, delay=0.3):
        self.table = table
        limb = next((limb for limb in table.action.limbs if joint in limb.joints), table.action.limbs[0])
        if joint is not None and joint not in limb.joints:
            raise ActionError(f'there is no joint "{joint}" to plan; there is '
                              f"{', '.join(joint for limb in table.action.limbs for joint in limb.joints)}")
        self._says, self._how = "", FIRST
        self._past, self._future = [], []
        self._look = Autosave(self._held_against, delay)
        super().__init__(chosen={"limb": limb.name, "joint": joint or limb.joints[-1]}, number=table.number)
        self._show()
        self._link = traitlets.link((table, "number"), (self, "number"))
        table.observe(self._drawn, "pose")
        self.observe(lambda change: self._show(), "chosen")
        self.on_msg(self._sent)

    def __repr__(self):
        return "PlanSheet"

    def on_paper(self):
        return self.table.on_paper()

    def close(self):
        """Not while the table is held: a look at the drawings that is under way is waited for."""
        if self._link is not None:  # a widget may be closed twice
            self._look.forget()
            self.table.unobserve(self._drawn, "pose")
            self._link.unlink()
            self._link = None
        super().close()

    # ---- from the page --------------------------------------------------------------------

    @traitlets.validate("chosen")
    def _there(self, proposal):
        value = proposal["value"]
        if not any(limb.name == value.get("limb") and value.get("joint") in limb.joints for limb in self.table.action.limbs):
            raise traitlets.TraitError("that joint is not on the sheet")
        return {"limb": value["limb"], "joint": value["joint"]}

    def asks(self):
        return {"stroke": self.draw, "places": self.set_places, "chart": self.time, "how": self.ease,
                "take away": lambda _: self.take_away(), "undo": lambda _: self.undo(), "redo": lambda _: self.redo()}

    def refused(self, why):
        self._say(f"Not taken: {why}.")

    def _say(self, says):
        self._says = says
        self._show()

    def draw(self, stroke):
        """Plan the chosen joint along a stroke, places (n, 2) in mm, smoothed; it is timed by the chart chosen last."""
        self._path(plan.smoothed(_places(stroke), self.table.action.loop))

    def set_places(self, places):
        """Plan it through single places, (n, 2) in mm."""
        loop = self.table.action.loop
        self._path(plan.smoothed(plan.through(_places(places), loop), loop))

    def _path(self, arc):
        chart = plan.charted(arc.path, self.table.action.count, self._how)
        self._take(Plan(self.chosen["joint"], arc.places, chart), arc.says)

    def ease(self, how):
        """Time the plan by a chart of plan.HOW."""
        if not isinstance(how, str) or how not in plan.HOW:
            raise ActionError(f'there is no chart "{how}"; there is {", ".join(plan.HOW)}')
        self._how = how
        now = self._now()
        if now is not None:
            path = path_of_action(now.path, self.table.action.loop)
            self._take(Plan(now.joint, now.path, plan.charted(path, self.table.action.count, how)))
        else:
            self._say("")

    def time(self, chart):
        """Time the plan by these shares of the path, one a drawing."""
        now = self._now()
        if now is None:
            raise ActionError("there is no path to time yet; draw it first")
        if not isinstance(chart, (list, tuple)) or not all(_is_number(share) for share in chart):
            raise ActionError("a chart is a row of shares of the path; give one a drawing")
        self._take(Plan(now.joint, now.path, np.round(chart, 5)))

    def take_away(self):
        self._says = ""
        with self.table.holding():
            if self._now() is not None:
                self._lay(plan.unplanned(self.table.action, *self._joint()))
            else:
                self._show()

    def undo(self):
        self._back(self._past, self._future)

    def redo(self):
        self._back(self._future, self._past)

    def _back(self, here, there):
        if here:
            there.append(self._plans())
            with self.table.holding():
                action = self.table.action
                for limb, plans in zip(action.limbs, here.pop()):
                    for joint in limb.joints:
                        old = next((one for one in plans if one.joint == joint), None)
                        action = plan.planned(action, limb.name, old) if old else plan.unplanned(action, limb.name, joint)
                self.table.action = action
        self._say("")

    # ---- in the action ----------------------------------------------------------------------

    def _joint(self):
        return self.chosen["limb"], self.chosen["joint"]

    def _now(self):
        limb, joint = self._joint()
        return self.table.action.limb(limb).planned(joint)

    def _plans(self):
        return [limb.plans for limb in self.table.action.limbs]

    def _take(self, new, says=""):
        self._says = says
        with self.table.holding():
            self._lay(plan.planned(self.table.action, self.chosen["limb"], new))

    def _lay(self, action):
        self._past = [*self._past[1 - MOST_BACK:], self._plans()]
        self._future = []
        self.table.action = action
        self._show()

    # ---- to the page ----------------------------------------------------------------------------

    def _drawn(self, change):
        """The drawings moved, or others lie on the table: they are shown a moment after the last change."""
        self._look.changed()

    def _held_against(self):
        """On a thread of its own."""
        self._show()

    def _show(self):
        with self.table.holding():  # else another thread may show older drawings after these
            self._show_now()

    def _show_now(self):
        table = self.table
        action = table.action
        if not any(limb.name == self.chosen.get("limb") and self.chosen["joint"] in limb.joints for limb in action.limbs):
            self.chosen = {"limb": action.limbs[0].name, "joint": action.limbs[0].joints[-1]}
            return  # it is shown for that joint already
        with self.hold_sync():
            self.head = {
                "paper": {"width": action.paper[0], "height": action.paper[1]}, "loop": bool(action.loop), "count": action.count,
                "limbs": [{"name": limb.name, "joints": list(limb.joints), "lengths": limb.lengths.tolist(),
                           "planned": [one.joint for one in limb.plans]}
                          for limb in action.limbs],
                "how": list(plan.HOW), "undo": bool(self._past), "redo": bool(self._future),
            }
            self.drawings = [limb.drawings.round(2).tolist() for limb in action.limbs]
            self.plan = self._shown(action)
            self.told = self._told(action)
        table.lay_plans_under()

    def _told(self, action):
        """What the drawings make of the plan of the joint at hand; what is not drawn yet has not left it."""
        found = plan.against(action, self.table.brief)
        if self._joint() not in found.planned:
            return {"says": "", "kept": False, "off": []}
        gone = self._not_drawn(action)
        off = [one for one in found.off if (one.limb, one.joint) == self._joint() and not gone[one.drawing - 1]]
        joint, still = self.chosen["joint"], int(gone.sum())
        keeps = f"{capital(the(joint))} {verb(joint, 'keeps', 'keep')} to {verb(joint, 'its', 'their')} plan"
        if still == action.count:
            says = f"Nothing of {the(joint)} is drawn yet."
        elif off:
            says = f"{len(off)} of {action.count} drawings left the plan" + (f"; {still} not drawn yet." if still else ".")
        else:
            says = f"{keeps} so far; {still} of {action.count} not drawn yet." if still else f"{keeps} in every drawing."
        return {"says": says, "kept": not off and not still, "off": [{"drawing": one.drawing, "says": one.says} for one in off]}

    def _not_drawn(self, action):
        """True for each drawing in which the joint at hand is still as it was given, traced."""
        limb, start = action.limb(self.chosen["limb"]), self.table.start
        first = None if start is None else next((one for one in start.limbs if one.name == limb.name), None)
        k = limb.joints.index(self.chosen["joint"])
        return LimbProgress(limb, first, action.loop).missing[:, :k].any(axis=1)

    def _shown(self, action):
        now = self._now()
        if now is None:
            return {"says": self._says} if self._says else {}
        path = path_of_action(now.path, action.loop)
        line = path.point(np.linspace(0.0, path.length, STEPS + 1))
        return {"line": line.round(2).tolist(), "chart": now.chart.tolist(),
                "half": action.count // 2 if action.loop else action.count - 1, "says": self._says}


def _places(value):
    """Places as the page sends them, or an error in its words."""
    fits = isinstance(value, (list, tuple, np.ndarray)) and len(value) <= plan.stroke.LONGEST and all(
        isinstance(p, (list, tuple, np.ndarray)) and len(p) == 2 and all(map(_is_number, p)) for p in value)
    if not fits:
        raise ActionError(f"a stroke is a list of places, x and y each, at most {plan.stroke.LONGEST}; draw it anew")
    return np.asarray(value, float).reshape(-1, 2)


def _is_number(value):
    return isinstance(value, (int, float)) and not isinstance(value, bool) and abs(value) <= LARGEST


def plan_panel(table, joint=None):
    """A plan sheet as a layer of its light table's sheet: `.sheet` and `.table`."""
    sheet = PlanSheet(table, joint)
    table.lay_beside(plan=sheet)
    panel = Panel([table], table)
    panel.sheet = sheet
    return panel
