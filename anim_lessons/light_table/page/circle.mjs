/* Where may a joint go: angles and parts of the circle round its parent; mm, degrees counter-clockwise. */
import { half, RAD } from "./drawings.mjs";

/** The same angle from 0 (in) to 360 (out). */
export const whole = (degrees) => ((degrees % 360) + 360) % 360;

/** Whether an angle lies in a part of the circle, ends included; a part may run over 360. */
export const lies_in = (angle, [from, to]) =>
  whole(angle - from) <= to - from + 1e-9 || whole(from - angle) < 1e-9;

export const GATE = 15; // mm: how long the mark is at each end of an open part
const SEEN = 0.5; // degrees: no eye tells less, and borders are known to no more
/** Whether an angle lies in a part, or so close to it that no eye tells. */
export const seems_in = (angle, [from, to]) => lies_in(angle, [from - SEEN, to + SEEN]);

/** Place at an angle on a circle. */
export const on_circle = ([x, y], radius, angle) => [
  x + radius * Math.cos(angle * RAD),
  y + radius * Math.sin(angle * RAD),
];

/** Points along an arc, both ends included. */
export function arc_points(centre, radius, from, to, every = 3) {
  const many = Math.max(1, Math.ceil((to - from) / every));
  return Array.from({ length: many + 1 }, (_, i) =>
    on_circle(centre, radius, from + ((to - from) * i) / many),
  );
}

/** Strokes across an arc, as pairs of points: the sign of a part that is shut. A short part gets one. */
export function strokes(centre, radius, from, to, long, every = 2.6) {
  const many = Math.max(1, Math.round((to - from) / every));
  return Array.from({ length: many }, (_, i) => {
    const angle = from + ((to - from) * (i + 0.5)) / many;
    return [on_circle(centre, radius - long / 2, angle), on_circle(centre, radius + long / 2, angle)];
  });
}

/** The middle of the open part that is nearest to an angle: who goes to its edge on every drawing is led away from the swing.
 * The angle itself where it is open already; null where nothing is. */
export function nearest_open(angle, allowed) {
  if (allowed.some((part) => lies_in(angle, part))) return whole(angle);
  let [best, least] = [null, Infinity];
  for (const [from, to] of over_zero(allowed)) {
    const far = Math.min(Math.abs(half(from - angle)), Math.abs(half(to - angle)));
    if (far < least) [best, least] = [whole((from + to) / 2), far];
  }
  return best;
}

/** Parts in rising order, with those that meet at 0 degrees put together: the last one then runs over 360. */
function over_zero(parts) {
  const [first, last] = [parts[0], parts.at(-1)];
  if (parts.length < 2 || first[0] !== 0 || last[1] !== 360) return parts;
  return [...parts.slice(1, -1), [last[0], 360 + first[1]]];
}

/** Shut parts as they are spoken of: neighbours with the same words are one, over 0 degrees too. */
export function spoken_parts(excluded) {
  const parts = [];
  for (const part of [...excluded].sort((a, b) => a.from - b.from)) {
    const last = parts.at(-1);
    if (last && last.says === part.says && part.from - last.to < 1e-6)
      parts[parts.length - 1] = { ...last, to: part.to };
    else parts.push({ ...part });
  }
  const [first, last] = [parts[0], parts.at(-1)];
  if (parts.length > 1 && first.says === last.says && first.from < 1e-6 && last.to > 360 - 1e-6) {
    parts.shift();
    parts[parts.length - 1] = { ...last, to: 360 + first.to };
  }
  return parts;
}
