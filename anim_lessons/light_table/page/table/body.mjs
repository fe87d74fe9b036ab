/* The body that an arm belongs to. */
import { at, tenth } from "../lines.mjs";
import { put, s } from "../tools.mjs";
import { scale, to_sheet } from "./questions.mjs";

/** Somebody to whom the arm belongs, pencilled lightly where a limb hangs on a shoulder: scenery, not checked. */
export function paint_body(t) {
  const limb = t.head.limbs.findIndex((l) => l.joints[0] === "shoulder");
  const all = limb < 0 ? [] : t.pose.drawings[limb];
  const mean = (j, k) => all.reduce((sum, p) => sum + p.at(j)[k] / all.length, 0);
  if (!t.body.children.length)
    for (const d of [
      "M-2 -14q-26 -8 -44 -6q-26 0 -48 14q-20 14 -22 88M6 14q-8 26 -10 66",
      "M-62 -21q2 -10 -2 -18a27 30 0 1 1 26 0q-2 10 6 20",
      "M-82 -66q30 -16 64 -4q14 1 20 5q-10 2 -20 1M-79 -68q6 -24 32 -24q24 2 28 22",
    ])
      t.body.append(s("path", { d }));
  put(t.body, { hidden: all.length ? null : "" });
  if (!all.length) t.face = null;
  if (!all.length || t.drag) return;
  const [x, y] = to_sheet(t, [mean(0, 0), mean(0, 1)]);
  const k = (t.head.limbs[limb].lengths.reduce((a, b) => a + b, 0) / 145.6) * (scale(t) / 2);
  const facing = left_of_the_body(t, limb) !== t.from_back ? -1 : 1;
  const across = [x - 104 * k * facing, x - 14 * k * facing].sort((a, b) => a - b);
  t.face = [across[0], y - 96 * k, across[1], y - 18 * k];
  for (const part of t.body.children)
    put(part, {
      transform: `translate(${at([x, y])}) scale(${tenth(k * 10 * facing) / 10} ${tenth(k * 10) / 10})`,
    });
}

/** The box of the face, which labels keep clear of; null where there is nobody. */
export const face_box = (t) => t.face;

/** Whether a shoulder is on the left of the body it belongs to: between two shoulders lies the body, and one
 * elbow bends one way. It must not go by where the arm is drawn, or the body changes sides in the middle of
 * the work. */
function left_of_the_body(t, limb) {
  const root = (l) => t.pose.drawings[l].reduce((sum, p) => sum + p[0][0], 0);
  const other = t.head.limbs.findIndex((one, l) => l !== limb && one.joints[0] === "shoulder");
  if (other >= 0) return root(other) > root(limb);
  const [low, high] = t.head.limbs[limb].stops[1] ?? [0, 0];
  return low + high < 0;
}
