/* Keys, and what to take care of: laid over the margin. */
import { button } from "../elements.mjs";
import { h } from "../tools.mjs";
import { show_more } from "./bar.mjs";

const KEYS = [
  ["← →", "previous, next drawing"],
  ["↑ ↓", "swing the joint by 1°, with Shift 0.2; Alt and arrows move a root by 1 mm"],
  ["F", "held: flip"],
  ["P", "play, stop"],
  ["Page Up, Page Down", "in a lecture: step before, next step"],
  ["Enter", "what the margin asks for"],
  ["Escape", "let go, stop, leave it"],
  ["Control Z, Control Y", "undo, redo"],
  ["W", "where may it go"],
  ["?", "keys"],
];
const CARE = [
  "Playing changes up to 24 pictures a second. If flicker troubles you, turn the pages by hand; if you have ever had a seizure or have been told that flashing light may bring one on, ask a doctor before you play.",
  "Long drawing tires hand and eyes: lay the pen down every twenty minutes or so, look far off, loosen shoulder and wrist. If it hurts or tingles, stop; if it comes back, see a doctor or a physiotherapist.",
];

export function make_care(t) {
  t.care = h(
    "div",
    { class: "care" },
    h("div", { class: "expohead" }, h("b", {}, "keys"), h("span", { class: "push" }), button(t, "close", () => show_more(t, false))),
    h(
      "dl",
      { class: "keys" },
      ...KEYS.map(([key, does]) => h("div", {}, h("dt", {}, h("kbd", {}, key)), h("dd", {}, does))),
    ),
    ...CARE.map((text) => h("p", {}, text)),
  );
  t.care.hidden = true;
}
