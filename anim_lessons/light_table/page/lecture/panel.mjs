/* The panel, strip and table: over the whole page, and the focus from one to the other. */
import { say } from "../tools.mjs";
import { at, panel, steps, table } from "./questions.mjs";

const FILLS = "fills-the-page";

export const fills = (t) => Boolean(panel(t)?.classList.contains(FILLS));

/** Over the whole page, or back to the notebook. */
export function fill(t) {
  const all = panel(t);
  if (!all) return;
  const is = all.classList.toggle(FILLS);
  // The top layer is above whatever the notebook moves or clips; where there is none, a fixed place does it.
  if (is && all.showPopover) {
    all.setAttribute("popover", "manual");
    all.showPopover();
  }
  if (!is && all.hasAttribute("popover")) {
    all.hidePopover();
    all.removeAttribute("popover");
  }
  say(t.fill_b, is ? "back to the notebook" : "fill the page");
  if (is && !all.contains(document.activeElement)) t.next_b.focus({ preventScroll: true });
  if (!is) all.scrollIntoView({ block: "nearest" });
}

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

/** Whether of all panels this one is seen most of. */
export function seen_most(t) {
  const seen = (one) => {
    const { top, bottom } = one.getBoundingClientRect();
    return Math.min(bottom, innerHeight) - Math.max(top, 0);
  };
  const all = [...document.querySelectorAll(".anim-lecture-panel")].filter((one) => seen(one) > 0);
  return all.toSorted((one, two) => seen(two) - seen(one))[0] === panel(t);
}
