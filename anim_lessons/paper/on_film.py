"""Drawings on paper as frames of a moving picture: the pencil line itself, over the same window as every film."""

from itertools import count

import numpy as np
from PIL import Image

from ..model.action import ActionError


def frames(folder):
    """A function of an action: its drawings painted for a moving picture, the pencil drawing where it was confirmed
    whole.

    A drawing that was not read from paper is painted in clean line, as always; a line drawn on the table lies over either.

    Parameters
    ----------
    folder : Folder

    Returns
    -------
    function
        As `pictures.film.frames`: yields PIL images of mode "L".
    """

    def painted(action):
        from ..pictures import film

        left, _, right, top = film.view(action)
        wide, high = film.size(action.paper)
        scale = wide / (right - left)
        figures = None
        for number in range(1, action.count + 1):
            if number in folder.drawings:
                try:
                    frame = _frame(folder, number, (left, top), scale, (wide, high))
                    yield film.with_line(frame, action, number)
                    continue
                except ActionError:
                    pass  # its picture is gone: the figure stands in
            if figures is None:
                figures = dict(zip(count(1), film.frames(action)))
            yield figures[number]

    return painted


def _frame(folder, number, corner, scale, size):
    """One pencil drawing in the frame: each pixel of the frame is taken from where it lies on paper."""
    picture, (left, bottom, wide, high) = folder.picture(number), folder.drawings[number].box
    fine = picture.shape[1] / wide, picture.shape[0] / high
    # Pixels of the frame to pixels of the picture.
    into = (
        fine[0] / scale,
        0.0,
        (corner[0] - left) * fine[0],
        0.0,
        fine[1] / scale,
        (bottom + high - corner[1]) * fine[1],
    )
    ink = Image.fromarray(np.ascontiguousarray(255 - picture), "L")
    return Image.fromarray(
        255 - np.asarray(ink.transform(size, Image.Transform.AFFINE, into, Image.Resampling.BILINEAR)), "L"
    )
