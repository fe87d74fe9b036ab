"""What the notebooks call: tables, panels, check cells."""

from .course.galleries import fault_gallery, flip_pile, model_loop
from .course.glossary import glossary
from .course.hanging_panels import hanging, hanging_map, stop_and_settle
from .course.notebook import (
    RulesBroken,
    apart,
    follow,
    lags,
    light_table,
    mark_class,
    measured,
    moving_picture,
    on_paper,
    plan_sheet,
    plan_verdict,
    print_sheets,
    printer,
    record,
    verdict,
    verdict_lines,
)
from .course.panels import mark_a_class, opening_arm, seam, set_homework, timing, two_arms
from .course.progress import progress

__all__ = [
    "RulesBroken", "apart", "fault_gallery", "flip_pile", "follow", "glossary", "hanging", "hanging_map", "lags",
    "light_table", "mark_a_class", "mark_class", "measured", "model_loop", "moving_picture", "on_paper", "opening_arm", "plan_sheet",
    "plan_verdict", "print_sheets", "printer", "progress", "record", "seam", "set_homework", "stop_and_settle", "timing", "two_arms",
    "verdict", "verdict_lines",
]
