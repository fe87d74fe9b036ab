/* What is planned: questions about the state of a plan sheet. */
import { deep_of, laid } from "../lines.mjs";

export const [HIGH, LOW] = [34, 386]; // units: first and last share on the chart

export const head = (t) => t.model.get("head");
export const plan = (t) => t.model.get("plan");
export const deep = (t) => deep_of(head(t).paper);
export const to_sheet = (t, place) => laid(head(t).paper, place);
export const limb_at = (t) =>
  Math.max(
    0,
    head(t).limbs.findIndex((l) => l.name === t.model.get("chosen").limb),
  );
export const joint_at = (t) =>
  Math.max(0, head(t).limbs[limb_at(t)].joints.indexOf(t.model.get("chosen").joint));
export const chart_now = (t) => t.moving?.chart ?? plan(t).chart ?? [];
export const number = (t) => Math.min(head(t).count, Math.max(1, t.model.get("number")));

export const middle_of_sheet = (t) => {
  const point = t.model.get("drawings")[limb_at(t)]?.[number(t) - 1]?.[joint_at(t)];
  return point ?? [head(t).paper.width / 2, head(t).paper.height / 2];
};

export const fewest = (t) => (head(t).loop ? 3 : 2);

/** Whether the newest message has no answer yet. */
export const waits = (t) => t.revision > t.model.get("answered");
