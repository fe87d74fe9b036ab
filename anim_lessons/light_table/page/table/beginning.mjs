/* An arrow at the worked joint: along its circle, the way it goes on the drawing under work. */
import { polyline } from "../lines.mjs";
import { pool, put, s } from "../tools.mjs";
import { to_go } from "./going.mjs";
import { number, on_sheet, settings, type, worked } from "./questions.mjs";

export function make_beginning(t) {
  t.beginning_arrows = pool(t.beginning, () => s("path"));
}

/** Both ways where nobody knows yet which. Returns the boxes they take. */
export function paint_beginning(t) {
  const place = !settings(t).guide && !t.showing && worked(t);
  const ways = place && place.joint > 0 ? (to_go(t)?.ways ?? []) : [];
  const arrows = ways.map((way) => arrow(t, place, t.from_back ? -way : way));
  t.beginning_arrows(arrows.length).forEach((line, i) => put(line, { d: arrows[i].d }));
  const r = 0.4 * type(t, 13.5);
  return arrows.flatMap(({ along }) => along.map(([x, y]) => [x - r, y - r, x + r, y + r]));
}

/** The sheet has y down: counter-clockwise is back there. */
function arrow(t, { limb, joint }, way) {
  const [parent, p] = [joint - 1, joint].map((j) => on_sheet(t, limb, number(t))[j]);
  const [dx, dy] = [p[0] - parent[0], p[1] - parent[1]];
  const long = Math.hypot(dx, dy) || 1;
  const em = type(t, 13.5);
  const [from, to] = [1.7 * em, 4.6 * em].map((far) => (-way * far) / long);
  const on = (turn) => [parent[0] + dx * Math.cos(turn) - dy * Math.sin(turn), parent[1] + dx * Math.sin(turn) + dy * Math.cos(turn)];
  const along = Array.from({ length: 9 }, (_, i) => on(from + ((to - from) * i) / 8));
  const [tip, before] = [along[8], along[6]];
  const back = Math.atan2(before[1] - tip[1], before[0] - tip[0]);
  const barb = (off) => [tip[0] + 0.75 * em * Math.cos(back + off), tip[1] + 0.75 * em * Math.sin(back + off)];
  return { along, d: polyline(along) + polyline([barb(0.5), tip, barb(-0.5)]) };
}
