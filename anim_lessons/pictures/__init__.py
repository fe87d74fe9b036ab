"""Pictures of an action: contact sheet, onion skin, path of action, charts, films.

Imports `model`, `storage`, `geometry`, `measures`.

Graphite on paper, by matplotlib's objects alone: no window, no state. Each
function returns a Picture, a matplotlib Figure that shows itself in a notebook
and says in words what it shows. Nothing here judges; findings that are handed
in are marked. The same action gives the same bytes (`png`, `svg`, `pdf`).

    palette   the colours
    pen       curves, tubes, outlines grown by ink
    frames    shapes laid out in numbers
    arm       the deckhand's arm
    kinds     each kind of limb on its joints
    deckhand  the body that arms hang on, and all of a drawing
    skin      what is painted of a drawing: clean line, construction, neighbours
    picture   one picture in mm, and its bytes
    sheets    contact sheet, drawing, onion skin, path of action
    charts    timing chart, spacing graph, bend graph
    film      moving pictures
    export    an action written in the form that the file's ending asks for
"""

from importlib import import_module

_WHERE = {
    "charts": ("bend_graph", "spacing_graph", "timing_chart"),
    "picture": ("Picture", "pdf", "png", "svg"),
    "sheets": ("contact_sheet", "drawing", "onion_skin", "path_of_action"),
}
__all__ = [name for names in _WHERE.values() for name in names]


def __getattr__(name):
    """Load matplotlib when it is first asked for: the light table needs palette and skin alone."""
    for module, names in _WHERE.items():
        if name in names:
            return getattr(import_module(f".{module}", __name__), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
