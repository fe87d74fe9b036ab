/* A joint in the hand: taken, carried, dropped. */
import { moved } from "../drawings.mjs";
import { on } from "../elements.mjs";
import { unlaid } from "../lines.mjs";
import { capital, put, s, the } from "../tools.mjs";
import { ask_about, lay, remember, with_drawing } from "./changes.mjs";
import { look_whether_done } from "./done.mjs";
import { rest_hands } from "./flip_and_play.mjs";
import { beside_key, guess_key, guided, kept_back, standing_open, stands_off } from "./guide_answer.mjs";
import { ghost_here } from "./mending.mjs";
import { push_joint } from "./pushes.mjs";
import { across, number, points, settings, stale, undrawn } from "./questions.mjs";
import { aim_of } from "./going.mjs";
import { new_drag } from "./state.mjs";

/** A press beside every joint lets the chosen one go. */
export function listen_to_the_sheet(t) {
  on(t, t.sheet, "pointerdown", (e) => {
    if (!e.target.closest(".handle") && t.active) {
      t.active = null;
      t.repaint();
    }
  });
}

export function make_handle(t) {
  const g = s(
    "g",
    { tabindex: 0, role: "slider", "aria-orientation": "vertical" },
    s("circle", { class: "hit", r: 13 }),
    s("circle", { class: "halo-ring", r: 9.6 }),
    s("circle", { class: "ring", r: 9.6 }),
    s("circle", { class: "knob", r: 5.5 }),
  );
  on(t, g, "pointerdown", (e) => grab(t, e, g));
  // touch-action alone let the page scroll and end the drag
  on(t, g, "touchstart", (e) => e.preventDefault(), { passive: false });
  on(t, g, "pointermove", (e) => follow(t, e));
  for (const end of ["pointerup", "pointercancel", "lostpointercapture"]) on(t, g, end, (e) => drop(t, e));
  on(t, g, "focus", () => take(t, t.stands_for.get(g)));
  on(t, g, "keydown", (e) => push_joint(t, e, t.stands_for.get(g)));
  return g;
}

/** Choose a joint. */
function take(t, joint) {
  if (t.drag) return;
  const same = t.active?.limb === joint.limb && t.active.joint === joint.joint;
  t.active = { ...joint };
  if (ask_about(t, joint) || !same) t.repaint();
}

/** Where the pointer is on the paper, mm. */
const on_paper = (t, e) => {
  const box = t.sheet.getBoundingClientRect();
  const [x, y] = unlaid(t.head.paper, [
    (e.clientX - box.left) / box.width,
    (e.clientY - box.top) / box.height,
  ]);
  return [across(t, x), y];
};

function grab(t, e, g) {
  if (e.button !== 0 || t.drag) return;
  e.preventDefault(); // no text selection; the focus is set here instead
  rest_hands(t);
  g.focus({ preventScroll: true });
  const taken = t.stands_for.get(g);
  take(t, taken);
  t.aim = aim_of(t) ?? t.aim;
  g.setPointerCapture(e.pointerId);
  const from = points(t, taken.limb);
  const p = on_paper(t, e);
  const joint = from[taken.joint];
  const shown = ghost_here(t);
  const ghost =
    !stale(t) && shown.ghost && shown.first === taken.joint && shown.limb === taken.limb
      ? shown.ghost.points
      : null;
  t.drag = new_drag({
    ...taken,
    kept_back: kept_back(t),
    n: number(t),
    pointer: e.pointerId,
    from,
    before: t.pose,
    ghost,
    off: [joint[0] - p[0], joint[1] - p[1]],
    start: [e.clientX, e.clientY],
    to: joint,
  });
}

function follow(t, e) {
  if (!t.drag || e.pointerId !== t.drag.pointer) return;
  const far = Math.hypot(e.clientX - t.drag.start[0], e.clientY - t.drag.start[1]);
  if (!t.drag.going && far < 3) {
    t.drag.far = Math.max(t.drag.far, far);
    return;
  } // a press is not a drag
  const p = on_paper(t, e);
  t.drag.to = [p[0] + t.drag.off[0], p[1] + t.drag.off[1]];
  if (!t.drag.going) {
    t.drag.going = true;
    remember(t);
    put(t.ghosts, { display: t.drag.ghost ? null : "none" });
    put(t.measure, { display: t.drag.ghost ? null : "none" });
  }
  t.drag.frame ||= requestAnimationFrame(() => carry(t));
}

/** The joint goes where the hand is, once a painted picture. */
function carry(t) {
  if (!t.drag) return;
  t.drag.frame = 0;
  const { limb, joint, from, to } = t.drag;
  const kept = settings(t).keep_lengths && joint > 0 ? t.head.limbs[limb].lengths[joint - 1] : null;
  lay(t, { drawings: with_drawing(t, limb, moved(from, joint, to, kept)) }, t.drag);
  t.repaint("hand");
}

function drop(t, e) {
  if (!t.drag || e.pointerId !== t.drag.pointer) return;
  if (t.drag.frame) {
    cancelAnimationFrame(t.drag.frame);
    carry(t); // the last move counts, whenever the hand lifts
  }
  const { limb, joint, far, going } = t.drag;
  t.drag = null;
  put(t.measure, { display: null });
  if (!going) {
    if (far && undrawn(t, { limb, joint })) {
      const who = the(t.head.limbs[limb].joints[joint]);
      t.hint = standing_open(t)
        ? `${capital(who)} may stay as it was given here.`
        : `That move is too short to count: carry ${who} farther.`;
      t.repaint("head");
    }
    return t.repaint("buttons");
  }
  if (guided(t)?.limb === limb && guided(t).joint === joint) {
    const off = stands_off(t);
    t.guessed.add(guess_key(t));
    if (off) t.passed_over = beside_key(off); // the hand goes on
  }
  if (t.model.get("pose") !== t.pose) lay(t, {}); // something came in meanwhile: the hand has the last word
  t.repaint();
  look_whether_done(t); // the answer to the last move may have come before the hand let go
}

/** Escape in mid-drag: the joint goes back to where it lay. */
export function let_go(t) {
  const { before, going, frame } = t.drag;
  cancelAnimationFrame(frame);
  t.drag = null;
  put(t.measure, { display: null });
  if (going) {
    t.past.pop();
    lay(t, { drawings: before.drawings });
  }
}
