/* In the place of table/more.mjs: how the drawings are looked at, the sheet in full, a copy of them, the keys. */
import { button } from "../elements.mjs";
import { h, put } from "../tools.mjs";
import { show_keys } from "../table/bar.mjs";
import { set } from "../table/changes.mjs";
import { from_the_middle } from "../table/flip_and_play.mjs";
import { keep_a_copy } from "../table/keeping.mjs";
import { has_under, settings } from "../table/questions.mjs";

export function make_more(t) {
  t.switches = [];
  const one = (words, does, is, more) => {
    const b = button(t, words, does, more);
    t.switches.push([b, is]);
    return b;
  };
  const part = (label, ...inside) =>
    h("div", { class: "part" }, h("p", { class: "k" }, label), h("div", { class: "seg", role: "group", "aria-label": label }, ...inside));
  const tick = (words, does, is, title) => one(words, does, is, { class: "choose", title });
  const setting = (words, name, title) =>
    tick(words, () => set(t, { [name]: !settings(t)[name] }), () => settings(t)[name], title);
  const own = (words, name, title) => tick(words, () => change(t, name, !t[name]), () => t[name], title);
  const pace = (words, frames) => one(words, () => change(t, "pace", frames), () => t.pace === frames);
  const onion = (words, many) => one(words, () => set(t, { onion: many }), () => settings(t).onion === many);
  t.under_b = setting("what lies under", "under", "Plans, or an under-drawing");
  t.copy = button(t, "keep a copy", () => keep_a_copy(t), { class: "plain", title: "Download the drawings as an action file, to draw on in the workbook" });
  t.full_b = button(t, "sheet in full", () => change(t, "full_shown", true), { class: "plain", title: "Frames, mm and the bend of a joint" });
  t.care_b = button(t, "keys and care", () => show_keys(t, true), { class: "plain", "aria-keyshortcuts": "?" });
  const words = { role: "group", "aria-label": "on the sheet" };
  t.more_panel = h(
    "div",
    { class: "choices" },
    part("onion skin", ...["none", "1 + 1", "2 + 2", "3 + 3"].map(onion)),
    part("played", pace("as exposed", null), pace("on ones", 1), pace("on twos", 2)),
    h(
      "div",
      words,
      h("p", { class: "k" }, "on the sheet"),
      setting("paths", "paths", "Path of action of every joint"),
      own("joint names", "names", "Names of all joints"),
      own("from the back", "from_back", "Turn the sheet over sideways: left and right change places"),
      tick("from the middle", () => from_the_middle(t), () => t.turned, "Begin the stack in its middle, so that the link-up is seen"),
      t.under_b,
      setting("larger", "lecture", "Lecture size, for the back of the class"),
    ),
    h("div", { class: "two line" }, h("div", {}, t.full_b, t.copy), h("div", {}, t.care_b)),
  );
  t.more = h("div", { class: "more", role: "region", "aria-label": "more" }, t.more_panel, t.full, t.care);
  t.more.hidden = true;
}

function change(t, name, value) {
  t[name] = value;
  t.hint = "";
  t.repaint();
}

export function paint_more(t) {
  t.more_panel.hidden = t.keys_shown || t.full_shown;
  t.care.hidden = !t.keys_shown;
  t.full.hidden = t.keys_shown || !t.full_shown;
  if (t.more.hidden) return;
  for (const [b, is] of t.switches) put(b, { "aria-pressed": String(Boolean(is())) });
  t.under_b.hidden = !has_under(t);
}
