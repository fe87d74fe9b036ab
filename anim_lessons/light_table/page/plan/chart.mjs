/* The timing chart under the hand: its ticks dragged, or moved by key. */
import { on } from "../elements.mjs";
import { used } from "../tools.mjs";
import { ask, go } from "./asking.mjs";
import { lines_of, nearest_tick, retimed } from "./places.mjs";
import { chart_now, head, HIGH, LOW, plan } from "./questions.mjs";

function time(t, drawing, share) {
  const { half } = plan(t);
  t.moving = { drawing, chart: retimed(chart_now(t), drawing, share, half, head(t).loop) };
  t.repaint("plan");
}

function timed(t) {
  const chart = t.moving?.chart;
  if (chart) ask(t, "chart", chart); // what is shown stays until the answer is there
}

const on_chart = (t, e) => {
  const box = t.chart_svg.getBoundingClientRect();
  const [x, y] = [((e.clientX - box.left) / box.width) * 168, ((e.clientY - box.top) / box.height) * 420];
  const rows = lines_of(chart_now(t), plan(t).half, head(t).loop);
  const k = rows.length === 1 || x < 79 ? 0 : 1;
  return { row: rows[k], part: (y - HIGH) / (LOW - HIGH) };
};

export function push_tick(t, e, drawing) {
  const way = { ArrowUp: -1, ArrowLeft: -1, ArrowDown: 1, ArrowRight: 1 }[e.key];
  if (!way || e.ctrlKey || e.metaKey) return;
  used(e);
  const row = lines_of(chart_now(t), plan(t).half, head(t).loop).find((one) =>
    one.drawings.slice(1, -1).includes(drawing),
  );
  const by = (e.shiftKey ? 0.002 : e.altKey ? 0.05 : 0.01) * (row.to - row.from);
  time(t, drawing, chart_now(t)[drawing] + way * by);
  timed(t);
}

export function listen_to_the_chart(t) {
  on(t, t.chart_svg, "pointerdown", (e) => {
    if (e.button !== 0 || t.tick_pointer !== null || !plan(t).line) return;
    e.preventDefault();
    const { row, part } = on_chart(t, e);
    const d = nearest_tick(row, chart_now(t), part);
    if (d < 0) return;
    t.tick_pointer = e.pointerId;
    t.chart_svg.setPointerCapture(t.tick_pointer);
    t.moving = { drawing: d, chart: chart_now(t) };
    t.ticks.querySelector(`[data-tick="${d + 1}"]`)?.focus({ preventScroll: true });
    go(t, d + 1);
  });
  on(t, t.chart_svg, "touchstart", (e) => e.preventDefault(), { passive: false });
  on(t, t.chart_svg, "pointermove", (e) => {
    if (e.pointerId !== t.tick_pointer) return;
    const { part } = on_chart(t, e);
    const row = lines_of(chart_now(t), plan(t).half, head(t).loop).find((one) =>
      one.drawings.slice(1, -1).includes(t.moving.drawing),
    );
    time(t, t.moving.drawing, row.from + part * (row.to - row.from));
  });
  for (const end of ["pointerup", "pointercancel", "lostpointercapture"])
    on(t, t.chart_svg, end, (e) => {
      if (e.pointerId !== t.tick_pointer) return;
      t.tick_pointer = null;
      timed(t);
    });
}
