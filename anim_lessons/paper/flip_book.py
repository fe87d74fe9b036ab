"""A flip-book: cards in clean line, to cut along the lines, stack and hold by the edge.

Each page of drawings has a place for a card in every heap: when the pages are cut in one pile, heap 1 holds the first
cards, heap 2 the next, and heap is laid under heap.
"""

from math import gcd

from matplotlib.patches import Rectangle
from matplotlib.transforms import Affine2D

from ..pictures.palette import INK, LIGHT, MID
from ..pictures.picture import POINT, called, put_drawing, text
from ..pictures.skin import window
from .border import page
from .layout import PAGES, Layout

COLUMNS, ROWS = 2, 4
EDGE = 10.0  # mm round the cards
HOLD = 22.0  # mm of a card, at its left, by which it is held


def card_drawings(action):
    """The drawing on each card, in playing order: one held twice as long as another has twice as many cards."""
    held = action.exposures.tolist()
    one = gcd(*held)
    return [number for number, frames in enumerate(held, start=1) for _ in range(frames // one)]


def order(cards):
    """Which card lies where: for each page, the card at each place, from 1, or None.

    Examples
    --------
    >>> order(9)[0], order(9)[1]
    ([1, 3, 5, 7, 9, None, None, None], [2, 4, 6, 8, None, None, None, None])
    """
    places = COLUMNS * ROWS
    pages = -(-cards // places)
    return [
        [card if (card := place * pages + n + 1) <= cards else None for place in range(places)] for n in range(pages)
    ]


def flip_book(action, size="a4"):
    """The pages of a flip-book, one Picture each.

    Parameters
    ----------
    action : Action
    size : str
        Of layout.PAGES.

    Yields
    ------
    Picture
    """
    cards = card_drawings(action)
    width, height = PAGES[size]
    across, down = (width - 2 * EDGE) / COLUMNS, (height - 2 * EDGE - 6) / ROWS
    left, low, right, high = window(action)
    scale = min((across - HOLD - 3) / (right - left), (down - 3) / (high - low))
    pages = order(len(cards))
    for n, places in enumerate(pages, start=1):
        picture, axes = page(Layout(size, False, "true"), f"flip-book of {called(action)}, page {n} of {len(pages)}")
        for place, card in enumerate(places):
            if card is None:
                continue
            row, column = divmod(place, COLUMNS)
            x, y = EDGE + column * across, height - EDGE - (row + 1) * down
            cut = Rectangle(
                (x, y), across, down, facecolor="none", edgecolor=LIGHT, linewidth=0.2 * POINT, label="card"
            )
            axes.add_patch(cut)
            axes.plot([x + HOLD] * 2, [y + 4, y + down - 4], color=LIGHT, linewidth=0.2 * POINT, linestyle=(0, (1, 6)))
            text(axes, x + 6, y + down / 2, str(card), 12, weight="bold", color=INK, va="center_baseline")
            at = x + HOLD + (across - HOLD - scale * (right - left)) / 2, y + (down - scale * (high - low)) / 2
            place_of = Affine2D().translate(-left, -low).scale(scale).translate(*at) + axes.transData
            put_drawing(axes, action, cards[card - 1], place_of, "white", scale, clip=cut)
        says = (
            f"{called(action)}, page {n} of {len(pages)}. Lay the pages on each other, 1 on top. Cut all at once. "
            "Lay heap under heap, row by row. Clamp the left edge."
        )
        text(axes, EDGE, EDGE + 0.5, says, 7.5, color=MID, room=width - 2 * EDGE)
        yield picture
