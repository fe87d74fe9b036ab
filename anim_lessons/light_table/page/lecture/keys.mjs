/* The keys of the panel and of the strip. */
import { on } from "../elements.mjs";
import { fills, meant } from "../full_page.mjs";
import { used } from "../tools.mjs";
import { ask, keep_note, record, step, to_new } from "./asking.mjs";
import { to_and_fro } from "./panel.mjs";
import { open_list } from "./picture.mjs";
import { panel } from "./questions.mjs";
import { asked } from "./steps.mjs";

const acts = { next: (t) => step(t, 1, true), before: (t) => step(t, -1, true), note: to_and_fro };

export function listen_to_keys(t) {
  // Keys of the whole panel are heard before the table's own, and only where the focus is in this panel; or in nothing at
  // all while it fills the page, for a clicker in the hand knows of no focus.
  on(
    t,
    document,
    "keydown",
    (e) => {
      const what = asked(e, t.records);
      if (!what || !panel(t) || !(panel(t).contains(e.target) || (fills(t.root) && meant(t.root, e.target)))) return;
      used(e);
      acts[what](t);
    },
    { capture: true },
  );
  on(t, t.root, "keydown", (e) => {
    const [name, control] = [e.key.toLowerCase(), e.ctrlKey || e.metaKey];
    if (t.records && control && name === "enter") {
      used(e);
      record(t);
    } else if (t.records && control && (name === "z" || name === "y") && e.target !== t.field) {
      used(e);
      ask(t, name === "y" || e.shiftKey ? "redo" : "undo");
    } else if (name === "escape" && t.listed && t.list.contains(e.target)) {
      used(e);
      open_list(t, false);
      t.list_b.focus({ preventScroll: true });
    } else if (name === "escape" && t.editing !== null) {
      used(e);
      to_new(t);
    } else if (["arrowdown", "arrowup"].includes(name) && t.list.contains(e.target)) {
      used(e);
      step(t, name === "arrowdown" ? 1 : -1);
    } else if (
      name !== "tab" &&
      name !== "escape" &&
      !(name === "enter" && e.shiftKey && e.target !== t.field)
    )
      e.stopPropagation(); // a slip must not cut a cell
  });
  on(t, t.field, "blur", () => keep_note(t));
}
