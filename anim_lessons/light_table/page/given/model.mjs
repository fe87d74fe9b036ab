/* What stands in Python's place on a page that is given away. All answers were written in; here they are looked up.
 *
 * given    head, pose, number, settings, under; steps of a lecture, or none; and to be told of the drawings, or else of
 *          each step: verdict (with the charts of all joints) and guides
 * Reads as the model of a light table does, and has besides: guides (of the drawings as they lie), has_guides, steps, at
 */

export function new_model(given) {
  const { head, settings, under, steps } = given;
  const told = () => (steps.length ? steps[state.at] : given); // of the drawings that lie on the table
  const heard = [];
  const state = {
    head,
    settings,
    under,
    lines: given.lines,
    pencil: given.pencil,
    steps,
    at: 0,
    number: given.number,
    pose: given.pose,
    has_guides: [given, ...steps].some(({ guides }) => guides?.length > 0),
    saved: { state: "given", file: "", revision: given.pose.revision },
    mended: {},
    beside: {},
    beside_says: "",
    film: {},
  };
  const fire = (name) => heard.filter(([other]) => other === `change:${name}`).forEach(([, act]) => act());
  const answer = () => {
    Object.assign(state, { guides: told().guides ?? [], verdict: charted(told().verdict, state) });
    Object.assign(state, { guide: guide_of(state) });
  };
  const lay = (at) => {
    const { drawing, limb, joint } = steps[at];
    const revision = state.pose.revision + 1; // the way back is a change as well
    const place = head.limbs.find(({ name }) => name === limb)?.joints.indexOf(joint) > 0 ? { limb, joint } : null;
    Object.assign(state, {
      at,
      pose: { ...state.pose, revision, drawings: as_of(given, at) },
      saved: { ...state.saved, revision },
      number: drawing,
      settings: {
        ...state.settings,
        layer: at === steps.length - 1 ? null : place,
        chart: joint,
        guide: state.settings.guide && place,
      },
    });
  };
  if (steps.length) lay(0);
  answer();
  return {
    get: (name) => state[name],
    set(name, value) {
      if (state[name] === value) return;
      const chart = state.settings.chart;
      if (name === "at") lay(value);
      else state[name] = value;
      if (name === "at") answer();
      else if (name === "settings" && value.chart !== chart)
        Object.assign(state, { verdict: charted(told().verdict, state) });
      if (["settings", "number"].includes(name)) Object.assign(state, { guide: guide_of(state) });
      for (const changed of name === "at" ? ["pose", "settings", "number", "at"] : [name]) fire(changed);
    },
    on: (name, act) => heard.push([name, act]),
    off: (name, act) => heard.splice(0, Infinity, ...heard.filter((one) => one[0] !== name || one[1] !== act)),
    save_changes() {},
    send() {},
  };
}

/** The drawings once the steps up to a place, from 0, are laid on those that were given. */
function as_of({ head, pose, steps }, at) {
  const drawings = pose.drawings.map((limb) => [...limb]);
  for (const { limb, drawing, points } of steps.slice(0, at + 1))
    drawings[head.limbs.findIndex(({ name }) => name === limb)][drawing - 1] = points;
  return drawings;
}

/** A verdict on what lies there, with one chart a limb: that of the chosen joint, or of its last. */
function charted(verdict, { head, settings, pose }) {
  const charts = head.limbs.map(({ name, joints }) => {
    const joint = joints.includes(settings.chart) ? settings.chart : joints.at(-1);
    return verdict.charts.find((one) => one.limb === name && one.joint === joint);
  });
  return { ...verdict, charts, revision: pose.revision };
}

function guide_of({ guides, settings, number, pose }) {
  const { limb, joint } = settings.guide ?? {};
  if (!limb) return {};
  const found = guides.find((one) => one.drawing === number && one.limb === limb && one.joint === joint);
  const says = "Where it may go was not written in for this drawing.";
  return { ...(found ?? { drawing: number, limb, joint, says }), revision: pose.revision };
}
