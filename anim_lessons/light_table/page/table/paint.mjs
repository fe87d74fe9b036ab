/* All of the picture, or only what follows the hand. */
import { paint_asked } from "./asked.mjs";
import { paint_beside } from "./beside.mjs";
import { paint_done } from "./done.mjs";
import { paint_bar } from "./bar.mjs";
import { paint_full_sheet } from "./exposure_sheet.mjs";
import { paint_goal } from "./goal.mjs";
import { paint_guide } from "./guide.mjs";
import { carry_names } from "./labels.mjs";
import { paint_handles, paint_limbs, paint_paths } from "./limbs.mjs";
import { guided } from "./guide_answer.mjs";
import { paint_step } from "./mending.mjs";
import { paint_more } from "./more.mjs";
import { paint_nudge } from "./pushes.mjs";
import { measure_units, paint_sheet } from "./sheet.mjs";
import { paint_standing } from "./standing.mjs";
import { paint_play_mark, paint_strip, scroll_rows } from "./strip.mjs";
import { paint_chart } from "./timing_chart.mjs";
import { paint_voice } from "./voice.mjs";
import { one_by_one } from "../tools.mjs";

/** Paint a part of the picture anew: "all" of it unless another part is named. The state has it as
 * `t.repaint`. */
export const repaint = (t, part = "all") => PARTS[part](t);

const paint_all = (t) =>
  one_by_one(
    () => paint_step(t),
    () => paint_beside(t),
    () => paint_done(t),
    () => paint_goal(t),
    () => measure_units(t),
    () => paint_sheet(t),
    () => measure_units(t), // handles made just now get their size
    () => paint_strip(t),
    () => paint_chart(t),
    () => paint_head(t),
    () => scroll_rows(t),
    () => paint_buttons(t),
  );

const paint_head = (t) =>
  one_by_one(
    () => paint_standing(t),
    () => paint_goal(t),
    () => paint_voice(t),
    () => paint_asked(t),
    () => paint_bar(t),
  );

const paint_buttons = (t) =>
  one_by_one(
    () => paint_bar(t),
    () => paint_more(t),
    () => paint_nudge(t),
    () => paint_full_sheet(t),
    () => paint_done(t),
  );

/** Only what follows the hand. The voice keeps quiet, but for how the joint stands to its circle or its ghost. */
const paint_hand = (t) =>
  one_by_one(
    () => paint_limbs(t),
    () => paint_paths(t),
    () => paint_handles(t),
    () => carry_names(t),
    () => paint_guide(t),
    () => paint_strip(t),
    () => paint_standing(t),
    () => (guided(t) || t.drag?.ghost) && paint_voice(t),
  );

const paint_held_up = (t) =>
  one_by_one(
    () => paint_limbs(t),
    () => paint_play_mark(t),
  );

const PARTS = {
  all: paint_all,
  hand: paint_hand,
  head: paint_head,
  voice: paint_voice,
  done: paint_done,
  buttons: paint_buttons,
  guide: paint_guide,
  "held up": paint_held_up,
};
