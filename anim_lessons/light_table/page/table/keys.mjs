/* The keyboard of the whole table. */
import { on } from "../elements.mjs";
import { used } from "../tools.mjs";
import { ask_for_place } from "./by_the_guide.mjs";
import { go, redo, undo } from "./changes.mjs";
import { let_go } from "./drag.mjs";
import { CALM, hold_up, rest_hands, show } from "./flip_and_play.mjs";
import { next_layer } from "./layers.mjs";
import { ask_mend, end_mending, step_now } from "./mending.mjs";
import { causes, count, open_note } from "./questions.mjs";

/** What a letter or a named key does with the table in focus. */
const plain = {
  PageUp: (t) => t.previous_b.click(),
  PageDown: (t) => t.next_b.click(),
  Home: (t) => go(t, 1),
  End: (t) => go(t, count(t)),
  t: (t) => t.trace_b.click(),
  m: (t) => t.middle_b.click(),
  r: (t) => t.roll_b.click(),
  p: (t) => t.play_b.click(),
  1: (t) => t.ones_b.click(),
  2: (t) => t.twos_b.click(),
  l: (t) => t.length_b.click(),
  a: (t) => t.paths_b.click(),
  o: (t) => t.onion_b.click(),
  u: (t) => t.under_b.hidden || t.under_b.click(),
  g: (t) => t.lecture_b.click(),
  "?": (t) => t.care_b.click(),
  w: (t) => t.guide_b.click(),
  q: (t) => t.guess_b.hidden || t.guess_b.click(),
  e: (t) => ask_for_place(t, "asked"),
  n: (t) => ask_for_place(t, "open"),
  s: (t) => t.back_b.click(),
  j: (t) => next_layer(t),
  h: (t, e) =>
    ask_mend(t, e.shiftKey ? null : causes(t).includes(open_note(t)) ? open_note(t) : (causes(t)[0] ?? null)),
  x: (t) => step_now(t) && t.leave_b.click(),
};
// while the key is held, six a second; what a held key switched on and off would flash
const goes_on = ["PageUp", "PageDown"];

export function listen_to_keys(t) {
  on(t, t.root, "keydown", (e) => {
    if (e.defaultPrevented) return;
    if (e.target.closest("select")) return e.stopPropagation(); // its letters and arrows are its own
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
    if (e.altKey) return;
    if (name === "Enter" && step_now(t) && !e.repeat && !e.target.closest("button, [role=button], summary")) {
      used(e);
      t.take_b.click();
    } else if (name === "Escape" && (t.drag || t.active || t.run.name || t.mending)) {
      used(e);
      if (t.drag) let_go(t);
      else if (t.run.name) rest_hands(t);
      else if (t.mending) end_mending(t, "The rest is left as you drew it.");
      else {
        t.active = null;
        document.activeElement?.blur?.();
        t.root.focus({ preventScroll: true });
      }
      t.repaint();
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
    } else if (name !== "Tab" && name !== "Escape" && !(name === "Enter" && e.shiftKey)) e.stopPropagation();
  });
  on(t, t.root, "keyup", (e) => {
    if (e.key.toLowerCase() === "f") {
      used(e);
      rest_hands(t);
    }
  });
  on(t, window, "blur", () => {
    if (!t.run.name) show(t, null);
  }); // the key went up elsewhere
}
