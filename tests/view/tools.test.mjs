/* Names in a line, and places on paper of any shape. */
import assert from "node:assert/strict";
import test from "node:test";
import { deep_of, laid, scale_of, SHEET, unlaid } from "../../anim_lessons/light_table/page/lines.mjs";
import { cut, named, one_by_one, the, whole_name } from "../../anim_lessons/light_table/page/tools.mjs";

test("a long name is cut, and an accent stays with its letter", () => {
  assert.equal(named("W".repeat(500)), `${"W".repeat(33)}…`);
  assert.equal(named("wrist"), "wrist");
  assert.equal(whole_name("wrist"), null);
  assert.equal(whole_name("W".repeat(35)), "W".repeat(35));
  assert.equal(cut("abe\u0301\u0302cd", 4), "ab…");
  assert.equal(cut("👩‍🚀abc", 4), "👩‍🚀…");
  assert.equal(the("e".repeat(40)), `the ${"e".repeat(33)}…`);
});

test("a name that nobody could see is told of, and one from right to left keeps to itself", () => {
  assert.equal(named(""), "(blank)");
  assert.equal(named(" \n"), " ␊");
  assert.equal(named("  "), "(blank)");
  assert.equal(named("יד"), "\u200eיד\u200e");
  assert.equal(named("\u202egnol"), "\ufffdgnol");
});

test("a place comes back from where it is laid, on paper of any shape", () => {
  for (const paper of [[297, 210], [210, 297], [1, 1], [1e4, 1e4], [1000, 100], [100, 1000]].map(([width, height]) => ({ width, height }))) {
    const place = [0.3 * paper.width, 0.8 * paper.height];
    const [x, y] = laid(paper, place);
    assert.ok(0 < x && x < SHEET && 0 < y && y < deep_of(paper));
    const back = unlaid(paper, [x / SHEET, y / deep_of(paper)]);
    back.forEach((mm, k) => assert.ok(Math.abs(mm - place[k]) < 1e-9 * paper.width + 1e-9 * paper.height));
  }
  assert.equal(scale_of({ width: 297, height: 210 }), 2); // half a millimetre a unit on A4
  assert.equal(deep_of({ width: 297, height: 210 }), 420);
});

test("no place is without a number, however small the paper", () => {
  for (const side of [1e-9, 1e-300, 5e-324])
    for (const place of [[0, 0], [1e4, -1e4], [side, side]]) {
      const paper = { width: side, height: side };
      assert.ok([...laid(paper, place), deep_of(paper)].every(Number.isFinite));
    }
});

test("a part that fails is told of and the next one is painted", () => {
  const [done, told] = [[], []];
  const { error } = console;
  console.error = (one) => told.push(one.message);
  one_by_one(
    () => done.push(1),
    () => {
      throw new Error("no");
    },
    () => done.push(3),
  );
  console.error = error;
  assert.deepEqual([done, told], [[1, 3], ["no"]]);
});
