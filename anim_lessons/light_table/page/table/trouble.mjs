/* What the voice says where something keeps from going on: drawings in the browser's own store, a kernel gone, a file not saved. */
import { capital } from "../tools.mjs";
import { keep_a_copy, leave_kept, start_again, take_up_kept } from "./keeping.mjs";
import { saved } from "./questions.mjs";
import { gone, kept_words, not_saved } from "./standing.mjs";

/** The thing to do that goes with what is said, and the key for it. */
export const act = (label, does, key = "Enter") => ({ label, does, key });

export function offered(t) {
  if (!t.offered) return null;
  return {
    kind: "trouble",
    head: "Drawings are kept here.",
    says: `Drawings from ${t.offered.time} are kept in this browser and are not in the file.`,
    act: act("take up the kept drawings", () => take_up_kept(t)),
    seconds: [act("leave them", () => leave_kept(t), "")],
  };
}

export function nobody(t) {
  if (!gone(t)) return null;
  return {
    kind: "trouble",
    head: "Nobody is checking.",
    says: t.hint || "You can go on drawing.",
    act: act("start again", () => start_again(t), ""),
  };
}

export function unsaved(t) {
  if (!not_saved(t)) return null;
  const why = saved(t).state === "failed" ? saved(t).why || "the folder cannot be written" : kept_words(t).words;
  return {
    kind: "trouble",
    head: saved(t).state === "failed" ? "Not saved." : "Not saved yet.",
    says: `${capital(why.replace(/^not saved( yet)?: /, ""))}.`,
    act: act("save elsewhere", () => keep_a_copy(t), ""),
  };
}
