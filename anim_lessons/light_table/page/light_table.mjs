/* Light table: the drawings of one action, one on top of another, on the desk.
 *
 * Reads    asked ({title, text, stack, due, mend} of the assignment), beside ({sliders, map, plan: the model of each}), beside_says, head, pose, number, settings, verdict, saved, under ({drawings} of an under-drawing, {plans} of joints, or nothing),
 *          lines ({revision, drawings: strokes by number}), pencil ({url, box} of a drawing from paper by its number), guide (where the joint asked about may go), mended (steps of a correction)
 * Writes   lines (with a pose), pose (its revision one higher with every change), number, settings, mended (emptied before it asks)
 * Sends    {ask: "film", paper: whether drawings from paper are shown}, {ask: "verdict"}, {ask: "take the file's"}, {ask: "mend", finding: its place in the list, or null for all}
 *
 * The pose answers the hand at once; Python's verdict follows and carries the revision it judged,
 * so that an old verdict is never shown as a fresh one. Lengths are mm with y up and angles degrees
 * counter-clockwise wherever a person sees them; on the sheet, units run down and A4 is 594 across.
 */
import { on } from "./elements.mjs";
import { leave_beside, take_beside } from "./table/beside.mjs";
import { put_joint } from "./table/by_the_guide.mjs";
import { ask, remember } from "./table/changes.mjs";
import { lay_out } from "./table/desk.mjs";
import { look_whether_done } from "./table/done.mjs";
import { fill, fills } from "./full_page.mjs";
import { come_into_view } from "./in_view.mjs";
import { as_now } from "./place.mjs";
import { listen_to_the_sheet } from "./table/drag.mjs";
import { listen_to_flip, rest_hands } from "./table/flip_and_play.mjs";
import { guide_fresh } from "./table/guide_answer.mjs";
import { listen_to_keys } from "./table/keys.mjs";
import { listen_to_the_pencil } from "./table/line_hand.mjs";
import { paint_handles } from "./table/limbs.mjs";
import { take_up_steps } from "./table/mending.mjs";
import { repaint } from "./table/paint.mjs";
import { behind, in_pass, saved, settings, SILENCE, stale, place_of, verdict, withheld } from "./table/questions.mjs";
import { place_reasons, what_is_told } from "./table/reasons.mjs";
import { clear_shelf, keep_now, look_on_the_shelf } from "./table/shelf.mjs";
import { new_table } from "./table/state.mjs";
import { follow } from "./tools.mjs";

function render({ model, el }) {
  const t = new_table(model, el);
  t.repaint = (part) => repaint(t, part);
  look_on_the_shelf(t);
  lay_out(t);
  listen_to_the_sheet(t);
  listen_to_the_pencil(t);
  listen_to_flip(t);
  listen_to_keys(t);

  const watch = {
    "change:pose": () => {
      const came = model.get("pose");
      if (came === t.pose) return; // our own
      t.head = model.get("head"); // it may have come with the pose, and is told of later
      t.top = Math.max(t.top, came.revision);
      if (t.drag || came.revision < t.pose.revision) return;
      const drawn = model.get("lines")?.drawings ?? {}; // they come with it, and only then
      const same =
        JSON.stringify([came.drawings, came.exposure, drawn]) ===
        JSON.stringify([t.pose.drawings, t.pose.exposure, t.line.drawn]);
      if (!same) {
        if (!withheld(t)) remember(t);
        t.touched = true;
        t.hint = "";
        t.by_hand = t.done = false;
        if (t.run.name !== "play") rest_hands(t);
      }
      t.pose = came;
      t.line.drawn = drawn;
      if (!same) t.guide_since = t.pose.revision;
      t.last_sent = performance.now();
      t.unanswered ??= stale(t) ? t.last_sent : null;
      t.unsaved ??= behind(t) ? t.last_sent : null;
      if (same) return t.repaint("head");
      t.repaint();
      look_whether_done(t); // its verdict may have come before it
    },
    "change:verdict": () => {
      t.dead = false;
      // it was Python that kept it waiting: the disk has had it from now on
      if (t.unanswered !== null && performance.now() - t.unanswered > SILENCE && behind(t))
        t.unsaved = performance.now();
      t.unanswered = stale(t) ? performance.now() : null;
      if (t.held_back && !withheld(t)) t.touched = true; // somebody has looked, and asks what the rules found
      t.held_back = withheld(t);
      // the next loop of a gallery: nothing of the last one comes back
      if (t.held_back && !t.by_hand) [t.past, t.future] = [[], []];
      // its drawings are told of next
      if (t.drag || verdict(t).revision > t.pose.revision) return t.repaint("head");
      t.repaint();
      look_whether_done(t);
    },
    "change:saved": () => {
      t.dead = false;
      if (t.unanswered !== null) t.unanswered = performance.now();
      t.unsaved = behind(t) ? performance.now() : null;
      if (
        t.kept_revision !== null &&
        ["saved", "as in the file", "elsewhere"].includes(saved(t).state) &&
        saved(t).revision >= t.kept_revision
      )
        clear_shelf(t);
      if (!t.drag) {
        t.repaint("head");
        t.repaint("buttons");
      }
    },
    "change:number": () => {
      if (t.drag) return;
      rest_hands(t);
      t.hint = "";
      t.repaint();
    },
    "change:settings": () => {
      if (t.drag) return;
      const one = place_of(t, settings(t).layer);
      // a lecture went on to another joint
      if (one && t.layer_seen !== JSON.stringify(one)) t.active = { ...one };
      t.layer_seen = JSON.stringify(one);
      t.repaint();
    },
    "change:guide": () => {
      t.dead = false;
      if (t.drag) {
        t.repaint("guide");
        paint_handles(t);
        if (t.told_of !== what_is_told(t) && t.field) place_reasons(t, as_now(t.field));
        return t.repaint("voice");
      }
      if (t.wish && guide_fresh(t)) return put_joint(t, t.wish);
      t.repaint();
    },
    "change:mended": () => {
      t.dead = false;
      take_up_steps(t);
    },
    "change:under": () => {
      if (!t.drag) t.repaint();
    },
    "change:head": () => {
      // new drawings came with it and are told of next
      if (model.get("pose").revision > t.pose.revision) return;
      t.head = model.get("head");
      if (!t.drag) t.repaint();
    },
    "change:pencil": () => t.drag || t.repaint(),
    "change:film": () => t.repaint("done"),
    "change:asked": () => t.drag || t.repaint("head"),
    "change:beside": () => take_beside(t),
    "change:beside_says": () => t.drag || t.repaint("head"),
    // The widget manager says so when the line to the kernel is cut; there is no word for it in the model itself.
    comm_live_update: () => {
      t.dead = true;
      keep_now(t);
      t.repaint("guide");
      t.repaint("head");
    },
  };
  const leave = follow(model, watch);
  const kernel = model.widget_manager?.kernel;
  const kernel_says = (_, status) => {
    if (["dead", "restarting", "autorestarting", "terminating"].includes(status)) watch.comm_live_update();
  };
  kernel?.statusChanged?.connect?.(kernel_says);
  on(t, window, "pagehide", () => t.keep_timer && keep_now(t));

  const seen = new ResizeObserver(() => {
    if (!t.drag) t.repaint();
  });
  el.append(t.root);
  seen.observe(t.figure); // the table itself has no size of its own where it fills the page in a panel
  seen.observe(t.root);
  const leave_view = come_into_view(t.root);
  if (stale(t)) {
    t.last_sent = t.unanswered = performance.now();
    ask(t, "verdict");
  }
  if (behind(t)) t.unsaved = performance.now();
  t.was_kept = stale(t) ? null : verdict(t).passed === true;
  t.was_in_pass = in_pass(t);
  t.repaint();
  take_beside(t);
  return () => {
    if (t.keep_timer) keep_now(t);
    rest_hands(t);
    if (t.drag?.frame) cancelAnimationFrame(t.drag.frame);
    for (const one of [t.timer, t.keep_timer, t.dressing]) clearTimeout(one);
    seen.disconnect();
    leave_view();
    kernel?.statusChanged?.disconnect?.(kernel_says);
    leave();
    t.life.abort();
    leave_beside(t);
    if (fills(t.root)) fill(t.root);
    t.root.remove();
  };
}

export default { render };
