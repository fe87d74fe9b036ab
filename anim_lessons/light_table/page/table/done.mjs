/* All rules are kept: the loop plays at once, large; and what is handed in. */
import { button } from "../elements.mjs";
import { deep_of } from "../lines.mjs";
import { h, put, s } from "../tools.mjs";
import { ask, set } from "./changes.mjs";
import { guided } from "./guide_answer.mjs";
import { begin_done, landing, leave_done, make_pace, MAKING, paint_done as paint } from "./large.mjs";
import { in_pass, stale, verdict } from "./questions.mjs";

export { begin_done, leave_done };

export function paint_done(t) {
  t.paper_b.hidden = !Object.keys(t.model.get("pencil") ?? {}).length;
  paint(t);
}

export function make_done(t) {
  const paces = make_pace(t);
  const film_b = button(t, "save the moving picture", () => {
    t.done_told = MAKING;
    ask(t, "film", { paper: t.paper_b.getAttribute("aria-pressed") === "true" });
    t.repaint("done");
  });
  t.paper_b = button(t, "drawings from paper", () => put(t.paper_b, { "aria-pressed": String(t.paper_b.getAttribute("aria-pressed") !== "true") }), {
    "aria-pressed": "true",
    title: "In the moving picture; else the figure that is built on the joints",
  });
  const hand_in_b = button(t, "how to hand it in", () => {
    t.done_told = hand_in_words(t);
    t.repaint("done");
  });
  const back_b = button(t, "back to the drawings", () => leave_done(t), { "aria-keyshortcuts": "Escape" });
  t.done_panel = h(
    "section",
    { class: "done", "aria-label": "finished" },
    h(
      "div",
      { role: "status" },
      h("p", { class: "done-head" }, "Every rule is kept."),
      h("p", {}, "The rules are not the judge of charm. You are."),
    ),
    t.done_play,
    paces,
    t.done_care,
    t.done_facts,
    h("span", { class: "push" }),
    t.done_line,
    t.paper_b,
    film_b,
    hand_in_b,
    back_b,
  );
  t.done_panel.hidden = true;
  for (const d of landing(deep_of(t.head.paper))) t.scenery.append(s("path", { d }));
}

/** What is handed in, where it lies, to whom, and what comes after. */
function hand_in_words(t) {
  const { file, folder, homework, next } = t.head;
  const lies = folder ? `${folder}/${file}` : file;
  const making = t.done_told.startsWith(MAKING) ? `${MAKING} ` : "";
  return (
    `${making}Run the check cell of ${homework ? `the homework, homework/${homework}` : "the notebook"}. If all lines say PASS, ` +
    `give ${lies} to your instructor, as your class does it.${next ? ` Then: ${next}.` : ""}`
  );
}

/** After an answer: whether the hand has just made it whole. */
export function look_whether_done(t) {
  if (stale(t)) return;
  const kept = verdict(t).passed === true && !in_pass(t);
  const just_now = kept && t.was_kept === false && t.by_hand && !verdict(t).given;
  t.was_kept = kept;
  look_whether_drawn_through(t);
  if (just_now && t.head.file) begin_done(t);
}

/** A layer is drawn through: the guide is put away, so that what comes next is heard. */
function look_whether_drawn_through(t) {
  const now = in_pass(t);
  if (t.was_in_pass && !now && t.by_hand && guided(t)) set(t, { guide: null });
  t.was_in_pass = now;
}
