/* The desk: head, sheet, buttons, exposure sheet and margin, laid out. */
import { h } from "../tools.mjs";
import { make_buttons } from "./buttons.mjs";
import { make_care } from "./care.mjs";
import { make_exposure_sheet } from "./exposure_sheet.mjs";
import { make_guide } from "./guide.mjs";
import { make_head } from "./head.mjs";
import { make_mend_note } from "./mending.mjs";
import { make_margin } from "./notes.mjs";
import { make_nudge } from "./pushes.mjs";
import { make_sheet } from "./sheet.mjs";

export function lay_out(t) {
  make_head(t);
  make_nudge(t);
  make_sheet(t);
  make_buttons(t);
  make_exposure_sheet(t);
  make_guide(t);
  make_mend_note(t);
  make_margin(t);
  make_care(t);
  t.table = h(
    "div",
    { class: "table" },
    t.header,
    h("div", { class: "desk" }, t.figure, t.foot),
    h("div", { class: "side" }, t.expo, t.leaders, t.margin),
    t.care,
  );
  t.root = h("section", { class: "anim-light-table", "aria-label": "light table", tabindex: -1 }, t.table);
}
