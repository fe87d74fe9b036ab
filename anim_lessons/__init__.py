"""Classical hand-drawn animation, drawing by drawing.

Drawings are measured, the measures are put before the rules, what the rules find is shown or reported:
drawings -> measures -> rules -> findings -> picture, verdict, report.

Rooms in reading order, which is import order; imports point only upward in this list:

    model        the data: numbered drawings of limbs, the file they are kept in, the words for them
    storage      files read and written whole; a learner's drawings saved, versions kept
    geometry     angles, limbs, paths of action, timing charts
    physics      weight and springs, drag and lag: how what hangs follows
    measures     what is measured on drawings, for one loop or thousands
    rules        the rules of the trade, one file a rule
    judging      drawings put before the rules: brief, causes, corrections, verdict
    assist       help with the next drawing: passes, guide, mending, plan, lecture
    ferry        the ferry landing: model actions, faults, start drawings, recorded lectures
    pictures     pictures for notebooks and export: sheets, charts, moving pictures
    paper        drawings on paper: sheets printed, photographed, read
    light_table  the drawing desk in the page
    course       the workbook: check cells, panels, progress, marking, glossary
    commands     the command line

Beside the rooms stand three doors:

    chain        weight and springs under their public name
    lessons      what the notebooks call
    server       the line between the page and Python
"""

from .judging.brief import Brief, read_brief
from .judging.judge import check
from .model.action import Action, ActionError, Limb
from .model.action_file import read
from .rules import RULES
from .rules.finding import Finding, Verdict

__all__ = [
    "RULES", "Action", "ActionError", "Brief", "Finding", "Limb", "Verdict",
    "check", "read", "read_brief",
]
