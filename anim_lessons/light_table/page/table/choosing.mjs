/* A finding opened, left, or laid on its ghost. */
import { alter, go, turn_to, with_drawing } from "./changes.mjs";
import { rest_hands } from "./flip_and_play.mjs";
import { findings, key_of, stale } from "./questions.mjs";

/** Open a finding: it speaks, on its drawing. */
export function choose(t, f) {
  const n = f.ghost?.drawing ?? f.drawings[0];
  t.touched = true;
  t.chosen = key_of(f);
  t.hint = "";
  rest_hands(t);
  const limb = t.head.limbs.findIndex((l) => l.name === f.limb);
  const joint = limb < 0 ? -1 : t.head.limbs[limb].joints.indexOf(f.joint);
  if (limb >= 0 && joint >= 0) t.active = { limb, joint };
  if (n) turn_to(t, n);
  t.repaint();
}

/** Open what was found at a drawing: its cause, else what follows there from another. */
export function choose_at(t, n) {
  const here = findings(t).filter((f) => f.drawings.includes(n));
  const f = here.find((one) => one.follows === null) ?? here[0];
  if (!f) return;
  choose(t, f.follows === null ? f : findings(t)[f.follows]);
  turn_to(t, n); // also where its cause is at another drawing
  t.repaint();
}

export function leave_note(t) {
  t.chosen = "";
  t.hint = "";
  t.repaint();
}

/** The correction without a drag: the limb of that drawing goes where its ghost lies. */
export function lay_on_ghost(t, { limb, ghost }) {
  const l = t.head.limbs.findIndex((one) => one.name === limb);
  if (stale(t) || t.drag || l < 0) return;
  go(t, ghost.drawing);
  alter(t, { drawings: with_drawing(t, l, ghost.points) });
}
