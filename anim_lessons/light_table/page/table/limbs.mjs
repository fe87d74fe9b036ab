/* What follows the hand on the sheet: limbs, paths of action, handles of the joints. */
import { figure, pen_width } from "../deckhand.mjs";
import { bends } from "../drawings.mjs";
import { fills } from "../full_page.mjs";
import { at, tenth, polyline, smooth, ticks } from "../lines.mjs";
import { deg, named, put, the } from "../tools.mjs";
import { body_on, is_clean, paint_body, paint_layers } from "./body.mjs";
import { paint_line } from "./line.mjs";
import { paint_pencil } from "./pencil.mjs";
import { guided, standing_words } from "./guide_answer.mjs";
import {
  beyond,
  flat,
  goal_now,
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

const HEAVIER = { lecture: 1.35, page: 1.6 }; // times the pen, for the back of the class
const OTHER = 0.72; // of the pen: a limb that is not worked on

/** The drawing on top: the figure, and as its construction bones and length ticks. */
export function paint_limbs(t, n = t.showing ?? number(t)) {
  paint_body(t, n);
  paint_pencil(t, n);
  paint_line(t, n);
  const { skins } = figure(t.head.limbs, t.pose.drawings, n - 1, t.head.loop, body_on(t, n));
  const clean = is_clean(t) || t.clean;
  const heavier = fills(t.root) ? HEAVIER.page : settings(t).lecture ? HEAVIER.lecture : 1;
  t.flesh = { n, skins };
  t.limb_lines(t.head.limbs.length).forEach((g, l) => {
    const other = l !== limb_now(t);
    put(g, { class: other ? "other" : null });
    const [flesh, bone, tick, long] = g.children;
    paint_layers(t, flesh, skins[l], pen_width(false, clean) * (other && !clean ? OTHER : 1) * heavier);
    if (clean) return; // bones and ticks are not seen
    const p = on_sheet(t, l, n);
    const marks = t.head.limbs[l].lengths.map((mm, k) => ticks(p[k], p[k + 1], mm, scale(t)));
    put(bone, { d: polyline(p) });
    put(tick, { d: marks.map((m) => m[0]).join("") });
    put(long, { d: marks.map((m) => m[1]).join("") });
  });
}

/** Path of action of every joint with a dot a drawing; the chosen joint's (or the tip's) strongest. */
export function paint_paths(t) {
  // while a layer is drawn the others' paths are those of one traced pose: they tell nothing
  const all = settings(t).paths ? flat(t).filter((a) => !goal_now(t) || strong(t, a)) : [];
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
