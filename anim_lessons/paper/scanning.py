"""A pile of images read: each sheet found, numbered, made flat and kept; and in words what is wrong with the others.

A sheet that cannot be numbered for certain is not numbered. No joint is named: dots are kept for the learner to name.
"""

from contextlib import suppress
from dataclasses import dataclass, field
from itertools import groupby
from operator import itemgetter
from pathlib import Path

import numpy as np

from ..model.action import ActionError
from ..model.action_file import dumps, read
from ..model.words import run
from ..storage.disk import write_whole
from . import extra
from .dots import dots
from .flat import BENT, claimed_scale, flattened, pencil
from .folder import Drawn, Folder
from .images import TRUE_SCALE, pages
from .joints import waiting
from .marks import ENOUGH, find

EMPTY = 0.0004  # share of dark places below which, without a dot, nothing was drawn


@dataclass
class Scan:
    """What came of a pile of images.

    Attributes
    ----------
    folder : Folder
    read : dict
        The Drawn of this pile, by number.
    wrong : list of str
        Sentences: what could not be read, and what is to be done.
    notes : list of str
        Sentences about what was read all the same.
    """

    folder: Folder
    read: dict = field(default_factory=dict)
    wrong: list = field(default_factory=list)
    notes: list = field(default_factory=list)


def scan(images, action, file, watch=None):
    """Read images of sheets into the folder beside an action file. The action file itself is not touched.

    Parameters
    ----------
    images : iterable of str or Path
    action : Action
        Of the file.
    file : str or Path
    watch : function, optional
        Called with each page as it has been read.

    Returns
    -------
    Scan

    Raises
    ------
    ActionError
        Where the folder is not this action's, or a part of the installation is missing.
    OSError
        Where the folder cannot be written.
    """
    extra.load("cv2")
    done = Scan(Folder.open(file, action))
    for page in pages(images):
        if isinstance(page, ActionError):
            done.wrong.append(str(page))
        else:
            _read_page(page, action, done)
        if watch is not None:
            watch(page)
        del page  # before the next one is unpacked
    missing = [n for n in range(1, action.count + 1) if n not in done.folder.drawings]
    if done.read or done.folder.drawings:
        done.folder.save()
        if missing:
            done.wrong.append(
                f"missing: {'drawings' if len(missing) > 1 else 'drawing'} {_listed(missing)}; photograph or scan "
                f"{'them' if len(missing) > 1 else 'it'}, then run this again with the new images: they are added"
            )
    return done


def _seen(page, stack):
    """The sheets on a page, each with its Flat, and marks that belong to none; and the page, with all its pixels where
    half of them did not do."""
    cv2 = extra.load("cv2")
    found, strange = find(cv2.cvtColor(page.pixels, cv2.COLOR_RGB2GRAY), stack)
    flat = [flattened(page.pixels, one) for one in found]
    poor = not found or any(
        len(one.places) < ENOUGH or not lies.dots or lies.rms > BENT for one, lies in zip(found, flat)
    )
    if poor and page.whole is not None:
        with suppress(OSError, ActionError):  # it may be gone meanwhile: then half of it must do
            return _seen(page.whole(), stack)
    return page, list(zip(found, flat)), strange


def _read_page(page, action, done):
    page, found, strange = _seen(page, done.folder.stack)
    if not found:
        if strange:
            done.wrong.append(
                f"{page.where}: too few of the sheet's marks are seen ({len(strange)}); photograph all of the sheet, "
                "from straight above, in even light"
            )
        else:
            done.wrong.append(
                f"{page.where}: no sheet of this course is seen; photograph all of it, with its twelve marks, sharp "
                "and not mirrored"
            )
        return
    for one, flat in found:
        if one.stamp.stack != done.folder.stack:
            done.wrong.append(
                f"{page.where}: drawing {one.stamp.number} is of another stack; scan it into the file that it was printed from"
            )
            continue
        _read_sheet(page, one, flat, action, done)


def _read_sheet(page, one, flat, action, done):
    number, layout = one.stamp.number, one.layout
    scale = claimed_scale(flat, layout, page.dpi)
    if scale is not None and abs(scale - 1) > TRUE_SCALE:
        done.notes.append(
            f"{page.where}: the page is {100 * scale:.0f} % of its size; it is reckoned back, but print at 100 % the next time"
        )
    fields = layout.fields(action.paper)
    if number == 0:
        done.notes.append(f"{page.where}: a planning sheet; it is not a drawing, and is left out")
        return
    remark = ""
    if flat.rms > BENT or len(one.places) < 8 and flat.dots < 24:
        remark = (
            "the page is curled, or part of it is not seen: look whether the joints lie right, or photograph it flat"
        )
    for k, lies in enumerate(fields):
        n = number + k
        if n > action.count:
            if k == 0:
                done.wrong.append(
                    f"{page.where}: it says drawing {n}, and the stack has {action.count}; print its sheet again"
                )
            break
        if n in done.read:
            done.wrong.append(
                f"{page.where}: drawing {n} once more; the one of {done.read[n].source} was taken. To take this one, scan it alone"
            )
            continue
        box = _box(lies, layout, action.paper)
        picture, light = pencil(page.pixels, flat, box)
        spots = dots(picture) + box[:2]
        if not len(spots) and (picture < 128).mean() < EMPTY:
            if len(fields) == 1 or not k:
                done.wrong.append(
                    f"{page.where}: nothing is drawn on sheet {n}; draw it with a soft pencil, then photograph it again"
                )
            continue
        old = done.folder.drawings.get(n)
        if old is not None and old.confirmed:
            done.notes.append(
                f"{page.where}: drawing {n} takes the place of an earlier one; its joints are to be confirmed anew"
            )
        low, high = lies.to_drawing(box[:2]), lies.to_drawing(box[2:])
        drawn = Drawn(
            n,
            page.where[-500:],
            _rounded(*low, *(high - low)),
            round(lies.scale, 6),
            [_rounded(*place) for place in lies.to_drawing(spots)],
            "; ".join(filter(None, (light, remark))),
        )
        done.folder.add(drawn, picture)
        done.read[n] = drawn
        if drawn.remark:
            done.notes.append(f"{page.where}: drawing {n}: {drawn.remark}")


def _box(lies, layout, paper):
    """What is kept of the page: the drawing's sheet, without the border."""
    low = np.maximum(lies.to_page((0.0, 0.0)), layout.inside[:2])
    high = np.minimum(lies.to_page(paper), layout.inside[2:])
    return (*low, *high)


def _rounded(*numbers):
    return tuple(round(float(number), 3) for number in numbers)


def _listed(numbers):
    """Numbers in words, runs as from and to."""
    runs = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(run(one) for one in runs)


# ---- the command ------------------------------------------------------------------------


def scan_into(images, file, start=None, watch=None):
    """Read images of sheets for an action file, and make the file where there is none.

    Parameters
    ----------
    images : iterable of str or Path
    file : str or Path
        The action file that the sheets were printed from. Its drawings stay as they are until joints are confirmed.
    start : str or Path, optional
        What the sheets were printed from, where `file` is not there yet: it is made from it, every drawing still the
        first one traced, so that nothing in it counts as drawn.
    watch : function, optional
        As of `scan`.

    Returns
    -------
    Scan, Action
    """
    file = Path(file)
    if file.exists():
        action = read(file)
    elif start is None:
        raise ActionError(
            "there is no such file",
            "name the action file that the sheets were printed from, or give that one as --start "
            "and a new name as --to",
            file=str(file),
        )
    else:
        action = undrawn(read(start))
    done = scan(images, action, file, watch)
    if done.read and not file.exists():
        write_whole(file, dumps(action))
    return done, action


def undrawn(action):
    """The action with each drawing the first one traced: so nothing in it counts as drawn."""
    traced = [np.repeat(limb.drawings[:1], action.count, axis=0) for limb in action.limbs]
    return action.replace(lecture=(), lines=()).redrawn(*traced)


def sentences(done, action):
    """What the command line says of a scan: what was read, what is to be confirmed, what is wrong."""
    said = []
    for n in sorted(done.read):
        drawn = done.read[n]
        count = len(drawn.dots)
        joints = "; ".join(
            (f"{limb}: " if len(action.limbs) > 1 else "") + ", ".join(joint for _, joint in of_limb)
            for limb, of_limb in groupby(waiting(drawn, action), itemgetter(0))
        )
        said.append(f"drawing {n}, {drawn.source}: {count or 'no'} dot{'s' * (count != 1)} found. To confirm: {joints}")
    return said
