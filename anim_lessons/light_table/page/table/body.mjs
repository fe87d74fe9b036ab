/* The body that an arm belongs to, and how figures are put on the sheet. */
import { beside, deckhand, means_of, pen_width } from "../deckhand.mjs";
import { trace } from "../kinds.mjs";
import { polyline, tenth } from "../lines.mjs";
import { inked } from "../pen.mjs";
import { put, s } from "../tools.mjs";
import { number, points, to_sheet } from "./questions.mjs";

/** Whether the figure alone is seen, in clean line: while it plays, and when it is finished. */
export const is_clean = (t) => t.done || (t.run.name === "play" && t.showing !== null);

/** The body on a drawing, or null; kept as long as no shoulder moves. */
export function body_on(t, n) {
  const here = t.head.limbs.map((_, l) => points(t, l, n));
  const means = means_of(t.pose.drawings);
  const key = JSON.stringify([here.map((p) => p[0]), means, t.head.limbs.map((l) => l.lengths[0])]);
  const kept = t.made_of.get(t.body);
  if (kept?.key === key) return kept.body;
  const body = deckhand(t.head.limbs, here, means);
  t.made_of.set(t.body, { key, body });
  return body;
}

/** Somebody to whom the arm belongs, pencilled lightly while one draws: scenery, not checked. */
export function paint_body(t, n = t.showing ?? number(t)) {
  const body = body_on(t, n);
  put(t.body, { hidden: body ? null : "", "data-facing": body?.facing ?? null });
  paint_layers(t, t.body, body?.layers ?? [], pen_width(true, is_clean(t)));
}

/** The box of the face on the sheet, which labels keep clear of: [left, top, right, bottom]; null where
 * there is nobody. */
export function face_box(t, n = number(t)) {
  const face = body_on(t, n)?.face;
  if (!face) return null;
  const [a, b] = [to_sheet(t, [face[0], face[3]]), to_sheet(t, [face[2], face[1]])];
  return [Math.min(a[0], b[0]), a[1], Math.max(a[0], b[0]), b[1]];
}

/** Put layers into a group: ink, paper over it, lines inside, layer by layer from the back to the front. */
export function paint_layers(t, g, layers, w) {
  const parts = layers.flatMap((one) => {
    const { ink, paper, lines } = inked(one, w);
    return [
      ["ink", ink],
      ["paper-fill", paper],
      ["ink", lines],
    ].filter(([, shapes]) => shapes.length);
  });
  while (g.children.length > parts.length) g.lastChild.remove();
  while (g.children.length < parts.length) g.append(s("path", { transform: `scale(${1 / FINE})` }));
  parts.forEach(([name, shapes], i) => put(g.children[i], { class: name, d: outlines(t, shapes) }));
}

const FINE = 10; // steps to a unit of the sheet: whole numbers are written and read fastest
/** Closed shapes in mm as a path on the sheet, in steps. */
const outlines = (t, shapes) => {
  let d = "";
  for (const shape of shapes)
    shape.forEach((place, i) => {
      const [x, y] = to_sheet(t, place);
      d += `${i ? (i > 1 ? " " : "L") : "M"}${Math.round(x * FINE)},${Math.round(y * FINE)}`;
    });
  return d.replaceAll("M", "ZM").slice(1) + (d ? "Z" : "");
};

/** The outline of a limb as it shows through the paper, as a path on the sheet. */
export const traced = (t, l, n) => {
  const drawings = t.pose.drawings[l];
  return trace(t.head.limbs[l], points(t, l, n), beside(drawings, n - 1, t.head.loop))
    .map((line) => polyline(line.map((p) => to_sheet(t, p))))
    .join("");
};
/** The same of joints that lie beneath the drawings. */
export const traced_under = (t, l, joints) =>
  trace(t.head.limbs[l], joints)
    .map((line) => polyline(line.map((p) => to_sheet(t, p))))
    .join("");

/** A dot of a joint, for what lies beneath. */
export const joint_dot = ([x, y]) => `M${tenth(x - 2)},${tenth(y)}a2,2 0 1 0 4,0a2,2 0 1 0 -4,0`;
