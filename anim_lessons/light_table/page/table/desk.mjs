/* The desk: goal line, voice, sheet, strip, chart and buttons, laid out. */
import { h } from "../tools.mjs";
import { make_asked } from "./asked.mjs";
import { make_bar } from "./bar.mjs";
import { make_care } from "./care.mjs";
import { make_legend } from "./corner.mjs";
import { make_done } from "./done.mjs";
import { make_full_sheet } from "./exposure_sheet.mjs";
import { make_goal } from "./goal.mjs";
import { make_guide } from "./guide.mjs";
import { make_more } from "./more.mjs";
import { make_nudge } from "./pushes.mjs";
import { make_sheet } from "./sheet.mjs";
import { make_strip } from "./strip.mjs";
import { make_chart } from "./timing_chart.mjs";
import { make_voice } from "./voice.mjs";

export function lay_out(t) {
  make_goal(t);
  make_voice(t);
  make_asked(t);
  make_nudge(t);
  make_sheet(t);
  make_legend(t);
  make_bar(t);
  make_strip(t);
  make_chart(t);
  make_guide(t);
  make_full_sheet(t);
  make_care(t);
  make_more(t);
  make_done(t);
  t.beside_box = h("div", { class: "beside" });
  t.margin = h("div", { class: "margin" }, h("div", { class: "inside" }, t.voice, t.asked_box, t.beside_box, t.chart_box));
  t.table = h("div", { class: "table" }, t.header, t.figure, t.expo, t.margin, t.bar, t.more_bar, t.more, t.done_panel);
  t.root = h("section", { class: "anim-light-table", "aria-label": "light table", tabindex: -1 }, t.table);
}
