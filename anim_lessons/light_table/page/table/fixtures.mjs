/* What stands at the edges of the sheet: corner, legend and timing chart, each where the drawings leave room. */
import { breadth, SHEET, tenth } from "../lines.mjs";
import { call, named, put, say } from "../tools.mjs";
import { chart_now, count, plans, settings, to_sheet, type, under } from "./questions.mjs";
import { paint_chart } from "./timing_chart.mjs";

const CHART = 163; // units that the timing chart takes at an edge

/** Corner, legend and timing chart: returns the boxes they take. */
export function paint_fixtures(t, n, near, bottom) {
  const small = type(t, settings(t).lecture ? 12.5 : 11) / 11;
  // The chart is pencilled at the right edge, or at the left where only the left is free.
  const crowd = (is) =>
    settled(t)
      .flat(2)
      .filter((q) => is(to_sheet(t, q)[0])).length;
  const mirrored = crowd((x) => x > SHEET - 124) > crowd((x) => x < 124);
  const letter = 5.6 * t.wide * small;
  const most = Math.max(12, Math.floor((SHEET - CHART) / letter));
  const title_wide = Math.max(80, Math.min(most, breadth(t.head.title)) * letter);
  put(t.corner, { transform: mirrored ? `translate(${tenth(SHEET - 36 - title_wide)})` : null });
  put(t.chart, { transform: mirrored ? `translate(${CHART - SHEET})` : null });
  t.nudge.classList.toggle("right", mirrored);
  const said = t.corner_words(t.head.title ? 3 : 2);
  const wide = String(n).length * 15.5 * t.wide;
  [
    [18, 36, "sheetno", String(t.showing ?? n)],
    [24 + wide, 36, "k", `of ${count(t)}`],
    [18, 54 * Math.sqrt(small), "k", t.head.title],
  ]
    .slice(0, said.length)
    .forEach(([x, y, name, text], i) => {
      put(said[i], { x, y, class: name });
      call(said[i], text, most);
    });
  const taken = [
    mirrored ? [SHEET - 36 - title_wide, 8, SHEET - 6, 62] : [10, 8, title_wide + 18, 62],
    [180, 0, 414, 20],
  ];

  const meanings = {
    before: "before: dashes",
    after: "after: dots",
    under: "under: fine dashes",
    planned: "planned path",
  };
  const lies = (side) =>
    side === "under"
      ? settings(t).under && t.head.limbs.some((_, l) => under(t, l))
      : side === "planned"
        ? settings(t).under && plans(t).length
        : near.some((a) => a.side === side);
  const keys = small > 1.3 ? [] : Object.keys(meanings).filter(lies); // no room on a small sheet
  const wordy = (keys.includes("under") ? 92 : 74) * t.wide;
  const [legend_wide, legend_deep] = [44 + wordy * small, 15 * small * keys.length];
  const [left, foot] = least_crowded(
    t,
    [
      // between the buttons that move a chosen joint and the chart
      [mirrored ? CHART + 6 : 406 - wordy * small, bottom - 12],
      // or under the title
      [mirrored ? Math.min(SHEET - 18 - title_wide, SHEET - 10 - legend_wide) : 18, 66 + legend_deep],
    ],
    legend_wide,
    legend_deep,
  );
  t.legend_parts(keys.length).forEach((g, i) => {
    const y = foot - 15 * small * (keys.length - 1 - i);
    put(g.children[0], {
      d: `M${left},${tenth(y - 4)}h34`,
      class: keys[i] === "under" ? "under-line" : keys[i] === "planned" ? "planned" : `skin ${keys[i]} d1`,
    });
    put(g.children[1], { x: left + 40, y: tenth(y) });
    say(g.children[1], meanings[keys[i]]);
  });
  if (keys.length) taken.push([left - 4, foot - 2 - legend_deep, left + legend_wide, foot + 8]);
  if (t.active)
    taken.push(mirrored ? [SHEET - 300, bottom - 42, SHEET, bottom] : [0, bottom - 42, 300, bottom]);
  const about = heading(t, mirrored);
  if (paint_chart(t, n, bottom, about)) {
    taken.push(mirrored ? [0, 6, CHART - 16, bottom] : [SHEET - 116, 6, SHEET, bottom]);
    // may be wider than the chart
    const long = 14 + 0.6 * t.wide * type(t, 12) * breadth(about);
    taken.push([(mirrored ? CHART : SHEET) - long, 6, mirrored ? CHART : SHEET, 26]);
  }
  return taken;
}

/** Words over the timing chart; at the left edge there is no room beside it. */
function heading(t, mirrored) {
  const room = mirrored ? Math.floor((CHART - 14) / (0.6 * t.wide * type(t, 12))) - 13 : 34;
  return room < 6 ? "timing chart" : `timing chart, ${named(chart_now(t)?.joint ?? "", Math.min(34, room))}`;
}

/** All drawings, with a joint in the hand as before it was taken: what stands aside from them must not hop
 * under the hand. */
const settled = (t) => (t.drag?.before ?? t.pose).drawings;

/** Of places, each the left and the foot of what is so wide and so deep, the one that the fewest parts of all
 * drawings cross. */
function least_crowded(t, places, wide, deep) {
  const parts = settled(t).flatMap((limb) =>
    limb.flatMap((joints) => {
      const p = joints.map((q) => to_sheet(t, q));
      const between = ([x, y], [u, v]) =>
        [0, 0.25, 0.5, 0.75].map((share) => [x + share * (u - x), y + share * (v - y)]);
      return [...p.slice(0, -1).flatMap((a, k) => between(a, p[k + 1])), p.at(-1)];
    }),
  );
  const crowd = ([left, foot]) =>
    parts.filter(([x, y]) => x > left - 12 && x < left + wide + 12 && y > foot - deep - 12 && y < foot + 12)
      .length;
  return places.reduce((best, place) => (crowd(place) < crowd(best) ? place : best));
}
