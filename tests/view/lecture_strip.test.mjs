/* The lecture strip's pure helpers. */
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import test from "node:test";
import { asked, called, neighbour, to_record } from "../../anim_lessons/light_table/page/lecture/steps.mjs";

const table = await readFile(new URL("../../anim_lessons/light_table/page/table/keys.mjs", import.meta.url), "utf8");

test("a step is called by its number, drawing and joint, and by its limb where there are more", () => {
  const step = { drawing: 5, limb: "near arm", joint: "elbow" };
  assert.equal(called(step, 2, false), "3 · drawing 5, elbow");
  assert.equal(called(step, 2, true), "3 · drawing 5, elbow, near arm");
});
test("steps end at both ends, and begin with the first", () => {
  assert.deepEqual([neighbour(-1, 1, 3), neighbour(0, 1, 3), neighbour(2, 1, 3)], [0, 1, null]);
  assert.deepEqual([neighbour(-1, -1, 3), neighbour(0, -1, 3), neighbour(2, -1, 3)], [null, null, 1]);
  assert.deepEqual([neighbour(-1, 1, 0), neighbour(-1, -1, 0)], [null, null]);
});
test("keys of the panel ask for what they say, and only as they are", () => {
  for (const records of [false, true]) {
    assert.equal(asked({ key: "PageDown", altKey: true }, records), "next");
    assert.equal(asked({ key: "PageUp", altKey: true }, records), "before");
    assert.equal(asked({ key: "F8" }, records), "note");
    for (const key of [{ key: "PageDown", altKey: true, ctrlKey: true }, { key: "F8", shiftKey: true }, { key: "f" }, { key: "F9", altKey: true }])
      assert.equal(asked(key, records), null);
  }
});
test("a clicker's Page Down and Page Up are the steps of a lecture that is followed, and turn drawings while one is recorded", () => {
  assert.deepEqual([asked({ key: "PageDown" }, false), asked({ key: "PageUp" }, false)], ["next", "before"]);
  assert.deepEqual([asked({ key: "PageDown" }, true), asked({ key: "PageUp" }, true)], [null, null]);
});
test("a step is recorded after the one at hand, else at the end", () => {
  assert.deepEqual([to_record(-1, 36), to_record(0, 36), to_record(35, 36), to_record(-1, 0)], [37, 2, 37, 1]);
});
test("the light table has no use for the panel's keys: no letter, no F key, and Page Up and Down only without Alt", () => {
  const keys = table.slice(table.indexOf("const plain = {"), table.indexOf("const plain = {") + 900);
  for (const key of "abcdefghijklmnopqrstuvwxyz0123456789") assert.equal(asked({ key }), null);
  assert.doesNotMatch(keys, /\bF8\b/);
  assert.match(table, /if \(e\.altKey .*\) return push_joint/); // with Alt the arrows alone
});
