"""An action as a picture, a moving picture, sheets to print or an exposure sheet.

The ending of the file's name says which. The file is whole or it is not there:
a broken-off export leaves what stood there before.
"""

import csv
import io
import os
import re
from functools import lru_cache
from itertools import chain
from pathlib import Path

import numpy as np

from ..measures.loops import Measures
from ..model.action import ActionError
from ..model.printable import visible
from ..storage.disk import write_whole

KINDS = {  # ending: what it is
    ".png": "contact sheet",
    ".svg": "contact sheet in lines that scale",
    ".pdf": "contact sheet, then each drawing in its true size, to print and flip",
    ".gif": "moving picture",
    ".apng": "moving picture, exactly timed",
    ".mp4": "film, exactly timed",
    ".csv": "exposure sheet, a row a frame",
}
PAGE = ".html"
MOST_FRAMES = 36_000  # 25 minutes; a longer row of frames is a slip of the pen


def export(action, to, source=None, watch=None, construction=False, page=None, frames=None):
    """Write an action as the kind of file that the ending of `to` asks for.

    Parameters
    ----------
    action : Action
    to : str or Path
        Ends in one of KINDS. A file of that name is replaced, whole.
    source : str or Path, optional
        The action's own file, which is never written over.
    watch : function, optional
        Takes an iterable of drawings and how many there are, gives them on one by one.
    construction : bool
        With bones and joints; else in clean line, the figure alone.
    page : function, optional
        Of an action: the text of a page of HTML. The desk makes it, which stands below this room; with it there is one
        ending more, PAGE.
    frames : function, optional
        Of an action: paints its drawings for a moving picture, as `film.frames` does, such as those that were made on paper.

    Returns
    -------
    list of str
        Sentences: what was written, and what such a file cannot hold.

    Raises
    ------
    ActionError
        Where the ending is not known, or the action does not fit the kind.
    OSError
        Where the file cannot be written; its message is a sentence.
    """
    to = Path(to)
    kind = to.suffix.lower()
    endings = [*KINDS, *([PAGE] if page else [])]
    if kind not in endings:
        raise ActionError(f'{to}: there is no export to "{to.suffix}"; end the name in {", ".join(endings)}')
    if source is not None and os.path.exists(to) and os.path.samefile(to, source):
        raise ActionError(f"{to}: is the action file itself; choose another name for the export")
    if kind in (".mp4", ".csv") and action.frames > MOST_FRAMES:
        raise ActionError(f"{to}: the action runs for {action.frames} frames, and at most {MOST_FRAMES} are "
                          "written; shorten the exposures, or choose .apng")
    if kind == PAGE:
        write_whole(to, page(action).encode("utf-8"))
        steps = f", {len(action.lecture)} steps" if action.lecture else ""
        return [f"{to}: one page that opens in any browser, with nothing beside it; {action.count} drawings{steps}."]
    data = _bytes(action, kind, watch or (lambda drawings, count: drawings), construction, frames)
    write_whole(to, data)
    return _says(action, kind, to)


def _bytes(action, kind, watch, construction, frames=None):
    if kind == ".csv":
        return exposure_sheet(action).encode("utf-8")
    if kind in (".png", ".svg", ".pdf"):
        from .. import pictures

        if kind == ".pdf":
            sheets = (pictures.drawing(action, n, "white", construction) for n in range(1, action.count + 1))
            first = pictures.contact_sheet(action, ground="white", construction=construction)
            return pictures.pdf(chain([first], watch(sheets, action.count)))
        return {".png": pictures.png, ".svg": pictures.svg}[kind](pictures.contact_sheet(action, construction=construction))
    from . import film

    write = {".gif": film.gif, ".apng": film.apng, ".mp4": film.mp4}[kind]
    painted = watch(frames(action) if frames else film.frames(action, construction), action.count)
    return write(painted, action.exposures.tolist(), action.rate, action.loop)


def _says(action, kind, to):
    drawings = f"{action.count} drawings"
    if kind in (".png", ".svg", ".pdf"):
        return [f"{to}: {KINDS[kind]}; {drawings}."]
    lasts = f"{action.frames} frame{'s' * (action.frames != 1)}, {action.frames / action.rate:.2f} s"
    says = [f"{to}: {KINDS[kind]}; {drawings}, {lasts} at {action.rate} frames a second."]
    if kind == ".gif" and (cannot := _gif_says(action)):
        says.append(cannot)
    return says


def _gif_says(action):
    """What a GIF cannot hold of this action, or nothing where it holds it exactly."""
    from .film import hundredths

    held = hundredths(action.exposures.tolist(), action.rate)
    exact = 100 * action.exposures / action.rate
    if np.array_equal(held, exact):
        return ""
    if (exact < 2).any():
        return ("A GIF holds no picture for less than 2 hundredths of a second, so it runs "
                f"{sum(held) / 100:.2f} s, slower than drawn. A file that ends in .apng or .mp4 is exact.")
    turns = sorted(set(held))
    turns = " or ".join(map(str, turns)) if len(turns) < 4 else f"{turns[0]} to {turns[-1]}"
    return (f"A GIF cannot hold 1/{action.rate} s, so a drawing lasts {turns} hundredths of a second; the whole is as long as "
            "drawn. A file that ends in .apng or .mp4 is exact in each drawing.")


# ---- exposure sheet ----------------------------------------------------------------


def exposure_sheet(action):
    """The exposure sheet as comma-separated values (RFC 4180): a row a frame, lines end in CR LF.

    Returns
    -------
    str
        Columns: frame, drawing; then for each limb how far its tip came from the drawing
        before, mm, and the bend of each segment at the joint that carries it, degrees.
    """
    heads, columns = ["frame", "drawing"], []
    for limb in action.limbs:
        tip = limb.drawings[:, -1]
        steps = np.hypot(*(tip - np.roll(tip, 1, axis=0)).T)
        if not action.loop:
            steps[0] = 0.0
        heads.append(text_cell(f"{limb.name}: spacing of {limb.joints[-1]}, mm"))
        columns.append(_cells(steps))
        bends = Measures(limb.drawings, limb.lengths, limb.stops).bend
        for k in range(len(limb.joints) - 1):
            heads.append(text_cell(f"{limb.name}: bend at {limb.joints[k]}, degrees"))
            columns.append(_cells(bends[:, k]))
    sheet = io.StringIO(newline="")
    write = csv.writer(sheet, lineterminator="\r\n")
    write.writerow(heads)
    frame = 0
    for d, held in enumerate(action.exposures.tolist()):
        row = [column[d] for column in columns]
        for _ in range(held):
            frame += 1
            write.writerow([frame, d + 1, *row])
    return sheet.getvalue()


def _cells(numbers):
    return [f"{number + 0.0:.1f}" for number in np.round(numbers, 1)]  # + 0.0 turns -0.0 into 0.0


# Where a program may see a cell begin: at the front, and after what separates cells in some country.
_BEGINS = r"(^|[,;|])"
# What programs pass over there: blanks, quotes, characters that are not seen.
_PASSED = r'([\s"\u00ad\u061c\u200b-\u200f\u2060-\u2064\ufeff]*)'
_DANGEROUS = re.compile(_BEGINS + _PASSED + r"(?=[=+\-@＝＋－＠'])")
_GUARDED = re.compile(_BEGINS + _PASSED + "'")


@lru_cache(maxsize=1024)    # of a class many cells say the same
def text_cell(text):
    """A text that no spreadsheet takes for a formula, in any country.

    Control characters are made visible, so that no line or column ends within the text. Then an
    apostrophe is put before each = + - @, full-width ones too, that stands at the front or after a comma,
    semicolon or bar, blanks and quotes between them passed over; and one more before an apostrophe there.
    `cell_text` takes them away again. Numbers are not passed through here.

    References
    ----------
    OWASP, CSV Injection (leading = + - @ tab and carriage return, full-width forms; separators and
    quotes within a text), from memory. OWASP Application Security Verification Standard 1.2.10;
    CWE-1236. Seen.

    Examples
    --------
    >>> text_cell("=1+1"), text_cell("a; =1+1"), text_cell("it's a-b")
    ("'=1+1", "a; '=1+1", "it's a-b")
    """
    return _DANGEROUS.sub(r"\1\2'", visible(text))


def cell_text(cell):
    """The text of which `text_cell` made a cell; its control characters stay visible."""
    return _GUARDED.sub(r"\1\2", cell)
