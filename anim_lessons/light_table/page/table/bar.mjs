/* The seven buttons that always stand under the sheet; all others are behind the last. */
import { key, push } from "../elements.mjs";
import { h, put, say } from "../tools.mjs";
import { accept, toggle_guide } from "./by_the_guide.mjs";
import { go, undo } from "./changes.mjs";
import { flip_through, play } from "./flip_and_play.mjs";
import { guided } from "./guide_answer.mjs";
import { make_line_bar, paint_line_bar } from "./line_hand.mjs";
import { goal_now, number, there, wrapped } from "./questions.mjs";

/** The buttons that look, and the last one: those that a page given away has too. */
export function make_keys(t) {
  const turn = (by) => () => {
    if (by > 0) accept(t);
    go(t, wrapped(t, number(t) + by));
  };
  t.previous_b = key(t, "‹", turn(-1), "ArrowLeft", "Put the drawing before on the table", {
    "aria-label": "previous drawing",
    class: "previous",
  });
  t.next_b = key(t, "next drawing", turn(1), "ArrowRight", "Put the next drawing on the table", { class: "next-b" });
  const hint = "Hold to see the drawing before; a short press flips through the neighbours";
  t.flip_b = key(t, "flip", (e) => e.detail === 0 && flip_through(t), "F", hint, { class: "flip" });
  t.play_b = key(t, "play", () => play(t), "P", "Play the stack at its exposure", { class: "play" });
  const where = "Where the joint may go, and what shuts the rest";
  t.guide_b = key(t, "where may it go", () => toggle_guide(t), "W", where, { class: "where" });
  t.more_b = key(t, "more", () => show_more(t, t.more.hidden), "?", "All else, and the keys", {
    class: "more-b",
    "aria-expanded": "false",
  });
  t.more_bar = h("div", { class: "more-bar" }, t.legend, push(), t.more_b);
}

export function make_bar(t) {
  make_keys(t);
  t.undo_b = key(t, "undo", () => undo(t), "Control+Z", "Take the last change back", { class: "undo" });
  t.bar = h(
    "div",
    { class: "bar", role: "group", "aria-label": "drawing" },
    h("span", { class: "seg" }, t.previous_b, t.next_b),
    t.flip_b,
    t.play_b,
    push(),
    t.guide_b,
    t.undo_b,
  );
  make_line_bar(t);
}

export function show_more(t, is) {
  t.more.hidden = !is;
  t.keys_shown = false;
  t.repaint("buttons");
}

export function show_keys(t, is) {
  show_more(t, is);
  t.keys_shown = is;
  t.repaint("buttons");
}

export const off = (b, is) => put(b, { disabled: is ? "" : null });

export function paint_bar(t) {
  paint_keys(t);
  paint_line_bar(t);
  off(t.undo_b, !t.past.length);
}

export function paint_keys(t) {
  const n = number(t);
  off(t.previous_b, !there(t, wrapped(t, n - 1)));
  off(t.next_b, !there(t, wrapped(t, n + 1)));
  put(t.guide_b, { "aria-pressed": String(Boolean(guided(t))) });
  put(t.more_b, { "aria-expanded": String(!t.more.hidden), "aria-pressed": String(!t.more.hidden) });
  const plays = t.run.name === "play";
  say(t.play_b, plays ? "stop" : "play");
  put(t.play_b, { "aria-pressed": String(plays) });
  // one heavy edge on the desk: the voice’s button, else this one where its drawing is drawn
  const one = goal_now(t);
  const waits = one?.drawings.includes(n) && !one.drawn.includes(n);
  t.next_b.classList.toggle("strong", !t.act && !waits);
}
