/* The exposure sheet in full, on demand: a row a drawing, with its frames, its spacing in mm and a bend. */
import { bends, steps } from "../drawings.mjs";
import { button, on, push } from "../elements.mjs";
import { tenth, polyline } from "../lines.mjs";
import { deg, h, named, pool, put, s, say, used } from "../tools.mjs";
import { go, hold_for } from "./changes.mjs";
import {
  count,
  held,
  joint_now,
  limb_now,
  look_first,
  number,
  order,
  verdict,
  worked,
} from "./questions.mjs";
import { marks_of } from "./strip.mjs";

const ROW = 27.4; // units of one row of the exposure sheet

export function make_full_sheet(t) {
  t.fewer_b = button(t, "−", () => hold_for(t, -1), { title: "Hold this drawing one frame less" });
  t.hold_words = h("span");
  t.longer_b = button(t, "+", () => hold_for(t, 1), { title: "Hold this drawing one frame more" });
  t.back_to_more = button(t, "back", () => {
    t.full_shown = false;
    t.repaint("buttons");
  });
  t.columns = s("svg", { class: "columns", viewBox: "0 0 236 22", "aria-hidden": true });
  t.column = pool(t.columns, () => s("text", { y: 14, class: "k" }));
  t.full_lines = s("svg", { role: "group", "aria-label": "exposure sheet in full" });
  t.full_rows = h("div", { class: "rows" }, t.full_lines);
  t.ends = s("svg", { class: "ends", viewBox: "0 0 236 16", "aria-hidden": true });
  t.end_words = pool(t.ends.appendChild(s("g", {}, s("path", { class: "rule four", d: "M6,0.5H230" }))), () =>
    s("text", { y: 12, class: "fr", "text-anchor": "middle" }),
  );
  t.full = h(
    "div",
    { class: "full" },
    h("div", { class: "expohead" }, h("b", {}, "sheet"), push(), t.fewer_b, t.hold_words, t.longer_b, t.back_to_more),
    t.columns,
    t.full_rows,
    t.ends,
  );

  t.full_marks = pool(t.full_lines, (i) => make_row(t, i));
  t.rule_lines = [
    s("path", { class: "stop" }),
    s("path", { class: "bend asked" }),
    s("path", { class: "bend" }),
  ];
  t.full_here = s("rect", { class: "rowhere", x: 3, width: 230, rx: 2 });
  t.full_lines.append(...t.rule_lines, t.full_here);
}

function make_row(t) {
  const part = (tag, name, more = {}) => s(tag, { class: name, ...more });
  const g = s(
    "g",
    { role: "button" },
    part("path", "rule"),
    part("text", "fr", { x: 14 }),
    part("text", "rn", { x: 62, "text-anchor": "middle" }),
    part("path", "held"),
    part("rect", "gap", { x: 80, height: 10 }),
    part("text", "halo fr"),
    part("circle", "bdot"),
    part("path", "mark"),
    part("rect", "rowhit", { x: 3, width: 230 }),
  );
  on(t, g, "click", () => go(t, t.stands_for.get(g)));
  on(t, g, "keydown", (e) => {
    if (e.key === "Enter" || e.key === " ") go(t, t.stands_for.get(g));
    else if (e.key === "ArrowDown" || e.key === "ArrowUp") walk(t, e.key === "ArrowDown" ? 1 : -1);
    else return;
    used(e);
  });
  return g;
}

/** Turn to the row above or below, and take the focus along. */
function walk(t, by) {
  const all = order(t);
  const n = all[(all.indexOf(number(t)) + by + all.length) % all.length];
  go(t, n);
  t.full_marks(count(t))[all.indexOf(n)].focus({ preventScroll: true });
}

/** The bend that stands beside the rows: the one that moving the chosen joint changes, else that of the second
 * segment. */
const bend_here = (t) => {
  const limb = t.head.limbs[limb_now(t)];
  const segment = Math.min(Math.max(1, (worked(t)?.joint ?? 0) - 1), limb.lengths.length - 1);
  if (segment < 0) return null;
  const given = verdict(t).bends?.[limb_now(t)]?.find((one) => one.segment === segment);
  const bend = given ?? { joint: limb.joints[segment], segment, asked: [], stops: limb.stops[segment] };
  return look_first(t) ? { ...bend, asked: [] } : bend; // where it should go is told with the rest
};

export function paint_full_sheet(t) {
  if (t.more.hidden || !t.full_shown) return;
  const [l, joint, n, N] = [limb_now(t), joint_now(t), number(t), count(t)];
  const list = order(t);
  const far = steps(t.pose.drawings[l], joint, t.head.loop);
  const bend = bend_here(t);
  const values = bend ? t.pose.drawings[l].map((p) => bends(p)[bend.segment]) : [];
  if (!t.drag) {
    const all = [...values, ...(bend?.asked ?? [])];
    t.scales = { ...t.scales, full: Math.max(1, ...far.filter((v) => v !== null)), low: 0, high: 1 };
    if (bend) {
      // a stop is shown where the bends come near it
      const [least, most] = [Math.min(...all), Math.max(...all)];
      t.scales.low = bend.stops[0] > least - 45 ? Math.min(bend.stops[0], least) : least - 15;
      t.scales.high = bend.stops[1] < most + 45 ? Math.max(bend.stops[1], most) : most + 15;
      if (t.scales.high - t.scales.low < 10) t.scales.high = t.scales.low + 10;
    }
    t.full_deep = Math.max(Math.min(ROW, (16 * ROW) / N), 24.4 * (236 / (t.full_lines.clientWidth || 232)));
  }
  const x = (value) =>
    tenth(
      Math.min(219, Math.max(155, 162.8 + (52.6 * (value - t.scales.low)) / (t.scales.high - t.scales.low))),
    );
  const y = (i) => tenth((i + 0.5) * t.full_deep);
  const frames = held(t);
  const starts = frames.map((_, i) => frames.slice(0, i).reduce((sum, f) => sum + f, 1));
  const even = frames.every((f) => f === frames[0]);
  const marks = marks_of(t);
    put(t.full_lines, { viewBox: `0 0 236 ${tenth(N * t.full_deep)}` });
  t.full_marks(N).forEach((g, i) => {
    const m = list[i];
    const here = m === n;
    const step = far[m - 1];
    const [rule, frame, no, hold, bar, mm, dot, mark, hit] = g.children;
    t.stands_for.set(g, m);
    put(g, {
      tabindex: here ? 0 : -1,
      "aria-current": here ? "true" : null,
      "aria-label": `drawing ${m}, ${frames[m - 1] > 1 ? `frames ${starts[m - 1]} to ${starts[m - 1] + frames[m - 1] - 1}` : `frame ${starts[m - 1]}`}${marks[m] ? (marks[m] === "cause" ? ", to mend" : ", follows from another") : ""}`,
    });
    put(rule, { d: `M6,${tenth(i * t.full_deep + 0.5)}H230`, class: i % 4 ? "rule" : "rule four" });
    put(frame, { y: y(i) - 2 });
    say(frame, String(starts[m - 1]));
    put(no, { y: y(i) + 5, class: here ? "rn here" : "rn" });
    say(no, String(m));
    // one short stroke a frame the drawing is held after its first
    put(hold, {
      d: Array.from(
        { length: Math.min(frames[m - 1] - 1, even ? 1 : 4) },
        (_, k) => `M${62 + 4 * k},${y(i) + 9}v3`,
      ).join(""),
    });
    put(bar, {
      y: y(i) - 5,
      width: step === null ? 0 : tenth((56 * Math.min(step, 1.15 * t.scales.full)) / t.scales.full),
      class: here ? "gap here" : "gap",
    });
    put(mm, {
      x: tenth(83 + (step === null ? 0 : (56 * Math.min(step, 1.15 * t.scales.full)) / t.scales.full)),
      y: y(i) + 4,
    });
    say(mm, step === null ? "" : String(Math.round(step)));
    put(dot, {
      cx: bend ? x(values[m - 1]) : 0,
      cy: y(i),
      r: here ? 3.6 : 2.3,
      class: here ? "bdot here" : "bdot",
      display: bend ? null : "none",
    });
    put(mark, {
      d: `M221,${tenth(y(i) - 6)}l10,6l-10,6z`,
      class: `mark ${marks[m] ?? ""}`,
      display: marks[m] ? null : "none",
    });
    put(hit, { y: tenth(i * t.full_deep), height: tenth(t.full_deep) });
  });
  put(t.full_here, { y: tenth(list.indexOf(n) * t.full_deep), height: tenth(t.full_deep) });
  // also where a bend is past it
  const stops = bend ? bend.stops.filter((stop) => stop >= t.scales.low && stop <= t.scales.high) : [];
  put(t.rule_lines[0], {
    d: stops.map((stop) => `M${x(stop)},0V${tenth(N * t.full_deep)}`).join("") || "M0,0",
  });
  const curve = (v) => (v.length === N ? polyline(list.map((m, i) => [x(v[m - 1]), y(i)])) : "M0,0");
  put(t.rule_lines[1], { d: curve(bend?.asked ?? []) });
  put(t.rule_lines[2], { d: curve(values) });
  t.end_words(stops.length).forEach((text, i) => {
    put(text, { x: x(stops[i]) });
    say(text, deg(stops[i]));
  });
  const title = bend ? `${named(bend.joint)} bend` : "";
  const titles = [
    [10, "frame"],
    [55, "no."],
    [80, "spacing, mm"],
    [226, title.length * t.wide > 13.5 ? "bend" : title],
  ];
  t.column(4).forEach((text, i) => {
    put(text, { x: titles[i][0], "text-anchor": i === 3 ? "end" : null });
    say(text, titles[i][1]);
  });
  say(
    t.hold_words,
    `${n} ${["", "on ones", "on twos", "on threes", "on fours"][frames[n - 1]] ?? `for ${frames[n - 1]}`}`,
  );
  put(t.fewer_b, {
    disabled: frames[n - 1] <= 1 ? "" : null,
    "aria-label": `hold drawing ${n} one frame less`,
  });
  put(t.longer_b, { "aria-label": `hold drawing ${n} one frame more` });
}
