/* The state of one strip of drawings on paper: every field, and what it is for. */
/** A ring that is dragged. */
export const new_held = ([limb, joint]) => Object.seal({ limb, joint, place: null });

export function new_paper(model) {
  return Object.seal({
    model, // what Python and the page share
    life: new AbortController(), // one switch for every listener
    revision: model.get("answered"), // of the newest message
    timer: 0, // until nobody seems to be there
    silent: false, // nobody seems to be there
    held: null, // a new_held while a ring is dragged
    stands_for: new WeakMap(), // dot, ring or button -> what it stands for

    // elements, and pools of elements
    root: null,
    sheet: null,
    pencil: null,
    asked: null,
    remark: null,
    again: null,
    done: null,
    bones: null,
    dots: null,
    marks: null,
    names: null,
    numbers: null,
  });
}
