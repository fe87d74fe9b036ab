/* Where each label on the sheet lies: the first free of a fixed list of places, then taken. Nothing here knows the
 * page; units of the sheet, y down; distances are em of the sheet's type, so that every size looks alike. */
import { breadth } from "./lines.mjs";

const sub = (a, b) => [a[0] - b[0], a[1] - b[1]];
const plus = (a, b) => [a[0] + b[0], a[1] + b[1]];
const times = (a, k) => [a[0] * k, a[1] * k];
const far = (a, b) => Math.hypot(a[0] - b[0], a[1] - b[1]);
const between = (a, b, share) => [a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share];
const unit = (v) => times(v, 1 / (Math.hypot(v[0], v[1]) || 1));
const left = (v) => [-v[1], v[0]];
const turned = (v, angle) => [
  v[0] * Math.cos(angle) - v[1] * Math.sin(angle),
  v[0] * Math.sin(angle) + v[1] * Math.cos(angle),
];
const within = (value, least, most) => Math.min(most, Math.max(least, value));

/** A sheet on which nothing is taken yet: its size, the size of its type, and how wide that is; `arrows` and `labels` are
 * boxes that no leader runs through. */
export const field = (size, em, wide = 1) => ({ size, em, wide, taken: [], arrows: [], labels: [] });

/** The same as it is now: what is placed on it later changes the one given no more. */
export const as_now = (on) => ({ ...on, taken: [...on.taken], labels: [...on.labels] });

/** Width of words on it. */
export const width_of = ({ em, wide }, words, size = em, bold = false) =>
  breadth(String(words)) * size * (bold ? 0.6 : 0.56) * wide;

export function take(on, x0, y0, x1, y1) {
  on.taken.push([Math.min(x0, x1), Math.min(y0, y1), Math.max(x0, x1), Math.max(y0, y1)]);
}
export const take_about = (on, [x, y], r) => take(on, x - r, y - r, x + r, y + r);
export function take_line(on, a, b, r) {
  const many = Math.max(1, Math.ceil(far(a, b) / Math.max(2, r)));
  for (let i = 0; i <= many; i += 1) take_about(on, between(a, b, i / many), r);
}

/** All of a closed shape, row by row. */
export function take_shape(on, points) {
  const row = on.em * 0.5;
  const ys = points.map((p) => p[1]);
  const [top, foot] = [Math.max(0, Math.min(...ys)), Math.min(on.size[1], Math.max(...ys))];
  for (let y = top; y < foot; y += row) {
    const middle = Math.min(foot, y + row / 2);
    const cuts = [];
    points.forEach((a, i) => {
      const b = points[(i + 1) % points.length];
      if (a[1] <= middle !== b[1] <= middle) cuts.push(a[0] + ((middle - a[1]) / (b[1] - a[1])) * (b[0] - a[0]));
    });
    cuts.sort((one, two) => one - two);
    for (let k = 0; k + 1 < cuts.length; k += 2) take(on, cuts[k], y, cuts[k + 1], Math.min(foot, y + row));
  }
}

function is_free({ size, em, taken }, box) {
  const edge = em * 0.3;
  if (box[0] < edge || box[1] < edge || box[2] > size[0] - edge || box[3] > size[1] - edge) return false;
  for (const t of taken) if (box[0] < t[2] && t[0] < box[2] && box[1] < t[3] && t[1] < box[3]) return false;
  return true;
}

/** The first centre at which a label w by h is free; its place is then taken. Null where none is. */
export function settle(on, centres, w, h) {
  for (const [x, y] of centres) {
    const box = [x - w / 2, y - h / 2, x + w / 2, y + h / 2];
    if (is_free(on, box)) {
      on.taken.push(box);
      on.labels.push(box);
      return [x, y];
    }
  }
  return null;
}

/** Centre of a label w by h whose edge lies `gap` from a point in a direction. */
const off = (p, dir, gap, w, h) =>
  plus(p, [
    dir[0] * gap + (w / 2) * within(dir[0] * 1.6, -1, 1),
    dir[1] * gap + (h / 2) * within(dir[1] * 1.6, -1, 1),
  ]);

const nearest_edge = (p, c, w, h) => [
  within(p[0], c[0] - w / 2, c[0] + w / 2),
  within(p[1], c[1] - h / 2, c[1] + h / 2),
];

// ---- names of the joints ------------------------------------------------------------------

const SIDES = [1, -1];
const NEAR = [0.75, 1.2, 1.8, 2.6];
const FARTHER = [...NEAR, 3.4, 4.4, 5.6];
const ASLANT = [0, 0.45, -0.45, 0.9, -0.9];

/** The name of joint `i` beside it, square off the limb, on the side that is free; the worked one may go farther,
 * with a leader. Null where there is no room. */
export function place_name(on, joints, i, says, is_worked) {
  const size = on.em * (is_worked ? 1.08 : 1);
  const [w, h] = [width_of(on, says, size, is_worked) + 0.3 * on.em, size * 1.2];
  const along = unit(sub(joints[Math.min(joints.length - 1, i + 1)], joints[Math.max(0, i - 1)]));
  const across = Math.hypot(...along) < 0.5 ? [1, 0] : left(along);
  const start = is_worked ? 0.55 : 0.25;
  const centres = (is_worked ? FARTHER : NEAR).flatMap((gap) =>
    (is_worked ? ASLANT : [0]).flatMap((lean) =>
      SIDES.map((side) =>
        off(
          joints[i],
          plus(times(across, side * Math.cos(lean)), times(along, Math.sin(lean))),
          (start + gap) * on.em,
          w,
          h,
        ),
      ),
    ),
  );
  const edge = (c) => nearest_edge(joints[i], c, w, h);
  const needs = (c) => far(edge(c), joints[i]) > 2 * on.em;
  const led_to = (c) => led(on, joints[i], edge(c), on.em * 1.15);
  // first of all where it needs no leader, or one that crosses nothing
  const at = settle(on, centres.filter((c) => !needs(c) || led_to(c)), w, h) ?? settle(on, centres, w, h);
  return at && { joint: i, says, at, size, leader: needs(at) ? led_to(at) : null, is_worked };
}

/** A line from beside a point to a label's edge; null where it ran through an arrow, for it would look like a part of it, or
 * through another label. */
function led({ arrows, labels }, from, edge, skip) {
  const line = [plus(from, times(unit(sub(edge, from)), skip)), between(from, edge, 0.95)];
  const on_it = Array.from({ length: 21 }, (_, k) => between(...line, k / 20));
  const crosses = ([x0, y0, x1, y1]) => on_it.some(([x, y]) => x > x0 && x < x1 && y > y0 && y < y1);
  return [...arrows, ...labels].some(crosses) ? null : line;
}

// ---- numbers of the path, and rings of the neighbours ----------------------------------------------

const AWAY = [0.3, 0.75, 1.25, 1.9];
const LEAN = [0, 0.4, -0.4, 0.8, -0.8];
const CLOSE = 1.15; // em: dots nearer to each other share a label
const RUN = 2.2; // em from the first to the last of them

/** +1 or -1: the side of the travel that is outward, by the sign of the path's area. Out and back then never meet on
 * a flat path. */
export function outward(path) {
  const area = path.reduce((sum, p, i) => {
    const q = path[(i + 1) % path.length];
    return sum + p[0] * q[1] - q[0] * p[1];
  }, 0);
  return area > 0 ? -1 : 1;
}

/** Dots that stand close together, as runs of places in `path`; `shown` are the places that have a number. */
export function runs_of(path, shown, em) {
  const runs = [];
  for (const i of shown) {
    const last = runs.at(-1);
    if (
      last &&
      last.at(-1) === i - 1 &&
      far(path[i], path[i - 1]) < CLOSE * em &&
      far(path[i], path[last[0]]) < RUN * em
    )
      last.push(i);
    else runs.push([i]);
  }
  return runs;
}

/** Direction in which the label of dot `i` goes; `known` are the places of the path that are drawn. */
function outward_at(path, i, side, known) {
  const count = path.length;
  const [a, b] = [(i + count - 1) % count, (i + 1) % count];
  const along = sub(known.has(b) ? path[b] : path[i], known.has(a) ? path[a] : path[i]);
  return times(left(unit(along)), side);
}

/** A label beside dot `i`, nearer to it than to any other dot; a ring may also stand off its `tip`. */
export function place_number(on, path, i, says, { side, known, ring = false, tip = null }) {
  const w = ring
    ? Math.max(1.4 * on.em, width_of(on, says, on.em, true) + 0.6 * on.em)
    : width_of(on, says) + 0.15 * on.em;
  const h = ring ? 1.4 * on.em : on.em;
  const out = outward_at(path, i, side, known);
  const from = Math.hypot(...out) < 0.5 ? [0, -1] : out;
  const beside = AWAY.flatMap((gap) =>
    LEAN.map((lean) => off(path[i], turned(from, lean), (0.2 + gap) * on.em, w, h)),
  );
  const own = (c) => [...known].every((k) => k === i || far(c, path[k]) > far(c, path[i]) - 0.05 * on.em);
  // a ring that finds no place at its own dot stands off its own tip, rather than at the dot of another
  const at = settle(on, [...beside.filter(own), ...(tip ? off_the_tip(tip, on.em, w, h) : []), ...(ring ? beside : [])], w, h);
  if (!at) return null;
  const edge = nearest_edge(path[i], at, w, h);
  const gap = far(edge, path[i]);
  const leader = gap > 0.9 * on.em && gap < 5 * on.em ? led(on, path[i], edge, 0.4 * on.em) : null;
  return { at, says: String(says), w, h, leader, ring };
}

/** Places about a limb's own end: [its last joint but one, its end]. */
function off_the_tip([before, end], em, w, h) {
  const along = unit(sub(end, before));
  return [1.05, 1.6, 2.4].flatMap((gap) =>
    [0, 0.6, -0.6, 1.2, -1.2, 1.8, -1.8].map((lean) => off(end, turned(along, lean), gap * em, w, h)),
  );
}

// ---- the ghost's label -------------------------------------------------------------------

const GHOST = [20, 32, 46, 62, 80]; // css px from the landing dot
const GHOST_LEAN = [0, 0.35, -0.35, 0.7, -0.7, 1.1, -1.1, 1.5, -1.5];

/** The words of a ghost beside the dot where it lands, on the ghost's side, tied to it by a leader; `px` is one css
 * px in units. */
export function place_ghost(on, land, now, says, px) {
  const size = on.em * 1.2;
  const [w, h] = [width_of(on, says, size, true) + 0.3 * on.em, size * 1.25];
  const away = far(land, now) > 0.1 ? unit(sub(land, now)) : [1, 0];
  const ways = [...GHOST_LEAN, 2, -2, 2.6, -2.6];
  const centres = GHOST.flatMap((gap) =>
    ways.map((lean) => off(land, turned(away, lean), gap * 0.75 * px, w, h)),
  ).filter((c) => far(land, nearest_edge(land, c, w, h)) <= 80 * px);
  const at = settle(on, centres, w, h);
  if (!at) return null;
  return { at, says, w, h, size, leader: [land, nearest_edge(land, at, w, h)] };
}

// ---- reasons round a circle -----------------------------------------------------------------

const REASONS = [0.9, 1.5, 2.3, 3.3, 4.5];
const SPREAD = [0, 10, -10, 20, -20, 32, -32, 44, -44]; // degrees along the part

/** Words outside a circle beside a part of it from one angle to another (degrees), with a leader to the part. */
export function place_reason(on, [cx, cy], radius, from, to, says, bold = false, mirrored = false) {
  const [w, h] = [width_of(on, says, on.em, bold) + 0.3 * on.em, 1.2 * on.em];
  const middle = (from + to) / 2;
  const dir = (angle) => {
    const turn = (angle * Math.PI) / 180;
    return [(mirrored ? -1 : 1) * Math.cos(turn), -Math.sin(turn)];
  };
  const sides = bold ? [1, -1] : [1]; // the open part is named inside the circle, too
  for (const side of sides)
    for (const gap of REASONS)
      for (const by of SPREAD.filter((one) => bold || Math.abs(one) <= (to - from) / 2 + 2)) {
        const d = dir(middle + by); // a narrow open part is named all the same, from where there is room
        const to_it = dir(within(middle + by, from, to));
        const on_it = [cx + to_it[0] * radius, cy + to_it[1] * radius];
        const at = settle(on, [off(on_it, times(d, side), gap * on.em, w, h)], w, h);
        if (!at) continue;
        const edge = nearest_edge(on_it, at, w, h);
        const leader = [plus(on_it, times(d, side * 0.5 * on.em)), between(on_it, edge, 0.9)];
        return { at, says, w, h, bold, leader };
      }
  return null;
}
