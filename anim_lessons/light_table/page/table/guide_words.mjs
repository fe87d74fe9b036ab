/* Where may it go, and how far to the ghost, in words. */
import { spoken_parts } from "../circle.mjs";
import { half, turns } from "../drawings.mjs";
import { capital, named, the } from "../tools.mjs";
import {
  at_root,
  guide_here,
  guide_holds,
  guided,
  kept_back,
  only_words,
  parts_shown,
  reason_of,
  standing_words,
} from "./guide_answer.mjs";
import { number, points, settings } from "./questions.mjs";

export const LOOKING = "Looking …";

/** small, says and the list of what shuts the rest. */
export function guide_words(t) {
  const g = guide_here(t);
  const is = guided(t);
  const { joints } = t.head.limbs[is.limb];
  const small = `${named(joints[at_root(t) ? 0 : is.joint])}, drawing ${number(t)}`;
  const parts = g ? spoken_parts(parts_shown(g).excluded).filter(({ says }) => says) : [];
  const shut = parts.map(
    (part) =>
      `${Math.round(part.from)}° to ${Math.round(part.to > 360 ? part.to - 360 : part.to)}°: ${reason_of(part)}`,
  );
  return { small, says: words_now(t, g, joints), shut };
}

/** Where the joint stands, or why nothing is said of it. */
function words_now(t, g, joints) {
  const { joint } = guided(t);
  if (at_root(t))
    return (
      `${capital(the(joints[0]))} is the root: it hangs on no part, so no circle holds it. ` +
      "It goes along its own path; choose a joint below it."
    );
  if (only_words(t)) return only_words(t);
  if (kept_back(t))
    return `Drag ${the(joints[joint])} to where you think it goes. Then the circle comes, with what is against your guess.`;
  const words = standing_words(t);
  if (words) return `${settings(t).guess ? "" : "On the heavy part every rule is kept. "}${capital(words)}.`;
  if (g && guide_holds(t)) return g.says ?? "";
  return LOOKING;
}

/** How far a joint in the hand is from its ghost. */
export function ghost_words(t) {
  const { limb, joint, from, ghost } = t.drag;
  const p = points(t, limb);
  const who = `${capital(the(t.head.limbs[limb].joints[joint]))} of ${number(t)}`;
  if (joint === 0) {
    const left = Math.hypot(p[0][0] - ghost[0][0], p[0][1] - ghost[0][1]);
    return `${who}: ${left < 0.5 ? "on the ghost" : `${Math.round(left)} mm to go to the ghost`}.`;
  }
  const [now, then, goal] = [p, from, ghost].map((one) => turns(one)[joint - 1]);
  const left = half(goal - now);
  if (Math.abs(left) < 0.5) return `${who}: on the ghost.`;
  return `${who}: ${Math.round(Math.abs(left))}° ${Math.sign(left) === Math.sign(half(goal - then)) ? "to go to" : "past"} the ghost.`;
}
