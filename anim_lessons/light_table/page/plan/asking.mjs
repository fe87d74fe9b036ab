/* What is asked of Python, and the drawing turned to. */

const SILENCE = 6000; // ms without an answer after which nobody seems to be there

export function ask(t, what, more) {
  t.revision = Math.max(t.revision, t.model.get("answered")) + 1;
  t.unheard = what === "stroke" ? more : null;
  clearTimeout(t.timer);
  t.timer = setTimeout(() => nobody(t), SILENCE);
  try {
    t.model.send({ ask: what, what: more, revision: t.revision });
  } catch {
    nobody(t);
  }
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
