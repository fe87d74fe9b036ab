"""Graphite on paper: the colours of every picture, those of light_table/page/paper.css in the light theme.

Contrasts on PAPER, by the WCAG 2.2 formula: INK and MID are for words, LIGHT for lines that mean something.
"""

PAPER = "#fdfcf7"
INK = "#262422"    # the drawing on top, words
MID = "#57534c"    # neighbouring drawings, words beside
LIGHT = "#858078"  # paths of action, axes
RULE = "#d9d4c8"   # ruling: scenery, carries no meaning
FAINT = "#cdc7b9"  # the deckhand's body under construction: scenery too
