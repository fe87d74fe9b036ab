/* The keyboard of the whole table: ten keys. */
import { on } from "../elements.mjs";
import { used } from "../tools.mjs";
import { redo, undo } from "./changes.mjs";
import { leave_note } from "./choosing.mjs";
import { leave_done } from "./done.mjs";
import { let_go } from "./drag.mjs";
import { drop_stroke, take_tool } from "./line_hand.mjs";
import { fill, fills, meant, whole } from "../full_page.mjs";
import { CALM, hold_up, rest_hands, show } from "./flip_and_play.mjs";
import { end_mending, step, step_now } from "./mending.mjs";
import { push_joint } from "./pushes.mjs";
import { open_note, worked } from "./questions.mjs";
import { show_keys, show_more } from "./bar.mjs";

/** What a letter or a named key does with the table in focus. */
const plain = {
  ArrowLeft: (t) => t.previous_b.click(),
  ArrowRight: (t) => t.next_b.click(),
  PageUp: (t) => t.previous_b.click(),
  PageDown: (t) => t.next_b.click(),
  p: (t) => t.play_b.click(),
  w: (t) => t.guide_b.click(),
  "?": (t) => show_keys(t, !t.keys_shown),
  x: (t) => step_now(t) && step(t, false),
};
// while the key is held, six a second; what a held key switched on and off would flash
const goes_on = ["ArrowLeft", "ArrowRight", "PageUp", "PageDown"];
const KEY_OF_THE_PAGE = "F9"; // this table, its gallery or its lecture over the whole page
const OWN = "button, [role=button], summary, a, input, textarea, select"; // where Enter is the element's own

export function listen_to_keys(t) {
  on(t, t.root, "keydown", (e) => {
    if (e.defaultPrevented) return;
    if (e.target.closest("select, input")) return e.key === "Escape" || e.stopPropagation(); // letters and arrows are their own
    const name = e.key.length === 1 ? e.key.toLowerCase() : e.key;
    if (e.ctrlKey || e.metaKey) {
      if (name === "z") {
        used(e);
        if (e.shiftKey) redo(t);
        else undo(t);
      } else if (name === "y") {
        used(e);
        redo(t);
      }
      return;
    }
    if (t.line.tool && ["ArrowUp", "ArrowDown"].includes(name)) return used(e); // no joint is moved unseen
    if (e.altKey || ["ArrowUp", "ArrowDown"].includes(name)) return push_joint(t, e, worked(t));
    if (name === "Enter" && !e.shiftKey) {
      if (e.target.closest(OWN)) return e.stopPropagation();
      used(e);
      if (t.act?.key === "Enter" && !e.repeat) t.act.does();
    } else if (name === "Escape") {
      if (escape(t)) used(e);
    } else if (name === "f") {
      used(e);
      if (!e.repeat) hold_up(t);
    } else if (plain[name]) {
      used(e);
      const now = performance.now();
      if (e.repeat && !(goes_on.includes(name) && now - t.turned_at >= CALM / 2)) return;
      t.turned_at = now;
      plain[name](t, e);
      // a slip must not cut a cell of the notebook
    } else if (name !== "Tab" && !(name === "Enter" && e.shiftKey)) e.stopPropagation();
  });
  on(
    t,
    document,
    "keydown",
    (e) => {
      if (e.key !== KEY_OF_THE_PAGE || !t.fill_b || e.altKey || e.ctrlKey || e.metaKey || !meant(t.root, e.target)) return;
      used(e);
      fill(t.root);
      take_focus(t);
    },
    { capture: true }, // after its cell was run the focus is in the notebook, which must not hear it
  );
  on(t, document, "keydown", (e) => {
    // what nothing in it has a use for
    if (e.key === "Escape" && !e.defaultPrevented && fills(t.root) && meant(t.root, e.target)) fill(t.root);
  });
  on(t, t.root, "keyup", (e) => {
    if (e.key.toLowerCase() === "f") {
      used(e);
      rest_hands(t);
    }
  });
  // After a press the focus is on the table: Enter and Escape are heard there.
  on(t, t.root, "click", (e) => {
    const pressed = e.target.closest("button, summary, [data-row]");
    if (e.detail && pressed && !e.target.closest(".beside")) t.root.focus({ preventScroll: true });
  });
  on(t, window, "blur", () => {
    if (!t.run.name) show(t, null);
  }); // the key went up elsewhere
}

function take_focus(t) {
  const all = whole(t.root);
  if (!all.contains(document.activeElement)) t.root.focus({ preventScroll: true });
}

/** Let go, stop, leave it: the first of these that there is. False where there is none. */
function escape(t) {
  if (t.drag) let_go(t);
  else if (t.stroke) drop_stroke(t);
  else if (t.run.name) rest_hands(t);
  else if (t.done) leave_done(t);
  else if (!t.more.hidden) show_more(t, false);
  else if (t.line.tool) take_tool(t, "");
  else if (step_now(t)) end_mending(t, "The rest is left as you drew it.");
  else if (open_note(t)) leave_note(t);
  else if (t.active) t.active = null;
  else return false;
  t.root.focus({ preventScroll: true });
  t.repaint();
  return true;
}
