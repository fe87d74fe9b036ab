/* Joints, bends, frames and neighbours of the light table's view. */
import assert from "node:assert/strict";
import test from "node:test";
import {
  half, turns, bends, moved, swung, exposures, folded, drawingAt, neighbours, steps, document_of, worth_offering, under_of, plans_of,
  lesson_of,
} from "../../anim_lessons/light_table/page/drawings.mjs";

const near = (measured, expected, within = 1e-3) =>
  assert.ok(Math.abs(measured - expected) <= within, `${measured} is not ${expected}`);
const far = ([ax, ay], [bx, by]) => Math.hypot(ax - bx, ay - by);

// Pythagorean triangles (3-4-5, 5-12-13): right answers one can do in the head.
const arm = [[0, 0], [3, 4], [8, 16]];

test("angles go round counter-clockwise, with y up", () => {
  assert.deepEqual(turns([[0, 0], [2, 0], [2, 2], [0, 2], [0, 0]]), [0, 90, 180, -90]);
  bends([[0, 0], [2, 0], [2, 2], [0, 2], [0, 0]]).forEach((bend, k) => near(bend, k ? 90 : 0));
});

test("half a turn is said as 180, never as -180, and a whole turn is nothing", () => {
  assert.equal(half(180), 180);
  assert.equal(half(-180), 180);
  assert.equal(half(360), 0);
  assert.equal(half(190), -170);
  assert.equal(half(-725), -5);
});

test("a bend across the half turn takes the short way", () => {
  // 170° and then -170° (190°): 20° on, not 340° back
  const p = (deg) => [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)];
  const [a, b] = [p(170), p(-170)];
  near(bends([[0, 0], a, [a[0] + b[0], a[1] + b[1]]])[1], 20);
});

test("a joint swings on its parent at its model length, and what hangs below is shifted and traced", () => {
  const next = moved(arm, 1, [40, 30], 5); // towards 4-3, far beyond reach
  assert.deepEqual(next[0], [0, 0]);
  assert.deepEqual(next[1], [4, 3]);
  assert.deepEqual(next[2], [9, 15]); // the same 5-12 as before
  near(turns(next)[1], turns(arm)[1]);
});

test("with the length let go, the joint goes where the hand goes", () => {
  assert.deepEqual(moved(arm, 1, [40, 30]), [[0, 0], [40, 30], [45, 42]]);
});

test("the root takes everything along, and keeps every length", () => {
  assert.deepEqual(moved(arm, 0, [10, -2], 5), [[10, -2], [13, 2], [18, 14]]);
});

test("moving a joint leaves the drawing it was made from as it was", () => {
  const before = structuredClone(arm);
  moved(arm, 1, [1, 1], 5);
  swung(arm, 2, 30, 13);
  assert.deepEqual(arm, before);
});

test("a hand right on the parent swings nothing", () => {
  assert.deepEqual(moved(arm, 1, [0, 0], 5), arm);
});

test("a swing by a right angle, counter-clockwise for plus", () => {
  assert.deepEqual(swung([[0, 0], [5, 0], [5, 5]], 1, 90, 5), [[0, 0], [0, 5], [0, 10]]);
  assert.deepEqual(swung([[0, 0], [5, 0], [5, 5]], 2, -90, 5), [[0, 0], [5, 0], [10, 0]]);
});

test("a whole turn in steps of one degree comes home with its lengths", () => {
  let p = arm;
  for (let i = 0; i < 360; i += 1) p = swung(p, 1, 1, 5);
  p.forEach((q, j) => near(far(q, arm[j]), 0, 0.2)); // thousandths of a mm, rounded 360 times
  near(far(p[0], p[1]), 5, 0.001);
});

test("exposure is one number for all or one a drawing", () => {
  assert.deepEqual(exposures(2, 3), [2, 2, 2]);
  assert.deepEqual(exposures([1, 2, 3], 3), [1, 2, 3]);
  assert.equal(folded([2, 2, 2]), 2);
  assert.deepEqual(folded([2, 1, 2]), [2, 1, 2]);
});

test("on twos every drawing is on for two frames, and a second holds twelve of them", () => {
  // 24 frames a second on twos: 12 drawings a second. Common practice, no source.
  const shown = Array.from({ length: 24 }, (_, f) => drawingAt(f, exposures(2, 12)));
  assert.deepEqual(shown.filter((d, f) => d !== shown[f - 1]), [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11]);
});

test("a list of exposures is held as written, and goes round", () => {
  assert.deepEqual([0, 1, 2, 3, 4, 5, 6].map((f) => drawingAt(f, [1, 3, 2])), [0, 1, 1, 1, 2, 2, 0]);
});

test("onion skin links the last drawing to the first where the action loops", () => {
  const say = (all) => all.map((a) => `${a.number}${a.side[0]}${a.far}`).join(" ");
  assert.equal(say(neighbours(1, 16, 3, true)), "16b1 2a1 15b2 3a2 14b3 4a3");
  assert.equal(say(neighbours(1, 16, 3, false)), "2a1 3a2 4a3");
  assert.equal(say(neighbours(16, 16, 1, false)), "15b1");
  assert.equal(say(neighbours(5, 16, 0, true)), "");
});

test("in a short stack no drawing shows through twice", () => {
  for (const count of [2, 3, 4, 5, 6]) {
    const all = neighbours(1, count, 3, true).map((a) => a.number);
    assert.equal(new Set(all).size, all.length);
    assert.ok(!all.includes(1));
    assert.equal(all.length, count - 1);
  }
});

test("spacing is measured from the drawing before; the first of a loop from the last", () => {
  const drawings = [[[0, 0]], [[3, 4]], [[3, 16]]];
  assert.deepEqual(steps(drawings, 0, true), [Math.hypot(3, 16), 5, 12]);
  assert.deepEqual(steps(drawings, 0, false), [null, 5, 12]);
});

const head = { title: "t", by: "", rate: 24, loop: true, paper: { width: 297, height: 210 }, limbs: [{ name: "rope", joints: ["post", "end"], lengths: [5], stops: [[-90, 90]] }], file: "x.json", exercise: "e" };
const pose = { revision: 4, exposure: 2, drawings: [[[[0, 0], [3, 4]], [[0, 0], [4, 3]]]] };

test("a copy is an action file, keys in the order of the format and none of the view's own", () => {
  const copy = JSON.parse(JSON.stringify(document_of(head, pose)));
  assert.deepEqual(Object.keys(copy), ["format", "version", "title", "by", "rate", "loop", "paper", "exposure", "limbs"]);
  assert.deepEqual(Object.keys(copy.limbs[0]), ["name", "joints", "lengths", "stops", "drawings"]);
  assert.deepEqual(copy.limbs[0].drawings, pose.drawings[0]);
});

test("kept drawings are offered where they fit this action and differ from it", () => {
  const other = { exposure: 2, drawings: [[[[0, 0], [3, 4]], [[0, 0], [5, 0]]]] };
  assert.ok(worth_offering(other, head, pose));
  assert.ok(worth_offering({ ...pose, exposure: 1 }, head, pose));
  assert.ok(!worth_offering({ ...pose, revision: 9 }, head, pose), "the same drawings need no offer");
  assert.ok(!worth_offering(null, head, pose));
  assert.ok(!worth_offering({ exposure: 2, drawings: [] }, head, pose));
  assert.ok(!worth_offering({ exposure: 2, drawings: [[[[0, 0]], [[0, 0]]]] }, head, pose), "a joint is missing");
  assert.ok(!worth_offering({ exposure: 2, drawings: [[[[0, null], [1, 1]], [[0, 0], [1, 1]]]] }, head, pose));
});

test("an under-drawing is that of the drawing under work, and none where it does not fit", () => {
  const under = { drawings: [[arm, arm.map(([x, y]) => [x + 1, y])]] };
  assert.deepEqual(under_of(under, 0, 2, 3), [[1, 0], [4, 4], [9, 16]]);
  assert.equal(under_of(under, 0, 3, 3), null); // no such drawing
  assert.equal(under_of(under, 1, 1, 3), null); // no such limb
  assert.equal(under_of(under, 0, 1, 4), null); // other joints
  assert.equal(under_of({}, 0, 1, 3), null);
  assert.equal(under_of(undefined, 0, 1, 3), null);
});

test("a plan lies under the drawings where it fits them", () => {
  const head = { limbs: [{ name: "arm", joints: ["shoulder", "elbow"] }] };
  const plan = { limb: "arm", joint: "elbow", path: [[0, 0], [1, 1]], dots: [[0, 0], [1, 1]] };
  assert.deepEqual(plans_of({ plans: [plan, { ...plan, joint: "knee" }, { ...plan, dots: [] }, { ...plan, path: null }] }, head, 2), [plan]);
  assert.deepEqual(plans_of({}, head, 2), []);
  assert.deepEqual(plans_of(undefined, head, 2), []);
});

test("a finding says which lesson teaches its rule", () => {
  assert.equal(lesson_of({ lesson: { name: "05_elbow", title: "The arm opens" } }), "5, The arm opens");
  assert.equal(lesson_of({ lesson: { name: "glossary", title: "Words" } }), "Words");
  assert.equal(lesson_of({}), "");
});
