/* The deckhand to whom the arms belong, and all of a drawing. The deckhand is scenery, nobody judges it. Places in mm, y up.
 * The same in Python: pictures/deckhand.py. */
import NUMBERS from "./figure.mjs";
import { bent, drawn, frame, kind, layer, places, skin } from "./kinds.mjs";
import { add, at, clamp, curve, lerp, mul } from "./pen.mjs";

const { deckhand: MAN, pen: PEN } = NUMBERS;

/** The body that the shoulders of a drawing belong to, or null.
 * limbs: all of the action; drawn: joints of each on this drawing; means: where each limb's first joint is on the mean. */
export function deckhand(limbs, drawn_here, means) {
  const arms = limbs.map((_, l) => l).filter((l) => kind(limbs[l].joints) === "arm");
  if (!arms.length) return null;
  const pair = arms.length > 1 ? [arms[0], arms[1]].sort((a, b) => means[b][0] - means[a][0]) : null;
  const near = pair ? pair[0] : arms[0];
  const S = drawn_here[near][0];
  const k = limbs[near].lengths[0] / MAN.arm;
  const facing = pair || bent(limbs[near]) > 0 ? 1 : -1;
  const follow = (l) => lerp(means[l], drawn_here[l][0], MAN.follows);
  const G = follow(near);
  const go = (p, x, y) => at(p, [facing * k, 0], [0, k], x, y);
  const neck = pair ? go(lerp(G, follow(pair[1]), 0.5), MAN.between, 0) : go(G, MAN.neck, 0);
  const far = pair ? drawn_here[pair[1]][0] : go(G, ...MAN.wide);
  const frames = [G, S, far, neck].map((o) => frame(o, [facing, 0], [0, 1], k));
  const half = (rows) => curve(places(rows, frames), MAN.smooth);
  const torso = [...half(MAN.torso), ...half(pair ? MAN.paired : MAN.alone)];
  const { hangs } = MAN;
  const lines = pair ? [] : [[drawn(hangs, frames), hangs.weight, hangs.blunt]];
  const head = MAN.head.map((one) => layer(one, [frames[3]]));
  const [[x0, y0], [x1, y1]] = MAN.face.map(([x, y]) => go(neck, x - MAN.neck, y));
  return {
    torso,
    layers: [{ fills: [torso], lines, dots: [], masks: [], pen: 1 }, ...head],
    face: [Math.min(x0, x1), Math.min(y0, y1), Math.max(x0, x1), Math.max(y0, y1)],
    low: G[1] + MAN.deep * k,
    arms: pair ?? [near],
  };
}

/** All of one drawing: its scenery, then each limb's layers. `all`: joints of each limb on every drawing; d: its index
 * from 0. */
export function figure(limbs, all, d, loop) {
  const count = all[0].length;
  const beside = (l, i) => all[l][loop ? (i + count) % count : clamp(i, 0, count - 1)];
  const means = all.map((drawings) => mul(drawings.reduce((sum, p) => add(sum, p[0]), [0, 0]), 1 / count));
  const here = all.map((drawings) => drawings[d]);
  const body = deckhand(limbs, here, means);
  const skins = limbs.map((limb, l) =>
    skin(limb, here[l], {
      torso: body?.arms.includes(l) ? body.torso : null,
      before: beside(l, d - 1),
      after: beside(l, d + 1),
    }),
  );
  return { body, skins };
}

/** Width of the pen, mm, times the size of the paper's pencil. */
export const pen_width = (scenery, playing = false) =>
  (playing ? PEN.playing : PEN.width) * (scenery && !playing ? PEN.scenery : 1);
