/* In the place of table/done.mjs: the figure plays large, in clean line, on the ferry landing. */
import { button } from "../elements.mjs";
import { deep_of } from "../lines.mjs";
import { call, h, s } from "../tools.mjs";
import { begin_done, landing, leave_done, paint_done, play_or_stop } from "../table/done.mjs";

export { begin_done, leave_done, paint_done };
export const look_whether_done = () => {}; // nobody draws here

export function make_done(t) {
  t.done_play = button(t, "stop", () => play_or_stop(t), { class: "done-play" });
  t.done_paces = [2, 1].map((pace) =>
    button(t, pace === 1 ? "on ones" : "on twos", () => {
      t.pace = pace;
      t.repaint("done");
    }),
  );
  t.done_facts = h("p", { class: "rest" });
  t.done_line = h("p", { role: "status" });
  const title = h("p", { class: "done-head" });
  call(title, t.head.title || "The figure alone", 80);
  t.done_panel = h(
    "section",
    { class: "done", "aria-label": "played large" },
    title,
    t.done_play,
    h("div", { class: "seg", role: "group", "aria-label": "played at" }, ...t.done_paces),
    t.done_facts,
    h("span", { class: "push" }),
    t.done_line,
    button(t, "back to the drawings", () => leave_done(t), { "aria-keyshortcuts": "Escape" }),
  );
  t.done_panel.hidden = true;
  for (const d of landing(deep_of(t.head.paper))) t.scenery.append(s("path", { d }));
}
