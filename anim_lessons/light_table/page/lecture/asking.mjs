/* What is asked of Python: to go to a step, to record one, to keep its note. */
import { SILENCE } from "../asking.mjs";
import { asks_first, stand, steps, table } from "./questions.mjs";
import { neighbour } from "./steps.mjs";

const SOON = 20; // ms after which a message that waits is tried again

export function ask(t, what, more) {
  t.revision = Math.max(t.revision, t.model.get("answered")) + 1;
  clearTimeout(t.timer);
  t.timer = setTimeout(() => unheard(t), SILENCE);
  t.queue.push({ ask: what, what: more, revision: t.revision });
  pass_on(t);
  t.repaint();
}

/** A joint moved just now may still be on its way to Python, by another line: a step must not be recorded
 * without it. */
function pass_on(t) {
  clearTimeout(t.waiting);
  const { verdict = "fresh", state } = table(t)?.dataset ?? {};
  if (verdict !== "fresh" && state !== "kernel-gone") {
    t.waiting = setTimeout(() => pass_on(t), SOON);
    return;
  }
  try {
    while (t.queue.length) t.model.send(t.queue.shift());
  } catch {
    unheard(t);
  }
}

function unheard(t) {
  clearTimeout(t.waiting);
  if (t.queue.length) t.revision = t.queue[0].revision - 1; // what was not sent gets no answer
  t.queue = [];
  t.silent = true;
  give_back(t);
  t.repaint();
}

/** A note that was not taken goes back into the field. */
export function give_back(t) {
  if (t.unsaid && steps(t).length <= t.unsaid.steps && !t.field.value && t.editing === null)
    t.draft = t.field.value = t.unsaid.note;
  t.unsaid = null;
}

export function keep_note(t) {
  if (!t.records) return;
  if (t.editing === null) t.draft = t.field.value;
  else if (steps(t)[t.editing] && steps(t)[t.editing].says !== t.field.value)
    ask(t, "note", { at: t.editing, says: t.field.value });
}

/** Put the note of a step into the field, or the new one (null). */
function edit(t, i) {
  keep_note(t);
  t.editing = i;
  t.field.value = i === null ? t.draft : (steps(t)[i]?.says ?? "");
}

export function go(t, i) {
  if (t.records) edit(t, i);
  t.aim = { at: i, asking: false };
  ask(t, "go", i);
}

/** On or back by a step; a step is asked before it is shown. `over`: with the focus to its joint, where the
 * table's keys are heard. */
export function step(t, by, over = false) {
  const here = stand(t);
  t.hands_over = over && !t.records;
  if (by > 0 && here.asking) return go(t, here.at);
  const to = neighbour(here.at, by, steps(t).length);
  if (to === null) return;
  if (by < 0 || !asks_first(t)) return go(t, to);
  t.aim = { at: to, asking: true };
  ask(t, "question", to);
}

export function lay(t) {
  ask(t, "lay");
  // the button goes away, and what comes next is drawn
  t.hands_over = true;
  table(t)?.focus({ preventScroll: true });
}

/** An empty strip, for a lecture of one's own. */
export function empty(t) {
  t.editing = null;
  ask(t, "empty");
  t.field.focus({ preventScroll: true });
}

export function record(t) {
  const note = t.field.value;
  t.editing = null;
  t.draft = t.field.value = "";
  t.unsaid = { note, steps: steps(t).length };
  ask(t, "record", note);
  t.field.focus({ preventScroll: true });
}

export function to_new(t) {
  edit(t, null);
  t.repaint();
  t.field.focus({ preventScroll: true });
}

export function ask_first_or_not(t) {
  t.model.set("asks_first", !asks_first(t));
  t.model.save_changes();
  t.repaint();
}
