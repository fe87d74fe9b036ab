/* Plan sheet: a path of action drawn freehand over the drawings, and its timing chart.
 *
 * Reads    head, drawings, chosen, plan, told, number, answered
 * Writes   chosen, number
 * Sends    {ask: "stroke" | "places", what: [[x, y], ...] mm}, {ask: "chart", what: [shares]}, {ask: "how", what: name},
 *          {ask: "take away"}, {ask: "undo"}, {ask: "redo"}; each with its revision, which `answered` comes up to
 *
 * The line follows the hand at once; Python smooths it and answers with the arc, its dots and what the
 * drawings make of it. Lengths are mm with y up wherever a person sees them; on the sheet, units run down and A4 is 594 across.
 */
import { listen_to_the_chart } from "./plan/chart.mjs";
import { lay_out } from "./plan/desk.mjs";
import { listen_to_the_pen } from "./plan/hand.mjs";
import { repaint } from "./plan/picture.mjs";
import { waits } from "./plan/questions.mjs";
import { new_plan_sheet } from "./plan/state.mjs";
import { follow } from "./tools.mjs";

function render({ model, el }) {
  const t = new_plan_sheet(model, el);
  t.repaint = (part) => repaint(t, part);
  lay_out(t);
  listen_to_the_pen(t);
  listen_to_the_chart(t);

  const watch = {
    "change:answered": () => {
      t.silent = false;
      if (!waits(t)) {
        clearTimeout(t.timer);
        t.unheard = null;
      }
      if (t.tick_pointer === null && !waits(t)) t.moving = null; // a later push of a tick is still on its way
      t.repaint();
    },
    "change:plan": () => {
      if (t.tick_pointer === null && !waits(t)) t.moving = null;
      t.repaint();
    },
    "change:head": () => t.repaint(),
    "change:drawings": () => t.repaint(),
    "change:chosen": () => t.repaint(),
    "change:told": () => t.repaint(),
    "change:number": () => t.repaint(),
  };
  const leave = follow(model, watch);
  el.append(t.root);
  t.repaint();
  return () => {
    leave();
    cancelAnimationFrame(t.frame);
    clearTimeout(t.timer);
    t.life.abort();
    t.root.remove();
  };
}

export default { render };
