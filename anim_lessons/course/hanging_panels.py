"""Panels for parts that hang and follow: their sliders, the drawings they give, and a map of the lag over two
sliders."""

import threading
from functools import partial

import numpy as np

from ..model.action import ActionError
from .panels import linked, slider_panel

SCENE = (  # of hanging.scene_loop
    ("parts", "parts", 1, 12, 1, ""),
    ("swings", "a part by itself swings so often a second", 0.5, 4.0, 0.1, ""),
    ("settles", "how soon it settles", 0.1, 1.0, 0.05, ""),
    ("heavy", "how heavy a part is", 5, 80, 5, " g"),
    ("air", "how much air it meets", 0.0, 8.0, 0.5, ""),
    ("dial", "pulled along (0), or by weight (1)", 0.0, 1.0, 0.1, ""),
    ("drawings", "drawings in the loop", 8, 32, 1, ""),
)
LANTERN = (  # of hanging.scene_loop: a pendulum, without a spring unless one is asked for
    ("swings", "a spring would swing it so often a second", 0.0, 4.0, 0.1, ""),
    *SCENE[2:],
)
SCENE_FIRST = {  # first values other than the defaults of `scene_loop`
    "lantern": {"parts": 1, "swings": 0.0, "settles": 0.1, "air": 0.0, "dial": 1.0},
    "mooring rope": {"swings": 3.0},
}
HAND = (  # of hanging.waving_hand
    ("swings", "a hand by itself swings so often a second", 2.0, 6.0, 0.1, ""),
    ("settles", "how soon it settles", 0.3, 1.0, 0.05, ""),
    ("heavy", "how heavy it is", 5, 60, 5, " g"),
    ("air", "how much air it meets", 0.0, 12.0, 0.5, ""),
    ("drawings", "drawings in the loop", 12, 32, 1, ""),
)

STOPPING = (  # of stopping.stopped
    ("travel", "drawings from start to stop", 4, 16, 1, ""),
    ("after", "drawings after the stop", 8, 40, 1, ""),
    ("parts", "parts", 1, 6, 1, ""),
    *SCENE[1:5],
)
SWINGING = (*STOPPING[:2], LANTERN[0], *STOPPING[4:])  # of a lantern, in one part
STOPPING_FIRST = {"lantern": {"parts": 1, "travel": 10, "swings": 0.0, "settles": 0.3}}


def hanging(scene="pennant"):
    """See it: what hangs from a moving joint, and how it follows. Nothing of it is saved.

    While there is no loop that links up, the last one stays on the table and a line below the sliders says
    so.

    Parameters
    ----------
    scene : str
        Of `hanging.SCENES`, or "hand".

    Returns
    -------
    Widget
        `.table` is its light table, `.sliders` the sliders, `.line` the line below them.
    """
    from ..ferry.hanging import SCENES, scene_loop, waving_hand

    if scene == "hand":
        return slider_panel(HAND, waving_hand, scene)
    make = partial(scene_loop, _scene(SCENES, scene, hand="hand"), **SCENE_FIRST.get(scene, {}))
    return slider_panel(LANTERN if scene == "lantern" else SCENE, make, scene)


def _scene(scenes, name, to="", **more):
    """The scene of that name; where there is none, the error says which there are."""
    if name not in scenes:
        raise ActionError(f'there is no scene "{name}"{to}; there is {", ".join([*scenes, *more])}')
    return scenes[name]


def stop_and_settle(scene="pennant"):
    """See it: a joint starts, goes its way and stops; what hangs from it goes on, and settles. Nothing of it
    is saved.

    Parameters
    ----------
    scene : str
        Of `hanging.SCENES`.

    Returns
    -------
    Widget
        `.table` is its light table, `.sliders` the sliders, `.line` the line below them: which part rests
        when.
    """
    from ..ferry.hanging import SCENES
    from ..ferry.stopping import stopped

    make = partial(stopped, _scene(SCENES, scene, " that stops"), **STOPPING_FIRST.get(scene, {}))
    rows = SWINGING if scene == "lantern" else STOPPING
    return slider_panel(rows, make, f"{scene}: start, stop, settle", f"{scene} stops")


MAP = (  # of hanging.scene_loop and hanging.scene_lags: the two axes of the map, then what makes another map
    *SCENE[1:3],
    ("parts", "parts", 2, 6, 1, ""),
    *SCENE[3:6],
    ("drawings", "drawings in the loop", 14, 32, 1, ""),
)
MAP_FIRST = {"swings": 2.0, "settles": 0.6, "parts": 3, "heavy": 20, "air": 4.0, "dial": 1.0, "drawings": 16}
MAP_AXES = ("swings", "settles")
MAP_ROWS = 2  # worked out at a time; before each the thread asks whether that map is still wanted


def hanging_map(scene="pennant", side=16):
    """See it: how late the parts of a scene turn, over two sliders, and where on that map the sliders stand.

    Sliders, map and drawings follow one another. A new map is made on a thread of its own, after the
    drawings.

    Parameters
    ----------
    scene : str
        Of `hanging.SCENES`.
    side : int
        Settings along each side of the map.

    Returns
    -------
    Widget
        `.map` is the map, `.sliders` the sliders, `.line` the line below them, `.table` its light table;
        `.maps.finish()` waits for the map.
    """
    from ..ferry.hanging import SCENES, least_lag, scene_lags, scene_loop
    from ..geometry.limb import angles
    from ..light_table.lag_map import LagMap, told
    from ..light_table.still import Panel

    scene = _scene(SCENES, scene, " to map")
    ends = {name: (least, most) for name, _, least, most, *_ in MAP}
    swings, settles = (np.linspace(*ends[name], side) for name in MAP_AXES)
    chart = LagMap(label=f"how late the parts of the {scene.name} turn: swings a second upward, how soon "
                         f"they settle to the "
                         "right", swings=swings.round(3).tolist(), settles=settles.round(3).tolist())
    drawn = ()

    def others():
        return {name: number for name, number in sliders.numbers.items() if name not in MAP_AXES}

    def mark(found):
        nonlocal drawn, wanted
        at = [sliders.numbers[name] for name in MAP_AXES]
        drawn = at if found else drawn
        lag = told(least_lag(angles(table.action.limbs[0].drawings))) if found else None
        new = others() != wanted
        chart.stand({**dict(zip(MAP_AXES, at)), "lag": lag, "found": found, "drawn": drawn}, chart.old or new)
        if new:
            wanted = others()
            maps.ask(wanted)

    def work(asked, wanted):
        rows = []
        for i in range(0, side, MAP_ROWS):
            if not wanted():
                return None
            rows.append(scene_lags(scene, swings[i:i + MAP_ROWS], settles, **asked))
        return [np.concatenate(part) for part in zip(*rows)]

    parts = linked(MAP, partial(scene_loop, scene, **MAP_FIRST), scene.name, f"{scene.name} map", after=mark)
    sliders, line, table = parts.values()
    maps = Latest(work, lambda made: chart.lay(*made))
    wanted = others()
    mark(True)
    chart.lay(*work(wanted, lambda: True))
    chart.observe(lambda change: sliders.move(**dict(zip(MAP_AXES, change["new"]))), "chosen")
    table.lay_beside(map=chart)
    panel = Panel([table], table)
    panel.map, panel.sliders, panel.line, panel.maps = chart, sliders, line, maps
    return panel


class Latest:
    """A thread of its own that works on the newest request; older ones are dropped.

    Parameters
    ----------
    work : function
        Takes the request and `wanted`, a function that is False once there is a newer one. Gives a result, or
        None.
    done : function
        Takes each result that is not None and still wanted; called on that thread.
    """

    def __init__(self, work, done):
        self._work, self._done = work, done
        self._lock = threading.Lock()
        self._asked = self._thread = None

    def ask(self, asked):
        with self._lock:
            self._asked = [asked]
            if self._thread is None:
                self._thread = threading.Thread(target=self._run, daemon=True)
                self._thread.start()

    def finish(self):
        """Return when nothing is left to do."""
        thread = self._thread
        if thread is not None:
            thread.join()

    def _run(self):
        while True:
            with self._lock:
                asked, self._asked = self._asked, None
                if asked is None:
                    self._thread = None
                    return
            made = self._work(asked[0], lambda: self._asked is None)
            with self._lock:
                wanted = made is not None and self._asked is None
            if wanted:
                self._done(made)
