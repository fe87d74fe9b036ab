"""Panels of single lessons: sliders by which one rule is kept, or broken, and the drawings they give."""

import inspect
from html import escape

from ..model.action import Action

TIMING = (  # of actions.buoy
    ("slow", "how slow at the top and at the bottom", 0.0, 1.5, 0.1, ""),
    ("drawings", "drawings in the loop", 8, 24, 1, ""),
    ("exposure", "frames a drawing is held", 1, 4, 1, ""),
)
OPENING = (  # of starts.opening
    ("waits", "how much of one step the elbow skips", 0.0, 1.5, 0.1, ""),
    ("opens", "how far the elbow opens", 20, 110, 1, "°"),
    ("straightest", "its bend where it is most open", -20, 40, 1, "°"),
    ("late", "elbow lags by, in 24ths of the loop", 0.0, 6.0, 0.1, ""),
)
SEAM = (  # of starts.looped
    ("drift", "how far each drawing is too far round", 0.0, 1.2, 0.1, ""),
    ("flutter", "how far the forearm shakes, from 6 to 10", 0.0, 8.0, 0.5, "°"),
    ("first", "drawing with which the stack begins", 1, 16, 1, ""),
)
OPPOSED = (  # of actions.two_arms
    ("behind", "far arm comes after the near one by, drawings", 0, 16, 1, ""),
    ("swing", "swing of both upper arms, either way", 10, 60, 1, "°"),
)


def timing():
    """See it: the buoy, and how it is spaced and timed. Nothing of it is saved.

    Returns
    -------
    Widget
        `.table` is its light table, `.sliders` the sliders.
    """
    from ..ferry.actions import buoy

    return slider_panel(TIMING, buoy, "timing")


def opening_arm():
    """See it: an arm that opens, and an elbow that waits, goes back, or goes past straight. Otherwise as
    `timing`."""
    from ..ferry.starts import opening

    return slider_panel(OPENING, opening, "opening arm")


def seam():
    """See it: a loop that drifts or flutters, and its stack begun at another drawing. Otherwise as
    `timing`."""
    from ..ferry.starts import looped

    return slider_panel(SEAM, looped, "seam")


def two_arms():
    """See it: two arms, and how far the far one comes after the near one. Otherwise as `timing`."""
    from ..ferry import actions

    def opposed(behind=8, swing=34):
        return actions.two_arms(16, behind / 16, swing=swing)

    return slider_panel(OPPOSED, opposed, "two arms")


def set_homework(folder="my_homework"):
    """Set homework without code: a form that writes brief, start drawings and notebook, and a zip of them to hand out.

    Parameters
    ----------
    folder : str or Path
        In which the assignments are; from the notebook's folder.

    Returns
    -------
    Widget
        `.form` is the form.
    """
    from .assignment.panel import panel

    return panel(folder)


def mark_a_class(folder="."):
    """Mark a class without code: its folder named, one button, the class as a table, and of each learner the page with what is found and
    what the instructor says of it.

    Parameters
    ----------
    folder : str or Path
        From which folders and files are named; the notebook's own unless given.

    Returns
    -------
    Widget
    """
    from .hand_ins.panel import panel

    return panel(folder)


def slider_panel(rows, make, name, exercise=None):
    """Sliders in the margin of the light table that they draw on, and a line of words above them if `make` has words.

    Parameters and attributes as for `linked`.
    """
    from ..light_table.still import Panel

    parts = linked(rows, make, name, exercise)
    panel = Panel([parts["table"]], parts["table"])
    panel.sliders, panel.line = parts["sliders"], parts["line"]
    return panel


def linked(rows, make, name, exercise=None, after=None):
    """Sliders, a line of words, and the light table on which they draw.

    Where no drawings can be made the last ones stay on the table, and the line says so.

    Parameters
    ----------
    rows : sequence of tuple
        A slider each: argument of `make`, words beside it, least, most, step, unit.
    make : callable
        Gives an Action, or a result with `action` (None where there is none) and `says`. Its defaults are the
        first values of the sliders. If it takes `warm` it is given the result before.
    name : str
        Under which the page knows the sliders.
    exercise : str, optional
        Under which the page knows the table; `name` if left out.
    after : callable, optional
        Called after each change, with True where drawings were made.

    Returns
    -------
    dict
        "sliders", "line" (None if `make` gives Actions; the table says the same) and "table".
    """
    from ipywidgets import HTML

    from ..light_table import LightTable
    from ..light_table.sliders import Sliders

    defaults = {key: parameter.default for key, parameter in inspect.signature(make).parameters.items()}
    sliders = Sliders.of(rows, defaults, name)
    now = make(**sliders.numbers)
    speaks = not isinstance(now, Action)
    line = HTML(escape(now.says)) if speaks else None
    table = LightTable(now.action if speaks else now, exercise=exercise or name)
    table.lay_beside(sliders=sliders)
    table.beside_says = now.says if speaks else ""

    def follow(_):
        nonlocal now
        new = make(**sliders.numbers, **({"warm": now} if "warm" in defaults else {}))
        found = not speaks or new.action is not None
        if found:
            now = new
            table.action = now.action if speaks else now
        if speaks:
            before = "" if found else "The drawings are from before. "
            line.value = (f"<strong>{before.strip()}</strong> " if before else "") + escape(new.says)
            table.beside_says = before + new.says
        if after:
            after(found)

    sliders.observe(follow, "values")
    return {"sliders": sliders, "line": line, "table": table}
