/* Numbers, tabs and measures on the sheet, each where there is room; and the ghost of a correction. */
import { breadth, hand_of, has_hand, tenth, outline, placed, thumb_of, widths } from "../lines.mjs";
import { named, put, say } from "../tools.mjs";
import { ghost_here } from "./mending.mjs";
import { flat, on_sheet, points, scale, settings, to_sheet, type } from "./questions.mjs";
import { place_reasons } from "./reasons.mjs";

/** Numbers outward along the path's normal, tabs at the tips; what does not fit is folded away. */
export function place_labels(t, n, near, limb, joint, taken, size) {
  const em = type(t, 12);
  for (const { limb: l, joint: j } of flat(t)) {
    const [x, y] = on_sheet(t, l, n)[j];
    taken.push([x - 9, y - 9, x + 9, y + 9]);
  }
  if (settings(t).paths)
    for (const d of t.pose.drawings[limb]) {
      const [x, y] = to_sheet(t, d[joint]);
      taken.push([x - 3, y - 3, x + 3, y + 3]);
    }
  const bones = on_sheet(t, limb, n);
  if (has_hand(t.head.limbs[limb].joints)) {
    const [x, y] = thumb_of(bones, t.from_back)[1];
    taken.push([x - 6, y - 6, x + 6, y + 6]);
  }
  const r = widths(t.head.limbs[limb].lengths, scale(t));
  for (let j = 1; j < bones.length; j += 1)
    for (let part = 0.1; part < 1; part += 0.1) {
      const [x, y] = [0, 1].map((k) => bones[j - 1][k] + part * (bones[j][k] - bones[j - 1][k]));
      taken.push([x - r[j], y - r[j], x + r[j], y + r[j]]);
    }
  const { ghost, first } = ghost_here(t);
  if (first >= 0)
    for (const [x, y] of ghost.points.slice(first).map((p) => to_sheet(t, p)))
      taken.push([x - 8, y - 8, x + 8, y + 8]);
  // tabs: the onion skin's at the tips; that of the drawing under work further up the limb, where the tip is taken
  const marks = [{ number: n, far: 0 }, ...near];
  const tabbed = new Set();
  t.tab_marks(marks.length).forEach((g, i) => {
    const { number: m, far } = marks[i];
    const p = on_sheet(t, limb, m);
    const others = marks
      .filter((other) => other.number !== m)
      .map((other) => on_sheet(t, limb, other.number));
    const spots = [];
    for (let j = p.length - 1; j >= (p.length > 2 && !far ? p.length - 3 : p.length - 1); j -= 1) {
      const from = p[j - 1] ?? [p[j][0] - 0.6, p[j][1] + 1];
      const turn = Math.atan2(p[j][1] - from[1], p[j][0] - from[0]);
      for (const away of [far ? 16 : 23, 30])
        for (const off of [0, 0.6, -0.6, 1.2, -1.2, 1.8, -1.8]) {
          const place = [p[j][0] + away * Math.cos(turn + off), p[j][1] + away * Math.sin(turn + off), j];
          if (
            !far ||
            own(
              place,
              p[j],
              others.map((q) => q[j]),
            )
          )
            spots.push(place);
        }
    }
    const w = far ? Math.max(20, em * 0.62 * t.wide * String(m).length + 8) : 25;
    const tall = far ? em + 5 : 25;
    const spot = placed(spots, w + 2, tall + 2, taken, size);
    put(g, { class: far ? "tab" : "tab here", visibility: spot ? null : "hidden" });
    if (!spot) return;
    tabbed.add(m);
    t.stands_for.set(g, { limb, joint: spot[2] });
    put(g.children[0], {
      x: tenth(spot[0] - w / 2),
      y: tenth(spot[1] - tall / 2),
      width: tenth(w),
      height: tenth(tall),
      rx: tenth(tall / 2),
    });
    put(g.children[1], { x: tenth(spot[0]), y: tenth(spot[1] + (far ? em * 0.36 : 5.8)) });
    say(g.children[1], String(m));
  });
  place_measure(t, taken, size);
  place_reasons(t, taken, size);
  // name of the chosen joint
  const here = on_sheet(t, limb, n)[joint];
  const name = t.active ? named(t.head.limbs[limb].joints[joint]) : "";
  const wide = breadth(name) * em * 0.6 * t.wide;
  const beside = placed(
    [
      [here[0] - 17 - wide / 2, here[1]],
      [here[0] + 17 + wide / 2, here[1]],
      [here[0], here[1] + 22],
      [here[0], here[1] - 22],
    ],
    wide,
    em,
    taken,
    size,
  );
  // numbers of the strongest path
  const p = t.pose.drawings[limb].map((d) => to_sheet(t, d[joint]));
  const shown = settings(t).paths && p.some((q) => Math.hypot(q[0] - p[0][0], q[1] - p[0][1]) > 40) ? p : [];
  const middle = p.reduce((sum, q) => [sum[0] + q[0] / p.length, sum[1] + q[1] / p.length], [0, 0]);
  t.num_marks(shown.length + 1).forEach((text, i) => {
    let spot = null;
    if (i === shown.length) spot = name && beside;
    else if (i + 1 !== n && !(joint === t.head.limbs[limb].joints.length - 1 && tabbed.has(i + 1))) {
      // no number twice at a tip
      const [a, b] = [p.at(i - 1), p[(i + 1) % p.length]];
      const long = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
      const out = [(b[1] - a[1]) / long, (a[0] - b[0]) / long];
      const side = out[0] * (p[i][0] - middle[0]) + out[1] * (p[i][1] - middle[1]) < 0 ? -1 : 1;
      const others = p.filter((_, k) => k !== i);
      const spots = [12, 16, -12, 21, -16]
        .map((far) => [p[i][0] + side * far * out[0], p[i][1] + side * far * out[1]])
        .filter((place) => own(place, p[i], others));
      spot = placed(spots, em * 0.6 * t.wide * String(i + 1).length + 1, em * 0.9, taken, size);
    }
    put(text, { class: i === shown.length ? "halo joint" : "halo num", visibility: spot ? null : "hidden" });
    if (spot) put(text, { x: tenth(spot[0]), y: tenth(spot[1] + em * 0.35) });
    say(text, i === shown.length ? name : String(i + 1));
  });
}

/** Whether a number would stand nearer to its own dot than to any other, by which it would be misread. */
const own = ([x, y], [a, b], others) => {
  const far = Math.hypot(x - a, y - b);
  return others.every(([c, d]) => Math.hypot(x - c, y - d) > far);
};

const MOST = 34; // letters that find room beside a ghost

/** The chosen note on the sheet: a dash-dot ghost of the correction and its measure beside it. */
function place_measure(t, taken, size) {
  const { ghost, limb, first } = ghost_here(t);
  put(t.ghosts, { display: first < 0 ? "none" : null });
  // what is longer stands in head and note
  const said = first < 0 ? [] : [ghost.says, ghost.more].filter((words) => words && words.length <= MOST);
  const lines = t.measure_words(said.length);
  if (first < 0) return;
  const now = points(t, limb);
  const p = ghost.points.map((p) => to_sheet(t, p));
  const from = Math.max(0, first - 1);
  const r = widths(t.head.limbs[limb].lengths, scale(t));
  const [q, rr] = hand_of(t.head.limbs[limb].joints, p, r);
  put(t.ghost_parts[0], { d: outline(q.slice(from), rr.slice(from), first > 0) });
  put(t.ghost_parts[1], { cx: tenth(p[first][0]), cy: tenth(p[first][1]) });
  if (!said.length) return;
  const tall = type(t, 16) + (said.length > 1 ? type(t, 12.5) + 3 : 0);
  const wide =
    0.56 * t.wide * Math.max((said[0]?.length ?? 0) * type(t, 16), (said[1]?.length ?? 0) * type(t, 12.5));
  const [[x, y], dir] = [p[first], Math.sign(p[first][0] - to_sheet(t, now[first])[0]) || 1];
  const spots = [];
  for (const far of [16, 30, 48, 70, 100])
    for (const down of [0, 24, -24, 48, -48, 80])
      for (const side of [dir, -dir]) spots.push([x + side * (far + wide / 2), y + down]);
  const spot = placed(spots, wide, tall, taken, size) ?? [x, y + 30];
  lines.forEach((text, i) => {
    put(text, {
      x: tenth(spot[0] - wide / 2),
      y: tenth(spot[1] - tall / 2 + type(t, 16) * 0.85 + (i ? type(t, 12.5) + 3 : 0)),
      class: i ? "halo m2" : "halo m",
    });
    say(text, said[i]);
  });
}
