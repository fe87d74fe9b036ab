/* Where may it go, by key and button. */
import { nearest_open, on_circle, whole } from "../circle.mjs";
import { moved, turns } from "../drawings.mjs";
import { capital, the } from "../tools.mjs";
import { lay, remember, set, with_drawing } from "./changes.mjs";
import { rest_hands } from "./flip_and_play.mjs";
import {
  asked_shown,
  at_root,
  beside_key,
  guess_key,
  guide_fresh,
  guide_here,
  guided,
  kept_back,
  only_words,
  parts_shown,
  standing_open,
  stands_off,
} from "./guide_answer.mjs";
import { goal_now, goals, joint_now, limb_now, name_of, number, points, settings, worked } from "./questions.mjs";

/** The guide on, for the chosen joint, or off. */
export function toggle_guide(t) {
  if (guided(t)) return set(t, { guide: null });
  const limb = worked(t)?.limb ?? guide_limb(t);
  const joint = Math.max(1, worked(t)?.joint ?? joint_now(t));
  if (t.head.limbs[limb]?.joints[joint] === undefined) {
    t.hint = "No joint here hangs on another, so no circle holds one.";
    return t.repaint("head");
  }
  set(t, { guide: name_of(t, { limb, joint }) });
}

/** Place by eye first: the guide is on, and waits. */
export function toggle_guess(t) {
  const guess = !settings(t).guess;
  t.guessed.clear();
  if (guess && !guided(t)) toggle_guide(t);
  set(t, { guess });
}

/** The joint lies where it is meant: that is the guess. */
export function placed(t) {
  t.guessed.add(guess_key(t));
  t.repaint();
}

/** The neighbour that stands off is left as it is. */
export function pass_over(t) {
  t.passed_over = beside_key(stands_off(t));
  t.repaint();
}

/** Going on from a drawing that is left as it lies, because it lies right or the guide allows it: it counts as drawn. */
export function accept(t) {
  const one = goal_now(t);
  const n = number(t);
  if (!one?.begins || !one.drawings.includes(n) || one.drawn.includes(n) || t.drag) return;
  const { limb, joint } = one;
  const by_guide = guided(t) && JSON.stringify(settings(t).guide) === JSON.stringify({ limb, joint }) && standing_open(t);
  if ((goals(t).some((any) => any.begun) && one.right.includes(n)) || by_guide) set(t, { stays: [...settings(t).stays, [limb, joint, n]] });
}

const guide_limb = (t) =>
  t.head.limbs[limb_now(t)].joints.length > 1
    ? limb_now(t)
    : t.head.limbs.findIndex((l) => l.joints.length > 1);

/** Put the joint on the "asked" dot or at the nearest "open" place; at once, or when Python has answered. */
export function put_joint(t, where) {
  t.wish = "";
  if (!guided(t) || at_root(t) || t.drag) return;
  if (only_words(t)) return tell(t, only_words(t));
  if (kept_back(t)) return tell(t, "Guess first: place it by eye, then the circle comes.");
  if (!guide_fresh(t)) {
    t.wish = where;
    return;
  }
  const { limb, joint } = guided(t);
  const g = guide_here(t);
  const now = whole(turns(points(t, limb))[joint - 1]);
  const open = () => nearest_open(now, parts_shown(g).allowed);
  const goal = where === "asked" ? (asked_shown(t, g)?.angle ?? null) : open();
  if (goal === null) return tell(t, no_place(where, g));
  if (where === "open" && goal === now)
    return tell(t, `${capital(the(t.head.limbs[limb].joints[joint]))} lies on the heavy part already.`);
  rest_hands(t);
  remember(t);
  const next = moved(points(t, limb), joint, on_circle(g.centre, g.radius, goal));
  lay(t, { drawings: with_drawing(t, limb, next) }, { limb, joint });
  t.repaint();
}

function tell(t, words) {
  t.hint = words;
  t.repaint("head");
}

function no_place(where, g) {
  if (where === "asked") return "Slow in and slow out ask for no place here.";
  if (g.shows === "circle") return "Here the guide shows the circle only.";
  return "No place on this circle keeps every rule; mend what is broken beside it first.";
}
