/* Where may it go: labels beside the circle. */
import { arc_points, lies_in, on_circle, spoken_parts, whole } from "../circle.mjs";
import { turns } from "../drawings.mjs";
import { beside_circle, in_lines, tenth, placed, polyline } from "../lines.mjs";
import { changed, named, put, s } from "../tools.mjs";
import {
  asked_shown,
  guide_here,
  guide_holds,
  guided,
  lead_long,
  parts_shown,
  plainly,
} from "./guide_answer.mjs";
import { number, points, settings, there, to_sheet, type, wrapped } from "./questions.mjs";

const MOST_IN_LECTURE = 3;

/** What the labels stand for: while it stays the same, they need no new places. */
export function what_is_told(t) {
  const { allowed, excluded, asked, traced } = guide_here(t) ?? {};
  return JSON.stringify([allowed, excluded, asked, traced]);
}

/** Labels of the circle: outside it, off joints, numbers and each other; parts under 4° and what finds no room
 * are in the list only. */
export function place_reasons(t, taken, size) {
  t.taken_else = [...taken];
  t.told_of = what_is_told(t);
  const g = guide_here(t);
  t.reasons_said = [];
  if (g) {
    const em = type(t, 12);
    const centre = to_sheet(t, g.centre);
    const spread = (turn) =>
      arc_points(g.centre, g.radius, turn - 24, turn + 24, 8).map((p) => to_sheet(t, p));
    const wished = [];
    taken.push(
      ...arc_points(g.centre, g.radius, 0, 354, 6)
        .map((p) => to_sheet(t, p))
        .map(([x, y]) => [x - 4, y - 4, x + 4, y + 4]),
    );
    const single = (kind, says, turn) =>
      wished.push({
        kind,
        says,
        from: turn,
        to: turn,
        along: spread(turn),
        on: to_sheet(t, on_circle(g.centre, g.radius, turn)),
      });
    if (asked_shown(g)) {
      const [x, y] = to_sheet(t, asked_shown(g).place);
      taken.push([x - 8, y - 8, x + 8, y + 8]);
      single("asked", `${number(t)} asked`, asked_shown(g).angle);
    }
    if (g.traced !== null && there(t, wrapped(t, number(t) - 1)))
      single("trace", `traced from ${wrapped(t, number(t) - 1)}`, g.traced);
    const now = whole(turns(points(t, guided(t).limb))[guided(t).joint - 1]);
    const shut = spoken_parts(parts_shown(g).excluded).filter(
      ({ from, to, says }) => says && (to - from >= 4 || lies_in(now, [from, to])),
    );
    const told = new Set(); // on a projector the same words once, and no more than a few
    const few = (part) =>
      !settings(t).lecture || (told.size < MOST_IN_LECTURE && !told.has(part.says) && told.add(part.says));
    // why it may not stay where it is comes first
    const rank = ({ from, to }) => (lies_in(now, [from, to]) ? 360 : to - from);
    wished.push(
      ...shut
        .sort((one, two) => rank(two) - rank(one))
        .filter(few)
        .map((part) => ({
          ...part,
          along: arc_points(g.centre, g.radius, part.from + 1, Math.max(part.from + 1, part.to - 1), 8).map(
            (p) => to_sheet(t, p),
          ),
        })),
    );
    if (g.tangent) {
      const tip = to_sheet(t, on_circle(g.tangent.at, lead_long(g.tangent), g.tangent.angle));
      wished.push({
        kind: "lead",
        says: `${named(t.head.limbs[guided(t).limb].joints[guided(t).joint - 1])}’s path`,
        on: tip,
        round: tip,
        along: arc_points(tip, 2, 0, 330, 30),
      });
    }
    const is_on_sheet = ([x, y]) => x > 0 && y > 0 && x < size[0] && y < size[1];
    for (const { along, ...wish } of wished)
      for (const most of [24, 14]) {
        const seen = along.filter(is_on_sheet);
        const lines = in_lines(plainly(wish.says), most);
        const wide = Math.max(...lines.map((line) => line.length)) * em * 0.54 * t.wide;
        const tall = em * 1.15 * lines.length;
        const spot = placed(beside_circle(wish.round ?? centre, seen, wide, tall), wide, tall, taken, size);
        if (!spot) continue;
        const far = ([x, y]) => Math.hypot(x - spot[0], y - spot[1]);
        t.reasons_said.push({
          ...wish,
          lines,
          spot,
          wide,
          tall,
          on: wish.on ?? seen.reduce((one, two) => (far(one) <= far(two) ? one : two)),
        });
        break;
      }
  }
  t.reason_words(t.reasons_said.length).forEach((mark, i) => {
    const {
      lines,
      spot: [x, y],
      wide,
      tall,
      on: [px, py],
    } = t.reasons_said[i];
    const em = type(t, 12);
    const edge = [
      Math.max(x - wide / 2 - 2, Math.min(x + wide / 2 + 2, px)),
      Math.max(y - tall / 2, Math.min(y + tall / 2, py)),
    ];
    put(mark.firstChild, {
      d: Math.hypot(px - edge[0], py - edge[1]) > 12 ? polyline([[px, py], edge]) : null,
    });
    if (changed(t.made_of, mark, lines.join("|")))
      mark.children[1].replaceChildren(...lines.map((line) => s("tspan", {}, line)));
    [...mark.children[1].children].forEach((line, k) =>
      put(line, { x: tenth(x), y: tenth(y - tall / 2 + em * (0.92 + 1.15 * k)) }),
    );
  });
  mark_reason(t);
}

/** The reason that shuts the place where the joint stands is heavier. */
export function mark_reason(t) {
  const is = guided(t);
  const turn = is && guide_holds(t) ? whole(turns(points(t, is.limb))[is.joint - 1]) : null;
  t.reason_words(t.reasons_said.length).forEach((mark, i) => {
    const { kind, from, to } = t.reasons_said[i];
    put(mark, {
      class: `reason ${kind ?? (turn !== null && lies_in(turn, [from, to]) ? "here" : "")}`.trim(),
    });
  });
}
