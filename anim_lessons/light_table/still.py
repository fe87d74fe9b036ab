"""What stays of a widget where no kernel runs: a still picture and one line that says how to draw again.

A notebook keeps the outputs of its cells, but no widget. So whatever is shown leaves two outputs: first the still picture,
which any page can show, then the widget. The style sheet in the first output hides the picture as soon as the widget is
there, and hides what JupyterLab puts in the place of a widget that it does not find. Both outputs stand in JupyterLab's
own classes (`jp-OutputArea-child`, `jp-OutputArea-output`), which nbconvert uses too (seen: JupyterLab 4.6, nbconvert 7.17).
JupyterLab leaves style sheets out of a notebook it does not trust; there the picture and the line still stand.
"""

import base64
from html import escape

from ipywidgets import VBox

from .picture import label, svg

LINE = "Run from the top. This is a still picture, made when the cell was run; to draw, choose Run, then Run All Cells."
NO_PICTURE = "Run from the top. To use what stands here, choose Run, then Run All Cells."
WAIT = 2  # seconds for which JupyterLab looks for a widget; a picture shown sooner would flash on every run

# First the picture waits; not where the widget is given up already, nor on a page made by nbconvert; and it goes where the
# widget is there. An output without any element in it is JupyterLab's own word about a widget. What is printed in such a
# notebook breaks between words, not within them.
STYLE = f"""\
.jp-OutputArea-child:has(.anim-still) {{ overflow: hidden; animation: anim-still 1ms {WAIT}s backwards; }}
@keyframes anim-still {{ from {{ visibility: hidden; max-height: 0; padding: 0; }} }}
.jp-OutputArea-child:has(.anim-still):has(+ * > :is(.jupyter-widgets, [data-mime-type="text/html"]):not(:has(*))) {{ animation: none; }}
.jp-OutputArea-child:has(.anim-still):has(+ * > .jp-OutputArea-output > :not(script)),
.jp-OutputArea-child:has(.anim-still) + * > .jp-OutputArea-output:not(:has(*)) {{ display: none; }}
.jp-Notebook:has(.anim-still) .jp-RenderedText pre {{ word-break: normal; overflow-wrap: anywhere; }}
"""


def still(action=None, number=1, file=""):
    """The first of the two outputs, as HTML.

    Parameters
    ----------
    action : Action, optional
        Drawn as `picture.svg` draws it; without one there is only the line.
    number : int
        Of the drawing under work, from 1.
    file : str
        Name of the file in which the drawings are, or an empty text.
    """
    image, line = "", NO_PICTURE
    if action is not None:
        code = base64.b64encode(svg(action, number).encode()).decode()
        image = f'<img src="data:image/svg+xml;base64,{code}" alt="{escape(label(action, number))}">\n'
        line = LINE + (f" Your drawings are in {file}." if file else "")
    return f'<style>\n{STYLE}</style>\n<div class="anim-still">\n{image}<p>{escape(line)}</p>\n</div>\n'


class Stays:
    """A widget that leaves a still picture behind. It has `on_paper()`: what `still` is asked with, as a tuple."""

    def on_paper(self):
        return ()

    def _ipython_display_(self, **kwargs):
        from IPython.display import display

        words = repr(self)
        display({"text/plain": words, "text/html": still(*self.on_paper())}, raw=True)
        data, metadata = self._repr_mimebundle_(**kwargs)
        display(data, metadata=metadata, raw=True)

    def _repr_mimebundle_(self, **kwargs):
        bundle = super()._repr_mimebundle_(**kwargs)
        data, metadata = bundle if isinstance(bundle, tuple) else (bundle or {}, {})
        # A page made of the notebook has no use for the view, and the still picture stands above it already.
        return {**data, "text/plain": repr(self), "text/html": ""}, metadata


class Panel(Stays, VBox):
    """Widgets one below the other, with one still picture for all of them: that of the light table among them.

    Parameters
    ----------
    children : sequence of Widget
    table : LightTable
    """

    def __init__(self, children, table):
        self.table = table
        super().__init__(children)

    def on_paper(self):
        return self.table.on_paper()

    def __repr__(self):
        return "Panel"


class FormPanel(Stays, VBox):
    """A form, and below it what came of it. It leaves no picture.

    Parameters
    ----------
    form, below : Widget
    """

    def __init__(self, form, below):
        self.form = form
        super().__init__([form, below])

    def __repr__(self):
        return "FormPanel"
