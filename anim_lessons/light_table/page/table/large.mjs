/* The loop plays large, in clean line, on the ferry landing: what the desk and a page that is given away have alike. */
import { button } from "../elements.mjs";
import { SHEET } from "../lines.mjs";
import { h, put, say } from "../tools.mjs";
import { go } from "./changes.mjs";
import { play, rest_hands } from "./flip_and_play.mjs";
import { count, held } from "./questions.mjs";

export const MAKING = "Making the moving picture …";

/** What plays; the group of its paces is given back. */
export function make_pace(t) {
  t.done_play = button(t, "stop", () => play_or_stop(t), { class: "done-play" });
  t.done_paces = [2, 1].map((pace) =>
    button(t, pace === 1 ? "on ones" : "on twos", () => {
      t.pace = pace;
      t.repaint("done");
    }),
  );
  t.done_facts = h("p", { class: "rest" });
  t.done_care = h("p", { class: "rest" });
  t.done_line = h("p", { class: "rest", role: "status" });
  return h("div", { class: "seg", role: "group", "aria-label": "played at" }, ...t.done_paces);
}

/** Sea, ferry and gull, in sheet units: scenery, and nothing of it is the learner's. */
export function landing(deep) {
  const sea = 0.7 * deep;
  const wave = (x, y, wide) => `M${x},${y}q${wide / 6},-5 ${wide / 3},0t${wide / 3},0t${wide / 3},0`;
  const [x, y] = [0.81 * SHEET, sea];
  return [
    `M0,${sea}H${SHEET}`,
    `M${x - 12},${y - 3}l108,-5l-14,21h-86z`,
    `M${x + 4},${y - 4}v-18h66l6,14M${x + 16},${y - 22}v-13h38l5,13M${x + 27},${y - 35}v-13h14v13`,
    `M${x + 14},${y - 13}a3,3 0 1 0 .1,0M${x + 28},${y - 13}a3,3 0 1 0 .1,0M${x + 42},${y - 13}a3,3 0 1 0 .1,0`,
    `M${x + 36},${y - 52}q-6,-7 1,-11q7,-3 2,-9q-2,-3 4,-7`,
    `M${0.93 * SHEET},${0.3 * deep}q5,-12 10,-3q8,-10 14,1`,
    ...[[0.02, 0.78, 34], [0.1, 0.86, 42], [0.71, 0.77, 38], [0.88, 0.8, 46], [0.68, 0.84, 30], [0.76, 0.92, 50]].map(
      ([a, b, wide]) => wave(a * SHEET, b * deep, wide),
    ),
  ];
}

export function begin_done(t) {
  t.done = true;
  t.done_told = "";
  t.pace = null;
  t.active = null;
  t.more.hidden = true;
  go(t, 1);
  t.repaint();
  if (!t.still.matches) play(t);
  t.root.focus({ preventScroll: true });
}

export function leave_done(t) {
  t.done = false;
  t.pace = null;
  rest_hands(t);
  t.repaint();
  t.root.focus({ preventScroll: true });
}

export function play_or_stop(t) {
  if (t.still.matches) t.agreed = true; // it was asked for here
  play(t);
  t.repaint("done");
}

export function paint_done(t) {
  put(t.root, { "data-done": t.done ? "true" : null });
  t.done_panel.hidden = !t.done;
  if (!t.done) return;
  const frames = held(t).reduce((sum, f) => sum + (t.pace ?? f), 0);
  const plays = t.run.name === "play";
  say(t.done_play, plays ? "stop" : "play");
  const pace = t.pace ?? (held(t).every((f) => f === held(t)[0]) ? held(t)[0] : null);
  t.done_paces.forEach((b, i) => put(b, { "aria-pressed": String(pace === 2 - i) }));
  const seconds = (frames / t.head.rate).toFixed(2);
  t.done_facts.hidden = Boolean(t.done_told);
  say(t.done_facts, `${count(t)} drawings, ${frames} frames, ${seconds} s at ${t.head.rate} frames a second`);
  const care = plays
    ? "P or stop holds it. If flicker troubles you, stop it and step by hand."
    : "It stands still, for your machine asks for less motion. Playing flickers.";
  say(t.done_care, care);
  t.done_care.hidden = !plays && !t.still.matches;
  say(t.done_line, t.done_told.replace(MAKING, () => t.model.get("film").says || MAKING));
}
