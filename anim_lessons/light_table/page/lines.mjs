/* Lines of the pencil and labels beside them, as paths and places on the sheet; units of the sheet, y down. */
import { mitten } from "./arm.mjs";
import { kind } from "./kinds.mjs";

export const SHEET = 594; // units across the sheet: half a millimetre each on A4

const LARGEST = 1e12; // units to a mm at most, on paper that is hardly there
const FARTHEST = 1e7; // units: what lies farther beside the sheet is drawn there

/** The page on which a paper is shown, mm: `page_of` of Python's pictures/skin.py. */
const page_of = ({ width, height }) => [Math.max(width, height / 4), Math.max(height, width / 4)];
/** Units to a mm of paper, and units from the top of its page to the bottom. */
export const scale_of = (paper) => Math.min(LARGEST, SHEET / page_of(paper)[0]);
export const deep_of = (paper) => (SHEET * page_of(paper)[1]) / page_of(paper)[0] || SHEET;
/** Where a place in mm lies on the page, units. */
export const laid = (paper, [x, y]) =>
  [x, paper.height - y].map((mm) => Math.max(-FARTHEST, Math.min(FARTHEST, mm * scale_of(paper))));
/** Where on the paper something lies, mm, from its shares of the page's width and depth. */
export const unlaid = (paper, [across, down]) => [
  (across * SHEET) / scale_of(paper),
  paper.height - (down * deep_of(paper)) / scale_of(paper),
];

export const tenth = (value) => Math.round(value * 10) / 10;
/** Width and height of the paper on its page, within its edge. */
export const paper_box = (paper) => {
  const [width, height] = [paper.width, paper.height].map((mm) =>
    Math.max(1, tenth(mm * scale_of(paper) - 1)),
  );
  return { width, height };
};
export const at = ([x, y]) => `${tenth(x)},${tenth(y)}`;
export const polyline = (points) => (points.length ? "M" + points.map(at).join("L") : "M0,0");

/** The path of action through points: the same curve as in Python's geometry/paths.py, a cubic spline without
 * a break in its bending whose parameter runs with the square root of the distance between points. */
export function smooth(points, closed) {
  const all = closed ? [...points, points[0]] : points;
  // A point that is repeated at once (a hold) is passed once; a loop still ends where it begins.
  const p = all.filter((one, i) => i === 0 || one[0] !== all[i - 1][0] || one[1] !== all[i - 1][1]);
  const gap = p.slice(1).map((b, i) => Math.sqrt(Math.hypot(b[0] - p[i][0], b[1] - p[i][1])));
  const lean = [0, 1].map((k) =>
    slopes(
      gap,
      p.map((one) => one[k]),
      closed,
    ),
  );
  let d = "M" + at(p[0]);
  gap.forEach((h, i) => {
    const handle = (j, way) => [0, 1].map((k) => p[j][k] + (way * lean[k][j] * h) / 3);
    d += `C${at(handle(i, 1))} ${at(handle(i + 1, -1))} ${at(p[i + 1])}`;
  });
  return d + (closed ? "Z" : "");
}

/** Slopes at its knots of the cubic spline through values y, the knots h apart: periodic if closed (the last
 * value is the first), else with the not-a-knot condition at both ends (de Boor 1978, A Practical Guide to
 * Splines, chapter IV, from memory). */
function slopes(h, y, closed) {
  const n = h.length;
  const rise = h.map((gap, i) => (y[i + 1] - y[i]) / gap);
  if (n < 2) return n ? [rise[0], rise[0]] : [0];
  // Row i: lower[i] * s[i-1] + middle[i] * s[i] + upper[i] * s[i+1] = right[i], equal bending from both sides.
  const row = (a, b) => [h[b], 2 * (h[a] + h[b]), h[a], 3 * (h[b] * rise[a] + h[a] * rise[b])];
  if (closed) {
    if (n === 2) return [0, 0, 0]; // there and back on one line
    const s = round_rows(h.map((_, i) => row((i + n - 1) % n, i)));
    return [...s, s[0]];
  }
  if (n === 2) {
    // three points: a parabola
    const middle = (h[1] * rise[0] + h[0] * rise[1]) / (h[0] + h[1]);
    return [2 * rise[0] - middle, middle, 2 * rise[1] - middle];
  }
  // The first two pieces are one cubic, and the last two.
  const end = (h0, h1, r0, r1) => [h1, h0 + h1, ((h0 + 2 * (h0 + h1)) * h1 * r0 + h0 * h0 * r1) / (h0 + h1)];
  const [first, last] = [
    end(h[0], h[1], rise[0], rise[1]),
    end(h[n - 1], h[n - 2], rise[n - 1], rise[n - 2]),
  ];
  const inner = h.slice(1).map((_, i) => row(i, i + 1));
  return solved([[0, first[0], first[1], first[2]], ...inner, [last[1], last[0], 0, last[2]]]);
}

/** Solution of a row of equations, each [lower, middle, upper, right] (elimination; no row has to be exchanged
 * here). */
function solved(rows) {
  const s = [];
  const [up, right] = [[], []];
  rows.forEach(([lower, middle, upper, r], i) => {
    const left = middle - (i ? lower * up[i - 1] : 0);
    up[i] = upper / left;
    right[i] = (r - (i ? lower * right[i - 1] : 0)) / left;
  });
  for (let i = rows.length - 1; i >= 0; i -= 1)
    s[i] = right[i] - (i < rows.length - 1 ? up[i] * s[i + 1] : 0);
  return s;
}

/** The same where the first row reaches back to the last unknown and the last row on to the first (Sherman and
 * Morrison). */
function round_rows(rows) {
  const n = rows.length;
  const [back, on] = [rows[0][0], rows[n - 1][2]];
  const corner = -rows[0][1];
  const plain = rows.map(([lower, middle, upper, right], i) => [
    lower,
    i === 0 ? middle - corner : i === n - 1 ? middle - (back * on) / corner : middle,
    upper,
    right,
  ]);
  const [s, z] = [
    solved(plain),
    solved(
      plain.map(([lower, middle, upper], i) => [
        lower,
        middle,
        upper,
        i === 0 ? corner : i === n - 1 ? on : 0,
      ]),
    ),
  ];
  const share = (s[0] + (back * s[n - 1]) / corner) / (1 + z[0] + (back * z[n - 1]) / corner);
  return s.map((one, i) => one - share * z[i]);
}

/** Half widths of a limb's contour at its joints: it tapers from the body to the tip. */
export function widths(lengths, scale) {
  if (!lengths.length) return [6 * scale];
  const reach = lengths.reduce((sum, l) => sum + l, 0);
  const last = lengths.length;
  return Array.from({ length: last + 1 }, (_, j) => {
    const along = j / last;
    const least = Math.min(lengths[Math.max(0, j - 1)], lengths[Math.min(last - 1, j)]) * 0.35;
    return Math.min(reach * (0.052 - 0.0355 * along ** 0.8), least) * scale;
  });
}

/** Contour round a bent limb; open at the body end if asked. */
export function outline(points, r, open = false) {
  const n = points.length - 1;
  if (n === 0) {
    const [[x, y], q] = [points[0], r[0]];
    return `M${at([x - q, y])}A${q},${q} 0 1 0 ${at([x + q, y])}A${q},${q} 0 1 0 ${at([x - q, y])}Z`;
  }
  const along = [];
  for (let i = 0; i < n; i += 1) {
    const [dx, dy] = [points[i + 1][0] - points[i][0], points[i + 1][1] - points[i][1]];
    const long = Math.hypot(dx, dy);
    along.push(long < 1e-6 ? (along[i - 1] ?? [1, 0]) : [dx / long, dy / long]);
  }
  // Edge on one side, from body to tip: arcs round the outside of a bend, a corner on its inside.
  const edge = (side) => {
    const off = (j, i) => [
      points[j][0] + side * along[i][1] * r[j],
      points[j][1] - side * along[i][0] * r[j],
    ];
    const parts = [{ to: off(0, 0) }];
    for (let i = 0; i < n; i += 1) {
      if (i > 0) {
        const bend = along[i - 1][0] * along[i][1] - along[i - 1][1] * along[i][0];
        if (side * bend > 1e-6) parts.push({ to: off(i, i), arc: r[i] });
        else {
          const corner = crossing(off(i - 1, i - 1), off(i, i - 1), off(i, i), off(i + 1, i));
          if (corner) parts[parts.length - 1] = { ...parts.at(-1), to: corner };
          else parts.push({ to: off(i, i) });
        }
      }
      parts.push({ to: off(i + 1, i) });
    }
    return parts;
  };
  const [left, right] = [edge(1), edge(-1)];
  const draw = (part, sweep) =>
    part.arc ? `A${tenth(part.arc)},${tenth(part.arc)} 0 0 ${sweep} ${at(part.to)}` : "L" + at(part.to);
  let d = "M" + at(left[0].to);
  for (let i = 1; i < left.length; i += 1) d += draw(left[i], 1);
  d += `A${tenth(r[n])},${tenth(r[n])} 0 0 1 ${at(right.at(-1).to)}`;
  // Going back, an arc belongs to the part one came along.
  for (let i = right.length - 2; i >= 0; i -= 1) d += draw({ to: right[i].to, arc: right[i + 1].arc }, 1);
  return open ? d : d + `A${tenth(r[0])},${tenth(r[0])} 0 0 1 ${at(left[0].to)}Z`;
}

/** Places and half widths of a limb's outline: an arm's as a mitten, by the figure's numbers. */
export function hand_of(joints, points, r) {
  if (kind(joints) !== "arm") return [points, r];
  return mitten({ lengths: [0] }, points);
}

/** Where the stretches a-b and c-d cross, or null. */
function crossing(a, b, c, d) {
  const [rx, ry, sx, sy] = [b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]];
  const area = rx * sy - ry * sx;
  if (Math.abs(area) < 1e-9) return null;
  const t = ((c[0] - a[0]) * sy - (c[1] - a[1]) * sx) / area;
  const u = ((c[0] - a[0]) * ry - (c[1] - a[1]) * rx) / area;
  return t >= 0 && t <= 1 && u >= 0 && u <= 1 ? [a[0] + t * rx, a[1] + t * ry] : null;
}

const MOST_TICKED = 1000; // mm of a segment that is ticked: of a longer one nobody counts them

/** Ticks across a segment every 10 mm, and the long one at the model sheet's length. */
export function ticks(from, to, mm, scale) {
  const long = Math.hypot(to[0] - from[0], to[1] - from[1]) || 1;
  const [ux, uy] = [(to[0] - from[0]) / long, (to[1] - from[1]) / long];
  const across = (far, half) => {
    const [x, y] = [from[0] + ux * far, from[1] + uy * far];
    return `M${at([x - uy * half, y + ux * half])}L${at([x + uy * half, y - ux * half])}`;
  };
  let short = "";
  if (mm <= MOST_TICKED) for (let m = 10; m < mm - 3; m += 10) short += across(m * scale, 2.4);
  return [short, across(mm * scale, 12)];
}

// letters of the usual width that some words are as wide as
const BROAD = /[WM@%\p{sc=Han}\p{sc=Hira}\p{sc=Kana}\p{sc=Hang}\p{Emoji_Presentation}]/u;
export const breadth = (words) =>
  [...words].reduce((sum, c) => sum + (/[\p{M}\p{Cf}]/u.test(c) ? 0 : BROAD.test(c) ? 1.75 : 1), 0);

