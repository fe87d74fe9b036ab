"""Classical hand-drawn animation, drawing by drawing.

Reading order, which is import order; imports point only upward in this list:

    action          the data: numbered drawings of limbs, their joints, exposure
    action_file     the JSON file: strict in, canonical out
    disk            files read and written whole; what the disk says, in plain words
    store           a learner's file: atomic saving, kept versions
    easing          timing charts, slow in and slow out
    arcs            path of action: length, curvature, spacing along it
    limb            joints <-> lengths and angles; stops; inverse kinematics
    follow_through  drag and lag: the pull with a return
    measures        what is measured on drawings, for one loop or thousands
    finding         what a rule says about a drawing, and a whole verdict
    brief           an assignment: which rules, how strict
    rules           one file a rule, in teaching order
    scenario        the ferry landing: model actions and ones with a fault
    plots           pictures for notebooks and export
    export          moving pictures, contact sheets, exposure sheets
    light_table     the drawing desk in the page
    lessons         panels for the notebooks
    commands        the command line
"""

from .action import Action, ActionError, Limb
from .action_file import read
from .brief import Brief, read_brief
from .finding import Finding, Verdict
from .rules import RULES, check

__all__ = [
    "RULES", "Action", "ActionError", "Brief", "Finding", "Limb", "Verdict",
    "check", "read", "read_brief",
]
