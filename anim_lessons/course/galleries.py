"""See it, break it: a model loop with sliders, loops with one fault each, a pile of hand-ins to flip through."""

from collections.abc import Mapping
from html import escape

from ..judging.brief import brief_of
from ..model.action import ActionError
from .panels import slider_panel

MODEL = (  # of actions.wave: name, words beside the slider, least, most, step, unit
    ("drawings", "drawings in the loop", 8, 32, 1, ""),
    ("swing", "swing of the upper arm, either way", 10, 60, 1, "°"),
    ("elbow", "how far the elbow opens and closes, either way", 5, 50, 1, "°"),
    ("elbow_lag", "elbow lags by, in 24ths of the loop", 0, 6, 0.1, ""),
    ("drag", "how far the hand drags", 0, 45, 1, "°"),
    ("hand_lag", "hand lags by, in 24ths of the loop", 0, 4, 0.1, ""),
    ("hover", "slow in at the outer turn", 0, 0.6, 0.05, ""),
    ("exposure", "frames a drawing is held", 1, 4, 1, ""),
)


def model_loop():
    """See it: a model loop that follows its sliders. Nothing of it is saved.

    Returns
    -------
    Widget
        `.table` is its light table, `.sliders` the sliders.
    """
    from ..ferry.actions import wave

    return slider_panel(MODEL, wave, "model loop")


LOOK = "play it, then step through it. Which drawing is wrong, and what is wrong with it?"


def fault_gallery(names=None):
    """Break it: loops with one fault each, or one thing to advise about. The learner looks first; a button tells it.

    Parameters
    ----------
    names : sequence of str, or dict of str to function, optional
        Of `actions.FAULTS`, all of them unless given, or of `actions.ADVISED`. Or loops of a lesson's own, each by a
        function that makes it.

    Returns
    -------
    Widget
        `.table` is its light table, `.next` and `.show` the buttons.
    """
    from ..ferry.actions import ADVISED, DEMOS, FAULTS

    loops = dict(names) if isinstance(names, Mapping) else {name: DEMOS.get(name) for name in names or FAULTS}
    for name in () if isinstance(names, Mapping) else loops:
        if name not in {**FAULTS, **ADVISED}:
            raise ActionError(f'there is no fault "{name}"; there is {", ".join(FAULTS)}')
    return _looked_at_first(loops, "fault gallery")


def flip_pile(files, brief=None):
    """Mark a class: hand-ins on one table, one after the other, to be flipped first; a button shows the findings.

    Parameters
    ----------
    files : str, Path, or sequence of them
        As for `marking.class_table`; a file that cannot be read is left out, and that table says why.
    brief : Brief, str or Path, optional

    Returns
    -------
    Widget
        As of `fault_gallery`. What is drawn there is saved nowhere.
    """
    from .marking import readable

    loops = {name: lambda action=action: action for name, action in readable(files).items()}
    return _looked_at_first(loops, "pile", brief_of(brief), named=True)


def _looked_at_first(loops, exercise, brief=None, named=False):
    """Loops on one table, with their findings held back until they are asked for."""
    from ipywidgets import HTML, Button, HBox, Layout

    from ..light_table import LightTable
    from ..light_table.still import Panel

    names = tuple(loops)
    table = LightTable(loops[names[0]](), exercise=exercise, brief=brief, withheld=LOOK)
    wide = Layout(width="auto")
    following = Button(description="next loop", tooltip="Lay the next loop on the light table", layout=wide)
    show = Button(description="show what is wrong", tooltip="Show the finding on the light table", layout=wide)
    place = HTML()
    at = 0

    def told():
        return f"loop {at + 1} of {len(names)}" + (f": {escape(names[at])}" if named else "")

    def lay(step):
        nonlocal at
        at = (at + step) % len(names)
        with table.hold_trait_notifications():
            table.withheld = LOOK
            table.action = loops[names[at]]()
            table.number = 1  # where the last fault was is no help here
        place.value = told()

    def reveal(_):
        table.withheld = ""
        cause = next((finding for finding in table.verdict["findings"] if finding["drawings"]), None)
        if cause:
            table.number = cause["drawings"][0]

    following.on_click(lambda _: lay(1))
    show.on_click(reveal)
    place.value = told()
    panel = Panel([HBox([following, show, place]), table], table)
    panel.add_class("anim-gallery")
    panel.next, panel.show = following, show
    return panel
