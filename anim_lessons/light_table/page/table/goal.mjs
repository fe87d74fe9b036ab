/* The goal line: what is asked, and how far it is; what is saved. */
import { button } from "../elements.mjs";
import { call, h, pool, put, s, say } from "../tools.mjs";
import { go } from "./changes.mjs";
import { work_on } from "./layers.mjs";
import { causes, goal_now, goals, look_first, place_of, verdict, withheld } from "./questions.mjs";
import { kept_words } from "./standing.mjs";

const WIDE = { now: [9, 2], later: [4, 1.5] }; // px of a tick and between two
const MOST = { now: 200, later: 96 }; // px that the ticks of one step take

export function make_goal(t) {
  t.tab_box = h("div", { class: "tabs", role: "group", "aria-label": "what lies on the sheet" });
  t.goal_title = h("p", { class: "title" });
  t.goal_box = h("div", { class: "goal", role: "group", "aria-label": "what is asked, and how far" });
  t.goal_steps = pool(t.goal_box, () => make_step(t));
  t.kept_line = h("p", { class: "saved" });
  t.header = h("header", {}, t.tab_box, t.goal_title, t.goal_box, h("span", { class: "push" }), t.kept_line);
}

function make_step(t) {
  const made = button(t, "", () => choose_step(t, t.stands_for.get(made)), { class: "step" });
  made.append(h("span", { class: "words" }), s("svg", { "aria-hidden": true }, s("path"), s("path")));
  return made;
}

/** Work on that layer: on the first drawing of it that is not drawn, or where one is. */
function choose_step(t, one) {
  work_on(t, place_of(t, one));
  const first = one.drawings.find((n) => !one.drawn.includes(n));
  if (first) go(t, first);
}

export function paint_goal(t) {
  const all = goals(t);
  const now = goal_now(t);
  t.goal_title.hidden = all.length > 0;
  t.goal_box.hidden = !all.length;
  if (!all.length) call(t.goal_title, title_words(t), 80);
  t.goal_steps(all.length).forEach((b, i) => {
    const one = all[i];
    const is = one === now;
    t.stands_for.set(b, one);
    const [far, many] = [one.drawn.length, one.drawings.length];
    say(b.children[0], `${one.name}${is ? `${/\d$/.test(one.name) ? ":" : ""} ${far} of ${many}` : ""}${one.done ? " ✓" : ""}`);
    put(b, {
      "aria-label": `${one.name}, ${one.done ? "done" : `${far} of ${many} drawn`}`,
      "aria-current": is ? "step" : null,
      title: is ? null : `Work on ${one.name.toLowerCase()}`,
      "data-layer": one.joint,
      "data-drawn": `${far} of ${many}`,
    });
    paint_ticks(b.children[1], one, is ? "now" : "later");
  });
  const { words, failed } = kept_words(t);
  say(t.kept_line, words);
  put(t.kept_line, { class: failed ? "saved failed" : "saved" });
}

/** One tick a drawing: full where it is drawn. */
function paint_ticks(svg, one, kind) {
  const [tick, gap] = WIDE[kind];
  const many = one.drawings.length;
  const step = Math.min(tick + gap, MOST[kind] / many);
  const wide = Math.max(1, step * (tick / (tick + gap)));
  const drawn = new Set(one.drawn);
  const box = (i) =>
    `M${(i * step + 0.5).toFixed(1)},0.5h${wide.toFixed(1)}v4h-${wide.toFixed(1)}z`;
  const [full, empty] = svg.children;
  put(svg, { width: Math.ceil(many * step + 1), height: 5 });
  put(full, { class: "pip full", d: one.drawings.map((n, i) => (drawn.has(n) ? box(i) : "")).join("") || null });
  put(empty, { class: "pip", d: one.drawings.map((n, i) => (drawn.has(n) ? "" : box(i))).join("") || null });
}

/** What stands there where nothing is to be drawn layer by layer. */
function title_words(t) {
  const many = causes(t).length;
  const v = verdict(t);
  const title = t.head.title || t.head.exercise;
  if (withheld(t) || look_first(t) || !v.findings || !t.head.file) return title;
  return `${title}: ${v.passed ? "every rule is kept" : many ? `${many} to mend` : "not all that is asked"}`;
}
