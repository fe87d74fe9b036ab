/* Where may it go: what Python has answered, and whether it still holds. */
import { lies_in, seems_in, whole } from "../circle.mjs";
import { turns } from "../drawings.mjs";
import { number, points, settings } from "./questions.mjs";

/** The joint that is asked about, as {limb, joint} of places; null with the guide off. */
export function guided(t) {
  const asked = settings(t).guide;
  const limb = asked ? t.head.limbs.findIndex((l) => l.name === asked.limb) : -1;
  const joint = limb < 0 ? -1 : t.head.limbs[limb].joints.indexOf(asked.joint);
  return joint > 0 ? { limb, joint } : null;
}

export const at_root = (t) => Boolean(guided(t) && t.active?.joint === 0);

/** Python's answer if it is about this joint of this drawing and nobody is to guess it first, else null. */
export const guide_here = (t) => (kept_back(t) ? null : answer_here(t));

/** Whether the answer waits until the joint is placed by eye, or is said to lie where it is meant. */
export function kept_back(t) {
  if (t.drag) return t.drag.kept_back; // a guess is not led by the hand
  return settings(t).guess && guided(t) !== null && !at_root(t) && !only_words(t) && !t.guessed.has(guess_key(t));
}

/** What a guess is of. */
export const guess_key = (t) => JSON.stringify([settings(t).guide, number(t)]);

/** The neighbour that stands clearly off, {drawing, says}, unless it was passed over; null where both lie well. */
export const stands_off = (t) => {
  const one = (!t.drag && guide_here(t)?.beside) || null;
  return one && t.passed_over !== beside_key(one) ? one : null;
};
export const beside_key = (one) => JSON.stringify(one);

/** The same, also while somebody is to guess. */
export function answer_here(t) {
  const [g, is] = [t.model.get("guide") ?? {}, guided(t)];
  if (!is || at_root(t) || t.dead || !g.centre || g.drawing !== number(t)) return null;
  return g.limb === t.head.limbs[is.limb].name && g.joint === t.head.limbs[is.limb].joints[is.joint]
    ? g
    : null;
}

/** What Python says in place of a circle: why there is none here. An empty text where it does not. */
export function only_words(t) {
  const g = t.model.get("guide") ?? {};
  return guided(t) && !g.centre && (g.revision ?? t.pose.revision) === t.pose.revision ? (g.says ?? "") : "";
}

export const guide_fresh = (t) => guide_here(t)?.revision === t.pose.revision;

/** Whether the answer still tells of what lies on the table: a joint that only swings on its own circle does
 * not change it. */
export const guide_holds = (t) => (guide_here(t)?.revision ?? -1) >= t.guide_since;

export const parts_shown = (g) =>
  g.shows === "circle"
    ? { allowed: [], excluded: [] }
    : { allowed: g.allowed ?? [], excluded: g.excluded ?? [] };
/** The dot where the joint is asked for; while the class is asked it would be the answer. */
export const asked_shown = (t, g) => (g.shows === "all" && !settings(t).asking ? g.asked : null);
export const lead_long = (lead) => 14 + 16 * lead.strength; // mm of the parent's path shown each way
export const plainly = (says) => says.replace(/\.$/, "");
export const reason_of = ({ rule, says }) =>
  `${says.charAt(0).toLowerCase()}${plainly(says).slice(1)} (${rule})`;

/** Whether the joint lies in the open part, as far as can be said. */
export function standing_open(t) {
  const g = guide_holds(t) && guide_here(t);
  if (!g) return false;
  const { limb, joint } = guided(t);
  const turn = whole(turns(points(t, limb))[joint - 1]);
  return parts_shown(g).allowed.some((part) => seems_in(turn, part));
}

/** Where the joint stands, in one sentence; an empty text where nothing can be said for sure. */
export function standing_words(t) {
  const g = guide_holds(t) && guide_here(t);
  if (!g) return "";
  const { limb, joint } = guided(t);
  const { allowed, excluded } = parts_shown(g);
  if (!allowed.length && !excluded.length) return "";
  const turn = whole(turns(points(t, limb))[joint - 1]);
  const shut = allowed.some((part) => seems_in(turn, part))
    ? null
    : excluded.find(({ from, to }) => lies_in(turn, [from, to]));
  const why = settings(t).guess && shut?.says ? (g.whys?.[shut.rule] ?? "") : "";
  return shut
    ? `where it is now it may not stand: ${shut.says ? reason_of(shut) : "a rule is against it"}${why && `. Why: ${why}`}`
    : "where it is now every rule allows it";
}
