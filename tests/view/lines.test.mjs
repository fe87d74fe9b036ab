/* Lines and labels on the sheet. */
import assert from "node:assert/strict";
import test from "node:test";
import { smooth, widths, outline, ticks, polyline } from "../../anim_lessons/light_table/page/lines.mjs";

const numbers = (d) => d.match(/-?\d+(\.\d+)?/g).map(Number);

/** Points along the cubics of a path made of M and C (de Casteljau's construction). */
function along(d, parts = 16) {
  const [x, y, ...rest] = numbers(d);
  let from = [x, y];
  const points = [from];
  for (let i = 0; i < rest.length; i += 6) {
    const [a, b, c] = [rest.slice(i, i + 2), rest.slice(i + 2, i + 4), rest.slice(i + 4, i + 6)];
    for (let k = 1; k <= parts; k += 1) {
      const t = k / parts;
      const mix = (p, q) => [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])];
      const [ab, bc, cd] = [mix(from, a), mix(a, b), mix(b, c)];
      points.push(mix(mix(ab, bc), mix(bc, cd)));
    }
    from = c;
  }
  return points;
}

test("a path of action through points on a circle stays on the circle", () => {
  // outside reference: the circle itself, x² + y² = r²
  const circle = Array.from({ length: 12 }, (_, i) => [200 + 100 * Math.cos((i * Math.PI) / 6), 200 + 100 * Math.sin((i * Math.PI) / 6)]);
  const d = smooth(circle, true);
  assert.ok(d.endsWith("Z"));
  for (const [x, y] of along(d)) assert.ok(Math.abs(Math.hypot(x - 200, y - 200) - 100) < 0.6);
});

test("drawings closed up beside a wide gap make no knot in the path", () => {
  const d = smooth([[0, 0], [100, 0], [101, 0.5], [102, 0], [200, 0]], false);
  const xs = along(d).map((p) => p[0]);
  xs.slice(1).forEach((x, i) => assert.ok(x >= xs[i] - 0.11, "the path turns back on itself"));
});

test("two drawings on one spot are passed without a fault in the path", () => {
  assert.ok(!smooth([[0, 0], [50, 0], [50, 0], [90, 20]], true).includes("NaN"));
  assert.ok(!smooth([[5, 5], [5, 5]], true).includes("NaN"));
});

test("a contour tapers from body to tip, and stays slim on short segments", () => {
  const r = widths([58.4, 53.1, 34.1], 2);
  r.slice(1).forEach((w, j) => assert.ok(w < r[j]));
  widths([50, 4, 50], 1).slice(1, 3).forEach((w) => assert.ok(w <= 4 * 0.35 + 1e-9));
});

test("a contour stands off the bone by its half widths", () => {
  const d = outline([[0, 0], [100, 0]], [10, 5]);
  const xy = numbers(d);
  assert.equal(Math.min(...xy.filter((v) => v < 0)), -10);
  assert.ok(d.startsWith("M0,-10") && d.includes("L100,-5") && d.includes("100,5"));
});

test("a contour has a corner inside a bend and an arc outside it", () => {
  const d = outline([[0, 0], [100, 0], [100, 100]], [10, 10, 10]);
  assert.ok(d.includes("90,10"), `inside corner of a right angle is at 90,10: ${d}`);
  assert.ok(/A10,10 0 0 1 110,0/.test(d), `outside goes round the joint: ${d}`);
});

test("contours of one joint, of folded and of fallen-together joints are drawn", () => {
  for (const points of [[[5, 5]], [[0, 0], [0, 0]], [[0, 0], [10, 0], [0, 0]], [[0, 0], [0, 0], [10, 0]]]) {
    const d = outline(points, points.map(() => 4));
    assert.ok(d.startsWith("M") && !d.includes("NaN"), d);
  }
});

test("the long tick lies at the model sheet's length, short ones every 10 mm before it", () => {
  const [short, long] = ticks([0, 0], [80, 0], 35, 2); // drawn 40 mm, model sheet 35 mm
  assert.equal(numbers(long)[0], 70);
  assert.deepEqual([...new Set(short.match(/[ML]-?[\d.]+/g).map((p) => Number(p.slice(1))))], [20, 40, 60]);
});

test("a bone is a line through its joints", () => {
  assert.equal(polyline([[0, 0], [1.26, 2], [3, 4]]), "M0,0L1.3,2L3,4");
});
