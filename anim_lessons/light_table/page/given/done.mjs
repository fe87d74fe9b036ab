/* In the place of table/done.mjs: the figure plays large, in clean line, on the ferry landing. */
import { button } from "../elements.mjs";
import { deep_of } from "../lines.mjs";
import { call, h, s } from "../tools.mjs";
import { begin_done, landing, leave_done, make_pace, paint_done } from "../table/large.mjs";

export { begin_done, leave_done, paint_done };
export const look_whether_done = () => {}; // nobody draws here

export function make_done(t) {
  const paces = make_pace(t);
  const title = h("p", { class: "done-head" });
  call(title, t.head.title || "The figure alone", 80);
  t.done_panel = h(
    "section",
    { class: "done", "aria-label": "played large" },
    title,
    t.done_play,
    paces,
    t.done_care,
    t.done_facts,
    h("span", { class: "push" }),
    t.done_line,
    button(t, "back to the drawings", () => leave_done(t), { "aria-keyshortcuts": "Escape" }),
  );
  t.done_panel.hidden = true;
  for (const d of landing(deep_of(t.head.paper))) t.scenery.append(s("path", { d }));
}
