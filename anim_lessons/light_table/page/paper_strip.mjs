/* Drawings on paper: which joint each dot is, asked joint by joint.
 *
 * Reads    paper, limbs, count, drawings, at, asks_for, picture, says, answered
 * Sends    {ask: "confirm", what: {limb, joint, place: mm, exact}}, {ask: "go", what: number}, {ask: "again"}; each with its revision
 *
 * On the sheet a unit is a mm, y down. A press confirms the joint that is asked for; a ring that lies there is dragged, or
 * pushed by the arrow keys.
 */
import { ask as ask_python } from "./asking.mjs";
import { button, on } from "./elements.mjs";
import { new_held, new_paper } from "./paper/state.mjs";
import { follow, h, named, pool, put, s, say, the, used } from "./tools.mjs";

const PUSH = 0.25; // mm, by a key
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

const drawing = (t) => t.model.get("drawings").find((one) => one.number === t.model.get("at"));
const waits = (t) => t.revision > t.model.get("answered");
const down = (t, [x, y]) => [x, t.model.get("paper")[1] - y];

function ask(t, what, more) {
  ask_python(t, what, more, () => {
    t.silent = true;
    paint(t);
  });
  paint(t);
}

const confirm = (t, [limb, joint], place, exact = false) =>
  ask(t, "confirm", { limb, joint, place: place.map((x) => Math.round(x * 1000) / 1000), exact });

/** mm of the drawing under the pointer. */
function under(t, e) {
  const at = new DOMPoint(e.clientX, e.clientY).matrixTransform(t.sheet.getScreenCTM().inverse());
  return down(t, [at.x, at.y]);
}

function lay_out(t) {
  const [wide, high] = t.model.get("paper");
  t.pencil = s("image", { class: "pencil", preserveAspectRatio: "none" });
  const layers = ["bones", "dots", "marks", "names"].map((name) => s("g", { class: name }));
  t.sheet = s("svg", { class: "paper", viewBox: `0 0 ${wide} ${high}`, role: "group", "aria-label": "the sheet of paper" }, t.pencil, ...layers);
  t.asked = h("p", { class: "asked", role: "status" });
  t.remark = h("p", { class: "remark" });
  t.done = h("p", { class: "done" });
  t.again = button(t, "again", () => ask(t, "again"), { title: "Ask for all joints of this drawing once more" });
  const numbers = h("div", { class: "row numbers", role: "group", "aria-label": "drawings read from paper" });
  t.root = h("div", { class: "anim-strip on-paper" }, t.sheet, t.asked, h("div", { class: "more" }, t.remark, numbers, t.done, h("div", { class: "row" }, t.again)));
  t.bones = pool(layers[0], () => s("polyline", { class: "bone" }));
  t.dots = pool(layers[1], () => make_dot(t));
  t.marks = pool(layers[2], () => make_mark(t));
  t.names = pool(layers[3], () => s("text", { class: "name" }));
  t.numbers = pool(numbers, () => {
    const b = button(t, "", null);
    on(t, b, "click", () => ask(t, "go", t.stands_for.get(b)));
    return b;
  });
  on(t, t.sheet, "pointerdown", (e) => {
    const asked = t.model.get("asks_for");
    if (e.button || t.held || !asked.length || waits(t)) return;
    e.preventDefault(); // the focus stays where it is: the dot that was pressed stands for another one then
    confirm(t, asked, under(t, e));
  });
  on(t, t.sheet, "pointermove", (e) => {
    if (!t.held) return;
    t.held.place = under(t, e);
    paint(t);
  });
  on(t, t.sheet, "pointerup", () => {
    const held = t.held;
    t.held = null;
    if (held?.place) confirm(t, [held.limb, held.joint], held.place);
    else paint(t);
  });
  on(t, t.sheet, "pointercancel", () => {
    t.held = null;
    paint(t);
  });
}

function make_dot(t) {
  const dot = s("circle", { class: "dot", r: 3, tabindex: 0, role: "button" });
  on(t, dot, "keydown", (e) => {
    if (!["Enter", " "].includes(e.key) || waits(t)) return;
    used(e);
    const asked = t.model.get("asks_for");
    if (asked.length) confirm(t, asked, t.stands_for.get(dot));
  });
  return dot;
}

function make_mark(t) {
  const mark = s("circle", { class: "mark", r: 2.2, tabindex: 0, role: "button" });
  on(t, mark, "pointerdown", (e) => {
    if (e.button || waits(t)) return;
    used(e);
    t.sheet.setPointerCapture(e.pointerId);
    t.held = new_held(t.stands_for.get(mark));
  });
  on(t, mark, "keydown", (e) => {
    if (!WAYS[e.key] || waits(t)) return;
    used(e);
    const [limb, joint, x, y] = t.stands_for.get(mark);
    const [dx, dy] = WAYS[e.key];
    confirm(t, [limb, joint], [x + dx * PUSH, y + dy * PUSH], true);
  });
  return mark;
}

function paint(t) {
  const one = drawing(t);
  const all = t.model.get("drawings");
  const asked = t.model.get("asks_for");
  put(t.root, { "data-state": t.silent ? "silent" : waits(t) ? "waiting" : "fresh", "data-drawing": one?.number ?? null, "data-joint": asked[1] ?? null });
  put(t.sheet, { "data-empty": one ? null : "" });
  say(t.asked, t.silent ? "Python does not answer. Run the notebook's cells once more." : t.model.get("says"));
  say(t.remark, one?.remark ? `Unsure: ${one.remark}.` : "");
  const whole = t.model.get("limbs").reduce((sum, limb) => sum + limb.joints.length, 0);
  say(t.done, all.length ? `${all.filter((each) => each.confirmed.length === whole).length} of ${t.model.get("count")} drawings confirmed` : "");
  put(t.again, { disabled: one?.confirmed.length ? null : "" });
  t.numbers(all.length).forEach((b, i) => {
    t.stands_for.set(b, all[i].number);
    say(b, String(all[i].number));
    put(b, {
      "aria-label": `drawing ${all[i].number}, ${all[i].confirmed.length} of ${whole} joints confirmed`,
      "aria-current": String(all[i] === one),
      "data-all": all[i].confirmed.length === whole ? "" : null,
    });
  });
  const box = one?.box ?? [0, 0, 0, 0];
  const [x, y] = down(t, [box[0], box[1] + box[3]]);
  put(t.pencil, { href: t.model.get("picture") || null, x, y, width: box[2], height: box[3] });
  const confirmed = (one?.confirmed ?? []).map((each) =>
    t.held?.place && t.held.limb === each[0] && t.held.joint === each[1] ? [each[0], each[1], ...t.held.place] : each,
  );
  const known = confirmed.map(([, , a, b]) => [a, b]);
  const free = asked.length ? (one?.dots ?? []).filter(([a, b]) => known.every(([c, d]) => Math.hypot(a - c, b - d) > 1)) : [];
  t.dots(free.length).forEach((dot, i) => {
    const [cx, cy] = down(t, free[i]);
    t.stands_for.set(dot, free[i]);
    put(dot, { cx, cy, "aria-label": `dot ${i + 1} at x ${Math.round(free[i][0])}, y ${Math.round(free[i][1])} mm: ${asked[1] ? `is it ${the(asked[1])}?` : ""}` });
  });
  const limbs = t.model.get("limbs");
  t.bones(limbs.length).forEach((line, l) => {
    const places = limbs[l].joints.map((joint) => confirmed.find((each) => each[0] === limbs[l].name && each[1] === joint)).filter(Boolean);
    put(line, { points: places.map(([, , a, b]) => down(t, [a, b]).join(",")).join(" ") });
  });
  t.marks(confirmed.length).forEach((mark, i) => {
    const [limb, joint, a, b] = confirmed[i];
    const [cx, cy] = down(t, [a, b]);
    t.stands_for.set(mark, confirmed[i]);
    put(mark, { cx, cy, "data-joint": joint, "data-limb": limb, "aria-label": `${named(joint)} at x ${a.toFixed(1)}, y ${b.toFixed(1)} mm; push it with the arrow keys` });
  });
  t.names(confirmed.length).forEach((text, i) => {
    const [, joint, a, b] = confirmed[i];
    const [left, top] = down(t, [a, b]);
    put(text, { x: left + 4, y: top + 1.7 });
    say(text, named(joint));
  });
}

function render({ model, el }) {
  const t = new_paper(model);
  lay_out(t);
  const watch = {
    ...Object.fromEntries(["drawings", "at", "asks_for", "picture", "says", "limbs", "count"].map((name) => [`change:${name}`, () => paint(t)])),
    "change:answered": () => {
      t.silent = false;
      if (!waits(t)) clearTimeout(t.timer);
      paint(t);
    },
  };
  const leave = follow(model, watch);
  el.append(t.root);
  paint(t);
  return () => {
    leave();
    clearTimeout(t.timer);
    t.life.abort();
    t.root.remove();
  };
}

export default { render };
