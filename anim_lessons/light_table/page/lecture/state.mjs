/* The state of one lecture strip: every field, and what it is for. */
/** A strip before anything is done on it. No part adds another field. */
export function new_strip(model, el) {
  return Object.seal({
    model, // what Python and the page share
    el, // where the notebook wants the strip
    life: new AbortController(), // one switch for every listener
    repaint: () => {}, // paints the picture anew
    made_of: new WeakMap(), // element -> words that its content was made of
    records: model.get("kind") === "record", // else it follows

    // notes
    editing: null, // the step whose note is in the field, or null: a new one is being written
    draft: "", // the new note, while an old one is in the field
    unsaid: null, // {note, steps: how many there were} sent to be recorded: it comes back if it was not taken

    // the way through the steps
    listed: false, // the list of steps is open
    aim: null, // {at, asking} last asked for, while its answer is on the way
    hands_over: false, // the focus goes to the joint when the answer is there

    // the line to Python
    revision: model.get("answered"), // of the newest message
    queue: [], // messages that wait until Python knows what lies on the table
    waiting: 0, // timer until they are tried again
    silent: false, // nobody seems to be there
    timer: 0, // until then

    // elements, made by desk
    where: null,
    fill_b: null,
    joint_box: null,
    list: null,
    list_b: null,
    field: null,
    read: null,
    said: null,
    before_b: null,
    next_b: null,
    record_b: null,
    replace_b: null,
    new_b: null,
    earlier_b: null,
    later_b: null,
    out_b: null,
    empty_b: null,
    undo_b: null,
    redo_b: null,
    lay_b: null,
    ask_b: null,
    root: null,
  });
}
