/* In the place of table/drag.mjs: a joint is chosen, so that its path and its chart are seen, and stays where it lies. */
import { on } from "../elements.mjs";
import { s } from "../tools.mjs";
import { set } from "../table/changes.mjs";
import { rest_hands } from "../table/flip_and_play.mjs";

/** A press beside every joint lets the chosen one go. */
export function listen_to_the_sheet(t) {
  on(t, t.sheet, "pointerdown", (e) => {
    if (e.target.closest(".handle") || !t.active) return;
    t.active = null;
    t.repaint();
  });
}

export function make_handle(t) {
  const g = s(
    "g",
    { tabindex: 0, role: "slider", "aria-orientation": "vertical", "aria-readonly": "true" },
    s("circle", { class: "hit", r: 13 }),
    s("circle", { class: "halo-ring", r: 9.6 }),
    s("circle", { class: "ring", r: 9.6 }),
    s("circle", { class: "knob", r: 5.5 }),
  );
  on(t, g, "pointerdown", (e) => {
    if (e.button !== 0) return;
    e.preventDefault(); // no text selection; the focus is set here instead
    rest_hands(t);
    g.focus({ preventScroll: true });
  });
  on(t, g, "focus", () => take(t, t.stands_for.get(g)));
  return g;
}

function take(t, joint) {
  if (t.active?.limb === joint.limb && t.active.joint === joint.joint) return;
  t.active = { ...joint };
  if (joint.joint > 0) set(t, { chart: t.head.limbs[joint.limb].joints[joint.joint] });
  else t.repaint();
}

export const let_go = () => {};
