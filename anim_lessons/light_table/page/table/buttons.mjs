/* The buttons under the sheet. */
import { key, on, push, row } from "../elements.mjs";
import { h, named, put, say, whole_name } from "../tools.mjs";
import { put_joint, toggle_guess, toggle_guide } from "./by_the_guide.mjs";
import { expose, go, redo, set, trace, undo } from "./changes.mjs";
import { flip_through, play, roll } from "./flip_and_play.mjs";
import { asked_shown, at_root, guide_here, guided, kept_back } from "./guide_answer.mjs";
import { paint_layers, work_on } from "./layers.mjs";
import { way_on } from "./pushes.mjs";
import { has_under, held, layers, number, settings, there, undrawn, wrapped } from "./questions.mjs";

export function make_buttons(t) {
  t.previous_b = key(
    t,
    "previous drawing",
    () => go(t, wrapped(t, number(t) - 1)),
    "PageUp",
    "Put the drawing before on the table",
  );
  t.next_b = key(
    t,
    "next drawing",
    () => go(t, wrapped(t, number(t) + 1)),
    "PageDown",
    "Put the next drawing on the table",
  );
  t.trace_b = key(t, "trace previous", () => trace(t), "T", "Lay a fresh sheet and trace the drawing before");
  t.middle_b = key(
    t,
    "start in the middle",
    () => {
      t.turned = !t.turned;
      t.hint = "";
      t.repaint();
    },
    "M",
    "Begin the stack in its middle, so that the link-up is seen",
  );
  t.under_b = key(
    t,
    "under-drawing",
    () => set(t, { under: !settings(t).under }),
    "U",
    "The drawing that lies under yours, to be traced",
  );
  t.undo_b = key(t, "undo", () => undo(t), "Control+Z", "Take the last change back");
  t.redo_b = key(t, "redo", () => redo(t), "Control+Shift+Z Control+Y", "Make it again");
  t.flip_b = key(
    t,
    "flip",
    (e) => e.detail === 0 && flip_through(t),
    "F",
    "Hold to see the drawing before; a short press flips through the neighbours",
    { class: "strong" },
  );
  t.roll_b = key(t, "roll", () => roll(t), "R", "Roll slowly through the neighbours");
  t.play_b = key(t, "play", () => play(t), "P", "Play the stack at its exposure");
  t.ones_b = key(t, "on ones", () => expose(t, 1), "1", "Hold every drawing for one frame");
  t.twos_b = key(t, "on twos", () => expose(t, 2), "2", "Hold every drawing for two frames");
  t.length_b = key(
    t,
    "lengths kept",
    () => set(t, { keep_lengths: !settings(t).keep_lengths }),
    "L",
    "On: a joint swings on its parent. Off: it goes where the hand goes",
  );
  t.paths_b = key(
    t,
    "paths",
    () => set(t, { paths: !settings(t).paths }),
    "A",
    "Path of action of every joint",
  );
  t.onion_b = key(
    t,
    "onion skin",
    () => set(t, { onion: (settings(t).onion + 3) % 4 }),
    "O",
    "How many neighbours show through",
  );
  t.guide_b = key(
    t,
    "where may it go",
    () => toggle_guide(t),
    "W",
    "Where the chosen joint may go, and what shuts the rest",
  );
  t.guess_b = key(
    t,
    "guess first",
    () => toggle_guess(t),
    "Q",
    "Show the circle of a drawing only when its joint is placed by eye",
  );
  t.dot_b = key(
    t,
    "to the dot",
    () => put_joint(t, "asked"),
    "E",
    "Put the joint on the open dot, where slow in and slow out want it",
  );
  t.open_b = key(
    t,
    "to the open part",
    () => put_joint(t, "open"),
    "N",
    "Put the joint at the nearest place that every rule allows",
  );
  t.back_b = key(
    t,
    "from the back",
    () => {
      t.from_back = !t.from_back;
      t.hint = "";
      t.repaint();
    },
    "S",
    "Turn the sheet over sideways: left and right change places",
  );
  t.layer_choice = h("select", {
    title: "One joint through the whole stack, then the next one out (J)",
    "aria-keyshortcuts": "J",
  });
  on(t, t.layer_choice, "change", () => work_on(t, layers(t)[t.layer_choice.selectedIndex]));
  t.way_choice = h(
    "select",
    { "aria-label": "in which order" },
    ...["straight ahead", "pose to pose"].map((way) => h("option", {}, way)),
  );
  on(t, t.way_choice, "change", () => set(t, { way: t.way_choice.value }));
  t.foot = h(
    "div",
    { class: "foot" },
    row("stack", t.previous_b, t.next_b, t.trace_b, t.middle_b, push(), t.undo_b, t.redo_b),
    row(
      "look at the movement",
      t.flip_b,
      t.roll_b,
      h("span", { class: "seg" }, t.play_b, t.ones_b, t.twos_b),
      push(),
      t.length_b,
      t.paths_b,
      t.onion_b,
    ),
    row(
      "where may it go",
      t.guide_b,
      t.guess_b,
      t.dot_b,
      t.open_b,
      push(),
      h("label", { class: "choice" }, "work on ", t.layer_choice),
      t.way_choice,
    ),
  );
}

export function paint_buttons(t) {
  const n = number(t);
  const off = (b, is) => put(b, { disabled: is ? "" : null });
  const pressed = (b, is) => put(b, { "aria-pressed": String(Boolean(is)) });
  off(t.previous_b, !there(t, wrapped(t, n - 1)));
  off(t.next_b, !there(t, wrapped(t, n + 1)));
  off(t.trace_b, !there(t, wrapped(t, n - 1)));
  off(t.middle_b, !t.head.loop);
  off(t.undo_b, !t.past.length);
  off(t.redo_b, !t.future.length);
  pressed(t.middle_b, t.turned);
  pressed(
    t.ones_b,
    held(t).every((f) => f === 1),
  );
  pressed(
    t.twos_b,
    held(t).every((f) => f === 2),
  );
  pressed(t.length_b, settings(t).keep_lengths);
  pressed(t.paths_b, settings(t).paths);
  pressed(t.onion_b, settings(t).onion > 0);
  t.under_b.hidden = !has_under(t);
  pressed(t.under_b, settings(t).under);
  pressed(t.lecture_b, settings(t).lecture);
  pressed(t.back_b, t.from_back);
  paint_layers(t);
  pressed(t.guide_b, guided(t));
  const g = guide_here(t);
  pressed(t.guess_b, settings(t).guess);
  t.guess_b.hidden = !undrawn(t);
  t.dot_b.hidden = !guided(t) || at_root(t) || (g && !asked_shown(g)) || kept_back(t);
  t.open_b.hidden = !guided(t) || at_root(t) || g?.shows === "circle" || kept_back(t);
  pressed(t.roll_b, t.run.name === "roll");
  say(t.play_b, t.run.name === "play" ? "stop" : "play");
  say(
    t.onion_b,
    settings(t).onion ? `onion skin ${settings(t).onion} + ${settings(t).onion}` : "onion skin off",
  );
  say(
    t.flip_b,
    `flip ${[...new Set([wrapped(t, n - 1), n, wrapped(t, n + 1)].filter((n) => there(t, n)))].join(", ")}`,
  );
  const joint = (t.active && t.head.limbs[t.active.limb]?.joints[t.active.joint]) ?? null;
  t.nudge.hidden = joint === null;
  if (joint !== null) {
    const limb = t.head.limbs.length > 1 ? t.head.limbs[t.active.limb].name : null;
    say(t.nudge_name, `${named(joint, 16)} of ${n}${limb === null ? "" : `, ${named(limb, 12)}`}`);
    put(t.nudge_name, {
      title:
        whole_name(joint, 16) || (limb && whole_name(limb, 12))
          ? [joint, limb].filter(Boolean).join(", ")
          : null,
    });
    const swings = t.active.joint > 0 && settings(t).keep_lengths;
    for (const b of t.nudges) b.hidden = ["on", "back"].includes(t.stands_for.get(b)) !== swings;
    const ccw = way_on(t) > 0 !== t.from_back; // as it is seen
    say(t.nudges[4], `swing back ${ccw ? "↻" : "↺"}`);
    say(t.nudges[5], `swing on ${ccw ? "↺" : "↻"}`);
  }
}
