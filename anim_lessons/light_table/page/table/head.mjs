/* The head: what comes next, what is checked, what is saved. */
import { half, turns } from "../drawings.mjs";
import { button } from "../elements.mjs";
import { capital, changed, h, put, say, the } from "../tools.mjs";
import { guided, standing_words } from "./guide_answer.mjs";
import { keep_a_copy, leave_kept, start_again, take_the_file, take_up_kept } from "./keeping.mjs";
import { step_now, step_says } from "./mending.mjs";
import {
  causes,
  count,
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
  const [n, v, file] = [number(t), verdict(t), saved(t)];
  const state = standing(t);
  const gone = state === "kernel-gone";
  put(t.root, {
    "data-drawing": n,
    "data-drawings": count(t),
    "data-state": state,
    "data-showing": t.showing,
    "data-lecture": settings(t).lecture ? "true" : null,
    "data-from-back": t.from_back ? "true" : null,
    "data-verdict": stale(t) || t.drag?.going || gone ? "waiting" : "fresh",
  });
  put(t.next_line, { "aria-live": t.drag ? "off" : "polite" });
  const beside = [wrapped(t, n - 1), wrapped(t, n + 1)].filter((m) => there(t, m) && m !== n);
  say(
    t.next_line,
    t.hint
      ? t.hint
      : t.offered
        ? `Drawings from ${t.offered.time} are kept in this browser and are not in the file.`
        : gone
          ? `Nobody is checking: the kernel ${t.dead ? "has stopped" : "is busy or gone"}. You can go on drawing.`
          : state === "dragging"
            ? moving_words(t)
            : state === "waiting"
              ? `Looking at drawing ${n} …`
              : step_now(t)
                ? `${step_says(t)}. Enter takes it, X leaves it.`
                : withheld(t)
                  ? capital(v.next)
                  : state === "untouched" && t.head.file && v.passed && !v.given
                    ? `Nothing to mend. ${capital(v.next)}`
                    : state === "untouched" && v.given && !v.first && traces(t)
                      ? `Trace what lies under drawing ${n} in fine dashes: drag a joint on to it.`
                      : state === "untouched"
                        ? v.first ||
                          `Drawing ${n} is on the table. Flip it against ${[...new Set(beside)].join(" and ")}, then drag ${sole(t) ? the(sole(t)) : "a joint"}.`
                        : !t.head.file && causes(t).length && v.passed === false
                          ? `A rule complains: ${causes(t)[0].head}` // a model: nobody has to mend it
                          : `Next: ${v.next || `flip it against ${beside[0]}.`}`,
  );
  const bold = (node, ...parts) => {
    if (changed(t.made_of, node, parts.join("|")))
      node.replaceChildren(...parts.map((p, i) => (i % 2 ? h("b", {}, p) : p)).filter(Boolean));
  };
  const many = causes(t).length;
  if (state === "dragging") bold(t.checked, "", `${n} is moving`);
  else if (gone) bold(t.checked, "", v.at ? `last checked ${v.at}` : "not checked yet");
  else if (state === "waiting")
    bold(t.checked, "", "checking", v.findings ? "; the notes are from before" : "");
  else if (withheld(t) || !v.findings) bold(t.checked, "not checked yet");
  else
    bold(
      t.checked,
      "checked: ",
      v.given && (!many || look_first(t))
        ? "as given"
        : (v.passed ?? many === 0)
          ? "nothing to mend"
          : many
            ? `${many} to mend`
            : "not all that is asked",
    );
  const failed = file.state === "failed" && !gone;
  const behind = (file.revision ?? t.pose.revision) < t.pose.revision;
  if (failed) bold(t.kept_line, "", `not saved: ${file.why || "the folder cannot be written"}`);
  else
    bold(
      t.kept_line,
      file.state === "elsewhere" && !behind
        ? `saved ${file.at ?? ""}, in ${file.file}`
        : state === "dragging"
          ? "not saved yet"
          : gone
            ? t.can_keep
              ? "kept in this browser"
              : "not kept: keep a copy"
            : behind
              ? "saving"
              : file.state === "saved"
                ? `saved ${file.at ?? ""}`.trim()
                : file.file
                  ? "as in the file"
                  : "not in a file",
    );
  put(t.kept_line, { class: failed ? "saved failed" : "saved" });
  const words = gone ? "" : (file.says ?? "");
  if (t.told.textContent !== words) {
    t.told.textContent = words;
    t.repaint("notes");
  }
  say(t.copy, failed || gone ? "save elsewhere" : "keep a copy");
  t.checked.hidden = Boolean(t.offered);
  for (const [b, shown] of [
    [t.elsewhere, failed && !t.offered],
    [t.again, gone && !t.offered],
    [t.take_file, gone && !t.offered],
    [t.take_up, t.offered],
    [t.leave, t.offered],
  ])
    b.hidden = !shown;
  if (t.timer) clearTimeout(t.timer);
  t.timer = 0;
  if (stale(t) && !t.drag && !silent(t)) {
    const now = performance.now();
    const due = [t.last_sent + HEADROOM, (t.unanswered ?? now) + SILENCE + 1].filter((when) => when > now);
    if (due.length) t.timer = setTimeout(() => paint_head(t), Math.min(...due) - now + 1);
  }
}

/** While a joint moves: how far it is, to the ghost if there is one for it. */
function moving_words(t) {
  const { limb, joint, from } = t.drag;
  const p = points(t, limb);
  const who = `${capital(t.head.limbs[limb].joints[joint])} of ${number(t)}`;
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
