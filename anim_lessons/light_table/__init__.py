"""The light table in the page.

    table       the widget: what comes from the page is read, judged, answered, saved
    open_file   a learner's file on it
    desk        what lies beside the drawings: the next step, notes, charts
    picture     a still picture for where no kernel and no browser draws it
    sliders     named sliders for a model action
    lag_map     a map of settings, one of them chosen
    page_files  what runs in the page, page/, as the one text a widget is handed
"""

from .open_file import open_table, save_open
from .table import LightTable

__all__ = ["LightTable", "open_table", "save_open"]
