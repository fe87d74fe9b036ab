/* A joint moved a little, by arrow key or button. */
import { half, moved, swung, turns } from "../drawings.mjs";
import { on } from "../elements.mjs";
import { h, named, put, say, used, whole_name } from "../tools.mjs";
import { lay, remember, with_drawing } from "./changes.mjs";
import { rest_hands } from "./flip_and_play.mjs";
import { aim_of } from "./going.mjs";
import { asked_shown, guide_here } from "./guide_answer.mjs";
import { name_of, number, points, settings, there, worked, wrapped } from "./questions.mjs";

export function make_nudge(t) {
  t.nudge_name = h("span");
  t.nudges = ["left", "down", "up", "right", "back", "on"].map((way) => hold_to_repeat(t, way));
  t.nudge = h(
    "div",
    { class: "nudge", role: "group", "aria-label": "move the chosen joint" },
    t.nudge_name,
    ...t.nudges,
  );
}

/** +1 where the chosen segment turns counter-clockwise on its way: from the drawing before to where the guide
 * wants it, for the next drawing may not be drawn yet; without the guide from the drawing before to the next. */
export function way_on(t) {
  const g = guide_here(t);
  const joint = worked(t);
  if (g?.joint === name_of(t, joint).joint && asked_shown(t, g) && g.traced !== null)
    return half(asked_shown(t, g).angle - g.traced) < 0 ? -1 : 1;
  const [before, after] = [wrapped(t, number(t) - 1), wrapped(t, number(t) + 1)].map((n) =>
    there(t, n) ? n : number(t),
  );
  const k = joint.joint - 1;
  if (k < 0) return 1;
  return half(turns(points(t, joint.limb, after))[k] - turns(points(t, joint.limb, before))[k]) < 0 ? -1 : 1;
}

/** Swing the joint by some degrees, or move it by some mm; pushes in one go are one step back. */
function shift(t, { limb, joint }, degrees, dx, dy) {
  rest_hands(t);
  t.aim = aim_of(t) ?? t.aim;
  const p = points(t, limb);
  const what = `${limb} ${joint} ${number(t)} ${t.top}`;
  if (t.last_push.what !== what || performance.now() - t.last_push.at > 800) remember(t);
  const swings = joint > 0 && settings(t).keep_lengths;
  if (t.from_back) dx = -dx; // left is left as it is seen
  const next = swings
    ? swung(p, joint, degrees, t.head.limbs[limb].lengths[joint - 1])
    : moved(p, joint, [p[joint][0] + dx, p[joint][1] + dy]);
  lay(t, { drawings: with_drawing(t, limb, next) }, { limb, joint });
  t.last_push = { at: performance.now(), what: `${limb} ${joint} ${number(t)} ${t.top}` };
  t.repaint();
}

/** Up and down swing the joint; with Alt, all four arrows move one that hangs on nothing. */
export function push_joint(t, e, joint) {
  const way = { ArrowLeft: [-1, -1, 0], ArrowDown: [-1, 0, -1], ArrowUp: [1, 0, 1], ArrowRight: [1, 1, 0] }[
    e.key
  ];
  // left and right alone turn the drawings
  if (!way || (way[1] && !e.altKey) || e.ctrlKey || e.metaKey || t.drag || !joint) return;
  used(e);
  const by = e.shiftKey ? 0.2 : 1;
  shift(t, joint, way[0] * by, way[1] * by, way[2] * by);
}

/** A button that moves the chosen joint, and goes on while it is held. */
function hold_to_repeat(t, way) {
  const b = h("button", { type: "button" }, way);
  t.stands_for.set(b, way);
  const act = () => {
    const joint = worked(t);
    if (!joint) return;
    const turn = way === "on" ? way_on(t) : -way_on(t);
    const [dx, dy] = { left: [-1, 0], right: [1, 0], up: [0, 1], down: [0, -1] }[way] ?? [0, 0];
    shift(t, joint, turn, dx, dy);
  };
  let beat = 0;
  const stop = () => {
    clearTimeout(beat);
    beat = 0;
  };
  on(t, b, "pointerdown", (e) => {
    if (e.button !== 0) return;
    act();
    const again = () => {
      act();
      beat = setTimeout(again, 90);
    };
    beat = setTimeout(again, 400);
  });
  for (const end of ["pointerup", "pointerleave", "pointercancel"]) on(t, b, end, stop);
  on(t, b, "click", (e) => e.detail === 0 && act()); // by keyboard or by assistive technology
  t.life.signal.addEventListener("abort", stop);
  return b;
}

/** The buttons that do without a drag what a drag does. */
export function paint_nudge(t) {
  const one = worked(t);
  t.nudge.hidden = one === null;
  if (one === null) return;
  const limb = t.head.limbs.length > 1 ? t.head.limbs[one.limb].name : null;
  const joint = t.head.limbs[one.limb].joints[one.joint];
  say(t.nudge_name, `${named(joint, 16)} of ${number(t)}${limb === null ? "" : `, ${named(limb, 12)}`}`);
  put(t.nudge_name, {
    title:
      whole_name(joint, 16) || (limb && whole_name(limb, 12)) ? [joint, limb].filter(Boolean).join(", ") : null,
  });
  const swings = one.joint > 0 && settings(t).keep_lengths;
  for (const b of t.nudges) b.hidden = ["on", "back"].includes(t.stands_for.get(b)) !== swings;
  const ccw = way_on(t) > 0 !== t.from_back; // as it is seen
  say(t.nudges[4], `swing back ${ccw ? "↻" : "↺"}`);
  say(t.nudges[5], `swing on ${ccw ? "↺" : "↻"}`);
}
