/* Strokes of the pencil. References: the distance of a point from a line, which can be done in the head; W3C Pointer Events Level 3,
 * "pressure" (from memory). OpenCV's own simplification is asked in test_lines.py. */
import assert from "node:assert/strict";
import test from "node:test";
import { document_of, worth_offering } from "../../anim_lessons/light_table/page/drawings.mjs";
import { are_lines, kept, MOST_POINTS, pressure_of, room_for, simplified, stroke_at, thinned, with_strokes } from "../../anim_lessons/light_table/page/hand_strokes.mjs";
import { pieces } from "../../anim_lessons/light_table/page/strokes.mjs";

test("what lies off by less than is allowed is left out", () => {
  // a roof 3 high over 8: its top is 3 off the ground; the points half way up lie on its sides
  const roof = [[0, 0], [2, 1.5], [4, 3], [6, 1.5], [8, 0]];
  assert.deepEqual(simplified(roof, 2.9), [[0, 0], [4, 3], [8, 0]]);
  assert.deepEqual(simplified(roof, 3.1), [[0, 0], [8, 0]]);
  assert.deepEqual(simplified([[0, 0]], 1), [[0, 0]]);
  // a stroke that turns back keeps its far end, though it lies on the line of both ends
  assert.deepEqual(simplified([[0, 0], [9, 0], [1, 0]], 0.1), [[0, 0], [9, 0], [1, 0]]);
});

test("a line that is pressed harder in its middle keeps that point", () => {
  const straight = (pressure) => [[0, 0, 0.5], [5, 0, pressure], [10, 0, 0.5]];
  assert.equal(thinned(straight(0.5)).length, 2);
  assert.equal(thinned(straight(0.6)).length, 2); // its edge goes out by 0.05 mm
  assert.equal(thinned(straight(0.8)).length, 3); // by 0.15 mm
});

test("a stroke is kept in hundredths, without a pressure where it was plain, and a press is a dot", () => {
  assert.deepEqual(kept([[1.23456, 2, 0.5], [9.999, 2, 0.5]]), [[1.23, 2], [10, 2]]);
  assert.deepEqual(kept([[1, 2, 0.333], [9, 2, 0.5]]), [[1, 2, 0.33], [9, 2, 0.5]]);
  assert.deepEqual(kept([[1, 2, 0.5], [1.001, 2.001, 0.5]]), [[1, 2]]);
  assert.deepEqual(kept([[1, 2, 0.7]]), [[1, 2, 0.7]]);
});

test("a stroke never has more points than a file takes", () => {
  const long = Array.from({ length: 2500 }, (_, i) => [i % 2 ? 0 : 200, i / 50, 0.5]);
  const less = kept(long);
  assert.ok(less.length <= MOST_POINTS && less.length > 1);
  assert.deepEqual(less[0], [200, 0]);
});

test("a pen tells how hard it presses, a mouse and what is out of range do not", () => {
  assert.equal(pressure_of({ pointerType: "pen", pressure: 0.25 }), 0.25);
  assert.equal(pressure_of({ pointerType: "touch", pressure: 1 }), 1);
  assert.equal(pressure_of({ pointerType: "pen", pressure: 0 }), 0);
  assert.equal(pressure_of({ pointerType: "mouse", pressure: 0 }), 0.5);
  for (const pressure of [undefined, NaN, -1, 2]) assert.equal(pressure_of({ pointerType: "pen", pressure }), 0.5);
});

test("a stroke is as wide as it is pressed, in tenths, and its pieces hang together", () => {
  const widths = (stroke) => pieces(stroke).map(({ wide }) => Number(wide.toFixed(2)));
  assert.deepEqual(widths([[0, 0], [9, 0]]), [0.8]); // 0.3 and half of 1 mm
  assert.deepEqual(widths([[0, 0, 0], [1, 0, 0], [2, 0, 1], [3, 0, 1]]), [0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.1, 1.2, 1.3]);
  const all = pieces([[0, 0, 0], [1, 0, 0], [2, 0, 1], [3, 0, 1]]);
  all.slice(1).forEach(({ points }, i) => assert.deepEqual(points[0], all[i].points.at(-1)));
  assert.equal(pieces([[4, 5]])[0].points.length, 2); // a dot has two ends, or nobody paints it
});

test("the stroke that was drawn last is the one that is found", () => {
  const strokes = [[[0, 0], [10, 0]], [[5, -5], [5, 5]], [[50, 50]]];
  assert.equal(stroke_at(strokes, [5, 0], 1), 1);
  assert.equal(stroke_at(strokes, [2, 0.9], 1), 0);
  assert.equal(stroke_at(strokes, [12, 0], 1), -1);
  assert.equal(stroke_at(strokes, [50.5, 50], 1), 2);
});

test("a drawing that holds all it can says so", () => {
  const full = { 3: Array.from({ length: 400 }, () => [[0, 0]]) };
  assert.equal(room_for({}, 3, 20), "");
  assert.match(room_for(full, 3, 1), /400 lines/);
  assert.equal(room_for(full, 4, 1), "");
  assert.match(room_for({ 1: Array.from({ length: 60 }, () => Array(1000).fill([0, 0])) }, 2, 1), /no room/);
});

test("a drawing without strokes has no line", () => {
  assert.deepEqual(with_strokes({ 1: ["a"] }, 3, ["b"]), { 1: ["a"], 3: ["b"] });
  assert.deepEqual(with_strokes({ 1: ["a"], 3: ["b"] }, 3, []), { 1: ["a"] });
});

test("what was kept in the browser is taken for lines only where it is", () => {
  assert.ok(are_lines({}, 4));
  assert.ok(are_lines({ 4: [[[1, 2], [3, 4, 0.5]]] }, 4));
  for (const odd of [null, 5, { 5: [[[1, 2]]] }, { x: [[[1, 2]]] }, { 1: [[]] }, { 1: [[[1]]] }, { 1: [[["a", 2]]] }, { 1: 7 }, { 1: [[null]] }])
    assert.ok(!are_lines(odd, 4), JSON.stringify(odd));
});

test("kept drawings are offered where only their lines differ, and a copy has its lines", () => {
  const head = { limbs: [{ name: "buoy", joints: ["buoy"] }] };
  const pose = { drawings: [[[[1, 1]], [[2, 2]]]], exposure: 2 };
  assert.ok(!worth_offering(pose, head, pose));
  assert.ok(worth_offering(pose, head, pose, true));
  assert.deepEqual(document_of(head, pose, { 2: [[[1, 2]]] }).lines, [{ drawing: 2, strokes: [[[1, 2]]] }]);
  assert.ok(!("lines" in document_of(head, pose)));
});
