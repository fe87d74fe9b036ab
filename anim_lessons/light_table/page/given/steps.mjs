/* A recorded lecture on a page that is given away: a line above the table, on which its steps are gone through. */
import { button, on } from "../elements.mjs";
import { h, named, used } from "../tools.mjs";

/** How a step is called. The limb is named where there is more than one. */
export const called = ({ drawing, limb, joint }, many) =>
  `Drawing ${drawing}, ${named(joint)}${many ? `, ${named(limb)}` : ""}`;

/** The step before or after; null where there is none. */
export const neighbour = (at, by, count) => (at + by >= 0 && at + by < count ? at + by : null);

/** Lay the steps up to this one on the table. */
export function to_step(model, i) {
  if (i !== null) model.set("at", i);
}

/** The line of steps; Page Up and Page Down go through them, wherever the focus is. */
export function make_steps(model, life) {
  const t = { life };
  const all = model.get("steps");
  const many = model.get("head").limbs.length > 1;
  const by = (far) => to_step(model, neighbour(model.get("at"), far, all.length));
  const before = button(t, "step before", () => by(-1), { "aria-keyshortcuts": "PageUp", title: "Page Up" });
  const next = button(t, "next step", () => by(1), { "aria-keyshortcuts": "PageDown", title: "Page Down" });
  const list = h(
    "select",
    { "aria-label": "step of the lecture" },
    ...all.map((one, i) => h("option", {}, `${i + 1} · ${called(one, many)}`)),
  );
  on(t, list, "change", () => to_step(model, list.selectedIndex));
  on(t, document, "keydown", (e) => {
    if (!["PageUp", "PageDown"].includes(e.key) || e.ctrlKey || e.altKey || e.metaKey || e.target.closest("select")) return;
    used(e);
    by(e.key === "PageUp" ? -1 : 1);
  }, { capture: true });
  const paint = () => {
    const at = model.get("at");
    list.selectedIndex = at;
    before.disabled = neighbour(at, -1, all.length) === null;
    next.disabled = neighbour(at, 1, all.length) === null;
  };
  model.on("change:at", paint);
  paint();
  return h("div", { class: "steps", role: "group", "aria-label": "lecture" }, before, next, list);
}
