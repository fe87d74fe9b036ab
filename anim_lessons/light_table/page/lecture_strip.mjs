/* The lecture's strip: steps recorded or followed beside a light table.
 *
 * Reads    kind, title, most, steps, at, asking, asks_first, place, joints, says, can, answered
 * Sends    {ask: "go", what: step from 0}, {ask: "lay"}; to record {ask: "record" | "replace", what: note}, {ask: "note", what: {at, says}},
 *          {ask: "move", what: -1 | 1}, {ask: "take out"}, {ask: "undo"}, {ask: "redo"}, {ask: "joint", what: [limb, joint]};
 *          to follow {ask: "question", what: step from 0}; each with its revision, which `answered` comes up to
 *
 * Its keys go with Alt, Control or F keys, so that none of the light table's letters is taken. They work in the whole
 * panel, strip and table.
 */
import { h, say, the, used } from "./tools.mjs";

const FILLS = "fills-the-page";
const SILENCE = 6000; // ms without an answer after which nobody seems to be there
const NOBODY = "Nobody answers: the kernel is busy or gone. Your note stays here; run the cell again, or wait.";

// ---- pure, tested in node ---------------------------------------------------------------------

/** How a step is called in the list: "3 · drawing 5, elbow". The limb is named where there is more than one. */
export const called = ({ drawing, limb, joint }, i, many) => `${i + 1} · drawing ${drawing}, ${joint}${many ? `, ${limb}` : ""}`;

/** What is asked before a step is shown. */
export const question = ({ drawing, limb, joint }, many) => `Where may ${the(joint)}${many ? ` of the ${limb}` : ""} go on ${drawing}, and why? W shows it.`;

/** The step that comes after the one at hand, or before it; null where there is none. */
export function neighbour(at, by, count) {
  const to = at < 0 ? (by > 0 ? 0 : -1) : at + by;
  return to >= 0 && to < count ? to : null;
}

/** What a key asks for anywhere in the panel, or null. */
export function asked({ key, altKey, ctrlKey, metaKey, shiftKey }) {
  if (altKey && !ctrlKey && !metaKey && key === "PageDown") return "next";
  if (altKey && !ctrlKey && !metaKey && key === "PageUp") return "before";
  if (altKey || ctrlKey || metaKey || shiftKey) return null;
  return { F8: "note", F9: "fill" }[key] ?? null;
}

// ---- the view -----------------------------------------------------------------------------------

function render({ model, el }) {
  const life = new AbortController();
  const on = (target, type, act, more = {}) => target.addEventListener(type, act, { signal: life.signal, ...more });
  const records = model.get("kind") === "record";

  let editing = null; // the step whose note is in the field, or null: a new one is being written
  let draft = ""; // the new note, while an old one is in the field
  let revision = model.get("answered"); // of the newest message
  let aim = null; // {at, asking} last asked for, while its answer is on the way
  let hands_over = false; // the focus goes to the joint when the answer is there
  let unsaid = null; // a note that was sent to be recorded, and how many steps there were: it comes back if it was not taken
  let silent = false;
  let timer = 0;
  const queue = []; // messages that wait until Python knows what lies on the table
  let waiting = 0;

  const steps = () => model.get("steps");
  const at = () => model.get("at");
  const can = () => model.get("can");
  const asks_first = () => !records && model.get("asks_first"); // each step is asked before it is shown
  const waits = () => revision > model.get("answered");
  const stand = () => aim ?? { at: at(), asking: model.get("asking") >= 0 };

  // ---- elements
  const button = (label, act, more = {}) => {
    const made = h("button", { type: "button", ...more }, label);
    on(made, "click", act);
    return made;
  };
  const where = h("p", { class: "where", role: "status" });
  const fill_b = button("fill the page", fill, { "aria-keyshortcuts": "F9", title: "Strip and table over the whole page, and back (F9)" });
  const joint_box = h("select", { "aria-label": "joint the step is about" });
  on(joint_box, "change", () => ask("joint", JSON.parse(joint_box.value)));
  const list = h("ol", { class: "steps", "aria-label": "steps of the lecture" });
  const field = h("textarea", { maxlength: model.get("most"), "aria-label": "note", "aria-keyshortcuts": "F8" });
  const read = h("p", { class: "read", "aria-live": "polite", tabindex: 0, "aria-label": "what is said" });
  const note = h("div", { class: "note" }, records ? field : read);
  const said = h("p", { class: "said", role: "status" });
  const before_b = button("step before", (e) => step(-1, e.detail > 0), { "aria-keyshortcuts": "Alt+PageUp", title: "Alt and Page Up" });
  const next_b = button("next step", (e) => step(1, e.detail > 0), { "aria-keyshortcuts": "Alt+PageDown", title: "Alt and Page Down", class: "strong" });
  const record_b = button("record", record, { "aria-keyshortcuts": "Control+Enter", title: "Record drawing, joint and note as a step (Control and Enter)", class: "strong" });
  const replace_b = button("replace", () => ask("replace", field.value), { title: "Put what lies on the table in the place of this step" });
  const new_b = button("new note", to_new, { "aria-keyshortcuts": "Escape", title: "Go on recording after this step (Escape)" });
  const earlier_b = button("earlier", () => ask("move", -1));
  const later_b = button("later", () => ask("move", 1));
  const out_b = button("take out", () => ask("take out"));
  const undo_b = button("undo", () => ask("undo"), { "aria-keyshortcuts": "Control+Z" });
  const redo_b = button("redo", () => ask("redo"), { "aria-keyshortcuts": "Control+Y" });
  const lay_b = button(records ? "take it up" : "lay it over mine", lay, {
    title: records ? "Lay the step on the table as it was recorded; undo on the table takes it back" : "Lay the lecture's drawing over yours; undo on the table brings yours back" });
  const ask_b = button("ask first", () => { model.set("asks_first", !asks_first()); model.save_changes(); paint(); }, { title: "Each step is asked before it is shown: where may it go, and why?" });
  const row = h("div", { class: "row", role: "group", "aria-label": "steps" },
    ...(records ? [record_b, replace_b, new_b, before_b, next_b, lay_b, earlier_b, later_b, out_b, undo_b, redo_b] : [before_b, next_b, ask_b, lay_b]));
  const desk = h("div", { class: "desk" }, h("div", { class: "head" }, where, ...(records ? [joint_box] : []), fill_b), list, note, said, row);
  const root = h("section", { class: "anim-strip", "data-kind": model.get("kind"), "data-lm-suppress-shortcuts": "true",
    "aria-label": records ? "lecture, recording" : "lecture" }, desk);

  // ---- model -> picture
  function paint() {
    const [all, i, many] = [steps(), at(), new Set(steps().map((one) => one.limb)).size > 1];
    const here = all[i];
    const said_list = JSON.stringify([all, i]);
    if (list.said !== said_list) {
      list.said = said_list;
      const focused = list.contains(document.activeElement);
      list.replaceChildren(...all.map((one, k) => {
        const b = button(called(one, k, many), () => go(k), { "data-step": k + 1, title: one.says, tabindex: k === Math.max(0, i) ? 0 : -1 });
        if (k === i) b.setAttribute("aria-current", "step");
        return h("li", {}, b);
      }));
      if (!all.length) list.append(h("li", { class: "none" }, "Nothing is recorded yet."));
      const current = list.querySelector("[aria-current]");
      if (current) { // scroll the list and nothing else
        list.scrollTop = current.offsetTop - list.offsetTop - (list.clientHeight - current.offsetHeight) / 2;
        if (focused) current.focus({ preventScroll: true });
      }
    }
    if (records) paint_recording(all, i);
    else {
      const asking = model.get("asking") >= 0 && here;
      say(where, here ? `Step ${i + 1} of ${all.length}: drawing ${here.drawing}, ${here.joint}${many ? `, ${here.limb}` : ""}` : `${model.get("title") || "Lecture"}: ${all.length} steps`);
      say(read, asking ? question(here, many) : here ? here.says : "Alt and Page Down asks for the first step, and shows it when it is pressed again. Alt and Page Up goes back. F8 goes to the table and back, F9 fills the page.");
      say(next_b, asking ? "show it" : "next step");
      ask_b.setAttribute("aria-pressed", String(asks_first()));
      root.dataset.asking = Boolean(asking);
    }
    lay_b.hidden = !can().lay;
    say(said, silent ? NOBODY : model.get("says"));
    before_b.disabled = neighbour(i, -1, all.length) === null;
    next_b.disabled = neighbour(i, 1, all.length) === null && !stand().asking;
    root.dataset.step = i + 1;
    root.dataset.steps = all.length;
    root.dataset.state = silent ? "silent" : waits() ? "waiting" : "fresh";
    if (editing !== null) root.dataset.editing = editing + 1;
    else delete root.dataset.editing;
  }

  function paint_recording(all, i) {
    const { drawing, limb, joint } = model.get("place");
    const joints = model.get("joints");
    const many = new Set(joints.map(([name]) => name)).size > 1;
    if (joint_box.said !== JSON.stringify(joints)) {
      joint_box.said = JSON.stringify(joints);
      joint_box.replaceChildren(...joints.map((one) => h("option", { value: JSON.stringify(one) }, one[1] + (many ? `, ${one[0]}` : ""))));
    }
    joint_box.value = JSON.stringify([limb, joint]);
    say(where, `${editing === null ? `Next: step ${i + 2}` : `Step ${editing + 1}`}, drawing ${drawing}, ${joint}`);
    say(replace_b, editing === null ? "replace" : `replace ${editing + 1}`);
    field.placeholder = editing === null ? "What you say at this drawing. Control and Enter records it." : "";
    const none = editing === null;
    for (const b of [replace_b, new_b]) b.disabled = none;
    earlier_b.disabled = none || editing === 0;
    later_b.disabled = none || editing === all.length - 1;
    out_b.disabled = none;
    undo_b.disabled = !can().undo;
    redo_b.disabled = !can().redo;
  }

  // ---- hand -> model
  function ask(what, more) {
    revision = Math.max(revision, model.get("answered")) + 1;
    clearTimeout(timer);
    timer = setTimeout(unheard, SILENCE);
    queue.push({ ask: what, what: more, revision });
    pass_on();
    paint();
  }
  /** A joint moved just now may still be on its way to Python, by another line: a step must not be recorded without it. */
  function pass_on() {
    clearTimeout(waiting);
    const { verdict = "fresh", state } = table()?.dataset ?? {};
    if (verdict !== "fresh" && state !== "kernel-gone") {
      waiting = setTimeout(pass_on, 20);
      return;
    }
    try { while (queue.length) model.send(queue.shift()); } catch { unheard(); }
  }
  function unheard() {
    clearTimeout(waiting);
    revision = queue[0] ? queue[0].revision - 1 : revision; // what was not sent gets no answer
    queue.length = 0;
    silent = true;
    give_back();
    paint();
  }
  /** A note that was not taken goes back into the field. */
  function give_back() {
    if (unsaid && steps().length <= unsaid.steps && !field.value && editing === null) draft = field.value = unsaid.note;
    unsaid = null;
  }
  function keep_note() {
    if (!records) return;
    if (editing === null) draft = field.value;
    else if (steps()[editing] && steps()[editing].says !== field.value) ask("note", { at: editing, says: field.value });
  }
  function edit(i) {
    keep_note();
    editing = i;
    field.value = i === null ? draft : steps()[i]?.says ?? "";
  }
  function go(i) {
    if (records) edit(i);
    aim = { at: i, asking: false };
    ask("go", i);
  }
  /** On or back by a step; a step is asked before it is shown. `over`: with the focus to its joint, where the table's keys are heard. */
  function step(by, over = false) {
    const here = stand();
    hands_over = over && !records;
    if (by > 0 && here.asking) return go(here.at);
    const to = neighbour(here.at, by, steps().length);
    if (to === null) return;
    if (by < 0 || !asks_first()) return go(to);
    aim = { at: to, asking: true };
    ask("question", to);
  }
  function lay() {
    ask("lay");
    next_b.focus({ preventScroll: true }); // the button goes away
  }
  function record() {
    const note = field.value;
    editing = null;
    draft = field.value = "";
    unsaid = { note, steps: steps().length };
    ask("record", note);
    field.focus({ preventScroll: true });
  }
  function to_new() {
    edit(null);
    paint();
    field.focus({ preventScroll: true });
  }

  // ---- the panel: strip and table
  const panel = () => root.closest(".anim-lecture-panel");
  const table = () => panel()?.querySelector(".anim-light-table");
  function fill() {
    const all = panel();
    if (!all) return;
    const fills = all.classList.toggle(FILLS);
    // The top layer is above whatever the notebook moves or clips; where there is none, a fixed place does it.
    if (fills && all.showPopover) { all.setAttribute("popover", "manual"); all.showPopover(); }
    if (!fills && all.hasAttribute("popover")) { all.hidePopover(); all.removeAttribute("popover"); }
    say(fill_b, fills ? "back to the notebook" : "fill the page");
    if (fills && !all.contains(document.activeElement)) next_b.focus({ preventScroll: true });
    if (!fills) all.scrollIntoView({ block: "nearest" });
  }
  function to_and_fro() {
    const mine = records ? field : read;
    if (!root.contains(document.activeElement)) return mine.focus({ preventScroll: true });
    to_joint();
  }
  function to_joint() {
    const { limb, joint } = (records ? model.get("place") : steps()[at()]) ?? {};
    const handles = [...(table()?.querySelectorAll(".handle") ?? [])];
    const handle = handles.find((one) => one.dataset.limb === limb && one.dataset.joint === joint) ?? handles[0];
    handle?.focus({ preventScroll: true });
  }
  const acts = { next: () => step(1, true), before: () => step(-1, true), note: to_and_fro, fill };

  /** After its cell was run the focus is elsewhere: F9 then fills the page with the panel that is seen most of. */
  function seen_most() {
    const seen = (one) => { const { top, bottom } = one.getBoundingClientRect(); return Math.min(bottom, innerHeight) - Math.max(top, 0); };
    const all = [...document.querySelectorAll(".anim-lecture-panel")].filter((one) => seen(one) > 0);
    return all.toSorted((one, two) => seen(two) - seen(one))[0] === panel();
  }
  // Keys of the whole panel are heard before the table's own, and only where the focus is in this panel.
  on(document, "keydown", (e) => {
    const what = asked(e);
    if (!what || !(panel()?.contains(e.target) || (what === "fill" && !e.target.closest(".anim-lecture-panel") && seen_most()))) return;
    used(e);
    acts[what]();
  }, { capture: true });
  on(root, "keydown", (e) => {
    const [name, control] = [e.key.toLowerCase(), e.ctrlKey || e.metaKey];
    if (records && control && name === "enter") { used(e); record(); }
    else if (records && control && (name === "z" || name === "y") && e.target !== field) { used(e); ask(name === "y" || e.shiftKey ? "redo" : "undo"); }
    else if (name === "escape" && editing !== null) { used(e); to_new(); }
    else if (["arrowdown", "arrowup"].includes(name) && list.contains(e.target)) {
      used(e);
      step(name === "arrowdown" ? 1 : -1);
    } else if (name !== "tab" && name !== "escape" && !(name === "enter" && e.shiftKey && e.target !== field)) e.stopPropagation(); // a slip must not cut a cell
  });
  on(document, "keydown", (e) => { // what neither strip nor table has a use for
    if (e.key === "Escape" && !e.defaultPrevented && panel()?.classList.contains(FILLS) && (panel().contains(e.target) || e.target === document.body)) fill();
  });
  on(field, "blur", keep_note);

  // ---- the kernel's answers
  const watch = {
    "change:answered": () => {
      silent = false;
      if (!waits()) {
        clearTimeout(timer);
        aim = null;
        give_back();
        if (hands_over && panel()?.contains(document.activeElement)) requestAnimationFrame(to_joint);
        hands_over = false;
      }
      paint();
    },
    "change:at": () => {
      // A step moved or taken out: the note in the field is that of the step now at hand.
      if (records && editing !== null && aim === null && editing !== at()) {
        editing = at() < 0 ? null : at();
        field.value = editing === null ? draft : steps()[editing]?.says ?? "";
      }
      paint();
    },
    "change:steps": () => {
      if (records && editing !== null) {
        if (editing >= steps().length) editing = steps().length ? steps().length - 1 : null;
        if (document.activeElement !== field) field.value = editing === null ? draft : steps()[editing].says;
      }
      paint();
    },
    "change:asking": paint, "change:asks_first": paint, "change:place": paint, "change:says": paint, "change:can": paint, "change:joints": paint,
  };
  for (const [name, act] of Object.entries(watch)) model.on(name, act);
  el.append(root);
  paint();
  return () => {
    keep_note();
    for (const [name, act] of Object.entries(watch)) model.off(name, act);
    if (panel()?.classList.contains(FILLS)) fill();
    clearTimeout(timer);
    clearTimeout(waiting);
    life.abort();
    root.remove();
  };
}

export default { render };
