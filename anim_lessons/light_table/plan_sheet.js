/* Plan sheet: a path of action drawn freehand over the drawings, and its timing chart.
 *
 * Reads    head, drawings, chosen, plan, told, number, answered
 * Writes   chosen, number
 * Sends    {ask: "stroke" | "places", what: [[x, y], ...] mm}, {ask: "chart", what: [shares]}, {ask: "how", what: name},
 *          {ask: "take away"}, {ask: "undo"}, {ask: "redo"}
 *
 * The line follows the hand at once; Python smooths it and answers with the arc, its dots and what the
 * drawings make of it. Lengths are mm with y up wherever a person sees them; on the sheet, units run down and A4 is 594 across.
 */

const SHEET = 594; // units across the sheet
const SLIP = 3; // px: a shorter press sets a place, a longer one draws
const SILENCE = 6000; // ms without an answer after which nobody seems to be there
const FINEST = 0.3; // mm between two places of a stroke
const [HIGH, LOW] = [34, 386]; // units: first and last share on the chart

// ---- pure, tested in node --------------------------------------------------------------------

/** A stroke with one more place, unless the pen has hardly moved. */
export const further = (stroke, place, finest = FINEST) => {
  const last = stroke.at(-1);
  return last && Math.hypot(place[0] - last[0], place[1] - last[1]) < finest ? stroke : [...stroke, place];
};

/** Place on a line given at equal steps of the way, at a share of it. */
export function place_on(line, share) {
  const at = Math.min(1, Math.max(0, share)) * (line.length - 1);
  const i = Math.min(line.length - 2, Math.floor(at));
  return [0, 1].map((k) => line[i][k] + (at - i) * (line[i + 1][k] - line[i][k]));
}

/** The lines of a chart: drawings (from 0) from one extreme to the next, and the shares at which each begins and ends. */
export function lines_of(chart, half, loop) {
  const upto = (a, b) => Array.from({ length: b - a + 1 }, (_, i) => a + i);
  if (!loop) return [{ name: "way", drawings: upto(0, chart.length - 1), from: chart[0], to: chart.at(-1) }];
  return [
    { name: "out", drawings: upto(0, half), from: chart[0], to: chart[half] },
    { name: "back", drawings: [...upto(half, chart.length - 1), 0], from: chart[half], to: chart[0] + 1 },
  ];
}

/** A chart with one drawing at another share: never past its neighbours, the extremes where they are. */
export function retimed(chart, drawing, share, half, loop) {
  if (drawing === 0 || drawing === half || (!loop && drawing === chart.length - 1)) return chart;
  const least = chart[drawing - 1];
  const most = drawing + 1 < chart.length ? chart[drawing + 1] : 1;
  return chart.map((is, i) => (i === drawing ? Math.min(most, Math.max(least, share)) : is));
}

/** The tick of a line nearest to a share of that line, the extremes left out; -1 where there is none. */
export function nearest_tick(line, chart, part) {
  const inner = line.drawings.slice(1, -1);
  if (!inner.length) return -1;
  const far = (d) => Math.abs((chart[d] - line.from) / (line.to - line.from || 1) - part);
  return inner.reduce((best, d) => (far(d) < far(best) ? d : best));
}

/** Which labels ({x, y}) to show so that none lies on another: the first one asked for, then in order. */
export function clear_of_each_other(labels, first, wide = 15, high = 12) {
  const kept = new Set();
  for (const i of [first, ...labels.keys()]) {
    const one = labels[i];
    if (one && [...kept].every((k) => Math.abs(labels[k].x - one.x) >= wide || Math.abs(labels[k].y - one.y) >= high)) kept.add(i);
  }
  return kept;
}

// ---- small tools --------------------------------------------------------------------------------

const n1 = (value) => Math.round(value * 10) / 10;
const polyline = (points) => (points.length ? "M" + points.map(([x, y]) => `${n1(x)},${n1(y)}`).join("L") : "M0,0");
const make = (space, tag, marks, inside) => {
  const node = space ? document.createElementNS("http://www.w3.org/2000/svg", tag) : document.createElement(tag);
  put(node, marks);
  node.append(...inside);
  return node;
};
const h = (tag, marks = {}, ...inside) => make(false, tag, marks, inside);
const s = (tag, marks = {}, ...inside) => make(true, tag, marks, inside);
function put(node, marks) {
  for (const [name, value] of Object.entries(marks)) {
    if (value === null || value === false) node.removeAttribute(name);
    else if (node.getAttribute(name) !== String(value)) node.setAttribute(name, value);
  }
}
const say = (node, words) => node.textContent !== words && (node.textContent = words);
function pool(parent, build) {
  const all = [];
  return (count) => {
    while (all.length < count) all.push(parent.appendChild(build(all.length)));
    while (all.length > count) all.pop().remove();
    return all;
  };
}

// ---- the view -----------------------------------------------------------------------------------

function render({ model, el }) {
  const life = new AbortController();
  const on = (target, type, act, more = {}) => target.addEventListener(type, act, { signal: life.signal, ...more });

  let stroke = null; // places under the pen, mm
  let pointer = null;
  let places = []; // set one by one
  let pen = null; // where the keyboard's pen is, mm
  let moving = null; // {drawing, chart} while a tick is dragged
  let sent = 0; // messages without an answer yet
  let answered = model.get("answered");
  let unheard = null; // the stroke that nobody has answered yet: it stays to be seen
  let silent = false;
  let timer = 0;
  let frame = 0;

  const head = () => model.get("head");
  const plan = () => model.get("plan");
  const scale = () => SHEET / head().paper.width;
  const deep = () => head().paper.height * scale();
  const to_sheet = ([x, y]) => [x * scale(), (head().paper.height - y) * scale()];
  const limb_at = () => Math.max(0, head().limbs.findIndex((l) => l.name === model.get("chosen").limb));
  const joint_at = () => Math.max(0, head().limbs[limb_at()].joints.indexOf(model.get("chosen").joint));
  const chart_now = () => moving?.chart ?? plan().chart ?? [];
  const number = () => Math.min(head().count, Math.max(1, model.get("number")));

  // ---- elements
  const button = (label, act, more = {}) => {
    const made = h("button", { type: "button", ...more }, label);
    on(made, "click", act);
    return made;
  };
  const next = h("p", { class: "next", role: "status" });
  const paper = s("rect", { class: "paper", x: 0.5, y: 0.5, rx: 2 });
  const layer = (more = {}) => s("g", { "aria-hidden": true, ...more });
  const [bones, seen, lines, spots, nums, mine] = Array.from({ length: 6 }, () => layer());
  const bone_lines = pool(bones, () => s("path"));
  const seen_dots = pool(seen, () => s("circle"));
  const line_path = lines.appendChild(s("path", { class: "line" }));
  const spot_dots = pool(spots, () => s("circle", { class: "spot" }));
  const spot_nums = pool(nums, () => s("text", { class: "halo num", "text-anchor": "middle" }));
  const stroke_path = mine.appendChild(s("path", { class: "stroke" }));
  const place_dots = pool(mine, () => s("circle", { class: "place", r: 4 }));
  const pen_mark = s("g", { class: "pen", tabindex: 0, role: "slider", "aria-label": "pen", "aria-valuenow": 0 },
    s("circle", { class: "halo-ring", r: 13 }), s("circle", { class: "ring", r: 13 }), s("path", { d: "M-9,0H9M0,-9V9" }));
  const sheet = s("svg", { class: "sheet", role: "group" }, paper, bones, seen, lines, spots, nums, mine, pen_mark);

  const spines = s("g", { "aria-hidden": true });
  const ticks = s("g");
  const spine_marks = pool(spines, () => s("g", { class: "end" }, s("path", { class: "spine" }), s("circle", { r: 10 }), s("circle", { r: 10 }),
    s("text", { "text-anchor": "middle" }), s("text", { "text-anchor": "middle" }), s("text", { class: "k", "text-anchor": "middle" })));
  const tick_marks = pool(ticks, () => {
    const g = s("g", { class: "tick", tabindex: 0, role: "slider", "aria-orientation": "vertical", "aria-valuemin": 0, "aria-valuemax": 100 },
      s("rect", { class: "ring", width: 62, height: 24, x: -20, y: -12, rx: 3 }), s("path", { class: "rung", d: "M-11,0H11" }), s("text", { x: 27, y: 4, "text-anchor": "middle" }));
    on(g, "keydown", (e) => push_tick(e, g.drawing));
    on(g, "focus", () => go(g.drawing + 1));
    return g;
  });
  const chart_svg = s("svg", { class: "chart", viewBox: "0 0 168 420", role: "group", "aria-label": "timing chart" }, spines, ticks);

  const joint_box = h("select", { "aria-label": "joint that is planned" });
  on(joint_box, "change", () => {
    const [limb, joint] = JSON.parse(joint_box.value);
    drop_places();
    model.set("chosen", { limb, joint });
    model.save_changes();
    paint();
  });
  const hows = h("span", { class: "row", role: "group", "aria-label": "timing chart" });
  const lay_b = button("lay the path through the places", lay_places);
  const undo_b = button("undo", () => ask("undo"), { "aria-keyshortcuts": "Control+Z" });
  const redo_b = button("redo", () => ask("redo"), { "aria-keyshortcuts": "Control+Y" });
  const away_b = button("take the plan away", () => ask("take away"));
  const push = () => h("span", { class: "push" });
  const told_says = h("p", { role: "status" });
  const told_list = h("ul", { "aria-label": "drawings that left the plan" });
  const off_rows = pool(told_list, () => {
    const row = h("li");
    row.append(button("", () => go(row.drawing)));
    return row;
  });
  const help = h("p", { class: "help" },
    "Draw in one stroke with mouse, pen or finger. Or set places: a press sets one; with the pen in focus, the arrow keys move it by 5 mm " +
    "(Shift 1, Alt 20), Enter sets a place, Enter again lays the path, Backspace takes one back. Drag the ticks of the chart, or move one with up and down.");
  const desk = h("div", { class: "desk" }, next, sheet, h("div", { class: "side" }, chart_svg), h("div", { class: "told" }, told_says, told_list, help),
    h("div", { class: "row" }, h("label", {}, "joint ", joint_box), hows, push(), lay_b, undo_b, redo_b, away_b));
  const root = h("section", { class: "anim-plan", "aria-label": "plan sheet", "data-lm-suppress-shortcuts": "true" }, desk);

  // ---- model -> picture ---------------------------------------------------------------------------
  function paint() {
    const [{ limbs, count, loop, how, undo, redo }, n, limb, joint] = [head(), number(), limb_at(), joint_at()];
    const drawings = model.get("drawings");
    const bottom = deep();
    put(sheet, { viewBox: `0 0 ${SHEET} ${n1(bottom)}`, "aria-label": `sheet to plan the ${limbs[limb].joints[joint]} on` });
    put(paper, { width: SHEET - 1, height: n1(bottom - 1) });

    // drawings, faintly; the one under work a little stronger, and on top
    const each = drawings.flatMap((all) => all.map((points, i) => ({ points, here: i + 1 === n }))).sort((a, b) => a.here - b.here);
    bone_lines(each.length).forEach((line, i) => put(line, { d: polyline(each[i].points.map(to_sheet)), class: each[i].here ? "bones here" : "bones" }));
    const all = drawings[limb].map((points) => to_sheet(points[joint]));
    seen_dots(all.length).forEach((dot, i) => put(dot, { cx: n1(all[i][0]), cy: n1(all[i][1]), r: i + 1 === n ? 5 : 2, class: i + 1 === n ? "seen here" : "seen" }));

    // joints to choose from
    const options = limbs.flatMap((l) => l.joints.map((j) => [JSON.stringify([l.name, j]),
      `${j}${limbs.length > 1 ? `, ${l.name}` : ""}${l.planned.includes(j) ? " (planned)" : ""}`]));
    if (joint_box.said !== JSON.stringify(options)) {
      joint_box.said = JSON.stringify(options);
      joint_box.replaceChildren(...options.map(([value, label]) => h("option", { value }, label)));
    }
    joint_box.value = JSON.stringify([limbs[limb].name, limbs[limb].joints[joint]]);
    if (hows.childElementCount !== how.length) hows.replaceChildren(...how.map((name) => button(name, () => ask("how", name))));
    undo_b.disabled = !undo;
    redo_b.disabled = !redo;
    away_b.disabled = !plan().line;

    paint_plan(count, loop);
    paint_mine();
    paint_told();
    put(root, { "data-plan": plan().line ? "planned" : "none", "data-state": stroke ? "drawing" : silent ? "silent" : sent ? "waiting" : "fresh",
      "data-drawing": n, "data-places": places.length });
  }

  function paint_plan() {
    const { line, half } = plan();
    const [{ loop }, n] = [head(), number()];
    put(line_path, { d: line ? polyline(line.map(to_sheet)) : null });
    const chart = line ? chart_now() : [];
    const off = new Set((model.get("told").off ?? []).map((one) => one.drawing));
    const at = chart.map((share) => to_sheet(place_on(line, share)));
    spot_dots(at.length).forEach((dot, i) => put(dot, { cx: n1(at[i][0]), cy: n1(at[i][1]), r: i + 1 === n ? 5 : 3.4,
      class: `spot${i + 1 === n ? " here" : ""}${off.has(i + 1) ? " off" : ""}`, "data-dot": i + 1 }));
    const middle = at.reduce((sum, p) => [sum[0] + p[0] / at.length, sum[1] + p[1] / at.length], [0, 0]);
    const labels = at.map(([x, y], i) => {
      const far = Math.hypot(x - middle[0], y - middle[1]) || 1;
      return { i, x: x + ((x - middle[0]) / far) * 14, y: y + ((y - middle[1]) / far) * 14 + 4 };
    });
    const kept = clear_of_each_other(labels, n - 1);
    spot_nums(at.length).forEach((text, i) => {
      put(text, { x: n1(labels[i].x), y: n1(labels[i].y), class: i + 1 === n ? "halo num here" : "halo num", visibility: kept.has(i) ? null : "hidden" });
      say(text, String(i + 1));
    });

    const rows = chart.length ? lines_of(chart, half, loop) : [];
    const x = (k) => (rows.length === 1 ? 62 : 38 + 82 * k);
    spine_marks(rows.length).forEach((g, k) => {
      const [spine, first, last, a, b, name] = g.children;
      const ends = [rows[k].drawings[0] + 1, rows[k].drawings.at(-1) + 1];
      put(spine, { d: `M${x(k)},${HIGH}V${LOW}` });
      put(first, { cx: x(k), cy: HIGH - 14 }); put(last, { cx: x(k), cy: LOW + 14 });
      put(a, { x: x(k), y: HIGH - 10 }); put(b, { x: x(k), y: LOW + 18 }); put(name, { x: x(k) + 26, y: HIGH - 16 });
      say(a, String(ends[0])); say(b, String(ends[1])); say(name, rows[k].name);
    });
    const inner = rows.flatMap((row, k) => row.drawings.slice(1, -1).map((d) => ({ d, row, k })));
    const part_of = ({ d, row }) => (row.to > row.from ? (chart[d] - row.from) / (row.to - row.from) : 0);
    const said = []; // numbers where they fit, that of the drawing under work first
    for (const one of [...inner].sort((a, b) => (b.d + 1 === n) - (a.d + 1 === n))) {
      one.y = HIGH + part_of(one) * (LOW - HIGH);
      one.free = said.every((other) => other.k !== one.k || Math.abs(other.y - one.y) > 11);
      if (one.free) said.push(one);
    }
    tick_marks(inner.length).forEach((g, i) => {
      const { d, row, k, y, free } = inner[i];
      const part = part_of(inner[i]);
      g.drawing = d;
      put(g, { transform: `translate(${x(k)},${n1(y)})`, class: d + 1 === n ? "tick here" : "tick", "data-tick": d + 1,
        "aria-label": `drawing ${d + 1} on the chart`, "aria-valuenow": Math.round(part * 100),
        "aria-valuetext": `${(part * 100).toFixed(1)} per cent of the way from ${row.drawings[0] + 1} to ${row.drawings.at(-1) + 1}` });
      put(g.children[2], { visibility: free ? null : "hidden" });
      say(g.children[2], String(d + 1));
    });
  }

  function paint_mine() {
    const line = stroke ?? unheard;
    put(stroke_path, { d: line ? polyline(line.map(to_sheet)) : null });
    place_dots(places.length).forEach((dot, i) => {
      const [x, y] = to_sheet(places[i]);
      put(dot, { cx: n1(x), cy: n1(y) });
    });
    const at = pen ?? middle_of_sheet();
    put(pen_mark, { transform: `translate(${to_sheet(at).map(n1)})`, class: places.length ? "pen used" : "pen",
      "aria-valuetext": `x ${Math.round(at[0])}, y ${Math.round(at[1])} mm; ${places.length} ${places.length === 1 ? "place" : "places"} set` });
    lay_b.disabled = places.length < fewest();
    lay_b.hidden = !places.length;
  }

  function paint_told() {
    const [{ line, says }, told, joint] = [plan(), model.get("told"), head().limbs[limb_at()].joints[joint_at()]];
    say(next,
      silent ? "Nobody answers: the kernel is busy or gone. Your line stays here; run the cell again, or wait."
      : places.length ? `${places.length} ${places.length === 1 ? "place" : "places"} set. ${places.length < fewest() ? "Set the next." : "Set more, or press Enter again to lay the path."}`
      : says ? says
      : line ? `The ${joint}: its path and its dots lie under your drawings.`
      : `Draw the path of action of the ${joint} in one stroke. Begin where drawing 1 stands, at an extreme.`);
    const off = line ? told.off ?? [] : [];
    say(told_says, line ? told.says : "");
    help.hidden = off.length > 0;
    off_rows(off.length).forEach((row, i) => {
      row.drawing = off[i].drawing;
      put(row, { "data-off": off[i].drawing });
      say(row.firstChild, off[i].says);
    });
  }

  // ---- hand -> model --------------------------------------------------------------------------------
  const middle_of_sheet = () => {
    const point = model.get("drawings")[limb_at()]?.[number() - 1]?.[joint_at()];
    return point ?? [head().paper.width / 2, head().paper.height / 2];
  };
  const fewest = () => (head().loop ? 3 : 2);
  function ask(what, more) {
    sent += 1;
    unheard = what === "stroke" ? more : null;
    clearTimeout(timer);
    timer = setTimeout(nobody, SILENCE);
    try { model.send({ ask: what, what: more }); } catch { nobody(); }
    paint();
  }
  function nobody() {
    silent = true;
    paint();
  }
  function go(n) {
    if (n === model.get("number")) return;
    model.set("number", n);
    model.save_changes();
    paint();
  }
  function drop_places() { [places, pen] = [[], null]; }
  function lay_places() {
    if (places.length < fewest()) return;
    const what = places;
    drop_places();
    ask("places", what);
  }
  function set_place(place) {
    const last = places.at(-1);
    if (last && Math.hypot(place[0] - last[0], place[1] - last[1]) < 0.5) return lay_places();
    places = [...places, place];
    pen = place;
    paint();
  }
  const on_paper = (e) => {
    const box = sheet.getBoundingClientRect();
    const { width, height } = head().paper;
    const to = [((e.clientX - box.left) / box.width) * width, (1 - (e.clientY - box.top) / box.height) * height];
    return [Math.min(width, Math.max(0, to[0])), Math.min(height, Math.max(0, to[1]))].map((v) => Math.round(v * 100) / 100);
  };

  on(sheet, "pointerdown", (e) => {
    if (e.button !== 0 || pointer !== null) return;
    e.preventDefault();
    pen_mark.focus({ preventScroll: true });
    pointer = e.pointerId;
    sheet.setPointerCapture(pointer);
    stroke = [on_paper(e)];
    sheet.from = [e.clientX, e.clientY];
    sheet.far = 0;
  });
  on(sheet, "touchstart", (e) => e.preventDefault(), { passive: false }); // else the page scrolls under the finger
  on(sheet, "pointermove", (e) => {
    if (e.pointerId !== pointer) return;
    const passed = e.getCoalescedEvents?.() ?? [];
    for (const one of passed.length ? passed : [e]) stroke = further(stroke, on_paper(one));
    sheet.far = Math.max(sheet.far, Math.hypot(e.clientX - sheet.from[0], e.clientY - sheet.from[1]));
    frame ||= requestAnimationFrame(() => { frame = 0; paint_mine(); });
  });
  on(sheet, "pointerup", (e) => {
    if (e.pointerId !== pointer) return;
    const [drawn, far] = [further(stroke, on_paper(e)), sheet.far];
    [stroke, pointer] = [null, null];
    if (far < SLIP) return set_place(drawn[0]);
    drop_places();
    ask("stroke", drawn);
  });
  for (const end of ["pointercancel", "lostpointercapture"]) on(sheet, end, (e) => {
    if (e.pointerId !== pointer) return;
    [stroke, pointer] = [null, null];
    paint();
  });

  const used = (e) => { e.preventDefault(); e.stopPropagation(); };
  on(pen_mark, "keydown", (e) => {
    if (e.ctrlKey || e.metaKey) return;
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
    if (step) {
      used(e);
      const by = e.shiftKey ? 1 : e.altKey ? 20 : 5;
      const at = pen ?? middle_of_sheet();
      const { width, height } = head().paper;
      pen = [Math.min(width, Math.max(0, at[0] + step[0] * by)), Math.min(height, Math.max(0, at[1] + step[1] * by))];
      paint_mine();
    } else if (e.key === "Enter" && !e.shiftKey) {
      used(e);
      set_place([...(pen ?? middle_of_sheet())]);
    } else if (e.key === "Backspace" && places.length) {
      used(e);
      places = places.slice(0, -1);
      paint();
    } else if (e.key === "Escape" && (places.length || stroke)) {
      used(e);
      drop_places();
      [stroke, pointer] = [null, null];
      paint();
    }
  });

  // ---- the chart
  function time(drawing, share) {
    const { half } = plan();
    moving = { drawing, chart: retimed(chart_now(), drawing, share, half, head().loop) };
    paint_plan();
  }
  function timed() {
    const chart = moving?.chart;
    if (chart) ask("chart", chart); // what is shown stays until the answer is there
  }
  const on_chart = (e) => {
    const box = chart_svg.getBoundingClientRect();
    const [x, y] = [((e.clientX - box.left) / box.width) * 168, ((e.clientY - box.top) / box.height) * 420];
    const rows = lines_of(chart_now(), plan().half, head().loop);
    const k = rows.length === 1 || x < 79 ? 0 : 1;
    return { row: rows[k], part: (y - HIGH) / (LOW - HIGH) };
  };
  let tick_pointer = null;
  on(chart_svg, "pointerdown", (e) => {
    if (e.button !== 0 || tick_pointer !== null || !plan().line) return;
    e.preventDefault();
    const { row, part } = on_chart(e);
    const d = nearest_tick(row, chart_now(), part);
    if (d < 0) return;
    tick_pointer = e.pointerId;
    chart_svg.setPointerCapture(tick_pointer);
    moving = { drawing: d, chart: chart_now() };
    ticks.querySelector(`[data-tick="${d + 1}"]`)?.focus({ preventScroll: true });
    go(d + 1);
  });
  on(chart_svg, "touchstart", (e) => e.preventDefault(), { passive: false });
  on(chart_svg, "pointermove", (e) => {
    if (e.pointerId !== tick_pointer) return;
    const { part } = on_chart(e);
    const row = lines_of(chart_now(), plan().half, head().loop).find((one) => one.drawings.slice(1, -1).includes(moving.drawing));
    time(moving.drawing, row.from + part * (row.to - row.from));
  });
  for (const end of ["pointerup", "pointercancel", "lostpointercapture"]) on(chart_svg, end, (e) => {
    if (e.pointerId !== tick_pointer) return;
    tick_pointer = null;
    timed();
  });
  function push_tick(e, drawing) {
    const way = { ArrowUp: -1, ArrowLeft: -1, ArrowDown: 1, ArrowRight: 1 }[e.key];
    if (!way || e.ctrlKey || e.metaKey) return;
    used(e);
    const row = lines_of(chart_now(), plan().half, head().loop).find((one) => one.drawings.slice(1, -1).includes(drawing));
    const by = (e.shiftKey ? 0.002 : e.altKey ? 0.05 : 0.01) * (row.to - row.from);
    time(drawing, chart_now()[drawing] + way * by);
    timed();
  }

  on(root, "keydown", (e) => {
    const name = e.key.toLowerCase();
    if ((e.ctrlKey || e.metaKey) && (name === "z" || name === "y")) {
      used(e);
      ask(name === "y" || e.shiftKey ? "redo" : "undo");
    } else if (name !== "tab" && !(name === "enter" && (e.shiftKey || e.ctrlKey))) e.stopPropagation(); // a slip must not cut a cell
  });

  // ---- the kernel's answers
  const watch = {
    "change:answered": () => {
      sent = Math.max(0, sent - (model.get("answered") - answered));
      answered = model.get("answered");
      silent = false;
      if (!sent) {
        clearTimeout(timer);
        unheard = null;
      }
      if (tick_pointer === null && !sent) moving = null; // a later push of a tick is still on its way
      paint();
    },
    "change:plan": () => { if (tick_pointer === null && !sent) moving = null; paint(); },
    "change:head": paint, "change:drawings": paint, "change:chosen": paint, "change:told": paint, "change:number": paint,
  };
  for (const [name, act] of Object.entries(watch)) model.on(name, act);
  el.append(root);
  paint();
  return () => {
    for (const [name, act] of Object.entries(watch)) model.off(name, act);
    cancelAnimationFrame(frame);
    clearTimeout(timer);
    life.abort();
    root.remove();
  };
}

export default { render };
