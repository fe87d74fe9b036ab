/* The sheet: paper, pegs, body, onion skin, what is laid under, corner and legend. */
import { neighbours } from "../drawings.mjs";
import { group } from "../elements.mjs";
import { paper_box, SHEET, smooth, tenth } from "../lines.mjs";
import { h, one_by_one, pool, put, s } from "../tools.mjs";
import { make_beginning, paint_beginning } from "./beginning.mjs";
import { joint_dot, traced, traced_under } from "./body.mjs";
import { make_handle } from "./drag.mjs";
import { paint_corner, paint_legend } from "./corner.mjs";
import { paint_guide } from "./guide.mjs";
import { place_labels } from "./labels.mjs";
import { line_through, make_line, words_of_line } from "./line.mjs";
import { paint_handles, paint_limbs, paint_paths } from "./limbs.mjs";
import {
  count,
  deep,
  in_pass,
  limb_now,
  number,
  on_sheet,
  plans,
  settings,
  tells,
  to_sheet,
  type,
  under,
} from "./questions.mjs";

export function make_sheet(t) {
  t.paper = s("rect", { class: "paper", x: 0.5, y: 0.5, rx: 2 });
  t.pegs = group("pegs", { "aria-hidden": true });
  t.scenery = group("scenery", { "aria-hidden": true });
  // a figure, or a circle, may run off the sheet
  [t.body, t.arms, t.circle, t.open] = ["body", "arms", "circle", "open"].map((name) =>
    s("svg", { class: `${name} clipped`, "aria-hidden": true }),
  );
  [
    t.paths,
    t.skins,
    t.unders,
    t.ghosts,
    t.dots,
    t.nums,
    t.tabs,
    t.names_layer,
    t.reasons,
    t.measure,
    t.corner,
    t.beginning,
  ] = "paths skins unders ghosts dots nums tabs names reasons measure corner beginning"
    .split(" ")
    .map((name) => group(name, { "aria-hidden": true }));
  make_line(t);
  t.handles = group("handles");
  // above the handles, so that it is seen beside the joint
  t.wanted = group("wanted", { "aria-hidden": true });
  t.sheet = s(
    "svg",
    { class: "drawing", role: "group" },
    t.paper,
    t.pegs,
    t.scenery,
    t.body,
    t.arms,
    t.paths,
    t.corner,
    t.skins,
    t.unders,
    t.line.layer,
    t.circle,
    t.ghosts,
    t.dots,
    t.open,
    t.nums,
    t.tabs,
    t.names_layer,
    t.reasons,
    t.measure,
    t.beginning,
    t.handles,
    t.wanted,
  );
  t.figure = h("div", { class: "sheet" }, t.sheet);

  t.path_lines = pool(t.paths, () => s("path"));
  t.skin_lines = pool(t.skins, () => s("path"));
  t.under_lines = pool(t.unders, () => s("path"));
  t.plan_lines = pool(t.unders, () => s("path", { class: "planned" }));
  t.plan_dots = pool(t.unders, () => s("circle", { class: "planned" }));
  t.limb_lines = pool(t.arms, () =>
    s(
      "g",
      {},
      s("g", { class: "flesh" }),
      s("path", { class: "bone" }),
      s("path", { class: "tick" }),
      s("path", { class: "tick long" }),
    ),
  );
  t.dot_marks = pool(t.dots, () => s("circle"));
  const labelled = (layer, ...more) =>
    pool(layer, () =>
      s("g", {}, s("path", { class: "lead" }), ...more.map((one) => s(one)), s("text", { class: "halo num", "text-anchor": "middle" })),
    );
  t.num_marks = labelled(t.nums);
  t.name_marks = labelled(t.names_layer);
  t.tab_marks = labelled(t.tabs, "rect");
  t.corner_words = pool(t.corner, () => s("text"));
  make_beginning(t);
  t.ghost_parts = [s("path", { class: "ghost" }), s("circle", { class: "land", r: 5 })];
  t.ghosts.append(...t.ghost_parts);
  t.measure_words = labelled(t.measure);
  t.probe = t.sheet.appendChild(s("text", { class: "probe", "aria-hidden": true }, "0123456789"));
  t.handle_marks = pool(t.handles, () => make_handle(t));

  for (const [x, w] of [
    [186, 24],
    [384, 24],
  ])
    t.pegs.append(s("rect", { x, y: 9.5, width: w, height: 7, rx: 3.5 }));
  t.pegs.append(s("circle", { cx: 297, cy: 13, r: 5 }));
}

/** The neighbours that show through. */
export const seen_through = (t) =>
  neighbours(number(t), count(t), settings(t).onion, t.head.loop).filter(({ number: m }) => tells(t, m));

/** Everything on the sheet that stands still while a joint is dragged. */
export function paint_sheet(t) {
  const bottom = deep(t);
  const n = number(t);
  put(t.sheet, { viewBox: `0 0 ${SHEET} ${tenth(bottom)}`, "aria-label": `drawing ${n} on the light table${words_of_line(t, n)}` });
  t.root.style.setProperty("--deep", (bottom / SHEET).toFixed(3));
  put(t.paper, paper_box(t.head.paper));
  for (const clipped of [t.body, t.arms, t.line.layer, t.circle, t.open]) put(clipped, { width: SHEET, height: tenth(bottom) });
  const near = seen_through(t);
  const [taken, arrows] = [[[180, 0, 414, 20]], []]; // the pegs
  one_by_one(
    () => paint_limbs(t),
    () => paint_paths(t),
    () => paint_handles(t),
    () => paint_guide(t),
    () => paint_skins(t, near),
    () => paint_unders(t, n),
    () => paint_legend(t, near),
    () => taken.push(paint_corner(t, n)),
    () => arrows.push(...paint_beginning(t)),
    () => place_labels(t, near, taken, arrows),
  );
}

/** The neighbours, seen through the paper; inside a pass the limb that is drawn, so that two arms are told apart. */
function paint_skins(t, near) {
  const limbs = in_pass(t) ? [limb_now(t)] : [...t.head.limbs.keys()];
  const each = near
    .flatMap((a) => (t.line.drawn[a.number] ? [a] : limbs.map((l) => ({ ...a, limb: l }))))
    .reverse();
  t.skin_lines(each.length).forEach((line, i) => {
    const { number: m, side, far, limb: l } = each[i];
    put(line, {
      d: l === undefined ? line_through(t, m) : traced(t, l, m),
      class: `skin ${side} d${far}`,
    });
  });
}

/** What lies under the drawings: an under-drawing, and plans. */
function paint_unders(t, n) {
  t.under_lines(t.head.limbs.length).forEach((line, l) => {
    const joints = settings(t).under ? under(t, l) : null;
    put(line, {
      d: joints
        ? traced_under(t, l, joints) + joints.map((p) => joint_dot(to_sheet(t, p))).join("")
        : null,
    });
  });
  const lie = settings(t).under ? plans(t) : [];
  t.plan_lines(lie.length).forEach((line, i) =>
    put(line, {
      d: smooth(
        lie[i].path.map((p) => to_sheet(t, p)),
        t.head.loop,
      ),
    }),
  );
  const planned = lie.flatMap((plan) => plan.dots.map((place, k) => ({ place, here: k + 1 === n })));
  t.plan_dots(planned.length).forEach((dot, i) => {
    const [cx, cy] = to_sheet(t, planned[i].place).map(tenth);
    put(dot, { cx, cy, r: planned[i].here ? 5.5 : 2.6, class: planned[i].here ? "planned here" : "planned" });
  });
}

const DIGITS = 10 * 0.556; // em: ten digits of the type for which the widths of labels are reckoned

export function measure_units(t) {
  t.units = SHEET / (t.sheet.clientWidth || SHEET);
  t.wide = t.probe.getComputedTextLength() / (100 * DIGITS) || t.wide; // 0 where the table is not seen
  t.sheet.style.setProperty("--u", tenth(t.units * 100) / 100);
  for (const g of t.handles.children) put(g.firstChild, { r: tenth(Math.max(13, 12.5 * t.units)) });
}
