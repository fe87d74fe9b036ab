"""The panel in which an instructor marks a class: what is pressed goes to Python, and the table comes back with one learner's page."""

from functools import partial

import anywidget
import traitlets

from ..model.action import ActionError
from . import page_files
from .revisions import Answering
from .still import Stays

ASKS = ("mark", "invent", "choose", "say", "whose")


class ClassPanel(Answering, Stays, anywidget.AnyWidget):
    """The panel.

    Parameters
    ----------
    answers : object
        Who answers it: it has a function for each of ASKS, called with the panel and what the page sent, a dict. What an ActionError or
        an OSError says is shown.
    **traits
        Their first values.

    Attributes
    ----------
    values : dict of str to str
        What is filled in at first: "folder", "homework", "roster", "due", "to", "names".
    choices : list of [str, str]
        Homework that there is, and what it is called.
    busy : bool
        True while a class is marked.
    progress : list
        What is done, how many of it, of how many; empty where nothing is.
    says : list of str
        What came of the last press; `failed` is True where it came to nothing.
    links : dict of str to str
        "class", "page": where the browser finds them; empty where it does not.
    rows : list of dict
        A learner each, whoever needs the instructor first.
    words : dict of str to list
        "states" and "rules" that are in it, to look at these alone.
    nobodys : list of dict
        Entries of which nobody knows whose they are; `learners` are [id, name] of those who may be.
    page : str
        HTML of the page of whoever is chosen; `chosen` is a dict with the rest of what is known of them, empty where nobody is.
    class_page : str
        HTML of the page of the class.
    """

    _esm = page_files.module("class_panel")
    _css = page_files.style("class_panel")

    values = traitlets.Dict().tag(sync=True)
    choices = traitlets.List().tag(sync=True)
    busy = traitlets.Bool(False).tag(sync=True)
    progress = traitlets.List().tag(sync=True)
    says = traitlets.List().tag(sync=True)
    failed = traitlets.Bool(False).tag(sync=True)
    links = traitlets.Dict().tag(sync=True)
    rows = traitlets.List().tag(sync=True)
    words = traitlets.Dict().tag(sync=True)
    nobodys = traitlets.List().tag(sync=True)
    learners = traitlets.List().tag(sync=True)
    chosen = traitlets.Dict().tag(sync=True)
    page = traitlets.Unicode().tag(sync=True)
    class_page = traitlets.Unicode().tag(sync=True)

    def __init__(self, answers, **traits):
        super().__init__(**traits)
        self._answers = answers
        self.on_msg(self._sent)

    def asks(self):
        return {ask: partial(self._do, ask) for ask in ASKS}

    def refused(self, why):
        self.failed, self.says = True, [f"{why}."]

    def answer(self, ask, what):
        """Do one of ASKS, as if the page had asked for it; what goes wrong is said."""
        self._sent(self, {"ask": ask, "what": what}, [])

    def _do(self, ask, what):
        self.failed = False
        try:
            getattr(self._answers, ask)(self, what if isinstance(what, dict) else {})
        except OSError as error:
            raise ActionError(str(error)) from None
        finally:
            self.busy, self.progress = False, []

    def __repr__(self):
        return "ClassPanel"
