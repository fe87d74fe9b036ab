/* The part of a table's state that is about pencil lines. */

/** The lines, and the tool in the hand. */
export const new_line = (model) =>
  Object.seal({
    drawn: model.get("lines")?.drawings ?? {}, // strokes by the number of their drawing
    tool: "", // "pencil" or "eraser" while a line is drawn; else joints are moved
    pen: false, // a pen has drawn here: a finger beside it is the hand at rest
    layer: null,
    marks: null,
    wet: null, // of the stroke that is drawn just now
    hits: null, // strokes to be taken away by key
    bar: null,
    tools: null,
  });

/** A stroke in the hand. */
export const new_stroke = (given) =>
  Object.seal({
    pointer: 0, // that draws it
    n: 1, // the drawing it is on
    box: null, // of the sheet on the screen
    points: [], // [x, y, pressure] as they came, mm
    thin_at: 0, // so many are thinned
    frame: 0, // the picture that is asked for meanwhile
    left: null, // of an eraser: the strokes that are left
    ...given,
  });
