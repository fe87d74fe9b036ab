/* What is done with kept drawings, with the file and with a kernel that has stopped: the buttons of the head. */
import { document_of } from "../drawings.mjs";
import { h } from "../tools.mjs";
import { alter, ask, lay } from "./changes.mjs";
import { clear_shelf, keep_now } from "./shelf.mjs";

const run_the_cell = "Run this cell again: what you drew is kept in this browser and will be offered there.";

export function take_up_kept(t) {
  const { pose, lines = {} } = t.offered;
  t.offered = null;
  alter(t, { drawings: pose.drawings, exposure: pose.exposure, lines });
  t.kept_revision = t.pose.revision; // off the shelf once they are saved
}

export function leave_kept(t) {
  t.offered = null;
  clear_shelf(t);
  t.repaint();
}

export function keep_a_copy(t) {
  const url = URL.createObjectURL(
    new Blob([JSON.stringify(document_of(t.head, t.pose, t.line.drawn), null, 1) + "\n"], { type: "application/json" }),
  );
  const name = t.head.file
    .split("/")
    .at(-1)
    .replace(/(\.json)?$/, " copy.json")
    .replaceAll(" ", "_");
  h("a", { href: url, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(url), 10000);
  t.hint = `A copy of the drawings is among your downloads: ${name}`;
  t.repaint("head");
}

export function start_again(t) {
  if (t.dead) {
    keep_now(t);
    t.hint = t.can_keep ? run_the_cell : "Keep a copy first, then run this cell again.";
    return t.repaint("head");
  }
  t.unanswered = null;
  lay(t, { lines: { ...t.line.drawn } }); // all once more
  ask(t, "verdict");
  t.repaint();
}

export function take_the_file(t) {
  if (t.dead) {
    t.hint = "Run this cell again: it opens the file, and you may leave what is kept in this browser.";
    return t.repaint("head");
  }
  ask(t, "take the file's");
}
