/* The desk of a plan sheet: sheet, chart, what is told, buttons. */
import { button, on, push } from "../elements.mjs";
import { h, pool, s } from "../tools.mjs";
import { ask, go } from "./asking.mjs";
import { push_tick } from "./chart.mjs";
import { drop_places, lay_places } from "./hand.mjs";

export function lay_out(t) {
  t.next = h("p", { class: "next", role: "status" });
  t.paper = s("rect", { class: "paper", x: 0.5, y: 0.5, rx: 2 });
  [t.bones, t.seen, t.lines, t.spots, t.nums, t.mine] = Array.from({ length: 6 }, () =>
    s("g", { "aria-hidden": true }),
  );
  t.bone_lines = pool(t.bones, () => s("path"));
  t.seen_dots = pool(t.seen, () => s("circle"));
  t.line_path = t.lines.appendChild(s("path", { class: "line" }));
  t.spot_dots = pool(t.spots, () => s("circle", { class: "spot" }));
  t.spot_nums = pool(t.nums, () => s("text", { class: "halo num", "text-anchor": "middle" }));
  t.stroke_path = t.mine.appendChild(s("path", { class: "stroke" }));
  t.place_dots = pool(t.mine, () => s("circle", { class: "place", r: 4 }));
  t.pen_mark = s(
    "g",
    { class: "pen", tabindex: 0, role: "slider", "aria-label": "pen", "aria-valuenow": 0 },
    s("circle", { class: "halo-ring", r: 13 }),
    s("circle", { class: "ring", r: 13 }),
    s("path", { d: "M-9,0H9M0,-9V9" }),
  );
  t.sheet = s(
    "svg",
    { class: "sheet", role: "group" },
    t.paper,
    t.bones,
    t.seen,
    t.lines,
    t.spots,
    t.nums,
    t.mine,
    t.pen_mark,
  );
  t.spines = s("g", { "aria-hidden": true });
  t.ticks = s("g");
  t.spine_marks = pool(t.spines, () =>
    s(
      "g",
      { class: "end" },
      s("path", { class: "spine" }),
      s("circle", { r: 10 }),
      s("circle", { r: 10 }),
      s("text", { "text-anchor": "middle" }),
      s("text", { "text-anchor": "middle" }),
      s("text", { class: "k", "text-anchor": "middle" }),
    ),
  );
  t.tick_marks = pool(t.ticks, () => {
    const g = s(
      "g",
      {
        class: "tick",
        tabindex: 0,
        role: "slider",
        "aria-orientation": "vertical",
        "aria-valuemin": 0,
        "aria-valuemax": 100,
      },
      s("rect", { class: "ring", width: 62, height: 24, x: -20, y: -12, rx: 3 }),
      s("path", { class: "rung", d: "M-11,0H11" }),
      s("text", { x: 27, y: 4, "text-anchor": "middle" }),
    );
    on(t, g, "keydown", (e) => push_tick(t, e, t.stands_for.get(g)));
    on(t, g, "focus", () => go(t, t.stands_for.get(g) + 1));
    return g;
  });
  t.chart_svg = s(
    "svg",
    { class: "chart", viewBox: "0 0 168 420", role: "group", "aria-label": "timing chart" },
    t.spines,
    t.ticks,
  );
  t.joint_box = h("select", { "aria-label": "joint that is planned" });
  on(t, t.joint_box, "change", () => {
    const [limb, joint] = JSON.parse(t.joint_box.value);
    drop_places(t);
    t.model.set("chosen", { limb, joint });
    t.model.save_changes();
    t.repaint();
  });
  t.hows = h("span", { class: "row", role: "group", "aria-label": "timing chart" });
  t.lay_b = button(t, "lay the path through the places", () => lay_places(t));
  t.undo_b = button(t, "undo", () => ask(t, "undo"), { "aria-keyshortcuts": "Control+Z" });
  t.redo_b = button(t, "redo", () => ask(t, "redo"), { "aria-keyshortcuts": "Control+Y" });
  t.away_b = button(t, "take the plan away", () => ask(t, "take away"));
  t.told_says = h("p", { role: "status" });
  t.told_list = h("ul", { "aria-label": "drawings that left the plan" });
  t.off_rows = pool(t.told_list, () => {
    const row = h("li");
    row.append(button(t, "", () => go(t, t.stands_for.get(row))));
    return row;
  });
  t.help = h(
    "p",
    { class: "help" },
    "Draw in one stroke with mouse, pen or finger. Or set places: a press sets one; with the pen in focus, the arrow keys move it by 5 mm " +
      "(Shift 1, Alt 20), Enter sets a place, Enter again lays the path, Backspace takes one back. Drag the ticks of the chart, or move one with up and down.",
  );
  t.desk = h(
    "div",
    { class: "desk" },
    t.next,
    t.sheet,
    h("div", { class: "side" }, t.chart_svg),
    h("div", { class: "told" }, t.told_says, t.told_list, t.help),
    h(
      "div",
      { class: "row" },
      h("label", {}, "joint ", t.joint_box),
      t.hows,
      push(),
      t.lay_b,
      t.undo_b,
      t.redo_b,
      t.away_b,
    ),
  );
  t.root = h(
    "section",
    { class: "anim-plan", "aria-label": "plan sheet" },
    t.desk,
  );
}
