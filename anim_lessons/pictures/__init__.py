"""Pictures of an action: contact sheet, onion skin, path of action, charts and graphs.

Graphite on paper, by matplotlib's objects alone: no window, no state. Each
function returns a Picture, a matplotlib Figure that shows itself in a notebook
and says in words what it shows. Nothing here judges; findings that are handed
in are marked. The same action gives the same bytes (`png`, `svg`, `pdf`).
"""

from .charts import bend_graph, spacing_graph, timing_chart
from .picture import Picture, pdf, png, svg
from .sheets import contact_sheet, drawing, onion_skin, path_of_action

__all__ = [
    "Picture", "bend_graph", "contact_sheet", "drawing", "onion_skin", "path_of_action", "pdf", "png",
    "spacing_graph", "svg", "timing_chart",
]
