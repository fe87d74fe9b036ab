/* The timing chart, pencilled at the edge of the sheet. */
import { tenth, SHEET } from "../lines.mjs";
import { changed, s } from "../tools.mjs";
import { chart_now, type } from "./questions.mjs";

/** Timing chart at the right edge, with words above it: left of the line as asked, right of it as drawn. */
export function paint_chart(t, n, bottom, about) {
  const found = chart_now(t);
  const at_work = Math.max(0, found?.halves.findIndex((half) => half.drawings.slice(0, -1).includes(n)) ?? 0);
  const halves = found
    ? found.halves.length <= 2
      ? found.halves
      : [found.halves[at_work], found.halves[(at_work + 1) % found.halves.length]]
    : [];
  const said = JSON.stringify([found, n, bottom, tenth(type(t, 12)), at_work, about]);
  if (changed(t.made_of, t.chart, said)) {
    t.chart.replaceChildren();
    const text = (x, y, name, anchor, inside) =>
      t.chart.append(s("text", { x: tenth(x), y: tenth(y), class: name, "text-anchor": anchor }, inside));
    const [high, low] = [62, Math.min(348, bottom - 72)];
    halves.forEach(({ name, drawings, asked, drawn }, i) => {
      const x = SHEET - 38 - 59 * (halves.length - 1 - i);
      const y = (part) => high + Math.min(1.06, Math.max(-0.06, part)) * (low - high);
      t.chart.append(s("path", { class: "spine", d: `M${x},${high}V${low}` }));
      text(x, 36, "ct", "middle", name);
      const last = drawings.length - 1;
      const middle = last % 2 === 0 ? last / 2 : -1;
      const said_at = [];
      // Numbers are set where they fit: the drawing under work first, then the breakdown, then the rest.
      const rank = (k) => (drawings[k] === n ? 0 : k === middle ? 1 : 2);
      drawings
        .map((_, k) => k)
        .sort((a, b) => rank(a) - rank(b) || a - b)
        .forEach((k) => {
          const here = drawings[k] === n && k > 0 && k < last;
          t.chart.append(s("path", { class: "rung ask", d: `M${x - 11},${tenth(y(asked[k]))}H${x}` }));
          t.chart.append(
            s("path", {
              class: here ? "rung off" : "rung",
              d: `M${x},${tenth(y(drawn[k]))}H${x + (here ? 17 : 11)}`,
            }),
          );
          if (k === 0 || k === last) {
            const yy = k ? low + 12 : high - 12;
            t.chart.append(
              s("circle", { class: drawings[k] === n ? "ring1 here" : "ring1", cx: x, cy: yy, r: 9 }),
            );
            text(x, yy + 4, "num", "middle", drawings[k]);
          } else if (said_at.every((v) => Math.abs(v - y(drawn[k])) > type(t, 12) * 0.9)) {
            said_at.push(y(drawn[k]));
            text(x + 23, y(drawn[k]) + (here ? 5 : 4), here ? "num here" : "num", "middle", drawings[k]);
            if (k === middle)
              t.chart.append(s("path", { class: "under", d: `M${x + 17},${tenth(y(drawn[k]) + 7)}h12` }));
          }
        });
    });
    if (halves.length) {
      text(SHEET - 14, 20, "ct2", "end", about);
      text(SHEET - 14, low + 44, "k", "end", "left of the line: asked");
      text(SHEET - 14, low + 44 + 14 * (type(t, 11) / 11), "k", "end", "right of it: drawn");
    }
  }
  return halves.length > 0;
}
