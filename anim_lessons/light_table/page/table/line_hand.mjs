/* The pencil in the hand: a line drawn over the construction, an eraser that takes a whole stroke. */
import { button, on } from "../elements.mjs";
import { kept, pressure_of, room_for, stroke_at, thinned, with_strokes } from "../hand_strokes.mjs";
import { polyline, unlaid } from "../lines.mjs";
import { h, pool, put, s, used } from "../tools.mjs";
import { lay, remember } from "./changes.mjs";
import { rest_hands } from "./flip_and_play.mjs";
import { paint_line, paths_of, strokes_of } from "./line.mjs";
import { new_stroke } from "./line_state.mjs";
import { across, number, scale, to_sheet } from "./questions.mjs";

const REACH = 10; // px: an eraser is as broad as twice that
const MANY = 400; // points as they come from the hand, after which a stroke is thinned while it is drawn
const RUBBER = 5; // the other end of a pen (W3C Pointer Events Level 3, "chorded button interactions")
export const SAYS = {
  pencil: "Draw over the construction. Undo takes back a stroke. Escape leads back to the joints.",
  eraser: "Press a stroke, or draw across it: all of it goes. Escape leads back to the joints.",
};

export function make_line_bar(t) {
  const tool = (name, says) => button(t, name, () => take_tool(t, name), { title: says });
  t.line.tools = [tool("pencil", "Draw a line over the construction"), tool("eraser", "Take a whole stroke away")];
  t.line.bar = h(
    "div",
    { class: "line-bar", role: "group", "aria-label": "pencil" },
    h("span", { class: "seg" }, ...t.line.tools),
    button(t, "joints", () => take_tool(t, ""), { title: "Back to moving joints (Escape)", "aria-keyshortcuts": "Escape" }),
  );
}

export function paint_line_bar(t) {
  const { tool, tools, bar } = t.line;
  put(t.root, { "data-tool": tool || null });
  t.guide_b.hidden = Boolean(tool); // its place is taken
  if (!tool) bar.remove();
  else if (!bar.isConnected) t.guide_b.before(bar);
  tools.forEach((b) => put(b, { "aria-pressed": String(b.textContent === tool) }));
  paint_hits(t);
}

/** Take up the pencil or the eraser; with no name lay it down. */
export function take_tool(t, name) {
  rest_hands(t);
  t.line.tool = name;
  t.stroke = null;
  t.active = null;
  t.more.hidden = true;
  t.hint = "";
  t.repaint();
  t.root.focus({ preventScroll: true });
}

export function listen_to_the_pencil(t) {
  t.line.hits = pool(t.line.layer, () => make_hit(t));
  // before a joint or the sheet hears of it
  on(t, t.sheet, "pointerdown", (e) => begin(t, e), { capture: true });
  on(t, t.sheet, "pointermove", (e) => follow(t, e));
  for (const end of ["pointerup", "lostpointercapture"]) on(t, t.sheet, end, (e) => mine(t, e) && lift(t));
  on(t, t.sheet, "pointercancel", (e) => mine(t, e) && drop_stroke(t));
  on(t, t.sheet, "touchstart", (e) => t.line.tool && e.preventDefault(), { passive: false });
}

const mine = (t, e) => t.stroke?.pointer === e.pointerId;

function begin(t, e) {
  if (!t.line.tool || t.done) return;
  used(e); // no text is selected, no joint is taken
  if (e.pointerType === "pen") t.line.pen = true;
  if (t.stroke || ![0, RUBBER].includes(e.button) || (e.pointerType === "touch" && (t.line.pen || !e.isPrimary))) return;
  rest_hands(t);
  t.root.focus({ preventScroll: true });
  t.sheet.setPointerCapture(e.pointerId);
  const n = number(t);
  const rubs = t.line.tool === "eraser" || e.button === RUBBER;
  const box = t.sheet.getBoundingClientRect();
  t.stroke = new_stroke({ pointer: e.pointerId, n, box, thin_at: MANY, left: rubs ? strokes_of(t, n) : null });
  add(t, e);
}

function follow(t, e) {
  if (!mine(t, e)) return;
  const all = e.getCoalescedEvents?.() ?? [];
  for (const one of all.length ? all : [e]) add(t, one);
}

/** Where the pointer is, mm, and how hard it presses. The sheet stands still while a stroke is drawn. */
function place_of(t, e) {
  const { box } = t.stroke;
  const [x, y] = unlaid(t.head.paper, [(e.clientX - box.left) / box.width, (e.clientY - box.top) / box.height]);
  return [across(t, x), y, pressure_of(e)];
}

function add(t, e) {
  const [place, last] = [place_of(t, e), t.stroke.points.at(-1)];
  if (last && place.every((v, i) => Math.abs(v - last[i]) < 0.01)) return;
  if (t.stroke.left) rub(t, last ?? place, place);
  t.stroke.points.push(place);
  if (t.stroke.points.length > t.stroke.thin_at) {
    t.stroke.points = thinned(t.stroke.points);
    t.stroke.thin_at = t.stroke.points.length + MANY;
  }
  t.stroke.frame ||= requestAnimationFrame(() => paint_wet(t));
}

/** Take away what lies between two places. */
function rub(t, from, to) {
  const reach = (REACH * t.units) / scale(t);
  const steps = Math.ceil(Math.hypot(to[0] - from[0], to[1] - from[1]) / reach) || 1;
  for (let i = 1; i <= steps; i += 1) {
    const at = [0, 1].map((k) => from[k] + ((to[k] - from[k]) * i) / steps);
    for (let k = stroke_at(t.stroke.left, at, reach); k >= 0; k = stroke_at(t.stroke.left, at, reach))
      t.stroke.left = t.stroke.left.toSpliced(k, 1);
  }
}

function paint_wet(t) {
  if (!t.stroke) return;
  t.stroke.frame = 0;
  if (t.stroke.left) return paint_line(t);
  const paths = paths_of(t, [t.stroke.points]);
  t.line.wet(paths.length).forEach((line, i) => put(line, paths[i]));
}

function leave_hand(t) {
  const { stroke } = t;
  cancelAnimationFrame(stroke.frame);
  t.stroke = null;
  t.line.wet(0);
  return stroke;
}

/** The hand lifts: the stroke lies on its drawing, and is one step back. */
function lift(t) {
  const { n, left, points } = leave_hand(t);
  if (left) return left === t.line.drawn[n] ? null : put_down(t, n, left);
  const stroke = kept(points);
  const full = room_for(t.line.drawn, n, stroke.length);
  if (!full) return put_down(t, n, [...strokes_of(t, n), stroke]);
  t.hint = full;
  t.repaint();
}

function put_down(t, n, strokes) {
  if (!strokes.length && !t.line.drawn[n]) return;
  remember(t);
  lay(t, { lines: with_strokes(t.line.drawn, n, strokes) });
  t.repaint();
}

/** Nothing was meant: the drawing is as it was. */
export function drop_stroke(t) {
  leave_hand(t);
  t.repaint();
}

/** With the eraser each stroke can be reached by key. */
function make_hit(t) {
  const hit = s("path", { class: "stroke-hit", role: "button", tabindex: 0 });
  on(t, hit, "keydown", (e) => {
    if (e.key !== "Enter" && e.key !== " ") return;
    used(e);
    put_down(t, number(t), strokes_of(t, number(t)).toSpliced(t.stands_for.get(hit), 1));
    t.root.focus({ preventScroll: true });
  });
  return hit;
}

function paint_hits(t) {
  const n = number(t);
  const strokes = t.line.tool === "eraser" ? strokes_of(t, n) : [];
  t.line.hits(strokes.length).forEach((hit, k) => {
    t.stands_for.set(hit, k);
    put(hit, {
      d: polyline(strokes[k].map((p) => to_sheet(t, p))),
      "aria-label": `take away stroke ${k + 1} of ${strokes.length} on drawing ${n}`,
    });
  });
}
