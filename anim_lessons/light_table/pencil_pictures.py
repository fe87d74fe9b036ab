"""Drawings that were read from paper, as pictures in a page: pencil on nothing, each over the box in which it lies."""

import base64
import io

from ..model.action import ActionError

INK = 36  # grey level of the pencil in the page
MOST_FINE = 24  # drawings that are shown in all their pixels; of more, half of them each way


def pencil_pictures(folder):
    """The pictures of a folder of drawings on paper.

    Parameters
    ----------
    folder : paper.folder.Folder

    Returns
    -------
    dict
        "url" (a PNG, within it) and "box" (left, bottom, width, height, mm) by the number of the drawing.
    list of str
        A sentence for each picture that cannot be read.
    """
    found, wrong = {}, []
    for number, drawn in sorted(folder.drawings.items()):
        try:
            found[number] = {"url": _url(folder.picture(number), len(folder.drawings) > MOST_FINE), "box": list(drawn.box)}
        except ActionError as error:
            wrong.append(f"{error}.")
    return found, wrong


def _url(picture, halved):
    from PIL import Image

    ink = Image.fromarray(255 - picture, "L")
    if halved:
        ink = ink.reduce(2)
    made, data = Image.merge("LA", (Image.new("L", ink.size, INK), ink)), io.BytesIO()
    made.save(data, "PNG")
    return f"data:image/png;base64,{base64.b64encode(data.getvalue()).decode('ascii')}"
