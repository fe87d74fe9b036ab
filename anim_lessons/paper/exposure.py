"""An exposure sheet on paper: a row a frame, the drawing that is under the camera, and room to write.

A heavier line after each half second and each second: common practice, no source.
"""

from ..model.action import ActionError
from ..pictures.palette import INK, LIGHT, MID
from ..pictures.picture import POINT, called, text
from .border import page
from .layout import PAGES, Layout

ROW = 5.2  # mm
EDGE = 14.0  # mm
HEAD = 26.0  # mm from the top to the first row
COLUMNS = (("frame", 16), ("drawing", 20), ("exposed", 20), ("action", 0))  # the last takes what is left
MOST_PAGES = 60


def exposure_pages(action, size="a4"):
    """The pages of the exposure sheet, one Picture each.

    Parameters
    ----------
    action : Action
    size : str
        Of layout.PAGES.

    Yields
    ------
    Picture

    Raises
    ------
    ActionError
        Where they would be more than MOST_PAGES.
    """
    width, height = PAGES[size]
    rows = int((height - HEAD - EDGE) // ROW)
    rows -= rows % 24 if rows >= 24 else 0
    shown = [(number, k) for number, held in enumerate(action.exposures.tolist(), start=1) for k in range(held)]
    pages = -(-len(shown) // rows)
    if pages > MOST_PAGES:
        raise ActionError(
            f"the exposure sheet of {len(shown)} frames has {pages} pages",
            f"at most {MOST_PAGES} are printed; shorten the exposures",
        )
    for n in range(pages):
        picture, axes = page(
            Layout(size, False, "true"), f"exposure sheet of {called(action)}, page {n + 1} of {pages}"
        )
        text(axes, EDGE, height - 16, action.title or "untitled", 13, weight="bold", room=width / 2)
        text(
            axes,
            width - EDGE,
            height - 16,
            f"page {n + 1} of {pages}, {action.rate} frames a second, {action.frames} frames",
            9,
            color=MID,
            ha="right",
        )
        top = height - HEAD
        edges = [EDGE]
        for _, wide in COLUMNS:
            edges.append(edges[-1] + wide if wide else width - EDGE)
        for (name, _), left in zip(COLUMNS, edges):
            text(axes, left + 1.5, top + 1.6, name, 8, color=MID)
        for left in edges:
            axes.plot([left] * 2, [top, top - rows * ROW], color=INK, linewidth=0.25 * POINT)
        for row in range(rows + 1):
            frame = n * rows + row
            heavy = frame % action.rate == 0 or row in (0, rows)
            half = frame % action.rate == action.rate // 2
            y = top - row * ROW
            axes.plot(
                [edges[0], edges[-1]],
                [y, y],
                color=INK if heavy or half else LIGHT,
                linewidth=(0.5 if heavy else 0.25 if half else 0.15) * POINT,
            )
            if row == rows or frame >= len(shown):
                continue
            number, k = shown[frame]
            y -= ROW / 2
            text(axes, edges[0] + 1.5, y, str(frame + 1), 8, color=MID, va="center_baseline")
            if k == 0:
                text(axes, edges[1] + 1.5, y, str(number), 10, weight="bold", va="center_baseline")
                text(axes, edges[2] + 1.5, y, f"{action.exposures[number - 1]}", 8, color=MID, va="center_baseline")
            else:
                axes.plot([edges[1] + 4] * 2, [y - ROW / 2 + 0.4, y + ROW / 2 - 0.4], color=MID, linewidth=0.2 * POINT)
        yield picture
