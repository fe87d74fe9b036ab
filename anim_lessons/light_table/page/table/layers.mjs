/* Work in layers: one joint through the stack, then the next one out. */
import { set } from "./changes.mjs";
import { name_of, settings } from "./questions.mjs";

/** Choose the joint to work on through the stack; null: all joints. */
export function work_on(t, one) {
  t.active = one ? { ...one } : null;
  t.chosen = null;
  set(t, {
    layer: one && name_of(t, one),
    ...(one && settings(t).guide ? { guide: name_of(t, one) } : {}),
    ...(one ? { chart: name_of(t, one).joint } : {}),
  });
}
