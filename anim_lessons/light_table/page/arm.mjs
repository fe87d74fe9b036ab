/* The deckhand's arm: sleeve, cuff and box hand. Places in mm, y up; the same in Python: pictures/arm.py. */
import NUMBERS from "./figure.mjs";
import { frame, layer, plain } from "./frames.mjs";
import {
  add,
  at,
  cross,
  curve,
  dot,
  inside,
  left,
  lerp,
  long,
  mul,
  reach,
  soft,
  sub,
  tube,
  unit,
} from "./pen.mjs";

const { arm: ARM, hand: HAND } = NUMBERS;

/** The side to which an arm's elbow bends: 1 counter-clockwise, by its stops, so that it never changes. */
export const bent = ({ stops }) => ((stops[1] ?? [0, 0])[0] + (stops[1] ?? [0, 0])[1] < 0 ? -1 : 1);

const hump = ([high, centre, wide], t) => high * Math.exp(-(((t - centre) / wide) ** 2));
/** The upper arm, the measure of all its widths; never shorter than a share of the model's. */
const measure = (limb, j) => Math.max(long(sub(j[1], j[0])), ARM.shortest * limb.lengths[0]);

export function arm(limb, j, torso) {
  const [S, E, W] = j;
  const K = measure(limb, j);
  const side_bent = bent(limb);
  const swell = (i, t, side) => {
    const part = i ? ARM.fore : ARM.upper;
    const more = hump(side === side_bent ? part.bent : part.straight, t);
    return K * more * (i ? soft(t * part.from) : 1);
  };
  const sleeve = tube(
    [S, E, W],
    ARM.half.map((r) => r * K),
    { swell, tip: false },
  );
  const u = sleeve.u[1];
  const n = left(u);
  const layers = [];
  if (j.length > 3) layers.push(hand(j.slice(2), -side_bent));
  const turn = Math.atan2(cross(sleeve.u[0], u), dot(sleeve.u[0], u));
  const lines = [];
  if (Math.abs(turn) > ARM.fold.from) {
    const inner = Math.sign(turn);
    const corner = sleeve.corner[inner] ? dot(sub(sleeve.corner[inner], E), u) : 0;
    const from = at(E, u, n, corner, inner * ARM.half[1] * K * ARM.fold.at);
    const size = ARM.fold.long * K * Math.min(1, (Math.abs(turn) - ARM.fold.open) / ARM.fold.full);
    const fold = ARM.fold.rows.map(([x, y]) => at(from, u, n, x * size, -inner * y * size));
    lines.push([curve(fold, 5), ARM.fold.weight, 0.5]);
  }
  const masks = torso ? [armpit(sleeve, torso)] : [];
  layers.push(plain([sleeve.shape], lines, masks));
  layers.push(layer(ARM.cuff, [frame(W, u, n, K)]));
  return layers;
}

/** Where the sleeve is inked: from where its edges leave the body; below a little earlier, which is the
 * fold of the armpit. */
function armpit({ L, R, shape, u }, torso) {
  const mask = shape.map(() => 1);
  const low = left(u[0])[1] < 0 ? 1 : -1; // the side that looks down
  for (const [edge, side, place] of [
    [L, 1, (i) => i],
    [R, -1, (i) => L.length + R.length - 1 - i],
  ]) {
    const out = edge.findIndex((p) => !inside(p, torso));
    const from = (out < 0 ? 3 : out) - (side === low ? 3 : 1);
    for (let i = 0; i < Math.min(edge.length, from + 4); i += 1)
      mask[place(i)] =
        i < from ? 0 : side === low ? 0.25 + 0.2 * (i - from) : Math.min(1, 0.7 + 0.15 * (i - from));
  }
  for (let i = L.length + R.length; i < mask.length; i += 1) mask[i] = 0;
  return mask;
}

/** A box hand: palm, four fingers, thumb on `side`. Knuckles where the model has them, else in the middle. */
function hand(j, side) {
  const [W, F] = [j[0], j.at(-1)];
  const M = j.length > 2 ? j[1] : lerp(W, F, HAND.middle);
  const [palm, fingers] = [long(sub(M, W)), long(sub(F, M))];
  const L = palm + fingers;
  const u = unit(sub(M, W));
  const f = unit(sub(F, M), u);
  const [n, m] = [mul(left(u), side), mul(left(f), side)];
  const [c, s] = [Math.cos(HAND.thumb), Math.sin(HAND.thumb)];
  const thumb = add(mul(u, c), mul(n, s));
  const root = at(W, u, n, HAND.root[0] * L, HAND.root[1] * L);
  return layer(HAND, [
    frame(W, u, n, L),
    frame(M, f, m, L),
    frame(W, u, n, palm, L),
    frame(M, f, m, fingers, L),
    frame(F, f, m, L),
    frame(root, thumb, sub(mul(n, c), mul(u, s)), L),
  ]);
}

/** An arm's outline as a mitten: places and half widths. */
export function mitten(limb, j) {
  const half = ARM.half.map((r) => r * measure(limb, j));
  if (j.length < 4) return [j, half];
  const rest = j.slice(2);
  const L = reach(rest);
  const [a, b] = ARM.mitten.along;
  const [W, M, F] = [rest[0], rest.length > 2 ? rest[1] : lerp(rest[0], rest[1], a), rest.at(-1)];
  return [
    [...j.slice(0, 3), M, lerp(M, F, (b - a) / (1 - a))],
    [...half, ...ARM.mitten.half.map((r) => r * L)],
  ];
}
