/* What lies on the table: questions about its state. Nothing here changes or paints anything. */
import { exposures, plans_of, under_of } from "../drawings.mjs";
import { fills } from "../full_page.mjs";
import { deep_of, laid, scale_of } from "../lines.mjs";

export const SILENCE = 4000; // ms of silence after which nobody seems to be checking
export const LATE = 8000; // ms without word that a change is saved after which the head says what is wrong

export const count = (t) => t.pose.drawings[0].length;
// a drag stays on its drawing
export const number = (t) => t.drag?.n ?? Math.min(count(t), Math.max(1, t.model.get("number")));
// their names: SETTINGS in state.mjs; their values are Python's
export const settings = (t) => t.model.get("settings");
export const under = (t, l) => under_of(t.model.get("under"), l, number(t), t.head.limbs[l].joints.length);
/** Plans that lie under the drawings; in lecture that of the joint at work alone, and none while the class is asked. */
export const plans = (t) => {
  if (settings(t).asking) return [];
  const all = plans_of(t.model.get("under"), t.head, count(t));
  const at_work = settings(t).lecture && settings(t).layer;
  return at_work ? all.filter((one) => one.limb === at_work.limb && one.joint === at_work.joint) : all;
};
export const has_under = (t) => plans(t).length > 0 || t.head.limbs.some((_, l) => under(t, l));
export const verdict = (t) => t.model.get("verdict") ?? {};
export const saved = (t) => t.model.get("saved") ?? {};
/** Whether the assignment lets the table correct a drawing by itself. */
export const may_mend = (t) => t.model.get("asked")?.mend !== false;
export const findings = (t) => verdict(t).findings ?? [];
export const held = (t) => exposures(t.pose.exposure, count(t));
export const scale = (t) => scale_of(t.head.paper);
export const deep = (t) => deep_of(t.head.paper);
// mm from the left edge as it lies, both ways
export const across = (t, x) => (t.from_back ? t.head.paper.width - x : x);
export const to_sheet = (t, [x, y]) => laid(t.head.paper, [across(t, x), y]);
/** Size of type, css px, in units of the sheet; on a large sheet it is larger. */
export const type = (t, px) => px * Math.max(t.units, 0.8) * larger(t);
// the sheet of a whole page is large as it is
const larger = (t) => (fills(t.root) ? 1.1 : settings(t).lecture ? 1.4 : 1);
export const points = (t, limb, n = number(t)) => t.pose.drawings[limb][n - 1];
export const on_sheet = (t, limb, n) => points(t, limb, n).map((p) => to_sheet(t, p));
export const wrapped = (t, n) => (t.head.loop ? ((n - 1 + count(t)) % count(t)) + 1 : n);
export const there = (t, n) => n >= 1 && n <= count(t);
/** The joint, where there is only one to drag; else an empty text. */
export const sole = (t) =>
  t.head.limbs.length === 1 && t.head.limbs[0].joints.length === 1 ? t.head.limbs[0].joints[0] : "";
export const limb_now = (t) => Math.min(worked(t)?.limb ?? 0, t.head.limbs.length - 1);
export const chart_now = (t) =>
  !settings(t).asking &&
  (verdict(t).charts ?? []).find((c) => c?.limb === t.head.limbs[limb_now(t)].name && c.halves?.length);

/** A joint of a limb, by the places of both; null where it is not there. */
export const place_of = (t, named) => {
  const limb = named ? t.head.limbs.findIndex((l) => l.name === named.limb) : -1;
  const joint = limb < 0 ? -1 : t.head.limbs[limb].joints.indexOf(named.joint);
  return joint < 0 ? null : { limb, joint };
};

/** The layers that are to be drawn, in the order of the passes, as Python has them; none where all was drawn as given. */
export const goals = (t) => verdict(t).layers ?? [];
const is_at = (t, one, { limb, joint } = {}) => t.head.limbs[limb]?.name === one.limb && t.head.limbs[limb].joints[joint] === one.joint;
/** The layer at work: the one that was chosen, else the first that is not drawn through. */
export const goal_now = (t) => {
  const chosen = place_of(t, settings(t).layer);
  return (chosen && goals(t).find((one) => is_at(t, one, chosen))) ?? goals(t).find((one) => !one.done) ?? null;
};
/** Inside a layer: it is begun, and not drawn through. Nothing is found fault with there unasked. */
export const in_pass = (t) => goals(t).some((one) => one.begun && !one.done);
/** Whether a drawing is drawn in the layer of the joint that is worked on, or else of the layer at work. Of drawings that were
 * given to be mended each tells something: only what is the same pose traced does not. */
export const is_drawn = (t, n) => {
  const one = goals(t).find((goal) => is_at(t, goal, worked(t) ?? {})) ?? goal_now(t);
  return !one?.begins || !one.drawings.includes(n) || one.drawn.includes(n);
};
/** Whether a drawing beside the one under work tells anything: it is drawn in the layer at work, or in one before it. Of a pose
 * that is only traced, sixteen copies tell nothing. */
export const tells = (t, n) => is_drawn(t, n) || goals(t).slice(0, goals(t).indexOf(goal_now(t))).some((one) => one.drawn.includes(n));
/** The joint that is worked on: taken, else that of the layer at work, else null. */
export const worked = (t) => {
  const { limb, joint } = t.active ?? {};
  return t.head.limbs[limb]?.joints[joint] === undefined ? layer_now(t) : t.active; // other limbs may lie there now
};

export const joint_now = (t) => {
  const joints = t.head.limbs[limb_now(t)].joints;
  if (worked(t)) return Math.min(worked(t).joint, joints.length - 1);
  const charted = joints.indexOf(chart_now(t)?.joint);
  return charted >= 0 ? charted : joints.length - 1;
};

/** Numbers as they lie in the stack: from 1, or from the middle. */
export const order = (t) => {
  const all = Array.from({ length: count(t) }, (_, i) => i + 1);
  const cut = t.turned ? Math.floor(count(t) / 2) : 0;
  return [...all.slice(cut), ...all.slice(0, cut)];
};

export const flat = (t) =>
  t.head.limbs.flatMap((limb, l) => limb.joints.map((_, j) => ({ limb: l, joint: j })));
export const strong = (t, { limb, joint }) => limb === limb_now(t) && joint === joint_now(t);
export const handle_at = (t, { limb, joint }) =>
  t.handle_marks(flat(t).length)[flat(t).findIndex((one) => one.limb === limb && one.joint === joint)];
export const name_of = (t, { limb, joint }) => ({
  limb: t.head.limbs[limb].name,
  joint: t.head.limbs[limb].joints[joint],
});

/** What can be worked on through the stack: all joints (null), or one that hangs on another. */
export const layers = (t) => [null, ...flat(t).filter(({ joint }) => joint > 0)];
export const layer_now = (t) => {
  const chosen = place_of(t, settings(t).layer);
  if (chosen?.joint > 0) return chosen;
  const one = goal_now(t);
  return one && !one.done ? place_of(t, one) : null;
};

/** Whether a joint lies beyond the one that is worked on: its turn comes later. */
export const beyond = (t, { limb, joint }) => {
  const now = layer_now(t);
  return Boolean(now) && (limb !== now.limb || joint > now.joint);
};

export const key_of = (f) => [f.rule, f.limb, f.joint, f.drawings.join(" ")].join("|");
export const causes = (t) => findings(t).filter((f) => f.follows === null);
/** Nobody has moved anything. Lines that are drawn over it are saved, too. */
export const untouched = (t) =>
  !t.touched && ((saved(t).state ?? "as in the file") === "as in the file" || Boolean(verdict(t).given));

/** Whether a joint, or with none any, is not drawn through yet. */
export const undrawn = (t, one = null) => {
  const left = verdict(t).undrawn ?? [];
  if (!one) return left.length > 0;
  const { limb, joint } = name_of(t, one);
  return left.some(([of, name]) => of === limb && name === joint);
};

/** Drawings that were given with faults in them are looked at before anything is said of them: nothing is
 * touched yet. Where a layer is asked for, that is said. */
export const look_first = (t) =>
  untouched(t) && !goals(t).length && Boolean(verdict(t).given) && causes(t).length > 0 && !traces(t);

/** Something lies under drawings as given: they are there to be traced anew. */
export const traces = (t) => t.head.limbs.some((_, l) => under(t, l));

export const open_note = (t) => {
  if (t.chosen === "") return null;
  const asked = findings(t).find((f) => key_of(f) === t.chosen);
  if (asked) return asked;
  if (untouched(t) || withheld(t)) return null;
  if (in_pass(t)) return done_in_lecture(t);
  return causes(t)[0] ?? null;
};

/** In lecture a joint is put wrong on purpose, for the class to read what it did: that speaks inside a layer, too. */
const done_in_lecture = (t) =>
  (settings(t).lecture && t.by_hand && !t.drag && causes(t).find((f) => f.drawings.includes(number(t)))) || null;

/** A verdict that is kept back says neither clean nor findings. */
export const withheld = (t) => verdict(t).passed === null;
export const stale = (t) => verdict(t).revision !== t.pose.revision;
export const silent = (t) => stale(t) && t.unanswered !== null && performance.now() - t.unanswered > SILENCE;
/** What lies here is not saved, as far as Python has told. */
export const behind = (t) => (saved(t).revision ?? t.pose.revision) < t.pose.revision;
/** Word of it has been waited for too long; a model is saved nowhere, and nobody waits. */
export const late = (t) =>
  Boolean(t.head.file) && behind(t) && t.unsaved !== null && performance.now() - t.unsaved > LATE;
