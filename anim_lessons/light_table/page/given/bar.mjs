/* In the place of table/bar.mjs: the buttons under the sheet, those that only look. */
import { key, push } from "../elements.mjs";
import { h, put, say } from "../tools.mjs";
import { go } from "../table/changes.mjs";
import { flip_through, play, roll } from "../table/flip_and_play.mjs";
import { guided } from "../table/guide_answer.mjs";
import { number, there, wrapped } from "../table/questions.mjs";
import { toggle_guide, written_here } from "./by_the_guide.mjs";

export function make_bar(t) {
  const turn = (by) => () => go(t, wrapped(t, number(t) + by));
  t.previous_b = key(t, "‹", turn(-1), "ArrowLeft", "Put the drawing before on the table", {
    "aria-label": "previous drawing",
    class: "previous",
  });
  t.next_b = key(t, "next drawing", turn(1), "ArrowRight", "Put the next drawing on the table", { class: "next-b" });
  const hint = "Hold to see the drawing before; a short press flips through the neighbours";
  t.flip_b = key(t, "flip", (e) => e.detail === 0 && flip_through(t), "F", hint, { class: "flip" });
  t.roll_b = key(t, "roll", () => roll(t), "R", "Roll slowly through the neighbours", { class: "flip" });
  t.play_b = key(t, "play", () => play(t), "P", "Play the stack at its exposure", { class: "play" });
  const where = "Where the joint may go, and what shuts the rest";
  t.guide_b = key(t, "where may it go", () => toggle_guide(t), "W", where, { class: "where" });
  t.more_b = key(t, "more", () => show_more(t, t.more.hidden), "?", "All else, and the keys", {
    class: "more-b",
    "aria-expanded": "false",
  });
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
  t.more_bar = h("div", { class: "more-bar" }, t.legend, push(), t.more_b);
}

export function show_more(t, is) {
  t.more.hidden = !is;
  t.keys_shown = false;
  t.repaint("buttons");
}

export function paint_bar(t) {
  const n = number(t);
  const off = (b, is) => put(b, { disabled: is ? "" : null });
  off(t.previous_b, !there(t, wrapped(t, n - 1)));
  off(t.next_b, !there(t, wrapped(t, n + 1)));
  t.guide_b.hidden = !t.model.get("has_guides");
  off(t.guide_b, !guided(t) && !written_here(t).length);
  put(t.guide_b, { "aria-pressed": String(Boolean(guided(t))) });
  put(t.more_b, { "aria-expanded": String(!t.more.hidden), "aria-pressed": String(!t.more.hidden) });
  put(t.roll_b, { "aria-pressed": String(t.run.name === "roll") });
  const plays = t.run.name === "play";
  say(t.play_b, plays ? "stop" : "play");
  put(t.play_b, { "aria-pressed": String(plays) });
  t.next_b.classList.toggle("strong", !t.act);
}
