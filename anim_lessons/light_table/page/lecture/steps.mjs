/* Steps of a lecture and their words, and the keys of its panel. Nothing here knows the page. */
import { named, the } from "../tools.mjs";

/** How a step is called in the list: "3 · drawing 5, elbow". The limb is named where there is more than one. */
export const called = ({ drawing, limb, joint }, i, many) =>
  `${i + 1} · drawing ${drawing}, ${named(joint)}${many ? `, ${named(limb)}` : ""}`;

/** What is asked before a step is shown. */
export const question = ({ drawing, limb, joint }, many) =>
  `Where may ${the(joint)}${many ? ` of the ${named(limb)}` : ""} go on ${drawing}, and why? W shows it.`;

/** The step that comes after the one at hand, or before it; null where there is none. */
export function neighbour(at, by, count) {
  const to = at < 0 ? (by > 0 ? 0 : -1) : at + by;
  return to >= 0 && to < count ? to : null;
}

/** What a key asks for anywhere in the panel, or null. */
export function asked({ key, altKey, ctrlKey, metaKey, shiftKey }) {
  if (altKey && !ctrlKey && !metaKey && key === "PageDown") return "next";
  if (altKey && !ctrlKey && !metaKey && key === "PageUp") return "before";
  if (altKey || ctrlKey || metaKey || shiftKey) return null;
  return { F8: "note", F9: "fill" }[key] ?? null;
}
