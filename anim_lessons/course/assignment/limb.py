"""The limb of an assignment: one of the landing's figures, one of one's own, or that of drawings that are there."""

import numpy as np

from ...ferry.figures import FIGURES, figure_of, swung
from ...ferry.starts import own
from ...geometry.limb import pose_from_bends
from ...model.action import ActionError
from ...model.words import capital
from .fields import MOST_NAME, Reading

OWN, GIVEN = "one of your own", "as given"  # besides the figures of the landing
MOST_PARTS = 12
USUAL_COUNT = 12  # drawings of a limb of one's own that are given, unless others are asked for
MIDDLE = (148.5, 105.0)  # mm, of the sheet
FIRST_PARTS = [
    {"joint": "rump", "length": 0, "least": 0, "greatest": 0},
    {"joint": "middle", "length": 45, "least": 30, "greatest": 150},
    {"joint": "tip", "length": 40, "least": -70, "greatest": 70},
]


def drawn(reading, counts, begun):
    """The start; and a function from a number of drawings to a loop of its limb that gives the rules something to judge."""
    limb = reading.one_of("limb", [*FIGURES, OWN, *([GIVEN] if begun else [])])
    if begun is not None:
        start = begun.start
        if not counts[0] <= start.count <= counts[1]:
            reading.fault(
                "least",
                f"The drawings that are given are {start.count}. Keep {start.count} between the two numbers, or choose "
                "the limb anew below: then as many are given as you ask for.",
            )
        figure = figure_of(start)
        return start, figure.whole if figure else lambda count: swung(start, count)
    if limb == OWN:
        start = _own(reading, min(max(USUAL_COUNT, counts[0]), counts[1]))
        return start, lambda count: swung(start, count)
    figure = FIGURES[limb]
    return figure.start(min(max(figure.usual, counts[0]), counts[1])), figure.whole


def _own(reading, count):
    """A limb by the names of its joints, its lengths and its stops, in the middle of the sheet; None where it is none."""
    parts, name = reading.values.get("parts"), " ".join(reading.text("limb_name", MOST_NAME).split())
    if not isinstance(parts, list) or not all(
        isinstance(one, dict) and isinstance(one.get("joint"), str) for one in parts
    ):
        return reading.fault("parts", "Name its joints, one a line.")
    if not 2 <= len(parts) <= MOST_PARTS + 1:
        return reading.fault(
            "parts", f"A limb of your own has 1 to {MOST_PARTS} parts. For one joint alone take the buoy."
        )
    joints = [" ".join(one["joint"].split()) for one in parts]
    for place, joint in enumerate(joints, start=1):
        if not joint:
            reading.fault("parts", f"Joint {place} has no name. Give it one, such as knee or tip.")
    lengths = [
        _measure(reading, one.get("length"), f"the length of the part ending in {joint}, mm", 1, 280)
        for one, joint in zip(parts[1:], joints[1:])
    ]
    stops = [
        [
            _measure(reading, one.get(end), f"the {end} bend of the part ending in {joint}, degrees", -360, 360)
            for end in ("least", "greatest")
        ]
        for one, joint in zip(parts[1:], joints[1:])
    ]
    if "parts" in reading.faults:
        return None
    try:
        bends = np.mean(np.asarray(stops, float), axis=1)
        points = pose_from_bends(np.zeros((1, 2)), lengths, bends[None])[0]
        middle = np.array(MIDDLE) - (points.min(axis=0) + points.max(axis=0)) / 2
        return own(joints, lengths, stops, [middle], count, name=name)
    except ActionError as error:
        return reading.fault("parts", f"{capital(error.says.rstrip('.'))}.")


def _measure(reading, value, what, least, most):
    return reading.number("parts", least, most, what, value="" if value is None else value)


def limb_of(one):
    """The fields of the form that mean the limb of an assignment."""
    start, figure = one.start, figure_of(one.start)
    if one.brief.passes:
        return {"limb": GIVEN}
    if figure is not None and start.drawn_as(figure.start(start.count)):
        return {"limb": figure.name}
    limb = start.limbs[0]
    parts = [
        {"joint": joint, "length": length, "least": least, "greatest": greatest}
        for joint, length, (least, greatest) in zip(
            limb.joints, [0.0, *limb.lengths.tolist()], [(0.0, 0.0), *limb.stops.tolist()]
        )
    ]
    fields = {"limb": OWN, "limb_name": limb.name, "parts": parts}
    made = _own(Reading(fields), start.count)
    return fields if len(start.limbs) == 1 and made is not None and made.drawn_as(start) else {"limb": GIVEN}
