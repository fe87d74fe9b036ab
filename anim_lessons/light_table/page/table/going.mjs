/* Where the joint at work goes on the drawing under work, and how far. Nothing here changes or paints anything. */
import { half, turns } from "../drawings.mjs";
import { asked_shown, guide_here, guided } from "./guide_answer.mjs";
import { across, goal_now, is_drawn, name_of, number, points, there, untouched, worked, wrapped } from "./questions.mjs";

const THERE = 0.5; // degrees
const ASIDE = 2.5; // degrees by which the arrow must point back, to be told from none
const OFF = 7.5; // degrees farther, by which nobody means to be beside it

/** The layer at work, where its joint is the one that is worked on and this drawing of it is asked for; else null. */
function goal_here(t) {
  const [one, at] = [goal_now(t), worked(t)];
  const asked = one?.begins && at && one.drawings.includes(number(t));
  const { limb, joint } = asked ? name_of(t, at) : {};
  return asked && limb === one.limb && joint === one.joint ? one : null;
}

const turned = (t, { limb, joint }) => turns(points(t, limb))[joint - 1];
const key = (t) => JSON.stringify([worked(t), number(t)]);

/** How far the layer has its joint go on the drawing under work: 0 once it is drawn, unless it swings too little. */
const goes_here = (t, one) => (one.drawn.includes(number(t)) && !one.short ? 0 : one.goes[one.drawings.indexOf(number(t))]);

/** Where the joint goes, by the plan before this drawing is drawn: kept while the hand draws it. Null where nothing is told. */
export function aim_of(t) {
  const one = goal_here(t);
  const goes = one ? goes_here(t, one) : 0;
  return one?.beside && goes ? { of: key(t), way: Math.sign(goes), angle: turned(t, worked(t)) + goes } : null;
}

/** On the drawing under work, where its layer asks for it: ways (1 counter-clockwise, -1 clockwise) as long as it is not drawn,
 * right where it lies right as it is, drawn; how far in words, and in degrees counter-clockwise (null where nobody tells), beside
 * it so many degrees it may lie, there and off as a hand sees it, its end in words. Null where nothing is asked. */
export function to_go(t) {
  const one = goal_here(t);
  if (!one) return null;
  const drawn = one.drawn.includes(number(t));
  const right = one.right.includes(number(t));
  const goes = goes_here(t, one);
  const unknown = untouched(t) && !one.begun && !right;
  const aim = t.drag || (drawn && !one.short) ? (t.aim?.of === key(t) ? t.aim : null) : aim_of(t);
  const left = aim && half(aim.angle - turned(t, worked(t))) * aim.way;
  const far = one.about ? `about ${Math.max(5, 5 * Math.round(Math.abs(left) / 5))}°` : `${Math.round(Math.abs(left))}°`;
  return {
    drawn,
    right,
    ways: t.drag ? [] : goes ? [Math.sign(goes)] : unknown ? [1, -1] : [],
    turn: aim && left * aim.way,
    beside: one.about ? one.beside : 0,
    there: aim !== null && Math.abs(left) < one.beside,
    off: aim !== null && Math.abs(left) > one.beside + OFF,
    far: !aim ? "" : left < 0 ? `${far} too far` : `${far} to go`,
    end: one.about ? "between the bars" : "to the bar",
  };
}

/** How far the joint of the guide is from its dot, in words; an empty text without a dot. */
export function dot_words(t) {
  const g = guide_here(t);
  const asked = g && asked_shown(t, g);
  if (!asked) return "";
  const left = Math.abs(half(asked.angle - turned(t, guided(t))));
  return left < THERE ? "On the dot." : `${Math.max(1, Math.round(left))}° to the dot.`;
}

/** Which way the worked joint goes; a sentence without its end. */
export function drag_it(t, more = "") {
  const { ways = [], far = "", end = "" } = to_go(t) ?? {};
  const where = far ? ` along the arrow ${end}` : " the way of the arrow";
  return `Drag it${ways.length === 1 ? where : ""}${more}`;
}

/** The same, and how far. */
export function drag_it_so_far(t, more = "") {
  const far = to_go(t)?.far;
  return `${drag_it(t)}${far ? `: ${far}` : ""}${more}.`;
}

/** What an untouched drawing does not show. Where the amount is told, on which side of the one before it comes to lie, as long as
 * the arrow points back from farther on; else, that it comes a little on from that. A text to go on with, or none. */
export function on_from(t) {
  const before = wrapped(t, number(t) - 1);
  if (!goal_now(t)?.begins || !there(t, before) || before === number(t) || !is_drawn(t, before)) return "";
  const aim = aim_of(t);
  if (!aim) return to_go(t)?.far ? "" : `, a little on from ${before}`;
  const { limb, joint } = worked(t);
  const on = half(aim.angle - turns(points(t, limb, before))[joint - 1]);
  return on * aim.way < -ASIDE ? `. There it lies ${beside(t, before)} ${before}` : "";
}

/** On which side, on the sheet, the worked joint comes to lie of the drawing before. */
function beside(t, before) {
  const { limb, joint } = worked(t);
  const [[px, py], angle] = [points(t, limb)[joint - 1], (aim_of(t).angle * Math.PI) / 180];
  const long = t.head.limbs[limb].lengths[joint - 1];
  const [ox, oy] = points(t, limb, before)[joint];
  const [x, y] = [across(t, px + long * Math.cos(angle)) - across(t, ox), py + long * Math.sin(angle) - oy];
  return Math.abs(x) > 0.4 * Math.abs(y) ? (x > 0 ? "right of" : "left of") : y > 0 ? "above" : "below";
}
