/* Where a lecture stands: questions about the state of its strip, and the table beside it. */
export const steps = (t) => t.model.get("steps");
export const at = (t) => t.model.get("at");
export const can = (t) => t.model.get("can");
export const more_limbs = (all) => new Set(all).size > 1;

/** Whether each step is asked before it is shown. */
export const asks_first = (t) => !t.records && t.model.get("asks_first");

/** The step that was asked for last: the one at hand, unless another is on its way. */
export const stand = (t) => t.aim ?? { at: at(t), asking: t.model.get("asking") >= 0 };

export const panel = (t) => t.root.closest(".anim-lecture-panel");
export const table = (t) => panel(t)?.querySelector(".anim-light-table");

/** Whether the newest message has no answer yet. */
export const waits = (t) => t.revision > t.model.get("answered");
