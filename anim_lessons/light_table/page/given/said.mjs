/* In the place of table/said.mjs: what the voice says where nothing is asked of the reader but to look. */
import { capital } from "../tools.mjs";
import { choose, leave_note } from "../table/choosing.mjs";
import { begin_done } from "../table/done.mjs";
import { finding_words, go_to } from "../table/finding_words.mjs";
import { guide_words } from "../table/guide_words.mjs";
import { guided } from "../table/guide_answer.mjs";
import { causes, open_note, verdict } from "../table/questions.mjs";
import { called, neighbour, to_step } from "./steps.mjs";

const act = (label, does, key = "Enter") => ({ label, does, key });
const play_large = (t, key) => act("play it large", () => begin_done(t), key);

/** What is said: the fields are those of table/said.mjs. */
export function said(t) {
  const found = of_the_table(t) ?? asked(t) ?? note(t) ?? step(t) ?? whole(t);
  return { kind: "quiet", small: "", head: "", says: "", act: null, seconds: [], why: [], others: [], rest: "", lesson: null, ...found };
}

const of_the_table = (t) => (t.hint ? { says: t.hint } : null);

function asked(t) {
  if (!guided(t)) return null;
  const { small, says, act: next } = step(t) ?? {}; // a lecture goes on beside it
  return { kind: "guide", head: "Where may it go?", ...guide_words(t), act: next, lesson: small ? { small, says } : null };
}

/** The finding that is open; in a lecture only one that was pressed. */
function note(t) {
  const f = open_note(t);
  if (!f || (t.model.get("steps").length && !t.chosen)) return null;
  const { cause, away, words } = finding_words(t, f);
  const all = causes(t);
  const next = all[(all.indexOf(cause) + 1) % all.length];
  const on = all.length > 1 ? act("the next note", () => choose(t, next)) : play_large(t, "Enter");
  return {
    ...words,
    act: away === null ? on : act(`to drawing ${away}`, () => go_to(t, cause, away)),
    seconds: away === null ? [] : [{ ...on, key: "" }],
    others: [act("leave it", () => leave_note(t), "Escape")],
  };
}

/** A step of the lecture, with what the rules say of the drawings as they are after it. */
function step(t) {
  const all = t.model.get("steps");
  const at = t.model.get("at");
  if (!all.length) return null;
  const [before, next] = [-1, 1].map((by) => neighbour(at, by, all.length));
  const to = (label, i, key) => (i === null ? null : act(label, () => to_step(t.model, i), key));
  return {
    small: `step ${at + 1} of ${all.length}`,
    head: called(all[at], t.head.limbs.length > 1),
    says: all[at].says,
    act: to("next step", next) ?? play_large(t),
    seconds: [to("step before", before, "")].filter(Boolean),
    rest: standing(t),
  };
}

/** The verdict in one sentence. */
function standing(t) {
  const [v, many] = [verdict(t), causes(t).length];
  if (many) return `Pressed, ${many === 1 ? "the mark beside the drawings says" : `the ${many} marks beside the drawings say`} what the rules found.`;
  return v.passed ? "Every rule is kept." : "What is drawn so far keeps the rules.";
}

function whole(t) {
  const v = verdict(t);
  const many = causes(t).length;
  const unmet = (v.unmet ?? []).map(capital).join(" ");
  return {
    kind: v.passed ? "clean" : "quiet",
    head: v.passed ? "Every rule is kept." : many ? `${many} note${many === 1 ? "" : "s"}.` : "Not all of it yet.",
    says: v.passed ? capital(v.next ?? "") : many ? "A press on a mark beside the drawings opens its note." : unmet,
    act: play_large(t),
    why: (v.advice ?? []).map((text) => ["worth knowing", text]),
  };
}
