/* An arrow at the worked joint: along its circle, to where it goes on the drawing under work. */
import { polyline } from "../lines.mjs";
import { pool, put, s } from "../tools.mjs";
import { to_go } from "./going.mjs";
import { number, on_sheet, settings, type, worked } from "./questions.mjs";

export function make_beginning(t) {
  t.beginning_arrows = pool(t.beginning, () => s("path"));
}

const BESIDE = 3.4; // em of way; with less to go the arrow lies beside the joint, for its ring would hide it
const CLEAR = 1.3; // em from the joint, clear of its ring

/** An arrow to a bar across its end, where it is told how far, or to two between which it goes; else short arrows, both ways where
 * nobody knows which. While the hand draws, and as long as the joint lies beside it, the bars alone. Returns the boxes they take. */
export function paint_beginning(t) {
  const place = !settings(t).guide && !t.showing && worked(t);
  const found = place && place.joint > 0 ? to_go(t) : null;
  const back = t.from_back ? -1 : 1;
  const marks = (found?.ways ?? []).map((way) => arrow(t, place, back * way, found.turn === null ? null : Math.abs(found.turn)));
  if (found && found.turn !== null && !found.right && (t.drag || !found.drawn || !found.there)) marks.push(...bars(t, place, back * found.turn, found.beside));
  t.beginning_arrows(marks.length).forEach((line, i) => put(line, { d: marks[i].d }));
  const r = 0.4 * type(t, 13.5);
  return marks.flatMap(({ along }) => along.map(([x, y]) => [x - r, y - r, x + r, y + r]));
}

/** The joint's circle on the sheet: its radius, and the place that lies so far round, radians counter-clockwise, on a circle that
 * is so much wider. */
function circle_of(t, { limb, joint }) {
  const [parent, p] = [joint - 1, joint].map((j) => on_sheet(t, limb, number(t))[j]);
  const [dx, dy] = [p[0] - parent[0], p[1] - parent[1]];
  const long = Math.hypot(dx, dy) || 1;
  // the sheet has y down: counter-clockwise is back there
  const on = (turn, out = 0) => {
    const [cos, sin] = [(1 + out / long) * Math.cos(-turn), (1 + out / long) * Math.sin(-turn)];
    return [parent[0] + dx * cos - dy * sin, parent[1] + dx * sin + dy * cos];
  };
  return { long, on };
}

function arrow(t, place, way, degrees) {
  const { long, on } = circle_of(t, place);
  const em = type(t, 13.5);
  const to = degrees === null ? (4.6 * em) / long : (degrees * Math.PI) / 180;
  const beside = to * long < BESIDE * em;
  const from = beside ? to - (2 * em) / long : (1.7 * em) / long;
  const along = Array.from({ length: 13 }, (_, i) => on(way * (from + ((to - from) * i) / 12), beside ? CLEAR * em : 0));
  const [tip, before] = [along[12], along[10]];
  const back = Math.atan2(before[1] - tip[1], before[0] - tip[0]);
  const wide = 0.7 * em;
  const barb = (off) => [tip[0] + wide * Math.cos(back + off), tip[1] + wide * Math.sin(back + off)];
  return { along, d: polyline(along) + polyline([barb(0.5), tip, barb(-0.5)]) };
}

const bars = (t, place, degrees, beside) =>
  (beside ? [degrees - beside, degrees + beside] : [degrees]).map((turn) => bar(t, place, turn));

/** Across the joint's circle, where the joint goes; longer where the ring lies over it. */
function bar(t, place, degrees) {
  const { long, on } = circle_of(t, place);
  const em = type(t, 13.5);
  const turn = (degrees * Math.PI) / 180;
  const near = Math.min(1, Math.max(0, 1 + BESIDE - (Math.abs(turn) * long) / em));
  const half = (0.6 + 1.1 * near) * em;
  const along = [-half, 0, half].map((out) => on(turn, out));
  return { along, d: polyline(along) };
}
