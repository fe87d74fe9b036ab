/* In the place of table/care.mjs: the keys that only look. */
import { make_care as make } from "../table/care.mjs";

const LOOK = [
  ["← →", "previous, next drawing"],
  ["F", "held: flip"],
  ["P", "play, stop"],
  ["Enter", "what the margin asks for"],
  ["Escape", "stop, leave it"],
  ["?", "keys"],
];
const STEPS = ["Page Up, Page Down", "step before, next step"];
const GUIDE = ["W", "where may it go"];

export const make_care = (t) =>
  make(t, [...LOOK, ...(t.model.get("steps").length ? [STEPS] : []), ...(t.model.get("has_guides") ? [GUIDE] : [])]);
