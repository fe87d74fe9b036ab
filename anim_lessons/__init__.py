"""Classical hand-drawn animation, drawing by drawing.

Reading order, which is import order; imports point only upward in this list:

    action          the data: numbered drawings of limbs, their joints, exposure
    refusals        why an action file is not read, in words a learner can act on
    action_file     the JSON file: strict in, canonical out
    disk            files read and written whole; what the disk says, in plain words
    store           a learner's file: atomic saving, kept versions
    words           how limbs, joints and amounts are called in a sentence
    easing          timing charts, slow in and slow out
    arcs            path of action: length, curvature, spacing along it
    limb            joints <-> lengths and angles; stops; inverse kinematics
    looping         the one loop to which a pull with a return settles
    follow_through  drag and lag: the pull with a return
    chain           weight and springs: the looping motion itself, and how it is felt
    measures        what is measured on drawings, for one loop or thousands
    tried           one drawing tried at many places, and what is measured of it
    finding         what a rule says about a drawing, and a whole verdict
    brief           an assignment: which rules, how strict
    plan            a path of action drawn freehand, its timing chart, and drawings held against them
    rules           one file a rule, in teaching order
    course          the lessons in their order, and which teaches which rule
    layers          one joint through the whole loop after the other, and a plan of what is not drawn yet
    guide           where a joint may go, and which rule is against it
    mend            the smallest change of the fewest drawings that keeps every rule
    scenario        the ferry landing: model actions and ones with a fault
    lecture         what an instructor shows step by step; followed on drawings of one's own
    hanging         the ferry landing: lantern, pennant, mooring rope, hand: how they follow
    stopping        the ferry landing: start, stop, settle
    beginnings      the ferry landing: what the homework of a lesson begins with; a limb of one's own
    demos           the ferry landing: every action by its name
    lectures        the ferry landing: recorded lectures of single lessons
    pencil          graphite on paper: weights, outlines, timing-chart data
    plots           pictures for notebooks and export
    moving          the frames of a moving picture, exactly timed
    export          moving pictures, contact sheets, exposure sheets
    glossary        terms of the trade, each with a small moving picture
    light_table     the drawing desk in the page
    hanging_panels  panels for what hangs and follows
    course_panels   panels of single lessons: one rule kept or broken
    progress        where a learner stands: the step a check ends on, and what passed when
    marking         a pile of hand-ins as one table, files by rules
    lessons         what the notebooks call: tables, panels, check cells
    server          the line between the page and Python, without waits
    workbook_copy   the workbook in a learner's folder, nothing of theirs lost
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
