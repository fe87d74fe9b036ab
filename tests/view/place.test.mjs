import assert from "node:assert/strict";
import { test } from "node:test";
import { as_now, field, place_name, settle, take } from "../../anim_lessons/light_table/page/place.mjs";

const EM = 12;
const JOINTS = [[300, 380], [300, 300], [300, 220]];

/** A sheet on which the worked joint's name finds room only far off, and a label stands on the way there. */
function crowded() {
  const on = field([594, 420], EM);
  take(on, 250, 250, 350, 350); // all that is near the joint
  return on;
}
const crosses = ([[ax, ay], [bx, by]], [x0, y0, x1, y1]) =>
  Array.from({ length: 101 }, (_, k) => [ax + ((bx - ax) * k) / 100, ay + ((by - ay) * k) / 100]).some(
    ([x, y]) => x > x0 && x < x1 && y > y0 && y < y1,
  );

test("a name goes where its leader crosses no label", () => {
  const free = place_name(crowded(), JOINTS, 1, "elbow", true);
  assert.ok(free.leader);
  // the very same sheet, and a number in a ring where that leader ran
  const on = crowded();
  const [[ax, ay], [bx, by]] = free.leader;
  on.labels.push([(ax + bx) / 2 - 9, (ay + by) / 2 - 9, (ax + bx) / 2 + 9, (ay + by) / 2 + 9]);
  const [ring] = on.labels;
  const placed = place_name(on, JOINTS, 1, "elbow", true);
  assert.notDeepEqual(placed.at, free.at);
  assert.ok(placed.leader && !crosses(placed.leader, ring));
});

test("where every leader would cross a label there is a name without one", () => {
  const on = crowded();
  on.labels.push([250, 250, 350, 350]);
  const placed = place_name(on, JOINTS, 1, "elbow", true);
  assert.ok(placed.at);
  assert.equal(placed.leader, null);
});

test("what is placed on a copy changes the sheet no more", () => {
  const on = crowded();
  settle(as_now(on), [[100, 100]], 20, 10);
  assert.equal(on.taken.length, 1);
  assert.equal(on.labels.length, 0);
});
