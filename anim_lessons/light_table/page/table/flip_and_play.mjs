/* Flip, roll, play: only lines move, the paper stays. */
import { drawingAt } from "../drawings.mjs";
import { on } from "../elements.mjs";
import { put, say } from "../tools.mjs";
import { is_clean } from "./body.mjs";
import { count, held, number, order, there, wrapped } from "./questions.mjs";

// Nothing here may flash (WCAG 2.2, 2.3.1). From one picture to the next only the lines of one limb change, which is
// far below the area at which a flash begins to count, so they may change 24 times a second. Neighbours, numbers
// and guide together are more: they go and come back at most three times a second, however fast somebody flips.
// tests/browser/test_guide_in_the_page.py measures both on the pictures themselves.
export const CALM = 334; // ms: a third of a second

export function listen_to_flip(t) {
  on(t, t.flip_b, "pointerdown", (e) => {
    if (e.button === 0) {
      hold_up(t);
      t.pressed_at = performance.now();
      t.flip_b.setPointerCapture(e.pointerId);
    }
  });
  for (const end of ["pointerup", "pointercancel"])
    on(t, t.flip_b, end, () => {
      if (performance.now() - t.pressed_at < 300 && end === "pointerup") flip_through(t);
      else show(t, null);
    });
}

/** Only the drawing on the paper, or all that belongs to it again, no more often than CALM lets it. */
function lay_bare(t, is) {
  clearTimeout(t.dressing);
  if (is && t.root.dataset.bare !== "true") t.bared_at = performance.now();
  const wait = t.bared_at + CALM - performance.now();
  const dress = () => put(t.root, { "data-bare": null, "data-clean": null });
  if (!is && wait > 0) t.dressing = setTimeout(dress, wait);
  else if (!is) dress();
  else put(t.root, { "data-bare": "true", "data-clean": is_clean(t) ? "true" : null });
}

/** Hold up one drawing; null lays the one under work on top again. */
export function show(t, n) {
  if (t.showing === n) return;
  t.showing = n;
  put(t.root, { "data-showing": n });
  lay_bare(t, n !== null);
  t.repaint("held up");
  if (t.corner.firstChild) say(t.corner.firstChild, String(n ?? number(t)));
}

/** Whatever flips, rolls or plays comes to rest, and no step is waited for. */
export function rest_hands(t) {
  const { stop, name } = t.run;
  t.run = { name: "", stop: () => {} };
  t.wish = "";
  stop();
  show(t, null);
  if (name) t.repaint("buttons");
}

const around = (t) => {
  const n = number(t);
  return [wrapped(t, n - 1), n, wrapped(t, n + 1), n].filter((n) => there(t, n));
};

export function hold_up(t) {
  rest_hands(t);
  const before = wrapped(t, number(t) - 1);
  show(t, there(t, before) ? before : wrapped(t, number(t) + 1));
}

/** One step of a hand through the neighbours a press, for those who want no motion. */
function step_through(t) {
  const all = around(t);
  const n = all[t.turn_at % all.length];
  t.turn_at += 1;
  show(t, n === number(t) ? null : n);
}

export function flip_through(t) {
  through(t, "flip", 190, around(t).length);
}

export function roll(t) {
  if (t.run.name === "roll") return rest_hands(t);
  through(t, "roll", 420, Infinity);
}

function through(t, name, ms, times) {
  rest_hands(t);
  t.hint = "";
  if (t.still.matches) return step_through(t);
  let i = 0;
  const all = around(t);
  const step = () => {
    if (i >= times) return rest_hands(t);
    show(t, all[i % all.length]);
    i += 1;
    beat = setTimeout(step, ms);
  };
  let beat = 0;
  t.run = { name, stop: () => clearTimeout(beat) };
  step();
  t.repaint("buttons");
}

export function play(t) {
  if (t.run.name === "play") return rest_hands(t);
  rest_hands(t);
  if (t.still.matches && !t.agreed) {
    t.agreed = true;
    t.hint = `Playing moves the lines ${Math.round(t.head.rate / Math.min(...held(t)))} times a second. Press play again if that is well with you.`;
    return t.repaint("head");
  }
  t.hint = "";
  let began = null;
  let beat = 0;
  const tick = (now) => {
    began ??= now - 4; // so that a tick a hair early still shows its frame: the pace is even
    // By the clock: a late picture is left out, never shown late, and none comes early.
    const frame = Math.floor(((now - began) * t.head.rate) / 1000);
    // The drawings may be others by now: a slider moved. The frame goes on counting.
    const list = order(t);
    const frames = list.map((n) => t.pace ?? held(t)[n - 1]);
    const long = frames.reduce((sum, f) => sum + f, 0);
    if (!t.head.loop && frame >= long) return rest_hands(t);
    show(t, list[drawingAt(frame, frames)]);
    beat = requestAnimationFrame(tick);
  };
  t.run = { name: "play", stop: () => cancelAnimationFrame(beat) };
  beat = requestAnimationFrame(tick);
  t.repaint("buttons");
  t.repaint("head");
}

/** Begin the stack in its middle, or at 1 again. What covers it is put away, and what to look at is said. */
export function from_the_middle(t) {
  t.turned = !t.turned;
  t.more.hidden = true;
  t.hint = t.turned && t.head.loop ? `${count(t)} and 1 lie one below the other now. Does the gap at 1 fit those around it?` : "";
  t.repaint();
  t.root.focus({ preventScroll: true });
}
