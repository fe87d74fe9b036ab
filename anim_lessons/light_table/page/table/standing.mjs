/* Where the table stands: what is checked, what is saved, and in which state it is. */
import { put } from "../tools.mjs";
import {
  behind,
  causes,
  count,
  LATE,
  late,
  layer_now,
  name_of,
  number,
  saved,
  settings,
  SILENCE,
  silent,
  stale,
  untouched,
  verdict,
  withheld,
} from "./questions.mjs";

export const HEADROOM = 300; // ms of silence after which the table says that it is waiting

/** Where the table stands, in the word that data-state says. */
export function standing(t) {
  if (t.drag?.going) return "dragging";
  if (gone(t)) return "kernel-gone";
  if (stale(t)) return performance.now() - t.last_sent >= HEADROOM ? "waiting" : t.settled;
  if (saved(t).state === "failed") return (t.settled = "not-saved");
  // a verdict that is withheld says neither clean nor findings
  if (untouched(t) || withheld(t)) return (t.settled = "untouched");
  return (t.settled = causes(t).length || verdict(t).passed === false ? "findings" : "clean");
}

/** Nobody is checking. */
export const gone = (t) => t.dead || silent(t);

/** It is not saved, and said so. */
export const not_saved = (t) => !gone(t) && (told_of_it(t) || late(t));

export function paint_standing(t) {
  const state = standing(t);
  put(t.root, {
    "data-drawing": number(t),
    "data-drawings": count(t),
    "data-state": state,
    "data-showing": t.showing,
    "data-lecture": settings(t).lecture ? "true" : null,
    "data-layer": layer_now(t) ? name_of(t, layer_now(t)).joint : null,
    "data-from-back": t.from_back ? "true" : null,
    "data-figure": t.clean ? "clean" : null,
    "data-verdict": stale(t) || t.drag?.going || gone(t) ? "waiting" : "fresh",
  });
  look_again(t);
}

/** What is saved, in few words; `failed` where it is not and somebody has to know. */
export function kept_words(t) {
  const file = saved(t);
  const failed = not_saved(t);
  const words = (text) => ({ words: text, failed });
  if (file.state === "failed" && !gone(t))
    return words(`not saved: ${file.why || "the folder cannot be written"}`);
  if (file.state === "saving" && !gone(t)) return words(`not saved yet: ${file.why}`);
  if (file.state === "elsewhere" && !behind(t)) return words(`saved ${file.at ?? ""}, in ${file.file}`);
  if (t.drag?.going) return words("not saved yet");
  if (gone(t)) return words(kept_here(t) ? "kept in this browser" : "not kept: keep a copy");
  if (late(t)) return words("not saved yet: the disk does not answer");
  if (behind(t)) return words("saving");
  if (standing(t) === "waiting") return words("checking");
  if (file.state === "saved") return words(`saved ${file.at ?? ""}`.trim());
  if (!file.file) return words("");
  return words(verdict(t).given ? "as given" : "as in the file");
}

/** What there is to say of the file, in whole sentences: Python's, or where none come what the page knows by itself. */
export function told_words(t) {
  const kept = `Your drawings ${kept_here(t) ? "are kept in this browser" : "are not kept in this browser: keep a copy"}.`;
  if (!gone(t) && saved(t).state === "saving") return `${saved(t).says} ${kept}`;
  if (!late(t) || (!gone(t) && told_of_it(t))) return gone(t) ? "" : (saved(t).says ?? "");
  const [why, then] = t.dead
    ? ["the kernel has stopped", "Run this cell again"]
    : gone(t)
      ? [
          "the kernel does not answer",
          "Wait for the cell that is still running, or interrupt it; if none is, restart the kernel and run this cell again",
        ]
      : ["the kernel answers, the disk or the network folder does not", "Wait, or save elsewhere"];
  return `Nothing has been saved for ${LATE / 1000} s or more: ${why}. ${kept} ${then}.`;
}

/** Python has said itself why they are not saved. */
const told_of_it = (t) => ["failed", "saving"].includes(saved(t).state);

// what is offered stays on the shelf until a choice is made, and nothing newer goes there
const kept_here = (t) => t.can_keep && !(t.offered && behind(t));

/** The table says something else after some silence: it is painted again then. */
function look_again(t) {
  clearTimeout(t.timer);
  t.timer = 0;
  if (t.drag) return;
  const now = performance.now();
  const due = behind(t) && t.unsaved !== null ? [t.unsaved + LATE + 1] : [];
  if (stale(t) && !silent(t)) due.push(t.last_sent + HEADROOM, (t.unanswered ?? now) + SILENCE + 1);
  const next = Math.min(...due.filter((when) => when > now));
  if (next < Infinity) t.timer = setTimeout(() => t.repaint("head"), next - now + 1);
}
