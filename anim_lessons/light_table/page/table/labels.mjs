/* Names, numbers, rings and the ghost's words on the sheet, each where there is room. */
import { hand_of, outline, polyline, SHEET, tenth, widths } from "../lines.mjs";
import { field, outward, place_ghost, place_name, place_number, runs_of, take, take_about, take_line, take_shape } from "../place.mjs";
import { named, put, say } from "../tools.mjs";
import { face_box } from "./body.mjs";
import { lengths_said } from "./lengths.mjs";
import { ghost_here } from "./mending.mjs";
import {
  count,
  deep,
  is_drawn,
  joint_now,
  limb_now,
  number,
  on_sheet,
  plans,
  points,
  scale,
  settings,
  to_sheet,
  type,
} from "./questions.mjs";
import { place_reasons, take_circle } from "./reasons.mjs";

const PX = 13.5; // of the type on the sheet

/** All labels: what they keep clear of is taken first, then each gets its place, in the order of what it is worth. */
export function place_labels(t, near, taken, arrows) {
  const on = { ...field([SHEET, deep(t)], type(t, PX), t.wide), arrows };
  const [limb, joint, n] = [limb_now(t), joint_now(t), number(t)];
  const path = t.pose.drawings[limb].map((d) => to_sheet(t, d[joint]));
  take_what_is_there(t, on, [...taken, ...arrows], path);
  const joints = on_sheet(t, limb, n);
  const name = (j) => place_name(on, joints, j, named(t.head.limbs[limb].joints[j], 20), j === joint);
  const with_circle = Boolean(settings(t).guide);
  const names = t.names && joints.length < 9 ? joints.map((_, j) => j) : [joint];
  const worked_name = () => name(joint);
  const rings = () => place_rings(t, on, path, near, limb);
  const said = with_circle ? [] : [worked_name()];
  const ringed = rings();
  paint_ghost(t, on);
  place_reasons(t, on);
  if (with_circle) said.push(worked_name());
  const numbers = place_numbers(t, on, path, near);
  said.push(...names.filter((j) => j !== joint).map(name), ...(t.mm ? lengths_said(t, on, joints, limb) : []));
  paint_names(t, said.filter(Boolean), limb);
  paint_numbers(t, [...ringed, ...numbers].filter(Boolean), on);
}

function take_what_is_there(t, on, taken, path) {
  const [limb, n, em] = [limb_now(t), number(t), on.em];
  for (const box of taken) take(on, ...box);
  const face = face_box(t);
  if (face) take(on, ...face);
  put(t.body, { "data-face": face?.map(tenth).join(" ") ?? null });
  for (const layer of t.flesh?.n === n ? t.flesh.skins.flat() : [])
    for (const shape of layer.fills) take_shape(on, shape.map((p) => to_sheet(t, p)));
  t.head.limbs.forEach((_, l) => {
    const p = on_sheet(t, l, n);
    for (let j = 1; j < p.length; j += 1) take_line(on, p[j - 1], p[j], em * 0.35);
    for (const joint of p) take_about(on, joint, em * (l === limb ? 0.62 : 0.5));
  });
  if (settings(t).paths) for (const p of path) take_about(on, p, em * 0.3);
  if (settings(t).under)
    for (const plan of plans(t))
      for (const dot of plan.dots) take_about(on, to_sheet(t, dot), em * 0.55);
  const { ghost, limb: of, first } = ghost_here(t);
  if (first >= 0) {
    const p = ghost.points.map((q) => to_sheet(t, q));
    const r = widths(t.head.limbs[of].lengths, scale(t));
    for (let j = Math.max(1, first); j < p.length; j += 1) take_line(on, p[j - 1], p[j], Math.max(r[j] ?? 4, em * 0.3));
    take_about(on, p[first], em * 0.5);
  }
  take_circle(t, on);
}

const known_of = (t, path) => new Set(path.map((_, i) => i).filter((i) => is_drawn(t, i + 1)));

/** Numbers in rings of the drawings that show through. */
function place_rings(t, on, path, near, limb) {
  const known = known_of(t, path);
  const side = outward(path);
  return near.map(({ number: m }) => {
    const p = on_sheet(t, limb, m);
    const tip = [p.at(-2) ?? [p.at(-1)[0], p.at(-1)[1] + 1], p.at(-1)];
    return place_number(on, path, m - 1, m, { side, known, ring: true, tip });
  });
}

/** Numbers of the path: those that stand close share one. The drawing under work has none, it stands in the corner. */
function place_numbers(t, on, path, near) {
  const spread = path.some((q) => Math.hypot(q[0] - path[0][0], q[1] - path[0][1]) > 3 * on.em);
  if (!settings(t).paths || !spread || count(t) < 2) return [];
  const known = known_of(t, path);
  const side = outward(path);
  const ringed = new Set([number(t), ...near.map((one) => one.number)]);
  const shown = path.map((_, i) => i).filter((i) => known.has(i) && !ringed.has(i + 1));
  return runs_of(path, shown, on.em).map((run) => {
    const says = run.length > 1 ? `${run[0] + 1}–${run.at(-1) + 1}` : run[0] + 1;
    return place_number(on, path, run[Math.floor((run.length - 1) / 2)], says, { side, known });
  });
}

function paint_names(t, said, limb) {
  t.names_said = said.map((one) => ({ ...one, limb }));
  t.name_marks(said.length).forEach((g, i) => {
    const { says, at, size, leader, is_worked, joint } = said[i];
    put(g, { class: is_worked ? "name worked" : "name", "data-name": joint, transform: null });
    put(g.children[0], { d: leader ? polyline(leader) : null });
    put(g.children[1], { x: tenth(at[0]), y: tenth(at[1] + size * 0.36) });
    say(g.children[1], says);
  });
}

/** While a joint is dragged the names go along with their joints. */
export function carry_names(t) {
  if (!t.drag) return;
  t.name_marks(t.names_said.length).forEach((g, i) => {
    const { limb, joint } = t.names_said[i];
    const [now, then] = [points(t, limb)[joint], t.drag.before.drawings[limb][number(t) - 1][joint]].map((p) => to_sheet(t, p));
    put(g, { transform: `translate(${tenth(now[0] - then[0])},${tenth(now[1] - then[1])})` });
  });
}

function paint_numbers(t, placed, on) {
  const [rings, plain] = [placed.filter((one) => one.ring), placed.filter((one) => !one.ring)];
  t.tab_marks(rings.length).forEach((g, i) => {
    const { at: [x, y], w, h, says, leader } = rings[i];
    put(g, { class: "tab" });
    put(g.children[0], { d: leader ? polyline(leader) : null });
    put(g.children[1], { x: tenth(x - w / 2), y: tenth(y - h / 2), width: tenth(w), height: tenth(h), rx: tenth(h / 2) });
    put(g.children[2], { x: tenth(x), y: tenth(y + on.em * 0.36) });
    say(g.children[2], says);
  });
  t.num_marks(plain.length).forEach((g, i) => {
    const { at: [x, y], says, leader } = plain[i];
    put(g.children[0], { d: leader ? polyline(leader) : null });
    put(g.children[1], { x: tenth(x), y: tenth(y + on.em * 0.36) });
    say(g.children[1], says);
  });
}

const MOST = 24; // letters beside a ghost; what is longer stands in the note

/** A dash-dot ghost of the correction, and its words tied to where it lands. */
function paint_ghost(t, on) {
  const { ghost, limb, first } = ghost_here(t);
  put(t.ghosts, { display: first < 0 ? "none" : null });
  t.measure_words(0);
  if (first < 0) return;
  const now = points(t, limb);
  const p = ghost.points.map((q) => to_sheet(t, q));
  const from = Math.max(0, first - 1);
  const [q, rr] = hand_of(t.head.limbs[limb].joints, p, widths(t.head.limbs[limb].lengths, scale(t)));
  put(t.ghost_parts[0], { d: outline(q.slice(from), rr.slice(from), first > 0) });
  put(t.ghost_parts[1], { cx: tenth(p[first][0]), cy: tenth(p[first][1]) });
  if (!ghost.says || ghost.says.length > MOST) return;
  const placed = place_ghost(on, p[first], to_sheet(t, now[first]), ghost.says, t.units);
  if (!placed) return;
  const [g] = t.measure_words(1);
  put(g.children[0], { d: polyline(placed.leader) });
  put(g.children[1], { x: tenth(placed.at[0]), y: tenth(placed.at[1] + placed.size * 0.36) });
  say(g.children[1], ghost.says);
}
