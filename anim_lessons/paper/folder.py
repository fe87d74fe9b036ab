"""What was read from paper, in a folder beside the action file: pencil drawings, dots, and which joints were confirmed.

The folder has the name of the file and `_paper`: `paper.json`, and a picture a drawing, `003.png`. The action file
itself is as it always is; a joint that is not confirmed is not in it.
"""

import io
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

import msgspec
import numpy as np
from PIL import Image

from ..model.action import ActionError
from ..model.plans import LARGEST, MOST_DRAWINGS, MOST_JOINTS, MOST_LIMBS
from ..model.whole_file import TooLarge, read_whole
from ..storage.disk import write_whole
from .stamp import stack_of

FORMAT, VERSION = "anim-lessons/paper", 1
LIST = "paper.json"
MOST_BYTES = 4_000_000  # of the list
MOST_PICTURE = 8_000_000  # bytes of one picture
MOST_PIXELS = 12_000_000  # of one picture: A3 has 4.3 million
MOST_DOTS = 60

Millimetres = Annotated[float, msgspec.Meta(ge=-LARGEST, le=LARGEST)]
Side = Annotated[float, msgspec.Meta(ge=1, le=LARGEST)]
Place = tuple[Millimetres, Millimetres]
Name = Annotated[str, msgspec.Meta(max_length=500)]
Joints = Annotated[dict[Name, Place], msgspec.Meta(max_length=MOST_JOINTS)]

Pose = Annotated[list[Place], msgspec.Meta(max_length=MOST_JOINTS)]


class Drawn(msgspec.Struct, forbid_unknown_fields=True):
    """A drawing read from paper.

    Attributes
    ----------
    number : int
        From 1.
    source : str
        File and page in which its sheet was.
    box : tuple of float
        What its picture shows: left, bottom, width, height, mm of the drawing.
    scale : float
        mm of the page to a mm of the drawing.
    dots : list of (float, float)
        Pencil dots, mm of the drawing.
    remark : str
        What is unsure of the whole sheet, or an empty text.
    confirmed : dict
        Limb, joint: the place confirmed, mm.
    before : dict
        Limb: how it lay in the action before it was confirmed whole.
    """

    number: Annotated[int, msgspec.Meta(ge=1, le=MOST_DRAWINGS)]
    source: Name
    box: tuple[Millimetres, Millimetres, Side, Side]
    scale: Annotated[float, msgspec.Meta(ge=0.01, le=10)]
    dots: Annotated[list[Place], msgspec.Meta(max_length=MOST_DOTS)]
    remark: Name = ""
    confirmed: Annotated[dict[Name, Joints], msgspec.Meta(max_length=MOST_LIMBS)] = {}
    before: Annotated[dict[Name, Pose], msgspec.Meta(max_length=MOST_LIMBS)] = {}


class List(msgspec.Struct, forbid_unknown_fields=True):
    format: Literal[FORMAT]
    version: Literal[VERSION]
    stack: Annotated[int, msgspec.Meta(ge=0)]
    drawings: Annotated[list[Drawn], msgspec.Meta(max_length=MOST_DRAWINGS)]


def folder_of(file):
    """The folder of an action file's drawings on paper."""
    file = Path(file)
    return file.with_name(f"{file.stem}_paper")


@dataclass
class Folder:
    """The drawings on paper of one action.

    Attributes
    ----------
    path : Path
    stack : int
        By which sheets of the action are known.
    drawings : dict
        Drawn by number.
    """

    path: Path
    stack: int
    drawings: dict

    @classmethod
    def open(cls, file, action):
        """The folder beside an action file; an empty one where there is none.

        Raises
        ------
        ActionError
            Where its list cannot be read, or is of other drawings.
        """
        path, stack = folder_of(file), stack_of(action)
        if not (path / LIST).exists():
            return cls(path, stack, {})
        try:
            data = read_whole(path / LIST, MOST_BYTES)[0]
            found = msgspec.json.decode(data, type=List)
        except TooLarge:
            raise _unread(path, "is too large") from None
        except OSError as error:
            raise _unread(path, f"cannot be opened ({error.strerror})") from None
        except (msgspec.MsgspecError, UnicodeDecodeError, RecursionError) as error:
            raise _unread(path, f"is not a list of drawings on paper ({str(error)[:120]})") from None
        if found.stack != stack:
            raise _unread(path, "is of other drawings: other limbs, another paper or another number")
        numbers = [one.number for one in found.drawings]
        if len(set(numbers)) < len(numbers) or max(numbers, default=0) > action.count:
            raise _unread(path, "names a drawing twice, or one that is not in the stack")
        limbs = {limb.name: set(limb.joints) for limb in action.limbs}
        for one in found.drawings:
            for limb, joints in one.confirmed.items():
                if not set(joints) <= limbs.get(limb, set()):
                    raise _unread(path, f"confirms a joint on drawing {one.number} that is not in the action")
            if any(len(pose) != len(limbs.get(limb, ())) for limb, pose in one.before.items()):
                raise _unread(path, f"holds a pose of drawing {one.number} that does not fit the action")
        return cls(path, stack, {one.number: one for one in found.drawings})

    def picture_path(self, number):
        return self.path / f"{number:03d}.png"

    def add(self, drawn, picture):
        """Put in a drawing and its picture, a uint8 array; it takes the place of one of the same number."""
        data = io.BytesIO()
        Image.fromarray(picture, "L").save(data, "PNG", compress_level=4)
        self.path.mkdir(exist_ok=True)
        write_whole(self.picture_path(drawn.number), data.getvalue())
        self.drawings[drawn.number] = drawn

    def save(self):
        whole = List(FORMAT, VERSION, self.stack, [self.drawings[number] for number in sorted(self.drawings)])
        self.path.mkdir(exist_ok=True)
        write_whole(self.path / LIST, msgspec.json.format(msgspec.json.encode(whole), indent=1) + b"\n")

    def picture(self, number):
        """The pencil drawing, uint8, the upper row first; 255 is paper.

        Raises
        ------
        ActionError
            Where it is missing, or no picture of this folder's making.
        """
        path = self.picture_path(number)
        try:
            data = read_whole(path, MOST_PICTURE)[0]
            with Image.open(io.BytesIO(data), formats=("PNG",)) as image:
                if image.size[0] * image.size[1] > MOST_PIXELS:
                    raise ActionError("has more pixels than a sheet", "scan the sheet again")
                return np.asarray(image.convert("L"))
        except ActionError as error:
            raise error.at(file=str(path)) from None
        except (OSError, SyntaxError, ValueError, Image.DecompressionBombError):
            raise ActionError(
                "the picture of the drawing cannot be read", "scan its sheet again", file=str(path)
            ) from None


def _unread(path, what):
    return ActionError(
        what,
        f"move it away, then scan the sheets again: anim-lessons scan IMAGES --to {path.stem.removesuffix('_paper')}.json",
        file=str(path / LIST),
    )
