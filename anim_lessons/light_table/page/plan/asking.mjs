/* What is asked of Python, and the drawing turned to. */
import { ask as ask_python } from "../asking.mjs";

export function ask(t, what, more) {
  t.unheard = what === "stroke" ? more : null;
  ask_python(t, what, more, () => nobody(t));
  t.repaint();
}

function nobody(t) {
  t.silent = true;
  t.repaint();
}

export function go(t, n) {
  if (n === t.model.get("number")) return;
  t.model.set("number", n);
  t.model.save_changes();
  t.repaint();
}
