/* The head: what comes next, what is checked, what is saved. */
import { half, turns } from "../drawings.mjs";
import { button } from "../elements.mjs";
import { capital, changed, h, named, put, say, say_in_short, the } from "../tools.mjs";
import { guided, standing_words } from "./guide_answer.mjs";
import { keep_a_copy, leave_kept, start_again, take_the_file, take_up_kept } from "./keeping.mjs";
import { step_now, step_says } from "./mending.mjs";
import {
  behind,
  causes,
  count,
  LATE,
  late,
  look_first,
  number,
  points,
  saved,
  settings,
  SILENCE,
  silent,
  sole,
  stale,
  there,
  traces,
  untouched,
  verdict,
  withheld,
  wrapped,
} from "./questions.mjs";

const HEADROOM = 300; // ms of silence after which the head says that it is waiting

export function make_head(t) {
  t.next_line = h("p", { class: "next", role: "status" });
  t.checked = h("span", { class: "checked" });
  t.kept_line = h("span", { class: "saved" });
  t.again = button(t, "start again", () => start_again(t));
  t.take_file = button(t, "take the file’s", () => take_the_file(t));
  t.take_up = button(t, "take up the kept drawings", () => take_up_kept(t));
  t.leave = button(t, "leave them", () => leave_kept(t));
  t.elsewhere = button(t, "save elsewhere", () => keep_a_copy(t), {
    title: "Download what is on the table as an action file",
  });
  t.copy = button(t, "keep a copy", () => keep_a_copy(t), {
    title: "Download what is on the table as an action file",
  });
  t.header = h(
    "header",
    {},
    t.next_line,
    h(
      "div",
      { class: "state" },
      t.checked,
      t.kept_line,
      t.elsewhere,
      t.again,
      t.take_file,
      t.take_up,
      t.leave,
    ),
  );
}

/** Where the table stands, in the word that data-state says. */
function standing(t) {
  if (t.drag?.going) return "dragging";
  if (t.dead || silent(t)) return "kernel-gone";
  if (stale(t)) return performance.now() - t.last_sent >= HEADROOM ? "waiting" : t.settled;
  if (saved(t).state === "failed") return (t.settled = "not-saved");
  // a verdict that is withheld says neither clean nor findings
  if (untouched(t) || withheld(t)) return (t.settled = "untouched");
  return (t.settled = causes(t).length || verdict(t).passed === false ? "findings" : "clean");
}

export function paint_head(t) {
  const state = standing(t);
  const gone = state === "kernel-gone";
  const failed = !gone && (told_of_it(t) || late(t));
  put(t.root, {
    "data-drawing": number(t),
    "data-drawings": count(t),
    "data-state": state,
    "data-showing": t.showing,
    "data-lecture": settings(t).lecture ? "true" : null,
    "data-from-back": t.from_back ? "true" : null,
    "data-verdict": stale(t) || t.drag?.going || gone ? "waiting" : "fresh",
  });
  put(t.next_line, { "aria-live": t.drag ? "off" : "polite" });
  say_in_short(t.next_line, next_words(t, state), 180);
  say_with_bold(t, t.checked, checked_words(t, state));
  say_with_bold(t, t.kept_line, kept_words(t, state));
  put(t.kept_line, { class: failed ? "saved failed" : "saved" });
  const before = t.told.textContent;
  say(t.told, told_words(t, gone));
  if (t.told.textContent !== before) t.repaint("notes");
  say(t.copy, failed || gone ? "save elsewhere" : "keep a copy");
  t.checked.hidden = Boolean(t.offered);
  t.elsewhere.hidden = !failed || Boolean(t.offered);
  t.again.hidden = t.take_file.hidden = !gone || Boolean(t.offered);
  t.take_up.hidden = t.leave.hidden = !t.offered;
  look_again(t);
}

/** What comes next, in one sentence. */
function next_words(t, state) {
  const [n, v] = [number(t), verdict(t)];
  if (t.hint) return t.hint;
  if (t.offered) return `Drawings from ${t.offered.time} are kept in this browser and are not in the file.`;
  if (state === "kernel-gone")
    return `Nobody is checking: the kernel ${t.dead ? "has stopped" : "is busy or gone"}. You can go on drawing.`;
  if (state === "dragging") return moving_words(t);
  if (state === "waiting") return `Looking at drawing ${n} …`;
  if (step_now(t)) return `${step_says(t)}. Enter takes it, X leaves it.`;
  if (withheld(t)) return capital(v.next);
  const beside = [...new Set([wrapped(t, n - 1), wrapped(t, n + 1)])].filter((m) => there(t, m) && m !== n);
  if (state === "untouched") {
    if (t.head.file && v.passed && !v.given) return `Nothing to mend. ${capital(v.next)}`;
    if (v.given && !v.first && traces(t))
      return `Trace what lies under drawing ${n} in fine dashes: drag a joint on to it.`;
    const joint = sole(t) ? the(sole(t)) : "a joint";
    return (
      v.first || `Drawing ${n} is on the table. Flip it against ${beside.join(" and ")}, then drag ${joint}.`
    );
  }
  // A model has no file: nobody has to mend it.
  if (!t.head.file && causes(t).length && v.passed === false) return `A rule complains: ${causes(t)[0].head}`;
  return `Next: ${v.next || `flip it against ${beside[0]}.`}`;
}

/** What is checked: plain and bold words by turns. */
function checked_words(t, state) {
  const v = verdict(t);
  const many = causes(t).length;
  if (state === "dragging") return ["", `${number(t)} is moving`];
  if (state === "kernel-gone") return ["", v.at ? `last checked ${v.at}` : "not checked yet"];
  if (state === "waiting") return ["", "checking", v.findings ? "; the notes are from before" : ""];
  if (withheld(t) || !v.findings) return ["not checked yet"];
  if (v.given && (!many || look_first(t))) return ["checked: ", "as given"];
  if (v.passed ?? many === 0) return ["checked: ", "nothing to mend"];
  return ["checked: ", many ? `${many} to mend` : "not all that is asked"];
}

/** What is saved: plain and bold words by turns. */
function kept_words(t, state) {
  const file = saved(t);
  const gone = state === "kernel-gone";
  if (file.state === "failed" && !gone)
    return ["", `not saved: ${file.why || "the folder cannot be written"}`];
  if (file.state === "saving" && !gone) return ["", `not saved yet: ${file.why}`];
  if (file.state === "elsewhere" && !behind(t)) return [`saved ${file.at ?? ""}, in ${file.file}`];
  if (state === "dragging") return ["not saved yet"];
  if (gone) return [kept_here(t) ? "kept in this browser" : "not kept: keep a copy"];
  if (late(t)) return ["", "not saved yet: the disk does not answer"];
  if (behind(t)) return ["saving"];
  if (file.state === "saved") return [`saved ${file.at ?? ""}`.trim()];
  return [file.file ? "as in the file" : "not in a file"];
}

/** What there is to say of the file, in whole sentences: Python's, or where none come what the page knows by itself. */
function told_words(t, gone) {
  const kept = `Your drawings ${kept_here(t) ? "are kept in this browser" : "are not kept in this browser: keep a copy"}.`;
  if (!gone && saved(t).state === "saving") return `${saved(t).says} ${kept}`;
  if (!late(t) || (!gone && told_of_it(t))) return gone ? "" : (saved(t).says ?? "");
  const [why, then] = t.dead
    ? ["the kernel has stopped", "Run this cell again"]
    : gone
      ? [
          "the kernel does not answer",
          "Wait for the cell that is still running, or interrupt it; if none is, restart the kernel and run this cell again",
        ]
      : ["the kernel answers, the disk or the network folder does not", "Wait, or save elsewhere"];
  return `Nothing has been saved for ${LATE / 1000} s or more: ${why}. ${kept} ${then}.`;
}

/** Python has said itself why they are not saved. */
const told_of_it = (t) => ["failed", "saving"].includes(saved(t).state);

// what is offered stays on the shelf until a choice is made, and nothing newer goes there
const kept_here = (t) => t.can_keep && !(t.offered && behind(t));

/** Words in a line, every second part bold. */
function say_with_bold(t, line, parts) {
  if (!changed(t.made_of, line, parts.join("|"))) return;
  line.replaceChildren(...parts.map((part, i) => (i % 2 ? h("b", {}, part) : part)).filter(Boolean));
}

/** The head says something else after some silence: it is painted again then. */
function look_again(t) {
  clearTimeout(t.timer);
  t.timer = 0;
  if (t.drag) return;
  const now = performance.now();
  const due = behind(t) && t.unsaved !== null ? [t.unsaved + LATE + 1] : [];
  if (stale(t) && !silent(t)) due.push(t.last_sent + HEADROOM, (t.unanswered ?? now) + SILENCE + 1);
  const next = Math.min(...due.filter((when) => when > now));
  if (next < Infinity) t.timer = setTimeout(() => paint_head(t), next - now + 1);
}

/** While a joint moves: how far it is, to the ghost if there is one for it. */
function moving_words(t) {
  const { limb, joint, from } = t.drag;
  const p = points(t, limb);
  const who = `${capital(named(t.head.limbs[limb].joints[joint]))} of ${number(t)}`;
  if (joint === 0)
    return `${who}: moved ${Math.round(Math.hypot(p[0][0] - from[0][0], p[0][1] - from[0][1]))} mm.`;
  if (guided(t)?.limb === limb && guided(t).joint === joint && standing_words(t))
    return `${who}: ${standing_words(t)}.`;
  const [now, then] = [turns(p)[joint - 1], turns(from)[joint - 1]];
  if (t.drag.ghost) {
    const goal = turns(t.drag.ghost)[joint - 1];
    const left = half(goal - now);
    if (Math.abs(left) < 0.5) return `${who}: on the ghost.`;
    return `${who}: ${Math.round(Math.abs(left))}° ${Math.sign(left) === Math.sign(half(goal - then)) ? "to go to" : "past"} the ghost.`;
  }
  return `${who}: swung ${Math.round(Math.abs(half(now - then)))}° ${half(now - then) < 0 ? "clockwise" : "counter-clockwise"}.`;
}
