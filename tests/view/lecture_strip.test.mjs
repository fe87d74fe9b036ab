/* The lecture strip's pure helpers. */
import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import test from "node:test";
import { asked, called, neighbour } from "../../anim_lessons/light_table/page/lecture/steps.mjs";

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
  assert.equal(asked({ key: "PageDown", altKey: true }), "next");
  assert.equal(asked({ key: "PageUp", altKey: true }), "before");
  assert.deepEqual([asked({ key: "F8" }), asked({ key: "F9" })], ["note", "fill"]);
  for (const key of [{ key: "PageDown" }, { key: "PageDown", altKey: true, ctrlKey: true }, { key: "F8", shiftKey: true }, { key: "f" }, { key: "F9", altKey: true }])
    assert.equal(asked(key), null);
});
test("the light table has no use for the panel's keys: no letter, no F key, and Page Up and Down only without Alt", () => {
  const keys = table.slice(table.indexOf("const plain = {"), table.indexOf("const plain = {") + 900);
  for (const key of "abcdefghijklmnopqrstuvwxyz0123456789") assert.equal(asked({ key }), null);
  assert.doesNotMatch(keys, /\bF[89]\b/);
  assert.match(table, /if \(e\.altKey .*\) return push_joint/); // with Alt the arrows alone
});
