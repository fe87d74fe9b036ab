/* Notes in the margin: the cause open, what follows from it folded, each tied to its row. */
import { lesson_of } from "../drawings.mjs";
import { button, key, on } from "../elements.mjs";
import { n1, pushed_down } from "../lines.mjs";
import { Cap, h, pool, put, s, say } from "../tools.mjs";
import { alter, go, set, turn_to, with_drawing } from "./changes.mjs";
import { rest_hands } from "./flip_and_play.mjs";
import { guided } from "./guide_answer.mjs";
import { ask_mend, step_now } from "./mending.mjs";
import { count, findings, key_of, look_first, number, open_note, order, settings, stale, verdict } from "./questions.mjs";

export function make_margin(t) {
  t.leaders = s("svg", { class: "leaders", "aria-hidden": true });
  t.leader = pool(t.leaders, () => s("path"));
  t.notes = h("ol", { class: "notes", "aria-label": "notes in the margin, cause first" });
  t.lecture_b = key(t, "larger", () => set(t, { lecture: !settings(t).lecture }), "G", "Lecture size, for the back of the class");
  t.care_b = key(t, "keys and care", () => { t.care.hidden = !t.care.hidden; put(t.care_b, { "aria-expanded": !t.care.hidden }); }, "?", "Keys, and what to take care of", { "aria-expanded": "false" });
  t.told = h("p", { class: "told", role: "status" }); // what there is to say of the file, in a whole sentence
  t.margin = h("div", { class: "margin" }, t.notes, h("div", { class: "marginfoot" }, t.told, t.copy, t.lecture_b, t.back_b, t.under_b, t.care_b));
  t.look_note = h("li", { class: "aside look-first" }, h("b", {}, "Look first."), " Play it, flip through it, and say what hurts and where. ",
    button(t, "show what is wrong", () => { t.touched = true; t.repaint(); }));
  t.standing_notes = [t.mend_note, t.guide_note, t.look_note];
  t.notes.append(...t.standing_notes);
}

function build_notes(t) {
  if (t.built === verdict(t)) return;
  const focused = t.notes.contains(document.activeElement) ? document.activeElement.dataset.key : null;
  t.built = verdict(t);
  for (const node of [...t.notes.children]) if (!t.standing_notes.includes(node)) node.remove(); // those keep their focus
  findings(t).forEach((f, i) => {
    if (f.follows !== null) return;
    const rest = findings(t).filter((g) => g.follows === i);
    const title = button(t, f.head, () => choose(t, f), { class: "notehead", "data-key": key_of(f) });
    const follow = h("p", { class: "follows" });
    const facts = h("dl", {}, ...[["measured", f.shows], ["looked for", f.looked_for], ["its lesson", lesson_of(f)]].filter(([, dd]) => dd).map(([dt, dd]) => h("div", {}, h("dt", {}, dt), h("dd", {}, dd))));
    const knock = h("ul", {}, ...rest.map((g) => h("li", { "data-rule": g.rule, "data-drawings": g.drawings.join(" ") }, h("b", {}, g.drawings.join(", ")), " ", g.short ?? g.says)));
    const lay_on = h("div", { class: "layon" }, ...(f.ghost ? [button(t, "lay it on the ghost", () => lay_on_ghost(t, f))] : []),
      button(t, "correct it a little", () => ask_mend(t, f)), button(t, "correct all, a little", () => ask_mend(t, null)));
    const note = h("li", { class: "note", "data-rule": f.rule, "data-drawings": f.drawings.join(" ") }, title, h("p", { class: "says" }, f.text), facts, lay_on, follow, knock);
    t.stands_for.set(note, { finding: f, follow: rest.length });
    t.notes.append(note);
    if (focused === key_of(f)) title.focus({ preventScroll: true });
  });
  const rules = Object.entries(t.built.rules ?? {});
  if (!rules.length) return;
  for (const text of t.built.advice ?? []) t.notes.append(h("li", { class: "aside advice" }, text));
  const open = rules.filter(([, r]) => !r.judged);
  const seen = rules.filter(([, r]) => r.judged).map(([name]) => name).join(", ");
  for (const text of t.built.unmet ?? []) t.notes.append(h("li", { class: "aside unmet" }, h("b", {}, Cap(text))));
  if (!seen) return; // nothing is drawn yet
  t.notes.append(h("li", { class: "aside judged" }, ...(t.built.passed === false || t.built.given ? [] : [h("b", {}, "Nothing to mend. ")]), `Checked: ${seen}.`, ...(open.length ? [without(t, open)] : [])));
}

/** What found nothing to judge, folded up: a beginner has not met these words yet. */
function without(t, rules) {
  const made = h("details", {}, h("summary", {}, `${rules.length} other rule${rules.length > 1 ? "s have" : " has"} nothing to judge here`),
    ...rules.map(([name, r]) => h("p", {}, r.says ? `${Cap(name)}: ${r.says.replace(/\.$/, "")}.` : `${Cap(name)}.`)));
  on(t, made, "toggle", () => lay_notes(t));
  return made;
}

const more_follow = (many) => `${many} more follow${many === 1 ? "s" : ""} from it`;

/** Open the chosen note, fold the others as far as the room asks, push them apart, tie them to their rows. */
export function lay_notes(t) {
  build_notes(t);
  const open = step_now(t) ? null : open_note(t); // one thing at a time
  const own = [...t.notes.querySelectorAll(".note")];
  const beside = getComputedStyle(t.leaders).display !== "none";
  const room = beside ? Math.max(300, Math.max(t.expo.offsetHeight, t.figure.offsetHeight + t.foot.offsetHeight + 10) - t.notes.nextSibling.offsetHeight - 8) : Infinity;
  const list = order(t);
  const row_px = t.rows_box.scrollHeight / count(t);
  const start = t.rows_box.offsetTop - t.rows_box.scrollTop;
  const finding = (node) => t.stands_for.get(node)?.finding;
  const many = (node) => t.stands_for.get(node)?.follow ?? 0;
  const height_of = (node) => node.offsetHeight;
  const fold = (note, is) => {
    if (note.classList.contains("chosen")) return;
    note.classList.toggle("headonly", is);
    const follow = note.querySelector(".follows");
    follow.hidden = is || !many(note);
  };
  const show = (heads_only) => {
    for (const note of own) {
      const is = finding(note) === open || (open && open.follows !== null && findings(t)[open.follows] === finding(note));
      note.classList.toggle("chosen", Boolean(is));
      put(note.firstChild, { "aria-expanded": Boolean(is) });
      const [follow, knock] = [note.querySelector(".follows"), note.querySelector("ul")];
      knock.hidden = !is;
      note.classList.remove("headonly");
      follow.hidden = !many(note);
      fold(note, heads_only);
      say(follow, is ? "follows from it" : more_follow(many(note)));
    }
  };
  const in_view = () => [...t.notes.children].filter((node) => !node.hidden);
  const total = () => in_view().reduce((sum, node) => sum + height_of(node) + 10, 0);
  t.notes.querySelector(".unfold")?.remove();
  t.guide_says.classList.remove("heard");
  for (const node of t.notes.children) node.hidden = (node === t.guide_note && !guided(t)) || (node === t.mend_note && !step_now(t))
    || (node === t.look_note ? !look_first(t) : look_first(t) && Boolean(finding(node)));
  show(settings(t).lecture);
  for (const node of t.notes.querySelectorAll(".aside")) if (total() > room) node.hidden = true;
  for (const note of own.toReversed()) if (total() > room) fold(note, true);
  const knock_ons = t.notes.querySelector(".note.chosen ul");
  if (knock_ons && total() > room) { // what follows is counted, no more
    const follow = knock_ons.previousSibling;
    knock_ons.hidden = true;
    const rest = many(knock_ons.closest(".note"));
    if (rest) say(follow, more_follow(rest));
  }
  t.guide_says.classList.toggle("heard", total() > room); // the sheet shows it
  if (total() > room && !t.unfolded) {
    let folded_ = 0;
    for (const note of own.toReversed()) {
      if (note.classList.contains("chosen") || total() <= room - 40) continue;
      note.hidden = true;
      folded_ += 1;
    }
    if (folded_) {
      const more = button(t, `${folded_} more note${folded_ === 1 ? "" : "s"}`, () => { t.unfolded = true; lay_notes(t); });
      t.notes.append(h("li", { class: "aside unfold" }, more));
    }
  }
  if (!beside) {
    for (const node of t.notes.children) node.style.top = "";
    t.notes.style.height = "";
    t.leader(0);
    return;
  }
  const seen = in_view();
  const heights = seen.map(height_of);
  const row_y = seen.map((node) => {
    const i = finding(node)?.drawings.length ? list.indexOf(finding(node).drawings[0]) : -1;
    return i < 0 ? null : start + (i + 0.5) * row_px;
  });
  const wishes = seen.map((node, i) => ([t.mend_note, t.look_note].includes(node) ? -2 : node === t.guide_note ? -1 : row_y[i] !== null ? row_y[i] - 14 : finding(node) || !own.length ? 0 : 1e5 + i)); // asides come last
  const chosen_at = seen.findIndex((node) => node.classList.contains("chosen"));
  const tops = pushed_down(wishes, heights, 10, room);
  seen.forEach((node, i) => { node.style.top = `${Math.round(tops[i])}px`; });
  const bottom = Math.max(room, ...seen.map((_, i) => tops[i] + heights[i]));
  t.notes.style.height = `${Math.round(bottom)}px`;
  const wide = t.leaders.clientWidth || 26;
  put(t.leaders, { viewBox: `0 0 ${wide} ${Math.max(1, Math.round(t.expo.offsetHeight))}`, height: Math.round(t.expo.offsetHeight) });
  const tied = seen.map((_, i) => i).filter((i) => row_y[i] !== null && row_y[i] > t.rows_box.offsetTop && row_y[i] < t.rows_box.offsetTop + t.rows_box.clientHeight);
  t.leader(tied.length).forEach((line, k) => {
    const i = tied[k];
    put(line, { d: `M0,${n1(row_y[i])}L${wide},${n1(tops[i] + 14)}`, class: i === chosen_at ? "chosen" : "" });
  });
}

function choose(t, f) {
  const open = open_note(t);
  const n = f.ghost?.drawing ?? f.drawings[0];
  t.touched = t.touched || open !== f;
  t.chosen = open === f && (!n || n === number(t)) ? "" : key_of(f); // an open note first leads to its drawing
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
