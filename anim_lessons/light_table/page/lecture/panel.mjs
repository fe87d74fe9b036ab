/* The panel, strip and table: the focus from one to the other. */
import { at, steps, table } from "./questions.mjs";

/** The focus from the note to the joint, and back. */
export function to_and_fro(t) {
  if (!t.root.contains(document.activeElement))
    return (t.records ? t.field : t.read).focus({ preventScroll: true });
  to_joint(t);
}

export function to_joint(t) {
  const { limb, joint } = (t.records ? t.model.get("place") : steps(t)[at(t)]) ?? {};
  const handles = [...(table(t)?.querySelectorAll(".handle") ?? [])];
  const handle =
    handles.find((one) => one.dataset.limb === limb && one.dataset.joint === joint) ?? handles[0];
  handle?.focus({ preventScroll: true });
}
