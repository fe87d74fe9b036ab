/* What follows the hand on the sheet: limbs, paths of action, handles of the joints. */
import { bends } from "../drawings.mjs";
import {
  at,
  hand_of,
  has_hand,
  tenth,
  outline,
  polyline,
  smooth,
  thumb_of,
  ticks,
  widths,
} from "../lines.mjs";
import { deg, named, put, the } from "../tools.mjs";
import { guided, standing_words } from "./guide_answer.mjs";
import {
  beyond,
  flat,
  is_drawn,
  limb_now,
  number,
  on_sheet,
  plans,
  points,
  scale,
  settings,
  strong,
  to_sheet,
  under,
  worked,
} from "./questions.mjs";

/** Graphite of the drawing on top: contour, bone, length ticks. */
export function paint_limbs(t, n = t.showing ?? number(t)) {
  t.limb_lines(t.head.limbs.length).forEach((g, l) => {
    put(g, { class: l === limb_now(t) ? null : "other" });
    const { lengths, joints } = t.head.limbs[l];
    const p = on_sheet(t, l, n);
    const [thumb, arm, bone, tick, long] = g.children;
    const marks = lengths.map((mm, k) => ticks(p[k], p[k + 1], mm, scale(t)));
    const r = widths(lengths, scale(t));
    put(thumb, {
      d: has_hand(joints) ? outline(thumb_of(p, t.from_back), [r.at(-2) * 0.62, r.at(-2) * 0.46]) : null,
    });
    put(arm, { d: outline(...hand_of(joints, p, r)) });
    put(bone, { d: polyline(p) });
    put(tick, { d: marks.map((m) => m[0]).join("") });
    put(long, { d: marks.map((m) => m[1]).join("") });
  });
}

/** Path of action of every joint with a dot a drawing; the chosen joint's (or the tip's) strongest. */
export function paint_paths(t) {
  const all = settings(t).paths ? flat(t) : [];
  t.path_lines(all.length).forEach((line, i) => {
    const { limb, joint } = all[i];
    const p = t.pose.drawings[limb].map((d) => to_sheet(t, d[joint]));
    const is = strong(t, all[i]);
    const known = is ? p.filter((_, k) => is_drawn(t, k + 1)) : p;
    const closed = t.head.loop && known.length === p.length;
    put(line, {
      d: known.length > 1 ? smooth(known, closed) : null,
      class: is ? "path strong" : "path",
    });
  });
  const each = all
    .filter((a) => strong(t, a))
    .flatMap((a) => t.pose.drawings[a.limb].map((d, i) => ({ ...a, n: i + 1, p: to_sheet(t, d[a.joint]) })))
    .filter(({ n }) => is_drawn(t, n));
  t.dot_marks(each.length).forEach((dot, i) => {
    const { n, p } = each[i];
    put(dot, {
      cx: tenth(p[0]),
      cy: tenth(p[1]),
      r: n === number(t) ? 3.6 : 2.9,
      class: `dot strong${n === number(t) ? " here" : ""}`,
    });
  });
}

export function paint_handles(t) {
  const all = flat(t);
  const lie = settings(t).under ? plans(t) : [];
  const below_of = t.head.limbs.map((_, l) => settings(t).under && under(t, l));
  t.handle_marks(all.length).forEach((g, i) => {
    const { limb, joint } = all[i];
    const { name, joints, stops } = t.head.limbs[limb];
    const p = points(t, limb);
    const value = joint ? tenth(bends(p)[joint - 1]) : tenth(p[0][0]);
    const below = below_of[limb]?.[joint];
    const planned = lie.find((plan) => plan.limb === name && plan.joint === joints[joint])?.dots[
      number(t) - 1
    ];
    const place =
      `x ${Math.round(p[joint][0])}, y ${Math.round(p[joint][1])} mm` +
      (below ? `; under-drawing at x ${Math.round(below[0])}, y ${Math.round(below[1])} mm` : "") +
      (planned ? `; planned at x ${Math.round(planned[0])}, y ${Math.round(planned[1])} mm` : "");
    const is = worked(t)?.limb === limb && worked(t).joint === joint;
    put(g, {
      "data-limb": name,
      "data-joint": joints[joint],
      "aria-label": `${named(joints[joint])} of drawing ${number(t)}${t.head.limbs.length > 1 ? `, ${named(name)}` : ""}`,
      "aria-valuenow": value,
      "aria-valuemin": joint ? Math.min(-180, stops[joint - 1][0]) : 0,
      "aria-valuemax": joint ? Math.max(180, stops[joint - 1][1]) : t.head.paper.width,
      "aria-valuetext":
        (joint > 1
          ? `bend ${deg(value)} at ${the(joints[joint - 1])}; ${place}`
          : joint
            ? `${deg(value)} from level; ${place}`
            : place) +
        (guided(t)?.limb === limb && guided(t).joint === joint && standing_words(t)
          ? `; ${standing_words(t)}`
          : ""),
      transform: `translate(${at(to_sheet(t, p[joint]))})`,
      class: `handle${is ? " chosen" : ""}${beyond(t, all[i]) ? " beyond" : ""}`,
    });
    t.stands_for.set(g, all[i]);
  });
}
