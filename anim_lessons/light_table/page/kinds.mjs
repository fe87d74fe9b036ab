/* How each kind of limb is built on its joints: arm, pennant, mooring rope, lantern, buoy, and a tube for
 * the rest. Every length is a share of the limb, so a part that grows is seen. Places in mm, y up. The
 * same in Python: pictures/kinds.py; a test holds the two together. */
import NUMBERS from "./figure.mjs";
import { arm, mitten } from "./arm.mjs";
import { drawn, frame, layer, places, plain } from "./frames.mjs";
import {
  add,
  at,
  clamp,
  cross,
  curve,
  dot,
  left,
  lerp,
  long,
  mul,
  reach,
  sees,
  soft,
  sub,
  tube,
  unit,
} from "./pen.mjs";

const { fist: FIST, held: HELD, pennant: PENNANT, rope: ROPE } = NUMBERS;
const { tube: TUBE, lantern: LANTERN, buoy: BUOY } = NUMBERS;

/** What a limb is, told by the names of its joints. */
export function kind(joints) {
  if (joints.length === 1) return "buoy";
  if (joints[0] === "shoulder" && joints.length > 2 && joints.length < 6) return "arm";
  if (joints.length > 2 && joints[0] === "hand" && joints[1] === "top") return "pennant";
  if (joints[0] === "staff") return "cloth";
  if (joints[0] === "post") return "rope";
  if (joints[0] === "hook" && joints.length === 2) return "lantern";
  return "tube";
}

// ---- limbs ----

/** A fist on what it holds, with its cuff and its sleeve: [sleeve, back of the hand, cuff, fist]. */
function held(c, along, L) {
  const u = unit(HELD.from);
  const n = dot(left(along), u) < 0 ? mul(left(along), -1) : left(along);
  const wrist = at(c, along, n, HELD.wrist[0] * L, HELD.wrist[1] * L);
  const frames = [frame(c, along, n, L), frame(wrist, u, left(u), L)];
  return [...HELD.layers.map((one) => layer(one, frames)), layer(FIST, [frame(c, along, left(along), L)])];
}

/** Head and foot of a cloth: its joints are its head, the foot hangs from it. */
function hung(j, staff) {
  const n = clamp(Math.round(96 / (j.length - 1)), 2, PENNANT.steps);
  const L = reach(j);
  const head = curve(j, n);
  const dir = sees(head);
  const N = head.length - 1;
  const back = Math.round(N * PENNANT.late);
  const down = head.map((_, i) => {
    const late = dir[Math.max(0, i - back)];
    const square = dot(left(late), staff) > 0 ? mul(left(late), -1) : left(late);
    const free = add(square, mul(late, PENNANT.way));
    return unit(lerp(mul(staff, -1), free, soft((i / N) * PENNANT.square)), mul(staff, -1));
  });
  const deep = (s) => PENNANT.hoist * L * ((1 - s) * (1 - PENNANT.fly) + PENNANT.fly);
  const foot = head.map((p, i) => add(p, mul(down[i], deep(i / N))));
  return { head, foot, dir, down, L, N };
}

function pennant(_, j, torso, before, after, H = j[0], cloth = j.slice(1)) {
  const T = cloth[0];
  const pole = long(sub(T, H));
  const staff = unit(sub(T, H), [0, 1]);
  const { head, foot, dir, down, L, N } = hung(cloth, staff);
  const off = (line, w) => line.map((p, i) => add(p, mul(down[i], w * L)));
  const [from, to, hem] = PENNANT.hems;
  const cut = (line) => line.slice(Math.round(N * from), Math.round(N * to) + 1);
  const on = (s, share) => ((i) => lerp(head[i], foot[i], share))(clamp(Math.round(s * N), 0, N));
  const [band, shares, heavy] = PENNANT.band;
  const lines = [
    [cut(off(head, PENNANT.hem)), hem, 0],
    [cut(off(foot, -PENNANT.hem)), hem, 0],
    [shares.map((share) => on(band, share)), heavy, 0],
  ];
  // folds lie at fixed places, each as heavy as the cloth bends there: none comes or goes from drawing to drawing
  const { folds } = PENNANT;
  const k = Math.max(1, Math.round(N * folds.bend));
  const turn = (s) => ((i) => cross(dir[clamp(i - k, 0, N)], dir[clamp(i + k, 0, N)]))(Math.round(s * N));
  const pull = Math.abs(turn(0.3)) + Math.abs(turn(0.6));
  for (const [a, b, c, weight] of PENNANT.pulls)
    lines.push([curve([on(...a), on(...b), on(...c)], 6), weight + pull, 0.5]);
  for (const s of folds.at) {
    const bend = turn(s);
    const rows = bend < 0 ? folds.under : folds.over;
    const weight = Math.min(folds.most, folds.weight * Math.abs(bend));
    lines.push([
      curve(
        rows.map(([x, y]) => on(s + x, y)),
        6,
      ),
      weight,
      folds.blunt,
    ]);
  }
  const m = left(staff);
  const { at: ties, half, thick } = PENNANT.ties;
  const tie = (s) => {
    const f = [frame(lerp(head[0], foot[0], s), m, staff, pole)];
    return places(
      [
        [-half, -thick],
        [half, -thick],
        [half, thick],
        [-half, thick],
      ],
      f,
    );
  };
  return [
    plain([[...head, ...foot.slice().reverse()]], lines),
    ...PENNANT.pole.map((one) => layer(one, [frame(H, staff, m, pole)])),
    plain(ties.map(tie)),
    ...held(H, staff, PENNANT.grip * pole),
  ];
}
/** Where the staff of a cloth that has none among its joints is held: right below it. */
const grip = (j) => sub(j[0], [0, PENNANT.staff * reach(j)]);
const cloth = (limb, j, torso, before, after) => pennant(limb, j, torso, before, after, grip(j), j);

/** Places along a rope: its middle line by arc length. */
function laid_out(j) {
  const mid = curve(j, clamp(Math.round(96 / (j.length - 1)), 2, 16));
  const dir = sees(mid);
  const along = [0];
  for (let i = 1; i < mid.length; i += 1) along.push(along[i - 1] + long(sub(mid[i], mid[i - 1])));
  const L = along.at(-1);
  const step = (s) => {
    let [low, high] = [0, mid.length - 1];
    while (high - low > 1)
      [low, high] = along[(low + high) >> 1] <= s ? [(low + high) >> 1, high] : [low, (low + high) >> 1];
    const t = clamp((s - along[low]) / (along[high] - along[low] || 1), 0, 1);
    return [lerp(mid[low], mid[high], t), unit(lerp(dir[low], dir[high], t), dir[low])];
  };
  const place = (s, y) => (([p, u]) => at(p, left(u), u, y, 0))(step(s));
  return { mid, L, step, place };
}
function rope(_, j) {
  const { mid, L: far, step, place } = laid_out(j);
  const L = reach(j);
  const [w, lay, [thin, bulge]] = [ROPE.half * L, ROPE.lay * far, ROPE.edge];
  const edge = (side) =>
    Array.from({ length: ROPE.steps + 1 }, (_, i) => {
      const s = (far * i) / ROPE.steps;
      const swell = Math.abs(Math.sin(Math.PI * ((lay ? s / lay : 0) + (side > 0 ? 0 : 0.5))));
      return place(s, side * w * (thin + bulge * swell));
    });
  const lines = [];
  const strands = Math.floor(1 / ROPE.lay - 1.4) + 1; // the last runs under the whipping
  for (let k = 0; k < strands; k += 1)
    lines.push([
      curve(
        ROPE.strand.map(([s, y]) => place((k + s) * lay, y * w)),
        3,
      ),
      ROPE.weight,
      0,
    ]);
  const { whipping, ends } = ROPE;
  const [a, b, q] = [far - whipping.from * lay, far - whipping.to * lay, whipping.half * w];
  const bands = whipping.bands.map((t) => [
    [1, 0, -1].map((y) => place(a + (b - a) * t, y * whipping.band * w)),
    whipping.weight,
    0,
  ]);
  const [tip, u] = step(far);
  const m = left(u);
  const strands_out = ends.turns.map((turn, i) => {
    const v = add(mul(u, Math.cos(turn)), mul(m, Math.sin(turn)));
    const l = ends.long[i % 2] * w;
    const rows = [
      at(tip, u, m, -ends.root * w, ends.root * w * Math.sin(turn)),
      at(tip, v, m, l * 0.7, 0),
      at(tip, v, m, l * 1.2, ends.aside * w * Math.sign(turn)),
    ];
    return [curve(rows, 5), 1, ends.blunt];
  });
  const first = unit(sub(mid[Math.min(6, mid.length - 1)], mid[0]));
  const [sleeve, back, cuff, fist] = held(j[0], first, ROPE.fist * L);
  return [
    sleeve,
    back,
    cuff,
    plain([], strands_out),
    plain([[...edge(1), ...edge(-1).reverse()]], lines),
    plain([[place(a, q), place(b, q), place(b, -q), place(a, -q)]], bands),
    fist,
  ];
}

function lantern(_, [H, B]) {
  const L = long(sub(B, H));
  const u = unit(sub(B, H), [0, -1]);
  return [
    ...LANTERN.beam.map((one) => layer(one, [frame(H, [1, 0], [0, 1], L)])),
    ...LANTERN.layers.map((one) => layer(one, [frame(B, u, left(u), L)])),
  ];
}

/** It leans with its way: from the place before to the place after. */
function afloat([c], before, after) {
  const lean = clamp((BUOY.lean * (after[0][0] - before[0][0])) / BUOY.half, -BUOY.most, BUOY.most);
  const u = [Math.sin(lean), Math.cos(lean)];
  return [frame(c, u, left(u), BUOY.half), frame(c, [1, -Math.tan(lean) / 2], [0, 1], BUOY.half)];
}
const buoy = (_, j, torso, before, after) => BUOY.layers.map((one) => layer(one, afloat(j, before, after)));

/** Half widths of a limb of no kind. */
function tapering(j) {
  const L = reach(j);
  const last = Math.max(1, j.length - 1);
  return j.map((_, i) => Math.max(TUBE.least, L * (TUBE.root + (TUBE.tip - TUBE.root) * (i / last))));
}
const steps_of = (j) => clamp(Math.round(48 / j.length), 1, TUBE.steps);
const plain_tube = (_, j) => [plain([tube(j, tapering(j), { n: steps_of(j) }).shape])];

const KINDS = { arm, pennant, cloth, rope, lantern, buoy, tube: plain_tube };

/** The layers of a limb, from the back to the front: its joints `j` on this drawing, and on the drawings
 * before and after; where it hangs on a body, that body's torso. */
export const skin = (limb, j, { torso = null, before = j, after = j } = {}) =>
  KINDS[kind(limb.joints)](limb, j, torso, before, after);

// ---- a drawing seen through the paper ----

/** The outline of a drawing that shows through: lines [points]. */
export function trace(limb, j, { before = j, after = j } = {}) {
  const open = ({ L, end, R }) => [[...L, ...end, ...R.slice().reverse()]];
  const shut = (line) => [...line, line[0]];
  const laid = (parts, frames) =>
    parts.map((part) => (part.open ? drawn(part, frames) : shut(drawn(part, frames, true))));
  const is = kind(limb.joints);
  if (is === "arm") return open(tube(...mitten(limb, j), { root: false }));
  if (is === "buoy") return laid(BUOY.trace, afloat(j, before, after));
  if (is === "lantern") {
    const u = unit(sub(j[1], j[0]), [0, -1]);
    return laid(LANTERN.trace, [frame(j[1], u, left(u), long(sub(j[1], j[0])))]);
  }
  if (is === "pennant" || is === "cloth") {
    const [H, cloth] = is === "cloth" ? [grip(j), j] : [j[0], j.slice(1)];
    const { head, foot } = hung(cloth, unit(sub(cloth[0], H), [0, 1]));
    return [shut([...head, ...foot.slice().reverse()]), [H, cloth[0]]];
  }
  if (is === "rope") {
    const { L, place } = laid_out(j);
    const w = ROPE.half * reach(j);
    const edge = (side) => Array.from({ length: 41 }, (_, i) => place((L * i) / 40, side * w));
    return [[...edge(1), ...edge(-1).reverse()]];
  }
  return open(tube(j, tapering(j), { n: steps_of(j), root: false }));
}
