import assert from "node:assert/strict";
import test from "node:test";

import { aim_of, dot_words, drag_it, to_go } from "../../anim_lessons/light_table/page/table/going.mjs";

/** A table with an arm of one part, 50 mm, on drawing 2 of 4; its layer as Python tells it. */
function table({ number = 2, degrees = 90, layer = {}, guide = null, told = {} } = {}) {
  const turn = (degrees * Math.PI) / 180;
  const at = [[0, 0], [50 * Math.cos(turn), 50 * Math.sin(turn)]];
  const state = {
    number,
    verdict: { layers: [{ limb: "arm", joint: "elbow", name: "Elbows", says: "", drawings: [2, 3, 4], drawn: [3], begun: true, done: false,
      begins: true, goes: [12.4, 0, 0], right: [4], beside: 2.5, short: null, ...layer }] },
    settings: { layer: null, guide, guess: false, asking: false, stays: [] },
    guide: told,
    saved: {},
  };
  return {
    model: { get: (name) => state[name] }, pose: { revision: 1, drawings: [[at, at, at, at]] }, drag: null, active: null, aim: null, touched: true,
    head: { loop: true, limbs: [{ name: "arm", joints: ["shoulder", "elbow"], lengths: [50] }] }, guessed: new Set(), guide_since: 0, dead: false,
  };
}

test("of a drawing that is not drawn the way and the amount are told", () => {
  const { turn, ...told } = to_go(table());
  assert.deepEqual(told, { drawn: false, right: false, ways: [1], beside: 0, there: false, off: true, far: "12° to go", end: "to the bar" });
  assert.ok(Math.abs(turn - 12.4) < 1e-9);
  assert.deepEqual(to_go(table({ layer: { goes: [-12.4, 0, 0] } })).ways, [-1]);
});

test("where the brief keeps the amount back the way alone is told", () => {
  const { ways, far, turn, off } = to_go(table({ layer: { beside: 0, goes: [1, 0, 0] } }));
  assert.deepEqual([ways, far, turn, off], [[1], "", null, false]);
});

test("what lies right as it is has no way to go, and what is not asked for says nothing", () => {
  const found = to_go(table({ number: 4 }));
  assert.deepEqual([found.right, found.ways, found.far], [true, [], ""]);
  assert.equal(to_go(table({ number: 1 })), null);
});

test("while a hand draws, and after it, it is told how far it is from where it was going", () => {
  const before = table();
  const aim = aim_of(before);
  const far = (degrees) => to_go({ ...table({ degrees, layer: { drawn: [2, 3], goes: [0, 0, 0] } }), aim });
  assert.deepEqual([far(95).far, far(95).there], ["7° to go", false]);
  assert.deepEqual([far(110).far, far(110).there, far(110).off], ["8° too far", false, false]);
  assert.ok(Math.abs(far(110).turn - (102.4 - 110)) < 1e-9); // back to where it was going
  assert.deepEqual([far(120).off, far(90).off], [true, true]); // nobody means to be so far beside it
  assert.ok(far(101).there);
  const elsewhere = { ...table({ number: 3 }), aim };
  assert.equal(to_go(elsewhere).far, ""); // it was told of another drawing
});

test("with the circle the way to its dot is told in degrees", () => {
  const told = (angle) => ({ revision: 1, drawing: 2, limb: "arm", joint: "elbow", centre: [0, 0], radius: 50, shows: "all",
    asked: { angle, place: [0, 0] } });
  const guide = { limb: "arm", joint: "elbow" };
  assert.equal(dot_words(table({ guide, told: told(101) })), "11° to the dot.");
  assert.equal(dot_words(table({ guide, told: told(90.2) })), "On the dot.");
  assert.equal(dot_words(table({ guide, told: { ...told(101), shows: "sector" } })), "");
});

test("where the brief shows where it may go, it is told about how far, and between which bars", () => {
  const { far, end, beside, there } = to_go(table({ layer: { beside: 8, about: true } }));
  assert.deepEqual([far, end, beside, there], ["about 10° to go", "between the bars", 8, false]);
  assert.equal(drag_it(table({ layer: { beside: 8, about: true } })), "Drag it along the arrow between the bars");
  assert.equal(drag_it(table()), "Drag it along the arrow to the bar");
  assert.equal(drag_it(table({ layer: { beside: 0 } })), "Drag it the way of the arrow");
});
