/* One lecture, gallery or table over the whole page, for a projector. */
import { put } from "./tools.mjs";

const FILLS = "fills-the-page";
const WHOLES = ".anim-lecture-panel, .anim-gallery"; // what belongs to a table and is seen with it
const ALL = `${WHOLES}, .anim-light-table`;
const BEHIND = "data-behind-the-page";

export const whole = (root) => root.closest(WHOLES) ?? root;
export const fills = (root) => whole(root).classList.contains(FILLS);

/** Over the whole page, or back to the notebook. */
export function fill(root) {
  const all = whole(root);
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
  put_behind(all);
  if (!is) return all.scrollIntoView({ block: "nearest" });
  new ResizeObserver((_, watch) => {
    // also where its cell is run again, or another notebook is shown
    if (all.classList.contains(FILLS)) put_behind(all);
    if (!all.isConnected || !all.classList.contains(FILLS)) watch.disconnect();
  }).observe(all);
}

/** What the filled page hides is out of reach of Tab and of screen readers, as long as it is hidden. */
function put_behind(all) {
  for (const one of document.querySelectorAll(`[${BEHIND}]`)) put(one, { inert: null, [BEHIND]: null });
  if (!all.classList.contains(FILLS) || !all.getClientRects().length) return;
  for (let one = all; one !== document.body; one = one.parentElement) {
    for (const other of one.parentElement.children)
      if (other !== one && !other.hasAttribute("inert")) put(other, { inert: "", [BEHIND]: "" });
  }
}

/** Whether a key pressed there is meant for this one: the focus is in it, or in none, and of all it is seen most of or
 * fills the page. */
export function meant(root, target) {
  const all = whole(root);
  if (all.contains(target)) return true;
  if (target.closest?.(ALL)) return false;
  const filling = document.querySelector(`.${FILLS}`);
  return filling ? filling === all : seen_most() === all;
}

function seen_most() {
  const seen = (one) => {
    const { top, bottom } = one.getBoundingClientRect();
    return Math.min(bottom, innerHeight) - Math.max(top, 0);
  };
  const each = [...document.querySelectorAll(ALL)].filter((one) => whole(one) === one && seen(one) > 0);
  return each.toSorted((one, two) => seen(two) - seen(one))[0];
}
