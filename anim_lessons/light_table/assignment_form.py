"""The form in which an instructor sets homework: what is filled in goes to Python as it is typed, and what is wrong comes back
beside its field."""

import anywidget
import traitlets

from ..model.action import ActionError
from . import page_files
from .revisions import Revised, is_revision
from .still import Stays


class AssignmentForm(Revised, Stays, anywidget.AnyWidget):
    """The form.

    Parameters
    ----------
    answers : object
        Who answers it: `look(values)` gives faults by field, what is worth knowing, and the brief as text; `write(values)` and
        `begin(key, values)` do so, and each gives the traits that have changed; `keep(values)` keeps them until they are written.
    **traits
        Their first values.

    Attributes
    ----------
    values : dict
        What is filled in.
    choices : dict
        What there is to choose from: "begin", "limbs", "guides", "rules".
    faults : dict of str to str
        A sentence for each field that cannot be taken.
    says : list of str
        What came of the last press.
    notes : list of str
    brief : str
        The brief as it will be written; empty as long as something is wrong.
    begun : str
        With what it was begun, of the keys of "begin".
    """

    _esm = page_files.module("assignment_form")
    _css = page_files.style("assignment_form")

    values = traitlets.Dict().tag(sync=True)
    choices = traitlets.Dict().tag(sync=True)
    faults = traitlets.Dict().tag(sync=True)
    says = traitlets.List().tag(sync=True)
    notes = traitlets.List().tag(sync=True)
    brief = traitlets.Unicode().tag(sync=True)
    begun = traitlets.Unicode("new").tag(sync=True)
    judged = traitlets.Int(0).tag(sync=True)  # the revision that faults, notes and brief are about
    of_revision = ("values",)
    from_page = ("values", "revision")

    def __init__(self, answers, **traits):
        super().__init__(**traits)
        self._answers = answers
        self.observe(self._filled_in, "values")
        self.on_msg(self._asked)
        self.look()

    def look(self):
        """Say what is wrong with what is filled in."""
        with self.hold_sync():
            self.take(self._answers.look(self.values))
            self.judged = self.revision

    def _filled_in(self, _):
        self._answers.keep(self.values)
        self.look()

    def fill_in(self, values):
        """Fill it in from this side."""
        with self.hold_sync():
            self.revision += 1
            self.values = values
            self.look()

    def take(self, traits):
        """Set traits from a dict; `values` fill it in."""
        for name, value in traits.items():
            if name == "values":
                self.fill_in(value)
            else:
                setattr(self, name, value)

    def _asked(self, _, content, buffers):
        ask, revision = (content.get(key) for key in ("ask", "revision")) if isinstance(content, dict) else (None, None)
        if ask not in ("write", "begin"):
            return
        if is_revision(revision) and revision < self.revision:
            self.says = ["Something else was filled in meanwhile; look at it, then press once more."]
            return
        try:
            self.take(
                self._answers.write(self.values)
                if ask == "write"
                else self._answers.begin(content.get("what"), self.values)
            )
        except (ActionError, OSError) as error:
            self.says = [f"Not {'written' if ask == 'write' else 'opened'}: {str(error).rstrip('.')}."]

    def __repr__(self):
        return "AssignmentForm"
