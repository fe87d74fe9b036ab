/* What the one voice says: the first thing that applies, with the one thing to do about it. */
import { capital, named, the } from "../tools.mjs";
import { accept, pass_over, placed, put_joint } from "./by_the_guide.mjs";
import { choose, lay_on_ghost, leave_note } from "./choosing.mjs";
import { go } from "./changes.mjs";
import { begin_done } from "./done.mjs";
import { finding_words, go_to } from "./finding_words.mjs";
import { dot_words, drag_it, drag_it_so_far, on_from, to_go } from "./going.mjs";
import { ghost_words, guide_words } from "./guide_words.mjs";
import { asked_shown, at_root, guide_here, guided, kept_back, standing_open, stands_off } from "./guide_answer.mjs";
import { work_on } from "./layers.mjs";
import { SAYS } from "./line_hand.mjs";
import { ask_mend, end_mending, step, step_now, step_says, take_all } from "./mending.mjs";
import {
  causes,
  goal_now,
  goals,
  in_pass,
  look_first,
  may_mend,
  name_of,
  number,
  open_note,
  place_of,
  settings,
  sole,
  there,
  traces,
  untouched,
  verdict,
  withheld,
  worked,
  wrapped,
} from "./questions.mjs";
import { standing } from "./standing.mjs";
import { act, nobody, offered, unsaved } from "./trouble.mjs";

/** What is said: kind, small (a line above), head, says, act (the one thing to do), seconds (what else may be done),
 * why and others (folded away), rest (a line below), lesson ({small, says}: the exercise's own step). */
export function said(t) {
  const found =
    offered(t) ??
    nobody(t) ??
    unsaved(t) ??
    mending(t) ??
    of_the_table(t) ??
    with_pencil(t) ??
    kept_from(t) ??
    asked(t) ??
    looking(t) ??
    note(t) ??
    layer_done(t) ??
    first_of_all(t) ??
    passing(t) ??
    all_kept(t) ??
    a_model(t);
  return { kind: "quiet", small: "", head: "", says: "", act: null, seconds: [], why: [], others: [], rest: "", lesson: null, ...found };
}

function mending(t) {
  if (!step_now(t)) return null;
  const { steps, at } = t.mending;
  return {
    kind: "finding",
    head: steps.length > 1 ? `Step ${at + 1} of ${steps.length}.` : "A little correction.",
    says: `${step_says(t)}.`,
    act: act("accept", () => step(t, true)),
    seconds: [
      act("leave it", () => step(t, false), "X"),
      ...(steps.length - at > 1
        ? [act(`accept all ${steps.length - at}`, () => take_all(t), ""), act("leave the rest", () => end_mending(t, "The rest is left as you drew it."), "Escape")]
        : []),
    ],
  };
}

/** One sentence of the table's own, until the next thing is done. */
function of_the_table(t) {
  if (!t.hint) return null;
  const next = open_note(t) ? null : layer_done(t);
  return next ? { ...next, small: t.hint } : { kind: "hint", says: t.hint };
}

/** While a line is drawn nobody asks for a joint. */
const with_pencil = (t) => (t.line.tool ? { kind: "hint", says: SAYS[t.line.tool] } : null);

const kept_from = (t) => (withheld(t) ? { kind: "quiet", head: "Look first.", says: capital(verdict(t).next) } : null);

function asked(t) {
  if (!guided(t)) return null;
  const g = guide_here(t);
  const off = stands_off(t);
  if (off) return beside(t, off);
  if (kept_back(t)) return guess(t);
  const can = Boolean(g) && !at_root(t) && !kept_back(t);
  const good = can && standing_open(t);
  const to_dot = can && asked_shown(t, g) ? act("to the dot", () => put_joint(t, "asked")) : null;
  const to_open = can && g.shows !== "circle" && !good ? act("to the heavy part", () => put_joint(t, "open")) : null;
  const next = good && (drawn_in_pass(t) || (!to_dot && to_go(t))) ? go_on(t) : null;
  const first = next ?? to_dot ?? to_open;
  const second = [to_dot, to_open].filter((one) => one && one !== first).map((one) => ({ ...one, key: "" }));
  const head = settings(t).asking ? "" : (can && dot_words(t)) || "Where may it go?"; // the question stands above
  return { kind: "guide", head, ...guide_words(t), act: first, seconds: second };
}

/** To the drawing that comes next: by its number, or, pose to pose, to the pose that is asked for. */
function go_on(t) {
  const { drawing, pose } = (settings(t).way !== "straight ahead" && verdict(t).place) || {};
  const n = drawing ?? wrapped(t, number(t) + 1);
  if (!there(t, n)) return null;
  if (n === number(t)) return drawn_in_pass(t) ? null : act("leave it so", () => accept(t));
  return act(pose ? `to ${n}, ${pose === "breakdown" ? "a" : "an"} ${pose}` : "next drawing", () => {
    accept(t);
    go(t, n);
  });
}

const drawn_in_pass = (t) => in_pass(t) && Boolean(goal_now(t)?.drawn.includes(number(t)));

/** Before the circle leads on: a drawing beside this one stands clearly off. */
function beside(t, { drawing, says }) {
  const { joint } = name_of(t, guided(t));
  return {
    kind: "guide",
    small: `${named(joint)}, drawing ${number(t)}`,
    head: `Look at ${drawing} first.`,
    says: `${says} What is drawn beside it would lean towards it.`,
    act: act(`to drawing ${drawing}`, () => go(t, drawing)),
    seconds: [act("leave it so", () => pass_over(t), "")],
  };
}

/** Nothing of the answer is seen before the guess is placed. */
function guess(t) {
  return { kind: "guide", ...guide_words(t), head: "Guess first.", seconds: [act("it lies where I mean it", () => placed(t), "")] };
}

function looking(t) {
  if (!look_first(t)) return null;
  return {
    kind: "quiet",
    head: "Look first.",
    says: "Play it, flip through it, and say what hurts and where.",
    act: act(
      "show what is wrong",
      () => {
        t.touched = true;
        t.repaint();
      },
      "",
    ),
  };
}

/** The finding that is open: opened by the learner, or the first cause once a whole layer is drawn. */
function note(t) {
  const f = open_note(t);
  if (!f || (!t.head.file && t.chosen === null)) return null;
  const { cause, away, words } = finding_words(t, f);
  const all = causes(t);
  const may = may_mend(t);
  const many = cause.mends > 1 ? `: ${cause.mends} steps` : "";
  const mend = may ? act(`correct it a little${many}`, () => ask_mend(t, cause)) : null;
  const ghost = cause.ghost && (cause.steps ?? 1) < 2;
  const here = ghost && may ? act("lay it on the ghost", () => lay_on_ghost(t, cause)) : mend;
  return {
    ...words,
    says: t.drag?.going && t.drag.ghost ? ghost_words(t) : words.says,
    act: away === null ? here : act(`to drawing ${away}`, () => go_to(t, cause, away)),
    others: [
      ...(ghost && may ? [{ ...mend, key: "" }] : []),
      ...(all.length > 1 && may ? [act("correct all", () => ask_mend(t, null), "")] : []),
      act("leave it", () => leave_note(t), "Escape"),
      ...(all.length > 1 ? [act("the next note", () => choose(t, all[(all.indexOf(cause) + 1) % all.length]), "")] : []),
    ],
  };
}

const on_each = (one) =>
  one.says || `Drag the ${named(one.joint)} on each drawing. What hangs on it comes along.`;

/** A whole layer is drawn, and the next one is not begun. */
function layer_done(t) {
  const next = goals(t).find((one) => !one.done);
  if (!next || in_pass(t) || !goals(t).some((one) => one.begun)) return null;
  const first = next.drawings.find((n) => !next.drawn.includes(n));
  const at = place_of(t, settings(t).layer);
  if (at && goal_now(t) === next && number(t) === first) {
    if (to_go(t)?.right) return { kind: "first", ...lies_right(t), lesson: lesson(t) };
    return in_other_hand(t) ?? { kind: "first", head: `Take ${the(next.joint)}.`, says: drag_it_so_far(t), lesson: lesson(t) };
  }
  return {
    kind: "next",
    head: `${next.name} next.`,
    says: on_each(next),
    act: act("go on", () => {
      work_on(t, place_of(t, next));
      go(t, first);
    }),
  };
}

/** Nothing is to be drawn on this one. */
function lies_right(t) {
  const next = go_on(t);
  return { head: "It is in its place already.", says: next ? "Flip it, then go on." : "", act: next };
}

/** The exercise's own step, in quiet ink. */
function lesson(t) {
  const [all, one] = [goals(t), goal_now(t)];
  if (!one) return null;
  return { small: all.length > 1 ? `step ${all.indexOf(one) + 1} of ${all.length}` : "", says: on_each(one) };
}

function first_of_all(t) {
  if (standing(t) !== "untouched" && !untouched(t)) return null;
  const [n, v] = [number(t), verdict(t)];
  const one = goal_now(t);
  if (one && !in_pass(t)) {
    const told = to_go(t)?.right ? lies_right(t) : { head: `Take ${the(one.joint)}.`, says: drag_it_so_far(t, on_from(t)) };
    return { kind: "first", ...told, lesson: one.says ? lesson(t) : null };
  }
  if (one) return null;
  if (v.given && !v.first && traces(t))
    return { kind: "first", says: `Trace what lies under drawing ${n} in fine dashes: drag a joint on to it.` };
  if (!t.head.file) return null;
  if (v.passed && !v.given) return all_kept(t);
  const beside = [...new Set([wrapped(t, n - 1), wrapped(t, n + 1)])].filter((m) => there(t, m) && m !== n);
  const joint = sole(t) ? the(sole(t)) : "a joint";
  return { kind: "first", says: `Drawing ${n} is on the table. Flip it against ${beside.join(" and ")}, then drag ${joint}.` };
}

/** Another joint is worked on than the one that is asked for. */
function in_other_hand(t) {
  const [one, at] = [goal_now(t), worked(t)];
  const asked = one?.begins && one.drawings.includes(number(t)) && place_of(t, one);
  if (!asked || !at || (at.limb === asked.limb && at.joint === asked.joint)) return null;
  const joint = `${the(one.joint)}${t.head.limbs.length > 1 ? ` of ${the(one.limb)}` : ""}`;
  return { kind: "pass", head: `${capital(joint)} is asked for.`, act: act(`take ${joint}`, () => work_on(t, asked)), lesson: lesson(t) };
}

/** Inside a pass nothing is found fault with. */
function passing(t) {
  if (!in_pass(t)) return null;
  const found = to_go(t);
  const next = go_on(t);
  const kept = verdict(t).passed ? "So far every rule is kept." : "";
  const told = { kind: "pass", lesson: lesson(t) };
  const far = found?.far && (!found.there || !(found.drawn || t.drag) ? `${capital(found.far)}.` : found.beside ? "About there." : "There.");
  if (!found || t.drag) return (!t.drag && in_other_hand(t)) || { ...told, head: (t.drag?.going && far) || "", says: kept };
  if (goal_now(t).short) return too_short(t, goal_now(t).short);
  if (found.right) return { ...told, ...lies_right(t) };
  if (found.off && found.drawn) return { ...told, head: far, says: `Drag it ${found.end}. ${kept}`, seconds: next ? [{ ...next, key: "" }] : [] };
  if (found.drawn) return { ...told, head: far || "Drawn.", says: `${far && !found.there ? `Drag it ${found.end}, or go on` : "Flip it, then go on"}. ${kept}`, act: next };
  return found.ways.length ? { ...told, head: far, says: `${drag_it(t, on_from(t))}.` } : { ...told, says: kept };
}

/** A layer is drawn through and swings too little: to the drawing where it turns. */
function too_short(t, { drawing, says }) {
  const away = number(t) !== drawing;
  const told = { kind: "pass", lesson: lesson(t), head: "Not far enough yet." };
  if (away) return { ...told, says, act: act(`to drawing ${drawing}`, () => go(t, drawing)) };
  return to_go(t).ways.length ? { ...told, says: drag_it_so_far(t) } : { ...told, says };
}

function all_kept(t) {
  const v = verdict(t);
  if (!t.head.file || !v.findings) return null;
  if (!v.passed) return { kind: "quiet", head: "Not all of it yet.", says: (v.unmet ?? []).map(capital).join(" ") };
  return {
    kind: "clean",
    head: "Every rule is kept.",
    says: capital(v.next ?? ""),
    act: act("play it", () => begin_done(t)),
    why: (v.advice ?? []).map((text) => ["worth knowing", text]),
  };
}

/** A model has no file: nobody has to mend it. */
function a_model(t) {
  const v = verdict(t);
  const first = causes(t)[0];
  const own = t.model.get("beside_says");
  if (own) return { kind: "quiet", says: own };
  if (first && v.passed === false) return { kind: "quiet", small: "a rule complains", says: `${first.called ?? first.head} ${first.amount ?? ""}`.trim() };
  return { kind: "quiet", says: v.findings && v.passed ? "Every rule is kept." : "", why: (v.advice ?? []).map((text) => ["worth knowing", text]) };
}
