/* The pen: smooth curves, tubes round bent limbs, outlines grown by ink. Places [x, y] in mm, y up. The
 * same in Python: pictures/pen.py; a test holds the two together. */
import NUMBERS from "./figure.mjs";

const { pen: PEN, tube: TUBE } = NUMBERS;

export const add = (a, b) => [a[0] + b[0], a[1] + b[1]];
export const sub = (a, b) => [a[0] - b[0], a[1] - b[1]];
export const mul = (a, k) => [a[0] * k, a[1] * k];
export const long = (a) => Math.hypot(a[0], a[1]);
export const left = (a) => [-a[1], a[0]];
export const lerp = (a, b, t) => [a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t];
export const dot = (a, b) => a[0] * b[0] + a[1] * b[1];
export const cross = (a, b) => a[0] * b[1] - a[1] * b[0];
export const clamp = (x, low, high) => Math.max(low, Math.min(high, x));
export const soft = (t) => ((t) => t * t * (3 - 2 * t))(clamp(t, 0, 1));
const LEAST = 1e-9; // mm: what is shorter has no direction
const STRAIGHT = 0.02; // radians: two parts that bend less are one line
/** The direction of a, or `otherwise` where a has none. */
export const unit = (a, otherwise = [1, 0]) =>
  ((l) => (l > LEAST ? [a[0] / l, a[1] / l] : otherwise))(long(a));
export const at = (o, u, n, x, y) => [o[0] + u[0] * x + n[0] * y, o[1] + u[1] * x + n[1] * y];
export const reach = (points) => points.reduce((sum, p, i) => sum + (i ? long(sub(p, points[i - 1])) : 0), 0);

/** Direction of a line at each of its points, between the point before and the point after. */
export function sees(points, closed = false) {
  const n = points.length;
  let last = [1, 0];
  return points.map((_, i) => {
    const a = points[closed ? (i + n - 1) % n : Math.max(0, i - 1)];
    const b = points[closed ? (i + 1) % n : Math.min(n - 1, i + 1)];
    last = unit(sub(b, a), last);
    return last;
  });
}

/** A smooth line through points, `n` steps between two: Catmull and Rom's spline with centripetal knots, as
 * cubics (Yuksel, Schaefer and Keyser 2011, Parameterization and applications of Catmull-Rom curves, from
 * memory). */
export function curve(points, n, closed = false) {
  const N = points.length;
  if (N < 2) return points.slice();
  const p = closed
    ? [points[N - 1], ...points, points[0], points[1]]
    : [sub(mul(points[0], 2), points[1]), ...points, sub(mul(points[N - 1], 2), points[N - 2])];
  const knot = p.slice(1).map((b, i) => Math.max(1e-6, Math.sqrt(long(sub(b, p[i])))));
  const out = [];
  for (let i = 1; i < p.length - 2; i += 1) {
    const [a, b, c, d] = [p[i - 1], p[i], p[i + 1], p[i + 2]];
    const [h0, h, h1] = [knot[i - 1], knot[i], knot[i + 1]];
    const lean = (x, y, z, g, k) =>
      [0, 1].map((q) => (y[q] - x[q]) / g - (z[q] - x[q]) / (g + k) + (z[q] - y[q]) / k);
    const [from, to] = [mul(lean(a, b, c, h0, h), h), mul(lean(b, c, d, h, h1), h)];
    for (let s = 0; s < n; s += 1) {
      const t = s / n;
      const [t2, t3] = [t * t, t * t * t];
      const [w0, w1, w2, w3] = [2 * t3 - 3 * t2 + 1, t3 - 2 * t2 + t, 3 * t2 - 2 * t3, t3 - t2];
      out.push([
        b[0] * w0 + from[0] * w1 + c[0] * w2 + to[0] * w3,
        b[1] * w0 + from[1] * w1 + c[1] * w2 + to[1] * w3,
      ]);
    }
  }
  if (!closed) out.push(points[N - 1]);
  return out;
}

const area = (shape) =>
  shape.reduce((sum, p, i) => sum + cross(p, shape[i + 1 === shape.length ? 0 : i + 1]), 0);
/** Counter-clockwise, so that shapes of one layer join. */
export const round = (shape) => (area(shape) < 0 ? shape.slice().reverse() : shape);

/** A shape grown outward by ink `w` mm wide: thin where its edge looks at the light, heavy where it looks
 * away. Where `mask` is 0 it goes under the paper, so that no edge is seen. */
export function grown(shape, w, mask = null) {
  const side = area(shape) < 0 ? 1 : -1; // the outside of a counter-clockwise shape is on its right
  const [ax, ay] = PEN.away;
  return sees(shape, true).map((u, i) => {
    const [x, y] = [-u[1] * side, u[0] * side];
    const shade = 0.5 + 0.5 * (ax * x + ay * y);
    const m = mask ? mask[i] : 1;
    const far = m > 0 ? w * (PEN.least + PEN.more * shade) * m : -w * PEN.under;
    return [shape[i][0] + x * far, shape[i][1] + y * far];
  });
}

/** An inner line: a filled sliver, pointed at its ends; `blunt` 0.5 begins full and runs out. */
export function stroke(points, w, blunt = 0) {
  const n = points.length - 1;
  const half = points.map((_, i) => {
    const s = n ? i / n : 0;
    const belly = Math.max(0, Math.sin(Math.PI * (blunt + (1 - blunt) * s)));
    return (w / 2) * Math.max(PEN.end, belly ** PEN.belly);
  });
  const across = sees(points).map(left);
  const edge = (side) => points.map((p, i) => add(p, mul(across[i], side * half[i])));
  return [...edge(1), ...edge(-1).reverse()];
}

/** Half a turn about a place, from its left side round to its right, the ends left out. */
const cap = (c, dir, r) =>
  Array.from({ length: 9 }, (_, s) => {
    const a = Math.atan2(dir[0], -dir[1]) - (Math.PI * (s + 1)) / 10;
    return [c[0] + r * Math.cos(a), c[1] + r * Math.sin(a)];
  });

/** A straight piece between two places with its half widths there, round at both ends, or flat. */
export function rod(a, b, ra, rb, flat = false) {
  const u = unit(sub(b, a));
  const n = left(u);
  const sides = [at(a, n, u, ra, 0), at(b, n, u, rb, 0)];
  const others = [at(b, n, u, -rb, 0), at(a, n, u, -ra, 0)];
  return flat ? [...sides, ...others] : [...sides, ...cap(b, u, rb), ...others, ...cap(a, mul(u, -1), ra)];
}

/** The outline of a bent limb. points: its joints; r: half widths at them; swell(i, t, side): how much more
 * part i has at t of its way, side 1 is left of the way out; n: steps a part. Returns the edges from the
 * root to the tip, the cap at the tip, the shape, and by side where the inside of the last bend is cut. */
export function tube(points, r, { swell = null, n = TUBE.steps, root = true, tip = true } = {}) {
  const parts = points.length - 1;
  const u = [];
  for (let i = 0; i < parts; i += 1) u.push(unit(sub(points[i + 1], points[i]), u[i - 1]));
  const corner = {};
  const edge = (side) => {
    const lines = u.map((dir, i) =>
      Array.from({ length: n + 1 }, (_, s) => {
        const t = s / n;
        const wide = r[i] + (r[i + 1] - r[i]) * t + (swell ? swell(i, t, side) : 0);
        return add(lerp(points[i], points[i + 1], t), mul(left(dir), side * wide));
      }),
    );
    let out = lines[0];
    for (let i = 1; i < parts; i += 1) {
      const turn = Math.atan2(cross(u[i - 1], u[i]), dot(u[i - 1], u[i]));
      if (Math.abs(turn) <= STRAIGHT) out = [...out, ...lines[i].slice(1)];
      else if (turn * side < 0) {
        // outside of the bend: round it, and the bone pushes it out
        const from = Math.atan2(left(u[i - 1])[1] * side, left(u[i - 1])[0] * side);
        const k = Math.max(3, Math.round(Math.abs(turn) * 8));
        const push = TUBE.bone * Math.min(1, Math.abs(turn) / TUBE.round);
        const arc = Array.from({ length: k - 1 }, (_, s) => {
          const f = (s + 1) / k;
          const q = r[i] * (1 + push * Math.sin(Math.PI * f));
          return [points[i][0] + q * Math.cos(from + turn * f), points[i][1] + q * Math.sin(from + turn * f)];
        });
        const near = n >> 1;
        const [first, last] = [Math.max(1, out.length - near), out.length + arc.length + near];
        out = [...out, ...arc, ...lines[i]];
        for (let pass = 0; pass < 3; pass += 1) {
          const before = out.slice(first - 1, last + 1);
          for (let q = first; q < last; q += 1) {
            const [a, b, c] = [before[q - first], before[q - first + 1], before[q - first + 2]];
            out[q] = [b[0] / 2 + (a[0] + c[0]) / 4, b[1] / 2 + (a[1] + c[1]) / 4];
          }
        }
      } else {
        const cut = meet(out, lines[i], n + 2);
        if (cut) corner[side] = cut[2];
        out = cut
          ? [...out.slice(0, cut[0] + 1), cut[2], ...lines[i].slice(cut[1] + 1)]
          : [...out, ...lines[i]];
      }
    }
    return out;
  };
  const [L, R] = [edge(1), edge(-1)];
  const end = tip ? cap(points[parts], u[parts - 1], r[parts]) : [];
  const start = root ? cap(points[0], mul(u[0], -1), r[0]) : [];
  return { L, R, end, shape: [...L, ...end, ...R.slice().reverse(), ...start], corner, u };
}

/** Where a line first leaves another that it goes on from: [index in a, index in b, place]; only the last
 * `far` pieces of a are looked at, from its end. */
function meet(a, b, far) {
  for (let i = a.length - 2; i >= Math.max(0, a.length - 1 - far); i -= 1) {
    const [p, r] = [a[i], sub(a[i + 1], a[i])];
    for (let j = 0; j < b.length - 1; j += 1) {
      const s = sub(b[j + 1], b[j]);
      const A = cross(r, s);
      if (Math.abs(A) < 1e-12) continue;
      const gap = sub(b[j], p);
      const [t, w] = [cross(gap, s) / A, cross(gap, r) / A];
      if (t >= 0 && t <= 1 && w >= 0 && w <= 1) return [i, j, at(p, r, r, t, 0)];
    }
  }
  return null;
}

/** Whether a place lies in a shape. */
export function inside([x, y], shape) {
  let odd = false;
  for (let i = 0, k = shape.length - 1; i < shape.length; k = i, i += 1) {
    const [a, b] = [shape[i], shape[k]];
    if (a[1] > y !== b[1] > y && x < a[0] + ((b[0] - a[0]) * (y - a[1])) / (b[1] - a[1])) odd = !odd;
  }
  return odd;
}

/** A layer as ink and paper, each a list of shapes that are filled as one (non-zero rule): ink, paper over
 * it, and the lines inside. `w`: width of the pen, mm. */
export function inked({ fills, lines, dots = [], masks = [], pen = 1, solid = false }, w) {
  return {
    ink: fills.map((shape, i) => round(grown(shape, w * pen, masks[i]))),
    paper: solid ? [] : fills.map(round),
    lines: [
      ...lines.map(([points, weight, blunt]) => round(stroke(points, weight * w * pen, blunt))),
      ...dots.map(round),
    ],
  };
}
