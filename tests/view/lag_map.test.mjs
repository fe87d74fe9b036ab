import assert from "node:assert/strict";
import test from "node:test";
import { shade, told, along, valueAt } from "../../anim_lessons/light_table/page/lag_map.mjs";

test("the later, the darker, and before the parent is as light as with it", () => {
  assert.deepEqual([-2, 0, 0.19, 0.2, 0.4, 0.79, 1.2, 2.9, 9].map(shade), [0, 0, 0, 1, 2, 2, 3, 4, 5]);
});
test("a place says what it is, also where nothing links up or nothing swings", () => {
  const at = { swings: 1.6, settles: 0.5, found: true };
  assert.match(told({ ...at, lag: 0.42 }), /^swings 1\.6 a second, settles 0\.50: .* at least 0\.4 drawings of 24 after/);
  assert.match(told({ ...at, lag: -1 }), /1\.0 drawings of 24 before/);
  assert.match(told({ ...at, lag: null }), /too little swing/);
  assert.match(told({ ...at, lag: null, found: false }), /nothing links up there. The drawings are from before/);
});
test("a place along an axis and its value are each other's answer, and beyond the ends is the end", () => {
  const axis = [0.5, 1.5, 2.5]; // three cells, their middles half a cell from the edges
  assert.deepEqual([0.5, 1.5, 2.0].map((value) => along(axis, value)), [0.5, 1.5, 2]);
  assert.deepEqual([0.5, 1.5, 2].map((place) => valueAt(axis, place)), [0.5, 1.5, 2]);
  assert.deepEqual([-3, 0.2, 2.9, 7].map((place) => valueAt(axis, place)), [0.5, 0.5, 2.5, 2.5]);
});
