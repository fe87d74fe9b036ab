/* Pen and places on the sheet, by hand and by key. */
import { on } from "../elements.mjs";
import { unlaid } from "../lines.mjs";
import { used } from "../tools.mjs";
import { ask } from "./asking.mjs";
import { further } from "./places.mjs";
import { fewest, head, middle_of_sheet } from "./questions.mjs";

const SLIP = 3; // px: a shorter press sets a place, a longer one draws

export function drop_places(t) {
  [t.places, t.pen] = [[], null];
}

export function lay_places(t) {
  if (t.places.length < fewest(t)) return;
  const what = t.places;
  drop_places(t);
  ask(t, "places", what);
}

function set_place(t, place) {
  const last = t.places.at(-1);
  if (last && Math.hypot(place[0] - last[0], place[1] - last[1]) < 0.5) return lay_places(t);
  t.places = [...t.places, place];
  t.pen = place;
  t.repaint();
}

const on_paper = (t, e) => {
  const box = t.sheet.getBoundingClientRect();
  const { width, height } = head(t).paper;
  const to = unlaid(head(t).paper, [(e.clientX - box.left) / box.width, (e.clientY - box.top) / box.height]);
  return [Math.min(width, Math.max(0, to[0])), Math.min(height, Math.max(0, to[1]))].map(
    (v) => Math.round(v * 100) / 100,
  );
};

export function listen_to_the_pen(t) {
  on(t, t.sheet, "pointerdown", (e) => {
    if (e.button !== 0 || t.pointer !== null) return;
    e.preventDefault();
    t.pen_mark.focus({ preventScroll: true });
    t.pointer = e.pointerId;
    t.sheet.setPointerCapture(t.pointer);
    t.stroke = [on_paper(t, e)];
    t.pressed = [e.clientX, e.clientY];
    t.gone = 0;
  });
  // else the page scrolls under the finger
  on(t, t.sheet, "touchstart", (e) => e.preventDefault(), { passive: false });
  on(t, t.sheet, "pointermove", (e) => {
    if (e.pointerId !== t.pointer) return;
    const passed = e.getCoalescedEvents?.() ?? [];
    for (const one of passed.length ? passed : [e]) t.stroke = further(t.stroke, on_paper(t, one));
    t.gone = Math.max(t.gone, Math.hypot(e.clientX - t.pressed[0], e.clientY - t.pressed[1]));
    t.frame ||= requestAnimationFrame(() => {
      t.frame = 0;
      t.repaint("mine");
    });
  });
  on(t, t.sheet, "pointerup", (e) => {
    if (e.pointerId !== t.pointer) return;
    const [drawn, far] = [further(t.stroke, on_paper(t, e)), t.gone];
    [t.stroke, t.pointer] = [null, null];
    if (far < SLIP) return set_place(t, drawn[0]);
    drop_places(t);
    ask(t, "stroke", drawn);
  });
  for (const end of ["pointercancel", "lostpointercapture"])
    on(t, t.sheet, end, (e) => {
      if (e.pointerId !== t.pointer) return;
      [t.stroke, t.pointer] = [null, null];
      t.repaint();
    });
  on(t, t.pen_mark, "keydown", (e) => {
    if (e.ctrlKey || e.metaKey) return;
    const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[e.key];
    if (step) {
      used(e);
      const by = e.shiftKey ? 1 : e.altKey ? 20 : 5;
      const at = t.pen ?? middle_of_sheet(t);
      const { width, height } = head(t).paper;
      t.pen = [
        Math.min(width, Math.max(0, at[0] + step[0] * by)),
        Math.min(height, Math.max(0, at[1] + step[1] * by)),
      ];
      t.repaint("mine");
    } else if (e.key === "Enter" && !e.shiftKey) {
      used(e);
      set_place(t, [...(t.pen ?? middle_of_sheet(t))]);
    } else if (e.key === "Backspace" && t.places.length) {
      used(e);
      t.places = t.places.slice(0, -1);
      t.repaint();
    } else if (e.key === "Escape" && (t.places.length || t.stroke)) {
      used(e);
      drop_places(t);
      [t.stroke, t.pointer] = [null, null];
      t.repaint();
    }
  });
  on(t, t.root, "keydown", (e) => {
    const name = e.key.toLowerCase();
    if ((e.ctrlKey || e.metaKey) && (name === "z" || name === "y")) {
      used(e);
      ask(t, name === "y" || e.shiftKey ? "redo" : "undo");
      // a slip must not cut a cell
    } else if (name !== "tab" && name !== "escape" && !(name === "enter" && (e.shiftKey || e.ctrlKey)))
      e.stopPropagation();
  });
}
