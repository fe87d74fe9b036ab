/* Where may it go, on the sheet: circle, open and shut parts, path of the parent, dots. */
import { arc_points, GATE, on_circle, spoken_parts, strokes, whole } from "../circle.mjs";
import { tenth, polyline } from "../lines.mjs";
import { pool, put, s, say } from "../tools.mjs";
import { face_box } from "./body.mjs";
import {
  answer_here,
  asked_shown,
  at_root,
  guide_fresh,
  guide_here,
  guide_holds,
  guided,
  kept_back,
  lead_long,
  only_words,
  parts_shown,
  reason_of,
} from "./guide_answer.mjs";
import { to_sheet } from "./questions.mjs";
import { mark_reason } from "./reasons.mjs";

const REACH = 88; // degrees from the middle of an open part, as far as anybody asks
const STEP = 3.4; // degrees from one stroke to the next

export function make_guide(t) {
  t.shut_marks = pool(t.circle, () =>
    s("g", {}, s("title"), s("path", { class: "shut" }), s("path", { class: "shut-hit" })),
  );
  t.circle_line = t.circle.appendChild(s("path", { class: "length-circle" }));
  t.border_line = t.circle.appendChild(s("path", { class: "border" }));
  t.so_far = pool(t.open, () => s("circle", { class: "so-far", r: 3.2 }));
  t.traced_line = t.circle.appendChild(s("path", { class: "traced" }));
  t.tangent_line = t.circle.appendChild(s("path", { class: "tangent" }));
  t.open_marks = pool(t.open, () => s("path", { class: "allowed" }));
  t.gate_line = t.wanted.appendChild(s("path", { class: "gate" }));
  t.asked_dot = t.wanted.appendChild(s("circle", { class: "asked-dot", r: 5.4 }));
  t.reason_words = pool(t.reasons, () =>
    s("g", { class: "reason" }, s("path"), s("text", { class: "halo", "text-anchor": "middle" })),
  );
}

/** Circle, traced segment, tangent, dots, open and shut parts: all that follows the hand. */
export function paint_guide(t) {
  const [g, is] = [guide_here(t), guided(t)];
  const fresh = guide_fresh(t);
  put(t.root, {
    "data-guide":
      !is || at_root(t) || only_words(t) ? "off" : kept_back(t) ? "kept back" : fresh ? "fresh" : "waiting",
    "data-guide-joint": is && !at_root(t) ? t.head.limbs[is.limb].joints[is.joint] : null,
  });
  for (const group of [t.circle, t.open, t.reasons, t.wanted]) {
    put(group, { hidden: g || (group === t.open && kept_back(t)) ? null : "" });
    group.classList.toggle("faint", Boolean(g) && !guide_holds(t));
  }
  const drawn = answer_here(t)?.dots ?? []; // seen also while the next one is guessed
  t.so_far(drawn.length).forEach((dot, i) => {
    const [x, y] = to_sheet(t, drawn[i]);
    put(dot, { cx: tenth(x), cy: tenth(y) });
  });
  if (!g) {
    t.shut_marks(0);
    t.open_marks(0);
    put(t.gate_line, { d: null });
    return put(t.asked_dot, { "data-asked": null });
  }
  const sheet_line = (p) => polyline(p.map((p) => to_sheet(t, p)));
  const { allowed, excluded } = parts_shown(g);
  const face = face_box(t);
  const circle = arc_points(g.centre, g.radius, 0, 360);
  const off_face = circle.map((p) => !on_face(t, face, p));
  const pieces = []; // a circle does not cross the face
  circle.forEach((p, i) => {
    if (off_face[i] && off_face[i - 1]) pieces.at(-1).push(p);
    else if (off_face[i]) pieces.push([p]);
  });
  put(t.circle_line, { d: pieces.map(sheet_line).join("") || null });
  const ends = new Set(spoken_parts(excluded).flatMap(({ from, to }) => [whole(from), whole(to)]));
  const borders = [...ends].filter((turn) => struck(allowed, turn, turn).length);
  put(t.border_line, {
    d: borders.map((turn) => strokes(g.centre, g.radius, turn, turn, 7).map(sheet_line)).join("") || null,
  });
  t.shut_marks(excluded.length).forEach((mark, i) => {
    const { from, to, rule, says } = excluded[i]; // a brief may keep rule and words back
    put(mark, { "data-excluded": `${from} ${to}`, "data-rule": rule });
    say(mark.children[0], says && reason_of(excluded[i]));
    const near = struck(allowed, from, to).flatMap(([a, b]) => strokes(g.centre, g.radius, a, b, 3.6, 3.4));
    put(mark.children[1], { d: near.filter(([p]) => !on_face(t, face, p)).map(sheet_line).join("") || null });
    put(mark.children[2], { d: sheet_line(arc_points(g.centre, g.radius, from, to)) });
  });
  t.open_marks(allowed.length).forEach((mark, i) =>
    put(mark, {
      d: sheet_line(arc_points(g.centre, g.radius, ...allowed[i])),
      "data-allowed": allowed[i].join(" "),
    }),
  );
  // Its ends stand out, so that a narrow part is seen beside the joint that lies in it.
  const gates = [...new Set(allowed.flat().map(whole))].filter((turn) => ends.has(turn));
  put(t.gate_line, {
    d: gates.map((turn) => strokes(g.centre, g.radius, turn, turn, GATE).map(sheet_line)).join("") || null,
  });
  put(t.traced_line, {
    d: g.traced === null ? null : sheet_line([g.centre, on_circle(g.centre, g.radius * 1.07, g.traced)]),
  });
  const lead = g.tangent;
  put(t.tangent_line, { d: lead ? arrow(t, lead) : null });
  // the style, not an attribute named so: a page that is given away refuses those
  t.tangent_line.style.strokeWidth = lead ? tenth(0.9 + 2.6 * lead.strength) : "";
  const asked = asked_shown(t, g);
  const [x, y] = asked ? to_sheet(t, asked.place) : [0, 0];
  put(t.asked_dot, {
    cx: tenth(x),
    cy: tenth(y),
    display: asked ? null : "none",
    "data-asked": asked ? asked.angle : null,
  });
  mark_reason(t);
}

function on_face(t, face, p) {
  const [x, y] = to_sheet(t, p);
  return Boolean(face) && x > face[0] && x < face[2] && y > face[1] && y < face[3];
}

/** The pieces of a shut part that are struck: as far from an open part as anybody asks, all of it where nothing is
 * open. */
function struck(allowed, from, to) {
  if (!allowed.length) return [[from, to]];
  const lies_near = (turn) => allowed.some(([a, b]) => whole(turn - (a + b) / 2 + REACH) <= 2 * REACH);
  const pieces = [];
  for (let turn = from; turn <= to; turn += STEP) {
    const end = Math.min(to, turn + STEP);
    if (!lies_near((turn + end) / 2)) continue;
    if (pieces.at(-1)?.[1] === turn) pieces.at(-1)[1] = end;
    else pieces.push([turn, end]);
  }
  return pieces;
}

/** Line along the path of the parent, with a head where it is going. */
function arrow(t, lead) {
  const [back, tip] = [-1, 1].map((way) => on_circle(lead.at, way * lead_long(lead), lead.angle));
  const barbs = [155, -155].map((off) => on_circle(tip, 4.5, lead.angle + off));
  return (
    polyline([back, tip].map((p) => to_sheet(t, p))) +
    polyline([barbs[0], tip, barbs[1]].map((p) => to_sheet(t, p)))
  );
}
