"""What the notebooks call: tables, panels, check cells."""

from .course.notebook import (
    RulesBroken,
    apart,
    fault_gallery,
    flip_pile,
    follow,
    glossary,
    hanging,
    hanging_map,
    lags,
    light_table,
    measured,
    model_loop,
    opening_arm,
    plan_sheet,
    plan_verdict,
    progress,
    record,
    seam,
    stop_and_settle,
    timing,
    two_arms,
    verdict,
    verdict_lines,
)

__all__ = [
    "RulesBroken", "apart", "fault_gallery", "flip_pile", "follow", "glossary", "hanging", "hanging_map", "lags", "light_table",
    "measured", "model_loop", "opening_arm", "plan_sheet", "plan_verdict", "progress", "record", "seam",
    "stop_and_settle", "timing", "two_arms", "verdict", "verdict_lines",
]
