/* The lecture's strip: steps recorded or followed beside a light table.
 *
 * Reads    kind, title, most, steps, at, asking, asks_first, place, joints, says, can, answered
 * Sends    {ask: "go", what: step from 0}, {ask: "lay"}; to record {ask: "record" | "replace", what: note}, {ask: "note", what: {at, says}},
 *          {ask: "move", what: -1 | 1}, {ask: "take out"}, {ask: "empty"}, {ask: "undo"}, {ask: "redo"}, {ask: "joint", what: [limb, joint]};
 *          to follow {ask: "question", what: step from 0}; each with its revision, which `answered` comes up to
 *
 * Page Up and Page Down are its steps, Alt with them while one records; the others go with Control or are F keys, so that
 * none of the light table's letters is taken. They work in the whole panel, strip and table.
 */
import { give_back, keep_note } from "./lecture/asking.mjs";
import { lay_out } from "./lecture/desk.mjs";
import { listen_to_keys } from "./lecture/keys.mjs";
import { fill, fills } from "./full_page.mjs";
import { to_joint } from "./lecture/panel.mjs";
import { paint } from "./lecture/picture.mjs";
import { at, panel, steps, waits } from "./lecture/questions.mjs";
import { new_strip } from "./lecture/state.mjs";
import { follow } from "./tools.mjs";

function render({ model, el }) {
  const t = new_strip(model, el);
  t.repaint = () => paint(t);
  lay_out(t);
  listen_to_keys(t);

  const watch = {
    "change:answered": () => {
      t.silent = false;
      if (!waits(t)) {
        clearTimeout(t.timer);
        t.aim = null;
        give_back(t);
        if (t.hands_over && panel(t)?.contains(document.activeElement))
          requestAnimationFrame(() => to_joint(t));
        t.hands_over = false;
      }
      t.repaint();
    },
    "change:at": () => {
      // A step moved or taken out: the note in the field is that of the step now at hand.
      if (t.records && t.editing !== null && t.aim === null && t.editing !== at(t)) {
        t.editing = at(t) < 0 ? null : at(t);
        t.field.value = t.editing === null ? t.draft : (steps(t)[t.editing]?.says ?? "");
      }
      t.repaint();
    },
    "change:steps": () => {
      if (t.records && t.editing !== null) {
        if (t.editing >= steps(t).length) t.editing = steps(t).length ? steps(t).length - 1 : null;
        if (document.activeElement !== t.field)
          t.field.value = t.editing === null ? t.draft : steps(t)[t.editing].says;
      }
      t.repaint();
    },
    ...Object.fromEntries(
      ["asking", "asks_first", "place", "says", "can", "joints"].map((name) => [
        `change:${name}`,
        () => t.repaint(),
      ]),
    ),
  };
  const leave = follow(model, watch);
  el.append(t.root);
  t.repaint();
  return () => {
    keep_note(t);
    leave();
    if (fills(t.root)) fill(t.root);
    clearTimeout(t.timer);
    clearTimeout(t.waiting);
    t.life.abort();
    t.root.remove();
  };
}

export default { render };
