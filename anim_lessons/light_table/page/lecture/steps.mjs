/* Steps of a lecture and their words, and the keys of its panel. Nothing here knows the page. */
import { named, the } from "../tools.mjs";

/** How a step is called in the list: "3 · drawing 5, elbow". The limb is named where there is more than one. */
export const called = ({ drawing, limb, joint }, i, many) =>
  `${i + 1} · drawing ${drawing}, ${named(joint)}${many ? `, ${named(limb)}` : ""}`;

/** What is asked before a step is shown. */
export const question = ({ drawing, limb, joint }, many) =>
  `Where may ${the(joint)}${many ? ` of the ${named(limb)}` : ""} go on ${drawing}, and why?`;

/** The step that comes after the one at hand, or before it; null where there is none. */
export function neighbour(at, by, count) {
  const to = at < 0 ? (by > 0 ? 0 : -1) : at + by;
  return to >= 0 && to < count ? to : null;
}

/** What a key asks for anywhere in the panel, or null. A clicker sends Page Up and Page Down; while one records these turn
 * the drawings, and steps take Alt with them. */
export function asked({ key, altKey, ctrlKey, metaKey, shiftKey }, records) {
  if (ctrlKey || metaKey || shiftKey) return null;
  const way = { PageDown: "next", PageUp: "before" }[key];
  if (way) return altKey || !records ? way : null;
  return key === "F8" && !altKey ? "note" : null;
}

/** The number of the step that would be recorded now: after the one at hand, else at the end. */
export const to_record = (at, count) => (at >= 0 && at < count ? at + 2 : count + 1);
