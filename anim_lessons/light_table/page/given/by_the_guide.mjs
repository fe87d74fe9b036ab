/* In the place of table/by_the_guide.mjs: where a joint may go is seen where it was written in. */
import { set } from "../table/changes.mjs";
import { guided } from "../table/guide_answer.mjs";
import { name_of, number, worked } from "../table/questions.mjs";

/** What was written in for the drawing under work. */
export const written_here = (t) => t.model.get("guides").filter((one) => one.drawing === number(t));

/** The guide on, for the chosen joint if something was written in for it, or off. */
export function toggle_guide(t) {
  if (guided(t)) return set(t, { guide: null });
  const here = written_here(t);
  const chosen = worked(t) && name_of(t, worked(t));
  const one = here.find(({ limb, joint }) => limb === chosen?.limb && joint === chosen.joint) ?? here[0];
  if (!one) return;
  t.active = null;
  set(t, { guide: { limb: one.limb, joint: one.joint } });
}

export const put_joint = () => {};
export const accept = () => {};
