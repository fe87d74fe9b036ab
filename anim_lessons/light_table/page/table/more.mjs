/* All that is on demand: onion skin, exposure, what is seen on the sheet, how one draws, the file, the keys. */
import { button, on } from "../elements.mjs";
import { fill, fills } from "../full_page.mjs";
import { changed, h, named, put, say } from "../tools.mjs";
import { toggle_guess } from "./by_the_guide.mjs";
import { off, show_keys, show_more } from "./bar.mjs";
import { expose, redo, set, trace } from "./changes.mjs";
import { from_the_middle, roll } from "./flip_and_play.mjs";
import { keep_a_copy, take_the_file } from "./keeping.mjs";
import { work_on } from "./layers.mjs";
import { take_tool } from "./line_hand.mjs";
import { has_under, held, layer_now, layers, name_of, number, settings, there, wrapped } from "./questions.mjs";
import { gone } from "./standing.mjs";

export function make_more(t) {
  t.switches = [];
  const segment = (label, ...inside) =>
    h("div", { class: "part" }, h("p", { class: "k" }, label), h("div", { class: "seg", role: "group", "aria-label": label }, ...inside));
  const chosen = (words, does, is, title = null) => {
    const b = button(t, words, does, { title });
    t.switches.push([b, is]);
    return b;
  };
  const tick = (words, does, is, title) => {
    const b = button(t, words, does, { class: "choose", title });
    t.switches.push([b, is]);
    return b;
  };
  const toggle = (name) => () => set(t, { [name]: !settings(t)[name] });
  const own = (name) => () => {
    t[name] = !t[name];
    t.hint = "";
    t.repaint();
  };
  const [onions, ones, twos] = [
    ["none", "1 + 1", "2 + 2", "3 + 3"].map((words, many) =>
      chosen(words, () => set(t, { onion: many }), () => settings(t).onion === many),
    ),
    chosen("on ones", () => expose(t, 1), () => held(t).every((f) => f === 1), "Hold every drawing for one frame"),
    chosen("on twos", () => expose(t, 2), () => held(t).every((f) => f === 2), "Hold every drawing for two frames"),
  ];
  t.under_b = tick("under-drawing", toggle("under"), () => settings(t).under, "What lies under yours, to be traced");
  t.guess_b = tick("guess first", () => toggle_guess(t), () => settings(t).guess, "Show the circle of a drawing only when its joint is placed by eye");
  t.trace_b = button(t, "trace previous", () => trace(t), { class: "plain", title: "Lay a fresh sheet and trace the drawing before" });
  t.redo_b = button(t, "redo", () => redo(t), { class: "plain", title: "Make it again (Control+Y)" });
  t.roll_b = button(t, "roll", () => roll(t), { class: "plain", title: "Roll slowly through the neighbours" });
  t.layer_choice = h("select", { "aria-label": "work on" });
  on(t, t.layer_choice, "change", () => work_on(t, layers(t)[t.layer_choice.selectedIndex]));
  t.way_choice = h("select", { "aria-label": "in which order" }, ...["straight ahead", "pose to pose"].map((way) => h("option", {}, way)));
  on(t, t.way_choice, "change", () => set(t, { way: t.way_choice.value }));
  t.copy = button(t, "keep a copy", () => keep_a_copy(t), { class: "plain", title: "Download what is on the table as an action file" });
  t.take_file = button(t, "take the file’s", () => take_the_file(t), { class: "plain", title: "Lay what is in the file on the table" });
  t.fill_b = button(t, "fill the page", () => fill_page(t), { class: "plain", "aria-keyshortcuts": "F9", title: "Over the whole page, for a projector, and back (F9)" });
  t.full_b = button(t, "sheet in full", () => show_full(t, true), { title: "Frames, mm and the bend of a joint" });
  t.care_b = button(t, "keys and care", () => show_keys(t, true), { class: "plain", "aria-keyshortcuts": "?" });
  t.more_panel = h(
    "div",
    { class: "choices" },
    segment("onion skin", ...onions),
    segment("exposure", ones, twos, t.full_b),
    h(
      "div",
      { class: "two" },
      h(
        "div",
        { role: "group", "aria-label": "on the sheet" },
        h("p", { class: "k" }, "on the sheet"),
        tick("paths", toggle("paths"), () => settings(t).paths, "Path of action of every joint"),
        tick("joint names", own("names"), () => t.names, "Names of all joints"),
        tick("clean line", own("clean"), () => t.clean, "The figure alone, without bones and ticks of length"),
        tick("lengths in mm", own("mm"), () => t.mm, "How long each part is drawn"),
        tick("from the back", own("from_back"), () => t.from_back, "Turn the sheet over sideways: left and right change places"),
        t.under_b,
        tick("larger", toggle("lecture"), () => settings(t).lecture, "Lecture size, for the back of the class"),
      ),
      h(
        "div",
        { role: "group", "aria-label": "while drawing" },
        h("p", { class: "k" }, "while drawing"),
        tick("pencil", () => take_tool(t, t.line.tool ? "" : "pencil"), () => t.line.tool, "Draw a line over the construction, with a pen, a finger or the mouse"),
        tick("lengths kept", toggle("keep_lengths"), () => settings(t).keep_lengths, "On: a joint swings on its parent. Off: it goes where the hand goes"),
        t.guess_b,
        tick("from the middle", () => from_the_middle(t), () => t.turned, "Begin the stack in its middle, so that the link-up is seen"),
        t.trace_b,
        t.roll_b,
        t.redo_b,
      ),
    ),
    h("div", { class: "two" }, h("label", { class: "choice" }, h("span", { class: "k" }, "work on"), t.layer_choice), h("label", { class: "choice" }, h("span", { class: "k" }, "order"), t.way_choice)),
    t.nudge,
    h("div", { class: "two line" }, h("div", {}, t.copy, t.take_file), h("div", {}, t.fill_b, t.care_b)),
  );
  t.more = h("div", { class: "more", role: "region", "aria-label": "more" }, t.more_panel, t.full, t.care);
  t.more.hidden = true;
}

function fill_page(t) {
  fill(t.root);
  show_more(t, false);
}

function show_full(t, is) {
  t.full_shown = is;
  t.repaint();
}

export function paint_more(t) {
  t.more_panel.hidden = t.keys_shown || t.full_shown;
  t.care.hidden = !t.keys_shown;
  t.full.hidden = t.keys_shown || !t.full_shown;
  if (t.more.hidden) return;
  for (const [b, is] of t.switches) put(b, { "aria-pressed": String(Boolean(is())) });
  off(t.trace_b, !there(t, wrapped(t, number(t) - 1)));
  off(t.redo_b, !t.future.length);
  say(t.fill_b, fills(t.root) ? "back to the notebook" : "fill the page");
  t.under_b.hidden = !has_under(t);
  put(t.roll_b, { "aria-pressed": String(t.run.name === "roll") });
  t.take_file.hidden = !t.head.file || !gone(t);
  paint_choices(t);
}

function paint_choices(t) {
  const all = layers(t);
  const names = all.map((one) =>
    one
      ? `${named(name_of(t, one).joint)}${t.head.limbs.length > 1 ? `, ${named(name_of(t, one).limb)}` : ""}`
      : "all joints",
  );
  if (changed(t.made_of, t.layer_choice, names.join("|")))
    t.layer_choice.replaceChildren(...names.map((name) => h("option", {}, name)));
  t.layer_choice.selectedIndex = all.findIndex((one) => JSON.stringify(one) === JSON.stringify(layer_now(t)));
  t.way_choice.value = settings(t).way;
}

