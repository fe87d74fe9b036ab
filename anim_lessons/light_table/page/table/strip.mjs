/* The exposure strip beside the sheet: a row a drawing, with the gap it comes by and a mark where something was found. */
import { steps } from "../drawings.mjs";
import { on } from "../elements.mjs";
import { tenth } from "../lines.mjs";
import { h, pool, put, s, say, used } from "../tools.mjs";
import { go } from "./changes.mjs";
import { choose_at } from "./choosing.mjs";
import {
  count,
  findings,
  held,
  in_pass,
  is_drawn,
  joint_now,
  limb_now,
  look_first,
  number,
  open_note,
  order,
  stale,
  there,
  wrapped,
} from "./questions.mjs";

const USUAL = 94; // px of the strip, where it is not seen
const LEAST = 24; // px of a row: a target is not smaller
const HELD = { 1: "on ones", 2: "on twos", 3: "on threes", 4: "on fours" };

export function make_strip(t) {
  t.strip_head = h("p", { class: "striphead" }, h("b", {}, "exposure"), " ", h("span"));
  t.lines = s("svg", { role: "group", "aria-label": "exposure sheet" });
  t.rows_box = h("div", { class: "rows" }, t.lines);
  t.expo = h("div", { class: "expo" }, h("div", { class: "inside" }, t.strip_head, t.rows_box));
  t.row_marks = pool(t.lines, () => make_row(t));
  t.here_box = s("rect", { class: "rowhere", x: 2, rx: 3 });
  t.play_mark = s("path", { class: "playing" });
  t.lines.append(t.here_box, t.play_mark);
}

function make_row(t) {
  const g = s(
    "g",
    { role: "button" },
    s("title"),
    s("path", { class: "rule" }),
    s("text", { class: "rn", x: 28, "text-anchor": "end" }),
    s("path", { class: "held" }),
    s("rect", { class: "gap", x: 34 }),
    s("path", { class: "mark" }),
    s("rect", { class: "rowhit", x: 1 }),
  );
  on(t, g, "click", () => press(t, t.stands_for.get(g)));
  on(t, g, "keydown", (e) => {
    if (e.key === "Enter" || e.key === " ") press(t, t.stands_for.get(g));
    else if (e.key === "ArrowDown" || e.key === "ArrowUp") walk(t, e.key === "ArrowDown" ? 1 : -1);
    else return;
    used(e);
  });
  return g;
}

/** Turn to a drawing; where something was found there, it speaks. */
function press(t, n) {
  go(t, n);
  if (marks_of(t)[n]) choose_at(t, n);
}

/** Turn to the row above or below, and take the focus along. */
function walk(t, by) {
  const all = order(t);
  const n = all[(all.indexOf(number(t)) + by + all.length) % all.length];
  go(t, n);
  t.row_marks(count(t))[all.indexOf(n)].focus({ preventScroll: true });
}

export function paint_strip(t) {
  const [l, joint, n, N] = [limb_now(t), joint_now(t), number(t), count(t)];
  const list = order(t);
  const far = steps(t.pose.drawings[l], joint, t.head.loop);
  if (!t.drag) {
    t.scales.bar = Math.max(1, ...far.filter((v, i) => v !== null && is_drawn(t, i + 1)));
    show_head_where_it_fits(t, N);
    t.row_deep = Math.max(LEAST, Math.min(40, ((t.rows_box.clientHeight || 0) - 1) / N));
  }
  const deep = t.row_deep;
  const strip = t.rows_box.clientWidth || USUAL;
  const frames = held(t);
  const even = frames.every((f) => f === frames[0]);
  const marks = marks_of(t);
  const open = open_note(t)?.drawings ?? [];
  say(t.strip_head.lastChild, even ? (HELD[frames[0]] ?? `for ${frames[0]}`) : "mixed");
  put(t.lines, { viewBox: `0 0 ${strip} ${tenth(N * deep)}`, height: tenth(N * deep) });
  t.row_marks(N).forEach((g, i) => {
    const m = list[i];
    const [here, drawn, step] = [m === n, is_drawn(t, m), far[m - 1]];
    const [title, rule, no, hold, bar, mark, hit] = g.children;
    const [top, middle] = [i * deep, (i + 0.5) * deep];
    t.stands_for.set(g, m);
    const found = marks[m] ? `, ${marks[m] === "cause" ? "something was found" : "follows from another"}` : "";
    put(g, {
      tabindex: here ? 0 : -1,
      "aria-current": here ? "true" : null,
      "aria-label": `drawing ${m}, ${HELD[frames[m - 1]] ?? `for ${frames[m - 1]} frames`}${drawn ? "" : ", not drawn yet"}${found}`,
      "data-row": m,
    });
    say(title, marks[m] ? `${found.slice(2)}: press it` : "");
    put(rule, { d: `M6,${tenth(top + 0.5)}H${strip - 6}`, class: i % 4 ? "rule" : "rule four" });
    put(no, { y: tenth(middle + (here ? 5.6 : 5)), class: `rn${here ? " here" : ""}${drawn ? "" : " undrawn"}` });
    say(no, String(m));
    put(hold, {
      d: even ? null : Array.from({ length: Math.min(frames[m - 1] - 1, 4) }, (_, k) => `M${16 + 4 * k},${tenth(middle + 8)}v3`).join("") || null,
    });
    const wide = step === null ? 0 : ((strip - 34 - 20) * Math.min(step, 1.15 * t.scales.bar)) / t.scales.bar;
    put(bar, {
      y: tenth(middle - (drawn ? deep * 0.17 : 0.6)),
      height: tenth(drawn ? deep * 0.34 : 1.2),
      width: tenth(drawn ? Math.max(wide, 1) : 7),
      class: `gap${here ? " here" : ""}${drawn ? "" : " undrawn"}`,
    });
    put(mark, {
      d: `M${strip - 15},${tenth(middle - 6)}l10,6l-10,6z`,
      class: `mark ${marks[m] ?? ""}${open.includes(m) ? " open" : ""}${in_pass(t) || stale(t) || t.drag ? " hollow" : ""}`,
      display: marks[m] ? null : "none",
    });
    put(hit, { y: tenth(top), height: tenth(deep), width: strip - 2 });
  });
  put(t.here_box, { y: tenth(list.indexOf(n) * deep + 0.5), height: tenth(deep), width: strip - 4 });
  paint_play_mark(t);
}

/** In a low window the head makes room, where all rows have it then. */
function show_head_where_it_fits(t, rows) {
  t.strip_head.hidden = false;
  const fits = (box) => box.clientHeight > rows * LEAST;
  t.strip_head.hidden = !fits(t.rows_box) && fits(t.expo.firstChild);
}

/** The row of the drawing that is held up. */
export function paint_play_mark(t) {
  const i = order(t).indexOf(t.showing);
  put(t.play_mark, { d: t.showing ? `M4,${tenth((i + 0.5) * t.row_deep - 8)}v16` : "M0,0" });
}

/** What to mark at a drawing: a cause outweighs what follows from one. In a pass nothing is marked before the drawings beside it
 * are drawn, for with them it may be gone. */
export function marks_of(t) {
  const marks = {};
  if (look_first(t)) return marks;
  const known = in_pass(t) ? (n) => !there(t, n) || is_drawn(t, n) : () => true;
  for (const f of findings(t))
    for (const d of f.drawings.filter((d) => known(wrapped(t, d - 1)) && known(wrapped(t, d + 1))))
      if (f.follows === null) marks[d] = "cause";
      else marks[d] ??= "follows";
  return marks;
}

/** Bring the row of the drawing under work into the scrolled part, moving nothing but that part. */
export function scroll_rows(t) {
  const high = order(t).indexOf(number(t)) * t.row_deep;
  const [first, last] = [high - t.row_deep, high + 2 * t.row_deep - t.rows_box.clientHeight]; // with a neighbour each side
  if (t.rows_box.scrollTop > first) t.rows_box.scrollTop = first;
  else if (t.rows_box.scrollTop < last) t.rows_box.scrollTop = last;
}
