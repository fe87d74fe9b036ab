/* Other widgets on the table's own desk: sliders and map in the margin, the plan as a layer of the same sheet. */
import { button } from "../elements.mjs";
import lag_map from "../lag_map.mjs";
import plan_sheet from "../plan_sheet.mjs";
import sliders from "../sliders.mjs";
import { h, put } from "../tools.mjs";
import { rest_hands } from "./flip_and_play.mjs";

const WIDGETS = { map: lag_map, sliders, plan: plan_sheet }; // in the order in which they stand

/** Fetch the models that Python names, and show each once. */
export async function take_beside(t) {
  const asked = t.model.get("beside") ?? {};
  for (const name of Object.keys(WIDGETS).filter((one) => asked[one] && !t.beside_shown.has(one))) {
    const manager = t.model.widget_manager;
    if (!manager?.get_model) return; // a page without a notebook
    t.beside_shown.set(name, () => {});
    const model = await manager.get_model(asked[name]);
    if (t.life.signal.aborted) return;
    show_beside(t, name, model);
  }
}

export function show_beside(t, name, model) {
  const el = h("div", { class: `beside-${name}` });
  (name === "plan" ? t.table : t.beside_box).append(el);
  t.beside_shown.set(name, WIDGETS[name].render({ model, el }));
  if (name === "plan") make_tabs(t);
  t.repaint();
}

/** Plan or drawings on the sheet. */
function make_tabs(t) {
  t.tab = "plan";
  t.tab_buttons = ["plan", "drawings"].map((name) =>
    button(t, name, () => {
      rest_hands(t);
      t.tab = name;
      t.repaint();
    }),
  );
  t.tab_box.replaceChildren(...t.tab_buttons);
}

export function paint_beside(t) {
  put(t.root, {
    "data-tab": t.tab || null,
    "data-beside": [...t.beside_shown.keys()].filter((name) => name !== "plan").join(" ") || null,
  });
  for (const b of t.tab_buttons) put(b, { "aria-pressed": String(b.textContent === t.tab) });
}

export function leave_beside(t) {
  for (const leave of t.beside_shown.values()) leave?.();
}
