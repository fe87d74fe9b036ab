/* Strokes as the hand makes them and takes them away: simplified, found, counted; mm with y up. Nothing here knows the page. */
import { PLAIN, PRESSED } from "./strokes.mjs";

// as in Python's model/lines.py, which says where they come from
export const MOST_STROKES = 400;
export const MOST_POINTS = 1000;
export const MOST_IN_ALL = 60000;

const hundredth = (value) => Math.round(value * 100) / 100;

/** Square of the distance of a place from the stretch a to b, in two dimensions or three. Written out: it is asked a million times. */
function off(p, a, b) {
  const [dx, dy, dz] = [b[0] - a[0], b[1] - a[1], (b[2] ?? 0) - (a[2] ?? 0)];
  const [x, y, z] = [p[0] - a[0], p[1] - a[1], (p[2] ?? 0) - (a[2] ?? 0)];
  const long = dx * dx + dy * dy + dz * dz;
  const at = long ? Math.max(0, Math.min(1, (x * dx + y * dy + z * dz) / long)) : 0;
  return (x - at * dx) ** 2 + (y - at * dy) ** 2 + (z - at * dz) ** 2;
}

/** Places that are enough to draw a line that nowhere lies off by more than `most`: of Ramer (1972) and of Douglas and
 * Peucker (1973). */
export function simplified(places, most) {
  const kept = new Set([0, places.length - 1]);
  const open = [[0, places.length - 1]];
  while (open.length) {
    const [a, b] = open.pop();
    let [worst, far] = [-1, most * most];
    for (let i = a + 1; i < b; i += 1) {
      const d = off(places[i], places[a], places[b]);
      if (d > far) [worst, far] = [i, d];
    }
    if (worst < 0) continue;
    kept.add(worst);
    open.push([a, worst], [worst, b]);
  }
  return places.filter((_, i) => kept.has(i));
}

/** How far off a line may lie that stands for the hand's, mm: a third of the thinnest line. */
export const OFF = 0.1;

/** Points [x, y, pressure] of a stroke without those that nobody would miss; its width counts as its place does. */
export function thinned(points, most = OFF) {
  // half of the width is how far the edge lies from the middle
  const flat = points.map(([x, y, pressure]) => [x, y, (PRESSED * pressure) / 2]);
  return simplified(flat, most).map(([x, y, half]) => [x, y, (2 * half) / PRESSED]);
}

/** A stroke as it is kept, of its points as they came: thinned, rounded, the pressure left out where it was plain all along. One with
 * more points than are kept is drawn in coarser steps. */
export function kept(points) {
  let most = OFF;
  let less = thinned(points);
  while (less.length > MOST_POINTS) less = thinned(less, (most *= 2));
  const all = less.map((point) => point.map(hundredth));
  const dot = all.every(([x, y]) => x === all[0][0] && y === all[0][1]);
  const plain = points.every((point) => point[2] === PLAIN);
  return (dot ? [all[0]] : all).map(([x, y, pressure]) => (plain ? [x, y] : [x, y, pressure]));
}

/** How hard a pointer presses: as the hardware tells it, 0 to 1; a mouse tells nothing (W3C Pointer Events Level 3, "pressure": 0.5
 * where it is not supported and a button is down). */
export const pressure_of = ({ pointerType, pressure }) =>
  pointerType === "mouse" || !(pressure >= 0 && pressure <= 1) ? PLAIN : pressure;

/** Which of the strokes a place is on, within `reach` mm; the one drawn last, -1 for none. */
export const stroke_at = (strokes, place, reach) =>
  strokes.findLastIndex((stroke) =>
    stroke.some((p, i) => off(place, stroke[Math.max(0, i - 1)].slice(0, 2), p.slice(0, 2)) <= reach * reach),
  );

/** Whether there is room for one more stroke of so many points on a drawing; else what to say. */
export function room_for(lines, n, points) {
  if ((lines[n]?.length ?? 0) >= MOST_STROKES) return `A drawing holds ${MOST_STROKES} lines, and this one has them.`;
  const all = Object.values(lines).flat().reduce((sum, stroke) => sum + stroke.length, points);
  return all > MOST_IN_ALL ? "There is no room for more lines in one file. Begin another one." : "";
}

/** Lines with other strokes on one drawing; a drawing without any is not in them. */
export function with_strokes(lines, n, strokes) {
  const { [n]: _, ...others } = lines;
  return strokes.length ? { ...others, [n]: strokes } : others;
}

/** Whether something is lines of so many drawings, as they may lie in the browser's own store. */
export const are_lines = (lines, count) =>
  lines !== null &&
  typeof lines === "object" &&
  Object.entries(lines).every(
    ([n, strokes]) =>
      n >= 1 && n <= count && Array.isArray(strokes) && strokes.every((one) => Array.isArray(one) && one.length && one.every((p) => p?.length > 1 && p.every(Number.isFinite))),
  );
