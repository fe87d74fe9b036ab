/* The number of the drawing in the corner of the sheet, and the legend under the strip. */
import { breadth, SHEET } from "../lines.mjs";
import { call, h, named, pool, put, s, say } from "../tools.mjs";
import { guide_here, guided } from "./guide_answer.mjs";
import { count, in_pass, plans, settings, type, under } from "./questions.mjs";
import { marks_of } from "./strip.mjs";

const BIG = 31; // px
const SMALL = 13;
const MEANINGS = { before: "before", after: "after", under: "under", planned: "planned", way: "", cause: "found", follows: "follows" };
const FOUND = "M8,0l7,4l-7,4z";
const LINE = { way: "M1,4h23M18,1l6,3l-6,3", cause: FOUND, follows: FOUND };
const LEAST = 400; // px of a sheet that has room for more than its number

export function make_legend(t) {
  t.legend = h("p", { class: "legend", "aria-hidden": true });
  t.legend_parts = pool(t.legend, () =>
    h("span", {}, s("svg", { width: 26, height: 8 }, s("path")), h("span")),
  );
}

/** Number, how many, title. Where the number stands nothing moves while it changes. Returns the box they take. */
export function paint_corner(t, n) {
  const [big, small] = [type(t, BIG), type(t, SMALL)];
  const wide = String(count(t)).length * big * 0.56 * t.wide;
  const [x, y] = [small * 1.1, small * 0.9 + big * 0.74];
  const letter = small * 0.54 * t.wide;
  const most = Math.max(8, Math.floor((SHEET * 0.42) / letter));
  const narrow = SHEET / t.units < LEAST; // there the number is enough
  const titled = t.head.title && !narrow && !settings(t).lecture; // a lecture's strip has it, and the plan lies there
  const said = t.corner_words(titled ? 3 : narrow ? 1 : 2);
  [
    [x, y, "sheetno", String(t.showing ?? n)],
    [x + wide + small * 0.5, y, "k", `of ${count(t)}`],
    [x, y + small * 1.5, "k", t.head.title],
  ]
    .slice(0, said.length)
    .forEach(([left, foot, name, text], i) => {
      put(said[i], { x: left.toFixed(1), y: foot.toFixed(1), class: name });
      call(said[i], text, most);
    });
  const title = titled ? Math.min(most, breadth(t.head.title)) * letter : 0;
  return [0, 0, x + Math.max(title, wide + small * (narrow ? 0.5 : 4)), y + small * (titled ? 1.9 : 0.4)];
}

export function paint_legend(t, near) {
  const g = guide_here(t);
  const carrier = g?.tangent ? t.head.limbs[guided(t).limb].joints[guided(t).joint - 1] : "";
  const marks = Object.values(marks_of(t));
  const lies = (side) =>
    side === "under"
      ? settings(t).under && t.head.limbs.some((_, l) => under(t, l))
      : side === "way"
        ? carrier
        : side === "planned"
        ? settings(t).under && plans(t).length
        : near.some((a) => a.side === side) || marks.includes(side);
  const mark = `found cause${in_pass(t) ? " hollow" : ""}`;
  const keys = Object.keys(MEANINGS).filter(lies);
  t.legend_parts(keys.length).forEach((one, i) => {
    const kind = { under: "under-line", planned: "planned", way: "tangent", cause: mark, follows: "found follows" }[keys[i]] ?? `skin ${keys[i]} d1`;
    put(one.firstChild.firstChild, { class: kind, d: LINE[keys[i]] ?? "M1,4h24" });
    say(one.lastChild, MEANINGS[keys[i]] || `${named(carrier)}’${/[^s]s$/.test(carrier) ? "" : "s"} way`);
  });
}
