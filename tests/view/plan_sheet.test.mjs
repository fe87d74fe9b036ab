/* The plan sheet's pure helpers. Expected values can be done in the head. */
import assert from "node:assert/strict";
import test from "node:test";
import { clear_of_each_other, further, lines_of, nearest_tick, place_on, retimed } from "../../anim_lessons/light_table/page/plan/places.mjs";

test("a pen that hardly moves adds nothing to its stroke", () => {
  assert.deepEqual(further([], [1, 1]), [[1, 1]]);
  assert.deepEqual(further([[1, 1]], [1.1, 1]), [[1, 1]]);
  assert.deepEqual(further([[1, 1]], [2, 1]), [[1, 1], [2, 1]]);
});
test("a place on a line at a share of its way", () => {
  const line = [[0, 0], [10, 0], [10, 10]];
  assert.deepEqual([0, 0.25, 0.5, 0.75, 1].map((share) => place_on(line, share)), [[0, 0], [5, 0], [10, 0], [10, 5], [10, 10]]);
  assert.deepEqual([place_on(line, -1), place_on(line, 2)], [[0, 0], [10, 10]]);
});
test("a loop has a line out and a line back, and the back one ends where the out one begins", () => {
  assert.deepEqual(lines_of([0, 0.2, 0.5, 0.7], 2, true), [
    { name: "out", drawings: [0, 1, 2], from: 0, to: 0.5 },
    { name: "back", drawings: [2, 3, 0], from: 0.5, to: 1 },
  ]);
  assert.deepEqual(lines_of([0, 0.2, 1], 2, false), [{ name: "way", drawings: [0, 1, 2], from: 0, to: 1 }]);
});
test("a tick stops at its neighbours", () => {
  const chart = [0, 0.2, 0.5, 0.7];
  assert.deepEqual(retimed(chart, 1, 0.3, 2, true), [0, 0.3, 0.5, 0.7]);
  assert.deepEqual(retimed(chart, 1, 0.9, 2, true), [0, 0.5, 0.5, 0.7]);
  assert.deepEqual(retimed(chart, 3, 0.1, 2, true), [0, 0.2, 0.5, 0.5]);
  assert.deepEqual(retimed(chart, 3, 7, 2, true), [0, 0.2, 0.5, 1]);
});
test("extremes stay where they are", () => {
  const chart = [0, 0.2, 0.5, 0.7];
  assert.deepEqual([0, 2].map((d) => retimed(chart, d, 0.3, 2, true)), [chart, chart]);
  assert.equal(retimed(chart, 3, 0.9, 3, false), chart);
});
test("the tick that is taken is the nearest one that may move", () => {
  const chart = [0, 0.1, 0.4, 0.5, 0.7];
  const [out, back] = lines_of(chart, 3, true);
  assert.deepEqual([0, 0.45, 0.6, 1].map((part) => nearest_tick(out, chart, part)), [1, 1, 2, 2]);
  assert.equal(nearest_tick(back, chart, 0.9), 4);
  assert.equal(nearest_tick({ drawings: [0, 1], from: 0, to: 1 }, [0, 1], 0.5), -1);
});
test("no number lies on another, and the one under work is shown", () => {
  const labels = [{ x: 0, y: 0 }, { x: 5, y: 5 }, { x: 30, y: 0 }];
  assert.deepEqual([...clear_of_each_other(labels, 0)], [0, 2]);
  assert.deepEqual([...clear_of_each_other(labels, 1)], [1, 2]);
});
