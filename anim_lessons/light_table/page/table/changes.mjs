/* Changes of drawings, exposure and settings, the way back, and what is asked of Python. */
import { folded } from "../drawings.mjs";
import { rest_hands } from "./flip_and_play.mjs";
import { guess_key, guided } from "./guide_answer.mjs";
import {
  causes,
  handle_at,
  held,
  in_pass,
  key_of,
  layer_now,
  name_of,
  number,
  settings,
  there,
  untouched,
  wrapped,
} from "./questions.mjs";
import { keep } from "./shelf.mjs";

const AT_REST = 1000; // ms between two changes; Python does not save sooner than the hand is at rest

/** Ask something of Python that is no change. */
export function ask(t, what, more = {}) {
  try {
    t.model.send({ ask: what, ...more });
  } catch {
    t.dead = true;
  }
}

export const turn_to = (t, n) => {
  if (n !== t.model.get("number")) {
    t.model.set("number", n);
    t.model.save_changes();
  }
};

export const with_drawing = (t, limb, next, n = number(t)) =>
  t.pose.drawings.map((drawings, l) =>
    l !== limb ? drawings : drawings.map((p, i) => (i === n - 1 ? next : p)),
  );

export function remember(t) {
  t.past.push({ ...t.pose, lines: t.line.drawn });
  t.future = [];
}

/** Lay a new pose on the table, one revision on, and tell Python and the other views; `swung` is the joint, if
 * no more than a joint was swung on its parent. Lines come along where they changed. */
export function lay(t, { lines = t.line.drawn, ...change }, swung = null) {
  const drawn = lines !== t.line.drawn; // and of a line alone nothing is judged, asked or guessed
  const alone = drawn && Object.keys(change).every((key) => change[key] === t.pose[key]);
  t.pose = { ...t.pose, ...change, revision: (t.top += 1) };
  if (drawn) {
    t.line.drawn = lines;
    t.model.set("lines", { revision: t.top, drawings: lines });
  }
  const of_guide = swung && swung.limb === guided(t)?.limb && swung.joint === guided(t).joint;
  if (of_guide && !t.drag) t.guessed.add(guess_key(t)); // a drag is a guess when it is dropped
  if (!of_guide && !alone) t.guide_since = t.pose.revision;
  if (!alone) t.touched = t.by_hand = true;
  t.done = false;
  t.hint = "";
  const now = performance.now();
  if (t.unsaved === null || now - t.last_sent < AT_REST) t.unsaved = now;
  t.last_sent = now;
  t.unanswered ??= now;
  t.model.set("pose", t.pose);
  try {
    t.model.save_changes();
  } catch {
    t.dead = true;
  }
  keep(t);
}

/** A change in one go, that can be taken back. */
export function alter(t, change) {
  rest_hands(t);
  remember(t);
  lay(t, change);
  t.repaint();
}

/** Python charts that joint, and with the guide on says where it may go; true where that is new. */
export function ask_about(t, joint) {
  const { chart, guide } = settings(t);
  const asked = { chart: name_of(t, joint).joint, guide: guide && name_of(t, joint) };
  if (joint.joint < 1 || JSON.stringify(asked) === JSON.stringify({ chart, guide })) return false;
  t.model.set("settings", { ...settings(t), ...asked });
  t.model.save_changes();
  return true;
}

/** Put a drawing on the table. */
export function go(t, n) {
  rest_hands(t);
  t.hint = "";
  if (!there(t, n)) return;
  const f = causes(t).find((c) => c.drawings.includes(n));
  if (in_pass(t)) t.chosen = null; // inside a pass nothing speaks unasked
  else if (f && t.chosen !== "" && !untouched(t)) t.chosen = key_of(f);
  turn_to(t, n);
  const one = layer_now(t);
  if (one) t.active = { ...one };
  if (one && settings(t).guide) ask_about(t, one);
  t.repaint();
  if (one && t.handles.contains(document.activeElement)) handle_at(t, one).focus({ preventScroll: true });
}

/** Change settings. */
export function set(t, change) {
  t.hint = "";
  t.model.set("settings", { ...settings(t), ...change });
  t.model.save_changes();
  t.repaint();
}

export function trace(t) {
  const before = wrapped(t, number(t) - 1);
  if (there(t, before))
    alter(t, {
      drawings: t.pose.drawings.map((d) =>
        d.map((p, i) => (i === number(t) - 1 ? d[before - 1].map((q) => [...q]) : p)),
      ),
    });
}

export const expose = (t, frames) => alter(t, { exposure: frames });
export const hold_for = (t, by) =>
  alter(t, { exposure: folded(held(t).map((f, i) => (i === number(t) - 1 ? Math.max(1, f + by) : f))) });

/** The drawing whose line is another one; null where there is none. */
const other_line = (a, b) => Object.keys({ ...a, ...b }).map(Number).find((n) => a[n] !== b[n]) ?? null;

function back(t, from, to) {
  if (!from.length || t.drag) return;
  rest_hands(t);
  to.push({ ...t.pose, lines: t.line.drawn });
  const { drawings, exposure, lines } = from.pop();
  if (drawings === t.pose.drawings) turn_to(t, other_line(lines, t.line.drawn) ?? number(t));
  t.last_push = { at: 0, what: "" };
  t.guessed.clear();
  lay(t, { drawings, exposure, lines });
  t.by_hand = false; // what was whole before is not made whole now
  t.repaint();
}

export function undo(t) {
  back(t, t.past, t.future);
}
export function redo(t) {
  back(t, t.future, t.past);
}
