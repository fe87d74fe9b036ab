/* The margin: the open note, the others folded as far as the room asks, each tied to its row. */
import { button } from "../elements.mjs";
import { pushed_down, tenth } from "../lines.mjs";
import { h, put, say } from "../tools.mjs";
import { guided } from "./guide_answer.mjs";
import { step_now } from "./mending.mjs";
import { build_notes } from "./notes.mjs";
import { count, findings, look_first, open_note, order, settings } from "./questions.mjs";

const GAP = 10; // px between two notes
const LEAST = 300; // px that notes get, however low the page is
const ABOVE = 14; // px from the top of a note to the middle of its first line, which is tied to the row

const finding = (t, node) => t.stands_for.get(node)?.finding;
const many = (t, note) => t.stands_for.get(note)?.follow ?? 0;
const is_chosen = (node) => node.classList.contains("chosen");
const more_follow = (count) => `${count} more follow${count === 1 ? "s" : ""} from it`;
const own = (t) => [...t.notes.querySelectorAll(".note")];
const in_view = (t) => [...t.notes.children].filter((node) => !node.hidden);
const total = (t) => in_view(t).reduce((sum, node) => sum + node.offsetHeight + GAP, 0);

/** Open the chosen note, fold the others as far as the room asks, push them apart, tie them to their rows. */
export function lay_notes(t) {
  build_notes(t);
  const beside = getComputedStyle(t.leaders).display !== "none"; // the margin is beside the exposure sheet
  const room = beside ? room_for_notes(t) : Infinity;
  show_what_counts(t);
  open_the_chosen(t);
  fold_to_fit(t, room);
  if (beside) place(t, room);
  else {
    for (const node of t.notes.children) node.style.top = "";
    t.notes.style.height = "";
    t.leader(0);
  }
}

/** px from the top of the margin to its buttons. */
function room_for_notes(t) {
  const deep = Math.max(t.expo.offsetHeight, t.figure.offsetHeight + t.foot.offsetHeight + 10);
  return Math.max(LEAST, deep - t.notes.nextSibling.offsetHeight - 8);
}

function show_what_counts(t) {
  t.notes.querySelector(".unfold")?.remove();
  t.guide_says.classList.remove("heard");
  for (const node of t.notes.children) node.hidden = look_first(t) && Boolean(finding(t, node));
  t.guide_note.hidden = !guided(t);
  t.mend_note.hidden = !step_now(t);
  t.look_note.hidden = !look_first(t);
}

function open_the_chosen(t) {
  const open = step_now(t) ? null : open_note(t); // one thing at a time
  const cause = open && open.follows !== null ? findings(t)[open.follows] : open;
  for (const note of own(t)) {
    const is = Boolean(open) && [open, cause].includes(finding(t, note));
    const follow = note.querySelector(".follows");
    note.classList.toggle("chosen", is);
    note.classList.remove("headonly");
    put(note.firstChild, { "aria-expanded": is });
    note.querySelector("ul").hidden = !is;
    follow.hidden = !many(t, note);
    say(follow, is ? "follows from it" : more_follow(many(t, note)));
    if (settings(t).lecture) fold(note);
  }
}

/** Show the head of a note only, unless it is the open one. */
function fold(note) {
  if (is_chosen(note)) return;
  note.classList.add("headonly");
  note.querySelector(".follows").hidden = true;
}

/** Put away what counts least, one after the other, until all is within the room. */
function fold_to_fit(t, room) {
  for (const node of t.notes.querySelectorAll(".aside")) if (total(t) > room) node.hidden = true;
  for (const note of own(t).toReversed()) if (total(t) > room) fold(note);
  const chosen = own(t).find(is_chosen);
  if (chosen && total(t) > room) {
    chosen.querySelector("ul").hidden = true; // what follows is counted, no more
    if (many(t, chosen)) say(chosen.querySelector(".follows"), more_follow(many(t, chosen)));
  }
  t.guide_says.classList.toggle("heard", total(t) > room); // the sheet shows it
  if (total(t) > room && !t.unfolded) hide_notes(t, room);
}

function hide_notes(t, room) {
  let hidden = 0;
  for (const note of own(t).toReversed()) {
    if (is_chosen(note) || total(t) <= room - 40) continue; // 40 px: the button that shows them
    note.hidden = true;
    hidden += 1;
  }
  if (!hidden) return;
  const more = button(t, `${hidden} more note${hidden === 1 ? "" : "s"}`, () => {
    t.unfolded = true;
    lay_notes(t);
  });
  t.notes.append(h("li", { class: "aside unfold" }, more));
}

/** Each note as near its row as the others let it, and a line from the one to the other. */
function place(t, room) {
  const seen = in_view(t);
  const heights = seen.map((node) => node.offsetHeight);
  const rows = seen.map((node) => row_of(t, node));
  const tops = pushed_down(
    seen.map((node, i) => wish(t, node, rows[i], i)),
    heights,
    GAP,
    room,
  );
  seen.forEach((node, i) => {
    node.style.top = `${Math.round(tops[i])}px`;
  });
  t.notes.style.height = `${Math.round(Math.max(room, ...seen.map((_, i) => tops[i] + heights[i])))}px`;

  const [wide, deep] = [t.leaders.clientWidth || 26, Math.round(t.expo.offsetHeight)];
  put(t.leaders, { viewBox: `0 0 ${wide} ${Math.max(1, deep)}`, height: deep });
  const [first, last] = [t.rows_box.offsetTop, t.rows_box.offsetTop + t.rows_box.clientHeight];
  const tied = [...seen.keys()].filter((i) => rows[i] !== null && rows[i] > first && rows[i] < last);
  t.leader(tied.length).forEach((line, k) => {
    const i = tied[k];
    put(line, {
      d: `M0,${tenth(rows[i])}L${wide},${tenth(tops[i] + ABOVE)}`,
      class: is_chosen(seen[i]) ? "chosen" : "",
    });
  });
}

/** px from the top of the margin to the middle of a note's row; null where it has none. */
function row_of(t, node) {
  const place = order(t).indexOf(finding(t, node)?.drawings[0]);
  if (place < 0) return null;
  const deep = t.rows_box.scrollHeight / count(t);
  return t.rows_box.offsetTop - t.rows_box.scrollTop + (place + 0.5) * deep;
}

/** Where the top of a note wants to be, px. */
function wish(t, node, row, i) {
  if (node === t.mend_note || node === t.look_note) return -2;
  if (node === t.guide_note) return -1;
  if (row !== null) return row - ABOVE;
  return finding(t, node) || !own(t).length ? 0 : 1e5 + i; // asides come last
}
