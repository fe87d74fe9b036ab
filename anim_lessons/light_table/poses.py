"""Poses from the page and under-drawings, read against the action on the table."""

from ..model import action_file
from ..model.action import ActionError
from .revisions import is_revision

KEYS = {"revision", "exposure", "drawings"}     # of a pose
OF_LINES = {"revision", "drawings"}


def read(pose, action, lines=None):
    """The action of a pose that a page sent, with the pencil lines it sent along, or else with those of `action`.

    Parameters
    ----------
    pose : dict
        As `desk.pose` gives it.
    action : Action
        What lies on the table; it has the same limbs.
    lines : dict, optional
        As `desk.lines` gives it.

    Raises
    ------
    ActionError
        Says what is wrong with the pose or the lines, and in which drawing.
    """
    if not isinstance(pose, dict):
        raise ActionError("the page sent something else than drawings")
    if not pose.keys() <= KEYS:
        raise ActionError("the page sent something else beside the drawings")
    drawings = pose.get("drawings")
    if not is_revision(pose.get("revision")):
        raise ActionError("the page sent drawings without a revision")
    if not isinstance(drawings, list) or len(drawings) != len(action.limbs):
        raise ActionError(f"the page sent drawings of another number of limbs than the {len(action.limbs)} on the table")
    # Lines have many points, and a drag changes none.
    document = action_file.document(action.replace(lines=()) if action.lines else action)
    document["exposure"] = pose.get("exposure")
    for limb, drawn in zip(document["limbs"], drawings):
        limb["drawings"] = drawn
    if lines is not None:
        document |= _lines(lines, pose["revision"])
    read = action_file.from_document(document)
    # A number of drawings of its own is as good as any; lines stay on those that are there.
    return read if lines is not None or not action.lines else read.replace(lines=tuple(one for one in action.lines if one.drawing <= read.count))


def _lines(lines, revision):
    if not isinstance(lines, dict) or lines.keys() != OF_LINES or not isinstance(lines["drawings"], dict):
        raise ActionError("the page sent something else than pencil lines")
    if not is_revision(lines["revision"]) or lines["revision"] > revision:
        raise ActionError("the page sent pencil lines of a later revision than the drawings")
    drawn = lines["drawings"]
    if not all(isinstance(number, str) and number.isascii() and number.isdecimal() and len(number) < 5 for number in drawn):
        raise ActionError("the page sent a pencil line of no drawing")
    return {"lines": [{"drawing": int(number), "strokes": strokes} for number, strokes in drawn.items()]} if drawn else {}


def under(lower, action):
    """Drawings of `lower`, each limb's as a list, to lie under those of `action`; ActionError where they do not fit."""
    mine, others = ([(limb.name, len(limb.joints)) for limb in a.limbs] for a in (action, lower))
    if mine != others:
        raise ActionError("the under-drawing has other limbs or joints than the drawings; give one of the same make")
    if lower.count != action.count:
        raise ActionError(f"the under-drawing has {lower.count} drawings and the table {action.count}; give one for each")
    return [limb.drawings.tolist() for limb in lower.limbs]
