"""An action as a PDF to print: sheets to draw on, a planning sheet, a flip-book or an exposure sheet, exact in mm."""

from itertools import chain
from pathlib import Path

from ..model.action import ActionError
from ..storage.disk import write_whole
from .layout import layout_for
from .sheets import PARTS, sheet_of

KINDS = {
    "trace": "sheets to draw on over their neighbours, a planning sheet first",
    "plan": "one planning sheet",
    "flip": "a flip-book to cut and stack",
    "exposure": "an exposure sheet",
}
FULL_SIZE = "Print at 100 %, not fitted to the page; the bar at the foot is 100 mm then."


def print_sheets(action, to, kind="trace", page="a4", each=1, drawings=None, without=(), source=None):
    """Write an action as a PDF to print. The same action gives the same bytes.

    Parameters
    ----------
    action : Action
    to : str or Path
        Ends in .pdf. A file of that name is replaced, whole.
    kind : str
        Of KINDS.
    page : str
        "a4", "a3" or "letter".
    each : int
        Drawings a sheet to draw on: 1, 2, 4, 6 or 9.
    drawings : (int, int), optional
        The first and the last that are printed; all unless given.
    without : collection of str
        Of sheets.PARTS, to be left out.
    source : str or Path, optional
        The action's own file, which is never written over.

    Returns
    -------
    list of str
        Sentences: what was written, and how to print it.

    Raises
    ------
    ActionError
        Where something that was asked for is not there, or a part of the installation is missing.
    OSError
        Where the file cannot be written; its message is a sentence.
    """
    from ..pictures.picture import pdf

    to = Path(to)
    if to.suffix.lower() != ".pdf":
        raise ActionError(f'{to}: sheets are written as .pdf, not "{to.suffix}"; end the name in .pdf')
    if source is not None and to.resolve() == Path(source).resolve():
        raise ActionError(f"{to}: is the action file itself; choose another name for the sheets")
    pages, says = sheets(action, kind, page, each, drawings, without)
    write_whole(to, pdf(pages))
    return [f"{to}: {says}.", FULL_SIZE]


def sheets(action, kind="trace", page="a4", each=1, drawings=None, without=()):
    """The pages of a PDF, one after the other as they are asked for, and what they are in words.

    Parameters and errors as for `print_sheets`.

    Returns
    -------
    iterator of Picture
    str
    """
    if kind not in KINDS:
        raise ActionError(f'there are no sheets "{kind}"; there is {", ".join(KINDS)}')
    unknown = sorted(set(without) - set(PARTS))
    if unknown:
        raise ActionError(f'a sheet has no part "{unknown[0]}"; it has {", ".join(PARTS)}')
    first, last = drawings or (1, action.count)
    if not 1 <= first <= last <= action.count:
        raise ActionError(f"drawings {first} to {last} are not all there; the stack has 1 to {action.count}")
    layout = layout_for(action, page, each)
    if kind == "flip":
        from .flip_book import flip_book

        pages, says = (
            flip_book(action, page),
            "a flip-book; cut all pages in one pile and lay heap under heap, row by row",
        )
    elif kind == "exposure":
        from .exposure import exposure_pages

        pages, says = exposure_pages(action, page), f"an exposure sheet of {action.frames} frames"
    else:
        plan = sheet_of(action, layout_for(action, page), [], without)
        numbers = (
            [] if kind == "plan" else [list(range(n, min(n + each, last + 1))) for n in range(first, last + 1, each)]
        )
        pages = (
            chain([plan], (sheet_of(action, layout, some, without) for some in numbers))
            if first == 1 or not numbers
            else (sheet_of(action, layout, some, without) for some in numbers)
        )
        says = "a planning sheet" if kind == "plan" else f"drawings {first} to {last}, {_how(layout, action)}"
        if kind == "trace" and first == 1:
            says += ", after a planning sheet"
    return iter(pages), says


def _how(layout, action):
    scale = layout.fields(action.paper)[0].scale
    size = "in their true size" if scale == 1 else f"at {100 * scale:.0f} % of their size"
    return f"{'one' if layout.each == 1 else layout.each} a page, {size}"
