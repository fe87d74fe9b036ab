"""Pages out of image files, one at a time: photographs, scans, PDF and TIFF of many pages.

An image is refused by its head before it is unpacked, so none can fill the memory. Nothing in a file is run.
"""

import os
import warnings
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from PIL import Image, ImageOps, UnidentifiedImageError

from ..model.action import ActionError
from . import extra

FORMATS = ("JPEG", "PNG", "TIFF", "WEBP", "BMP")
MOST_BYTES = 300_000_000  # of one file
MOST_PIXELS = 120_000_000  # of one page: an A3 sheet at 600 dots an inch has 70 million
FEWEST = 400  # pixels along the shorter side
MOST_PAGES = 400  # of one file
DPI = 200  # at which a page of a PDF is drawn
WHOLE = 7_000_000  # pixels; a larger photograph is halved while it is unpacked: that takes half the time
SHARP = 26_000_000  # pixels; a larger one stays halved
TRUE_SCALE = 0.01  # what a scan may be larger or smaller than the paper


@dataclass(frozen=True)
class Page:
    """One page of an image file.

    Attributes
    ----------
    file : str
    page : int or None
        From 1; None where the file has one.
    pixels : ndarray of uint8, shape (height, width, 3)
        Red, green, blue.
    dpi : float or None
        Dots an inch that the file claims.
    whole : function or None
        Where the page was halved while it was unpacked: gives it with all its pixels.
    """

    file: str
    page: int | None
    pixels: np.ndarray
    dpi: float | None
    whole: Callable | None = None

    @property
    def where(self):
        return self.file if self.page is None else f"{self.file}, page {self.page}"


def pages(paths):
    """The pages of image files, one after the other.

    Parameters
    ----------
    paths : iterable of str or Path

    Yields
    ------
    Page or ActionError
        The error names file and page; the rest goes on.
    """
    for path in paths:
        name = os.fspath(path)
        try:
            yield from _of_pdf(name) if _begins(name) == b"%PDF-" else _of_image(name)
        except ActionError as error:
            yield error.at(file=name)


def _begins(name):
    try:
        size = os.stat(name).st_size
        if os.path.isdir(name):
            raise ActionError("is a folder", "name the images in it, such as photos/*.jpg")
        if not os.path.isfile(name):
            raise ActionError("is not a file", "name an image")
        if size > MOST_BYTES:
            raise ActionError(
                f"has {size / 1e6:.0f} MB", f"at most {MOST_BYTES // 10**6} MB are read; save it smaller, as JPEG"
            )
        with open(name, "rb") as file:
            return file.read(5)
    except ActionError:
        raise
    except FileNotFoundError:
        raise ActionError("there is no such file", "check the name and the folder") from None
    except OSError as error:
        raise ActionError(f"cannot be opened ({error.strerror})", "check that it is yours to read") from None
    except ValueError:
        raise ActionError("no file has a NUL in its name", "check the name") from None


# ---- photographs and scans -----------------------------------------------------------


def _of_image(name):
    try:
        image = _quietly(Image.open, name, formats=FORMATS)
    except (UnidentifiedImageError, OSError, SyntaxError, ValueError, Image.DecompressionBombError) as error:
        raise _no_image(error) from None
    with image:
        count = min(_quietly(_frames, image), MOST_PAGES + 1)
        many = image.format == "TIFF" and count > 1  # what else moves is no pile of sheets
        for n in range(count if many else 1):
            number = n + 1 if many else None
            if n == MOST_PAGES:
                yield ActionError(
                    f"has more than {MOST_PAGES} pages", "the rest was not read; make two files of it", file=name
                )
                return
            try:
                if n:
                    _quietly(image.seek, n)
                yield _quietly(_unpacked, Page(name, number, None, None), image)
            except ActionError as error:
                yield _on_page(error, name, number)
            except EOFError:
                return
            except Exception as error:  # noqa: BLE001 - decoders raise what they like, and the rest goes on
                yield _on_page(_no_image(error), name, number)


def _quietly(work, *what, **how):
    """What a decoder warns of is told in a sentence, where it matters."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return work(*what, **how)


def _frames(image):
    try:
        return getattr(image, "n_frames", 1)
    except Exception:  # noqa: BLE001 - as above
        return 1


def _unpacked(page, image, halve=True):
    """The page with its pixels, as it was held upright, and dots an inch."""
    wide, high = image.size
    _fits(wide, high)
    if image.format in ("JPEG", "MPO") and wide * high > (WHOLE if halve else SHARP):
        image.draft("RGB", (wide // 2, high // 2))
    dpi = image.info.get("dpi", (0, 0))[0]
    shrunk = wide / image.size[0]
    image.load()
    try:
        upright = ImageOps.exif_transpose(image)
    except Exception:  # noqa: BLE001 - as above; how it was held the marks tell as well
        upright = image
    if upright.mode in ("RGBA", "LA", "PA") or "transparency" in upright.info:
        over = upright.convert("RGBA")
        upright = Image.new("RGBA", over.size, "white")
        upright.alpha_composite(over)
    if upright.mode.startswith("I;16"):
        upright = Image.fromarray((np.asarray(upright) >> 8).astype(np.uint8))
    whole = None
    if halve and shrunk > 1 and wide * high <= SHARP:

        def whole():
            with Image.open(page.file, formats=FORMATS) as again:
                return _quietly(_unpacked, page, again, halve=False)

    return replace(page, pixels=np.asarray(upright.convert("RGB")), dpi=_dpi(dpi, shrunk), whole=whole)


def _dpi(dpi, shrunk):
    dpi = float(dpi or 0) / shrunk
    return dpi if 100 <= dpi <= 2400 else None  # 72 and 96 stand in many files that were never scanned


def _fits(wide, high):
    if wide * high > MOST_PIXELS:
        raise ActionError(
            f"has {wide} x {high} pixels", f"at most {MOST_PIXELS // 10**6} million are read; scan at 300 dots an inch"
        )
    if min(wide, high) < FEWEST:
        raise ActionError(
            f"has {wide} x {high} pixels",
            f"a sheet needs {FEWEST} at least; photograph it nearer, or scan at 150 dots an inch",
        )


def _no_image(error):
    if isinstance(error, Image.DecompressionBombError):
        return ActionError("holds far more pixels than a sheet", "photograph or scan the sheet anew")
    if isinstance(error, UnidentifiedImageError):
        return ActionError("is no image that is read here", "save it as JPEG, PNG, TIFF or PDF")
    if "truncated" in str(error).lower() or "broken" in str(error).lower() or "not processed" in str(error).lower():
        return ActionError("is cut short", "copy it from the camera or scanner again")
    return ActionError("cannot be unpacked", "open it in an image viewer, save it as JPEG, and try that")


def _on_page(error, name, number):
    if number is not None:
        error = ActionError(f"page {number} {error.what}", error.do)
    return error.with_traceback(None).at(file=name)


# ---- PDF -------------------------------------------------------------------------------


def _of_pdf(name):
    pdfium = extra.load("pypdfium2")
    try:
        document = pdfium.PdfDocument(name)
    except pdfium.PdfiumError as error:
        why = "is locked with a password" if "assword" in str(error) else "is a PDF that cannot be opened"
        raise ActionError(why, "scan again, or save the pages as images") from None
    try:
        count = len(document)
        for n in range(min(count, MOST_PAGES)):
            try:
                yield _drawn(document, n, name, count)
            except ActionError as error:
                yield _on_page(error, name, n + 1)
            except pdfium.PdfiumError:
                yield _on_page(ActionError("cannot be drawn", "scan it again"), name, n + 1)
        if count > MOST_PAGES:
            yield ActionError(
                f"has {count} pages", f"the first {MOST_PAGES} were read; make two files of it", file=name
            )
    finally:
        document.close()


def _drawn(document, n, name, count):
    page = document[n]
    try:
        wide, high = (side * DPI / 72 for side in page.get_size())
        _fits(int(wide), int(high))
        bitmap = page.render(scale=DPI / 72, rev_byteorder=True)
        pixels = np.array(bitmap.to_numpy()[..., :3])
        bitmap.close()
    finally:
        page.close()
    return Page(name, n + 1 if count > 1 else None, np.ascontiguousarray(pixels), float(DPI))
