/* Light table: the drawings of one action, one on top of another, on the desk.
 *
 * Reads    head, pose, number, settings, verdict, saved, under ({drawings} of an under-drawing, {plans} of joints, or nothing),
 *          guide (where the joint asked about may go), mended (steps of a correction)
 * Writes   pose (its revision one higher with every change), number, settings, mended (emptied before it asks)
 * Sends    {ask: "verdict"}, {ask: "take the file's"}, {ask: "mend", finding: its place in the list, or null for all}
 *
 * The pose answers the hand at once; Python's verdict follows and carries the revision it judged,
 * so that an old verdict is never shown as a fresh one. Lengths are mm with y up and angles degrees
 * counter-clockwise wherever a person sees them; on the sheet, units run down and A4 is 594 across.
 */

const SHEET = 594; // units across the sheet: half a millimetre each on A4
const CHART = 163; // units that the timing chart takes at an edge
const ROW = 27.4; // units of one row of the exposure sheet
const HEADROOM = 300; // ms of silence after which the head says that it is waiting
const SILENCE = 4000; // ms of silence after which nobody seems to be checking
const RAD = Math.PI / 180;

// ---- numbers: drawings, joints, frames (pure, tested in node) -------------------------------

/** The same angle between -180 (out) and 180 (in). */
export const half = (degrees) => degrees - 360 * Math.ceil(degrees / 360 - 0.5);

/** Angle of every segment against the x axis, degrees. */
export const turns = (points) =>
  points.slice(1).map(([x, y], k) => Math.atan2(y - points[k][1], x - points[k][0]) / RAD);

/** Bend of every segment against the one it hangs on, the first against the x axis, degrees. */
export const bends = (points) => turns(points).map((turn, k, all) => half(turn - (k ? all[k - 1] : 0)));

const round = (mm) => Math.round(mm * 1000) / 1000;

/** A drawing with one joint taken to `to`; what hangs below is shifted and traced along.
 * Given a length (mm), the joint swings on its parent at that length; without, it goes where the hand goes. */
export function moved(points, joint, to, length = null) {
  let [x, y] = to;
  if (joint > 0 && length !== null) {
    const [px, py] = points[joint - 1];
    const reach = Math.hypot(x - px, y - py);
    if (reach < 1e-9) return points; // right on the parent there is no direction to swing to
    [x, y] = [px + ((x - px) * length) / reach, py + ((y - py) * length) / reach];
  }
  const [dx, dy] = [x - points[joint][0], y - points[joint][1]];
  return points.map((p, j) => (j < joint ? p : [round(p[0] + dx), round(p[1] + dy)]));
}

/** A drawing with one joint swung on its parent by some degrees, at the length given. */
export function swung(points, joint, degrees, length) {
  const turn = (turns(points)[joint - 1] + degrees) * RAD;
  const [px, py] = points[joint - 1];
  return moved(points, joint, [px + Math.cos(turn), py + Math.sin(turn)], length);
}

/** Frames each drawing is held: one whole number a drawing. */
export const exposures = (exposure, count) =>
  Array.isArray(exposure) ? exposure : Array.from({ length: count }, () => exposure);

/** One number where every drawing is held alike, else the list. */
export const folded = (held) => (held.every((h) => h === held[0]) ? held[0] : held);

/** Place in the list of the drawing that is on at a frame, counted from 0; the list goes round. */
export function drawingAt(frame, held) {
  let left = frame % held.reduce((sum, h) => sum + h, 0);
  return held.findIndex((h) => (left -= h) < 0);
}

/** Onion skin: numbers before and after, nearest first, each drawing once. */
export function neighbours(number, count, reach, loop) {
  const seen = new Set([number]);
  const found = [];
  for (let far = 1; far <= reach; far += 1) {
    for (const side of ["before", "after"]) {
      let n = number + (side === "before" ? -far : far);
      if (loop) n = ((n - 1 + count * far) % count) + 1;
      if (n < 1 || n > count || seen.has(n)) continue;
      seen.add(n);
      found.push({ number: n, side, far });
    }
  }
  return found;
}

/** Distance of one joint from the drawing before, mm; null where there is none before. */
export const steps = (drawings, joint, loop) =>
  drawings.map((points, i) => {
    if (i === 0 && !loop) return null;
    const before = drawings.at(i - 1)[joint];
    return Math.hypot(points[joint][0] - before[0], points[joint][1] - before[1]);
  });

/** The lesson that teaches a finding's rule, by number and title: "5, The arm opens"; an empty text where none is named. */
export function lesson_of({ lesson }) {
  const number = parseInt(lesson?.name, 10);
  return lesson?.title ? `${Number.isNaN(number) ? "" : `${number}, `}${lesson.title}` : "";
}

/** The plans that fit these limbs: a path, and a dot for each drawing. */
export function plans_of(under, head, count) {
  const known = ({ limb, joint, path, dots }) =>
    head.limbs.some((one) => one.name === limb && one.joints.includes(joint)) && path?.length > 1 && dots?.length === count;
  return (under?.plans ?? []).filter(known);
}

/** Points of the under-drawing below one drawing of a limb; null where none lies there that fits. */
export function under_of(under, limb, n, joints) {
  const found = under?.drawings?.[limb]?.[n - 1];
  return found?.length === joints ? found : null;
}

/** The action file of what is on the table, keys in the order of the format. */
export const document_of = (head, pose) => ({
  format: "anim-lessons/action",
  version: 1,
  title: head.title,
  by: head.by,
  rate: head.rate,
  loop: head.loop,
  paper: head.paper,
  exposure: pose.exposure,
  limbs: head.limbs.map((limb, l) => ({ ...limb, drawings: pose.drawings[l] })),
  ...(head.lecture ? { lecture: head.lecture } : {}),
});

/** Whether kept drawings belong to these limbs and are not already on the table. */
export function worth_offering(kept, head, pose) {
  const fits =
    Array.isArray(kept?.drawings) &&
    kept.drawings.length === head.limbs.length &&
    kept.drawings.every(
      (limb, l) =>
        Array.isArray(limb) &&
        limb.length === kept.drawings[0].length &&
        limb.length >= 2 &&
        limb.every((points) => points?.length === head.limbs[l].joints.length &&
          points.every((p) => p?.length === 2 && p.every(Number.isFinite))));
  const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);
  return fits && !(same(kept.drawings, pose.drawings) && same(kept.exposure, pose.exposure));
}

// ---- where may it go (pure, tested in node; mm, degrees counter-clockwise) -------------------

/** The same angle from 0 (in) to 360 (out). */
export const whole = (degrees) => ((degrees % 360) + 360) % 360;

/** Whether an angle lies in a part of the circle, ends included; a part may run over 360. */
export const lies_in = (angle, [from, to]) => whole(angle - from) <= to - from + 1e-9 || whole(from - angle) < 1e-9;

/** Place at an angle on a circle. */
export const on_circle = ([x, y], radius, angle) => [x + radius * Math.cos(angle * RAD), y + radius * Math.sin(angle * RAD)];

/** Points along an arc, both ends included. */
export function arc_points(centre, radius, from, to, every = 3) {
  const many = Math.max(1, Math.ceil((to - from) / every));
  return Array.from({ length: many + 1 }, (_, i) => on_circle(centre, radius, from + ((to - from) * i) / many));
}

/** Strokes across an arc, as pairs of points: the sign of a part that is shut. A short part gets one. */
export function strokes(centre, radius, from, to, long, every = 2.6) {
  const many = Math.max(1, Math.round((to - from) / every));
  return Array.from({ length: many }, (_, i) => {
    const angle = from + ((to - from) * (i + 0.5)) / many;
    return [on_circle(centre, radius - long / 2, angle), on_circle(centre, radius + long / 2, angle)];
  });
}

/** The angle nearest to one given that lies in an open part, `inside` degrees from its end, or in the middle
 * of a narrow one; the angle itself where it is open already; null where nothing is. */
export function nearest_open(angle, allowed, inside = 0.4) {
  if (allowed.some((part) => lies_in(angle, part))) return whole(angle);
  let [best, least] = [null, Infinity];
  for (const [from, to] of allowed) for (const goal of [Math.min(from + inside, (from + to) / 2), Math.max(to - inside, (from + to) / 2)]) {
    const far = Math.abs(half(goal - angle));
    if (far < least) [best, least] = [whole(goal), far];
  }
  return best;
}

/** Shut parts as they are spoken of: neighbours with the same words are one, over 0 degrees too. */
export function spoken_parts(excluded) {
  const parts = [];
  for (const part of [...excluded].sort((a, b) => a.from - b.from)) {
    const last = parts.at(-1);
    if (last && last.says === part.says && part.from - last.to < 1e-6) parts[parts.length - 1] = { ...last, to: part.to };
    else parts.push({ ...part });
  }
  const [first, last] = [parts[0], parts.at(-1)];
  if (parts.length > 1 && first.says === last.says && first.from < 1e-6 && last.to > 360 - 1e-6) {
    parts.shift();
    last.to = 360 + first.to;
  }
  return parts;
}

/** Words in lines of at most so many letters; a longer word stands alone. */
export function in_lines(words, most) {
  const lines = [];
  for (const word of words.split(" ")) {
    if (lines.length && `${lines.at(-1)} ${word}`.length <= most) lines[lines.length - 1] += ` ${word}`;
    else lines.push(word);
  }
  return lines;
}

// ---- lines and labels (pure, tested in node; units of the sheet, y down) --------------------

const n1 = (value) => Math.round(value * 10) / 10;
const at = ([x, y]) => `${n1(x)},${n1(y)}`;
export const polyline = (points) => "M" + points.map(at).join("L");

/** A smooth path of action through points: centripetal, so that closed-up drawings make no knots. */
export function smooth(points, closed) {
  const n = points.length;
  const p = (i) => (closed ? points[(i + n) % n] : points[Math.min(n - 1, Math.max(0, i))]);
  const gap = (a, b) => Math.sqrt(Math.hypot(b[0] - a[0], b[1] - a[1]));
  let d = "M" + at(points[0]);
  for (let i = 0; i < (closed ? n : n - 1); i += 1) {
    const [a, b, c, e] = [p(i - 1), p(i), p(i + 1), p(i + 2)];
    const [u, v, w] = [gap(a, b), gap(b, c), gap(c, e)];
    const lean = (k) => [
      u < 1e-6 ? b[k] : (u * u * c[k] - v * v * a[k] + (2 * u * u + 3 * u * v + v * v) * b[k]) / (3 * u * (u + v)),
      w < 1e-6 ? c[k] : (w * w * b[k] - v * v * e[k] + (2 * w * w + 3 * w * v + v * v) * c[k]) / (3 * w * (w + v)),
    ];
    const [x, y] = [lean(0), lean(1)];
    d += v < 1e-6 ? "L" + at(c) : `C${at([x[0], y[0]])} ${at([x[1], y[1]])} ${at(c)}`;
  }
  return d + (closed ? "Z" : "");
}

/** Half widths of a limb's contour at its joints: it tapers from the body to the tip. */
export function widths(lengths, scale) {
  if (!lengths.length) return [6 * scale];
  const reach = lengths.reduce((sum, l) => sum + l, 0);
  const last = lengths.length;
  return Array.from({ length: last + 1 }, (_, j) => {
    const along = j / last;
    const least = Math.min(lengths[Math.max(0, j - 1)], lengths[Math.min(last - 1, j)]) * 0.35;
    return Math.min(reach * (0.052 - 0.0355 * along ** 0.8), least) * scale;
  });
}

/** Contour round a bent limb; open at the body end if asked. */
export function outline(points, r, open = false) {
  const n = points.length - 1;
  if (n === 0) {
    const [[x, y], q] = [points[0], r[0]];
    return `M${at([x - q, y])}A${q},${q} 0 1 0 ${at([x + q, y])}A${q},${q} 0 1 0 ${at([x - q, y])}Z`;
  }
  const along = [];
  for (let i = 0; i < n; i += 1) {
    const [dx, dy] = [points[i + 1][0] - points[i][0], points[i + 1][1] - points[i][1]];
    const long = Math.hypot(dx, dy);
    along.push(long < 1e-6 ? along[i - 1] ?? [1, 0] : [dx / long, dy / long]);
  }
  // Edge on one side, from body to tip: arcs round the outside of a bend, a corner on its inside.
  const edge = (side) => {
    const off = (j, i) => [points[j][0] + side * along[i][1] * r[j], points[j][1] - side * along[i][0] * r[j]];
    const parts = [{ to: off(0, 0) }];
    for (let i = 0; i < n; i += 1) {
      if (i > 0) {
        const bend = along[i - 1][0] * along[i][1] - along[i - 1][1] * along[i][0];
        if (side * bend > 1e-6) parts.push({ to: off(i, i), arc: r[i] });
        else {
          const corner = crossing(off(i - 1, i - 1), off(i, i - 1), off(i, i), off(i + 1, i));
          if (corner) parts[parts.length - 1] = { ...parts.at(-1), to: corner };
          else parts.push({ to: off(i, i) });
        }
      }
      parts.push({ to: off(i + 1, i) });
    }
    return parts;
  };
  const [left, right] = [edge(1), edge(-1)];
  const draw = (part, sweep) => (part.arc ? `A${n1(part.arc)},${n1(part.arc)} 0 0 ${sweep} ${at(part.to)}` : "L" + at(part.to));
  let d = "M" + at(left[0].to);
  for (let i = 1; i < left.length; i += 1) d += draw(left[i], 1);
  d += `A${n1(r[n])},${n1(r[n])} 0 0 1 ${at(right.at(-1).to)}`;
  // Going back, an arc belongs to the part one came along.
  for (let i = right.length - 2; i >= 0; i -= 1) d += draw({ to: right[i].to, arc: right[i + 1].arc }, 1);
  return open ? d : d + `A${n1(r[0])},${n1(r[0])} 0 0 1 ${at(left[0].to)}Z`;
}

/** A limb that ends in fingertips gets a hand: the contour swells past the wrist. */
export function hand_of(joints, points, r) {
  if (!has_hand(joints)) return [points, r];
  const [wrist, tips] = points.slice(-2);
  const along = (part) => [wrist[0] + (tips[0] - wrist[0]) * part, wrist[1] + (tips[1] - wrist[1]) * part];
  const [last, end] = r.slice(-2);
  return [[...points.slice(0, -1), along(0.34), along(0.66), tips], [...r.slice(0, -2), last, last * 1.32, last * 1.2, end * 1.15]];
}

/** Root and tip of its thumb, off the clockwise side; off the other where the sheet is seen from the back. */
export function thumb_of(points, from_back = false) {
  const [[x, y], [tx, ty]] = points.slice(-2);
  const [dx, dy, out] = [tx - x, ty - y, from_back ? -0.62 : 0.62];
  const from = [x + dx * 0.2, y + dy * 0.2];
  return [from, [from[0] + 0.46 * (dx * Math.cos(out) - dy * Math.sin(out)), from[1] + 0.46 * (dx * Math.sin(out) + dy * Math.cos(out))]];
}
const has_hand = (joints) => joints.length > 1 && joints.at(-1) === "fingertips";

/** Where the stretches a-b and c-d cross, or null. */
function crossing(a, b, c, d) {
  const [rx, ry, sx, sy] = [b[0] - a[0], b[1] - a[1], d[0] - c[0], d[1] - c[1]];
  const area = rx * sy - ry * sx;
  if (Math.abs(area) < 1e-9) return null;
  const t = ((c[0] - a[0]) * sy - (c[1] - a[1]) * sx) / area;
  const u = ((c[0] - a[0]) * ry - (c[1] - a[1]) * rx) / area;
  return t >= 0 && t <= 1 && u >= 0 && u <= 1 ? [a[0] + t * rx, a[1] + t * ry] : null;
}

/** Ticks across a segment every 10 mm, and the long one at the model sheet's length. */
export function ticks(from, to, mm, scale) {
  const long = Math.hypot(to[0] - from[0], to[1] - from[1]) || 1;
  const [ux, uy] = [(to[0] - from[0]) / long, (to[1] - from[1]) / long];
  const across = (far, half_) => {
    const [x, y] = [from[0] + ux * far, from[1] + uy * far];
    return `M${at([x - uy * half_, y + ux * half_])}L${at([x + uy * half_, y - ux * half_])}`;
  };
  let short = "";
  for (let m = 10; m < mm - 3; m += 10) short += across(m * scale, 2.4);
  return [short, across(mm * scale, 12)];
}

/** The first of some centres where a label w by h is on the sheet and clear of all taken; null if none.
 * The label's place is then taken too. */
export function placed(centres, w, h, taken, [right, bottom]) {
  for (const [x, y] of centres) {
    const box = [x - w / 2, y - h / 2, x + w / 2, y + h / 2];
    if (box[0] < 4 || box[1] < 4 || box[2] > right - 4 || box[3] > bottom - 4) continue;
    if (taken.some((t) => box[0] < t[2] && t[0] < box[2] && box[1] < t[3] && t[1] < box[3])) continue;
    taken.push(box);
    return [x, y];
  }
  return null;
}

/** Centres for a label w by h beside a circle: off the points given, the middle ones first, outside before inside.
 * The label's edge keeps its distance whichever way it lies. */
export function beside_circle(centre, points, w, h, fars = [9, 22, 38, -11, -26, 56]) {
  const inward = (p) => [p[0] - centre[0], p[1] - centre[1]];
  const from_middle = points.map((_, i) => i).sort((a, b) => Math.abs(a - (points.length - 1) / 2) - Math.abs(b - (points.length - 1) / 2));
  return fars.flatMap((far) => from_middle.map((i) => {
    const [x, y] = inward(points[i]);
    const long = Math.hypot(x, y) || 1;
    const off = far + Math.sign(far) * ((Math.abs(x) * w + Math.abs(y) * h) / long / 2);
    return [points[i][0] + (x / long) * off, points[i][1] + (y / long) * off];
  }));
}

/** Tops of notes: each as near its wish as the one above lets it, all within the room if they fit. */
export function pushed_down(wishes, heights, gap, room) {
  const order = wishes.map((_, i) => i).sort((a, b) => wishes[a] - wishes[b] || a - b);
  const tops = [];
  let low = 0;
  for (const i of order) {
    tops[i] = Math.max(wishes[i], low);
    low = tops[i] + heights[i] + gap;
  }
  let high = Math.max(room, heights.reduce((sum, h) => sum + h + gap, -gap));
  for (const i of order.reverse()) {
    tops[i] = Math.max(0, Math.min(tops[i], high - heights[i]));
    high = tops[i] - gap;
  }
  return tops;
}

// ---- small tools of the page -----------------------------------------------------------------

const fill = (node, attributes, inside) => {
  put(node, attributes);
  node.append(...inside);
  return node;
};
const h = (tag, attributes = {}, ...inside) => fill(document.createElement(tag), attributes, inside);
const s = (tag, attributes = {}, ...inside) => fill(document.createElementNS("http://www.w3.org/2000/svg", tag), attributes, inside);

/** Set attributes, touching only what differs: null takes one away. */
function put(node, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === false) node.removeAttribute(name);
    else if (node.getAttribute(name) !== String(value)) node.setAttribute(name, value);
  }
}
const say = (node, words) => node.textContent !== words && (node.textContent = words);

/** As many nodes as asked for, made once and kept: the picture is changed, not built anew. */
function pool(parent, make) {
  const all = [];
  return (count) => {
    while (all.length < count) all.push(parent.appendChild(make(all.length)));
    while (all.length > count) all.pop().remove();
    return all;
  };
}
const Cap = (text) => text.charAt(0).toUpperCase() + text.slice(1);
const deg = (value) => `${Math.abs(value) < 10 && value % 1 ? value.toFixed(1) : Math.round(value)}°`;

// ---- the view ---------------------------------------------------------------------------------

function render({ model, el }) {
  const life = new AbortController(); // one switch for every listener
  const on = (target, type, act, more = {}) => target.addEventListener(type, act, { signal: life.signal, ...more });
  const still = matchMedia("(prefers-reduced-motion: reduce)");

  let head = model.get("head");
  let pose = model.get("pose");
  let top = pose.revision; // the highest revision seen
  let past = [];
  let future = [];
  let touched = false;
  let active = null; // {limb, joint} chosen by focus or press
  let chosen = null; // key of the open note; null: the first cause; "": none
  let drag = null;
  let showing = null; // drawing held up by flip, roll or play, else null
  let turned = false; // stack starts in its middle
  let from_back = false; // the sheet is turned over sideways and seen from its back
  let hint = ""; // one sentence of the table's own, until the next thing is done
  let scales = { bar: 1, low: 0, high: 90 };
  let unfolded = false;

  const count = () => pose.drawings[0].length;
  const number = () => drag?.n ?? Math.min(count(), Math.max(1, model.get("number"))); // a drag stays on its drawing
  const settings = () => ({ onion: 3, keep_lengths: true, paths: true, lecture: false, under: true, guide: null, layer: null, ...model.get("settings") });
  const under = (l) => under_of(model.get("under"), l, number(), head.limbs[l].joints.length);
  const plans = () => plans_of(model.get("under"), head, count());
  const has_under = () => plans().length > 0 || head.limbs.some((_, l) => under(l));
  const verdict = () => model.get("verdict") ?? {};
  const saved = () => model.get("saved") ?? {};
  const findings = () => verdict().findings ?? [];
  const held = () => exposures(pose.exposure, count());
  const scale = () => SHEET / head.paper.width;
  const deep = () => head.paper.height * scale();
  const across = (x) => (from_back ? head.paper.width - x : x); // mm from the left edge as it lies, both ways
  const to_sheet = ([x, y]) => [across(x) * scale(), (head.paper.height - y) * scale()];
  const points = (limb, n = number()) => pose.drawings[limb][n - 1];
  const on_sheet = (limb, n) => points(limb, n).map(to_sheet);
  const wrapped = (n) => (head.loop ? ((n - 1 + count()) % count()) + 1 : n);
  const there = (n) => n >= 1 && n <= count();
  const sole = () => (head.limbs.length === 1 && head.limbs[0].joints.length === 1 ? head.limbs[0].joints[0] : ""); // there is only this one to drag
  const limb_now = () => Math.min(active?.limb ?? 0, head.limbs.length - 1);
  const chart_now = () => (verdict().charts ?? []).find((c) => c?.limb === head.limbs[limb_now()].name && c.halves?.length);
  const joint_now = () => {
    const joints = head.limbs[limb_now()].joints;
    if (active) return Math.min(active.joint, joints.length - 1);
    const charted = joints.indexOf(chart_now()?.joint);
    return charted >= 0 ? charted : joints.length - 1;
  };
  /** Numbers as they lie in the stack: from 1, or from the middle. */
  const order = () => {
    const all = Array.from({ length: count() }, (_, i) => i + 1);
    const cut = turned ? Math.floor(count() / 2) : 0;
    return [...all.slice(cut), ...all.slice(0, cut)];
  };

  // ---- the desk: elements ---------------------------------------------------------------------
  const button = (label, act, more = {}) => {
    const made = h("button", { type: "button", ...more }, label);
    if (act) on(made, "click", act);
    return made;
  };
  const key = (label, act, shortcut, title, more = {}) =>
    button(label, act, { "aria-keyshortcuts": shortcut, title: `${title} (${shortcut.split(" ")[0].replace("Page", "Page ")})`, ...more });

  const next_line = h("p", { class: "next", role: "status" });
  const checked = h("span", { class: "checked" });
  const kept_line = h("span", { class: "saved" });
  const again = button("start again", start_again);
  const take_file = button("take the file’s", take_the_file);
  const take_up = button("take up the kept drawings", take_up_kept);
  const leave = button("leave them", leave_kept);
  const elsewhere = button("save elsewhere", keep_a_copy, { title: "Download what is on the table as an action file" });
  const copy = button("keep a copy", keep_a_copy, { title: "Download what is on the table as an action file" });
  const header = h("header", {}, next_line, h("div", { class: "state" }, checked, kept_line, elsewhere, again, take_file, take_up, leave));

  const layer = (name, more = {}) => s("g", { class: name, ...more });
  const paper = s("rect", { class: "paper", x: 0.5, y: 0.5, rx: 2 });
  const pegs = layer("pegs", { "aria-hidden": true });
  const body = s("svg", { class: "body clipped", "aria-hidden": true });
  const [circle, open] = ["circle", "open"].map((name) => s("svg", { class: `${name} clipped`, "aria-hidden": true })); // a circle may run off the sheet
  const [paths, skins, unders, arms, ghosts, dots, nums, tabs, reasons, measure, chart, corner, legend] =
    "paths skins unders arms ghosts dots nums tabs reasons measure chart corner legend".split(" ").map((name) => layer(name, { "aria-hidden": true }));
  const handles = layer("handles");
  const wanted = layer("wanted", { "aria-hidden": true }); // above the handles, so that it is seen beside the joint
  const sheet = s("svg", { class: "drawing", role: "group" },
    paper, pegs, body, paths, chart, corner, legend, skins, unders, circle, arms, ghosts, dots, open, nums, tabs, reasons, measure, handles, wanted);

  const nudge_name = h("span");
  const nudges = ["left", "down", "up", "right", "back", "on"].map((way) => hold_to_repeat(way));
  const nudge = h("div", { class: "nudge", role: "group", "aria-label": "move the chosen joint" }, nudge_name, ...nudges);
  const figure = h("div", { class: "sheet" }, sheet, nudge);

  const previous_b = key("previous drawing", () => go(wrapped(number() - 1)), "PageUp", "Put the drawing before on the table");
  const next_b = key("next drawing", () => go(wrapped(number() + 1)), "PageDown", "Put the next drawing on the table");
  const trace_b = key("trace previous", trace, "T", "Lay a fresh sheet and trace the drawing before");
  const middle_b = key("start in the middle", () => { turned = !turned; hint = ""; paint(); }, "M", "Begin the stack in its middle, so that the link-up is seen");
  const under_b = key("under-drawing", () => set({ under: !settings().under }), "U", "The drawing that lies under yours, to be traced");
  const undo_b = key("undo", undo, "Control+Z", "Take the last change back");
  const redo_b = key("redo", redo, "Control+Shift+Z Control+Y", "Make it again");
  const flip_b = key("flip", (e) => e.detail === 0 && flip_through(), "F", "Hold to see the drawing before; a short press flips through the neighbours", { class: "strong" });
  const roll_b = key("roll", roll, "R", "Roll slowly through the neighbours");
  const play_b = key("play", play, "P", "Play the stack at its exposure");
  const ones_b = key("on ones", () => expose(1), "1", "Hold every drawing for one frame");
  const twos_b = key("on twos", () => expose(2), "2", "Hold every drawing for two frames");
  const length_b = key("lengths kept", () => set({ keep_lengths: !settings().keep_lengths }), "L", "On: a joint swings on its parent. Off: it goes where the hand goes");
  const paths_b = key("paths", () => set({ paths: !settings().paths }), "A", "Path of action of every joint");
  const onion_b = key("onion skin", () => set({ onion: (settings().onion + 3) % 4 }), "O", "How many neighbours show through");
  const guide_b = key("where may it go", toggle_guide, "W", "Where the chosen joint may go, and what shuts the rest");
  const dot_b = key("to the dot", () => put_joint("asked"), "E", "Put the joint on the open dot, where slow in and slow out want it");
  const open_b = key("to the open part", () => put_joint("open"), "N", "Put the joint at the nearest place that every rule allows");
  const back_b = key("from the back", () => { from_back = !from_back; hint = ""; paint(); }, "S", "Turn the sheet over sideways: left and right change places");
  const layer_choice = h("select", { title: "One joint through the whole stack, then the next one out (J)", "aria-keyshortcuts": "J" });
  on(layer_choice, "change", () => work_on(layers()[layer_choice.selectedIndex]));
  const way_choice = h("select", { "aria-label": "in which order" }, ...["straight ahead", "pose to pose"].map((way) => h("option", {}, way)));
  on(way_choice, "change", () => set({ way: way_choice.value }));
  const row = (name, ...inside) => h("div", { class: "row", role: "group", "aria-label": name }, ...inside);
  const push = () => h("span", { class: "push" });
  const foot = h("div", { class: "foot" },
    row("stack", previous_b, next_b, trace_b, middle_b, push(), undo_b, redo_b),
    row("look at the movement", flip_b, roll_b, h("span", { class: "seg" }, play_b, ones_b, twos_b), push(), length_b, paths_b, onion_b),
    row("where may it go", guide_b, dot_b, open_b, push(), h("label", { class: "choice" }, "work on ", layer_choice), way_choice));

  const fewer_b = button("−", () => hold_for(-1), { title: "Hold this drawing one frame less" });
  const hold_words = h("span");
  const more_b = button("+", () => hold_for(1), { title: "Hold this drawing one frame more" });
  const columns = s("svg", { class: "columns", viewBox: "0 0 236 22", "aria-hidden": true });
  const column = pool(columns, () => s("text", { y: 14, class: "k" }));
  const lines = s("svg", { role: "group", "aria-label": "exposure sheet" });
  const rows_box = h("div", { class: "rows" }, lines);
  const ends = s("svg", { class: "ends", viewBox: "0 0 236 16", "aria-hidden": true });
  const end_words = pool(ends.appendChild(s("g", {}, s("path", { class: "rule four", d: "M6,0.5H230" }))), () => s("text", { y: 12, class: "fr", "text-anchor": "middle" }));
  const expo = h("div", { class: "expo" },
    h("div", { class: "expohead" }, h("b", {}, "exposure sheet"), push(), fewer_b, hold_words, more_b), columns, rows_box, ends);

  const leaders = s("svg", { class: "leaders", "aria-hidden": true });
  const leader = pool(leaders, () => s("path"));
  const notes = h("ol", { class: "notes", "aria-label": "notes in the margin, cause first" });
  const lecture_b = key("larger", () => set({ lecture: !settings().lecture }), "G", "Lecture size, for the back of the class");
  const care_b = key("keys and care", () => { care.hidden = !care.hidden; put(care_b, { "aria-expanded": !care.hidden }); }, "?", "Keys, and what to take care of", { "aria-expanded": "false" });
  const told = h("p", { class: "told", role: "status" }); // what there is to say of the file, in a whole sentence
  const margin = h("div", { class: "margin" }, notes, h("div", { class: "marginfoot" }, told, copy, lecture_b, back_b, under_b, care_b));
  const care = h("div", { class: "care" });
  care.hidden = true;
  for (const text of [
    "Keys, with the table in focus: Page Up and Page Down turn the drawings, Home and End go to the first and the last. T traces the previous drawing. Hold F to flip, R rolls, P plays and stops, 1 and 2 expose on ones and twos. Control Z takes back, Control Y makes again. M starts in the middle, so that the link-up is seen, S turns the sheet over sideways, O onion skin, A paths, L lengths, U the under-drawing where there is one, G makes all larger, for a lecture.",
    "W shows where the chosen joint may go: on the heavy part of its circle every rule is kept, on the struck parts stands what shuts them. The dashed line is the drawing before, shifted and traced; the arrow is the path of what the joint hangs on, heavier where it is faster; the open dot is where slow in and slow out want the joint. E puts it there, N at the nearest open place.",
    "J goes through the joints to work on, one through the whole stack and then the next one out: on every drawing you turn to, that joint is chosen. H asks for the open note to be corrected a little, with Shift for all notes; each step is a ghost: Enter takes it, X leaves it, Escape leaves the rest.",
    "On a joint, the arrow keys swing it by 1° (up and right counter-clockwise), or move it by 1 mm where nothing holds it; with Shift by 0.2, with Alt by 5. Escape lets it go. In the exposure sheet, up and down turn the drawings.",
    "Playing changes up to 24 pictures a second. If flicker troubles you, turn the pages by hand; if you have ever had a seizure or have been told that flashing light may bring one on, ask a doctor before you play.",
    "Long drawing tires hand and eyes: lay the pen down every twenty minutes or so, look far off, loosen shoulder and wrist. If it hurts or tingles, stop; if it comes back, see a doctor or a physiotherapist.",
  ]) care.append(h("p", {}, text));

  const table = h("div", { class: "table" }, header, h("div", { class: "desk" }, figure, foot), h("div", { class: "side" }, expo, leaders, margin), care);
  const root = h("section", { class: "anim-light-table", "aria-label": "light table", tabindex: -1 }, table);

  // ---- model -> picture: the sheet ----------------------------------------------------------
  const path_lines = pool(paths, () => s("path"));
  const skin_lines = pool(skins, () => s("path"));
  const under_lines = pool(unders, () => s("path"));
  const plan_lines = pool(unders, () => s("path", { class: "planned" }));
  const plan_dots = pool(unders, () => s("circle", { class: "planned" }));
  const limb_lines = pool(arms, () => s("g", {}, s("path", { class: "arm" }), s("path", { class: "arm" }), s("path", { class: "bone" }), s("path", { class: "tick" }), s("path", { class: "tick long" })));
  const dot_marks = pool(dots, () => s("circle"));
  const num_marks = pool(nums, () => s("text", { class: "halo num", "text-anchor": "middle" }));
  const tab_marks = pool(tabs, () => s("g", {}, s("rect"), s("text", { class: "num", "text-anchor": "middle" })));
  const corner_words = pool(corner, () => s("text"));
  const legend_parts = pool(legend, () => s("g", {}, s("path"), s("text", { class: "k halo" })));
  const ghost_parts = [s("path", { class: "ghost" }), s("circle", { class: "land", r: 5 })];
  ghosts.append(...ghost_parts);
  const measure_words = pool(measure, () => s("text", { class: "halo" }));
  const handle_marks = pool(handles, () => make_handle());

  const flat = () => head.limbs.flatMap((limb, l) => limb.joints.map((_, j) => ({ limb: l, joint: j })));
  const strong = ({ limb, joint }) => limb === limb_now() && joint === joint_now();

  /** Graphite of the drawing on top: contour, bone, length ticks. */
  function paint_limbs(n = showing ?? number()) {
    limb_lines(head.limbs.length).forEach((g, l) => {
      put(g, { class: l === limb_now() ? null : "other" });
      const { lengths, joints } = head.limbs[l];
      const p = on_sheet(l, n);
      const [thumb, arm, bone, tick, long] = g.children;
      const marks = lengths.map((mm, k) => ticks(p[k], p[k + 1], mm, scale()));
      const r = widths(lengths, scale());
      put(thumb, { d: has_hand(joints) ? outline(thumb_of(p, from_back), [r.at(-2) * 0.62, r.at(-2) * 0.46]) : null });
      put(arm, { d: outline(...hand_of(joints, p, r)) });
      put(bone, { d: polyline(p) });
      put(tick, { d: marks.map((m) => m[0]).join("") });
      put(long, { d: marks.map((m) => m[1]).join("") });
    });
  }

  /** Path of action of every joint with a dot a drawing; the chosen joint's (or the tip's) strongest. */
  function paint_paths() {
    const all = settings().paths ? flat() : [];
    path_lines(all.length).forEach((line, i) => {
      const { limb, joint } = all[i];
      const p = pose.drawings[limb].map((d) => to_sheet(d[joint]));
      put(line, { d: smooth(p, head.loop), class: strong(all[i]) ? "path strong" : "path" });
    });
    const each = all.flatMap((a) => pose.drawings[a.limb].map((d, i) => ({ ...a, n: i + 1, p: to_sheet(d[a.joint]) })))
      .sort((a, b) => strong(a) - strong(b));
    dot_marks(each.length).forEach((dot, i) => {
      const { n, p } = each[i];
      put(dot, { cx: n1(p[0]), cy: n1(p[1]), r: strong(each[i]) ? (n === number() ? 3.6 : 3.2) : 1.7,
        class: `dot${strong(each[i]) ? " strong" : ""}${n === number() ? " here" : ""}` });
    });
  }

  function paint_handles() {
    const all = flat();
    handle_marks(all.length).forEach((g, i) => {
      const { limb, joint } = all[i];
      const { name, joints, stops } = head.limbs[limb];
      const p = points(limb);
      const value = joint ? n1(bends(p)[joint - 1]) : n1(p[0][0]);
      const below = settings().under && under(limb)?.[joint];
      const planned = settings().under && plans().find((plan) => plan.limb === name && plan.joint === joints[joint])?.dots[number() - 1];
      const place = `x ${Math.round(p[joint][0])}, y ${Math.round(p[joint][1])} mm` +
        (below ? `; under-drawing at x ${Math.round(below[0])}, y ${Math.round(below[1])} mm` : "") +
        (planned ? `; planned at x ${Math.round(planned[0])}, y ${Math.round(planned[1])} mm` : "");
      const is = active?.limb === limb && active.joint === joint;
      put(g, {
        "data-limb": name, "data-joint": joints[joint],
        "aria-label": `${joints[joint]} of drawing ${number()}${head.limbs.length > 1 ? `, ${name}` : ""}`,
        "aria-valuenow": value,
        "aria-valuemin": joint ? Math.min(-180, stops[joint - 1][0]) : 0,
        "aria-valuemax": joint ? Math.max(180, stops[joint - 1][1]) : head.paper.width,
        "aria-valuetext": (joint > 1 ? `bend ${deg(value)} at the ${joints[joint - 1]}; ${place}` : joint ? `${deg(value)} from level; ${place}` : place) +
          (guided()?.limb === limb && guided().joint === joint && standing_words() ? `; ${standing_words()}` : ""),
        transform: `translate(${at(to_sheet(p[joint]))})`,
        class: `handle${is ? " chosen" : ""}${beyond(all[i]) ? " beyond" : ""}`,
      });
      g.at = all[i];
    });
  }

  /** Everything on the sheet that stands still while a joint is dragged. */
  function paint_sheet() {
    const bottom = deep();
    const n = number();
    const [limb, joint] = [limb_now(), joint_now()];
    put(sheet, { viewBox: `0 0 ${SHEET} ${n1(bottom)}`, "aria-label": `drawing ${n} on the light table` });
    put(paper, { width: SHEET - 1, height: n1(bottom - 1) });
    for (const clipped of [body, circle, open]) put(clipped, { width: SHEET, height: n1(bottom) });
    paint_body();
    paint_limbs();
    paint_paths();
    paint_handles();
    paint_guide();

    const near = neighbours(n, count(), settings().onion, head.loop);
    const each = near.flatMap((a) => head.limbs.map((_, l) => ({ ...a, limb: l }))).reverse();
    skin_lines(each.length).forEach((line, i) => {
      const { number: m, side, far, limb: l } = each[i];
      const p = on_sheet(l, m);
      put(line, { d: p.length > 1 ? polyline(p) : outline(p, widths([], scale())), class: `skin ${side} d${far}` });
    });
    under_lines(head.limbs.length).forEach((line, l) => {
      const p = settings().under && under(l)?.map(to_sheet);
      put(line, { d: p ? outline(...hand_of(head.limbs[l].joints, p, widths(head.limbs[l].lengths, scale()))) : null });
    });
    const lie = settings().under ? plans() : [];
    plan_lines(lie.length).forEach((line, i) => put(line, { d: smooth(lie[i].path.map(to_sheet), head.loop) }));
    const planned = lie.flatMap((plan) => plan.dots.map((place, k) => ({ place, here: k + 1 === n })));
    plan_dots(planned.length).forEach((dot, i) => {
      const [cx, cy] = to_sheet(planned[i].place).map(n1);
      put(dot, { cx, cy, r: planned[i].here ? 5.5 : 2.6, class: planned[i].here ? "planned here" : "planned" });
    });
    const taken = paint_fixtures(n, near, bottom);
    place_labels(n, near, limb, joint, taken, [SHEET, bottom]);
  }

  /** Corner, legend and timing chart: returns the boxes they take. */
  function paint_fixtures(n, near, bottom) {
    const small = type(settings().lecture ? 12.5 : 11) / 11;
    // The chart is pencilled at the right edge, or at the left where only the left is free.
    const crowd = (is) => pose.drawings.flat(2).filter((q) => is(to_sheet(q)[0])).length;
    const mirrored = crowd((x) => x > SHEET - 124) > crowd((x) => x < 124);
    const title_wide = Math.max(80, head.title.length * 5.6 * small);
    put(corner, { transform: mirrored ? `translate(${n1(SHEET - 36 - title_wide)})` : null });
    put(chart, { transform: mirrored ? `translate(${CHART - SHEET})` : null });
    nudge.classList.toggle("right", mirrored);
    const said = corner_words(head.title ? 3 : 2);
    const wide = String(n).length * 15.5;
    [[18, 36, "sheetno", String(showing ?? n)], [24 + wide, 36, "k", `of ${count()}`], [18, 54 * Math.sqrt(small), "k", head.title]]
      .slice(0, said.length).forEach(([x, y, name, text], i) => { put(said[i], { x, y, class: name }); say(said[i], text); });
    const taken = [mirrored ? [SHEET - 36 - title_wide, 8, SHEET - 6, 62] : [10, 8, title_wide + 18, 62], [180, 0, 414, 20]];

    const named = { before: "before: dashes", after: "after: dots", under: "under: fine dashes", planned: "planned path" };
    const lies = (side) => (side === "under" ? settings().under && head.limbs.some((_, l) => under(l)) :
      side === "planned" ? settings().under && plans().length : near.some((a) => a.side === side));
    const keys = small > 1.3 ? [] : Object.keys(named).filter(lies); // no room on a small sheet
    const wordy = keys.includes("under") ? 92 : 74;
    const left = mirrored ? CHART + 6 : 406 - wordy * small; // between the buttons that move a chosen joint and the chart
    legend_parts(keys.length).forEach((g, i) => {
      const y = bottom - 12 - 15 * small * (keys.length - 1 - i);
      put(g.children[0], { d: `M${left},${n1(y - 4)}h34`, class: keys[i] === "under" ? "under-line" : keys[i] === "planned" ? "planned" : `skin ${keys[i]} d1` });
      put(g.children[1], { x: left + 40, y: n1(y) });
      say(g.children[1], named[keys[i]]);
    });
    if (keys.length) taken.push([left - 4, bottom - 14 - 15 * small * keys.length, left + 44 + wordy * small, bottom - 4]);
    if (active) taken.push(mirrored ? [SHEET - 300, bottom - 42, SHEET, bottom] : [0, bottom - 42, 300, bottom]);
    if (paint_chart(n, bottom)) taken.push(mirrored ? [0, 6, CHART - 16, bottom] : [SHEET - 116, 6, SHEET, bottom]);
    return taken;
  }

  /** Timing chart at the right edge: left of the line as asked, right of it as drawn. */
  function paint_chart(n, bottom) {
    const found = chart_now();
    const at_work = Math.max(0, found?.halves.findIndex((half_) => half_.drawings.slice(0, -1).includes(n)) ?? 0);
    const halves = found ? (found.halves.length <= 2 ? found.halves : [found.halves[at_work], found.halves[(at_work + 1) % found.halves.length]]) : [];
    const said = JSON.stringify([found, n, bottom, n1(type(12)), at_work]);
    if (chart.said !== said) {
      chart.said = said;
      chart.replaceChildren();
      const text = (x, y, name, anchor, inside) => chart.append(s("text", { x: n1(x), y: n1(y), class: name, "text-anchor": anchor }, inside));
      const [high, low] = [62, Math.min(348, bottom - 72)];
      halves.forEach(({ name, drawings, asked, drawn }, i) => {
        const x = SHEET - 38 - 59 * (halves.length - 1 - i);
        const y = (part) => high + Math.min(1.06, Math.max(-0.06, part)) * (low - high);
        chart.append(s("path", { class: "spine", d: `M${x},${high}V${low}` }));
        text(x, 36, "ct", "middle", name);
        const last = drawings.length - 1;
        const middle = last % 2 === 0 ? last / 2 : -1;
        const said_at = [];
        // Numbers are set where they fit: the drawing under work first, then the breakdown, then the rest.
        const rank = (k) => (drawings[k] === n ? 0 : k === middle ? 1 : 2);
        drawings.map((_, k) => k).sort((a, b) => rank(a) - rank(b) || a - b).forEach((k) => {
          const here = drawings[k] === n && k > 0 && k < last;
          chart.append(s("path", { class: "rung ask", d: `M${x - 11},${n1(y(asked[k]))}H${x}` }));
          chart.append(s("path", { class: here ? "rung off" : "rung", d: `M${x},${n1(y(drawn[k]))}H${x + (here ? 17 : 11)}` }));
          if (k === 0 || k === last) {
            const yy = k ? low + 12 : high - 12;
            chart.append(s("circle", { class: drawings[k] === n ? "ring1 here" : "ring1", cx: x, cy: yy, r: 9 }));
            text(x, yy + 4, "num", "middle", drawings[k]);
          } else if (said_at.every((v) => Math.abs(v - y(drawn[k])) > type(12) * 0.9)) {
            said_at.push(y(drawn[k]));
            text(x + 23, y(drawn[k]) + (here ? 5 : 4), here ? "num here" : "num", "middle", drawings[k]);
            if (k === middle) chart.append(s("path", { class: "under", d: `M${x + 17},${n1(y(drawn[k]) + 7)}h12` }));
          }
        });
      });
      if (halves.length) {
        text(SHEET - 14, 20, "ct2", "end", `timing chart, ${found.joint}`);
        text(SHEET - 14, low + 44, "k", "end", "left of the line: asked");
        text(SHEET - 14, low + 44 + 14 * (type(11) / 11), "k", "end", "right of it: drawn");
      }
    }
    return halves.length > 0;
  }

  /** Numbers outward along the path's normal, tabs at the tips; what does not fit is folded away. */
  function place_labels(n, near, limb, joint, taken, size) {
    const em = type(12);
    for (const { limb: l, joint: j } of flat()) {
      const [x, y] = on_sheet(l, n)[j];
      taken.push([x - 9, y - 9, x + 9, y + 9]);
    }
    if (settings().paths) for (const d of pose.drawings[limb]) {
      const [x, y] = to_sheet(d[joint]);
      taken.push([x - 3, y - 3, x + 3, y + 3]);
    }
    const bones = on_sheet(limb, n);
    if (has_hand(head.limbs[limb].joints)) {
      const [x, y] = thumb_of(bones, from_back)[1];
      taken.push([x - 6, y - 6, x + 6, y + 6]);
    }
    const r = widths(head.limbs[limb].lengths, scale());
    for (let j = 1; j < bones.length; j += 1) for (let part = 0.1; part < 1; part += 0.1) {
      const [x, y] = [0, 1].map((k) => bones[j - 1][k] + part * (bones[j][k] - bones[j - 1][k]));
      taken.push([x - r[j], y - r[j], x + r[j], y + r[j]]);
    }
    const { ghost, first } = ghost_here();
    if (first >= 0) for (const [x, y] of ghost.points.slice(first).map(to_sheet)) taken.push([x - 8, y - 8, x + 8, y + 8]);
    // tabs: the drawing under work and its onion skin, at the tip or, where that is taken, further up the limb
    const marks = [{ number: n, far: 0 }, ...near];
    const tabbed = new Set();
    tab_marks(marks.length).forEach((g, i) => {
      const { number: m, far } = marks[i];
      const p = on_sheet(limb, m);
      const spots = [];
      for (let j = p.length - 1; j >= (p.length > 2 ? p.length - 3 : p.length - 1); j -= 1) {
        const from = p[j - 1] ?? [p[j][0] - 0.6, p[j][1] + 1];
        const turn = Math.atan2(p[j][1] - from[1], p[j][0] - from[0]);
        for (const far_ of [far ? 16 : 23, 30]) for (const off of [0, 0.6, -0.6, 1.2, -1.2]) {
          spots.push([p[j][0] + far_ * Math.cos(turn + off), p[j][1] + far_ * Math.sin(turn + off)]);
        }
      }
      const w = far ? Math.max(20, em * 0.62 * String(m).length + 8) : 25;
      const tall = far ? em + 5 : 25;
      const spot = placed(spots, w + 2, tall + 2, taken, size);
      put(g, { class: far ? "tab" : "tab here", visibility: spot ? null : "hidden" });
      if (!spot) return;
      tabbed.add(m);
      put(g.children[0], { x: n1(spot[0] - w / 2), y: n1(spot[1] - tall / 2), width: n1(w), height: n1(tall), rx: n1(tall / 2) });
      put(g.children[1], { x: n1(spot[0]), y: n1(spot[1] + (far ? em * 0.36 : 5.8)) });
      say(g.children[1], String(m));
    });
    place_measure(taken, size);
    place_reasons(taken, size);
    // name of the chosen joint
    const here = on_sheet(limb, n)[joint];
    const name = active ? head.limbs[limb].joints[joint] : "";
    const wide = name.length * em * 0.6;
    const beside = placed([[here[0] - 17 - wide / 2, here[1]], [here[0] + 17 + wide / 2, here[1]], [here[0], here[1] + 22], [here[0], here[1] - 22]], wide, em, taken, size);
    // numbers of the strongest path
    const p = pose.drawings[limb].map((d) => to_sheet(d[joint]));
    const shown = settings().paths && p.some((q) => Math.hypot(q[0] - p[0][0], q[1] - p[0][1]) > 40) ? p : [];
    const middle = p.reduce((sum, q) => [sum[0] + q[0] / p.length, sum[1] + q[1] / p.length], [0, 0]);
    num_marks(shown.length + 1).forEach((text, i) => {
      let spot = null;
      if (i === shown.length) spot = name && beside;
      else if (i + 1 !== n && !(joint === head.limbs[limb].joints.length - 1 && tabbed.has(i + 1))) { // no number twice at a tip
        const [a, b] = [p.at(i - 1), p[(i + 1) % p.length]];
        const long = Math.hypot(b[0] - a[0], b[1] - a[1]) || 1;
        const out = [(b[1] - a[1]) / long, (a[0] - b[0]) / long];
        const side = out[0] * (p[i][0] - middle[0]) + out[1] * (p[i][1] - middle[1]) < 0 ? -1 : 1;
        const spots = [12, 16, -12, 21, -16].map((far) => [p[i][0] + side * far * out[0], p[i][1] + side * far * out[1]]);
        spot = placed(spots, em * 0.6 * String(i + 1).length + 1, em * 0.9, taken, size);
      }
      put(text, { class: i === shown.length ? "halo joint" : "halo num", visibility: spot ? null : "hidden" });
      if (spot) put(text, { x: n1(spot[0]), y: n1(spot[1] + em * 0.35) });
      say(text, i === shown.length ? name : String(i + 1));
    });
  }

  /** The ghost on this drawing of the step offered or else of the open note, its limb, and its first joint that lies elsewhere (-1: no ghost). */
  function ghost_here() {
    const note = step_now() ? as_note(step_now()) : open_note();
    const ghost = note?.ghost?.drawing === number() ? note.ghost : null;
    const limb = head.limbs.findIndex((l) => l.name === note?.limb);
    const now = ghost && limb >= 0 ? points(limb) : [];
    const first = now.findIndex((q, j) => Math.hypot(q[0] - ghost.points[j][0], q[1] - ghost.points[j][1]) > 0.05);
    return { ghost, limb, first };
  }

  /** The chosen note on the sheet: a dash-dot ghost of the correction and its measure beside it. */
  function place_measure(taken, size) {
    const { ghost, limb, first } = ghost_here();
    put(ghosts, { display: first < 0 ? "none" : null });
    const said = first < 0 ? [] : [ghost.says, ghost.more].filter(Boolean);
    const lines_ = measure_words(said.length);
    if (first < 0) return;
    const now = points(limb);
    const p = ghost.points.map(to_sheet);
    const from = Math.max(0, first - 1);
    const r = widths(head.limbs[limb].lengths, scale());
    const [q, rr] = hand_of(head.limbs[limb].joints, p, r);
    put(ghost_parts[0], { d: outline(q.slice(from), rr.slice(from), first > 0) });
    put(ghost_parts[1], { cx: n1(p[first][0]), cy: n1(p[first][1]) });
    const tall = type(16) + (said.length > 1 ? type(12.5) + 3 : 0);
    const wide = Math.max(said[0].length * type(16) * 0.56, (said[1]?.length ?? 0) * type(12.5) * 0.56);
    const [[x, y], dir] = [p[first], Math.sign(p[first][0] - to_sheet(now[first])[0]) || 1];
    const spots = [];
    for (const far of [16, 30, 48, 70, 100]) for (const down of [0, 24, -24, 48, -48, 80]) for (const side of [dir, -dir])
      spots.push([x + side * (far + wide / 2), y + down]);
    const spot = placed(spots, wide, tall, taken, size) ?? [x, y + 30];
    lines_.forEach((text, i) => {
      put(text, { x: n1(spot[0] - wide / 2), y: n1(spot[1] - tall / 2 + type(16) * 0.85 + (i ? type(12.5) + 3 : 0)), class: i ? "halo m2" : "halo m" });
      say(text, said[i]);
    });
  }

  /** Somebody to whom the arm belongs, pencilled lightly where a limb hangs on a shoulder: scenery, not checked. */
  function paint_body() {
    const limb = head.limbs.findIndex((l) => l.joints[0] === "shoulder");
    const all = limb < 0 ? [] : pose.drawings[limb];
    const mean = (j, k) => all.reduce((sum, p) => sum + p.at(j)[k] / all.length, 0);
    if (!body.children.length) for (const d of [
      "M-2 -14q-26 -8 -44 -6q-26 0 -48 14q-20 14 -22 88M6 14q-8 26 -10 66",
      "M-62 -21q2 -10 -2 -18a27 30 0 1 1 26 0q-2 10 6 20",
      "M-82 -66q30 -16 64 -4q14 1 20 5q-10 2 -20 1M-79 -68q6 -24 32 -24q24 2 28 22"]) body.append(s("path", { d }));
    put(body, { hidden: all.length ? null : "" });
    if (!all.length || drag) return;
    const [x, y] = to_sheet([mean(0, 0), mean(0, 1)]);
    const k = (head.limbs[limb].lengths.reduce((a, b) => a + b, 0) / 145.6) * (scale() / 2);
    const facing = (mean(-1, 0) < mean(0, 0) - 30) !== from_back ? -1 : 1;
    for (const part of body.children) put(part, { transform: `translate(${at([x, y])}) scale(${n1(k * 10 * facing) / 10} ${n1(k * 10) / 10})` });
  }
  for (const [x, w] of [[186, 24], [384, 24]]) pegs.append(s("rect", { x, y: 9.5, width: w, height: 7, rx: 3.5 }));
  pegs.append(s("circle", { cx: 297, cy: 13, r: 5 }));

  // ---- model -> picture: where may it go --------------------------------------------------------
  const shut_marks = pool(circle, () => s("g", {}, s("title"), s("path", { class: "shut" }), s("path", { class: "shut-hit" })));
  const circle_line = circle.appendChild(s("path", { class: "length-circle" }));
  const border_line = circle.appendChild(s("path", { class: "border" }));
  const so_far = pool(open, () => s("circle", { class: "so-far", r: 3.2 }));
  const traced_line = circle.appendChild(s("path", { class: "traced" }));
  const tangent_line = circle.appendChild(s("path", { class: "tangent" }));
  const open_marks = pool(open, () => s("path", { class: "allowed" }));
  const gate_line = wanted.appendChild(s("path", { class: "gate" }));
  const asked_dot = wanted.appendChild(s("circle", { class: "asked-dot", r: 5.4 }));
  const reason_words = pool(reasons, () => s("g", { class: "reason" }, s("path"), s("text", { class: "halo", "text-anchor": "middle" })));

  const stands = h("p", { class: "stands", role: "status" });
  const guide_says = h("p", { class: "guide-says" });
  const guide_head = h("b", { class: "guide-head" });
  const shut_list = h("ul");
  const shut_words = h("summary");
  const shut_box = h("details", { class: "shut-list" }, shut_words, shut_list);
  const guide_note = h("li", { class: "guide-note" }, guide_head, stands, guide_says, shut_box);
  on(shut_box, "toggle", () => lay_notes());

  let guide_since = pose.revision; // what has changed since this revision does not touch the answer
  /** The joint that is asked about, as {limb, joint} of places; null with the guide off. */
  function guided() {
    const asked = settings().guide;
    const limb = asked ? head.limbs.findIndex((l) => l.name === asked.limb) : -1;
    const joint = limb < 0 ? -1 : head.limbs[limb].joints.indexOf(asked.joint);
    return joint > 0 ? { limb, joint } : null;
  }
  const at_root = () => Boolean(guided() && active?.joint === 0);
  /** Python's answer if it is about this joint of this drawing, else null. */
  function guide_here() {
    const [g, is] = [model.get("guide") ?? {}, guided()];
    if (!is || at_root() || dead || !g.centre || g.drawing !== number()) return null;
    return g.limb === head.limbs[is.limb].name && g.joint === head.limbs[is.limb].joints[is.joint] ? g : null;
  }
  /** What Python says in place of a circle: why there is none here. An empty text where it does not. */
  const only_words = () => { const g = model.get("guide") ?? {}; return guided() && !g.centre && (g.revision ?? pose.revision) === pose.revision ? g.says ?? "" : ""; };
  const guide_fresh = () => guide_here()?.revision === pose.revision;
  /** Whether the answer still tells of what lies on the table: a joint that only swings on its own circle does not change it. */
  const guide_holds = () => (guide_here()?.revision ?? -1) >= guide_since;
  const parts_shown = (g) => (g.shows === "circle" ? { allowed: [], excluded: [] } : { allowed: g.allowed ?? [], excluded: g.excluded ?? [] });
  const asked_shown = (g) => (g.shows === "all" ? g.asked : null);
  const plainly = (says) => says.replace(/\.$/, "");
  const reason_of = ({ rule, says }) => `${says.charAt(0).toLowerCase()}${plainly(says).slice(1)} (${rule})`;

  /** Where the joint stands, in one sentence; an empty text where nothing can be said for sure. */
  function standing_words() {
    const g = guide_holds() && guide_here();
    if (!g) return "";
    const { limb, joint } = guided();
    const { allowed, excluded } = parts_shown(g);
    if (!allowed.length && !excluded.length) return "";
    const turn = whole(turns(points(limb))[joint - 1]);
    const shut = allowed.some((part) => lies_in(turn, part)) ? null : excluded.find(({ from, to }) => lies_in(turn, [from, to]));
    return shut ? `at ${Math.round(turn)}° it may not stand: ${shut.says ? reason_of(shut) : "a rule is against it"}` : `at ${Math.round(turn)}° every rule allows it`;
  }

  /** Circle, traced segment, tangent, dots, open and shut parts: all that follows the hand. */
  function paint_guide() {
    const [g, is] = [guide_here(), guided()];
    const fresh = guide_fresh();
    put(root, { "data-guide": !is || at_root() || only_words() ? "off" : fresh ? "fresh" : "waiting",
      "data-guide-joint": is && !at_root() ? head.limbs[is.limb].joints[is.joint] : null });
    for (const group of [circle, open, reasons, wanted]) {
      put(group, { hidden: g ? null : "" });
      group.classList.toggle("faint", Boolean(g) && !guide_holds());
    }
    paint_guide_note(g);
    if (!g) { shut_marks(0); open_marks(0); return put(asked_dot, { "data-asked": null }); }
    const sheet_line = (p) => polyline(p.map(to_sheet));
    const { allowed, excluded } = parts_shown(g);
    put(circle_line, { d: sheet_line(arc_points(g.centre, g.radius, 0, 360)) });
    const ends = new Set(spoken_parts(excluded).flatMap(({ from, to }) => [whole(from), whole(to)]));
    put(border_line, { d: [...ends].map((turn) => strokes(g.centre, g.radius, turn, turn, 7).map(sheet_line)).join("") || null });
    shut_marks(excluded.length).forEach((mark, i) => {
      const { from, to, rule, says } = excluded[i]; // a brief may keep rule and words back
      put(mark, { "data-excluded": `${from} ${to}`, "data-rule": rule });
      say(mark.children[0], says && reason_of(excluded[i]));
      put(mark.children[1], { d: strokes(g.centre, g.radius, from, to, 3.6, 3.4).map(sheet_line).join("") });
      put(mark.children[2], { d: sheet_line(arc_points(g.centre, g.radius, from, to)) });
    });
    open_marks(allowed.length).forEach((mark, i) => put(mark, { d: sheet_line(arc_points(g.centre, g.radius, ...allowed[i])), "data-allowed": allowed[i].join(" ") }));
    // Its ends stand out, so that a narrow part is seen beside the joint that lies in it.
    const gates = [...new Set(allowed.flat().map(whole))].filter((turn) => ends.has(turn));
    put(gate_line, { d: gates.map((turn) => strokes(g.centre, g.radius, turn, turn, 15).map(sheet_line)).join("") || null });
    const dots_ = g.dots ?? [];
    so_far(dots_.length).forEach((dot, i) => { const [x, y] = to_sheet(dots_[i]); put(dot, { cx: n1(x), cy: n1(y) }); });
    put(traced_line, { d: g.traced === null ? null : sheet_line([g.centre, on_circle(g.centre, g.radius * 1.07, g.traced)]) });
    const lead = g.tangent;
    put(tangent_line, { d: lead ? arrow(lead) : null, style: lead ? `stroke-width: ${n1(0.9 + 2.6 * lead.strength)}` : null });
    const asked = asked_shown(g);
    const [x, y] = asked ? to_sheet(asked.place) : [0, 0];
    put(asked_dot, { cx: n1(x), cy: n1(y), display: asked ? null : "none", "data-asked": asked ? asked.angle : null });
    mark_reason();
  }
  const lead_long = (lead) => 14 + 16 * lead.strength; // mm each way
  /** Line along the path of the parent, with a head where it is going. */
  function arrow(lead) {
    const [back, tip] = [-1, 1].map((way) => on_circle(lead.at, way * lead_long(lead), lead.angle));
    const barbs = [155, -155].map((off) => on_circle(tip, 4.5, lead.angle + off));
    return polyline([back, tip].map(to_sheet)) + polyline([barbs[0], tip, barbs[1]].map(to_sheet));
  }

  let reasons_said = []; // what the labels on the sheet stand for
  let told_of = ""; // the answer they were placed for
  const what_is_told = () => { const { allowed, excluded, asked, traced } = guide_here() ?? {}; return JSON.stringify([allowed, excluded, asked, traced]); };
  let taken_else = []; // boxes that everything but these labels takes
  /** Labels of the circle: outside it, off joints, numbers and each other; parts under 4° and what finds no room are in the list only. */
  function place_reasons(taken, size) {
    taken_else = [...taken];
    told_of = what_is_told();
    const g = guide_here();
    reasons_said = [];
    if (g) {
      const em = type(12);
      const centre = to_sheet(g.centre);
      const spread = (turn) => arc_points(g.centre, g.radius, turn - 24, turn + 24, 8).map(to_sheet);
      const wished = [];
      taken.push(...arc_points(g.centre, g.radius, 0, 354, 6).map(to_sheet).map(([x, y]) => [x - 4, y - 4, x + 4, y + 4]));
      const single = (kind, says, turn) => wished.push({ kind, says, from: turn, to: turn, along: spread(turn), on: to_sheet(on_circle(g.centre, g.radius, turn)) });
      if (asked_shown(g)) {
        const [x, y] = to_sheet(asked_shown(g).place);
        taken.push([x - 8, y - 8, x + 8, y + 8]);
        single("asked", `${number()} asked`, asked_shown(g).angle);
      }
      if (g.traced !== null && there(wrapped(number() - 1))) single("trace", `${wrapped(number() - 1)} traced`, g.traced);
      const now = whole(turns(points(guided().limb))[guided().joint - 1]);
      const shut = spoken_parts(parts_shown(g).excluded).filter(({ from, to, says }) => says && (to - from >= 4 || lies_in(now, [from, to])));
      const rank = ({ from, to }) => (lies_in(now, [from, to]) ? 360 : to - from); // why it may not stay where it is comes first
      wished.push(...shut.sort((one, two) => rank(two) - rank(one)).map((part) => ({ ...part, along: arc_points(g.centre, g.radius, part.from + 1, Math.max(part.from + 1, part.to - 1), 8).map(to_sheet) })));
      if (g.tangent) {
        const tip = to_sheet(on_circle(g.tangent.at, lead_long(g.tangent), g.tangent.angle));
        wished.push({ kind: "lead", says: `${head.limbs[guided().limb].joints[guided().joint - 1]}’s path`, on: tip, round: tip, along: arc_points(tip, 2, 0, 330, 30) });
      }
      const on_sheet_ = ([x, y]) => x > 0 && y > 0 && x < size[0] && y < size[1];
      for (const { along, ...wish } of wished) for (const most of [24, 14]) {
        const seen = along.filter(on_sheet_);
        const lines_ = in_lines(plainly(wish.says), most);
        const wide = Math.max(...lines_.map((line) => line.length)) * em * 0.54;
        const tall = em * 1.15 * lines_.length;
        const spot = placed(beside_circle(wish.round ?? centre, seen, wide, tall), wide, tall, taken, size);
        if (!spot) continue;
        const far = ([x, y]) => Math.hypot(x - spot[0], y - spot[1]);
        reasons_said.push({ ...wish, lines: lines_, spot, wide, tall, on: wish.on ?? seen.reduce((one, two) => (far(one) <= far(two) ? one : two)) });
        break;
      }
    }
    reason_words(reasons_said.length).forEach((mark, i) => {
      const { lines, spot: [x, y], wide, tall, on: [px, py] } = reasons_said[i];
      const em = type(12);
      const edge = [Math.max(x - wide / 2 - 2, Math.min(x + wide / 2 + 2, px)), Math.max(y - tall / 2, Math.min(y + tall / 2, py))];
      put(mark.firstChild, { d: Math.hypot(px - edge[0], py - edge[1]) > 12 ? polyline([[px, py], edge]) : null });
      if (mark.said !== lines.join("|")) {
        mark.said = lines.join("|");
        mark.children[1].replaceChildren(...lines.map((line) => s("tspan", {}, line)));
      }
      [...mark.children[1].children].forEach((line, k) => put(line, { x: n1(x), y: n1(y - tall / 2 + em * (0.92 + 1.15 * k)) }));
    });
    mark_reason();
  }
  /** The reason that shuts the place where the joint stands is heavier. */
  function mark_reason() {
    const is = guided();
    const turn = is && guide_holds() ? whole(turns(points(is.limb))[is.joint - 1]) : null;
    reason_words(reasons_said.length).forEach((mark, i) => {
      const { kind, from, to } = reasons_said[i];
      put(mark, { class: `reason ${kind ?? (turn !== null && lies_in(turn, [from, to]) ? "here" : "")}`.trim() });
    });
  }

  /** The same in words, in the margin: for readers, and for what found no room on the sheet. */
  function paint_guide_note(g) {
    const is = guided();
    guide_note.hidden = !is;
    if (!is) return;
    const { joints } = head.limbs[is.limb];
    say(guide_head, `Where may the ${joints[at_root() ? 0 : is.joint]} of ${number()} go?`);
    const words = standing_words();
    const standing_now = at_root() ? `The ${joints[0]} is the root: it hangs on no part, so no circle holds it. It goes along its own path; choose a joint below it.`
      : only_words() ? only_words() : words ? `${Cap(words)}.` : g && guide_holds() ? "" : dead || silent() ? "Nobody is checking." : "Looking …";
    put(stands, { "aria-live": drag || standing_now === "Looking …" ? "off" : "polite" });
    say(stands, standing_now);
    say(guide_says, g && guide_holds() ? g.says ?? "" : "");
    const parts = g ? spoken_parts(parts_shown(g).excluded).filter(({ says }) => says) : [];
    shut_box.hidden = !parts.length;
    say(shut_words, `what shuts the rest: ${parts.length} part${parts.length === 1 ? "" : "s"}`);
    const listed = parts.map((part) => `${Math.round(part.from)}° to ${Math.round(part.to > 360 ? part.to - 360 : part.to)}°: ${reason_of(part)}`);
    if (drag && guide_note.deep !== guide_note.offsetHeight) lay_notes(); // else it would lie on the note below
    guide_note.deep = guide_note.offsetHeight;
    if (shut_list.said !== listed.join("|")) {
      shut_list.said = listed.join("|");
      shut_list.replaceChildren(...listed.map((words_) => h("li", {}, words_)));
    }
  }

  // ---- where may it go: by key and button ---------------------------------------------------------
  function toggle_guide() {
    if (guided()) return set({ guide: null });
    const limb = active?.limb ?? guide_limb();
    const joint = Math.max(1, active ? active.joint : joint_now());
    if (!head.limbs[limb]?.joints[joint]) { hint = "No joint here hangs on another, so no circle holds one."; return paint_head(); }
    set({ guide: name_of({ limb, joint }) });
  }
  const name_of = ({ limb, joint }) => ({ limb: head.limbs[limb].name, joint: head.limbs[limb].joints[joint] });
  const guide_limb = () => (head.limbs[limb_now()].joints.length > 1 ? limb_now() : head.limbs.findIndex((l) => l.joints.length > 1));

  let wish = ""; // a step asked for before Python has answered: taken when it has, if nothing else was done meanwhile
  function put_joint(where) {
    wish = "";
    if (!guided() || at_root() || drag) return;
    const only = only_words();
    if (only) { hint = only; return paint_head(); }
    if (!guide_fresh()) { wish = where; return; }
    const { limb, joint } = guided();
    const g = guide_here();
    const now = whole(turns(points(limb))[joint - 1]);
    const goal = where === "asked" ? asked_shown(g)?.angle ?? null : nearest_open(now, parts_shown(g).allowed);
    if (goal === null) hint = where === "asked" ? "Slow in and slow out ask for no place here." : g.shows === "circle" ? "Here the guide shows the circle only." : "No place on this circle keeps every rule; mend what is broken beside it first.";
    else if (where === "open" && goal === now) hint = `The ${head.limbs[limb].joints[joint]} is in the open part already.`;
    else {
      rest_hands();
      remember();
      lay({ drawings: with_drawing(limb, moved(points(limb), joint, on_circle(g.centre, g.radius, goal))) }, { limb, joint });
      return paint();
    }
    paint_head();
  }

  // ---- work in layers: one joint through the stack, then the next one out ----------------------------
  const layers = () => [null, ...flat().filter(({ joint }) => joint > 0)];
  const layer_now = () => layers().find((one) => one && JSON.stringify(name_of(one)) === JSON.stringify(settings().layer)) ?? null;
  /** Whether a joint lies beyond the one that is worked on: its turn comes later. */
  const beyond = ({ limb, joint }) => Boolean(layer_now()) && (limb !== layer_now().limb || joint > layer_now().joint);
  function work_on(one) {
    if (one) active = { ...one };
    set({ layer: one && name_of(one), ...(one && settings().guide ? { guide: name_of(one) } : {}), ...(one ? { chart: name_of(one).joint } : {}) });
  }
  function next_layer() {
    const all = layers();
    const one = all[(all.findIndex((other) => JSON.stringify(other) === JSON.stringify(layer_now())) + 1) % all.length];
    work_on(one);
    if (one) handle_at(one).focus({ preventScroll: true });
  }
  const handle_at = ({ limb, joint }) => handle_marks(flat().length)[flat().findIndex((one) => one.limb === limb && one.joint === joint)];
  function paint_layers() {
    const all = layers();
    const names = all.map((one) => (one ? `${name_of(one).joint}${head.limbs.length > 1 ? `, ${name_of(one).limb}` : ""}` : "all joints"));
    if (layer_choice.said !== names.join("|")) {
      layer_choice.said = names.join("|");
      layer_choice.replaceChildren(...names.map((name) => h("option", {}, name)));
    }
    layer_choice.selectedIndex = all.findIndex((one) => JSON.stringify(one) === JSON.stringify(layer_now()));
    way_choice.hidden = !layer_now();
    way_choice.value = settings().way ?? "straight ahead";
    put(root, { "data-layer": layer_now() ? name_of(layer_now()).joint : null });
  }

  // ---- correct it a little: steps asked of Python, each a ghost to take or to leave --------------------
  let mending = null; // {revision, steps: null until they come, at, taken, says}
  const step_head = h("b");
  const step_words = h("p", { class: "step" });
  const take_b = button("accept", () => step(true), { title: "Draw it so (Enter)", "aria-keyshortcuts": "Enter" });
  const leave_b = button("leave it", () => step(false), { title: "Keep the drawing as it is, and go to the next step (X)", "aria-keyshortcuts": "X" });
  const rest_b = button("leave the rest", () => end_mending("The rest is left as you drew it."), { title: "Leave all steps that are still to come (Escape)" });
  const mend_note = h("li", { class: "mend-note" }, step_head, step_words, h("div", { class: "row" }, take_b, leave_b, rest_b));

  /** The step that is offered; none once the drawings are others than those it was made for. */
  const step_now = () => (mending?.steps && mending.revision === pose.revision ? mending.steps[mending.at] : null);
  const as_note = ({ drawing, limb, points: to, says, moved: mm }) => ({ limb, ghost: { drawing, points: to, says: `${n1(mm)} mm`, more: says } });

  function ask_mend(finding) {
    if (drag || offered) return;
    rest_hands();
    if (stale()) { hint = "Still looking at what you drew; ask again in a moment."; return paint_head(); }
    if (!findings().length) { hint = "There is nothing to mend."; return paint_head(); }
    mending = { revision: pose.revision, steps: null, at: 0, taken: 0 };
    model.set("mended", {}); // so that the same answer twice is an answer twice
    try { model.save_changes(); } catch { dead = true; }
    ask("mend", { finding: finding && findings().indexOf(finding) });
    hint = "Looking for the smallest change …";
    paint();
  }
  function take_up_steps() {
    const { revision, steps: found, says } = model.get("mended") ?? {};
    if (!mending || mending.steps || revision !== mending.revision || revision !== pose.revision) return;
    if (!found?.length) return end_mending(says || "No small change keeps every rule.");
    Object.assign(mending, { steps: found, says });
    hint = "";
    turn_to(found[0].drawing);
    paint();
  }
  function step(taken) {
    const { drawing, limb, points: to } = step_now() ?? {};
    const l = head.limbs.findIndex((one) => one.name === limb);
    if (l < 0 || drag) return;
    rest_hands();
    if (taken && drawing !== number()) { turn_to(drawing); return paint(); } // it is seen before it is drawn
    if (taken) {
      remember();
      lay({ drawings: with_drawing(l, to, drawing) });
      mending.revision = pose.revision; // the steps to come are for other drawings
      mending.taken += 1;
    }
    mending.at += 1;
    const many = mending.steps.length;
    if (mending.at >= many) return end_mending((mending.taken === many && mending.says) || `${mending.taken} of ${many} step${many === 1 ? "" : "s"} taken.`);
    turn_to(mending.steps[mending.at].drawing);
    paint();
  }
  function end_mending(words) {
    if (!mending) return;
    mending = null;
    hint = words;
    if (mend_note.contains(document.activeElement)) root.focus({ preventScroll: true });
    paint();
  }
  const turn_to = (n) => { if (n !== model.get("number")) { model.set("number", n); model.save_changes(); } };
  const step_says = () => `On ${step_now().drawing}, ${step_now().says}`;
  function paint_step() {
    if (mending && mending.revision !== pose.revision) { mending = null; hint = "You drew on, so the rest of the correction is put away; ask again for it."; }
    const one = step_now();
    put(root, { "data-step": one ? `${mending.at + 1} of ${mending.steps.length}` : null });
    if (!one) return;
    say(step_head, `A little correction, ${mending.at + 1} of ${mending.steps.length}`);
    say(step_words, `${step_says()}; ${n1(one.moved)} mm.`);
    rest_b.hidden = mending.steps.length - mending.at < 2;
  }

  // ---- model -> picture: the exposure sheet -----------------------------------------------------
  const row_marks = pool(lines, (i) => make_row(i));
  const rule_lines = [s("path", { class: "stop" }), s("path", { class: "bend asked" }), s("path", { class: "bend" })];
  const here_box = s("rect", { class: "rowhere", x: 3, width: 230, rx: 2 });
  const play_mark = s("path", { class: "playing" });
  lines.append(...rule_lines, here_box, play_mark);
  let row_deep = ROW;

  function make_row() {
    const part = (tag, name, more = {}) => s(tag, { class: name, ...more });
    const g = s("g", { role: "button" },
      part("path", "rule"), part("text", "fr", { x: 14 }), part("text", "rn", { x: 62, "text-anchor": "middle" }), part("path", "held"),
      part("rect", "bar", { x: 80, height: 10 }), part("text", "halo fr"), part("circle", "bdot"), part("path", "mark"), part("rect", "rowhit", { x: 3, width: 230 }));
    on(g, "click", () => go(g.number));
    on(g, "keydown", (e) => {
      if (e.key === "Enter" || e.key === " ") go(g.number);
      else if (e.key === "ArrowDown" || e.key === "ArrowUp") walk(e.key === "ArrowDown" ? 1 : -1);
      else return;
      used(e);
    });
    return g;
  }
  function walk(by) {
    const all = order();
    const n = all[(all.indexOf(number()) + by + all.length) % all.length];
    go(n);
    row_marks(count())[all.indexOf(n)].focus({ preventScroll: true });
  }

  const bend_here = () => {
    const limb = head.limbs[limb_now()];
    const given = verdict().bends?.[limb_now()];
    if (given) return given;
    const segment = Math.min(1, limb.lengths.length - 1);
    return segment < 0 ? null : { joint: limb.joints[segment], segment, asked: [], stops: limb.stops[segment] };
  };

  function paint_rows() {
    const [l, joint, n, N] = [limb_now(), joint_now(), number(), count()];
    const list = order();
    const far = steps(pose.drawings[l], joint, head.loop);
    const bend = bend_here();
    const values = bend ? pose.drawings[l].map((p) => bends(p)[bend.segment]) : [];
    if (!drag) {
      const asked = bend?.asked ?? [];
      const all = [...values, ...asked];
      scales = { bar: Math.max(1, ...far.filter((v) => v !== null)), low: 0, high: 1 };
      if (bend) {
        // a stop is shown where the bends come near it
        const [least, most] = [Math.min(...all), Math.max(...all)];
        scales.low = bend.stops[0] > least - 45 ? Math.min(bend.stops[0], least) : least - 15;
        scales.high = bend.stops[1] < most + 45 ? Math.max(bend.stops[1], most) : most + 15;
        if (scales.high - scales.low < 10) scales.high = scales.low + 10;
      }
      row_deep = Math.max(Math.min(ROW, (16 * ROW) / N), 24.4 * (236 / (lines.clientWidth || 232)));
    }
    const x = (value) => n1(Math.min(219, Math.max(155, 162.8 + (52.6 * (value - scales.low)) / (scales.high - scales.low))));
    const y = (i) => n1((i + 0.5) * row_deep);
    const frames = held();
    const starts = frames.map((_, i) => frames.slice(0, i).reduce((sum, f) => sum + f, 1));
    const even = frames.every((f) => f === frames[0]);
    const marks = finding_marks();
    put(rows_box, { class: N > 22 ? "rows long" : "rows" });
    put(lines, { viewBox: `0 0 236 ${n1(N * row_deep)}` });
    row_marks(N).forEach((g, i) => {
      const m = list[i];
      const here = m === n;
      const step = far[m - 1];
      const [rule, frame, no, hold, bar, mm, dot, mark, hit] = g.children;
      g.number = m;
      put(g, { tabindex: here ? 0 : -1, "aria-current": here ? "true" : null,
        "aria-label": `drawing ${m}, ${frames[m - 1] > 1 ? `frames ${starts[m - 1]} to ${starts[m - 1] + frames[m - 1] - 1}` : `frame ${starts[m - 1]}`}${marks[m] ? (marks[m] === "cause" ? ", to mend" : ", follows from another") : ""}` });
      put(rule, { d: `M6,${n1(i * row_deep + 0.5)}H230`, class: i % 4 ? "rule" : "rule four" });
      put(frame, { y: y(i) - 2 }); say(frame, String(starts[m - 1]));
      put(no, { y: y(i) + 5, class: here ? "rn here" : "rn" }); say(no, String(m));
      // one short stroke a frame the drawing is held after its first
      put(hold, { d: Array.from({ length: Math.min(frames[m - 1] - 1, even ? 1 : 4) }, (_, k) => `M${62 + 4 * k},${y(i) + 9}v3`).join("") });
      put(bar, { y: y(i) - 5, width: step === null ? 0 : n1((56 * Math.min(step, 1.15 * scales.bar)) / scales.bar), class: here ? "bar here" : "bar" });
      put(mm, { x: n1(83 + (step === null ? 0 : (56 * Math.min(step, 1.15 * scales.bar)) / scales.bar)), y: y(i) + 4 }); say(mm, step === null ? "" : String(Math.round(step)));
      put(dot, { cx: bend ? x(values[m - 1]) : 0, cy: y(i), r: here ? 3.6 : 2.3, class: here ? "bdot here" : "bdot", display: bend ? null : "none" });
      put(mark, { d: `M221,${n1(y(i) - 6)}l10,6l-10,6z`, class: `mark ${marks[m] ?? ""}`, display: marks[m] ? null : "none" });
      put(hit, { y: n1(i * row_deep), height: n1(row_deep) });
    });
    put(here_box, { y: n1(list.indexOf(n) * row_deep), height: n1(row_deep) });
    put(play_mark, { d: showing ? `M5,${n1(y(list.indexOf(showing)) - 7)}v14` : "M0,0" });
    const stops = bend ? [[scales.low, bend.stops[0]], [scales.high, bend.stops[1]]] : [];
    put(rule_lines[0], { d: stops.filter(([a, b]) => a === b).map(([a]) => `M${x(a)},0V${n1(N * row_deep)}`).join("") || "M0,0" });
    const curve = (v) => (v.length === N ? polyline(list.map((m, i) => [x(v[m - 1]), y(i)])) : "M0,0");
    put(rule_lines[1], { d: curve(bend?.asked ?? []) });
    put(rule_lines[2], { d: curve(values) });
    end_words(stops.length).forEach((text, i) => { put(text, { x: x(stops[i][0]) }); say(text, stops[i][0] === stops[i][1] ? deg(stops[i][0]) : ""); });
    const title = bend ? `${bend.joint} bend` : "";
    const titles = [[10, "frame"], [55, "no."], [80, "spacing, mm"], [226, title.length > 13 ? "bend" : title]];
    column(4).forEach((text, i) => { put(text, { x: titles[i][0], "text-anchor": i === 3 ? "end" : null }); say(text, titles[i][1]); });
    say(hold_words, `${n} ${["", "on ones", "on twos", "on threes", "on fours"][frames[n - 1]] ?? `for ${frames[n - 1]}`}`);
    put(fewer_b, { disabled: frames[n - 1] <= 1 ? "" : null, "aria-label": `hold drawing ${n} one frame less` });
    put(more_b, { "aria-label": `hold drawing ${n} one frame more` });
  }

  /** What to mark at a drawing: a cause outweighs what follows from one. */
  function finding_marks() {
    const marks = {};
    for (const f of findings()) for (const d of f.drawings) if (f.follows === null) marks[d] = "cause"; else marks[d] ??= "follows";
    return marks;
  }

  /** Bring the row of the drawing under work into the scrolled part, moving nothing but that part. */
  function scroll_rows() {
    const one = rows_box.scrollHeight / count();
    const high = order().indexOf(number()) * one;
    const [first, last] = [high - one, high + 2 * one - rows_box.clientHeight]; // with a neighbour each side
    if (rows_box.scrollTop > first) rows_box.scrollTop = first;
    else if (rows_box.scrollTop < last) rows_box.scrollTop = last;
  }

  // ---- model -> picture: notes in the margin ----------------------------------------------------
  const key_of = (f) => [f.rule, f.limb, f.joint, f.drawings.join(" ")].join("|");
  const causes = () => findings().filter((f) => f.follows === null);
  const untouched = () => !touched && (saved().state ?? "as in the file") === "as in the file";
  const open_note = () => {
    if (chosen === "" || (chosen === null && untouched())) return null;
    return findings().find((f) => key_of(f) === chosen) ?? causes()[0] ?? null;
  };
  let built = null; // the verdict the notes were made from
  const standing_notes = [mend_note, guide_note];
  notes.append(...standing_notes);

  function build_notes() {
    if (built === verdict()) return;
    const focused = notes.contains(document.activeElement) ? document.activeElement.dataset.key : null;
    built = verdict();
    for (const node of [...notes.children]) if (!standing_notes.includes(node)) node.remove(); // those keep their focus
    findings().forEach((f, i) => {
      if (f.follows !== null) return;
      const rest = findings().filter((g) => g.follows === i);
      const title = button(f.head, () => choose(f), { class: "notehead", "data-key": key_of(f) });
      const follow = h("p", { class: "follows" });
      follow.many = rest.length;
      const facts = h("dl", {}, ...[["measured", f.shows], ["looked for", f.looked_for], ["its lesson", lesson_of(f)]].filter(([, dd]) => dd).map(([dt, dd]) => h("div", {}, h("dt", {}, dt), h("dd", {}, dd))));
      const knock = h("ul", {}, ...rest.map((g) => h("li", { "data-rule": g.rule, "data-drawings": g.drawings.join(" ") }, h("b", {}, g.drawings.join(", ")), " ", g.short ?? g.says)));
      const lay_on = h("div", { class: "layon" }, ...(f.ghost ? [button("lay it on the ghost", () => lay_on_ghost(f))] : []),
        button("correct it a little", () => ask_mend(f)), button("correct all, a little", () => ask_mend(null)));
      const note = h("li", { class: "note", "data-rule": f.rule, "data-drawings": f.drawings.join(" ") }, title, h("p", { class: "says" }, f.text), facts, lay_on, follow, knock);
      note.finding = f;
      notes.append(note);
      if (focused === key_of(f)) title.focus({ preventScroll: true });
    });
    const rules = Object.entries(built.rules ?? {});
    if (!rules.length) return;
    for (const text of built.advice ?? []) notes.append(h("li", { class: "aside advice" }, text));
    const open = rules.filter(([, r]) => !r.judged);
    const seen = rules.filter(([, r]) => r.judged).map(([name]) => name).join(", ");
    for (const text of built.unmet ?? []) notes.append(h("li", { class: "aside unmet" }, h("b", {}, Cap(text))));
    notes.append(h("li", { class: "aside judged" }, ...(built.passed === false || built.given ? [] : [h("b", {}, "Nothing to mend. ")]), `Checked: ${seen}.`, ...(open.length ? [without(open)] : [])));
  }

  /** What found nothing to judge, folded up: a beginner has not met these words yet. */
  function without(rules) {
    const many = rules.length > 1;
    const made = h("details", {}, h("summary", {}, `${rules.length} other rule${many ? "s have" : " has"} nothing to judge here`),
      ...rules.map(([name, r]) => h("p", {}, r.says ? `${Cap(name)}: ${r.says.replace(/\.$/, "")}.` : `${Cap(name)}.`)));
    on(made, "toggle", lay_notes);
    return made;
  }

  /** Open the chosen note, fold the others as far as the room asks, push them apart, tie them to their rows. */
  function lay_notes() {
    build_notes();
    const open = step_now() ? null : open_note(); // one thing at a time
    const own = [...notes.querySelectorAll(".note")];
    const beside = getComputedStyle(leaders).display !== "none";
    const room = beside ? Math.max(300, Math.max(expo.offsetHeight, figure.offsetHeight + foot.offsetHeight + 10) - notes.nextSibling.offsetHeight - 8) : Infinity;
    const list = order();
    const row_px = rows_box.scrollHeight / count();
    const start = rows_box.offsetTop - rows_box.scrollTop;
    const height_of = (node) => node.offsetHeight;
    const fold = (note, is) => {
      if (note.classList.contains("chosen")) return;
      note.classList.toggle("headonly", is);
      const follow = note.querySelector(".follows");
      follow.hidden = is || !follow.many;
    };
    const show = (heads_only) => {
      for (const note of own) {
        const is = note.finding === open || (open && open.follows !== null && findings()[open.follows] === note.finding);
        note.classList.toggle("chosen", Boolean(is));
        put(note.firstChild, { "aria-expanded": Boolean(is) });
        const [follow, knock] = [note.querySelector(".follows"), note.querySelector("ul")];
        knock.hidden = !is;
        note.classList.remove("headonly");
        follow.hidden = !follow.many;
        fold(note, heads_only);
        say(follow, is ? "follows from it" : `${follow.many} more follow${follow.many === 1 ? "s" : ""} from it`);
      }
    };
    const in_view = () => [...notes.children].filter((node) => !node.hidden);
    const total = () => in_view().reduce((sum, node) => sum + height_of(node) + 10, 0);
    notes.querySelector(".unfold")?.remove();
    guide_says.classList.remove("heard");
    for (const node of notes.children) node.hidden = (node === guide_note && !guided()) || (node === mend_note && !step_now());
    show(settings().lecture);
    for (const node of notes.querySelectorAll(".aside")) if (total() > room) node.hidden = true;
    for (const note of own.toReversed()) if (total() > room) fold(note, true);
    const knock_ons = notes.querySelector(".note.chosen ul");
    if (knock_ons && total() > room) { // what follows is counted, no more
      const follow = knock_ons.previousSibling;
      knock_ons.hidden = true;
      if (follow.many) say(follow, `${follow.many} more follow${follow.many === 1 ? "s" : ""} from it`);
    }
    guide_says.classList.toggle("heard", total() > room); // the sheet shows it
    if (total() > room && !unfolded) {
      let folded_ = 0;
      for (const note of own.toReversed()) {
        if (note.classList.contains("chosen") || total() <= room - 40) continue;
        note.hidden = true;
        folded_ += 1;
      }
      if (folded_) {
        const more = button(`${folded_} more note${folded_ === 1 ? "" : "s"}`, () => { unfolded = true; lay_notes(); });
        notes.append(h("li", { class: "aside unfold" }, more));
      }
    }
    if (!beside) {
      for (const node of notes.children) node.style.top = "";
      notes.style.height = "";
      leader(0);
      return;
    }
    const seen = in_view();
    const heights = seen.map(height_of);
    const row_y = seen.map((node) => {
      const i = node.finding?.drawings.length ? list.indexOf(node.finding.drawings[0]) : -1;
      return i < 0 ? null : start + (i + 0.5) * row_px;
    });
    const wishes = seen.map((node, i) => (node === mend_note ? -2 : node === guide_note ? -1 : row_y[i] !== null ? row_y[i] - 14 : node.finding || !own.length ? 0 : 1e5 + i)); // asides come last
    const chosen_at = seen.findIndex((node) => node.classList.contains("chosen"));
    const tops = pushed_down(wishes, heights, 10, room);
    seen.forEach((node, i) => { node.style.top = `${Math.round(tops[i])}px`; });
    const bottom = Math.max(room, ...seen.map((_, i) => tops[i] + heights[i]));
    notes.style.height = `${Math.round(bottom)}px`;
    const wide = leaders.clientWidth || 26;
    put(leaders, { viewBox: `0 0 ${wide} ${Math.max(1, Math.round(expo.offsetHeight))}`, height: Math.round(expo.offsetHeight) });
    const tied = seen.map((_, i) => i).filter((i) => row_y[i] !== null && row_y[i] > rows_box.offsetTop && row_y[i] < rows_box.offsetTop + rows_box.clientHeight);
    leader(tied.length).forEach((line, k) => {
      const i = tied[k];
      put(line, { d: `M0,${n1(row_y[i])}L${wide},${n1(tops[i] + 14)}`, class: i === chosen_at ? "chosen" : "" });
    });
  }

  function choose(f) {
    const open = open_note();
    const n = f.ghost?.drawing ?? f.drawings[0];
    touched = touched || open !== f;
    chosen = open === f && (!n || n === number()) ? "" : key_of(f); // an open note first leads to its drawing
    hint = "";
    rest_hands();
    const limb = head.limbs.findIndex((l) => l.name === f.limb);
    const joint = limb < 0 ? -1 : head.limbs[limb].joints.indexOf(f.joint);
    if (chosen && active && limb >= 0 && joint >= 0) active = { limb, joint };
    if (chosen && n) turn_to(n);
    paint();
  }

  /** The correction without a drag: the limb of that drawing goes where its ghost lies. */
  function lay_on_ghost({ limb, ghost }) {
    const l = head.limbs.findIndex((one) => one.name === limb);
    if (stale() || drag || l < 0) return;
    go(ghost.drawing);
    alter({ drawings: with_drawing(l, ghost.points) });
  }

  // ---- model -> picture: head, buttons, all -------------------------------------------------------
  let settled = "untouched"; // the state before the last change
  let unanswered = null; // when the oldest change without an answer was sent
  let last_sent = 0;
  let dead = false; // the line to Python is cut
  let timer = 0;
  const withheld = () => verdict().passed === null;
  const stale = () => verdict().revision !== pose.revision;
  const silent = () => stale() && unanswered !== null && performance.now() - unanswered > SILENCE;

  function standing() {
    if (drag?.going) return "dragging";
    if (dead || silent()) return "kernel-gone";
    if (stale()) return performance.now() - last_sent >= HEADROOM ? "waiting" : settled;
    if (saved().state === "failed") return (settled = "not-saved");
    if (untouched() || withheld()) return (settled = "untouched"); // a verdict that is withheld says neither clean nor findings
    return (settled = causes().length || verdict().passed === false ? "findings" : "clean");
  }

  function paint_head() {
    const [n, v, file] = [number(), verdict(), saved()];
    const state = standing();
    const gone = state === "kernel-gone";
    put(root, { "data-drawing": n, "data-drawings": count(), "data-state": state, "data-showing": showing, "data-lecture": settings().lecture ? "true" : null, "data-from-back": from_back ? "true" : null,
      "data-verdict": stale() || drag?.going || gone ? "waiting" : "fresh" });
    put(next_line, { "aria-live": drag ? "off" : "polite" });
    const beside = [wrapped(n - 1), wrapped(n + 1)].filter((m) => there(m) && m !== n);
    say(next_line,
      hint ? hint
      : offered ? `Drawings from ${offered.time} are kept in this browser and are not in the file.`
      : gone ? `Nobody is checking: the kernel ${dead ? "has stopped" : "is busy or gone"}. You can go on drawing.`
      : state === "dragging" ? moving_words()
      : state === "waiting" ? `Looking at drawing ${n} …`
      : step_now() ? `${step_says()}. Enter takes it, X leaves it.`
      : withheld() ? Cap(v.next)
      : state === "untouched" ? `Drawing ${n} is on the table. ${v.first || `Flip it against ${[...new Set(beside)].join(" and ")}, then drag ${sole() ? `the ${sole()}` : "a joint"}.`}`
      : `Next: ${v.next || `flip it against ${beside[0]}.`}`);
    const bold = (node, ...parts) => {
      const html = parts.map((p, i) => (i % 2 ? h("b", {}, p) : p)).filter(Boolean);
      if (node.said !== parts.join("|")) { node.replaceChildren(...html); node.said = parts.join("|"); }
    };
    const many = causes().length;
    if (state === "dragging") bold(checked, "", `${n} is moving`);
    else if (gone) bold(checked, "", v.at ? `last checked ${v.at}` : "not checked yet");
    else if (state === "waiting") bold(checked, "", "checking", v.findings ? "; the notes are from before" : "");
    else if (withheld() || !v.findings) bold(checked, "not checked yet");
    else bold(checked, "checked: ", !many && v.given ? "as given" : v.passed ?? many === 0 ? "nothing to mend" : many ? `${many} to mend` : "not all that is asked");
    const failed = file.state === "failed" && !gone;
    const behind = (file.revision ?? pose.revision) < pose.revision;
    if (failed) bold(kept_line, "", `not saved: ${file.why || "the folder cannot be written"}`);
    else bold(kept_line, file.state === "elsewhere" && !behind ? `saved ${file.at ?? ""}, in ${file.file}`
      : state === "dragging" ? "not saved yet"
      : gone ? (can_keep ? "kept in this browser" : "not kept: keep a copy")
      : behind ? "saving"
      : file.state === "saved" ? `saved ${file.at ?? ""}`.trim() : file.file ? "as in the file" : "not in a file");
    put(kept_line, { class: failed ? "saved failed" : "saved" });
    const words = gone ? "" : file.says ?? "";
    if (told.textContent !== words) {
      told.textContent = words;
      lay_notes();
    }
    say(copy, failed || gone ? "save elsewhere" : "keep a copy");
    checked.hidden = Boolean(offered);
    for (const [b, shown] of [[elsewhere, failed && !offered], [again, gone && !offered], [take_file, gone && !offered], [take_up, offered], [leave, offered]]) b.hidden = !shown;
    if (timer) clearTimeout(timer);
    timer = 0;
    if (stale() && !drag && !silent()) {
      const now = performance.now();
      const due = [last_sent + HEADROOM, (unanswered ?? now) + SILENCE + 1].filter((t) => t > now);
      if (due.length) timer = setTimeout(paint_head, Math.min(...due) - now + 1);
    }
  }

  /** While a joint moves: how far it is, to the ghost if there is one for it. */
  function moving_words() {
    const { limb, joint, from } = drag;
    const p = points(limb);
    const who = `${Cap(head.limbs[limb].joints[joint])} of ${number()}`;
    if (joint === 0) return `${who}: moved ${Math.round(Math.hypot(p[0][0] - from[0][0], p[0][1] - from[0][1]))} mm.`;
    if (guided()?.limb === limb && guided().joint === joint && standing_words()) return `${who}: ${standing_words()}.`;
    const [now, then] = [turns(p)[joint - 1], turns(from)[joint - 1]];
    if (drag.ghost) {
      const goal = turns(drag.ghost)[joint - 1];
      const left = half(goal - now);
      if (Math.abs(left) < 0.5) return `${who}: on the ghost.`;
      return `${who}: ${Math.round(Math.abs(left))}° ${Math.sign(left) === Math.sign(half(goal - then)) ? "to go to" : "past"} the ghost.`;
    }
    return `${who}: swung ${Math.round(Math.abs(half(now - then)))}° ${half(now - then) < 0 ? "clockwise" : "counter-clockwise"}.`;
  }

  function paint_buttons() {
    const [n, set_] = [number(), settings()];
    const off = (b, is) => put(b, { disabled: is ? "" : null });
    const pressed = (b, is) => put(b, { "aria-pressed": String(Boolean(is)) });
    off(previous_b, !there(wrapped(n - 1)));
    off(next_b, !there(wrapped(n + 1)));
    off(trace_b, !there(wrapped(n - 1)));
    off(middle_b, !head.loop);
    off(undo_b, !past.length);
    off(redo_b, !future.length);
    pressed(middle_b, turned);
    pressed(ones_b, held().every((f) => f === 1));
    pressed(twos_b, held().every((f) => f === 2));
    pressed(length_b, set_.keep_lengths);
    pressed(paths_b, set_.paths);
    pressed(onion_b, set_.onion > 0);
    under_b.hidden = !has_under();
    pressed(under_b, set_.under);
    pressed(lecture_b, set_.lecture);
    pressed(back_b, from_back);
    paint_layers();
    pressed(guide_b, guided());
    const g = guide_here();
    dot_b.hidden = !guided() || at_root() || (g && !asked_shown(g));
    open_b.hidden = !guided() || at_root() || g?.shows === "circle";
    pressed(roll_b, run.name === "roll");
    say(play_b, run.name === "play" ? "stop" : "play");
    say(onion_b, set_.onion ? `onion skin ${set_.onion} + ${set_.onion}` : "onion skin off");
    say(flip_b, `flip ${[...new Set([wrapped(n - 1), n, wrapped(n + 1)].filter(there))].join(", ")}`);
    const joint = active && head.limbs[active.limb]?.joints[active.joint];
    nudge.hidden = !joint;
    if (joint) {
      say(nudge_name, `${joint} of ${n}`);
      const swings = active.joint > 0 && set_.keep_lengths;
      for (const b of nudges) b.hidden = (b.way === "on" || b.way === "back") !== swings;
      const ccw = way_on() > 0 !== from_back; // as it is seen
      say(nudges[4], `swing back ${ccw ? "↻" : "↺"}`);
      say(nudges[5], `swing on ${ccw ? "↺" : "↻"}`);
    }
  }

  /** Text in units of the sheet that stays readable where the sheet is small. */
  let units = 1; // sheet units to one css pixel
  const type = (size) => Math.max(size, size * 0.9 * units);
  function measure_units() {
    units = SHEET / (sheet.clientWidth || SHEET);
    sheet.style.setProperty("--u", n1(units * 100) / 100);
    for (const g of handles.children) put(g.firstChild, { r: n1(Math.max(13, 12.5 * units)) });
  }

  function paint() {
    paint_step();
    measure_units();
    paint_sheet();
    measure_units(); // handles made just now get their size
    paint_rows();
    paint_buttons();
    paint_head();
    scroll_rows();
    lay_notes();
  }
  /** Only what follows the hand. */
  function paint_hand() {
    paint_limbs();
    paint_paths();
    paint_handles();
    paint_guide();
    paint_rows();
    paint_head();
  }

  // ---- hand -> model ----------------------------------------------------------------------------
  const with_drawing = (limb, next, n = number()) =>
    pose.drawings.map((drawings, l) => (l !== limb ? drawings : drawings.map((p, i) => (i === n - 1 ? next : p))));

  function remember() {
    past.push(pose);
    future = [];
  }
  /** Lay a new pose on the table, one revision on, and tell Python and the other views; `swung` is the joint, if no more
   * than a joint was swung on its parent. */
  function lay(change, swung_ = null) {
    pose = { ...pose, ...change, revision: (top += 1) };
    if (!swung_ || swung_.limb !== guided()?.limb || swung_.joint !== guided().joint) guide_since = pose.revision;
    touched = true;
    hint = "";
    last_sent = performance.now();
    unanswered ??= last_sent;
    model.set("pose", pose);
    try { model.save_changes(); } catch { dead = true; }
    keep();
  }
  function alter(change) {
    rest_hands();
    remember();
    lay(change);
    paint();
  }

  function make_handle() {
    const g = s("g", { tabindex: 0, role: "slider", "aria-orientation": "vertical" },
      s("circle", { class: "hit", r: 13 }), s("circle", { class: "halo-ring", r: 9.6 }), s("circle", { class: "ring", r: 9.6 }), s("circle", { class: "knob", r: 5.5 }));
    on(g, "pointerdown", (e) => grab(e, g));
    on(g, "touchstart", (e) => e.preventDefault(), { passive: false }); // touch-action alone let the page scroll and end the drag
    on(g, "pointermove", (e) => follow(e));
    for (const end of ["pointerup", "pointercancel", "lostpointercapture"]) on(g, end, (e) => drop(e));
    on(g, "focus", () => take(g.at));
    on(g, "keydown", (e) => push_joint(e, g.at));
    return g;
  }
  function take(joint) {
    if (drag || (active?.limb === joint.limb && active.joint === joint.joint)) return;
    active = { ...joint };
    const name = head.limbs[joint.limb].joints[joint.joint];
    const asked = { chart: name, guide: settings().guide && name_of(joint) }; // Python charts it, and says where it may go
    if (joint.joint > 0 && JSON.stringify(asked) !== JSON.stringify({ chart: settings().chart, guide: settings().guide })) { model.set("settings", { ...settings(), ...asked }); model.save_changes(); }
    paint();
  }
  const on_paper = (e) => {
    const box = sheet.getBoundingClientRect();
    return [across(((e.clientX - box.left) / box.width) * head.paper.width), (1 - (e.clientY - box.top) / box.height) * head.paper.height];
  };
  function grab(e, g) {
    if (e.button !== 0 || drag) return;
    e.preventDefault(); // no text selection; the focus is set here instead
    rest_hands();
    g.focus({ preventScroll: true });
    take(g.at);
    g.setPointerCapture(e.pointerId);
    const from = points(g.at.limb);
    const p = on_paper(e);
    const joint = from[g.at.joint];
    const shown = ghost_here();
    const ghost = !stale() && shown.ghost && shown.first === g.at.joint && shown.limb === g.at.limb ? shown.ghost.points : null;
    drag = { ...g.at, n: number(), pointer: e.pointerId, from, before: pose, ghost, off: [joint[0] - p[0], joint[1] - p[1]], start: [e.clientX, e.clientY], going: false, to: joint, frame: 0 };
  }
  function follow(e) {
    if (!drag || e.pointerId !== drag.pointer) return;
    if (!drag.going && Math.hypot(e.clientX - drag.start[0], e.clientY - drag.start[1]) < 3) return; // a press is not a drag
    const p = on_paper(e);
    drag.to = [p[0] + drag.off[0], p[1] + drag.off[1]];
    if (!drag.going) {
      drag.going = true;
      remember();
      put(ghosts, { display: drag.ghost ? null : "none" });
      put(measure, { display: drag.ghost ? null : "none" });
    }
    drag.frame ||= requestAnimationFrame(carry);
  }
  function carry() {
    if (!drag) return;
    drag.frame = 0;
    const { limb, joint, from, to } = drag;
    const kept = settings().keep_lengths && joint > 0 ? head.limbs[limb].lengths[joint - 1] : null;
    lay({ drawings: with_drawing(limb, moved(from, joint, to, kept)) }, drag);
    paint_hand();
  }
  function drop(e) {
    if (!drag || e.pointerId !== drag.pointer) return;
    if (drag.frame) {
      cancelAnimationFrame(drag.frame);
      carry(); // the last move counts, whenever the hand lifts
    }
    const going = drag.going;
    drag = null;
    put(measure, { display: null });
    if (!going) return paint_buttons();
    if (model.get("pose") !== pose) lay({}); // something came in meanwhile: the hand has the last word
    paint();
  }

  /** +1 where the chosen segment turns counter-clockwise on its way from the drawing before to the next. */
  function way_on() {
    const [before, after] = [wrapped(number() - 1), wrapped(number() + 1)].map((n) => (there(n) ? n : number()));
    const k = active.joint - 1;
    if (k < 0) return 1;
    return half(turns(points(active.limb, after))[k] - turns(points(active.limb, before))[k]) < 0 ? -1 : 1;
  }
  let last_push = { at: 0, what: "" };
  /** Swing the joint by some degrees, or move it by some mm; pushes in one go are one step back. */
  function shift({ limb, joint }, degrees, dx, dy) {
    rest_hands();
    const p = points(limb);
    const what = `${limb} ${joint} ${number()} ${top}`;
    if (last_push.what !== what || performance.now() - last_push.at > 800) remember();
    const swings = joint > 0 && settings().keep_lengths;
    if (from_back) dx = -dx; // left is left as it is seen
    const next = swings ? swung(p, joint, degrees, head.limbs[limb].lengths[joint - 1]) : moved(p, joint, [p[joint][0] + dx, p[joint][1] + dy]);
    lay({ drawings: with_drawing(limb, next) }, { limb, joint });
    last_push = { at: performance.now(), what: `${limb} ${joint} ${number()} ${top}` };
    paint();
  }
  function push_joint(e, joint) {
    const way = { ArrowLeft: [-1, -1, 0], ArrowDown: [-1, 0, -1], ArrowUp: [1, 0, 1], ArrowRight: [1, 1, 0] }[e.key];
    if (!way || e.ctrlKey || e.metaKey || drag) return;
    used(e);
    const by = e.shiftKey ? 0.2 : e.altKey ? 5 : 1;
    shift(joint, way[0] * by, way[1] * by, way[2] * by);
  }
  /** A button that moves the chosen joint, and goes on while it is held. */
  function hold_to_repeat(way) {
    const b = h("button", { type: "button" }, way);
    b.way = way;
    const act = () => {
      if (!active) return;
      const turn = way === "on" ? way_on() : -way_on();
      const [dx, dy] = { left: [-1, 0], right: [1, 0], up: [0, 1], down: [0, -1] }[way] ?? [0, 0];
      shift(active, turn, dx, dy);
    };
    let beat = 0;
    const stop = () => { clearTimeout(beat); beat = 0; };
    on(b, "pointerdown", (e) => {
      if (e.button !== 0) return;
      act();
      const again_ = () => { act(); beat = setTimeout(again_, 90); };
      beat = setTimeout(again_, 400);
    });
    for (const end of ["pointerup", "pointerleave", "pointercancel"]) on(b, end, stop);
    on(b, "click", (e) => e.detail === 0 && act()); // by keyboard or by assistive technology
    life.signal.addEventListener("abort", stop);
    return b;
  }

  function go(n) {
    rest_hands();
    hint = "";
    if (!there(n)) return;
    const f = causes().find((c) => c.drawings.includes(n));
    if (f && chosen !== "" && !untouched()) chosen = key_of(f);
    turn_to(n);
    const one = layer_now();
    if (one) active = { ...one };
    paint();
    if (one && handles.contains(document.activeElement)) handle_at(one).focus({ preventScroll: true });
  }
  function set(change) {
    hint = "";
    model.set("settings", { ...settings(), ...change });
    model.save_changes();
    paint();
  }
  function trace() {
    const before = wrapped(number() - 1);
    if (there(before)) alter({ drawings: pose.drawings.map((d) => d.map((p, i) => (i === number() - 1 ? d[before - 1].map((q) => [...q]) : p))) });
  }
  const expose = (frames) => alter({ exposure: frames });
  const hold_for = (by) => alter({ exposure: folded(held().map((f, i) => (i === number() - 1 ? Math.max(1, f + by) : f))) });
  function back(from, to) {
    if (!from.length || drag) return;
    rest_hands();
    to.push(pose);
    const { drawings, exposure } = from.pop();
    last_push = { at: 0, what: "" };
    lay({ drawings, exposure });
    paint();
  }
  function undo() { back(past, future); }
  function redo() { back(future, past); }

  // ---- keyboard -----------------------------------------------------------------------------------
  const used = (e) => { e.preventDefault(); e.stopPropagation(); };
  const plain = {
    PageUp: () => previous_b.click(), PageDown: () => next_b.click(), Home: () => go(1), End: () => go(count()),
    t: () => trace_b.click(), m: () => middle_b.click(), r: () => roll_b.click(), p: () => play_b.click(), 1: () => ones_b.click(), 2: () => twos_b.click(),
    l: () => length_b.click(), a: () => paths_b.click(), o: () => onion_b.click(), u: () => under_b.hidden || under_b.click(), g: () => lecture_b.click(), "?": () => care_b.click(),
    w: () => guide_b.click(), e: () => dot_b.hidden || dot_b.click(), n: () => open_b.hidden || open_b.click(), s: () => back_b.click(),
    j: () => next_layer(), h: (e) => ask_mend(e.shiftKey ? null : causes().includes(open_note()) ? open_note() : causes()[0] ?? null), x: () => step_now() && leave_b.click(),
  };
  const goes_on = ["PageUp", "PageDown"]; // while the key is held, six a second; what a held key switched on and off would flash
  let turned_at = 0;
  on(root, "keydown", (e) => {
    if (e.defaultPrevented) return;
    if (e.target.closest("select")) return e.stopPropagation(); // its letters and arrows are its own
    const name = e.key.length === 1 ? e.key.toLowerCase() : e.key;
    if (e.ctrlKey || e.metaKey) {
      if (name === "z") { used(e); (e.shiftKey ? redo : undo)(); }
      else if (name === "y") { used(e); redo(); }
      return;
    }
    if (e.altKey) return;
    if (name === "Enter" && step_now() && !e.repeat && !e.target.closest("button, [role=button], summary")) {
      used(e);
      take_b.click();
    } else if (name === "Escape" && (drag || active || run.name || mending)) {
      used(e);
      if (drag) let_go(); else if (run.name) rest_hands(); else if (mending) end_mending("The rest is left as you drew it."); else { active = null; document.activeElement?.blur?.(); root.focus({ preventScroll: true }); }
      paint();
    } else if (name === "f") {
      used(e);
      if (!e.repeat) hold_up();
    } else if (plain[name]) {
      used(e);
      const now = performance.now();
      if (e.repeat && !(goes_on.includes(name) && now - turned_at >= CALM / 2)) return;
      turned_at = now;
      plain[name](e);
    } else if (name !== "Tab" && name !== "Escape" && !(name === "Enter" && e.shiftKey)) e.stopPropagation(); // a slip must not cut a cell of the notebook
  });
  on(root, "keyup", (e) => { if (e.key.toLowerCase() === "f") { used(e); rest_hands(); } });
  on(window, "blur", () => { if (!run.name) show(null); }); // the key went up elsewhere
  /** Escape in mid-drag: the joint goes back to where it lay. */
  function let_go() {
    const { before, going, frame } = drag;
    cancelAnimationFrame(frame);
    drag = null;
    put(measure, { display: null });
    if (going) { past.pop(); lay({ drawings: before.drawings }); }
  }
  on(sheet, "pointerdown", (e) => { if (!e.target.closest(".handle") && active) { active = null; paint(); } });

  // ---- flip, roll, play: only lines move, the paper stays -----------------------------------------
  // Nothing here may flash (WCAG 2.2, 2.3.1). From one picture to the next only the lines of one limb change, which is
  // far below the area at which a flash begins to count, so they may change 24 times a second. Neighbours, numbers
  // and guide together are more: they go and come back at most three times a second, however fast somebody flips.
  // tests/browser/test_guide_in_the_page.py measures both on the pictures themselves.
  const CALM = 334; // ms: a third of a second
  let run = { name: "", stop: () => {} };
  let bared_at = -CALM;
  let dressing = 0;
  function lay_bare(is) {
    clearTimeout(dressing);
    if (is && root.dataset.bare !== "true") bared_at = performance.now();
    const wait = bared_at + CALM - performance.now();
    if (!is && wait > 0) dressing = setTimeout(() => put(root, { "data-bare": null }), wait);
    else put(root, { "data-bare": is ? "true" : null });
  }
  function show(n) {
    if (showing === n) return;
    showing = n;
    put(root, { "data-showing": n });
    lay_bare(n !== null);
    paint_limbs();
    say(corner.firstChild, String(n ?? number()));
    put(play_mark, { d: n ? `M5,${n1((order().indexOf(n) + 0.5) * row_deep - 7)}v14` : "M0,0" });
  }
  function rest_hands() {
    const { stop, name } = run;
    run = { name: "", stop: () => {} };
    wish = "";
    stop();
    show(null);
    if (name) paint_buttons();
  }
  const around = () => {
    const n = number();
    return [wrapped(n - 1), n, wrapped(n + 1), n].filter(there);
  };
  function hold_up() {
    rest_hands();
    const before = wrapped(number() - 1);
    show(there(before) ? before : wrapped(number() + 1));
  }
  let pressed_at = 0;
  on(flip_b, "pointerdown", (e) => { if (e.button === 0) { hold_up(); pressed_at = performance.now(); flip_b.setPointerCapture(e.pointerId); } });
  for (const end of ["pointerup", "pointercancel"]) on(flip_b, end, () => {
    if (performance.now() - pressed_at < 300 && end === "pointerup") flip_through();
    else show(null);
  });
  let turn_at = 0;
  /** One step of a hand through the neighbours a press, for those who want no motion. */
  function step_through() {
    const all = around();
    const n = all[turn_at % all.length];
    turn_at += 1;
    show(n === number() ? null : n);
  }
  function flip_through() { through("flip", 190, around().length); }
  function roll() {
    if (run.name === "roll") return rest_hands();
    through("roll", 420, Infinity);
  }
  function through(name, ms, times) {
    rest_hands();
    hint = "";
    if (still.matches) return step_through();
    let i = 0;
    const all = around();
    const step = () => {
      if (i >= times) return rest_hands();
      show(all[i % all.length]);
      i += 1;
      beat = setTimeout(step, ms);
    };
    let beat = 0;
    run = { name, stop: () => clearTimeout(beat) };
    step();
    paint_buttons();
  }
  let agreed = false; // to motion, by one who has asked the machine for less of it
  function play() {
    if (run.name === "play") return rest_hands();
    rest_hands();
    if (still.matches && !agreed) {
      agreed = true;
      hint = `Playing moves the lines ${Math.round(head.rate / Math.min(...held()))} times a second. Press play again if that is well with you.`;
      return paint_head();
    }
    hint = "";
    const list = order();
    const frames = list.map((n) => held()[n - 1]);
    const long = frames.reduce((sum, f) => sum + f, 0);
    let began = null;
    let beat = 0;
    const tick = (now) => {
      began ??= now - 4; // so that a tick a hair early still shows its frame: the pace is even
      // By the clock: a late picture is left out, never shown late, and none comes early.
      const frame = Math.floor(((now - began) * head.rate) / 1000);
      if (!head.loop && frame >= long) return rest_hands();
      show(list[drawingAt(frame, frames)]);
      beat = requestAnimationFrame(tick);
    };
    run = { name: "play", stop: () => cancelAnimationFrame(beat) };
    beat = requestAnimationFrame(tick);
    paint_buttons();
    paint_head();
  }

  // ---- kept in the browser, files, the kernel -------------------------------------------------------
  const shelf = `anim-lessons light table ${head.exercise} ${head.file}`;
  let can_keep = true;
  let kept_revision = null; // what this view has put on the shelf
  let offered = null;
  let keep_timer = 0;
  try {
    const kept = JSON.parse(localStorage.getItem(shelf));
    if (worth_offering(kept?.pose, head, pose)) offered = kept;
  } catch { can_keep = false; }

  function keep() {
    clearTimeout(keep_timer);
    keep_timer = setTimeout(keep_now, 150);
  }
  function keep_now() {
    clearTimeout(keep_timer);
    keep_timer = 0;
    if (offered || (saved().state !== "failed" && saved().revision >= pose.revision)) return; // what is offered stays until a choice is made
    try {
      localStorage.setItem(shelf, JSON.stringify({ revision: pose.revision, time: new Date().toTimeString().slice(0, 5), pose }));
      kept_revision = pose.revision;
      can_keep = true;
    } catch { can_keep = false; }
  }
  function clear_shelf() {
    kept_revision = null;
    try { localStorage.removeItem(shelf); } catch { can_keep = false; }
  }
  function take_up_kept() {
    const { drawings, exposure } = offered.pose;
    offered = null;
    alter({ drawings, exposure });
    kept_revision = pose.revision; // off the shelf once they are saved
  }
  function leave_kept() {
    offered = null;
    clear_shelf();
    paint();
  }
  function keep_a_copy() {
    const url = URL.createObjectURL(new Blob([JSON.stringify(document_of(head, pose), null, 1) + "\n"], { type: "application/json" }));
    const link = h("a", { href: url, download: head.file.split("/").at(-1).replace(/(\.json)?$/, " copy.json").replaceAll(" ", "_") });
    link.click();
    setTimeout(() => URL.revokeObjectURL(url), 10000);
  }
  function ask(what, more = {}) {
    try { model.send({ ask: what, ...more }); } catch { dead = true; }
  }
  const run_the_cell = "Run this cell again: what you drew is kept in this browser and will be offered there.";
  function start_again() {
    if (dead) { keep_now(); hint = can_keep ? run_the_cell : "Keep a copy first, then run this cell again."; return paint_head(); }
    unanswered = null;
    lay({});
    ask("verdict");
    paint();
  }
  function take_the_file() {
    if (dead) { hint = "Run this cell again: it opens the file, and you may leave what is kept in this browser."; return paint_head(); }
    ask("take the file's");
  }

  const watch = {
    "change:pose": () => {
      const came = model.get("pose");
      if (came === pose) return; // our own
      head = model.get("head"); // it may have come with the pose, and is told of later
      top = Math.max(top, came.revision);
      if (drag || came.revision < pose.revision) return;
      const same = JSON.stringify([came.drawings, came.exposure]) === JSON.stringify([pose.drawings, pose.exposure]);
      if (!same) { remember(); touched = true; rest_hands(); }
      pose = came;
      if (!same) guide_since = pose.revision;
      last_sent = performance.now();
      unanswered ??= stale() ? last_sent : null;
      if (!same) paint(); else paint_head();
    },
    "change:verdict": () => {
      dead = false;
      unanswered = stale() ? performance.now() : null;
      if (drag || verdict().revision > pose.revision) return paint_head(); // its drawings are told of next
      paint();
    },
    "change:saved": () => {
      dead = false;
      if (unanswered !== null) unanswered = performance.now();
      if (kept_revision !== null && ["saved", "as in the file", "elsewhere"].includes(saved().state) && saved().revision >= kept_revision) clear_shelf();
      if (!drag) { paint_head(); paint_buttons(); }
    },
    "change:number": () => { if (drag) return; rest_hands(); paint(); },
    "change:settings": () => { if (!drag) paint(); },
    "change:guide": () => {
      dead = false;
      if (drag) {
        paint_guide();
        paint_handles();
        if (told_of !== what_is_told()) place_reasons([...taken_else], [SHEET, deep()]);
        return;
      }
      if (wish && guide_fresh()) return put_joint(wish);
      paint();
    },
    "change:mended": () => { dead = false; take_up_steps(); },
    "change:under": () => { if (!drag) paint(); },
    "change:head": () => {
      if (model.get("pose").revision > pose.revision) return; // new drawings came with it and are told of next
      head = model.get("head");
      if (!drag) paint();
    },
    // The widget manager says so when the line to the kernel is cut; there is no word for it in the model itself.
    comm_live_update: () => { dead = true; keep_now(); paint_guide(); paint_head(); },
  };
  for (const [name, act] of Object.entries(watch)) model.on(name, act);
  const kernel = model.widget_manager?.kernel;
  const kernel_says = (_, status) => { if (["dead", "restarting", "autorestarting", "terminating"].includes(status)) watch.comm_live_update(); };
  kernel?.statusChanged?.connect?.(kernel_says);

  on(window, "pagehide", () => keep_timer && keep_now());
  on(rows_box, "scroll", () => lay_notes());
  const seen = new ResizeObserver(() => { if (!drag) paint(); });
    el.append(root);
  seen.observe(root);
  if (stale()) { last_sent = unanswered = performance.now(); ask("verdict"); }
  paint();

  return () => {
    if (keep_timer) keep_now();
    rest_hands();
    if (drag?.frame) cancelAnimationFrame(drag.frame);
    for (const one of [timer, keep_timer, dressing]) clearTimeout(one);
    seen.disconnect();
    kernel?.statusChanged?.disconnect?.(kernel_says);
    for (const [name, act] of Object.entries(watch)) model.off(name, act);
    life.abort();
    root.remove();
  };
}

export default { render };
