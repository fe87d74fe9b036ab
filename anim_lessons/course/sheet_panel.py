"""A panel that prints: what kind of sheets, on what paper, a look at one of them, and one button."""

from html import escape
from itertools import islice
from pathlib import Path

from IPython.display import Markdown
from ipywidgets import HTML, Button, Checkbox, Dropdown, HBox, Image, IntText, Layout, Output, VBox

from ..light_table.still import Stays
from ..model.action import ActionError
from ..model.words import capital
from ..paper.layout import PAGES
from ..paper.printing import KINDS, print_sheets, sheets
from ..paper.sheets import PARTS
from ..pictures.picture import png

CAPTIONED = {"a4": "A4", "a3": "A3", "letter": "letter"}
SEEN = 700  # pixels along the longer side of the sheet that is shown


class SheetPanel(Stays, VBox):
    """Writes a PDF of an action to print.

    Parameters
    ----------
    action : Action
    to : str or Path
        The PDF. A file of that name is replaced.

    Attributes
    ----------
    kind, page, each, first, last : Widget
    parts : dict of str to Checkbox
        What a sheet to draw on has.
    write : Button
    line : HTML
        What came of it, in a sentence.
    """

    def __init__(self, action, to):
        self.action, self.to = action, Path(to)
        words = {"style": {"description_width": "initial"}}
        self.kind = Dropdown(description="what", options=[(says, name) for name, says in KINDS.items()], layout=Layout(width="34em"), **words)
        self.page = Dropdown(description="paper", options=[(CAPTIONED[name], name) for name in PAGES], layout=Layout(width="10em"), **words)
        self.each = Dropdown(description="drawings a sheet", options=(1, 2, 4, 6, 9), layout=Layout(width="12em"), **words)
        self.first = IntText(1, description="from drawing", layout=Layout(width="10em"), **words)
        self.last = IntText(action.count, description="to", layout=Layout(width="6em"), **words)
        self.parts = {name: Checkbox(True, description=name, indent=False, layout=Layout(width="8em")) for name in PARTS}
        self.write = Button(description="write the sheets", tooltip=f"Write {self.to.name}", layout=Layout(width="auto"))
        self.line, self.seen, self.out = HTML(), Image(format="png", layout=Layout(max_width="100%", width="520px")), Output()
        self.of_trace = [self.each, self.first, self.last]
        self.with_parts = HBox(list(self.parts.values()), layout=Layout(flex_flow="row wrap"))
        rows = [HBox([self.kind, self.page]), HBox(self.of_trace), self.with_parts, HBox([self.write]), self.line, self.out, self.seen]
        super().__init__(rows)
        for widget in (self.kind, self.page, *self.of_trace, *self.parts.values()):
            widget.observe(lambda _: self.look(), "value")
        self.write.on_click(lambda _: self.print())
        self.look()

    def __repr__(self):
        return "SheetPanel"

    def look(self):
        """Show one of the sheets as it will be printed."""
        draws = self.kind.value == "trace"
        for widget in self.of_trace:
            widget.disabled = not draws
        self.with_parts.layout.display = None if self.kind.value in ("trace", "plan") else "none"
        self.out.outputs = ()
        try:
            pages, says = sheets(self.action, **self._asked)
            self.seen.value = png(next(islice(pages, int(draws and self.first.value == 1), None)), SEEN)
        except ActionError as error:
            says = f"It cannot be printed so: {error}"
        self._say(f"{capital(says)}.")

    @property
    def _asked(self):
        asked = {"kind": self.kind.value, "page": self.page.value, "without": [name for name, tick in self.parts.items() if not tick.value]}
        if self.kind.value == "trace":
            asked |= {"each": self.each.value, "drawings": (self.first.value, self.last.value)}
        return asked

    def print(self):
        """Write the PDF, and lead to it."""
        try:
            says = print_sheets(self.action, self.to, **self._asked)
        except (ActionError, OSError) as error:
            return self._say(f"Not written: {error}.")
        self.out.outputs = ()
        self.out.append_display_data(Markdown(f"Open [{self.to.name}]({self.to.as_posix()})."))
        self._say(" ".join(says))

    def _say(self, words):
        self.line.value = escape(words)
