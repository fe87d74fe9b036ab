/* Correct it: steps asked of Python, each a ghost to take or to leave. */
import { tenth } from "../lines.mjs";
import { put } from "../tools.mjs";
import { ask, lay, remember, turn_to, with_drawing } from "./changes.mjs";
import { rest_hands } from "./flip_and_play.mjs";
import { guided } from "./guide_answer.mjs";
import { findings, number, open_note, points, stale } from "./questions.mjs";
import { new_mending } from "./state.mjs";

/** The step that is offered; none once the drawings are others than those it was made for. */
export const step_now = (t) =>
  t.mending?.steps && t.mending.revision === t.pose.revision ? t.mending.steps[t.mending.at] : null;

const as_note = ({ drawing, limb, points: to, label, moved: mm }) => ({
  limb,
  ghost: { drawing, points: to, says: label ?? `${tenth(mm)} mm` },
});

/** Ask Python for the correction of one finding, or all (null). */
export function ask_mend(t, finding) {
  if (t.drag || t.offered) return;
  rest_hands(t);
  if (stale(t)) {
    t.hint = "Still looking at what you drew; ask again in a moment.";
    return t.repaint("head");
  }
  if (!findings(t).length) {
    t.hint = "There is nothing to mend.";
    return t.repaint("head");
  }
  t.mending = new_mending(t.pose.revision);
  t.model.set("mended", {}); // so that the same answer twice is an answer twice
  try {
    t.model.save_changes();
  } catch {
    t.dead = true;
  }
  ask(t, "mend", { finding: finding && findings(t).indexOf(finding) });
  t.hint = "Looking for the correction …";
  t.repaint();
}

export function take_up_steps(t) {
  const { revision, steps: found, says } = t.model.get("mended") ?? {};
  if (!t.mending || t.mending.steps || revision !== t.mending.revision || revision !== t.pose.revision)
    return;
  if (!found?.length) return end_mending(t, says || "No small change keeps every rule.");
  Object.assign(t.mending, { steps: found, says });
  t.hint = "";
  turn_to(t, found[0].drawing);
  t.repaint();
}

/** Take the step that is offered, or leave it. */
export function step(t, taken) {
  const { drawing, limb, points: to } = step_now(t) ?? {};
  const l = t.head.limbs.findIndex((one) => one.name === limb);
  if (l < 0 || t.drag) return;
  rest_hands(t);
  if (taken && drawing !== number(t)) {
    turn_to(t, drawing);
    return t.repaint();
  } // it is seen before it is drawn
  if (taken) {
    remember(t);
    lay(t, { drawings: with_drawing(t, l, to, drawing) });
    t.mending.revision = t.pose.revision; // the steps to come are for other drawings
    t.mending.taken += 1;
  }
  t.mending.at += 1;
  const many = t.mending.steps.length;
  if (t.mending.at >= many)
    return end_mending(
      t,
      (t.mending.taken === many && t.mending.says) ||
        `${t.mending.taken} of ${many} step${many === 1 ? "" : "s"} taken.`,
    );
  turn_to(t, t.mending.steps[t.mending.at].drawing);
  t.repaint();
}

/** All steps that are left, in one: one step back undoes them. */
export function take_all(t) {
  if (!step_now(t) || t.drag) return;
  rest_hands(t);
  const { steps, at, taken, says } = t.mending;
  const drawings = t.pose.drawings.map((d) => [...d]);
  for (const { drawing, limb, points: to } of steps.slice(at)) {
    const l = t.head.limbs.findIndex((one) => one.name === limb);
    if (l >= 0) drawings[l][drawing - 1] = to;
  }
  remember(t);
  lay(t, { drawings });
  end_mending(t, taken === at ? says : `${taken + steps.length - at} of ${steps.length} steps taken.`);
}

export function end_mending(t, words) {
  if (!t.mending) return;
  t.mending = null;
  t.hint = words;
  t.repaint();
}

/** The ghost on this drawing of the step offered or else of the open note, its limb, and its first joint that
 * lies elsewhere (-1: no ghost). */
export function ghost_here(t) {
  // one thing at a time: with the circle on the sheet there is no ghost
  const note = step_now(t) ? as_note(step_now(t)) : guided(t) ? null : open_note(t);
  const ghost = note?.ghost?.drawing === number(t) ? note.ghost : null;
  const limb = t.head.limbs.findIndex((l) => l.name === note?.limb);
  const now = ghost && limb >= 0 ? points(t, limb) : [];
  const first = now.findIndex(
    (q, j) => Math.hypot(q[0] - ghost.points[j][0], q[1] - ghost.points[j][1]) > 0.05,
  );
  return { ghost, limb, first };
}

export const step_says = (t) => `On ${step_now(t).drawing}, ${step_now(t).says}`;

export function paint_step(t) {
  if (t.mending && t.mending.revision !== t.pose.revision) {
    t.mending = null;
    t.hint = "You drew on, so the rest of the correction is put away; ask again for it.";
  }
  const one = step_now(t);
  put(t.root, { "data-step": one ? `${t.mending.at + 1} of ${t.mending.steps.length}` : null });
}
