/* The picture of a lecture: its steps, the one at hand, what is said of it. */
import { button } from "../elements.mjs";
import { capital, changed, h, named, put, say } from "../tools.mjs";
import { go } from "./asking.mjs";
import { asks_first, at, can, more_limbs, stand, steps, waits } from "./questions.mjs";
import { fills } from "../full_page.mjs";
import { called, neighbour, question, to_record } from "./steps.mjs";

const NOBODY =
  "Nobody answers: the kernel is busy or gone. Your note stays here; run the cell again, or wait.";
const HOW = "Page Down asks for the first step, and pressed again shows it. Page Up goes back. F9 fills the page.";
const UNIT = /(\d) (mm|%)/g; // a number and its unit never part
const LONG = { long: 150, longer: 240 }; // letters from which a sentence is set smaller, so that all of it is seen

export function paint(t) {
  const [all, i] = [steps(t), at(t)];
  const here = all[i];
  const many = more_limbs(all.map((one) => one.limb));
  t.list.hidden = !t.listed;
  paint_list(t, all, i, many);
  if (t.records) paint_recording(t, all, i);
  else paint_following(t, all, i, many);
  t.lay_b.hidden = !can(t).lay;
  say(t.said, t.silent ? NOBODY : t.model.get("says"));
  say(t.list_b, all.length ? `step ${i < 0 ? "–" : i + 1} of ${all.length}` : "no steps");
  put(t.list_b, { "aria-expanded": String(t.listed) });
  t.before_b.disabled = neighbour(i, -1, all.length) === null;
  t.next_b.disabled = neighbour(i, 1, all.length) === null && !stand(t).asking;
  put(t.root, {
    "data-step": i + 1,
    "data-steps": all.length,
    "data-state": t.silent ? "silent" : waits(t) ? "waiting" : "fresh",
    "data-asking": t.records ? null : String(asking(t, here)),
    "data-editing": t.editing === null ? null : t.editing + 1,
  });
}

/** The list of steps, laid open or folded to a slim bar. */
export function open_list(t, is) {
  t.listed = is;
  t.made_of.delete(t.list); // it is scrolled to the step at hand anew
  t.repaint();
  if (is) t.list.querySelector("[tabindex='0']")?.focus({ preventScroll: true });
}

const asking = (t, here) => t.model.get("asking") >= 0 && Boolean(here);

function paint_list(t, all, i, many) {
  if (!t.listed || !changed(t.made_of, t.list, JSON.stringify([all, i]))) return;
  const focused = t.list.contains(document.activeElement);
  t.list.replaceChildren(
    ...all.map((one, k) =>
      h(
        "li",
        {},
        button(t, called(one, k, many), () => choose(t, k), {
          "data-step": k + 1,
          title: one.says,
          tabindex: k === Math.max(0, i) ? 0 : -1,
          "aria-current": k === i ? "step" : null,
        }),
      ),
    ),
  );
  if (!all.length) t.list.append(h("li", { class: "none" }, "Nothing is recorded yet."));
  const current = t.list.querySelector("[aria-current]");
  if (!current) return;
  // the list and nothing else
  const [box, row] = [t.list, current].map((one) => one.getBoundingClientRect());
  t.list.scrollTop += row.top - box.top - (box.height - row.height) / 2;
  if (focused) current.focus({ preventScroll: true });
}

function choose(t, k) {
  if (fills(t.root)) open_list(t, false); // it lies over the sheet there
  go(t, k);
}

function paint_following(t, all, i, many) {
  const here = all[i];
  const asks = asking(t, here);
  say(
    t.where,
    here
      ? `${capital(named(here.joint))}${many ? `, ${named(here.limb)}` : ""}, on ${here.drawing}`
      : `${named(t.model.get("title") || "Lecture", 80)}: ${all.length} steps`,
  );
  const words = asks ? question(here, many) : here ? here.says : HOW;
  say(t.read, words.replace(UNIT, "$1\u00a0$2"));
  put(t.read, { "data-length": Object.keys(LONG).findLast((one) => words.length > LONG[one]) ?? null });
  say(t.next_b, asks ? "show it" : "next step");
  put(t.ask_b, { "aria-pressed": String(asks_first(t)) });
}

function paint_recording(t, all, i) {
  const { drawing, limb, joint } = t.model.get("place");
  const joints = t.model.get("joints");
  const many = more_limbs(joints.map(([name]) => name));
  if (changed(t.made_of, t.joint_box, JSON.stringify(joints)))
    t.joint_box.replaceChildren(
      ...joints.map((one) =>
        h("option", { value: JSON.stringify(one) }, named(one[1]) + (many ? `, ${named(one[0])}` : "")),
      ),
    );
  t.joint_box.value = JSON.stringify([limb, joint]);
  const none = t.editing === null;
  say(
    t.where,
    `${none ? `Next: step ${to_record(i, all.length)}` : `Step ${t.editing + 1}`}, drawing ${drawing}, ${named(joint)}`,
  );
  say(t.replace_b, none ? "replace" : `replace ${t.editing + 1}`);
  t.field.placeholder = none ? "What you say at this drawing. Control and Enter records it." : "";
  for (const b of [t.replace_b, t.new_b]) b.disabled = none;
  t.earlier_b.disabled = none || t.editing === 0;
  t.later_b.disabled = none || t.editing === all.length - 1;
  t.out_b.disabled = none;
  t.empty_b.disabled = !all.length;
  t.undo_b.disabled = !can(t).undo;
  t.redo_b.disabled = !can(t).redo;
}
