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
  all.slice(1).forEach((to, i) => {
    const [a, b] = [all[i], to].map(([x, y, pressure = PLAIN]) => [x, y, pressure]);
    const parts = Math.max(1, Math.ceil(LEVELS * Math.abs(b[2] - a[2]) - 1e-9));
    const on = (k) => a.map((v, j) => v + ((b[j] - v) * k) / parts);
    for (let k = 1; k <= parts; k += 1) {
      const [from, next] = [on(k - 1), on(k)];
      const level = Math.floor((LEVELS * (from[2] + next[2])) / 2 + 0.5 + 1e-9);
      if (level !== last) found.push({ wide: LEAST + (PRESSED * level) / LEVELS, points: [from] });
      found.at(-1).points.push(next);
      last = level;
    }
  });
  return found;
}
