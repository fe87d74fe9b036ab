/* Notes in the margin: what each says, and what its buttons do. */
import { lesson_of } from "../drawings.mjs";
import { button, key, on } from "../elements.mjs";
import { capital, h, pool, put, s, say_in_short } from "../tools.mjs";
import { alter, go, set, turn_to, with_drawing } from "./changes.mjs";
import { rest_hands } from "./flip_and_play.mjs";
import { ask_mend } from "./mending.mjs";
import { findings, key_of, number, open_note, settings, stale, verdict } from "./questions.mjs";

export function make_margin(t) {
  t.leaders = s("svg", { class: "leaders", "aria-hidden": true });
  t.leader = pool(t.leaders, () => s("path"));
  t.notes = h("ol", { class: "notes", "aria-label": "notes in the margin, cause first" });
  t.lecture_b = key(
    t,
    "larger",
    () => set(t, { lecture: !settings(t).lecture }),
    "G",
    "Lecture size, for the back of the class",
  );
  t.care_b = key(
    t,
    "keys and care",
    () => {
      t.care.hidden = !t.care.hidden;
      put(t.care_b, { "aria-expanded": !t.care.hidden });
    },
    "?",
    "Keys, and what to take care of",
    { "aria-expanded": "false" },
  );
  t.told = h("p", { class: "told", role: "status" }); // what there is to say of the file, in a whole sentence
  t.margin = h(
    "div",
    { class: "margin" },
    t.notes,
    h("div", { class: "marginfoot" }, t.told, t.copy, t.lecture_b, t.back_b, t.under_b, t.care_b),
  );
  t.look_note = h(
    "li",
    { class: "aside look-first" },
    h("b", {}, "Look first."),
    " Play it, flip through it, and say what hurts and where. ",
    button(t, "show what is wrong", () => {
      t.touched = true;
      t.repaint();
    }),
  );
  t.standing_notes = [t.mend_note, t.guide_note, t.look_note];
  t.notes.append(...t.standing_notes);
}

/** Make the notes of a verdict, once each. */
export function build_notes(t) {
  if (t.built === verdict(t)) return;
  const focused = t.notes.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  t.built = verdict(t);
  // those keep their focus
  for (const node of [...t.notes.children]) if (!t.standing_notes.includes(node)) node.remove();
  findings(t).forEach((f, i) => {
    if (f.follows !== null) return;
    const rest = findings(t).filter((g) => g.follows === i);
    const title = button(t, "", () => choose(t, f), { class: "notehead", "data-key": key_of(f) });
    say_in_short(title, f.head, 100);
    const follow = h("p", { class: "follows" });
    const facts = h(
      "dl",
      {},
      ...[
        ["measured", f.shows],
        ["looked for", f.looked_for],
        ["its lesson", lesson_of(f)],
      ]
        .filter(([, dd]) => dd)
        .map(([dt, dd]) => h("div", {}, h("dt", {}, dt), say_in_short(h("dd"), dd))),
    );
    const knock = h(
      "ul",
      {},
      ...rest.map((g) =>
        h(
          "li",
          { "data-rule": g.rule, "data-drawings": g.drawings.join(" ") },
          h("b", {}, g.drawings.join(", ")),
          " ",
          say_in_short(h("span"), g.short ?? g.says),
        ),
      ),
    );
    const lay_on = h(
      "div",
      { class: "layon" },
      ...(f.ghost ? [button(t, "lay it on the ghost", () => lay_on_ghost(t, f))] : []),
      button(t, "correct it", () => ask_mend(t, f)),
      button(t, "correct all", () => ask_mend(t, null)),
    );
    const note = h(
      "li",
      { class: "note", "data-rule": f.rule, "data-drawings": f.drawings.join(" ") },
      title,
      say_in_short(h("p", { class: "says" }), f.text),
      facts,
      lay_on,
      follow,
      knock,
    );
    t.stands_for.set(note, { finding: f, follow: rest.length });
    t.notes.append(note);
    if (focused === key_of(f)) title.focus({ preventScroll: true });
  });
  const rules = Object.entries(t.built.rules ?? {});
  if (!rules.length) return;
  for (const text of t.built.advice ?? [])
    t.notes.append(say_in_short(h("li", { class: "aside advice" }), text));
  const open = rules.filter(([, r]) => !r.judged);
  const seen = rules
    .filter(([, r]) => r.judged)
    .map(([name]) => name)
    .join(", ");
  for (const text of t.built.unmet ?? [])
    t.notes.append(h("li", { class: "aside unmet" }, say_in_short(h("b"), capital(text))));
  if (!seen) return; // nothing is drawn yet
  t.notes.append(
    h(
      "li",
      { class: "aside judged" },
      ...(t.built.passed === false || t.built.given ? [] : [h("b", {}, "Nothing to mend. ")]),
      `Checked: ${seen}.`,
      ...(open.length ? [without(t, open)] : []),
    ),
  );
}

/** What found nothing to judge, folded up: a beginner has not met these words yet. */
function without(t, rules) {
  const made = h(
    "details",
    {},
    h(
      "summary",
      {},
      `${rules.length} other rule${rules.length > 1 ? "s have" : " has"} nothing to judge here`,
    ),
    ...rules.map(([name, r]) =>
      say_in_short(h("p"), r.says ? `${capital(name)}: ${r.says.replace(/\.$/, "")}.` : `${capital(name)}.`),
    ),
  );
  on(t, made, "toggle", () => t.repaint("notes"));
  return made;
}

function choose(t, f) {
  const open = open_note(t);
  const n = f.ghost?.drawing ?? f.drawings[0];
  t.touched = t.touched || open !== f;
  // an open note first leads to its drawing
  t.chosen = open === f && (!n || n === number(t)) ? "" : key_of(f);
  t.hint = "";
  rest_hands(t);
  const limb = t.head.limbs.findIndex((l) => l.name === f.limb);
  const joint = limb < 0 ? -1 : t.head.limbs[limb].joints.indexOf(f.joint);
  if (t.chosen && t.active && limb >= 0 && joint >= 0) t.active = { limb, joint };
  if (t.chosen && n) turn_to(t, n);
  t.repaint();
}

/** The correction without a drag: the limb of that drawing goes where its ghost lies. */
function lay_on_ghost(t, { limb, ghost }) {
  const l = t.head.limbs.findIndex((one) => one.name === limb);
  if (stale(t) || t.drag || l < 0) return;
  go(t, ghost.drawing);
  alter(t, { drawings: with_drawing(t, l, ghost.points) });
}
