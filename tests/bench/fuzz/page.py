"""Targets that take what a page sends: light table, plan sheet, recorder, follower, sliders, map.

A page is taken to send JSON of any kind: nothing but a refusal in words may come of it.
"""

import json
from contextlib import suppress

import traitlets

from anim_lessons.assist import lecture
from anim_lessons.light_table import LightTable, desk, poses
from anim_lessons.light_table.follower import Follower
from anim_lessons.light_table.lag_map import LagMap
from anim_lessons.light_table.plan_sheet import PlanSheet
from anim_lessons.light_table.recorder import Recorder
from anim_lessons.light_table.sliders import Sliders
from anim_lessons.model import action_file
from anim_lessons.model.action import Action
from anim_lessons.storage.store import Store

from . import bent, made
from .actions import JUDGED, REFUSED, asked, brief, given, plain, round_trip

MESSAGES = 5  # at most, to one widget
HOUR = 3600.0  # seconds: no timer rings while a case lasts
OWN = (
    "layout",
    "_model_module",
    "_model_name",
    "_view_module",
    "_view_name",
    "_esm",
    "_css",
)  # the machinery's, not ours


class Still:
    """A timer that never rings: what waits is done when the case asks for it."""

    def __init__(self, seconds, ring):
        pass

    def start(self):
        pass

    cancel = start


def document(rng):
    return made.document(rng, planned=0.4, big=0.0)


def action_of(document):
    return action_file.loads(json.dumps(document).encode())


def sent(value):
    """As it comes out of a message: a copy, in which nothing is shared."""
    return json.loads(json.dumps(value))


def table_of(case, store=False):
    rng = case.rng
    action = action_of(document(rng))
    kept = None
    if store:
        kept = Store(case.folder / "wave.json")
        kept.save(action_file.dumps(action))
    start = rng.choice((None, action, given(rng, action)))
    return LightTable(
        action, kept, brief(rng), start=start, withheld=rng.choice(("", "", "look first.")), timer=Still
    )


def state(rng, widget):
    """Traits as a page may send them: one to three, some of them not there."""
    keys = [key for key in widget.keys if key not in OWN and not key.startswith("_")]
    return {
        rng.choice(keys) if rng.random() < 0.9 else made.text(rng): bent.odd_value(rng)
        for _ in range(rng.choice((1, 1, 2, 3)))
    }


def place(rng, action):
    limb = rng.choice(action.limbs)
    return {"limb": limb.name, "joint": rng.choice(limb.joints)}


def as_ever(widget):
    """All traits can be sent to the page."""
    for key in widget.keys:
        if key not in OWN:
            value = getattr(widget, key)
            if not hasattr(value, "comm"):
                plain(value, f"{type(widget).__name__}.{key}")


def table_as_ever(table):
    asked(isinstance(table.action, Action), "no action lies on the table")
    shown = poses.read(table.pose, table.action)
    asked(
        shown.drawn_as(table.action) and shown.exposure == table.action.exposure,
        "what the page has is not what lies on the table",
    )
    lined = poses.read({**table.pose, "revision": max(table.pose["revision"], table.lines["revision"])}, table.action, table.lines)
    asked(told(lined) == told(table.action), "the lines that the page has are not those that lie on the table")
    asked(
        table.verdict["revision"] == table.pose["revision"],
        "the verdict is of another revision than the pose",
    )
    as_ever(table)
    round_trip(table.action)


def told(action):
    return [(line.drawing, line.told()) for line in action.lines]


# ---- the light table ------------------------------------------------------------------


def lines(rng, table):
    """Lines of a page, bent or not, under any revision; mostly none."""
    if rng.random() < 0.5:
        return {}
    found = made.lines(rng, rng.choice((2, table.action.count)))
    sent = {
        "revision": rng.choice((table.pose["revision"] + 1,) * 3 + (table.pose["revision"], 0, 2**53)),
        "drawings": {str(line["drawing"]): line["strokes"] for line in found},
    }
    return {"lines": bent.values_bent(rng, sent) if rng.random() < 0.5 else sent}


def pose(rng, table):
    """A pose of these limbs or of others, bent or not, under any revision."""
    action = table.action
    if rng.random() < 0.3:
        action = action_of(document(rng))
    found = desk.pose(action, rng.choice((table.pose["revision"] + 1,) * 4 + (0, -1, 2**53, 2**53 - 1, 7)))
    return bent.values_bent(rng, found) if rng.random() < 0.7 else found


def settings(rng, table):
    found = dict(table.settings)
    for key in rng.sample(sorted(found), 2):
        found[key] = place(rng, table.action) if rng.random() < 0.4 else bent.odd_value(rng)
    return found


def light_table(case):
    """Poses, settings, numbers and questions to a light table."""
    rng = case.rng
    table = table_of(case, store=rng.random() < 0.2)
    try:
        before = table.action
        case.lap()
        for _ in range(rng.randint(1, MESSAGES)):
            kind = rng.randrange(8)
            if kind < 3:
                table.set_state(
                    sent(
                        {"pose": pose(rng, table)}
                        | lines(rng, table)
                        | ({"number": rng.randint(0, 30)} if rng.random() < 0.3 else {})
                    )
                )
            elif kind == 3:
                table.set_state(sent({"settings": settings(rng, table)} | lines(rng, table)))
            elif kind == 4:
                table.set_state(sent({"number": rng.choice((1, 2, table.action.count, bent.odd_value(rng)))}))
            elif kind == 5:
                table.set_state(sent(state(rng, table)))
            else:
                ask = {
                    "ask": rng.choice(("verdict", "mend", "mend", "take the file's", bent.odd_value(rng))),
                    "finding": rng.choice((None, 0, 1, bent.odd_value(rng))),
                }
                table._asked(table, sent(rng.choice((ask, ask, bent.values_bent(rng, ask)))), [])
            table_as_ever(table)
            case.lap()
        table.save()
        if table.store is not None and table.saved["state"] == "saved":
            asked(
                action_file.dumps(table.action) == table.store.path.read_bytes(),
                "what is saved is not what lies on the table",
            )
        return REFUSED if table.action is before else JUDGED
    finally:
        table.close()


# ---- what stands beside it ------------------------------------------------------------


def beside(case, table, widget, whats):
    """Questions and traits to a widget beside a light table, in turn with changes on the table."""
    rng = case.rng
    try:
        before = table.action
        for _ in range(rng.randint(1, MESSAGES)):
            kind = rng.randrange(8)
            if kind == 0:
                with suppress(traitlets.TraitError):  # a trait of another type: the machinery's own refusal
                    widget.set_state(sent(state(rng, widget)))
            elif kind == 1:
                table.set_state(sent({"pose": pose(rng, table)}))
            elif kind == 2:
                table.set_state(sent({"number": rng.choice((1, table.action.count, 99))}))
            else:
                asks = [*widget.asks()]
                ask = {
                    "ask": rng.choice(asks),
                    "revision": rng.choice(
                        (widget.answered + 1, widget.answered + 1, widget.answered, 0, bent.odd_value(rng))
                    ),
                }
                ask["what"] = whats(rng, ask["ask"]) if rng.random() < 0.7 else bent.odd_value(rng)
                if rng.random() < 0.1:
                    ask = bent.values_bent(rng, ask)
                widget._sent(widget, sent(ask), [])
            table_as_ever(table)
            as_ever(widget)
            case.lap()
        return REFUSED if table.action is before else JUDGED
    finally:
        widget.close()
        table.close()


def plan_sheet(case):
    """Strokes, places and charts to a plan sheet."""
    table = table_of(case)
    sheet = PlanSheet(table, delay=HOUR)

    def whats(rng, ask):
        if ask in ("stroke", "places"):
            return stroke(rng)
        if ask == "chart":
            chart = sorted(rng.random() for _ in range(table.action.count))
            return bent.values_bent(rng, chart) if rng.random() < 0.4 else chart
        return rng.choice(("slow out", "even", "no such chart", None)) if ask == "how" else None

    return beside(case, table, sheet, whats)


def stroke(rng):
    count = rng.choice((0, 1, 2, 3, 10, 200, 200, 3000))
    kind, scale = rng.randrange(6), rng.choice((1e-310, 1e-6, 1.0, 1.0, 1.0, 100.0, 1e200, 1e300))
    at, points = [100.0, 100.0], []
    for n in range(count):
        if kind < 3:
            at = [v + rng.gauss(0, 3) for v in at]
        elif kind == 3:
            at = [n, 50.0]
        points.append([at[0] * scale, at[1] * scale])
    if kind == 5:
        points = points[::2] * 2
    return bent.values_bent(rng, points) if points and rng.random() < 0.3 else points


def recorder(case):
    """Steps recorded, rewritten, moved, taken out."""
    table = table_of(case)
    strip = Recorder(table)

    def whats(rng, ask):
        if ask in ("record", "replace"):
            return rng.choice(("look", None, made.text(rng), "x" * 2001))
        if ask == "note":
            return {"at": rng.choice((0, 1, -1, 10**30)), "says": made.text(rng)}
        if ask == "joint":
            return rng.choice((place(rng, table.action), list(place(rng, table.action).values()), None))
        return rng.choice((0, 1, -1, 2, 10**30))

    return beside(case, table, strip, whats)


def follower(case):
    """A lecture followed on a table of its own make, or of another."""
    rng = case.rng
    whole = document(rng)
    whole["lecture"] = [
        made.step(rng, whole["limbs"], len(whole["limbs"][0]["drawings"]))
        for _ in range(rng.choice((0, 1, 3)))
    ]
    told = action_of(whole)
    start = given(rng, lecture.bare(told))
    mine = start if rng.random() < 0.7 else action_of(document(rng))
    table = LightTable(mine, timer=Still)
    strip = Follower(table, told.lecture, start)
    return beside(case, table, strip, lambda rng, ask: rng.choice((0, 1, 2, -1, 10**30)))


def sliders_and_map(case):
    """Values and places chosen on sliders and on a map."""
    rng = case.rng
    sliders = Sliders.of(
        [("drawings", "drawings", 4, 48, 1, ""), ("swing", "swing", 0.5, 90.0, 0.5, "deg")],
        {"drawings": 12, "swing": 30.0},
        "x",
    )
    chart = LagMap(swings=[0.5, 1.0, 2.0], settles=[0.1, 0.5, 1.0], own={"swings": 1.0, "settles": 0.5})
    of_python = ("sliders", "own", "swings", "settles")  # no view changes these
    try:
        for _ in range(rng.randint(1, MESSAGES)):
            values = {"drawings": bent.odd_value(rng), "swing": bent.odd_value(rng)}
            revision = rng.choice((1, 2, 9, bent.odd_value(rng)))
            chosen = [bent.odd_value(rng), rng.random()]
            for widget, news in (
                (sliders, {"revision": revision, "values": values}),
                (chart, {"revision": revision, "chosen": chosen}),
            ):
                news |= state(rng, widget) if rng.random() < 0.3 else {}
                with suppress(traitlets.TraitError):
                    widget.set_state(sent({key: news[key] for key in news if key not in of_python}))
            numbers = sliders.numbers
            inside = 4 <= numbers["drawings"] <= 48 and 0.5 <= numbers["swing"] <= 90.0
            asked(inside, f"a slider beyond its ends: {numbers}")
            if chart.chosen:
                swings, settles = chart.chosen
                asked(0.5 <= swings <= 2.0 and 0.1 <= settles <= 1.0, f"a place off the map: {chart.chosen}")
        return JUDGED
    finally:
        sliders.close()
        chart.close()


TARGETS = {
    "light table": light_table,
    "plan sheet": plan_sheet,
    "recorder": recorder,
    "follower": follower,
    "sliders and map": sliders_and_map,
}
