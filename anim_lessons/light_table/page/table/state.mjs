/* The state of one light table: every field, and what it is for. All other parts are functions over it.
 * Nothing is kept on elements: what an element stands for, and what it was made of, is found in the two maps
 * here. */

/** The settings the page reads. Their values, the first ones too, come from Python in the trait `settings`. */
export const SETTINGS = [
  "onion", // neighbours that show through on each side
  "keep_lengths", // a joint swings on its parent at its length
  "paths", // paths of action are shown
  "under", // the under-drawing and the plans are shown
  "lecture", // all is larger
  "guide", // {limb, joint} that the guide is asked about, or null
  "guess", // the guide waits until the joint is placed by eye
  "layer", // {limb, joint} that is worked on through the stack, or null
  "chart", // joint whose timing chart is drawn, or null
  "way", // in which order a layer is drawn
];

/** A table before anything is laid on it: every field that any part reads or writes. No part adds another. */
export function new_table(model, el) {
  const pose = model.get("pose");
  const missing = SETTINGS.filter((name) => !(name in model.get("settings")));
  if (missing.length)
    throw new Error(
      `the light table's settings lack ${missing.join(", ")}; the page has no values of its own for them`,
    );
  return Object.seal({
    model, // what Python and the page share
    el, // where the notebook wants the table
    life: new AbortController(), // one switch for every listener
    repaint: () => {}, // paints a part of the picture anew: see paint.mjs
    // element -> what it stands for: handle and tab {limb, joint}, row its drawing, button that moves a joint
    // its way, note {finding, follow: how many follow from it}
    stands_for: new WeakMap(),
    made_of: new WeakMap(), // element -> words that its content was made of
    still: matchMedia("(prefers-reduced-motion: reduce)"),

    // what lies on the table
    head: model.get("head"), // title, limbs, paper, rate, loop
    pose, // drawings, exposure, revision
    top: pose.revision, // the highest revision seen
    past: [], // poses to go back to
    future: [], // poses taken back
    touched: false, // anything was changed, or a note opened
    held_back: model.get("verdict")?.passed === null, // the verdict was kept back so far

    // what the hand is at
    active: null, // {limb, joint} chosen by focus or press
    layer_seen: "", // the layer that was worked on when the settings last changed
    chosen: null, // key of the open note; null: the first cause; "": none
    drag: null, // a new_drag while a joint is held
    last_push: { at: 0, what: "" }, // of a joint by key or button: pushes in one go are one step back
    turned_at: 0, // when a held key last turned a drawing
    hint: "", // one sentence of the table's own, until the next thing is done

    // how it is looked at
    turned: false, // stack starts in its middle
    from_back: false, // the sheet is turned over sideways and seen from its back
    showing: null, // drawing held up by flip, roll or play, else null
    run: { name: "", stop: () => {} }, // what flips, rolls or plays
    bared_at: -Infinity, // when the neighbours went away for it
    dressing: 0, // timer until they come back
    pressed_at: 0, // when the flip button was pressed
    turn_at: 0, // which of the neighbours comes next, where no motion is wanted
    agreed: false, // to motion, by one who has asked the machine for less of it
    units: 1, // sheet units to one css pixel
    wide: 1, // how wide the reader's type is, times that for which the widths of labels are reckoned
    scales: { bar: 1, low: 0, high: 90 }, // of the exposure sheet; they stand still while a joint is dragged
    row_deep: 0, // units of a row, once one is painted
    unfolded: false, // all notes are shown, room or not

    // where may it go
    guide_since: pose.revision, // what has changed since this revision does not touch the answer
    reasons_said: [], // what the labels on the sheet stand for
    told_of: "", // the answer they were placed for
    taken_else: [], // boxes that everything but these labels takes
    // a step asked for before Python has answered: taken when it has, if nothing else was done meanwhile
    wish: "",

    // corrections and notes
    guide_note_deep: 0, // px of the guide's note
    mending: null, // a new_mending while a correction is asked for or offered
    built: null, // the verdict the notes were made from
    standing_notes: null, // notes that stay when the others are made anew

    // the line to Python
    settled: "untouched", // the state before the last change
    unanswered: null, // when the oldest change without an answer was sent
    last_sent: 0,
    unsaved: null, // since when word is waited for that a change is saved
    dead: false, // the line to Python is cut
    timer: 0, // until the head says something else
    shelf: "", // name under which drawings are kept in the browser
    can_keep: true,
    kept_revision: null, // what this view has put on the shelf
    offered: null, // what was found there
    keep_timer: 0,

    // elements, and pools of elements that stand for as many as are asked for; each is made in the file named
    // desk: all of it
    table: null,
    root: null,
    // head
    next_line: null,
    checked: null,
    kept_line: null,
    again: null,
    take_file: null,
    take_up: null,
    leave: null,
    elsewhere: null,
    copy: null,
    header: null,
    // sheet: its layers from below, then what lies in them
    paper: null,
    pegs: null,
    body: null,
    circle: null,
    open: null,
    paths: null,
    skins: null,
    unders: null,
    arms: null,
    ghosts: null,
    dots: null,
    nums: null,
    tabs: null,
    reasons: null,
    measure: null,
    chart: null,
    corner: null,
    probe: null,
    legend: null,
    handles: null,
    wanted: null,
    sheet: null,
    figure: null,
    path_lines: null,
    skin_lines: null,
    under_lines: null,
    plan_lines: null,
    plan_dots: null,
    limb_lines: null,
    dot_marks: null,
    num_marks: null,
    tab_marks: null,
    corner_words: null,
    legend_parts: null,
    ghost_parts: null,
    measure_words: null,
    handle_marks: null,
    // pushes
    nudge_name: null,
    nudges: null,
    nudge: null,
    // buttons: ..._b is the button that says so
    previous_b: null,
    next_b: null,
    trace_b: null,
    middle_b: null,
    under_b: null,
    undo_b: null,
    redo_b: null,
    flip_b: null,
    roll_b: null,
    play_b: null,
    ones_b: null,
    twos_b: null,
    length_b: null,
    paths_b: null,
    onion_b: null,
    guide_b: null,
    guess_b: null,
    dot_b: null,
    open_b: null,
    back_b: null,
    layer_choice: null,
    way_choice: null,
    foot: null,
    // exposure_sheet
    fewer_b: null,
    hold_words: null,
    more_b: null,
    columns: null,
    column: null,
    lines: null,
    rows_box: null,
    ends: null,
    end_words: null,
    expo: null,
    row_marks: null,
    rule_lines: null,
    here_box: null,
    play_mark: null,
    // guide
    shut_marks: null,
    circle_line: null,
    border_line: null,
    so_far: null,
    traced_line: null,
    tangent_line: null,
    open_marks: null,
    gate_line: null,
    asked_dot: null,
    reason_words: null,
    stands: null,
    guide_says: null,
    guide_head: null,
    shut_list: null,
    shut_words: null,
    shut_box: null,
    guide_note: null,
    // mending
    step_head: null,
    step_words: null,
    take_b: null,
    leave_b: null,
    rest_b: null,
    mend_note: null,
    // notes: the margin
    leaders: null,
    leader: null,
    notes: null,
    look_note: null,
    lecture_b: null,
    care_b: null,
    told: null,
    margin: null,
    // care
    care: null,
  });
}

/** A joint in the hand. */
export const new_drag = (given) =>
  Object.seal({
    limb: 0,
    joint: 0, // which
    n: 1, // the drawing it is on
    pointer: 0, // that holds it
    kept_back: false, // the guide waits until it is dropped
    before: null, // the pose before
    from: null, // its limb's points in it
    ghost: null, // points of a correction shown for it
    off: [0, 0], // mm from the pointer to the joint
    start: [0, 0], // px where the pointer went down
    far: 0, // px the pointer has gone, as long as it is a press
    going: false, // it is more than a press
    to: null, // mm where the hand wants it
    frame: 0, // the picture that is asked for meanwhile
    ...given,
  });

/** A correction, in steps that are taken or left one by one. */
export const new_mending = (revision) =>
  Object.seal({
    revision, // of the drawings the steps are for
    steps: null, // until they come
    at: 0, // the step that is offered
    taken: 0, // how many were taken
    says: "", // said when all are taken
  });
