/* The timing chart at the foot of the margin: two lines, out and back; left what is asked, right what is drawn. */
import { tenth } from "../lines.mjs";
import { fills } from "../full_page.mjs";
import { changed, h, named, put, s } from "../tools.mjs";
import { chart_now, is_drawn, number } from "./questions.mjs";

const EM = 13; // px
const WIDE = 240; // px
const DEEP = { least: 140, most: 340 }; // px

export function make_chart(t) {
  t.chart = s("svg", { class: "chart", role: "img" });
  t.chart_box = h("div", { class: "chartbox" }, t.chart);
}

export function paint_chart(t) {
  const found = chart_now(t);
  const n = number(t);
  t.chart_box.hidden = !found; // first: what is hidden has no size
  const size = fills(t.root) ? t.chart_box.clientWidth / WIDE || 1 : 1; // on a whole page it is as wide as its column
  const deep = Math.max(DEEP.least, Math.min(DEEP.most, (t.chart_box.clientHeight || 206) / size));
  const drawn = found ? found.halves.flatMap((half) => half.drawings).filter((m) => is_drawn(t, m)) : [];
  if (!changed(t.made_of, t.chart, JSON.stringify([found, n, deep, drawn, size, t.from_back]))) return;
  t.chart.replaceChildren();
  if (!found) return;
  const name = named(found.joint, 14);
  put(t.chart, { viewBox: `0 0 ${WIDE} ${deep}`, "aria-label": `timing chart of ${name}`, height: deep * size, width: WIDE * size });
  const text = (x, y, kind, anchor, inside) =>
    t.chart.append(s("text", { x: tenth(x), y: tenth(y), class: kind, "text-anchor": anchor }, inside));
  text(0, EM, "ct2", "start", `timing chart: ${name}`);
  text(WIDE, EM, "k", "end", "asked | drawn"); // left and right of each line
  const at_work = Math.max(0, found.halves.findIndex((half) => half.drawings.slice(0, -1).includes(n)));
  const halves =
    found.halves.length <= 2 ? found.halves : [found.halves[at_work], found.halves[(at_work + 1) % found.halves.length]];
  halves.forEach((half, i) => paint_half(t, half, halves.length === 1 ? WIDE / 2 : WIDE * (i ? 0.72 : 0.24), deep, { n, drawn, text }));
}

const MIRRORED = { "to the left": "to the right", "to the right": "to the left" };

function paint_half(t, { name, way, drawings, asked, drawn: far }, x, deep, { n, drawn, text }) {
  // what goes up begins at the foot
  const [high, low] = way === "up" ? [deep - EM * 1.95, EM * 4.6] : [EM * 4.6, deep - EM * 1.95];
  const out = Math.sign(low - high) * EM * 0.9; // beyond the end
  const y = (part) => high + Math.min(1.06, Math.max(-0.06, part)) * (low - high);
  const line = (kind, d) => t.chart.append(s("path", { class: kind, d }));
  text(x, EM * 2.35, "k", "middle", (t.from_back && MIRRORED[way]) || way || name);
  line("spine", `M${tenth(x)},${tenth(high)}V${tenth(low)}`);
  const last = drawings.length - 1;
  drawings.forEach((m, k) => {
    const here = m === n;
    if (k === 0 || k === last) {
      const yy = k ? low + out : high - out;
      line("rung", `M${tenth(x - EM * 0.7)},${tenth(k ? low : high)}h${EM * 1.4}`);
      t.chart.append(s("circle", { class: here ? "ring1 here" : "ring1", cx: tenth(x), cy: tenth(yy), r: EM * 0.8 }));
      return text(x, yy + EM * 0.35, here ? "num here" : "num", "middle", String(m));
    }
    line("rung ask", `M${tenth(x - EM * 0.95)},${tenth(y(asked[k]))}H${tenth(x)}`);
    if (drawn.includes(m)) line(here ? "rung off" : "rung", `M${tenth(x)},${tenth(y(far[k]))}h${EM * (here ? 1.15 : 0.8)}`);
  });
  // numbers: the one at work first, then from the middle outward, a line of type apart; ticks are never left out
  const place = (k) => (drawn.includes(drawings[k]) ? far[k] : asked[k]);
  const rank = (k) => (drawings[k] === n ? -1 : Math.abs(place(k) - 0.5));
  const said_at = [];
  for (const k of drawings.map((_, i) => i).slice(1, -1).sort((a, b) => rank(a) - rank(b) || a - b)) {
    const yy = y(place(k));
    if (said_at.some((other) => Math.abs(other - yy) < EM * 1.02)) continue;
    said_at.push(yy);
    const kind = `num${drawings[k] === n ? " here" : ""}${drawn.includes(drawings[k]) ? "" : " undrawn"}`;
    text(x + EM * 1.4, yy + EM * 0.35, kind, "start", String(drawings[k]));
  }
}
