/* A stand-in for the notebook: a model as anywidget hands one to a view, and a ferry-landing arm to draw.
 *
 * ?state=   untouched findings clean waiting not-saved saving elsewhere kernel-gone offer
 * &guide=wrist (a joint) &shows=all|sector|circle|nothing
 * &drawings=16 &limbs=1 &theme=light|dark &lecture=1 &views=1 &delay=30 (ms to a verdict)
 *
 * The numbers in the sample notes are for looking at; the rules themselves are tested in Python.
 */
import table from "../../anim_lessons/light_table/page/light_table.mjs";
import { on_circle, whole } from "../../anim_lessons/light_table/page/circle.mjs";
import { bends, half, moved, swung, turns } from "../../anim_lessons/light_table/page/drawings.mjs";

const TURN = 2 * Math.PI;
const lengths = [58.4, 53.1, 34.1];
const joints = ["shoulder", "elbow", "wrist", "fingertips"];

/** A waving arm: upper arm, elbow bend and hand each a little later than what they hang on. */
export function arm(drawings, late = 0, shoulder = [111, 45]) {
  const swing = (i, middle, reach, lag) => middle + reach * Math.cos((TURN * (i - lag * (drawings / 16))) / drawings);
  return Array.from({ length: drawings }, (_, k) => {
    const i = k + 1 + late;
    const turns = [swing(i, 64, -47, 0.3), swing(i, 47, -41, 4.5), swing(i, -3, 32, 14.3)];
    let [x, y] = [shoulder[0] + 3 * Math.cos((TURN * i) / drawings), shoulder[1] + 4 * Math.sin((TURN * i) / drawings)];
    let turn = 0;
    return [[x, y], ...turns.map((bend, j) => {
      turn += bend;
      x += lengths[j] * Math.cos((turn * Math.PI) / 180);
      y += lengths[j] * Math.sin((turn * Math.PI) / 180);
      return [x, y];
    })].map((p) => p.map((v) => Math.round(v * 1000) / 1000));
  });
}

/** The same arm with three faults: elbow locked at 3, hand too long at 11, hand scooping at 14. */
function faulty(drawings) {
  const clean = arm(drawings);
  const all = clean.map((d) => d);
  const locked = bends(clean[1])[1] - bends(clean[2])[1];
  all[2] = swung(clean[2], 2, locked, lengths[1]);
  if (drawings >= 14) {
    all[10] = swung(clean[10], 3, 0, lengths[2] * 1.13);
    all[13] = swung(clean[13], 3, 38, lengths[2]);
  }
  return all;
}

const NOTES = [
  { rule: "opening", joint: "elbow", drawings: [3], head: "The elbow locks at 3.", text: "It should open by about 12° from 2 and does not open at all: the forearm is 2’s, shifted and traced. Swing it 9° on, away from the head, then flip 2, 3, 4.", shows: "opens 0.0°", looked_for: "11.6°, at least 2.9°", follows: null },
  { rule: "spacing", joint: "fingertips", drawings: [3], short: "fingertips 17.3 mm past their place", follows: 0 },
  { rule: "spacing", joint: "wrist", drawings: [2], short: "wrist 7.8 mm short of its place", follows: 0 },
  { rule: "drag", joint: "wrist", drawings: [2], short: "hand leads by 6.3°; 6.0° allowed", follows: 0 },
  { rule: "arc", joint: "fingertips", drawings: [2], short: "fingertips 6.6 mm off their arc", follows: 0 },
  { rule: "length", joint: "fingertips", drawings: [11], head: "The hand grows at 11.", text: "38.6 mm; on the model sheet it has 34.1 mm. Trace the hand of 10.", shows: "38.6 mm", looked_for: "34.1 mm, within 5 %", follows: null },
  { rule: "drag", joint: "wrist", drawings: [14], head: "The hand scoops at 14.", text: "It leads the forearm by 21.0° in mid-swing; 6.0° allowed. Let it trail.", shows: "leads by 21.0°", looked_for: "6.0° at most", follows: null },
  { rule: "spacing", joint: "fingertips", drawings: [14], short: "fingertips 30.1 mm past their place", follows: 6 },
  { rule: "arc", joint: "fingertips", drawings: [15], short: "fingertips 14.9 mm off their arc", follows: 6 },
];
const RULES = "length arc spacing opening stops drag overlap link-up hold opposition".split(" ");

function findings(pose) {
  const count = pose.drawings[0].length;
  return NOTES.filter((f) => f.drawings[0] <= count).map((f) => {
    const one = { limb: "arm", measured: 0, allowed: 0, unit: "°", says: f.text ?? f.short, called: f.head, amount: f.text, do: f.text, ghost: null, ...f };
    if (f.rule === "opening") {
      const now = pose.drawings[0][2];
      one.ghost = { drawing: 3, points: swung(now, 2, -9, lengths[1]), says: "forearm 9° on" };
      one.do = "Swing the forearm 9° on, to the ghost.";
    }
    if (f.rule === "length") one.ghost = { drawing: 11, points: swung(pose.drawings[0][10], 3, 0, lengths[2]), says: "hand 4.5 mm shorter" };
    if (f.rule === "drag" && f.follows === null) one.ghost = { drawing: 14, points: swung(pose.drawings[0][13], 3, -21, lengths[2]), says: "hand 21° back" };
    return one;
  });
}

/** Python's part: a verdict on a pose, as it would come over the line. */
export function verdict_on(pose, state) {
  const count = pose.drawings[0].length;
  const found = ["clean", "begin", "layer", "short"].includes(state) ? [] : findings(pose);
  const turn = Math.round(count / 2);
  const wrists = pose.drawings[0].map((d) => d[2]);
  const half = (numbers) => {
    const far = [0];
    for (let i = 1; i < numbers.length; i += 1) {
      const [a, b] = [wrists[numbers[i - 1] - 1], wrists[numbers[i] - 1]];
      far.push(far.at(-1) + Math.hypot(b[0] - a[0], b[1] - a[1]));
    }
    return { drawings: numbers, asked: numbers.map((_, i) => (1 - Math.cos((Math.PI * i) / (numbers.length - 1))) / 2), drawn: far.map((v) => v / far.at(-1)) };
  };
  const ahead = (from, to) => Array.from({ length: to - from + 1 }, (_, i) => ((from + i - 1) % count) + 1);
  return {
    revision: pose.revision, passed: !found.length && !["begin", "layer", "short"].includes(state), at: "13:24",
    next: found.length ? "on drawing 3, swing the forearm 9° on, to the ghost. Then flip." : `play it on twos and watch the link-up, ${count} into 1.`,
    rules: Object.fromEntries(RULES.map((r) => [r, { passed: !found.some((f) => f.rule === r), judged: r !== "opposition" || pose.drawings.length > 1, says: r === "opposition" ? "one arm alone has nothing to oppose" : "" }])),
    findings: found, layers: layers_of(count, state), advice: state === "clean" ? ["Well held: at 9 the shoulder rests and the hand goes on 11 mm."] : [],
    charts: pose.drawings.map((_, l) => ({ limb: l ? "far arm" : "arm", joint: "wrist", halves: [{ name: "out", ...half(ahead(1, turn + 1)) }, { name: "back", ...half(ahead(turn + 1, count + 1)) }] })),
    bends: pose.drawings.map((_, l) => [{ joint: "elbow", segment: 1, asked: arm(count, l * count * 0.5).map((d) => bends(d)[1]), stops: [0, 95] }]),
  };
}

/** A pass under way: so many elbows are drawn, and nothing else. */
function layers_of(count, state) {
  if (!["pass", "begin", "layer", "short"].includes(state)) return [];
  const drawings = Array.from({ length: count }, (_, i) => i + 1);
  const far = { begin: 1, pass: 6 }[state] ?? count;
  const short = (joint) => (state === "short" && joint === "elbow" ? { drawing: 13, says: "On 13 the elbow should lie farther to the right." } : null);
  return [["Elbows", "elbow", far], ["Wrists", "wrist", 0], ["Hands", "fingertips", 0]].map(([name, joint, many]) => ({
    limb: "arm", joint, name, says: name === "Elbows" ? "To the left until 6, to the right until 14, and home. Gaps small at both ends." : "", drawings,
    drawn: drawings.slice(0, many), begun: many > 1, done: many === count && !short(joint), short: short(joint), begins: true, goes: drawings.map(() => 0), right: [], beside: 0, about: false }));
}

/** Where the joint asked about may go, as Python would say it: the words and borders here are for looking at. */
export function guide_on({ pose, number, settings, head }, shows) {
  const l = head.limbs.findIndex((one) => one.name === settings.guide?.limb);
  if (l < 0) return {};
  if (shows === "nothing") return { says: "This exercise is drawn without the guide: find the place by flipping." };
  const j = head.limbs[l].joints.indexOf(settings.guide.joint);
  const count = pose.drawings[0].length;
  const of = (n) => pose.drawings[l][(n - 1 + count) % count];
  const [before, here, after] = [of(number - 1), of(number), of(number + 1)];
  const angle = (p) => whole(turns(p)[j - 1]);
  const asked = whole(angle(before) + half(angle(after) - angle(before)) / 2);
  const radius = head.limbs[l].lengths[j - 1];
  const ends = [-7, 12, 34, 90, 150, 240, 300, 336, 353].map((d) => asked + d);
  const words = [["spacing", "The fingertips hang back at 3."], ["opening", "4 would lock"], ["drag", "The hand scoops at 3."], ["stops", "The elbow is folded past its stop at 3."],
    ["arc", "The wrist leaves its arc at 3."], ["spacing", "gap 3–4 too wide"], ["opening", "closes, should open"], ["opening", "The elbow locks at 3: traced from 2."]];
  const split = (from, to) => { const a = whole(from); const b = a + to - from; return b > 360 ? [[a, 360], [0, b - 360]] : [[a, b]]; };
  const excluded = words.flatMap(([rule, says], i) => split(ends[i + 1], ends[i + 2] ?? ends[0] + 360).map(([from, to]) => ({ from, to, rule, says })));
  const [p, q] = [of(number - 1)[j - 1], of(number + 1)[j - 1]];
  return {
    revision: pose.revision, drawing: number, limb: settings.guide.limb, joint: settings.guide.joint, shows,
    centre: here[j - 1], radius, drawn: angle(here), traced: angle(before),
    asked: { angle: asked, place: on_circle(here[j - 1], radius, asked) },
    tangent: { at: here[j - 1], angle: (Math.atan2(q[1] - p[1], q[0] - p[0]) * 180) / Math.PI, strength: 0.7 },
    dots: [4, 3, 2, 1].map((back) => of(number - back)[j]),
    allowed: shows === "circle" ? [] : split(ends[0], ends[1]),
    excluded: shows === "circle" ? [] : excluded.map((part) => (shows === "all" ? part : { ...part, rule: "", says: "" })),
    says: `On ${number} the ${settings.guide.joint} may go from ${whole(ends[0]).toFixed(1)}° to ${whole(ends[1]).toFixed(1)}°; its neighbours look for it at ${asked.toFixed(1)}°.`,
  };
}

/** Steps of a correction: the ghosts of the findings, one after the other. */
export function mended_on({ pose, verdict }, finding) {
  const meant = verdict.findings.filter((f, i) => f.ghost && (finding === null || i === finding));
  return { revision: pose.revision, passes: true, says: `${meant.length} drawing${meant.length === 1 ? "" : "s"} of 16 moved; every rule is kept.`,
    steps: meant.map(({ limb, ghost }) => ({ drawing: ghost.drawing, limb, points: ghost.points, says: `swing it ${ghost.says}`, moved: 8 })) };
}

/** What anywidget hands to a view: get, set, save_changes, send, on, off. */
export class Model {
  constructor(state) { this.state = state; this.listeners = []; this.sent = []; this.saves = 0; this.answers = this.saves_files = true; this.delay = 30; this.dirty = new Set(); }
  get(name) { return this.state[name]; }
  set(name, value) {
    if (this.state[name] === value) return;
    this.state[name] = value;
    this.dirty.add(name);
    this.fire(`change:${name}`);
  }
  fire(name, ...more) { for (const [n, act] of [...this.listeners]) if (n === name) act(...more); }
  on(name, act) { this.listeners.push([name, act]); }
  off(name, act) { this.listeners = this.listeners.filter(([n, a]) => n !== name || a !== act); }
  send(message) {
    this.sent.push(message);
    if (message.ask === "verdict") this.answer();
    if (message.ask === "mend" && this.answers) setTimeout(() => { this.set("mended", mended_on(this.state, message.finding)); this.dirty.delete("mended"); }, this.delay);
  }
  save_changes() {
    this.saves += 1;
    if (["pose", "number", "settings"].some((name) => this.dirty.has(name))) this.answer_guide();
    if (this.dirty.delete("pose")) this.answer();
    this.dirty.clear();
  }
  answer_guide() {
    const now = { ...this.state };
    setTimeout(() => { if (this.answers) { this.set("guide", guide_on(now, this.shows)); this.dirty.delete("guide"); } }, this.delay);
  }
  answer() {
    if (!this.answers) return;
    const pose = this.state.pose;
    setTimeout(() => {
      if (!this.answers) return;
      this.set("verdict", verdict_on(pose, this.kind));
      if (this.saves_files) this.set("saved", { ...this.state.saved, ...this.filed, revision: pose.revision });
      this.dirty.clear();
    }, this.delay);
  }
}

const ask = new URLSearchParams(location.search);
const state = ask.get("state") ?? "findings";
const drawings = Number(ask.get("drawings") ?? 16);
const limbs = Number(ask.get("limbs") ?? 1);
const file = "wave_the_boat_in.json";
if (ask.get("theme")) document.body.dataset.jpThemeLight = String(ask.get("theme") === "light");

const pose = { revision: 1, exposure: 2, drawings: [state === "clean" ? arm(drawings) : faulty(drawings), ...(limbs > 1 ? [arm(drawings, drawings / 2, [121, 45])] : [])] };
const model = new Model({
  head: { title: "wave the boat in", by: "", rate: 24, loop: ask.get("loop") !== "0", paper: { width: 297, height: 210 }, file, exercise: "06_looping_arm",
    limbs: Array.from({ length: limbs }, (_, l) => ({ name: l ? "far arm" : "arm", joints, lengths, stops: [[-180, 180], [0, 95], [-85, 85]] })) },
  pose, number: Number(ask.get("number") ?? 3),
  settings: { onion: 2, keep_lengths: true, paths: true, under: true, lecture: ask.get("lecture") === "1", asking: false, guess: false, stays: [],
    guide: ask.get("guide") ? { limb: "arm", joint: ask.get("guide") } : null, layer: null, chart: null, way: "straight ahead" },
  verdict: verdict_on(pose, state), film: {}, beside: {}, beside_says: "",
  saved: { state: "saved", at: "13:24", why: "", file, revision: 1, says: "" },
});
model.kind = state;
model.shows = ask.get("shows") ?? "all";
model.state.guide = guide_on(model.state, model.shows);
model.filed = { state: "saved", at: "13:26" };
model.delay = Number(ask.get("delay") ?? 30);
if (["untouched", "begin"].includes(state)) model.state.saved.state = "as in the file";
if (state === "not-saved") model.filed = Object.assign(model.state.saved, { state: "failed", why: "the folder is full" }) && { state: "failed" };
if (state === "saving") Object.assign(model.state.saved, { state: "saving", why: "still being saved, for 8 s", revision: 0, says: `"${file}" is still being saved, for 8 s: the disk or the network folder answers slowly. You can go on drawing.` });
if (state === "elsewhere") Object.assign(model.state.saved, { state: "elsewhere", says: "another table changed the file; yours is in wave_the_boat_in (2).json" });
if (state === "waiting") { model.answers = false; model.state.pose = { ...pose, revision: 2 }; }
if (state === "kernel-gone") model.answers = false;
localStorage.clear();
if (state === "offer") {
  localStorage.setItem(`anim-lessons light table 06_looping_arm ${file}`, JSON.stringify({ revision: 9, time: "13:20",
    pose: { revision: 9, exposure: 2, drawings: pose.drawings.map((d) => d.map((p) => moved(p, 0, [p[0][0] + 4, p[0][1]]))) } }));
}
window.model = model;
window.leave = [];
for (let i = 0; i < Number(ask.get("views") ?? 1); i += 1) {
  const el = document.createElement("div");
  document.querySelector("main").append(el);
  window.leave.push(table.render({ model, el }));
}
if (state === "kernel-gone") model.fire("comm_live_update");
window.ready = true;
