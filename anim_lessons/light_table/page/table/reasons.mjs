/* Where may it go: words beside the circle, at most the open part and two shut ones each side of it. */
import { arc_points, GATE, lies_in, spoken_parts, strokes, whole } from "../circle.mjs";
import { turns } from "../drawings.mjs";
import { polyline, tenth } from "../lines.mjs";
import { as_now, place_reason, take, take_about, take_line } from "../place.mjs";
import { changed, put, say } from "../tools.mjs";
import { asked_shown, guide_here, guide_holds, guided, parts_shown } from "./guide_answer.mjs";
import { number, points, scale, to_sheet } from "./questions.mjs";

const REACH = 88; // degrees from the middle of the open part
const LEAST = 6; // degrees: a part under it has no words

/** What the labels stand for: while it stays the same, they need no new places. */
export function what_is_told(t) {
  const { allowed, excluded, asked, traced } = guide_here(t) ?? {};
  return JSON.stringify([allowed, excluded, asked, traced]);
}

const WORDS = 4; // at most, beside the circle; the sentence stands in the margin
const PARTS = "upper arm|forearm|hand|palm|finger|staff|lantern|part ending in [^ ]+( \\d+)?";

/** The verb of a sentence about a shut part: "runs ahead" of "4 runs ahead.", "breaks backwards" of "The elbow is broken
 * backwards at 4." */
export function in_few_words(says, joints, n) {
  const who = new RegExp(`^((the )?(${[...joints.map(plainly), PARTS].join("|")})|${n}) `, "i");
  return says
    .replace(/[.:].*$/s, "")
    .replace(who, "")
    .replace(/ (at|in the) .*$/, "")
    .replace(/^(is|are) broken/, (_, one) => (one === "is" ? "breaks" : "break"))
    .split(" ")
    .slice(0, WORDS)
    .join(" ");
}
const plainly = (name) => name.replace(/[^\p{L}\p{N} ]/gu, ".");

/** The parts that have words: the open ones, then on each side of the first the two nearest shut ones. */
export function spoken(g, now, few) {
  const { allowed, excluded } = parts_shown(g);
  const shut = spoken_parts(excluded).filter(({ says }) => says);
  const first = allowed.length ? allowed.reduce((a, b) => (b[1] - b[0] > a[1] - a[0] ? b : a)) : null;
  if (!first)
    return shut
      .filter(({ from, to }) => to - from >= LEAST)
      .sort((a, b) => Number(lies_in(now, [b.from, b.to])) - Number(lies_in(now, [a.from, a.to])) || b.to - b.from - (a.to - a.from))
      .slice(0, 4)
      .map((part) => ({ ...part, words: few(part.says) }));
  const middle = (first[0] + first[1]) / 2;
  const off = (turn) => whole(turn - middle + 180) - 180; // from -180 to 180
  const open = { kind: "open", from: middle + off(first[0]), to: middle + off(first[1]), words: "may go here" };
  const is_now = ({ from, to }) => lies_in(now, [from, to]); // it is said in the margin, so also on the sheet
  const cut = shut
    .map((part) => {
      const from = off((part.from + part.to) / 2) - (part.to - part.from) / 2;
      return { ...part, low: Math.max(-REACH, from), high: Math.min(REACH, from + part.to - part.from) };
    })
    .filter((part) => part.high - part.low >= LEAST || is_now(part));
  const side = (is) =>
    cut
      .filter(is)
      .sort((a, b) => is_now(b) - is_now(a) || Math.abs(a.low + a.high) - Math.abs(b.low + b.high))
      .slice(0, 2);
  return [
    ...(first[1] - first[0] >= 2 ? [open] : []),
    ...[...side(({ low, high }) => low + high > 0), ...side(({ low, high }) => low + high <= 0)].map((part) => ({
      ...part,
      from: middle + part.low,
      to: middle + part.high,
      words: few(part.says),
    })),
  ];
}

/** What the circle itself takes of the sheet, before any words. */
export function take_circle(t, on) {
  const g = guide_here(t);
  if (!g) return;
  for (const p of arc_points(g.centre, g.radius, 0, 354, 6)) take_about(on, to_sheet(t, p), on.em * 0.3);
  const asked = asked_shown(t, g);
  if (asked) take_about(on, to_sheet(t, asked.place), on.em * 0.6);
  for (const turn of new Set(parts_shown(g).allowed.flat()))
    for (const end of strokes(g.centre, g.radius, turn, turn, GATE)) take_line(on, ...end.map((p) => to_sheet(t, p)), on.em * 0.3);
  for (const [from, to] of parts_shown(g).allowed)
    for (let share = 0.2; share < 1; share += 0.2)
      for (const p of arc_points(g.centre, g.radius * share, from, to, 8)) {
        const [x, y] = to_sheet(t, p);
        take(on, x - 2, y - 2, x + 2, y + 2);
      }
}

/** Words outside the circle, off joints, numbers and each other. */
export function place_reasons(t, on) {
  t.told_of = what_is_told(t);
  t.field = as_now(on);
  const g = guide_here(t);
  t.reasons_said = [];
  if (g) {
    const now = whole(turns(points(t, guided(t).limb))[guided(t).joint - 1]);
    const told = new Set();
    const { joints } = t.head.limbs[guided(t).limb];
    for (const part of spoken(g, now, (says) => in_few_words(says, joints, number(t)))) {
      if (told.has(part.words)) continue;
      const placed = place_reason(on, to_sheet(t, g.centre), g.radius * scale(t), part.from, part.to, part.words, part.kind === "open", t.from_back);
      if (!placed) continue;
      told.add(part.words);
      t.reasons_said.push({ ...part, ...placed });
    }
  }
  t.reason_words(t.reasons_said.length).forEach((mark, i) => {
    const { words, at: [x, y], leader } = t.reasons_said[i];
    put(mark.firstChild, { d: polyline(leader) });
    if (changed(t.made_of, mark, words)) say(mark.children[1], words);
    put(mark.children[1], { x: tenth(x), y: tenth(y + on.em * 0.36) });
  });
  mark_reason(t);
}

/** The reason that shuts the place where the joint stands is heavier. */
export function mark_reason(t) {
  const is = guided(t);
  const turn = is && guide_holds(t) ? whole(turns(points(t, is.limb))[is.joint - 1]) : null;
  t.reason_words(t.reasons_said.length).forEach((mark, i) => {
    const { kind, from, to } = t.reasons_said[i];
    put(mark, {
      class: `reason ${kind ?? (turn !== null && lies_in(turn, [from, to]) ? "here" : "")}`.trim(),
    });
  });
}
