/* Where may it go: parts of a circle. References: Euclid's circle, x² + y² = r²; the rest can be done in the head. */
import assert from "node:assert/strict";
import test from "node:test";
import { whole, lies_in, arc_points, strokes, nearest_open, spoken_parts } from "../../anim_lessons/light_table/page/circle.mjs";

const near = (a, b, by = 1e-9) => assert.ok(Math.abs(a - b) <= by, `${a} is not ${b}`);

test("angles are counted from 0 to 360", () => {
  assert.deepEqual([-10, 0, 360, 725].map(whole), [350, 0, 0, 5]);
});

test("a part of the circle holds its ends, and may run over 0", () => {
  for (const angle of [10, 20, 30]) assert.ok(lies_in(angle, [10, 30]));
  for (const angle of [9.9, 30.1, 200]) assert.ok(!lies_in(angle, [10, 30]));
  for (const angle of [350, 0, 15, -10]) assert.ok(lies_in(angle, [350, 375]));
  assert.ok(!lies_in(16, [350, 375]));
});

test("points along an arc lie on the circle, from its one end to the other", () => {
  const points = arc_points([3, 4], 5, 30, 120);
  for (const [x, y] of points) near((x - 3) ** 2 + (y - 4) ** 2, 25);
  near(points[0][0], 3 + 5 * Math.cos(Math.PI / 6));
  near(points.at(-1)[1], 4 + 5 * Math.sin((2 * Math.PI) / 3));
  points.slice(1).forEach(([x, y], i) => assert.ok(Math.hypot(x - points[i][0], y - points[i][1]) <= 2 * 5 * Math.sin(Math.PI / 120) + 1e-9));
});

test("strokes stand across the arc, half inside and half outside, one at least", () => {
  for (const [[x, y], [u, v]] of strokes([0, 0], 50, 0, 90, 4)) {
    near(Math.hypot(x, y), 48);
    near(Math.hypot(u, v), 52);
    near(x * v - y * u, 0); // on one line with the middle
  }
  assert.equal(strokes([0, 0], 50, 10, 10.5, 4).length, 1);
});

test("put where it may go, a joint comes to the middle of the nearest open part", () => {
  const allowed = [[60, 78], [350, 360], [0, 4]];
  assert.equal(nearest_open(70, allowed), 70);
  for (const angle of [50, 90]) near(nearest_open(angle, allowed), 69);
  near(nearest_open(-40, [[0, 4], [330, 360]]), 347); // of 330 over 0 to 4
  near(nearest_open(20, [[30, 30.2]]), 30.1);
  near(nearest_open(340, [[0, 40], [359, 360]]), 19.5);
  assert.equal(nearest_open(20, []), null);
});

test("neighbouring parts with the same words are spoken of once, over 0 degrees too", () => {
  const part = (from, to, says) => ({ from, to, rule: "opening", says });
  assert.deepEqual(
    spoken_parts([part(0, 20, "locks"), part(20, 50, "locks"), part(70, 200, "closes"), part(200, 360, "locks")]).map((p) => [p.from, p.to, p.says]),
    [[70, 200, "closes"], [200, 410, "locks"]]);
  assert.deepEqual(spoken_parts([]), []);
  assert.equal(spoken_parts([part(0, 360, "locks")]).length, 1);
});

