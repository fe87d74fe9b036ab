"""A moving picture that was written, shown under its cell: folded, so that nothing moves before somebody opens it."""

import base64
import io
import sys
from pathlib import Path

WIDE = 480  # px; what the notebook keeps is small beside the file


def show(file):
    """Show a GIF in a notebook; elsewhere, and of another kind of file, nothing.

    Parameters
    ----------
    file : str or Path
    """
    if Path(file).suffix.lower() != ".gif" or not _in_a_notebook():
        return
    from IPython.display import HTML, display

    data = base64.b64encode(smaller(Path(file).read_bytes())).decode()
    display(HTML("<details><summary>Open this to see it move. If flicker troubles you, leave it folded.</summary>"
                 f'<img alt="the moving picture" src="data:image/gif;base64,{data}"></details>'))


def smaller(data):
    """The same GIF, WIDE px wide: bytes of as many pictures, each held as long."""
    from PIL import Image, ImageSequence

    film = Image.open(io.BytesIO(data))
    high = round(WIDE * film.height / film.width)
    pictures, held = [], []
    for picture in ImageSequence.Iterator(film):
        pictures.append(picture.convert("RGB").resize((WIDE, high), Image.Resampling.LANCZOS).quantize(64))
        held.append(picture.info["duration"])
    out = io.BytesIO()
    plays = {"loop": 0} if "loop" in film.info else {}
    pictures[0].save(out, "GIF", save_all=True, append_images=pictures[1:], duration=held, **plays)
    return out.getvalue()


def _in_a_notebook():
    shell = getattr(sys.modules.get("IPython"), "get_ipython", lambda: None)()
    return hasattr(shell, "kernel")
