/* In the place of table/bar.mjs: the buttons under the sheet, those that only look. */
import { key, push } from "../elements.mjs";
import { h, put } from "../tools.mjs";
import { make_keys, off, paint_keys, show_keys, show_more } from "../table/bar.mjs";
import { roll } from "../table/flip_and_play.mjs";
import { guided } from "../table/guide_answer.mjs";
import { written_here } from "./by_the_guide.mjs";

export { off, show_keys, show_more };

export function make_bar(t) {
  make_keys(t);
  t.roll_b = key(t, "roll", () => roll(t), "R", "Roll slowly through the neighbours", { class: "flip" });
  t.bar = h(
    "div",
    { class: "bar", role: "group", "aria-label": "drawing" },
    h("span", { class: "seg" }, t.previous_b, t.next_b),
    t.flip_b,
    t.roll_b,
    t.play_b,
    push(),
    t.guide_b,
  );
}

export function paint_bar(t) {
  paint_keys(t);
  t.guide_b.hidden = !t.model.get("has_guides");
  off(t.guide_b, !guided(t) && !written_here(t).length);
  put(t.roll_b, { "aria-pressed": String(t.run.name === "roll") });
}
