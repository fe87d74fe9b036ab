/* What the assignment says to whoever draws, and by when it is due: in the margin, folded away once drawing has begun. */
import { on } from "../elements.mjs";
import { capital, changed, h, put, say } from "../tools.mjs";
import { untouched, verdict } from "./questions.mjs";

const LEAST = 84; // px: with less of it in sight it is folded
const LAID_OUT = 300; // px: less deep the margin is before its first picture

export function make_asked(t) {
  t.asked_box = h("details", { class: "asked", open: untouched(t) ? "" : null }, h("summary"), h("div"));
  on(t, t.asked_box.firstChild, "click", () => put(t.asked_box, { "data-by-hand": "" }));
  watch_edges(t);
}

/** Words that go on below their place fade out there, so that no line is cut through. */
function watch_edges(t) {
  const boxes = [t.voice, t.asked_box];
  const look = () => {
    make_room(t);
    fold_where_short(t);
    for (const box of boxes) put(box, { "data-more": goes_on(box) ? "" : null });
  };
  const seen = new ResizeObserver(look);
  for (const box of boxes) {
    on(t, box, "scroll", look, { passive: true });
    for (const part of [box, ...box.children]) seen.observe(part);
  }
  t.life.signal.addEventListener("abort", () => seen.disconnect());
}

const BLANK = 4; // px below the letters of a last line
const goes_on = (box) => box.scrollHeight - box.scrollTop - box.clientHeight > BLANK;

/** Before anything is drawn it is read, and the chart, which is empty then, gives it way where there is too little room; when
 * drawing has begun it gives way itself. */
function make_room(t) {
  const box = t.asked_box;
  if (!box.open || t.asked_folded || "byHand" in box.dataset || !goes_on(box)) return;
  if (verdict(t).given) return put(box, { "data-needs-room": "" });
  t.asked_folded = true;
  put(box, { open: null });
}

/** Where there is room for a line or two of it only, the words on what to do next are worth more. */
function fold_where_short(t) {
  const { clientHeight: seen } = t.asked_box;
  if (t.asked_folded || !t.asked_box.open || !seen || seen >= LEAST || t.margin.clientHeight < LAID_OUT || !goes_on(t.asked_box)) return;
  t.asked_folded = true;
  put(t.asked_box, { open: null });
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
