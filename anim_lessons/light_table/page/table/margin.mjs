/* The margin: the open note, the others folded as far as the room asks, each tied to its row. */
import { button } from "../elements.mjs";
import { pushed_down, tenth } from "../lines.mjs";
import { h, put, say } from "../tools.mjs";
import { guided } from "./guide_answer.mjs";
import { step_now } from "./mending.mjs";
import { build_notes } from "./notes.mjs";
import { count, findings, look_first, open_note, order, settings } from "./questions.mjs";

const more_follow = (many) => `${many} more follow${many === 1 ? "s" : ""} from it`;

/** Open the chosen note, fold the others as far as the room asks, push them apart, tie them to their rows. */
export function lay_notes(t) {
  build_notes(t);
  const open = step_now(t) ? null : open_note(t); // one thing at a time
  const own = [...t.notes.querySelectorAll(".note")];
  const beside = getComputedStyle(t.leaders).display !== "none";
  const room = beside
    ? Math.max(
        300,
        Math.max(t.expo.offsetHeight, t.figure.offsetHeight + t.foot.offsetHeight + 10) -
          t.notes.nextSibling.offsetHeight -
          8,
      )
    : Infinity;
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
      const is =
        finding(note) === open ||
        (open && open.follows !== null && findings(t)[open.follows] === finding(note));
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
  for (const node of t.notes.children)
    node.hidden =
      (node === t.guide_note && !guided(t)) ||
      (node === t.mend_note && !step_now(t)) ||
      (node === t.look_note ? !look_first(t) : look_first(t) && Boolean(finding(node)));
  show(settings(t).lecture);
  for (const node of t.notes.querySelectorAll(".aside")) if (total() > room) node.hidden = true;
  for (const note of own.toReversed()) if (total() > room) fold(note, true);
  const knock_ons = t.notes.querySelector(".note.chosen ul");
  if (knock_ons && total() > room) {
    // what follows is counted, no more
    const follow = knock_ons.previousSibling;
    knock_ons.hidden = true;
    const rest = many(knock_ons.closest(".note"));
    if (rest) say(follow, more_follow(rest));
  }
  t.guide_says.classList.toggle("heard", total() > room); // the sheet shows it
  if (total() > room && !t.unfolded) {
    let folded = 0;
    for (const note of own.toReversed()) {
      if (note.classList.contains("chosen") || total() <= room - 40) continue;
      note.hidden = true;
      folded += 1;
    }
    if (folded) {
      const more = button(t, `${folded} more note${folded === 1 ? "" : "s"}`, () => {
        t.unfolded = true;
        lay_notes(t);
      });
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
  const wishes = seen.map((node, i) =>
    [t.mend_note, t.look_note].includes(node)
      ? -2
      : node === t.guide_note
        ? -1
        : row_y[i] !== null
          ? row_y[i] - 14
          : finding(node) || !own.length
            ? 0
            : 1e5 + i,
  ); // asides come last
  const chosen_at = seen.findIndex((node) => node.classList.contains("chosen"));
  const tops = pushed_down(wishes, heights, 10, room);
  seen.forEach((node, i) => {
    node.style.top = `${Math.round(tops[i])}px`;
  });
  const bottom = Math.max(room, ...seen.map((_, i) => tops[i] + heights[i]));
  t.notes.style.height = `${Math.round(bottom)}px`;
  const wide = t.leaders.clientWidth || 26;
  put(t.leaders, {
    viewBox: `0 0 ${wide} ${Math.max(1, Math.round(t.expo.offsetHeight))}`,
    height: Math.round(t.expo.offsetHeight),
  });
  const tied = seen
    .map((_, i) => i)
    .filter(
      (i) =>
        row_y[i] !== null &&
        row_y[i] > t.rows_box.offsetTop &&
        row_y[i] < t.rows_box.offsetTop + t.rows_box.clientHeight,
    );
  t.leader(tied.length).forEach((line, k) => {
    const i = tied[k];
    put(line, {
      d: `M0,${tenth(row_y[i])}L${wide},${tenth(tops[i] + 14)}`,
      class: i === chosen_at ? "chosen" : "",
    });
  });
}
