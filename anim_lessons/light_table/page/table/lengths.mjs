/* Lengths in mm, written beside the parts. */
import { tenth } from "../lines.mjs";
import { place_name } from "../place.mjs";
import { points } from "./questions.mjs";

/** The length of each part beside its middle, and the model's where it is another. */
export function lengths_said(t, on, joints, limb) {
  const p = points(t, limb);
  return t.head.limbs[limb].lengths.map((model, k) => {
    const mm = Math.hypot(p[k + 1][0] - p[k][0], p[k + 1][1] - p[k][1]);
    const [a, b] = [joints[k], joints[k + 1]];
    const middle = [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
    const says = Math.abs(mm - model) < 0.5 ? `${Math.round(mm)}\u00a0mm` : `${tenth(mm)}, not ${tenth(model)}\u00a0mm`;
    const placed = place_name(on, [a, middle, b], 1, says, false);
    return placed && { ...placed, joint: k + 1 };
  });
}
