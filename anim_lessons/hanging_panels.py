"""Panels for what hangs and follows: sliders in words that are felt, the drawings they give, and a map of them."""

from html import escape

import numpy as np

from .action import ActionError

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

    from ipywidgets import HTML, VBox

    from .hanging import SCENES, hung, waving_hand
    from .light_table import LightTable
    from .light_table.sliders import Sliders

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
    panel = VBox([sliders, line, table])
    panel.table, panel.sliders, panel.line = table, sliders, line
    return panel


def hanging_map(scene="pennant", side=16):
    """See it: how late the parts of a scene turn at side by side settings, and the drawings of the one chosen.

    Parameters
    ----------
    scene : str
        Of `hanging.SCENES`; it hangs in three parts here.
    side : int
        Settings along each side of the map.

    Returns
    -------
    Widget
        `.map` is the map, `.table` its light table.
    """
    from ipywidgets import VBox

    from .hanging import SCENES, mapped
    from .light_table import LightTable
    from .light_table.lag_map import LagMap

    if scene not in SCENES:
        raise ActionError(f'there is no scene "{scene}" to map; there is {", ".join(SCENES)}')
    swings, settles = np.linspace(0.5, 4.0, side), np.linspace(0.1, 1.0, side)
    lags, actions = mapped(SCENES[scene], swings, settles)
    there = [(i, j) for i in range(side) for j in range(side) if actions[i][j] is not None]
    middle = min(there, key=lambda place: abs(place[0] - side / 3) + abs(place[1] - side / 2))
    chart = LagMap(label=f"how late the parts of the {scene} turn: swings a second upward, how soon they settle to the right",
                   swings=swings.round(3).tolist(), settles=settles.round(3).tolist(), at=list(middle),
                   lags=[[None if np.isnan(lag) else round(float(lag), 2) for lag in row] for row in lags])
    table = LightTable(actions[middle[0]][middle[1]], exercise=f"{scene} map")

    def choose(change):
        i, j = change["new"]
        if actions[i][j] is not None:      # where nothing links up, the drawings stay; the map says so
            table.action = actions[i][j]

    chart.observe(choose, "at")
    panel = VBox([chart, table])
    panel.map, panel.table = chart, table
    return panel
