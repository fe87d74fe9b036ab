/* Kept in the browser, in files, and the way to the kernel. */
import { document_of, worth_offering } from "../drawings.mjs";
import { h } from "../tools.mjs";
import { alter, lay } from "./changes.mjs";
import { paint_head } from "./head.mjs";
import { paint } from "./paint.mjs";
import { saved } from "./questions.mjs";

const run_the_cell = "Run this cell again: what you drew is kept in this browser and will be offered there.";

/** Drawings kept while the kernel was away are offered. */
export function look_on_the_shelf(t) {
  t.shelf = `anim-lessons light table ${t.head.exercise} ${t.head.file}`;
  try {
    const kept = JSON.parse(localStorage.getItem(t.shelf));
    if (worth_offering(kept?.pose, t.head, t.pose)) t.offered = kept;
  } catch { t.can_keep = false; }
}

export function keep(t) {
  clearTimeout(t.keep_timer);
  t.keep_timer = setTimeout(() => keep_now(t), 150);
}

export function keep_now(t) {
  clearTimeout(t.keep_timer);
  t.keep_timer = 0;
  if (t.offered || (saved(t).state !== "failed" && saved(t).revision >= t.pose.revision)) return; // what is offered stays until a choice is made
  try {
    localStorage.setItem(t.shelf, JSON.stringify({ revision: t.pose.revision, time: new Date().toTimeString().slice(0, 5), pose: t.pose }));
    t.kept_revision = t.pose.revision;
    t.can_keep = true;
  } catch { t.can_keep = false; }
}

export function clear_shelf(t) {
  t.kept_revision = null;
  try { localStorage.removeItem(t.shelf); } catch { t.can_keep = false; }
}

export function take_up_kept(t) {
  const { drawings, exposure } = t.offered.pose;
  t.offered = null;
  alter(t, { drawings, exposure });
  t.kept_revision = t.pose.revision; // off the shelf once they are saved
}

export function leave_kept(t) {
  t.offered = null;
  clear_shelf(t);
  paint(t);
}

export function keep_a_copy(t) {
  const url = URL.createObjectURL(new Blob([JSON.stringify(document_of(t.head, t.pose), null, 1) + "\n"], { type: "application/json" }));
  const name = t.head.file.split("/").at(-1).replace(/(\.json)?$/, " copy.json").replaceAll(" ", "_");
  h("a", { href: url, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(url), 10000);
  t.hint = `A copy of the drawings is among your downloads: ${name}`;
  paint_head(t);
}

export function ask(t, what, more = {}) {
  try { t.model.send({ ask: what, ...more }); } catch { t.dead = true; }
}

export function start_again(t) {
  if (t.dead) { keep_now(t); t.hint = t.can_keep ? run_the_cell : "Keep a copy first, then run this cell again."; return paint_head(t); }
  t.unanswered = null;
  lay(t, {});
  ask(t, "verdict");
  paint(t);
}

export function take_the_file(t) {
  if (t.dead) { t.hint = "Run this cell again: it opens the file, and you may leave what is kept in this browser."; return paint_head(t); }
  ask(t, "take the file's");
}
