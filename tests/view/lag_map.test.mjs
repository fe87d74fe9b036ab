import assert from "node:assert/strict";
import { readFile } from "node:fs/promises";
import test from "node:test";

const text = await readFile(new URL("../../anim_lessons/light_table/lag_map.js", import.meta.url), "utf8");
const { shade, told } = await import("data:text/javascript," + encodeURIComponent(text));

test("the later, the darker, and before the parent is as light as with it", () => {
  assert.deepEqual([-2, 0, 0.4, 0.5, 1.2, 2.9, 9].map(shade), [0, 0, 0, 1, 2, 5, 5]);
});
test("a place says what it is, also where nothing links up", () => {
  assert.match(told(1.6, 0.5, 0.42), /swings 1\.6 a second, settles 0\.50: .* 0\.4 drawings of 24 after/);
  assert.match(told(1.6, 0.5, -1), /1\.0 drawings of 24 before/);
  assert.match(told(1.6, 0.5, null), /nothing links up there/);
});
