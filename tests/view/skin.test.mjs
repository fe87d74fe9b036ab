/* The figure in the page: how it is built is held to Python's in tests/test_skin.py; here what concerns the page alone. */
import { test } from "node:test";
import assert from "node:assert/strict";
import { deckhand, figure, means_of, pen_width } from "../../anim_lessons/light_table/page/deckhand.mjs";
import { kind, skin, trace } from "../../anim_lessons/light_table/page/kinds.mjs";
import { laid, polyline } from "../../anim_lessons/light_table/page/lines.mjs";
import { inked, inside } from "../../anim_lessons/light_table/page/pen.mjs";

const ARM = {
  joints: ["shoulder", "elbow", "wrist", "fingertips"],
  lengths: [58.4, 53.1, 34.1],
  stops: [
    [-45, 170],
    [0, 140],
    [-80, 80],
  ],
};
/** An arm that waves: the elbow a little later than the shoulder, the hand than both. */
const arm = (count) =>
  Array.from({ length: count }, (_, i) => {
    const turn = (2 * Math.PI * i) / count;
    const parts = [72 + 34 * Math.sin(turn), 44 + 30 * Math.sin(turn - 1), -24 * Math.cos(turn)];
    const points = [[124 + 4 * Math.cos(turn), 48]];
    parts.reduce((angle, bend, k) => {
      const at = ((angle + bend) * Math.PI) / 180;
      points.push([
        points[k][0] + ARM.lengths[k] * Math.cos(at),
        points[k][1] + ARM.lengths[k] * Math.sin(at),
      ]);
      return angle + bend;
    }, 0);
    return points;
  });
const PENNANT = {
  joints: ["hand", "top", "joint 1", "joint 2", "tip"],
  lengths: [95, 33, 33, 33],
  stops: [],
};
const flown = [
  [110, 20],
  [118, 114],
  [150, 120],
  [182, 112],
  [214, 118],
];
const long_limb = (first) => ({
  joints: [first, "top", ...Array.from({ length: 118 }, (_, j) => `joint ${j}`)],
  lengths: Array(119).fill(2),
  stops: Array(119).fill([-180, 180]),
});
const PAPER = { width: 297, height: 210 };
/** All that a moved joint costs: the shapes and their paths on the sheet. */
const painted = (layers) =>
  layers
    .map((one) => inked(one, 0.84))
    .flatMap(({ ink, paper, lines }) => [ink, paper, lines])
    .map((shapes) => shapes.map((shape) => polyline(shape.map((p) => laid(PAPER, p)))).join(""));

test("no path of a figure holds anything but numbers, wherever the joints lie", () => {
  const places = {
    "in one place": (n) => Array.from({ length: n }, () => [50, 50]),
    "far apart": (n) => Array.from({ length: n }, (_, i) => [i % 2 ? 1e4 : -1e4, i % 3 ? 1e4 : -1e4]),
    "a tenth of a mm apart": (n) => Array.from({ length: n }, (_, i) => [50 + i / 10, 50]),
    "to and fro": (n) => Array.from({ length: n }, (_, i) => [50 + 40 * (i % 2), 50]),
  };
  for (const limb of [ARM, PENNANT, ...["post", "staff", "hand", "hook", "__proto__"].map(long_limb)])
    for (const [how, place] of Object.entries(places)) {
      const all = [[place(limb.joints.length), place(limb.joints.length)]];
      const { body, skins } = figure([limb], all, 0, true);
      const paths = [
        ...painted([...(body?.layers ?? []), ...skins.flat()]),
        ...trace(limb, all[0][0]).map((line) => polyline(line)),
      ];
      for (const d of paths)
        assert.ok(!/NaN|Infinity|undefined/.test(d), `${limb.joints[0]}, ${how}: ${d.slice(0, 60)}`);
    }
});

test("a moved joint is painted within a frame of sixty a second", () => {
  const drawings = arm(16);
  const rope = long_limb("post");
  const loops = {
    "arm with its body": [ARM, drawings, true],
    pennant: [PENNANT, Array(16).fill(flown), false],
    "rope of 120 joints": [
      rope,
      Array(16).fill(rope.joints.map((_, j) => [40 + 2 * j, 90 + 9 * Math.sin(j / 9)])),
      false,
    ],
    "limb of 120 joints": [
      long_limb("a tail"),
      Array(16).fill(rope.joints.map((_, j) => [40 + 2 * j, 90 + 9 * Math.sin(j / 9)])),
      false,
    ],
  };
  for (const [name, [limb, all, bodied]] of Object.entries(loops)) {
    const spent = Array.from({ length: 60 }, (_, i) => {
      const began = performance.now();
      const body = bodied ? deckhand([limb], [all[i % 16]], means_of([all])) : null;
      painted([...(body?.layers ?? []), ...figure([limb], [all], i % 16, true, body).skins.flat()]);
      return performance.now() - began;
    }).sort((a, b) => a - b);
    // the median: what else the machine does meanwhile is not this work
    assert.ok(spent[30] < 16.7, `${name}: ${spent[30].toFixed(1)} ms`);
  }
});

test("a limb is told by its joints, whatever they are called", () => {
  for (const [joints, is] of [
    [["buoy"], "buoy"],
    [["shoulder", "elbow"], "tube"],
    [["shoulder", "elbow", "wrist", "knuckles", "fingertip"], "arm"],
    [["shoulder", "b", "c", "d", "e", "f"], "tube"],
    [["hook", "lantern", "flame"], "tube"],
    [["constructor", "toString"], "tube"],
    [["staff", "tip"], "cloth"],
  ])
    assert.equal(kind(joints), is);
});

test("the sleeve begins in the body: no ink runs across the shoulder", () => {
  const drawings = arm(16);
  for (const here of drawings) {
    const { torso } = deckhand([ARM], [here], means_of([drawings]));
    const sleeve = skin(ARM, here, { torso }).find((layer) => layer.masks.length);
    const [outline, mask] = [sleeve.fills[0], sleeve.masks[0]];
    assert.equal(outline.length, mask.length);
    assert.ok(inside(here[0], torso));
    assert.ok(outline.some((_, i) => mask[i] === 0) && outline.some((_, i) => mask[i] === 1));
  }
});

test("an arm bends to the side of its stops, and faces the other way in a mirror", () => {
  const drawings = arm(16);
  const mirrored = drawings.map((d) => d.map(([x, y]) => [297 - x, y]));
  const other = {
    ...ARM,
    stops: [
      [10, 225],
      [-140, 0],
      [-80, 80],
    ],
  };
  for (let i = 0; i < 16; i += 5) {
    const [a, b] = [figure([ARM], [drawings], i, true), figure([other], [mirrored], i, true)];
    assert.deepEqual([a.body.facing, b.body.facing], [1, -1]);
    const [one, two] = [a, b].map((made) => made.skins[0].flatMap((layer) => layer.fills.flat()));
    const box = (points, k) => [Math.min(...points.map((p) => p[k])), Math.max(...points.map((p) => p[k]))];
    const [left, right] = box(one, 0);
    const [left2, right2] = box(two, 0);
    assert.ok(Math.abs(297 - right - left2) < 0.5 && Math.abs(297 - left - right2) < 0.5);
  }
});

test("in play the body has the pen of the arm", () => {
  assert.equal(pen_width(true, true), pen_width(false, true));
  assert.ok(pen_width(true, false) < pen_width(false, false));
});
