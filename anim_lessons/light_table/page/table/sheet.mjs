/* The sheet: paper, pegs, body, onion skin, what is laid under, corner and legend. */
import { neighbours } from "../drawings.mjs";
import { group } from "../elements.mjs";
import { at, hand_of, n1, outline, polyline, SHEET, smooth, widths } from "../lines.mjs";
import { h, pool, put, s, say } from "../tools.mjs";
import { make_handle } from "./drag.mjs";
import { paint_guide } from "./guide.mjs";
import { place_labels } from "./labels.mjs";
import { paint_handles, paint_limbs, paint_paths } from "./limbs.mjs";
import {
  chart_now, count, deep, joint_now, limb_now, number, on_sheet, plans, scale, settings, to_sheet, type, under,
} from "./questions.mjs";
import { paint_chart } from "./timing_chart.mjs";

const CHART = 163; // units that the timing chart takes at an edge

export function make_sheet(t) {
  t.paper = s("rect", { class: "paper", x: 0.5, y: 0.5, rx: 2 });
  t.pegs = group("pegs", { "aria-hidden": true });
  t.body = s("svg", { class: "body clipped", "aria-hidden": true });
  [t.circle, t.open] = ["circle", "open"].map((name) => s("svg", { class: `${name} clipped`, "aria-hidden": true })); // a circle may run off the sheet
  [t.paths, t.skins, t.unders, t.arms, t.ghosts, t.dots, t.nums, t.tabs, t.reasons, t.measure, t.chart, t.corner, t.legend] =
    "paths skins unders arms ghosts dots nums tabs reasons measure chart corner legend".split(" ").map((name) => group(name, { "aria-hidden": true }));
  t.handles = group("handles");
  t.wanted = group("wanted", { "aria-hidden": true }); // above the handles, so that it is seen beside the joint
  t.sheet = s("svg", { class: "drawing", role: "group" },
    t.paper, t.pegs, t.body, t.paths, t.chart, t.corner, t.legend, t.skins, t.unders, t.circle, t.arms, t.ghosts, t.dots, t.open, t.nums, t.tabs, t.reasons, t.measure, t.handles, t.wanted);
  t.figure = h("div", { class: "sheet" }, t.sheet, t.nudge);

  t.path_lines = pool(t.paths, () => s("path"));
  t.skin_lines = pool(t.skins, () => s("path"));
  t.under_lines = pool(t.unders, () => s("path"));
  t.plan_lines = pool(t.unders, () => s("path", { class: "planned" }));
  t.plan_dots = pool(t.unders, () => s("circle", { class: "planned" }));
  t.limb_lines = pool(t.arms, () => s("g", {}, s("path", { class: "arm" }), s("path", { class: "arm" }), s("path", { class: "bone" }), s("path", { class: "tick" }), s("path", { class: "tick long" })));
  t.dot_marks = pool(t.dots, () => s("circle"));
  t.num_marks = pool(t.nums, () => s("text", { class: "halo num", "text-anchor": "middle" }));
  t.tab_marks = pool(t.tabs, () => s("g", {}, s("rect"), s("text", { class: "num", "text-anchor": "middle" })));
  t.corner_words = pool(t.corner, () => s("text"));
  t.legend_parts = pool(t.legend, () => s("g", {}, s("path"), s("text", { class: "k halo" })));
  t.ghost_parts = [s("path", { class: "ghost" }), s("circle", { class: "land", r: 5 })];
  t.ghosts.append(...t.ghost_parts);
  t.measure_words = pool(t.measure, () => s("text", { class: "halo" }));
  t.probe = t.sheet.appendChild(s("text", { class: "probe", "aria-hidden": true }, "0123456789"));
  t.handle_marks = pool(t.handles, () => make_handle(t));

  for (const [x, w] of [[186, 24], [384, 24]]) t.pegs.append(s("rect", { x, y: 9.5, width: w, height: 7, rx: 3.5 }));
  t.pegs.append(s("circle", { cx: 297, cy: 13, r: 5 }));
}

/** Everything on the sheet that stands still while a joint is dragged. */
export function paint_sheet(t) {
  const bottom = deep(t);
  const n = number(t);
  const [limb, joint] = [limb_now(t), joint_now(t)];
  put(t.sheet, { viewBox: `0 0 ${SHEET} ${n1(bottom)}`, "aria-label": `drawing ${n} on the light table` });
  put(t.paper, { width: SHEET - 1, height: n1(bottom - 1) });
  for (const clipped of [t.body, t.circle, t.open]) put(clipped, { width: SHEET, height: n1(bottom) });
  paint_body(t);
  paint_limbs(t);
  paint_paths(t);
  paint_handles(t);
  paint_guide(t);

  const near = neighbours(n, count(t), settings(t).onion, t.head.loop);
  const each = near.flatMap((a) => t.head.limbs.map((_, l) => ({ ...a, limb: l }))).reverse();
  t.skin_lines(each.length).forEach((line, i) => {
    const { number: m, side, far, limb: l } = each[i];
    const p = on_sheet(t, l, m);
    put(line, { d: p.length > 1 ? polyline(p) : outline(p, widths([], scale(t))), class: `skin ${side} d${far}` });
  });
  t.under_lines(t.head.limbs.length).forEach((line, l) => {
    const p = settings(t).under ? under(t, l)?.map((p) => to_sheet(t, p)) : null;
    const joints = p?.map(([x, y]) => `M${n1(x - 2)},${n1(y)}a2,2 0 1 0 4,0a2,2 0 1 0 -4,0`).join("");
    put(line, { d: p ? outline(...hand_of(t.head.limbs[l].joints, p, widths(t.head.limbs[l].lengths, scale(t)))) + joints : null });
  });
  const lie = settings(t).under ? plans(t) : [];
  t.plan_lines(lie.length).forEach((line, i) => put(line, { d: smooth(lie[i].path.map((p) => to_sheet(t, p)), t.head.loop) }));
  const planned = lie.flatMap((plan) => plan.dots.map((place, k) => ({ place, here: k + 1 === n })));
  t.plan_dots(planned.length).forEach((dot, i) => {
    const [cx, cy] = to_sheet(t, planned[i].place).map(n1);
    put(dot, { cx, cy, r: planned[i].here ? 5.5 : 2.6, class: planned[i].here ? "planned here" : "planned" });
  });
  const taken = paint_fixtures(t, n, near, bottom);
  place_labels(t, n, near, limb, joint, taken, [SHEET, bottom]);
}

/** Corner, legend and timing chart: returns the boxes they take. */
function paint_fixtures(t, n, near, bottom) {
  const small = type(t, settings(t).lecture ? 12.5 : 11) / 11;
  // The chart is pencilled at the right edge, or at the left where only the left is free.
  const crowd = (is) => settled(t).flat(2).filter((q) => is(to_sheet(t, q)[0])).length;
  const mirrored = crowd((x) => x > SHEET - 124) > crowd((x) => x < 124);
  const title_wide = Math.max(80, t.head.title.length * 5.6 * t.wide * small);
  put(t.corner, { transform: mirrored ? `translate(${n1(SHEET - 36 - title_wide)})` : null });
  put(t.chart, { transform: mirrored ? `translate(${CHART - SHEET})` : null });
  t.nudge.classList.toggle("right", mirrored);
  const said = t.corner_words(t.head.title ? 3 : 2);
  const wide = String(n).length * 15.5 * t.wide;
  [[18, 36, "sheetno", String(t.showing ?? n)], [24 + wide, 36, "k", `of ${count(t)}`], [18, 54 * Math.sqrt(small), "k", t.head.title]]
    .slice(0, said.length).forEach(([x, y, name, text], i) => { put(said[i], { x, y, class: name }); say(said[i], text); });
  const taken = [mirrored ? [SHEET - 36 - title_wide, 8, SHEET - 6, 62] : [10, 8, title_wide + 18, 62], [180, 0, 414, 20]];

  const named = { before: "before: dashes", after: "after: dots", under: "under: fine dashes", planned: "planned path" };
  const lies = (side) => (side === "under" ? settings(t).under && t.head.limbs.some((_, l) => under(t, l)) :
    side === "planned" ? settings(t).under && plans(t).length : near.some((a) => a.side === side));
  const keys = small > 1.3 ? [] : Object.keys(named).filter(lies); // no room on a small sheet
  const wordy = (keys.includes("under") ? 92 : 74) * t.wide;
  const [legend_wide, legend_deep] = [44 + wordy * small, 15 * small * keys.length];
  const [left, foot] = least_crowded(t, [
    [mirrored ? CHART + 6 : 406 - wordy * small, bottom - 12], // between the buttons that move a chosen joint and the chart
    [mirrored ? Math.min(SHEET - 18 - title_wide, SHEET - 10 - legend_wide) : 18, 66 + legend_deep], // or under the title
  ], legend_wide, legend_deep);
  t.legend_parts(keys.length).forEach((g, i) => {
    const y = foot - 15 * small * (keys.length - 1 - i);
    put(g.children[0], { d: `M${left},${n1(y - 4)}h34`, class: keys[i] === "under" ? "under-line" : keys[i] === "planned" ? "planned" : `skin ${keys[i]} d1` });
    put(g.children[1], { x: left + 40, y: n1(y) });
    say(g.children[1], named[keys[i]]);
  });
  if (keys.length) taken.push([left - 4, foot - 2 - legend_deep, left + legend_wide, foot + 8]);
  if (t.active) taken.push(mirrored ? [SHEET - 300, bottom - 42, SHEET, bottom] : [0, bottom - 42, 300, bottom]);
  if (paint_chart(t, n, bottom)) {
    taken.push(mirrored ? [0, 6, CHART - 16, bottom] : [SHEET - 116, 6, SHEET, bottom]);
    const heading = 14 + 0.6 * t.wide * type(t, 12) * `timing chart, ${chart_now(t).joint}`.length; // may be wider than the chart
    taken.push([(mirrored ? CHART : SHEET) - heading, 6, mirrored ? CHART : SHEET, 26]);
  }
  return taken;
}

/** All drawings, with a joint in the hand as before it was taken: what stands aside from them must not hop under the hand. */
const settled = (t) => (t.drag?.before ?? t.pose).drawings;

/** Of places, each the left and the foot of what is so wide and so deep, the one that the fewest parts of all drawings cross. */
function least_crowded(t, places, wide, deep) {
  const parts = settled(t).flatMap((limb) => limb.flatMap((joints) => {
    const p = joints.map((q) => to_sheet(t, q));
    const between = ([x, y], [u, v]) => [0, 0.25, 0.5, 0.75].map((share) => [x + share * (u - x), y + share * (v - y)]);
    return [...p.slice(0, -1).flatMap((a, k) => between(a, p[k + 1])), p.at(-1)];
  }));
  const crowd = ([left, foot]) => parts.filter(([x, y]) => x > left - 12 && x < left + wide + 12 && y > foot - deep - 12 && y < foot + 12).length;
  return places.reduce((best, place) => (crowd(place) < crowd(best) ? place : best));
}

/** Somebody to whom the arm belongs, pencilled lightly where a limb hangs on a shoulder: scenery, not checked. */
function paint_body(t) {
  const limb = t.head.limbs.findIndex((l) => l.joints[0] === "shoulder");
  const all = limb < 0 ? [] : t.pose.drawings[limb];
  const mean = (j, k) => all.reduce((sum, p) => sum + p.at(j)[k] / all.length, 0);
  if (!t.body.children.length) for (const d of [
    "M-2 -14q-26 -8 -44 -6q-26 0 -48 14q-20 14 -22 88M6 14q-8 26 -10 66",
    "M-62 -21q2 -10 -2 -18a27 30 0 1 1 26 0q-2 10 6 20",
    "M-82 -66q30 -16 64 -4q14 1 20 5q-10 2 -20 1M-79 -68q6 -24 32 -24q24 2 28 22"]) t.body.append(s("path", { d }));
  put(t.body, { hidden: all.length ? null : "" });
  if (!all.length || t.drag) return;
  const [x, y] = to_sheet(t, [mean(0, 0), mean(0, 1)]);
  const k = (t.head.limbs[limb].lengths.reduce((a, b) => a + b, 0) / 145.6) * (scale(t) / 2);
  const facing = left_of_the_body(t, limb) !== t.from_back ? -1 : 1;
  for (const part of t.body.children) put(part, { transform: `translate(${at([x, y])}) scale(${n1(k * 10 * facing) / 10} ${n1(k * 10) / 10})` });
}

/** Whether a shoulder is on the left of the body it belongs to: between two shoulders lies the body, and one elbow bends one way.
 * It must not go by where the arm is drawn, or the body changes sides in the middle of the work. */
function left_of_the_body(t, limb) {
  const root = (l) => t.pose.drawings[l].reduce((sum, p) => sum + p[0][0], 0);
  const other = t.head.limbs.findIndex((one, l) => l !== limb && one.joints[0] === "shoulder");
  if (other >= 0) return root(other) > root(limb);
  const [low, high] = t.head.limbs[limb].stops[1] ?? [0, 0];
  return low + high < 0;
}

const DIGITS = 10 * 0.556; // em: ten digits of the type for which the widths of labels are reckoned

export function measure_units(t) {
  t.units = SHEET / (t.sheet.clientWidth || SHEET);
  t.wide = t.probe.getComputedTextLength() / (100 * DIGITS) || t.wide; // 0 where the table is not seen
  t.sheet.style.setProperty("--u", n1(t.units * 100) / 100);
  for (const g of t.handles.children) put(g.firstChild, { r: n1(Math.max(13, 12.5 * t.units)) });
}
