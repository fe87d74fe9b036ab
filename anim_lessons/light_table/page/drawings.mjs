/* Numbers of drawings, joints and exposure, and what is laid under them; mm, degrees counter-clockwise. Nothing here knows the page. */
export const RAD = Math.PI / 180;

/** The same angle between -180 (out) and 180 (in). */
export const half = (degrees) => degrees - 360 * Math.ceil(degrees / 360 - 0.5);

/** Angle of every segment against the x axis, degrees. */
export const turns = (points) =>
  points.slice(1).map(([x, y], k) => Math.atan2(y - points[k][1], x - points[k][0]) / RAD);

/** Bend of every segment against the one it hangs on, the first against the x axis, degrees. */
export const bends = (points) => turns(points).map((turn, k, all) => half(turn - (k ? all[k - 1] : 0)));

const round = (mm) => Math.round(mm * 1000) / 1000;

/** A drawing with one joint taken to `to`; what hangs below is shifted and traced along. Given a length (mm),
 * the joint swings on its parent at that length; without, it goes where the hand goes. */
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

/** The lesson that teaches a finding's rule, by number and title: "5, The arm opens"; an empty text where none
 * is named. */
export function lesson_of({ lesson }) {
  const number = parseInt(lesson?.name, 10);
  return lesson?.title ? `${Number.isNaN(number) ? "" : `${number}, `}${lesson.title}` : "";
}

/** The plans that fit these limbs: a path, and a dot for each drawing. */
export function plans_of(under, head, count) {
  const known = ({ limb, joint, path, dots }) =>
    head.limbs.some((one) => one.name === limb && one.joints.includes(joint)) &&
    path?.length > 1 &&
    dots?.length === count;
  return (under?.plans ?? []).filter(known);
}

/** Points of the under-drawing below one drawing of a limb; null where none lies there that fits. */
export function under_of(under, limb, n, joints) {
  const found = under?.drawings?.[limb]?.[n - 1];
  return found?.length === joints ? found : null;
}

/** The action file of what is on the table, keys in the order of the format. */
export const document_of = (head, pose, lines = {}) => ({
  format: "anim-lessons/action",
  version: 1,
  title: head.title,
  by: head.by,
  rate: head.rate,
  loop: head.loop,
  paper: head.paper,
  exposure: pose.exposure,
  limbs: head.limbs.map((limb, l) => ({ ...limb, drawings: pose.drawings[l] })),
  ...(Object.keys(lines).length
    ? { lines: Object.entries(lines).map(([n, strokes]) => ({ drawing: Number(n), strokes })) }
    : {}),
  ...(head.lecture ? { lecture: head.lecture } : {}),
});

export const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

/** Whether kept drawings belong to these limbs and are not already on the table, or have other lines. */
export function worth_offering(kept, head, pose, other_lines = false) {
  const fits =
    Array.isArray(kept?.drawings) &&
    kept.drawings.length === head.limbs.length &&
    kept.drawings.every(
      (limb, l) =>
        Array.isArray(limb) &&
        limb.length === kept.drawings[0].length &&
        limb.length >= 2 &&
        limb.every(
          (points) =>
            points?.length === head.limbs[l].joints.length &&
            points.every((p) => p?.length === 2 && p.every(Number.isFinite)),
        ),
    );
  return fits && !(!other_lines && same(kept.drawings, pose.drawings) && same(kept.exposure, pose.exposure));
}
