"""The shape of an action file: its keys, the kind of value each has, how many and how large they may be.

The decoder reads by it, and `file_errors` explains by it: there is no second description.
"""

import re
from typing import Annotated, Literal

import msgspec

from .action import HIGHEST_RATE, LONGEST_HOLD
from .lines import MOST_POINTS, MOST_STROKES
from .plans import (
    LARGEST,
    MOST_DRAWINGS,
    MOST_JOINTS,
    MOST_LETTERS,
    MOST_LIMBS,
    MOST_PLACES,
    MOST_STEPS,
    SMALLEST,
)

FORMAT = "anim-lessons/action"
VERSION = 1
MAX_BYTES = 4_000_000  # bytes: a hundred times the longest lecture of a class; a larger file is no pencil test
LONGEST_TEXT = 500  # letters of a title or a name
ABSENT = ()  # stands for the list of an optional key that is not in the file

Millimetres = Annotated[float, msgspec.Meta(ge=-LARGEST, le=LARGEST)]
Side = Annotated[float, msgspec.Meta(ge=SMALLEST, le=LARGEST)]
Degrees = Annotated[float, msgspec.Meta(ge=-360, le=360)]
Frames = Annotated[int, msgspec.Meta(ge=1, le=LONGEST_HOLD)]
Text = Annotated[str, msgspec.Meta(max_length=LONGEST_TEXT)]
Point = Annotated[list[Millimetres], msgspec.Meta(min_length=2, max_length=2)]
Share = Annotated[float, msgspec.Meta(ge=0, le=1)]
Pressed = Annotated[list[Millimetres], msgspec.Meta(min_length=2, max_length=3)]  # x, y, and the pressure where it is told
Stroke = Annotated[list[Pressed], msgspec.Meta(min_length=1, max_length=MOST_POINTS)]
Said = Annotated[str, msgspec.Meta(max_length=MOST_LETTERS)]


class Paper(msgspec.Struct, forbid_unknown_fields=True, gc=False):
    width: Side
    height: Side


class FilePlan(msgspec.Struct, forbid_unknown_fields=True, gc=False):
    joint: Text
    path: Annotated[list[Point], msgspec.Meta(min_length=2, max_length=MOST_PLACES)]
    chart: Annotated[list[Share], msgspec.Meta(min_length=2, max_length=MOST_DRAWINGS)]


class FileStep(msgspec.Struct, forbid_unknown_fields=True, gc=False):
    drawing: Annotated[int, msgspec.Meta(ge=1, le=MOST_DRAWINGS)]
    limb: Text
    joint: Text
    points: Annotated[list[Point], msgspec.Meta(min_length=1, max_length=MOST_JOINTS)]
    says: Said


class FileLine(msgspec.Struct, forbid_unknown_fields=True, gc=False):
    drawing: Annotated[int, msgspec.Meta(ge=1, le=MOST_DRAWINGS)]
    strokes: Annotated[list[Stroke], msgspec.Meta(min_length=1, max_length=MOST_STROKES)]


class FileLimb(msgspec.Struct, forbid_unknown_fields=True, gc=False):
    name: Text
    joints: Annotated[list[Text], msgspec.Meta(min_length=1, max_length=MOST_JOINTS)]
    lengths: list[Side]
    stops: list[Annotated[list[Degrees], msgspec.Meta(min_length=2, max_length=2)]]
    drawings: Annotated[list[list[Point]], msgspec.Meta(min_length=2, max_length=MOST_DRAWINGS)]
    plans: Annotated[list[FilePlan], msgspec.Meta(max_length=MOST_JOINTS)] = ABSENT


class File(msgspec.Struct, forbid_unknown_fields=True, gc=False):
    format: Literal[FORMAT]
    version: Literal[VERSION]
    title: Text
    by: Text
    rate: Annotated[int, msgspec.Meta(ge=1, le=HIGHEST_RATE)]
    loop: bool
    paper: Paper
    exposure: Frames | list[Frames]
    limbs: Annotated[list[FileLimb], msgspec.Meta(min_length=1, max_length=MOST_LIMBS)]
    lines: Annotated[list[FileLine], msgspec.Meta(max_length=MOST_DRAWINGS)] = ABSENT
    lecture: Annotated[list[FileStep], msgspec.Meta(max_length=MOST_STEPS)] = ABSENT


decode = msgspec.json.Decoder(File, strict=True).decode

_KEYS = {kind: len(kind.__struct_fields__) for kind in (File, Paper, FileLimb, FileLine, FilePlan, FileStep)}
_TEXT = re.compile(rb'"[^"\\]*(?:\\.[^"\\]*)*"')


def keys_stand_once(file, data):
    """Whether no key stands twice in one object of the bytes that a file was decoded from.

    msgspec keeps the last of repeated keys in silence. Every key is followed by a colon, so where there are
    as many colons as keys in the decoded file, none was lost. Colons within texts are left out of the count.
    """
    keys = _count_keys(file)
    return data.count(b":") == keys or _TEXT.sub(b"", data).count(b":") == keys


def _count_keys(file):
    count = (
        _KEYS[File] + _KEYS[Paper] + len(file.limbs) * _KEYS[FileLimb] + len(file.lecture) * _KEYS[FileStep]
    )
    count += len(file.lines) * _KEYS[FileLine] - (file.lines is ABSENT) - (file.lecture is ABSENT)
    for limb in file.limbs:
        count += len(limb.plans) * _KEYS[FilePlan] - (limb.plans is ABSENT)
    return count
