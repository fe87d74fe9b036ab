/* Places of a stroke, shares of a chart, and labels that do not lie on each other. */
const FINEST = 0.3; // mm between two places of a stroke

/** A stroke with one more place, unless the pen has hardly moved. */
export const further = (stroke, place, finest = FINEST) => {
  const last = stroke.at(-1);
  return last && Math.hypot(place[0] - last[0], place[1] - last[1]) < finest ? stroke : [...stroke, place];
};

/** Place on a line given at equal steps of the way, at a share of it. */
export function place_on(line, share) {
  const at = Math.min(1, Math.max(0, share)) * (line.length - 1);
  const i = Math.min(line.length - 2, Math.floor(at));
  return [0, 1].map((k) => line[i][k] + (at - i) * (line[i + 1][k] - line[i][k]));
}

/** The lines of a chart: drawings (from 0) from one extreme to the next, and the shares at which each begins
 * and ends. */
export function lines_of(chart, half, loop) {
  const upto = (a, b) => Array.from({ length: b - a + 1 }, (_, i) => a + i);
  if (!loop) return [{ name: "way", drawings: upto(0, chart.length - 1), from: chart[0], to: chart.at(-1) }];
  return [
    { name: "out", drawings: upto(0, half), from: chart[0], to: chart[half] },
    { name: "back", drawings: [...upto(half, chart.length - 1), 0], from: chart[half], to: chart[0] + 1 },
  ];
}

/** A chart with one drawing at another share: never past its neighbours, the extremes where they are. */
export function retimed(chart, drawing, share, half, loop) {
  if (drawing === 0 || drawing === half || (!loop && drawing === chart.length - 1)) return chart;
  const least = chart[drawing - 1];
  const most = drawing + 1 < chart.length ? chart[drawing + 1] : 1;
  return chart.map((is, i) => (i === drawing ? Math.min(most, Math.max(least, share)) : is));
}

/** The tick of a line nearest to a share of that line, the extremes left out; -1 where there is none. */
export function nearest_tick(line, chart, part) {
  const inner = line.drawings.slice(1, -1);
  if (!inner.length) return -1;
  const far = (d) => Math.abs((chart[d] - line.from) / (line.to - line.from || 1) - part);
  return inner.reduce((best, d) => (far(d) < far(best) ? d : best));
}

/** Which labels ({x, y}) to show so that none lies on another: the first one asked for, then in order. */
export function clear_of_each_other(labels, first, wide = 15, high = 12) {
  const kept = new Set();
  for (const i of [first, ...labels.keys()]) {
    const one = labels[i];
    if (
      one &&
      [...kept].every((k) => Math.abs(labels[k].x - one.x) >= wide || Math.abs(labels[k].y - one.y) >= high)
    )
      kept.add(i);
  }
  return kept;
}
