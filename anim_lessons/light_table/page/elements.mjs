/* Listeners, buttons and groups of a table or plan sheet `t`. */
import { h, s } from "./tools.mjs";

/** Listen until the table is taken away. */
export const on = (t, target, type, act, more = {}) =>
  target.addEventListener(type, act, { signal: t.life.signal, ...more });

export const button = (t, label, act, more = {}) => {
  const made = h("button", { type: "button", ...more }, label);
  if (act) on(t, made, "click", act);
  return made;
};

/** A button with the key that does the same. */
export const key = (t, label, act, shortcut, title, more = {}) =>
  button(t, label, act, {
    "aria-keyshortcuts": shortcut,
    title: `${title} (${shortcut.split(" ")[0].replace("Page", "Page ")})`,
    ...more,
  });

export const group = (name, more = {}) => s("g", { class: name, ...more });
export const row = (name, ...inside) =>
  h("div", { class: "row", role: "group", "aria-label": name }, ...inside);
export const push = () => h("span", { class: "push" });
