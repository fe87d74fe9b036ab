/* The state of one plan sheet: every field, and what it is for. */
/** A plan sheet before anything is done on it. No part adds another field. */
export function new_plan_sheet(model, el) {
  return Object.seal({
    model, // what Python and the page share
    el, // where the notebook wants the sheet
    life: new AbortController(), // one switch for every listener
    repaint: () => {}, // paints a part of the picture anew: see picture.mjs
    // element -> the drawing it stands for: tick from 0, row of what is told from 1
    stands_for: new WeakMap(),
    made_of: new WeakMap(), // element -> words that its content was made of
    stroke: null, // places under the pen, mm
    pointer: null, // that draws it
    pressed: [0, 0], // px where it went down
    gone: 0, // px it has gone at most
    frame: 0, // the picture that is asked for meanwhile
    places: [], // set one by one
    pen: null, // where the keyboard's pen is, mm
    moving: null, // {drawing, chart} while a tick is dragged
    tick_pointer: null, // that drags it
    revision: model.get("answered"), // of the newest message
    unheard: null, // the stroke that nobody has answered yet: it stays to be seen
    silent: false, // nobody seems to be there
    timer: 0, // until then

    // elements, and pools of elements that stand for as many as are asked for; made by desk
    next: null,
    paper: null,
    bones: null,
    seen: null,
    lines: null,
    spots: null,
    nums: null,
    mine: null,
    bone_lines: null,
    seen_dots: null,
    line_path: null,
    spot_dots: null,
    spot_nums: null,
    stroke_path: null,
    place_dots: null,
    pen_mark: null,
    sheet: null,
    spines: null,
    ticks: null,
    spine_marks: null,
    tick_marks: null,
    chart_svg: null,
    joint_box: null,
    hows: null,
    lay_b: null,
    undo_b: null,
    redo_b: null,
    away_b: null,
    told_says: null,
    told_list: null,
    off_rows: null,
    help: null,
    desk: null,
    root: null,
  });
}
