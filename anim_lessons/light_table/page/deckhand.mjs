/* The deckhand to whom the arms belong, and all of a drawing. The deckhand is scenery, nobody judges it.
 * Places in mm, y up. The same in Python: pictures/deckhand.py. */
import { bent } from "./arm.mjs";
import NUMBERS from "./figure.mjs";
import { drawn, frame, layer, places, plain } from "./frames.mjs";
import { kind, skin } from "./kinds.mjs";
import { add, at, clamp, curve, lerp, mul } from "./pen.mjs";

const { deckhand: MAN, pen: PEN } = NUMBERS;

/** Where the body to which the shoulders of a drawing belong stands, or null where there is no arm. limbs:
 * all of the action; here: joints of each on this drawing; means: where each limb's first joint is on the
 * mean. */
function stance(limbs, here, means) {
  const arms = limbs.map((_, l) => l).filter((l) => kind(limbs[l].joints) === "arm");
  if (!arms.length) return null;
  const pair = arms.length > 1 ? [arms[0], arms[1]].sort((a, b) => means[b][0] - means[a][0]) : null;
  const near = pair ? pair[0] : arms[0];
  const k = limbs[near].lengths[0] / MAN.arm;
  const facing = pair || bent(limbs[near]) > 0 ? 1 : -1;
  const follow = (l) => lerp(means[l], here[l][0], MAN.follows);
  const go = (p, x, y) => at(p, [facing * k, 0], [0, k], x, y);
  const G = follow(near);
  const neck = pair ? go(lerp(G, follow(pair[1]), 0.5), MAN.between, 0) : go(G, MAN.neck, 0);
  const far = pair ? here[pair[1]][0] : go(G, ...MAN.wide);
  const [[x0, y0], [x1, y1]] = MAN.face.map(([x, y]) => go(neck, x, y));
  const face = [Math.min(x0, x1), Math.min(y0, y1), Math.max(x0, x1), Math.max(y0, y1)];
  return { k, facing, pair, places: [G, here[near][0], far, neck], face, arms: pair ?? [near] };
}

/** The body, or null: {torso, layers, face: [left, bottom, right, top] in mm, facing: 1 to the right, arms:
 * indices of the limbs that hang on it}. */
export function deckhand(limbs, here, means) {
  const stands = stance(limbs, here, means);
  if (!stands) return null;
  const { k, facing, pair, face, arms } = stands;
  const frames = stands.places.map((o) => frame(o, [facing, 0], [0, 1], k));
  const half = (rows) => curve(places(rows, frames), MAN.smooth);
  const torso = [...half(MAN.torso), ...half(pair ? MAN.paired : MAN.alone)];
  const { hangs } = MAN;
  const lines = pair ? [] : [[drawn(hangs, frames), hangs.weight, hangs.blunt]];
  const layers = [plain([torso], lines)];
  return {
    torso,
    layers: [...layers, ...MAN.head.map((one) => layer(one, [frames[3]]))],
    face,
    facing,
    arms,
  };
}

/** Where each limb's first joint is on the mean of all its drawings. */
export const means_of = (all) =>
  all.map((drawings) =>
    mul(
      drawings.reduce((sum, p) => add(sum, p[0]), [0, 0]),
      1 / drawings.length,
    ),
  );

/** A limb's joints on a drawing, and on the drawings before and after it; d: its index from 0. */
export function beside(drawings, d, loop) {
  const count = drawings.length;
  const on = (i) => drawings[loop ? (i + count) % count : clamp(i, 0, count - 1)];
  return { before: on(d - 1), after: on(d + 1) };
}

/** All of one drawing: the body, and the layers of each limb. `all`: joints of each limb on every drawing. */
export function figure(limbs, all, d, loop, body) {
  const here = all.map((drawings) => drawings[d]);
  const man = body === undefined ? deckhand(limbs, here, means_of(all)) : body;
  const skins = limbs.map((limb, l) =>
    skin(limb, here[l], { torso: man?.arms.includes(l) ? man.torso : null, ...beside(all[l], d, loop) }),
  );
  return { body: man, skins };
}

/** Width of the pen, mm: for what is drawn, for scenery, or in play. */
export const pen_width = (scenery, playing) =>
  playing ? PEN.playing : PEN.width * (scenery ? PEN.scenery : 1);
