/* Work in layers: one joint through the stack, then the next one out. */
import { changed, h, named, put } from "../tools.mjs";
import { set } from "./changes.mjs";
import { handle_at, layer_now, layers, name_of, settings, undrawn } from "./questions.mjs";

/** Choose the joint to work on through the stack; null: all joints. */
export function work_on(t, one) {
  if (one) t.active = { ...one };
  set(t, {
    layer: one && name_of(t, one),
    ...(one && settings(t).guide ? { guide: name_of(t, one) } : {}),
    ...(one ? { chart: name_of(t, one).joint } : {}),
  });
}

/** J: to the next joint out; while some are not drawn through yet, only to those. */
export function next_layer(t) {
  const all = layers(t);
  // it may be drawn through by now
  const here = all.findIndex((one) => JSON.stringify(one) === JSON.stringify(layer_now(t)));
  const one = [...all.slice(here + 1), ...all.slice(0, here + 1)].find(
    (one) => !one || !undrawn(t) || undrawn(t, one),
  );
  work_on(t, one);
  if (one) handle_at(t, one).focus({ preventScroll: true });
}

export function paint_layers(t) {
  const all = layers(t);
  const names = all.map((one) =>
    one
      ? `${named(name_of(t, one).joint)}${t.head.limbs.length > 1 ? `, ${named(name_of(t, one).limb)}` : ""}`
      : "all joints",
  );
  if (changed(t.made_of, t.layer_choice, names.join("|")))
    t.layer_choice.replaceChildren(...names.map((name) => h("option", {}, name)));
  t.layer_choice.selectedIndex = all.findIndex((one) => JSON.stringify(one) === JSON.stringify(layer_now(t)));
  t.way_choice.hidden = !layer_now(t);
  t.way_choice.value = settings(t).way;
  put(t.root, { "data-layer": layer_now(t) ? name_of(t, layer_now(t)).joint : null });
}
