"""The drawing desk in the page.

Imports `model`, `storage`, `geometry`, `measures`, `rules`, `judging`, `assist`, `pictures`, `paper`.

    table         the widget: what comes from the page is read, judged, answered, saved
    settings      what the page and Python share of how it is looked at
    revisions     how old is told from new, in every widget
    poses         what the page sends, read
    answer        what is worked out of one pose
    replies       verdict, guide and correction for it, with its revision
    desk, guided  what they show in the page
    saving        saving a short while after the last change
    open_file     a learner's file on a table
    on_file       what a check judges of a file that lies on an open table
    plan_sheet    a path of action and its chart, planned beside a table
    lecture_strip, recorder, follower   a lecture recorded and followed beside a table
    paper_strip   joints confirmed on drawings that were made on paper
    sliders       named sliders for a model action
    lag_map       a map of settings, one of them chosen
    picture       a still picture, for where no kernel draws
    still         that picture and one line, left in the notebook by every widget; panels of widgets
    given         one action as a page of HTML that stands alone
    joined        its modules as the one script in it
    page_files    what runs in the page, page/, as the one text a widget is handed
"""

from .given import Words, given_page, words_on
from .on_file import OnFile, on_file
from .open_file import open_table
from .table import LightTable

__all__ = ["LightTable", "OnFile", "Words", "given_page", "on_file", "open_table", "words_on"]
