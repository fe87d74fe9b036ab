/* The pencil line of a drawing: where there is one, it is what the drawing looks like. */
import { polyline, SHEET } from "../lines.mjs";
import { pieces } from "../strokes.mjs";
import { pool, put, s } from "../tools.mjs";
import { deep, number, to_sheet } from "./questions.mjs";

export function make_line(t) {
  t.line.layer = s("svg", { class: "pencil-line clipped" });
  const group = () => t.line.layer.appendChild(s("g", { "aria-hidden": true }));
  [t.line.marks, t.line.wet] = [group(), group()].map((g) => pool(g, () => s("path")));
}

/** The strokes of a drawing, as they lie there now; while one is taken away, those that are left. */
export const strokes_of = (t, n) => (t.stroke?.n === n && t.stroke.left) || t.line.drawn[n] || [];

/** Strokes as paths on the sheet, one for each width. */
export function paths_of(t, strokes) {
  const found = new Map();
  for (const { wide, points } of strokes.flatMap(pieces))
    found.set(wide, (found.get(wide) ?? "") + polyline(points.map((p) => to_sheet(t, p))));
  return [...found].map(([wide, d]) => ({ d, "stroke-width": ((wide * Math.min(SHEET, deep(t))) / 210).toFixed(2) }));
}

export function paint_line(t, n = t.showing ?? number(t)) {
  const strokes = strokes_of(t, n);
  const key = `${t.from_back} ${JSON.stringify(t.head.paper)}`;
  let made = t.made_of.get(strokes);
  if (made?.key !== key) t.made_of.set(strokes, (made = { key, paths: paths_of(t, strokes) }));
  put(t.root, {
    "data-lined": strokes.length ? n : null,
    "data-lines": Object.keys(t.line.drawn).length ? "true" : null,
  });
  t.line.marks(made.paths.length).forEach((line, i) => put(line, made.paths[i]));
}

/** The line of a neighbour, seen through the paper. */
export const line_through = (t, n) =>
  t.line.drawn[n].map((stroke) => polyline([...stroke, stroke[0]].slice(0, Math.max(2, stroke.length)).map((p) => to_sheet(t, p)))).join("");

export const words_of_line = (t, n) => {
  const many = strokes_of(t, n).length;
  return many ? `, with a pencil line of ${many} stroke${many > 1 ? "s" : ""}` : "";
};
