/* The strip, laid out: list of steps, note, buttons. */
import { button, on } from "../elements.mjs";
import { fill } from "../full_page.mjs";
import { h } from "../tools.mjs";
import { ask, ask_first_or_not, empty, lay, record, step, to_new } from "./asking.mjs";
import { open_list } from "./picture.mjs";

export function lay_out(t) {
  t.where = h("p", { class: "where", role: "status" });
  t.fill_b = button(t, "fill the page", () => fill(t.root), {
    "aria-keyshortcuts": "F9",
    class: "fill",
    title: "Strip and table over the whole page, and back (F9)",
  });
  t.joint_box = h("select", { "aria-label": "joint the step is about" });
  on(t, t.joint_box, "change", () => ask(t, "joint", JSON.parse(t.joint_box.value)));
  t.list = h("ol", { class: "steps", "aria-label": "steps of the lecture" });
  t.list_b = button(t, "", () => open_list(t, !t.listed), { class: "list-b", title: "The steps, to go to any of them" });
  t.field = h("textarea", {
    maxlength: t.model.get("most"),
    "aria-label": "note",
    "aria-keyshortcuts": "F8",
  });
  t.read = h("p", { class: "read", "aria-live": "polite", tabindex: 0, "aria-label": "what is said" });
  t.said = h("p", { class: "said", role: "status" });
  t.before_b = button(t, "step before", (e) => step(t, -1, e.detail > 0), {
    "aria-keyshortcuts": t.records ? "Alt+PageUp" : "PageUp Alt+PageUp",
    title: t.records ? "Alt and Page Up" : "Page Up",
    class: "before",
  });
  t.next_b = button(t, "next step", (e) => step(t, 1, e.detail > 0), {
    "aria-keyshortcuts": t.records ? "Alt+PageDown" : "PageDown Alt+PageDown",
    title: t.records ? "Alt and Page Down" : "Page Down",
    class: "strong to-next",
  });
  t.record_b = button(t, "record", () => record(t), {
    "aria-keyshortcuts": "Control+Enter",
    title: "Record drawing, joint and note as a step (Control and Enter)",
    class: "strong",
  });
  t.replace_b = button(t, "replace", () => ask(t, "replace", t.field.value), {
    title: "Put what lies on the table in the place of this step",
  });
  t.new_b = button(t, "new note", () => to_new(t), {
    "aria-keyshortcuts": "Escape",
    title: "Go on recording after this step (Escape)",
  });
  t.earlier_b = button(t, "earlier", () => ask(t, "move", -1));
  t.later_b = button(t, "later", () => ask(t, "move", 1));
  t.out_b = button(t, "take out", () => ask(t, "take out"));
  t.empty_b = button(t, "empty strip", () => empty(t), {
    title: "All steps out, for a lecture of your own; the drawings stay, and undo brings the steps back",
  });
  t.undo_b = button(t, "undo", () => ask(t, "undo"), { "aria-keyshortcuts": "Control+Z" });
  t.redo_b = button(t, "redo", () => ask(t, "redo"), { "aria-keyshortcuts": "Control+Y" });
  t.lay_b = button(t, t.records ? "take it up" : "lay it over mine", () => lay(t), {
    title: t.records
      ? "Lay the step on the table as it was recorded; undo on the table takes it back"
      : "Lay the lecture's drawing over yours; undo on the table brings yours back",
  });
  t.ask_b = button(t, "ask first", () => ask_first_or_not(t), {
    title: "Each step is asked before it is shown: where may it go, and why?",
  });
  const row = h(
    "div",
    { class: "row", role: "group", "aria-label": "steps" },
    ...(t.records
      ? [
          t.record_b,
          t.replace_b,
          t.new_b,
          t.before_b,
          t.next_b,
          t.earlier_b,
          t.later_b,
          t.out_b,
          t.empty_b,
          t.undo_b,
          t.redo_b,
        ]
      : [t.before_b, t.next_b, t.ask_b]),
  );
  const head = h("div", { class: "head" }, t.where, ...(t.records ? [t.joint_box] : []), t.fill_b);
  const note = h("div", { class: "note" }, t.records ? t.field : t.read);
  t.root = h(
    "section",
    {
      class: "anim-strip",
      "data-kind": t.model.get("kind"),
      "aria-label": t.records ? "lecture, recording" : "lecture",
    },
    h("div", { class: "desk" }, head, note, h("div", { class: "told" }, t.said, t.lay_b), row, t.list_b, t.list),
  );
}
