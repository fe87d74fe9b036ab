/* All of the picture, or only what follows the hand. */
import { paint_buttons } from "./buttons.mjs";
import { paint_rows, scroll_rows } from "./exposure_sheet.mjs";
import { paint_guide } from "./guide.mjs";
import { paint_head } from "./head.mjs";
import { paint_handles, paint_limbs, paint_paths } from "./limbs.mjs";
import { lay_notes } from "./margin.mjs";
import { paint_step } from "./mending.mjs";
import { measure_units, paint_sheet } from "./sheet.mjs";
import { one_by_one } from "../tools.mjs";

/** Paint a part of the picture anew: "all" of it unless another part is named. The state has it as
 * `t.repaint`. */
export const repaint = (t, part = "all") => PARTS[part](t);

const paint_all = (t) =>
  one_by_one(
    () => paint_step(t),
    () => measure_units(t),
    () => paint_sheet(t),
    () => measure_units(t), // handles made just now get their size
    () => paint_rows(t),
    () => paint_buttons(t),
    () => paint_head(t),
    () => scroll_rows(t),
    () => lay_notes(t),
  );

/** Only what follows the hand. */
const paint_hand = (t) =>
  one_by_one(
    () => paint_limbs(t),
    () => paint_paths(t),
    () => paint_handles(t),
    () => paint_guide(t),
    () => paint_rows(t),
    () => paint_head(t),
  );

const PARTS = {
  all: paint_all,
  hand: paint_hand,
  head: paint_head,
  buttons: paint_buttons,
  guide: paint_guide,
  notes: lay_notes,
};
