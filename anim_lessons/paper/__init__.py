"""Drawings on paper: sheets printed, drawn on, photographed or scanned, and laid on the light table again. Imports
`model`, `storage`, `geometry`, `assist`, `pictures`.

What the sheet shows to be drawn over is pale blue and vanishes when it is read; what is black stands in its border.
Each sheet carries its number in twelve marks, so that a photograph tells which drawing it is, of which stack, and how
it was held. No joint is named by the machine: it offers dots, and the learner says which joint each is.

    extra      the parts of an optional installation, asked for by name
    stamp      what a sheet's marks say: drawing, layout, stack; and back
    layout     where marks and drawings lie on a page, mm
    border     what is printed round a drawing: marks, number, bar
    sheets     sheets to draw on
    flip_book  cards to cut and stack
    exposure   an exposure sheet on paper
    printing   an action as a PDF of one kind of sheet
    images     pages out of photographs, PDF and TIFF, one at a time, within limits
    marks      the marks of a page found, and what they say
    flat       a page made flat: perspective, lens, curl; the pencil alone
    dots       pencil dots on a flat page
    scanning   a pile of images read: sheets, and what is wrong with the others
    folder     what was read, in a folder beside the action file
    joints     a dot confirmed as a joint
    on_film    pencil drawings as frames of a moving picture
"""
