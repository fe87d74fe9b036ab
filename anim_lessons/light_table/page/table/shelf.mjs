/* The shelf: drawings kept in the browser until Python has saved them. */
import { same, worth_offering } from "../drawings.mjs";
import { are_lines } from "../hand_strokes.mjs";
import { saved } from "./questions.mjs";

/** Drawings kept while the kernel was away are offered. */
export function look_on_the_shelf(t) {
  t.shelf = `anim-lessons light table ${t.head.exercise} ${t.head.file}`;
  try {
    const kept = JSON.parse(localStorage.getItem(t.shelf));
    if (!are_lines(kept?.lines ?? {}, kept?.pose?.drawings?.[0]?.length)) delete kept.lines;
    if (worth_offering(kept?.pose, t.head, t.pose, !same(kept.lines ?? {}, t.line.drawn))) t.offered = kept;
  } catch {
    t.can_keep = false;
  }
}

export function keep(t) {
  clearTimeout(t.keep_timer);
  t.keep_timer = setTimeout(() => keep_now(t), 150);
}

export function keep_now(t) {
  clearTimeout(t.keep_timer);
  t.keep_timer = 0;
  // what is offered stays until a choice is made
  if (t.offered || (saved(t).state !== "failed" && saved(t).revision >= t.pose.revision)) return;
  try {
    localStorage.setItem(
      t.shelf,
      JSON.stringify({
        revision: t.pose.revision,
        time: new Date().toTimeString().slice(0, 5),
        pose: t.pose,
        lines: t.line.drawn,
      }),
    );
    t.kept_revision = t.pose.revision;
    t.can_keep = true;
  } catch {
    t.can_keep = false;
  }
}

export function clear_shelf(t) {
  t.kept_revision = null;
  try {
    localStorage.removeItem(t.shelf);
  } catch {
    t.can_keep = false;
  }
}
