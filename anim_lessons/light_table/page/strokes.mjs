/* Strokes of the pencil as they are painted: mm with y up, pressure 0 to 1. Nothing here knows the page. */

// as in Python's model/lines.py, which says where they come from
export const PLAIN = 0.5;
export const PRESSED = 1;
const [LEAST, LEVELS, DOT] = [0.3, 10, 0.01];

/** A stroke as lines of one width each, [{wide, points}], as Python's `pieces`. */
export function pieces(stroke) {
  const all = stroke.length > 1 ? stroke : [stroke[0], [stroke[0][0] + DOT, ...stroke[0].slice(1)]];
  const found = [];
  let last = null;
  for (let i = 1; i < all.length; i += 1) {
    const [a, b] = [all[i - 1], all[i]];
    const level = Math.floor((LEVELS * ((a[2] ?? PLAIN) + (b[2] ?? PLAIN))) / 2 + 0.5 + 1e-9);
    if (level !== last) found.push({ wide: LEAST + (PRESSED * level) / LEVELS, points: [a] });
    found.at(-1).points.push(b);
    last = level;
  }
  return found;
}
