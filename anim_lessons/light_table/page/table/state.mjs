/* The state of one light table: every field, and what it is for. All other parts are functions over it.
 * Nothing is kept on elements: two maps here tell what an element stands for, and what it was made of. */
import { new_line } from "./line_state.mjs";

/** The settings the page reads. Their values, the first ones too, come from Python in the trait `settings`. */
export const SETTINGS = [
  "onion", // neighbours that show through on each side
  "keep_lengths", // a joint swings on its parent at its length
  "paths", // paths of action are shown
  "under", // the under-drawing and the plans are shown
  "lecture", // all is larger
  "asking", // the class is asked: plan, its dots and the timing chart are not shown
  "guide", // {limb, joint} that the guide is asked about, or null
  "guess", // the guide waits until the joint is placed by eye
  "layer", // {limb, joint} that is worked on through the stack, or null
  "chart", // joint whose timing chart is drawn, or null
  "way", // in which order a layer is drawn
  "stays", // [limb, joint, drawing] of what was looked at and left as it lies
];

/** A table before anything is laid on it: every field that any part reads or writes. No part adds another. */
export function new_table(model, el) {
  const pose = model.get("pose");
  const missing = SETTINGS.filter((name) => !(name in model.get("settings")));
  if (missing.length) throw new Error(`the light table's settings lack ${missing.join(", ")}; Python has their values`);
  return Object.seal({
    model, // what Python and the page share
    el, // where the notebook wants the table
    life: new AbortController(), // one switch for every listener
    repaint: () => {}, // paints a part of the picture anew: see paint.mjs
    stands_for: new WeakMap(), // element -> handle {limb, joint}, row its drawing, push its way, step its layer
    made_of: new WeakMap(), // element -> words that its content was made of
    still: matchMedia("(prefers-reduced-motion: reduce)"),

    // what lies on the table
    head: model.get("head"), // title, limbs, paper, rate, loop
    pose, // drawings, exposure, revision
    top: pose.revision, // the highest revision seen
    past: [], // poses to go back to, each with its lines
    future: [], // poses taken back
    line: new_line(model), // the pencil lines over the drawings, and the tool in the hand
    stroke: null, // a new_stroke while one is drawn or taken away
    touched: false, // anything was changed, or a note opened
    held_back: model.get("verdict")?.passed === null, // the verdict was kept back so far

    // what the hand is at
    active: null, // {limb, joint} chosen by focus or press
    layer_seen: "", // the layer that was worked on when the settings last changed
    chosen: null, // key of the open note; null: the first cause; "": none
    drag: null, // a new_drag while a joint is held
    last_push: { at: 0, what: "" }, // of a joint by key or button: pushes in one go are one step back
    by_hand: false, // what lies here was made by the hand, not laid by Python
    was_kept: null, // every rule was kept at the last answer
    done: false, // the finished loop is shown, large
    done_told: "", // what was said there last
    pace: null, // frames a drawing it is played at there; null: as it is exposed
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
    scales: { bar: 1, full: 1, low: 0, high: 90 }, // of the exposure sheet; they stand still while a joint is dragged
    row_deep: 24, // px of a row of the strip
    full_deep: 0, // units of a row of the sheet in full, once one is painted
    unfolded: false, // more than four lines are read
    names: true, // all joints have their names on the sheet
    clean: false, // the figure alone is seen, in clean line, while one draws
    mm: false, // the length of each part is written beside it
    keys_shown: false, // the keys lie over the margin
    full_shown: false, // the exposure sheet in full lies there
    flesh: null, // {n, skins}: the figure as it is painted, mm
    names_said: [], // names that stand on the sheet
    // where may it go
    guide_since: pose.revision, // what has changed since this revision does not touch the answer
    reasons_said: [], // what the labels on the sheet stand for
    told_of: "", // the answer they were placed for
    field: null, // of labels as they lie now
    wish: "", // a step asked for before Python has answered: taken when it has, if nothing else was done
    guessed: new Set(), // places that were guessed, while one guesses first: `guess_key` of each
    passed_over: "", // the neighbour that stands off and was left so: `beside_key` of the answer
    was_in_pass: false, // at the last answer a layer was begun and not drawn through
    aim: null, // where the joint at work was going before the hand drew it, an `aim_of`
    // corrections and notes
    act: null, // what the voice asks for: {label, does, key}
    seconds: [], // and what else may be done
    others: [], // folded away
    beside_shown: new Map(), // what stands beside the table: name -> what puts it away
    tab: "", // where there is a plan: "plan" or "drawings"
    tab_buttons: [],
    mending: null, // a new_mending while a correction is asked for or offered
    built: null, // the verdict the notes were made from

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

    // elements and pools of elements, each made in the file named; desk: all of it
    table: null,
    root: null,
    margin: null,
    beside_box: null,
    // goal
    tab_box: null,
    goal_title: null,
    goal_box: null,
    goal_steps: null,
    kept_line: null,
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
    names_layer: null,
    reasons: null,
    measure: null,
    corner: null,
    beginning: null,
    probe: null,
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
    name_marks: null,
    tab_marks: null,
    corner_words: null,
    beginning_arrows: null,
    ghost_parts: null,
    measure_words: null,
    handle_marks: null,
    legend: null, // corner
    legend_parts: null,
    nudge_name: null, // pushes
    nudges: null,
    nudge: null,
    previous_b: null, // bar
    next_b: null,
    flip_b: null,
    play_b: null,
    guide_b: null,
    undo_b: null,
    more_b: null,
    bar: null,
    more_bar: null,
    switches: null, // more
    under_b: null,
    guess_b: null,
    trace_b: null,
    redo_b: null,
    roll_b: null,
    layer_choice: null,
    way_choice: null,
    copy: null,
    take_file: null,
    full_b: null,
    care_b: null,
    more_panel: null,
    more: null,
    strip_head: null, // strip
    lines: null,
    rows_box: null,
    expo: null,
    row_marks: null,
    here_box: null,
    play_mark: null,
    // exposure_sheet: in full
    fewer_b: null,
    hold_words: null,
    longer_b: null,
    back_to_more: null,
    columns: null,
    column: null,
    full_lines: null,
    full_rows: null,
    ends: null,
    end_words: null,
    full: null,
    full_marks: null,
    rule_lines: null,
    full_here: null,
    // timing_chart
    chart: null,
    chart_box: null,
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
    // voice
    voice_small: null,
    next_line: null,
    voice_says: null,
    voice_words: null,
    unfold_b: null,
    act_b: null,
    seconds_box: null,
    second_b: null,
    facts: null,
    others_box: null,
    other_b: null,
    other_words: null,
    other_fold: null,
    shut_list: null,
    shut_words: null,
    shut_box: null,
    voice_rest: null,
    lesson_small: null,
    lesson_says: null,
    lesson_box: null,
    told: null,
    voice_body: null,
    notes: null,
    voice: null,
    asked_box: null,
    asked_folded: false, // it was folded away when drawing began
    care: null,
    fill_b: null,
    scenery: null,
    done_play: null,
    done_paces: null,
    done_care: null,
    done_facts: null,
    done_line: null,
    paper_b: null, // whether the moving picture shows drawings from paper
    done_panel: null,
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
