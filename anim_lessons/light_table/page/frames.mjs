/* Shapes laid out in numbers, in frames that the joints of a limb give. Places in mm, y up; the same in
 * Python: pictures/frames.py. A layer: {fills, lines: [[points, weight, blunt]], dots, masks, pen, solid}. */
import { at, curve, mul, rod } from "./pen.mjs";

export const frame = (o, u, n, k, across = k) => ({ o, x: mul(u, k), y: mul(n, across), k: across });

/** Places of rows, each in the frame it names. */
export const places = (rows, frames) =>
  rows.map(([x, y, f = 0]) => at(frames[f].o, frames[f].x, frames[f].y, x, y));
export function drawn({ rows, smooth, both, ring }, frames, closed) {
  const all = places(both ? [...rows, ...rows.map(([x, y, f]) => [x, -y, f ?? 0]).reverse()] : rows, frames);
  const line = smooth ? curve(all, smooth, closed || Boolean(ring)) : all;
  return ring ? [...line, line[0]] : line;
}
function filled(part, frames) {
  const { rows, rod: half, disc, wool = 0, flat } = part;
  if (half) {
    const k = frames[rows[0][2] ?? 0].k;
    return rod(...places(rows, frames), half[0] * k, half[1] * k, flat);
  }
  if (!disc) return drawn(part, frames, true);
  const [x, y, f = 0] = rows[0];
  return places(
    Array.from({ length: 20 }, (_, i) => {
      const [a, q] = [(i * Math.PI) / 10, disc + wool * (i % 2)];
      return [x + q * Math.cos(a), y + q * Math.sin(a), f];
    }),
    frames,
  );
}
export const layer = ({ fills, lines, dots = [], pen = 1 }, frames) => ({
  fills: fills.map((part) => filled(part, frames)),
  lines: lines.map((line) => [drawn(line, frames), line.weight, line.blunt ?? 0]),
  dots: dots.map((part) => drawn(part, frames, true)),
  masks: [],
  pen,
  solid: fills.some((part) => part.ink),
});

/** A layer of these shapes and lines. */
export const plain = (fills, lines = [], masks = []) => ({
  fills,
  lines,
  dots: [],
  masks,
  pen: 1,
  solid: false,
});
