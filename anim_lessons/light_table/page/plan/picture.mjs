/* The picture of a plan: drawings, path, dots, chart, and what is told. */
import { beside } from "../deckhand.mjs";
import { button } from "../elements.mjs";
import { trace } from "../kinds.mjs";
import { paper_box, polyline, SHEET, tenth } from "../lines.mjs";
import { capital, changed, h, named, one_by_one, put, say, say_in_short, the } from "../tools.mjs";
import { ask } from "./asking.mjs";
import { clear_of_each_other, lines_of, place_on } from "./places.mjs";
import {
  chart_now,
  deep,
  fewest,
  head,
  HIGH,
  joint_at,
  limb_at,
  LOW,
  middle_of_sheet,
  number,
  plan,
  to_sheet,
  waits,
} from "./questions.mjs";

/** Paint a part of the picture anew: "all" of it unless another part is named. The state has it as
 * `t.repaint`. */
export const repaint = (t, part = "all") => PARTS[part](t);

function paint_all(t) {
  const [{ limbs, how, undo, redo }, n, limb, joint] = [head(t), number(t), limb_at(t), joint_at(t)];
  const drawings = t.model.get("drawings");
  const bottom = deep(t);
  put(t.sheet, {
    viewBox: `0 0 ${SHEET} ${tenth(bottom)}`,
    "aria-label": `sheet to plan ${the(limbs[limb].joints[joint])} on`,
  });
  put(t.paper, paper_box(head(t).paper));

  // drawings, faintly; the one under work is the figure, a little stronger, and on top
  const figure = (l, i) => trace(limbs[l], drawings[l][i], beside(drawings[l], i, head(t).loop));
  const each = drawings
    .flatMap((all, l) => all.map((points, i) => ({ lines: i + 1 === n ? figure(l, i) : [points], here: i + 1 === n })))
    .sort((a, b) => a.here - b.here);
  t.bone_lines(each.length).forEach((line, i) =>
    put(line, {
      d: each[i].lines.map((points) => polyline(points.map((p) => to_sheet(t, p)))).join(""),
      class: each[i].here ? "bones here" : "bones",
    }),
  );
  const all = drawings[limb].map((points) => to_sheet(t, points[joint]));
  t.seen_dots(all.length).forEach((dot, i) =>
    put(dot, {
      cx: tenth(all[i][0]),
      cy: tenth(all[i][1]),
      r: i + 1 === n ? 5 : 2,
      class: i + 1 === n ? "seen here" : "seen",
    }),
  );

  // joints to choose from
  const options = limbs.flatMap((l) =>
    l.joints.map((j) => [
      JSON.stringify([l.name, j]),
      `${named(j)}${limbs.length > 1 ? `, ${named(l.name)}` : ""}${l.planned.includes(j) ? " (planned)" : ""}`,
    ]),
  );
  if (changed(t.made_of, t.joint_box, JSON.stringify(options)))
    t.joint_box.replaceChildren(...options.map(([value, label]) => h("option", { value }, label)));
  t.joint_box.value = JSON.stringify([limbs[limb].name, limbs[limb].joints[joint]]);
  if (t.hows.childElementCount !== how.length)
    t.hows.replaceChildren(...how.map((name) => button(t, name, () => ask(t, "how", name))));
  t.undo_b.disabled = !undo;
  t.redo_b.disabled = !redo;
  t.away_b.disabled = !plan(t).line;

  one_by_one(
    () => paint_plan(t),
    () => paint_mine(t),
    () => paint_told(t),
  );
  put(t.root, {
    "data-plan": plan(t).line ? "planned" : "none",
    "data-state": t.stroke ? "drawing" : t.silent ? "silent" : waits(t) ? "waiting" : "fresh",
    "data-drawing": n,
    "data-places": t.places.length,
  });
}

function paint_plan(t) {
  const { line, half } = plan(t);
  const [{ loop }, n] = [head(t), number(t)];
  put(t.line_path, { d: line ? polyline(line.map((p) => to_sheet(t, p))) : null });
  const chart = line ? chart_now(t) : [];
  const off = new Set((t.model.get("told").off ?? []).map((one) => one.drawing));
  const at = chart.map((share) => to_sheet(t, place_on(line, share)));
  t.spot_dots(at.length).forEach((dot, i) =>
    put(dot, {
      cx: tenth(at[i][0]),
      cy: tenth(at[i][1]),
      r: i + 1 === n ? 5 : 3.4,
      class: `spot${i + 1 === n ? " here" : ""}${off.has(i + 1) ? " off" : ""}`,
      "data-dot": i + 1,
    }),
  );
  const middle = at.reduce((sum, p) => [sum[0] + p[0] / at.length, sum[1] + p[1] / at.length], [0, 0]);
  const labels = at.map(([x, y], i) => {
    const far = Math.hypot(x - middle[0], y - middle[1]) || 1;
    return { i, x: x + ((x - middle[0]) / far) * 14, y: y + ((y - middle[1]) / far) * 14 + 4 };
  });
  const kept = clear_of_each_other(labels, n - 1);
  t.spot_nums(at.length).forEach((text, i) => {
    put(text, {
      x: tenth(labels[i].x),
      y: tenth(labels[i].y),
      class: i + 1 === n ? "halo num here" : "halo num",
      visibility: kept.has(i) ? null : "hidden",
    });
    say(text, String(i + 1));
  });

  const rows = chart.length ? lines_of(chart, half, loop) : [];
  const x = (k) => (rows.length === 1 ? 62 : 38 + 82 * k);
  t.spine_marks(rows.length).forEach((g, k) => {
    const [spine, first, last, a, b, name] = g.children;
    const ends = [rows[k].drawings[0] + 1, rows[k].drawings.at(-1) + 1];
    put(spine, { d: `M${x(k)},${HIGH}V${LOW}` });
    put(first, { cx: x(k), cy: HIGH - 14 });
    put(last, { cx: x(k), cy: LOW + 14 });
    put(a, { x: x(k), y: HIGH - 10 });
    put(b, { x: x(k), y: LOW + 18 });
    put(name, { x: x(k) + 26, y: HIGH - 16 });
    say(a, String(ends[0]));
    say(b, String(ends[1]));
    say(name, rows[k].name);
  });
  const inner = rows.flatMap((row, k) =>
    row.drawings.slice(1, -1).map((d) => {
      const part = row.to > row.from ? (chart[d] - row.from) / (row.to - row.from) : 0;
      return { d, row, k, part, y: HIGH + part * (LOW - HIGH) };
    }),
  );
  const said = []; // numbers where they fit, that of the drawing under work first
  for (const one of [...inner].sort((a, b) => (b.d + 1 === n) - (a.d + 1 === n)))
    if (said.every((other) => other.k !== one.k || Math.abs(other.y - one.y) > 11)) said.push(one);
  t.tick_marks(inner.length).forEach((g, i) => {
    const { d, row, k, part, y } = inner[i];
    t.stands_for.set(g, d);
    put(g, {
      transform: `translate(${x(k)},${tenth(y)})`,
      class: d + 1 === n ? "tick here" : "tick",
      "data-tick": d + 1,
      "aria-label": `drawing ${d + 1} on the chart`,
      "aria-valuenow": Math.round(part * 100),
      "aria-valuetext": `${(part * 100).toFixed(1)} per cent of the way from ${row.drawings[0] + 1} to ${row.drawings.at(-1) + 1}`,
    });
    put(g.children[2], { visibility: said.includes(inner[i]) ? null : "hidden" });
    say(g.children[2], String(d + 1));
  });
}

function paint_mine(t) {
  const line = t.stroke ?? t.unheard;
  put(t.stroke_path, { d: line ? polyline(line.map((p) => to_sheet(t, p))) : null });
  t.place_dots(t.places.length).forEach((dot, i) => {
    const [x, y] = to_sheet(t, t.places[i]);
    put(dot, { cx: tenth(x), cy: tenth(y) });
  });
  const at = t.pen ?? middle_of_sheet(t);
  put(t.pen_mark, {
    transform: `translate(${to_sheet(t, at).map(tenth)})`,
    class: t.places.length ? "pen used" : "pen",
    "aria-valuetext": `x ${Math.round(at[0])}, y ${Math.round(at[1])} mm; ${t.places.length} ${t.places.length === 1 ? "place" : "places"} set`,
  });
  t.lay_b.disabled = t.places.length < fewest(t);
  t.lay_b.hidden = !t.places.length;
}

function paint_told(t) {
  const [{ line, says }, told, joint] = [
    plan(t),
    t.model.get("told"),
    head(t).limbs[limb_at(t)].joints[joint_at(t)],
  ];
  say_in_short(
    t.next,
    t.silent
      ? "Nobody answers: the kernel is busy or gone. Your line stays here; run the cell again, or wait."
      : t.places.length
        ? `${t.places.length} ${t.places.length === 1 ? "place" : "places"} set. ${t.places.length < fewest(t) ? "Set the next." : "Set more, or press Enter again to lay the path."}`
        : says
          ? says
          : line
            ? `${capital(the(joint))}: its path and its dots lie under your drawings.`
            : `Draw the path of action of ${the(joint)} in one stroke. Begin where drawing 1 stands, at an extreme.`,
  );
  const off = line ? (told.off ?? []) : [];
  say_in_short(t.told_says, line ? told.says : "");
  t.help.hidden = off.length > 0;
  t.off_rows(off.length).forEach((row, i) => {
    t.stands_for.set(row, off[i].drawing);
    put(row, { "data-off": off[i].drawing });
    say_in_short(row.firstChild, off[i].says);
  });
}

const PARTS = { all: paint_all, plan: paint_plan, mine: paint_mine };
