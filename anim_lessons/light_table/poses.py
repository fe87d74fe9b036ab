"""Poses from the page and under-drawings, read against the action on the table."""

from ..model import action_file
from ..model.action import ActionError
from .revisions import is_revision

KEYS = {"revision", "exposure", "drawings"}     # of a pose


def read(pose, action):
    """The action of a pose that a page sent.

    Parameters
    ----------
    pose : dict
        As `desk.pose` gives it.
    action : Action
        What lies on the table; it has the same limbs.

    Raises
    ------
    ActionError
        Says what is wrong with the pose, and in which drawing.
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
    document = action_file.document(action)
    document["exposure"] = pose.get("exposure")
    for limb, drawn in zip(document["limbs"], drawings):
        limb["drawings"] = drawn
    return action_file.from_document(document)


def under(lower, action):
    """Drawings of `lower`, each limb's as a list, to lie under those of `action`; ActionError where they do not fit."""
    mine, others = ([(limb.name, len(limb.joints)) for limb in a.limbs] for a in (action, lower))
    if mine != others:
        raise ActionError("the under-drawing has other limbs or joints than the drawings; give one of the same make")
    if lower.count != action.count:
        raise ActionError(f"the under-drawing has {lower.count} drawings and the table {action.count}; give one for each")
    return [limb.drawings.tolist() for limb in lower.limbs]
