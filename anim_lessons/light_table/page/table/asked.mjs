/* What the assignment says to whoever draws, and by when it is due: in the margin, folded away once drawing has begun. */
import { capital, changed, h, put, say } from "../tools.mjs";
import { untouched } from "./questions.mjs";

export function make_asked(t) {
  t.asked_box = h("details", { class: "asked", open: untouched(t) ? "" : null }, h("summary"), h("div"));
}

export function paint_asked(t) {
  const { text = "", stack = "", due = "" } = t.model.get("asked") ?? {};
  const [words, told] = t.asked_box.children;
  t.asked_box.hidden = !text && !stack && !due;
  say(words, due ? `what is asked, due ${due}` : "what is asked");
  if (changed(t.made_of, told, text + stack)) {
    const parts = [...text.split(/\n\s*\n/), stack && `${capital(stack)}.`].filter(Boolean);
    told.replaceChildren(...parts.map((part) => h("p", {}, part.trim().replace(/\s*\n\s*/g, " "))));
  }
  if (t.asked_folded || untouched(t)) return;
  t.asked_folded = true; // once; whoever opens it again has it open
  put(t.asked_box, { open: null });
}
