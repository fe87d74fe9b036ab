"""Panels for what hangs and follows: sliders in words that are felt, the drawings they give, and a map of them."""

import threading
from html import escape

import numpy as np

from ..model.action import ActionError

HANGING = (  # of hanging.hung
    ("parts", "parts", 1, 12, 1, ""),
    ("swings", "a part by itself swings so often a second", 0.5, 4.0, 0.1, ""),
    ("settles", "how soon it settles", 0.1, 1.0, 0.05, ""),
    ("heavy", "how heavy a part is", 5, 80, 5, " g"),
    ("air", "how much air it meets", 0.0, 8.0, 0.5, ""),
    ("dial", "from pulled along (0) to weight and springs (1)", 0.0, 1.0, 0.1, ""),
    ("drawings", "drawings in the loop", 8, 32, 1, ""),
)
LANTERN = (  # of hanging.hung: a pendulum, without a spring unless one is asked for
    ("swings", "a spring would swing it so often a second", 0.0, 4.0, 0.1, ""),
    *HANGING[2:],
)
FIRST = {  # where a scene does not begin as `hung` does
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
    *HANGING[1:5],
)
SWINGING = (*STOPPING[:2], LANTERN[0], *STOPPING[4:])  # of a lantern, in one part
STOP_FIRST = {"lantern": {"parts": 1, "travel": 10, "swings": 0.0, "settles": 0.3}}


def hanging(scene="pennant"):
    """See it: what hangs from a moving joint, and how it follows. Nothing of it is saved.

    While there is no loop that links up, the last one stays on the table and a line below the sliders says so.

    Parameters
    ----------
    scene : str
        Of `hanging.SCENES`, or "hand".

    Returns
    -------
    Widget
        `.table` is its light table, `.sliders` the sliders, `.line` the line below them.
    """
    import inspect
    from functools import partial

    from ipywidgets import HTML

    from ..ferry.hanging import SCENES, hung, waving_hand
    from ..light_table import LightTable
    from ..light_table.sliders import Sliders
    from ..light_table.still import Panel

    if scene != "hand" and scene not in SCENES:
        raise ActionError(f'there is no scene "{scene}"; there is {", ".join(SCENES)}, hand')
    if scene == "hand":
        make, rows = waving_hand, HAND
    else:
        make = partial(hung, SCENES[scene], **FIRST.get(scene, {}))
        rows = LANTERN if scene == "lantern" else HANGING
    first = {name: parameter.default for name, parameter in inspect.signature(make).parameters.items()}
    sliders = Sliders.of(rows, first, scene)
    now = make(**sliders.numbers)
    table = LightTable(now.action, exercise=scene)
    line = HTML(now.says)

    def follow(_):
        nonlocal now
        new = make(**sliders.numbers, warm=now)
        if new.action is None:
            line.value = f"<strong>The drawings are from before.</strong> {escape(new.says)}"
            return
        now = new
        line.value = escape(now.says)
        table.action = now.action

    sliders.observe(follow, "values")
    panel = Panel([sliders, line, table], table)
    panel.sliders, panel.line = sliders, line
    return panel


def stop_and_settle(scene="pennant"):
    """See it: a joint starts, goes its way and stops; what hangs from it goes on, and settles. Nothing of it is saved.

    Parameters
    ----------
    scene : str
        Of `hanging.SCENES`.

    Returns
    -------
    Widget
        `.table` is its light table, `.sliders` the sliders, `.line` the line below them: which part rests when.
    """
    import inspect
    from functools import partial

    from ipywidgets import HTML

    from ..ferry.hanging import SCENES
    from ..ferry.stopping import stopped
    from ..light_table import LightTable
    from ..light_table.sliders import Sliders
    from ..light_table.still import Panel

    if scene not in SCENES:
        raise ActionError(f'there is no scene "{scene}" that stops; there is {", ".join(SCENES)}')
    make = partial(stopped, SCENES[scene], **STOP_FIRST.get(scene, {}))
    rows = SWINGING if scene == "lantern" else STOPPING
    first = {name: parameter.default for name, parameter in inspect.signature(make).parameters.items()}
    sliders = Sliders.of(rows, first, f"{scene}: start, stop, settle")
    now = make(**sliders.numbers)
    line = HTML(now.says)
    table = LightTable(now.action, exercise=f"{scene} stops")

    def follow(_):
        new = make(**sliders.numbers)
        if new.action is None:
            line.value = f"<strong>The drawings are from before.</strong> {escape(new.says)}"
            return
        line.value = escape(new.says)
        table.action = new.action

    sliders.observe(follow, "values")
    panel = Panel([sliders, line, table], table)
    panel.sliders, panel.line = sliders, line
    return panel


MAPPED = (  # of hanging.hung and hanging.mapped: the two axes of the map, and what makes another map
    *HANGING[1:3],
    ("parts", "parts", 2, 6, 1, ""),
    *HANGING[3:6],
    ("drawings", "drawings in the loop", 14, 32, 1, ""),
)
MAP_FIRST = {"swings": 2.0, "settles": 0.6, "parts": 3, "heavy": 20, "air": 4.0, "dial": 1.0, "drawings": 16}
AXES = ("swings", "settles")
ROWS = 2  # of a map worked out at a time: between them it is seen whether that map is still wanted


def hanging_map(scene="pennant", side=16):
    """See it: how late the parts of a scene turn, over two sliders, and where on that map the sliders stand.

    Sliders, map and drawings follow one another. A new map is made on a thread of its own, after the drawings.

    Parameters
    ----------
    scene : str
        Of `hanging.SCENES`.
    side : int
        Settings along each side of the map.

    Returns
    -------
    Widget
        `.map` is the map, `.sliders` the sliders, `.line` the line below them, `.table` its light table; `.maps.finish()`
        waits for the map.
    """
    from ipywidgets import HTML, HBox, Layout, VBox

    from ..ferry.hanging import SCENES, hung, least_late, mapped
    from ..geometry.limb import angles
    from ..light_table import LightTable
    from ..light_table.lag_map import LagMap, told
    from ..light_table.sliders import Sliders
    from ..light_table.still import Panel

    if scene not in SCENES:
        raise ActionError(f'there is no scene "{scene}" to map; there is {", ".join(SCENES)}')
    scene = SCENES[scene]
    ends = {name: (least, most) for name, _, least, most, *_ in MAPPED}
    swings, settles = (np.linspace(*ends[name], side) for name in AXES)
    sliders = Sliders.of(MAPPED, MAP_FIRST, scene.name)
    now = hung(scene, **sliders.numbers)
    line = HTML(now.says)
    table = LightTable(now.action, exercise=f"{scene.name} map")
    chart = LagMap(label=f"how late the parts of the {scene.name} turn: swings a second upward, how soon they settle to the right",
                   swings=swings.round(3).tolist(), settles=settles.round(3).tolist())
    drawn = ()

    def others():
        return {name: number for name, number in sliders.numbers.items() if name not in AXES}

    def stand(found):
        nonlocal drawn, wanted
        at = [sliders.numbers[name] for name in AXES]
        drawn = at if found else drawn
        lag = told(least_late(angles(now.action.limbs[0].drawings))) if found else None
        new = others() != wanted
        chart.stand({**dict(zip(AXES, at)), "lag": lag, "found": found, "drawn": drawn}, chart.old or new)
        if new:
            wanted = others()
            maps.ask(wanted)

    def work(asked, wanted):
        rows = []
        for i in range(0, side, ROWS):
            if not wanted():
                return None
            rows.append(mapped(scene, swings[i:i + ROWS], settles, **asked))
        return [np.concatenate(part) for part in zip(*rows)]

    maps = Latest(work, lambda made: chart.lay(*made))
    wanted = others()

    def follow(_):
        nonlocal now
        new = hung(scene, **sliders.numbers, warm=now)
        if new.action is None:
            line.value = f"<strong>The drawings are from before.</strong> {escape(new.says)}"
        else:
            now = new
            line.value = escape(now.says)
            table.action = now.action
        stand(new.action is not None)

    stand(True)
    chart.lay(*work(wanted, lambda: True))
    sliders.observe(follow, "values")
    chart.observe(lambda change: sliders.move(**dict(zip(AXES, change["new"]))), "chosen")
    chart.layout, column = Layout(flex="0 0 auto", margin="0 0.5em 0 0"), VBox([sliders, line], layout=Layout(flex="1 1 20em"))
    panel = Panel([HBox([chart, column], layout=Layout(flex_flow="row wrap")), table], table)
    panel.map, panel.sliders, panel.line, panel.maps = chart, sliders, line, maps
    return panel


class Latest:
    """Works on what was asked last, on a thread of its own; what was asked before is dropped.

    Parameters
    ----------
    work : function
        Of what was asked and of `wanted`, a function without arguments that is False once something else was asked. What it
        returns is handed on, unless None.
    done : function
        Of the result, called on that thread.
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
        """Back when nothing is left to do."""
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
